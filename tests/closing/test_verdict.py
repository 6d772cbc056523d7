"""What verify says, finding by finding, on small invented cases."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from quietus.closing.verdict import Case, judge
from quietus.model.expected import ExpectedPaper, Need
from quietus.model.facts import facts_of
from quietus.model.findings import Code, Mark, Severity, Verdict, Waiver
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from tests.closing.make import ENTITY, TODAY, paper, want

FILING = want("OR", Kind.DISSOLUTION, office_mark=True, after=("company/consent",))
CONSENT = want("company", Kind.CONSENT)
RETURN = want("OR", Kind.FINAL_RETURN, final_box=True)
AWAY = want("WA", Kind.WITHDRAWAL, office_mark=True)
CLEARANCE = want("WA", Kind.CLEARANCE, supports="WA/withdrawal")
ALL = (CONSENT, FILING, RETURN, AWAY, CLEARANCE)

GOOD = (
    paper(1, "company/consent", signed_date="2026-07-01"),
    paper(2, "OR/dissolution", stamped=True, filing_date="2026-07-14", jurisdiction="OR"),
    paper(3, "OR/final_return", final_box=True, period_end="2026-06-30", jurisdiction="OR"),
    paper(4, "WA/withdrawal", stamped=True, filing_date="2026-08-01", jurisdiction="WA"),
    paper(5, "WA/clearance", signed_date="2026-07-20", valid_until="2026-09-01", jurisdiction="WA"),
)


def verdict(
    papers: tuple[Paper, ...] = GOOD,
    expected: tuple[ExpectedPaper, ...] = ALL,
    waivers: tuple[Waiver, ...] = (),
    today: date = TODAY,
) -> Verdict:
    known = frozenset({"OR", "WA", "US", "company"})
    return judge(Case(ENTITY, expected, tuple(map(facts_of, papers)), waivers, known, today))


def codes(result: Verdict) -> list[Code]:
    """Of every finding but the clocks of open registrations, which tests/closing/test_still_open.py looks at."""
    clocks = {Code.STILL_OPEN, Code.FOREIGN_OPEN}
    return [finding.code for finding in result.findings if finding.code not in clocks]


def with_paper(number: int, changed: Paper | None) -> tuple[Paper, ...]:
    """The good papers with the one of that number changed or taken away."""
    return tuple(
        changed if p.id == f"{number:032x}" and changed else p for p in GOOD if changed or p.id != f"{number:032x}"
    )


def test_a_whole_file_is_proven() -> None:
    result = verdict()
    assert result.proven
    assert codes(result) == []
    assert {line.mark for line in result.lines} == {Mark.PROVEN}


def test_a_missing_paper_is_said() -> None:
    result = verdict(with_paper(3, None))
    assert codes(result) == [Code.MISSING_PAPER]
    assert not result.proven


def test_a_missing_clearance_has_its_own_code() -> None:
    assert codes(verdict(with_paper(5, None))) == [Code.CLEARANCE_MISSING]


def test_a_jurisdiction_with_nothing_at_all_gets_one_finding() -> None:
    result = verdict(GOOD[:3])
    assert codes(result) == [Code.MISSING_JURISDICTION]
    assert result.findings[0].scope == "WA"


def test_an_unstamped_filing_is_no_proof() -> None:
    draft = paper(4, "WA/withdrawal", stamped=False, jurisdiction="WA")
    result = verdict(with_paper(4, draft))
    assert Code.NO_OFFICE_MARK in codes(result)
    assert {line.expected.key: line.mark for line in result.lines}["WA/withdrawal"] is Mark.FAULT


def test_a_filing_whose_mark_was_not_told_is_no_proof_either() -> None:
    unknown = paper(4, "WA/withdrawal", jurisdiction="WA", filing_date="2026-08-01")
    assert Code.NO_OFFICE_MARK in codes(verdict(with_paper(4, unknown)))


def test_a_draft_beside_the_stamped_copy_does_no_harm() -> None:
    draft = paper(9, "WA/withdrawal", stamped=False, jurisdiction="WA")
    assert verdict((*GOOD, draft)).proven


@pytest.mark.parametrize("box", [False, None])
def test_an_empty_or_absent_final_box_is_said(box: bool | None) -> None:
    values: dict[str, Any] = {"period_end": "2026-06-30"} | ({} if box is None else {"final_box": box})
    assert codes(verdict(with_paper(3, paper(3, "OR/final_return", **values)))) == [Code.FINAL_BOX_EMPTY]


def test_a_clearance_that_ran_out_before_the_filing_is_said() -> None:
    late = paper(4, "WA/withdrawal", stamped=True, filing_date="2026-09-02", jurisdiction="WA")
    assert codes(verdict(with_paper(4, late))) == [Code.CLEARANCE_EXPIRED]


def test_a_clearance_is_good_on_its_last_day() -> None:
    on_time = paper(4, "WA/withdrawal", stamped=True, filing_date="2026-09-01", jurisdiction="WA")
    assert verdict(with_paper(4, on_time)).proven


def test_a_clearance_can_run_out_while_the_filing_is_still_to_come() -> None:
    result = verdict(with_paper(4, None))
    assert set(codes(result)) == {Code.MISSING_PAPER, Code.CLEARANCE_EXPIRED}


def test_the_rules_period_counts_when_the_paper_names_no_day() -> None:
    short = replace(CLEARANCE, valid_days=10)
    bare = paper(5, "WA/clearance", signed_date="2026-07-20", jurisdiction="WA")
    result = verdict(with_paper(5, bare), (CONSENT, FILING, RETURN, AWAY, short))
    assert codes(result) == [Code.CLEARANCE_EXPIRED]


def test_dates_out_of_order_are_said() -> None:
    late = paper(1, "company/consent", signed_date="2026-08-02")
    assert codes(verdict(with_paper(1, late))) == [Code.DATES_OUT_OF_ORDER]


def test_a_paper_from_the_future_or_from_before_the_company_is_said() -> None:
    for day in ("2026-11-21", "2016-04-10"):
        assert Code.DATES_OUT_OF_ORDER in codes(verdict(with_paper(1, paper(1, "company/consent", signed_date=day))))


def test_another_name_or_ein_is_said() -> None:
    name = paper(3, "OR/final_return", final_box=True, entity_name="Kettlemoor Crumb & Crust II LLC")
    ein = paper(3, "OR/final_return", final_box=True, ein="09-1234576")
    assert codes(verdict(with_paper(3, name))) == [Code.NAME_MISMATCH]
    assert codes(verdict(with_paper(3, ein))) == [Code.EIN_MISMATCH]


def test_the_same_name_written_otherwise_is_not_a_mismatch() -> None:
    same = paper(3, "OR/final_return", final_box=True, entity_name="KETTLEMOOR CRUMB AND CRUST, L.L.C.")
    assert verdict(with_paper(3, same)).proven


def test_a_doubtful_paper_waits_and_blocks() -> None:
    doubtful = paper(2, "OR/dissolution", doubts=("filing_date",), stamped=True, filing_date="2026-07-14")
    result = verdict(with_paper(2, doubtful))
    assert codes(result) == [Code.WAITING]
    assert {line.expected.key: line.mark for line in result.lines}["OR/dissolution"] is Mark.REVIEW


def test_a_doubtful_paper_that_answers_nothing_blocks_too() -> None:
    stray = paper(8, "", doubts=("kind",), jurisdiction="OR")
    assert codes(verdict((*GOOD, stray))) == [Code.WAITING]


def test_another_period_end_is_a_warning_only() -> None:
    other = paper(3, "OR/final_return", final_box=True, period_end="2026-12-31")
    result = verdict(with_paper(3, other))
    assert codes(result) == [Code.PERIOD_MISMATCH]
    assert result.proven


def test_a_return_dated_after_its_last_day_is_a_warning_only() -> None:
    due = replace(RETURN, due=date(2026, 9, 15), extended=date(2027, 3, 15))
    late = paper(3, "OR/final_return", final_box=True, signed_date="2027-03-16")
    result = verdict(with_paper(3, late), (CONSENT, FILING, due, AWAY, CLEARANCE), today=date(2027, 4, 1))
    assert codes(result) == [Code.LATE]
    assert result.proven


def test_a_missing_return_says_when_it_was_due() -> None:
    due = replace(RETURN, due=date(2026, 9, 15))
    result = verdict(with_paper(3, None), (CONSENT, FILING, due, AWAY, CLEARANCE))
    assert "was due on 2026-09-15" in result.findings[0].says


def test_a_rejected_paper_never_counts() -> None:
    assert not verdict(with_paper(2, replace(GOOD[1], standing=Standing.REJECTED))).proven


def test_a_jurisdiction_without_rules_is_never_proven() -> None:
    result = judge(Case(ENTITY, ALL, tuple(map(facts_of, GOOD)), (), frozenset({"OR", "US"}), TODAY))
    assert Code.NO_RULES in codes(result)
    assert not result.proven


def test_a_waiver_answers_for_a_missing_paper_only() -> None:
    waiver = Waiver(ENTITY.slug, "OR/final_return", "no business there", "counsel", "ada", TODAY)
    assert verdict(with_paper(3, None), waivers=(waiver,)).proven
    wrong = with_paper(3, paper(3, "OR/final_return", final_box=True, ein="09-0000000"))
    assert codes(verdict(wrong, waivers=(waiver,))) == [Code.EIN_MISMATCH]


def test_an_advised_paper_never_blocks() -> None:
    assert verdict(with_paper(5, None), (*ALL[:4], replace(CLEARANCE, need=Need.ADVISED))).proven


def test_every_finding_says_why_and_what_next() -> None:
    for finding in verdict(()).findings:
        assert finding.says.endswith((".", "?"))
        assert finding.why
        assert finding.next_step
        assert finding.who
    assert {f.severity for f in verdict(()).findings if f.code in {Code.MISSING_PAPER, Code.MISSING_JURISDICTION}} == {
        Severity.BLOCKS
    }
