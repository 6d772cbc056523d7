"""What an office says in a sentence: a certificate or acknowledgment that a paper was filed, and when."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache

from quietus.model.kinds import Kind
from quietus.reading.dates import find_dates
from quietus.reading.pieces import Piece
from quietus.reading.tables import covers, either, kind_rows
from quietus.reading.words import Line, Word, plain

_REACH = 420  # characters of the sentence before the date
_FILED = re.compile(
    r"\b(was|were|has been|have been|is|being)\b[^.;]{0,30}\b(filed|recorded)\b[^.;]{0,90}$", re.IGNORECASE
)
_OFFICE = re.compile(
    r"\b(this office|my office|our office|our records|these records|records of|office of the|secretary of)\b",
    re.IGNORECASE,
)
OFFICES = re.compile(
    r"\b(secretary of|department of state|division of corporations|corporations?( and \w+)? (division|commission)|"
    r"this office|business services|corporation commission|department of (commerce|licensing|assessments|consumer|"
    r"financial|business)|state treasurer|lieutenant governor|bureau of corporations|commissioner of)\b"
)
"""Offices where companies are ended, in plain form."""
_WAS_FILED = re.compile(
    r"\b(was|were|has been|have been)\b[^;]{0,90}\bfiled\b[^;]{0,60}\bon(:| this)?\s*$", re.IGNORECASE
)
_FILED_HERE = re.compile(
    r"\b(was|were|has been|have been)\b[^.;]{0,60}\bfiled (in|with|by) (this|our|my) office\b|"
    r"\b(was|has been) (approved|accepted) by the [^;]{0,90}\bfiled\b",
    re.IGNORECASE,
)
_DEPARTMENT = re.compile(r"\b(department|division|bureau) of\b")
_ENDING = re.compile(r"\b(dissol\w+|withdr[ae]w\w*|cancel\w*|terminat\w+|surrender\w*|winding up)\b", re.IGNORECASE)
_SENTENCE_END = re.compile(r"[.;:]\s+(?=[A-Z])")
_ADDRESSED = re.compile(r"\W*(to|attn|attention|re|subject|mail)\b", re.IGNORECASE)
_FROM = re.compile(r"\W*from\b", re.IGNORECASE)
_HEAD_LINES, _SENDER_LINES = 4, 8
_SWORN = re.compile(r"\bcertif(y|ies|ied)\b", re.IGNORECASE)
_BIRTH = re.compile(
    r"\b(articles of organization|certificate of (formation|organization)|original(ly)?)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Attested:
    """A filing that the page attests.

    Attributes:
        day: when the paper was filed.
        sure: 0 to 1.
        piece: the date.
        sworn: whether the office certifies it, rather than merely acknowledging it.
    """

    day: date
    sure: float
    piece: Piece
    sworn: bool


def attested(lines: Sequence[Line]) -> Attested | None:
    """The filing that an office's certificate or acknowledgment speaks of; None on any other page."""
    words: tuple[Word, ...] = tuple(word for line in lines for word in line.words)
    if not words:
        return None
    flow = Line(words)
    sworn = bool(_SWORN.search(flow.text))
    told = sworn or any(plain(line.text) in covers() for line in lines)
    if not told and not office_writes(lines):
        return None
    for hit in find_dates(flow.text):
        before = flow.text[max(0, hit.start - _REACH) : hit.start]
        if not told:  # a letter says much: the very sentence has to name what was filed
            before = _SENTENCE_END.split(before)[-1]
        filed = _FILED.search(before) if told else _WAS_FILED.search(before)
        if filed and (_of_office(before) if told else _by_office(before)) and not _born(before, filed.start()):
            piece = Piece(flow, hit.start, hit.end)
            return Attested(hit.day, 0.95 * hit.sure * min(1.0, piece.sure + 0.05), piece, sworn)
    return None


def _of_office(text: str) -> bool:
    return bool(_OFFICE.search(text)) and _ending_named(text)


def _by_office(sentence: str) -> bool:
    """Whether a sentence of a letter names an office, and the end of a company."""
    office = _OFFICE.search(sentence) or _names_office(sentence)
    return bool(office and _ENDING.search(sentence))


def _names_office(text: str) -> bool:
    words = plain(text)
    return bool(OFFICES.search(words) or _DEPARTMENT.search(words))


def office_writes(lines: Sequence[Line]) -> bool:
    """True for a letter or mail of an office: its name stands in the head, or after From."""
    head = [line for line in lines[:_HEAD_LINES] if not _ADDRESSED.match(line.text)]
    head += [line for line in lines[:_SENDER_LINES] if _FROM.match(line.text)]
    return any(_names_office(line.text) for line in head)


def filed_here(lines: Sequence[Line]) -> bool:
    """True when a page says that something was filed in the office that speaks, whether or not a date was read."""
    return _FILED_HERE.search(" ".join(line.text for line in lines)) is not None


def _born(before: str, filed: int) -> bool:
    """True when what was filed is the paper that made the company."""
    return bool(_BIRTH.search(before[max(0, filed - 60) :]))


def _ending_named(text: str) -> bool:
    words = plain(text)
    return any(title in words for title in _endings())


@cache
def _endings() -> tuple[str, ...]:
    rows = kind_rows()
    return (*rows[Kind.DISSOLUTION].titles, *rows[Kind.WITHDRAWAL].titles, *either()["titles"])
