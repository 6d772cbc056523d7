"""Worn pages as the files that a scanner, a phone or a fax server leaves behind."""

import io
from collections.abc import Sequence

import numpy as np
import pikepdf
from numpy.typing import NDArray
from PIL import Image

Page = NDArray[np.uint8]


def _image(page: Page, *, one_bit: bool) -> Image.Image:
    image = Image.fromarray(page)
    return image.convert("1", dither=Image.Dither.NONE) if one_bit else image


def jpeg(page: Page, dpi: int, quality: int, *, turned: int = 0) -> bytes:
    """A JPEG; `turned` is the EXIF orientation a phone writes (6 or 8), 0 for none."""
    out = io.BytesIO()
    exif = Image.Exif()
    if turned:
        exif[0x0112] = turned
    Image.fromarray(page).save(out, "JPEG", quality=quality, dpi=(dpi, dpi), exif=exif)
    return out.getvalue()


def png(page: Page, dpi: int, *, one_bit: bool) -> bytes:
    """A PNG."""
    out = io.BytesIO()
    _image(page, one_bit=one_bit).save(out, "PNG", dpi=(dpi, dpi), compress_level=3)
    return out.getvalue()


def tiff(pages: Sequence[Page], dpi: int, *, one_bit: bool) -> bytes:
    """A TIFF of one or more pages: group 4 when 1-bit, LZW otherwise."""
    first, *rest = [_image(page, one_bit=one_bit) for page in pages]
    out = io.BytesIO()
    how = "group4" if one_bit else "tiff_lzw"
    first.save(out, "TIFF", compression=how, save_all=True, append_images=rest, dpi=(dpi, dpi))
    return out.getvalue()


def pdf(pages: Sequence[Page], dpi: int, quality: int, *, one_bit: bool) -> bytes:
    """A PDF that holds one picture a page and no text."""
    made = pikepdf.new()
    for page in pages:
        _add_picture(made, page, dpi, quality, one_bit=one_bit)
    return _saved(made)


def searchable(printed: bytes, pages: Sequence[Page], dpi: int, quality: int) -> bytes:
    """A scan as office scanners make it searchable: each picture lies over the text of the page `printed` holds.

    The text layer knows nothing of what was stamped on the paper.
    """
    made = pikepdf.open(io.BytesIO(printed))
    for sheet, page in zip(made.pages, pages, strict=True):
        picture = _stream(made, page, quality, one_bit=False)
        name = sheet.add_resource(picture, pikepdf.Name.XObject, pikepdf.Name.Scan)
        width, height = page.shape[1] * 72 / dpi, page.shape[0] * 72 / dpi
        sheet.contents_add(f"q {width:.3f} 0 0 {height:.3f} 0 0 cm {name} Do Q".encode())
    return _saved(made)


def _add_picture(made: pikepdf.Pdf, page: Page, dpi: int, quality: int, *, one_bit: bool) -> None:
    width, height = round(page.shape[1] * 72 / dpi, 2), round(page.shape[0] * 72 / dpi, 2)
    made.add_blank_page(page_size=(width, height))
    sheet = made.pages[-1]
    name = sheet.add_resource(_stream(made, page, quality, one_bit=one_bit), pikepdf.Name.XObject, pikepdf.Name.Scan)
    sheet.Contents = made.make_stream(f"{width} 0 0 {height} 0 0 cm {name} Do".encode())


def _stream(made: pikepdf.Pdf, page: Page, quality: int, *, one_bit: bool) -> pikepdf.Object:
    facts: dict[str, object] = {
        "/Type": pikepdf.Name.XObject,
        "/Subtype": pikepdf.Name.Image,
        "/Width": page.shape[1],
        "/Height": page.shape[0],
        "/BitsPerComponent": 1 if one_bit else 8,
        "/ColorSpace": pikepdf.Name.DeviceGray if page.ndim == 2 else pikepdf.Name.DeviceRGB,
    }
    if one_bit:
        return made.make_stream(np.packbits(page > 127, axis=1).tobytes(), facts)
    out = io.BytesIO()
    Image.fromarray(page).save(out, "JPEG", quality=quality)
    return made.make_stream(out.getvalue(), facts | {"/Filter": pikepdf.Name.DCTDecode})


def _saved(made: pikepdf.Pdf) -> bytes:
    out = io.BytesIO()
    made.save(out, deterministic_id=True, compress_streams=True)
    return out.getvalue()
