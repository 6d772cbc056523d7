"""What stands behind the vault's face: transactions that hold rows, journal and sealed objects together.

Every change takes the vault's lock, settles the journal file, commits rows and journal entries in one catalog
transaction, and last appends the same entries to the journal file. Sealed objects are durable before that commit, so
that a crash leaves at worst an object without a row, or a journal file without the lines of the last transaction.
"""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from quietus.model.errors import Damaged, MachineFault, Misuse, WrongKey
from quietus.vault import journal
from quietus.vault.catalog import catalog_faults
from quietus.vault.crypto import Keys
from quietus.vault.durable import append, writers_turn
from quietus.vault.header import DAMAGED, REMEDY, Header
from quietus.vault.headerfile import header_stamp, load_header
from quietus.vault.layout import Layout
from quietus.vault.objects import ObjectFolder, Source, seal_paper


@dataclass(frozen=True, slots=True)
class Actor:
    """Who acts on the vault, and when.

    Attributes:
        who: the person or account, for the journal.
        lock: id of the lock that was opened.
        clock: tells the time.
    """

    who: str
    lock: str
    clock: Callable[[], datetime]


@dataclass(slots=True)
class _Batch:
    """What the running transaction of one thread has done so far.

    Attributes:
        connection: in a transaction.
        first: number of its first journal entry.
        objects: ids of the objects it sealed.
        afterwards: what is to be done once it is committed, before others get their turn.
    """

    connection: Connection
    first: int | None = None
    objects: list[str] = field(default_factory=list)
    afterwards: list[Callable[[], None]] = field(default_factory=list)


