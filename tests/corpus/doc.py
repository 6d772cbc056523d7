"""A paper being written: pages of text, rules, boxes and signatures, and the stamps that will be pressed on.

Coordinates are points from the bottom left of a letter-size sheet; `y` is the height at which flowing text goes on.
"""

import io
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

import reportlab
from drawing.sheet import HEIGHT, SAMPLE, WIDTH, load_fonts, scribble
from PIL import ImageFont
from reportlab.lib.colors import Color
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from tests.corpus.penmanship import SIGNS, by_hand
from tests.corpus.strokes import Pressed, Stamp, drawn

Face = Literal["regular", "bold", "italic"]
Align = Literal["left", "centre", "right"]
INKS = (Color(0.08, 0.12, 0.52), Color(0.08, 0.08, 0.10), Color(0.05, 0.05, 0.06), Color(0.12, 0.10, 0.40))
"""Pens: blue, black, black, dark violet."""

FAMILIES: dict[str, tuple[str, str, str]] = {
    "gothic": ("Helvetica", "Helvetica-Bold", "Helvetica-Oblique"),
    "roman": ("Times-Roman", "Times-Bold", "Times-Italic"),
    "typewriter": ("Courier", "Courier-Bold", "Courier-Oblique"),
    "broad": ("Vera", "Vera-Bold", "Vera-Italic"),
    "narrow": ("Aileron", "Helvetica-Bold", "Helvetica-Oblique"),
    "press": ("Serif", "Serif-Bold", "Serif-Italic"),
    "plain": ("Sans", "Sans-Bold", "Sans"),
}
"""Families of type: regular, bold and italic."""


@dataclass(frozen=True, slots=True)
class Look:
    """How a paper is set: family, size in points, width of the letters (1.0 as designed), left and right edge."""

    family: str = "roman"
    size: float = 11.0
    stretch: float = 1.0
    left: float = 72.0
    right: float = 540.0


@cache
def more_fonts() -> None:
    """Register the faces that reportlab and Pillow carry beside those of the sample sheets."""
    load_fonts()
    folder = Path(reportlab.__file__).parent / "fonts"
    for name, file in (("Vera", "Vera.ttf"), ("Vera-Bold", "VeraBd.ttf"), ("Vera-Italic", "VeraIt.ttf")):
        pdfmetrics.registerFont(TTFont(name, folder / file))
    face = ImageFont.load_default(12)
    if not isinstance(face, ImageFont.FreeTypeFont):
        raise SystemExit("Pillow was built without FreeType: the measuring scans need it.")
    pdfmetrics.registerFont(TTFont("Aileron", io.BytesIO(_bytes_of(face))))


def _bytes_of(face: ImageFont.FreeTypeFont) -> bytes:
    source = face.path
    if isinstance(source, io.BytesIO):
        return source.getvalue()
    return Path(str(source)).read_bytes()


