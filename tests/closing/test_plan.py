"""What to do next: the order, the days, and what cannot be ordered."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from quietus.closing.case import Case
from quietus.closing.gather import case_of
from quietus.closing.plan import Step, plan
from quietus.closing.verdict import judge
from quietus.model.entity import Entity, Registration
from quietus.model.errors import Misuse
from quietus.model.expected import Need
from quietus.model.facts import PaperFacts, facts_of
from quietus.model.findings import Mark
from quietus.model.paper import Paper
from quietus.rules import Packs, load_packs
from tests.closing.make import ENTITY, TODAY, paper

PACKS = load_packs()
SINCE = date(2017, 2, 1)
TENNESSEE = replace(ENTITY, registrations=(ENTITY.registrations[0], Registration("TN", since=SINCE)))


def steps(*papers: Paper, entity: Entity = TENNESSEE, packs: Packs = PACKS, today: date = TODAY) -> dict[str, Step]:
    facts: list[PaperFacts] = [facts_of(one) for one in papers]
    case: Case = case_of(packs, entity, facts, (), today)
    return {step.key: step for step in plan(case, judge(case))}


def test_return_then_clearance_then_withdrawal() -> None:
    found = steps()
    numbers = [found[key].number for key in ("TN/final_return", "TN/clearance", "TN/withdrawal")]
    assert numbers == sorted(numbers)
    assert found["TN/clearance"].waits_for == (found["TN/final_return"].number,)
    assert found["TN/withdrawal"].waits_for == (found["TN/clearance"].number,)


def test_consent_comes_before_the_filing_at_home() -> None:
    found = steps()
    assert found["OR/dissolution"].waits_for == (found["company/consent"].number,)


def test_what_is_proven_is_no_step_and_holds_nobody_up() -> None:
    done = paper(1, "TN/final_return", final_box=True, period_end="2026-06-30", signed_date="2026-07-24",
                 jurisdiction="TN", kind="final_return", form="FAE170")  # fmt: skip
    found = steps(done)
    assert "TN/final_return" not in found
    assert found["TN/clearance"].waits_for == ()


def test_required_papers_go_before_advised_ones_unless_something_waits_for_them() -> None:
    found = sorted(steps().values(), key=lambda step: step.number)
    needs = [step.need for step in found]
    assert needs == sorted(needs, key=lambda need: need is Need.ADVISED)


def test_the_nearest_day_goes_first_and_lends_its_urgency_to_what_it_waits_for() -> None:
    registrations = (ENTITY.registrations[0], Registration("CA", since=SINCE), Registration("TN", since=SINCE))
    found = steps(entity=replace(ENTITY, registrations=registrations), today=date(2026, 8, 1))
    assert found["CA/final_return"].limits[0].day == date(2026, 9, 15)
    assert found["TN/final_return"].limits[0].day == date(2026, 10, 15)
    assert found["CA/final_return"].number < found["TN/final_return"].number < found["TN/withdrawal"].number


def test_a_step_says_when_it_is_due_and_what_an_extension_would_give() -> None:
    limits = {limit.says: limit.day for limit in steps()["US/final_return"].limits}
    assert limits == {"due": date(2026, 9, 15), "due if an extension was asked for in time": date(2027, 3, 15)}


def test_a_clearance_on_file_limits_the_filing_that_it_supports() -> None:
    good = paper(2, "TN/clearance", signed_date="2026-08-03", valid_until="2026-12-15", jurisdiction="TN")
    limits = steps(good)["TN/withdrawal"].limits
    assert ("2026-12-15", "the TN tax clearance on file is good until then") in {(str(x.day), x.says) for x in limits}


def test_an_open_registration_says_when_the_next_yearly_duty_falls_due() -> None:
    limits = {limit.says: limit.day for limit in steps()["TN/withdrawal"].limits}
    assert limits["its Annual Report falls due while it is open"] == date(2027, 4, 1)


def test_a_window_says_its_last_day() -> None:
    entity = replace(ENTITY, registrations=(ENTITY.registrations[0], Registration("CA", since=SINCE)))
    returned = paper(3, "CA/final_return", final_box=True, period_end="2026-06-30", signed_date="2026-08-20",
                     jurisdiction="CA", kind="final_return", form="568")  # fmt: skip
    limits = {limit.says: limit.day for limit in steps(returned, entity=entity)["CA/withdrawal"].limits}
    assert limits["to be done: 12 months after the CA final return"] == date(2027, 8, 20)


def test_a_faulty_paper_says_what_to_do_about_each_fault() -> None:
    bad = paper(4, "TN/final_return", final_box=False, ein="09-7654321", period_end="2026-06-30", jurisdiction="TN",
                kind="final_return", form="FAE170")  # fmt: skip
    step = steps(bad)["TN/final_return"]
    assert step.mark is Mark.FAULT
    assert len(step.does) == 2


def test_what_blocks_outside_the_papers_comes_first() -> None:
    stray = paper(5, "", doubts=("kind",), jurisdiction="TN")
    case = case_of(PACKS, TENNESSEE, [facts_of(stray)], (), TODAY)
    first = plan(case, judge(case))[0]
    assert first.key == "" and "waits for review" in first.title


def test_rules_that_contradict_each_other_are_named(tmp_path: Path) -> None:
    (tmp_path / "TN.toml").write_text('extends = true\n[any.final_return]\nafter = ["clearance"]\n', encoding="utf-8")
    with pytest.raises(Misuse, match=r"TN/clearance, TN/final_return"):
        steps(packs=load_packs([tmp_path]))


def test_what_had_better_come_first_gives_way_where_rules_contradict_it(tmp_path: Path) -> None:
    soft = 'extends = true\n[any.final_return]\nbetter_after = ["clearance"]\n'
    (tmp_path / "TN.toml").write_text(soft, encoding="utf-8")
    found = steps(packs=load_packs([tmp_path]))
    assert found["TN/final_return"].number < found["TN/clearance"].number


def test_nothing_is_left_of_a_proven_closing() -> None:
    entity = replace(ENTITY, registrations=ENTITY.registrations[:1], has_assets=False, closed=None)
    papers = [
        paper(1, "company/consent", signed_date="2026-07-01"),
        paper(2, "OR/dissolution", stamped=True, filing_date="2026-07-14", jurisdiction="OR"),
        paper(3, "OR/final_return", final_box=True, period_end="2026-06-30", jurisdiction="OR"),
        paper(4, "US/final_return", final_box=True, period_end="2026-06-30", jurisdiction="US"),
        paper(5, "US/ein_closure_letter", signed_date="2026-10-01", jurisdiction="US"),
    ]
    assert {step.need for step in steps(*papers, entity=entity).values()} == {Need.ADVISED}


@pytest.mark.parametrize("days", range(0, 800, 97))
def test_the_plan_of_a_day_is_a_pure_function_of_it(days: int) -> None:
    today = TODAY + timedelta(days)
    assert steps(today=today) == steps(today=today)
