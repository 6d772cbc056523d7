"""Tick boxes beside the words `final return`: found and judged by their pixels, or read from form fields.

A mark may be an X, a check, a dot, a filled box or a pen stroke that leaves the box. The box is compared with its
siblings (initial, amended, name change …): what all of them have is the print of the form, what one has more is a mark.
"""

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np

from quietus.reading.blanks import marked
from quietus.reading.captions import TEXT_MARK, captions, gap_between
from quietus.reading.lost_captions import lost_captions
from quietus.reading.pieces import Piece
from quietus.reading.pixels import Gray, blobs, cut
from quietus.reading.questions import Answer, answered, answered_beside, answered_in_fields
from quietus.reading.squares import Square, ink_inside, squares_in
from quietus.reading.words import Line, Rect, Word

_TEXT_EMPTY = re.compile(r"[\[({|]\s?[\])}|]|☐|□|\b_{3,}")
_TYPED = 8  # characters beside a caption in which its typed mark stands
_HEARD, _AT_ODDS = 0.57, 0.5  # how sure a look must be to count; how sure the answer is when looks disagree
_BY_SIBLINGS, _CLEAR = "siblings", 0.85  # the box was not found; how sure a look at the blank must be to overrule that
_LOWEST = 0.7  # times the caption's height: anything lower is a letter
_BESIDE, _FAR_OFF, _FEW = 0.04, 3.0, 1  # inches that are no distance; times farther; boxes that show no rule yet
_MARKED, _BLANK = 0.075, 0.03  # ink inside, over what the emptiest sibling has: above the first a mark, below none
_LONE = 0.75  # a look at most this sure gives way to a box in the row that stands in a column of boxes
_UNDECIDED, _STRAYED = 0.55, 0.86  # how sure a look is that tells nothing; and one with a stroke that missed the box
_ABOUT, _STRAY = 0.35, 0.1  # shares of a box's side that are close about it; of the box that is ink of such a stroke
_DARK = 165  # gray below which ink counts
_CLOSE_BY = 1.2  # widths of a box between it and its caption, beside which no box is looked for in the caption
_COLUMN, _NEAR = 1.5, 0.25  # inches up and down to other boxes of a column; from a box to words that are its caption


@dataclass(frozen=True, slots=True)
class Tick:
    """The state of the final-return box.

    Attributes:
        marked: True or False.
        sure: 0 to 1.
        rect: the box, or the words when the box itself was not found.
        method: `form-field`, `pixels` or `text`.
        raw: the caption's line as recognised.
    """

    marked: bool
    sure: float
    rect: Rect
    method: str
    raw: str


@dataclass(frozen=True, slots=True)
class _Row:
    """The tick boxes about a group of captions.

    Attributes:
        squares: those found.
        dpi: of the page.
        after: whether in this group the boxes stand after their words rather than before.
    """

    squares: tuple[Square, ...]
    dpi: float
    after: bool

    def box_of(self, caption: Piece) -> Square | None:
        """The box of a caption: the nearest in its row on the side where this group has its boxes."""
        least = (1.2 if self.after else 0.45) * self.dpi
        near = [(gap, square) for square in self.squares if (gap := self._gap(square, caption)) < least]
        beside = [pair for pair in near if 0 < pair[0] < _CLOSE_BY * pair[1].rect.width]  # what lies in it may be an O
        return min(beside or near, key=lambda pair: pair[0])[1] if near else None

    def gap_of(self, caption: Piece) -> float | None:
        """Pixels between a caption and its box; None without one."""
        square = self.box_of(caption)
        return self._gap(square, caption) if square else None

    def _gap(self, square: Square, caption: Piece) -> float:
        gap = gap_between(square.rect, caption, after=self.after)
        return math.inf if gap is None else gap


