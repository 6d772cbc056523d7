"""When what happened, as the papers show it: a row of dates, and where each stands on a drawn line of time. Pure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from quietus.bundle import wording
from quietus.bundle.exhibits import Exhibit
from quietus.bundle.selection import Included
from quietus.model.entity import COMPANY, FEDERAL
from quietus.model.reading import Reading

_APART = 0.036
"""Of the drawn line's length: marks nearer to each other than that would touch, so the later one moves aside."""
_MOST_TICKS = 9


@dataclass(frozen=True, slots=True)
class Event:
    """One date on one paper.

    Attributes:
        day: the date.
        scope: USPS code, FEDERAL or COMPANY.
        says: what happened.
        letter: of the exhibit that shows it; empty for a paper told of in a line.
        until: True for the end of a clearance's validity.
    """

    day: date
    scope: str
    says: str
    letter: str
    until: bool = False


def events_of(exhibits: Sequence[Exhibit], told: Sequence[Included]) -> tuple[Event, ...]:
    """Every date of the papers that go out or are told of, oldest first."""
    pairs = [(exhibit.item, exhibit.letter) for exhibit in exhibits] + [(item, "") for item in told]
    found = []
    for item, letter in pairs:
        title, scope = wording.plain_line(item.expected.title), item.expected.scope
        day, verb = _happened(item)
        if day:
            found.append(Event(day, scope, f"{title}: {verb}", letter))
        until = sure_day(item.paper.reading, "valid_until")
        if until:
            found.append(Event(until, scope, f"{title}: valid until this day", letter, until=True))
    return tuple(sorted(found, key=lambda event: (event.day, event.until)))


def _happened(item: Included) -> tuple[date | None, str]:
    filed = sure_day(item.paper.reading, "filing_date")
    if filed:
        return filed, "filed" if item.expected.office_mark or item.expected.kind.ends_registration else "dated"
    return sure_day(item.paper.reading, "signed_date"), "signed"


def sure_day(reading: Reading, field: str) -> date | None:
    """A date that nobody has to look at any more, or None."""
    return None if reading[field].review else reading.day(field)


def timeline(events: Sequence[Event], places: Mapping[str, str]) -> dict[str, Any]:
    """The drawn line and the list beside it, ready for typesetting. Places on the line are fractions of its length."""
    if not events:
        return {"lanes": [], "ticks": [], "rows": []}
    first, last = _bounds(events)
    span = (last - first).days
    scopes = sorted({event.scope for event in events}, key=lambda scope: _rank(scope, events))
    return {
        "lanes": [_lane(scope, events, places, first, span) for scope in scopes],
        "ticks": [{"at": (day - first).days / span, "says": says} for day, says in _ticks(first, last)],
        "rows": [_row(event, places) for event in events],
    }


def _rank(scope: str, events: Sequence[Event]) -> tuple[int, int]:
    """The company itself first, then jurisdictions by their first date, the federal level last."""
    order = {COMPANY: 0, FEDERAL: 2}.get(scope, 1)
    return order, next(number for number, event in enumerate(events) if event.scope == scope)


def _bounds(events: Sequence[Event]) -> tuple[date, date]:
    """The first of the month of the first date, and the first of the month after the last."""
    first, last = events[0].day.replace(day=1), events[-1].day
    return first, (last.replace(day=1) + timedelta(days=32)).replace(day=1)


def _lane(scope: str, events: Sequence[Event], places: Mapping[str, str], first: date, span: int) -> dict[str, Any]:
    marks: list[dict[str, Any]] = []
    ends: list[float] = []  # where the last mark on each level stands
    for event in (event for event in events if event.scope == scope):
        at = (event.day - first).days / span
        level = next((number for number, end in enumerate(ends) if at - end >= _APART), len(ends))
        ends[level : level + 1] = [at]
        marks.append({"at": at, "level": level, "letter": event.letter, "until": event.until})
    return {"place": wording.place(scope, places), "marks": marks, "levels": len(ends)}


def _ticks(first: date, last: date) -> list[tuple[date, str]]:
    """Months, or years when there are too many months to name, each with its name where it fits."""
    months = [date(year, month, 1) for year in range(first.year, last.year + 1) for month in range(1, 13)]
    inside = [day for day in months if first <= day <= last]
    step = next((step for step in (1, 2, 3, 6, 12, 24, 60) if (len(inside) - 1) // step < _MOST_TICKS), 120)
    chosen = [day for day in inside if ((day.year - 1) * 12 + day.month - 1) % step == 0]
    return [(day, wording.month(day)) for day in chosen]


def _row(event: Event, places: Mapping[str, str]) -> dict[str, str]:
    return {
        "date": wording.short_date(event.day),
        "place": wording.place(event.scope, places),
        "says": event.says,
        "letter": event.letter,
    }
