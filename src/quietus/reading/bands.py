"""White letters on dark bands, such as the head of an office's web page: made black on white before recognition."""

from typing import cast

import cv2
import numpy as np

from quietus.reading.pixels import Gray, blobs, cut, resized
from quietus.reading.words import Rect

_DPI = 60.0  # of the small copy in which bands are looked for
_DARK = 135  # gray below which a band may be dark
_WIDE, _HIGH = 0.9, (0.13, 1.3)  # inches: the least width of a band; its height
_FILLED = 0.62  # share of a band that is dark: the rest are letters
_RIM = 0.02  # inches along the edge of a band that are left as they are
_CONTRAST = 60  # levels of gray between a band and its letters


def light_bands(gray: Gray, dpi: float) -> Gray:
    """The picture with its dark bands turned light; itself when it has none."""
    small = resized(gray, _DPI / dpi)
    dark = cast("Gray", cv2.threshold(small, _DARK, 255, cv2.THRESH_BINARY_INV)[1])
    solid = cv2.morphologyEx(dark, cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    joined = cv2.morphologyEx(solid, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    stats = blobs(cast("Gray", joined))[2][1:]
    bands = [Rect(x, y, x + w, y + h) for x, y, w, h in stats[:, :4].tolist() if _is_band(dark, (x, y, w, h))]
    if not bands:
        return gray
    out = gray.copy()
    for band in bands:
        _turn(out, Rect(*(edge * dpi / _DPI for edge in band)).grown(-_RIM * dpi, -_RIM * dpi))
    return out


def _is_band(dark: Gray, box: tuple[int, int, int, int]) -> bool:
    """True for a wide dark rectangle inside the page; what touches the page's edge is the surface it lies on."""
    x, y, wide, high = box
    rows, columns = dark.shape
    inside = x > 1 and y > 1 and x + wide < columns - 1 and y + high < rows - 1
    fits = wide >= _WIDE * _DPI and _HIGH[0] * _DPI <= high <= _HIGH[1] * _DPI and wide > 2 * high
    return inside and fits and float(np.mean(dark[y : y + high, x : x + wide] > 0)) >= _FILLED


def _turn(gray: Gray, rect: Rect) -> None:
    """Turn light what lies in a rectangle, when there is anything light on it."""
    part = cut(gray, rect)
    low, high = np.percentile(part, (20, 99.5))
    if high - low >= _CONTRAST:
        spread = 255.0 - (part.astype(np.float32) - low) * (255.0 / (high - low))
        part[:] = np.clip(spread, 0, 255).astype(np.uint8)
