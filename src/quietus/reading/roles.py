"""Gives every date on a page the one role that its closest label says it has."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import pairwise

from quietus.reading.dates import Found, find_dates
from quietus.reading.pieces import Piece, belongs, pieces
from quietus.reading.tables import table
from quietus.reading.words import Line

_RANGE = re.compile(r"^\s*(-|\u2013|\u2014|~|to|through|thru|and|,?\s*(and\s+)?ending|until|\W*)\s*$", re.IGNORECASE)
_ANNOUNCED = re.compile(r"[A-Za-z][^:]{1,40}:\s*$")  # `Order placed: ` - such a date takes no other line's label
_LEAST = 0.25  # a date that belongs to no label more closely than this has no role
_BETWEEN = 0.45  # what is left when another date stands between label and date
_SIDE_BY_SIDE = 5.0  # letter heights between the two dates of a range at the most
_HEADING, _IN_COLUMN = 4.0, 0.5  # letter heights between a column's head and a date in it; how closely it belongs there
_WHOLE = 0.9  # share of its line
_SHORT = 60  # characters: a longer line is running text
_NO_ROLE = ""
OWN = frozenset({_NO_ROLE, "filed", "taken"})
"""Roles of a date that may be an office's own: no other label explains it."""


@dataclass(frozen=True, slots=True)
class Dated:
    """A date with its role.

    Attributes:
        day: the date.
        role: a table of `roles.toml`, or empty.
        closeness: how closely it belongs to the label, 0 to about 1.
        sure: how surely it was read: the recogniser's confidence times what repairs left.
        piece: where it stands.
        label: the label; None without a role.
    """

    day: date
    role: str
    closeness: float
    sure: float
    piece: Piece
    label: Piece | None


def dates_in(lines: Sequence[Line]) -> list[Dated]:
    """Every date on a page, in reading order, each with its role."""
    found = [(hit, Piece(line, hit.start, hit.end)) for line in lines for hit in find_dates(line.text)]
    labels, pieces_found = _labels(lines), [piece for _, piece in found]
    dated = [_with_role(hit, piece, labels, pieces_found) for hit, piece in found]
    dated += [_with_role(hit, piece, _labels([piece.line]), pieces_found) for hit, piece in _broken(lines)]
    return _ranges(dated)


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str], float], ...]:
    return tuple(
        (role, re.compile(pattern.replace(" date", r"\W{1,3}date"), re.IGNORECASE), float(weight))
        for role, patterns in table("roles.toml").items()
        for pattern, weight in patterns.items()
    )


def labelled(lines: Sequence[Line], role: str, least: float) -> bool:
    """True when a short line has a label of `role` of at least the weight `least`, whether or not a date is there."""
    short = [line for line in lines if len(line.text) <= _SHORT]
    patterns = [pattern for name, pattern, weight in _patterns() if name == role and weight >= least]
    return any(pattern.search(line.text) for pattern in patterns for line in short)


def _labels(lines: Sequence[Line]) -> list[tuple[str, Piece, float]]:
    after = {id(upper): lower for upper, lower in pairwise(lines) if _reads_on(upper, lower)}
    return [
        (role, piece, weight)
        for role, pattern, weight in _patterns()
        for piece in pieces(lines, pattern)
        if not _answers(piece, lines) and not _undone(piece, pattern, after.get(id(piece.line)))
    ]


def _reads_on(upper: Line, lower: Line) -> bool:
    """True for two lines of running text, the second of which begins in the middle of a sentence."""
    gap = lower.rect.top - upper.rect.bottom
    return lower.text[:1].islower() and -0.5 * upper.tall < gap < 1.3 * upper.tall and len(upper.text) > _SHORT


def _undone(piece: Piece, pattern: re.Pattern[str], after: Line | None) -> bool:
    """True for a label at the end of a line that is none with the next one read: `the date / of filing`."""
    if after is None or piece.end < len(piece.line.text):
        return False
    return pattern.match(f"{piece.line.text} {after.text}", piece.start) is None