class Doc:
    """A paper in the making.

    Args:
        look: how it is set.
        dice: source of chance.
        born: True when the finished file will be a PDF with its text, with form fields where there are boxes to tick.
        split: `tune` or `held`: which stamp designs and file marks it may carry.

    Attributes:
        truth: what a careful person reads off it, by field.
        layout: the name of its layout.
        unjudged: fields on which careful people may differ.
        way: how the office marked it, when it goes to a filing office (see filemarks).
        design: the office mark it carries, for breakdowns.
        box: the shape of its tick boxes and the mark in the final one, for breakdowns.
    """

    def __init__(self, look: Look, dice: random.Random, *, born: bool, split: str = "tune") -> None:
        more_fonts()
        self.look = look
        self.dice = dice
        self.born = born
        self.split = split
        self.y = 740.0
        self.page = 0
        self.pressed: list[Pressed] = []
        self.truth: dict[str, str | bool] = {}
        self.unjudged: tuple[str, ...] = ()
        self.layout = ""
        self.way = ""
        self.design = ""
        self.box = ""
        self.ink = dice.choice(INKS)
        self._out = io.BytesIO()
        self.pen = Canvas(self._out, pagesize=(WIDTH, HEIGHT), invariant=1, pageCompression=0)
        self._foot = dice.choice((("centre", True), ("left", False), ("right", False), ("centre", False)))

    # --- type --------------------------------------------------------------------------------------------------------

    def font(self, face: Face = "regular") -> str:
        """The name of a face of this paper's family."""
        return FAMILIES[self.look.family][("regular", "bold", "italic").index(face)]

    def wide(self, text: str, face: Face, size: float, font: str = "") -> float:
        """Width of `text` in points."""
        return float(pdfmetrics.stringWidth(text, font or self.font(face), size)) * self.look.stretch

    def write(
        self,
        x: float,
        y: float,
        text: str,
        *,
        face: Face = "regular",
        size: float = 0,
        align: Align = "left",
        font: str = "",
        gray: float = 0.0,
    ) -> float:
        """One line; returns the x where it ends."""
        size = size or self.look.size
        wide = self.wide(text, face, size, font)
        x -= {"left": 0.0, "centre": wide / 2, "right": wide}[align]
        line = self.pen.beginText(x, y)
        line.setFont(font or self.font(face), size)
        line.setFillGray(gray)
        line.setHorizScale(100 * self.look.stretch)
        line.textOut(text)
        self.pen.drawText(line)
        return x + wide

    def middle(self, y: float, text: str, *, face: Face = "bold", size: float = 0, font: str = "") -> None:
        """One line centred on the page, set smaller when it is too long."""
        size = size or self.look.size
        room = self.look.right - self.look.left
        size = min(size, size * room / max(room, self.wide(text, face, size, font)))
        self.write(WIDTH / 2, y, text, face=face, size=size, align="centre", font=font)

    def title(self, text: str, size: float = 15, face: Face = "bold", *, align: Align = "centre") -> None:
        """A heading at the writing height, over several lines when it is long; the writing height moves below it."""
        room = (self.look.right - self.look.left) / self.look.stretch
        for part in simpleSplit(text, self.font(face), size, room):
            x = {"left": self.look.left, "centre": WIDTH / 2, "right": self.look.right}[align]
            self.write(x, self.y, part, face=face, size=size, align=align)
            self.y -= size * 1.2

    def look_title(self, text: str, room: float) -> None:
        """A heading at the left that leaves the rest of the width free."""
        for part in simpleSplit(text.upper(), self.font("bold"), 15, room / self.look.stretch):
            self.write(self.look.left, self.y, part, face="bold", size=15)
            self.y -= 17

    def para(
        self,
        text: str,
        *,
        face: Face = "regular",
        size: float = 0,
        x: float = 0,
        right: float = 0,
        gap: float = 0.6,
        leading: float = 1.3,
    ) -> None:
        """Text wrapped between `x` and `right`, from the writing height; goes on over the page when it must."""
        size = size or self.look.size
        x = x or self.look.left
        room = ((right or self.look.right) - x) / self.look.stretch
        for part in simpleSplit(text, self.font(face), size, room):
            self.room(20)
            self.write(x, self.y, part, face=face, size=size)
            self.y -= size * leading
        self.y -= size * gap

    def prose(self, texts: Iterable[str], *, x: float = 0, size: float = 0, gap: float = 0.6) -> None:
        """Paragraphs, one under the other."""
        for text in texts:
            self.para(text, x=x, size=size, gap=gap)

    def room(self, points: float) -> None:
        """Turn the page when less than so much is left above the foot."""
        if self.y - points < 58:
            self.turn()

    def turn(self) -> None:
        """Finish this page and begin the next."""
        self._finish()
        self.page += 1
        self.y = 730.0

    def skip(self, points: float) -> None:
        """Move the writing height down."""
        self.y -= points

    # --- rules, boxes, blanks -----------------------------------------------------------------------------------------

    def rule(self, y: float, x: float = 0, end: float = 0, weight: float = 0.7) -> None:
        """A horizontal line."""
        self.pen.setStrokeGray(0.1)
        self.pen.setLineWidth(weight)
        self.pen.line(x or self.look.left, y, end or self.look.right, y)

    def frame(
        self, x: float, y: float, width: float, height: float, *, shade: float = 1.0, weight: float = 0.7
    ) -> None:
        """A rectangle, filled with gray when `shade` is below 1."""
        self.pen.setStrokeGray(0.15)
        self.pen.setLineWidth(weight)
        self.pen.setFillGray(shade)
        self.pen.rect(x, y, width, height, fill=int(shade < 1), stroke=int(weight > 0))

    def cell(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        label: str,
        value: str,
        *,
        font: str = "",
        size: float = 0,
    ) -> None:
        """A boxed blank: small label at the top, the answer below."""
        self.frame(x, y, width, height)
        self.write(x + 3, y + height - 8, label, size=6.8)
        self.fitted(x + 5, y + 5, value, width - 10, font=font, size=size or self.look.size)

    def blank(self, x: float, y: float, end: float, label: str, value: str, *, font: str = "", size: float = 0) -> None:
        """An answer on a rule, the label under it."""
        self.rule(y, x, end, 0.5)
        self.fitted(x + 4, y + 3, value, end - x - 8, font=font, size=size or self.look.size)
        self.write(x, y - 8.5, label, size=7)

    def fitted(self, x: float, y: float, text: str, room: float, *, font: str = "", size: float = 0) -> None:
        """One line, set smaller when it would be longer than `room`; at the worst over two lines."""
        wide = self.wide(text, "regular", size, font)
        if wide > room * 1.35 and " " in text:
            cut = text.rfind(" ", 0, round(len(text) * 0.6))
            self.write(x, y + size * 0.45, text[:cut], size=size * 0.8, font=font)
            self.write(x, y - size * 0.4, text[cut + 1 :], size=size * 0.8, font=font)
            return
        self.write(x, y, text, size=min(size, size * room / max(wide, 1)), font=font)

    def pairs(self, rows: Sequence[tuple[str, str]], stop: float, *, face: Face = "bold", pitch: float = 1.6) -> None:
        """Labels at the left, answers from `stop` on, flowing."""
        for label, value in rows:
            self.room(30)
            top = self.y
            self.write(self.look.left, top, label, face=face)
            self.para(value, x=stop, gap=0)
            self.y = min(self.y, top - self.look.size * pitch)

    # --- hands --------------------------------------------------------------------------------------------------------

    def sign(self, x: float, y: float, name: str, width: float = 130) -> None:
        """A signature that nobody can read."""
        scribble(self.pen, x, y, width, name, self.ink)

    def dated(self, x: float, y: float, text: str, size: float = 0) -> None:
        """A day beside a signature: mostly typed; in figures, sometimes by hand."""
        if self.dice.random() < 0.4 and set(text) <= SIGNS:
            self.pen.setStrokeColor(self.ink)
            by_hand(self.pen, x, y, text, 12, self.dice)
        else:
            self.write(x, y, text, size=size, font=self.dice.choice(("", "", "Courier")))

    # --- the end ------------------------------------------------------------------------------------------------------

    def press(
        self, stamp: Stamp, x: float, y: float, angle: float, ink: tuple[int, int, int], wet: float = 0.9
    ) -> None:
        """Remember a stamp on the page being written."""
        self.pressed.append(Pressed(self.page, stamp, x, y, angle, ink, wet))

    def _overlaid(self) -> None:
        """Draw this page's stamps into a born-digital paper."""
        for one in self.pressed:
            if one.page == self.page:
                self.pen.saveState()
                self.pen.translate(one.x, one.y)
                self.pen.rotate(one.angle)
                self.pen.translate(-one.stamp.width / 2, -one.stamp.height / 2)
                drawn(self.pen, one.stamp, one.ink)
                self.pen.restoreState()

    def _finish(self) -> None:
        if self.born:
            self._overlaid()
        align, framed = self._foot
        size = self.dice.uniform(8, 10)
        x = {"left": self.look.left, "centre": WIDTH / 2, "right": self.look.right}[align]
        wide = pdfmetrics.stringWidth(SAMPLE, "Helvetica-Bold", size)
        self.pen.setFillGray(0)
        self.pen.setFont("Helvetica-Bold", size)
        self.pen.drawString(x - wide * {"left": 0, "centre": 0.5, "right": 1}[align], 30, SAMPLE)
        if framed:
            self.pen.setStrokeGray(0.3)
            self.pen.setLineWidth(0.8)
            self.pen.rect(x - wide / 2 - 8, 25, wide + 16, 16)
        self.pen.showPage()

    def pdf(self) -> bytes:
        """The finished sheets, without the stamps."""
        self._finish()
        self.pen.save()
        return self._out.getvalue()
