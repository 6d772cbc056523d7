"""What is expected of an entity follows from its own facts, and from nothing else."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import ExpectedPaper, Need, kind_of
from quietus.model.kinds import Kind
from quietus.rules import Packs, expected_papers, last_year_begins, load_packs

PACKS = load_packs()


def company(
    home: str = "OR",
    foreign: Sequence[str | Registration] = (),
    *,
    tax_class: TaxClass = TaxClass.PARTNERSHIP,
    employees: bool = False,
    has_assets: bool = True,
) -> Entity:
    there = [one if isinstance(one, Registration) else Registration(one) for one in foreign]
    return Entity(
        slug="pan-glazing",
        name="Pan Glazing LLC",
        ein="07-0000001",
        tax_class=tax_class,
        home=home,
        registrations=(Registration(home), *there),
        formed=date(2016, 4, 11),
        closed=date(2026, 6, 30),
        members=("One", "Two"),
        employees=employees,
        has_assets=has_assets,
    )


def wanted(entity: Entity, packs: Packs = PACKS) -> dict[str, ExpectedPaper]:
    return {paper.key: paper for paper in expected_papers(entity, packs)}


def keys(entity: Entity, need: Need) -> list[str]:
    return [paper.key for paper in expected_papers(entity, PACKS) if paper.need is need]


FOUR_STATES = company("OR", ["WA", "CO", "TN", "NJ"])


def test_a_partnership_in_five_states_must_yield_exactly_this() -> None:
    assert keys(FOUR_STATES, Need.REQUIRED) == [
        "company/consent",
        "company/asset_disposition",
        "US/final_return",
        "US/ein_closure_letter",
        "OR/dissolution",
        "OR/final_return",
        "CO/withdrawal",
        "NJ/withdrawal",
        "TN/withdrawal",
        "TN/clearance",
        "TN/final_return",
        "WA/withdrawal",
    ]


def test_a_partnership_in_five_states_is_advised_exactly_this() -> None:
    assert keys(FOUR_STATES, Need.ADVISED) == [
        "company/creditor_notice",
        "company/closing_balance_sheet",
        "US/final_k1",
        "CO/final_return",
        "NJ/final_return",
        "WA/account_closure",
    ]


def test_order_is_company_federal_home_then_foreign_by_code() -> None:
    scopes = list(dict.fromkeys(paper.scope for paper in expected_papers(FOUR_STATES, PACKS)))
    assert scopes == ["company", "US", "OR", "CO", "NJ", "TN", "WA"]


def test_the_order_of_registrations_does_not_matter() -> None:
    turned = replace(FOUR_STATES, registrations=tuple(reversed(FOUR_STATES.registrations)))
    assert expected_papers(turned, PACKS) == expected_papers(FOUR_STATES, PACKS)


def test_consent_comes_before_the_filing_that_ends_the_company_at_home() -> None:
    assert wanted(FOUR_STATES)["OR/dissolution"].after == ("company/consent",)


def test_tennessee_wants_return_then_clearance_then_withdrawal() -> None:
    papers = wanted(FOUR_STATES)
    assert papers["TN/clearance"].after == ("TN/final_return",)
    assert papers["TN/clearance"].supports == "TN/withdrawal"
    assert papers["TN/withdrawal"].after == ("TN/clearance",)
    assert papers["TN/final_return"].final_box and papers["TN/final_return"].forms == ("FAE170",)


def test_the_same_state_at_home_supports_its_dissolution_instead() -> None:
    papers = wanted(company("TN"))
    assert papers["TN/clearance"].supports == "TN/dissolution"
    assert papers["TN/dissolution"].after == ("company/consent", "TN/winding_up_notice", "TN/clearance")


def test_colorado_s_filing_is_electronic_and_its_return_is_known() -> None:
    papers = wanted(FOUR_STATES)
    assert papers["CO/withdrawal"].electronic and papers["CO/withdrawal"].office_mark
    assert papers["CO/final_return"].forms == ("DR 0106",)


def test_a_clearance_that_is_only_offered_is_not_listed() -> None:
    assert "WA/clearance" not in wanted(FOUR_STATES)


def test_an_income_tax_account_makes_a_foreign_return_required() -> None:
    papers = wanted(company("OR", [Registration("CO", tax_accounts=("Income: 12-345",))]))
    assert papers["CO/final_return"].need is Need.REQUIRED


def test_every_other_tax_account_has_to_be_closed_one_paper_each() -> None:
    accounts = ("sales: 600-123-456", "payroll: 1", "income: 2", "sales: second")
    papers = wanted(company("OR", [Registration("CO", tax_accounts=accounts)]))
    closing = [paper for paper in papers.values() if paper.kind is Kind.ACCOUNT_CLOSURE]
    assert [paper.key for paper in closing] == ["CO/account_closure-payroll", "CO/account_closure-sales"]
    assert all(paper.need is Need.REQUIRED and paper.issuer == "Colorado Department of Revenue" for paper in closing)


def test_a_state_s_own_account_paper_answers_for_the_types_it_closes() -> None:
    papers = wanted(company("OR", [Registration("WA", tax_accounts=("b&o: 1", "sales: 2", "payroll: 3"))]))
    assert papers["WA/account_closure"].need is Need.REQUIRED
    assert "WA/account_closure-sales" not in papers
    assert papers["WA/account_closure-payroll"].need is Need.REQUIRED


def test_an_income_account_of_a_disregarded_company_still_has_to_be_closed() -> None:
    entity = company("OR", [Registration("CO", tax_accounts=("income: 1",))], tax_class=TaxClass.DISREGARDED)
    assert "CO/final_return" not in wanted(entity)
    assert wanted(entity)["CO/account_closure-income"].need is Need.REQUIRED


@pytest.mark.parametrize(
    ("tax_class", "form"),
    [
        (TaxClass.DISREGARDED, None),
        (TaxClass.PARTNERSHIP, "1065"),
        (TaxClass.S_CORPORATION, "1120-S"),
        (TaxClass.C_CORPORATION, "1120"),
    ],
)
def test_the_federal_return_follows_the_classification(tax_class: TaxClass, form: str | None) -> None:
    paper = wanted(company(tax_class=tax_class)).get("US/final_return")
    assert (paper.forms[0] if paper else None) == form
    assert paper is None or paper.final_box


@pytest.mark.parametrize("tax_class", list(TaxClass))
def test_form_966_is_for_corporations_and_schedules_k1_for_pass_through_companies(tax_class: TaxClass) -> None:
    papers = wanted(company(tax_class=tax_class))
    corporation = tax_class in (TaxClass.S_CORPORATION, TaxClass.C_CORPORATION)
    assert ("US/corporate_liquidation_notice" in papers) == corporation
    assert ("US/final_k1" in papers) == (tax_class in (TaxClass.PARTNERSHIP, TaxClass.S_CORPORATION))


@pytest.mark.parametrize("tax_class", list(TaxClass))
def test_an_employer_files_both_last_employment_returns_however_it_is_taxed(tax_class: TaxClass) -> None:
    forms = [
        paper.forms
        for paper in expected_papers(company(tax_class=tax_class, employees=True), PACKS)
        if paper.kind is Kind.FINAL_EMPLOYMENT_RETURN
    ]
    assert forms == [("941", "944"), ("940",)]


def test_without_employees_there_are_no_employment_returns() -> None:
    assert not any(paper.kind is Kind.FINAL_EMPLOYMENT_RETURN for paper in expected_papers(company(), PACKS))


def test_the_ein_letter_follows_the_last_returns() -> None:
    letter = wanted(company(employees=True))["US/ein_closure_letter"]
    assert letter.after == ("US/final_return", "US/final_employment_return")
    disregarded = wanted(company(tax_class=TaxClass.DISREGARDED))["US/ein_closure_letter"]
    assert disregarded.after == ()


def test_an_employer_owes_wage_statements_by_the_date_of_its_last_quarterly_return() -> None:
    papers = wanted(replace(company(employees=True), last_wages=date(2026, 5, 20)))
    assert papers["US/wage_statement"].due == papers["US/final_employment_return"].due == date(2026, 7, 31)
    assert papers["US/final_employment_return-futa"].due == date(2027, 2, 1)
    assert papers["US/wage_statement"].need is Need.REQUIRED
    assert wanted(company(employees=True))["US/wage_statement"].due is None


def test_contractors_call_for_information_returns_in_january() -> None:
    assert "US/information_return" not in wanted(company())
    paper = wanted(replace(company(), contractors_paid=True))["US/information_return"]
    assert (paper.need, paper.due) == (Need.REQUIRED, date(2027, 2, 1))  # January 31, 2027 is a Sunday
    assert not paper.final_box


def test_a_sold_business_calls_for_both_sale_forms_and_the_distribution_record() -> None:
    sold = wanted(replace(company(), sold_business=True))
    assert sold["US/asset_sale_form"].need is Need.REQUIRED
    assert sold["US/asset_sale_form"].due == sold["US/final_return"].due
    assert sold["US/asset_sale_form-property"].need is Need.ADVISED
    assert sold["company/distribution_record"].need is Need.REQUIRED
    assert not any("asset_sale" in key or "distribution" in key for key in wanted(company()))


@pytest.mark.parametrize(
    ("creditors", "notice", "proof"), [(None, True, False), (True, True, True), (False, False, False)]
)
def test_the_notice_and_its_proof_of_mailing_follow_the_creditors(
    creditors: bool | None, notice: bool, proof: bool
) -> None:
    papers = wanted(replace(company(), has_creditors=creditors))
    assert ("company/creditor_notice" in papers) == notice
    assert ("company/mailing_proof" in papers) == proof
    if proof:
        assert papers["company/mailing_proof"].after == ("company/creditor_notice",)


def test_form_966_is_due_thirty_days_after_the_plan_was_adopted() -> None:
    corporation = company(tax_class=TaxClass.C_CORPORATION)
    adopted = replace(corporation, plan_adopted=date(2026, 10, 27))
    assert wanted(adopted)["US/corporate_liquidation_notice"].due == date(2026, 11, 27)
    assert wanted(corporation)["US/corporate_liquidation_notice"].due is None


def test_what_an_old_list_does_not_say_changes_nothing_that_is_required() -> None:
    new = {"US/information_return", "US/asset_sale_form", "company/distribution_record", "company/mailing_proof"}
    assert not new & set(wanted(FOUR_STATES))


def test_the_time_for_claims_comes_from_the_home_state_else_from_the_uniform_text() -> None:
    here = wanted(company("OR"))["company/creditor_notice"].claims
    elsewhere = wanted(company("MO"))["company/creditor_notice"].claims
    assert here and elsewhere
    assert "63.641" in here.sources[0].cite
    assert "Uniform" in elsewhere.sources[0].cite
    assert here.days == elsewhere.days == 120


def test_a_window_names_its_paper_and_goes_when_that_is_not_expected(tmp_path: Path) -> None:
    window = wanted(company("OR", ["CA"]))["CA/withdrawal"].window
    assert window and (window.after, window.months, window.request) == ("CA/final_return", 12, False)
    (tmp_path / "CA.toml").write_text('extends = true\n[any.final_return]\nneed = "none"\n', encoding="utf-8")
    without = wanted(company("OR", ["CA"]), load_packs([tmp_path]))["CA/withdrawal"]
    assert without.window is None and without.after == ()


def test_every_return_but_a_few_has_a_due_date() -> None:
    undated = {
        key
        for code in PACKS.codes[2:]
        for tax_class in (TaxClass.PARTNERSHIP, TaxClass.S_CORPORATION, TaxClass.C_CORPORATION)
        for key, paper in wanted(company(code, tax_class=tax_class)).items()
        if paper.kind is Kind.FINAL_RETURN and paper.due is None
    }
    assert undated == {
        "AR/final_return-franchise",  # before the filing, whenever that is
        "ME/final_return",  # quarterly withholding, no return of the year
        "OH/final_return",  # of a company taxed as a corporation: gross receipts, by quarter
        "RI/final_return-division",  # before the filing
        "TX/final_return",  # of a company formed there: before it ends
    }


def test_without_assets_no_disposition_record_is_expected() -> None:
    assert "company/asset_disposition" not in wanted(company(has_assets=False))


def test_one_member_consents_alone() -> None:
    assert "sole member" in wanted(replace(company(), members=("One",)))["company/consent"].title
    assert "sole member" not in wanted(company())["company/consent"].title


def test_a_clearance_supports_nothing_where_the_filing_is_not_expected(tmp_path: Path) -> None:
    (tmp_path / "TN.toml").write_text('extends = true\n[foreign.withdrawal]\nneed = "none"\n', encoding="utf-8")
    assert wanted(FOUR_STATES, load_packs([tmp_path]))["TN/clearance"].supports == ""


def test_due_dates_come_from_the_closing_date() -> None:
    paper = wanted(FOUR_STATES)["US/final_return"]
    assert (paper.due, paper.extended) == (date(2026, 9, 15), date(2027, 3, 15))


def test_without_a_closing_date_nothing_is_due() -> None:
    assert all(paper.due is None for paper in expected_papers(replace(FOUR_STATES, closed=None), PACKS))


def test_a_jurisdiction_without_a_pack_yields_nothing_and_is_not_among_the_codes() -> None:
    none_there = Packs({code: pack for code, pack in PACKS.by_code.items() if code != "WA"})
    assert not any(key.startswith("WA/") for key in wanted(FOUR_STATES, none_there))
    assert "WA" not in none_there.codes


def test_a_firm_s_pack_can_demand_a_creditor_notice_in_place_of_the_advised_one(tmp_path: Path) -> None:
    (tmp_path / "OR.toml").write_text(
        'extends = true\n[home.creditor_notice]\nneed = "required"\ntitle = "Notice to creditors"\n'
        'issuer = "the company"\nreplaces = ["company/creditor_notice"]\nsources = ["statute"]\n'
        'after = ["filing"]\nnext_step = "Send it."\n',
        encoding="utf-8",
    )
    papers = wanted(FOUR_STATES, load_packs([tmp_path]))
    assert "company/creditor_notice" not in papers
    assert papers["OR/creditor_notice"].need is Need.REQUIRED
    assert papers["OR/creditor_notice"].after == ("OR/dissolution",)


def test_a_foreign_filing_can_wait_for_the_home_one(tmp_path: Path) -> None:
    text = 'extends = true\n[foreign.withdrawal]\nafter = ["home/dissolution"]\n'
    (tmp_path / "WA.toml").write_text(text, encoding="utf-8")
    assert wanted(FOUR_STATES, load_packs([tmp_path]))["WA/withdrawal"].after == ("OR/dissolution",)


def test_an_order_rule_names_only_papers_that_are_expected() -> None:
    for home in PACKS.codes[2:]:
        for tax_class in TaxClass:
            entity = company(home, [c for c in PACKS.codes[2:] if c != home], tax_class=tax_class, employees=True)
            papers = wanted(entity)
            for paper in papers.values():
                assert {*paper.after, *filter(None, [paper.supports])} <= papers.keys()


def test_keys_are_unique_and_begin_with_their_scope_and_kind() -> None:
    papers = expected_papers(company("DE", PACKS.codes[2:], employees=True), PACKS)
    assert len({paper.key for paper in papers}) == len(papers)
    for paper in papers:
        assert paper.key.startswith(f"{paper.scope}/")
        assert kind_of(paper.key) is paper.kind


@pytest.mark.parametrize(
    ("closed", "year_end", "formed", "begins"),
    [
        (date(2026, 6, 30), (12, 31), date(2016, 4, 11), date(2026, 1, 1)),
        (date(2026, 12, 31), (12, 31), date(2016, 4, 11), date(2026, 1, 1)),
        (date(2026, 6, 12), (6, 30), date(2016, 4, 11), date(2025, 7, 1)),
        (date(2026, 6, 30), (6, 30), date(2016, 4, 11), date(2025, 7, 1)),
        (date(2026, 6, 12), (12, 31), date(2026, 2, 3), date(2026, 2, 3)),
        (date(2025, 3, 1), (2, 29), None, date(2025, 3, 1)),
        (date(2024, 2, 29), (2, 29), None, date(2023, 3, 1)),
    ],
)
def test_the_last_tax_year_begins_after_the_ordinary_year_end(
    closed: date, year_end: tuple[int, int], formed: date | None, begins: date
) -> None:
    assert last_year_begins(replace(company(), closed=closed, year_end=year_end, formed=formed)) == begins


def test_the_june_rule_looks_at_when_the_year_began() -> None:
    fiscal = replace(company(tax_class=TaxClass.C_CORPORATION), closed=date(2026, 6, 12), year_end=(6, 30))
    calendar = replace(fiscal, year_end=(12, 31))
    assert wanted(fiscal)["US/final_return"].due == date(2026, 9, 15)
    assert wanted(calendar)["US/final_return"].due == date(2026, 10, 15)
