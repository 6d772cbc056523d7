"""Makes the pictures of a redacted paper. Runs in the child process: originals are hostile.

Every page is drawn again as pixels, and only pixels are kept: black boxes are painted before anything is coded, so
there is nothing under them. Of the original file no text, object, metadata or earlier revision comes along.
"""

import io
import math
from collections.abc import Sequence
from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
from pikepdf import Array, Dictionary, Name, Object
from PIL import Image, ImageChops, ImageDraw, ImageFont, ImageOps

from quietus.bundle.geometry import LETTER
from quietus.bundle.job import Rectangle, Redacted, Redaction
from quietus.bundle.pictures import Coded, PictureFile, packed
from quietus.bundle.wording import count
from quietus.bundle.writer import PdfWriter
from quietus.model.errors import Unreadable
from quietus.model.limits import Limits
from quietus.model.reading import Box

DPI = 200
"""Dots an inch of a page drawn again: fine print stays legible, and a page takes a few hundred kilobytes."""

GRID = 8
"""Boxes are widened to blocks of the JPEG coding (ITU-T T.81, A.1), so that no block holds a box and something else:
a box is then black to the last dot, and nothing beside it is blurred by it."""

MARGIN = 0.002
"""Of the page's width and height, added on each side of a box: recognition draws boxes tight."""

BLACK, WHITE = 0, 255
NOTE_POINTS = 15.0
_SCREEN = 72.0
_QUALITY = 82
_COLOURED = 24  # levels between channels from which on a dot is coloured to the eye
_NOTE_LETTERS = 8.5  # points
_LEAST_LETTERS = 6.0  # dots: on a slip narrower than the words, they are cut at both sides
_OF_THE_WIDTH = 0.96


class Pages:
    """A file as pictures of its pages, upright as any viewer shows them.

    Args:
        path: the file.
        media_type: what it is.
        limits: ceilings on pages and pixels.

    Raises:
        Unreadable: it needs a password, or is over a limit.
    """

    def __init__(self, path: Path, media_type: str, limits: Limits) -> None:
        self._limits = limits
        self._pdf = _opened(path) if media_type == "application/pdf" else None
        self._pictures = None if self._pdf else PictureFile(path, media_type, limits)

    def __len__(self) -> int:
        return len(self._pdf) if self._pdf else self._pictures.pages if self._pictures else 0

    def picture(self, page: int) -> tuple[Image.Image, float, float]:
        """Page `page` (1-based) as dots, with its width and height in points."""
        if self._pdf:
            return _drawn(self._pdf[page - 1], self._limits)
        if self._pictures is None:
            raise ValueError(page)
        leaf, image = self._pictures.leaf(page), ImageOps.exif_transpose(self._pictures.image(page))
        return _fine_enough(image, leaf.wide), leaf.wide, leaf.high


def redact(work: Redaction, limits: Limits, tally: Path) -> Redacted:
    """Write the redacted copy of one paper as a PDF of pictures.

    Args:
        work: what to make.
        limits: ceilings on pages and pixels.
        tally: a file that grows by one byte for each page made.

    Raises:
        Unreadable: the paper's file can't be drawn.
    """
    pages = Pages(Path(work.path), work.media_type, limits)
    if len(pages) != work.pages:
        raise Unreadable(
            "page-count", "It has another number of pages than when it was received.", "Run `quietus check`."
        )
    made = []
    with Path(work.target).open("xb") as file, tally.open("ab", buffering=0) as counted:
        skeleton, places = _skeleton(len(work.sheets))
        writer = PdfWriter(file, len(skeleton.objects) + 1)
        for (number, boxes), page, place in zip(work.sheets, skeleton.pages, places, strict=True):
            made.append(_redact_page(pages.picture(number), [Box(*box) for box in boxes], page.obj, writer, place))
            counted.write(b".")
        writer.whole(skeleton, set(places))
        writer.finish(skeleton.trailer.Root, None, b"")
    return Redacted(tuple(made))


def _redact_page(
    drawn: tuple[Image.Image, float, float], boxes: Sequence[Box], page: Object, writer: PdfWriter, place: int
) -> tuple[Rectangle, ...]:
    image, wide, high = drawn
    blacked, rectangles = black_out(image, boxes)
    noted, added = with_note(blacked, wide, len(boxes))
    coded = coded_page(noted)
    writer.image(place, coded.data, coded.entries)
    page.MediaBox = Array([0, 0, round(wide, 3), round(high + added, 3)])
    page.Contents.write(f"q {wide:.3f} 0 0 {high + added:.3f} 0 0 cm /Page Do Q".encode())
    return rectangles


def black_out(image: Image.Image, boxes: Sequence[Box]) -> tuple[Image.Image, tuple[Rectangle, ...]]:
    """The picture with every box painted black, and the rectangles painted: left, top, right, bottom in dots."""
    if image.mode not in {"1", "L", "RGB"}:
        image = image.convert("RGB")
    image = image.copy()
    image.info = {}  # the library would write the comment of the file it came from into the new one
    draw = ImageDraw.Draw(image)
    rectangles = tuple(_on_grid(box, image.size) for box in boxes)
    for left, top, right, bottom in rectangles:
        draw.rectangle((left, top, right - 1, bottom - 1), fill=BLACK if image.mode != "RGB" else (0, 0, 0))
    return image, rectangles


