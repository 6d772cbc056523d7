"""Holds: papers that may not be disposed of, whatever their rule says, until a person lets them go."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from quietus.model.facts import PaperFacts
from quietus.model.paper import Standing


@dataclass(frozen=True, slots=True)
class Released:
    """That a hold was released.

    Attributes:
        by: who did it.
        on: when.
        reason: why.
    """

    by: str
    on: date
    reason: str


@dataclass(frozen=True, slots=True)
class Hold:
    """An order to keep. What is left empty does not matter; a hold with nothing set catches every paper there is.

    It is looked at whenever it matters, never spread over papers: one that comes later is caught like any other.

    Attributes:
        id: its own.
        reason: why, such as the matter it is for.
        by: who set it.
        on: when.
        review: the day somebody should ask whether it is still needed; None for none. It ends nothing.
        entity: slug.
        paper: id of the only paper it is for.
        jurisdiction: USPS code, `US` or `company`.
        kinds: kinds of paper.
        since: first day of a span of time.
        until: its last day.
        released: that it was released; None while it holds.
    """

    id: str
    reason: str
    by: str
    on: date
    review: date | None = None
    entity: str = ""
    paper: str = ""
    jurisdiction: str = ""
    kinds: frozenset[str] = frozenset()
    since: date | None = None
    until: date | None = None
    released: Released | None = None

    def catches(self, paper: PaperFacts) -> bool:
        """Whether the hold keeps a paper. What is not surely known of the paper counts as if it were meant."""
        return (
            self.released is None
            and (not self.paper or self.paper == paper.id)
            and (not self.entity or self._may_be_its(paper))
            and (not self.jurisdiction or self._may_be_there(paper))
            and (not self.kinds or self._may_be_such(paper))
            and self._may_be_then(paper)
        )

    def _may_be_its(self, paper: PaperFacts) -> bool:
        return paper.entity in {self.entity, ""} or paper.standing is Standing.UNASSIGNED

    def _may_be_there(self, paper: PaperFacts) -> bool:
        filed = paper.expected.partition("/")[0]
        read = paper.text("jurisdiction")
        return self.jurisdiction in {filed, read} or "jurisdiction" in paper.doubts or not (filed or read)

    def _may_be_such(self, paper: PaperFacts) -> bool:
        filed = paper.expected.partition("/")[2]
        read = paper.text("kind")
        return (
            read in self.kinds
            or any(filed == kind or filed.startswith(f"{kind}-") for kind in self.kinds)
            or "kind" in paper.doubts
            or read is None
        )

    def _may_be_then(self, paper: PaperFacts) -> bool:
        if self.since is None and self.until is None:
            return True
        first, last = self.since or date.min, self.until or date.max
        names = ("filing_date", "signed_date", "period_end", "effective_date")
        days = [day for name in names if (day := paper.day(name))]
        doubtful = any(name in paper.doubts for name in names)
        return doubtful or not days or any(first <= day <= last for day in days)

    @property
    def scope(self) -> str:
        """What it catches, in words."""
        parts = [
            f"paper {self.paper[:8]}" if self.paper else "",
            self.entity,
            self.jurisdiction,
            ", ".join(sorted(self.kinds)),
            f"from {self.since}" if self.since else "",
            f"to {self.until}" if self.until else "",
        ]
        return " ".join(part for part in parts if part) or "every paper"


def catching(holds: Iterable[Hold], paper: PaperFacts) -> tuple[Hold, ...]:
    """The holds that keep a paper, in the order given."""
    return tuple(hold for hold in holds if hold.catches(paper))
