"""A sheet of letter paper and what is printed, typed, ticked and signed on it.

All coordinates are points (1/72 inch) from the bottom left of a letter-size sheet, as reportlab counts.
"""

import io
import math
import random
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from pathlib import Path
from typing import TypeAlias

import numpy as np
import pypdfium2
import reportlab
from numpy.typing import NDArray
from reportlab.lib.colors import Color
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

Pixels: TypeAlias = NDArray[np.uint8]
"""Height x width x 3, red green blue, 0 to 255."""
Pen: TypeAlias = Canvas
Draw: TypeAlias = Callable[[Canvas], None]

WIDTH, HEIGHT = 612.0, 792.0
LEFT, RIGHT = 66.0, 546.0
SAMPLE = "SAMPLE \u2014 not a government document"
BLUE_INK = Color(0.10, 0.16, 0.50)
BLACK_INK = Color(0.08, 0.08, 0.10)

_TYPE1 = {
    "Sans": "_a______",
    "Sans-Bold": "_ab_____",
    "Serif": "_er_____",
    "Serif-Bold": "_eb_____",
    "Serif-Italic": "_ei_____",
    "Mono": "com_____",
    "Mono-Bold": "cob_____",
}


@cache
def load_fonts() -> None:
    """Register the fonts reportlab carries. They go into the sheet whole, so that no font of the machine counts."""
    folder = Path(reportlab.__file__).parent / "fonts"
    for name, stem in _TYPE1.items():
        face = pdfmetrics.EmbeddedType1Face(str(folder / f"{stem}.afm"), str(folder / f"{stem}.pfb"))
        pdfmetrics.registerTypeFace(face)
        pdfmetrics.registerFont(pdfmetrics.Font(name, face.name, "WinAnsiEncoding"))


def sheets(draws: Sequence[Draw], size: tuple[float, float] = (WIDTH, HEIGHT)) -> bytes:
    """A PDF with one page for each of `draws`."""
    load_fonts()
    out = io.BytesIO()
    pen = Canvas(out, pagesize=size, invariant=1, pageCompression=0)
    for draw in draws:
        draw(pen)
        pen.showPage()
    pen.save()
    return out.getvalue()


def raster(pdf: bytes, dpi: int) -> list[Pixels]:
    """Every page of `pdf` as pixels."""
    document = pypdfium2.PdfDocument(pdf)
    pages = [np.asarray(page.render(scale=dpi / 72).to_pil().convert("RGB")) for page in document]
    document.close()
    return pages


def sample_mark(pen: Pen, y: float = 22, margin: float = LEFT, font: str = "Sans-Bold") -> None:
    """The band at the foot that says what the sheet is not."""
    pen.setStrokeGray(0.25)
    pen.setLineWidth(0.8)
    pen.rect(margin, y, WIDTH - 2 * margin, 17)
    centred(pen, y + 5.5, SAMPLE, font, 9)


def centred(pen: Pen, y: float, text: str, font: str = "Sans-Bold", size: float = 14, x: float = WIDTH / 2) -> None:
    """One line of text centred on `x`."""
    pen.setFillGray(0)
    pen.setFont(font, size)
    pen.drawCentredString(x, y, text)


def line(pen: Pen, x: float, y: float, text: str, font: str = "Serif", size: float = 10.5) -> None:
    """One line of text from `x`."""
    pen.setFillGray(0)
    pen.setFont(font, size)
    pen.drawString(x, y, text)


def ending(pen: Pen, x: float, y: float, text: str, font: str = "Mono", size: float = 10) -> None:
    """One line of text that ends at `x`."""
    pen.setFillGray(0)
    pen.setFont(font, size)
    pen.drawRightString(x, y, text)


def rule(pen: Pen, y: float, x: float = LEFT, end: float = RIGHT, weight: float = 0.7) -> None:
    """A horizontal line."""
    pen.setStrokeGray(0.1)
    pen.setLineWidth(weight)
    pen.line(x, y, end, y)


def paragraph(
    pen: Pen,
    y: float,
    text: str,
    font: str = "Serif",
    size: float = 10.5,
    x: float = LEFT,
    width: float = RIGHT - LEFT,
) -> float:
    """Text wrapped to `width`, first baseline at `y`; returns the baseline for what comes next, with a gap."""
    leading = size * 1.28
    for part in simpleSplit(text, font, size, width):
        line(pen, x, y, part, font, size)
        y -= leading
    return y - size * 0.55


