"""The place for a mark beside a caption, whatever its outline: box, oval, brackets, parentheses, a rule to write on.

What all captions of a group have beside them is the print of the form; what one has more is a mark.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from quietus.reading.pieces import Piece
from quietus.reading.pixels import Gray, blobs, cut
from quietus.reading.words import Rect, Word, around

_DARK = 165  # gray below which ink counts
_REACH, _RISE = 4.8, 0.95  # letter heights: how far from its caption a blank may reach, and how far above and below
_GAP, _OPEN = 1.5, 2.7  # letter heights between two parts of one blank; between its brackets or parentheses
_SPECK = 0.14  # letter heights: smaller dots are dirt
_FLAT = 0.35  # letter heights: a blank no taller than this is a bare rule
_WIDE, _HIGH = 0.5, 0.6  # shares of the blank, across and down, that are its inside
_EMPTY, _INKED = 0.03, 0.07  # shares of the inside that are ink: below the first none, above the second a mark
_INFLATED = 1.35  # times the height of other words that a word may have
_LEADERS, _DOT = 3, 0.3  # dots that lead somewhere, at least; letter heights of a dot
_SCRAWLED = 0.15  # share of ink in the middle of the place of a blank that tells a scrawl from a letter beside it
_SAME, _MORE = 1.2, 1.32  # times the ink of the emptiest blank: up to the first alike, from the second on marked
_ALIKE = 1.3  # letter heights by which blanks of one group may differ in their distance from the caption
_LITTLE = frozenset({"if", "is", "a", "an", "of", "to", "or", "in", "it", "your", "as", "no", "k-1", "k1", "by", "on"})
_OUTLINE = 0.8  # share of an empty box's ink that a box with a mark has at the least
_WIDER, _HIGHER = 1.45, 1.2  # times the others' width and height
_SLIVER = 0.5  # times an empty box's ink: what has less is no box but the edge of a frame
_LONG, _CLEAR, _OPENERS = 5, 0.8, ("(", "[", "{", "|")  # letters of a sure word; how clearly a short one is read
_ITEM = re.compile(r"^\(?[a-z0-9]{1,2}\.$|^[12]\d[a-z]?$", re.IGNORECASE)  # `d.` or `17` at the head of a caption


@dataclass(frozen=True, slots=True)
class Blank:
    """What stands beside a caption.

    Attributes:
        rect: around it.
        ink: dots of ink in it.
        inside: share of its inside that is ink.
        away: letter heights between it and its caption.
    """

    rect: Rect
    ink: int
    inside: float
    away: float


@dataclass(frozen=True, slots=True)
class Judgement:
    """Whether a blank is marked, how sure that is, and where it is."""

    marked: bool
    sure: float
    rect: Rect


def marked(own: Piece, group: Sequence[Piece], gray: Gray) -> Judgement | None:
    """Whether the blank of `own` is marked, compared with those of its `group`; None when it seems to have none."""
    best: tuple[int, Blank, list[Blank], bool] | None = None
    for after in (False, True):
        mine = _blank(own, gray, after=after)
        others = [blank for piece in group if (blank := _blank(piece, gray, after=after))]
        if others and (mine is None or mine.ink < _SLIVER * min(blank.ink for blank in others)):
            mine = None if after else _swallowed(own, others, gray)
        if mine is None:
            continue
        others = [blank for blank in others if abs(blank.away - mine.away) < _ALIKE]
        if best is None or len(others) > best[0]:
            best = (len(others), mine, others, after)
    if best is None:
        return None
    _, mine, others, after = best
    like = min(others, key=lambda blank: blank.ink, default=None)
    if like and like.inside < _EMPTY and _with_more(mine, others):  # as a scrawl across the blank and beyond
        scrawled = _in_place(own, like, gray, after=after) > _SCRAWLED
        return Judgement(scrawled, 0.88 if scrawled else 0.55, mine.rect)
    return _judged(mine, others, len(group))


def _judged(mine: Blank, others: Sequence[Blank], expected: int) -> Judgement:
    if not others:
        lone = 0.72 if expected == 0 else 0.6
        return Judgement(
            mine.inside > _INKED, lone if mine.inside < _EMPTY / 2 or mine.inside > 2 * _INKED else 0.5, mine.rect
        )
    base = min([mine, *others], key=lambda blank: blank.ink)
    ratio = mine.ink / max(1, base.ink)
    if base.inside > _INKED and base.ink > 0:  # all of them have ink inside: the outline itself, or all are marked
        return Judgement(ratio >= _MORE, 0.5, mine.rect)
    if ratio >= _MORE and (mine.inside > _INKED or _larger(mine, base)):
        return Judgement(True, 0.93 if ratio > 1.6 and mine.inside > _INKED else 0.85, mine.rect)
    if ratio <= _SAME and mine.inside < _EMPTY:
        return Judgement(False, 0.93, mine.rect)
    return Judgement(mine.inside > (_EMPTY + _INKED) / 2, 0.55, mine.rect)


def _with_more(mine: Blank, others: Sequence[Blank]) -> bool:
    """True for a blank much wider than the others and no higher: an item's unread letter was taken for a part of it."""
    wide, high = max(b.rect.width for b in others), max(b.rect.height for b in others)
    return mine.rect.width > _WIDER * wide and mine.rect.height <= _HIGHER * high


