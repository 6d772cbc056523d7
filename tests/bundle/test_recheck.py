"""The check of a redacted copy finds whatever was left in it, and black boxes are black to the last dot."""

import io
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name, Pdf, Stream, String
from PIL import Image

from quietus.bundle.blackout import black_out, coded_page, redact, with_note
from quietus.bundle.job import Rectangle, Redaction
from quietus.bundle.recheck import recheck
from quietus.bundle.writer import PdfWriter
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Box
from tests.bundle.make import JPEG, PDF, fax, scan, typed_pdf

BOXES = ((0.1, 0.1, 0.4, 0.2),)


def copied(folder: Path, data: bytes, media_type: str) -> tuple[Path, tuple[tuple[Rectangle, ...], ...]]:
    (folder / "original").write_bytes(data)
    work = Redaction("p", "A", str(folder / "original"), media_type, 1, ((1, BOXES),), str(folder / "copy.pdf"))
    return folder / "copy.pdf", redact(work, DEFAULT_LIMITS, folder / "tally").pages


@pytest.mark.parametrize(
    ("data", "media_type"), [(typed_pdf("words"), PDF), (scan(JPEG, "RGB"), JPEG), (fax(), "image/tiff")]
)
def test_a_good_copy_passes(data: bytes, media_type: str, tmp_path: Path) -> None:
    path, painted = copied(tmp_path, data, media_type)
    assert recheck(path, painted) == []


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_boxes_lie_on_the_page_as_it_is_shown(turn: int, tmp_path: Path) -> None:
    """ISO 32000-1, 7.7.3.3: Rotate turns the page clockwise when it is shown."""
    with pikepdf.open(io.BytesIO(typed_pdf("a word to hide"))) as pdf:
        pdf.pages[0].obj.Rotate = turn
        pdf.save(tmp_path / "turned.pdf")
    shown = pdfium.PdfDocument(tmp_path / "turned.pdf")[0].render(scale=1).to_pil().convert("L")
    wide, high = shown.size
    upright = (66, 72, 160, 100)  # around the words, on the page before it is turned
    place = {
        0: upright,
        90: (wide - upright[3], upright[0], wide - upright[1], upright[2]),
        180: (wide - upright[2], high - upright[3], wide - upright[0], high - upright[1]),
        270: (upright[1], high - upright[2], upright[3], high - upright[0]),
    }[turn]
    assert shown.crop(place).getextrema()[0] < 120
    box = (place[0] / wide, place[1] / high, place[2] / wide, place[3] / high)
    work = Redaction("p", "A", str(tmp_path / "turned.pdf"), PDF, 1, ((1, (box,)),), str(tmp_path / "copy.pdf"))
    redact(work, DEFAULT_LIMITS, tmp_path / "tally")
    drawn = pdfium.PdfDocument(tmp_path / "copy.pdf")[0].render(scale=1).to_pil().convert("L")
    assert drawn.crop((place[0] + 1, place[1] + 1, place[2] - 1, place[3] - 1)).getextrema() == (0, 0)
    assert drawn.size[0] == wide


def _text(pdf: Pdf) -> None:
    page = pdf.pages[0].obj
    page.Resources.Font = Dictionary(F=Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica))
    page.Contents = Stream(pdf, page.Contents.read_bytes() + b" BT /F 9 Tf 3 Tr 9 9 Td (hidden) Tj ET")


def _note(pdf: Pdf) -> None:
    note = Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=Array([0, 0, 9, 9]), Contents=String("note"))
    pdf.pages[0].obj.Annots = Array([pdf.make_indirect(note)])


def _metadata(pdf: Pdf) -> None:
    pdf.docinfo.Title = String("title")


def _xmp(pdf: Pdf) -> None:
    rdf = b'<r:RDF xmlns:r="http://www.w3.org/1999/02/22-rdf-syntax-ns#"/>'
    pdf.Root.Metadata = Stream(pdf, rdf)


def _attachment(pdf: Pdf) -> None:
    pdf.attachments["a.txt"] = b"words"


def _orphan(pdf: Pdf) -> None:
    pdf.make_indirect(Dictionary(Said=String("words")))


def _second_picture(pdf: Pdf) -> None:
    page = pdf.pages[0].obj
    page.Resources.XObject.Other = page.Resources.XObject.Page


def _soft_mask(pdf: Pdf) -> None:
    image = pdf.pages[0].obj.Resources.XObject.Page
    image.SMask = Stream(pdf, b"\0")


