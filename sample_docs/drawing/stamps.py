"""Rubber stamps: ink pressed over print, a little uneven and never quite straight."""

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter
from reportlab.pdfbase.pdfmetrics import stringWidth

from drawing.ageing import cloud
from drawing.sheet import Draw, Pen, Pixels, centred, raster, sheets

RED = (196, 26, 40)
BLUE = (28, 62, 168)
PURPLE = (104, 36, 150)
GREEN = (20, 110, 70)
BLACK = (12, 12, 14)


def boxed(date: str, office: tuple[str, ...], width: float = 190, font: str = "Sans-Bold") -> tuple[Draw, float, float]:
    """A rectangular FILED stamp: the drawing, its width and its height in points."""
    height = 78 + 11.5 * len(office)

    def draw(pen: Pen) -> None:
        pen.setLineWidth(2.4)
        pen.rect(4, 4, width - 8, height - 8)
        pen.setLineWidth(0.9)
        pen.rect(8, 8, width - 16, height - 16)
        centred(pen, height - 35, "FILED", font, 24, width / 2)
        centred(pen, height - 56, date, font, 17, width / 2)
        for number, text in enumerate(office):
            centred(pen, height - 72 - 11.5 * number, text, font, 9, width / 2)

    return draw, width, height


def round_one(date: str, above: str, below: str, size: float = 150) -> tuple[Draw, float, float]:
    """A round FILED stamp: two plain rings, words along them, the date straight across the middle."""

    def draw(pen: Pen) -> None:
        middle = size / 2
        pen.setLineWidth(2.2)
        pen.circle(middle, middle, middle - 5)
        pen.setLineWidth(1)
        pen.circle(middle, middle, middle - 22)
        _around(pen, middle, middle - 17, above, top=True)
        _around(pen, middle, middle - 17, below, top=False)
        centred(pen, middle + 8, "FILED", "Sans-Bold", 21, middle)
        centred(pen, middle - 14, date, "Sans-Bold", 14, middle)

    return draw, size, size


def _around(pen: Pen, middle: float, radius: float, text: str, *, top: bool) -> None:
    """Letters along a ring, each as wide as it is, the whole centred at the top or at the bottom."""
    font, size, gap = "Sans-Bold", 8.5, 1.1
    reach = radius if top else radius + 6
    room = [stringWidth(letter, font, size) + gap for letter in text]
    pen.setFont(font, size)
    done = -sum(room) / 2
    for letter, wide in zip(text, room, strict=True):
        offset = (done + wide / 2) / radius
        angle = math.pi / 2 - offset if top else -math.pi / 2 + offset
        pen.saveState()
        pen.translate(middle + reach * math.cos(angle), middle + reach * math.sin(angle))
        pen.rotate(math.degrees(angle) + (-90 if top else 90))
        pen.drawCentredString(0, 0, letter)
        pen.restoreState()
        done += wide


def press(
    page: Pixels,
    stamp: tuple[Draw, float, float],
    centre: tuple[float, float],
    angle: float,
    ink: tuple[int, int, int],
    dpi: int,
    dice: np.random.Generator,
    strength: float = 0.92,
) -> Pixels:
    """Press `stamp` on `page`, its middle at `centre` (points from the bottom left), turned `angle` degrees left."""
    cover = _cover(stamp, angle, dpi, dice) * strength
    height, width = cover.shape
    left = round(centre[0] * dpi / 72 - width / 2)
    top = round(page.shape[0] - centre[1] * dpi / 72 - height / 2)
    out = page.astype(np.float64)
    patch = out[top : top + height, left : left + width]
    shade = 1 - cover[:, :, None] * (1 - np.array(ink) / 255)
    patch *= shade
    return out.round().astype(np.uint8)


def _cover(stamp: tuple[Draw, float, float], angle: float, dpi: int, dice: np.random.Generator) -> NDArray[np.float64]:
    """How much ink lies where, 0 to 1: the drawing turned, with dry patches and a grain."""
    draw, width, height = stamp
    drawn = raster(sheets([draw], (width, height)), dpi)[0]
    turned = Image.fromarray(255 - drawn[:, :, 0]).rotate(angle, Image.Resampling.BICUBIC, expand=True)
    ink = np.asarray(turned.filter(ImageFilter.GaussianBlur(0.45)), dtype=np.float64) / 255
    patches = 0.80 + 0.22 * cloud(ink.shape, 34 * dpi / 200, dice)
    grain = 1 - 0.22 * (dice.random(ink.shape) < 0.10)
    return np.clip(ink * patches * grain, 0, 1)
