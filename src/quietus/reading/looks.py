"""Ways to see a patch that could be a stamp: level, by its own colour or brightness, without the print under it."""

from collections.abc import Iterator, Sequence
from typing import cast

import cv2
import numpy as np

from quietus.reading.dotted import strung_dots
from quietus.reading.inks import COLOURED, balanced, chroma, hues_of, near_hue, unframed, unruled, without_rules
from quietus.reading.patches import TALL, Patch
from quietus.reading.pixels import Gray, Picture, blobs, cut, even_light, ink_of, padded, rotated, strongest, weakest
from quietus.reading.rim import Ring
from quietus.reading.words import Rect

_TALL_SHARE = 0.3  # share of a patch's ink that taller letters have at the least if it is a stamp of tall letters
_CORE, _TWO_INKS = 200, 32.0  # dots of solid ink that tell how dark inks are; levels between two inks that differ


def view(picture: Picture, patch: Patch, lean: float, dpi: float, *, framed: bool = False) -> Gray:
    """The patch made level, as dark ink on white; of a coloured patch only what has its colour.

    Its frame and form lines are wiped out unless `framed`.
    """
    zone = patch.rect.grown(0.12 * dpi, 0.12 * dpi)
    crop = np.ascontiguousarray(cut(picture, zone))
    if patch.hue < 0 or crop.ndim == 2:
        gray = even_light(weakest(crop), dpi)
        dotted = strung_dots(without_rules(ink_of(gray), dpi), dpi, lean)
        gray = _tall_or_all(unruled(gray, dpi), patch.usual) if dotted is None else dotted
    else:
        gray = _own_colour(crop, patch.hue, dpi)
    level = rotated(padded(gray, round(0.1 * dpi)), lean)
    return level if framed else unframed(level, dpi)


def inked_view(picture: Picture, patch: Patch, lean: float, dpi: float) -> Gray:
    """A coloured patch by its brightness, which pictures keep more sharply than colour, wherever its ink is near."""
    crop = np.ascontiguousarray(cut(picture, patch.rect.grown(0.12 * dpi, 0.12 * dpi)))
    coloured = balanced(crop, dpi)
    own = near_hue(hues_of(coloured), patch.hue, 20) & (chroma(coloured) >= COLOURED)
    reach = max(3, round(0.03 * dpi)) | 1
    near = cv2.dilate(own.astype(np.uint8), cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)))
    gray = np.where(near > 0, even_light(weakest(crop), dpi), 255).astype(np.uint8)
    return unframed(rotated(padded(gray, round(0.1 * dpi)), lean), dpi)


def rim_view(picture: Picture, patch: Patch, dpi: float) -> tuple[Gray, Ring] | None:
    """What a round patch shows, as dark ink on white, and its ring in pixels of that; None when it has no ring."""
    if patch.ring is None:
        return None
    zone = patch.rect.grown(0.12 * dpi, 0.12 * dpi)
    crop = np.ascontiguousarray(cut(picture, zone))
    gray = even_light(weakest(crop), dpi) if patch.hue < 0 or crop.ndim == 2 else _own_colour(crop, patch.hue, dpi)
    left, top = max(0.0, float(int(zone.left))), max(0.0, float(int(zone.top)))
    return gray, Ring(patch.ring.x - left, patch.ring.y - top, patch.ring.radius)


def black_views(picture: Picture, patch: Patch, lean: float, dpi: float) -> Iterator[Gray]:
    """More ways to see a patch of black ink that lies over print: only the paler of two inks, or without the print."""
    zone = patch.rect.grown(0.12 * dpi, 0.12 * dpi)
    crop = np.ascontiguousarray(cut(picture, zone))
    gray = even_light(weakest(crop), dpi)
    left, top = max(0.0, float(int(zone.left))), max(0.0, float(int(zone.top)))
    words = [Rect(r.left - left, r.top - top, r.right - left, r.bottom - top) for r in patch.printed]
    for seen in (_paler(gray), _unprinted(gray, words) if words else None):
        if seen is not None:
            yield unframed(rotated(padded(seen, round(0.1 * dpi)), lean), dpi)


