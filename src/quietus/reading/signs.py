"""What a page by itself says of where it stands in a paper: its number, its title, whose it is, whether it reads on."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from quietus.model.kinds import Kind
from quietus.model.names import bare_name
from quietus.reading.dates import find_dates
from quietus.reading.evidence import gather
from quietus.reading.names import subject_of
from quietus.reading.pages import Book, Page
from quietus.reading.places import Placed
from quietus.reading.tables import covers
from quietus.reading.words import Line, plain

_FAX = re.compile(r"\bP(?:age)?\.?\s?\d{1,3}\s?/\s?\d{1,3}\b|\bfax\b|\bfrom:|\bto:", re.IGNORECASE)
_FAX_STRIP = 0.06  # share of the page's height at its top in which a fax machine writes
_NUMBER = re.compile(
    r"\bpage\s*[:#]?\s*(?P<page>\d{1,3})(?:\s*(?:of|/)\s*(?P<all>\d{1,3}))?\b"
    r"|^\W*(?P<bare>\d{1,3})\s+of\s+(?P<total>\d{1,3})\W*$|^[-\u2013\u2014]\s?(?P<dashed>\d{1,3})\s?[-\u2013\u2014]$",
    re.IGNORECASE,
)
_EDGE = 0.13  # share of the height, at top and bottom, in which page numbers stand
_BLANK = 15  # letters and digits: a page with fewer says nothing
_HEAD = 0.45  # share of the height in which the title of a paper stands
_LETTERHEAD = 0.3  # share of the height in which an office or agency names itself
_DATE_LINE = 30  # characters of a line that says hardly more than a date
_OPENING = 5  # lines at the top that tell whether a page goes on with something
_READS_ON = re.compile(
    r"\bcontinu(ed|ation|ing)\b|^\W*(attachment|exhibit|addendum|appendix|annex|statement \d|overflow|instructions)\b",
    re.IGNORECASE,
)
_ITEM = re.compile(r"^\W{0,2}(?P<item>\d{1,2})\s?[.)]\s+[A-Z]")
_ENDED = re.compile(
    r"\bsignatures?\b|\bsigned\b|\bprinted name\b|\bsincerely\b|\byours\b|\bdate signed\b|\bby:|\btitle\b|\bnotary\b",
    re.IGNORECASE,
)
_ENCLOSES = re.compile(
    r"\b(enclos(e|ed|es|ing|ures?)|attached|annexed|herewith|transmit(ted|tal|ting)?|true (and correct )?copy|"
    r"cover sheet)\b",
    re.IGNORECASE,
)
_LETTER = re.compile(r"^\W*(dear\b|to whom it may concern|re:)", re.IGNORECASE)
_SURE_PLACE, _SURE_NAME, _SURE_TITLE = 0.8, 0.6, 0.6


@dataclass(frozen=True, slots=True)
class Signs:
    """What one page says.

    Attributes:
        page: the page.
        blank: True when hardly anything stands on it: the back of a sheet.
        number: the number written on it, and out of how many (0 when not said); None when it has none.
        kind: what the page would be by itself.
        title: its title, in plain form, when one stands in its upper part and names the kind; else empty.
        told: True when that kind is sure, by title or by wording.
        cover: True for a certificate, an acknowledgment or a letter that says that another paper comes with it.
        letter: True when it is addressed to somebody, or begins with its date.
        place: whose office or agency its head names, when that is sure.
        name: the company's name in the form in which names are compared, when that is sure.
        reads_on: True when its top says that it goes on with something.
        ended: True when its foot says that a paper ends here: a signature, a farewell.
    """

    page: Page
    blank: bool = False
    number: tuple[int, int] | None = None
    kind: Kind = Kind.OTHER
    title: str = ""
    told: bool = False
    cover: bool = False
    letter: bool = False
    place: str | None = None
    name: str = ""
    reads_on: bool = False
    ended: bool = False

    def names(self, other: "Signs") -> bool:
        """True when the other page's title stands in this one's text: a covering letter names what it covers."""
        return bool(other.title) and f" {other.title} " in f" {plain(self.page.text)} "


def follows(last: tuple[int, int], number: tuple[int, int]) -> bool:
    """True for the next page number of a paper of the same length, as far as lengths are said."""
    return number[0] == last[0] + 1 and (last[1] == number[1] or 0 in {last[1], number[1]})


def all_signs(book: Book, pages: Iterable[Page]) -> Iterator[Signs]:
    """What each page says by itself; one whose number follows the last page's is not looked at any further."""
    last: Signs | None = None
    for page in pages:
        lines, high = _without_fax_line(page), float(page.way.high)
        number = _number(lines, high)
        if last is not None and last.number and number and follows(last.number, number):
            last = Signs(page, number=number, ended=_ends(lines, high))
        else:
            last = _signs_of(book, page, lines, number)
        yield last


