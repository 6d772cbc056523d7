"""The final box's caption where a mark on the box, or a stamp, spoilt it for the recogniser."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from quietus.reading.captions import captions, gap_between
from quietus.reading.pieces import Piece
from quietus.reading.pixels import Gray, cut
from quietus.reading.squares import squares_in
from quietus.reading.words import Line, Rect, Word, around

_DARK = 165  # gray below which ink counts
_READ, _ROW = 0.4, (0.07, 0.3)  # how surely a word of a second look is read at the least; inches: height of a row
_COLUMN = 1.5  # inches up and down to other captions of a column


def lost_captions(siblings: Sequence[Piece], gray: Gray, dpi: float, look: Callable[[Rect], list[Word]]) -> list[Piece]:
    """The final box's caption where a mark on the box spoilt it: looked for alone, where its siblings say it may be.

    Beside a box without a caption even words read unsurely count, when they spell it.
    """
    boxes = ((strip, 0.0) for strip in _beside_boxes(siblings, gray, dpi))
    rows = ((strip, _READ) for strip in (*_in_column(siblings, gray, dpi), *_in_rows(siblings, dpi)))
    for strip, least in (*boxes, *rows):
        words = [word for word in look(strip) if word.sure > least]
        found = captions([Line(tuple(words))])[0] if words else []
        if found:
            return found
    return []


def _beside_boxes(siblings: Sequence[Piece], gray: Gray, dpi: float) -> Iterator[Rect]:
    """The words after each box near the siblings that is none of theirs."""
    near = around(piece.rect for piece in siblings).grown(2.2 * dpi, 0.6 * dpi)
    for square in squares_in(gray, near, dpi):
        box = square.rect
        gaps = [gap_between(box, piece, after=False) for piece in siblings]
        if not any(gap is not None and gap < 0.3 * dpi for gap in gaps):
            yield Rect(box.right + 0.02 * dpi, box.top - 0.02 * dpi, box.right + 1.3 * dpi, box.bottom + 0.04 * dpi)


def _in_column(siblings: Sequence[Piece], gray: Gray, dpi: float) -> Iterator[Rect]:
    """The rows of print in a column of captions, and close above and below it, in which none was recognised."""
    left = min(piece.rect.left for piece in siblings)
    column = [piece.rect for piece in siblings if piece.rect.left - left < 0.3 * dpi]
    x, whole = sorted(rect.left for rect in column)[len(column) // 2], around(column).grown(0, _COLUMN * dpi)
    zone = Rect(x - 0.02 * dpi, max(0.0, whole.top), x + 1.6 * dpi, whole.bottom)
    inked = np.any(cut(gray, zone) < _DARK, axis=1).astype(np.int8)
    edges = np.flatnonzero(np.diff(inked, prepend=0, append=0)).tolist()
    for top, bottom in zip(edges[::2], edges[1::2], strict=True):
        row = Rect(zone.left, int(zone.top) + top - 0.03 * dpi, zone.right, int(zone.top) + bottom + 0.03 * dpi)
        if _ROW[0] * dpi < bottom - top < _ROW[1] * dpi and not any(row.overlap(rect) > 0 for rect in column):
            yield row


def _in_rows(siblings: Sequence[Piece], dpi: float) -> Iterator[Rect]:
    """Each row of captions as a whole."""
    whole = around(piece.rect for piece in siblings).grown(2.2 * dpi, 0)
    rows: list[Rect] = []
    for piece in siblings:
        if not any(row.top < piece.rect.middle[1] < row.bottom for row in rows):
            rows.append(piece.rect)
    for row in rows:
        yield Rect(max(0.0, whole.left), row.top - 0.04 * dpi, whole.right, row.bottom + 0.04 * dpi)
