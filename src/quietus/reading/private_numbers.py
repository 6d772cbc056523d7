"""Numbers that name a person, a company to the tax office, or a bank account: wherever and however they stand."""

import re
from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from functools import cache
from typing import NamedTuple

from quietus.model.reading import PrivateSort
from quietus.reading.dates import find_dates
from quietus.reading.pieces import Piece, best_label, pieces
from quietus.reading.tables import table
from quietus.reading.words import Line, Rect, Word

_D = r"[0-9OoQDCIil|!\]\[SsBZzGbgqTA?&]"  # a digit, or what a digit is misread as
_PLAIN = r"[0-9OolISB]"  # the same where nothing but blanks holds the number together
_DASH = r"(?:\s{0,2}[-\u2010-\u2015\u2212~._=:\u00b7\u2022*]{1,2}\s{0,2})"
_HALF_LABEL = re.compile(r"(identif\w+|security|employer|taxpayer|routing|account|checking|savings)\W?$", re.IGNORECASE)
_BREAK = re.compile(r"[\d\-\u2010-\u2015~]\W?$")
_GAP = r"\s?"  # a digit is set apart now and then
_DASHED = re.compile(_DASH.join(_GAP.join([_D] * digits) for digits in (3, 2, 4)))
_ONE_SHORT = re.compile(
    r"(?<!\d)(?:"
    + "|".join(_DASH.join(f"{_D}{{{digits}}}" for digits in groups) for groups in ((2, 2, 4), (3, 1, 4), (3, 2, 3)))
    + r")(?!\d)"
)
_DOUBTFUL = 0.6  # words read less surely than this may lack a digit
_SPACED = re.compile(
    rf"(?<![\dA-Za-z.,$-]){_PLAIN}{{3}}\s{{1,3}}{_PLAIN}{{2}}\s{{1,3}}{_PLAIN}{{4}}(?![\dA-Za-z]|[.,]\d)"
)
_EIN = re.compile(rf"(?<!\d){_D}{_GAP}{_D}{_DASH}{_GAP.join([_D] * 7)}(?!\d)")
_NINE = re.compile(r"(?<!\d)(?<!\d[.,])[0-9OolISB](?:[ \-\u2010-\u2015~_|]{0,3}[0-9OolISB]){8}(?!\d)(?![.,]\d)")
_GROUP = re.compile(r"[0-9OolISB]+")
_TELLING = frozenset({(9,), (3, 2, 4), (3, 6)})  # how many digits stand together in a number known without a label near
_ALLOWED = _TELLING | {(2, 7), (5, 4), (3, 3, 3), (4, 5)}  # and in one with a label
_BOXES = 7  # groups: more means that each digit has a box of its own
_LONG = re.compile(r"(?<![\d$])[\dOolISB](?:[ \-]?[\dOolISB]){3,20}(?!\d)")
_CARD = re.compile(r"(?<!\d)\d{4}[ \-]?\d{4}[ \-]?\d{4}[ \-]?\d{4}(?!\d)")
_HALF = re.compile(r"(?<![\w\-*.,/$])\d[\dOolISB]{1,8}(?:[\-\u2013\u2014][\dOolISB]{0,7}){0,2}(?![\w/.,]\d)")
_CLOSE, _ROOM = 0.6, 6.0  # closeness of the label of a half-read number; letter heights hidden after it
_REAL = 6  # of nine characters that must be digits as they stand
_NEAR = 0.3  # closeness at which a label belongs to a number
_COLUMN = 40.0  # letter heights between a heading and the last number of its column


class _Labels(NamedTuple):
    """The labels of a page, each with its weight, and whether the page speaks of a bank."""

    ssn: list[tuple[Piece, float]]
    ein: list[tuple[Piece, float]]
    account: list[tuple[Piece, float]]
    explained: list[tuple[Piece, float]]
    bank: bool


def private_numbers(lines: Sequence[Line]) -> list[tuple[PrivateSort, tuple[Word, ...]]]:
    """Every private number in the lines of a page, as the words that show it; masked ones (`XXX-XX-1234`) not."""
    labels = _labels(lines)
    flows = [*lines, *broken(lines)]
    rows = [*lines, *_rows(lines)]
    found = [
        *((PrivateSort.SSN, piece) for piece in _shaped(flows, _DASHED, _SPACED)),
        *((PrivateSort.SSN, piece) for piece in _shaped(flows, _ONE_SHORT) if _perhaps_short(piece)),
        *((PrivateSort.EIN, piece) for piece in _shaped(flows, _EIN)),
        *_nine(rows, labels),
        *((PrivateSort.ACCOUNT_NUMBER, piece) for piece in _accounts(flows, labels)),
    ]
    whole = [(sort, piece.line.part(piece.start, piece.end)) for sort, piece in found]
    seen = {word for _, words in whole for word in words}
    return [*whole, *_half_read(lines, labels, seen)]