def final_tick(
    lines: Sequence[Line],
    gray: Callable[[], Gray],
    dpi: float,
    buttons: Sequence[tuple[Rect, bool]],
    look: Callable[[Rect], list[Word]],
) -> tuple[Tick | None, bool]:
    """The final box of a page, and whether the page has words for one at all.

    Args:
        lines: the page's lines.
        gray: gives its picture, upright and evenly lit, when it is needed.
        dpi: of the picture and the lines.
        buttons: its form fields.
        look: recognises one line of the page again.
    """
    finals, siblings = captions(lines)
    if siblings and not finals:
        finals = lost_captions(siblings, gray(), dpi, look)
    if not finals:
        return None, False
    looks = []
    for caption in finals:
        tick = _from_answer(answered_in_fields(caption, lines, buttons), caption, "form-field")
        tick = tick or _from_field(caption, buttons) or _from_answer(answered(caption, lines, gray(), dpi), caption)
        tick = tick or _from_print(caption, finals, siblings, gray(), dpi)
        if tick is None or tick.sure <= _LONE:
            tick = _from_answer(answered_beside(caption, lines, gray(), dpi), caption) or tick
        tick = tick if tick and tick.sure > _LONE else _led_to(caption, lines, gray(), dpi) or tick
        if tick:
            looks.append((tick, caption))
    return (_chosen(looks, siblings) if looks else None), True


def _chosen(looks: Sequence[tuple[Tick, Piece]], siblings: Sequence[Piece]) -> Tick:
    """The box that stands among its siblings; unsure where the page shows two that disagree."""
    company = [tick for tick, caption in looks if any(_company(caption, other) for other in siblings)]
    beside = company or [tick for tick, _ in looks]
    best = max(beside, key=lambda tick: tick.sure)
    if any(tick.marked != best.marked and tick.sure > 0.6 for tick in beside):
        return Tick(best.marked, min(best.sure, 0.5), best.rect, best.method, best.raw)
    return best


def _company(caption: Piece, other: Piece) -> bool:
    """True when a sibling stands in the same row or in the next rows of the same column."""
    tall = caption.rect.height
    row = abs(caption.rect.middle[1] - other.rect.middle[1]) < 1.5 * tall
    column = abs(caption.rect.left - other.rect.left) < 12 * tall and abs(caption.rect.top - other.rect.top) < 14 * tall
    return row or column


def _from_field(caption: Piece, buttons: Sequence[tuple[Rect, bool]]) -> Tick | None:
    near = [(_distance(rect, caption), rect, on) for rect, on in buttons]
    near = [hit for hit in near if hit[0] < 8 * caption.rect.height]
    if not near:
        return None
    _, rect, on = min(near, key=lambda hit: hit[0])
    return Tick(on, 0.99, rect, "form-field", caption.line.text)


def _from_answer(answer: Answer | None, caption: Piece, method: str = "pixels") -> Tick | None:
    return Tick(answer.yes, answer.sure, answer.rect, method, caption.line.text) if answer else None


def _distance(rect: Rect, caption: Piece) -> float:
    """Pixels between a box and its caption along a row; far away when they share no row. The left side is preferred."""
    words = caption.rect
    if abs(rect.middle[1] - words.middle[1]) > 0.8 * max(rect.height, words.height):
        return 1e9
    if rect.right <= words.left + 0.3 * rect.width:
        return words.left - rect.right
    rest = caption.line.text[caption.end :]
    end = words.right if any(map(str.isalnum, rest)) else caption.line.rect.right  # dots may lead to the box
    if rect.left >= end - 0.3 * rect.width:
        return 1.6 * (rect.left - end)
    return 1e9


