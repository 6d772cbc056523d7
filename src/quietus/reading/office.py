"""The filing office's mark on a filing: filing date, whether it is there at all, and the form of authority."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial

import numpy as np

from quietus.model.kinds import Authority
from quietus.model.reading import Box, Value
from quietus.reading.attested import certified_copy
from quietus.reading.dates import find_dates
from quietus.reading.engine import Layout
from quietus.reading.evidence import Evidence, at
from quietus.reading.filed import OfficeMark, office_mark
from quietus.reading.marks import Mark, joined, read_mark, typed_mark
from quietus.reading.pages import Book, Page
from quietus.reading.patches import Patch, black_patches, colour_patches, dotted_patches, slanting_frame
from quietus.reading.pixels import Gray, Picture, cut
from quietus.reading.printed import BARE_LABELS, Seen
from quietus.reading.remains import faint_remains, reserved_space_used
from quietus.reading.roles import OWN, Dated
from quietus.reading.second_look import again
from quietus.reading.straight import straight_stamps
from quietus.reading.tables import table
from quietus.reading.unsure import seen_again
from quietus.reading.words import Rect, around, plain

_STAMP_PAGES = 6  # pages of a filing that are searched for black stamps
_CUT = re.compile(r"^\d[-/.]|[-/.]\d\d$")
_ASIDE = 0.79  # how sure a date is at the most that stands apart from its head: a person looks
_LARGEST, _BELOW, _LEANS = 3.0, 0.45, 4  # inches of a patch that may be a part of the stamp; and below it; leans tried
_BESIDE = 1.2  # inches from a head to a date in its row
_CONTESTED, _ALIKE = 0.5, 0.35  # so sure is a date that has a rival; what is left of the doubt when it is read alike
_AT_ODDS = 0.6  # how sure a date is that is read otherwise when more of its surroundings is seen
_INKED = 0.15  # inches about ink that belong to it
_ABOUT = 0.55  # inches about a stamp that does not say what it is
_STAMP_LETTERS, _FRAMED_LETTERS = 10, 4  # unread ink with so many letters could have been a stamp; so many in a frame
_TWO_ROWS = 0.55  # inches: ink less high or wide than this holds no two rows: a signature, a day written by hand


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
    mark = read_twice(e.book, page, mark)
    stamped = at(page, mark.rect, mark.stamped, mark.sure, raw=mark.raw, method=mark.method)
    values = {"filing_date": _filing_date(page, mark), "stamped": stamped, "authority": _authority(e, mark)}
    black = [(p, m) for p, of_page in zip(e.pages, marks, strict=True) for m in of_page if m.method == "stamp:black"]
    return Office(values, tuple((p.number, p.box(m.rect)) for p, m in black))


def read_twice(book: Book, page: Page, mark: OfficeMark) -> OfficeMark:
    """A printed mark whose date was recognised unsurely, surer when a second look reads it alike."""
    unsure = _CONTESTED < mark.day_sure < table("bars.toml")["filing_date"] <= mark.sure
    if mark.rect is None or page.method != "ocr" or mark.method not in {"file-mark", "certificate"} or not unsure:
        return mark
    rect = mark.rect.grown(0.06 * page.dpi, 0.06 * page.dpi)
    words = again(book.gray(page), rect, page.dpi, book.engine, Layout.BLOCK)
    days = {hit.day for hit in find_dates(" ".join(word.text for word in words))}
    return replace(mark, day_sure=1 - (1 - mark.day_sure) * _ALIKE) if days == {mark.day} else mark


def _filing_date(page: Page, mark: OfficeMark) -> Value:
    low = mark.day_sure < table("bars.toml")["filing_date"]
    if not mark.stamped:
        return Value(None, mark.sure, review=low, method="absent")
    day = mark.day.isoformat() if mark.day else None
    return replace(at(page, mark.rect, day, mark.day_sure, raw=mark.raw, method=mark.method), review=low)


def _authority(e: Evidence, mark: OfficeMark) -> Value:
    form = mark.form
    if form is Authority.STAMPED and any(certified_copy(" ".join(page.text.split())) for page in e.pages):
        form = Authority.CERTIFIED
    return at(e.pages[mark.page], mark.rect, form.value, mark.sure, raw=mark.raw, method=mark.method)


def _all_marks(e: Evidence) -> tuple[list[tuple[Mark, ...]], bool]:
    """The marks of each page, those in black included, and whether something like a stamp stayed unread."""
    out: list[tuple[Mark, ...]] = []
    unread = False
    for page, dates in zip(e.pages, e.dates, strict=True):
        marks = [_over_a_date(_looked_again(mark, e.book, page, dates), dates) for mark in page.marks]
        if len(out) < _STAMP_PAGES:
            more, left = _further_marks(e.book, page, marks, dates)
            marks += more
            unread = unread or left
        out.append(joined(marks, page.dpi))
    return out, unread


def _looked_again(mark: Mark, book: Book, page: Page, dates: Sequence[Dated]) -> Mark:
    """A mark in colour, looked at once more when it is an office's and its date is not sure."""
    if mark.sort != "filed" or (mark.day and mark.sure >= table("bars.toml")["filing_date"]):
        return mark
    picture, dpi, _ = book.upright(page.number)
    taken = frozenset(d.day for d in dates if d.role not in OWN and mark.rect.overlap(d.piece.rect) > 0)
    return seen_again(mark, picture, dpi, book.engine, taken)


