"""What is not looked at: the pixels of a page that has nothing but text, and a patch of which all is known."""

import io
from collections.abc import Callable

import cv2
import numpy as np
import pytest
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from quietus.model.limits import DEFAULT_LIMITS
from quietus.reading.engine import Layout, Recogniser, recogniser
from quietus.reading.folio import WHOLE, Raster
from quietus.reading.marks import read_mark
from quietus.reading.opening import open_folio
from quietus.reading.pages import Book
from quietus.reading.patches import Patch
from quietus.reading.pdf_folio import PdfFolio
from quietus.reading.pixels import Gray, blobs, resized, strongest, weakest
from quietus.reading.words import Rect, Word
from tests.reading.helpers import draft, reading_of


def drawn(draw: Callable[[Canvas], object]) -> bytes:
    """A page with a sentence, a rule and a box, and whatever `draw` adds."""
    out = io.BytesIO()
    pen = Canvas(out, pagesize=(612, 792))
    pen.drawString(72, 700, "The company named above has wound up its affairs.")
    pen.line(72, 690, 540, 690)
    pen.rect(72, 600, 12, 12)
    draw(pen)
    pen.showPage()
    pen.save()
    return out.getvalue()


def slanting(pen: Canvas) -> None:
    pen.translate(300, 300)
    pen.rotate(8)
    pen.drawString(0, 0, "FILED")


def coloured(pen: Canvas) -> None:
    pen.setFillColorRGB(0.8, 0.1, 0.1)
    pen.drawString(300, 300, "FILED")


def pictured(pen: Canvas) -> None:
    pen.drawImage(ImageReader(Image.new("L", (60, 30), 90)), 300, 300, 120, 60)


def letters_of_curves(pen: Canvas) -> None:
    for step in range(8):
        pen.bezier(300 + 9 * step, 300, 303 + 9 * step, 312, 306 + 9 * step, 312, 308 + 9 * step, 300)


def signature(pen: Canvas) -> None:
    pen.bezier(300, 300, 330, 340, 360, 280, 420, 310)


@pytest.mark.parametrize("ink", [slanting, coloured, pictured, letters_of_curves])
def test_ink_on_a_page_with_text_is_found_where_it_stands(ink: Callable[[Canvas], None]) -> None:
    (found, *more) = open_folio(drawn(ink), DEFAULT_LIMITS).inks(1)
    assert found.left == pytest.approx(300 / 612, abs=0.02)
    assert found.bottom == pytest.approx(1 - 300 / 792, abs=0.02)
    assert WHOLE not in (found, *more)


def test_text_rules_boxes_and_a_signature_are_no_ink_and_a_turned_page_is_all_ink() -> None:
    assert open_folio(drawn(signature), DEFAULT_LIMITS).inks(1) == ()
    assert open_folio(drawn(lambda pen: pen.setPageRotation(90)), DEFAULT_LIMITS).inks(1) == (WHOLE,)


def test_a_filing_of_text_alone_is_read_without_its_pixels(monkeypatch: pytest.MonkeyPatch) -> None:
    def raster(folio: PdfFolio, page: int) -> Raster:
        raise AssertionError((folio, page))

    monkeypatch.setattr(PdfFolio, "raster", raster)
    read = reading_of(
        draft(
            (1, 1, "State of Oregon"),
            (1, 1.3, "Secretary of State, Corporation Division"),
            (1, 1.9, "ARTICLES OF DISSOLUTION"),
            (1, 2.5, "Name of the limited liability company: Pinegrove Timber LLC"),
            (1, 9, "FILED March 4, 2025 10:14 AM Secretary of State"),
        )
    )
    assert read.text("filing_date") == "2025-03-04"
    assert read.flag("stamped") is True


