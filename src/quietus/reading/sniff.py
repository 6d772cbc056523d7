"""What a file is, told from its first bytes and never from its name."""

from quietus.reading.refusals import refuse

PDF, TIFF, JPEG, PNG = "application/pdf", "image/tiff", "image/jpeg", "image/png"

_MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"\xff\xd8\xff", JPEG),
    (b"\x89PNG\r\n\x1a\n", PNG),
    (b"II*\x00", TIFF),
    (b"MM\x00*", TIFF),
)
_PDF_HEAD = 1024  # bytes: readers accept `%PDF-` anywhere in here (ISO 32000-1, annex H.3, note 13)
_PDF_TAIL = 65_536  # bytes: room for what mailers and portals append after the end mark


def media_type(data: bytes) -> str:
    """The media type of a file: `application/pdf`, `image/tiff`, `image/jpeg` or `image/png`.

    Raises:
        Unreadable: `empty`, `not-a-scan`, or `truncated` for a PDF without its end mark.
    """
    if not data:
        raise refuse("empty")
    for magic, name in _MAGIC:
        if data.startswith(magic):
            return name
    if b"%PDF-" not in data[:_PDF_HEAD]:
        raise refuse("not-a-scan")
    # A PDF cut short is often "repaired" by readers, which silently drops pages: refused instead.
    if b"%%EOF" not in data[-_PDF_TAIL:]:
        raise refuse("truncated")
    return PDF