def _answers(piece: Piece, lines: Sequence[Line]) -> bool:
    """True for words that are themselves what a label before them asks for, as ENDED in `DURATION: ENDED`."""
    line = piece.line
    if len(piece.text) < _WHOLE * len(line.text):
        return False
    before = (other for other in lines if other.text.endswith(":") and other.rect.right <= line.rect.left)
    return any(
        min(other.rect.bottom, line.rect.bottom) - max(other.rect.top, line.rect.top) > 0.5 * line.tall
        for other in before
    )


def _with_role(hit: Found, piece: Piece, labels: Sequence[tuple[str, Piece, float]], others: Sequence[Piece]) -> Dated:
    best: tuple[str, float, Piece | None] = (_NO_ROLE, 0.0, None)
    announced = _ANNOUNCED.search(piece.line.text[: piece.start]) is not None
    for role, label, weight in labels:
        if announced and label.line is not piece.line:
            continue
        if label.line is piece.line and label.start < piece.end and label.end > piece.start:
            continue
        score = weight * max(belongs(label, piece), _headed(label, piece))
        if score > best[1] and any(_stands_between(label, other, piece) for other in others if other is not piece):
            score *= _BETWEEN
        if score > best[1]:
            best = (role, score, label)
    role, score, found = best
    role = role if score >= _LEAST else _NO_ROLE
    return Dated(hit.day, role, score, hit.sure * piece.sure, piece, found if role else None)


def _headed(label: Piece, piece: Piece) -> float:
    """How closely a date belongs to the head of its column, some way above it: not to a lone `Date`."""
    head, cell = label.line, piece.line
    whole = len(label.text) > _WHOLE * len(head.text) and len(piece.text) > _WHOLE * len(cell.text)
    tall = max(head.tall, cell.tall)
    aside, gap = abs(head.rect.left - cell.rect.left) / tall, (cell.rect.top - head.rect.bottom) / tall
    return _IN_COLUMN if whole and " " in label.text and aside < 0.5 and 0 < gap < _HEADING else 0.0


def _stands_between(label: Piece, other: Piece, piece: Piece) -> bool:
    """True when another date follows the label on its line before the piece does."""
    if other.line is not label.line or other.start < label.end:
        return False
    return other.end <= piece.start if piece.line is label.line else True


def _broken(lines: Sequence[Line]) -> list[tuple[Found, Piece]]:
    """Dates broken over two lines of running text."""
    found = []
    for upper, lower in pairwise(lines):
        gap = lower.rect.top - upper.rect.bottom
        if not -0.5 * upper.tall < gap < 1.3 * upper.tall or lower.rect.left > upper.rect.left + 2 * upper.tall:
            continue
        both = Line(upper.words + lower.words)
        seam = len(upper.text)
        found += [(hit, Piece(both, hit.start, hit.end)) for hit in find_dates(both.text) if hit.start < seam < hit.end]
    return found


def _one_range(first: Piece, second: Piece) -> bool:
    """True for two dates with `to`, a dash or the like between them, or side by side in one row: the dash gets lost."""
    if first.line is second.line:
        return _RANGE.match(first.line.text[first.end : second.start]) is not None
    tall = max(first.line.tall, second.line.tall)
    alone = len(first.text) > 0.7 * len(first.line.text) and len(second.text) > 0.7 * len(second.line.text)
    level = abs(first.rect.middle[1] - second.rect.middle[1]) < 0.5 * tall
    return alone and level and 0 < second.rect.left - first.rect.right < _SIDE_BY_SIDE * tall


def _ranges(dated: list[Dated]) -> list[Dated]:
    """`A to B` after a label of a period: the second date ends what the first begins."""
    out = list(dated)
    for index in range(1, len(out)):
        first, second = out[index - 1], out[index]
        if first.role not in {"begins", "ends"} or not first.day < second.day:
            continue
        if _one_range(first.piece, second.piece):
            out[index - 1] = Dated(first.day, "begins", first.closeness, first.sure, first.piece, first.label)
            out[index] = Dated(second.day, "ends", first.closeness, second.sure, second.piece, first.label)
    return out
