"""How long a paper is kept: the longest rule wins, and nothing is guessed."""

from dataclasses import replace
from datetime import UTC, date, datetime
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quietus.model.expected import Basis, ExpectedPaper, Need, Source
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Reading, Value
from quietus.model.retention import Clock, Trigger
from quietus.rules import Schedules, ceiling_notes, default_schedule_folder, keep, load_schedules
from quietus.rules.periods import period_of
from quietus.rules.schedules import RetentionRule

DEFAULT = load_schedules([default_schedule_folder()])
SOURCE = Source("Code 1", Basis.MEMORY, date(2026, 11, 25))


def value(content: str | bool | date | None, *, review: bool = False) -> Value:
    return Value(content.isoformat() if isinstance(content, date) else content, 0.9, review)


def paper(doubts: str = "", **fields: str | date | None) -> Paper:
    values = {name: value(content, review=name in doubts.split()) for name, content in fields.items()}
    return Paper(
        id="0" * 32,
        sha256="0" * 64,
        name="a.pdf",
        media_type="application/pdf",
        size=1,
        pages=1,
        received=datetime(2026, 11, 20, 12, tzinfo=UTC),
        standing=Standing.FILED,
        entity="pan-glazing",
        expected="",
        reading=Reading((), values),
    )


def expected(kind: Kind, scope: str = "US", due: date | None = None, forms: tuple[str, ...] = ()) -> ExpectedPaper:
    return ExpectedPaper(
        key=f"{scope}/{kind}",
        scope=scope,
        kind=kind,
        title="T",
        need=Need.REQUIRED,
        issuer="I",
        sources=(SOURCE,),
        next_step="N.",
        due=due,
        forms=forms,
    )


def rule(
    name: str = "r", trigger: Trigger = Trigger.FILED, period: str = "3 years", *, kinds: tuple[Kind, ...] = ()
) -> RetentionRule:
    length = period_of(period)
    assert length is not None
    return RetentionRule(
        name, name, frozenset(kinds), frozenset(), frozenset(), trigger, None, length, False, "why", "", (SOURCE,)
    )


def test_without_a_rule_the_paper_is_kept_and_says_so() -> None:
    kept = keep(paper(kind="consent"), None, None, Schedules())
    assert (kept.clock, kept.until, kept.winner) == (Clock.NO_RULE, None, None)


def test_proof_of_closure_is_kept_permanently() -> None:
    kept = keep(
        paper(kind="dissolution", jurisdiction="OR", filing_date=date(2026, 7, 14)), None, date(2026, 7, 14), DEFAULT
    )
    assert (kept.clock, kept.until) == (Clock.PERMANENT, None)
    assert kept.winner is not None and kept.winner.rule == "proof-of-closure"


def test_a_consent_is_kept_seven_years_from_the_end_of_the_company() -> None:
    kept = keep(paper(kind="consent"), expected(Kind.CONSENT, "company"), date(2026, 7, 14), DEFAULT)
    assert (kept.clock, kept.until) == (Clock.RUNS, date(2033, 7, 14))
    assert kept.winner is not None and kept.winner.from_day == date(2026, 7, 14)


def test_while_the_end_of_the_company_is_not_known_its_clock_stands_still() -> None:
    kept = keep(paper(kind="consent"), expected(Kind.CONSENT, "company"), None, DEFAULT)
    assert (kept.clock, kept.until) == (Clock.STANDS_STILL, None)


def test_a_date_in_doubt_does_not_start_a_clock() -> None:
    doubtful = paper("filing_date", kind="clearance", filing_date=date(2026, 7, 14))
    assert keep(doubtful, None, None, Schedules((rule(),))).clock is Clock.STANDS_STILL


def test_a_return_without_a_filing_date_stands_still_though_its_due_date_is_known() -> None:
    schedules = Schedules((rule(trigger=Trigger.LATER_OF_FILED_AND_DUE),))
    kept = keep(paper(kind="final_return"), expected(Kind.FINAL_RETURN, due=date(2026, 9, 15)), None, schedules)
    assert kept.clock is Clock.STANDS_STILL


