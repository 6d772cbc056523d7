"""Scans as PDF images, pixel for pixel: nothing is recompressed with loss.

A JPEG keeps its coded data, a PNG its deflated rows, a one-strip fax its Group 4 code. Everything else is decoded and
packed again without loss. What a picture file carries beside its pixels (camera data, position, comments, thumbnails,
whatever is stuck on behind the end) does not come along.
"""

import io
import re
import struct
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pikepdf
from pikepdf import Array, Dictionary, Name, Object
from PIL import Image, ImageFile, ImageOps, TiffImagePlugin

from quietus.bundle.geometry import LETTER, Leaf, Matrix, quarter_turn
from quietus.bundle.writer import PdfWriter
from quietus.model.errors import Unreadable
from quietus.model.limits import Limits

_FORMATS = {"image/tiff": "TIFF", "image/jpeg": "JPEG", "image/png": "PNG"}
_COMPRESSION, _PHOTOMETRIC, _OFFSETS, _FILL_ORDER, _ORIENTATION, _COUNTS = 259, 262, 273, 266, 274, 279  # TIFF 6.0 tags
_GROUP_4, _BLACK_IS_ZERO = 4, 1
_SPACES = {"L": Name.DeviceGray, "RGB": Name.DeviceRGB, "CMYK": Name.DeviceCMYK}
_PNG_COLORS = {0: (1, Name.DeviceGray), 2: (3, Name.DeviceRGB), 3: (1, None)}  # colour type: channels, colour space
_BESIDE_PIXELS = {*range(0xE1, 0xF0), 0xFE} - {0xEE}  # APP1 to APP15 and comments; APP14 says how colours are meant
_PLAIN_DPI = (30.0, 2400.0)  # outside these a file's dpi is a slip, such as the 1 or 72 that cameras write
_SCREEN_DPI = 72.0

_TURNS: Final = {
    2: (0, True),
    3: (180, False),
    4: (180, True),
    5: (270, True),
    6: (90, False),
    7: (90, True),
    8: (270, False),
}
"""A picture's turn mark: degrees clockwise, and whether it is mirrored left to right before that (Exif 2.3, 4.6.4)."""

_FIRST_SIDEWAYS = 5
_PNG_LEVEL = 3  # on scans a third faster than the usual 6, and within a tenth of its size


@dataclass(frozen=True, slots=True)
class Coded:
    """Coded pixels and the entries of their image dictionary."""

    data: bytes
    entries: dict[str, Any]


