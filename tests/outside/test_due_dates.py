"""Due dates against the wording of the statutes, worked examples, and the `holidays` library (US, subdivision DC).

The statutes are followed here in a second way, in plain arithmetic, with the library's holidays in place of our own.
Sources of the rules: 26 U.S.C. 6072(a) and (b) and the IRS instructions for Forms 1065, 1120-S and 1120 (read in
private summaries); Treas. Reg. 1.6081-2, -3 and 301.7503-1 (read); Rev. Rul. 2015-13 on Emancipation Day (read in a
private summary); the end of the June rule by P.L. 114-41 section 2006(a)(3)(B) (from memory); 26 U.S.C. 6043(a) and
Treas. Reg. 1.6043-1 on Form 966 (read in a private summary); Treas. Reg. 31.6071(a)-1 on Forms 940 and 941 (first half
read, the rest from memory).
"""

from datetime import date, timedelta
from functools import cache

import holidays
import pytest

from quietus.rules import due_date, legal_holidays, load_packs

pytestmark = pytest.mark.outside

RULES = load_packs().by_code["US"].due
YEARS = range(2015, 2036)


@cache
def library(year: int) -> frozenset[date]:
    return frozenset(holidays.country_holidays("US", subdiv="DC", years=[year]))


def rolled(day: date) -> date:
    """26 U.S.C. 7503: a Saturday, Sunday or legal holiday in the District moves to the next day that is none."""
    while day.weekday() >= 5 or day in library(day.year):
        day += timedelta(days=1)
    return day


def fifteenth(end: date, months: int) -> date:
    """15th day of the nth month after the month of `end`."""
    count = end.year * 12 + end.month - 1 + months
    return date(count // 12, count % 12 + 1, 15)


def year_ends(year: int) -> list[date]:
    """The last and the seventh of every month: full years and short ones."""
    last = [date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1) for month in range(1, 13)]
    return [*last, *(date(year, month, 7) for month in range(1, 13))]


@pytest.mark.parametrize("year", YEARS)
def test_our_legal_holidays_are_the_library_s_on_every_weekday(year: int) -> None:
    days = [date(year, 1, 1) + timedelta(days=n) for n in range(366)]
    days = [day for day in days if day.year == year and day.weekday() < 5]
    assert [day for day in days if day in legal_holidays(year)] == [day for day in days if day in library(year)]


@pytest.mark.parametrize("year", YEARS)
@pytest.mark.parametrize("form", ["1065", "1120-S"])
def test_a_pass_through_return_is_due_on_the_15th_of_the_third_month(form: str, year: int) -> None:
    """26 U.S.C. 6072(b): for a year that ends on any day, short or full; one month later for a partnership's year that
    began before 2016 (P.L. 114-41 section 2006(a)(1), from memory)."""
    for end in year_ends(year):
        begins = date(year, 1, 1)
        due = due_date(RULES[form], end, begins=begins)
        assert due.day == rolled(fifteenth(end, 4 if form == "1065" and year < 2016 else 3)), end
        assert due.extended == rolled(fifteenth(end, 9)), end  # counted from the unrolled date


@pytest.mark.parametrize("year", YEARS)
def test_a_corporation_return_is_due_on_the_15th_of_the_fourth_month_but_for_june(year: int) -> None:
    """26 U.S.C. 6072(a); one month earlier for a year that began before 2016, or before 2026 and ended in June
    (P.L. 114-41 section 2006(a)(3), from memory)."""
    for end in year_ends(year):
        begins = date(year, 1, 1)
        early = year < 2016 or (end.month == 6 and year < 2026)
        due = due_date(RULES["1120"], end, begins=begins)
        assert due.day == rolled(fifteenth(end, 3 if early else 4)), end