def test_a_due_date_from_before_the_period_s_end_is_not_this_paper_s() -> None:
    schedules = Schedules((rule(trigger=Trigger.DUE),))
    later = paper(kind="final_return", period_end=date(2027, 6, 30))
    kept = keep(later, expected(Kind.FINAL_RETURN, due=date(2026, 9, 15)), None, schedules)
    assert kept.clock is Clock.STANDS_STILL


def test_a_kind_in_doubt_may_be_any_so_every_rule_attaches() -> None:
    kept = keep(paper("kind", kind="other"), None, date(2026, 7, 14), DEFAULT)
    assert kept.clock is Clock.PERMANENT


def test_a_rule_for_a_form_looks_at_the_form_and_not_at_its_spelling() -> None:
    kept = keep(paper(kind="other", form="Form 8879 PE"), None, date(2026, 7, 14), DEFAULT)
    assert "e-file-signature" in {one.rule for one in kept.applied}
    kept = keep(paper(kind="other", form="8822-B"), None, date(2026, 7, 14), DEFAULT)
    assert {one.rule for one in kept.applied} == {"other-papers"}


def test_a_rule_for_a_jurisdiction_stays_there() -> None:
    state = keep(paper(kind="final_return", jurisdiction="CO"), expected(Kind.FINAL_RETURN, "CO"), None, DEFAULT)
    assert "assessment-3-years" not in {one.rule for one in state.applied}
    federal = keep(paper(kind="final_return", jurisdiction="US"), expected(Kind.FINAL_RETURN), None, DEFAULT)
    assert "assessment-3-years" in {one.rule for one in federal.applied}


def test_a_payment_that_a_person_recorded_starts_the_employment_tax_clock() -> None:
    schedules = Schedules(tuple(r for r in DEFAULT.rules if r.id == "employment-tax-4-years"))
    filed = paper(kind="final_employment_return", jurisdiction="US")
    wanted = expected(Kind.FINAL_EMPLOYMENT_RETURN, due=date(2026, 7, 31))
    assert keep(filed, wanted, None, schedules).clock is Clock.STANDS_STILL
    assert keep(filed, wanted, None, schedules, {"paid": date(2026, 9, 2)}).until == date(2030, 9, 2)


def test_the_reason_for_keeping_past_the_ceiling_is_told() -> None:
    kept = keep(paper(kind="consent"), None, date(2026, 7, 14), DEFAULT)
    (note,) = ceiling_notes(kept, DEFAULT)
    assert "two years after its last use" in note
    assert "Legitimate business purpose" in note
    (unruled,) = ceiling_notes(keep(paper(kind="consent"), None, None, Schedules()), DEFAULT)
    assert "No rule" in unruled


DATES = st.none() | st.dates(date(2000, 1, 1), date(2060, 12, 31))
PERIODS = st.sampled_from(["permanent", "1 day", "90 days", "1 month", "18 months", "3 years", "7 years"])


@st.composite
def rules(draw: st.DrawFn) -> tuple[RetentionRule, ...]:
    names = draw(st.lists(st.sampled_from("abcdefgh"), unique=True, max_size=6))
    return tuple(
        replace(
            rule(name, draw(st.sampled_from(list(Trigger))), draw(PERIODS)),
            kinds=frozenset(draw(st.sets(st.sampled_from([Kind.CONSENT, Kind.CLEARANCE, Kind.OTHER])))),
            year_ends=draw(st.sampled_from([None, (6, 30), (12, 31), (2, 28)])),
        )
        for name in names
    )


