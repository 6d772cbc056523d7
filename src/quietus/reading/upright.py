"""Which way up a page is, how far it is skewed, and the way back from the upright page to the page as received.

Letters stand on a common line: their lower edges line up far better than their upper, left or right ones. So the
direction in which edges line up best says how the page lies, and the angle at which they do is the skew. Where up and
down come out nearly alike, two dozen words of the page are recognised both ways and the surer way wins.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quietus.model.reading import Box
from quietus.reading.engine import Layout, Recogniser
from quietus.reading.pixels import (
    Gray,
    Picture,
    blobs,
    cut,
    even_light,
    gray_of,
    ink_of,
    padded,
    resized,
    rotated,
    turned,
)
from quietus.reading.sheet import Sheet
from quietus.reading.words import Rect

_DPI = 100.0  # enough to see letters as blobs
_FURTHEST = 7.0  # degrees of skew looked for
_LEVEL = 0.15  # degrees: less skew than this is left alone
_FEW = 30  # letters: a page with fewer is taken as it came
_CLEAR = 1.25  # times better than the next way up: no need to recognise anything
_PLAIN = 150.0  # dpi at which letters are told from letters that stand on their heads


@dataclass(frozen=True, slots=True)
class Stance:
    """How a page lies.

    Attributes:
        turn: degrees clockwise (0, 90, 180, 270) that make it upright.
        skew: degrees, clockwise positive, that the turned page still leans.
    """

    turn: int
    skew: float


@dataclass(frozen=True, slots=True)
class Way:
    """The way between the page as received and the upright page.

    Attributes:
        stance: how the page lies, once it is seen flat.
        wide: pixels of the upright page across.
        high: and down.
        sheet: where the page lies in a photograph; None for a scan.
    """

    stance: Stance
    wide: int
    high: int
    sheet: Sheet | None = None

    def upright(self, picture: Picture) -> Picture:
        """The picture as received, seen flat, turned and straightened."""
        picture = turned(self.sheet.flat(picture) if self.sheet else picture, self.stance.turn)
        return rotated(picture, self.stance.skew) if self.stance.skew else picture

    def back(self, rect: Rect) -> Box:
        """The box on the page as received around a rectangle of the upright page."""
        corners = [(x, y) for x in (rect.left, rect.right) for y in (rect.top, rect.bottom)]
        spots = [_unturned(*self._leaning(x, y), self.stance.turn) for x, y in corners]
        spots = [self.sheet.on_picture(*spot) for spot in spots] if self.sheet else spots
        lefts, tops = zip(*spots, strict=True)
        left, right = (min(1.0, max(0.0, edge)) for edge in (min(lefts), max(lefts)))
        top, bottom = (min(1.0, max(0.0, edge)) for edge in (min(tops), max(tops)))
        tiny = 1e-4
        return Box(min(left, 1 - tiny), min(top, 1 - tiny), max(right, left + tiny), max(bottom, top + tiny))

    def forth(self, box: Box) -> Rect:
        """The rectangle of the upright page around a box of the page as received."""
        corners = [(x, y) for x in (box.left, box.right) for y in (box.top, box.bottom)]
        corners = [self.sheet.on_sheet(*spot) for spot in corners] if self.sheet else corners
        spots = [self._straight(*_unturned(x, y, -self.stance.turn % 360)) for x, y in corners]
        lefts, tops = zip(*spots, strict=True)
        return Rect(min(lefts), min(tops), max(lefts), max(tops))

    def _leaning(self, x: float, y: float) -> tuple[float, float]:
        """Fractions of the turned page before it was straightened."""
        x, y = _spun(x, y, self.wide / 2, self.high / 2, self.stance.skew)
        return x / self.wide, y / self.high

    def _straight(self, x: float, y: float) -> tuple[float, float]:
        return _spun(x * self.wide, y * self.high, self.wide / 2, self.high / 2, -self.stance.skew)


def _spun(x: float, y: float, middle_x: float, middle_y: float, degrees: float) -> tuple[float, float]:
    """A point spun clockwise (as seen; y points down) about the middle."""
    sine, cosine = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
    dx, dy = x - middle_x, y - middle_y
    return middle_x + dx * cosine - dy * sine, middle_y + dx * sine + dy * cosine


def _unturned(x: float, y: float, turn: int) -> tuple[float, float]:
    """A point of the page turned clockwise by `turn`, on the page before that; all in fractions."""
    return {0: (x, y), 90: (y, 1 - x), 180: (1 - x, 1 - y), 270: (1 - y, x)}[turn]


def stance_of(picture: Picture, dpi: float, engine: Recogniser) -> Stance:
    """How the page in `picture` lies."""
    gray = even_light(resized(gray_of(picture), _DPI / dpi), _DPI)
    letters = letter_boxes(ink_of(gray), _DPI)
    if len(letters) < _FEW:
        return Stance(0, 0.0)
    scores = {turn: _alignment(letters, turn) for turn in (0, 90, 180, 270)}
    order = sorted(scores, key=lambda turn: -scores[turn][0])
    best, other = order[0], order[1]
    if scores[best][0] < _CLEAR * scores[other][0]:
        told = _recognised_way(picture, dpi, {turn: scores[turn][1] for turn in order[:2]}, engine)
        best = best if told is None else told
    skew = scores[best][1]
    return Stance(best, skew if abs(skew) >= _LEVEL else 0.0)


def letter_boxes(ink: Gray, dpi: float) -> NDArray[np.int32]:
    """Left, top, right, bottom of every blob of ink that could be a letter."""
    stats = blobs(ink)[2][1:]
    wide, high, area = stats[:, 2], stats[:, 3], stats[:, 4]
    small, large = 0.03 * dpi, 0.35 * dpi
    fits = (np.maximum(wide, high) >= small) & (np.maximum(wide, high) <= large) & (np.minimum(wide, high) >= 1)
    fits &= area >= 3
    kept = stats[fits]
    return np.stack([kept[:, 0], kept[:, 1], kept[:, 0] + kept[:, 2], kept[:, 1] + kept[:, 3]], axis=1)


def _alignment(letters: NDArray[np.int32], turn: int) -> tuple[float, float]:
    """How well lower edges line up when the page is turned by `turn`, and the skew at which they line up best."""
    left, top, right, bottom = letters.T.astype(np.float64)
    across, down = {
        0: ((left + right) / 2, bottom),
        90: (-(top + bottom) / 2, right),
        180: (-(left + right) / 2, -top),
        270: ((top + bottom) / 2, -left),
    }[turn]
    coarse = _peak(across, down, np.arange(-_FURTHEST, _FURTHEST + 0.01, 0.5))
    return _peak(across, down, np.arange(coarse[1] - 0.5, coarse[1] + 0.51, 0.1))


def _peak(across: NDArray[np.float64], down: NDArray[np.float64], angles: NDArray[np.float64]) -> tuple[float, float]:
    best = (0.0, 0.0)
    for angle in angles:
        slope = math.tan(math.radians(angle))
        level = down - across * slope
        rows = np.bincount((level - level.min()).astype(np.int64)).astype(np.float64)
        score = float((rows**2).sum()) / len(down)
        if score > best[0]:
            best = (score, float(angle))
    return best


def _recognised_way(picture: Picture, dpi: float, skews: dict[int, float], engine: Recogniser) -> int | None:
    """The way up in which the densest strip of the page is recognised better; None when neither is any good."""
    scale = min(1.0, _PLAIN / dpi)
    small, dpi = resized(gray_of(picture), scale), dpi * scale
    sums: dict[int, float] = {}
    for turn, skew in skews.items():
        gray = even_light(rotated(turned(small, turn), skew), dpi)
        words = engine.words(padded(_dense_strip(gray, dpi), 20), dpi, Layout.BLOCK)
        sums[turn] = sum(word.sure**2 for word in words if len(word.text) > 2 and word.text.isalnum())
    best = max(sums, key=lambda turn: sums[turn])
    return best if sums[best] > 1.0 else None


def _dense_strip(gray: Gray, dpi: float) -> Gray:
    """About an inch of the page, the full width, where there is most ink of letters."""
    small = ink_of(resized(gray, 50 / dpi))
    rows = (small > 0).sum(axis=1).astype(np.float64)
    height = min(len(rows), 50)
    sums = np.convolve(rows, np.ones(height), mode="valid")
    top = float(np.argmax(sums)) * dpi / 50
    return cut(gray, Rect(0, top, gray.shape[1], top + dpi))
