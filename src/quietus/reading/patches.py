"""Where on a page a stamp could be: patches of coloured ink, and of black ink that the text does not explain."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import cast

import cv2
import numpy as np

from quietus.reading.dotted import dot_fields
from quietus.reading.inks import COLOURED, balanced, chroma, hues_of, near_hue, without_rules
from quietus.reading.pixels import Gray, Picture, blobs, cut, ink_of, resized
from quietus.reading.rim import Ring
from quietus.reading.upright import letter_boxes
from quietus.reading.words import Line, Rect, around

TALL = 1.15
"""Times the usual word height (which spans ascenders and descenders): larger than print."""
_DPI = 100.0
_LONG, _SHORT = (0.6, 4.8), (0.22, 3.4)  # inches: the sides of a stamp
_LETTERS = 6  # a stamp has at least so many blobs of letter size; a signature or a ring has fewer
_MOST = 6  # patches of a page that are looked at
_SURE_PRINT = 0.7  # words recognised this surely are the page's own print
_STRAIGHT = 1.2  # degrees: lines that lean less are the page's own
_APART = 1.3 * _DPI  # pixels at 100 dpi between two sides of one frame
_RADII, _ROUND = (0.5, 1.35), 0.75  # inches of a round stamp's radius; and the share of its round that must be inked
_HEAVY = 0.14  # inches: ink this tall and this filled is lettering, not a pen stroke
_LEAN = 24.0  # degrees a stamp may lean


@dataclass(frozen=True, slots=True)
class Patch:
    """A patch of ink that could be a stamp.

    Attributes:
        rect: where, in pixels of the upright page.
        hue: middle of its colour in steps of two degrees (0 to 179); -1 for black.
        leans: degrees clockwise that its lines may lean, the likeliest first.
        usual: height of the page's usual letters in pixels; 0 when not known.
        letters: how many blobs of letter size it holds.
        printed: words of the page's own print, surely recognised, in and around it.
        ring: the circle around it, when it is round.
    """

    rect: Rect
    hue: int
    leans: tuple[float, ...]
    usual: float = 0.0
    letters: int = 0
    printed: tuple[Rect, ...] = ()
    ring: Ring | None = None


def colour_patches(picture: Picture, dpi: float) -> list[Patch]:
    """Patches of coloured ink, the strongest first; none on a gray page."""
    if picture.ndim == 2:
        return []
    small = balanced(resized(picture, _DPI / dpi), _DPI)
    strength = chroma(small)
    hues = hues_of(small)
    found: list[tuple[float, Patch]] = []
    for hue in _inks(hues, strength):
        here = np.where(near_hue(hues, hue), strength, 0).astype(np.uint8)
        ink = cast("Gray", cv2.threshold(here, COLOURED, 255, cv2.THRESH_BINARY)[1])
        clusters = _clusters(ink)
        rings = _rings(ink) if any(_squarish(rect) for _, rect in clusters) else []
        found += [(mass, _ringed(_placed(rect, hue, ink, dpi), rings, dpi)) for mass, rect in clusters]
    return [patch for _, patch in sorted(found, key=lambda pair: -pair[0])[:_MOST] if patch.leans]


def black_patches(gray: Gray, dpi: float, lines: Sequence[Line]) -> list[Patch]:
    """Patches of ink that the page's recognised print does not explain and that hold several letters.

    `gray` is evenly lit. Rules of a form are taken out first; words recognised surely, too, but for tall ones that do
    not stand in a straight line of print: those may be words of the stamp itself.
    """
    usual = usual_height(lines)
    whole = ink_of(resized(gray, _DPI / dpi))
    ink = without_rules(whole, _DPI)
    printed = sure_print(lines, usual)
    for rect in printed:
        cut(ink, Rect(*(edge * _DPI / dpi for edge in rect)).grown(1, 1))[:] = 0
    rings = _rings(whole)
    frames = [*_slanting_frames(whole), *map(_around_ring, rings)]
    found = [_ringed(_placed(rect, -1, whole, dpi), rings, dpi) for rect in frames]
    found += [_placed(rect, -1, ink, dpi) for _, rect in _clusters(ink)]
    return [
        replace(patch, usual=usual, printed=tuple(rect for rect in printed if rect.overlap(patch.rect) > 0))
        for patch in found
        if patch.leans
    ][:_MOST]


def dotted_patches(gray: Gray, dpi: float) -> list[Patch]:
    """Patches of small dots set close together: stamps that are perforated or printed by needles."""
    whole = ink_of(resized(gray, _DPI / dpi))
    rects = [Rect(*(edge * _DPI / dpi for edge in rect)) for rect in dot_fields(without_rules(ink_of(gray), dpi), dpi)]
    found = [_placed(rect, -1, whole, dpi) for rect in rects if _stamp_sized(rect)]
    return [replace(patch, letters=0) for patch in found if patch.leans][:_MOST]


def sure_print(lines: Sequence[Line], usual: float) -> list[Rect]:
    """Words that are surely the page's own print: no tall ones, but for those in a straight line of three or more."""
    return [
        word.rect
        for line in lines
        for word in line.words
        if word.sure >= _SURE_PRINT and len(word.text) >= 2 and (word.rect.height <= TALL * usual or _straight(line))
    ]


