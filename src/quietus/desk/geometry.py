"""Boxes on pages as received and on their upright pictures."""

import math

from quietus.model.reading import Box

LETTER = 11 / 8.5
"""Height of a letter sheet by its width."""

_LEAST_WIDE, _LEAST_HIGH = 0.2, 0.02  # of the upright page: a tick alone tells little without what stands beside it
_ROOM = 0.004  # of the page's width, between a box and the line drawn around it


def roomy(box: Box, turn: int) -> Box:
    """The box, but never so small that it shows a tick without its words.

    Args:
        box: on the page as received.
        turn: degrees clockwise that make the page upright.
    """
    least_wide, least_high = (_LEAST_WIDE, _LEAST_HIGH) if turn in {0, 180} else (_LEAST_HIGH, _LEAST_WIDE)
    return _around(box, max(box.right - box.left, least_wide), max(box.bottom - box.top, least_high))


def upright(box: Box, turn: int, skew: float = 0.0, shape: float = LETTER) -> Box:
    """The box on the page made upright, as its picture shows it.

    Args:
        box: on the page as received.
        turn: degrees clockwise (0, 90, 180, 270).
        skew: degrees, clockwise positive, that the turned page leans.
        shape: height of the upright page by its width; for a small skew that of another sheet is near enough.
    """
    left, top, right, bottom = box
    turned = {
        0: box,
        90: Box(1 - bottom, left, 1 - top, right),
        180: Box(1 - right, 1 - bottom, 1 - left, 1 - top),
        270: Box(top, 1 - right, bottom, 1 - left),
    }[turn]
    return _straight(turned, skew, shape) if skew else turned


def _straight(box: Box, skew: float, shape: float) -> Box:
    """The rectangle that `box` is drawn around, on the page turned back by `skew` about its middle.

    A leaning rectangle fills its box to the edges, so that its own sides follow from the box's.
    """
    sine, cosine = math.sin(math.radians(skew)), math.cos(math.radians(skew))
    x, y = (box.left + box.right) / 2 - 0.5, ((box.top + box.bottom) / 2 - 0.5) * shape
    x, y = x * cosine + y * sine + 0.5, (y * cosine - x * sine) / shape + 0.5
    outer_wide, outer_high = box.right - box.left, (box.bottom - box.top) * shape
    lean = abs(sine)
    wide = max((outer_wide * cosine - outer_high * lean) / (cosine**2 - lean**2), outer_wide / 4)
    high = max((outer_high * cosine - outer_wide * lean) / (cosine**2 - lean**2), outer_high / 4) / shape
    return _around(Box(x, y, x, y), wide, high)


def received(box: Box, turn: int, skew: float, shape: float) -> Box:
    """The box on the page as received around a box of its upright picture; nothing of what was drawn is left out.

    Args:
        box: on the picture, in fractions.
        turn: degrees clockwise (0, 90, 180, 270) that made the page upright.
        skew: degrees, clockwise positive, that the turned page leaned before it was straightened.
        shape: height of the picture by its width.
    """
    sine, cosine = math.sin(math.radians(skew)), math.cos(math.radians(skew))
    corners = [(x - 0.5, (y - 0.5) * shape) for x in (box.left, box.right) for y in (box.top, box.bottom)]
    across = [_on_page(x * cosine - y * sine + 0.5) for x, y in corners]
    down = [_on_page((x * sine + y * cosine) / shape + 0.5) for x, y in corners]
    leaning = Box(min(across), min(down), max(across), max(down))
    return upright(leaning, -turn % 360)


def _on_page(place: float) -> float:
    return min(1.0, max(0.0, place))


def framed(box: Box) -> Box:
    """The box with a little room, so that a line drawn along it touches no letter."""
    return _around(box, box.right - box.left + 2 * _ROOM, box.bottom - box.top + 2 * _ROOM / LETTER)


def _around(box: Box, wide: float, high: float) -> Box:
    """A box of that size with the same middle, as far as it lies on the page."""
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    edges = x - wide / 2, y - high / 2, x + wide / 2, y + high / 2
    return Box(*map(_on_page, edges))
