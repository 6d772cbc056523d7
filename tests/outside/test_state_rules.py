"""Titles, clearance and order for the states that come with quietus, each against the source it was read in.

Marked beside each case: `read` (government or statute text, sometimes on a copy), `summary` (a private page), `memory`.
"""

from dataclasses import dataclass
from datetime import date

import pytest

from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import Basis, ExpectedPaper, Need
from quietus.rules import expected_papers, load_packs
from quietus.rules.law import Demand, Section

pytestmark = pytest.mark.outside

PACKS = load_packs()


def papers(home: str, *foreign: str, tax_class: TaxClass = TaxClass.PARTNERSHIP) -> dict[str, ExpectedPaper]:
    entity = Entity(
        slug="pan-glazing",
        name="Pan Glazing LLC",
        ein="07-0000001",
        tax_class=tax_class,
        home=home,
        registrations=tuple(Registration(code) for code in (home, *foreign)),
        closed=date(2026, 6, 30),
        members=("One", "Two"),
    )
    return {paper.key: paper for paper in expected_papers(entity, PACKS)}


@dataclass(frozen=True)
class Clearance:
    """Where a state stands on clearance for one of the two filings."""

    code: str
    section: Section
    need: Demand
    source: str
    basis: Basis


HOME, FOREIGN = Section.HOME, Section.FOREIGN
CLEARANCE = [
    Clearance("TN", HOME, Demand.REQUIRED, "T.C.A. 48-249-612 and the definition of tax clearance", Basis.READ),
    Clearance("TN", FOREIGN, Demand.REQUIRED, "T.C.A. 48-249-907, 48-246-401", Basis.READ),
    Clearance("TX", HOME, Demand.REQUIRED, "comptroller.texas.gov certificate menu; Form 651 help", Basis.READ),
    Clearance("TX", FOREIGN, Demand.REQUIRED, "comptroller.texas.gov certificate menu; Form 608 help", Basis.READ),
    Clearance("CA", HOME, Demand.NONE, "ftb.ca.gov archive: ended on 29 September 2006", Basis.READ),
    Clearance("CA", FOREIGN, Demand.NONE, "ftb.ca.gov archive: ended on 29 September 2006", Basis.READ),
    Clearance("NJ", HOME, Demand.NONE, "N.J.A.C. 18:7-14.21; nj.gov: profit corporations", Basis.READ),
    Clearance("NJ", FOREIGN, Demand.NONE, "N.J.A.C. 18:7-14.21; nj.gov: profit corporations", Basis.READ),
    Clearance("PA", HOME, Demand.REQUIRED, "15 Pa.C.S. 139; 19 Pa. Code 13.13; 61 Pa. Code 151.4", Basis.READ),
    Clearance("PA", FOREIGN, Demand.REQUIRED, "15 Pa.C.S. 139; uc.pa.gov", Basis.READ),
    Clearance("MI", HOME, Demand.REQUIRED, "michigan.gov LARA page; Treasury Form 5156", Basis.READ),
    Clearance("MI", FOREIGN, Demand.REQUIRED, "Treasury Form 5156 and instructions", Basis.READ),
    Clearance("MT", FOREIGN, Demand.REQUIRED, "MCA 35-8-1010 (2015)", Basis.READ),
    Clearance("AL", FOREIGN, Demand.REQUIRED, "private pages; Ala. Code 10A-1-7.11 does not say so", Basis.UNOFFICIAL),
    Clearance("ND", FOREIGN, Demand.NONE, "N.D.C.C. 10-32.1-81(1): what the application holds", Basis.READ),
    Clearance("VA", FOREIGN, Demand.NONE, "Va. Code 13.1-1056 B: the company states it itself", Basis.READ),
    Clearance("OH", HOME, Demand.NONE, "Form D5 instructions: corporations only", Basis.READ),
    Clearance("NC", HOME, Demand.NONE, "NCDOR bulletin 1999-2000: corporations", Basis.READ),
    Clearance("IN", HOME, Demand.OFFERED, "Ind. Code 6-8.1-10-9: written for corporations", Basis.READ),
    Clearance("MA", FOREIGN, Demand.OFFERED, "mass.gov AP 613: abolished for withdrawals in 2004", Basis.READ),
    Clearance("RI", FOREIGN, Demand.OFFERED, "sos.ri.gov: no letter is attached any longer", Basis.READ),
    Clearance("MO", HOME, Demand.OFFERED, "dor.mo.gov Tax Clearance FAQ: says corporation throughout", Basis.READ),
    Clearance("HI", HOME, Demand.OFFERED, "Form A-6 instructions: contracts, licences, residency", Basis.READ),
    Clearance("WV", HOME, Demand.REQUIRED, "private page only, not verified", Basis.UNOFFICIAL),
    Clearance("WA", FOREIGN, Demand.OFFERED, "private page: none for LLCs", Basis.UNOFFICIAL),
    Clearance("OR", HOME, Demand.NONE, "no source", Basis.MEMORY),
    Clearance("CO", FOREIGN, Demand.NONE, "no source", Basis.MEMORY),
    Clearance("DE", HOME, Demand.NONE, "no source", Basis.MEMORY),
    Clearance("NY", HOME, Demand.NONE, "no source", Basis.MEMORY),
    Clearance("FL", HOME, Demand.NONE, "no source", Basis.MEMORY),
]