def prose(
    pen: Pen,
    y: float,
    texts: Iterable[str],
    font: str = "Serif",
    size: float = 10.5,
    x: float = LEFT,
    width: float = RIGHT - LEFT,
    gap: float = 0,
) -> float:
    """Paragraphs one under the other, `gap` points further apart than usual."""
    for text in texts:
        y = paragraph(pen, y, text, font, size, x, width) - gap
    return y


def over(*draws: Draw) -> Draw:
    """Several drawings on one sheet, one over the other."""

    def draw(pen: Pen) -> None:
        for each in draws:
            each(pen)

    return draw


def entry(pen: Pen, y: float, label: str, value: str, x: float = LEFT, end: float = RIGHT, font: str = "Mono") -> None:
    """A blank of a form: the answer typed on a rule, the small label under it."""
    line(pen, x + 3, y + 2.5, value, font, 10.5)
    rule(pen, y, x, end, 0.5)
    line(pen, x, y - 8.5, label, "Sans", 7)


def cell(pen: Pen, x: float, y: float, width: float, height: float, label: str, value: str, size: float = 10) -> None:
    """A boxed blank of a return: the label small at the top left, the answer typed below it."""
    pen.setStrokeGray(0.15)
    pen.setLineWidth(0.6)
    pen.rect(x, y, width, height)
    line(pen, x + 3, y + height - 8, label, "Sans", 6.6)
    line(pen, x + 5, y + 4.5, value, "Mono", size)


def tick_box(pen: Pen, x: float, y: float, label: str, mark: str = "", size: float = 9) -> None:
    """A small square and its label. `mark` is empty, `X` (typed) or `pen` (a stroke of blue ink, not kept inside)."""
    pen.setStrokeGray(0.05)
    pen.setLineWidth(0.8)
    pen.rect(x, y, size, size)
    line(pen, x + size + 4, y + 1.2, label, "Sans", 8.5)
    if mark == "X":
        centred(pen, y + 1.1, "X", "Mono-Bold", 11, x + size / 2)
    elif mark == "pen":
        pen.setStrokeColor(BLUE_INK)
        pen.setLineWidth(1.5)
        path = pen.beginPath()
        path.moveTo(x + 0.8, y + 5.2)
        path.curveTo(x + 2, y + 4, x + 3, y + 1.5, x + 3.8, y + 0.6)
        path.curveTo(x + 6, y + 6, x + 9, y + 11, x + 13.5, y + 14.5)
        pen.drawPath(path)


def scribble(pen: Pen, x: float, y: float, width: float, name: str, ink: Color = BLUE_INK) -> None:
    """A signature: a capital, loops and a flourish that nobody can read, the same for the same name."""
    dice = random.Random(name)
    pen.setStrokeColor(ink)
    pen.setLineWidth(1.05)
    pen.setLineCap(1)
    path = pen.beginPath()
    at, angle, size = x, dice.uniform(0.4, 1.3) * math.pi, dice.uniform(9, 14)
    slant, roundness, loops = dice.uniform(0.1, 0.6), dice.uniform(0.5, 1.0), dice.randrange(5, 10)
    path.moveTo(at - dice.uniform(0, 8), y + dice.uniform(0, 12))
    for step in range(26 * loops):
        if step % 26 == 13:
            size = dice.choice((2.0, 3.0, 4.0, 4.5, 8.0, 10.0))
        angle += 2 * math.pi / 26 * dice.uniform(0.85, 1.15)
        at += width * 0.78 / (26 * loops) * dice.uniform(0.7, 1.3)
        rise = size * (1 - math.cos(angle))
        path.lineTo(at + slant * rise - size * roundness * math.sin(angle), y + rise - 1)
    path.curveTo(at + 10, y - 5, at + width * 0.12, y + dice.uniform(2, 9), x + width, y + dice.uniform(-3, 6))
    pen.drawPath(path)
    if dice.random() < 0.5:
        pen.bezier(x + width * 0.9, y + 2, x + width * 0.5, y - 5, x + width * 0.2, y - 3, x + width * 0.75, y - 6)
    pen.setLineCap(0)


def signed(pen: Pen, y: float, name: str, title: str, when: str, ink: Color = BLUE_INK) -> None:
    """A signature block: signature, printed name and title, date signed."""
    scribble(pen, LEFT + 10, y + 4, 120, name, ink)
    rule(pen, y, LEFT, LEFT + 180, 0.5)
    line(pen, LEFT, y - 8.5, "Signature", "Sans", 7)
    entry(pen, y, "Printed name and title", f"{name}, {title}", LEFT + 192, LEFT + 370, "Sans")
    entry(pen, y, "Date signed", when, LEFT + 380, RIGHT, "Mono" if len(when) <= 12 else "Sans")
