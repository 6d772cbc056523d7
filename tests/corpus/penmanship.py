"""Figures written by hand: strokes through a few points each, never twice the same."""

import random

from reportlab.pdfgen.canvas import Canvas

_FIGURES: dict[str, tuple[tuple[tuple[float, float], ...], ...]] = {
    "0": (((0.5, 1), (0.1, 0.7), (0.1, 0.3), (0.5, 0), (0.9, 0.3), (0.9, 0.7), (0.5, 1)),),
    "1": (((0.25, 0.75), (0.55, 1), (0.5, 0)),),
    "2": (((0.1, 0.8), (0.45, 1), (0.85, 0.75), (0.5, 0.35), (0.08, 0.0), (0.95, 0.02)),),
    "3": (((0.1, 0.9), (0.55, 1), (0.8, 0.75), (0.4, 0.53), (0.85, 0.3), (0.5, 0), (0.05, 0.12)),),
    "4": (((0.35, 1), (0.08, 0.4), (0.95, 0.42)), ((0.75, 0.95), (0.7, 0.0))),
    "5": (((0.2, 0.95), (0.15, 0.55), (0.6, 0.6), (0.85, 0.3), (0.5, 0), (0.08, 0.1)), ((0.2, 0.95), (0.85, 0.97))),
    "6": (((0.75, 1), (0.25, 0.6), (0.12, 0.25), (0.5, 0), (0.85, 0.25), (0.5, 0.5), (0.18, 0.3)),),
    "7": (((0.08, 0.95), (0.9, 0.97), (0.4, 0)),),
    "8": (((0.75, 0.85), (0.4, 1), (0.2, 0.75), (0.75, 0.3), (0.45, 0), (0.15, 0.25), (0.75, 0.85)),),
    "9": (((0.8, 0.8), (0.45, 1), (0.15, 0.72), (0.5, 0.5), (0.82, 0.8), (0.75, 0.35), (0.6, 0)),),
    "/": (((0.1, -0.1), (0.75, 1.1)),),
    "-": (((0.15, 0.45), (0.7, 0.5)),),
}
SIGNS = frozenset(_FIGURES)
"""What can be written."""


def by_hand(pen: Canvas, x: float, y: float, text: str, size: float, dice: random.Random) -> None:
    """Write figures, slashes and dashes, `size` points high, in the pen's stroke colour."""
    pen.setLineWidth(dice.uniform(0.9, 1.4))
    pen.setLineCap(1)
    pen.setLineJoin(1)
    slant = dice.uniform(0.05, 0.3)
    path = pen.beginPath()
    for sign in text:
        tall, lift = size * dice.uniform(0.9, 1.08), dice.uniform(-0.8, 0.8)
        for stroke in _FIGURES[sign]:
            points = [_spot(x, y + lift, size, tall, slant, spot, dice) for spot in stroke]
            path.moveTo(*points[0])
            for before, here, after in zip(points, points[1:], [*points[2:], points[-1]], strict=False):
                turn = ((after[0] - before[0]) / 6, (after[1] - before[1]) / 6)
                path.curveTo(
                    before[0] + (here[0] - before[0]) / 3, before[1] + (here[1] - before[1]) / 3,
                    here[0] - turn[0], here[1] - turn[1], *here,
                )  # fmt: skip
        x += size * (0.62 if sign not in "1-" else 0.5) * dice.uniform(0.95, 1.15)
    pen.drawPath(path)
    pen.setLineCap(0)


def _spot(
    x: float, y: float, size: float, tall: float, slant: float, spot: tuple[float, float], dice: random.Random
) -> tuple[float, float]:
    u, v = spot[0] + dice.uniform(-0.05, 0.05), spot[1] + dice.uniform(-0.04, 0.04)
    return x + size * 0.5 * u + slant * tall * v, y + tall * v
