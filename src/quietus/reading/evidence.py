"""What is known of a paper as a whole before its fields are drawn from it, and how a value is made and confirmed."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from quietus.model.kinds import Kind
from quietus.model.reading import Value
from quietus.reading.engine import Layout
from quietus.reading.forms import form_of
from quietus.reading.kinds import Told, kind_of
from quietus.reading.pages import Book, Page
from quietus.reading.pieces import Piece
from quietus.reading.places import OFFICE, Placed, place_of
from quietus.reading.roles import Dated, dates_in
from quietus.reading.second_look import again
from quietus.reading.tables import KindRow, kind_rows, table
from quietus.reading.words import Line, Rect, plain

_SURE_ENOUGH = 0.93  # a value whose words are recognised as surely as this is not looked at again
_AGREED, _DIFFERED = 0.35, 0.6  # what is left of the doubt when a second look agrees; of the certainty when it does not
_OUTVOTED = 0.85  # and when of two more looks the second alone does not
_ENDS_AT_HOME = frozenset({Kind.DISSOLUTION, Kind.WINDING_UP_NOTICE})
_AT_HOME = 0.85  # how sure it is that a company that dissolves does so where it was formed
_HEAD, _HEADED = 0.25, 0.6  # share of the page in which an office names itself; and how sure such a kind is at the most
_TWO_LINES = 1.7  # letter heights: a value higher than this stands on two lines
_MOST = 0.99  # nothing read by a machine is surer than this


@dataclass(frozen=True, slots=True)
class Evidence:
    """What all fields are drawn from.

    Attributes:
        book: the opened file.
        pages: the paper's pages.
        dates: every date of each page with its role.
        told: its kind.
        placed: its jurisdiction.
        row: what is known of that kind.
    """

    book: Book
    pages: tuple[Page, ...]
    dates: tuple[tuple[Dated, ...], ...]
    told: Told
    placed: Placed
    row: KindRow

    @property
    def method(self) -> str:
        """How the first page was read."""
        return self.pages[0].method


def gather(book: Book, pages: tuple[Page, ...]) -> Evidence:
    """Kind and jurisdiction, and every date with its role."""
    heights = [float(page.way.high) for page in pages]
    stamps = [mark.text for page in pages for mark in page.marks if mark.sort == "filed"]
    told, placed = told_and_placed([page.lines for page in pages], heights, stamps)
    dates = tuple(tuple(dates_in(page.lines)) for page in pages)
    return Evidence(book, pages, dates, told, placed, kind_rows()[told.kind])


def told_and_placed(
    pages: Sequence[Sequence[Line]], heights: Sequence[float], stamps: Sequence[str]
) -> tuple[Told, Placed]:
    """Kind and jurisdiction of a paper, told by the lines of its pages and the texts of the office stamps on it."""
    placed = place_of(pages, heights, stamps)
    elsewhere = placed.code not in placed.homes if placed.homes and placed.code else None
    has_form = form_of(pages[0], heights[0], placed.code) is not None
    told = kind_of(list(zip(pages, heights, strict=True)), elsewhere=elsewhere, form=has_form)
    told = _doubted(told, placed, heights[0])
    return told, _by_kind(placed, told)


def _doubted(told: Told, placed: Placed, height: float) -> Told:
    """A paper of the company's own, told by its words alone, is doubtful when an office's name heads the page."""
    line = placed.line
    headed = line is not None and line.rect.top < _HEAD * height and OFFICE.search(plain(line.text)) is not None
    if kind_rows()[told.kind].scope == "company" and told.kind is not Kind.OTHER and told.heading is None and headed:
        return replace(told, sure=min(told.sure, _HEADED))
    return told


def _by_kind(placed: Placed, told: Told) -> Placed:
    """The jurisdiction, where the kind settles it: federal forms, and a company that ends where it was formed."""
    bars = table("bars.toml")
    only = kind_rows()[told.kind].place
    if told.sure < bars["kind"]:
        return placed
    if only:
        return replace(placed, code=only, sure=told.sure, line=placed.line if placed.code == only else None)
    if told.kind in _ENDS_AT_HOME and placed.sure < bars["jurisdiction"] and len(placed.homes) == 1:
        (home,) = placed.homes
        return replace(placed, code=home, sure=_AT_HOME if placed.code in {None, home} else 0.5, line=None)
    return placed


def at(page: Page, rect: Rect | None, value: str | bool | None, sure: float, *, raw: str, method: str = "") -> Value:
    """A value with its place on the page as received; a certainty over 0.99 is not claimed."""
    box = page.box(rect) if rect else None
    number = page.number if rect else None
    return Value(value, min(_MOST, max(0.0, sure)), page=number, box=box, raw=raw, method=method or page.method)


def missing(e: Evidence, *, labelled: bool = False) -> Value:
    """Nothing found: surely nothing there, unless a label says that there should be."""
    return Value(None, 0.4 if labelled else 0.9, review=labelled, method=e.method)


def signs(text: str) -> str:
    """Letters and digits alone, lower case: two looks at one value are compared by them."""
    return re.sub(r"[\W_]", "", text).lower()


def confirmed(
    e: Evidence,
    page: Page,
    piece: Piece,
    sure: float,
    key: Callable[[str], str] = signs,
    *,
    loose: Callable[[str], str] | None = None,
) -> float:
    """`sure` after a second look at the piece alone: up when it reads the same, down when it does not.

    With `loose`, a key in which lookalikes are one, a look that differs in lookalikes alone speaks against it: one of
    the two is misread, and nothing tells which.
    """
    if page.method == "text-layer" or piece.sure >= _SURE_ENOUGH:
        return sure
    agreed = False
    for seen in _looks_at(e, page, piece):
        agreed = agreed or (bool(key(piece.text)) and key(piece.text) in key(seen))
        if agreed and loose is None:
            break
        if loose is not None and key(piece.text) not in key(seen) and loose(piece.text) in loose(seen):
            return sure * (_OUTVOTED if agreed else _DIFFERED)
    return 1 - (1 - sure) * _AGREED if agreed else sure * _DIFFERED


def _looks_at(e: Evidence, page: Page, piece: Piece) -> Iterator[str]:
    """What stands where the piece is, recognised alone, with a little and with more of what is about it."""
    two = piece.rect.height > _TWO_LINES * piece.line.tall
    for grown in (0.05, 0.09):
        rect = _clear_of(page, piece.rect, grown * page.dpi)
        words = again(e.book.gray(page), rect, page.dpi, e.book.engine, Layout.BLOCK if two else Layout.LINE)
        yield " ".join(word.text for word in words)


def _clear_of(page: Page, rect: Rect, about: float) -> Rect:
    """The rectangle with what is about it, but without the tops and feet of letters of the next lines."""
    wide = rect.grown(about, about)
    near = [line.rect for line in page.lines if line.rect.left < wide.right and line.rect.right > wide.left]
    top = max([wide.top, *(other.bottom for other in near if other.bottom <= rect.top)])
    bottom = min([wide.bottom, *(other.top for other in near if other.top >= rect.bottom)])
    return Rect(wide.left, top, wide.right, bottom)
