"""The clock of registrations that nothing on file has ended."""

from dataclasses import replace
from datetime import date

import pytest

from quietus.closing.case import Case
from quietus.closing.verdict import judge
from quietus.model.entity import Entity
from quietus.model.expected import Upkeep
from quietus.model.facts import facts_of
from quietus.model.findings import Code, Finding, Severity, Waiver
from quietus.model.kinds import Kind
from quietus.model.paper import Paper
from tests.closing.make import ENTITY, SOURCE, TODAY, paper, want

HOME = want("OR", Kind.DISSOLUTION, office_mark=True)
AWAY = want("WA", Kind.WITHDRAWAL, office_mark=True)
ENDED_AT_HOME = paper(1, "OR/dissolution", stamped=True, filing_date="2026-07-14", jurisdiction="OR")
ENDED_AWAY = paper(2, "WA/withdrawal", stamped=True, filing_date="2026-08-01", jurisdiction="WA")
DRAFT = paper(3, "WA/withdrawal", stamped=False, jurisdiction="WA")
REPORT = Upkeep("WA", "Annual Report", (date(2026, 8, 31), date(2027, 8, 31)), 60, "Revoked.", (SOURCE,))


def clocks(
    *papers: Paper, entity: Entity = ENTITY, today: date = TODAY, waivers: tuple[Waiver, ...] = ()
) -> dict[str, Finding]:
    case = Case(
        entity,
        (HOME, AWAY),
        tuple(map(facts_of, papers)),
        waivers,
        frozenset({"OR", "WA", "US"}),
        today,
        lambda scope: (REPORT,) if scope == "WA" else (),
    )
    codes = {Code.STILL_OPEN, Code.FOREIGN_OPEN}
    return {finding.scope: finding for finding in judge(case).findings if finding.code in codes}


def test_every_open_registration_has_a_clock_that_counts_from_the_closing() -> None:
    found = clocks()
    assert found.keys() == {"OR", "WA"}
    assert all(f.code is Code.STILL_OPEN and f.severity is Severity.WARNS for f in found.values())
    assert "143 days after the company closed on 2026-06-30" in found["WA"].says


def test_once_home_has_ended_the_foreign_ones_stand_out() -> None:
    found = clocks(ENDED_AT_HOME)
    assert found.keys() == {"WA"}
    assert found["WA"].code is Code.FOREIGN_OPEN
    assert "ended at home on 2026-07-14" in found["WA"].says


def test_the_clock_says_what_fell_due_what_comes_next_and_what_it_costs() -> None:
    says = clocks()["WA"].says
    assert "has fallen due on 2026-08-31 ($60 at least) and falls due next on 2027-08-31 ($60 at least)" in says
    assert SOURCE in clocks()["WA"].sources
    assert "Revoked." in clocks()["WA"].why


def test_what_is_ended_waived_or_still_looked_at_has_no_clock() -> None:
    doubtful = paper(4, "WA/withdrawal", doubts=("stamped",), jurisdiction="WA")
    waiver = Waiver(ENTITY.slug, "WA/withdrawal", "never registered", "counsel", "ada", TODAY)
    assert "WA" not in clocks(ENDED_AWAY)
    assert "WA" not in clocks(doubtful)
    assert "WA" not in clocks(waivers=(waiver,))
    assert "WA" in clocks(DRAFT)


@pytest.mark.parametrize("closed", [None, TODAY, date(2027, 1, 31)])
def test_a_company_that_has_not_closed_yet_has_no_clock(closed: date | None) -> None:
    assert clocks(entity=replace(ENTITY, closed=closed)) == {}


def test_one_day_is_a_day() -> None:
    assert "1 day after" in clocks(today=date(2026, 7, 1))["WA"].says
