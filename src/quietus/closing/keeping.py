"""How long each paper is kept, and by which rule. Works on facts, so that it takes seconds for a whole firm."""

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import groupby

from quietus.closing.closings import entity_named
from quietus.closing.events import Events, Shown, events_of, recorded, shown
from quietus.closing.gather import with_events
from quietus.closing.office import Office
from quietus.closing.policy import InForce, in_force, longer
from quietus.closing.summary import facts_of_row
from quietus.model.entity import Entity
from quietus.model.errors import Misuse
from quietus.model.expected import ExpectedPaper
from quietus.model.facts import PaperFacts, facts_of
from quietus.model.retention import Keep
from quietus.rules import Keeper, expected_papers
from quietus.vault.codecs import entity_from_text

__all__ = ["Kept", "keeps_by", "kept_paper", "kept_papers", "retention"]


@dataclass(frozen=True, slots=True)
class Kept:
    """One paper and how long it is kept.

    Attributes:
        paper: its facts.
        keep: what counts: of the schedules as they stand and those accepted last, whichever keeps longer.
        now: what the schedules as they stand say.
    """

    paper: PaperFacts
    keep: Keep
    now: Keep

    @property
    def promised_longer(self) -> bool:
        """True when a schedule was made shorter than what was accepted, and that is not accepted yet."""
        return self.keep.lasts_longer_than(self.now)


@dataclass(frozen=True, slots=True)
class _Setting:
    """What one entity's papers are judged in."""

    wanted: Mapping[str, ExpectedPaper]
    told: Shown
    about: Mapping[str, Events]

    def keep(self, keeper: Keeper, paper: PaperFacts) -> Keep:
        wanted, told, about = self.wanted.get(paper.expected), self.told, self.about
        if told.cleared or told.published or about:
            return keeper.keep(paper, wanted, told.dissolved, events_of(paper, told, about))
        return keeper.keep(paper, wanted, told.dissolved)


def retention(office: Office, slug: str = "") -> tuple[Kept, ...]:
    """How long every paper is kept: of one entity, or of all; papers that belong to nobody come last.

    Raises:
        Misuse: there is no such entity.
        BadData: a schedule is not as expected.
    """
    if slug:
        entity_named(office, slug)
        return tuple(kept_papers(office, in_force(office), [slug]))
    policy = in_force(office)
    return (*kept_papers(office, policy), *kept_papers(office, policy, [""]))


def kept_papers(office: Office, policy: InForce, slugs: Sequence[str] | None = None) -> Iterator[Kept]:
    """How long papers are kept, entity by entity: of all that belong to one, or of some. The slug "" is nobody."""
    for setting, papers in _settings(office, slugs):
        for paper in papers:
            now = setting.keep(policy.now, paper)
            yield Kept(paper, longer(setting.keep(policy.accepted, paper), now) if policy.changed else now, now)


def keeps_by(
    office: Office, keepers: Sequence[Keeper], slugs: Sequence[str] | None = None
) -> Iterator[tuple[PaperFacts, tuple[Keep, ...]]]:
    """How long each paper would be kept by each of several sets of schedules, whatever was promised."""
    for setting, papers in _settings(office, slugs):
        for paper in papers:
            yield paper, tuple(setting.keep(keeper, paper) for keeper in keepers)


def kept_paper(office: Office, policy: InForce, paper_id: str) -> Kept:
    """How long one paper is kept, as it stands this moment.

    Raises:
        Misuse: there is no such paper, or it was destroyed.
    """
    paper = facts_of(office.vault.paper(paper_id))
    found = next((kept for kept in kept_papers(office, policy, [paper.entity]) if kept.paper.id == paper.id), None)
    if found is None:
        raise Misuse("No paper in the vault has that id.", "Use the id, or its first digits, as quietus shows it.")
    return found


def _settings(office: Office, slugs: Sequence[str] | None) -> Iterator[tuple[_Setting, tuple[PaperFacts, ...]]]:
    with _without_gc():
        yield from _each_setting(office, slugs)


@contextmanager
def _without_gc() -> Iterator[None]:
    """Facts, rules and days hold no circles, and looking for them takes a fifth of the time."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()


def _each_setting(office: Office, slugs: Sequence[str] | None) -> Iterator[tuple[_Setting, tuple[PaperFacts, ...]]]:
    packs, about = office.packs(), recorded(office)
    texts = office.vault.entity_texts(None if slugs is None else [slug for slug in slugs if slug])

    def wanted(entity: Entity) -> tuple[ExpectedPaper, ...]:
        return expected_papers(entity, packs)

    for slug, rows in groupby(office.vault.facts(slugs), key=lambda row: row[0]):
        papers = tuple(map(facts_of_row, rows))
        if slug:
            yield _setting(entity_from_text(texts[slug]), papers, about, wanted), papers
        else:
            yield _Setting({}, Shown(), about), papers


def _setting(
    entity: Entity,
    papers: Iterable[PaperFacts],
    about: Mapping[str, Events],
    wanted: Callable[[Entity], tuple[ExpectedPaper, ...]],
) -> _Setting:
    papers = tuple(papers)
    expected = {one.key: one for one in wanted(with_events(entity, papers))}
    return _Setting(expected, shown(entity, papers), about)
