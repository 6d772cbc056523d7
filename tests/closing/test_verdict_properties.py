"""What has to hold of every verdict, whatever the company, the jurisdictions and the papers."""

import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from quietus.closing.case import Case
from quietus.closing.gather import case_of
from quietus.closing.plan import plan
from quietus.closing.verdict import judge
from quietus.model.facts import PaperFacts
from quietus.model.findings import Code, Finding, Mark, Severity, Verdict, Waiver
from quietus.rules import load_packs
from tests.closing.cases import PACKS, TODAY, situations

ABSENT = {Code.MISSING_PAPER, Code.CLEARANCE_MISSING, Code.MISSING_JURISDICTION}
MISMATCHES = {Code.NAME_MISMATCH, Code.EIN_MISMATCH, Code.FILE_NUMBER_MISMATCH, Code.PERIOD_MISMATCH}
SAME_PACKS = load_packs()
Situation = tuple[Case, PaperFacts, Waiver]

unhurried = settings(deadline=None, max_examples=100)


def missing(verdict: Verdict) -> set[str]:
    """Keys of every expected paper that a verdict says is not on file."""
    return {key for finding in verdict.findings for key in finding.missing}


def again(case: Case, papers: tuple[PaperFacts, ...], waivers: tuple[Waiver, ...]) -> Verdict:
    entity = replace(case.entity, plan_adopted=None)
    return judge(case_of(PACKS, entity, papers, waivers, TODAY))


@unhurried
@given(situations())
def test_adding_a_paper_never_adds_a_missing_finding(situation: Situation) -> None:
    case, more, _ = situation
    before, after = judge(case), again(case, (*case.papers, more), case.waivers)
    assert missing(after) <= missing(before)
    assert {f.scope for f in after.findings if f.code is Code.MISSING_JURISDICTION} <= {
        f.scope for f in before.findings if f.code is Code.MISSING_JURISDICTION
    }


@unhurried
@given(situations())
def test_findings_of_what_is_missing_name_it_and_no_other_finding_does(situation: Situation) -> None:
    verdict = judge(situation[0])
    for finding in verdict.findings:
        assert bool(finding.missing) == (finding.code in ABSENT)
    open_keys = {line.expected.key for line in verdict.lines if line.mark is Mark.MISSING}
    assert missing(verdict) == open_keys


@unhurried
@given(situations())
def test_waiving_never_hides_what_is_wrong_with_a_paper_on_file(situation: Situation) -> None:
    case, _, waiver = situation
    before, after = judge(case), again(case, case.papers, (*case.waivers, waiver))

    def wrong(verdict: Verdict) -> list[Finding]:
        return [f for f in verdict.findings if f.papers and f.code is not Code.WINDING_UP_ONLY]

    assert wrong(before) == wrong(after)
    assert {f.code for f in before.findings} & MISMATCHES == {f.code for f in after.findings} & MISMATCHES


@unhurried
@given(situations())
def test_waiving_never_makes_a_closing_worse(situation: Situation) -> None:
    case, _, waiver = situation
    before, after = judge(case), again(case, case.papers, (*case.waivers, waiver))
    assert set(after.findings) <= set(before.findings) or len(after.blocking) <= len(before.blocking)
    assert missing(after) == missing(before) - {waiver.expected}


@unhurried
@given(situations(), st.randoms())
def test_a_verdict_follows_from_the_case_alone(situation: Situation, chance: random.Random) -> None:
    case = situation[0]
    shuffled = list(case.papers)
    chance.shuffle(shuffled)
    first = judge(case)
    assert judge(case) == first
    assert again(case, tuple(shuffled), tuple(reversed(case.waivers))) == first
    entity = replace(case.entity, plan_adopted=None)
    assert judge(case_of(SAME_PACKS, entity, case.papers, case.waivers, TODAY)) == first


@unhurried
@given(situations())
def test_every_finding_can_be_acted_on(situation: Situation) -> None:
    for finding in judge(situation[0]).findings:
        assert finding.says.endswith(".")
        assert finding.why and finding.next_step and finding.who
        assert finding.sources or finding.code in {Code.WAITING, Code.LATER_YEAR, Code.NO_RULES}


@unhurried
@given(situations())
def test_a_line_that_is_not_proven_is_explained_by_a_finding(situation: Situation) -> None:
    verdict = judge(situation[0])
    blocked = {f.expected for f in verdict.blocking} | missing(verdict)
    for line in verdict.lines:
        assert (line.mark in {Mark.MISSING, Mark.FAULT, Mark.REVIEW}) <= (line.expected.key in blocked)
    assert verdict.proven == (not [f for f in verdict.findings if f.severity is Severity.BLOCKS])


@unhurried
@given(situations())
def test_a_plan_keeps_the_order_rules_and_leaves_nothing_out(situation: Situation) -> None:
    case = situation[0]
    verdict = judge(case)
    steps = plan(case, verdict)
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    place = {step.key: step.number for step in steps if step.key}
    by_key = {line.expected.key: line.expected for line in verdict.lines}
    for key, number in place.items():
        expected = by_key.get(key)
        for earlier in expected.after if expected else ():
            assert place.get(earlier, 0) < number
        if expected and expected.supports in place:
            assert number < place[expected.supports]
    for step in steps:
        assert all(number < step.number for number in step.waits_for)
    done = {sentence for step in steps for sentence in step.does}
    for finding in verdict.blocking:
        assert finding.next_step in done
    open_keys = {line.expected.key for line in verdict.lines if line.mark not in {Mark.PROVEN, Mark.WAIVED}}
    assert open_keys <= place.keys()
