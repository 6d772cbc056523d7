"""How long each paper is kept, and by which rule."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from quietus.closing.closings import entity_named
from quietus.closing.office import Office
from quietus.model.entity import Entity
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.model.retention import Keep
from quietus.rules import expected_papers, keep


@dataclass(frozen=True, slots=True)
class Kept:
    """One paper and how long it is kept."""

    paper: Paper
    keep: Keep


def retention(office: Office, slug: str = "") -> tuple[Kept, ...]:
    """How long every paper is kept: of one entity, or of all; papers that belong to nobody come last.

    Raises:
        Misuse: there is no such entity.
        BadData: a schedule is not as expected.
    """
    entities = (entity_named(office, slug),) if slug else office.vault.entities()
    packs, schedules = office.packs(), office.schedules()
    kept: list[Kept] = []
    for entity in entities:
        wanted = {e.key: e for e in expected_papers(entity, packs)}
        papers = office.vault.papers(entity.slug)
        ended = home_dissolved(entity, papers)
        kept += [Kept(p, keep(p, wanted.get(p.expected), ended, schedules)) for p in papers]
    if not slug:
        kept += [Kept(p, keep(p, None, None, schedules)) for p in office.vault.papers("")]
    return tuple(kept)


def home_dissolved(entity: Entity, papers: Iterable[Paper]) -> date | None:
    """The filing date of the paper that ended the company at home; None while none is surely on file."""
    days = [
        p.reading.day("filing_date")
        for p in papers
        if p.standing is Standing.FILED
        and p.reading.text("kind") == Kind.DISSOLUTION
        and p.reading.text("jurisdiction") == entity.home
        and p.reading.flag("stamped")
        and not p.waits
    ]
    return max((day for day in days if day), default=None)
