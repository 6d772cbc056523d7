"""Questions that a form asks in a row, with a place for the mark under or beside `Yes` and one under or beside `No`."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from quietus.reading.inks import without_rules
from quietus.reading.pieces import Piece
from quietus.reading.pixels import Gray, blobs, cut, ink_of
from quietus.reading.words import Line, Rect, Word, plain

_ASKS = re.compile(r"\?|^\W*(?:[a-z0-9]{1,2}[.)]?\s+)?(?:is|was|are|were|did|does|has|have|will)\b", re.IGNORECASE)
_BELOW = 4.0  # inches from the words `Yes` and `No` down to the questions they are for
_PITCH, _ROW = 0.25, 0.2  # inches: between rows where no other row tells; the most that a place reaches up and down
_ALIGNED, _NEXT = 0.15, 0.5  # inches between the left edges of questions, and from one to the next
_CELL, _SHARE = 0.35, 0.45  # inches left and right of a column's middle; share of the way to the other column
_SPECK = 0.025  # inches: smaller dots are dirt
_FLAT = 0.05  # inches: what is no higher is a rule to write on
_WIDE, _HIGH = 0.5, 0.6  # shares of a place's ink, across and down, that are its inside
_EMPTY, _INKED = 0.03, 0.07  # shares of the inside that are ink: below the first none, above the second a mark
_REACH, _CLOSE = 0.42, 0.02  # inches from `Yes` or `No` to the far and the near edge of a place beside it
_PLAIN, _UNCLEAR = 0.93, 0.5  # how sure an answer is with a mark in one place alone, and otherwise
_FIELD = 0.99  # the same for form fields


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether a question was answered with yes, how sure that is, and where the mark stands."""

    yes: bool
    sure: float
    rect: Rect


def answered(caption: Piece, lines: Sequence[Line], gray: Gray, dpi: float) -> Answer | None:
    """The answer to the question that the caption is in; None when it is none, or nothing stands in its places."""
    heads = _heads(caption, lines, dpi) if _ASKS.search(caption.line.text) else None
    if heads is None:
        return None
    return _told([_place(head, heads, caption, lines, dpi) for head in heads], gray, dpi)


def answered_beside(caption: Piece, lines: Sequence[Line], gray: Gray, dpi: float) -> Answer | None:
    """The same where `Yes` and `No` stand in the question's own row, with the places before them or after them."""
    words = _in_row(caption, lines)
    if words is None:
        return None
    yes, no = words
    first, last = sorted(words, key=lambda rect: rect.left)
    before = [_aside(rect, -1, dpi) for rect in (yes, no)]
    after = [_aside(rect, 1, dpi) for rect in (yes, no)]
    leads = _inside(_aside(first, -1, dpi), gray, dpi) is not None
    trails = _inside(_aside(last, 1, dpi), gray, dpi) is not None
    return _told(before if leads else after, gray, dpi) if leads != trails else None


def answered_in_fields(caption: Piece, lines: Sequence[Line], buttons: Sequence[tuple[Rect, bool]]) -> Answer | None:
    """The same where the two places are form fields, each a rectangle and whether it is on."""
    words = _in_row(caption, lines)
    near = [hit for hit in buttons if _level(hit[0], caption.rect) and hit[0].left > caption.rect.right]
    if words is None or len(near) != len(words):
        return None
    near.sort(key=lambda hit: hit[0].left)
    (rect, yes), (_, no) = near if words[0].left < words[1].left else near[::-1]
    return Answer(yes, _FIELD if yes != no else _UNCLEAR, rect)


def _in_row(caption: Piece, lines: Sequence[Line]) -> tuple[Rect, Rect] | None:
    """The last words `Yes` and `No` in a question's row: `(If yes, explain)` may come before them."""
    if not _ASKS.search(caption.line.text):
        return None
    row = [
        word
        for line in lines
        for word in line.words
        if _level(word.rect, caption.rect) and word.rect.left > caption.rect.right
    ]
    yes, no = ([word.rect for word in _named(text, row)] for text in ("yes", "no"))
    if not yes or not no:
        return None
    return max(yes, key=lambda rect: rect.left), max(no, key=lambda rect: rect.left)


