"""Order, windows and the home state's certificate, against statutes and agencies, and as common practice has it.

Marked in each docstring: read, summary, memory, common practice.
"""

from datetime import date

import pytest

from quietus.closing.gather import case_of
from quietus.closing.plan import plan
from quietus.closing.verdict import judge
from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import Need
from quietus.model.facts import PaperFacts
from quietus.model.findings import Code, Verdict
from quietus.model.paper import Standing
from quietus.rules import load_packs, owed_while_open

pytestmark = pytest.mark.outside

PACKS = load_packs()
SINCE = date(2017, 3, 20)


def company(home: str, *foreign: str, tax_class: TaxClass = TaxClass.PARTNERSHIP) -> Entity:
    return Entity(
        slug="pan-glazing", name="Pan Glazing LLC", ein="07-0000001", tax_class=tax_class, home=home,
        registrations=tuple(Registration(code, since=SINCE) for code in (home, *foreign)),
        formed=SINCE, closed=date(2026, 6, 30), members=("A", "B"), has_assets=False,
    )  # fmt: skip


def paper(key: str, **values: str | bool) -> PaperFacts:
    read = {"jurisdiction": key.partition("/")[0], "kind": key.partition("/")[2], **values}
    return PaperFacts(f"{abs(hash(key)):032x}"[:32], Standing.FILED, "pan-glazing", key, "2026-11-01", read)


def verdict(entity: Entity, *papers: PaperFacts, today: date = date(2027, 12, 1)) -> Verdict:
    return judge(case_of(PACKS, entity, papers, (), today))


def findings(result: Verdict, code: Code) -> list[str]:
    return [finding.expected for finding in result.findings if finding.code is code]


def order(entity: Entity) -> list[str]:
    case = case_of(PACKS, entity, (), (), date(2026, 11, 20))
    return [step.key for step in plan(case, judge(case))]


@pytest.mark.parametrize("home", [True, False])
def test_one_large_western_state_wants_the_final_return_before_the_filing(home: bool) -> None:
    """Common practice; ftb.ca.gov, Closing a Business Entity FAQ (read): the return first, then the filing."""
    entity = company("CA") if home else company("OR", "CA")
    ending = "CA/dissolution" if home else "CA/withdrawal"
    steps = order(entity)
    assert steps.index("CA/final_return") < steps.index(ending)
    early = paper(ending, stamped=True, filing_date="2026-07-14")
    late = paper("CA/final_return", final_box=True, period_end="2026-06-30", signed_date="2026-09-01")
    assert ending in findings(verdict(entity, early, late), Code.DATES_OUT_OF_ORDER)
    assert not verdict(entity, early).proven


@pytest.mark.parametrize(("filed", "missed"), [("2027-09-01", False), ("2027-09-02", True)])
def test_california_s_filing_has_to_follow_within_twelve_months_of_the_return(filed: str, missed: bool) -> None:
    """ftb.ca.gov, Closing a Business Entity FAQ and Tax News 2014, 2019, 2022 (read)."""
    entity = company("OR", "CA")
    returned = paper("CA/final_return", final_box=True, period_end="2026-06-30", signed_date="2026-09-01")
    ended = paper("CA/withdrawal", stamped=True, filing_date=filed)
    assert (findings(verdict(entity, returned, ended), Code.WINDOW_MISSED) == ["CA/withdrawal"]) == missed


@pytest.mark.parametrize(("filed", "missed"), [("2026-09-29", False), ("2026-09-30", True)])
def test_new_york_s_articles_follow_within_ninety_days_of_the_dissolution(filed: str, missed: bool) -> None:
    """N.Y. LLC Law 705 (summary)."""
    consent = paper("company/consent", signed_date="2026-07-01")
    ended = paper("NY/dissolution", stamped=True, filing_date=filed)
    assert (findings(verdict(company("NY"), consent, ended), Code.WINDOW_MISSED) == ["NY/dissolution"]) == missed


def test_michigan_s_clearance_is_asked_for_within_sixty_days_of_the_filing() -> None:
    """michigan.gov, LARA; Treasury Form 5156 (read): the certificate itself may bear any later date."""
    ended = paper("MI/withdrawal", stamped=True, filing_date="2026-08-01")
    entity = company("OR", "MI")
    missing = next(f for f in verdict(entity, ended).findings if f.code is Code.CLEARANCE_MISSING)
    assert "had to be asked for by 2026-09-30" in missing.says
    late = paper("MI/clearance", signed_date="2027-03-01")
    assert findings(verdict(entity, ended, late), Code.WINDOW_MISSED) == []


