"""Yearly duties of an open registration: which days they fall on, for whom, and what a pack may say."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quietus.model.entity import JURISDICTIONS, Entity, Registration, TaxClass
from quietus.model.errors import BadData
from quietus.rules import describe_pack, load_packs, owed_while_open
from quietus.rules.upkeep import CountsFrom

PACKS = load_packs()
LOCAL = [code for code in PACKS.codes if code in JURISDICTIONS]
HEADER = """
extends = true
[sources.office]
cite = "Office policy"
basis = "common practice, no source"
checked = 2026-11-25
"""


def company(code: str = "OR", since: date | None = date(2017, 3, 31), *, home: str = "OR") -> Entity:
    codes = dict.fromkeys((home, code))
    return Entity(
        slug="pan-glazing",
        name="Pan Glazing LLC",
        ein="07-0000001",
        tax_class=TaxClass.PARTNERSHIP,
        home=home,
        registrations=tuple(Registration(one, since=since) for one in codes),
        closed=date(2026, 6, 30),
    )


def days(rule: str, folder: Path, entity: Entity, *, years: int = 2) -> list[str]:
    """The days on which a rule of an office's own pack falls due after the closing."""
    text = f'{HEADER}[[upkeep]]\ntitle = "Report"\nsources = ["office"]\n{rule}'
    (folder / "OR.toml").write_text(text, encoding="utf-8")
    until = date(2026 + years, 6, 30)
    return [str(day) for one in owed_while_open(entity, load_packs([folder]), "OR", date(2026, 6, 30), until)
            for day in one.dates]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        ('counts_from = "calendar"\nmonth = 5\nday = 1', ["2027-05-01", "2028-05-01"]),
        ('counts_from = "calendar"\nmonth = 6\nday = 30', ["2027-06-30", "2028-06-30"]),
        ('counts_from = "calendar"\nmonth = 4\nday = 1\nyears = "odd"', ["2027-04-01"]),
        ('counts_from = "calendar"\nmonth = 4\nday = 1\nyears = "even"', ["2028-04-01"]),
        ('counts_from = "calendar"\nmonth = 4\nday = 1\nyears = "alternate"', ["2027-04-01"]),
        ('counts_from = "registration"', ["2027-03-31", "2028-03-31"]),
        ('counts_from = "registration"\nday = 31', ["2027-03-31", "2028-03-31"]),
        ('counts_from = "registration"\nday = 1', ["2027-03-01", "2028-03-01"]),
        ('counts_from = "registration"\nmonths = -1\nday = 31', ["2027-02-28", "2028-02-29"]),
        ('counts_from = "registration"\nmonths = 1', ["2027-04-30", "2028-04-30"]),
        ('counts_from = "registration"\nmonths = 11', ["2027-02-28", "2028-02-29"]),
        ('counts_from = "registration"\nday = 31\nyears = "alternate"', ["2027-03-31"]),
        ('counts_from = "registration"\nquarter = true\nday = 31', ["2027-03-31", "2028-03-31"]),
        ('counts_from = "year-end"\nmonths = 4\nday = 1', ["2027-04-01", "2028-04-01"]),
        ('counts_from = "nothing"', []),
        ('counts_from = "calendar"\nmonth = 5\nday = 1\nside = "foreign"', []),
        ('counts_from = "calendar"\nmonth = 5\nday = 1\nside = "home"', ["2027-05-01", "2028-05-01"]),
    ],
)
def test_the_days_follow_the_rule(rule: str, expected: list[str], tmp_path: Path) -> None:
    assert days(rule, tmp_path, company()) == expected


def test_a_quarter_counts_from_its_last_month(tmp_path: Path) -> None:
    january = company(since=date(2017, 1, 31))
    assert days('counts_from = "registration"\nquarter = true\nday = 31', tmp_path, january)[0] == "2027-03-31"


def test_a_leap_day_is_the_last_of_february_in_a_common_year(tmp_path: Path) -> None:
    leap = company(since=date(2016, 2, 29))
    assert days('counts_from = "registration"', tmp_path, leap) == ["2027-02-28", "2028-02-29"]


def test_the_fiscal_year_moves_what_counts_from_it(tmp_path: Path) -> None:
    fiscal = replace(company(), year_end=(9, 30))
    assert days('counts_from = "year-end"\nmonths = 3\nday = 31', tmp_path, fiscal) == ["2026-12-31", "2027-12-31"]


def test_without_a_registration_date_nothing_is_guessed(tmp_path: Path) -> None:
    assert days('counts_from = "registration"', tmp_path, company(since=None)) == []
    assert (
        days('counts_from = "calendar"\nmonth = 4\nday = 1\nyears = "alternate"', tmp_path, company(since=None)) == []
    )
    assert days('counts_from = "calendar"\nmonth = 5\nday = 1', tmp_path, company(since=None)) != []


def test_nothing_falls_due_before_the_registration(tmp_path: Path) -> None:
    young = company(since=date(2027, 5, 1))
    assert days('counts_from = "calendar"\nmonth = 5\nday = 1', tmp_path, young) == ["2028-05-01"]


@pytest.mark.parametrize(
    ("rule", "key"),
    [
        ("", "upkeep[1].counts_from"),
        ('counts_from = "moon"', "upkeep[1].counts_from"),
        ('counts_from = "calendar"\nday = 1', "upkeep[1].month"),
        ('counts_from = "calendar"\nmonth = 13\nday = 1', "upkeep[1].month"),
        ('counts_from = "registration"\nyears = "leap"', "upkeep[1].years"),
        ('counts_from = "registration"\nfee = 3', "upkeep[1].fee"),
        ('counts_from = "registration"\ndollars = "60"', "upkeep[1].dollars"),
    ],
)
def test_a_wrong_rule_is_named_by_file_and_key(rule: str, key: str, tmp_path: Path) -> None:
    with pytest.raises(BadData) as caught:
        days(rule, tmp_path, company())
    assert (caught.value.file, caught.value.key) == ("OR.toml", key)


@pytest.mark.parametrize("code", LOCAL)
def test_every_state_says_what_an_open_registration_owes_or_that_nothing_is_known(code: str) -> None:
    pack = PACKS.by_code[code]
    assert pack.upkeep
    assert all(rule.sources for rule in pack.upkeep)
    assert "Owed as long as the registration is open" in describe_pack(PACKS, code)
    for home in (code, "OR" if code != "OR" else "WA"):
        owed = owed_while_open(company(code, home=home), PACKS, code, date(2026, 1, 1), date(2027, 12, 31))
        nothing = any(rule.counts_from is CountsFrom.NOTHING for rule in pack.upkeep)
        assert nothing or (owed and all(one.dates for one in owed))


@given(st.sampled_from(LOCAL), st.dates(date(2000, 1, 1), date(2026, 1, 1)), st.integers(1, 5))
def test_days_are_in_order_within_the_span_and_never_more_often_than_yearly(code: str, since: date, years: int) -> None:
    after, until = date(2026, 6, 30), date(2026 + years, 6, 30)
    for one in owed_while_open(company(code, since), PACKS, code, after, until):
        assert list(one.dates) == sorted(set(one.dates))
        assert all(after < day <= until for day in one.dates)
        assert len(one.dates) <= years + 1
        assert all((later - day).days >= 364 for day, later in zip(one.dates, one.dates[1:], strict=False))
