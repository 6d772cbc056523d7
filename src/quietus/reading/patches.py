"""Where on a page a stamp could be: patches of coloured ink, and of black ink that the text does not explain."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import cast

import cv2
import numpy as np
from numpy.typing import NDArray

from quietus.reading.dotted import dot_fields, strung_dots
from quietus.reading.pixels import Gray, Picture, cut, even_light, ink_of, padded, resized, rotated
from quietus.reading.upright import letter_boxes
from quietus.reading.words import Line, Rect, around

_DPI = 100.0
_COLOURED = 34  # steps of 255 between the strongest and weakest channel from which a pixel counts as coloured ink
_LONG, _SHORT = (0.6, 4.8), (0.22, 3.4)  # inches: the sides of a stamp
_LETTERS = 6  # a stamp has at least so many blobs of letter size; a signature or a ring has fewer
_MOST = 6  # patches of a page that are looked at
_SURE_PRINT = 0.7  # words recognised this surely are the page's own print
_TALL = 1.15  # times the usual word height (which spans ascenders and descenders): larger than print
_CORE, _TWO_INKS = 200, 32.0  # dots of solid ink that tell how dark inks are; levels between two inks that differ
_STRAIGHT = 1.2  # degrees: lines that lean less are the page's own
_APART = 1.3 * _DPI  # pixels at 100 dpi between two sides of one frame
_RADII, _ROUND = (0.5, 1.35), 0.75  # inches of a round stamp's radius; and the share of its round that must be inked
_CROSSED = 0.03  # inches: the gap that wiping out a rule leaves in a letter
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
    """

    rect: Rect
    hue: int
    leans: tuple[float, ...]
    usual: float = 0.0
    letters: int = 0
    printed: tuple[Rect, ...] = ()


def colour_patches(picture: Picture, dpi: float) -> list[Patch]:
    """Patches of coloured ink, the strongest first; none on a gray page."""
    if picture.ndim == 2:
        return []
    small = balanced(resized(picture, _DPI / dpi), _DPI)
    strength = chroma(small)
    hues = _hues(small)
    found: list[tuple[float, Patch]] = []
    for hue in _inks(hues, strength):
        here = np.where(near_hue(hues, hue), strength, 0).astype(np.uint8)
        ink = cast("Gray", cv2.threshold(here, _COLOURED, 255, cv2.THRESH_BINARY)[1])
        found += [(mass, _placed(rect, hue, ink, dpi)) for mass, rect in _clusters(ink)]
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
    frames = [*_slanting_frames(whole), *_round_frames(whole)]
    found = [_placed(rect, -1, whole, dpi) for rect in frames]
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
        if word.sure >= _SURE_PRINT and len(word.text) >= 2 and (word.rect.height <= _TALL * usual or _straight(line))
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