def _paler(gray: Gray) -> Gray | None:
    """Only the paler of two inks; None when all ink is about as dark."""
    core = cv2.erode(ink_of(gray), np.ones((3, 3), np.uint8)) > 0
    if int(core.sum()) < _CORE:
        return None
    levels = gray[core].reshape(-1, 1)
    level, _ = cv2.threshold(levels, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    dark, pale = levels[levels <= level], levels[levels > level]
    if min(dark.size, pale.size) < 0.08 * levels.size or float(pale.mean() - dark.mean()) < _TWO_INKS:
        return None
    gone = cv2.dilate((gray <= level).astype(np.uint8), np.ones((5, 5), np.uint8))
    return cast("Gray", np.where(gone > 0, 255, gray).astype(np.uint8))


def _unprinted(gray: Gray, words: Sequence[Rect]) -> Gray:
    """The crop without blobs of ink that lie in words of the page's print; what only touches them stays."""
    _, labels, stats, _ = blobs(ink_of(gray))
    boxes = [Rect(x, y, x + w, y + h) for x, y, w, h in stats[:, :4].tolist()]
    inside = np.array([any(word.grown(2, 2).holds(box, 0.75) for word in words) for box in boxes])
    inside[0] = False
    gone = cv2.dilate(inside[labels].astype(np.uint8), np.ones((3, 3), np.uint8))
    return cast("Gray", np.where(gone > 0, 255, gray).astype(np.uint8))


def _tall_or_all(gray: Gray, usual: float) -> Gray:
    """Only what is taller than print; everything where hardly anything is: then the stamp itself is set low."""
    tall = _tall_only(gray, usual)
    left, whole = (int(np.count_nonzero(picture < 128)) for picture in (tall, gray))
    return tall if left > _TALL_SHARE * whole else gray


def _tall_only(gray: Gray, usual: float) -> Gray:
    """The crop without letters as low as the page's print: stamps are set larger. What touches taller ink stays.

    So do the dashes, points and strokes that stand between tall letters.
    """
    if not usual:
        return gray
    _, labels, stats, middles = blobs(ink_of(gray))
    low = (stats[:, cv2.CC_STAT_HEIGHT] < TALL * usual) & (stats[:, cv2.CC_STAT_WIDTH] < 3 * usual)
    low[0] = False
    beside = np.zeros(gray.shape, np.uint8)
    letters = (~low) & (stats[:, cv2.CC_STAT_HEIGHT] < 5 * usual) & (stats[:, cv2.CC_STAT_WIDTH] < 6 * usual)
    for x, y, wide, high in stats[1:][letters[1:], :4].tolist():
        cut(beside, Rect(x, y, x + wide, y + high).grown(0.6 * usual, 0.1 * usual))[:] = 1
    small = stats[:, cv2.CC_STAT_HEIGHT] < 0.45 * usual
    for index in np.flatnonzero(low & small):
        across, down = (int(v) for v in middles[index])
        low[index] = not beside[down, across]
    gone = cv2.dilate(low[labels].astype(np.uint8), np.ones((3, 3), np.uint8))
    return cast("Gray", np.where(gone > 0, 255, gray).astype(np.uint8))


def _own_colour(crop: Picture, hue: int, dpi: float) -> Gray:
    """Dark where the ink has the hue. Under black print no colour is left: there the ink around it is carried on."""
    coloured = balanced(crop, dpi)
    hues = hues_of(coloured)
    strength = np.where(near_hue(hues, hue, 20), chroma(coloured), 0).astype(np.uint8)
    reach = max(3, round(0.022 * dpi)) | 1
    carried = cv2.morphologyEx(strength, cv2.MORPH_CLOSE, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)))
    strength = np.where(strongest(coloured) < 105, carried, strength).astype(np.uint8)
    strong = strength[strength > COLOURED // 2]
    top = max(60.0, float(np.percentile(strong, 90))) if strong.size else 255.0
    dark = np.clip(strength.astype(np.float32) * (255 / top), 0, 255)
    return cast("Gray", (255 - dark).astype(np.uint8))
