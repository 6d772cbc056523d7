"""The journal: everything done to the vault, one sealed line each, chained by hash.

A line is written twice: into the catalog, in the same transaction as the change it tells of, and then at the end of
the journal file. So the catalog tells what the file must hold, byte for byte, and the only lawful difference is a
last transaction that a crash kept out of the file.
"""

import base64
import hashlib
import json
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO

from sqlalchemy import Connection, insert, select

from quietus.model.errors import Damaged, Refused
from quietus.vault import catalog
from quietus.vault.codecs import dump, moment
from quietus.vault.crypto import NONCE_BYTES, Keys, seal, unseal
from quietus.vault.durable import machine_faults

MARK_EVERY = 1000
"""Entries between two marks; a mark lets the file be compared at the speed of the hash, not line by line."""
MOST_ENTRIES = 2**32
"""SP 800-38D section 8.3: at most 2^32 random nonces under one key."""

_PIECE_BYTES = 1024 * 1024
_REMEDY = "Take the vault from a backup, and find out who had access to its folder."


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing done to the vault.

    Attributes:
        number: 1, 2, 3 …
        at: when, UTC.
        who: the person or account that did it.
        action: what was done, such as `paper-filed`.
        about: id or slug of what it was done to.
        details: the rest, as plain JSON data.
        hash: SHA-256 of the line, hex; the next line repeats it.
        lock: id of the lock that the vault was opened with.
    """

    number: int
    at: datetime
    who: str
    action: str
    about: str
    details: dict[str, Any]
    hash: str
    lock: str = ""


@dataclass(frozen=True, slots=True)
class Head:
    """The end of the journal as the catalog knows it.

    Attributes:
        number: of the last entry; 0 when there is none.
        start: bytes of the file before the last transaction.
        end: bytes of the file with it.
        hash: of the last line, hex.
    """

    number: int
    start: int
    end: int
    hash: str


def head(connection: Connection, keys: Keys) -> Head:
    """The end of the journal, from the catalog."""
    table = catalog.journal
    last = connection.execute(select(table).order_by(table.c.number.desc()).limit(1)).first()
    if last is None:
        return Head(0, 0, 0, genesis(keys))
    before = connection.execute(select(table.c.end).where(table.c.number == last.batch - 1)).scalar()
    return Head(last.number, before or 0, last.end, line_hash(last.line))


def genesis(keys: Keys) -> str:
    """What stands for the hash before the first line: it ties the chain to this vault."""
    return hashlib.sha256(f"quietus journal 1 {keys.vault}".encode()).hexdigest()


def line_hash(line: str) -> str:
    """SHA-256 of a line without its newline, hex."""
    return hashlib.sha256(line.rstrip("\n").encode()).hexdigest()


def write(connection: Connection, keys: Keys, batch: int | None, at: datetime, said: dict[str, Any]) -> int:
    """Add an entry to the catalog's journal, inside the caller's transaction.

    Args:
        connection: in a transaction that holds the vault's lock.
        keys: of the vault.
        batch: number of the first entry of this transaction; None when this is the first.
        at: when.
        said: `who`, `lock`, `action`, `about` and `details`.

    Returns:
        The entry's number.

    Raises:
        Refused: the journal is full, at 2^32 entries.
    """
    before = head(connection, keys)
    number = before.number + 1
    if number > MOST_ENTRIES:
        raise Refused("The journal is full.", "Begin a new vault.")
    line = _line(keys, number, moment(at), before.hash, said)
    end = before.end + len(line)
    row = {"number": number, "batch": batch or number, "end": end, "line": line}
    connection.execute(insert(catalog.journal), row)
    if number % MARK_EVERY == 0:
        _mark(connection, number, end)
    return number


def lines(connection: Connection, after: int = 0) -> Iterator[str]:
    """The catalog's lines after entry number `after`, in order."""
    table = catalog.journal
    query = select(table.c.line).where(table.c.number > after).order_by(table.c.number)
    yield from connection.execute(query.execution_options(yield_per=1000)).scalars()