def _round_frames(ink: Gray) -> list[Rect]:
    """Circles the size of a stamp that are drawn along more than half of their round."""
    half = cv2.resize(255 - ink, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    low, high = (round(radius * _DPI / 2) for radius in _RADII)
    circles = cv2.HoughCircles(
        half, cv2.HOUGH_GRADIENT, dp=2, minDist=low, param1=120, param2=55, minRadius=low, maxRadius=high
    )
    found: list[Rect] = []
    for x, y, radius in [] if circles is None else (2 * circles.reshape(-1, 3)).tolist():
        rect = Rect(x - radius, y - radius, x + radius, y + radius).grown(3, 3)
        if _drawn_round(ink, x, y, radius) and not any(other.overlap(rect) > 0 for other in found):
            found.append(rect)
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


def balanced(picture: Picture, dpi: float) -> Picture:
    """The picture with each channel's own paper made white, so that warm light or old paper has no colour left."""
    return np.dstack([even_light(np.ascontiguousarray(picture[:, :, channel]), dpi) for channel in range(3)])


def chroma(picture: Picture) -> Gray:
    """How coloured each pixel is: strongest less weakest channel. Black print and white paper come out as 0."""
    return cast("Gray", picture.max(axis=2) - picture.min(axis=2))


def near_hue(hues: Gray, hue: int, within: int = 14) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """True where the hue lies within `within` steps of two degrees of `hue`, going round the circle."""
    apart = np.abs(hues.astype(np.int16) - hue)
    return np.asarray(np.minimum(apart, 180 - apart) <= within)


def _hues(picture: Picture) -> Gray:
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


def _inks(hues: Gray, strength: Gray) -> list[int]:
    """The hues of the inks on the page, by the peaks of a histogram over the coloured pixels."""
    coloured = strength >= _COLOURED
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
    count, labels, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
    found = []
    for index in range(1, count):
        left, top, wide, high = (int(v) for v in stats[index, :4])
        rect = Rect(left, top, left + wide, top + high)
        if _stamp_sized(rect):
            found.append((float(np.count_nonzero(cut(ink, rect))), rect))
    del labels
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
    stats = cv2.connectedComponentsWithStats(ink, connectivity=8)[2][1:]
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


def view(picture: Picture, patch: Patch, lean: float, dpi: float, *, framed: bool = False) -> Gray:
    """The patch made level, as dark ink on white; of a coloured patch only what has its colour.

    Its frame and form lines are wiped out unless `framed`.
    """
    zone = patch.rect.grown(0.12 * dpi, 0.12 * dpi)
    crop = np.ascontiguousarray(cut(picture, zone))
    if patch.hue < 0 or crop.ndim == 2:
        gray = even_light(crop if crop.ndim == 2 else np.ascontiguousarray(crop.min(axis=2)), dpi)
        dotted = strung_dots(without_rules(ink_of(gray), dpi), dpi)
        gray = _tall_only(unruled(gray, dpi), patch.usual) if dotted is None else dotted
    else:
        gray = _own_colour(crop, patch.hue, dpi)
    level = rotated(padded(gray, round(0.1 * dpi)), lean)
    return level if framed else unframed(level, dpi)


def black_views(picture: Picture, patch: Patch, lean: float, dpi: float) -> Iterator[Gray]:
    """More ways to see a patch of black ink that lies over print: only the paler of two inks, or without the print."""
    zone = patch.rect.grown(0.12 * dpi, 0.12 * dpi)
    crop = np.ascontiguousarray(cut(picture, zone))
    gray = even_light(crop if crop.ndim == 2 else np.ascontiguousarray(crop.min(axis=2)), dpi)
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
    _, labels, stats, _ = cv2.connectedComponentsWithStats(ink_of(gray), connectivity=8)
    boxes = [Rect(x, y, x + w, y + h) for x, y, w, h in stats[:, :4].tolist()]
    inside = np.array([any(word.grown(2, 2).holds(box, 0.75) for word in words) for box in boxes])
    inside[0] = False
    gone = cv2.dilate(inside[labels].astype(np.uint8), np.ones((3, 3), np.uint8))
    return cast("Gray", np.where(gone > 0, 255, gray).astype(np.uint8))


def _tall_only(gray: Gray, usual: float) -> Gray:
    """The crop without letters as low as the page's print: stamps are set larger. What touches taller ink stays.

    So do the dashes, points and strokes that stand between tall letters.
    """
    if not usual:
        return gray
    _, labels, stats, middles = cv2.connectedComponentsWithStats(ink_of(gray), connectivity=8)
    low = (stats[:, cv2.CC_STAT_HEIGHT] < _TALL * usual) & (stats[:, cv2.CC_STAT_WIDTH] < 3 * usual)
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


def slanting_frame(gray: Gray, patch: Patch, dpi: float) -> bool:
    """True when the patch holds long straight lines that lean against the page: the frame of a stamp."""
    small = resized(np.ascontiguousarray(cut(gray, patch.rect.grown(0.1 * dpi, 0.1 * dpi))), _DPI / dpi)
    return len(_leaning_lines(ink_of(small))) >= 2


def _own_colour(crop: Picture, hue: int, dpi: float) -> Gray:
    """Dark where the ink has the hue. Under black print no colour is left: there the ink around it is carried on."""
    coloured = balanced(crop, dpi)
    hues = _hues(coloured)
    strength = np.where(near_hue(hues, hue, 20), chroma(coloured), 0).astype(np.uint8)
    reach = max(3, round(0.022 * dpi)) | 1
    carried = cv2.morphologyEx(strength, cv2.MORPH_CLOSE, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)))
    strength = np.where(coloured.max(axis=2) < 105, carried, strength).astype(np.uint8)
    strong = strength[strength > _COLOURED // 2]
    top = max(60.0, float(np.percentile(strong, 90))) if strong.size else 255.0
    dark = np.clip(strength.astype(np.float32) * (255 / top), 0, 255)
    return cast("Gray", (255 - dark).astype(np.uint8))


def unframed(gray: Gray, dpi: float) -> Gray:
    """The picture with straight lines longer than about half an inch wiped out."""
    ink = cast("Gray", cv2.threshold(gray, 170, 255, cv2.THRESH_BINARY_INV)[1])
    length = round(0.55 * dpi)
    across = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((1, length), np.uint8))
    down = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((length, 1), np.uint8))
    lines = cv2.dilate(cv2.bitwise_or(across, down), np.ones((3, 3), np.uint8))
    left = cv2.subtract(ink, lines)
    return np.where(_wiped(cast("Gray", lines), cast("Gray", left), dpi), 255, gray).astype(np.uint8)
