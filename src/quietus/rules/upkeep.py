"""What a registration goes on owing as long as it is open: annual reports and the like, with the days they fall due.

Pure: rules from the packs, the entity's own facts and a span of days in, dates out.
"""

import calendar
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from quietus.model.entity import Entity, Registration
from quietus.model.expected import Source, Upkeep
from quietus.model.table import Table
from quietus.rules.files import cited
from quietus.rules.years import year_end


class CountsFrom(StrEnum):
    """What the day of the year follows from."""

    CALENDAR = "calendar"  # the same day for everybody
    REGISTRATION = "registration"  # the day formed or registered there
    YEAR_END = "year-end"  # the end of the company's ordinary tax year
    NOTHING = "nothing"  # there is no such duty; only told


class Years(StrEnum):
    """Which years, when it does not fall due in every one."""

    EVERY = "every"
    ODD = "odd"
    EVEN = "even"
    ALTERNATE = "alternate"  # every second year after that of the registration


class Side(StrEnum):
    """Who owes it."""

    BOTH = "both"
    HOME = "home"
    FOREIGN = "foreign"


@dataclass(frozen=True, slots=True)
class UpkeepRule:
    """How one yearly duty falls due.

    Attributes:
        title: what it is called.
        side: companies formed there, registered there, or both.
        counts_from: what the day follows from.
        years: in which years.
        month: of the calendar, when it counts from the calendar.
        months: after the month it counts from; may be negative.
        quarter: True to count from the last month of the calendar quarter of that month.
        day: day of the month, cut to its length; 0 for the day it counts from.
        dollars: what it costs each time at least, in whole U.S. dollars; 0 when not known.
        exposure: what leaving it open brings, in words.
        sources: where it comes from.
    """

    title: str
    side: Side
    counts_from: CountsFrom
    years: Years
    month: int
    months: int
    quarter: bool
    day: int
    dollars: int
    exposure: str
    sources: tuple[Source, ...]

    def falls_due(self, entity: Entity, registration: Registration, after: date, until: date) -> Iterator[date]:
        """The days after `after`, up to and with `until`, in order; none when the register lacks what they count from.

        A Saturday, Sunday or holiday moves none of them: whether it does is the state's own law, which is not known.
        """
        since = registration.since
        for year in range(after.year - 1, until.year + 2):
            start = self._start(year, entity, since)
            if start is None:
                continue
            day = _shifted(start, self.months, self.day or start.day)
            turn = year if self.counts_from is CountsFrom.REGISTRATION else day.year
            if after < day <= until and self._in_turn(turn, since) and (since is None or day > since):
                yield day

    def _start(self, year: int, entity: Entity, since: date | None) -> date | None:
        if self.counts_from is CountsFrom.CALENDAR:
            return date(year, self.month, 1)
        if self.counts_from is CountsFrom.YEAR_END:
            return year_end(year, *entity.year_end)
        if self.counts_from is CountsFrom.NOTHING or since is None:
            return None
        month = -(-since.month // 3) * 3 if self.quarter else since.month
        return date(year, month, min(since.day, calendar.monthrange(year, month)[1]))

    def _in_turn(self, year: int, since: date | None) -> bool:
        if self.years is Years.ALTERNATE:
            return since is not None and (year - since.year) % 2 == 0
        return self.years is Years.EVERY or year % 2 == (self.years is Years.ODD)


def _shifted(start: date, months: int, day: int) -> date:
    """Day `day` of the month that is `months` after that of `start`, cut to the month's length."""
    years, month = divmod(start.month - 1 + months, 12)
    year = start.year + years
    return date(year, month + 1, min(day, calendar.monthrange(year, month + 1)[1]))


def upkeep_of(
    rules: tuple[UpkeepRule, ...], entity: Entity, registration: Registration, after: date, until: date
) -> tuple[Upkeep, ...]:
    """What one registration owes between two days while it stays open.

    Args:
        rules: of its pack.
        entity: the company.
        registration: its standing there.
        after: the day before the span.
        until: last day of the span.
    """
    side = Side.HOME if registration.jurisdiction == entity.home else Side.FOREIGN
    return tuple(
        Upkeep(
            scope=registration.jurisdiction,
            title=rule.title,
            dates=tuple(rule.falls_due(entity, registration, after, until)),
            dollars=rule.dollars,
            exposure=rule.exposure,
            sources=rule.sources,
        )
        for rule in rules
        if rule.side in {Side.BOTH, side} and rule.counts_from is not CountsFrom.NOTHING
    )


def read_upkeep(table: Table, sources: Mapping[str, Source]) -> tuple[UpkeepRule, ...]:
    """Every `[[upkeep]]` of a pack.

    Raises:
        BadData: one is not as expected.
    """
    return tuple(_rule(one, sources) for one in table.tables("upkeep"))


def _rule(table: Table, sources: Mapping[str, Source]) -> UpkeepRule:
    counts_from = table.choice("counts_from", CountsFrom)
    fixed = counts_from is CountsFrom.CALENDAR
    rule = UpkeepRule(
        title=table.text("title"),
        side=table.choice("side", Side, Side.BOTH),
        counts_from=counts_from,
        years=table.choice("years", Years, Years.EVERY),
        month=table.number("month", least=1, most=12) if fixed else 1,
        months=0 if fixed else table.number("months", 0, least=-11, most=24),
        quarter=table.flag("quarter", False) if counts_from is CountsFrom.REGISTRATION else False,
        day=table.number("day", least=1, most=31) if fixed else table.number("day", 0, most=31),
        dollars=table.number("dollars", 0, most=100_000),
        exposure=table.text("exposure", ""),
        sources=cited(table, sources),
    )
    table.done()
    return rule
