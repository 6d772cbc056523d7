"""Stamps that stand so straight that they were recognised as print: where to look at them again."""

import math
from collections.abc import Callable, Sequence

from quietus.reading.attested import OFFICES
from quietus.reading.companions import STAMP_LINE, shows
from quietus.reading.dates import find_dates
from quietus.reading.marks import sort_of
from quietus.reading.patches import Patch
from quietus.reading.pixels import Gray, cut
from quietus.reading.roles import OWN, Dated
from quietus.reading.words import Line, Rect, around, plain

_HEADS = frozenset({"filed", "received", "rejected"})
_DATE_BELOW = 1.1  # inches between FILED and its date, other lines of the stamp between them
_TALL = 1.35  # times the page's usual letter height: stamped rather than typed


def straight_stamps(lines: Sequence[Line], dates: Sequence[Dated], gray: Callable[[], Gray], dpi: float) -> list[Patch]:
    """Patches around stamps that stand so straight that they were recognised as text, well or badly.

    The signs are FILED, RECEIVED or the like in capitals, or a date that belongs to no label, set taller than the
    page's print or inside a frame. `gray` gives the page's picture, when it is needed.
    """
    heights = sorted(line.tall for line in lines)
    least = _TALL * heights[len(heights) // 2] if heights else 0.0
    loose = [hit.piece.line for hit in dates if hit.role in OWN]
    found = []
    for line in lines:
        if len(line.text) > STAMP_LINE:
            continue
        heads = [word for word in line.words if word.text.isupper() and sort_of(word.text)[0] in _HEADS]
        if not heads and line not in loose:
            continue
        rect = _cluster(line, lines, loose, dpi, least)
        tall = max(word.rect.height for word in heads or line.words) > least
        if tall or _framed(rect, gray(), dpi):
            found.append(Patch(rect.grown(0.12 * dpi, 0.12 * dpi), -1, (_slope(line),)))
    return found


def _slope(line: Line) -> float:
    """Degrees clockwise that the words of a line lean, by the middles of the first and the last."""
    first, last = line.words[0].rect.middle, line.words[-1].rect.middle
    return math.degrees(math.atan2(last[1] - first[1], last[0] - first[0])) if last[0] > first[0] else 0.0


def _framed(rect: Rect, gray: Gray, dpi: float) -> bool:
    """True when straight lines run close by on at least three sides."""
    reach = 0.22 * dpi
    sides = (
        (Rect(rect.left, rect.top - reach, rect.right, rect.top - 1), 1),
        (Rect(rect.left, rect.bottom + 1, rect.right, rect.bottom + reach), 1),
        (Rect(rect.left - reach, rect.top, rect.left - 1, rect.bottom), 0),
        (Rect(rect.right + 1, rect.top, rect.right + reach, rect.bottom), 0),
    )
    lined = 0
    for side, axis in sides:
        dark = cut(gray, side) < 150
        lined += bool(dark.size) and float(dark.mean(axis=axis).max()) > 0.8
    return lined >= 3


def _cluster(line: Line, lines: Sequence[Line], loose: Sequence[Line], dpi: float, least: float) -> Rect:
    """The line with those above and below it that a stamp would have, or that are tall too, and a date if there is one.

    `loose` are lines with a date that belongs to no label.
    """
    rect = line.rect
    for _ in range(3):
        for other in lines:
            if not rect.holds(other.rect, 0.9) and (_stamp_like(other) or other.tall > least):
                apart = max(rect.top - other.rect.bottom, other.rect.top - rect.bottom)
                if apart < 1.2 * max(line.tall, other.tall):
                    rect = _with(rect, other.rect, dpi)
    if not any(rect.holds(other.rect, 0.9) for other in loose):
        for other in loose:
            apart = max(rect.top - other.rect.bottom, other.rect.top - rect.bottom)
            if apart < _DATE_BELOW * dpi:
                rect = _with(rect, other.rect, dpi)
    return rect


def _with(rect: Rect, other: Rect, dpi: float) -> Rect:
    """Both together if they share enough width and stay the size of a stamp, else the first alone."""
    shared = min(rect.right, other.right) - max(rect.left, other.left)
    joined = around([rect, other])
    fits = joined.width < 4.2 * dpi and joined.height < 2.2 * dpi
    return joined if shared > 0.4 * min(rect.width, other.width) and fits else rect


def _stamp_like(line: Line) -> bool:
    words = plain(line.text)
    short = len(line.text) <= STAMP_LINE
    return short and bool(
        find_dates(line.text) or OFFICES.search(words) or shows("number", line.text) or sort_of(line.text)[0]
    )
