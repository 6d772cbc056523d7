"""Whether a filing office has taken the paper, and when: from the office's stamp or its printed file mark alone.

A date may pass for the filing date only when it stands in a stamp that says FILED, or beside a printed `filed` that has
a companion showing whose mark it is: the office's name, a time of day, a filing number, or `electronically`. Dates of
signing, mailing, formation, receipt or effect never do, however alone they stand.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from quietus.model.kinds import Authority
from quietus.reading.attested import Attested, acknowledges, attested, certifies, filed_here, names_ending, wished
from quietus.reading.companions import about, companions, shows, shows_electronic
from quietus.reading.dates import find_dates
from quietus.reading.marks import Mark, sort_of
from quietus.reading.offered import offered
from quietus.reading.printed import Seen, headless_filed, printed_marks
from quietus.reading.roles import OWN, Dated
from quietus.reading.words import Line, Rect, around, plain

_ACCEPTED = re.compile(r"\b(your|the|this) (filing|document) (has been|was|is) (approved|accepted)\b", re.IGNORECASE)
_FEW_WORDS = 2  # a month's name among them
_HEARD = 0.6  # a mark whose date is less sure than this is no rival
_RIVAL = 0.5  # of two stamps with different dates, one less sure than this is no rival
_ALL_BUT_ONE = 2  # of day, month and year: so much do two readings of one date share
_OFFERED = 0.45  # how sure a date is that nothing but its surroundings makes the office's


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


def office_mark(pages: Sequence[Seen], unread: bool) -> OfficeMark:
    """The office's mark on the paper.

    Args:
        pages: its pages in order.
        unread: True when a patch of ink that could be a stamp stayed unread.
    """
    stamps = [(i, mark) for i, page in enumerate(pages) for mark in page.marks if mark.sort == "filed"]
    printed = [(i, hit) for i, page in enumerate(pages) for hit in printed_marks(page)]
    spoken = [(i, said) for i, page in enumerate(pages) if (said := attested(page.lines))]
    odd = any(mark.sort in {"rejected", "strange"} for page in pages for mark in page.marks)
    told = frozenset({said.day for _, said in spoken} | {hit.day for _, hit in printed})
    found = [_from_stamps(stamps, told, pages)] if stamps else []
    found += [_from_sentence(*spoken[0])] if spoken else []
    found += [_best_print(printed, pages)] if printed else []
    found = found or [
        _perhaps(i, m)
        for i, page in enumerate(pages)
        for m in page.marks
        if m.sort == "unclear" and m.day and _wordy(m)
    ]
    ends = any(names_ending(line.text) for page in pages for line in page.lines)  # else nobody waits for its filing
    found = found or [_could_be(i, hit) for i, page in enumerate(pages) if ends and (hit := offered(page))]
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
    return OfficeMark(True, _OFFERED, mark.day, _OFFERED, mark.rect, index, mark.text, mark.method, Authority.STAMPED)


def _agreed(found: Sequence[OfficeMark]) -> OfficeMark:
    """The first mark that has a date; another that has the same makes it surer, one with another date unsure."""
    best = next((mark for mark in found if mark.day), found[0])
    others = [mark for mark in found if mark is not best and mark.day and mark.day_sure > _HEARD]
    if any(mark.day != best.day for mark in others):
        return replace(best, day_sure=min(best.day_sure, 0.5))
    if others:
        return replace(best, sure=max(best.sure, 0.97), day_sure=1 - (1 - best.day_sure) * 0.5)
    return best


def _speaks_of_filing(lines: Sequence[Line]) -> bool:
    return headless_filed(lines) or _told_of(lines) or filed_here(lines)


def _told_of(lines: Sequence[Line]) -> bool:
    """True for a page that says that a filing was accepted: it must tell when, even if that was not read."""
    text = " ".join(line.text for line in lines)
    return any(not wished(text[: found.start()]) for found in _ACCEPTED.finditer(text))


def _from_sentence(index: int, said: Attested) -> OfficeMark:
    form = Authority.CERTIFIED if said.sworn else Authority.ELECTRONIC
    text = said.piece.line.text[max(0, said.piece.start - 60) : said.piece.end]
    return OfficeMark(True, 0.95, said.day, said.sure, said.piece.rect, index, text, "certificate", form)


def _unclear(pages: Sequence[Seen]) -> bool:
    return any(mark.sort in {"unclear", "strange"} or _filed_print(mark) for page in pages for mark in page.marks)


def _filed_print(mark: Mark) -> bool:
    """True for print that speaks of filing and has a date, and that no first look had recognised."""
    return mark.sort == "print" and sort_of(mark.text)[0] == "filed" and bool(find_dates(mark.text))


def _from_stamps(stamps: Sequence[tuple[int, Mark]], told: frozenset[date], pages: Sequence[Seen]) -> OfficeMark:
    """The stamp with a date that the paper tells elsewhere, else the surest: then another date makes it unsure."""
    index, best = max(stamps, key=lambda pair: (pair[1].day in told, pair[1].day is not None, pair[1].sure))
    sure = best.sure if best.day else 0.0
    others = [mark for _, mark in stamps if mark.day not in {None, best.day} and mark.sure > _RIVAL]
    if best.day and best.day not in told and not all(_cut_off(mark, best) for mark in others):
        sure = min(sure, 0.5)
    sure = min(sure, 0.5) if best.day not in told and _printed_otherwise(best, pages[index]) else sure
    form = Authority.ELECTRONIC if shows("electronic", best.text) else Authority.STAMPED
    return OfficeMark(True, 0.97, best.day, sure, best.rect, index, best.text, best.method, form)


def _cut_off(mark: Mark, whole: Mark) -> bool:
    """True when a mark has the date of another that lies there too, but for the end of its year: 20 of 2018."""
    day, full = mark.day, whole.day
    if day is None or full is None or mark.rect.overlap(whole.rect) <= 0:
        return False
    return (day.month, day.day, day.year % 100) == (full.month, full.day, full.year // 100) and mark.sure < whole.sure


def _printed_otherwise(mark: Mark, page: Seen) -> bool:
    """True when the look at the whole page read the stamp's date, and one of day, month and year otherwise."""
    days = [hit.day for hit in page.dates if mark.rect.holds(hit.piece.rect, 0.5) and hit.role in OWN]
    return any(mark.day and _alike(mark.day, day) == _ALL_BUT_ONE for day in days)


