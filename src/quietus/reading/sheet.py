"""A sheet of paper photographed on a desk: where its four edges are, and the way to see it flat.

An edge is a straight line along which the picture steps from something darker to paper. Only when all four are seen,
and do not already make a rectangle, is the picture bent; a scan, which is flat, stays as it came.
"""

from dataclasses import dataclass
from itertools import combinations
from typing import Any, cast

import cv2
import numpy as np
from numpy.typing import NDArray

from quietus.reading.folio import LETTER
from quietus.reading.pixels import Gray, Picture, resized, weakest

_LONG = 640  # pixels of the small picture in which edges are looked for
_RIM = 0.22  # share of the picture from each side in which its edge is looked for
_REACH = 7  # pixels on each side of an edge that are compared
_STEP = 0.1  # share of the paper's brightness by which the desk must be darker
_DESK = 0.06  # share by which all that lies beyond the edge must be darker than the paper
_NEAR = 2.2  # pixels from the line that still count as on it
_SEEN = 0.62  # share of the side along which the edge must be seen
_PAIRS = 24  # spots along a side through two of which lines are tried
_BENT = 0.004  # share of the picture's size by which opposite edges must differ for the sheet to be bent
_LEGAL, _LEGAL_INCHES = 0.66, 14.0  # width to height of a sheet that is longer than a letter; and its length

Spots = NDArray[np.float64]
Bend = Any  # three by three; the two libraries that make it name its type differently


@dataclass(frozen=True, slots=True)
class Sheet:
    """A bent sheet in a picture.

    Attributes:
        corners: left top, right top, right bottom, left bottom, in fractions of the picture.
        wide: of the flat sheet, in pixels of the picture.
        high: the same, down.
    """

    corners: tuple[tuple[float, float], ...]
    wide: int
    high: int

    @property
    def dpi(self) -> float:
        """Pixels per inch of the flat sheet, taken for a letter page, or a legal one when it is as slender as that."""
        short, long = sorted((self.wide, self.high))
        return long / (_LEGAL_INCHES if short / long < _LEGAL else LETTER)

    def flat(self, picture: Picture) -> Picture:
        """The sheet alone, seen flat."""
        high, wide = picture.shape[:2]
        ends = np.array([(x * wide, y * high) for x, y in self.corners], np.float32)
        square = np.array([(0, 0), (self.wide, 0), (self.wide, self.high), (0, self.high)], np.float32)
        bend = cv2.getPerspectiveTransform(ends, square)
        size = (self.wide, self.high)
        return cast("Picture", cv2.warpPerspective(picture, bend, size, flags=cv2.INTER_CUBIC, borderValue=(255,) * 3))

    def on_picture(self, x: float, y: float) -> tuple[float, float]:
        """Where a spot of the flat sheet stands on the picture; both in fractions."""
        return _moved(self._bend(), x, y)

    def on_sheet(self, x: float, y: float) -> tuple[float, float]:
        """Where a spot of the picture stands on the flat sheet; both in fractions."""
        return _moved(np.linalg.inv(self._bend()), x, y)

    def _bend(self) -> Bend:
        square = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], np.float32)
        return cv2.getPerspectiveTransform(square, np.array(self.corners, np.float32))


def _moved(bend: Bend, x: float, y: float) -> tuple[float, float]:
    across, down, far = (float(v) for v in bend @ np.array([x, y, 1.0]))
    return across / far, down / far


def sheet_in(picture: Picture) -> Sheet | None:
    """The bent sheet that the picture shows whole; None for a scan, or where an edge is not to be seen."""
    high, wide = picture.shape[:2]
    scale = _LONG / max(high, wide)
    small = resized(picture, scale)
    pale = cast("Gray", cv2.medianBlur(weakest(small), 5))
    sides = [_edge(np.ascontiguousarray(np.rot90(pale, turn))) for turn in range(4)]
    if any(side is None for side in sides):
        return None
    corners = _corners([side for side in sides if side is not None], pale.shape)
    return _bent(corners, pale.shape, scale)


def _edge(pale: Gray) -> tuple[float, float] | None:
    """The sheet's left edge as x = a + b * y; None when it is not to be seen."""
    sums = np.cumsum(pale[:, : round(_RIM * pale.shape[1]) + 2 * _REACH].astype(np.float64), axis=1)
    means = (sums[:, _REACH:] - sums[:, :-_REACH]) / _REACH  # of the _REACH pixels right of each place
    inside, outside = means[:, _REACH + 1 :], means[:, : -_REACH - 1]
    steps = (inside - outside) / np.maximum(inside, 40.0)
    first = (steps > _STEP).argmax(axis=1)[:, None] + np.arange(_REACH)[None, :]
    first = np.minimum(first, steps.shape[1] - 1)
    outer = np.take_along_axis(first, np.take_along_axis(steps, first, axis=1).argmax(axis=1)[:, None], axis=1)[:, 0]
    for where in (outer, steps.argmax(axis=1)):  # the outermost step in each row, or the strongest
        line = _edge_through(where, steps, sums, inside)
        if line is not None:
            return line
    return None


