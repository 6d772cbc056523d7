"""What glass, lamp, lens, telephone line and coffee do to a sheet."""

import math
from dataclasses import dataclass
from typing import cast

import cv2
import numpy as np
from drawing.ageing import cloud
from drawing.sheet import Pixels, raster, sheets
from numpy.typing import NDArray
from PIL import Image, ImageFilter
from reportlab.pdfgen.canvas import Canvas

from tests.corpus.strokes import Pressed, drawn

Gray = NDArray[np.uint8]
Light = NDArray[np.float32]
_DESKS = ((96, 74, 56), (44, 46, 52), (150, 148, 140), (64, 88, 104), (190, 176, 152))
"""What lies under a sheet that is photographed: walnut, slate, concrete, blotter, maple."""


@dataclass(frozen=True, slots=True)
class Wear:
    """How worn a scan is.

    Attributes:
        sort: `colour`, `gray`, `fax`, `bilevel` or `photo`.
        dpi: pixels per inch.
        skew: degrees the sheet lay turned.
        paper: colour of blank paper.
        ink: how dark black print is, 0 to 255.
        blur: radius of the lens in 1/200 inch.
        noise: of the sensor, in levels.
        shadow: a dark edge: `` (none), `side` or `corner`.
        ring: whether a cup stood on it.
        holes: punched holes.
        turn: degrees (0, 90, 180, 270) it lies turned.
        threshold: level below which a 1-bit scan makes black.
        corners: where the sheet's corners fall in a photo, in fractions; empty otherwise.
    """

    sort: str
    dpi: int
    skew: float
    paper: tuple[int, int, int]
    ink: int
    blur: float
    noise: float
    shadow: str
    ring: bool
    holes: int
    turn: int
    threshold: int
    corners: tuple[tuple[float, float], ...] = ()


def pressed(page: Pixels, one: Pressed, dpi: int, dice: np.random.Generator) -> Pixels:
    """The page with a stamp pressed on it; what lies over the edge is lost."""
    cover = _cover(one, dpi, dice)
    height, width = cover.shape
    left = round(one.x * dpi / 72 - width / 2)
    top = round(page.shape[0] - one.y * dpi / 72 - height / 2)
    x0, y0 = max(0, left), max(0, top)
    x1, y1 = min(page.shape[1], left + width), min(page.shape[0], top + height)
    if x0 >= x1 or y0 >= y1:
        return page
    part = cover[y0 - top : y1 - top, x0 - left : x1 - left, None]
    out = page.copy()
    ink = np.array(one.ink, dtype=np.float32) / 255
    out[y0:y1, x0:x1] = (page[y0:y1, x0:x1] * (1 - part * (1 - ink))).round().astype(np.uint8)
    return out


def _cover(one: Pressed, dpi: int, dice: np.random.Generator) -> Light:
    """How much ink lies where, 0 to 1, with dry patches and a grain."""

    def draw(pen: Canvas) -> None:
        drawn(pen, one.stamp, (0, 0, 0))

    flat = raster(sheets([draw], (one.stamp.width, one.stamp.height)), dpi)[0]
    image = Image.fromarray(255 - flat[:, :, 0]).rotate(one.angle, Image.Resampling.BICUBIC, expand=True)
    ink = np.asarray(image.filter(ImageFilter.GaussianBlur(0.5 * dpi / 200)), dtype=np.float32) / 255
    patches = 0.76 + 0.28 * cloud(ink.shape, 30 * dpi / 200, dice)
    grain = 1 - 0.25 * (dice.random(ink.shape) < 0.08)
    return cast("Light", np.clip(ink * patches * grain * one.strength, 0, 1).astype(np.float32))