def _from_print(
    caption: Piece, finals: Sequence[Piece], siblings: Sequence[Piece], gray: Gray, dpi: float
) -> Tick | None:
    """Two or three ways of looking at the caption's box: surer where they agree, unsure where they do not."""
    group = [piece for piece in (*finals, *siblings) if piece is not caption and _company(caption, piece)]
    seen = marked(caption, group, gray)
    blank = Tick(seen.marked, seen.sure, seen.rect, "pixels", caption.line.text) if seen else None
    square = _from_pixels(caption, finals, siblings, gray, dpi)
    if square and blank and square.method == _BY_SIBLINGS and blank.sure >= _CLEAR:
        square = None  # where the box was guessed to be, what stands there tells more
    square = replace(square, method="pixels") if square else None
    looks = [tick for tick in (square, _from_text(caption), blank) if tick]
    if not looks:
        return None
    best = max(looks, key=lambda tick: tick.sure)
    others = [tick for tick in looks if tick is not best]
    if any(tick.marked != best.marked and tick.sure > _HEARD for tick in others):
        return replace(best, sure=_AT_ODDS)
    agree = [tick for tick in others if tick.marked == best.marked and tick.sure > _HEARD]
    return replace(best, sure=1 - (1 - best.sure) * 0.5) if agree else best


def _led_to(caption: Piece, lines: Sequence[Line], gray: Gray, dpi: float) -> Tick | None:
    """The box at the end of a caption's row, far from it, as after dots that lead to a column of boxes."""
    rect, middle = caption.line.rect, caption.rect.middle[1]
    right = Rect(rect.right, middle - _COLUMN * dpi, float(gray.shape[1]), middle + _COLUMN * dpi)
    squares = squares_in(gray, right, dpi)
    row = [square for square in squares if abs(square.rect.middle[1] - middle) < 0.75 * square.rect.height]
    if not row:
        return None
    own = min(row, key=lambda square: square.rect.left)
    others = [s for s in squares if s is not own and abs(s.rect.left - own.rect.left) < _BESIDE * dpi]
    if not others or _letters_between(rect, own.rect, gray) or any(_names(line, own.rect, dpi) for line in lines):
        return None
    return _with_strays(_judged(own, others, caption), own, others, gray)


def _letters_between(words: Rect, box: Rect, gray: Gray) -> bool:
    """True when anything as high as letters stands between a caption and a box; dots that lead there do not count."""
    tall = words.height
    zone = Rect(words.right + 0.3 * tall, box.middle[1] - 0.6 * tall, box.left - 0.3 * tall, box.middle[1] + 0.6 * tall)
    ink = (cut(gray, zone) < _DARK).astype(np.uint8)
    high = blobs(ink)[2][1:, cv2.CC_STAT_HEIGHT]
    return zone.right > zone.left and bool((high > 0.45 * tall).any())


def _names(line: Line, box: Rect, dpi: float) -> bool:
    """True for the words of a caption of the box's own, right after it."""
    in_row = line.rect.top < box.middle[1] < line.rect.bottom
    return in_row and -0.3 * box.width < line.rect.left - box.right < _NEAR * dpi


def _from_text(caption: Piece) -> Tick | None:
    """A mark typed as text beside the caption: `[X] Final return`, or `Final return [X]` where the line ends so."""
    text = caption.line.text
    ends = any(mark.end() >= len(text) - 1 for mark in _typed(text))
    after = ends and not any(mark.start() <= 1 for mark in _typed(text))
    low, high = (caption.end, caption.end + _TYPED) if after else (max(0, caption.start - _TYPED), caption.start)
    found = _typed(text[low:high])
    if not found:
        return None
    mark = min(found, key=lambda m: m.start()) if after else max(found, key=lambda m: m.end())
    sure = 0.68 + 0.25 * min((word.sure for word in caption.line.part(low, high)), default=0.0)
    return Tick(mark.re is TEXT_MARK, sure, caption.rect, "text", text)


def _typed(text: str) -> list[re.Match[str]]:
    return [*TEXT_MARK.finditer(text), *_TEXT_EMPTY.finditer(text)]


