"""Findings that come from papers taken together, from windows, and from what a paper is titled or named."""

from dataclasses import replace
from datetime import date

import pytest

from quietus.closing.case import Case
from quietus.closing.verdict import judge
from quietus.model.entity import Entity, Registration
from quietus.model.expected import Claims, ExpectedPaper, Window
from quietus.model.facts import facts_of
from quietus.model.findings import Code, Finding, Mark, Severity, Verdict
from quietus.model.kinds import Kind
from quietus.model.paper import Paper
from tests.closing.make import ENTITY, SOURCE, TODAY, paper, want

FILING = want("OR", Kind.DISSOLUTION, office_mark=True)
RETURN = want("OR", Kind.FINAL_RETURN, final_box=True)
CLEARANCE = want("OR", Kind.CLEARANCE)
FILED = paper(1, "OR/dissolution", stamped=True, filing_date="2026-07-14", jurisdiction="OR", kind="dissolution")
RETURNED = paper(2, "OR/final_return", final_box=True, period_end="2026-06-30", signed_date="2026-08-01",
                 jurisdiction="OR", kind="final_return")  # fmt: skip
HOME_ONLY = replace(ENTITY, registrations=ENTITY.registrations[:1])


def verdict(
    *papers: Paper, expected: tuple[ExpectedPaper, ...], entity: Entity = HOME_ONLY, today: date = TODAY
) -> Verdict:
    case = Case(entity, expected, tuple(map(facts_of, papers)), (), frozenset({"OR", "WA", "TX", "US"}), today)
    return judge(case)


def only(result: Verdict, code: Code) -> Finding:
    (found,) = (finding for finding in result.findings if finding.code is code)
    return found


def said(result: Verdict) -> set[Code]:
    return {finding.code for finding in result.findings}


# --- later years ------------------------------------------------------------------------------------------------


def test_a_return_for_a_later_year_shows_that_the_final_box_was_missed() -> None:
    later = paper(
        3, "OR/final_return", final_box=False, period_end="2027-12-31", jurisdiction="OR", kind="final_return"
    )
    result = verdict(FILED, RETURNED, later, expected=(FILING, RETURN), today=date(2028, 4, 1))
    found = only(result, Code.LATER_YEAR)
    assert (found.severity, found.scope, found.papers) == (Severity.BLOCKS, "OR", (later.id,))
    assert "2027-12-31" in found.says and "2026-06-30" in found.says
    assert found.sources == RETURN.sources


def test_a_notice_for_a_later_year_is_such_a_sign_too_though_no_paper_is_expected() -> None:
    notice = paper(4, "", period_end="2027-12-31", jurisdiction="WA", kind="tax_notice")
    result = verdict(FILED, RETURNED, notice, expected=(FILING, RETURN))
    assert only(result, Code.LATER_YEAR).scope == "WA"


@pytest.mark.parametrize("end", ["2026-06-30", "2026-12-31", "2025-12-31"])
def test_a_return_within_the_last_tax_year_or_before_it_is_no_such_sign(end: str) -> None:
    other = paper(3, "OR/final_return", final_box=True, period_end=end, jurisdiction="OR", kind="final_return")
    assert Code.LATER_YEAR not in said(verdict(FILED, other, expected=(FILING, RETURN)))


def test_a_doubtful_period_is_no_sign_yet() -> None:
    doubtful = paper(3, "OR/final_return", doubts=("period_end",), final_box=True, period_end="2027-12-31",
                     jurisdiction="OR", kind="final_return")  # fmt: skip
    assert Code.LATER_YEAR not in said(verdict(FILED, RETURNED, doubtful, expected=(FILING, RETURN)))


def test_a_later_year_is_not_also_a_period_that_does_not_fit() -> None:
    later = paper(3, "OR/final_return", final_box=True, period_end="2027-12-31", jurisdiction="OR", kind="final_return")
    result = verdict(FILED, later, expected=(FILING, RETURN))
    assert Code.LATER_YEAR in said(result)
    assert Code.PERIOD_MISMATCH not in said(result)


def test_the_fiscal_year_decides_what_a_later_year_is() -> None:
    fiscal = replace(HOME_ONLY, year_end=(9, 30))
    october = paper(
        3, "OR/final_return", final_box=True, period_end="2026-10-31", jurisdiction="OR", kind="final_return"
    )
    assert Code.LATER_YEAR in said(verdict(FILED, october, expected=(FILING, RETURN), entity=fiscal))
    assert Code.LATER_YEAR not in said(verdict(FILED, october, expected=(FILING, RETURN)))


# --- clearance and order ----------------------------------------------------------------------------------------


def test_a_clearance_dated_before_the_return_that_the_rules_put_first_blocks() -> None:
    early = paper(3, "OR/clearance", signed_date="2026-07-20", jurisdiction="OR")
    strict = replace(CLEARANCE, after=("OR/final_return",))
    found = only(verdict(FILED, RETURNED, early, expected=(FILING, strict, RETURN)), Code.CLEARANCE_TOO_EARLY)
    assert found.severity is Severity.BLOCKS
    assert "2026-07-20" in found.says and "2026-08-01" in found.says