@pytest.mark.parametrize("case", CLEARANCE, ids=lambda case: f"{case.code} {case.section}")
def test_where_a_state_stands_on_clearance_and_how_that_is_known(case: Clearance) -> None:
    rule = next(one for one in PACKS.by_code[case.code].rules(case.section) if one.name == "clearance")
    assert rule.terms.need is case.need, case.source
    assert case.basis in {source.basis for source in rule.terms.sources}


def test_the_source_was_read_for_at_least_fifteen_states() -> None:
    assert len({case.code for case in CLEARANCE if case.basis is Basis.READ}) >= 15


TITLES = [
    # code, home, title, source
    ("TN", True, "Articles of Termination", "read: T.C.A. 48-249-612"),
    ("TX", True, "Certificate of Termination", "read: Secretary of State help for Form 651"),
    ("TX", False, "Certificate of Withdrawal of Registration", "read: Secretary of State help for Form 608"),
    ("CO", True, "Statement of Dissolution", "read: coloradosos.gov FAQ"),
    ("CO", False, "Statement of Foreign Entity Withdrawal", "read: instructions, C.R.S. 7-90-806"),
    ("CA", True, "Certificate of Cancellation", "read: ftb.ca.gov closing FAQ; LLC-4/7 instructions (copy)"),
    ("CA", False, "Certificate of Cancellation", "read: ftb.ca.gov closing FAQ; LLC-4/7 instructions (copy)"),
    ("NJ", False, "Certificate of Cancellation", "read: nj.gov 2009 archive"),
    ("DE", True, "Certificate of Cancellation", "read: 6 Del. C. 18-203 (copy)"),
    ("AZ", True, "Articles of Termination", "summary: law firm pages; A.R.S. 29-3701 read"),
    ("DC", True, "Statement of Dissolution", "read: D.C. Code 29-807.01, 29-807.02"),
    ("IL", False, "Application for Withdrawal", "read: 805 ILCS 180/45-40"),
    ("MD", True, "Articles of Cancellation", "read: Md. Code, Corps. & Ass'ns 4A-906 to 4A-911 (copies)"),
    ("MI", True, "Certificate of Dissolution", "read: michigan.gov LARA page, CD-731"),
    ("MT", True, "Articles of Termination", "read: MCA 35-8-906 (copy)"),
    ("MT", False, "Application for Certificate of Withdrawal", "read: MCA 35-8-1010"),
    ("RI", False, "Certificate of Cancellation", "read: sos.ri.gov"),
    ("VA", True, "Articles of Cancellation", "read: Va. Code 13.1-1005 as in 2008 Acts ch. 108"),
    ("VA", False, "Application for Certificate of Cancellation", "read: Va. Code 13.1-1056 (copy)"),
    ("WI", True, "Statement of Termination", "read: Wis. Stat. 183.0702(2)"),
    ("FL", True, "Articles of Dissolution", "summary: private page on 605.0707"),
    ("NY", True, "Articles of Dissolution", "summary: private page on LLC Law 705"),
    ("OR", True, "Articles of Dissolution", "memory: ORS 63.631"),
    ("WA", False, "Statement of Withdrawal", "memory: RCW 23.95.530"),
]


