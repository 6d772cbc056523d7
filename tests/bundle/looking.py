"""Ways to look into a finished proof with other eyes than those that made it."""

from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
from pikepdf import Array, Dictionary, Name, Stream, String

_PICTURES = ("/DCTDecode", "/CCITTFaxDecode")


def proof(folder: Path) -> Path:
    """The PDF of a bundle."""
    return folder / "data" / "proof-of-closure.pdf"


def pages_of(path: Path) -> list[str]:
    """The text of each page."""
    pdf = pdfium.PdfDocument(path)
    return [page.get_textpage().get_text_bounded().replace("\r\n", "\n") for page in pdf]


def last_page(path: Path) -> pdfium.PdfPage:
    """The last page: that of the paper, in a proof of one paper of one page."""
    pdf = pdfium.PdfDocument(path)
    return pdf[len(pdf) - 1]


def words(path: Path) -> str:
    """The text of all pages on one line."""
    return " ".join(" ".join(pages_of(path)).split())


def everything(path: Path) -> Iterator[tuple[str, bytes]]:
    """Every key and name of a PDF, and every string and decoded stream."""
    with pikepdf.open(path) as pdf:
        for thing in pdf.objects:
            yield from _inside(thing)


def _inside(thing: object) -> Iterator[tuple[str, bytes]]:
    if isinstance(thing, Stream) and str(thing.get("/Filter", "")) not in _PICTURES:
        yield "", thing.read_bytes()
    if isinstance(thing, (Dictionary, Stream)):
        for key, item in thing.items():
            yield key, b""
            yield from _direct(item)
    elif isinstance(thing, Array):
        for item in thing:
            yield from _direct(item)
    elif isinstance(thing, Name):
        yield str(thing), b""
    elif isinstance(thing, String):
        yield "", bytes(thing)


def _direct(item: object) -> Iterator[tuple[str, bytes]]:
    if not getattr(item, "is_indirect", False):
        yield from _inside(item)
