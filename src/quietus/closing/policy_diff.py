"""What a changed retention policy would do, before it does anything."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quietus.closing.keeping import keeps_by
from quietus.closing.office import Office
from quietus.closing.policy import InForce, in_force, texts_now
from quietus.model.facts import PaperFacts
from quietus.model.retention import Keep
from quietus.rules import Keeper, schedule_texts, schedules_of


@dataclass(frozen=True, slots=True)
class Change:
    """What a changed policy would do to one paper.

    Attributes:
        paper: its facts.
        before: by what counts now.
        after: by the changed policy.
        due: whether the paper would be due on the day asked about, and is not now.
    """

    paper: PaperFacts
    before: Keep
    after: Keep
    due: bool

    @property
    def shorter(self) -> bool:
        """Whether the paper would be kept less long."""
        return self.before.lasts_longer_than(self.after)


@dataclass(frozen=True, slots=True)
class PolicyDiff:
    """What a changed policy would do.

    Attributes:
        papers: how many were looked at.
        changes: what would change, the shortened first.
    """

    papers: int
    changes: tuple[Change, ...]

    @property
    def shortened(self) -> int:
        """How many papers would be kept less long."""
        return sum(change.shorter for change in self.changes)


def policy_diff(office: Office, folder: Path, asof: date) -> PolicyDiff:
    """What the schedules in a folder would do in place of the office's own.

    A file in the folder takes the place of the office's file of that name; the others count as they stand.

    Raises:
        Misuse: there is no such folder.
        BadData: a schedule is not as expected.
    """
    changed = Keeper(schedules_of({**texts_now(office), **schedule_texts([folder])}))
    return _diff(office, in_force(office), changed, asof)


def unaccepted(office: Office, asof: date) -> PolicyDiff:
    """What accepting the schedules as they stand would do."""
    policy = in_force(office)
    return _diff(office, policy, policy.now, asof)


def _diff(office: Office, policy: InForce, changed: Keeper, asof: date) -> PolicyDiff:
    total = 0
    changes = []
    keepers = tuple(dict.fromkeys((policy.accepted, policy.now, changed)))  # often two of them are one
    places = [keepers.index(keeper) for keeper in (policy.accepted, policy.now, changed)]
    for paper, keeps in _each(office, keepers):
        total += 1
        accepted, now, after = (keeps[place] for place in places)
        before = accepted if accepted.lasts_longer_than(now) else now
        if (before.clock, before.until) != (after.clock, after.until):
            changes.append(Change(paper, before, after, after.over_on(asof) and not before.over_on(asof)))
    changes.sort(key=lambda one: (not one.shorter, one.paper.entity, one.paper.id))
    return PolicyDiff(total, tuple(changes))


def _each(office: Office, keepers: tuple[Keeper, ...]) -> Iterator[tuple[PaperFacts, tuple[Keep, ...]]]:
    for slugs in (None, [""]):
        yield from keeps_by(office, keepers, slugs)
