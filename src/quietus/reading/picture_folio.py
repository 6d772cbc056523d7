"""TIFF, JPEG and PNG files."""

import io
import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import cast

import cv2
import numpy as np
from PIL import Image, ImageOps, JpegImagePlugin, TiffImagePlugin

from quietus.model.errors import Unreadable
from quietus.model.limits import Limits
from quietus.reading.folio import WHOLE, Button, Inked, Raster, Typed, sensible_dpi
from quietus.reading.pixels import Picture, resized
from quietus.reading.refusals import refuse
from quietus.reading.sniff import JPEG, PNG, TIFF

_FORMATS = {TIFF: ["TIFF"], JPEG: ["JPEG"], PNG: ["PNG"]}
_ROUNDED = 0.02  # PNG keeps dots per metre: 600 dpi comes out a little lower
_STRIP = 512  # rows turned into pixels at once
_OFFSETS, _COUNTS = (273, 324), (279, 325)  # TIFF 6.0: where strips and tiles begin, and how many bytes each has


class PictureFolio:
    """A picture file. A JPEG's own turn mark is obeyed, as every viewer does: that is the page as received."""

    def __init__(self, data: bytes, kind: str, limits: Limits) -> None:
        self._data, self._kind, self._limits = data, kind, limits
        self.pages = self._count()

    def inches(self, page: int) -> tuple[float, float]:
        """Width and height of a page."""
        raster = self.raster(page)
        high, wide = raster.picture.shape[:2]
        return wide / raster.dpi, high / raster.dpi

    def raster(self, page: int) -> Raster:
        """The page's picture."""
        with self._opened() as image:
            try:
                with _bombs_are_errors(self._limits.page_pixels):
                    self._go_to(image, page)
                across, down = _dpi_of(image)
                dpi = sensible_dpi(max(image.size), max(across, down))
                small, times = _shrunk(image, dpi, self._limits.raster_dpi)
                ImageOps.exif_transpose(small, in_place=True)
                picture = pixels_of(small)
            except Unreadable:
                raise
            except (Image.DecompressionBombWarning, Image.DecompressionBombError) as fault:
                raise refuse("too-many-pixels") from fault
            except MemoryError as fault:
                raise refuse("too-much-memory") from fault
            except Exception as fault:  # decoders raise many unrelated types on broken data
                raise refuse("truncated" if "truncated" in str(fault).lower() else "damaged") from fault
        return _scaled(picture, across / times, down / times, self._limits.raster_dpi)

    def typed(self, page: int) -> tuple[Typed, ...]:  # noqa: ARG002 - pictures have no text of their own
        """Nothing: a picture has no text of its own."""
        return ()

    def buttons(self, page: int) -> tuple[Button, ...]:  # noqa: ARG002
        """Nothing: a picture has no form fields."""
        return ()

    def inks(self, page: int) -> tuple[Inked, ...]:  # noqa: ARG002
        """All of the page: only pixels tell what is on a picture."""
        return (WHOLE,)

    def close(self) -> None:
        """Let go of the file."""
        self._data = b""

    def _opened(self) -> Image.Image:
        try:
            with _bombs_are_errors(self._limits.page_pixels):
                # Only the sniffed format is tried: the others' decoders are a needless way in.
                image = Image.open(io.BytesIO(self._data), formats=_FORMATS[self._kind])
        except (Image.DecompressionBombWarning, Image.DecompressionBombError) as fault:
            raise refuse("too-many-pixels") from fault
        except Exception as fault:  # decoders raise many unrelated types on broken data
            raise refuse("damaged") from fault
        self._check_size(image)
        return image

    def _check_size(self, image: Image.Image) -> None:
        wide, high = image.size
        if wide * high > self._limits.page_pixels:
            raise refuse("too-many-pixels")

    def _go_to(self, image: Image.Image, page: int) -> None:
        if page > 1:
            image.seek(page - 1)
            self._check_size(image)
        if self._kind == TIFF:
            self._check_strips(cast("TiffImagePlugin.TiffImageFile", image))

    def _check_strips(self, image: TiffImagePlugin.TiffImageFile) -> None:
        """The fax decoders fill what is missing with white without a word: look before decoding."""
        for begins, sizes in zip(_OFFSETS, _COUNTS, strict=True):
            starts, counts = image.tag_v2.get(begins, ()), image.tag_v2.get(sizes, ())
            if any(start + count > len(self._data) for start, count in zip(starts, counts, strict=False)):
                raise refuse("truncated")

    def _count(self) -> int:
        with self._opened():
            return tiff_pages(self._data, self._limits.pages) if self._kind == TIFF else 1


