"""Stamps made of dots, perforated or printed by needles: where they are, and their letters, the dots strung together.

A nought with a stroke through it, as such stamps have, is given back without the stroke, since it passes for an eight.
"""

import math
from typing import Any, cast

import cv2
import numpy as np
from numpy.typing import NDArray

from quietus.reading.pixels import Gray, blobs
from quietus.reading.words import Rect

_SMALLEST, _LARGEST = 0.008, 0.045  # inches: the size of a dot
_DOTS, _TOO_MANY = 60, 3000  # dots that make a stamp; more than these are noise
_PITCH = 0.062  # inches between neighbouring dots at the most
_FIELD = 0.4  # inches: dots closer than this belong to one stamp
_REACH = 1.75  # times the usual distance of neighbours: dots this close are strung together, the diagonal ones too
_STROKE = 0.55  # times that distance: how thick the strokes are drawn
_ASIDE = 0.1  # share of a letter's size by which the two holes of a stroked nought stand apart, across and down

Spots = NDArray[np.floating[Any]]


def dot_fields(ink: Gray, dpi: float) -> list[Rect]:
    """Where in a page's ink many small dots stand close together, in its pixels."""
    spots = _dots(ink, dpi)
    if len(spots) < _DOTS:
        return []
    shape = tuple(int(side * 100 / dpi) + 1 for side in ink.shape)
    field = np.zeros(shape, np.uint8)
    across, down = (np.clip((spots[:, k] * 100 / dpi).astype(np.int64), 0, shape[1 - k] - 1) for k in (0, 1))
    for spot in zip(across.tolist(), down.tolist(), strict=True):
        cv2.circle(field, spot, round(_FIELD * 50), (255,), cv2.FILLED)
    _, labels, stats, _ = blobs(field)
    counts = np.bincount(labels[down, across], minlength=len(stats))
    return [
        Rect(*(edge * dpi / 100 for edge in (x, y, x + w, y + h)))
        for count, (x, y, w, h) in zip(counts[1:], stats[1:, :4].tolist(), strict=True)
        if count >= _DOTS
    ]


def strung_dots(ink: Gray, dpi: float, lean: float = 0.0) -> Gray | None:
    """The dots of a dotted stamp alone, strung together into strokes; None where there are hardly any.

    `lean` is by how many degrees clockwise its lines lean: noughts are told from eights by what stands aslant.
    """
    spots = _dots(ink, dpi)
    if not _DOTS <= len(spots) <= _TOO_MANY:
        return None
    apart = np.hypot(spots[:, None, 0] - spots[None, :, 0], spots[:, None, 1] - spots[None, :, 1])
    np.fill_diagonal(apart, np.inf)
    company = (apart < _PITCH * dpi).sum(axis=1) >= 2
    if int(company.sum()) < _DOTS:
        return None
    return _strung(ink.shape, spots[company], apart[np.ix_(company, company)], lean)


def _dots(ink: Gray, dpi: float) -> Spots:
    """The middles of the ink's blobs that are small and round."""
    _, _, stats, middles = blobs(ink)
    wide, high, area = stats[:, 2], stats[:, 3], stats[:, 4]
    sizes = np.maximum(wide, high)
    dots = (sizes >= _SMALLEST * dpi) & (sizes <= _LARGEST * dpi) & (np.minimum(wide, high) >= 0.5 * sizes)
    dots &= area >= 0.45 * wide * high
    dots[0] = False
    return cast("Spots", middles[dots])


def _strung(shape: tuple[int, ...], spots: Spots, apart: Spots, lean: float) -> Gray:
    """Strokes drawn from each dot to its neighbours, the diagonal ones included; dark on white."""
    nearest = apart.min(axis=1)
    pitch = np.median(nearest[np.argsort(apart, axis=1)[:, :8]], axis=1)
    reach = _REACH * np.minimum(pitch[:, None], pitch[None, :])
    ink = np.zeros(shape, np.uint8)
    ends = np.rint(spots * 16).astype(np.int64)
    usual = float(np.median(pitch))
    for one, other in np.argwhere(np.triu(apart < reach)).tolist():
        thick = max(2, round(_STROKE * float(pitch[one])))
        cv2.line(ink, ends[one].tolist(), ends[other].tolist(), (255,), thick, cv2.LINE_8, 4)
    return cast("Gray", cv2.GaussianBlur(255 - _without_strokes(ink, usual, lean), (0, 0), max(0.6, 0.12 * usual)))


def _without_strokes(ink: Gray, pitch: float, lean: float) -> Gray:
    """The letters with the inside of every stroked nought cleared: two holes that stand aslant."""
    outlines, tree = cv2.findContours(ink, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    out = ink.copy()
    thick = max(2, round(_STROKE * pitch))
    for index, outline in enumerate(outlines):
        if tree[0][index][3] >= 0 or not _is_stroked_nought(outline, _holes(outlines, tree, index), lean):
            continue
        whole = np.zeros_like(ink)
        cv2.drawContours(whole, [outline], -1, (255,), cv2.FILLED)
        out[cv2.erode(whole, np.ones((2 * thick + 1, 2 * thick + 1), np.uint8)) > 0] = 0
    return out


def _holes(outlines: Any, tree: Any, index: int) -> list[Any]:
    found, child = [], tree[0][index][2]
    while child >= 0:
        found.append(outlines[child])
        child = tree[0][child][0]
    return found


def _is_stroked_nought(outline: Any, holes: list[Any], lean: float) -> bool:
    if len(holes) != 2:
        return False
    _, _, wide, high = cv2.boundingRect(outline)
    one, other = (hole.reshape(-1, 2).mean(axis=0) for hole in holes)
    upper, lower = sorted((one, other), key=lambda middle: float(middle[1]))
    down = float(lower[1] - upper[1])
    across = float(lower[0] - upper[0]) + down * math.tan(math.radians(lean))
    aslant = across > _ASIDE * wide and down > _ASIDE * high
    return aslant and 0.45 <= wide / high <= 1.0
