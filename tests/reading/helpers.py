"""Typeset pages as the reader sees them, without any recognition: fast tests of what words mean."""

from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Reading
from quietus.reading.engine import recogniser
from quietus.reading.opening import open_folio
from quietus.reading.pages import Book, Page
from quietus.reading.reader import read_bytes
from quietus.reading.words import Line
from tests.reading.pages import Draft

Row = tuple[float, float, str]


def draft(*rows: Row, size: float = 10) -> Draft:
    """A page with text at inches from the top left."""
    page = Draft()
    for x, y, words in rows:
        page.text(x, y, words, size)
    return page


def page_of(*rows: Row, size: float = 10) -> Page:
    """The page as looked at."""
    return Book(open_folio(draft(*rows, size=size).pdf(), DEFAULT_LIMITS), recogniser()).read(1)


def lines_of(*rows: Row, size: float = 10) -> tuple[Line, ...]:
    """Its lines."""
    return page_of(*rows, size=size).lines


def reading_of(page: Draft) -> Reading:
    """What is read off it."""
    return read_bytes(page.pdf(), limits=DEFAULT_LIMITS)[0]