class Counting:
    """A recogniser that counts how often it is asked."""

    def __init__(self, inner: Recogniser) -> None:
        self.inner, self.name, self.asked = inner, inner.name, 0

    def words(self, gray: Gray, dpi: float, layout: Layout, signs: str = "") -> list[Word]:
        self.asked += 1
        return self.inner.words(gray, dpi, layout, signs)


def asked_for(*rows: str, size: float, letters: int) -> tuple[str | None, int]:
    """What a black patch with these rows is, and how often the recogniser was asked about it."""
    gray = np.full((90 + 60 * len(rows), 900), 255, np.uint8)
    for number, row in enumerate(rows):
        cv2.putText(gray, row, (60, 80 + 60 * number), cv2.FONT_HERSHEY_DUPLEX, size, (0,), 2, cv2.LINE_AA)
    patch = Patch(Rect(0, 0, gray.shape[1], gray.shape[0]), -1, (0.0,), letters=letters)
    engine = Counting(recogniser())
    mark = read_mark(gray, patch, 200, engine, stubborn=True)
    return (mark.sort if mark else None), engine.asked


@pytest.mark.ocr
def test_a_stamp_that_says_received_in_three_looks_gets_no_more() -> None:
    sort, asked = asked_for("RECEIVED", "TAX CLERK", size=1.6, letters=16)
    assert sort == "received"
    assert asked <= 5


@pytest.mark.ocr
def test_a_patch_of_which_all_is_read_as_print_gets_one_look() -> None:
    sort, asked = asked_for("the members agree that", "nothing is owed to them", size=1.2, letters=38)
    assert sort == "print"
    assert asked == 1


@pytest.mark.ocr
def test_words_of_a_fine_scan_with_wide_margins_stand_where_they_are_printed() -> None:
    page = Image.new("L", (2550, 3300), 255)
    picture = np.array(page)
    cv2.putText(picture, "Certificate of Dissolution", (900, 1600), cv2.FONT_HERSHEY_DUPLEX, 2.2, (0,), 4, cv2.LINE_AA)
    ys, xs = np.nonzero(picture < 128)
    out = io.BytesIO()
    Image.fromarray(picture).save(out, "PNG", dpi=(300, 300))
    (line,) = Book(open_folio(out.getvalue(), DEFAULT_LIMITS), recogniser()).read(1).lines
    assert line.text == "Certificate of Dissolution"
    assert line.rect == pytest.approx((xs.min(), ys.min(), xs.max() + 1, ys.max() + 1), abs=5)


def test_channels_are_compared_pixel_by_pixel() -> None:
    picture = np.random.default_rng(3).integers(0, 256, (40, 30, 3), np.uint8)
    assert np.array_equal(weakest(picture), picture.min(axis=2))
    assert np.array_equal(strongest(picture), picture.max(axis=2))
    assert weakest(picture[:, :, 0]) is not picture


@pytest.mark.parametrize("shape", [(901, 701), (1200, 800, 3)])
def test_a_picture_made_much_smaller_keeps_its_shape_and_its_grays(shape: tuple[int, ...]) -> None:
    picture = cv2.GaussianBlur(np.random.default_rng(4).integers(0, 256, shape, np.uint8), (0, 0), 9)
    small = resized(np.asarray(picture, np.uint8), 0.22)
    straight = cv2.resize(picture, (small.shape[1], small.shape[0]), interpolation=cv2.INTER_AREA)
    assert small.shape[:2] == (round(0.22 * shape[0]), round(0.22 * shape[1]))
    assert np.abs(small.astype(int) - straight.astype(int)).max() <= 3


def test_every_speck_of_a_noisy_page_is_a_blob_though_they_are_more_than_16_bits_count() -> None:
    ink = np.zeros((600, 600), np.uint8)
    ink[::2, ::2] = 255
    count, labels, boxes, _ = blobs(ink)
    assert count == 300 * 300 + 1
    assert int(labels.max()) == 300 * 300
    assert boxes[1:, cv2.CC_STAT_AREA].tolist() == [1] * 300 * 300
