"""Legal holidays for due dates: 26 U.S.C. 7503 goes by the holidays of the District of Columbia.

The days are data (`calendar/holidays.toml`); this module only turns a year into dates.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from importlib.resources import files

from quietus.model.expected import Source
from quietus.model.table import Table
from quietus.rules.files import cited, read_sources, read_toml

_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SATURDAY, _SUNDAY = 5, 6


@dataclass(frozen=True, slots=True)
class Holiday:
    """One legal holiday.

    Attributes:
        name: what it is called.
        month: 1 to 12.
        day: day of the month; 0 when it goes by the weekday.
        weekday: 0 Monday to 6 Sunday, when it goes by the weekday.
        nth: which such weekday of the month; -1 for the last.
        since: first year it counts.
        every: years between two of it.
        saturday: days it moves when it falls on a Saturday.
        sunday: days it moves when it falls on a Sunday.
        note: what is not certain about it.
        sources: where it comes from.
    """

    name: str
    month: int
    day: int
    weekday: int
    nth: int
    since: int
    every: int
    saturday: int
    sunday: int
    note: str
    sources: tuple[Source, ...]

    def observed(self, year: int) -> date | None:
        """The day it is observed for `year`; for New Year's Day that can be the last day of the year before."""
        if year < self.since or (year - self.since) % self.every:
            return None
        if not self.day:
            return _nth_weekday(year, self.month, self.weekday, self.nth)
        day = date(year, self.month, self.day)
        moves = {_SATURDAY: self.saturday, _SUNDAY: self.sunday}
        return day + timedelta(days=moves.get(day.weekday(), 0))


def _nth_weekday(year: int, month: int, weekday: int, nth: int) -> date:
    if nth < 0:
        last = date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1)
        return last - timedelta(days=(last.weekday() - weekday) % 7)
    first = date(year, month, 1)
    return first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (nth - 1))


@cache
def known_holidays() -> tuple[Holiday, ...]:
    """Every legal holiday that the data holds.

    Raises:
        BadData: the file is not as expected.
    """
    top = read_toml(files("quietus.rules") / "calendar" / "holidays.toml")
    sources = read_sources(top.table("sources"))
    found = tuple(_holiday(one, sources) for one in top.tables("holiday"))
    top.done()
    return found


def _holiday(table: Table, sources: Mapping[str, Source]) -> Holiday:
    by_weekday = table.has("weekday")
    words = table.text("weekday") if by_weekday else "monday"
    if words not in _WEEKDAYS:
        raise table.wrong("weekday", f"one of {', '.join(_WEEKDAYS)}")
    holiday = Holiday(
        name=table.text("name"),
        month=table.number("month", least=1, most=12),
        day=0 if by_weekday else table.number("day", least=1, most=31),
        weekday=_WEEKDAYS.index(words),
        nth=table.number("nth", least=-1, most=5) if by_weekday else 0,
        since=table.number("since", least=1, most=9000),
        every=table.number("every", 1, least=1, most=100),
        saturday=table.number("saturday", 0, least=-1, most=2),
        sunday=table.number("sunday", 0, least=-1, most=2),
        note=table.text("note", ""),
        sources=cited(table, sources),
    )
    table.done()
    return holiday


@cache
def legal_holidays(year: int) -> Mapping[date, str]:
    """Every legal holiday observed in `year`, by date.

    Args:
        year: 1 to 9998.
    """
    found = {}
    for holiday in known_holidays():
        for counted in (year, year + 1):
            day = holiday.observed(counted)
            if day and day.year == year:
                found[day] = holiday.name
    return found


def next_business_day(day: date) -> date:
    """`day`, or when it is a Saturday, Sunday or legal holiday the next day that is none (26 U.S.C. 7503)."""
    while day.weekday() in (_SATURDAY, _SUNDAY) or day in legal_holidays(day.year):
        day += timedelta(days=1)
    return day
