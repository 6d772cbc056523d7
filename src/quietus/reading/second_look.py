"""A second look at what the first one left out or was unsure of: line by line, enlarged, on its own."""

from collections.abc import Sequence
from typing import Any, cast

import cv2
import numpy as np
from numpy.typing import NDArray

from quietus.reading.engine import Layout, Recogniser
from quietus.reading.pixels import Gray, blobs, cut, ink_of, padded, resized
from quietus.reading.upright import letter_boxes
from quietus.reading.words import Rect, Word

_DPI = 100.0
_BEST_DPI = 300.0  # at which single lines are recognised best
_LEFT_OUT = 0.55  # words less sure than this are looked at again
_LETTERS = 3  # a line of fewer letters is not worth a look
_MOST = 24  # lines of one page that are looked at again
_TRUSTED = 0.6  # words of the second look less sure than this are dropped


def with_missed(gray: Gray, dpi: float, words: Sequence[Word], engine: Recogniser) -> list[Word]:
    """The words, together with those of lines the first look missed, and surer readings of its unsure ones.

    Args:
        gray: the upright page, evenly lit.
        dpi: of it.
        words: what the first look gave.
        engine: the recogniser.
    """
    out = list(words)
    for rect in _missed(gray, dpi, words)[:_MOST]:
        margin = 0.04 * dpi
        fresh = again(gray, rect.grown(margin, margin), dpi, engine)
        fresh = [word for word in fresh if word.sure >= _TRUSTED and any(sign.isalnum() for sign in word.text)]
        if not fresh:
            continue
        covered = [w for w in out if w.sure < _LEFT_OUT and any(new.rect.holds(w.rect) for new in fresh)]
        if sum(w.sure for w in fresh) <= sum(w.sure for w in covered):
            continue
        taken = [w for w in out if w not in covered]
        fresh = [
            new
            for new in fresh
            if not any(w.rect.overlap(new.rect) > 0.4 * new.rect.width * new.rect.height for w in taken)
        ]
        out = taken + fresh
    return out


def again(gray: Gray, rect: Rect, dpi: float, engine: Recogniser, layout: Layout = Layout.LINE) -> list[Word]:
    """The words inside `rect`, recognised on their own and enlarged; rectangles in pixels of the page."""
    part = np.ascontiguousarray(cut(gray, rect))
    scale = max(1.0, min(2.5, _BEST_DPI / dpi))
    margin = round(0.05 * dpi * scale)
    words = engine.words(padded(resized(part, scale), margin), dpi * scale, layout)
    left, top = max(0.0, float(int(rect.left))), max(0.0, float(int(rect.top)))
    return [Word(word.text, _moved(word.rect, margin, scale, left, top), word.sure) for word in words]


def _moved(rect: Rect, margin: int, scale: float, left: float, top: float) -> Rect:
    x0, y0, x1, y1 = ((edge - margin) / scale for edge in rect)
    return Rect(x0 + left, y0 + top, x1 + left, y1 + top)


def _missed(gray: Gray, dpi: float, words: Sequence[Word]) -> list[Rect]:
    """Lines of letters that no sure word covers, the longest first."""
    scale = _DPI / dpi
    ink = ink_of(resized(gray, scale))
    canvas = np.zeros(ink.shape, np.uint8)
    letters = letter_boxes(ink, _DPI)
    covers = [word.rect for word in words if word.sure >= _LEFT_OUT]
    for rect in covers:
        cut(ink, Rect(*(edge * scale for edge in rect)).grown(1, 1))[:] = 0
    for left, top, right, bottom in letters:
        if np.count_nonzero(ink[top:bottom, left:right]) >= 3:
            canvas[top:bottom, left:right] = 255
    joined = cv2.morphologyEx(canvas, cv2.MORPH_CLOSE, np.ones((1, 15), np.uint8))
    count, labels, stats, _ = blobs(cast("Gray", joined))
    found = []
    for index in range(1, count):
        x, y, wide, high = (int(v) for v in stats[index, :4])
        inside = _starting_in(letters, labels, index)
        if inside >= _LETTERS and 0.05 * _DPI <= high <= 0.4 * _DPI and wide >= 1.2 * high:
            found.append((inside, Rect(x / scale, y / scale, (x + wide) / scale, (y + high) / scale)))
    return [rect for _, rect in sorted(found, key=lambda pair: -pair[0])]


def _starting_in(letters: NDArray[np.int32], labels: NDArray[np.integer[Any] | np.floating[Any]], index: int) -> int:
    across, down = (letters[:, 0] + letters[:, 2]) // 2, (letters[:, 1] + letters[:, 3]) // 2
    return int(np.count_nonzero(labels[down, across] == index))