def worn(page: Pixels, wear: Wear, header: str, dice: np.random.Generator) -> NDArray[np.uint8]:
    """The sheet as it comes off the device: colour, or two-dimensional when gray or 1-bit (0 and 255)."""
    paper = np.array(wear.paper, dtype=np.float32)
    table = (np.arange(256, dtype=np.float32)[:, None] / 255 * (paper - wear.ink) + wear.ink).round().astype(np.uint8)
    page = np.dstack([table[:, channel][page[:, :, channel]] for channel in range(3)])
    page = _stained(page, wear, dice)
    if wear.sort == "photo":
        page = _photographed(page, wear, dice)
    elif abs(wear.skew) > 0.01:
        page = _skewed(page, wear.skew, wear.paper)
    page = _lit(page, wear, dice)
    if wear.sort in {"fax", "bilevel"}:
        return _turned(_one_bit(page, wear, header, dice), wear.turn)
    if wear.sort == "gray":
        return _turned(cast("Gray", cv2.cvtColor(page, cv2.COLOR_RGB2GRAY)), wear.turn)
    return _turned(page, wear.turn)


def _stained(page: Pixels, wear: Wear, dice: np.random.Generator) -> Pixels:
    if wear.ring:
        page = _ringed(page, wear.dpi, dice)
    for number in range(wear.holes):
        x = round(0.4 * wear.dpi)
        y = round(page.shape[0] * (0.5 + 0.36 * (number - (wear.holes - 1) / 2) / max(1, wear.holes - 1) * 2))
        cv2.circle(page, (x, y), round(0.13 * wear.dpi), (88, 88, 90), -1, cv2.LINE_AA)
    return page


def _ringed(page: Pixels, dpi: int, dice: np.random.Generator) -> Pixels:
    """A brown ring, dark at its rim, stronger here and weaker there."""
    radius = dice.uniform(1.1, 1.5) * dpi
    span = round(radius * 1.25)
    x, y = dice.uniform(0.2, 0.8) * page.shape[1], dice.uniform(0.15, 0.85) * page.shape[0]
    left, top = max(0, round(x - span)), max(0, round(y - span))
    part = page[top : round(y + span), left : round(x + span)]
    down, across = np.mgrid[0 : part.shape[0], 0 : part.shape[1]].astype(np.float32)
    away = np.hypot(across - (x - left), down - (y - top)) - radius
    away += (cloud(part.shape[:2], 0.5 * dpi, dice) - 0.5) * 0.05 * dpi
    width = 0.022 * dpi
    strength = 0.62 * np.exp(-((away / width) ** 2)) + 0.3 * np.exp(-(((away + 2 * width) / (2 * width)) ** 2))
    strength = (strength + 0.07 * (away < 0)) * (0.3 + 0.8 * cloud(part.shape[:2], 0.6 * dpi, dice))
    tint = 1 - np.clip(strength, 0, 0.85)[:, :, None] * (1 - np.array([122, 72, 30]) / 255)
    page = page.copy()
    page[top : top + part.shape[0], left : left + part.shape[1]] = (part * tint).round().astype(np.uint8)
    return page


def _skewed(page: Pixels, degrees: float, lid: tuple[int, int, int]) -> Pixels:
    height, width = page.shape[:2]
    spin = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 1.0)
    return cast("Pixels", cv2.warpAffine(page, spin, (width, height), flags=cv2.INTER_CUBIC, borderValue=lid))


def _photographed(page: Pixels, wear: Wear, dice: np.random.Generator) -> Pixels:
    """The sheet on a desk, seen by a hand-held camera; the picture is a little larger than the sheet."""
    height, width = page.shape[:2]
    size = (round(width * 1.08), round(height * 1.08))
    flat = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=np.float32)
    seen = np.array([(x * size[0], y * size[1]) for x, y in wear.corners], dtype=np.float32)
    bend = cv2.getPerspectiveTransform(flat, seen)
    sheet = cv2.warpPerspective(page, bend, size, flags=cv2.INTER_CUBIC).astype(np.float32)
    cover = (
        cv2.warpPerspective(np.full((height, width), 255, np.uint8), bend, size).astype(np.float32)[:, :, None] / 255
    )
    grain = 0.75 + 0.35 * cloud((size[1], size[0]), 60, dice).astype(np.float32)
    desk = np.array(_DESKS[int(dice.integers(len(_DESKS)))], dtype=np.float32) * grain[:, :, None]
    return cast("Pixels", np.clip(sheet * cover + desk * (1 - cover), 0, 255).astype(np.uint8))


