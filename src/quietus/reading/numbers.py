"""Numbers that name a company: its EIN and its number at a filing office. An SSN is never taken for an EIN."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from quietus.reading.dates import find_dates
from quietus.reading.pieces import Piece, best_label, pieces
from quietus.reading.tables import place_rows, table
from quietus.reading.words import Line

_TO_DIGIT = str.maketrans("OoQDIl|!SsBZzG", "00001111558226")
_TO_LETTER = str.maketrans("$\u20ac\u00a2\u00a9\u00a3\u00a7\u00ae", "SCCCESR")
_D = r"[\dOoQDIl|!SsBZzG]"
_DASH = r"\s?[-\u2013\u2014~]\s?"
_EIN = re.compile(rf"(?<![\w-]){_D}{{2}}{_DASH}{_D}{{7}}(?![\w-])")
_EIN_SPACED = re.compile(r"(?<![\d-])\d(?:\s?\d)\s?[-\u2013\u2014]?\s?\d(?:\s?\d){6}(?![\d-])")
_FILE_NUMBER = re.compile(
    r"(?<![\w/.,-])(?:US-[A-Z]{2}\. ?[A-Z]{2,4}: ?|(?:[A-Z]{2,3}[-.:]){1,2}(?:[A-Z]{2,4}[.:])?|[A-Z]{1,2}[-O]?)?"
    r"\d[\d \-]{3,16}\d(?:[A-Z]{1,2}| [A-Z]\d)?(?![\w/%]|[.,]\d)"
)
_DATE_LIKE = re.compile(r"\d{1,2}-\d{1,2}-\d{2,4}|(19|20)\d\d|\d{5}(-\d{4})?")
_TELEPHONE = re.compile(r"\(?\d{3}\)?[ -]\d{3}-\d{4}")
_SSN = re.compile(r"\d{3}-\d{2}-\d{4}")
_PTIN = re.compile(r"P\d{8}")
_LETTER_O = re.compile(r"(?<=^[A-Z])O(?=\d)|(?<=^[A-Z]{2})O(?=\d)")
_BROKEN_LABEL = re.compile(r"(?:n(umber|o)\b|id\b)[\s.:#]*[A-Z]{0,3}-?\d[\d \-]{4}", re.IGNORECASE)
_PARTED = re.compile(r"(?<=\d{6}) (?=\d$)")  # a wide gap before the last digit: no office writes its numbers so
_FILED = re.compile(r"\W*(e-?|electronically )?f?il(ed|ing)\b", re.IGNORECASE)
_OF_THE_MARK = 0.72  # what is left of a number's certainty when it stands in the office's mark
_OUTRIGHT, _SHORT = 0.9, 60  # weight of a label that is for an EIN and nothing else; characters of a label's line
_REPAIR = 0.75  # what each repaired digit leaves of the certainty


@dataclass(frozen=True, slots=True)
class Numbered:
    """A number as read.

    Attributes:
        text: the number in its usual form.
        sure: 0 to 1.
        piece: where it stands.
        page: index of that page among the paper's pages.
        raw: as recognised.
    """

    text: str
    sure: float
    piece: Piece
    page: int
    raw: str


def ein_of(pages: Sequence[Sequence[Line]]) -> Numbered | None:
    """The subject's EIN: of those on the paper the one with the best label, certainty falling when several differ."""
    found = []
    for number, lines in enumerate(pages):
        labels = _labels(lines, "ein")
        others = _labels(lines, "not_ein")
        for piece in [*pieces(lines, _EIN), *pieces(lines, _EIN_SPACED)]:
            digits, slips = _digits(piece.text)
            near, _ = best_label(labels, piece)
            away, _ = best_label(others, piece)
            dashed = bool(re.search(r"[-\u2013\u2014~]", piece.text))
            if len(digits) != 9 or slips > 3 or away >= max(near, 0.3) or (not dashed and near < 0.5):
                continue
            label = 0.6 + 0.4 * min(1.0, near + 0.1) if dashed else 0.5 + 0.4 * near
            sure = piece.sure * _REPAIR**slips * label
            found.append(Numbered(f"{digits[:2]}-{digits[2:]}", sure, piece, number, piece.text))
    return _agreed(found)


def file_number_of(
    pages: Sequence[Sequence[Line]], *, place: str | None = None, guess: bool = False
) -> Numbered | None:
    """The company's number at a filing office, by its label; some labels mean it only in the papers of one `place`.

    With `guess`, a long number that nothing explains is given too, unsurely: on a filing, its label may be illegible.
    """
    own = place_rows()[place].number if place else ()
    found = [n for number, lines in enumerate(pages) for n in _of_office(lines, own, number)]
    found = found or [n for number, lines in enumerate(pages) for n in _of_office(_seamed(lines), own, number)]
    return _agreed(found) or (_unlabelled(pages) if guess else None)