def _slanting_frames(ink: Gray) -> list[Rect]:
    """Where long straight lines lean alike against the page: the frames of stamps, also of those over print."""
    groups: list[tuple[Rect, float]] = []
    for x0, y0, x1, y1, lean in _leaning_lines(ink):
        rect = Rect(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
        near = [
            g for g in groups if abs(g[1] - lean) < 2.5 and g[0].grown(_APART, _APART).overlap(rect.grown(1, 1)) > 0
        ]
        groups = [g for g in groups if g not in near]
        groups.append((around([rect, *(g[0] for g in near)]), lean))
    return [rect for rect, _ in groups if _stamp_sized(rect)]


def _around_ring(ring: Ring) -> Rect:
    return Rect(ring.x - ring.radius, ring.y - ring.radius, ring.x + ring.radius, ring.y + ring.radius).grown(3, 3)


def _squarish(rect: Rect) -> bool:
    """True for a cluster about as high as wide and as large as a round stamp."""
    return 0.75 < rect.width / rect.height < 1.33 and rect.width > 2 * _RADII[0] * _DPI


def _ringed(patch: Patch, rings: Sequence[Ring], dpi: float) -> Patch:
    """The patch with the ring (told in pixels at 100 dpi) that lies about it, if one does."""
    scale = dpi / _DPI
    for ring in rings:
        rect = Rect(*(edge * scale for edge in _around_ring(ring)))
        if rect.holds(patch.rect, 0.7) and patch.rect.holds(rect, 0.7):
            return replace(patch, ring=Ring(*(scale * part for part in ring)))
    return patch


def _rings(ink: Gray) -> list[Ring]:
    """Circles the size of a stamp that are drawn along more than half of their round."""
    half = cv2.resize(255 - ink, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    low, high = (round(radius * _DPI / 2) for radius in _RADII)
    circles = cv2.HoughCircles(
        half, cv2.HOUGH_GRADIENT, dp=2, minDist=low, param1=120, param2=55, minRadius=low, maxRadius=high
    )
    found: list[Ring] = []
    for x, y, radius in [] if circles is None else (2 * circles.reshape(-1, 3)).tolist():
        rect = _around_ring(Ring(x, y, radius))
        if _drawn_round(ink, x, y, radius) and not any(_around_ring(other).overlap(rect) > 0 for other in found):
            found.append(Ring(x, y, radius))
    return found


def _drawn_round(ink: Gray, x: float, y: float, radius: float) -> bool:
    turns = np.radians(np.arange(0, 360, 3))
    hit = np.zeros(len(turns), bool)
    for off in (-3, -2, -1, 0, 1, 2, 3):
        across = np.clip(np.rint(x + (radius + off) * np.cos(turns)), 0, ink.shape[1] - 1).astype(np.int64)
        down = np.clip(np.rint(y + (radius + off) * np.sin(turns)), 0, ink.shape[0] - 1).astype(np.int64)
        hit |= ink[down, across] > 0
    return float(hit.mean()) > _ROUND


def _stamp_sized(rect: Rect) -> bool:
    long, short = max(rect.width, rect.height) / _DPI, min(rect.width, rect.height) / _DPI
    return _LONG[0] <= long <= _LONG[1] and _SHORT[0] <= short <= _SHORT[1]


def _leaning_lines(ink: Gray) -> list[tuple[float, ...]]:
    """Straight lines of at least 0.6 inch that lean by more than a degree: their ends, and degrees clockwise."""
    lines = cv2.HoughLinesP(ink, 1, np.pi / 360, 45, minLineLength=0.6 * _DPI, maxLineGap=4)
    found: list[tuple[float, ...]] = []
    for x0, y0, x1, y1 in [] if lines is None else lines.reshape(-1, 4).tolist():
        turn = float(np.degrees(np.arctan2(y1 - y0, x1 - x0))) % 90
        lean = turn if turn <= 45 else turn - 90
        if _STRAIGHT < abs(lean) < _LEAN:
            found.append((x0, y0, x1, y1, lean))
    return found


def usual_height(lines: Sequence[Line]) -> float:
    """The height of the page's usual words, in pixels."""
    heights = sorted(word.rect.height for line in lines for word in line.words if len(word.text) >= 3)
    return heights[len(heights) // 2] if heights else 0.0


def _straight(line: Line) -> bool:
    """True for a line of print: at least three words whose middles rise or fall by less than about a degree."""
    if len(line.words) < 3:
        return False
    first, last = line.words[0].rect.middle, line.words[-1].rect.middle
    return abs(last[1] - first[1]) < 0.02 * (last[0] - first[0]) + 2


def _inks(hues: Gray, strength: Gray) -> list[int]:
    """The hues of the inks on the page, by the peaks of a histogram over the coloured pixels."""
    coloured = strength >= COLOURED
    if int(coloured.sum()) < 120:
        return []
    counts = np.bincount(hues[coloured].ravel() // 6, weights=strength[coloured], minlength=30)
    smooth = counts + 0.5 * np.roll(counts, 1) + 0.5 * np.roll(counts, -1)
    peaks = [i for i in range(30) if smooth[i] >= smooth[i - 1] and smooth[i] > smooth[(i + 1) % 30]]
    strong = [i for i in peaks if smooth[i] > 0.04 * smooth.sum()]
    return [i * 6 + 3 for i in sorted(strong, key=lambda i: -smooth[i])[:4]]


def _clusters(ink: Gray) -> list[tuple[float, Rect]]:
    """Groups of ink the size of a stamp, largest first, with how much ink each has; the picture is at 100 dpi."""
    joined = cv2.morphologyEx(ink, cv2.MORPH_CLOSE, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (17, 17)))
    count, _, stats, _ = blobs(cast("Gray", joined))
    found = []
    for index in range(1, count):
        left, top, wide, high = (int(v) for v in stats[index, :4])
        rect = Rect(left, top, left + wide, top + high)
        if _stamp_sized(rect):
            found.append((float(np.count_nonzero(cut(ink, rect))), rect))
    return sorted(found, key=lambda pair: -pair[0])


def _placed(rect: Rect, hue: int, ink: Gray, dpi: float) -> Patch:
    scale = dpi / _DPI
    margin = 0.06 * dpi
    part = cv2.copyMakeBorder(cut(ink, rect), 4, 4, 4, 4, cv2.BORDER_CONSTANT, value=[0])
    letters = letter_boxes(cast("Gray", part), _DPI)
    leans = _leans(cast("Gray", part), letters) if len(letters) >= _LETTERS else _framed_leans(cast("Gray", part))
    return Patch(Rect(*(edge * scale for edge in rect)).grown(margin, margin), hue, leans, letters=len(letters))


def _framed_leans(ink: Gray) -> tuple[float, ...]:
    """How a patch leans in which letters run into each other: as its frame does, or not at all if the ink is heavy."""
    lines = _leaning_lines(ink)
    if len(lines) >= 2:
        leans = sorted(line[4] for line in lines)
        return (leans[len(leans) // 2],)
    stats = blobs(ink)[2][1:]
    heavy = (stats[:, 3] >= _HEAVY * _DPI) & (stats[:, 4] >= 0.14 * stats[:, 2] * stats[:, 3])
    return (0.0,) if int(np.count_nonzero(heavy)) >= 3 else ()


def _leans(ink: Gray, letters: np.ndarray[tuple[int, ...], np.dtype[np.int32]]) -> tuple[float, ...]:
    """Degrees clockwise by which lines of letters, and the frame, lean."""
    leans = [_line_lean(letters.astype(np.float64))]
    points = cv2.findNonZero(ink)
    if points is not None:
        angle = float(cv2.minAreaRect(points)[2]) % 90
        framed = angle if angle <= 45 else angle - 90
        if abs(framed) <= _LEAN and abs(framed - leans[0]) > 1.5:
            leans.append(framed)
    return tuple(leans)


def _line_lean(letters: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """The angle at which the letters' lower edges fall on the fewest lines."""
    across, down = (letters[:, 0] + letters[:, 2]) / 2, letters[:, 3]
    best, best_score = 0.0, -1.0
    for angle in np.arange(-_LEAN, _LEAN + 0.1, 0.5):
        level = down - across * np.tan(np.radians(angle))
        rows = np.bincount((level - level.min() + 0.5).astype(np.int64)).astype(np.float64)
        joint = rows + np.concatenate([rows[1:], [0.0]])
        score = float((joint**2).sum()) - 0.002 * abs(float(angle)) * len(letters)
        if score > best_score:
            best, best_score = float(angle), score
    return best


def slanting_frame(gray: Gray, patch: Patch, dpi: float) -> bool:
    """True when the patch holds long straight lines that lean against the page: the frame of a stamp."""
    small = resized(np.ascontiguousarray(cut(gray, patch.rect.grown(0.1 * dpi, 0.1 * dpi))), _DPI / dpi)
    return len(_leaning_lines(ink_of(small))) >= 2