def _from_pixels(
    caption: Piece, finals: Sequence[Piece], siblings: Sequence[Piece], gray: Gray, dpi: float
) -> Tick | None:
    group = [piece for piece in (*finals, *siblings) if piece is not caption and _company(caption, piece)]
    least = _LOWEST * min(word.rect.height for word in caption.line.words if len(word.text) > 1)
    near = squares_in(gray, caption.line.rect.grown(2.2 * dpi, 2.4 * dpi), dpi)
    squares = tuple(square for square in near if square.rect.height >= least)
    row = _side([caption, *group], squares, dpi)
    own = row.box_of(caption)
    others = [square for piece in group if (square := row.box_of(piece)) and square is not own]
    if own:
        tick = _judged(own, others, caption)
        return _with_strays(tick, own, others, gray) if others else tick
    own = _guessed(caption, group, row, gray)
    return replace(_judged(own, others, caption), method=_BY_SIBLINGS) if own else None


def _side(captions: Sequence[Piece], squares: tuple[Square, ...], dpi: float) -> _Row:
    """The boxes before or after their words: the side on which more captions have one, unless those are far off.

    In a spaced row every box but the first also stands after some caption, but much farther from it than from its own.
    """
    before, after = _Row(squares, dpi, False), _Row(squares, dpi, True)
    gaps = [sorted(gap for piece in captions if (gap := row.gap_of(piece)) is not None) for row in (before, after)]
    if gaps[0] and gaps[1]:
        middle = [max(_BESIDE * dpi, found[len(found) // 2]) for found in gaps]
        if max(middle) > _FAR_OFF * min(middle) and min(len(found) for found in gaps) > _FEW:
            return after if middle[1] < middle[0] else before
    return after if len(gaps[1]) > len(gaps[0]) else before


def _judged(own: Square, others: Sequence[Square], caption: Piece) -> Tick:
    """Marked when the box has clearly more ink inside than the emptiest of its kind."""
    base = min([0.02, *(square.ink for square in others)]) if others else 0.0
    more = own.ink - max(0.0, base)
    marked = more > (_MARKED + _BLANK) / 2
    if more >= _MARKED:
        sure = min(0.99, 0.9 + 0.5 * (more - _MARKED))
    elif more <= _BLANK:
        sure = 0.97 - 4 * max(0.0, more)
    else:
        sure = _UNDECIDED
    if not others:
        sure -= 0.04
    return Tick(marked, sure, own.rect, "pixels", caption.line.text)


def _with_strays(tick: Tick, own: Square, others: Sequence[Square], gray: Gray) -> Tick:
    """The judgement after a look at the ink about the box, over what its siblings have: a stroke that mostly missed."""
    more = _ink_about(own, gray) - min(_ink_about(square, gray) for square in others)
    undecided = tick.sure <= _UNDECIDED
    if more <= _STRAY or (tick.marked and not undecided):
        return tick
    return replace(tick, marked=True, sure=_STRAYED) if undecided else replace(tick, sure=_UNDECIDED)


def _ink_about(square: Square, gray: Gray) -> float:
    """Ink in and close about a box, as a share of the box."""
    rect = square.rect
    about = cut(gray, rect.grown(_ABOUT * rect.width, _ABOUT * rect.height))
    return float(np.count_nonzero(about < _DARK)) / max(1.0, rect.width * rect.height)


def _guessed(caption: Piece, group: Sequence[Piece], row: _Row, gray: Gray) -> Square | None:
    """Where the caption's box must be, going by its siblings: a heavy mark can hide a box's outline."""
    places = []
    for piece in group:
        square = row.box_of(piece)
        if square:
            edge = square.rect.left - (piece.rect.right if row.after else piece.rect.left)
            places.append((edge, square.rect.middle[1] - piece.rect.middle[1], square.rect.width))
    if not places:
        return None
    edge, rise, side = (sorted(values)[len(values) // 2] for values in zip(*places, strict=True))
    left = (caption.rect.right if row.after else caption.rect.left) + edge
    middle = caption.rect.middle[1] + rise
    rect = Rect(left, middle - side / 2, left + side, middle + side / 2)
    ink = ink_inside(gray, rect)
    return Square(rect, ink) if ink > 0.02 else None