@pytest.mark.parametrize(("code", "home", "title", "source"), TITLES)
def test_the_filing_that_ends_the_registration_is_called_as_the_source_calls_it(
    code: str, home: bool, title: str, source: str
) -> None:
    other = "OR" if code != "OR" else "WA"
    key = f"{code}/dissolution" if home else f"{code}/withdrawal"
    assert papers(*((code, other) if home else (other, code)))[key].title == title, source


def test_dissolution_is_not_the_end_in_tennessee() -> None:
    """tnbear.tn.gov, Dissolution and Termination (read): two steps, clearance before termination."""
    found = papers("TN")
    assert found["TN/winding_up_notice"].title == "Notice of Dissolution"
    assert {"TN/winding_up_notice", "TN/clearance"} <= set(found["TN/dissolution"].after)


def test_tennessee_gives_no_clearance_without_the_final_box() -> None:
    """Tennessee Department of Revenue, help article F&E-15 (read)."""
    found = papers("OR", "TN")
    assert found["TN/final_return"].final_box
    assert found["TN/final_return"].key in found["TN/clearance"].after
    assert "amended" in found["TN/final_return"].note


def test_a_state_without_income_tax_can_still_demand_franchise_tax_clearance() -> None:
    """comptroller.texas.gov (read): final report, then the certificate, then the filing."""
    assert PACKS.by_code["TX"].income_tax is False
    found = papers("OR", "TX")
    assert found["TX/clearance"].need is Need.REQUIRED
    assert found["TX/clearance"].after == ("TX/final_return",)
    assert found["TX/clearance"].supports == "TX/withdrawal"


def test_a_foreign_company_that_ended_at_home_needs_no_texas_certificate() -> None:
    """Form 612 and the instructions of Form 608 (read, copies): told where the preparer looks."""
    found = papers("OR", "TX")
    assert "already ended at home" in found["TX/clearance"].note
    assert "Form 612" in found["TX/withdrawal"].titles


def test_colorado_files_electronically_only() -> None:
    """coloradosos.gov FAQ, Dissolving a business (read)."""
    assert papers("CO")["CO/dissolution"].electronic
    assert papers("OR", "CO")["CO/withdrawal"].electronic


def test_california_wants_the_final_box_and_the_filing_within_twelve_months_of_the_return() -> None:
    """ftb.ca.gov, Closing a Business Entity FAQ and Tax News 2014, 2019, 2022 (read)."""
    found = papers("OR", "CA")
    assert found["CA/final_return"].need is Need.REQUIRED
    assert found["CA/final_return"].final_box
    assert "12 months" in found["CA/withdrawal"].note


def test_new_york_takes_the_home_state_s_certificate_in_place_of_a_surrender() -> None:
    """N.Y. LLC Law 807 (read, nysenate.gov)."""
    withdrawal = papers("OR", "NY")["NY/withdrawal"]
    assert any("Home State" in title for title in withdrawal.titles)


def test_delaware_s_annual_tax_is_paid_first() -> None:
    """6 Del. C. 18-1108 and 15-1208 (read, copies); LLCs through private pages."""
    assert "annual tax" in papers("DE")["DE/dissolution"].note


def test_a_washington_dissolution_can_be_undone_for_120_days() -> None:
    """RCW 25.15.293, text of 2009 (read, mrsc.org)."""
    assert "120 days" in papers("WA")["WA/dissolution"].note


