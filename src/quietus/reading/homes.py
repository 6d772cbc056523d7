"""Home addresses: street lines, with town and ZIP code, that stand with a person rather than an office or a company.

An address that nothing explains is taken for a home: hiding one too many shows less, never more.
"""

import re
from collections.abc import Sequence
from functools import cache

from quietus.model.reading import PrivateSort
from quietus.reading.pieces import Piece, pieces
from quietus.reading.tables import place_rows, table
from quietus.reading.words import Line, Rect, Word

_NUMBER = r"(?<![\d/$.,-])[\dOlISB]{0,5}\d[\dOlISB]{0,4}[A-Za-z]?(?:-\d{1,4})?"
_NAME = r"(?:(?:[NSEW]|[NS][EW])\.?\s+)?(?:[A-Z0-9][\w'\u2019.\-]*,?\s+){1,4}?"
_UNIT = r"(?:,?\s*(?:#|Apt\.?|Apartment|Unit|Suite|Ste\.?|No\.?)\s*[\w\-]{1,6})?"
_BOX = r"(?:P\.?\s?[O0]\.?\s?Box|PMB|R\.?R\.?|Rural Route|HCR?)\s+[\dOlISB]{1,7}"
_ZIP = r"[\dOlISB]{5}(?:\s?-\s?\d{4})?\b"
_STATE = r"(?:[A-Z][A-Za-z.]{1,3}|[A-Z][a-z]+(?: [A-Z][a-z]+)?)"
_TOWN = re.compile(rf"[A-Z][A-Za-z.'\u2019\- ]{{1,30}},?\s+{_STATE},?\s+{_ZIP}")
_LEAD = re.compile(r"^\W{0,3}[\dOlISB]{1,6}[A-Za-z]?\s+(?:[NSEW]{1,2}\.?\s+)?[A-Z]")
_LOOSE = 30  # characters of a unit, a second name or a stray mark between street and town
_UNDER = 2  # lines under the street in which its town stands: a caption may come between
_ABOVE = 2  # lines over the street in which its owner stands
_STEP = 1.7  # letter heights between the lines of one address
_FORM_STEP = 3.5  # the same on a form with a rule to write on


def home_addresses(pages: Sequence[Sequence[Line]]) -> list[list[tuple[PrivateSort, tuple[Word, ...]]]]:
    """The home addresses on each page, as the words that show them.

    An address that is a home in one place of the paper is one wherever else it stands on it.
    """
    streets = [_all_streets(lines) for lines in pages]
    homes = {
        _key(street) for lines, found in zip(pages, streets, strict=True) for street in found if _is_home(street, lines)
    }
    return [
        [(PrivateSort.HOME_ADDRESS, _whole(street, lines)) for street in found if _key(street) in homes]
        for lines, found in zip(pages, streets, strict=True)
    ]


def _key(street: Piece) -> str:
    """The number and the first word of the name: the same house, however the rest was written or read."""
    words = re.findall(r"[a-z0-9]+", street.text.lower())
    named = [word for word in words[1:] if len(word) > 2]
    return " ".join([words[0], *named[:1]]) if named else street.text.lower()


def _all_streets(lines: Sequence[Line]) -> list[Piece]:
    return [street for line in lines for street in _streets(line, _below(lines, line))]


def _streets(line: Line, below: Line | None) -> list[Piece]:
    """Streets by their last word, post boxes, and a line that begins with a number right over town and ZIP code."""
    found = list(pieces([line], _street()))
    if not found and below is not None and _LEAD.match(line.text) and len(line.words) <= 7 and _TOWN.match(below.text):
        found = [Piece(line, 0, len(line.text))]
    return found


@cache
def _street() -> re.Pattern[str]:
    ends = "|".join(table("private.toml")["addresses"]["street"])
    ending = rf"(?i:{ends})\b\.?(?:\s+(?:[NSEW]|[NS][EW])\b\.?)?"
    return re.compile(rf"{_NUMBER}\s+{_NAME}{ending}{_UNIT}|{_BOX}")


def _whole(street: Piece, lines: Sequence[Line]) -> tuple[Word, ...]:
    """The street with its town and ZIP code: on the same line, the next, or after a caption."""
    line = street.line
    town = _TOWN.search(line.text, street.end)
    if town and town.start() - street.end <= _LOOSE:
        return line.part(street.start, town.end())
    rest = len(line.text) - street.end
    words = line.part(street.start, len(line.text) if rest <= _LOOSE else street.end)
    below: Line | None = line
    for _ in range(_UNDER):
        below = _below(lines, below, _FORM_STEP) if below is not None else None
        lower = _TOWN.search(below.text) if below is not None else None
        if below is not None and lower and lower.start() <= _LOOSE:
            return (*words, *below.part(0, lower.end()))
    return words


def _is_home(street: Piece, lines: Sequence[Line]) -> bool:
    """Whose address it is say the nearest words: before it on its line, in the lines above, beside it, or beneath."""
    before, below = street.line.text[: street.start], _below(lines, street.line)
    caption = [below.text] if below is not None else []
    for words in (before, *_over(street.line, lines), *_beside(street, lines), *caption):
        person, office = _pattern("person").search(words), _pattern("office").search(words)
        if person:
            return office is None or person.start() < office.start()
        if office or _placed(words):
            return False
    return True


def _over(line: Line, lines: Sequence[Line]) -> list[str]:
    """The lines right above, nearest first."""
    found = []
    for _ in range(_ABOVE):
        over = [other for other in lines if other.rect.top < line.rect.top and _follows(other.rect, line)]
        if not over:
            break
        line = max(over, key=lambda other: other.rect.top)
        found.append(line.text)
    return found


def _placed(words: str) -> bool:
    """True for a line that is a state's own, such as `State of` and its name."""
    low = words.lower()
    return any(f"state of {row.name.lower()}" in low for row in place_rows().values())


def _beside(street: Piece, lines: Sequence[Line]) -> list[str]:
    """What stands in the same row to the left, nearest first: the label of a form."""
    here = street.rect
    row = [
        line for line in lines
        if line is not street.line and line.rect.right <= here.left
        and min(line.rect.bottom, here.bottom) - max(line.rect.top, here.top) > 0.4 * min(line.rect.height, here.height)
    ]  # fmt: skip
    return [line.text for line in sorted(row, key=lambda line: -line.rect.right)]


def _below(lines: Sequence[Line], line: Line, step: float = _STEP) -> Line | None:
    under = [other for other in lines if other.rect.top > line.rect.top and _follows(line.rect, other, step)]
    return min(under, key=lambda other: other.rect.top, default=None)


def _follows(rect: Rect, lower: Line, step: float = _STEP) -> bool:
    gap = lower.rect.top - rect.bottom
    common = min(rect.right, lower.rect.right) - max(rect.left, lower.rect.left)
    return -0.5 * lower.tall <= gap <= step * lower.tall and common > 0


@cache
def _pattern(key: str) -> re.Pattern[str]:
    return re.compile("|".join(table("private.toml")["addresses"][key]), re.IGNORECASE)
