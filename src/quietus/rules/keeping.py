"""How long one paper is kept: every rule that attaches, and the longest of them. Pure.

Nothing is guessed: an event whose date is not surely known leaves the rule's clock standing still, and the paper is
kept. What a paper is, while a person has yet to confirm it, may be anything, so every rule may be meant.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from operator import itemgetter
from typing import NamedTuple

from quietus.model.expected import ExpectedPaper
from quietus.model.facts import PaperFacts, facts_of
from quietus.model.paper import Paper
from quietus.model.retention import Applied, Clock, Keep, Trigger
from quietus.rules.schedules import RetentionRule, Schedules, plain_form

PAID, PRESENTED, LAST_USE, ENGAGEMENT_END = "paid", "presented", "last-use", "engagement-end"
EMPLOYMENT_END, CLEARED, PUBLISHED = "employment-end", "cleared", "published"
"""Names of events that the paper itself does not show: recorded by a person, or told by other papers on file."""

NOTHING: Mapping[str, date] = {}


class _Known(NamedTuple):
    """What is known of one paper."""

    paper: PaperFacts
    expected: ExpectedPaper | None
    dissolved_on: date | None
    events: Mapping[str, date]

    def day(self, name: str) -> date | None:
        """The date of a field that needs no second look."""
        return self.paper.sure_day(name)

    def due(self) -> date | None:
        """The due date of the return; not one from before the end of the period that the paper itself shows."""
        due, end = self.expected.due if self.expected else None, self.day("period_end")
        return None if due and end and due < end else due


class _Marks(NamedTuple):
    """What decides which rules attach. Few are different, in however many papers.

    Attributes:
        kind, jurisdiction, form: as read.
        doubts: which of the three a person has to look at.
        expected_kind, scope, forms: of the expected paper it was filed under.
    """

    kind: str | None
    jurisdiction: str | None
    form: str | None
    doubts: tuple[str, ...]
    expected_kind: str | None
    scope: str | None
    forms: tuple[str, ...]

    def doubtful(self, name: str) -> bool:
        return name in self.doubts


@dataclass(frozen=True, slots=True)
class _Attached:
    """The rules that attach to papers of some marks, and the events that these run from."""

    rules: tuple[RetentionRule, ...]
    events: tuple[Trigger, ...]
    kept: dict[tuple[date | None, ...], Keep] = field(default_factory=dict)


class Keeper:
    """Applies one set of schedules to papers, any number of them. The same rules and days are weighed once."""

    def __init__(self, schedules: Schedules) -> None:
        self.schedules = schedules
        self._attached: dict[_Marks, _Attached] = {}
        self._applied: dict[tuple[str, date | None], _Placed] = {}

    def keep(
        self,
        paper: PaperFacts,
        expected: ExpectedPaper | None,
        dissolved_on: date | None,
        events: Mapping[str, date] = NOTHING,
    ) -> Keep:
        """How long a paper is kept; see `keep`."""
        marks = _marks(paper, expected)
        attached = self._attached.get(marks)
        if attached is None:
            rules = tuple(rule for rule in self.schedules.rules if _attaches(rule, marks))
            attached = self._attached[marks] = _Attached(rules, tuple(dict.fromkeys(rule.trigger for rule in rules)))
        known = _Known(paper, expected, dissolved_on, events)
        days = tuple([_EVENTS[trigger](known) for trigger in attached.events])
        found = attached.kept.get(days)
        if found is None:
            day_of = dict(zip(attached.events, days, strict=True))
            found = attached.kept[days] = _longest_first([self._on(r, day_of[r.trigger]) for r in attached.rules])
        return found

    def _on(self, rule: RetentionRule, from_day: date | None) -> "_Placed":
        found = self._applied.get((rule.id, from_day))
        if found is None:
            applied = _applied(rule, from_day)
            found = self._applied[rule.id, from_day] = (_place(applied), applied)
        return found


_Placed = tuple[tuple[int, int, str], Applied]
"""A rule applied to a day, after what sorts it: longest first."""


def _longest_first(placed: list[_Placed]) -> Keep:
    if not placed:
        return Keep(Clock.NO_RULE, None, None, ())
    placed.sort(key=itemgetter(0))
    winner = placed[0][1]
    clock = Clock.PERMANENT if winner.permanent else Clock.RUNS if winner.until else Clock.STANDS_STILL
    return Keep(clock, winner.until, winner, tuple([applied for _, applied in placed]))


def keep(
    paper: Paper | PaperFacts,
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
        events: dates that the paper itself does not show, by the names above.
    """
    facts = facts_of(paper) if isinstance(paper, Paper) else paper
    return Keeper(schedules).keep(facts, expected, dissolved_on, events or NOTHING)


