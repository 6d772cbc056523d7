"""When a return or notice is due. Pure: a rule from the data and the day it counts from in, dates out."""

import calendar
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from quietus.model.expected import Source
from quietus.model.table import Table
from quietus.rules.files import cited
from quietus.rules.holidays import next_business_day


class Event(StrEnum):
    """What a due date counts from."""

    YEAR_END = "year-end"  # the last day of the tax year, a short one included
    LAST_WAGES = "last-wages"  # the day the last wages were paid
    ADOPTION = "adoption"  # the day the resolution or plan to dissolve was adopted


class Span(StrEnum):
    """What the months are counted after."""

    MONTH = "month"  # the month the event falls in, whichever day of it
    QUARTER = "quarter"  # the calendar quarter the event falls in
    YEAR = "year"  # the calendar year the event falls in


@dataclass(frozen=True, slots=True)
class YearException:
    """Other months for some tax years.

    Attributes:
        ends_in_month: the year ends in this month; 0 for any.
        ends_on_day: and on this day of it; 0 for any.
        begins_before: and began before this day.
        months: instead of the rule's months.
        extension_months: instead of the rule's.
        note: what is not certain about it.
        sources: where it comes from.
    """

    ends_in_month: int
    ends_on_day: int
    begins_before: date
    months: int
    extension_months: int
    note: str
    sources: tuple[Source, ...]

    def covers(self, end: date, begins: date | None) -> bool:
        """True when the tax year from `begins` to `end` is one of those; never on a guess when `begins` is unknown."""
        if self.ends_in_month not in (0, end.month) or self.ends_on_day not in (0, end.day):
            return False
        return end < self.begins_before or (begins is not None and begins < self.begins_before)


@dataclass(frozen=True, slots=True)
class DueRule:
    """How a due date follows from an event.

    Attributes:
        name: the rule's name, such as `1065`.
        title: in words.
        event: what it counts from.
        span: the months are counted after the end of this.
        months: how many; 0 when it counts days.
        day: day of the month, cut to the month's length; 0 when it counts days.
        days: days after the event, when it counts days.
        extension_months: months an extension adds; 0 when there is none.
        timely_deposit_days: days added when every deposit was full and on time.
        exceptions: other months for some years; the first that covers the year counts.
        note: what a preparer should know.
        sources: where it comes from.
    """

    name: str
    title: str
    event: Event
    span: Span
    months: int
    day: int
    days: int
    extension_months: int
    timely_deposit_days: int
    exceptions: tuple[YearException, ...]
    note: str
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class Due:
    """A due date, step by step.

    Attributes:
        nominal: the day the statute names.
        day: the day it is due: the next that is no Saturday, Sunday or legal holiday.
        extended: the day it is due when an extension was asked for in time; None when there is no extension.
    """

    nominal: date
    day: date
    extended: date | None


def due_date(rule: DueRule, event: date, *, begins: date | None = None, timely_deposits: bool = False) -> Due:
    """When something is due.

    An extension runs from the nominal day, not from the rolled one, and rolls by itself (Treas. Reg. 1.6081-2, -3;
    301.7503-1). Relief for disasters (26 U.S.C. 7508A) is not known here and can move any of these dates.

    Args:
        rule: from a pack's `[due.NAME]`.
        event: the last day of the tax year, of wages, or the day of adoption, as `rule.event` says.
        begins: first day of the tax year; only exceptions look at it.
        timely_deposits: every deposit was full and on time.
    """
    months, extension = rule.months, rule.extension_months
    for exception in rule.exceptions:
        if exception.covers(event, begins):
            months, extension = exception.months, exception.extension_months
            break
    nominal = _nominal(rule, event, months)
    if timely_deposits:
        nominal += timedelta(days=rule.timely_deposit_days)
    extended = next_business_day(_month_after(nominal, extension, nominal.day)) if extension else None
    return Due(nominal, next_business_day(nominal), extended)


def _nominal(rule: DueRule, event: date, months: int) -> date:
    if rule.days:
        return event + timedelta(days=rule.days)
    last_months = {Span.MONTH: event.month, Span.QUARTER: -(-event.month // 3) * 3, Span.YEAR: 12}
    return _month_after(event.replace(month=last_months[rule.span], day=1), months, rule.day)


def _month_after(start: date, months: int, day: int) -> date:
    """Day `day` of the month that is `months` after that of `start`, cut to the month's length."""
    years, month = divmod(start.month - 1 + months, 12)
    year = start.year + years
    return date(year, month + 1, min(day, calendar.monthrange(year, month + 1)[1]))


def read_due_rules(table: Table, sources: Mapping[str, Source]) -> dict[str, DueRule]:
    """Every `[due.NAME]` of a pack.

    Raises:
        BadData: a rule is not as expected.
    """
    return {name: _due_rule(name, table.table(name), sources) for name in table.names()}


def _due_rule(name: str, table: Table, sources: Mapping[str, Source]) -> DueRule:
    days = table.number("days", 0, most=3660)
    by_month = not days
    rule = DueRule(
        name=name,
        title=table.text("title"),
        event=table.choice("event", Event),
        span=table.choice("after", Span, Span.MONTH),
        months=table.number("months", least=1, most=60) if by_month else 0,
        day=table.number("day", least=1, most=31) if by_month else 0,
        days=days,
        extension_months=table.number("extension_months", 0, most=24),
        timely_deposit_days=table.number("timely_deposit_days", 0, most=60),
        exceptions=tuple(_exception(one, sources) for one in table.tables("exception")),
        note=table.text("note", ""),
        sources=cited(table, sources),
    )
    table.done()
    return rule


def _exception(table: Table, sources: Mapping[str, Source]) -> YearException:
    exception = YearException(
        ends_in_month=table.number("ends_in_month", 0, most=12),
        ends_on_day=table.number("ends_on_day", 0, most=31),
        begins_before=table.day("begins_before"),
        months=table.number("months", least=1, most=60),
        extension_months=table.number("extension_months", 0, most=24),
        note=table.text("note", ""),
        sources=cited(table, sources),
    )
    table.done()
    return exception
