"""Printed tick boxes on a page: where they are and how much ink is inside."""

from dataclasses import dataclass
from typing import cast

import cv2
import numpy as np

from quietus.reading.pixels import Gray, cut
from quietus.reading.words import Rect

_SIDES = (0.07, 0.3)  # inches: the side of a tick box
_LEVELS = (185, 140)  # gray below which there is ink: faint outlines need the first, bold ones the second
_EDGE, _LINED = 0.14, 0.72  # a side is drawn when so much of it, within so much of the box's width, is ink
_INNER, _HOLE = 0.2, 0.1  # share of the width left out on each side, of a box's outer outline and of its inner one
_DARK = 165  # gray below which ink counts


@dataclass(frozen=True, slots=True)
class Square:
    """A tick box: its outline, and the share of its inner part that is ink."""

    rect: Rect
    ink: float


def squares_in(gray: Gray, region: Rect, dpi: float) -> list[Square]:
    """Closed outlines in a region, nearly square and of the right size, each once."""
    left, top = max(0, int(region.left)), max(0, int(region.top))
    part = cut(gray, region)
    found: list[Rect] = []
    for level in _LEVELS:
        ink = cast("Gray", cv2.threshold(part, level, 255, cv2.THRESH_BINARY_INV)[1])
        for shape in (ink, _box_lines(ink, dpi)):
            contours, _ = cv2.findContours(shape, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)
            boxes = [cv2.boundingRect(contour) for contour in contours]
            found += [
                Rect(left + x, top + y, left + x + w, top + y + h)
                for x, y, w, h in boxes
                if _fits(shape, (x, y, w, h), dpi)
            ]
    return [Square(outer, _ink(gray, inner, _HOLE if inner is not outer else _INNER)) for outer, inner in _once(found)]


def ink_inside(gray: Gray, rect: Rect) -> float:
    """Share of a box's inner part that is ink, the outline left out."""
    return _ink(gray, rect, _INNER)


def _ink(gray: Gray, rect: Rect, margin: float) -> float:
    return float(np.mean(cut(gray, rect.grown(-margin * rect.width, -margin * rect.height)) < _DARK))


def _box_lines(ink: Gray, dpi: float) -> Gray:
    """Only the straight strokes that could be sides of boxes: a pen mark over a box falls away."""
    length = max(4, round(0.06 * dpi))
    across = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((1, length), np.uint8))
    down = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((length, 1), np.uint8))
    return cast("Gray", cv2.morphologyEx(cv2.bitwise_or(across, down), cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8)))


def _fits(ink: Gray, box: tuple[int, int, int, int], dpi: float) -> bool:
    """True for the size and shape of a tick box with ink along most of each of its four sides."""
    x, y, wide, high = box
    low, most = (side * dpi for side in _SIDES)
    if not (low <= wide <= most and low <= high <= most and 0.75 <= wide / high <= 1.33):
        return False
    edge = max(2, round(_EDGE * min(wide, high)))
    part = ink[y : y + high, x : x + wide]
    sides = (part[:edge].max(axis=0), part[-edge:].max(axis=0), part[:, :edge].max(axis=1), part[:, -edge:].max(axis=1))
    return all(float(np.mean(side > 0)) > _LINED for side in sides)


def _once(rects: list[Rect]) -> list[tuple[Rect, Rect]]:
    """Each box once, by its outer and its inner outline (the same when only one was found)."""
    kept: list[tuple[Rect, Rect]] = []
    for rect in sorted(rects, key=lambda r: -r.width * r.height):
        for index, (outer, inner) in enumerate(kept):
            if rect.overlap(outer) >= 0.4 * rect.width * rect.height:
                if rect.overlap(outer) > 0.98 * rect.width * rect.height > 0.4 * outer.width * outer.height:
                    kept[index] = (outer, rect)
                del inner
                break
        else:
            kept.append((rect, rect))
    return kept
