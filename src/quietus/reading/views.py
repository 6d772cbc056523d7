"""Pictures of pages for a person to look at."""

import cv2

from quietus.model.limits import Limits
from quietus.reading.engine import recogniser
from quietus.reading.errands import Wanted
from quietus.reading.opening import open_folio
from quietus.reading.pages import Book
from quietus.reading.pixels import cut, resized
from quietus.reading.refusals import refuse

_MARGIN = 0.25  # inches of the page shown around a box


def page_png(data: bytes, wanted: Wanted, limits: Limits, tesseract: str = "") -> bytes:
    """A PNG of a page made upright, or of the part around a box.

    Args:
        data: the file.
        wanted: which part of it, and how large.
        limits: ceilings as for reading.
        tesseract: as for reading.

    Raises:
        Unreadable: as for reading, and `no-such-page`.
    """
    folio = open_folio(data, limits)
    book = Book(folio, recogniser(tesseract))
    try:
        if not 1 <= wanted.page <= folio.pages:
            raise refuse("no-such-page")
        picture, dpi, way = book.shown(wanted.page)
        if wanted.box is not None:
            picture = cut(picture, way.forth(wanted.box).grown(_MARGIN * dpi, _MARGIN * dpi))
        scale = min(1.0, wanted.longest / max(picture.shape[:2]))
        done, packed = cv2.imencode(".png", resized(picture, scale))
        if not done:
            raise refuse("damaged")
        return packed.tobytes()
    finally:
        book.close()
        folio.close()
