"""200 numbers planted on 100 pages and around them, and other people's tools that look for them in the copies.

Common practice, no source: what was blacked out must not be found by copying text, in metadata, in attachments, in
earlier revisions or in any decoded stream.
"""

import io
import re
import shutil
import subprocess
import zlib
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

import pikepdf
import pypdf
import pypdfium2 as pdfium
import pytest
from pikepdf import Array, Dictionary, Name, String
from PIL import Image, ImageDraw, ImageFont, PngImagePlugin
from reportlab.pdfgen.canvas import Canvas

from quietus.bundle.redaction import Reread, Wanted, redacted_copies
from quietus.model.errors import Refused
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Box, PrivateSort, PrivateSpot, Reading
from quietus.reading.pool import ReadingPool
from tests.bundle.make import JPEG, PDF, PNG, TIFF

pytestmark = pytest.mark.outside

WIDE, HIGH = 612.0, 792.0
AREAS = (200, 400)
"""Points from the left and from the top at which each page's two numbers stand."""


@dataclass(frozen=True)
class Planted:
    """A file with numbers on its pages, and the same numbers wherever else a file can carry them."""

    data: bytes
    media_type: str
    numbers: tuple[tuple[str, str], ...]

    @property
    def spots(self) -> tuple[PrivateSpot, ...]:
        return tuple(
            PrivateSpot(page, box, PrivateSort.SSN)
            for page in range(1, len(self.numbers) + 1)
            for box in (area_box(200, 200), area_box(200, 400))
        )


def area_box(left: float, top: float) -> Box:
    return Box((left - 4) / WIDE, (top - 16) / HIGH, (left + 130) / WIDE, (top + 8) / HIGH)


def number(index: int) -> str:
    """A number that nobody has: area 9xx with the middle group 00 is never given."""
    return f"9{index:02d}-00-{4000 + index:04d}" if index < 100 else f"9{index - 100:02d}-00-{7000 + index:04d}"


def pairs(first: int, pages: int) -> tuple[tuple[str, str], ...]:
    return tuple((number(2 * page), number(2 * page + 1)) for page in range(first, first + pages))


def born_digital(first: int, pages: int) -> Planted:
    """A PDF with text, metadata, XMP, notes, an attachment, and an earlier revision that still shows everything."""
    numbers, buffer = pairs(first, pages), io.BytesIO()
    canvas = Canvas(buffer, pagesize=(WIDE, HIGH), invariant=True)
    for both in numbers:
        canvas.drawString(72, HIGH - 100, "Harmless words that stay")
        for text, top in zip(both, AREAS, strict=True):
            canvas.drawString(200, HIGH - top, text)
        canvas.showPage()
    canvas.save()
    pdf = pikepdf.open(io.BytesIO(buffer.getvalue()))
    words = " ".join(text for both in numbers for text in both)
    pdf.docinfo.Subject = String(words)
    with pdf.open_metadata() as metadata:
        metadata["dc:description"] = words
    pdf.attachments["members.txt"] = words.encode()
    pdf.Root.PieceInfo = Dictionary(X=Dictionary(Private=String(words)))
    for page, both in zip(pdf.pages, numbers, strict=True):
        note = Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=Array([0, 0, 9, 9]), Contents=String(" ".join(both)))
        page.obj.Annots = Array([pdf.make_indirect(note)])
    saved = io.BytesIO()
    pdf.save(saved, compress_streams=False)
    later = pypdf.PdfWriter(io.BytesIO(saved.getvalue()), incremental=True)
    later.add_metadata({"/Title": "second revision"})
    revised = io.BytesIO()
    later.write(revised)
    return Planted(revised.getvalue(), PDF, numbers)


