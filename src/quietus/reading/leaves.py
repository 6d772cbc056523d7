"""Takes a file apart into its papers, and puts a paper that came in several files together. No pixel is changed.

Pages of a PDF are copied as they stand, with their pictures packed as they were; pages of a TIFF are packed again
without loss. What belongs to a file as a whole (outline, attachments, earlier revisions) stays in the file as received.
"""

import io
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import numpy as np
import pikepdf
from PIL import Image, ImageOps, ImageSequence

from quietus.model.errors import QuietusError
from quietus.model.limits import Limits
from quietus.reading.folio import sensible_dpi
from quietus.reading.opening import open_folio
from quietus.reading.picture_folio import pixels_of
from quietus.reading.refusals import refuse
from quietus.reading.sniff import JPEG, PDF, media_type

_TURNED = {1: 0, 3: 180, 6: 90, 8: 270}  # EXIF orientation: degrees clockwise that set the picture upright
_TURN_MARK = 0x0112


def parts_of(data: bytes, groups: Sequence[Sequence[int]], limits: Limits) -> tuple[bytes, ...]:
    """The pages of each group as a file of its own, of the same type.

    Args:
        data: a PDF or TIFF.
        groups: 1-based page numbers for each part.
        limits: ceilings as for reading.

    Raises:
        Unreadable: as for reading, and `no-such-page`.
    """
    _check(data, [number for group in groups for number in group], limits)
    with _refusing():
        if media_type(data) == PDF:
            with pikepdf.open(io.BytesIO(data)) as whole:
                return tuple(_pdf_part(whole, group) for group in groups)
        with Image.open(io.BytesIO(data)) as image:
            return tuple(_tiff_part(image, group) for group in groups)


def joined(files: Sequence[bytes], limits: Limits) -> bytes:
    """All pages of the files, in order, as one PDF. PDF pages and JPEG pictures go in as they are.

    Raises:
        Unreadable: as for reading.
    """
    for data in files:
        _check(data, (), limits)
    with _refusing(), pikepdf.new() as made:
        for data in files:
            _append(made, data)
        return _saved(made)


def _check(data: bytes, numbers: Sequence[int], limits: Limits) -> None:
    """The file opens within the limits, its pages are not too large, and it has those wanted."""
    folio = open_folio(data, limits)
    try:
        if any(not 1 <= number <= folio.pages for number in numbers):
            raise refuse("no-such-page")
    finally:
        folio.close()


@contextmanager
def _refusing() -> Iterator[None]:
    try:
        yield
    except QuietusError:
        raise
    except MemoryError as fault:
        raise refuse("too-much-memory") from fault
    except Exception as fault:  # libraries raise many unrelated types on strange files
        raise refuse("damaged") from fault


def _pdf_part(whole: pikepdf.Pdf, group: Sequence[int]) -> bytes:
    with pikepdf.new() as made:
        for number in group:
            made.pages.append(whole.pages[number - 1])
        return _saved(made)


def _saved(made: pikepdf.Pdf) -> bytes:
    """The PDF with every stream packed as it was; the same pages give the same bytes."""
    out = io.BytesIO()
    made.save(
        out,
        compress_streams=False,
        stream_decode_level=pikepdf.StreamDecodeLevel.none,
        deterministic_id=True,
    )
    return out.getvalue()


def _tiff_part(image: Image.Image, group: Sequence[int]) -> bytes:
    pages = []
    for number in group:
        image.seek(number - 1)
        page = image.copy()
        page.encoderinfo = {"compression": "group4" if page.mode == "1" else "tiff_adobe_deflate"}
        if "dpi" in image.info:
            page.encoderinfo["dpi"] = image.info["dpi"]
        pages.append(page)
    out = io.BytesIO()
    first, *rest = pages
    first.save(out, "TIFF", save_all=True, append_images=rest, **first.encoderinfo)
    return out.getvalue()


def _append(made: pikepdf.Pdf, data: bytes) -> None:
    kind = media_type(data)
    if kind == PDF:
        with pikepdf.open(io.BytesIO(data)) as one:
            made.pages.extend(one.pages)
        return
    with Image.open(io.BytesIO(data)) as image:
        turn = _TURNED.get(image.getexif().get(_TURN_MARK, 1))
        if kind == JPEG and image.mode in {"L", "RGB"} and turn is not None:
            _add_picture(made, image, _size(image), data, pikepdf.Name.DCTDecode)
            made.pages[-1].rotate(turn, relative=False)
            return
        for frame in ImageSequence.Iterator(image):
            page = _plain(frame)
            _add_picture(made, page, _size(frame), zlib.compress(page.tobytes()), pikepdf.Name.FlateDecode)


def _plain(frame: Image.Image) -> Image.Image:
    """The picture as black and white, gray or colour, upright, with white paper behind what is transparent."""
    upright = ImageOps.exif_transpose(frame)
    if upright.mode == "1":
        return upright
    pixels = pixels_of(upright)
    return Image.fromarray(pixels if pixels.ndim == 2 else np.ascontiguousarray(pixels[:, :, ::-1]))


def _size(image: Image.Image) -> tuple[float, float]:
    """Width and height in points, as reading takes them; faxes have fewer rows than columns to the inch."""
    across, down = (float(dots) for dots in image.info.get("dpi", (0, 0)))
    dpi = sensible_dpi(max(image.size), max(across, down))
    stretch = across / down if across > 0 and down > 0 else 1.0
    return 72 * image.width / (dpi * min(1.0, stretch)), 72 * image.height / (dpi * min(1.0, 1 / stretch))


def _add_picture(
    made: pikepdf.Pdf, image: Image.Image, size: tuple[float, float], data: bytes, how: pikepdf.Name
) -> None:
    """A page of that size which shows nothing but the picture."""
    wide, high = size
    picture = made.make_stream(
        data,
        {
            "/Type": pikepdf.Name.XObject,
            "/Subtype": pikepdf.Name.Image,
            "/Width": image.width,
            "/Height": image.height,
            "/BitsPerComponent": 1 if image.mode == "1" else 8,
            "/ColorSpace": pikepdf.Name.DeviceRGB if image.mode == "RGB" else pikepdf.Name.DeviceGray,
            "/Filter": how,
        },
    )
    made.add_blank_page(page_size=(wide, high))
    sheet = made.pages[-1]
    name = sheet.add_resource(picture, pikepdf.Name.XObject, pikepdf.Name.Scan)
    sheet.Contents = made.make_stream(f"{wide:.3f} 0 0 {high:.3f} 0 0 cm {name} Do".encode())
