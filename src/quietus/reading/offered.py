"""A date that could be the filing office's though nothing says so surely: it is offered to a person, never counted."""

import re
from collections.abc import Sequence
from dataclasses import replace

from quietus.reading.attested import OFFICES, reminds, sends_back, speaks_of_ending, wished
from quietus.reading.companions import SENTENCE, STAMP_LINE, about, companions, in_row, shows
from quietus.reading.marks import sort_of
from quietus.reading.pieces import Piece
from quietus.reading.printed import Seen, bare, is_mark, recorded
from quietus.reading.roles import OWN, Dated
from quietus.reading.words import Line, plain

_ALSO_OFFICES = frozenset({"effective", "formed", "prepared"})  # told by words that stand on marks, too: REGISTERED
_OF_A_CERTIFICATE = ("filed", "taken", "effective", "ended", "", "begins", "signed")
"""Roles of a date that an office tells of, those that come nearest to filing first."""
_NOT_FILED = frozenset({"received", "rejected", "other", "strange"})
_HEAD, _NEARLY = 8, 0.75  # lines in which a letter has its date; share of a line that is nearly all of it
_SMALL_WORD, _PROSE = re.compile(r"\b[a-z]{2,}\b"), 4  # so many words in small letters before a date are running text


def offered(page: Seen) -> Dated | None:
    """A date that nothing else explains and that an office's words stand by.

    On a page that an office wrote about the end of a company, any date but that of a birth, a claim or the like.
    """
    if sends_back(page.lines):
        return None
    head = page.lines[:_HEAD] if reminds(page.lines) else ()
    others = [mark.rect for mark in page.marks if mark.sort in _NOT_FILED]
    seen = [hit for hit in page.dates if not (hit.piece.line in head and _alone(hit))]  # such a letter's own date
    dates = [hit for hit in seen if not any(rect.holds(hit.piece.rect, 0.4) for rect in others)]
    hits = [hit for hit in dates if _could_be(hit, page.lines)]
    if not hits and speaks_of_ending(page.lines):
        told = [hit for role in _OF_A_CERTIFICATE for hit in dates if hit.role == role]
        hits = [hit for hit in told if not (shows("sent", in_row(hit, page.lines)) or wished(_before(hit.piece)))]
    return hits[0] if hits else None


def _could_be(hit: Dated, lines: Sequence[Line]) -> bool:
    """Whether an office may have set the date: no label tells what it is, or one that offices use, too."""
    text, row = about(hit, lines)[0], in_row(hit, lines)
    office = OFFICES.search(plain(text)) is not None
    if hit.role != "taken" and sort_of(text)[0] in _NOT_FILED and not shows("loose_number", text):
        return False
    if _captioned(hit, lines):
        return False
    if hit.role in OWN or bare(hit):
        apart = not _in_prose(hit.piece) or recorded(hit.piece.line.text)
        spoken = hit.role in {"filed", "taken"} and not is_mark(hit)
        near = companions(hit, lines) > 0 or shows("loose_number", row)
        return apart and near and not spoken and not shows("sent", row)
    if hit.role == "received":
        return office and shows("time", text) and shows("loose_number", text)
    alone = hit.label is not None and hit.label.text.isupper() and len(hit.label.line.text) <= STAMP_LINE
    return hit.role in _ALSO_OFFICES and office and (alone or shows("time", row))


def _alone(hit: Dated) -> bool:
    return len(hit.piece.text) > _NEARLY * len(hit.piece.line.text)


def _captioned(hit: Dated, lines: Sequence[Line]) -> bool:
    """True for a date over the caption `Date` of a line for signing; an office's clerk is named in that row, if one."""
    if not bare(hit) or hit.label is None or hit.label.rect.top < hit.piece.rect.bottom - 0.3 * hit.label.line.tall:
        return False
    row = in_row(replace(hit, piece=hit.label), lines)
    return row != hit.label.line.text and not shows("office_use", row) and OFFICES.search(plain(row)) is None


def _before(piece: Piece) -> str:
    return piece.line.text[: piece.start]


def _in_prose(piece: Piece) -> bool:
    """True for a date in running text: several words in small letters stand before it in its line."""
    return len(_SMALL_WORD.findall(_before(piece))) >= _PROSE or len(piece.line.text) > SENTENCE