def _half_read(
    lines: Sequence[Line], labels: _Labels, seen: AbstractSet[Word]
) -> Iterator[tuple[PrivateSort, tuple[Word, ...]]]:
    """What was read of a number right at its label, with room for what was not: a person may still be able to."""
    for piece in pieces(lines, _HALF):
        words = piece.line.part(piece.start, piece.end)
        near = {
            PrivateSort.SSN: best_label(labels.ssn, piece)[0],
            PrivateSort.EIN: best_label(labels.ein, piece)[0],
        }
        best = max(near, key=lambda sort: near[sort])
        plainly_other = find_dates(piece.text) or re.fullmatch(r"(19|20)\d\d", piece.text)
        labelled = near[best] >= _CLOSE and near[best] > _closeness(labels.explained, piece)
        if labelled and not plainly_other and seen.isdisjoint(words):
            left, top, right, bottom = words[-1].rect
            wide = Rect(left, top, right + _ROOM * piece.line.tall, bottom)
            yield best, (*words[:-1], Word(words[-1].text, wide, words[-1].sure))


def _closeness(labels: Sequence[tuple[Piece, float]], value: Piece) -> float:
    """How closely a label belongs to a number; far to the left in its row, or heading its column, counts a little."""
    far = max((_far(label.rect, value) for label, _ in labels), default=0.0)
    return max(far, best_label(labels, value)[0])


def _far(label: Rect, value: Piece) -> float:
    here, tall = value.rect, max(6.0, value.line.tall)
    right, down = (here.left - label.right) / tall, (here.top - label.bottom) / tall
    if right >= 0 and min(label.bottom, here.bottom) - max(label.top, here.top) > 0.4 * min(label.height, here.height):
        return 0.4 - 0.001 * right
    common = min(label.right, here.right) - max(label.left, here.left)
    if 0 <= down <= _COLUMN and common > 0 and _real(value.text) >= _REAL:
        return 0.35 - 0.001 * down
    return 0.0


def _shaped(lines: Iterable[Line], *shapes: re.Pattern[str]) -> Iterator[Piece]:
    """Numbers known by their grouping alone, with enough digits that are read as digits."""
    lines = tuple(lines)
    for shape in shapes:
        yield from (piece for piece in pieces(lines, shape) if _numeric(piece.text) and not _of_a_day(piece))


def _of_a_day(piece: Piece) -> bool:
    """True for what begins amid the year of a date, as a time after it makes of `2025-08-29 12:27`."""
    before = piece.line.text[: piece.start]
    return before[-1:].isdigit() and any(hit.start < piece.start < hit.end for hit in find_dates(piece.line.text))


def _perhaps_short(piece: Piece) -> bool:
    """True for a number read so unsurely that a digit may have been lost, unless it makes a date as it stands."""
    return piece.sure < _DOUBTFUL and not find_dates(piece.text)


def _numeric(text: str) -> bool:
    """True when enough is read as digits, and something in every group: `OCT-09-2026` is no number."""
    groups = re.split(_DASH + r"|\s+", text)
    return _real(text) >= _REAL and all(re.search(r"\d", group) for group in groups if group)


def _nine(rows: Sequence[Line], labels: _Labels) -> Iterator[tuple[PrivateSort, Piece]]:
    """Nine digits of any grouping: a label says what they are; those without one count where an SSN is asked for."""
    for piece in pieces(rows, _NINE):
        groups = tuple(len(group) for group in _GROUP.findall(piece.text))
        boxed = len(groups) >= _BOXES
        if _real(piece.text) < _REAL or not (boxed or groups in _ALLOWED):
            continue
        near = {
            PrivateSort.SSN: _closeness(labels.ssn, piece),
            PrivateSort.EIN: _closeness(labels.ein, piece),
            PrivateSort.ACCOUNT_NUMBER: _closeness(labels.account, piece),
        }
        best = max(near, key=lambda sort: near[sort])
        other = _closeness(labels.explained, piece)
        if near[best] >= max(_NEAR, other):
            yield best, piece
        elif labels.bank and _routing(piece.text):
            yield PrivateSort.ACCOUNT_NUMBER, piece
        elif labels.ssn and other < _NEAR and (boxed or groups in _TELLING):
            yield PrivateSort.SSN, piece


