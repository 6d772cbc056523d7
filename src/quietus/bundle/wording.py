"""How dates, methods, marks and forms of authority are put into words on the page."""

import re
from collections.abc import Mapping
from datetime import date, datetime

from quietus.model.entity import COMPANY, FEDERAL
from quietus.model.findings import Mark
from quietus.model.kinds import Authority
from quietus.model.reading import Value

_MONTHS = (  # not strftime: that one speaks the machine's language
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

_SCOPES = {FEDERAL: "Federal", COMPANY: "The company itself"}

AUTHORITY = {
    Authority.PLAIN: "A copy without any mark of an office.",
    Authority.STAMPED: "A copy that shows the office's stamp or file mark. It is not a copy attested by the office.",
    Authority.CERTIFIED: "A copy that carries the office's own attestation.",
    Authority.ELECTRONIC: "A certificate that the office issued electronically.",
}
"""What each form of authority means (Federal Rules of Evidence 902(1), (2) and (4)), in words that claim no more."""

MARKS = {
    Mark.PROVEN: "on file, proven",
    Mark.WAIVED: "does not apply, by recorded decision",
    Mark.REVIEW: "on file, not confirmed yet",
    Mark.FAULT: "on file, does not prove it",
    Mark.MISSING: "missing",
    Mark.ADVISED: "advisable, not on file",
    Mark.NOT_EXPECTED: "not called for",
}

_METHODS = (
    ("person:", "confirmed by a person"),
    ("text-layer", "read from the file's own text"),
    ("stamp", "read from the office's stamp"),
    ("pixels", "seen on the page image"),
    ("ocr", "read by text recognition"),
)


def long_date(day: date) -> str:
    """A date as a U.S. reader expects it, such as July 14, 2026."""
    return f"{_MONTHS[day.month - 1]} {day.day}, {day.year}"


def short_date(day: date) -> str:
    """A date for a narrow column, such as Jul 14, 2026."""
    return f"{_MONTHS[day.month - 1][:3]} {day.day}, {day.year}"


def month(day: date) -> str:
    """A month with its year, such as Jul 2026."""
    return f"{_MONTHS[day.month - 1][:3]} {day.year}"


def moment(when: datetime) -> str:
    """A moment to the minute with its zone, such as November 20, 2026, 17:05 UTC."""
    return f"{long_date(when.date())}, {when:%H:%M} {when.tzname() or 'local time'}"


def place(scope: str, places: Mapping[str, str]) -> str:
    """The name of a jurisdiction, or what stands in its place for the federal level and the company itself."""
    return places.get(scope) or _SCOPES.get(scope, scope)


def how_read(value: Value) -> str:
    """How a value was come by: page and method, or the person who confirmed it."""
    return _by(value.method) + (f", page {value.page}" if value.page else "")


def _by(method: str) -> str:
    if method.startswith("person:"):
        return f"confirmed by {plain_line(method.removeprefix('person:').split(';')[0])}"
    return next((words for start, words in _METHODS if method.startswith(start)), "read from the paper")


def size(number: int) -> str:
    """A file size, such as 1,204,331 bytes."""
    return f"{number:,} bytes"


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun, such as 1 page or 3 pages."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def listed(words: list[str]) -> str:
    """Words as a list in a sentence: a, b and c."""
    return " and ".join(", ".join(words).rsplit(", ", 1))


def letter(number: int) -> str:
    """The letters of exhibit `number`, counted from 0: A to Z, then AA, AB and so on."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def plain_line(text: str) -> str:
    """Text on one line, without control characters and without those that reorder what follows them."""
    return re.sub(r"[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]+", " ", text).strip()
