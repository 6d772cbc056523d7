"""The filing office's mark on a filing: filing date, whether it is there at all, and the form of authority."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from quietus.model.kinds import Authority
from quietus.model.reading import Box, Value
from quietus.reading.evidence import Evidence, at
from quietus.reading.filed import OfficeMark, Seen, office_mark, reserved_space_used, straight_stamps
from quietus.reading.marks import Mark, read_mark
from quietus.reading.pages import Book, Page
from quietus.reading.patches import black_patches, colour_patches, slanting_frame
from quietus.reading.roles import Dated
from quietus.reading.tables import table

_STAMP_PAGES = 6  # pages of a filing that are searched for black stamps
_STAMP_LETTERS = 10  # unread ink with so many letters could have been a stamp
_CERTIFIED = re.compile(r"\bcertif(y|ies) that\b[^.]{0,120}\b(true|exact|correct)\b[^.]{0,40}\bcopy\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Office:
    """What an office did to a paper.

    Attributes:
        values: `filing_date`, `stamped` and `authority`.
        over: pages and boxes where a stamp in black lies over the print.
    """

    values: dict[str, Value]
    over: tuple[tuple[int, Box], ...]


def office_of(e: Evidence) -> Office:
    """What the filing office did to a paper that goes to one."""
    marks, unread = _all_marks(e)
    seen = [
        Seen(page.lines, of_page, dates, page.method == "text-layer")
        for page, of_page, dates in zip(e.pages, marks, e.dates, strict=True)
    ]
    mark = office_mark(seen, unread)
    page = e.pages[mark.page]
    stamped = at(page, mark.rect, mark.stamped, mark.sure, raw=mark.raw, method=mark.method)
    values = {"filing_date": _filing_date(page, mark), "stamped": stamped, "authority": _authority(e, mark)}
    black = [(p, m) for p, of_page in zip(e.pages, marks, strict=True) for m in of_page if m.method == "stamp:black"]
    return Office(values, tuple((p.number, p.box(m.rect)) for p, m in black))


def _filing_date(page: Page, mark: OfficeMark) -> Value:
    low = mark.day_sure < table("bars.toml")["filing_date"]
    if not mark.stamped:
        return Value(None, mark.sure, review=low, method="absent")
    day = mark.day.isoformat() if mark.day else None
    return replace(at(page, mark.rect, day, mark.day_sure, raw=mark.raw, method=mark.method), review=low)


def _authority(e: Evidence, mark: OfficeMark) -> Value:
    form = mark.form
    if form is Authority.STAMPED and any(_CERTIFIED.search(" ".join(page.text.split())) for page in e.pages):
        form = Authority.CERTIFIED
    return at(e.pages[mark.page], mark.rect, form.value, mark.sure, raw=mark.raw, method=mark.method)


def _all_marks(e: Evidence) -> tuple[list[tuple[Mark, ...]], bool]:
    """The marks of each page, those in black included, and whether something like a stamp stayed unread."""
    out: list[tuple[Mark, ...]] = []
    unread = False
    for page, dates in zip(e.pages, e.dates, strict=True):
        marks = list(page.marks)
        if len(out) < _STAMP_PAGES:
            more, left = _more_marks(e.book, page, dates)
            marks += more
            unread = unread or left or reserved_space_used(page.lines, e.book.gray(page), page.dpi)
        out.append(tuple(marks))
    return out, unread


def _more_marks(book: Book, page: Page, dates: Sequence[Dated]) -> tuple[list[Mark], bool]:
    """Stamps that were not looked for while the page was read: black ones, and those on a typeset page."""
    picture, dpi, _ = book.upright(page.number)
    gray = book.gray(page)
    patches = [*black_patches(gray, dpi, page.lines), *straight_stamps(page.lines, dates, gray, dpi)]
    if page.method == "text-layer":
        patches = [*colour_patches(picture, dpi), *patches]
    covered = [mark.rect for mark in page.marks]
    marks, unread = [], False
    for patch in patches:
        if any(rect.holds(patch.rect, 0.4) for rect in covered):
            continue
        taken = frozenset(d.day for d in dates if d.role not in {"", "filed"} and patch.rect.overlap(d.piece.rect) > 0)
        like_stamp = patch.letters >= _STAMP_LETTERS or slanting_frame(gray, patch, dpi)
        mark = read_mark(picture, patch, dpi, book.engine, taken=taken, stubborn=like_stamp)
        if mark:
            marks.append(mark)
        if mark and mark.sort != "unclear" and (mark.day or mark.sort != "filed"):  # else another patch may show more
            covered.append(mark.rect)
        unread = unread or (mark is None and like_stamp)
    return marks, unread
