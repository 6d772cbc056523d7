"""Everything that a verdict depends on, and what is on file in it, sorted once. Pure."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from quietus.model.entity import Entity
from quietus.model.expected import ExpectedPaper, Upkeep
from quietus.model.facts import PaperFacts
from quietus.model.findings import Waiver
from quietus.model.kinds import Kind
from quietus.model.paper import Standing
from quietus.rules import last_year_would_end


def owes_nothing(_scope: str) -> tuple[Upkeep, ...]:
    """What registrations owe where nothing is known of it."""
    return ()


@dataclass(frozen=True, slots=True)
class Case:
    """Everything that a verdict depends on.

    Attributes:
        entity: the company.
        expected: what the rules expect of it, in the order shown.
        papers: every paper filed to it.
        waivers: the preparer's decisions.
        known: codes that there are rules for.
        today: the day asked about.
        owed: tells of a jurisdiction what a registration there goes on owing while it is open, from the closing on.
        destroyed: by the key of the expected paper, when and why its paper was destroyed when its time was over.
    """

    entity: Entity
    expected: tuple[ExpectedPaper, ...]
    papers: tuple[PaperFacts, ...]
    waivers: tuple[Waiver, ...]
    known: frozenset[str]
    today: date
    owed: Callable[[str], tuple[Upkeep, ...]] = owes_nothing
    destroyed: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class OnFile:
    """A case with its papers sorted.

    Attributes:
        case: the case.
        filed: the papers that count, in the order received.
        wanted: the expected papers, by key.
        papers: the papers under each key.
        dated: for each key the paper that stands for it when dates are compared: the best-looking, then the newest.
        waived: the waivers, by the key of the expected paper they answer for.
        last_year_end: the ordinary end of the tax year in which the company closed; None while that is not known.
    """

    case: Case
    filed: tuple[PaperFacts, ...]
    wanted: Mapping[str, ExpectedPaper]
    papers: Mapping[str, Sequence[PaperFacts]]
    dated: Mapping[str, PaperFacts]
    waived: Mapping[str, Waiver]
    last_year_end: date | None

    def day(self, key: str) -> date | None:
        """The day of the paper that stands for `key`; None when there is none or it has no date."""
        paper = self.dated.get(key)
        return paper.counts_from if paper else None

    def ended(self, scope: str) -> tuple[date, ...]:
        """The days on which papers on file surely ended the registration in `scope`: stamped, and nothing in doubt."""
        return tuple(
            day
            for paper in self.papers.get(self.ending_key(scope), ())
            if paper.flag("stamped") is True and not paper.doubts and (day := paper.day("filing_date"))
        )

    def ending_key(self, scope: str) -> str:
        """The key of the filing that ends the registration in `scope`."""
        kind = Kind.DISSOLUTION if scope == self.case.entity.home else Kind.WITHDRAWAL
        return f"{scope}/{kind.value}"

    @property
    def home_end(self) -> date | None:
        """The day the company surely ended at home; None while nothing on file shows one."""
        return min(self.ended(self.case.entity.home), default=None)

    def ended_by_home_certificate(self, scope: str) -> bool:
        """True when a foreign registration surely ended on or after the day that the company surely ended at home."""
        first = self.home_end
        return first is not None and any(day >= first for day in self.ended(scope))


def on_file(case: Case) -> OnFile:
    """The case with its papers sorted."""
    counted = (paper for paper in case.papers if paper.standing is Standing.FILED)
    filed = tuple(sorted(counted, key=lambda paper: (paper.received, paper.id)))
    wanted = {expected.key: expected for expected in case.expected}
    papers: dict[str, list[PaperFacts]] = {}
    for paper in filed:
        if paper.expected in wanted:
            papers.setdefault(paper.expected, []).append(paper)
    dated = {key: max(found, key=lambda paper: _standing_for(wanted[key], paper)) for key, found in papers.items()}
    waived = {waiver.expected: waiver for waiver in case.waivers}
    return OnFile(case, filed, wanted, papers, dated, waived, last_year_would_end(case.entity))


def _standing_for(expected: ExpectedPaper, paper: PaperFacts) -> tuple[int, str, str]:
    marked = not expected.office_mark or paper.flag("stamped") is True
    final = not expected.final_box or paper.flag("final_box") is True
    return (2 * (marked and final) + (not paper.doubts), paper.received, paper.id)
