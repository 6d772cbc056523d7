"""What is left of a mark that nobody can read: ink in the space kept for it, or specks and bits that a fax left."""

import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from quietus.reading.inks import without_rules
from quietus.reading.marks import Mark
from quietus.reading.pixels import Gray, blobs, cut, ink_of, resized
from quietus.reading.words import Line, Rect

_RESERVED = re.compile(r"\b(office\s?use|filing\s?stamp|file\s?stamp|office'?s stamp|this space for)", re.IGNORECASE)
_SMALL, _USED = 100.0, 140  # dpi at which that space is looked at; dots of ink in it that make it used
_TONES = 0.01  # share of gray in a 1-bit page, at the most
_SPECK, _SPECKS, _CELL = 5, 8, 0.6  # dots of a speck; specks that make a patch of them; inches of half such a patch
_BIT, _FIELD, _BITS = 0.25, 0.75, 12  # inches of a bit; of a third of a stamp's width; bits that make remains


def reserved_space_used(lines: Sequence[Line], marks: Sequence[Mark], gray: Gray, dpi: float) -> bool:
    """True when there is ink that is no word and no mark in the space a form keeps for the office's stamp."""
    scale = _SMALL / dpi
    words = [word.rect for line in lines for word in line.words]
    words += [mark.rect for mark in marks if mark.sort not in {"unclear", "print"}]
    for line in lines:
        if not _RESERVED.search(line.text):
            continue
        left, top = max(0.0, line.rect.left - 0.05 * dpi), max(0.0, line.rect.top - 0.05 * dpi)
        space = Rect(left, top, left + 2.9 * dpi, top + 1.2 * dpi)
        ink = without_rules(ink_of(resized(np.ascontiguousarray(cut(gray, space)), scale)), _SMALL)
        for word in words:
            if space.overlap(word) > 0:
                moved = Rect(word.left - left, word.top - top, word.right - left, word.bottom - top)
                cut(ink, Rect(*(edge * scale for edge in moved)).grown(2, 2))[:] = 0
        if int(np.count_nonzero(ink)) > _USED:
            return True
    return False


def faint_remains(lines: Sequence[Line], gray: Gray, dpi: float) -> bool:
    """True when a page of black and white alone has a patch of specks: what is left of a stamp too pale for it."""
    if float(np.mean((gray > 60) & (gray < 190))) > _TONES:
        return False
    ink = ink_of(gray)
    for line in lines:
        for word in line.words:
            cut(ink, word.rect.grown(0.03 * dpi, 0.03 * dpi))[:] = 0
    _, _, stats, middles = blobs(without_rules(ink, dpi))
    sizes = np.maximum(stats[:, 2], stats[:, 3])
    specks = (stats[:, 4] >= _SPECK) & (sizes <= 0.09 * dpi) & (stats[:, 0] > 0.3 * dpi)
    across, down = np.floor(middles[specks] / (_CELL * dpi)).astype(np.int64).T
    field = np.zeros((int(gray.shape[0] / (_CELL * dpi)) + 2, int(gray.shape[1] / (_CELL * dpi)) + 2), np.int64)
    np.add.at(field, (down, across), 1)
    near = int((field[:-1, :-1] + field[1:, :-1] + field[:-1, 1:] + field[1:, 1:]).max())
    return near >= _SPECKS or _scattered(stats, middles, dpi)


def _scattered(stats: NDArray[np.int32], middles: NDArray[np.float64], dpi: float) -> bool:
    """True for larger remains, strewn as wide as a stamp is: bits of a frame and of tall letters."""
    sizes = np.maximum(stats[:, 2], stats[:, 3])
    bits = (stats[:, 4] >= _SPECK) & (sizes <= _BIT * dpi) & (stats[:, 0] > 0.3 * dpi) & (stats[:, 1] > 0.35 * dpi)
    across, down = np.floor(middles[bits] / (_FIELD * dpi)).astype(np.int64).T
    field = np.zeros((int(down.max(initial=0)) + 3, int(across.max(initial=0)) + 4), np.int64)
    np.add.at(field, (down, across), 1)
    rows = field[:-1] + field[1:]
    return int((rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:]).max()) >= _BITS
