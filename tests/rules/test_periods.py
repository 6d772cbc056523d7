"""Periods are counted by the calendar and never cut short."""

from datetime import date, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from quietus.rules.periods import Period, period_of

DAYS = st.dates(date(1970, 1, 1), date(2150, 12, 31))


def period(words: str) -> Period:
    found = period_of(words)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("start", "words", "end"),
    [
        (date(2027, 6, 30), "3 years", date(2030, 6, 30)),
        (date(2024, 2, 29), "4 years", date(2028, 2, 29)),
        (date(2024, 2, 29), "3 years", date(2027, 3, 1)),
        (date(2023, 2, 28), "1 year", date(2024, 2, 28)),
        (date(2026, 1, 31), "1 month", date(2026, 3, 1)),
        (date(2024, 1, 30), "1 month", date(2024, 3, 1)),
        (date(2024, 1, 29), "1 month", date(2024, 2, 29)),
        (date(2026, 8, 31), "18 months", date(2028, 3, 1)),
        (date(2026, 10, 31), "1 month", date(2026, 12, 1)),
        (date(2026, 12, 31), "12 months", date(2027, 12, 31)),
        (date(2026, 12, 15), "30 days", date(2027, 1, 14)),
    ],
)
def test_the_end_of_a_period(start: date, words: str, end: date) -> None:
    assert period(words).after(start) == end


@pytest.mark.parametrize("words", ["0 years", "-1 years", "7", "seven years", "7 weeks", "7years", "101 years", ""])
def test_what_is_no_period(words: str) -> None:
    assert period_of(words) is None


def test_words_are_put_right() -> None:
    assert [period(words).words for words in ("1 years", "7 year", "permanent")] == ["1 year", "7 years", "permanent"]


@given(DAYS, DAYS, st.integers(1, 100))
def test_a_later_start_never_ends_earlier(one: date, other: date, years: int) -> None:
    first, second = sorted((one, other))
    assert period(f"{years} years").after(first) <= period(f"{years} years").after(second)


@given(DAYS, st.integers(1, 1199))
def test_more_months_end_later(start: date, months: int) -> None:
    assert period(f"{months} months").after(start) < period(f"{months + 1} months").after(start) + timedelta(days=1)


@given(DAYS, st.integers(1, 100))
def test_years_keep_month_and_day_except_for_february_29(start: date, years: int) -> None:
    assume((start.month, start.day) != (2, 29))
    assert period(f"{years} years").after(start) == start.replace(year=start.year + years)


@given(DAYS, st.integers(1, 99))
def test_twelve_months_are_a_year(start: date, years: int) -> None:
    assert period(f"{years} years").after(start) == period(f"{12 * years} months").after(start)
