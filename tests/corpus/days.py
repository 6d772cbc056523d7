"""The ways in which U.S. papers write a day."""

from collections.abc import Callable
from datetime import date

Style = Callable[[date], str]


def ordinal(day: int) -> str:
    """1st, 2nd, 3rd, 4th, 11th, 21st."""
    ending = "th" if 10 <= day % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")
    return f"{day}{ending}"


def long(day: date) -> str:
    """July 14, 2026."""
    return f"{day:%B} {day.day}, {day.year}"


def slashed(day: date) -> str:
    """07/14/2026."""
    return f"{day:%m/%d/%Y}"


def formal(day: date) -> str:
    """The 14th day of July, 2026."""
    return f"the {ordinal(day.day)} day of {day:%B}, {day.year}"


PRINTED: tuple[Style, ...] = (
    long,
    long,
    long,
    slashed,
    slashed,
    lambda day: f"{day.month}/{day.day}/{day.year}",
    lambda day: f"{day:%m-%d-%Y}",
    lambda day: f"{day.day} {day:%B} {day.year}",
    lambda day: f"{day:%b}. {day.day}, {day.year}" if day.month != 5 else long(day),
)
"""How letters and forms write a day."""

WRITTEN: tuple[Style, ...] = (
    lambda day: f"{day.month}/{day.day}/{day.year}",
    lambda day: f"{day.month}-{day.day}-{day.year}",
    lambda day: f"{day.month}/{day.day}/{day:%y}",
    long,
)
"""How people write a day beside their signature."""

STAMPED: tuple[Style, ...] = (
    lambda day: f"{day:%b} {day:%d} {day.year}".upper(),
    lambda day: f"{day:%b} {day:%d} {day.year}".upper(),
    lambda day: f"{day:%b} {day.day}, {day.year}".upper(),
    lambda day: f"{day:%d} {day:%b} {day.year}".upper(),
    lambda day: f"{day:%m/%d/%y}",
    slashed,
    lambda day: f"{day.month}-{day.day}-{day.year}",
    lambda day: f"{day:%Y-%m-%d}",
    long,
    lambda day: long(day).upper(),
)
"""How a rubber stamp or a filing system writes a day."""
