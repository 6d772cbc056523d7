"""The rows of letters in a small level picture such as a stamp, recognised one by one.

A recogniser that looks at a stamp as one block often leaves out a row set much larger than the rest, such as FILED.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from quietus.reading.engine import Layout, Recogniser
from quietus.reading.pixels import Gray, blobs, cut, ink_of, padded, resized
from quietus.reading.words import Rect, Word, around

_LOW, _HIGH = 0.045, 0.5  # inches: the height of a letter of a stamp
_WIDE = 0.75  # inches: the widest blob that is still a letter, or a few that touch
_BEST = 38.0  # pixels of letter height at which a row is recognised best
_MOST = 9  # rows that are looked at
_SHARED = 0.5  # share of the lower one's height that a letter and its row have in common


@dataclass(slots=True)
class _Row:
    boxes: list[Rect]

    @property
    def band(self) -> tuple[float, float]:
        tops, bottoms = sorted(b.top for b in self.boxes), sorted(b.bottom for b in self.boxes)
        return tops[len(tops) // 2], bottoms[len(bottoms) // 2]


def row_words(seen: Gray, dpi: float, engine: Recogniser, signs: str = "") -> list[Word]:
    """The words of a level picture, each row of letters recognised on its own; rectangles in its pixels.

    With `signs`, nothing but these is looked for.
    """
    ink = ink_of(seen)
    _, labels, stats, _ = blobs(ink)
    boxes = [Rect(x, y, x + w, y + h) for x, y, w, h in stats[1:, :4].tolist()]
    letters = [b for b in boxes if _LOW * dpi <= b.height <= _HIGH * dpi and b.width <= _WIDE * dpi]
    large = (stats[:, cv2.CC_STAT_HEIGHT] > _HIGH * dpi) | (stats[:, cv2.CC_STAT_WIDTH] > _WIDE * dpi)
    large[0] = False
    gone = cv2.dilate(large[labels].astype(np.uint8), np.ones((3, 3), np.uint8))
    clean = np.where(gone > 0, 255, seen).astype(np.uint8)
    found: list[Word] = []
    for row in _rows(letters)[:_MOST]:
        found += _recognised(clean, row, dpi, engine, signs)
    return found


def _rows(letters: list[Rect]) -> list[_Row]:
    """Letters that stand side by side, tallest rows first; a lone letter is no row."""
    rows: list[_Row] = []
    for box in sorted(letters, key=lambda b: -b.height):
        for row in rows:
            top, bottom = row.band
            common = min(bottom, box.bottom) - max(top, box.top)
            if common > _SHARED * min(box.height, bottom - top) and box.height > 0.4 * (bottom - top):
                row.boxes.append(box)
                break
        else:
            rows.append(_Row([box]))
    return [row for row in rows if len(row.boxes) >= 3]


def _recognised(clean: Gray, row: _Row, dpi: float, engine: Recogniser, signs: str) -> list[Word]:
    top, bottom = row.band
    tall = bottom - top
    whole = around(row.boxes)
    rect = Rect(whole.left - 0.4 * tall, top - 0.22 * tall, whole.right + 0.4 * tall, bottom + 0.25 * tall)
    scale = float(np.clip(_BEST / tall, 0.25, 4.0))
    margin = round(0.35 * _BEST)
    picture = padded(resized(np.ascontiguousarray(cut(clean, rect)), scale), margin)
    left, upper = max(0.0, float(int(rect.left))), max(0.0, float(int(rect.top)))
    return [
        Word(
            w.text,
            Rect(*((edge - margin) / scale + at for edge, at in zip(w.rect, (left, upper) * 2, strict=True))),
            w.sure,
        )
        for w in engine.words(picture, dpi * scale, Layout.LINE, signs)
    ]
