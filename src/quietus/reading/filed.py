"""Whether a filing office has taken the paper, and when: from the office's stamp or its printed file mark alone.

A date may pass for the filing date only when it stands in a stamp that says FILED, or beside a printed `filed` that has
a companion showing whose mark it is: the office's name, a time of day, a filing number, or `electronically`. Dates of
signing, mailing, formation, receipt or effect never do, however alone they stand.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from quietus.model.kinds import Authority
from quietus.reading.attested import OFFICES, Attested, attested, filed_here, office_writes
from quietus.reading.dates import find_dates
from quietus.reading.marks import Mark, sort_of
from quietus.reading.patches import Patch
from quietus.reading.pieces import Piece
from quietus.reading.pixels import Gray, cut
from quietus.reading.roles import Dated
from quietus.reading.words import Line, Rect, around, plain

_TIME = re.compile(r"\b\d{1,2}:\d{2}(:\d{2})?\s*([AaPp]\.?\s?[Mm]\b|\b)")
_NUMBER = re.compile(
    r"\b(document|transaction|filing|tracking|confirmation|acknowledg\w*|receipt|instrument|reference|file|work order)"
    r"( (number|no|id|#))?\W{0,3}\s*[A-Z]{0,3}\d[\d-]{4,}",
    re.IGNORECASE,
)
_ELECTRONIC = re.compile(r"\be-?filed|\belectronic", re.IGNORECASE)
_BY_WIRE = re.compile(r"\be-?fil|\belectronic|\bonline\b|\btransaction\b|\bdelivered \d{1,2}:\d\d", re.IGNORECASE)
_SCREEN = re.compile(r"\bonline\b|\bdownload\b|\bportal\b|\bfiling has been (approved|accepted)\b", re.IGNORECASE)
_JOINTLY = re.compile(r"\W*(approved|accepted|received|recorded|examined|endorsed|reviewed|delivered)\s+(and|&)$")
_LOUD = re.compile(r"(?<!not )(?<!NOT )\bFILED\b(?! BY\b)")
_ACCEPTED = re.compile(r"\b(your|the|this) (filing|document) (has been|was|is) (approved|accepted)\b", re.IGNORECASE)
_HEAD = re.compile(
    r"\W*((received|approved|accepted|recorded|examined|endorsed)\s+(and|&)\s+)?"
    r"((electronically|e-?)\s?filed|f?iled|filing\W{1,3}date|date\W{1,3}filed|endorsed\W{1,3}filed)\b(?!\s*by\b)",
    re.IGNORECASE,
)
BARE_LABELS = frozenset({"date", "dated"})
"""Labels that say no more than that a date comes: under FILED it is the filing date."""
_RECEIPT = re.compile(r"\b(receipt|acknowledge?ment|confirmation|evidence) ?(of filing)?\W*$", re.IGNORECASE)
_TITLE_LINES = 6
_LEADING, _BLOCK = 1.3, 5  # letter heights between two lines of one block; lines of it that are looked through
_FEW_WORDS = 2  # a month's name among them
_HEARD = 0.6  # a mark whose date is less sure than this is no rival
_SENTENCE = 80  # characters: a longer line is running text
_MARK_LINE = 180  # characters: so long may a mark be that begins its line with a capital, office and number included
_OPENS = re.compile(r"\W*(Electronically\s|ELECTRONICALLY\s|[Ee]-?)?\s?(Filed|FILED)\b")
_STAMP_LINE = 45  # characters: a longer line is no stamp's
_HEADS = frozenset({"filed", "received", "rejected"})
_DATE_BELOW = 1.1  # inches between FILED and its date, other lines of the stamp between them
_TALL = 1.35  # times the page's usual letter height: stamped rather than typed


@dataclass(frozen=True, slots=True)
class OfficeMark:
    """The filing office's mark on a paper, or that there is none.

    Attributes:
        stamped: whether there is one.
        sure: how sure that is, 0 to 1.
        day: its date; None when there is no mark or its date cannot be read.
        day_sure: how sure the date is.
        rect: where; None without one.
        page: index among the paper's pages.
        raw: as recognised.
        method: `stamp:chroma`, `stamp:black`, `file-mark`, `certificate` or `absent`.
        form: what the mark makes of the paper.
    """

    stamped: bool
    sure: float
    day: date | None
    day_sure: float
    rect: Rect | None
    page: int
    raw: str
    method: str
    form: Authority


@dataclass(frozen=True, slots=True)
class Seen:
    """One page as this module needs it."""

    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]
    dates: tuple[Dated, ...]
    typeset: bool


def office_mark(pages: Sequence[Seen], unread: bool) -> OfficeMark:
    """The office's mark on the paper.

    Args:
        pages: its pages in order.
        unread: True when a patch of ink that could be a stamp stayed unread.
    """
    stamps = [(i, mark) for i, page in enumerate(pages) for mark in page.marks if mark.sort == "filed"]
    printed = [(i, hit) for i, page in enumerate(pages) for hit in _printed(page)]
    spoken = [(i, said) for i, page in enumerate(pages) if (said := attested(page.lines))]
    odd = any(mark.sort in {"rejected", "strange"} for page in pages for mark in page.marks)
    found = [_from_stamps(stamps)] if stamps else []
    found += [_from_sentence(*spoken[0])] if spoken else []
    found += [max((_from_print(i, hit, pages[i]) for i, hit in printed), key=lambda m: m.day_sure)] if printed else []
    found = found or [
        _perhaps(i, m)
        for i, page in enumerate(pages)
        for m in page.marks
        if m.sort == "unclear" and m.day and _wordy(m)
    ]
    if not found:
        headed = any(_speaks_of_filing(page.lines) for page in pages)
        doubt = 0.45 if unread or headed or _unclear(pages) else 0.0
        return OfficeMark(False, 0.95 - doubt, None, 0.95 - doubt, None, 0, "", "absent", Authority.PLAIN)
    best = _agreed(found)
    return replace(best, sure=min(best.sure, 0.5), day_sure=min(best.day_sure, 0.5)) if odd else best


def _wordy(mark: Mark) -> bool:
    """True when a mark has words beside its date, as an office's has."""
    return sum(len(word) >= 3 and word.isalpha() for word in plain(mark.text).split()) > _FEW_WORDS


