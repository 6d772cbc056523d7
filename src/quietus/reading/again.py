"""Reads a redacted copy again: its words and what on it would still have to be hidden, not what paper it is."""

from quietus.model.errors import QuietusError
from quietus.model.reading import PageView, Reading
from quietus.reading.engine import recogniser
from quietus.reading.folio import Folio
from quietus.reading.pages import Book
from quietus.reading.private import private_spots
from quietus.reading.refusals import refuse


def words_of(folio: Folio, tesseract: str) -> Reading:
    """The pages of an opened file and its private places, found as `quietus.reading.reader` finds them; no values.

    Raises:
        Unreadable: a page can't be read.
        MachineFault: the recogniser is missing.
    """
    book = Book(folio, recogniser(tesseract))
    try:
        pages = [book.read(number) for number in range(1, folio.pages + 1)]
        views = (PageView(p.number, p.way.stance.turn, p.way.stance.skew, p.text, p.method) for p in pages)
        return Reading(tuple(views), engine=book.engine.name, private=private_spots(pages))
    except QuietusError:
        raise
    except Exception as fault:  # as when it is read for the first time: whatever the libraries raise ends here
        raise refuse("reader-died") from fault
    finally:
        book.close()