def test_new_jersey_asks_again_when_the_company_is_taxed_as_a_corporation() -> None:
    """N.J.A.C. 18:7-14.21 and Form A-5088-TC (read): corporations."""
    assert "NJ/clearance" not in papers("OR", "NJ")
    assert papers("OR", "NJ", tax_class=TaxClass.C_CORPORATION)["NJ/clearance"].need is Need.ADVISED


def test_oregon_s_default_is_the_consent_of_all_members() -> None:
    """ORS 63.621(3) (read, copy)."""
    dissolution = papers("OR")["OR/dissolution"]
    assert any("63.621(3)" in source.cite and source.basis is Basis.READ for source in dissolution.sources)


def test_pennsylvania_wants_two_clearances_from_two_agencies_with_the_filing() -> None:
    """15 Pa.C.S. 139 (read, copy) and uc.pa.gov (read)."""
    found = papers("PA")
    both = ["PA/clearance", "PA/clearance-labor"]
    assert [found[key].need for key in both] == [Need.REQUIRED, Need.REQUIRED]
    assert {found[key].supports for key in both} == {"PA/dissolution"}
    assert set(both) <= set(found["PA/dissolution"].after)
    assert "Labor and Industry" in found["PA/clearance-labor"].issuer


def test_in_michigan_a_clearance_dated_after_the_filing_is_normal() -> None:
    """michigan.gov LARA page and Treasury Form 5156 (read): requested within 60 days of the filing."""
    found = papers("OR", "MI")
    assert found["MI/clearance"].after == ("MI/withdrawal",)
    assert found["MI/clearance"].supports == ""
    assert "60 days" in found["MI/clearance"].note


def test_montana_attaches_the_tax_certificate_to_a_foreign_withdrawal_only() -> None:
    """MCA 35-8-1010, text of 2015 (read)."""
    assert "MT/clearance" not in papers("MT")
    found = papers("OR", "MT")
    assert found["MT/withdrawal"].after == ("MT/clearance",)
    assert found["MT/clearance"].supports == "MT/withdrawal"


def test_rhode_island_wants_its_division_s_final_return_form_before_a_foreign_cancellation() -> None:
    """sos.ri.gov, withdraw or cancel your business (read)."""
    found = papers("OR", "RI")
    assert found["RI/final_return-division"].need is Need.REQUIRED
    assert found["RI/withdrawal"].after == ("RI/final_return-division",)


def test_arkansas_wants_the_final_franchise_report_before_either_filing() -> None:
    """Secretary of State's final franchise tax report and its reminder (read, copy)."""
    assert "AR/final_return-franchise" in papers("AR")["AR/dissolution"].after
    assert "AR/final_return-franchise" in papers("OR", "AR")["AR/withdrawal"].after


def test_in_maryland_articles_of_dissolution_do_not_prove_the_end() -> None:
    """Md. Code, Corps. & Ass'ns 4A-906 to 4A-911 (read, copies)."""
    found = papers("MD")
    assert found["MD/winding_up_notice"].title == "Articles of Dissolution"
    assert found["MD/winding_up_notice"].need is Need.ADVISED
    assert found["MD/dissolution"].title == "Articles of Cancellation"


def test_georgia_wants_the_home_state_s_evidence_with_a_foreign_withdrawal() -> None:
    """Ga. Comp. R. & Regs. 590-7-23-.03 (read, copy)."""
    assert "home state's evidence" in papers("OR", "GA")["GA/withdrawal"].note


def test_nebraska_publishes_the_notice_of_dissolution() -> None:
    """Neb. Rev. Stat. 21-148 and following (from memory)."""
    assert papers("NE")["NE/publication_affidavit"].need is Need.REQUIRED
    assert "NE/publication_affidavit" not in papers("OR", "NE")


def test_no_pack_calls_read_what_its_facts_call_memory() -> None:
    """The facts' own marks: everything on Oregon's two filing titles is from memory."""
    statute = next(s for s in papers("OR")["OR/dissolution"].sources if "63.631" in s.cite)
    assert statute.basis is Basis.MEMORY
