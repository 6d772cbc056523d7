"""Destroying a paper so that nothing of it comes back from the catalog, and knowing that it is so.

The key goes first, in one transaction with readings, facts and names. What the database may still hold of the rows is
then looked for: the write-ahead log is cut, every page of the file is decrypted and searched, and when a trace is found
in a page's slack the whole file is written anew. Only then does the journal say that the paper is destroyed; until then
the table `erasing` remembers that it is not, through any crash.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes
from sqlalchemy import Column, Connection, ForeignKey, String, Table, delete, insert, select

from quietus.model.errors import MachineFault
from quietus.model.paper import Paper
from quietus.vault import catalog, rows
from quietus.vault.codecs import moment
from quietus.vault.durable import machine_faults
from quietus.vault.store import Store

PAGE_BYTES = 4096
RESERVED_BYTES = 80
"""At the end of each page of SQLCipher 4: 16 bytes of initialisation vector and 64 of authentication code."""
_SALT_BYTES = IV_BYTES = 16
_WAIT = "Run the command again when no other quietus has the vault open."

erasing = Table(
    "erasing",
    catalog.metadata,
    Column("paper", String, ForeignKey("papers.id"), primary_key=True),
    Column("at", String, nullable=False),
)


@dataclass(frozen=True, slots=True)
class Erased:
    """What was done to finish the destruction of some papers.

    Attributes:
        papers: their ids.
        pages: pages of the catalog that were searched.
        rewritten: whether the catalog's file was written anew.
    """

    papers: tuple[str, ...]
    pages: int
    rewritten: bool

    @property
    def words(self) -> str:
        """What was looked at, as a sentence for a certificate."""
        anew = "was written anew, and " if self.rewritten else ""
        return (
            f"The catalog {anew}was searched page by page ({self.pages} pages) after its log was cut; no trace of the "
            "paper's rows was left."
        )


def begin(connection: Connection, paper: Paper, at: datetime) -> tuple[bytes, ...]:
    """Strip a paper down to its stub, inside the caller's transaction, and note that the rest is still to be done.

    Returns:
        Bytes that stand in the catalog's file where a row of the paper stands, and nowhere else.
    """
    traces = tuple(_traces(connection, paper))
    rows.strip_paper(connection, paper, at)
    connection.execute(insert(erasing), {"paper": paper.id, "at": moment(at)})
    return traces


def _traces(connection: Connection, paper: Paper) -> Iterator[bytes]:
    wrapped = rows.wrapped_key(connection, paper.id)
    if wrapped:
        yield wrapped
    # As SQLite lays a row out: one column's bytes after the other. A reading's text begins in the same cell.
    yield from rows.reading_traces(connection, paper.id)
    yield f"{paper.sha256}{paper.name}{paper.media_type}".encode()
    yield f"{paper.entity}{paper.id}{paper.standing.value}".encode()


def pending(connection: Connection) -> tuple[str, ...]:
    """Ids of papers whose destruction has begun and is not proven finished."""
    return tuple(connection.execute(select(erasing.c.paper).order_by(erasing.c.paper)).scalars())


def finish(store: Store, traces: dict[str, tuple[bytes, ...]]) -> Erased | None:
    """Finish what is pending, and enter it in the journal; None when nothing is.

    Args:
        store: of the vault.
        traces: what `begin` gave for papers of this process; a pending paper that is not among them was left by a
            crash, and has the catalog written anew, whatever its pages hold.

    Raises:
        MachineFault: another process reads the catalog all the time, or a trace does not go away. Nothing is entered
            then; the next attempt begins where this one stopped.
    """
    with store.reading() as connection:
        papers = pending(connection)
    if not papers:
        return None
    with store.bare() as connection:
        for paper in papers:
            store.objects.remove(paper)
        _cut_log(connection)
        known = [trace for paper in papers for trace in traces.get(paper, ())]
        rewritten = any(paper not in traces for paper in papers) or _search(store, known)[1]
        if rewritten:
            connection.exec_driver_sql("VACUUM")
            _cut_log(connection)
        pages, found = _search(store, known)
        if found:
            raise MachineFault("Traces of a destroyed paper are still in the catalog.", _WAIT)
    erased = Erased(papers, pages, rewritten)
    with store.changing() as connection:
        for paper in set(papers) & set(pending(connection)):
            connection.execute(delete(erasing).where(erasing.c.paper == paper))
            store.write("paper-destroyed", paper, {"pages": pages, "rewritten": rewritten})
    for paper in papers:
        traces.pop(paper, None)
    return erased


def _cut_log(connection: Connection) -> None:
    """Move the write-ahead log into the catalog's file and cut it to nothing.

    Raises:
        MachineFault: somebody reads an older state of the catalog.
    """
    busy, _, _ = connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").one()
    if busy:
        raise MachineFault("Another quietus reads the catalog, so its log can't be cut.", _WAIT)


def _search(store: Store, traces: Sequence[bytes]) -> tuple[int, bool]:
    """How many pages the catalog has, and whether any of them, slack and all, holds a trace."""
    count, found = 0, False
    for page in pages_of(store.layout.catalog, store.keys.subkey("catalog")):
        count += 1
        found = found or any(trace in page for trace in traces)
    return count, found


def pages_of(path: Path, key: bytes) -> Iterator[bytes]:
    """Every page of a SQLCipher 4 file, decrypted whole, with what SQLite itself takes no notice of.

    Args:
        path: the file; nobody writes to it meanwhile.
        key: 32 bytes.

    Raises:
        MachineFault: it cannot be read.
    """
    with machine_faults(), path.open("rb") as file:
        skipped = _SALT_BYTES
        while page := file.read(PAGE_BYTES):
            vector = page[-RESERVED_BYTES:][:IV_BYTES]
            with suppress(ValueError):  # a torn last page: `check` tells of that
                opener = Cipher(algorithms.AES(key), modes.CBC(vector)).decryptor()
                yield opener.update(page[skipped:-RESERVED_BYTES])
            skipped = 0