def _accounts(lines: Sequence[Line], labels: _Labels) -> Iterator[Piece]:
    """Account, routing and card numbers: long numbers by their label, sixteen digits by the check digit of cards."""
    for piece in pieces(lines, _LONG):
        if sum(sign.isdigit() for sign in piece.text) < 4 or _zip_or_year(piece.text):
            continue
        if _closeness(labels.account, piece) >= max(_NEAR, _closeness(labels.explained, piece)):
            yield piece
    yield from (piece for piece in pieces(lines, _CARD) if _luhn(piece.text))
    if labels.bank:
        yield from _cheque_lines(lines)


def _cheque_lines(lines: Sequence[Line]) -> Iterator[Piece]:
    """Every long number of a line that has a bank's routing number in it, as along the foot of a cheque."""
    for line in lines:
        if any(_routing(piece.text) for piece in pieces([line], re.compile(r"(?<!\d)\d{9}(?!\d)"))):
            yield from (piece for piece in pieces([line], _LONG) if len(_digits(piece.text)) >= 6)


def _zip_or_year(text: str) -> bool:
    return re.fullmatch(r"(19|20)\d\d", text) is not None


def _real(text: str) -> int:
    return sum(sign.isdigit() for sign in text)


def _digits(text: str) -> str:
    return re.sub(r"\D", "", text)


def _routing(text: str) -> bool:
    """True for nine digits with the check digit of a bank's routing number (weights 3, 7, 1; sum divides by ten)."""
    digits = [int(sign) for sign in _digits(text)]
    return len(digits) == 9 and any(digits) and sum(d * w for d, w in zip(digits, (3, 7, 1) * 3, strict=True)) % 10 == 0


def _luhn(text: str) -> bool:
    """True for digits with the check digit of payment cards (ISO/IEC 7812-1, annex B)."""
    digits = [int(sign) for sign in reversed(_digits(text))]
    doubled = [d if at % 2 == 0 else sum(divmod(2 * d, 10)) for at, d in enumerate(digits)]
    return len(digits) >= 13 and any(digits) and sum(doubled) % 10 == 0


def broken(lines: Sequence[Line]) -> list[Line]:
    """Lines that end in a digit or a dash, each joined to the one right beneath it: a number may go on there."""
    return _joined(lines, _BREAK)


def _joined(lines: Sequence[Line], ending: re.Pattern[str]) -> list[Line]:
    return [
        Line((*upper.words, *lower.words))
        for upper in lines
        if ending.search(upper.text)
        for lower in lines
        if lower is not upper and _beneath(upper, lower)
    ]


def _beneath(upper: Line, lower: Line) -> bool:
    gap = lower.rect.top - upper.rect.bottom
    common = min(upper.rect.right, lower.rect.right) - max(upper.rect.left, lower.rect.left)
    return -0.5 * upper.tall < gap < 1.5 * upper.tall and common > 0


def _rows(lines: Sequence[Line]) -> list[Line]:
    """Lines of one row joined again across wide gaps: a digit may stand in each of nine boxes."""
    rows: list[list[Line]] = []
    for line in lines:
        if rows and _level(rows[-1][-1], line):
            rows[-1].append(line)
        else:
            rows.append([line])
    return [Line(tuple(word for line in row for word in line.words)) for row in rows if len(row) > 1]


def _level(left: Line, right: Line) -> bool:
    common = min(left.rect.bottom, right.rect.bottom) - max(left.rect.top, right.rect.top)
    return right.rect.left > left.rect.left and common > 0.45 * min(left.rect.height, right.rect.height)


def _labels(lines: Sequence[Line]) -> _Labels:
    bank = any(True for _ in _found(lines, "bank"))
    account = [*_found(lines, "account"), *(_found(lines, "loose_account") if bank else ())]
    return _Labels(
        ssn=_weighed(_found(lines, "ssn")),
        ein=_weighed(_found(lines, "ein")),
        account=_weighed(account),
        explained=_weighed(_found(lines, "explained")),
        bank=bank,
    )


def _found(lines: Sequence[Line], key: str) -> Iterator[Piece]:
    """The labels, also one that is broken over two lines."""
    return pieces([*lines, *_joined(lines, _HALF_LABEL)], _pattern(key))


def _weighed(labels: Iterable[Piece]) -> list[tuple[Piece, float]]:
    return [(label, 1.0) for label in labels]


@cache
def _pattern(key: str) -> re.Pattern[str]:
    return re.compile("|".join(table("private.toml")["numbers"][key]), re.IGNORECASE)