def scan(first: int, media_type: str, pages: int = 1) -> Planted:
    """A picture of a page, its numbers once more in camera data, comments and descriptions."""
    numbers = pairs(first, pages)
    words = " ".join(text for both in numbers for text in both)
    sheets, buffer, font = [], io.BytesIO(), ImageFont.load_default(18)
    for both in numbers:
        sheet = Image.new("L", (850, 1100), 244)
        draw = ImageDraw.Draw(sheet)
        draw.text((100, 130), "Harmless words that stay", fill=20, font=font)
        for text, top in zip(both, AREAS, strict=True):
            draw.text((200 / 0.72, (top - 12) / 0.72), text, fill=20, font=font)
        sheets.append(sheet)
    if media_type == TIFF:
        more = {"save_all": True, "append_images": sheets[1:], "compression": "tiff_lzw", "description": words}
        sheets[0].save(buffer, "TIFF", dpi=(100, 100), **more)
    elif media_type == PNG:
        said = PngImagePlugin.PngInfo()
        said.add_text("Comment", words)
        sheets[0].save(buffer, "PNG", dpi=(100, 100), pnginfo=said)
    else:
        exif = Image.Exif()
        exif[270] = words
        sheets[0].save(buffer, "JPEG", dpi=(100, 100), exif=exif, comment=words.encode(), quality=90)
    return Planted(buffer.getvalue(), media_type, numbers)


def hundred_pages() -> list[Planted]:
    digital = [born_digital(first, 5) for first in range(0, 50, 5)]
    return [
        *digital,
        scan(50, TIFF, 30),
        *(scan(n, JPEG) for n in range(80, 90)),
        *(scan(n, PNG) for n in range(90, 100)),
    ]


Moved = Callable[[PrivateSpot], PrivateSpot]


def as_found(spot: PrivateSpot) -> PrivateSpot:
    return spot


def beside(spot: PrivateSpot) -> PrivateSpot:
    """The box a little more than its own width to the left."""
    box, wide = spot.box, spot.box.right - spot.box.left
    return replace(spot, box=Box(box.left - 1.1 * wide, box.top, box.right - 1.1 * wide, box.bottom))


def underlined(spot: PrivateSpot) -> PrivateSpot:
    """The box no higher than a line under the number."""
    return replace(spot, box=Box(spot.box.left, spot.box.bottom - 0.004, spot.box.right, spot.box.bottom))


def half(spot: PrivateSpot) -> PrivateSpot:
    """The box over one of the two numbers of the page, and far from the other."""
    return spot if spot.box.top < 0.4 else replace(spot, box=Box(0.1, 0.9, 0.2, 0.92))


def wanted_of(files: Sequence[Planted], folder: Path, moved: Moved | None = as_found) -> list[Wanted]:
    wanted = []
    for index, file in enumerate(files):
        original = folder / f"original-{index}"
        original.write_bytes(file.data)
        wanted.append(
            Wanted(
                paper=f"{index:032d}",
                letter="A",
                original=original,
                media_type=file.media_type,
                pages=len(file.numbers),
                sheets=tuple(range(1, len(file.numbers) + 1)),
                spots=tuple(map(moved, file.spots)) if moved else (),
                hide=frozenset({"ssn"}),
                target=folder / f"copy-{index}.pdf",
            )
        )
    (folder / "private").mkdir()
    return wanted


def checked(wanted: Sequence[Wanted], folder: Path, reread: Reread) -> list[Path]:
    with ThreadPoolExecutor(2) as beside:
        for check in redacted_copies(wanted, folder / "private", DEFAULT_LIMITS, reread, beside):
            check.result()
    return [item.target for item in wanted]


@pytest.fixture(scope="module")
def recognised() -> Iterator[Reread]:
    """Reads a copy again with real recognition."""
    with ReadingPool(1, DEFAULT_LIMITS) as pool:
        yield lambda data: pool.read_again(data).result()


@pytest.fixture(scope="module")
def files() -> list[Planted]:
    return hundred_pages()