def _edge_through(where: NDArray[np.int64], steps: Spots, sums: Spots, inside: Spots) -> tuple[float, float] | None:
    """The edge through the steps at `where`, if they make a line and all beyond them is darker than paper."""
    high = len(where)
    rows = np.arange(high)
    kept = (steps[rows, where] > _STEP) & (rows > 0.06 * high) & (rows < 0.94 * high)
    if np.count_nonzero(kept) < _SEEN * 0.88 * high:
        return None
    beyond = np.maximum(where[kept] - 2, 1)
    desk = sums[rows[kept], beyond] / (beyond + 1)
    if float(np.median(desk / inside[rows[kept], where[kept]])) > 1 - _DESK:  # paper on both sides: a printed frame
        return None
    return _line(
        rows[kept].astype(np.float64), where[kept].astype(np.float64) + (_REACH + 1), least=_SEEN * 0.88 * high
    )


def _line(down: Spots, across: Spots, least: float) -> tuple[float, float] | None:
    """The line x = a + b * y on which most spots lie; None when they are fewer than `least`."""
    best: NDArray[np.bool_] | None = None
    picks = np.linspace(0, len(down) - 1, _PAIRS).astype(np.int64)
    for one, other in combinations(picks.tolist(), 2):
        if down[other] - down[one] < 0.2 * (down[-1] - down[0]):
            continue
        slope = (across[other] - across[one]) / (down[other] - down[one])
        near = np.abs(across - across[one] - slope * (down - down[one])) < _NEAR
        if best is None or np.count_nonzero(near) > np.count_nonzero(best):
            best = near
    if best is None or np.count_nonzero(best) < least:
        return None
    slope, start = np.polyfit(down[best], across[best], 1)
    return float(start), float(slope)


def _corners(sides: list[tuple[float, float]], shape: tuple[int, ...]) -> Spots:
    """Where the edges cross: left top, right top, right bottom, left bottom, in pixels.

    Each side was told in a picture turned so that it was the left one: left, then top, right, bottom seen so.
    """
    high, wide = shape
    lines = []
    for turn, (start, slope) in enumerate(sides):
        length = float(high if turn % 2 == 0 else wide)
        ends = ((start, 0.0), (start + slope * length, length))
        lines.append([_turned_back(x, y, turn, high, wide) for x, y in ends])
    left, right = lines[0], lines[2]
    top, bottom = lines[1], lines[3]
    return np.array([_crossing(a, b) for a, b in ((left, top), (right, top), (right, bottom), (left, bottom))])


def _turned_back(x: float, y: float, turn: int, high: int, wide: int) -> tuple[float, float]:
    """A spot of the picture turned by `turn` quarters against the clock, on the picture before that."""
    return {0: (x, y), 1: (wide - y, x), 2: (wide - x, high - y), 3: (y, high - x)}[turn]


def _crossing(one: list[tuple[float, float]], other: list[tuple[float, float]]) -> tuple[float, float]:
    (x1, y1), (x2, y2) = one
    (x3, y3), (x4, y4) = other
    whole = (x1 - x2) * (y3 - y4) - (y1 - y2) * (x3 - x4)
    first, second = x1 * y2 - y1 * x2, x3 * y4 - y3 * x4
    return (first * (x3 - x4) - (x1 - x2) * second) / whole, (first * (y3 - y4) - (y1 - y2) * second) / whole


def _bent(corners: Spots, shape: tuple[int, ...], scale: float) -> Sheet | None:
    """The sheet, unless its opposite edges are so nearly alike that it already lies flat."""
    high, wide = shape
    across, down = corners[1] - corners[0], corners[3] - corners[0]
    crooked = corners[0] + across + down - corners[2]
    square = float(abs(across @ down)) / float(np.hypot(*across) * np.hypot(*down))
    if float(np.hypot(*crooked)) < _BENT * max(high, wide) and square < _BENT:
        return None
    lengths = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    return Sheet(
        tuple((float(x / wide), float(y / high)) for x, y in corners),
        round((lengths[0] + lengths[2]) / 2 / scale),
        round((lengths[1] + lengths[3]) / 2 / scale),
    )
