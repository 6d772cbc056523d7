"""A second look at a stamp in colour whose date is not sure: together with the ink about it, and in gray."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from quietus.reading.engine import Recogniser
from quietus.reading.marks import Mark, read_mark
from quietus.reading.patches import Patch, colour_patches
from quietus.reading.pixels import Picture
from quietus.reading.tables import table
from quietus.reading.words import Rect, around

_ABOVE, _BESIDE = 0.35, 0.1  # inches between FILED and the rest of its stamp
_LARGEST = 4.8, 3.4  # inches: what lies together is no one stamp if it is wider or higher
_ASIDE = 0.79  # how sure a date is at the most that was read without its head
_AT_ODDS = 0.6  # how sure a date is that another look reads otherwise


def seen_again(mark: Mark, picture: Picture, dpi: float, engine: Recogniser, taken: frozenset[date]) -> Mark:
    """The mark, its date surer when it is read alike once more, less sure when it is not; unchanged if it was sure."""
    for patch in _wholes(mark, picture, dpi):
        if mark.sort != "filed" or (mark.day and mark.sure >= table("bars.toml")["filing_date"]):
            return mark
        mark = _combined(mark, read_mark(picture, patch, dpi, engine, taken=taken, stubborn=True))
    return mark


def _wholes(mark: Mark, picture: Picture, dpi: float) -> Iterator[Patch]:
    """The patch of ink that the mark is, with those of its colour about it: by its brightness, then by its colour."""
    near = mark.rect.grown(_BESIDE * dpi, _ABOVE * dpi)
    parts = [patch for patch in colour_patches(picture, dpi) if near.overlap(patch.rect) > 0]
    own = max(parts, key=lambda patch: patch.rect.overlap(mark.rect), default=None)
    if own is None:
        return
    alike = [patch.rect for patch in parts if patch.hue == own.hue]
    whole = around(alike)
    rect = whole if _fits(whole, dpi) else own.rect
    yield replace(own, rect=rect, hue=-1)
    if rect != own.rect:
        yield replace(own, rect=rect)


def _fits(rect: Rect, dpi: float) -> bool:
    return rect.width <= _LARGEST[0] * dpi and rect.height <= _LARGEST[1] * dpi


def _combined(mark: Mark, again: Mark | None) -> Mark:
    if again is None or again.day is None or again.sort not in {"filed", "unclear"}:
        return mark
    if mark.day is None:
        sure = again.sure if again.sort == "filed" else min(again.sure, _ASIDE)
        return replace(mark, day=again.day, sure=sure, rect=around((mark.rect, again.rect)), text=again.text)
    if mark.day != again.day:
        return replace(mark, sure=min(mark.sure, _AT_ODDS))
    return replace(mark, sure=1 - (1 - mark.sure) * (1 - again.sure))