@pytest.fixture(scope="module")
def copies(files: list[Planted], tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("copies")
    return checked(wanted_of(files, folder), folder, lambda _: Reading(()))


def found_in(data: bytes, media_type: str = PDF) -> set[str]:
    """Every planted number that four ways of looking find."""
    text = b"\n".join(_looked_through(data, media_type))
    text += text.replace(b"\0", b"")  # UTF-16 as PDF strings may be
    return {match.decode() for match in re.findall(rb"9\d\d-00-\d{4}", text)}


def _looked_through(data: bytes, media_type: str) -> Iterator[bytes]:
    yield data
    yield from _inflated(data)
    if media_type != PDF:
        return
    pdf = pdfium.PdfDocument(data)
    yield from (page.get_textpage().get_text_bounded().encode() for page in pdf)
    reader = pypdf.PdfReader(io.BytesIO(data))
    yield from (page.extract_text().encode() for page in reader.pages)
    yield str(reader.metadata).encode()
    yield from (content for contents in reader.attachments.values() for content in contents)
    with pikepdf.open(io.BytesIO(data)) as opened:
        for thing in opened.objects:
            yield thing.unparse()
            if isinstance(thing, pikepdf.Stream) and str(thing.get("/Filter", "")) in {"", "/FlateDecode"}:
                yield thing.read_bytes()


def _inflated(data: bytes) -> Iterator[bytes]:
    """Whatever can be inflated anywhere in the bytes, whether the file refers to it or not."""
    for begin in re.finditer(rb"\x78[\x01\x5e\x9c\xda]", data):
        try:
            yield zlib.decompressobj().decompress(data[begin.start() :], 1 << 20)
        except zlib.error:
            continue


def test_the_originals_hold_200_numbers_and_the_tools_find_them(files: list[Planted]) -> None:
    planted = {text for file in files for both in file.numbers for text in both}
    assert (len(planted), sum(len(file.numbers) for file in files)) == (200, 100)
    assert set().union(*(found_in(file.data, file.media_type) for file in files)) == planted


def test_the_copies_hold_none_of_them(copies: list[Path]) -> None:
    assert sum(len(pdfium.PdfDocument(copy)) for copy in copies) == 100
    assert set().union(*(found_in(copy.read_bytes()) for copy in copies)) == set()


def test_where_a_number_stood_every_dot_is_black_and_the_rest_is_still_there(
    files: list[Planted], copies: list[Path]
) -> None:
    for file, copy in zip(files, copies, strict=True):
        page = pdfium.PdfDocument(copy)[len(file.numbers) - 1]
        drawn = page.render(scale=1).to_pil().convert("L")
        for left, top in ((200, 200), (200, 400)):
            assert drawn.crop((left - 2, top - 14, left + 126, top + 6)).getextrema() == (0, 0)
        assert drawn.crop((70, 80, 260, 130)).getextrema()[0] < 120
        assert drawn.size[1] > HIGH  # the note stands below the page and covers nothing


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="no qpdf on this machine")
def test_qpdf_has_nothing_to_complain_about(copies: list[Path]) -> None:
    for copy in copies[::6]:
        subprocess.run(["qpdf", "--check", str(copy)], check=True, capture_output=True)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no pdftotext on this machine")
def test_pdftotext_finds_no_letter(copies: list[Path]) -> None:
    for copy in copies[::6]:
        told = subprocess.run(["pdftotext", str(copy), "-"], check=True, capture_output=True).stdout
        assert told.strip() == b""


@pytest.mark.ocr
def test_recognition_finds_none_either(recognised: Reread, tmp_path: Path) -> None:
    wanted = wanted_of([born_digital(0, 2), scan(80, JPEG)], tmp_path)
    assert len(checked(wanted, tmp_path, recognised)) == 2


@pytest.mark.ocr
@pytest.mark.parametrize("moved", [None, beside, underlined, half], ids=["no box", "beside", "underlined", "half"])
@pytest.mark.parametrize("file", [born_digital(0, 1), scan(80, JPEG)], ids=["digital", "scan"])
def test_a_number_that_was_not_covered_refuses_the_copy(
    file: Planted, moved: Moved | None, recognised: Reread, tmp_path: Path
) -> None:
    with pytest.raises(Refused, match="recognition still"):
        checked(wanted_of([file], tmp_path, moved), tmp_path, recognised)
