"""The journal: everything done to the vault, one sealed line each, in a Merkle tree (RFC 9162 section 2.1).

A line is written twice: into the catalog, in the same transaction as the change it tells of, and then at the end of
the journal file. So the catalog tells what the file must hold, byte for byte, and the only lawful difference is a
last transaction that a crash kept out of the file.
"""

import base64
import hashlib
import json
import secrets
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO

from sqlalchemy import Connection, insert, select

from quietus.model.errors import Damaged, Refused
from quietus.vault import catalog, merkle
from quietus.vault.codecs import dump, moment
from quietus.vault.crypto import NONCE_BYTES, Keys, seal, unseal
from quietus.vault.durable import machine_faults

MARK_EVERY = 1000
"""Entries between two marks; a mark lets the file be compared at the speed of the hash, not line by line."""
MOST_ENTRIES = 2**28
"""SP 800-38D section 8.3 allows 2^32 random nonces under one key. A sixteenth of it each leaves room for copies of the
vault that were put back and went on by themselves under the same key."""
RECENT_BYTES = 4 * 1024 * 1024
"""How much of the journal file's end is compared whenever the vault is opened; `check` compares all of it."""

HASH_BYTES = 32
_SALT_BYTES = 32
_PIECE_BYTES = 1024 * 1024
_REMEDY = (
    "Find out who had access to the vault's folder. `quietus check --rewrite-journal` writes a damaged journal file "
    "anew from the catalog, if that is whole; else take the vault from a backup."
)


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
        hash: its leaf in the Merkle tree, hex.
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
    """

    number: int
    start: int
    end: int


def head(connection: Connection) -> Head:
    """The end of the journal, from the catalog."""
    table = catalog.journal
    query = select(table.c.number, table.c.batch, table.c.end).order_by(table.c.number.desc()).limit(1)
    last = connection.execute(query).first()
    if last is None:
        return Head(0, 0, 0)
    before = connection.execute(select(table.c.end).where(table.c.number == last.batch - 1)).scalar()
    return Head(last.number, before or 0, last.end)


def leaf(line: str) -> bytes:
    """The leaf of a line in the Merkle tree: its hash without the newline."""
    return merkle.leaf(line.rstrip("\n").encode())


def subtrees(connection: Connection) -> merkle.Subtree:
    """The journal's Merkle tree, as the catalog keeps it: with each entry the subtrees that it completes."""
    table = catalog.journal

    def subtree(level: int, index: int) -> bytes:
        query = select(table.c.hashes).where(table.c.number == (index + 1) << level)
        found: bytes = connection.execute(query).scalar() or b""
        if len(found) < (level + 1) * HASH_BYTES:
            raise _damaged("The journal in the catalog lacks a hash")
        return found[level * HASH_BYTES : (level + 1) * HASH_BYTES]

    return subtree


def root(connection: Connection, size: int) -> bytes:
    """Root of the Merkle tree of the first `size` entries.

    Raises:
        Damaged: the catalog lacks some of them.
    """
    return merkle.root(size, subtrees(connection))


def write(
    connection: Connection, keys: Keys, batch: int | None, at: datetime, said: dict[str, Any], *, paper: str = ""
) -> int:
    """Add an entry to the catalog's journal, inside the caller's transaction.

    Args:
        connection: in a transaction that holds the vault's lock.
        keys: of the vault.
        batch: number of the first entry of this transaction; None when this is the first.
        at: when.
        said: `who`, `lock`, `action`, `about` and `details`.
        paper: SHA-256, hex, of the paper that the entry files, for a commitment to it that stands open in the line.

    Returns:
        The entry's number.

    Raises:
        Refused: the journal is full, at 2^32 entries.
    """
    before = head(connection)
    number = before.number + 1
    if number > MOST_ENTRIES:
        raise Refused("The journal is full.", "Begin a new vault.")
    line = _line(keys, number, moment(at), said, paper)
    end = before.end + len(line)
    hashes = b"".join(merkle.completed(number, leaf(line), subtrees(connection)))
    row = {"number": number, "batch": batch or number, "end": end, "line": line, "hashes": hashes}
    connection.execute(insert(catalog.journal), row)
    if number % MARK_EVERY == 0:
        _mark(connection, number, end)
    return number


def lines(connection: Connection, after: int = 0) -> Iterator[str]:
    """The catalog's lines after entry number `after`, in order."""
    table = catalog.journal
    query = select(table.c.line).where(table.c.number > after).order_by(table.c.number)
    yield from connection.execute(query.execution_options(yield_per=1000)).scalars()


def entries(connection: Connection, keys: Keys, *, after: int = 0) -> Iterator[Entry]:
    """Every entry after number `after`, opened. From the first on, the whole Merkle tree is verified as well.

    Raises:
        Damaged: an entry is missing, out of its place or does not open, or a hash of the tree does not fit.
    """
    number = after
    key_of = _keys_of(connection, keys)
    tree = _Tree() if after == 0 else None
    table = catalog.journal
    query = select(table.c.line, table.c.hashes).where(table.c.number > after).order_by(table.c.number)
    for line, hashes in connection.execute(query.execution_options(yield_per=1000)):
        number += 1
        entry = _entry(keys, key_of(number), line, number)
        if tree and hashes != tree.grown(number, leaf(line)):
            raise _damaged(f"Journal entry {number} does not fit the tree of hashes")
        yield entry
    if number != max(head(connection).number, after):
        raise _damaged("The journal in the catalog skips a number")


