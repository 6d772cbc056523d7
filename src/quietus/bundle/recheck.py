"""Looks at a redacted copy as someone would who wants what was taken out. Runs in a fresh child process.

It never saw the original. It says what is wrong, in words without client data; nothing when all is well.
"""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import pikepdf
import pypdf
import pypdfium2 as pdfium
from pikepdf import Dictionary, Name, Object, Stream

from quietus.bundle.job import Rectangle

_CATALOG = {"/Type", "/Pages"}
_PAGE = {"/Type", "/Parent", "/MediaBox", "/Resources", "/Contents"}
_IMAGE = {*("/Type", "/Subtype", "/Width", "/Height", "/ColorSpace", "/BitsPerComponent", "/Filter", "/DecodeParms")}
_IMAGE |= {"/Length"}
_TRAILER = {"/Size", "/Root"}
_DRAWS = re.compile(rb"q \d+\.\d{3} 0 0 \d+\.\d{3} 0 0 cm /Page Do Q")
_BESIDE_PIXELS = {0xFE, *range(0xE1, 0xF0)} - {0xEE}


def recheck(path: Path, painted: Sequence[Sequence[Rectangle]]) -> list[str]:
    """What is wrong with a redacted copy.

    Args:
        path: the copy.
        painted: for each of its pages the rectangles that have to be black, in dots of the page's picture.
    """
    return list(_bytes(path.read_bytes())) or [*_structure(path, painted), *_text(path), *_second_opinion(path)]


def _bytes(data: bytes) -> Iterator[str]:
    """One revision, nothing before it and nothing behind it (ISO 32000-1, 7.5.6)."""
    if data.count(b"%%EOF") != 1 or not data.endswith(b"%%EOF\n") or data.count(b"startxref") != 1:
        yield "it holds more than one revision"
    if not data.startswith(b"%PDF-1."):
        yield "something stands before its beginning"
    if b"/Prev" in data or b"<?xpacket" in data:
        yield "it refers to an earlier revision or carries metadata"


def _structure(path: Path, painted: Sequence[Sequence[Rectangle]]) -> Iterator[str]:
    """Nothing but pages, each with one picture: whatever is not on the list is a fault."""
    with pikepdf.open(path, attempt_recovery=False) as pdf:
        if not _only(pdf.Root, _CATALOG) or not set(pdf.trailer.keys()) <= _TRAILER:
            yield "its catalog holds more than pages"
        if len(pdf.pages) != len(painted):
            yield "it has another number of pages"
            return
        used = {pdf.Root.objgen, pdf.Root.Pages.objgen}
        for page, rectangles in zip(pdf.pages, painted, strict=True):
            yield from _page(page.obj, rectangles)
            used |= {page.obj.objgen, page.obj.Contents.objgen, page.obj.Resources.XObject.Page.objgen}
        if len(list(pdf.objects)) != len(used):
            yield "it holds objects that no page shows"


def _page(page: Object, rectangles: Sequence[Rectangle]) -> Iterator[str]:
    plain = _only(page, _PAGE) and _only(page.Resources, {"/XObject"}) and _only(page.Resources.XObject, {"/Page"})
    if not plain:
        yield "a page holds more than a picture"
        return
    contents, image = page.Contents, page.Resources.XObject.Page
    if not isinstance(contents, Stream) or not _DRAWS.fullmatch(contents.read_bytes().strip()):
        yield "a page draws more than a picture"
    if not isinstance(image, Stream) or not _only(image, _IMAGE) or image.Subtype != Name.Image:
        yield "a picture carries more than dots"
        return
    if image.Filter == Name.DCTDecode and set(_markers(image.read_raw_bytes())) & _BESIDE_PIXELS:
        yield "a picture carries data beside its dots"
    yield from _black(image, rectangles)


def _black(image: Stream, rectangles: Sequence[Rectangle]) -> Iterator[str]:
    """Every box black to the last dot, in the dots as they are stored."""
    dots = pikepdf.PdfImage(image).as_pil_image().convert("RGB")
    for rectangle in rectangles:
        if dots.crop(rectangle).getbbox() is not None:  # the bounds of what is not black
            yield "a box is not black all over"


def _markers(data: bytes) -> Iterator[int]:
    """The markers of a JPEG up to its coded dots, and 0xFE, a comment, for anything behind its end."""
    place = 2
    while place + 4 <= len(data) and data[place] == 0xFF:
        yield data[place + 1]
        if data[place + 1] == 0xDA:
            break
        place += 2 + int.from_bytes(data[place + 2 : place + 4])
    if not data.endswith(b"\xff\xd9") or data.count(b"\xff\xd9", place) != 1:
        yield 0xFE


def _only(thing: Object, keys: set[str]) -> bool:
    return isinstance(thing, (Dictionary, Stream)) and set(thing.keys()) <= keys


def _text(path: Path) -> Iterator[str]:
    """No letters that can be marked and copied."""
    pdf = pdfium.PdfDocument(path)
    if any(page.get_textpage().get_text_bounded().strip() for page in pdf):
        yield "it holds text that can be copied"
    pdf.close()


def _second_opinion(path: Path) -> Iterator[str]:
    """The same questions to another library."""
    reader = pypdf.PdfReader(path, strict=True)
    if reader.metadata or reader.attachments or reader.xmp_metadata or reader.outline:
        yield "it carries metadata, attachments or bookmarks"
    if any("/Annots" in page or page.extract_text().strip() for page in reader.pages):
        yield "it carries annotations or text"