class PictureFile:
    """A TIFF, JPEG or PNG file as leaves that can be placed.

    Args:
        path: the file.
        media_type: what it is; no other format is tried.
        limits: ceilings on pages and pixels.

    Raises:
        Unreadable: it is none of those, or over a limit.
    """

    remarks: tuple[str, ...] = ()

    def __init__(self, path: Path, media_type: str, limits: Limits) -> None:
        self._limits = limits
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        Image.MAX_IMAGE_PIXELS = limits.page_pixels
        self._path = path
        self._format = _FORMATS[media_type]
        # Not opened by name: then the library maps a plain TIFF into memory and turns it the wrong way.
        self._file = path.open("rb")
        self.pages = self._count()
        self._image = self._opened()

    def leaf(self, page: int) -> Leaf:
        """The size and place of page `page` (1-based)."""
        image = self._at(page)
        mark = self._turn_mark()
        turn, mirrored = _TURNS.get(mark, (0, False)) if self._format == "JPEG" else (0, False)
        wide, high = _natural(image.size, image.info.get("dpi"))
        if self._format == "PNG" and mark >= _FIRST_SIDEWAYS:
            wide, high = high, wide  # it is packed upright, see `packed`
        flip = Matrix(-1, 0, 0, 1, wide, 0) if mirrored else Matrix(1, 0, 0, 1, 0, 0)
        unit = Matrix(wide, 0, 0, high, 0, 0).then(flip).then(quarter_turn(turn, wide, high))
        if turn % 180:
            wide, high = high, wide
        return Leaf((0, 0, 1, 1), unit, wide, high)

    def draw(self, writer: PdfWriter, page: int, number: int) -> None:
        """Write page `page` as an image XObject under `number`; it draws itself on the unit square."""
        coded = self._coded(self._at(page))
        writer.image(number, coded.data, coded.entries)

    @property
    def plain(self) -> bool:
        """True for gray or red, green and blue dots, which PDF/A takes as they are; not for printing inks."""
        return self._image.mode != "CMYK"

    def image(self, page: int) -> Image.Image:
        """Page `page` (1-based) as dots, its turn mark not obeyed yet."""
        return self._at(page)

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()

    def _opened(self) -> Image.Image:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            self._file.seek(0)
            image = Image.open(self._file, formats=[self._format])
        self._check(image)
        return image

    def _check(self, image: Image.Image) -> None:
        wide, high = image.size
        if wide * high > self._limits.page_pixels:
            raise Unreadable("too-many-pixels", "A page has more pixels than allowed.", "Scan it at 300 dpi.")

    def _count(self) -> int:
        """Pages, walked with a ceiling: a TIFF's chain of pages may run in a circle."""
        if self._format != "TIFF":
            return 1
        image = self._opened()
        for pages in range(1, self._limits.pages + 1):
            try:
                image.seek(pages)
            except EOFError:
                return pages
        raise Unreadable("too-many-pages", "A file has more pages than allowed.", "Split it.")

    def _at(self, page: int) -> Image.Image:
        if self._image.tell() != page - 1:
            if page - 1 < self._image.tell():  # going back in an open TIFF can give another page's settings
                self._image = self._opened()
            self._image.seek(page - 1)
            self._check(self._image)
        return self._image

    def _turn_mark(self) -> int:
        """How the camera was held, 1 to 8; a TIFF's size is given upright already, and it is packed so."""
        if self._format == "TIFF" or (self._format == "PNG" and b"eXIf" not in self._path.read_bytes()):
            return 1  # asking a PNG decodes it whole
        mark = self._image.getexif().get(_ORIENTATION, 1)
        return mark if isinstance(mark, int) else 1

    def _coded(self, image: Image.Image) -> Coded:
        if self._format == "JPEG" and image.mode in _SPACES:
            return _jpeg(self._path.read_bytes(), image)
        if self._format == "PNG":
            return _png(self._path.read_bytes()) or packed(image)
        if isinstance(image, TiffImagePlugin.TiffImageFile):
            return _fax(self._path, image) or packed(image)
        return packed(image)


def _natural(size: tuple[int, int], dpi: tuple[float, float] | None) -> tuple[float, float]:
    """Width and height in points; without a believable dpi the long side is that of a letter page."""
    wide, high = size
    low, most = _PLAIN_DPI
    across, down = (float(number) for number in dpi or (0, 0))
    if low <= across <= most and low <= down <= most and across != _SCREEN_DPI:
        return wide * 72 / across, high * 72 / down
    scale = max(LETTER) / max(wide, high)
    return wide * scale, high * scale


def _sized(wide: int, high: int, entries: dict[str, Any]) -> dict[str, Any]:
    return {"Width": wide, "Height": high, **entries}


def _jpeg(data: bytes, image: Image.Image) -> Coded:
    entries: dict[str, Any] = {"ColorSpace": _SPACES[image.mode], "BitsPerComponent": 8, "Filter": Name.DCTDecode}
    if image.mode == "CMYK" and "adobe" in image.info:
        entries["Decode"] = Array([1, 0] * 4)  # Adobe's writers store the complement
    return Coded(b"".join(bare_jpeg(data)), _sized(*image.size, entries))


def bare_jpeg(data: bytes) -> Iterator[bytes]:
    """The parts of a JPEG that its pixels need: no camera data, comments or thumbnails, nothing behind the end.

    Raises:
        Unreadable: the markers do not add up.
    """
    yield data[:2]
    place = 2
    while (marker := data[place : place + 2]) != b"\xff\xd9":
        if len(marker) < 2 or marker[0] != 0xFF:
            raise Unreadable("damaged", "A JPEG is cut off or damaged.", "Scan the paper again.")
        if marker == b"\xff\xff":  # a fill byte
            place += 1
            continue
        end = place + 2 + int.from_bytes(data[place + 2 : place + 4])
        if marker[1] == 0xDA:  # start of scan: coded pixels up to the next marker that is not a restart
            found = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]").search(data, end)
            end = found.start() if found else len(data)
        if marker[1] not in _BESIDE_PIXELS:
            yield data[place:end]
        place = end
    yield b"\xff\xd9"


