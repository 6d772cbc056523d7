"""Due dates: months counted from the month, not in days; holidays move them; extensions run from the unmoved day."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quietus.rules import DueRule, due_date, legal_holidays, load_packs, next_business_day

US = load_packs().by_code["US"]
DAYS = st.dates(date(2016, 7, 1), date(2090, 12, 31))  # the rules of today: years begun from 2016 on


def rule(name: str) -> DueRule:
    return US.due[name]


@pytest.mark.parametrize("day", [1, 3, 15, 31])
def test_every_day_of_a_month_gives_the_same_due_date(day: int) -> None:
    assert due_date(rule("1065"), date(2026, 1, day)).day == date(2026, 4, 15)


def test_the_year_turns() -> None:
    assert due_date(rule("1065"), date(2026, 10, 2)).day == date(2027, 1, 15)


def test_a_quarter_counts_whole() -> None:
    for month in (1, 2, 3):
        assert due_date(rule("941"), date(2026, month, 1)).nominal == date(2026, 4, 30)


def test_timely_deposits_give_ten_days_more() -> None:
    assert due_date(rule("941"), date(2026, 9, 4), timely_deposits=True).nominal == date(2026, 11, 10)
    assert due_date(rule("940"), date(2026, 9, 4), timely_deposits=True).nominal == date(2027, 2, 10)


def test_what_has_no_extension_has_no_extended_date() -> None:
    assert due_date(rule("966"), date(2026, 6, 5)).extended is None


def test_the_june_rule_is_not_applied_on_a_guess() -> None:
    assert due_date(rule("1120"), date(2026, 6, 12)).day == date(2026, 10, 15)
    assert due_date(rule("1120"), date(2025, 6, 12)).day == date(2025, 9, 15)


def test_a_full_year_that_ends_june_30_gets_seven_months() -> None:
    due = due_date(rule("1120"), date(2024, 6, 30), begins=date(2023, 7, 1))
    assert (due.nominal, due.extended) == (date(2024, 9, 15), date(2025, 4, 15))


@given(DAYS, st.sampled_from(sorted(US.due)))
def test_nothing_is_ever_due_on_a_weekend_or_holiday_or_before_its_nominal_day(event: date, name: str) -> None:
    due = due_date(rule(name), event)
    for day in filter(None, (due.day, due.extended)):
        assert day.weekday() < 5
        assert day not in legal_holidays(day.year)
    assert timedelta(0) <= due.day - due.nominal <= timedelta(days=5)
    assert event < due.nominal


@given(DAYS, DAYS, st.sampled_from(["1065", "1120-S", "941", "940", "966"]))
def test_a_later_event_is_never_due_earlier(one: date, other: date, name: str) -> None:
    first, second = sorted((one, other))
    assert due_date(rule(name), first).day <= due_date(rule(name), second).day


@given(DAYS)
def test_the_next_business_day_is_the_nearest_that_is_one(day: date) -> None:
    found = next_business_day(day)
    assert next_business_day(found) == found
    assert all(next_business_day(day + timedelta(days=n)) == found for n in range((found - day).days))


def test_new_years_day_on_a_saturday_is_observed_in_the_old_year() -> None:
    assert legal_holidays(2021)[date(2021, 12, 31)] == "New Year's Day"
    assert date(2022, 1, 1) not in legal_holidays(2022)


def test_juneteenth_counts_from_2021() -> None:
    assert date(2020, 6, 19) not in legal_holidays(2020)
    assert date(2021, 6, 18) in legal_holidays(2021)


def test_inauguration_day_comes_every_fourth_year_and_a_saturday_adds_no_day() -> None:
    assert date(2025, 1, 20) in legal_holidays(2025)
    assert "Inauguration Day" not in legal_holidays(2026).values()
    assert legal_holidays(2029)[date(2029, 1, 20)] == "Inauguration Day"
    assert date(2029, 1, 19) not in legal_holidays(2029)
    assert date(2013, 1, 21) in legal_holidays(2013)
