"""What a verdict depends on, put together for one entity. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, timedelta

from quietus.closing.case import Case
from quietus.model.entity import COMPANY, Entity
from quietus.model.expected import expected_key
from quietus.model.facts import PaperFacts
from quietus.model.findings import Waiver
from quietus.model.kinds import Kind
from quietus.model.paper import Standing
from quietus.rules import Packs, expected_papers, owed_while_open

AHEAD = timedelta(days=366)
"""How far ahead yearly duties are looked at: each falls due at least once in it, but for those of every second year."""

_CONSENT = expected_key(COMPANY, Kind.CONSENT)


def case_of(
    packs: Packs,
    entity: Entity,
    papers: Iterable[PaperFacts],
    waivers: Iterable[Waiver],
    today: date,
    *,
    destroyed: Mapping[str, str] | None = None,
) -> Case:
    """The case of one entity; what the register does not say of events is taken from papers that say it surely."""
    papers = tuple(papers)
    entity = with_events(entity, papers)
    return Case(
        entity=entity,
        expected=expected_papers(entity, packs),
        papers=papers,
        waivers=tuple(waivers),
        known=packs.known,
        today=today,
        destroyed=destroyed or {},
        owed=lambda scope: owed_while_open(entity, packs, scope, entity.closed or today, today + AHEAD),
    )


def with_events(entity: Entity, papers: Iterable[PaperFacts]) -> Entity:
    """The entity with the day the members adopted the dissolution, from a consent on file when it is not registered."""
    if entity.plan_adopted is not None:
        return entity
    days = [
        day
        for paper in papers
        if paper.expected == _CONSENT
        and paper.standing is Standing.FILED
        and (day := paper.sure_day("signed_date")) is not None
    ]
    return replace(entity, plan_adopted=min(days)) if days else entity
