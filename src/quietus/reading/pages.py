"""One page: its words with their places, and the office marks stamped on it in colour."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import cv2
import numpy as np

from quietus.model.reading import Box
from quietus.reading.bands import light_bands
from quietus.reading.engine import Layout, Recogniser
from quietus.reading.folio import Folio
from quietus.reading.marks import Mark, read_mark
from quietus.reading.patches import colour_patches
from quietus.reading.pixels import Gray, Picture, cut, even_light, gray_of, ink_of, resized
from quietus.reading.second_look import with_missed
from quietus.reading.sheet import sheet_in
from quietus.reading.upright import Stance, Way, stance_of
from quietus.reading.words import Line, Rect, Word, lines_of

_KEPT = 2  # pages whose pixels are kept for a second look
_LARGEST = 0.6  # inches: one or two letters are no larger than this
_SMALL, _MARGIN = 50.0, 0.15  # dpi at which margins are looked for; inches of them that are kept
_ENOUGH = 220.0  # dpi: print is not recognised better at more, only more slowly
_FAINT = 0.25  # words less sure than this are noise


@dataclass(frozen=True, slots=True)
class Page:
    """A page as looked at once.

    Attributes:
        number: 1-based page of the file.
        dpi: pixels per inch of the upright page, in which all rectangles are.
        way: the way back to the page as received.
        lines: its lines in reading order.
        method: `text-layer` or `ocr`.
        marks: stamps in colour.
        buttons: tick boxes that are form fields, with their state.
        faint: words with digits that are read too unsurely to count, but may still have to be hidden.
    """

    number: int
    dpi: float
    way: Way
    lines: tuple[Line, ...]
    method: str
    marks: tuple[Mark, ...] = ()
    buttons: tuple[tuple[Rect, bool], ...] = ()
    faint: tuple[Word, ...] = ()

    @property
    def text(self) -> str:
        """The page's text, one line a line."""
        return "\n".join(line.text for line in self.lines)

    def box(self, rect: Rect) -> Box:
        """`rect` on the page as received, in fractions."""
        return self.way.back(rect)


class Book:
    """An opened file with its recogniser; hands out upright pictures, a few kept at a time."""

    def __init__(self, folio: Folio, engine: Recogniser) -> None:
        self.folio, self.engine = folio, engine
        self._upright = lru_cache(maxsize=_KEPT)(self._make_upright)
        self._gray = lru_cache(maxsize=_KEPT)(self._make_gray)

    def close(self) -> None:
        """Let go of the pictures. Book and caches hold each other: left alone, they would stay for many papers more."""
        self._upright.cache_clear()
        self._gray.cache_clear()

    def upright(self, number: int) -> tuple[Picture, float, Way]:
        """The page's picture made upright, its dpi, and the way back."""
        return self._upright(number)

    def shown(self, number: int) -> tuple[Picture, float, Way]:
        """The page for a person to look at, as `upright`, but a photograph is only turned and straightened."""
        raster = self.folio.raster(number)
        way = _way(self.upright(number)[2].stance, raster.picture)
        return way.upright(raster.picture), raster.dpi, way

    def gray(self, page: Page) -> Gray:
        """The page's picture in gray, upright and evenly lit."""
        return self._gray(page.number)

    def read(self, number: int) -> Page:
        """Look at a page: from its own text when it has a real one, else by recognition."""
        typed = self.folio.typed(number)
        return self._typed_page(number) if typed else self._recognised_page(number)

    def _make_upright(self, number: int) -> tuple[Picture, float, Way]:
        raster = self.folio.raster(number)
        picture, dpi = raster.picture, raster.dpi
        if self.folio.typed(number):
            way = _way(Stance(0, 0.0), picture)
            return way.upright(picture), dpi, way
        sheet = sheet_in(picture)
        if sheet is not None:
            picture, dpi = sheet.flat(picture), sheet.dpi
        way = _way(stance_of(picture, dpi, self.engine), picture)
        return way.upright(picture), dpi, replace(way, sheet=sheet)

    def _make_gray(self, number: int) -> Gray:
        picture, dpi, _ = self._upright(number)
        return even_light(gray_of(picture), dpi)

    def _typed_page(self, number: int) -> Page:
        inches = self.folio.inches(number)
        dpi = 200.0
        wide, high = round(inches[0] * dpi), round(inches[1] * dpi)
        words = [
            Word(t.text, Rect(t.left * wide, t.top * high, t.right * wide, t.bottom * high), 0.995)
            for t in self.folio.typed(number)
        ]
        return Page(
            number, dpi, Way(Stance(0, 0.0), wide, high), lines_of(words), "text-layer", (), self._fields(number)
        )

    def _recognised_page(self, number: int) -> Page:
        picture, dpi, way = self._upright(number)
        seen = [read_mark(picture, patch, dpi, self.engine) for patch in colour_patches(picture, dpi)]
        marks = tuple(mark for mark in seen if mark is not None)
        gray = self._print_of(number, marks)
        words = [word for word in _page_words(gray, dpi, self.engine) if _is_text(word, dpi)]
        words = with_missed(gray, dpi, words, self.engine)
        words = [word for word in words if _is_text(word, dpi)]
        kept = [word for word in words if word.sure >= _FAINT]
        faint = tuple(word for word in words if word.sure < _FAINT and any(sign.isdigit() for sign in word.text))
        return Page(number, dpi, way, lines_of(kept), "ocr", marks, self._fields(number), faint)

    def _print_of(self, number: int, marks: Sequence[Mark]) -> Gray:
        """The page in gray as its print is recognised best: without stamps in colour and dark bands."""
        picture, dpi, _ = self._upright(number)
        plain = gray_of(picture)
        freed = light_bands(without_stamps(picture, plain, marks), dpi)
        return self._gray(number) if freed is plain else even_light(freed, dpi)

    def _fields(self, number: int) -> tuple[tuple[Rect, bool], ...]:
        buttons = self.folio.buttons(number)
        if not buttons:
            return ()
        wide, high = (round(inch * 200) for inch in self.folio.inches(number))
        return tuple((Rect(b.left * wide, b.top * high, b.right * wide, b.bottom * high), b.ticked) for b in buttons)


