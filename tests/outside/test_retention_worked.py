"""Worked cases of how long a paper must be kept: on its last day it is not due, the day after it is.

Each case stands alone under the one rule that it is about, so that no longer rule hides a wrong one. Sources as in the
schedules: `memory` was not read, `summary` was read in a private summary, `practice` is common practice, no source.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta

import pytest

from quietus.closing.approval import obstacle
from quietus.closing.keeping import Kept
from quietus.model.expected import ExpectedPaper, Need
from quietus.model.facts import PaperFacts
from quietus.model.kinds import Kind
from quietus.model.paper import Standing
from quietus.model.retention import Clock, Keep
from quietus.rules import Keeper, Schedules, default_schedule_folder, load_schedules

pytestmark = pytest.mark.outside

DEFAULT = load_schedules([default_schedule_folder()])


@dataclass(frozen=True)
class Case:
    """One paper under one rule.

    Attributes:
        rule: id.
        until: the last day it must be kept; empty when the clock stands still, `permanent` when for ever.
        source: where that is said, and how it was followed.
        kind: of the paper.
        filed, signed, due, dissolved: days as known.
        form: as read.
        events: recorded days.
    """

    rule: str
    until: str
    source: str
    kind: str = "final_return"
    filed: str = ""
    signed: str = ""
    due: str = ""
    dissolved: str = ""
    form: str = ""
    events: dict[str, str] = field(default_factory=dict)


EARLY, LATE = "6501(b)(1), early counts as filed on the due date; memory", "6501(a), late runs from filing; memory"
EMPLOYER = "Treas. Reg. 31.6001-1(e)(2), four years after due or paid, the later; summary"
PREPARER = "26 U.S.C. 6107(b), Treas. Reg. 1.6107-1(b): three years after June 30; summary"
COPY = "return-copy"
CASES = [
    Case("assessment-3-years", "2029-03-16", EARLY, filed="2026-02-01", due="2026-03-16"),
    Case("assessment-3-years", "2029-11-02", LATE, filed="2026-11-02", due="2026-03-16"),
    Case("assessment-3-years", "2027-03-01", LATE + "; leap day, practice", filed="2024-02-29", due="2023-03-15"),
    Case("assessment-3-years", "", "6501(c)(3), no return filed: no limit; memory", due="2026-03-16"),
    Case("assessment-3-years", "", "a due date that is not known is not assumed; practice", filed="2026-03-01"),
    Case("assessment-6-years", "2032-03-16", "6501(e)(1)(A); memory, IRS table; summary",
         filed="2026-03-16", due="2026-03-16"),
    Case("assessment-6-years", "2033-01-04", "6501(e)(1)(A), late; memory", filed="2027-01-04", due="2026-03-16"),
    Case("refund-claim", "2029-09-15", "6511(a), three years; memory, IRS table; summary",
         filed="2026-09-10", due="2026-09-15"),
    Case("employment-tax-4-years", "2030-07-31", EMPLOYER, kind="final_employment_return", filed="2026-07-20",
         due="2026-07-31", events={"paid": "2026-07-15"}),
    Case("employment-tax-4-years", "2030-10-02", EMPLOYER, kind="final_employment_return", filed="2026-07-20",
         due="2026-07-31", events={"paid": "2026-10-02"}),
    Case("employment-tax-4-years", "", EMPLOYER + "; no paper shows the payment", kind="final_employment_return",
         filed="2026-07-20", due="2026-07-31"),
    Case("wage-and-information-returns-4-years", "2031-02-01", "IRS table, at least four years; summary",
         kind="wage_statement", due="2027-02-01"),
    Case("employment-eligibility", "2029-05-20", "8 CFR 274a.2(b)(2), never less than one year from the end; memory",
         kind="other", form="I-9", events={"employment-end": "2026-05-20"}),
    Case("employment-eligibility", "", "8 CFR 274a.2(b)(2), the end of employment is not known; memory",
         kind="other", form="I-9"),
    Case("benefit-plan-6-years", "2032-07-31", "ERISA section 107, six years from the filing; memory",
         kind="other", form="5500-EZ", filed="2026-06-30", due="2026-07-31"),
    Case(COPY, "2030-06-30", PREPARER, events={"presented": "2026-08-03"}),
    Case(COPY, "2029-06-30", PREPARER, events={"presented": "2026-06-30"}),
    Case(COPY, "2030-06-30", PREPARER, events={"presented": "2026-07-01"}),
    Case(COPY, "", PREPARER + "; neither presented nor signed is known", filed="2026-08-10", due="2026-09-15"),
    Case("e-file-signature", "2029-09-15", "Publication 1345, later of due and receipt; memory",
         kind="other", form="Form 8879-PE", filed="2026-09-10", due="2026-09-15"),
    Case("disclosure-consent", "permanent", "301.7216-3, as long as it can be challenged; practice",
         kind="other", form="7216", signed="2026-09-02"),
    Case("claim-bar-5-years", "2031-07-14", "Uniform act (2006) 704, five years; memory", kind="creditor_notice",
         dissolved="2026-07-14"),
    Case("claim-bar-5-years", "2031-09-30", "Mont. Code 35-8-909, five years from publication; read",
         kind="creditor_notice", dissolved="2026-07-14", events={"published": "2026-09-30"}),
    Case("claim-bar-5-years", "", "no date of the end is assumed; practice", kind="creditor_notice",
         events={"published": "2026-09-30"}),
    Case("winding-up-papers", "2033-07-14", "seven years; practice", kind="consent", dissolved="2026-07-14"),
    Case("proof-of-closure", "permanent", "proof of closure is asked for without limit of time; practice",
         kind="dissolution", filed="2026-07-14"),
    Case("final-returns", "permanent", "proof of filing, 6501(c)(3); practice", filed="2026-07-14", due="2026-09-15"),
]  # fmt: skip


def kept(case: Case) -> Keep:
    """How long the case's paper is kept, under its rule alone."""
    values: dict[str, str | bool] = {"kind": case.kind, "jurisdiction": "US"}
    values |= {"filing_date": case.filed} if case.filed else {}
    values |= {"signed_date": case.signed} if case.signed else {}
    values |= {"form": case.form} if case.form else {}
    paper = PaperFacts("0" * 32, Standing.FILED, "one", "", "2026-11-20T12:00:00.000000+00:00", values)
    due = date.fromisoformat(case.due) if case.due else None
    wanted = ExpectedPaper(f"US/{case.kind}", "US", Kind(case.kind), "T", Need.REQUIRED, "I", (), "N.", due=due)
    only = Schedules(tuple(rule for rule in DEFAULT.rules if rule.id == case.rule))
    dissolved = date.fromisoformat(case.dissolved) if case.dissolved else None
    events = {name: date.fromisoformat(day) for name, day in case.events.items()}
    found = Keeper(only).keep(paper, wanted, dissolved, events)
    assert [one.rule for one in found.applied] == [case.rule], "the rule is there and attaches"
    last = found.until or date(2100, 1, 1)
    whole = Kept(paper, found, found)
    assert obstacle(whole, (), last), "its last day still keeps it"
    assert bool(obstacle(whole, (), last + timedelta(days=1))) == (found.until is None)
    return found


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule} {case.until or 'stands still'}")
def test_a_worked_case(case: Case) -> None:
    found = kept(case)
    if case.until == "permanent":
        assert found.clock is Clock.PERMANENT, case.source
    elif not case.until:
        assert (found.clock, found.until) == (Clock.STANDS_STILL, None), case.source
    else:
        assert found.until == date.fromisoformat(case.until), case.source


def test_there_are_enough_of_them_and_every_source_says_how_it_was_followed() -> None:
    assert len(CASES) >= 20
    assert all(any(word in case.source for word in ("memory", "summary", "read", "practice")) for case in CASES)
