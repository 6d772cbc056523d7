"""A file opened: how many pages it has, each page's picture, and the text that is really in it.

Everything is checked against the limits before it is decoded, and only one page is decoded at a time.
"""

from dataclasses import dataclass
from typing import NamedTuple, Protocol

from quietus.reading.pixels import Picture

SENSIBLE = (6.0, 17.5)  # inches: the longest side of a page lies between a postcard's and a ledger sheet's
LETTER = 11.0  # inches: the longest side assumed when the file names no sensible size


@dataclass(frozen=True, slots=True)
class Raster:
    """A page as received, in pixels.

    Attributes:
        picture: gray or blue-green-red.
        dpi: pixels per inch, the same across and down.
    """

    picture: Picture
    dpi: float


class Typed(NamedTuple):
    """A word of a PDF's own text; edges in fractions of the page as received."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


class Inked(NamedTuple):
    """A part of a page that shows more than text and rules; edges in fractions of the page as received."""

    left: float
    top: float
    right: float
    bottom: float


WHOLE = Inked(0.0, 0.0, 1.0, 1.0)
"""All of a page."""


class Button(NamedTuple):
    """A tick box that is a form field; edges in fractions of the page as received."""

    ticked: bool
    left: float
    top: float
    right: float
    bottom: float


class Folio(Protocol):
    """An opened file. Pages are numbered from 1."""

    @property
    def pages(self) -> int:
        """Page count, within the limit."""
        ...

    def inches(self, page: int) -> tuple[float, float]:
        """Width and height of a page."""
        ...

    def raster(self, page: int) -> Raster:
        """The page's picture. Raises Unreadable when it has too many pixels or cannot be decoded."""
        ...

    def typed(self, page: int) -> tuple[Typed, ...]:
        """The words of the page's own text; empty for a scan, also for one with text hidden behind the picture."""
        ...

    def buttons(self, page: int) -> tuple[Button, ...]:
        """The page's tick boxes that are form fields."""
        ...

    def inks(self, page: int) -> tuple[Inked, ...]:
        """Where on the page more than its own text and rules shows: only there can a stamp be."""
        ...

    def close(self) -> None:
        """Let go of the file."""
        ...


def sensible_dpi(pixels: int, dpi: float) -> float:
    """`dpi` if it gives a page whose longest side (`pixels`) has a sensible length, else the dpi of a letter page."""
    low, high = SENSIBLE
    return dpi if dpi > 0 and low <= pixels / dpi <= high else pixels / LETTER