def entries(connection: Connection, keys: Keys) -> Iterator[Entry]:
    """Every entry, opened, with its place in the chain verified.

    Raises:
        Damaged: the chain is broken or an entry does not open.
    """
    key = keys.subkey("journal")
    number, previous = 0, genesis(keys)
    for line in lines(connection):
        number += 1
        entry = _entry(keys, key, line, number, previous)
        previous = entry.hash
        yield entry
    if number != head(connection, keys).number:
        raise _damaged("The journal in the catalog skips a number")


def missing_from(path: Path, connection: Connection, keys: Keys) -> bytes:
    """Compare the journal file with the catalog, every byte.

    Returns:
        What the file lacks of the last transaction; empty when it is whole.

    Raises:
        Damaged: the file differs in any other way, or is gone.
    """
    known = head(connection, keys)
    size = file_size(path)
    if size > known.end:
        raise _damaged("The journal file holds more than was written")
    if size < known.start:
        raise _damaged("The journal file was cut")
    with machine_faults(), path.open("rb") as file:
        number = _compare_marked(file, connection, size)
        rest = "".join(lines(connection, after=number)).encode()
        found = file.read()
    if found != rest[: len(found)]:
        raise _damaged("The journal file was edited")
    return rest[len(found) :]


def file_size(path: Path) -> int:
    """Bytes of the journal file.

    Raises:
        Damaged: it is gone.
    """
    with machine_faults():
        try:
            return path.lstat().st_size
        except FileNotFoundError as error:
            raise _damaged("The journal file is gone") from error


def _line(keys: Keys, number: int, at: str, previous: str, said: dict[str, Any]) -> str:
    nonce = secrets.token_bytes(NONCE_BYTES)
    sealed = seal(keys.subkey("journal"), nonce, dump(said).encode(), _bound(keys, number, at, previous))
    shown = {"format": 1, "number": number, "at": at, "previous": previous}
    return dump({**shown, "sealed": base64.b64encode(nonce + sealed).decode()}) + "\n"


def _bound(keys: Keys, number: int, at: str, previous: str) -> bytes:
    return f"quietus journal 1\0{keys.vault}\0{number}\0{at}\0{previous}".encode()


def _entry(keys: Keys, key: bytes, line: str, number: int, previous: str) -> Entry:
    try:
        tree = json.loads(line)
        sealed = base64.b64decode(tree["sealed"], validate=True)
        at = datetime.fromisoformat(tree["at"])
        linked = tree["number"] == number and tree["previous"] == previous
    except (ValueError, KeyError, TypeError) as error:
        raise _damaged(f"Journal entry {number} is not as it was written") from error
    if not linked:
        raise _damaged(f"Journal entry {number} does not follow the one before it")
    bound = _bound(keys, number, tree["at"], previous)
    said = json.loads(unseal(key, sealed[:NONCE_BYTES], sealed[NONCE_BYTES:], bound))
    return Entry(number=number, at=at, hash=line_hash(line), **said)


def _mark(connection: Connection, number: int, end: int) -> None:
    marks = catalog.journal_marks
    before = connection.execute(select(marks.c.number).order_by(marks.c.number.desc()).limit(1)).scalar() or 0
    digest = hashlib.sha256("".join(lines(connection, after=before)).encode()).hexdigest()
    connection.execute(insert(marks), {"number": number, "end": end, "sha256": digest})


def _compare_marked(file: BinaryIO, connection: Connection, size: int) -> int:
    """Compare the file up to its last mark; leave it there and return the number of the entry before it."""
    marks = catalog.journal_marks
    number = start = 0
    for mark in connection.execute(select(marks).where(marks.c.end <= size).order_by(marks.c.number)):
        if _digest(file, mark.end - start) != mark.sha256:
            raise _damaged(f"The journal file was edited between entries {number + 1} and {mark.number}")
        number, start = mark.number, mark.end
    return number


def _digest(file: BinaryIO, length: int) -> str:
    digest = hashlib.sha256()
    while length and (piece := file.read(min(length, _PIECE_BYTES))):
        digest.update(piece)
        length -= len(piece)
    return digest.hexdigest()


def _damaged(what: str) -> Damaged:
    return Damaged(f"{what}.", _REMEDY)
