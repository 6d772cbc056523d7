"""Reads one file in this process."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from quietus.model.errors import QuietusError
from quietus.model.limits import Limits
from quietus.model.reading import Reading
from quietus.reading.compose import compose
from quietus.reading.engine import recogniser
from quietus.reading.folio import Folio
from quietus.reading.opening import open_folio
from quietus.reading.pages import Book, Page
from quietus.reading.private import private_spots
from quietus.reading.refusals import refuse
from quietus.reading.signs import all_signs
from quietus.reading.split import Group, grouped

UNSURE = "; where it begins or ends is not sure"
"""Stands at the end of the kind's method when a page may belong to the paper before or after."""


def read_bytes(
    data: bytes, *, limits: Limits, tesseract: str = "", starts: tuple[int, ...] = ()
) -> tuple[Reading, ...]:
    """Read a PDF, TIFF, JPEG or PNG: one Reading for each paper found in it.

    Args:
        data: the file's bytes; the type is told from them.
        limits: ceilings on bytes, pages and pixels. Time and memory are held by `ReadingPool` alone.
        tesseract: a system's Tesseract program; empty for the recogniser installed with quietus.
        starts: the pages, 1-based, at which a person says that papers begin; empty to tell it from what stands on them.

    Raises:
        Unreadable: the file cannot be read, with a reason from `quietus.reading.refusals.REASONS`.
        MachineFault: the recogniser is missing.
    """
    folio = open_folio(data, limits)
    try:
        return read_folio(folio, tesseract, starts)
    finally:
        folio.close()


def read_folio(folio: Folio, tesseract: str, starts: tuple[int, ...] = ()) -> tuple[Reading, ...]:
    """Read an opened file; arguments and errors as `read_bytes`."""
    book = Book(folio, recogniser(tesseract))
    try:
        pages = (book.read(number) for number in range(1, folio.pages + 1))
        return tuple(_reading(book, group) for group in _groups(book, pages, starts))
    except QuietusError:
        raise
    except MemoryError as fault:
        raise refuse("too-much-memory") from fault
    except Exception as fault:  # whatever a strange file brings out of the libraries ends here, by name
        raise refuse("reader-died") from fault
    finally:
        book.close()


def _groups(book: Book, pages: Iterable[Page], starts: tuple[int, ...]) -> Iterator[Group]:
    """The pages of each paper, as soon as it is complete: of a long file only one paper is held at a time."""
    if book.folio.pages == 1 or starts:
        return _cut(pages, starts)
    return grouped(all_signs(book, pages))


def _cut(pages: Iterable[Page], starts: tuple[int, ...]) -> Iterator[Group]:
    group = Group()
    for page in pages:
        if page.number in starts and group.pages:
            yield group
            group = Group()
        group.pages.append(page)
    yield group


def _reading(book: Book, group: Group) -> Reading:
    reading = replace(compose(book, group.pages), private=private_spots(group.pages))
    if not group.doubtful:
        return reading
    kind = reading["kind"]
    doubted = replace(kind, review=True, method=kind.method + UNSURE)
    return replace(reading, values={**reading.values, "kind": doubted})
