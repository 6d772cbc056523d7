"""Whatever the schedules, holds, clocks and days: nothing that is held, untriggered or unapproved may go."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import TypeVar

from hypothesis import given, settings
from hypothesis import strategies as st

from quietus.closing.approval import COUNTS_FOR, Approval, Given, Item, obstacle
from quietus.closing.clockwatch import AHEAD, BACK, doubt
from quietus.closing.disposal import still_barred
from quietus.closing.keeping import Kept
from quietus.closing.policy import longer
from quietus.model.expected import ExpectedPaper, Need
from quietus.model.facts import PaperFacts
from quietus.model.hold import Hold, Released, catching
from quietus.model.kinds import Kind
from quietus.model.paper import Standing
from quietus.model.retention import Clock, Trigger
from quietus.rules import Keeper, Schedules
from quietus.rules.periods import period_of
from quietus.rules.schedules import RetentionRule
from tests.closing.make import SOURCE

T = TypeVar("T")

EDGES = ["2024-02-29", "2023-02-28", "2024-01-31", "2025-06-30", "2025-07-01", "2025-12-31", "2026-01-01"]
DAYS = st.sampled_from([date.fromisoformat(day) for day in EDGES]) | st.dates(date(2018, 1, 1), date(2027, 12, 31))
KINDS = [Kind.CONSENT, Kind.FINAL_RETURN, Kind.CLEARANCE, Kind.OTHER]
PLACES = ["OR", "WA", "US", "company"]
PERIODS = ["1 day", "30 days", "1 month", "18 months", "3 years", "7 years"]
EVENTS = ["paid", "presented", "last-use", "engagement-end", "employment-end", "cleared", "published"]
FIELDS = ("kind", "jurisdiction", "filing_date", "signed_date", "period_end", "ein")


def mostly(often: T, seldom: st.SearchStrategy[T]) -> st.SearchStrategy[T]:
    """Three times in four the one value, so that situations in which a paper may go are not too rare to be tried."""
    return st.integers(0, 3).flatmap(lambda die: seldom if die == 3 else st.just(often))


@st.composite
def rules(draw: st.DrawFn) -> RetentionRule:
    period = period_of(draw(st.sampled_from(PERIODS) | mostly("2 years", st.just("permanent"))))
    assert period is not None
    return RetentionRule(
        id=draw(st.sampled_from("abcdefghij")),
        title="t",
        kinds=draw(mostly(frozenset[Kind](), st.frozensets(st.sampled_from(KINDS), max_size=2))),
        jurisdictions=draw(mostly(frozenset[str](), st.frozensets(st.sampled_from(PLACES), max_size=2))),
        forms=frozenset(),
        trigger=draw(mostly(Trigger.FILED, st.sampled_from(list(Trigger)))),
        year_ends=draw(st.sampled_from([None, (6, 30), (12, 31), (2, 28)])),
        period=period,
        option=False,
        past_ceiling="why",
        note="",
        sources=(SOURCE,),
        elsewhere=draw(mostly(frozenset[str](), st.frozensets(st.sampled_from(PLACES), max_size=1))),
    )


SCHEDULES = st.lists(rules(), min_size=1, max_size=5, unique_by=lambda rule: rule.id).map(
    lambda some: Schedules(tuple(some))
)


@st.composite
def papers(draw: st.DrawFn) -> PaperFacts:
    values: dict[str, str | bool] = {
        "kind": draw(st.sampled_from(KINDS)).value,
        "jurisdiction": draw(st.sampled_from(PLACES)),
    }
    for name in ("filing_date", "signed_date", "period_end"):
        if draw(mostly(True, st.just(False))):
            values[name] = draw(DAYS).isoformat()
    standing = draw(mostly(Standing.FILED, st.sampled_from([Standing.REJECTED, Standing.UNASSIGNED])))
    return PaperFacts(
        id=f"{draw(st.integers(0, 9)):032x}",
        standing=standing,
        entity="" if standing is Standing.UNASSIGNED else draw(st.sampled_from(["one", "other"])),
        expected=draw(st.sampled_from(["", "OR/clearance", "US/final_return", "company/consent"])),
        received=f"{draw(DAYS).isoformat()}T12:00:00.000000+00:00",
        values=values,
        doubts=draw(mostly((), st.frozensets(st.sampled_from(FIELDS), max_size=2).map(tuple))),
    )


@st.composite
def holds(draw: st.DrawFn) -> Hold:
    span = sorted(draw(st.tuples(DAYS, DAYS)))
    return Hold(
        id=f"{draw(st.integers(0, 99)):08x}",
        reason="a matter",
        by="ada",
        on=date(2026, 1, 1),
        entity=draw(st.sampled_from(["", "", "one", "other"])),
        paper=draw(st.sampled_from(["", "", f"{1:032x}"])),
        jurisdiction=draw(st.sampled_from(["", "", *PLACES])),
        kinds=frozenset(kind.value for kind in draw(st.sets(st.sampled_from(KINDS), max_size=2))),
        since=draw(st.sampled_from([None, span[0]])),
        until=draw(st.sampled_from([None, span[1]])),
        released=draw(st.sampled_from([None, None, Released("ada", date(2026, 2, 1), "settled")])),
    )


WANTED = st.none() | st.builds(
    lambda due: ExpectedPaper("US/final_return", "US", Kind.FINAL_RETURN, "t", Need.REQUIRED, "i", (), "n", due=due),
    st.none() | DAYS,
)


@st.composite
def kepts(draw: st.DrawFn) -> Kept:
    """A paper kept by the schedules as they stand and by those that were accepted."""
    paper, wanted, dissolved = draw(papers()), draw(WANTED), draw(st.none() | DAYS)
    events = draw(st.dictionaries(st.sampled_from(EVENTS), DAYS, max_size=3))
    now, before = (Keeper(draw(SCHEDULES)).keep(paper, wanted, dissolved, events) for _ in range(2))
    return Kept(paper, longer(before, now), now)


@st.composite
def approvals(draw: st.DrawFn, kept: Kept) -> Approval:
    right = kept.keep.winner and kept.keep.until and Item(kept.paper.id, kept.keep.winner.rule, kept.keep.until)
    wrong = Item(f"{draw(st.integers(0, 9)):032x}", draw(st.sampled_from("abc")), draw(DAYS))
    person = Given("ada", "lock", draw(DAYS), "why")
    return Approval(
        id="0" * 8,
        first=person,
        two=draw(mostly(False, st.just(True))),
        second=draw(st.sampled_from([None, person])),
        items=(draw(mostly(right or wrong, st.just(wrong))),),
        withdrawn=draw(mostly("", st.just("a second thought"))),
    )


@st.composite
def situations(draw: st.DrawFn) -> tuple[Kept, tuple[Hold, ...], Approval, date]:
    kept = draw(kepts())
    today = draw(DAYS | st.dates(date(2028, 1, 1), date(2040, 1, 1)))
    if kept.keep.until and draw(mostly(True, st.just(False))):
        today = kept.keep.until + timedelta(draw(st.integers(-1, 4)))
    approval = draw(approvals(kept))
    if draw(mostly(True, st.just(False))):
        approval = replace(approval, first=replace(approval.first, on=today - timedelta(draw(st.integers(0, 100)))))
    return kept, tuple(draw(st.lists(holds(), max_size=2))), approval, today


def test_no_path_lets_a_held_untriggered_or_unapproved_paper_go() -> None:
    went: list[str] = []

    @settings(max_examples=200)
    @given(situations())
    def tried(situation: tuple[Kept, tuple[Hold, ...], Approval, date]) -> None:
        kept, some, approval, today = situation
        caught_by = catching(some, kept.paper)
        if not still_barred(approval, approval.items[0], kept, caught_by, today):
            went.append(kept.paper.id)
            look(kept, caught_by, approval, today)

    tried()
    assert went, "papers did go, so that something was tried"


def look(kept: Kept, caught_by: tuple[Hold, ...], approval: Approval, today: date) -> None:
    """What has to hold of a paper that may go."""
    assert caught_by == ()
    assert not kept.paper.waits
    assert kept.keep.clock is Clock.RUNS
    assert kept.keep.applied, "a rule applied"
    assert all(rule.until is not None and rule.until < today for rule in kept.keep.applied), "every rule is over"
    assert not kept.now.lasts_longer_than(kept.keep)
    assert approval.items[0].paper == kept.paper.id
    assert not approval.withdrawn
    assert approval.second or not approval.two
    assert today <= approval.first.on + COUNTS_FOR


@given(situations())
def test_what_is_in_the_way_today_was_in_the_way_before(
    situation: tuple[Kept, tuple[Hold, ...], Approval, date],
) -> None:
    """An earlier day, one more hold, and a doubt never make a paper due."""
    kept, some, _, today = situation
    caught_by = catching(some, kept.paper)
    if obstacle(kept, caught_by, today):
        assert obstacle(kept, caught_by, today - timedelta(days=1))
        one_more = Hold("f" * 8, "r", "ada", today)
        assert obstacle(kept, catching((*some, one_more), kept.paper), today + timedelta(days=36500))


@given(papers(), WANTED, st.none() | DAYS, SCHEDULES, st.randoms())
def test_the_longest_rule_wins_whatever_the_order(
    paper: PaperFacts, wanted: ExpectedPaper | None, dissolved: date | None, schedules: Schedules, chance: Random
) -> None:
    turned = list(schedules.rules)
    chance.shuffle(turned)
    first = Keeper(schedules).keep(paper, wanted, dissolved)
    assert Keeper(Schedules(tuple(turned))).keep(paper, wanted, dissolved) == first
    for rule in schedules.rules:
        alone = Keeper(Schedules((rule,))).keep(paper, wanted, dissolved)
        assert alone.clock is Clock.NO_RULE or not alone.lasts_longer_than(first)


@given(papers(), holds(), holds())
def test_a_hold_that_says_more_catches_no_more(paper: PaperFacts, one: Hold, other: Hold) -> None:
    narrower = replace(
        one,
        entity=one.entity or other.entity,
        jurisdiction=one.jurisdiction or other.jurisdiction,
        kinds=one.kinds or other.kinds,
    )
    assert one.catches(paper) or not narrower.catches(paper)
    assert replace(one, released=None).catches(paper) or not one.catches(paper)


@given(st.lists(st.timedeltas(timedelta(days=-80), timedelta(days=80)), min_size=1, max_size=6))
def test_a_clock_is_believed_only_when_no_step_leaps(steps: list[timedelta]) -> None:
    at = datetime(2026, 1, 1, tzinfo=UTC)
    times = [at]
    for step in steps:
        times.append(times[-1] + step)
    believed = not doubt(times[:-1], times[-1])
    tops = [max(times[: place + 1]) for place in range(len(times))]
    fine = all(top - BACK <= now <= top + AHEAD for top, now in zip(tops, times[1:], strict=False))
    assert believed == fine