@pytest.mark.parametrize(("dated", "late"), [("2026-07-06", False), ("2026-07-07", True)])
def test_form_966_counts_from_the_resolution_that_is_on_file(dated: str, late: bool) -> None:
    """26 U.S.C. 6043(a), Treas. Reg. 1.6043-1 (summary): 30 days after adoption; July 5, 2026 is a Sunday."""
    entity = company("OR", tax_class=TaxClass.C_CORPORATION)
    consent = paper("company/consent", signed_date="2026-06-05")
    notice = paper("US/corporate_liquidation_notice", signed_date=dated)
    key = "US/corporate_liquidation_notice"
    assert (key in findings(verdict(entity, consent, notice), Code.LATE)) == late


def test_a_franchise_tax_clearance_is_wanted_in_a_state_without_income_tax() -> None:
    """comptroller.texas.gov (read): report, certificate, filing."""
    steps = order(company("TX"))
    assert steps.index("TX/final_return") < steps.index("TX/clearance") < steps.index("TX/dissolution")


def test_without_the_final_box_the_next_year_s_return_is_expected_and_no_clearance_comes() -> None:
    """Tennessee Department of Revenue, F&E-15 (read); common practice elsewhere."""
    entity = company("OR", "TN")
    unmarked = paper("TN/final_return", final_box=False, period_end="2026-06-30", signed_date="2026-09-01")
    asked = paper("", jurisdiction="TN", kind="tax_notice", period_end="2027-12-31")
    result = verdict(entity, unmarked, asked)
    assert findings(result, Code.FINAL_BOX_EMPTY) == ["TN/final_return"]
    assert findings(result, Code.CLEARANCE_MISSING) == ["TN/clearance"]
    assert findings(result, Code.LATER_YEAR) == ["TN/final_return"]


HOME_ENDED = paper("OR/dissolution", stamped=True, filing_date="2026-07-14")


@pytest.mark.parametrize(
    ("code", "source"),
    [
        ("NY", "N.Y. LLC Law 807 (read, nysenate.gov and ny.elaws.us)"),
        ("ND", "N.D.C.C. 10-32.1-81(2) (read, text through 2024)"),
        ("TX", "Form 612 and the instructions of Form 608 (read, copies)"),
    ],
)
def test_where_the_home_state_s_certificate_takes_the_place_of_a_withdrawal(code: str, source: str) -> None:
    entity = company("OR", code)
    still = [f for f in verdict(entity, HOME_ENDED).findings if f.code is Code.FOREIGN_OPEN]
    assert len(still) == 1, source
    certificate = next(e for e in case_of(PACKS, entity, (), (), date(2026, 11, 20)).expected
                       if e.key == f"{code}/withdrawal").home_certificate  # fmt: skip
    assert certificate and still[0].next_step == certificate, source


@pytest.mark.parametrize("code", ["WA", "WI", "CO"])
def test_elsewhere_a_withdrawal_is_filed_all_the_same(code: str) -> None:
    """Uniform act (2013) section 908, as in Wis. Stat. 183.0908 (read, 2019 bill): a dissolved company withdraws."""
    expected = case_of(PACKS, company("OR", code), (), (), date(2026, 11, 20)).expected
    assert not next(e for e in expected if e.key == f"{code}/withdrawal").home_certificate


def test_texas_spares_who_ended_at_home_its_certificate() -> None:
    """direct.sos.state.tx.us help for Form 608; Form 612 (read, copies)."""
    entity = company("OR", "TX")
    after_home = paper("TX/withdrawal", stamped=True, filing_date="2026-08-01")
    before_home = paper("TX/withdrawal", stamped=True, filing_date="2026-07-01")
    assert findings(verdict(entity, HOME_ENDED, after_home), Code.CLEARANCE_MISSING) == []
    assert findings(verdict(entity, HOME_ENDED, before_home), Code.CLEARANCE_MISSING) == ["TX/clearance"]


def test_georgia_wants_home_to_end_first_when_the_company_is_dissolved_there() -> None:
    """Ga. Comp. R. & Regs. 590-7-23-.03 (read, copy): warned of, since a company may also just leave."""
    entity = company("OR", "GA")
    early = paper("GA/withdrawal", stamped=True, filing_date="2026-07-01")
    result = verdict(entity, HOME_ENDED, early)
    assert findings(result, Code.DATES_OUT_OF_ORDER) == ["GA/withdrawal"]
    assert "GA/withdrawal" not in {finding.expected for finding in result.blocking}
    steps = order(entity)
    assert steps.index("OR/dissolution") < steps.index("GA/withdrawal")