def _perhaps(index: int, mark: Mark) -> OfficeMark:
    """What a stamp that does not say whose it is would be if it were the office's: for a person to tell."""
    return OfficeMark(True, 0.5, mark.day, 0.5, mark.rect, index, mark.text, mark.method, Authority.STAMPED)


def _agreed(found: Sequence[OfficeMark]) -> OfficeMark:
    """The first mark that has a date; another that has the same makes it surer, one with another date unsure."""
    best = next((mark for mark in found if mark.day), found[0])
    others = [mark for mark in found if mark is not best and mark.day and mark.day_sure > _HEARD]
    if any(mark.day != best.day for mark in others):
        return replace(best, day_sure=min(best.day_sure, 0.5))
    if others:
        return replace(best, sure=max(best.sure, 0.97), day_sure=1 - (1 - best.day_sure) * 0.5)
    return best


def _printed(page: Seen) -> list[Dated]:
    """Dates with a printed `filed`: beside it, or some short lines under it, as typed marks have it.

    What is printed where a stamp lies is the stamp, badly recognised.
    """
    hits = [hit for hit in page.dates if hit.role == "filed" and _is_mark(hit)]
    hits += [hit for line in page.lines if (hit := _under_head(line, page)) and _is_mark(hit)]
    stamps = [mark.rect for mark in page.marks if mark.sort == "filed" and mark.day]
    return [hit for hit in hits if not any(rect.holds(hit.piece.rect, 0.4) for rect in stamps)]


def _under_head(head: Line, page: Seen) -> Dated | None:
    """The date in the block of short lines that begins with `head`, a line that begins with FILED; None without one."""
    match = _HEAD.match(head.text)
    if not match or len(head.text) > _STAMP_LINE:
        return None
    block, last = [head], head
    for line in page.lines:
        gap = line.rect.top - last.rect.bottom
        beside = min(line.rect.right, head.rect.right) - max(line.rect.left, head.rect.left)
        if -0.4 * head.tall < gap < _LEADING * head.tall and beside > 0 and len(line.text) <= _SENTENCE:
            block.append(line)
            last = line
        if len(block) > _BLOCK:
            break
    for hit in page.dates:
        bare = hit.label is not None and plain(hit.label.text) in BARE_LABELS
        own = bare or hit.role in {"", "filed"} or (hit.label is not None and hit.label.line is not hit.piece.line)
        if own and any(hit.piece.line is line for line in block):
            return replace(hit, role="filed", closeness=0.8, label=Piece(head, match.start(), match.end()))
    return None


