"""One paper as its page shows it: every value with where it stands, how it was read, and what was read before."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from quietus.desk.geometry import framed, upright
from quietus.desk.words import FIELD_WORDS, SORTS, read_words, with_field_words
from quietus.model.paper import Paper
from quietus.model.reading import FIELDS, Box, PageView, PrivateSort, Reading, Value

_MARKED = "a place marked by hand: "  # how the journal begins to tell of one

Readings = Sequence[tuple[datetime, str, Reading]]


@dataclass(frozen=True, slots=True)
class FieldView:
    """One field.

    Attributes:
        name: of the field.
        number: what marks its place on the page's picture; 0 when it stands nowhere.
        value: what counts now.
        earlier: what former readings said, oldest first, with when and by whom.
    """

    name: str
    number: int
    value: Value
    earlier: tuple[tuple[datetime, str, Value], ...]


@dataclass(frozen=True, slots=True)
class Place:
    """A box on the upright picture of a page, for all the fields read there.

    Attributes:
        box: in fractions of the picture.
        fields: the fields, in order.
        doubt: True when one of them is in doubt.
    """

    box: Box
    fields: tuple[FieldView, ...]
    doubt: bool


@dataclass(frozen=True, slots=True)
class Change:
    """What one later reading changed.

    Attributes:
        at: when.
        who: by whom.
        why: what the journal says of it.
        values: field, value before and value after, in words; the two are the same when it was confirmed.
    """

    at: datetime
    who: str
    why: str
    values: tuple[tuple[str, str, str], ...]


def field_views(paper: Paper, readings: Readings) -> tuple[FieldView, ...]:
    """Every field of the reading that counts, in FIELDS order."""
    views, number = [], 0
    for name in FIELDS:
        value = paper.reading[name]
        placed = value.box is not None and value.page in {page.number for page in paper.reading.pages}
        number += placed
        views.append(FieldView(name, number if placed else 0, value, _earlier(name, readings)))
    return tuple(views)


def _earlier(name: str, readings: Readings) -> tuple[tuple[datetime, str, Value], ...]:
    """The former values of a field, without those that the next reading only repeated."""
    told = [(at, who, reading[name]) for at, who, reading in readings]
    return tuple(old for old, new in pairwise(told) if old[2] != new[2])


def places(fields: Sequence[FieldView], page: PageView) -> tuple[Place, ...]:
    """The boxes to draw on the upright picture of a page."""
    grouped: dict[Box, list[FieldView]] = {}
    for field in fields:
        if field.number and field.value.page == page.number and field.value.box:
            grouped.setdefault(field.value.box, []).append(field)
    return tuple(
        Place(framed(upright(box, page.turn, page.skew)), tuple(here), any(field.value.review for field in here))
        for box, here in grouped.items()
    )


def changes(readings: Readings, whys: dict[int, str]) -> tuple[Change, ...]:
    """What every reading after the first changed, newest first.

    Args:
        readings: every reading, oldest first.
        whys: what the journal says of each, by the reading's number.
    """
    told = []
    for number, ((_, _, before), (at, who, after)) in enumerate(pairwise(readings), start=2):
        values = tuple(
            (FIELD_WORDS[name], read_words(name, before[name]), read_words(name, after[name]))
            for name in FIELDS
            if before[name] != after[name]
        )
        told.append(Change(at, who, _why(whys.get(number, "")), values))
    return tuple(reversed(told))


def _why(told: str) -> str:
    """What the journal says, with fields named as the pages name them; a person's own words stay as they are."""
    sort, _, place = told.removeprefix(_MARKED).partition(" ")
    if told.startswith(_MARKED) and sort in set(PrivateSort):
        return f"{_MARKED}{SORTS[PrivateSort(sort)]} {place}"
    return with_field_words(told) if told.startswith(("confirmed ", "corrected ")) else told
