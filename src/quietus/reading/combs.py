"""Numbers written one digit to a cell, as returns have it for an EIN: the cells are found, and read without walls."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import cv2
import numpy as np

from quietus.reading.engine import Layout, Recogniser
from quietus.reading.pixels import Gray, cut, padded, resized
from quietus.reading.words import Line, Rect, Word, around

_DIGITS = 9  # of an EIN
_WIDE, _HIGH = (0.09, 0.42), (0.11, 0.42)  # inches: a cell
_LEVEL = 200  # gray below which there is ink of a wall
_INK = 150  # gray below which there is ink of a digit
_SPECK, _LEAST = 6, 0.25  # dots, and share of its cell's height, that a digit has at least
_WALL = 0.12  # share of a cell's width, and of its height, that is left out on each side
_TALL, _ROOM = (34, 44), 0.12  # pixels: height of the digits as recognised, once and once more; room beside each
_APART = 1.5  # widths of a cell between two that belong together
_AGREED, _ONCE = 0.88, 0.5  # how sure a number is that two looks read alike; and one that they do not


@dataclass(frozen=True, slots=True)
class Combed:
    """Digits read out of cells: which, how sure, and where."""

    digits: str
    sure: float
    rect: Rect


def spread_digits(lines: Sequence[Line], near: Rect) -> Combed | None:
    """Nine digits that stand one by one, or two by two, in one row inside `near`, as recognised with the page."""
    words = [
        word for line in lines for word in line.words if near.holds(word.rect) and re.fullmatch(r"\d{1,2}", word.text)
    ]
    rows: list[list[Word]] = []
    for word in sorted(words, key=lambda w: w.rect.left):
        row = next((row for row in rows if row[0].rect.top < word.rect.middle[1] < row[0].rect.bottom), None)
        rows.append([word]) if row is None else row.append(word)
    for row in rows:
        digits = "".join(word.text for word in row)
        if len(digits) == _DIGITS:
            return Combed(digits, min(word.sure for word in row), around(word.rect for word in row))
    return None


def comb_digits(gray: Gray, near: Rect, dpi: float, engine: Recogniser) -> Combed | None:
    """Nine digits in a row of cells inside `near`; None when there is no such row, or not every cell has a digit."""
    cells = _cells(gray, near, dpi)
    if len(cells) != _DIGITS:
        return None
    looks = [_read(gray, cells, tall, engine) for tall in _TALL]
    whole = [digits for digits in looks if len(digits) == _DIGITS]
    if not whole:
        return None
    agreed = len(set(looks)) == 1
    return Combed(whole[0], _AGREED if agreed else _ONCE, around(cells))


def _cells(gray: Gray, near: Rect, dpi: float) -> list[Rect]:
    """The insides of the cells of the longest row of like cells, left to right."""
    left, top = max(0, int(near.left)), max(0, int(near.top))
    ink = cast("Gray", cv2.threshold(cut(gray, near), _LEVEL, 255, cv2.THRESH_BINARY_INV)[1])
    contours, _ = cv2.findContours(ink, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)
    found = []
    for contour in contours:
        x, y, wide, high = cv2.boundingRect(contour)
        fits = _WIDE[0] * dpi <= wide <= _WIDE[1] * dpi and _HIGH[0] * dpi <= high <= _HIGH[1] * dpi
        if fits and cv2.contourArea(contour) > 0.75 * wide * high:
            found.append(Rect(left + x, top + y, left + x + wide, top + y + high))
    rows: list[list[Rect]] = []
    for rect in sorted(_once(found), key=lambda r: r.left):
        row = next((row for row in rows if _joins(row[-1], rect)), None)
        rows.append([rect]) if row is None else row.append(rect)
    return max(rows, key=len, default=[])


def _once(rects: Sequence[Rect]) -> list[Rect]:
    """Each cell once: the smaller of its outlines."""
    kept: list[Rect] = []
    for rect in sorted(rects, key=lambda r: r.width * r.height):
        if not any(rect.overlap(other) > 0.5 * other.width * other.height for other in kept):
            kept.append(rect)
    return kept


def _joins(last: Rect, rect: Rect) -> bool:
    level = abs(last.middle[1] - rect.middle[1]) < 0.2 * last.height and 0.8 < rect.height / last.height < 1.25
    return level and rect.left - last.right < _APART * last.width


def _read(gray: Gray, cells: Sequence[Rect], tall: int, engine: Recogniser) -> str:
    """The digits of the cells, set side by side as in print; empty when a cell has none."""
    digits = [_digit(gray, cell) for cell in cells]
    if any(digit is None for digit in digits):
        return ""
    highest = max(digit.shape[0] for digit in digits if digit is not None)
    line = [_set(digit, tall / highest, tall) for digit in digits if digit is not None]
    picture = padded(np.ascontiguousarray(np.hstack(line)), tall // 2)
    words = engine.words(picture, 300.0, Layout.LINE, "0123456789")
    return "".join(word.text for word in sorted(words, key=lambda w: w.rect.left))


def _digit(gray: Gray, cell: Rect) -> Gray | None:
    """What stands inside a cell's walls, cut close."""
    inner = cut(gray, cell.grown(-_WALL * cell.width, -_WALL * cell.height))
    rows, columns = np.nonzero(inner < _INK)
    if len(rows) < _SPECK or np.ptp(rows) < _LEAST * inner.shape[0]:
        return None
    return inner[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]


def _set(digit: Gray, scale: float, tall: int) -> Gray:
    """A digit at its size in the line, standing on it, with the usual room beside it."""
    sized = resized(np.ascontiguousarray(digit), scale)
    above, beside = max(0, tall - sized.shape[0]), round(_ROOM * tall)
    return cast("Gray", cv2.copyMakeBorder(sized, above, 0, beside, beside, cv2.BORDER_CONSTANT, value=[255]))
