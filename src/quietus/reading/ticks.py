"""Tick boxes beside the words `final return`: found and judged by their pixels, or read from form fields.

A mark may be an X, a check, a dot, a filled box or a pen stroke that leaves the box. The box is compared with its
siblings (initial, amended, name change …): what all of them have is the print of the form, what one has more is a mark.
"""

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from quietus.reading.blanks import marked
from quietus.reading.pieces import Piece, pieces
from quietus.reading.pixels import Gray
from quietus.reading.squares import Square, ink_inside, squares_in
from quietus.reading.words import Line, Rect, Word, around

_RETURN = r"r[e\u00e9](?:turn|tum|turm|tun|lurn)"  # `return`, and what it is often misread as
_FINAL = re.compile(
    "|".join(
        (
            rf"\b\w{{0,3}}(?<![gq9])[il1|][nm]a[l1t|I] ({_RETURN}|K-?1|report|partnership {_RETURN})\b",
            r"\b[fbpe]inal\b(?=\W*$|\s*[:(\u2013\u2014-])",
            rf"\b{_RETURN} is final\b",
            r"\bfinal\b(?=\s+\W{0,3}\s*(amended|initial|short))",
            rf"\b(last|terminating) {_RETURN}\b",
            r"\b(business|company|entity) (has |is |was )?(been )?(closed|discontinued|dissolved)\b",
            r"\bout of business\b",
        )
    ),
    re.IGNORECASE,
)
_SIBLING = re.compile(
    "|".join(
        (
            rf"\b([il1]nitia[l1t]|amended|superseding|corrected|first|original|composite) ({_RETURN}|report|K-?1)",
            rf"\bshort[- ]period ({_RETURN}|report)",
            r"\b(name|address|accounting|ownership) changed?\b",
            r"\b(change (of|in)|new) (name|address)\b",
            r"\btechnical termination\b|\bshort period\b|\bextension( attached| filed)?\b|\bconsolidated( return)?\b",
            r"\bsuccessor employer\b|\bno payments to employees\b|\bseasonal employer\b",
            r"\b(initial|amended|superseding|original|corrected)\b(?=\W*$)",
        )
    ),
    re.IGNORECASE,
)
_SAYS_FINAL = re.compile(r"[nm]a[l1t|I]\b|final", re.IGNORECASE)
_SENTENCE = 75  # characters: words in a longer line are running text, not the caption of a box
_TEXT_MARK = re.compile(r"[\[({|]\s?([xX✓✔*●■@%&]|[vV])\s?[\])}|]|[☒☑✓✔]|\b_{1,3}[xX]_{1,3}")
_TEXT_EMPTY = re.compile(r"[\[({|]\s?[\])}|]|☐|□|\b_{3,}")
_HEARD, _AT_ODDS = 0.57, 0.5  # how sure a look must be to count; how sure the answer is when looks disagree
_BY_SIBLINGS, _CLEAR = "siblings", 0.85  # the box was not found; how sure a look at the blank must be to overrule that
_LOWEST = 0.7  # times the caption's height: anything lower is a letter
_BESIDE, _FAR_OFF, _FEW = 0.04, 3.0, 1  # inches that are no distance; times farther; boxes that show no rule yet
_MARKED, _BLANK = 0.075, 0.03  # ink inside, over what the emptiest sibling has: above the first a mark, below none


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
        return min(near, key=lambda pair: pair[0])[1] if near else None

    def gap_of(self, caption: Piece) -> float | None:
        """Pixels between a caption and its box; None without one."""
        square = self.box_of(caption)
        return self._gap(square, caption) if square else None

    def _gap(self, square: Square, caption: Piece) -> float:
        gap = _gap(square.rect, caption, after=self.after)
        return math.inf if gap is None else gap


def captions(lines: Sequence[Line]) -> tuple[list[Piece], list[Piece]]:
    """Pieces that name the final box, and pieces that name its siblings."""
    short = [line for line in lines if len(line.text) <= _SENTENCE or _TEXT_MARK.search(line.text)]
    finals = list(pieces(short, _FINAL))
    named = [piece.line for piece in finals if _SAYS_FINAL.search(piece.text)]
    return [p for p in finals if p.line not in named or _SAYS_FINAL.search(p.text)], list(pieces(short, _SIBLING))