def _signs_of(book: Book, page: Page, lines: Sequence[Line], number: tuple[int, int] | None) -> Signs:
    high = float(page.way.high)
    if sum(sign.isalnum() for line in lines for sign in line.text) < _BLANK:
        return Signs(page, blank=True)
    seen = gather(book, (page,))
    heading = seen.told.heading
    told = seen.told.sure >= _SURE_TITLE and seen.told.kind is not Kind.OTHER
    titled = told and heading is not None and heading.rect.top < _HEAD * high
    named = subject_of([lines])
    letter = any(_LETTER.search(line.text) or _dated(line, high) for line in lines)
    return Signs(
        page=page,
        number=number,
        kind=seen.told.kind,
        title=plain(heading.text) if titled and heading is not None else "",
        told=told,
        cover=(letter or _titled_cover(lines, high)) and any(_ENCLOSES.search(line.text) for line in lines),
        letter=letter,
        place=seen.placed.code if _headed(seen.placed, high) else None,
        name=bare_name(named.name) if named is not None and named.sure >= _SURE_NAME else "",
        reads_on=any(_READS_ON.search(line.text) for line in lines[:_OPENING]) or _later_item(lines),
        ended=_ends(lines, high),
    )


def _ends(lines: Sequence[Line], high: float) -> bool:
    return any(_ENDED.search(line.text) for line in lines if line.rect.top > _HEAD * high)


def _without_fax_line(page: Page) -> tuple[Line, ...]:
    """The lines but for what a fax machine wrote at the top: its page numbers count the call, not the paper."""
    strip = _FAX_STRIP * page.way.high
    return tuple(line for line in page.lines if line.rect.bottom > strip or not _FAX.search(line.text))


def _number(lines: Sequence[Line], high: float) -> tuple[int, int] | None:
    """The number at the page's edge, and out of how many."""
    for line in (*reversed(lines), *lines[:_OPENING]):
        if _EDGE * high < line.rect.top and line.rect.bottom < (1 - _EDGE) * high:
            continue
        match = _NUMBER.search(line.text)
        if match:
            number = int(match["page"] or match["bare"] or match["dashed"])
            total = int(match["all"] or match["total"] or 0)
            if 1 <= number <= (total or number):
                return number, total
    return None


def _dated(line: Line, high: float) -> bool:
    """True for a date that stands by itself in the upper part of the page."""
    if line.rect.top > _LETTERHEAD * high or len(line.text) > _DATE_LINE:
        return False
    return any(hit.end - hit.start > 0.6 * len(line.text) for hit in find_dates(line.text))


def _headed(placed: Placed, high: float) -> bool:
    return placed.sure >= _SURE_PLACE and placed.line is not None and placed.line.rect.top < _LETTERHEAD * high


def _titled_cover(lines: Sequence[Line], high: float) -> bool:
    return any(plain(line.text) in covers() for line in lines if line.rect.top < _HEAD * high)


def _later_item(lines: Sequence[Line]) -> bool:
    """True when the first numbered item of the page is not the first of a list."""
    items = (match for line in lines if (match := _ITEM.match(line.text)))
    first = next(items, None)
    return first is not None and int(first["item"]) > 1