def _page_words(gray: Gray, dpi: float, engine: Recogniser) -> list[Word]:
    """The words of a page. Its empty margins are left out, and it has no more pixels than letters need.

    What is read unsurely so is looked at again with all its pixels.
    """
    small = ink_of(resized(gray, _SMALL / dpi))
    left, top, wide, high = cv2.boundingRect(small)
    if not wide:
        return []
    zone = Rect(*(edge * dpi / _SMALL for edge in (left, top, left + wide, top + high)))
    zone = zone.grown(_MARGIN * dpi, _MARGIN * dpi)
    scale = min(1.0, _ENOUGH / dpi)
    words = engine.words(resized(np.ascontiguousarray(cut(gray, zone)), scale), dpi * scale, Layout.PAGE)
    x, y = max(0.0, float(int(zone.left))), max(0.0, float(int(zone.top)))
    return [
        Word(w.text, Rect(*(edge / scale + off for edge, off in zip(w.rect, (x, y, x, y), strict=True))), w.sure)
        for w in words
    ]


def _way(stance: Stance, picture: Picture) -> Way:
    high, wide = picture.shape[:2]
    return Way(stance, high, wide) if stance.turn in {90, 270} else Way(stance, wide, high)


def _is_text(word: Word, dpi: float) -> bool:
    """False for what is left of form lines, a stroke or a flat smear, and for a letter seen in a whole picture."""
    if len(word.text) < 3 and max(word.rect.width, word.rect.height) > _LARGEST * dpi:
        return False
    strokes = set(word.text) <= set("|_-\u2014\u2013=~.'`\"\u2018\u2019“”:;,")
    return not (strokes and (word.rect.width < 0.03 * dpi or word.rect.height < 0.03 * dpi or word.sure < 0.6))


def without_stamps(picture: Picture, gray: Gray, marks: Sequence[Mark]) -> Gray:
    """`gray` with the colour of stamps faded out so that the print under them can be read; itself without any."""
    if not marks or picture.ndim == 2:
        return gray
    gray = gray.copy()
    for mark in marks:
        colour = cut(picture, mark.rect).astype(np.int16)
        strongest = colour.max(axis=2)
        faded = strongest + (strongest - colour.min(axis=2))
        cut(gray, mark.rect)[:] = np.clip(faded, 0, 255).astype(np.uint8)
    return gray