def _further_marks(book: Book, page: Page, known: Sequence[Mark], dates: Sequence[Dated]) -> tuple[list[Mark], bool]:
    """Stamps beside the `known` ones, and whether something like a stamp stayed unread.

    Of a page with its own text, pixels are looked at only where more than that shows.
    """
    inks = _inks(book, page)
    typed = _typed_marks(book, page, dates, inks) if page.method == "text-layer" else []
    if not inks:
        return typed, False
    more, left = _more_marks(book, page, dates, inks)
    gray, marks = book.gray(page), [*known, *typed, *more]
    used = reserved_space_used(page.lines, marks, gray, page.dpi)
    return [*typed, *more], left or used or (not marks and faint_remains(page.lines, gray, page.dpi))


def _inks(book: Book, page: Page) -> list[Rect]:
    wide, high = page.way.wide, page.way.high
    if page.method != "text-layer":
        return [Rect(0, 0, wide, high)]
    found = [Rect(i.left * wide, i.top * high, i.right * wide, i.bottom * high) for i in book.folio.inks(page.number)]
    groups: list[Rect] = []  # the letters and dots of one stamp are one place
    for rect in (rect.grown(_INKED * page.dpi, _INKED * page.dpi) for rect in found):
        near = [group for group in groups if group.overlap(rect) > 0]
        groups = [group for group in groups if group not in near] + [around([rect, *near])]
    return groups


def _typed_marks(book: Book, page: Page, dates: Sequence[Dated], inks: Sequence[Rect]) -> list[Mark]:
    """Stamps and file marks that are part of a page's own text, where nothing else shows."""
    patches = straight_stamps(page.lines, dates, partial(book.gray, page), page.dpi)
    patches = [patch for patch in _distinct(patches, page.dpi) if not _inked(patch, inks)]
    found = (typed_mark(page.lines, patch, _taken(patch, dates)) for patch in patches)
    return [mark for mark in found if mark]


def _inked(patch: Patch, inks: Sequence[Rect]) -> bool:
    return any(patch.rect.overlap(rect) > 0 for rect in inks)


def _like_stamp(patch: Patch, gray: Gray, dpi: float) -> bool:
    """True for ink that could be a stamp if nothing in it can be read: letters in two rows at least, or in a frame."""
    least = _TWO_ROWS * dpi
    large = min(patch.rect.width, patch.rect.height) >= least
    return large and (
        patch.letters >= _STAMP_LETTERS or (patch.letters >= _FRAMED_LETTERS and slanting_frame(gray, patch, dpi))
    )


def _wider(patch: Patch, dpi: float) -> Patch:
    return replace(patch, rect=patch.rect.grown(_ABOUT * dpi, _ABOUT * dpi))


def _settled(mark: Mark, again: Mark | None) -> Mark:
    """The mark, looked at `again` with what is about it: its head may be set apart, a digit of its date cut off."""
    if again is None or again.sort in {"unclear", "print"}:
        return mark
    if again.day and mark.day and again.day != mark.day:
        return replace(again, sure=min(again.sure, _AT_ODDS))
    if again.day and not mark.day:
        return replace(again, sure=min(again.sure, _ASIDE))
    return again if again.day or not mark.day else replace(again, day=mark.day, sure=min(mark.sure, _ASIDE))


def _perhaps_cut(mark: Mark) -> bool:
    """True for a black mark's date in figures that could be the rest of a longer one, such as 1/8/2018 of 11/8/2018."""
    raw = [mark.text[hit.start : hit.end] for hit in find_dates(mark.text) if hit.day == mark.day]
    return mark.method == "stamp:black" and any(_CUT.search(text) for text in raw)


def _more_marks(book: Book, page: Page, dates: Sequence[Dated], inks: Sequence[Rect]) -> tuple[list[Mark], bool]:
    """Stamps that were not looked for while the page was read: black ones, and those on a typeset page, in `inks`."""
    picture, dpi, _ = book.upright(page.number)
    gray = book.gray(page)
    if page.method == "text-layer":
        picture, gray = _only(picture, inks), _only(gray, inks)
    patches = [
        *dotted_patches(gray, dpi),
        *black_patches(gray, dpi, page.lines),
        *straight_stamps(page.lines, dates, lambda: gray, dpi),
    ]
    if page.method == "text-layer":
        patches = [*colour_patches(picture, dpi), *patches]
    covered = [mark.rect for mark in page.marks]
    marks, unread = [], False
    for patch in _distinct([patch for patch in patches if _inked(patch, inks)], dpi):
        if any(rect.holds(patch.rect, 0.4) for rect in covered):
            continue
        like_stamp = _like_stamp(patch, gray, dpi)
        mark = read_mark(picture, patch, dpi, book.engine, taken=_taken(patch, dates), stubborn=like_stamp)
        if mark and mark.sort == "unclear" and mark.day in _merely_dated(patch, dates):
            continue  # the page's own signature line
        if mark and (mark.sort == "unclear" or _perhaps_cut(mark)):
            wider = _wider(patch, dpi)
            mark = _settled(mark, read_mark(picture, wider, dpi, book.engine, taken=_taken(wider, dates)))
        if mark:
            mark = _not_the_signers(mark, patch, dates)
            marks.append(mark)
        if mark and mark.sort != "unclear" and (mark.day or mark.sort != "filed"):  # else another patch may show more
            covered.append(mark.rect)
        unread = unread or (mark is None and like_stamp)
    return _all_dated(marks, patches, book, page, dates), unread