def picked(connection: Connection, keys: Keys, numbers: Iterable[int]) -> Iterator[Entry]:
    """The entries of these numbers, opened one by one.

    Raises:
        Damaged: one is missing or does not open.
    """
    key_of = _keys_of(connection, keys)
    for number in numbers:
        line = connection.execute(select(catalog.journal.c.line).where(catalog.journal.c.number == number)).scalar()
        yield _entry(keys, key_of(number), line or "", number)


def _keys_of(connection: Connection, keys: Keys) -> Callable[[int], bytes]:
    """The key of each line: the present one, or that of the root key it was written under."""
    former = connection.execute(select(catalog.former_roots).order_by(catalog.former_roots.c.last)).all()
    present = keys.subkey("journal")
    return lambda number: next((row.journal for row in former if number <= row.last), present)


class _Tree:
    """The complete subtrees of what was read so far: by level, the root of the last one."""

    def __init__(self) -> None:
        self._last: dict[int, bytes] = {}

    def grown(self, number: int, leaf_hash: bytes) -> bytes:
        hashes = merkle.completed(number, leaf_hash, lambda level, _: self._last[level])
        self._last |= enumerate(hashes)
        return b"".join(hashes)


def missing_from(path: Path, connection: Connection, *, whole: bool) -> bytes:
    """Compare the journal file with the catalog.

    Args:
        path: the file.
        connection: to the catalog.
        whole: whether to compare every byte, or those of the last `RECENT_BYTES` or a little more.

    Returns:
        What the file lacks of the last transaction; empty when it is whole.

    Raises:
        Damaged: the file differs in any other way, or is gone.
    """
    known = head(connection)
    size = file_size(path)
    if size > known.end:
        raise _damaged("The journal file holds more than was written")
    if size < known.start:
        raise _damaged("The journal file was cut")
    with machine_faults(), path.open("rb") as file:
        number = _compare_marked(file, connection, size, 0 if whole else size - RECENT_BYTES)
        rest = "".join(lines(connection, after=number)).encode()
        found = file.read()
    if found != rest[: len(found)]:
        raise _damaged("The journal file was edited")
    return rest[len(found) :]


def opens(keys: Keys, line: str, number: int) -> bool:
    """Whether a line was written under this root key as entry `number`."""
    try:
        _entry(keys, keys.subkey("journal"), line, number)
    except Damaged:
        return False
    return True


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


def commitment(paper: str, salt: str) -> str:
    """What a line shows of the paper it files: the hash of salt and paper, which tells nothing without the salt.

    Args:
        paper: SHA-256 of the paper, hex.
        salt: random bytes, hex, sealed in the same line.

    Raises:
        ValueError: they are not hex.
    """
    return hashlib.sha256(bytes.fromhex(salt) + bytes.fromhex(paper)).hexdigest()


def _line(keys: Keys, number: int, at: str, said: dict[str, Any], paper: str) -> str:
    shown: dict[str, Any] = {"format": 1, "number": number, "at": at}
    if paper:
        salt = secrets.token_hex(_SALT_BYTES)
        shown["paper"] = commitment(paper, salt)
        said = {**said, "details": {**said["details"], "salt": salt}}
    nonce = secrets.token_bytes(NONCE_BYTES)
    sealed = seal(keys.subkey("journal"), nonce, dump(said).encode(), _bound(keys, number, at))
    return dump({**shown, "sealed": base64.b64encode(nonce + sealed).decode()}) + "\n"


def _bound(keys: Keys, number: int, at: str) -> bytes:
    return f"quietus journal 1\0{keys.vault}\0{number}\0{at}".encode()


def _entry(keys: Keys, key: bytes, line: str, number: int) -> Entry:
    try:
        tree = json.loads(line)
        sealed = base64.b64decode(tree["sealed"], validate=True)
        at = datetime.fromisoformat(tree["at"])
        placed = tree["number"] == number
    except (ValueError, KeyError, TypeError) as error:
        raise _damaged(f"Journal entry {number} is not as it was written") from error
    if not placed:
        raise _damaged(f"Journal entry {number} does not follow the one before it")
    said = json.loads(unseal(key, sealed[:NONCE_BYTES], sealed[NONCE_BYTES:], _bound(keys, number, tree["at"])))
    details = said["details"]
    if tree.get("paper") != (commitment(details["sha256"], details["salt"]) if "salt" in details else None):
        raise _damaged(f"Journal entry {number} shows another paper than it files")
    return Entry(number=number, at=at, hash=leaf(line).hex(), **said)


def _mark(connection: Connection, number: int, end: int) -> None:
    marks = catalog.journal_marks
    before = connection.execute(select(marks.c.number).order_by(marks.c.number.desc()).limit(1)).scalar() or 0
    digest = hashlib.sha256("".join(lines(connection, after=before)).encode()).hexdigest()
    connection.execute(insert(marks), {"number": number, "end": end, "sha256": digest})


def _compare_marked(file: BinaryIO, connection: Connection, size: int, begin: int) -> int:
    """Compare the file up to its last mark; leave it there and return the number of the entry before it.

    The comparison begins at the last mark that stands no later than `begin` bytes into the file.
    """
    marks = catalog.journal_marks
    skipped = select(marks).where(marks.c.end <= min(begin, size)).order_by(marks.c.number.desc()).limit(1)
    first = connection.execute(skipped).first()
    number, start = (first.number, first.end) if first else (0, 0)
    file.seek(start)
    after = select(marks).where(marks.c.number > number, marks.c.end <= size).order_by(marks.c.number)
    for mark in connection.execute(after):
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
