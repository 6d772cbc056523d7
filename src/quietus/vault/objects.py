"""Papers under seal: one file each, in chunks, under a key of its own.

A chunk's nonce is its number, which is safe because the key is fresh for every paper and a paper is sealed once. The
associated data of a chunk binds format, paper, place and whether it is the last, so that chunks can be neither swapped,
repeated, reordered nor cut off, nor one paper passed off as another.
"""

import os
import re
import struct
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO, Protocol

from quietus.model.errors import Damaged, Misuse
from quietus.vault.crypto import NONCE_BYTES, TAG_BYTES, seal, unseal
from quietus.vault.durable import TEMPORARY, machine_faults, make_folder, sync_folder, write_new

MAGIC = b"QUIETUS\x01"
CHUNK_BYTES = 1024 * 1024
"""Plaintext in every chunk but the last; SP 800-38D allows about 64 GiB in one call."""
MOST_CHUNKS = 2**32

_ID = re.compile(r"[0-9a-f]{32}")
_REMEDY = "Take the paper from a backup of this vault."


class Source(Protocol):
    """What a paper is read from."""

    def read(self, size: int, /) -> bytes:
        """At most `size` bytes; none only at the end."""
        ...


def seal_paper(source: Source, key: bytes, paper_id: str) -> Iterator[bytes]:
    """The sealed file of one paper, piece by piece; memory stays at a few chunks.

    Args:
        source: the paper's bytes.
        key: 32 bytes that seal this paper only, and once only.
        paper_id: 32 hex digits.

    Raises:
        Misuse: the paper has more chunks than one key may seal.
    """
    yield MAGIC
    number = 0
    piece = _filled(source, CHUNK_BYTES)
    while number < MOST_CHUNKS:
        following = _filled(source, CHUNK_BYTES)
        yield seal(key, _nonce(number), piece, _bound(paper_id, number, last=not following))
        if not following:
            return
        piece = following
        number += 1
    raise Misuse("The paper is longer than a paper can be.", "Split it.")


def open_paper(sealed: BinaryIO, key: bytes, paper_id: str) -> Iterator[bytes]:
    """The paper's bytes, chunk by chunk; each chunk's tag is verified before it comes out.

    A caller that stops early has not seen the end verified: only the whole run proves the whole paper.

    Raises:
        Damaged: a chunk was changed, moved, repeated or removed, or the file belongs to another paper or key.
    """
    if sealed.read(len(MAGIC)) != MAGIC:
        raise Damaged("A sealed paper does not begin as it was written.", _REMEDY)
    number = 0
    piece = sealed.read(CHUNK_BYTES + TAG_BYTES)
    while number < MOST_CHUNKS:
        following = sealed.read(CHUNK_BYTES + TAG_BYTES)
        yield unseal(key, _nonce(number), piece, _bound(paper_id, number, last=not following))
        if not following:
            return
        piece = following
        number += 1
    raise Damaged("A sealed paper is longer than a paper can be.", _REMEDY)


def _filled(source: Source, size: int) -> bytes:
    """`size` bytes, or all that is left: an unbuffered source may give less than it was asked for."""
    piece = source.read(size)
    while piece and len(piece) < size and (more := source.read(size - len(piece))):
        piece += more
    return piece


def sealed_size(size: int) -> int:
    """Bytes of the sealed file of a paper of `size` bytes."""
    return len(MAGIC) + size + TAG_BYTES * max(1, -(-size // CHUNK_BYTES))


def _nonce(number: int) -> bytes:
    return number.to_bytes(NONCE_BYTES, "big")


def _bound(paper_id: str, number: int, *, last: bool) -> bytes:
    return MAGIC + bytes.fromhex(paper_id) + struct.pack(">QB", number, last)


class ObjectFolder:
    """Sealed papers in a folder: `ab/abcd…`, named by paper id, written once and never changed."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def put(self, paper_id: str, pieces: Iterable[bytes]) -> None:
        """Store a sealed paper durably; when this returns it survives a power cut.

        Raises:
            MachineFault: the machine would not do it, or the id is taken.
        """
        path = self._path(paper_id)
        with machine_faults():
            make_folder(path.parent)
        write_new(path, pieces)

    def open(self, paper_id: str) -> BinaryIO:
        """The sealed file, for reading.

        Raises:
            Damaged: there is none.
            MachineFault: it cannot be read.
        """
        with machine_faults():
            try:
                handle = os.open(self._path(paper_id), os.O_RDONLY | os.O_NOFOLLOW)
            except FileNotFoundError as error:
                raise Damaged(f"The sealed paper {paper_id} is gone.", _REMEDY) from error
            return os.fdopen(handle, "rb")

    def size(self, paper_id: str) -> int | None:
        """Bytes of the sealed file; None when there is none."""
        with machine_faults():
            try:
                return self._path(paper_id).lstat().st_size
            except FileNotFoundError:
                return None

    def remove(self, paper_id: str) -> None:
        """Remove a sealed paper; nothing happens when there is none."""
        path = self._path(paper_id)
        with machine_faults(), suppress(FileNotFoundError):
            path.unlink()
            sync_folder(path.parent)

    def ids(self) -> Iterator[str]:
        """Ids of every sealed paper, in order."""
        for path in self._files():
            if self._is_object(path):
                yield path.name

    def unfinished(self) -> Iterator[Path]:
        """Files whose writing a crash cut short."""
        return (path for path in self._files() if path.name.startswith(TEMPORARY))

    def strangers(self) -> Iterator[Path]:
        """Files that quietus did not put there."""
        return (p for p in self._files() if not self._is_object(p) and not p.name.startswith(TEMPORARY))

    def _path(self, paper_id: str) -> Path:
        return self._folder / paper_id[:2] / paper_id

    def _is_object(self, path: Path) -> bool:
        return _ID.fullmatch(path.name) is not None and path == self._path(path.name)

    def _files(self) -> Iterator[Path]:
        with machine_faults():
            yield from sorted(p for p in self._folder.rglob("*") if p.is_symlink() or not p.is_dir())
