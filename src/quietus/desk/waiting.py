"""Which papers wait, told on every page: from the facts of papers, and only of closings that changed since."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from quietus.closing.review import Question
from quietus.closing.summary import facts_of_row
from quietus.model.paper import Paper, Standing
from quietus.vault import Vault

_MANY = 4  # when more than one in so many closings changed, one pass over all is quicker
_When = tuple[str, str]  # when a paper was received, and its id


@dataclass(slots=True)
class Waits:
    """What waits, as it was told last.

    Attributes:
        revisions: of each entity, when its papers were looked at.
        filed: for each entity its papers that wait.
        homeless: papers that belong to nobody, by id.
    """

    revisions: dict[str, int] = field(default_factory=dict)
    filed: dict[str, list[_When]] = field(default_factory=dict)
    homeless: dict[str, _When] = field(default_factory=dict)

    def ids(self, vault: Vault) -> tuple[str, ...]:
        """Ids of every paper that waits, the longest waiting first."""
        return tuple(paper for _, paper in self._order(vault))

    def following(self, vault: Vault, paper: Paper) -> str:
        """Id of the paper that waits next after `paper`, else of the first; empty when none does."""
        order = self._order(vault)
        later = [when for when in order if when > _when(paper)]
        return next(iter(later or order), ("", ""))[1]

    def _order(self, vault: Vault) -> list[_When]:
        now = vault.revisions()
        changed = [slug for slug, number in now.items() if self.revisions.get(slug) != number]
        if changed:
            self._look(vault, None if len(changed) * _MANY > len(now) else changed, changed)
        self.revisions = now
        self.homeless = {one: self.homeless.get(one) or _when(vault.paper(one)) for one in vault.homeless()}
        filed = (when for whens in self.filed.values() for when in whens)
        return sorted([*filed, *self.homeless.values()])

    def _look(self, vault: Vault, slugs: Sequence[str] | None, changed: Iterable[str]) -> None:
        for slug in changed:
            self.filed.pop(slug, None)
        for slug, rows in groupby(vault.facts(slugs), key=lambda row: row[0]):
            whens = [(facts.received, facts.id) for facts in map(facts_of_row, rows) if facts.waits]
            self.filed.update({slug: whens} if whens else {})


def _when(paper: Paper) -> _When:
    return paper.received.isoformat(timespec="microseconds"), paper.id


def question_of(paper: Paper) -> Question:
    """A paper that waits, and why."""
    return Question(paper, paper.reading.doubts, paper.standing is Standing.UNASSIGNED)
