"""Where a page has a file mark in print: dates beside or under `filed`, or the word that an office uses for it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from quietus.reading.attested import OFFICES, names_ending
from quietus.reading.companions import SENTENCE, STAMP_LINE, about, in_row, shows
from quietus.reading.marks import Mark
from quietus.reading.pieces import Piece
from quietus.reading.roles import OWN, Dated
from quietus.reading.words import Line, Rect, plain

_JOINTLY = re.compile(
    r"\W*(\w+ )?((approved|accepted|received|recorded|examined|endorsed|reviewed|delivered|processed|registered)\s+"
    r"(and|&)|"
    r"duly|document|instrument|\w*(dissolution|withdrawal|cancellation|termination|surrender))$"
)
_LOUD = re.compile(r"(?<!not )(?<!NOT )\bFILED\b(?! BY\b)")
_HEAD = re.compile(
    r"\W*((document|instrument|duly)\s+)?((received|approved|accepted|recorded|examined|endorsed|processed)\s+(and|&)\s+)?"
    r"((electronically|e-?)\s?filed|f?iled|filing\W{1,3}date|date\W{1,3}filed|endorsed\W{1,3}filed|"
    r"this (document|filing|paper) was filed|(accepted|approved|admitted|taken|placed|entered) (for|to|on|of) "
    r"(filing|record|file))(?![a-z])(?!\s*(by|of (the|its|original|initial|first|articles|certificate))\b)",
    re.IGNORECASE,
)
_TAKEN_HEAD = re.compile(
    r"\W*((electronically )?(accepted|approved|recorded|processed|entered|endorsed|examined))\b"
    r"(?! by (all|the m)| form)",
    re.IGNORECASE,
)
BARE_LABELS = frozenset({"date", "dated"})
"""Labels that say no more than that a date comes: under FILED it is the filing date."""
_LEADING, _BLOCK = 1.3, 5  # letter heights between two lines of one block; lines of it that are looked through
_MARK_LINE = 180  # characters: so long may a mark be that begins its line with a capital, office and number included
_OPENS = re.compile(r"\W*(Electronically\s|ELECTRONICALLY\s|[Ee]-?)?\s?(Filed|FILED)(?![a-z])")
_FILING_NUMBER = re.compile(r"\b(filing|document|instrument|acknowledg\w*) (number|no|id|#)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Seen:
    """One page as the search for the office's mark needs it."""

    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]
    dates: tuple[Dated, ...]
    typeset: bool


def printed_marks(page: Seen) -> list[Dated]:
    """Dates with a printed `filed`: beside it, or some short lines under it, as typed marks have it.

    What is recognised where a stamp lies is the stamp, badly read; a page's own text is as good there as elsewhere.
    """
    hits = [hit for hit in page.dates if hit.role in {"filed", "taken"} and is_mark(hit)]
    hits += [hit for line in page.lines if (hit := _under_head(line, page)) and is_mark(hit)]
    hits += [replace(hit, role="filed", closeness=0.8) for hit in page.dates if _numbered(hit, page.lines)]
    stamps = [mark.rect for mark in page.marks if mark.sort == "filed" and mark.day and not page.typeset]
    return [hit for hit in hits if not any(_within(hit, rect) for rect in stamps)]


def _within(hit: Dated, stamp: Rect) -> bool:
    """True when the date or its label is what was recognised, as print, of a stamp; others may stand beside it."""
    parts = [hit.piece.rect, *([hit.label.rect] if hit.label else [])]
    return any(stamp.holds(part, 0.4) for part in parts)


def bare(hit: Dated) -> bool:
    """True for a date whose label says no more than that a date comes."""
    return hit.label is not None and plain(hit.label.text) in BARE_LABELS


def _numbered(hit: Dated, lines: Sequence[Line]) -> bool:
    """True for a bare `Date` in the row of a filing's number, or near it, with a time of day or an office."""
    row, near = in_row(hit, lines), about(hit, lines)[0]
    office, timed = OFFICES.search(plain(near)) is not None, shows("time", near)
    beside = _FILING_NUMBER.search(row) is not None and (office or shows("time", row))
    return bare(hit) and (beside or (_FILING_NUMBER.search(near) is not None and office and timed))


def _under_head(head: Line, page: Seen) -> Dated | None:
    """The date in the block of short lines that begins with `head`, a line that begins with FILED; None without one."""
    match = _HEAD.match(head.text) or _TAKEN_HEAD.match(head.text)
    if not match or len(head.text) > (SENTENCE if OFFICES.search(plain(head.text)) else STAMP_LINE):
        return None
    if any(hit.label and hit.label.line is head and _level(head, hit.piece.rect) for hit in page.dates):
        return None  # its date stands beside it
    block, last = [head], head
    for line in page.lines:
        gap = line.rect.top - last.rect.bottom
        beside = min(line.rect.right, head.rect.right) - max(line.rect.left, head.rect.left)
        if -0.4 * head.tall < gap < _LEADING * head.tall and beside > 0 and len(line.text) <= SENTENCE:
            block.append(line)
            last = line
        if len(block) > _BLOCK:
            break
    for hit in page.dates:
        own = bare(hit) or hit.role in OWN or (hit.label is not None and hit.label.line is not hit.piece.line)
        if own and any(hit.piece.line is line for line in block):
            role = "taken" if match.re is _TAKEN_HEAD else "filed"
            return replace(hit, role=role, closeness=0.8, label=Piece(head, match.start(), match.end()))
    return None


def _level(line: Line, rect: Rect) -> bool:
    return min(line.rect.bottom, rect.bottom) - max(line.rect.top, rect.top) > 0.5 * line.tall


def headless_filed(lines: Sequence[Line]) -> bool:
    """True when a line begins with FILED and no date was found for it: a short line, or one that reads like a mark.

    A short line that names an office and says FILED anywhere in capitals is one, too.
    """
    for line in lines:
        short = len(line.text) <= STAMP_LINE
        if _HEAD.match(line.text) and (short or _marklike(line)):
            return True
        if short and _LOUD.search(line.text) and OFFICES.search(plain(line.text)):
            return True
    return False


def _marklike(line: Line) -> bool:
    """Whether a long line that begins with Filed tells a time of day, or that it came electronically."""
    told = shows("time", line.text) or shows("electronic", line.text)
    return told and _OPENS.match(line.text) is not None and len(line.text) <= _MARK_LINE


def is_mark(hit: Dated) -> bool:
    """True unless `filed` is a word of a sentence: what an office says in sentences is read by `attested`."""
    label = hit.label
    if label is None:
        return False
    text, before = label.line.text, label.line.text[: label.start].rstrip().lower()
    if _OPENS.match(text) and not before.strip(" *|.,:;-"):
        return len(text) <= _MARK_LINE
    if recorded(text):
        return len(text) <= _MARK_LINE
    if before.endswith(".") and label.text[:1].isupper() and names_ending(before):
        return True  # a sentence of its own: `Filing date: …`
    if label.text[:1].islower() and any(sign.isalpha() for sign in before) and not _JOINTLY.match(before):
        return False  # `annual report filed with …`: a mark begins with a capital, or its line with it
    spoken = re.search(r"\b(was|were|been|being|be|is|are|when|until|first|originally|not|never)$", before)
    return len(text) <= SENTENCE and not spoken


def recorded(line: str) -> bool:
    """True for a line of an office's record: it tells a time of day and a number, or a time and the office."""
    return shows("time", line) and (shows("number", line) or OFFICES.search(plain(line)) is not None)