@pytest.mark.parametrize(
    ("code", "notice", "source"),
    [
        ("TN", "Notice of Dissolution", "tnbear.tn.gov, two steps (read)"),
        ("MD", "Articles of Dissolution", "Md. Code, Corps. & Ass'ns 4A-906 to 4A-911 (read, copies)"),
        ("MO", "Notice of Winding Up", "private pages (summary)"),
        ("NJ", "Certificate of Dissolution", "N.J.S.A. 42:2C-49 (memory)"),
        ("ND", "Notice of Dissolution", "N.D.C.C. chapter 10-32.1 (memory)"),
    ],
)
def test_a_paper_that_begins_the_winding_up_does_not_prove_its_end(code: str, notice: str, source: str) -> None:
    entity = company(code)
    begun = paper(f"{code}/winding_up_notice", stamped=True, filing_date="2026-07-10")
    assert findings(verdict(entity, begun), Code.WINDING_UP_ONLY) == [f"{code}/dissolution"], source
    misfiled = PaperFacts(
        "1" * 32, Standing.FILED, "pan-glazing", f"{code}/dissolution", "2026-11-01",
        {"stamped": True, "filing_date": "2026-07-10", "kind": "dissolution", "jurisdiction": code}, (), notice.upper(),
    )  # fmt: skip
    assert findings(verdict(entity, misfiled), Code.WINDING_UP_ONLY) == [f"{code}/dissolution"], source


def test_two_agencies_clear_a_company_in_pennsylvania_before_the_filing() -> None:
    """15 Pa.C.S. 139 (read, copy); uc.pa.gov (read)."""
    steps = order(company("OR", "PA"))
    both = {"PA/clearance", "PA/clearance-labor"}
    assert both < set(steps)
    assert all(steps.index(key) < steps.index("PA/withdrawal") for key in both)


YEARLY = [
    # code, first day after June 30, 2026 for a registration of March 20, 2017, source
    ("AK", "2027-01-02", "biennial report, January 2 (summary)"),
    ("AR", "2027-05-01", "franchise tax report, May 1 (summary)"),
    ("CA", "2027-03-31", "statement of information, end of the registration month, every two years (summary)"),
    ("CO", "2027-03-31", "periodic report, end of the registration month (summary)"),
    ("CT", "2027-03-31", "annual report, March 31 (summary)"),
    ("GA", "2027-04-01", "annual registration, April 1 (summary)"),
    ("KS", "2027-04-15", "information report, 15th day of the fourth month (summary)"),
    ("DE", "2027-06-01", "6 Del. C. 18-1107 (memory)"),
    ("FL", "2027-05-01", "Fla. Stat. 605.0212 (memory)"),
    ("IL", "2027-02-28", "805 ILCS 180/50-1, before the anniversary month (memory)"),
    ("NJ", "2027-03-31", "N.J.S.A. 42:2C-26, yearly (read); the month (memory)"),
    ("OR", "2027-03-20", "ORS 63.787, on the anniversary (memory)"),
    ("TN", "2027-04-01", "T.C.A. 48-249-1017 (memory)"),
    ("TX", "2027-05-15", "Tex. Tax Code 171.202 (memory)"),
    ("WA", "2027-03-31", "RCW 23.95.255, end of the registration month (memory)"),
    ("WY", "2027-03-01", "W.S. 17-29-209 (memory)"),
]


@pytest.mark.parametrize(("code", "day", "source"), YEARLY)
def test_when_the_yearly_report_of_an_open_registration_falls_due(code: str, day: str, source: str) -> None:
    entity = company("OR", code) if code != "OR" else company("OR")
    owed = owed_while_open(entity, PACKS, code, date(2026, 6, 30), date(2028, 6, 30))
    assert owed[0].dates[0] == date.fromisoformat(day), source


@pytest.mark.parametrize("code", ["MO", "NM", "OH", "AZ", "SC"])
def test_some_states_ask_llcs_for_no_yearly_report(code: str) -> None:
    """From memory; Ohio and Arizona in private summaries."""
    assert owed_while_open(company("OR", code), PACKS, code, date(2026, 6, 30), date(2028, 6, 30)) == ()


def test_new_jersey_s_missed_reports_are_owed_before_a_certificate_is_restored() -> None:
    """N.J.S.A. 42:2C-26 b. (read, njlaw.rutgers.edu)."""
    exposure = PACKS.by_code["NJ"].upkeep[0].exposure
    assert "two years in a row" in exposure and "every missed report is owed" in exposure


def test_a_paper_of_a_classification_is_not_asked_of_another() -> None:
    """IRS instructions for Form 966 (read): corporations; absence is right for partnerships."""
    needs = {e.key: e.need for e in case_of(PACKS, company("OR"), (), (), date(2026, 11, 20)).expected}
    assert "US/corporate_liquidation_notice" not in needs
    assert needs["US/final_return"] is Need.REQUIRED