def headless_filed(lines: Sequence[Line]) -> bool:
    """True when a line begins with FILED and no date was found for it: a short line, or one that reads like a mark.

    A short line that names an office and says FILED anywhere in capitals is one, too.
    """
    for line in lines:
        short = len(line.text) <= _STAMP_LINE
        if _HEAD.match(line.text) and (short or _marklike(line)):
            return True
        if short and _LOUD.search(line.text) and OFFICES.search(plain(line.text)):
            return True
    return False


def _speaks_of_filing(lines: Sequence[Line]) -> bool:
    return headless_filed(lines) or _told_of(lines) or filed_here(lines)


def _told_of(lines: Sequence[Line]) -> bool:
    """True for a page that says that a filing was accepted: it must tell when, even if that was not read."""
    return _ACCEPTED.search(" ".join(line.text for line in lines)) is not None


def _marklike(line: Line) -> bool:
    """Whether a long line that begins with Filed tells a time of day, or that it came electronically."""
    found = _OPENS.match(line.text) and (_TIME.search(line.text) or _ELECTRONIC.search(line.text))
    return bool(found) and len(line.text) <= _MARK_LINE


def _from_sentence(index: int, said: Attested) -> OfficeMark:
    form = Authority.CERTIFIED if said.sworn else Authority.ELECTRONIC
    text = said.piece.line.text[max(0, said.piece.start - 60) : said.piece.end]
    return OfficeMark(True, 0.95, said.day, said.sure, said.piece.rect, index, text, "certificate", form)


def _unclear(pages: Sequence[Seen]) -> bool:
    return any(mark.sort in {"unclear", "strange"} for page in pages for mark in page.marks)


def _from_stamps(stamps: Sequence[tuple[int, Mark]]) -> OfficeMark:
    """The surest stamp. Another stamp with another date makes its date unsure."""
    index, best = max(stamps, key=lambda pair: (pair[1].day is not None, pair[1].sure))
    sure = best.sure if best.day else 0.0
    if best.day and {mark.day for _, mark in stamps if mark.day and mark.sure > 0.5} - {best.day}:
        sure = min(sure, 0.5)
    form = Authority.ELECTRONIC if _ELECTRONIC.search(best.text) else Authority.STAMPED
    return OfficeMark(True, 0.97, best.day, sure, best.rect, index, best.text, best.method, form)


def _is_mark(hit: Dated) -> bool:
    """True unless `filed` is a word of a sentence: what an office says in sentences is read by `certified`."""
    label = hit.label
    if label is None:
        return False
    before = label.line.text[: label.start].rstrip().lower()
    if _OPENS.match(label.line.text) and not before.strip(" *|.,:;-"):
        return len(label.line.text) <= _MARK_LINE
    if label.text[:1].islower() and any(sign.isalpha() for sign in before) and not _JOINTLY.match(before):
        return False  # `annual report filed with …`: a mark begins with a capital, or its line with it
    spoken = re.search(r"\b(was|were|been|being|be|is|are|when|until|first|originally|not|never)$", before)
    return len(label.line.text) <= _SENTENCE and not spoken


def _from_print(index: int, hit: Dated, page: Seen) -> OfficeMark:
    companions = _companions(hit, page.lines)
    worth = {0: 0.5, 1: 0.86}.get(companions, 0.97)
    rect = around([hit.piece.rect, hit.label.rect]) if hit.label else hit.piece.rect
    electronic = page.typeset or _shows_electronic(hit, page.lines)
    form = Authority.ELECTRONIC if electronic else Authority.STAMPED
    return OfficeMark(
        True, worth, hit.day, min(worth, 0.99) * hit.sure, rect, index, hit.piece.line.text, "file-mark", form
    )


def _companions(hit: Dated, lines: Sequence[Line]) -> int:
    """How many things beside the date show that an office made the mark."""
    text, label = _around(hit, lines)
    signs = (_TIME.search(text), _NUMBER.search(text), OFFICES.search(plain(text)), _ELECTRONIC.search(label))
    return sum(1 for sign in signs if sign) + 2 * _receipt(lines)


def _receipt(lines: Sequence[Line]) -> bool:
    """True for a page that an office wrote to say what it took: a receipt or acknowledgment under its name."""
    titles = (line.text for line in lines[:_TITLE_LINES] if len(line.text) <= _STAMP_LINE)
    return office_writes(lines) and any(_RECEIPT.search(title) for title in titles)


def _shows_electronic(hit: Dated, lines: Sequence[Line]) -> bool:
    """True when what stands about the mark says that the paper came by wire; a clerk types times and numbers, too."""
    text, label = _around(hit, lines)
    page = "\n".join(line.text for line in lines)
    return bool(_BY_WIRE.search(text) or _BY_WIRE.search(label) or _SCREEN.search(page))