def _place(applied: Applied) -> tuple[int, int, str]:
    """Longest first; the rule's name only settles ties, so that the answer is always the same."""
    if applied.permanent:
        return (0, 0, applied.rule)
    if applied.until is None:
        return (1, 0, applied.rule)
    return (2, -applied.until.toordinal(), applied.rule)


def _marks(paper: PaperFacts, expected: ExpectedPaper | None) -> _Marks:
    doubts = tuple(name for name in ("kind", "jurisdiction", "form") if name in paper.doubts) if paper.doubts else ()
    return _Marks(
        paper.text("kind"),
        paper.text("jurisdiction"),
        paper.text("form"),
        doubts,
        expected.kind.value if expected else None,
        expected.scope if expected else None,
        expected.forms if expected else (),
    )


def _attaches(rule: RetentionRule, marks: _Marks) -> bool:
    read = None if marks.doubtful("form") else marks.form
    forms = {plain_form(read)} if read else {plain_form(known) for known in marks.forms}
    kinds = {None if marks.doubtful("kind") else marks.kind, marks.expected_kind}
    scopes = {None if marks.doubtful("jurisdiction") else marks.jurisdiction, marks.scope}
    return (
        _may_be(marks, "kind", {kind.value for kind in rule.kinds}, kinds)
        and _may_be(marks, "jurisdiction", rule.jurisdictions, scopes)
        and _may_be(marks, "form", rule.forms, forms)
        and not _has_its_own(rule, marks, scopes - {None})
    )


def _may_be(marks: _Marks, name: str, wanted: Iterable[str], found: set[str | None] | set[str]) -> bool:
    """True when a rule for `wanted` may be meant: it asks for nothing, asks for what was found, or that is in doubt."""
    wanted = set(wanted)
    return not wanted or marks.doubtful(name) or not wanted.isdisjoint(found)


def _has_its_own(rule: RetentionRule, marks: _Marks, scopes: set[str | None]) -> bool:
    """True when the paper is surely of jurisdictions that have a period of their own in place of the rule's."""
    return bool(scopes) and not marks.doubtful("jurisdiction") and scopes <= rule.elsewhere


def _applied(rule: RetentionRule, from_day: date | None) -> Applied:
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


def _dissolved_or_published(known: _Known) -> date | None:
    """The dissolution at home, or a publication that is known and later: one that never was bars nothing later."""
    published = known.events.get(PUBLISHED)
    return _later(known.dissolved_on, published) if published else known.dissolved_on


_EVENTS: dict[Trigger, Callable[[_Known], date | None]] = {
    Trigger.FILED: lambda known: known.day("filing_date"),
    Trigger.LATER_OF_FILED_AND_DUE: lambda known: _later(known.day("filing_date"), known.due()),
    Trigger.DUE: lambda known: known.due(),
    Trigger.SIGNED: lambda known: known.day("signed_date"),
    Trigger.HOME_DISSOLVED: lambda known: known.dissolved_on,
    Trigger.RECEIVED: lambda known: date.fromisoformat(known.paper.received[:10]),
    Trigger.PRESENTED: lambda known: known.events.get(PRESENTED) or known.day("signed_date"),
    Trigger.LATER_OF_DUE_AND_PAID: lambda known: _later(known.events.get(PAID), known.due()),
    Trigger.LAST_USE: lambda known: known.events.get(LAST_USE),
    Trigger.ENGAGEMENT_END: lambda known: known.events.get(ENGAGEMENT_END),
    Trigger.EMPLOYMENT_END: lambda known: known.events.get(EMPLOYMENT_END),
    Trigger.CLEARED: lambda known: known.events.get(CLEARED),
    Trigger.DISSOLVED_OR_PUBLISHED: _dissolved_or_published,
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