def test_a_clearance_dated_before_the_return_is_warned_of_where_no_rule_orders_them() -> None:
    early = paper(3, "OR/clearance", signed_date="2026-07-20", jurisdiction="OR")
    late = paper(3, "OR/clearance", signed_date="2026-08-20", jurisdiction="OR")
    found = only(verdict(FILED, RETURNED, early, expected=(FILING, CLEARANCE, RETURN)), Code.CLEARANCE_TOO_EARLY)
    assert found.severity is Severity.WARNS
    assert Code.CLEARANCE_TOO_EARLY not in said(verdict(FILED, RETURNED, late, expected=(FILING, CLEARANCE, RETURN)))


def test_home_dissolved_before_the_clearance_that_has_to_come_first_blocks() -> None:
    strict = replace(FILING, after=("OR/clearance",))
    late = paper(3, "OR/clearance", signed_date="2026-08-20", jurisdiction="OR")
    found = only(verdict(FILED, RETURNED, late, expected=(strict, CLEARANCE, RETURN)), Code.FILED_BEFORE_CLEARANCE)
    assert (found.severity, found.expected) == (Severity.BLOCKS, "OR/dissolution")


def test_what_had_better_come_first_is_a_warning() -> None:
    soft = replace(FILING, better_after=("OR/final_return",))
    found = only(verdict(FILED, RETURNED, expected=(soft, RETURN)), Code.DATES_OUT_OF_ORDER)
    assert found.severity is Severity.WARNS
    assert verdict(FILED, RETURNED, expected=(soft, RETURN)).proven


@pytest.mark.parametrize(("filed", "good"), [("2026-12-31", True), ("2027-01-01", False)])
def test_a_clearance_can_be_good_to_the_end_of_the_year_in_which_it_was_given(filed: str, good: bool) -> None:
    lasting = replace(CLEARANCE, supports="OR/dissolution", valid_to_year_end=True)
    given = paper(3, "OR/clearance", signed_date="2026-08-20", jurisdiction="OR")
    ended = paper(1, "OR/dissolution", stamped=True, filing_date=filed, jurisdiction="OR")
    result = verdict(ended, RETURNED, given, expected=(FILING, lasting, RETURN), today=date(2027, 2, 1))
    assert (Code.CLEARANCE_EXPIRED not in said(result)) == good


def test_an_empty_final_box_says_where_the_box_stands() -> None:
    placed = replace(RETURN, final_box_at="item G, box 2")
    empty = paper(2, "OR/final_return", final_box=False, period_end="2026-06-30", jurisdiction="OR")
    assert "(item G, box 2)" in only(verdict(FILED, empty, expected=(FILING, placed)), Code.FINAL_BOX_EMPTY).next_step


# --- windows ----------------------------------------------------------------------------------------------------


def window(months: int = 0, days: int = 0, *, request: bool = False) -> ExpectedPaper:
    return replace(FILING, window=Window("OR/final_return", months, days, request))


@pytest.mark.parametrize(
    ("limited", "day", "missed"),
    [
        (window(days=30), "2026-08-31", False),
        (window(days=30), "2026-09-01", True),
        (window(months=12), "2027-08-01", False),
        (window(months=12), "2027-08-02", True),
    ],
)
def test_a_filing_has_to_fall_into_its_window(limited: ExpectedPaper, day: str, missed: bool) -> None:
    filed = paper(1, "OR/dissolution", stamped=True, filing_date=day, jurisdiction="OR")
    result = verdict(filed, RETURNED, expected=(limited, RETURN), today=date(2028, 1, 1))
    assert (Code.WINDOW_MISSED in said(result)) == missed
    assert result.proven


def test_a_missing_paper_says_when_its_window_ends() -> None:
    result = verdict(RETURNED, expected=(window(days=30), RETURN))
    assert "had to be made by 2026-08-31" in only(result, Code.MISSING_PAPER).says
    asked = verdict(RETURNED, expected=(window(months=12, request=True), RETURN))
    assert "has to be asked for by 2027-08-01" in only(asked, Code.MISSING_PAPER).says


def test_a_window_for_the_request_says_nothing_of_the_paper_s_own_date() -> None:
    late = paper(1, "OR/dissolution", stamped=True, filing_date="2027-05-01", jurisdiction="OR")
    result = verdict(late, RETURNED, expected=(window(days=30, request=True), RETURN), today=date(2028, 1, 1))
    assert Code.WINDOW_MISSED not in said(result)


# --- a winding up that only began -------------------------------------------------------------------------------

NOTICE = want("OR", Kind.WINDING_UP_NOTICE, office_mark=True, title="Notice of Dissolution")
BEGUN = paper(5, "OR/winding_up_notice", stamped=True, filing_date="2026-07-10", jurisdiction="OR")


def test_a_notice_of_winding_up_does_not_prove_the_end() -> None:
    result = verdict(BEGUN, RETURNED, expected=(NOTICE, FILING, RETURN))
    found = only(result, Code.WINDING_UP_ONLY)
    assert found.severity is Severity.WARNS
    assert only(result, Code.MISSING_PAPER).expected == "OR/dissolution"
    assert Code.WINDING_UP_ONLY not in said(verdict(BEGUN, FILED, RETURNED, expected=(NOTICE, FILING, RETURN)))


