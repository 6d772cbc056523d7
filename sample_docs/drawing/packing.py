"""Finished pixels as the files that a scanner, a phone or a fax server leaves behind."""

import io
from collections.abc import Sequence

import pikepdf
from PIL import Image

from drawing.sheet import Pixels


def jpeg(page: Pixels, dpi: int, quality: int, *, colour: bool = True) -> bytes:
    """A JPEG, in colour or gray."""
    image = Image.fromarray(page)
    out = io.BytesIO()
    (image if colour else image.convert("L")).save(out, "JPEG", quality=quality, dpi=(dpi, dpi), optimize=True)
    return out.getvalue()


def png(page: Pixels, dpi: int, grays: int = 0) -> bytes:
    """A PNG in so many levels of gray, or in full colour when `grays` is 0."""
    image = Image.fromarray(page)
    if grays:
        image = image.convert("L").convert("RGB").quantize(grays, dither=Image.Dither.NONE)
    out = io.BytesIO()
    image.save(out, "PNG", dpi=(dpi, dpi), optimize=True)
    return out.getvalue()


def tiff_g4(pages: Sequence[Image.Image], dpi: int) -> bytes:
    """A TIFF of several one-bit pages under CCITT group 4, as fax servers keep them."""
    out = io.BytesIO()
    first, *rest = pages
    first.save(out, "TIFF", compression="group4", save_all=True, append_images=rest, dpi=(dpi, dpi))
    return out.getvalue()


def scan_pdf(page: Pixels, dpi: int, quality: int, *, colour: bool = True) -> bytes:
    """A PDF of one page that holds nothing but a JPEG: no text layer."""
    height, width = page.shape[:2]
    box = [round(width * 72 / dpi, 2), round(height * 72 / dpi, 2)]
    pdf = pikepdf.new()
    image = pdf.make_stream(
        jpeg(page, dpi, quality, colour=colour),
        Type=pikepdf.Name.XObject,
        Subtype=pikepdf.Name.Image,
        Width=width,
        Height=height,
        BitsPerComponent=8,
        ColorSpace=pikepdf.Name.DeviceRGB if colour else pikepdf.Name.DeviceGray,
        Filter=pikepdf.Name.DCTDecode,
    )
    pdf.add_blank_page(page_size=(box[0], box[1]))
    pdf.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Scan=image))
    pdf.pages[0].Contents = pdf.make_stream(f"{box[0]} 0 0 {box[1]} 0 0 cm /Scan Do".encode())
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.disable, compress_streams=False)
    return out.getvalue()
