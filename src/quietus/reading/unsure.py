"""A second look at a stamp in colour whose date is not sure: together with the ink about it, and in gray."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from quietus.reading.engine import Recogniser
from quietus.reading.marks import Mark, read_mark
from quietus.reading.patches import Patch, colour_patches
from quietus.reading.pixels import Picture
from quietus.reading.tables import table
from quietus.reading.words import Rect, around

_ABOVE, _BESIDE = 0.35, 0.1  # inches between FILED and the rest of its stamp
_REACH = 1.5  # inches beside it in which its date may stand
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
    """The patch of ink that the mark is, with those of its colour about it: by its brightness, then by its colour.

    Of a mark without a date, what lies to either side of them is looked at last: a line of few signs is no patch.
    """
    near = mark.rect.grown(_BESIDE * dpi, _ABOVE * dpi)
    found = colour_patches(picture, dpi)
    own = max(found, key=lambda patch: patch.rect.overlap(mark.rect), default=None)
    if own is None or near.overlap(own.rect) <= 0:
        return
    alike = [patch for patch in found if patch.hue == own.hue]
    rect, leans = _joined(own, near, alike, dpi)
    yield replace(own, rect=rect, hue=-1)
    if rect != own.rect:
        yield replace(own, rect=rect)
    if mark.day is None:
        row = rect.grown(_REACH * dpi, _ABOVE * dpi)
        whole, leans = _joined(replace(own, rect=row, leans=leans), row, alike, dpi)
        yield replace(own, rect=whole, leans=leans)


def _joined(own: Patch, near: Rect, alike: Sequence[Patch], dpi: float) -> tuple[Rect, tuple[float, ...]]:
    """A patch with those that lie near, if that is no more than a stamp; and how the one with most letters leans."""
    parts = [patch for patch in alike if near.overlap(patch.rect) > 0]
    whole = around((own.rect, *(patch.rect for patch in parts)))
    leans = max((own, *parts), key=lambda patch: patch.letters).leans
    return whole if _fits(whole, dpi) else own.rect, leans


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