def _alike(one: date, other: date) -> int:
    """How many of day, month and year two dates share."""
    return (one.day == other.day) + (one.month == other.month) + (one.year == other.year)


def _from_print(index: int, hit: Dated, page: Seen) -> OfficeMark:
    beside = companions(hit, page.lines) - (1 if hit.role == "taken" else 0)
    worth = {-1: 0.5, 0: 0.5, 1: 0.86}.get(beside, 0.97)
    worth = min(worth, 0.5) if sort_of(about(hit, page.lines)[0])[0] in {"rejected", "strange"} else worth
    rect = around([hit.piece.rect, hit.label.rect]) if hit.label else hit.piece.rect
    form, method = _form(hit, page)
    return OfficeMark(True, worth, hit.day, min(worth, 0.99) * hit.sure, rect, index, hit.piece.line.text, method, form)


def _form(hit: Dated, page: Seen) -> tuple[Authority, str]:
    """What a printed mark makes of the paper, and how it was found: on an office's own page it is no clerk's mark."""
    if certifies(page.lines):
        return Authority.CERTIFIED, "certificate"
    method = "certificate" if acknowledges(page.lines) else "file-mark"
    near = about(hit, page.lines)[0]
    counted = page.typeset and (shows("number", near) or shows("system", near))  # what a system adds, and no clerk
    electronic = counted or method == "certificate" or shows_electronic(hit, page.lines)
    return (Authority.ELECTRONIC if electronic else Authority.STAMPED), method


def _best_print(printed: Sequence[tuple[int, Dated]], pages: Sequence[Seen]) -> OfficeMark:
    """The surest printed mark, `filed` before `approved`; one as sure with another date makes its date unsure."""
    told = [pair for pair in printed if pair[1].role == "filed"] or printed
    marks = sorted((_from_print(i, hit, pages[i]) for i, hit in told), key=lambda mark: -mark.day_sure)
    best = marks[0]
    rival = any(mark.day != best.day and mark.day_sure > _HEARD for mark in marks[1:])
    return replace(best, day_sure=min(best.day_sure, 0.5)) if rival else best


def _could_be(index: int, hit: Dated) -> OfficeMark:
    rect, raw = hit.piece.rect, hit.piece.line.text
    return OfficeMark(True, _OFFERED, hit.day, _OFFERED, rect, index, raw, "file-mark", Authority.STAMPED)