def titled(text: str) -> Paper:
    """The filed dissolution with the heading that told its kind."""
    kind = replace(FILED.reading["kind"], raw=text)
    return replace(FILED, reading=replace(FILED.reading, values={**FILED.reading.values, "kind": kind}))


def test_a_paper_filed_as_the_end_but_titled_like_the_notice_proves_nothing() -> None:
    ending = replace(FILING, title="Articles of Termination")
    result = verdict(titled("NOTICE OF DISSOLUTION"), RETURNED, expected=(NOTICE, ending, RETURN))
    found = only(result, Code.WINDING_UP_ONLY)
    assert found.severity is Severity.BLOCKS
    assert not result.proven


@pytest.mark.parametrize("title", ["ARTICLES OF TERMINATION", "Notice of Dissolution and Articles of Termination", ""])
def test_a_paper_with_the_right_title_or_none_is_taken_as_filed(title: str) -> None:
    ending = replace(FILING, title="Articles of Termination")
    assert Code.WINDING_UP_ONLY not in said(verdict(titled(title), RETURNED, expected=(NOTICE, ending, RETURN)))


def test_a_person_s_word_on_the_kind_goes_before_the_title() -> None:
    by_person = titled("NOTICE OF DISSOLUTION")
    kind = replace(by_person.reading["kind"], method="person:ada")
    by_person = replace(
        by_person, reading=replace(by_person.reading, values={**by_person.reading.values, "kind": kind})
    )
    ending = replace(FILING, title="Articles of Termination")
    assert Code.WINDING_UP_ONLY not in said(verdict(by_person, RETURNED, expected=(NOTICE, ending, RETURN)))


# --- claims -----------------------------------------------------------------------------------------------------

TO_CREDITORS = want("company", Kind.CREDITOR_NOTICE, claims=Claims(120, "the day it is received", None, (SOURCE,)))
GIVEN = paper(6, "company/creditor_notice", signed_date="2026-08-01")


@pytest.mark.parametrize(("today", "open_"), [("2026-11-28", True), ("2026-11-29", True), ("2026-11-30", False)])
def test_the_time_for_claims_is_told_until_its_last_day(today: str, open_: bool) -> None:
    result = verdict(FILED, RETURNED, GIVEN, expected=(TO_CREDITORS, FILING, RETURN), today=date.fromisoformat(today))
    assert (Code.CLAIMS_OPEN in said(result)) == open_
    assert result.proven


# --- names ------------------------------------------------------------------------------------------------------


def test_a_filing_in_another_known_name_than_the_one_registered_there_is_warned_of() -> None:
    local = Registration("WA", "604 000 001", name="Kettlemoor Northwest LLC")
    entity = replace(ENTITY, registrations=(ENTITY.registrations[0], local))
    away = want("WA", Kind.WITHDRAWAL, office_mark=True)

    def left(name: str) -> Verdict:
        gone = paper(7, "WA/withdrawal", stamped=True, filing_date="2026-08-01", jurisdiction="WA", entity_name=name)
        return verdict(FILED, RETURNED, gone, expected=(FILING, RETURN, away), entity=entity)

    legal = only(left(ENTITY.name), Code.NAME_MISMATCH)
    assert (legal.severity, legal.scope) == (Severity.WARNS, "WA")
    assert Code.NAME_MISMATCH not in said(left("KETTLEMOOR NORTHWEST, L.L.C."))
    assert only(left("Somebody Else LLC"), Code.NAME_MISMATCH).severity is Severity.BLOCKS


# --- a home certificate in place of a withdrawal ----------------------------------------------------------------

AWAY = want("TX", Kind.WITHDRAWAL, office_mark=True, home_certificate="File the home state's document instead.")
SPARED = want("TX", Kind.CLEARANCE, supports="TX/withdrawal", spared_by_home_end=True)
TEXAN = replace(ENTITY, registrations=(ENTITY.registrations[0], Registration("TX")))


def gone(day: str, number: int = 8) -> Paper:
    return paper(number, "TX/withdrawal", stamped=True, filing_date=day, jurisdiction="TX")


def texas(*papers: Paper) -> Verdict:
    return verdict(FILED, RETURNED, *papers, expected=(FILING, RETURN, AWAY, SPARED), entity=TEXAN)


def test_once_home_has_ended_the_home_certificate_is_what_is_left_to_file() -> None:
    assert texas().findings[0].next_step == "File the home state's document instead."


def test_a_clearance_is_not_needed_for_a_registration_ended_by_the_home_certificate() -> None:
    assert texas(gone("2026-07-20")).proven
    early = texas(gone("2026-07-01"))
    assert only(early, Code.CLEARANCE_MISSING).expected == "TX/clearance"
    marks = {line.expected.key: line.mark for line in texas(gone("2026-07-20")).lines}
    assert marks["TX/clearance"] is Mark.ADVISED


def test_a_further_paper_does_not_bring_the_clearance_back() -> None:
    assert texas(gone("2026-07-20"), gone("2026-07-01", 9)).proven