@contextmanager
def _bombs_are_errors(pixels: int) -> Iterator[None]:
    """Pillow's own ceiling set to ours for a while; its setting belongs to the whole process and is put back."""
    before = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = pixels
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    finally:
        Image.MAX_IMAGE_PIXELS = before


def tiff_pages(data: bytes, most: int) -> int:
    """Pages of a TIFF, by walking its chain of directories (TIFF 6.0, section 2).

    Raises:
        Unreadable: `damaged` when the chain runs in a circle, `truncated` when it leaves the file, `too-many-pages`.
    """
    order = "<" if data.startswith(b"II") else ">"
    seen: set[int] = set()
    try:
        (at,) = struct.unpack_from(f"{order}I", data, 4)
        while at:
            if at in seen:
                raise refuse("damaged")
            seen.add(at)
            if len(seen) > most:
                raise refuse("too-many-pages")
            (entries,) = struct.unpack_from(f"{order}H", data, at)
            (at,) = struct.unpack_from(f"{order}I", data, at + 2 + 12 * entries)
    except struct.error as fault:
        raise refuse("truncated") from fault
    if not seen:
        raise refuse("no-pages")
    return len(seen)


def _shrunk(image: Image.Image, dpi: float, most: int) -> tuple[Image.Image, int]:
    """The picture made smaller by a whole number while it is decoded or right after, and that number.

    A page at 600 dpi takes a hundred megabytes; none of its copies need be as large.
    """
    times = int(dpi / most + _ROUNDED)
    if times < 2 or image.mode not in {"L", "RGB"}:
        return image, 1
    wide = image.width
    if isinstance(image, JpegImagePlugin.JpegImageFile):
        image.draft(image.mode, (image.width // times, image.height // times))
    decoded = round(wide / image.width)
    left = times // decoded
    return (image.reduce(left) if left > 1 else image), decoded * max(1, left)


def _dpi_of(image: Image.Image) -> tuple[float, float]:
    across, down = image.info.get("dpi", (0, 0))
    return float(across), float(down)


def pixels_of(image: Image.Image) -> Picture:
    """Gray stays gray; transparency lies on white paper; everything else becomes blue, green, red.

    Done in strips: of a page at 600 dpi each further copy would take a hundred megabytes.
    """
    gray = image.mode in {"1", "L"} or image.mode.startswith(("I", "F"))
    wide, high = image.size
    out = np.empty((high, wide) if gray else (high, wide, 3), np.uint8)
    deepest = 255.0 if image.mode in {"1", "L"} or not gray else max(1.0, float(cast("float", image.getextrema()[1])))
    for top in range(0, high, _STRIP):
        strip = image.crop((0, top, wide, min(high, top + _STRIP)))
        out[top : top + _STRIP] = _gray(strip, deepest) if gray else _coloured(strip)
    return out


def _gray(strip: Image.Image, deepest: float) -> Picture:
    if strip.mode in {"1", "L"}:
        return np.asarray(strip.convert("L"), np.uint8)
    return cast("Picture", np.clip(np.asarray(strip, np.float32) / deepest * 255, 0, 255).astype(np.uint8))


def _coloured(strip: Image.Image) -> Picture:
    if "A" in strip.mode or "transparency" in strip.info:
        sheet = Image.new("RGBA", strip.size, "white")
        sheet.alpha_composite(strip.convert("RGBA"))
        strip = sheet
    return cast("Picture", cv2.cvtColor(np.asarray(strip.convert("RGB"), np.uint8), cv2.COLOR_RGB2BGR))


def _scaled(picture: Picture, across: float, down: float, most: int) -> Raster:
    """The same dpi both ways (faxes have fewer rows than columns), and no more than `most`."""
    high, wide = picture.shape[:2]
    stretch = across / down if across > 0 and down > 0 and 0.4 < across / down < 2.5 else 1.0
    if abs(stretch - 1) > 0.03:
        picture = resized(picture, max(1.0, 1 / stretch), max(1.0, stretch))
        high, wide = picture.shape[:2]
    dpi = sensible_dpi(max(high, wide), max(across, down))
    scale = min(1.0, most / dpi)
    return Raster(resized(picture, scale), dpi * scale)
