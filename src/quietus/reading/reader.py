"""Reads one file in this process."""

from quietus.model.errors import QuietusError
from quietus.model.limits import Limits
from quietus.model.reading import Reading
from quietus.reading.compose import compose
from quietus.reading.engine import recogniser
from quietus.reading.folio import Folio
from quietus.reading.opening import open_folio
from quietus.reading.pages import Book
from quietus.reading.refusals import refuse


def read_bytes(data: bytes, *, limits: Limits, tesseract: str = "") -> tuple[Reading, ...]:
    """Read a PDF, TIFF, JPEG or PNG: one Reading for each paper found in it (one a file, so far).

    Args:
        data: the file's bytes; the type is told from them.
        limits: ceilings on bytes, pages and pixels. Time and memory are held by `ReadingPool` alone.
        tesseract: a system's Tesseract program; empty for the recogniser installed with quietus.

    Raises:
        Unreadable: the file cannot be read, with a reason from `quietus.reading.refusals.REASONS`.
        MachineFault: the recogniser is missing.
    """
    folio = open_folio(data, limits)
    try:
        return read_folio(folio, tesseract)
    finally:
        folio.close()


def read_folio(folio: Folio, tesseract: str) -> tuple[Reading, ...]:
    """Read an opened file; errors as `read_bytes`."""
    try:
        book = Book(folio, recogniser(tesseract))
        pages = [book.read(number) for number in range(1, folio.pages + 1)]
        return (compose(book, pages),)
    except QuietusError:
        raise
    except MemoryError as fault:
        raise refuse("too-much-memory") from fault
    except Exception as fault:  # whatever a strange file brings out of the libraries ends here, by name
        raise refuse("reader-died") from fault
