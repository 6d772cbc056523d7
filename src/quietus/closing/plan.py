"""What to do next, in a legal order: the open papers of a closing sorted by the order rules, with their dates. Pure."""

import heapq
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from quietus.closing.case import Case, OnFile, on_file
from quietus.closing.date_faults import good_until
from quietus.closing.exam import words_of
from quietus.closing.still_open import open_registrations
from quietus.closing.windows import window_end
from quietus.model.errors import Misuse
from quietus.model.expected import ExpectedPaper, Need, Source
from quietus.model.findings import Finding, Line, Mark, Severity, Verdict

_OPEN = frozenset({Mark.MISSING, Mark.FAULT, Mark.REVIEW, Mark.ADVISED})
_NOT_THERE = frozenset({Mark.MISSING, Mark.ADVISED})


@dataclass(frozen=True, slots=True)
class Limit:
    """A day that matters for a step, and why, as words that follow the day."""

    day: date
    says: str


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do.

    Attributes:
        number: its place in the order, from 1.
        key: of the expected paper it is about; empty when it is about none.
        scope: USPS code, FEDERAL or COMPANY.
        title: of that paper, or what the step is about.
        mark: the state of that paper.
        need: how strongly it is expected.
        does: what to do, sentence by sentence.
        who: who acts.
        waits_for: numbers of the steps that have to be done before.
        limits: the days that matter, in order.
        sources: where the rule comes from.
    """

    number: int
    key: str
    scope: str
    title: str
    mark: Mark
    need: Need
    does: tuple[str, ...]
    who: str
    waits_for: tuple[int, ...]
    limits: tuple[Limit, ...]
    sources: tuple[Source, ...]


def plan(case: Case, verdict: Verdict) -> tuple[Step, ...]:
    """Every step that is left of a closing: first what stands outside the order, then the papers in a legal order.

    Among papers that may come next, required ones go before advised ones, and the one with the nearest day first.

    Args:
        case: what the verdict was given on.
        verdict: its verdict.

    Raises:
        Misuse: the order rules of the packs contradict each other.
    """
    file = on_file(case)
    open_lines = {line.expected.key: line for line in verdict.lines if line.mark in _OPEN}
    limits = {key: limits_of(file, line) for key, line in open_lines.items()}
    order = [key for key in _in_order(verdict.lines, limits) if key in open_lines]
    loose = [f for f in verdict.findings if f.severity is Severity.BLOCKS and f.expected not in open_lines]
    numbers = {key: number for number, key in enumerate(order, start=len(loose) + 1)}
    before = _edges(verdict.lines, better=False)
    steps = [_loose_step(number, finding) for number, finding in enumerate(loose, start=1)]
    for key in order:
        waits_for = tuple(sorted(numbers[one] for one in before[key] if one in numbers))
        steps.append(_step(numbers[key], open_lines[key], verdict, waits_for, limits[key]))
    return tuple(steps)


def _loose_step(number: int, finding: Finding) -> Step:
    """A step for a blocking finding that is about no open paper."""
    return Step(
        number=number,
        key=finding.expected,
        scope=finding.scope,
        title=finding.says,
        mark=Mark.FAULT,
        need=Need.REQUIRED,
        does=(finding.next_step,),
        who=finding.who,
        waits_for=(),
        limits=(),
        sources=finding.sources,
    )


def _step(number: int, line: Line, verdict: Verdict, waits_for: tuple[int, ...], limits: tuple[Limit, ...]) -> Step:
    expected = line.expected
    said = [f for f in verdict.blocking if f.expected == expected.key or expected.key in f.missing]
    first = [f.next_step for f in said if f.expected == expected.key]
    return Step(
        number=number,
        key=expected.key,
        scope=expected.scope,
        title=expected.title,
        mark=line.mark,
        need=expected.need,
        does=tuple(dict.fromkeys(first)) or (expected.next_step,),
        who=said[0].who if said else "preparer",
        waits_for=waits_for,
        limits=limits,
        sources=expected.sources,
    )


def limits_of(file: OnFile, line: Line) -> tuple[Limit, ...]:
    """The days that matter for an open paper, in order."""
    found = _limits(file, line)
    return tuple(sorted(dict.fromkeys(found), key=lambda limit: (limit.day, limit.says)))


def _limits(file: OnFile, line: Line) -> Iterator[Limit]:
    expected = line.expected
    if line.mark in _NOT_THERE:
        if expected.due:
            yield Limit(expected.due, "due")
        if expected.extended:
            yield Limit(expected.extended, "due if an extension was asked for in time")
        last = window_end(file, expected)
        if last and expected.window:
            what = "to be asked for" if expected.window.request else "to be done"
            yield Limit(last, f"{what}: {expected.window.words} after the {words_of(expected.window.after)}")
    if expected.kind.ends_registration:
        yield from _limits_of_ending(file, expected)


def _limits_of_ending(file: OnFile, expected: ExpectedPaper) -> Iterator[Limit]:
    """Clearances that run out, and yearly duties that come up, before the filing is made."""
    if expected.key not in {ending.key for _, ending in open_registrations(file)}:
        return
    for key, paper in file.dated.items():
        clearance = file.wanted[key]
        last = good_until(clearance, paper) if clearance.supports == expected.key else None
        if last:
            yield Limit(last, f"the {words_of(key)} on file is good until then")
    if file.case.entity.closed is None:
        return
    for owed in file.case.owed(expected.scope):
        to_come = next((day for day in owed.dates if day > file.case.today), None)
        if to_come:
            yield Limit(to_come, f"its {owed.title} falls due while it is open")


def _edges(lines: Sequence[Line], *, better: bool) -> dict[str, set[str]]:
    """For each line the keys of the lines that come before it.

    Args:
        lines: of a verdict.
        better: whether to heed what had only better come first.
    """
    edges = {line.expected.key: {*line.expected.after, *(line.expected.better_after * better)} for line in lines}
    for line in lines:
        if line.expected.supports in edges:
            edges[line.expected.supports].add(line.expected.key)
    return {key: before & edges.keys() for key, before in edges.items()}


def _in_order(lines: Sequence[Line], limits: Mapping[str, Sequence[Limit]]) -> list[str]:
    """The keys of all lines in a legal order; what had only better come first gives way where rules contradict it."""
    edges: dict[str, set[str]] = {}
    order: list[str] = []
    for better in (True, False):
        edges = _edges(lines, better=better)
        order = _sorted(edges, {})
        if len(order) == len(edges):
            return _sorted(edges, _urgency(lines, limits, edges, order))
    circle = ", ".join(sorted(edges.keys() - set(order)))
    raise Misuse(
        f"The order rules contradict each other: {circle} each have to come after another of them.",
        "Correct `after` or `supports` in the office's own rule packs.",
    )


Urgency = tuple[bool, date]
"""Not required, and the nearest day: the smaller, the sooner."""


def _urgency(
    lines: Sequence[Line], limits: Mapping[str, Sequence[Limit]], edges: Mapping[str, set[str]], order: Sequence[str]
) -> dict[str, Urgency]:
    """How urgent each line is: as urgent as the most urgent one that waits for it."""
    days = {key: found[0].day for key, found in limits.items() if found}
    urgency = {
        line.expected.key: (line.expected.need is Need.ADVISED, days.get(line.expected.key, date.max)) for line in lines
    }
    for key in reversed(order):
        for before in edges[key]:
            urgency[before] = min(urgency[before], urgency[key])
    return urgency


def _sorted(edges: Mapping[str, set[str]], urgency: Mapping[str, Urgency]) -> list[str]:
    """Topological order; among what may come next the most urgent first, then as listed.

    Keys that stand in a circle, or after one, are left out.
    """
    place = {key: number for number, key in enumerate(edges)}
    waits = {key: set(before) for key, before in edges.items()}
    after: dict[str, list[str]] = {}
    for key, before in waits.items():
        for one in before:
            after.setdefault(one, []).append(key)

    def turn(key: str) -> tuple[Urgency, int, str]:
        return (urgency.get(key, (False, date.max)), place[key], key)

    ready = [turn(key) for key, before in waits.items() if not before]
    heapq.heapify(ready)
    order: list[str] = []
    while ready:
        key = heapq.heappop(ready)[-1]
        order.append(key)
        for later in after.get(key, ()):
            waits[later].discard(key)
            if not waits[later]:
                heapq.heappush(ready, turn(later))
    return order
