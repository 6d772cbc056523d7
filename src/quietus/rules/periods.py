"""Retention periods, counted exactly by the calendar."""

import re
from dataclasses import dataclass
from datetime import date, timedelta

_WORDS = re.compile(r"([1-9]\d{0,3}) (day|month|year)s?")
_MOST = {"day": 36_525, "month": 1_200, "year": 100}


@dataclass(frozen=True, slots=True)
class Period:
    """A length of time, or for ever.

    Attributes:
        months: calendar months; a year is twelve.
        days: days, when it does not count months.
        words: as people say it, such as `7 years` or `permanent`.
    """

    months: int
    days: int
    words: str

    @property
    def permanent(self) -> bool:
        """True when it never ends."""
        return not self.months and not self.days

    def after(self, day: date) -> date:
        """The last day of the period that starts with `day`.

        Years and months run to the same day of the month. Where that month has no such day (February 29 in a common
        year, the 31st of a short month) they run to the first of the next month, so that no period is cut short.
        """
        if self.days:
            return day + timedelta(days=self.days)
        years, month = divmod(day.month - 1 + self.months, 12)
        try:
            return date(day.year + years, month + 1, day.day)
        except ValueError:
            return date(day.year + years, month + 2, 1)  # December has 31 days, so month + 2 is at most 12


def period_of(words: str) -> Period | None:
    """The period that words such as `7 years`, `18 months`, `30 days` or `permanent` name; None when they name none."""
    if words == "permanent":
        return Period(0, 0, words)
    found = _WORDS.fullmatch(words)
    if not found or int(found[1]) > _MOST[found[2]]:
        return None
    count, unit = int(found[1]), found[2]
    spoken = f"{count} {unit}{'s' if count > 1 else ''}"
    return Period(0, count, spoken) if unit == "day" else Period(count * (12 if unit == "year" else 1), 0, spoken)
