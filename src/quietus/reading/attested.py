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
    if not sworn and not any(plain(line.text) in covers() for line in lines):
        return None
    for hit in find_dates(flow.text):
        before = flow.text[max(0, hit.start - _REACH) : hit.start]
        filed = _FILED.search(before)
        if filed and _OFFICE.search(before) and _ending_named(before) and not _born(before, filed.start()):
            piece = Piece(flow, hit.start, hit.end)
            return Attested(hit.day, 0.95 * hit.sure * min(1.0, piece.sure + 0.05), piece, sworn)
    return None


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
