"""Retention at a glance: what is held, what comes due, what has no rule, and what is gone."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from quietus.closing import holds
from quietus.closing.approval import Candidate, candidates
from quietus.closing.office import Office
from quietus.model.hold import Hold
from quietus.model.retention import Clock, Trigger


@dataclass(frozen=True, slots=True)
class RetentionReport:
    """Retention at a glance, as of a day.

    Every paper that was ever filed is in exactly one of `held`, `due`, `coming`, `later`, `waiting`, `still`,
    `no_rule`, `permanent` and `destroyed`; those of `coming` come due within the months asked for.

    Attributes:
        asof: the day.
        months: how many months ahead were asked for.
        holds: each hold in force, and how many papers it catches.
        held: papers that a hold keeps.
        due: papers that may be disposed of.
        coming: papers by the month in which they come due, as `2027-03`.
        later: how many come due after that.
        waiting: how many wait for review.
        still: papers whose clock stands still, by the event that is missing.
        no_rule: papers that no rule applies to.
        permanent: how many are kept permanently.
        destroyed: how many were destroyed.
        filed: how many were ever filed.
    """

    asof: date
    months: int
    holds: tuple[tuple[Hold, int], ...]
    held: tuple[Candidate, ...]
    due: tuple[Candidate, ...]
    coming: dict[str, tuple[Candidate, ...]]
    later: int
    waiting: int
    still: dict[Trigger, tuple[Candidate, ...]]
    no_rule: tuple[Candidate, ...]
    permanent: int
    destroyed: int
    filed: int


def retention_report(office: Office, asof: date, months: int, slug: str = "") -> RetentionReport:
    """Retention at a glance: of all papers, or of one entity's.

    Raises:
        Misuse: there is no such entity.
        BadData: a schedule is not as expected.
    """
    found = candidates(office, asof, slug)
    last = _months_after(asof, months)
    by = _sorted(found, asof, last)
    active = holds.in_force(office.vault)
    counts = Counter(hold.id for one in found for hold in one.holds)
    destroyed = len(office.vault.cards("disposal", slug)) if slug else len(office.vault.stubs())
    return RetentionReport(
        asof=asof,
        months=months,
        holds=tuple((hold, counts[hold.id]) for hold in active),
        held=tuple(by["held"]),
        due=tuple(by["due"]),
        coming=_by_month(by["coming"]),
        later=len(by["later"]),
        waiting=len(by["waiting"]),
        still=_by_event(by["still"]),
        no_rule=tuple(by["no rule"]),
        permanent=len(by["permanent"]),
        destroyed=destroyed,
        filed=len(found) + destroyed,
    )


def _sorted(found: Iterable[Candidate], asof: date, last: date) -> dict[str, list[Candidate]]:
    names = ("held", "due", "coming", "later", "waiting", "still", "no rule", "permanent")
    by: dict[str, list[Candidate]] = {name: [] for name in names}
    for one in found:
        by[_place(one, asof, last)].append(one)
    return by


def _place(one: Candidate, asof: date, last: date) -> str:
    keep = one.kept.keep
    if one.holds:
        return "held"
    if one.kept.paper.waits:
        return "waiting"
    if keep.clock is not Clock.RUNS:
        return {Clock.PERMANENT: "permanent", Clock.STANDS_STILL: "still", Clock.NO_RULE: "no rule"}[keep.clock]
    if keep.over_on(asof):
        return "due"
    return "coming" if keep.over_on(last) else "later"


def _by_month(found: Iterable[Candidate]) -> dict[str, tuple[Candidate, ...]]:
    by: dict[str, list[Candidate]] = {}
    for one in found:
        by.setdefault(f"{one.kept.keep.until:%Y-%m}", []).append(one)
    return {month: tuple(by[month]) for month in sorted(by)}


def _by_event(found: Iterable[Candidate]) -> dict[Trigger, tuple[Candidate, ...]]:
    by: dict[Trigger, list[Candidate]] = {}
    for one in found:
        missing = dict.fromkeys(rule.trigger for rule in one.kept.keep.applied if rule.from_day is None)
        for trigger in missing:
            by.setdefault(trigger, []).append(one)
    return {trigger: tuple(by[trigger]) for trigger in Trigger if trigger in by}


def _months_after(day: date, months: int) -> date:
    """The first day of the month that begins after so many whole months."""
    years, month = divmod(day.month + months, 12)
    return date(day.year + years, month + 1, 1)
