"""Writes a PDF from front to back, one object at a time, so that memory does not grow with the scans.

The library that reads PDFs can only copy what is foreign by holding all of it in memory until the end. Here each
object goes to the file as soon as it is known, and nothing of it is kept but where it lies (ISO 32000-1, 7.5).
"""

import re
import zlib
from collections.abc import Callable, Collection
from typing import Any, BinaryIO

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Stream

from quietus.bundle.job import Hole

_HEADER = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"
_REFERENCE = re.compile(rb"\((?:[^\\()]|\\.)*\)|<[0-9A-Fa-f]*>|(\d+) (\d+) R\b", re.DOTALL)
"""References to other objects in the text of one, past strings that may look like them. The library writes strings
with every parenthesis escaped, or in hex."""

_RANGE_BYTES = 48  # four numbers of up to ten digits

Known = dict[tuple[int, int], int]
"""Numbers in the new file, by number and generation in the old one."""


class PdfWriter:
    """A PDF being written.

    Args:
        file: opened for writing, empty.
        first: the first number free for new objects; lower ones are given by the caller.
    """

    def __init__(self, file: BinaryIO, first: int) -> None:
        self._file = file
        self._next = first
        self._at = 0
        self._offsets: dict[int, int] = {}
        self._hole: Hole | None = None
        self._range_at = 0
        self._write(_HEADER)

    def number(self) -> int:
        """A number that no object has yet."""
        self._next += 1
        return self._next - 1

    def whole(self, pdf: pikepdf.Pdf, but: Collection[int]) -> None:
        """Every object of `pdf` under the number it has, except those to come."""
        for number in range(1, len(pdf.objects) + 1):
            if number not in but:
                self._object(number, pdf.get_object(number, 0), lambda match: match[0])

    def carried(self, pdf: pikepdf.Pdf, thing: Object, number: int, known: Known) -> None:
        """An object of `pdf` under `number`, and everything it leads to that is not in `known` yet."""
        known[thing.objgen] = number
        waiting: list[tuple[Object, int]] = [(thing, number)]

        def renumbered(match: re.Match[bytes]) -> bytes:
            if match[1] is None:
                return match[0]
            old = (int(match[1]), int(match[2]))
            if old not in known:
                known[old] = self.number()
                waiting.append((pdf.get_object(old), known[old]))
            return b"%d 0 R" % known[old]

        while waiting:
            old, new = waiting.pop()
            self._object(new, old, renumbered)

    def image(self, number: int, data: bytes, entries: dict[str, Any]) -> None:
        """Coded pixels as an image XObject under `number`."""
        image = {"Type": Name.XObject, "Subtype": Name.Image, **entries}
        self._stream(number, Dictionary({f"/{key}": value for key, value in image.items()}).unparse(), data)

    def signature(self, number: int, entries: Dictionary, room: int) -> Hole:
        """A signature dictionary under `number` with a place for a signature of `room` bytes (ISO 32000-1, 12.8.1).

        What the signature covers is everything but that place; the numbers that say so are set by `finish`.
        """
        self._begin(number)
        self._write(entries.unparse().rstrip()[:-2] + b" /ByteRange ")
        self._range_at = self._at
        self._write(b" " * _RANGE_BYTES + b" /Contents <")
        self._hole = Hole(self._at, self._at + 2 * room)
        self._write(b"0" * (2 * room) + b"> >>\nendobj\n")
        return self._hole

    def finish(self, root: Object, info: Object | None, name: bytes) -> None:
        """Cross-reference table and trailer; `name` is the file's id, 16 bytes, or empty for a file without one."""
        start, size, id_ = self._at, max(self._offsets) + 1, name.hex().encode()
        rows = [b"0000000000 65535 f \n"]
        for number in range(1, size):
            offset = self._offsets.get(number)
            rows.append(b"0000000000 00000 f \n" if offset is None else b"%010d 00000 n \n" % offset)
        self._write(b"xref\n0 %d\n" % size + b"".join(rows))
        about = b"" if info is None else b" /Info %d 0 R" % info.objgen[0]
        ids = b" /ID [ <%s> <%s> ]" % (id_, id_) if name else b""
        self._write(b"trailer\n<< /Size %d /Root %d 0 R%s%s >>\n" % (size, root.objgen[0], about, ids))
        self._write(b"startxref\n%d\n%%%%EOF\n" % start)
        if self._hole:
            after = self._hole.end + 1
            covered = b"[0 %d %d %d]" % (self._hole.begin - 1, after, self._at - after)
            self._file.seek(self._range_at)
            self._file.write(covered.ljust(_RANGE_BYTES))

    def _object(self, number: int, thing: Object, renumbered: Callable[[re.Match[bytes]], bytes]) -> None:
        if isinstance(thing, Stream):
            data, entries = _packed(thing)
            self._stream(number, _REFERENCE.sub(renumbered, entries.unparse(resolved=True)), data)
        else:
            self._begin(number)
            self._write(_REFERENCE.sub(renumbered, _text(thing)) + b"\nendobj\n")

    def _stream(self, number: int, text: bytes, data: bytes) -> None:
        self._begin(number)
        self._write(b"%s /Length %d >>\nstream\n" % (text.rstrip()[:-2], len(data)))
        self._write(data)
        self._write(b"\nendstream\nendobj\n")

    def _begin(self, number: int) -> None:
        self._offsets[number] = self._at
        self._write(b"%d 0 obj\n" % number)

    def _write(self, data: bytes) -> None:
        self._file.write(data)
        self._at += len(data)


def _text(thing: object) -> bytes:
    """An object in PDF's own writing; the library gives numbers and the like as plain Python values."""
    if isinstance(thing, Object):
        return thing.unparse(resolved=True)
    return Array([thing]).unparse().strip(b"[ ]")


def _packed(stream: Stream) -> tuple[bytes, Dictionary]:
    """The coded bytes of a stream, deflated when they were plain, and its entries without the length.

    Metadata stay plain, so that programs that know nothing of PDF find them (ISO 19005-1, 6.7.2).
    """
    data = stream.read_raw_bytes()
    entries = Dictionary({key: value for key, value in stream.items() if key != "/Length"})
    if "/Filter" not in entries and entries.get("/Type") != Name.Metadata:
        data = zlib.compress(data)
        entries.Filter = Name.FlateDecode
    return data, entries