class Store:
    """The parts of an open vault. Threads and processes take turns to change it; reading waits for nobody."""

    def __init__(
        self, layout: Layout, keys: Keys, header: Header, *, engine: Engine, actor: Actor, patience: float
    ) -> None:
        self.layout = layout
        self.keys = keys
        self.header = header
        self.actor = actor
        self.objects = ObjectFolder(layout.objects)
        self.notes: list[str] = []
        self._engine = engine
        self._patience = patience
        self._turn = threading.Lock()
        self._thread = threading.local()
        self._closed = False
        self._stamp = header_stamp(layout)

    def close(self) -> None:
        """Close the catalog."""
        self._closed = True
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection to read from; the transaction's own inside a transaction.

        Raises:
            Misuse: the vault is closed.
            Damaged, MachineFault: see `catalog_faults`.
        """
        batch = self._batch
        if batch is not None:
            yield batch.connection
            return
        with self._connected(writing=False) as connection:
            yield connection

    @contextmanager
    def changing(self, *, thorough: bool = False) -> Iterator[Connection]:
        """A transaction; all of it happens, or nothing. Inside another transaction it joins that one.

        Args:
                thorough: whether to compare the end of the journal file first, not only its size.

        Raises:
            Misuse: the vault is closed.
            MachineFault: another process kept the vault too long, or the machine would not do it.
            Damaged: the catalog or the journal file is not as it was written.
        """
        if self._batch is not None:
            yield self._batch.connection
            return
        with (
            self._turn,
            writers_turn(self.layout.lock, self._patience),
            self._connected(writing=True) as connection,
        ):
            self._look_at_header()
            completed = self.settle(connection, thorough=thorough)
            batch = self._thread.batch = _Batch(connection)
            try:
                if completed:
                    self.write("journal-completed", "journal", {"entries": completed})
                yield connection
            except BaseException:
                connection.rollback()
                self._drop(batch.objects)
                raise
            finally:
                self._thread.batch = None
            # From here on nothing is undone: a commit that reports a fault may have happened all the same.
            connection.commit()
            if batch.first is not None:
                append(self.layout.journal, self._lines(connection, batch.first))
            for step in batch.afterwards:
                step()

    def afterwards(self, step: Callable[[], None]) -> None:
        """Have something done once the running transaction is committed, before others get their turn."""
        self._running.afterwards.append(step)

    @contextmanager
    def holding(self) -> Iterator[Connection]:
        """The vault's lock and a connection to read from, without settling the journal first: for `check`.

        Raises:
            Misuse: the vault is closed, or a transaction is running.
        """
        if self._batch is not None:
            raise Misuse("A vault is not checked in the middle of a change.")
        with self._turn, writers_turn(self.layout.lock, self._patience), self._connected(writing=False) as connection:
            self._look_at_header()
            yield connection
            connection.invalidate()  # SQLCipher makes a connection read-only once it has met a damaged page

    @contextmanager
    def bare(self) -> Iterator[Connection]:
        """The vault's lock and a connection in no transaction: to cut the catalog's log, or write its file anew.

        Raises:
            Misuse: the vault is closed, or a transaction is running.
        """
        if self._batch is not None:
            raise Misuse("The catalog is not written anew in the middle of a change.")
        with (
            self._turn,
            writers_turn(self.layout.lock, self._patience),
            self._connected(writing=False) as connection,
        ):
            self._look_at_header()
            yield connection.execution_options(bare=True)

    @property
    def in_change(self) -> bool:
        """Whether this thread is in the middle of a transaction."""
        return self._batch is not None

    def write(self, action: str, about: str, details: dict[str, Any], paper: str = "") -> None:
        """Add a journal entry to the running transaction; `paper` as in `journal.write`."""
        batch = self._running
        said = {
            "who": self.actor.who,
            "lock": self.actor.lock,
            "action": action,
            "about": about,
            "details": details,
        }
        number = journal.write(batch.connection, self.keys, batch.first, self.actor.clock(), said, paper=paper)
        batch.first = batch.first or number

    def seal(self, paper_id: str, key: bytes, source: Source) -> None:
        """Seal a paper durably, before the running transaction commits."""
        batch = self._running
        self.objects.put(paper_id, seal_paper(source, key, paper_id))
        batch.objects.append(paper_id)

    def settle(self, connection: Connection, *, thorough: bool, whole: bool = False) -> int:
        """Complete the journal file from the catalog if a crash cut it short; the caller holds the vault's lock.

        Args:
            connection: to the catalog.
            thorough: whether to compare the end of the file, or only its size.
            whole: whether to compare every byte.

        Returns:
            How many entries the file lacked.

        Raises:
            Damaged: the file differs in any other way.
        """
        path = self.layout.journal
        complete = journal.file_size(path) == journal.head(connection).end
        if complete and not thorough:
            return 0
        missing = journal.missing_from(path, connection, whole=whole)
        if not missing:
            return 0
        append(path, missing)
        entries = missing.count(b"\n")
        self.notes.append(f"Completed the journal file from the catalog: a crash had cut off {entries} of its entries.")
        return entries

    def _look_at_header(self) -> None:
        """Notice that another process changed the locks or the root key; the caller holds the vault's lock."""
        found = header_stamp(self.layout)
        if found == self._stamp:
            return
        header = load_header(self.layout)
        if header.round != self.header.round:
            raise MachineFault("The vault's root key was renewed meanwhile.", "Run the command again.")
        if not header.genuine(self.keys):
            raise Damaged(DAMAGED, REMEDY)
        if all(lock.id != self.actor.lock for lock in header.locks):
            raise WrongKey("The lock that the vault was opened with was removed meanwhile.", "Use another lock.")
        self.header, self._stamp = header, found

    @property
    def _batch(self) -> _Batch | None:
        return getattr(self._thread, "batch", None)

    @property
    def _running(self) -> _Batch:
        batch = self._batch
        if batch is None:
            raise Misuse("A change of the vault was tried outside a transaction.")
        return batch

    @contextmanager
    def _connected(self, *, writing: bool) -> Iterator[Connection]:
        if self._closed:
            raise Misuse("The vault is closed.", "Open it again.")
        with catalog_faults(), self._engine.connect() as connection:
            try:
                yield connection.execution_options(writing=writing)
            except (DBAPIError, Damaged, MemoryError):
                connection.invalidate()
                raise

    def _drop(self, objects: list[str]) -> None:
        for paper_id in objects:
            self.objects.remove(paper_id)

    def _lines(self, connection: Connection, first: int) -> bytes:
        return "".join(journal.lines(connection, after=first - 1)).encode()
