"""How long one paper is kept: every rule that attaches, and the longest of them. Pure.

Nothing is guessed: an event whose date is not surely known leaves the rule's clock standing still, and the paper is
kept. What a paper is, while a person has yet to confirm it, may be anything, so every rule may be meant.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from quietus.model.expected import ExpectedPaper
from quietus.model.paper import Paper
from quietus.model.retention import Applied, Clock, Keep, Trigger
from quietus.rules.schedules import RetentionRule, Schedules, plain_form

PAID, PRESENTED, LAST_USE, ENGAGEMENT_END = "paid", "presented", "last-use", "engagement-end"
"""Names of events that no paper shows by itself and that a person can record."""


@dataclass(frozen=True, slots=True)
class _Facts:
    """What is known of one paper."""

    paper: Paper
    expected: ExpectedPaper | None
    dissolved_on: date | None
    events: Mapping[str, date]

    def sure(self, field: str) -> str | None:
        """The text of a field that needs no second look."""
        return None if self.paper.reading[field].review else self.paper.reading.text(field)

    def day(self, field: str) -> date | None:
        """The date of a field that needs no second look."""
        return None if self.paper.reading[field].review else self.paper.reading.day(field)

    def due(self) -> date | None:
        """The due date of the return; not one from before the end of the period that the paper itself shows."""
        due, end = self.expected.due if self.expected else None, self.day("period_end")
        return None if due and end and due < end else due


def keep(
    paper: Paper,
    expected: ExpectedPaper | None,
    dissolved_on: date | None,
    schedules: Schedules,
    events: Mapping[str, date] | None = None,
) -> Keep:
    """How long a paper is kept.

    The longest rule wins: permanent before a clock that stands still, that before any date, then the latest date. Which
    order the rules stand in does not matter.

    Args:
        paper: the paper with the reading that counts.
        expected: the expected paper it was filed under; None when it meets none.
        dissolved_on: the date of the filing that ended the company at home; None while not surely known.
        schedules: the rules.
        events: dates that a person recorded for it: `paid`, `presented`, `last-use`, `engagement-end`.
    """
    facts = _Facts(paper, expected, dissolved_on, events or {})
    applied = sorted((_applied(rule, facts) for rule in schedules.rules if _attaches(rule, facts)), key=_place)
    if not applied:
        return Keep(Clock.NO_RULE, None, None, ())
    winner = applied[0]
    clock = Clock.PERMANENT if winner.permanent else Clock.RUNS if winner.until else Clock.STANDS_STILL
    return Keep(clock, winner.until, winner, tuple(applied))


def _place(applied: Applied) -> tuple[int, int, str]:
    """Longest first; the rule's name only settles ties, so that the answer is always the same."""
    if applied.permanent:
        return (0, 0, applied.rule)
    if applied.until is None:
        return (1, 0, applied.rule)
    return (2, -applied.until.toordinal(), applied.rule)


def _attaches(rule: RetentionRule, facts: _Facts) -> bool:
    expected = facts.expected
    kinds = {facts.sure("kind"), expected.kind.value if expected else None}
    scopes = {facts.sure("jurisdiction"), expected.scope if expected else None}
    form = facts.sure("form")
    forms = {plain_form(form)} if form else {plain_form(known) for known in (expected.forms if expected else ())}
    return (
        _may_be(facts, "kind", {kind.value for kind in rule.kinds}, kinds)
        and _may_be(facts, "jurisdiction", rule.jurisdictions, scopes)
        and _may_be(facts, "form", rule.forms, forms)
    )


def _may_be(facts: _Facts, field: str, wanted: Iterable[str], found: set[str | None] | set[str]) -> bool:
    """True when a rule for `wanted` may be meant: it asks for nothing, asks for what was found, or that is in doubt."""
    wanted = set(wanted)
    return not wanted or facts.paper.reading[field].review or not wanted.isdisjoint(found)


def _applied(rule: RetentionRule, facts: _Facts) -> Applied:
    from_day = _EVENTS[rule.trigger](facts)
    if from_day and rule.year_ends:
        from_day = _end_of_year(from_day, *rule.year_ends)
    until = rule.period.after(from_day) if from_day and not rule.period.permanent else None
    return Applied(rule.id, rule.title, rule.trigger, from_day, until, rule.period.words, rule.sources)


def _end_of_year(day: date, month: int, last: int) -> date:
    """The last day of the year in which `day` falls, when years end on that day of that month."""
    end = date(day.year, month, last)
    return end if day <= end else date(day.year + 1, month, last)


def _later(one: date | None, other: date | None) -> date | None:
    """The later of two days; unknown when either is: the missing one may be the later."""
    return max(one, other) if one and other else None


_EVENTS: dict[Trigger, Callable[[_Facts], date | None]] = {
    Trigger.FILED: lambda facts: facts.day("filing_date"),
    Trigger.LATER_OF_FILED_AND_DUE: lambda facts: _later(facts.day("filing_date"), facts.due()),
    Trigger.DUE: lambda facts: facts.due(),
    Trigger.SIGNED: lambda facts: facts.day("signed_date"),
    Trigger.HOME_DISSOLVED: lambda facts: facts.dissolved_on,
    Trigger.RECEIVED: lambda facts: facts.paper.received.date(),
    Trigger.PRESENTED: lambda facts: facts.events.get(PRESENTED) or facts.day("signed_date"),
    Trigger.LATER_OF_DUE_AND_PAID: lambda facts: _later(facts.events.get(PAID), facts.due()),
    Trigger.LAST_USE: lambda facts: facts.events.get(LAST_USE),
    Trigger.ENGAGEMENT_END: lambda facts: facts.events.get(ENGAGEMENT_END),
}


def ceiling_notes(kept: Keep, schedules: Schedules) -> tuple[str, ...]:
    """What limits keeping a paper that long, and the reason on record for keeping it: one sentence or two a ceiling."""
    reasons = {rule.id: rule.past_ceiling for rule in schedules.rules}
    rule = kept.winner
    if rule is None:
        why = "No rule says why this paper is kept: decide on one."
    else:
        why = f"It is kept by the rule {rule.title}. {reasons.get(rule.rule, '')}".strip()
    return tuple(f"{ceiling.title}: {ceiling.says} {why}" for ceiling in schedules.ceilings)