def _level(one: Rect, other: Rect) -> bool:
    return abs(one.middle[1] - other.middle[1]) < max(one.height, other.height)


def _aside(word: Rect, side: int, dpi: float) -> Rect:
    """Where the mark before a word (`side` -1) or after it (1) may stand."""
    near, far, y, high = _CLOSE * dpi, _REACH * dpi, word.middle[1], 0.5 * _ROW * dpi
    if side < 0:
        return Rect(max(0.0, word.left - far), y - high, max(0.0, word.left - near), y + high)
    return Rect(word.right + near, y - high, word.right + far, y + high)


def _told(places: Sequence[Rect], gray: Gray, dpi: float) -> Answer | None:
    """What the ink in the places for yes and for no says; None when there is none in either."""
    ink = [_inside(place, gray, dpi) for place in places]
    if ink[0] is None and ink[1] is None:
        return None
    yes, no = (share or 0.0 for share in ink)
    clear = max(yes, no) > _INKED and min(yes, no) < _EMPTY
    return Answer(yes > no, _PLAIN if clear else _UNCLEAR, places[0 if yes > no else 1])


def _heads(caption: Piece, lines: Sequence[Line], dpi: float) -> tuple[Rect, Rect] | None:
    """The words `Yes` and `No` above the places right of a caption; the lowest of such pairs."""
    words = [word for line in lines for word in line.words]
    pairs = [
        (yes.rect, no.rect)
        for yes in _named("yes", words)
        for no in _named("no", words)
        if _over(caption, yes, no, dpi)
    ]
    return max(pairs, key=lambda pair: pair[0].top, default=None)


def _named(text: str, words: Sequence[Word]) -> Iterator[Word]:
    return (word for word in words if plain(word.text) == text)


def _over(caption: Piece, yes: Word, no: Word, dpi: float) -> bool:
    first = min(yes.rect, no.rect, key=lambda rect: rect.left)
    above = 0 < caption.rect.middle[1] - max(yes.rect.bottom, no.rect.bottom) < _BELOW * dpi
    one_row = abs(yes.rect.middle[1] - no.rect.middle[1]) < yes.rect.height
    return above and one_row and first.left > caption.line.rect.right


def _place(head: Rect, heads: tuple[Rect, Rect], caption: Piece, lines: Sequence[Line], dpi: float) -> Rect:
    """Where the mark under a head may stand, in the caption's row."""
    (x, _), y = head.middle, caption.rect.middle[1]
    rows = [
        abs(line.rect.middle[1] - y) for line in lines if abs(line.rect.left - caption.line.rect.left) < _ALIGNED * dpi
    ]
    pitch = min((away for away in rows if caption.rect.height < away < _NEXT * dpi), default=_PITCH * dpi)
    high = min(0.5 * pitch, _ROW * dpi)
    wide = min(_CELL * dpi, _SHARE * abs(heads[0].middle[0] - heads[1].middle[0]))
    return Rect(max(0.0, x - wide), y - high, x + wide, y + high)


def _inside(place: Rect, gray: Gray, dpi: float) -> float | None:
    """Share of ink in the middle of what stands in a place: next to none in a bare outline; None without any ink."""
    ink = without_rules(ink_of(np.ascontiguousarray(cut(gray, place))), dpi)
    _, labels, stats, _ = blobs(ink)
    large = [at for at, stat in enumerate(stats.tolist()) if at > 0 and max(stat[2], stat[3]) > _SPECK * dpi]
    seen = np.isin(labels, large)
    rows, columns = np.flatnonzero(seen.any(axis=1)), np.flatnonzero(seen.any(axis=0))
    if not large:
        return None
    whole = Rect(float(columns[0]), float(rows[0]), float(columns[-1] + 1), float(rows[-1] + 1))
    if whole.height < _FLAT * dpi:
        return 0.0
    inner = whole.grown(-(1 - _WIDE) / 2 * whole.width, -(1 - _HIGH) / 2 * whole.height)
    return float(np.mean(cut(seen.astype(np.uint8), inner)))
