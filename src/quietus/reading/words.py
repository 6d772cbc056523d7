"""Words with their place on a page, and the lines they make."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple


class Rect(NamedTuple):
    """A rectangle in pixels of the upright page; left and top are inside, right and bottom outside."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Pixels."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Pixels."""
        return self.bottom - self.top

    @property
    def middle(self) -> tuple[float, float]:
        """Centre, x and y."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def grown(self, x: float, y: float) -> "Rect":
        """The rectangle with `x` pixels more on the left and right and `y` more above and below."""
        return Rect(self.left - x, self.top - y, self.right + x, self.bottom + y)

    def overlap(self, other: "Rect") -> float:
        """Pixels of area shared."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(0.0, wide) * max(0.0, high)

    def holds(self, other: "Rect", share: float = 0.5) -> bool:
        """True when more than `share` of the other's area lies inside."""
        return self.overlap(other) > share * max(1.0, other.width * other.height)


def around(rects: Iterable[Rect]) -> Rect:
    """The smallest rectangle that holds all of `rects` (at least one)."""
    lefts, tops, rights, bottoms = zip(*rects, strict=True)
    return Rect(min(lefts), min(tops), max(rights), max(bottoms))


@dataclass(frozen=True, slots=True)
class Word:
    """One word as recognised.

    Attributes:
        text: the characters.
        rect: where, in pixels of the upright page.
        sure: the recogniser's confidence, 0 to 1.
    """

    text: str
    rect: Rect
    sure: float


@dataclass(frozen=True)
class Line:
    """Words that stand side by side, left to right, with no wide gap between them."""

    words: tuple[Word, ...]

    @cached_property
    def text(self) -> str:
        """The words with one space between them."""
        return " ".join(word.text for word in self.words)

    @cached_property
    def rect(self) -> Rect:
        """Around all the words."""
        return around(word.rect for word in self.words)

    @cached_property
    def tall(self) -> float:
        """Letter height in pixels: the middle one of the words' heights."""
        heights = sorted(word.rect.height for word in self.words)
        return heights[len(heights) // 2]

    def part(self, start: int, end: int) -> tuple[Word, ...]:
        """The words that characters `start` to `end` of `text` touch."""
        found, at = [], 0
        for word in self.words:
            if at < end and at + len(word.text) > start:
                found.append(word)
            at += len(word.text) + 1
        return tuple(found)


def lines_of(words: Sequence[Word]) -> tuple[Line, ...]:
    """Lines in reading order: rows from the top down, and within a row from left to right.

    A row is split where the gap is wider than about two and a half letter heights: columns and form cells stay apart.
    """
    rows: list[list[Word]] = []
    for word in sorted(words, key=lambda w: w.rect.left):
        row = _row_for(word, rows)
        if row is None:
            rows.append([word])
        else:
            row.append(word)
    rows.sort(key=_row_top)
    return tuple(line for row in rows for line in _split(row))


def _row_top(row: list[Word]) -> float:
    tops = sorted((word.rect.top + word.rect.bottom) / 2 for word in row)
    return tops[len(tops) // 2]


def _row_for(word: Word, rows: list[list[Word]]) -> list[Word] | None:
    best: list[Word] | None = None
    most = 0.45  # share of the lower of the two that must be common in height
    _, top, _, bottom = word.rect
    for row in rows:
        _, upper, _, lower = row[-1].rect
        if upper >= bottom or lower <= top:
            continue
        share = (min(lower, bottom) - max(upper, top)) / max(1.0, min(lower - upper, bottom - top))
        if share > most:
            best, most = row, share
    return best


def _split(row: list[Word]) -> list[Line]:
    heights = sorted(word.rect.height for word in row)
    wide = 2.2 * max(8.0, heights[len(heights) // 2])
    lines: list[list[Word]] = [[row[0]]]
    for word in row[1:]:
        if word.rect.left - lines[-1][-1].rect.right > wide:
            lines.append([word])
        else:
            lines[-1].append(word)
    return [Line(tuple(words)) for words in lines]


_APOSTROPHE = re.compile("['\u2018\u2019`]")
_NOT_PLAIN = re.compile(r"[^a-z0-9&]+")


def plain(text: str) -> str:
    """Lower case, letters, digits and `&` only, single spaces: the form in which phrases are compared."""
    return _NOT_PLAIN.sub(" ", _APOSTROPHE.sub("", text.lower())).strip()