def _of_office(lines: Sequence[Line], own: Sequence[str], page: int) -> list[Numbered]:
    """The numbers in these lines that a label calls the company's; `own` are labels of the place's office alone."""
    here = [(piece, 1.0) for phrase in own for piece in pieces(lines, re.compile(phrase, re.IGNORECASE))]
    labels = [*_labels(lines, "file_number"), *here]
    others = [other for other in _labels(lines, "not_file_number") if not _among(other[0], here)]
    found = []
    for piece in pieces(lines, _FILE_NUMBER):
        near, _ = best_label(labels, piece)
        away, _ = best_label(others, piece)
        text, kept = _mended(piece)
        if near < 0.45 or away > near or _known(text):
            continue
        sure = piece.sure * (0.55 + 0.45 * near) * (_OF_THE_MARK if _in_mark(piece, lines) else 1.0)
        found.append(Numbered(text, sure * kept, piece, page, piece.text))
    return found


def _mended(piece: Piece) -> tuple[str, float]:
    """A number at an office in its usual form, and what is left of its certainty after what had to be repaired."""
    text, kept = re.sub(r"(?<=[.:])\s+|(?<=\s)\s+", "", piece.text.strip()), 1.0
    sign = piece.line.text[piece.start - 1 : piece.start].translate(_TO_LETTER)
    if sign.isalpha():  # no sign of money stands before such a number: it is a letter of it, misread
        text, kept = sign + text, kept * _REPAIR
    for pattern, right in ((_PARTED, ""), (_LETTER_O, "0")):
        if pattern.search(text):
            text, kept = pattern.sub(right, text), kept * _REPAIR
    return text, kept


def _seamed(lines: Sequence[Line]) -> list[Line]:
    """Two lines as one where a number at the start of the second may have half of its label at the end of the first."""
    return [Line(upper.words + lower.words) for upper, lower in pairwise(lines) if _reads_on(upper, lower)]


def _reads_on(upper: Line, lower: Line) -> bool:
    gap = lower.rect.top - upper.rect.bottom
    aligned = abs(upper.rect.left - lower.rect.left) < 2 * upper.tall
    return aligned and -0.5 * upper.tall < gap < 1.5 * upper.tall and bool(_BROKEN_LABEL.match(lower.text))


def _among(piece: Piece, labels: Sequence[tuple[Piece, float]]) -> bool:
    return any(label.line is piece.line and label.start <= piece.start < label.end for label, _ in labels)


def _in_mark(piece: Piece, lines: Sequence[Line]) -> bool:
    """True for a number right under a line that says filed: it may be that of the filing and not the company's."""
    tall, rect = piece.line.tall, piece.line.rect
    above = [line for line in lines if 0 <= rect.top - line.rect.bottom < 1.5 * tall]
    return any(_FILED.match(line.text) and abs(line.rect.left - rect.left) < 3 * tall for line in above)


def _unlabelled(pages: Sequence[Sequence[Line]]) -> Numbered | None:
    """A long number on the first page that nothing explains: perhaps the one wanted, never surely."""
    lines = pages[0] if pages else ()
    others = _labels(lines, "not_file_number")
    for piece in pieces(lines, _FILE_NUMBER):
        text = re.sub(r"\s+", " ", piece.text.strip())
        digits = sum(sign.isdigit() for sign in text)
        if digits >= 7 and not _known(text) and not _EIN.fullmatch(text) and best_label(others, piece)[0] < 0.3:
            return Numbered(text, 0.4, piece, 0, piece.text)
    return None


def ein_labels(pages: Sequence[Sequence[Line]]) -> list[tuple[int, Piece]]:
    """Labels for an EIN, each with the index of its page, whether or not one was read beside it."""
    return [
        (number, label)
        for number, lines in enumerate(pages)
        for label, weight in _labels(lines, "ein")
        if weight >= _OUTRIGHT and len(label.line.text) <= _SHORT
    ]


def _known(text: str) -> bool:
    """True for a date, a telephone number, a ZIP code, a preparer's number or an SSN."""
    if find_dates(re.sub(r"\s*-\s*", "-", text)):
        return True
    return any(shape.fullmatch(text) for shape in (_DATE_LIKE, _TELEPHONE, _PTIN, _SSN))


def _agreed(found: Sequence[Numbered]) -> Numbered | None:
    """The surest number; seen twice alike it is surer, beside a different one as sure it is less so."""
    if not found:
        return None
    best = max(found, key=lambda n: n.sure)
    alike = [n for n in found if n.text == best.text and n.piece.line is not best.piece.line]
    rivals = [n for n in found if n.text != best.text and n.sure > 0.8 * best.sure]
    sure = best.sure + (1 - best.sure) * 0.5 * (1 - 0.5 ** len(alike)) if alike else best.sure
    if rivals and len(rivals) >= len(alike):
        sure *= 0.7
    return Numbered(best.text, sure, best.piece, best.page, best.raw)


def _digits(text: str) -> tuple[str, int]:
    """The digits of a number, and how many of them were repaired."""
    kept = re.sub(r"[\s\-\u2013\u2014~]", "", text)
    fixed = kept.translate(_TO_DIGIT)
    return fixed, sum(1 for old, new in zip(kept, fixed, strict=True) if old != new)


def _labels(lines: Sequence[Line], key: str) -> list[tuple[Piece, float]]:
    return [
        (piece, weight)
        for phrase, weight in table("numbers.toml")[key].items()
        for piece in pieces(lines, re.compile(phrase, re.IGNORECASE))
    ]
