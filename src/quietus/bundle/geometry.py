"""Where a page of a paper lands on a page of the proof. Points; origin at the bottom left, as in PDF."""

from dataclasses import dataclass
from typing import NamedTuple

LETTER = (612.0, 792.0)
SIDE, TOP, BOTTOM = 36.0, 58.0, 54.0
"""Margins of an exhibit page. The bands above and below hold the stamp line and never meet the paper's page."""


class Matrix(NamedTuple):
    """A PDF transformation: x' = a x + c y + e, y' = b x + d y + f (ISO 32000-1, 8.3.3)."""

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    def then(self, later: "Matrix") -> "Matrix":
        """This transformation, followed by `later`."""
        return Matrix(
            self.a * later.a + self.b * later.c,
            self.a * later.b + self.b * later.d,
            self.c * later.a + self.d * later.c,
            self.c * later.b + self.d * later.d,
            self.e * later.a + self.f * later.c + later.e,
            self.e * later.b + self.f * later.d + later.f,
        )

    def __str__(self) -> str:
        """As operands of `cm`, without exponents and to a millionth."""
        return " ".join(f"{number:.6f}".rstrip("0").rstrip(".") for number in self)


@dataclass(frozen=True, slots=True)
class Leaf:
    """A page as it lies in its file.

    Attributes:
        box: left, bottom, right, top of what is shown, in the page's own units.
        unit: matrix that takes the box to a rectangle of natural size in points at the origin, upright in the file's
            own terms (its Rotate entry or turn mark obeyed).
        wide: natural width in points after that.
        high: natural height.
    """

    box: tuple[float, float, float, float]
    unit: Matrix
    wide: float
    high: float


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a leaf goes: the page's orientation, the rectangle it fills, and the matrix that takes it there."""

    landscape: bool
    left: float
    bottom: float
    wide: float
    high: float
    matrix: Matrix


def quarter_turn(degrees: int, wide: float, high: float) -> Matrix:
    """Turn a rectangle that stands on the origin clockwise by 0, 90, 180 or 270 degrees, and put it back there."""
    return {
        0: Matrix(1, 0, 0, 1, 0, 0),
        90: Matrix(0, -1, 1, 0, 0, wide),
        180: Matrix(-1, 0, 0, -1, wide, high),
        270: Matrix(0, 1, -1, 0, high, 0),
    }[degrees % 360]


def frame(leaf: Leaf, turn: int) -> Frame:
    """Fit a leaf, turned clockwise by `turn`, into the frame of an exhibit page.

    It is made smaller when it has to be and never larger; it lies in the middle, at the top.
    """
    sideways = turn % 180 == 90
    wide, high = (leaf.high, leaf.wide) if sideways else (leaf.wide, leaf.high)
    landscape = wide > high
    page_wide, page_high = LETTER[::-1] if landscape else LETTER
    room_wide, room_high = page_wide - 2 * SIDE, page_high - TOP - BOTTOM
    scale = min(room_wide / wide, room_high / high, 1.0)
    shown_wide, shown_high = wide * scale, high * scale
    left, bottom = (page_wide - shown_wide) / 2, page_high - TOP - shown_high
    matrix = leaf.unit.then(quarter_turn(turn, leaf.wide, leaf.high)).then(Matrix(scale, 0, 0, scale, left, bottom))
    return Frame(landscape, left, bottom, shown_wide, shown_high, matrix)
