"""Opens a file of any of the four types."""

from quietus.model.limits import Limits
from quietus.reading.folio import Folio
from quietus.reading.pdf_folio import PdfFolio
from quietus.reading.picture_folio import PictureFolio
from quietus.reading.refusals import refuse
from quietus.reading.sniff import PDF, media_type


def open_folio(data: bytes, limits: Limits) -> Folio:
    """Open a file; nothing of a page is decoded yet.

    Raises:
        Unreadable: it is too large, of another type, damaged, locked, or has too many pages.
    """
    if len(data) > limits.file_bytes:
        raise refuse("too-large")
    kind = media_type(data)
    folio: Folio = PdfFolio(data, limits) if kind == PDF else PictureFolio(data, kind, limits)
    if folio.pages > limits.pages:
        folio.close()
        raise refuse("too-many-pages")
    return folio