def _lit(page: Pixels, wear: Wear, dice: np.random.Generator) -> Pixels:
    """Lens, lamp, shadow and sensor."""
    sigma = wear.blur * wear.dpi / 200
    if sigma > 0.15:
        page = cast("Pixels", cv2.GaussianBlur(page, (0, 0), sigma))
    height, width = page.shape[:2]
    lamp = _lamp(wear, height, width, dice)
    grain = dice.standard_normal((509, 521, 3)).astype(np.float32)
    tile = (wear.noise * (0.8 * grain[:, :, :1] + 0.3 * grain)).astype(np.float32)
    out = np.empty_like(page)
    for top in range(0, height, 509):  # band by band: a 600 dpi page is 100 MB
        band = page[top : top + 509].astype(np.float32) * lamp[top : top + 509, :, None]
        noise = np.tile(np.roll(tile, int(dice.integers(521)), axis=1), (1, math.ceil(width / 521), 1))
        band += noise[: band.shape[0], :width]
        out[top : top + 509] = np.clip(band, 0, 255).round()
    return out


def _lamp(wear: Wear, height: int, width: int, dice: np.random.Generator) -> Light:
    down = np.linspace(0, 1, height, dtype=np.float32)[:, None]
    across = np.linspace(0, 1, width, dtype=np.float32)[None, :]
    lamp: NDArray[np.floating] = 1 - 0.03 * (0.4 * down + 0.6 * across**2)
    if wear.sort == "photo":
        glow = np.exp(
            -((across - float(dice.uniform(0.2, 0.8))) ** 2 + (down - float(dice.uniform(0.1, 0.6))) ** 2) / 0.6
        )
        lamp = lamp * (0.68 + 0.34 * glow)
    if wear.shadow == "side":
        lamp = lamp * (1 - 0.5 * np.exp(-across / 0.06) * (0.8 + 0.2 * down))
    elif wear.shadow == "corner":
        lamp = lamp * (1 - 0.42 / (1 + np.exp(-((across + down - 1.35) / 0.05))))
    return cast("Light", lamp.astype(np.float32))


def _one_bit(page: Pixels, wear: Wear, header: str, dice: np.random.Generator) -> Gray:
    gray = cv2.cvtColor(page, cv2.COLOR_RGB2GRAY)
    white = np.where(gray > wear.threshold, 255, 0).astype(np.uint8)
    if wear.sort == "fax":
        specks = dice.random(white.shape)
        white[specks < 0.0002] = 0
        white[specks > 0.9996] = 255
        for row in dice.integers(150, white.shape[0] - 150, 4):
            white[row] = white[row - 1]
        if header:
            white[: round(0.24 * wear.dpi)] = _header(header, white.shape[1], wear.dpi)[: round(0.24 * wear.dpi)]
    return white


def _header(text: str, width: int, dpi: int) -> Gray:
    """The sender's line at the top of a fax."""

    def draw(pen: Canvas) -> None:
        pen.setFont("Courier-Bold", 9)
        pen.drawString(24, 6, text)

    line = raster(sheets([draw], (width * 72 / dpi, 20)), dpi)[0][:, :, 0]
    return np.where(cv2.resize(line, (width, line.shape[0])) > 128, 255, 0).astype(np.uint8)


def _turned(page: NDArray[np.uint8], turn: int) -> NDArray[np.uint8]:
    return np.ascontiguousarray(np.rot90(page, -turn // 90)) if turn else page
