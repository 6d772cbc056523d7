"""Boxes to tick and what people put in them."""

import itertools
import random

from reportlab.lib.colors import Color, black

from tests.corpus.doc import Doc

SHAPES = ("square", "heavy", "oval", "bracket", "paren", "underline", "acro")
MARKS: dict[str, tuple[str, ...]] = {
    "square": ("typed", "cross", "check", "filled", "dot", "stroke", "beside"),
    "heavy": ("typed", "cross", "check", "filled", "stroke", "beside"),
    "oval": ("filled", "cross", "check", "scrawl"),
    "bracket": ("typed", "lower"),
    "paren": ("typed", "lower"),
    "underline": ("typed", "lower"),
    "acro": ("field",),
}
"""The marks that each shape of box may get. `beside` is a stroke that misses the box by a little."""

_OPEN = {"bracket": ("[", "]"), "paren": ("(", ")"), "underline": ("", "")}


def box(doc: Doc, x: float, y: float, shape: str, mark: str, *, size: float = 9.0, name: str = "") -> float:
    """A box whose lower left corner is at `x`, `y`, with `mark` in it (empty: none); returns its width in points."""
    if shape == "acro":
        doc.pen.acroForm.checkbox(
            name=name, checked=bool(mark), x=x, y=y, size=size, buttonStyle="cross", borderWidth=0.7, borderColor=black
        )
        return size
    if shape in _OPEN:
        return _typed_box(doc, x, y, shape, mark)
    doc.pen.setStrokeGray(0.05)
    doc.pen.setLineWidth(1.5 if shape == "heavy" else 0.8)
    wide = size * (1.5 if shape == "oval" else 1.0)
    if shape == "oval":
        doc.pen.ellipse(x, y, x + wide, y + size)
    else:
        doc.pen.rect(x, y, size, size)
    if mark:
        _mark(doc, x, y, wide, size, mark)
    return wide


def _typed_box(doc: Doc, x: float, y: float, shape: str, mark: str) -> float:
    """A box made of signs: `[X]`, `( )`, `__X__`."""
    sign = {"typed": "X", "lower": "x"}.get(mark, "")
    left, right = _OPEN[shape]
    size = doc.look.size
    gap = doc.wide("X", "regular", size)
    if shape == "underline":
        doc.rule(y - 1, x, x + 3.2 * gap, 0.7)
        doc.write(x + 1.6 * gap, y + 0.6, sign, size=size, align="centre")
        return 3.2 * gap
    end = doc.write(x, y, left, size=size)
    doc.write(end + gap * 0.8, y, sign, size=size, align="centre")
    return doc.write(end + gap * 1.6, y, right, size=size) - x


def _mark(doc: Doc, x: float, y: float, wide: float, size: float, mark: str) -> None:
    pen, dice = doc.pen, doc.dice
    middle = (x + wide / 2, y + size / 2)
    ink = doc.ink
    if mark == "typed":
        doc.write(middle[0], y + size * 0.12, "X", size=size * 1.15, align="centre", font="Courier-Bold")
    elif mark == "filled":
        pen.setFillColor(dice.choice((ink, black)))
        if wide > size:
            pen.ellipse(x + 0.6, y + 0.6, x + wide - 0.6, y + size - 0.6, stroke=0, fill=1)
        else:
            pen.rect(x + 0.8, y + 0.8, size - 1.6, size - 1.6, stroke=0, fill=1)
    elif mark == "dot":
        pen.setFillColor(black)
        pen.circle(middle[0], middle[1], size * 0.27, stroke=0, fill=1)
    else:
        _by_hand(doc, x, y, wide, size, mark, ink)


def _by_hand(doc: Doc, x: float, y: float, wide: float, size: float, mark: str, ink: Color) -> None:
    pen, dice = doc.pen, doc.dice
    pen.setStrokeColor(ink)
    pen.setLineWidth(dice.uniform(1.0, 1.7))
    pen.setLineCap(1)
    path = pen.beginPath()
    for part in _strokes(mark, dice):
        points = [(x + wide * u, y + size * v) for u, v in part]
        path.moveTo(*points[0])
        for before, after in itertools.pairwise(points):
            bend = dice.uniform(-0.06, 0.06) * size
            third = ((after[0] - before[0]) / 3, (after[1] - before[1]) / 3)
            path.curveTo(
                before[0] + third[0] + bend, before[1] + third[1] - bend,
                after[0] - third[0] + bend, after[1] - third[1] - bend, *after,
            )  # fmt: skip
    pen.drawPath(path)
    pen.setLineCap(0)


def _strokes(mark: str, dice: random.Random) -> list[list[tuple[float, float]]]:
    """The strokes of a mark, in fractions of the box, each point a little off."""
    shapes: dict[str, list[list[tuple[float, float]]]] = {
        "cross": [[(0.05, 0.0), (1.0, 1.05)], [(0.0, 0.95), (1.0, 0.05)]],
        "check": [[(0.1, 0.55), (0.4, 0.1), (1.3, 1.45)]],
        "stroke": [[(0.0, 0.0), (1.1, 1.15)]],
        "scrawl": [[(0.05, 0.3), (0.95, 0.7), (0.1, 0.6), (0.9, 0.35), (0.3, 0.8), (0.85, 0.2)]],
        "beside": [[(0.45, 0.35), (0.72, -0.15), (1.65, 1.35)]],
    }
    return [[(u + dice.uniform(-0.09, 0.09), v + dice.uniform(-0.09, 0.09)) for u, v in part] for part in shapes[mark]]