def _on_grid(box: Box, size: tuple[int, int]) -> Rectangle:
    wide, high = size
    return (
        max(0, math.floor((box.left - MARGIN) * wide / GRID) * GRID),
        max(0, math.floor((box.top - MARGIN) * high / GRID) * GRID),
        min(wide, math.ceil((box.right + MARGIN) * wide / GRID) * GRID),
        min(high, math.ceil((box.bottom + MARGIN) * high / GRID) * GRID),
    )


def with_note(image: Image.Image, wide: float, boxes: int) -> tuple[Image.Image, float]:
    """The picture with a strip below it that says what was done, and the height of the strip in points.

    The strip is added and covers nothing. A page without boxes gets none.
    """
    if not boxes:
        return image, 0.0
    scale = image.width / wide
    begin = math.ceil(image.height / GRID) * GRID
    strip = math.ceil(NOTE_POINTS * scale / GRID) * GRID
    grown = Image.new(image.mode, (image.width, begin + strip), WHITE if image.mode != "RGB" else (255,) * 3)
    last = image.crop((0, image.height - 1, image.width, image.height))
    for row in range(image.height, begin):  # so that a box at the lower edge shares no block with the strip
        grown.paste(last, (0, row))
    grown.paste(image, (0, 0))
    draw = ImageDraw.Draw(grown)
    ink = BLACK if image.mode != "RGB" else (0, 0, 0)
    draw.line((0, begin + 1, image.width, begin + 1), fill=ink, width=max(1, round(scale / 2)))
    words = f"Redacted by the preparer: {count(boxes, 'place')} on this page blacked out. This line was added."
    letters = _NOTE_LETTERS * scale
    fits = letters * _OF_THE_WIDTH * image.width / ImageFont.load_default(letters).getlength(words)
    font = ImageFont.load_default(max(_LEAST_LETTERS, min(letters, fits)))
    draw.text((image.width / 2, begin + strip / 2), words, fill=ink, font=font, anchor="mm")
    return grown, (grown.height - image.height) / scale


def coded_page(image: Image.Image) -> Coded:
    """A picture coded: black and white as a fax, without loss; anything else as JPEG, in gray when it has no colour."""
    if image.mode == "1":
        return packed(image)
    if image.mode == "RGB" and not _has_colour(image):
        image = image.convert("L")
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=_QUALITY, subsampling=0, optimize=True)
    space = Name.DeviceGray if image.mode == "L" else Name.DeviceRGB
    return Coded(
        buffer.getvalue(),
        {
            "Width": image.width,
            "Height": image.height,
            "ColorSpace": space,
            "BitsPerComponent": 8,
            "Filter": Name.DCTDecode,
        },
    )


def _has_colour(image: Image.Image) -> bool:
    small = image.reduce(4)
    red, green, blue = small.split()
    apart = ImageChops.lighter(ImageChops.difference(red, green), ImageChops.difference(green, blue))
    return apart.point([0] * _COLOURED + [WHITE] * (256 - _COLOURED)).getbbox() is not None


def _opened(path: Path) -> pdfium.PdfDocument:
    try:
        pdf = pdfium.PdfDocument(path)
    except pdfium.PdfiumError:
        raise Unreadable(
            "damaged", "Its file can't be drawn, or needs a password.", "Print it to a new PDF and file that."
        ) from None
    pdf.init_forms()  # so that what was filled in is drawn, and blacked out as well; there is no script engine in it
    return pdf


def _drawn(page: pdfium.PdfPage, limits: Limits) -> tuple[Image.Image, float, float]:
    wide, high = page.get_size()
    scale = DPI / _SCREEN
    if wide * scale * high * scale > limits.page_pixels:
        raise Unreadable("too-many-pixels", "A page is larger than allowed.", "Print it to letter size.")
    picture: Image.Image = page.render(scale=scale).to_pil()
    return picture.convert("RGB"), wide, high


def _fine_enough(image: Image.Image, wide: float) -> Image.Image:
    """The picture with no more than `DPI` dots an inch; black and white stays as it is, it is small already."""
    dots = max(1, round(wide / _SCREEN * DPI))
    if image.mode == "1" or image.width <= dots:
        return image
    high = max(1, round(image.height * dots / image.width))
    gray = image if image.mode in {"L", "RGB"} else image.convert("RGB")
    return gray.resize((dots, high), Image.Resampling.LANCZOS)


def _skeleton(pages: int) -> tuple[pikepdf.Pdf, list[int]]:
    """A PDF of empty pages, and the numbers of the pictures to come."""
    pdf = pikepdf.new()
    places = []
    for _ in range(pages):
        picture = pdf.make_indirect(Dictionary())
        entries = {"Type": Name.Page, "MediaBox": Array([0, 0, *LETTER]), "Contents": pdf.make_stream(b" ")}
        page = Dictionary({f"/{key}": value for key, value in entries.items()})
        page.Resources = Dictionary(XObject=Dictionary(Page=picture))
        pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))
        places.append(picture.objgen[0])
    return pdf, places