def _white(pdf: Pdf) -> None:
    buffer, image = io.BytesIO(), pdf.pages[0].obj.Resources.XObject.Page
    Image.new("L", (int(image.Width), int(image.Height)), 255).save(buffer, "JPEG")
    image.write(buffer.getvalue(), filter=Name.DCTDecode)


def _see_through(pdf: Pdf) -> None:
    """The whole picture, its boxes too, a little lighter."""
    buffer, image = io.BytesIO(), pdf.pages[0].obj.Resources.XObject.Page
    picture = Image.open(io.BytesIO(image.read_raw_bytes()))
    Image.blend(picture, Image.new("L", picture.size, 255), 0.03).save(buffer, "JPEG", quality=95)
    image.write(buffer.getvalue(), filter=Name.DCTDecode)


def _comment(pdf: Pdf) -> None:
    image = pdf.pages[0].obj.Resources.XObject.Page
    data = image.read_raw_bytes()
    image.write(data[:2] + b"\xff\xfe\x00\x07words" + data[2:], filter=Name.DCTDecode)


def _behind(pdf: Pdf) -> None:
    image = pdf.pages[0].obj.Resources.XObject.Page
    image.write(image.read_raw_bytes() + b"words", filter=Name.DCTDecode)


def _page(pdf: Pdf) -> None:
    pdf.pages.append(pdf.pages[0])


@pytest.mark.parametrize(
    "spoil",
    [
        *(_text, _note, _metadata, _xmp, _attachment, _orphan, _second_picture, _soft_mask, _white, _see_through),
        *(_comment, _behind, _page),
    ],
)
def test_what_is_left_in_a_copy_is_found(spoil: Callable[[Pdf], None], tmp_path: Path) -> None:
    path, painted = copied(tmp_path, typed_pdf("words"), PDF)
    assert recheck(written_anew(path, spoil), painted) != []


@pytest.mark.parametrize("spoil", [_white, _see_through])
def test_a_box_that_is_not_black_is_what_is_found(spoil: Callable[[Pdf], None], tmp_path: Path) -> None:
    path, painted = copied(tmp_path, typed_pdf("words"), PDF)
    assert recheck(written_anew(path, spoil), painted) == ["a box is not black all over"]


def test_writing_a_copy_anew_is_not_what_is_found_above(tmp_path: Path) -> None:
    path, painted = copied(tmp_path, typed_pdf("words"), PDF)
    assert recheck(written_anew(path, lambda _: None), painted) == []


def written_anew(path: Path, spoil: Callable[[Pdf], None]) -> Path:
    """The copy, spoiled and written as copies are: without the id that the library would add."""
    anew = path.with_name("anew.pdf")
    with pikepdf.open(path) as pdf, anew.open("wb") as file:
        spoil(pdf)
        writer = PdfWriter(file, len(pdf.objects) + 1)
        writer.whole(pdf, set())
        writer.finish(pdf.Root, pdf.trailer.get("/Info"), b"")
    return anew


@pytest.mark.parametrize("after", [b"words", b"\n1 0 obj\n<<>>\nendobj\nstartxref\n9\n%%EOF\n"])
def test_what_follows_the_end_is_found(after: bytes, tmp_path: Path) -> None:
    path, painted = copied(tmp_path, typed_pdf("words"), PDF)
    path.write_bytes(path.read_bytes() + after)
    assert "it holds more than one revision" in recheck(path, painted)


@given(st.data())
def test_a_box_is_black_to_the_last_dot_after_coding(data: st.DataObject) -> None:
    wide, high = data.draw(st.integers(8, 90)), data.draw(st.integers(8, 90))
    mode = data.draw(st.sampled_from(["1", "L", "RGB"]))
    noise = Image.effect_noise((wide, high), 120)
    image = Image.merge("RGB", [noise, noise.rotate(90).resize((wide, high)), noise]) if mode == "RGB" else noise
    edges = st.floats(0, 1)
    left, right = sorted((data.draw(edges), data.draw(edges)))
    top, bottom = sorted((data.draw(edges), data.draw(edges)))
    blacked, (rectangle,) = black_out(image.convert(mode), [Box(left, top, right, bottom)])
    assert rectangle[0] <= left * wide
    assert rectangle[1] <= top * high
    assert rectangle[2] >= min(wide, right * wide)
    assert rectangle[3] >= min(high, bottom * high)
    noted, _ = with_note(blacked, wide / 2, 1)
    coded = coded_page(noted)
    if mode != "1":
        stored = Image.open(io.BytesIO(coded.data)).convert("RGB")
        assert stored.crop(rectangle).getbbox() is None
    assert blacked.convert("RGB").crop(rectangle).getbbox() is None