def _only(picture: Picture, inks: Sequence[Rect]) -> Picture:
    """The picture with nothing but paper outside of `inks`."""
    out = np.full_like(picture, 255)
    for rect in inks:
        cut(out, rect)[:] = cut(picture, rect)
    return out


def _over_a_date(mark: Mark, dates: Sequence[Dated]) -> Mark:
    """A mark in colour, less sure if it lies over print with the very date: that may be all that was read of it."""
    same = [d for d in dates if d.day == mark.day and d.role not in OWN]
    over = any(mark.rect.overlap(d.piece.rect) > 0 for d in same)
    return replace(mark, sure=min(mark.sure, _ASIDE)) if over else mark


def _not_the_signers(mark: Mark, patch: Patch, dates: Sequence[Dated]) -> Mark:
    """The mark, less sure if its date could be the signature's that it lies over: no other stands on the page."""
    if mark.day not in _merely_dated(patch, dates):
        return mark
    elsewhere = any(d.role == "signed" and patch.rect.overlap(d.piece.rect) == 0 for d in dates)
    return mark if elsewhere else replace(mark, sure=min(mark.sure, _ASIDE))


def _distinct(patches: Sequence[Patch], dpi: float) -> list[Patch]:
    """The patches without those that lie where another one does: several lines of a stamp can lead to it."""
    spots = {(patch.hue, *(round(20 * edge / dpi) for edge in patch.rect)): patch for patch in reversed(patches)}
    return [patch for patch in patches if patch in spots.values()]


def _all_dated(
    marks: Sequence[Mark], patches: Sequence[Patch], book: Book, page: Page, dates: Sequence[Dated]
) -> list[Mark]:
    """The marks; each black FILED without a date is looked at once more together with the patches about it."""
    picture, dpi, _ = book.upright(page.number)
    again: dict[Rect, Mark | None] = {}  # several marks may lie in one and the same place
    out: list[Mark] = []
    for mark in marks:
        if mark.sort != "filed" or mark.day or mark.method != "stamp:black":
            out.append(mark)
            continue
        whole = _whole(mark, patches, dates, dpi)
        if whole.rect not in again:
            taken = _taken(whole, dates)
            again[whole.rect] = read_mark(picture, whole, dpi, book.engine, taken=taken, stubborn=True)
        out.append(_with_day(mark, whole, again[whole.rect]))
    return out


def _whole(mark: Mark, patches: Sequence[Patch], dates: Sequence[Dated], dpi: float) -> Patch:
    """The mark with the patches about it, small letters included, and with an unlabelled date beside it."""
    beside = mark.rect.grown(_BESIDE * dpi, _BELOW * dpi)
    loose = [d.piece.line.rect for d in dates if d.role in OWN and beside.overlap(d.piece.rect) > 0]
    near = [p for p in patches if p.hue < 0 and p.rect.grown(_ABOUT * dpi, _ABOUT * dpi).overlap(mark.rect) > 0]
    near = [p for p in near if p.rect.width < _LARGEST * dpi and p.rect.height < _LARGEST * dpi]
    leans = tuple(dict.fromkeys(round(lean, 1) for p in near for lean in p.leans))[:_LEANS]
    return Patch(
        around((mark.rect, *loose, *(p.rect for p in near))).grown(0.1 * dpi, _BELOW * dpi), -1, leans or (0.0,)
    )


def _with_day(mark: Mark, whole: Patch, again: Mark | None) -> Mark:
    """The mark with the date that its surroundings have, if they do."""
    if again is None or again.day is None or again.sort not in {"filed", "unclear"}:
        return mark
    return replace(mark, rect=whole.rect, day=again.day, sure=min(again.sure, _ASIDE), text=f"{mark.text} {again.text}")


def _taken(patch: Patch, dates: Sequence[Dated]) -> frozenset[date]:
    """The dates in a patch that the page's own print explains; one after a bare `Date` may be the mark's."""
    here = [d for d in dates if d.role not in OWN and patch.rect.overlap(d.piece.rect) > 0]
    return frozenset(d.day for d in here) - _merely_dated(patch, dates)


def _merely_dated(patch: Patch, dates: Sequence[Dated]) -> frozenset[date]:
    """The dates in a patch that stand after a bare `Date` in it: a mark's own, or a signature's."""
    labelled = [(d.day, d.label) for d in dates if d.label is not None and plain(d.label.text) in BARE_LABELS]
    return frozenset(day for day, label in labelled if patch.rect.holds(label.rect))