def _around(hit: Dated, lines: Sequence[Line]) -> tuple[str, str]:
    """The short lines about a date, and its label."""
    tall = hit.piece.line.tall
    zone = hit.piece.line.rect.grown(22 * tall, 4.5 * tall)
    near = [
        line
        for line in lines
        if line is hit.piece.line or (zone.overlap(line.rect) > 0 and len(line.text) <= _SENTENCE)
    ]
    return "\n".join(line.text for line in near), hit.label.text if hit.label else ""


def straight_stamps(lines: Sequence[Line], dates: Sequence[Dated], gray: Gray, dpi: float) -> list[Patch]:
    """Patches around stamps that stand so straight that they were recognised as text, well or badly.

    The signs are FILED, RECEIVED or the like in capitals, or a date that belongs to no label, set taller than the
    page's print or inside a frame.
    """
    heights = sorted(line.tall for line in lines)
    least = _TALL * heights[len(heights) // 2] if heights else 0.0
    loose = [hit.piece.line for hit in dates if hit.role in {"", "filed"}]
    found = []
    for line in lines:
        if len(line.text) > _STAMP_LINE:
            continue
        heads = [word for word in line.words if word.text.isupper() and sort_of(word.text)[0] in _HEADS]
        if not heads and line not in loose:
            continue
        rect = _cluster(line, lines, loose, dpi, least)
        tall = max(word.rect.height for word in heads or line.words) > least
        if tall or _framed(rect, gray, dpi):
            found.append(Patch(rect.grown(0.12 * dpi, 0.12 * dpi), -1, (_slope(line),)))
    return found


def _slope(line: Line) -> float:
    """Degrees clockwise that the words of a line lean, by the middles of the first and the last."""
    first, last = line.words[0].rect.middle, line.words[-1].rect.middle
    return math.degrees(math.atan2(last[1] - first[1], last[0] - first[0])) if last[0] > first[0] else 0.0


def _framed(rect: Rect, gray: Gray, dpi: float) -> bool:
    """True when straight lines run close by on at least three sides."""
    reach = 0.22 * dpi
    sides = (
        (Rect(rect.left, rect.top - reach, rect.right, rect.top - 1), 1),
        (Rect(rect.left, rect.bottom + 1, rect.right, rect.bottom + reach), 1),
        (Rect(rect.left - reach, rect.top, rect.left - 1, rect.bottom), 0),
        (Rect(rect.right + 1, rect.top, rect.right + reach, rect.bottom), 0),
    )
    lined = 0
    for side, axis in sides:
        dark = cut(gray, side) < 150
        lined += bool(dark.size) and float(dark.mean(axis=axis).max()) > 0.8
    return lined >= 3


def _cluster(line: Line, lines: Sequence[Line], loose: Sequence[Line], dpi: float, least: float) -> Rect:
    """The line with those above and below it that a stamp would have, or that are tall too, and a date if there is one.

    `loose` are lines with a date that belongs to no label.
    """
    rect = line.rect
    for _ in range(3):
        for other in lines:
            if not rect.holds(other.rect, 0.9) and (_stamp_like(other) or other.tall > least):
                apart = max(rect.top - other.rect.bottom, other.rect.top - rect.bottom)
                if apart < 1.2 * max(line.tall, other.tall):
                    rect = _with(rect, other.rect, dpi)
    if not any(rect.holds(other.rect, 0.9) for other in loose):
        for other in loose:
            apart = max(rect.top - other.rect.bottom, other.rect.top - rect.bottom)
            if apart < _DATE_BELOW * dpi:
                rect = _with(rect, other.rect, dpi)
    return rect


def _with(rect: Rect, other: Rect, dpi: float) -> Rect:
    """Both together if they share enough width and stay the size of a stamp, else the first alone."""
    shared = min(rect.right, other.right) - max(rect.left, other.left)
    joined = around([rect, other])
    fits = joined.width < 4.2 * dpi and joined.height < 2.2 * dpi
    return joined if shared > 0.4 * min(rect.width, other.width) and fits else rect


def _stamp_like(line: Line) -> bool:
    words = plain(line.text)
    short = len(line.text) <= _STAMP_LINE
    return short and bool(
        find_dates(line.text) or OFFICES.search(words) or _NUMBER.search(line.text) or sort_of(line.text)[0]
    )