def _png(data: bytes) -> Coded | None:
    """The deflated rows of a PNG as they are, which PDF understands; None when it has what PDF does not."""
    chunks = list(_chunks(data))
    wide, high, depth, color, _, _, interlaced = struct.unpack(">IIBBBBB", chunks[0][1][:13])
    names = {name for name, _ in chunks}
    if color not in _PNG_COLORS or interlaced or names & {b"tRNS", b"eXIf", b"acTL"}:
        return None
    channels, plain = _PNG_COLORS[color]
    space: Object | None = plain
    if space is None:
        palette = next(body for name, body in chunks if name == b"PLTE")
        space = Array([Name.Indexed, Name.DeviceRGB, len(palette) // 3 - 1, pikepdf.String(palette)])
    rows = Dictionary(Predictor=15, Colors=channels, BitsPerComponent=depth, Columns=wide)
    entries = {"ColorSpace": space, "BitsPerComponent": depth, "Filter": Name.FlateDecode, "DecodeParms": rows}
    return Coded(b"".join(body for name, body in chunks if name == b"IDAT"), _sized(wide, high, entries))


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    place = 8
    while place + 8 <= len(data):
        length, name = struct.unpack_from(">I4s", data, place)
        yield name, data[place + 8 : place + 8 + length]
        place += 12 + length
        if name == b"IEND":
            return


def _fax(path: Path, image: TiffImagePlugin.TiffImageFile) -> Coded | None:
    """The Group 4 code of a one-strip TIFF page as it is; None for anything else."""
    tags = image.tag_v2
    offsets, counts = tags.get(_OFFSETS, ()), tags.get(_COUNTS, ())
    plain = tags.get(_FILL_ORDER, 1) == 1 and tags.get(_ORIENTATION, 1) == 1
    if tags.get(_COMPRESSION) != _GROUP_4 or len(offsets) != 1 or len(counts) != 1 or not plain:
        return None
    with path.open("rb") as file:
        file.seek(offsets[0])
        data = file.read(counts[0])
    return _group_4(data, *image.size, inverted=tags.get(_PHOTOMETRIC) == _BLACK_IS_ZERO)


def _group_4(data: bytes, wide: int, high: int, *, inverted: bool) -> Coded:
    rows = Dictionary(K=-1, Columns=wide, Rows=high, BlackIs1=inverted)
    entries = {
        "ColorSpace": Name.DeviceGray,
        "BitsPerComponent": 1,
        "Filter": Name.CCITTFaxDecode,
        "DecodeParms": rows,
    }
    return Coded(data, _sized(wide, high, entries))


def packed(image: Image.Image) -> Coded:
    """Any other picture, decoded, turned by its own mark, laid on white paper, and packed without loss."""
    upright = ImageOps.exif_transpose(image)
    buffer = io.BytesIO()
    if upright.mode == "1":
        strip = upright.width * upright.height  # bytes: far more than one strip needs, so that there is one
        upright.save(buffer, "TIFF", compression="group4", strip_size=strip)
        packed = Image.open(buffer, formats=["TIFF"])
        tags = packed.tag_v2  # type: ignore[attr-defined]
        data = buffer.getvalue()[tags[_OFFSETS][0] :][: tags[_COUNTS][0]]
        return _group_4(data, *upright.size, inverted=tags.get(_PHOTOMETRIC) == _BLACK_IS_ZERO)
    _flat(upright).save(buffer, "PNG", compress_level=_PNG_LEVEL)
    coded = _png(buffer.getvalue())
    if coded is None:
        raise Unreadable("damaged", "A picture can't be packed.", "Scan the paper again.")
    return coded


def _flat(image: Image.Image) -> Image.Image:
    """Gray or colour without transparency."""
    if image.mode in {"L", "RGB", "I;16"}:
        return image
    if "A" in image.mode or "transparency" in image.info:
        sheet = Image.new("RGBA", image.size, "white")
        sheet.alpha_composite(image.convert("RGBA"))
        image = sheet
    return image.convert("RGB")
