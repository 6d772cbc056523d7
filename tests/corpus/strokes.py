"""What a stamp is made of, and the pen that draws it."""

from dataclasses import dataclass
from typing import Literal

from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas


@dataclass(frozen=True, slots=True)
class Stroke:
    """One part of a stamp: a line of text, a line, a rectangle, a circle or a dot, by `sort`.

    Attributes:
        sort: `text`, `line`, `rect`, `ellipse` or `dot`.
        at: of a text, x of the middle, baseline, turn in degrees; of a line or rect, two corners; of an ellipse, its
            bounds; of a dot, its middle and radius.
        text: the words of a text.
        font: its font.
        size: size of a text, or weight of a line, in points.
    """

    sort: Literal["text", "line", "rect", "ellipse", "dot"]
    at: tuple[float, ...]
    text: str = ""
    font: str = "Helvetica-Bold"
    size: float = 1.0


@dataclass(frozen=True, slots=True)
class Stamp:
    """A stamp: its design's name, its strokes, and its width and height in points."""

    name: str
    picture: tuple[Stroke, ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Pressed:
    """A stamp on a page: page from 0, middle in points, degrees turned left, ink colour and how wet the ink was."""

    page: int
    stamp: Stamp
    x: float
    y: float
    angle: float
    ink: tuple[int, int, int]
    strength: float = 0.9


def drawn(pen: Canvas, stamp: Stamp, ink: tuple[int, int, int]) -> None:
    """Draw a stamp with its lower left corner at the origin."""
    colour = Color(*(level / 255 for level in ink))
    pen.setStrokeColor(colour)
    pen.setFillColor(colour)
    for stroke in stamp.picture:
        _stroke(pen, stroke)


def _stroke(pen: Canvas, stroke: Stroke) -> None:
    at = stroke.at
    pen.setLineWidth(stroke.size)
    if stroke.sort == "text":
        pen.saveState()
        pen.translate(at[0], at[1])
        pen.rotate(at[2])
        pen.setFont(stroke.font, stroke.size)
        pen.drawCentredString(0, 0, stroke.text)
        pen.restoreState()
    elif stroke.sort == "line":
        pen.line(*at)
    elif stroke.sort == "rect":
        pen.rect(at[0], at[1], at[2] - at[0], at[3] - at[1])
    elif stroke.sort == "ellipse":
        pen.ellipse(*at)
    else:
        pen.circle(at[0], at[1], at[2], stroke=0, fill=1)