@st.composite
def papers(draw: st.DrawFn) -> Paper:
    doubts = " ".join(draw(st.sets(st.sampled_from(["filing_date", "signed_date", "kind", "period_end"]))))
    return paper(
        doubts,
        kind=draw(st.sampled_from([Kind.CONSENT, Kind.CLEARANCE, Kind.OTHER])),
        filing_date=draw(DATES),
        signed_date=draw(DATES),
        period_end=draw(DATES),
    )


WANTED = st.none() | st.builds(lambda due: expected(Kind.CLEARANCE, "TN", due), DATES)


@given(papers(), WANTED, DATES, rules(), st.randoms())
def test_the_answer_does_not_depend_on_the_order_of_rules(
    one: Paper, wanted: ExpectedPaper | None, dissolved: date | None, some: tuple[RetentionRule, ...], chance: Random
) -> None:
    turned = list(some)
    chance.shuffle(turned)
    first = keep(one, wanted, dissolved, Schedules(some))
    assert keep(one, wanted, dissolved, Schedules(tuple(turned))) == first


@given(papers(), WANTED, DATES, rules())
def test_the_longest_rule_wins_and_an_unknown_event_never_lets_go(
    one: Paper, wanted: ExpectedPaper | None, dissolved: date | None, some: tuple[RetentionRule, ...]
) -> None:
    kept = keep(one, wanted, dissolved, Schedules(some))
    if any(applied.permanent for applied in kept.applied):
        assert kept.clock is Clock.PERMANENT
    elif any(applied.from_day is None for applied in kept.applied):
        assert kept.clock is Clock.STANDS_STILL
    elif kept.applied:
        assert kept.clock is Clock.RUNS
        assert kept.until == max(applied.until for applied in kept.applied if applied.until)
    else:
        assert kept.clock is Clock.NO_RULE
    assert (kept.until is not None) == (kept.clock is Clock.RUNS)
    assert kept.winner == (kept.applied[0] if kept.applied else None)


@given(papers(), WANTED, DATES, rules(), rules())
def test_one_more_rule_never_shortens(
    one: Paper,
    wanted: ExpectedPaper | None,
    dissolved: date | None,
    some: tuple[RetentionRule, ...],
    more: tuple[RetentionRule, ...],
) -> None:
    few = keep(one, wanted, dissolved, Schedules(some))
    renamed = tuple(replace(rule, id=f"more-{rule.id}") for rule in more)
    many = keep(one, wanted, dissolved, Schedules(some + renamed))
    if few.clock is Clock.PERMANENT:
        assert many.clock is Clock.PERMANENT
    if few.clock is Clock.STANDS_STILL:
        assert many.clock in (Clock.STANDS_STILL, Clock.PERMANENT)
    if few.until and many.until:
        assert many.until >= few.until
    assert {a.rule for a in few.applied} <= {a.rule for a in many.applied}


@given(papers(), DATES, rules())
def test_a_period_never_ends_before_its_event(
    one: Paper, dissolved: date | None, some: tuple[RetentionRule, ...]
) -> None:
    for applied in keep(one, None, dissolved, Schedules(some)).applied:
        assert applied.until is None or (applied.from_day is not None and applied.until > applied.from_day)


@given(papers(), DATES)
def test_when_it_was_received_does_not_matter_unless_a_rule_says_so(one: Paper, dissolved: date | None) -> None:
    later = replace(one, received=datetime(2040, 1, 1, tzinfo=UTC))
    assert keep(later, None, dissolved, DEFAULT) == keep(one, None, dissolved, DEFAULT)


@pytest.mark.parametrize(
    ("signed", "end"),
    [
        (date(2026, 6, 30), date(2029, 6, 30)),
        (date(2026, 7, 1), date(2030, 6, 30)),
        (date(2026, 8, 3), date(2030, 6, 30)),
    ],
)
def test_a_return_period_runs_to_the_last_of_june(signed: date, end: date) -> None:
    schedules = Schedules(tuple(r for r in DEFAULT.rules if r.id == "return-copy"))
    assert keep(paper(kind="final_return", signed_date=signed), None, None, schedules).until == end