def final_tick(
    lines: Sequence[Line],
    gray: Gray,
    dpi: float,
    buttons: Sequence[tuple[Rect, bool]],
    look: Callable[[Rect], list[Word]],
) -> tuple[Tick | None, bool]:
    """The final box of a page, and whether the page has words for one at all.

    Args:
        lines: the page's lines.
        gray: its picture, upright and evenly lit.
        dpi: of the picture and the lines.
        buttons: its form fields.
        look: recognises one line of the page again.
    """
    finals, siblings = captions(lines)
    if siblings and not finals:
        finals = _captions_by_boxes(siblings, gray, dpi, look)
    if not finals:
        return None, False
    looks = []
    for caption in finals:
        tick = _from_field(caption, buttons) or _from_print(caption, finals, siblings, gray, dpi)
        if tick:
            looks.append((tick, caption))
    return (_chosen(looks, siblings) if looks else None), True


def _captions_by_boxes(
    siblings: Sequence[Piece], gray: Gray, dpi: float, look: Callable[[Rect], list[Word]]
) -> list[Piece]:
    """The final box's caption where a mark on the box spoilt it: the words after each box near the siblings, alone."""
    near = around(piece.rect for piece in siblings).grown(2.2 * dpi, 0.6 * dpi)
    found: list[Piece] = []
    for square in squares_in(gray, near, dpi):
        box = square.rect
        gaps = [_gap(box, piece, after=False) for piece in siblings]
        if any(gap is not None and gap < 0.3 * dpi for gap in gaps):
            continue
        strip = Rect(box.right + 0.02 * dpi, box.top - 0.02 * dpi, box.right + 1.3 * dpi, box.bottom + 0.04 * dpi)
        words = [word for word in look(strip) if word.sure > 0.4]
        if words:
            found += pieces([Line(tuple(words))], _FINAL)
    return found


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
    tall = caption.line.tall
    row = abs(caption.rect.middle[1] - other.rect.middle[1]) < 1.5 * tall
    column = abs(caption.rect.left - other.rect.left) < 12 * tall and abs(caption.rect.top - other.rect.top) < 14 * tall
    return row or column


def _from_field(caption: Piece, buttons: Sequence[tuple[Rect, bool]]) -> Tick | None:
    near = [(_distance(rect, caption), rect, on) for rect, on in buttons]
    near = [hit for hit in near if hit[0] < 8 * caption.line.tall]
    if not near:
        return None
    _, rect, on = min(near, key=lambda hit: hit[0])
    return Tick(on, 0.99, rect, "form-field", caption.line.text)


def _distance(rect: Rect, caption: Piece) -> float:
    """Pixels between a box and its caption along a row; far away when they share no row. The left side is preferred."""
    words = caption.rect
    if abs(rect.middle[1] - words.middle[1]) > 0.8 * max(rect.height, words.height):
        return 1e9
    if rect.right <= words.left + 0.3 * rect.width:
        return words.left - rect.right
    if rect.left >= words.right - 0.3 * rect.width:
        return 1.6 * (rect.left - words.right)
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


def _from_text(caption: Piece) -> Tick | None:
    """A mark typed as text before the caption: `[X] Final return`."""
    before = caption.line.text[max(0, caption.start - 8) : caption.start]
    marked, empty = list(_TEXT_MARK.finditer(before)), list(_TEXT_EMPTY.finditer(before))
    if not marked and not empty:
        return None
    last = max([*marked, *empty], key=lambda m: m.end())
    part = caption.line.part(max(0, caption.start - 8), caption.start)
    sure = 0.68 + 0.25 * min((word.sure for word in part), default=0.0)
    return Tick(last in marked, sure, caption.rect, "text", caption.line.text)


def _from_pixels(
    caption: Piece, finals: Sequence[Piece], siblings: Sequence[Piece], gray: Gray, dpi: float
) -> Tick | None:
    least = _LOWEST * caption.line.tall
    group = [piece for piece in (*finals, *siblings) if piece is not caption and _company(caption, piece)]
    near = squares_in(gray, caption.line.rect.grown(2.2 * dpi, 2.4 * dpi), dpi)
    squares = tuple(square for square in near if square.rect.height >= least)
    row = _side([caption, *group], squares, dpi)
    own = row.box_of(caption)
    others = [square for piece in group if (square := row.box_of(piece)) and square is not own]
    if own:
        return _judged(own, others, caption)
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
        sure = 0.55
    if not others:
        sure -= 0.04
    return Tick(marked, sure, own.rect, "pixels", caption.line.text)


def _gap(rect: Rect, caption: Piece, *, after: bool) -> float | None:
    """Pixels between a box and its caption on the one side or the other; None when they share no row."""
    words = caption.rect
    if abs(rect.middle[1] - words.middle[1]) > 0.75 * max(rect.height, words.height):
        return None
    gap = rect.left - words.right if after else words.left - rect.right
    # the recogniser often takes the box for a letter of the first or last word
    return max(0.0, gap) if gap > -1.3 * rect.width else None


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
