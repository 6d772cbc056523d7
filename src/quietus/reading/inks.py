"""Colours of ink and straight rules, pixel by pixel: what is coloured, and a picture without a form's lines."""

from typing import cast

import cv2
import numpy as np
from numpy.typing import NDArray

from quietus.reading.pixels import Gray, Picture, even_light, ink_of, strongest, weakest

COLOURED = 34
"""Steps of 255 between the strongest and the weakest channel from which a pixel counts as coloured ink."""
_CROSSED = 0.03  # inches: the gap that wiping out a rule leaves in a letter


def balanced(picture: Picture, dpi: float) -> Picture:
    """The picture with each channel's own paper made white, so that warm light or old paper has no colour left."""
    return np.dstack([even_light(np.ascontiguousarray(picture[:, :, channel]), dpi) for channel in range(3)])


def chroma(picture: Picture) -> Gray:
    """How coloured each pixel is: strongest less weakest channel. Black print and white paper come out as 0."""
    return cast("Gray", cv2.subtract(strongest(picture), weakest(picture)))


def near_hue(hues: Gray, hue: int, within: int = 14) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """True where the hue lies within `within` steps of two degrees of `hue`, going round the circle."""
    apart = np.abs(hues.astype(np.int16) - hue)
    return np.asarray(np.minimum(apart, 180 - apart) <= within)


def hues_of(picture: Picture) -> Gray:
    """The hue of each pixel in steps of two degrees."""
    return cast("Gray", cv2.cvtColor(picture, cv2.COLOR_BGR2HSV)[:, :, 0])


def without_rules(ink: Gray, dpi: float) -> Gray:
    """The ink without long straight lines that run nearly across or down (up to about two degrees off)."""
    length = round(0.4 * dpi)
    across = cv2.morphologyEx(
        cv2.dilate(ink, np.ones((3, 1), np.uint8)), cv2.MORPH_OPEN, np.ones((1, length), np.uint8)
    )
    down = cv2.morphologyEx(cv2.dilate(ink, np.ones((1, 3), np.uint8)), cv2.MORPH_OPEN, np.ones((length, 1), np.uint8))
    rules = cv2.dilate(cv2.bitwise_or(across, down), np.ones((3, 3), np.uint8))
    return cast("Gray", cv2.subtract(ink, rules))


def unruled(gray: Gray, dpi: float) -> Gray:
    """The picture with the rules of a form wiped out, but for where a letter crosses one."""
    ink = ink_of(gray)
    left = without_rules(ink, dpi)
    return np.where(_wiped(cast("Gray", cv2.subtract(ink, left)), left, dpi), 255, gray).astype(np.uint8)


def _wiped(rules: Gray, left: Gray, dpi: float) -> NDArray[np.bool_]:
    """Where to wipe: the rules, except between two bits of what is left that stand on either side of one."""
    reach = max(3, round(_CROSSED * dpi))
    across = cv2.morphologyEx(left, cv2.MORPH_CLOSE, np.ones((reach, 1), np.uint8))
    down = cv2.morphologyEx(left, cv2.MORPH_CLOSE, np.ones((1, reach), np.uint8))
    return np.asarray((rules > 0) & (across == 0) & (down == 0))


def unframed(gray: Gray, dpi: float) -> Gray:
    """The picture with straight lines longer than about half an inch wiped out."""
    ink = cast("Gray", cv2.threshold(gray, 170, 255, cv2.THRESH_BINARY_INV)[1])
    length = round(0.55 * dpi)
    across = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((1, length), np.uint8))
    down = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((length, 1), np.uint8))
    lines = cv2.dilate(cv2.bitwise_or(across, down), np.ones((3, 3), np.uint8))
    left = cv2.subtract(ink, lines)
    return np.where(_wiped(cast("Gray", lines), cast("Gray", left), dpi), 255, gray).astype(np.uint8)
