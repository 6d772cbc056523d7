"""Pieces of lines, and how closely a label belongs to a value: beside, above or beneath it, or before a line break."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from quietus.reading.words import Line, Rect, around

_FAR = 60  # characters between a label and its value on one line
_WIDE = 26.0  # letter heights between a label and its value in the same row
_WRAP = 30  # characters left over at the end and the start of two lines that read on


@dataclass(frozen=True)
class Piece:
    """Characters `start` to `end` of a line."""

    line: Line
    start: int
    end: int

    @cached_property
    def text(self) -> str:
        """The characters."""
        return self.line.text[self.start : self.end]

    @cached_property
    def rect(self) -> Rect:
        """Around the words that the piece touches."""
        return around(word.rect for word in self.line.part(self.start, self.end))

    @cached_property
    def sure(self) -> float:
        """The recogniser's confidence in the least sure of those words."""
        return min(word.sure for word in self.line.part(self.start, self.end))


def pieces(lines: Iterable[Line], pattern: re.Pattern[str]) -> Iterator[Piece]:
    """Every match of `pattern` in the lines."""
    for line in lines:
        for match in pattern.finditer(line.text):
            if match.end() > match.start():
                yield Piece(line, match.start(), match.end())


def belongs(label: Piece, value: Piece) -> float:
    """How closely `value` belongs to `label`: 1 right beside it, less with distance, 0 not at all."""
    if label.line is value.line:
        return _on_one_line(label, value)
    tall = max(6.0, min(label.line.tall, value.line.tall))
    return max(
        _in_one_row(label.rect, value.rect, tall),
        _underneath(label.rect, value.rect, (label.line.tall + value.line.tall) / 2),  # labels of cells are small
        _above(label.rect, value.rect, tall),
        _reading_on(label, value, tall),
    )


def _on_one_line(label: Piece, value: Piece) -> float:
    gap = value.start - label.end
    if 0 <= gap <= _FAR:
        return 1.0 - 0.6 * gap / _FAR
    if 0 <= label.start - value.end <= 3:
        return 0.5
    return 0.0


def _in_one_row(label: Rect, value: Rect, tall: float) -> float:
    common = min(label.bottom, value.bottom) - max(label.top, value.top)
    gap = (value.left - label.right) / tall
    if common < 0.4 * min(label.height, value.height) or not 0 <= gap <= _WIDE:
        return 0.0
    return 0.95 - 0.02 * gap


def _underneath(label: Rect, value: Rect, tall: float) -> float:
    gap = (value.top - label.bottom) / tall
    aside = _aside(label, value) / tall
    if not -0.3 <= gap <= 2.7 or aside > 3:
        return 0.0
    return 0.85 - 0.12 * max(0.0, gap) - 0.08 * aside


def _above(label: Rect, value: Rect, tall: float) -> float:
    gap = (label.top - value.bottom) / tall
    aside = _aside(label, value) / tall
    if not -0.3 <= gap <= 2.8 or aside > 2:
        return 0.0
    return 0.72 - 0.12 * max(0.0, gap) - 0.08 * aside


def _aside(label: Rect, value: Rect) -> float:
    """Pixels between the two left edges, or less when one lies within the other's width."""
    if label.left <= value.left <= label.right:
        return 0.5 * (value.left - label.left) * 0.2
    if value.left <= label.left <= value.right:
        return 0.5 * (label.left - value.left) * 0.2
    return abs(label.left - value.left)


def _reading_on(label: Piece, value: Piece, tall: float) -> float:
    """A sentence that goes on in the next line."""
    gap = (value.line.rect.top - label.line.rect.bottom) / tall
    left = len(label.line.text) - label.end + value.start
    aligned = abs(value.line.rect.left - label.line.rect.left) < 6 * tall
    if not -0.5 <= gap <= 1.5 or left > _WRAP or not aligned:
        return 0.0
    return 0.8 - 0.4 * left / _WRAP


def best_label(labels: Sequence[tuple[Piece, float]], value: Piece) -> tuple[float, Piece | None]:
    """The label (each with its weight) that the value belongs to most closely, and how closely."""
    best: tuple[float, Piece | None] = (0.0, None)
    for label, weight in labels:
        score = weight * belongs(label, value)
        if score > best[0]:
            best = (score, label)
    return best