@pytest.mark.parametrize("year", YEARS)
def test_employment_and_unemployment_returns(year: int) -> None:
    for month in range(1, 13):
        wages = date(year, month, 20)
        quarter = fifteenth(date(year, (month + 2) // 3 * 3, 1), 2) - timedelta(days=15)  # last day of the month after
        assert due_date(RULES["941"], wages).day == rolled(quarter)
        assert due_date(RULES["940"], wages).day == rolled(date(year + 1, 1, 31))


@pytest.mark.parametrize("year", YEARS)
def test_form_966_is_due_thirty_days_after_adoption(year: int) -> None:
    for adopted in (date(year, month, day) for month in range(1, 13) for day in (1, 6, 17, 28)):
        assert due_date(RULES["966"], adopted).day == rolled(adopted + timedelta(days=30))


def day(text: str) -> date:
    return date.fromisoformat(text)


WORKED = [
    # form, event, year began, nominal, due, extended, what it tests
    ("1065", "2026-01-31", "", "2026-04-15", "2026-04-15", "2026-10-15", "plain"),
    ("1065", "2026-03-10", "", "2026-06-15", "2026-06-15", "2026-12-15", "year ends in mid-month"),
    ("1065", "2025-08-31", "", "2025-11-15", "2025-11-17", "2026-05-15", "extension from the unrolled date"),
    ("1065", "2026-11-30", "", "2027-02-15", "2027-02-16", "2027-08-16", "Washington's Birthday"),
    ("1120-S", "2026-02-17", "", "2026-05-15", "2026-05-15", "2026-11-16", "the extended date rolls"),
    ("1120-S", "2026-06-30", "", "2026-09-15", "2026-09-15", "2027-03-15", "June is nothing special for 1120-S"),
    ("1120", "2026-06-12", "2026-01-01", "2026-10-15", "2026-10-15", "2027-04-15", "June rule gone"),
    ("1120", "2026-06-12", "2025-07-01", "2026-09-15", "2026-09-15", "2027-03-15", "June rule alive, short year"),
    ("1120", "2026-07-31", "", "2026-11-15", "2026-11-16", "2027-05-17", "both roll"),
    ("1120", "2021-12-31", "", "2022-04-15", "2022-04-18", "2022-10-17", "Emancipation Day on Saturday"),
    ("1120", "2022-12-31", "", "2023-04-15", "2023-04-18", "2023-10-16", "Emancipation Day on Sunday"),
    ("1120", "2027-12-31", "", "2028-04-15", "2028-04-18", "2028-10-16", "the same, to come"),
    ("966", "2026-10-27", "", "2026-11-26", "2026-11-27", "", "Thanksgiving"),
    ("966", "2026-06-05", "", "2026-07-05", "2026-07-06", "", "weekend"),
    ("941", "2026-05-20", "", "2026-07-31", "2026-07-31", "", "second quarter"),
    ("941", "2026-09-04", "", "2026-10-31", "2026-11-02", "", "weekend"),
    ("940", "2026-05-20", "", "2027-01-31", "2027-02-01", "", "the last one still waits for January"),
]


@pytest.mark.parametrize("case", WORKED, ids=[f"{one[0]} {one[1]} {one[6]}" for one in WORKED])
def test_worked_example(case: tuple[str, ...]) -> None:
    """Computed from the rules by a script of its own before this code was written."""
    form, event, begins, nominal, due, extended, _ = case
    found = due_date(RULES[form], day(event), begins=day(begins) if begins else None)
    assert (found.nominal, found.day) == (day(nominal), day(due))
    assert found.extended == (day(extended) if extended else None)


def test_timely_deposits_move_the_second_quarter_to_august_10() -> None:
    """Treas. Reg. 31.6071(a)-1(a)(1), from memory."""
    assert due_date(RULES["941"], date(2026, 5, 20), timely_deposits=True).day == date(2026, 8, 10)


PUBLISHED = [
    # Due dates that the IRS itself announced (from memory: its filing season releases).
    ("1120", "2015-12-31", "2016-03-15", "the older rule: March"),
    ("1065", "2015-12-31", "2016-04-18", "the older rule: April, Emancipation Day observed on Friday the 15th"),
    ("1120", "2016-12-31", "2017-04-18", "Emancipation Day observed on Monday April 17"),
    ("1120", "2017-12-31", "2018-04-17", "April 15 a Sunday, Emancipation Day on Monday"),
    ("1065", "2023-12-31", "2024-03-15", "plain"),
    ("1065", "2024-12-31", "2025-03-17", "March 15 a Saturday"),
]


@pytest.mark.parametrize(("form", "end", "due", "why"), PUBLISHED)
def test_announced_due_date(form: str, end: str, due: str, why: str) -> None:
    assert due_date(RULES[form], day(end)).day == day(due), why


def test_tennessee_s_own_example() -> None:
    """Tennessee Department of Revenue, help article F&E-8 (read): January 1 to February 12 is due June 15."""
    rule = load_packs().by_code["TN"].due["FAE170"]
    assert due_date(rule, date(2026, 2, 12)).day == date(2026, 6, 15)


def test_oregon_s_extended_date_in_its_2023_instructions() -> None:
    """Form OR-65 instructions 2023 (read, copy): September 16, 2024 for calendar-year partnerships."""
    rule = load_packs().by_code["OR"].due["OR-65"]
    assert due_date(rule, date(2023, 12, 31)).extended == date(2024, 9, 16)


STATE_RETURNS = [
    (code, name)
    for code in load_packs().codes
    for name, rule in load_packs().by_code[code].due.items()
    if code != "US" and name not in RULES and rule.months
]


@pytest.mark.parametrize(("code", "name"), STATE_RETURNS)
def test_state_returns_fall_on_their_day_of_the_month_or_the_next_business_day(code: str, name: str) -> None:
    """The month and day are the pack's (most from memory); that they are counted right is checked over 20 years."""
    rule = load_packs().by_code[code].due[name]
    for year in YEARS:
        for end in year_ends(year):
            first = fifteenth(end, rule.months).replace(day=1)
            last = (first.replace(day=28) + timedelta(days=4)).replace(day=1) - timedelta(days=1)
            nominal = first.replace(day=min(rule.day, last.day))
            assert due_date(rule, end).day == rolled(nominal), end