def _larger(mine: Blank, base: Blank) -> bool:
    return mine.rect.width * mine.rect.height > 1.4 * base.rect.width * base.rect.height


def _blank(caption: Piece, gray: Gray, *, after: bool) -> Blank | None:
    """The blank before or after a caption: the ink next to it that no wide gap parts."""
    words = caption.line.part(caption.start, caption.end)
    tall = _tall(words)
    rect = around(word.rect for word in words)
    reach = _extent(caption, tall)
    edge = reach.right + 0.1 * tall if after else reach.left - 0.1 * tall
    middle = rect.middle[1]
    left, right = (edge, edge + _REACH * tall) if after else (edge - _REACH * tall, edge)
    if right <= 0 or left >= gray.shape[1]:
        return None
    zone = Rect(max(0.0, left), middle - _RISE * tall, right, middle + _RISE * tall)
    ink = (cut(gray, zone) < _DARK).astype(np.uint8)
    parts = _parts(ink, tall)
    chain = _chain(parts, tall, ink.shape[1], after=after)
    if not chain or _dots(chain, tall):
        return None
    whole = around(chain)
    return _measured(ink, whole, zone, tall, whole.left / tall if after else (ink.shape[1] - whole.right) / tall)


def _tall(words: Sequence[Word]) -> float:
    """Letter height of a caption: the middle one, but for a word that has taken in a mark beside it."""
    heights = sorted(word.rect.height for word in words)
    return min(heights[len(heights) // 2], _INFLATED * heights[(len(heights) - 1) // 2])


def _dots(chain: Sequence[Rect], tall: float) -> bool:
    """True for dots that lead from a caption to something far off."""
    return len(chain) >= _LEADERS and all(max(part.width, part.height) <= _DOT * tall for part in chain)


def _in_place(own: Piece, like: Blank, gray: Gray, *, after: bool) -> float:
    """Share of ink inside the place where the caption's blank must be, going by one of its siblings."""
    words = own.line.part(own.start, own.end)
    tall = _tall(words)
    reach, middle = _extent(own, tall), around(word.rect for word in words).middle[1]
    wide, high = like.rect.width, like.rect.height
    away = (0.1 + like.away) * tall
    left = reach.right + away if after else reach.left - away - wide
    place = Rect(left, middle - high / 2, left + wide, middle + high / 2)
    inner = place.grown(-(1 - _WIDE) / 2 * wide, -(1 - _HIGH) / 2 * high)
    return float(np.mean(cut(gray, inner) < _DARK))


def _swallowed(own: Piece, others: Sequence[Blank], gray: Gray) -> Blank | None:
    """The box that was taken for the beginning of the caption's first word: as large as the others, as much ink."""
    like = min(others, key=lambda blank: blank.ink)
    wide, high = like.rect.width, like.rect.height
    word = own.line.part(own.start, own.end)[0].rect
    middle = word.bottom - high / 2  # a mark that leaves its box goes upwards
    zone = Rect(word.left, middle - 0.6 * high, word.left + 1.05 * wide, middle + 0.6 * high)
    ink = (cut(gray, zone) < _DARK).astype(np.uint8)
    whole = Rect(0, 0.1 * high, wide, 1.1 * high)
    blank = _measured(ink, whole, zone, high, like.away)
    return blank if blank.ink >= _OUTLINE * like.ink else None


def _measured(ink: Gray, whole: Rect, zone: Rect, tall: float, away: float) -> Blank:
    amount = int(np.count_nonzero(cut(ink, Rect(whole.left, whole.top, whole.right - 1, whole.bottom - 1))))
    inner = whole.grown(-(1 - _WIDE) / 2 * whole.width, -(1 - _HIGH) / 2 * whole.height)
    inside = 0.0 if whole.height <= _FLAT * tall else float(np.mean(cut(ink, inner)))
    left, top = float(int(zone.left)), max(0.0, float(int(zone.top)))
    rect = Rect(whole.left + left, whole.top + top, whole.right + left, whole.bottom + top)
    return Blank(rect, amount, inside, away)


def _extent(caption: Piece, tall: float) -> Rect:
    """Around the caption with the words before and after that read on with it, up to a mark's place or a wide gap."""
    words = caption.line.words
    own = caption.line.part(caption.start, caption.end)
    first, last = words.index(own[0]), len(words) - 1 - words[::-1].index(own[-1])
    while first > 0 and _reads_on(words[first - 1], words[first], tall) and _leads(words[:first], tall):
        first -= 1
    while last + 1 < len(words) and _reads_on(words[last], words[last + 1], tall) and _is_word(words[last + 1]):
        last += 1
    return around(word.rect for word in words[first : last + 1])


def _reads_on(left: Word, right: Word, tall: float) -> bool:
    return right.rect.left - left.rect.right < 0.9 * tall


def _leads(words: Sequence[Word], tall: float) -> bool:
    """True when the last of the words is one of the caption; a lone letter is a box with its mark, but for `is a`."""
    word = words[-1]
    article = word.text == "a" and len(words) > 1 and _reads_on(words[-2], word, tall) and _is_word(words[-2])
    return article or (_is_word(word) and (len(word.text) > 1 or bool(_ITEM.match(word.text))))


def _is_word(word: Word) -> bool:
    """True for a word of a caption or an item's letter, False for what a box or its mark is recognised as."""
    text = word.text
    letters = sum(sign.isalpha() for sign in text)
    clear = letters >= _LONG or (letters >= 3 and (word.sure >= _CLEAR or not text.startswith(_OPENERS)))
    return bool(_ITEM.match(text)) or clear or text.lower() in _LITTLE


def _parts(ink: Gray, tall: float) -> list[Rect]:
    """Blobs of ink; no dirt, and no rules of the form that run through."""
    stats = blobs(ink)[2][1:]
    high, wide = ink.shape
    return [
        Rect(x, y, x + w, y + h)
        for x, y, w, h in stats[:, :4].tolist()
        if max(w, h) >= _SPECK * tall and w < 0.9 * wide and not (h >= 0.97 * high and w < 0.3 * tall)
    ]


def _chain(parts: Sequence[Rect], tall: float, wide: int, *, after: bool) -> list[Rect]:
    """The parts next to the caption, going outwards until a wide gap."""
    chain: list[Rect] = []
    reached = 0.0
    for part in sorted(parts, key=lambda r: r.left if after else -r.right):
        near, far = (part.left, part.right) if after else (wide - part.right, wide - part.left)
        slim = chain and all(other.width < 0.45 * other.height for other in chain)
        if near - reached > (_OPEN if slim else _GAP) * tall:
            break
        chain.append(part)
        reached = max(reached, far)
    return chain
