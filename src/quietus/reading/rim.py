"""The words along the rim of a round stamp, which a recogniser of straight lines cannot see: the rim is unrolled."""

from typing import NamedTuple, cast

import cv2
import numpy as np

from quietus.reading.engine import Recogniser
from quietus.reading.pixels import Gray, padded
from quietus.reading.rows import row_words

_INNER, _OUTER = 0.56, 1.04  # times the radius: between these the words stand
_AROUND = 172.0  # degrees to either side of the top (or bottom) that are unrolled
_SHARP = 1.5  # pixels of the strip for one of the picture
_SURE = 0.3  # words of a rim less sure than this are noise


class Ring(NamedTuple):
    """A circle on the upright page, in its pixels."""

    x: float
    y: float
    radius: float


def rim_text(gray: Gray, ring: Ring, dpi: float, engine: Recogniser) -> str:
    """What stands along the rim: over the top with feet inwards, and along the bottom with feet outwards.

    Args:
        gray: dark ink on white, evenly lit.
        ring: the stamp's outer circle, in pixels of `gray`.
        dpi: of it.
        engine: the recogniser.
    """
    found = []
    for upwards in (True, False):
        strip = _unlined(_unrolled(gray, ring, upwards=upwards))
        words = row_words(padded(strip, round(0.1 * dpi)), _SHARP * dpi, engine)
        found += [word.text for word in words if word.sure >= _SURE and len(word.text) > 1]
    return " ".join(found)


def _unrolled(gray: Gray, ring: Ring, *, upwards: bool) -> Gray:
    """The rim as a straight strip, its words level: those over the top, or those along the bottom."""
    depth = round(_SHARP * (_OUTER - _INNER) * ring.radius)
    length = round(_SHARP * np.radians(2 * _AROUND) * 0.85 * ring.radius)
    turn = np.radians(np.linspace(-_AROUND, _AROUND, length))[None, :]
    edges = (_OUTER, _INNER) if upwards else (_INNER, _OUTER)
    away = (np.linspace(*edges, depth) * ring.radius)[:, None]
    across = (ring.x + away * np.sin(turn)).astype(np.float32)
    down = (ring.y + (-away if upwards else away) * np.cos(turn)).astype(np.float32)
    return cast("Gray", cv2.remap(gray, across, down, cv2.INTER_CUBIC, borderMode=cv2.BORDER_CONSTANT, borderValue=255))


def _unlined(strip: Gray) -> Gray:
    """The strip without the circles, which run along it nearly level."""
    ink = cv2.threshold(strip, 165, 255, cv2.THRESH_BINARY_INV)[1]
    length = max(15, strip.shape[1] // 12)
    thick = cv2.dilate(ink, np.ones((3, 1), np.uint8))
    lines = cv2.morphologyEx(thick, cv2.MORPH_OPEN, np.ones((1, length), np.uint8))
    return np.where(cv2.dilate(lines, np.ones((3, 3), np.uint8)) > 0, 255, strip).astype(np.uint8)
