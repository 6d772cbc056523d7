"""Which papers have to be marked final, and which have no such mark, against the forms and their instructions.

Marked beside each case: `read`, `summary` (restated by others), `memory`.
"""

from datetime import date

import pytest

from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import Basis, ExpectedPaper
from quietus.rules import expected_papers, load_packs

pytestmark = pytest.mark.outside

PACKS = load_packs()


def papers(tax_class: TaxClass = TaxClass.PARTNERSHIP, home: str = "OR", *foreign: str) -> dict[str, ExpectedPaper]:
    entity = Entity(
        slug="pan-glazing", name="Pan Glazing LLC", ein="07-0000001", tax_class=tax_class, home=home,
        registrations=tuple(Registration(code) for code in (home, *foreign)), closed=date(2026, 6, 30),
        members=("A", "B"), employees=True, contractors_paid=True, sold_business=True, last_wages=date(2026, 5, 20),
        plan_adopted=date(2026, 6, 5),
    )  # fmt: skip
    return {paper.key: paper for paper in expected_papers(entity, PACKS)}


P, S, C = TaxClass.PARTNERSHIP, TaxClass.S_CORPORATION, TaxClass.C_CORPORATION
MARKED = [
    # classification, key, form, source
    (P, "US/final_return", "1065", "Form 1065 item G (2) (memory)"),
    (S, "US/final_return", "1120-S", "Form 1120-S item H (1) (memory; its sibling H (4) in a summary)"),
    (C, "US/final_return", "1120", "Form 1120 item E (2) (memory)"),
    (P, "US/final_employment_return", "941", "Instructions for Form 941 (2016), business has closed (summary)"),
    (P, "US/final_employment_return", "944", "Form 944, the same part (memory)"),
    (P, "OR/final_return", "OR-65", "Form OR-65 instructions 2022 and 2023, final return (read, copies)"),
    (S, "OR/final_return", "OR-20-S", "Form OR-20-S (memory)"),
    (C, "OR/final_return", "OR-20", "Form OR-20 (memory)"),
]


@pytest.mark.parametrize(("tax_class", "key", "form", "source"), MARKED)
def test_the_return_has_to_be_marked_final(tax_class: TaxClass, key: str, form: str, source: str) -> None:
    paper = papers(tax_class)[key]
    assert paper.final_box and form in paper.forms, source


AT = [
    (P, "item G, box 2"),
    (S, "item H, box 1"),
    (C, "item E, box 2"),
]


@pytest.mark.parametrize(("tax_class", "where"), AT)
def test_where_the_federal_box_stands(tax_class: TaxClass, where: str) -> None:
    """Forms 1065, 1120-S, 1120 (memory): items move between form years, so the words on the paper count."""
    assert papers(tax_class)["US/final_return"].final_box_at == where


ABROAD = [
    ("TN", "FAE170", "Tennessee Department of Revenue, F&E-15 (read)"),
    ("CA", "568", "ftb.ca.gov, Closing a Business Entity FAQ; Tax News September 2019 (read)"),
    ("CO", "DR 0106", "Form DR 0106 (memory)"),
    ("NJ", "NJ-1065", "Form NJ-1065 (memory)"),
    ("NY", "IT-204", "Form IT-204 (memory)"),
    ("PA", "PA-65", "Form PA-20S/PA-65 (memory)"),
]


@pytest.mark.parametrize(("code", "form", "source"), ABROAD)
def test_the_state_return_has_to_be_marked_final(code: str, form: str, source: str) -> None:
    paper = papers(P, "OR", code)[f"{code}/final_return"]
    assert paper.final_box and form in paper.forms, source


UNMARKED = [
    ("US/wage_statement", "Form W-3 has no final box (memory)"),
    ("US/information_return", "Forms 1099 and 1096 have no final marking (memory)"),
    ("US/asset_sale_form", "Form 8594 goes with the return (memory)"),
    ("US/asset_sale_form-property", "Form 4797 goes with the return (summary)"),
    ("US/final_k1", "marked by its own box, which is advised and not asked for here (memory)"),
    ("US/ein_closure_letter", "a letter (read, archived 2012)"),
]


@pytest.mark.parametrize(("key", "source"), UNMARKED)
def test_other_federal_papers_are_not_asked_for_a_final_box(key: str, source: str) -> None:
    assert not papers(P)[key].final_box, source


@pytest.mark.parametrize("tax_class", [S, C])
def test_form_966_has_no_final_box(tax_class: TaxClass) -> None:
    """Form 966, Rev. 12-2007 (read): lines 3 to 10, none of them a final box."""
    assert not papers(tax_class)["US/corporate_liquidation_notice"].final_box


def test_a_disregarded_company_has_no_return_to_mark() -> None:
    """Treas. Reg. 301.7701-2(a), -3(b)(1)(ii) (memory): its last months stand in the owner's return."""
    assert "US/final_return" not in papers(TaxClass.DISREGARDED)


DUE = [
    # key, classification, due, source
    ("US/final_employment_return", P, "2026-07-31", "Treas. Reg. 31.6071(a)-1(a)(1) (memory)"),
    ("US/final_employment_return-futa", P, "2027-02-01", "Treas. Reg. 31.6071(a)-1(c) (summary)"),
    ("US/wage_statement", P, "2026-07-31", "General Instructions for Forms W-2 and W-3 (2021), page 13 (summary)"),
    ("US/information_return", P, "2027-02-01", "26 U.S.C. 6071(c): no earlier for a closed business (memory)"),
    ("US/corporate_liquidation_notice", C, "2026-07-06", "26 U.S.C. 6043(a), Treas. Reg. 1.6043-1 (summary)"),
    ("US/asset_sale_form", P, "2026-09-15", "Treas. Reg. 1.1060-1(e): with the return (memory)"),
]


@pytest.mark.parametrize(("key", "tax_class", "due", "source"), DUE)
def test_when_the_other_federal_papers_are_due(key: str, tax_class: TaxClass, due: str, source: str) -> None:
    assert papers(tax_class)[key].due == date.fromisoformat(due), source


def test_what_is_from_memory_says_so() -> None:
    boxes = next(one for one in papers(P)["US/final_return"].sources if "item G" in one.cite)
    assert boxes.basis is Basis.MEMORY
    early = next(one for one in papers(P)["US/wage_statement"].sources if "page 13" in one.cite)
    assert early.basis is Basis.UNOFFICIAL
