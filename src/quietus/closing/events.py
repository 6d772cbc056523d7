"""Events that start a retention clock and that no paper need show: recorded by a person, for a paper or an entity."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from quietus.closing.closings import entity_named
from quietus.closing.office import Office
from quietus.model.entity import Entity
from quietus.model.errors import Misuse
from quietus.model.facts import PaperFacts
from quietus.model.kinds import Kind
from quietus.model.paper import Standing
from quietus.model.retention import RECORDED
from quietus.rules import CLEARED, PUBLISHED
from quietus.vault import Card

SORT = "event"

Events = Mapping[str, date]


def record_event(office: Office, about: str, event: str, day: date, reason: str) -> None:
    """Record when something happened that a retention clock runs from; the journal keeps what was recorded before.

    Args:
        office: opened.
        about: an entity's short name, for all its papers, or a paper's id or its first digits.
        event: one of `model.retention.RECORDED`.
        day: when it happened.
        reason: how it is known.

    Raises:
        Misuse: no such event, entity or paper; the day is still to come; no reason is given.
    """
    if event not in RECORDED:
        raise Misuse("There is no such event to record.", f"Choose one of {', '.join(RECORDED)}.")
    if not reason.strip():
        raise Misuse("An event needs a reason: how is the day known?", "Give it with --reason.")
    if day > office.today:
        raise Misuse("That day is still to come.", "Record the event once it has happened.")
    card_id, entity = _about(office, about)
    card = office.vault.card(SORT, card_id)
    said = {"day": day.isoformat(), "by": office.who, "on": office.today.isoformat(), "reason": reason.strip()}
    body = {**(card.body if card else {}), event: said}
    office.vault.put_card(Card(SORT, card_id, entity, body), "event-recorded", {"event": event, **said})


def _about(office: Office, about: str) -> tuple[str, str]:
    if office.vault.entity(about):
        return about, entity_named(office, about).slug
    paper = office.vault.paper(about)
    return paper.id, paper.entity


def recorded(office: Office) -> dict[str, Events]:
    """Every recorded event, by what it is about: a slug, or the id of a paper."""
    return {card.id: _days(card) for card in office.vault.cards(SORT)}


def _days(card: Card) -> Events:
    return {event: date.fromisoformat(said["day"]) for event, said in card.body.items()}


@dataclass(frozen=True, slots=True)
class Shown:
    """Events that an entity's papers on file show, surely.

    Attributes:
        dissolved: the filing date of the paper that ended the company at home; None while none is surely on file.
        cleared: the newest clearance, by jurisdiction.
        published: the newest publication of a notice to creditors.
    """

    dissolved: date | None = None
    cleared: Mapping[str, date] = field(default_factory=dict)
    published: date | None = None


_TELLING = frozenset({Kind.DISSOLUTION, Kind.CLEARANCE, Kind.PUBLICATION_AFFIDAVIT})


def shown(entity: Entity, papers: Iterable[PaperFacts]) -> Shown:
    """The events that papers on file show. A paper that waits for review shows none."""
    cleared: dict[str, date] = {}
    dissolved: list[date] = []
    published: list[date] = []
    for paper in papers:
        kind = paper.values.get("kind")
        if kind not in _TELLING or paper.standing is not Standing.FILED or paper.doubts:
            continue
        scope, day, filed = paper.text("jurisdiction") or "", paper.counts_from, paper.day("filing_date")
        if kind == Kind.DISSOLUTION and filed and scope == entity.home and paper.flag("stamped"):
            dissolved.append(filed)
        if kind == Kind.CLEARANCE and day:
            cleared[scope] = max(day, cleared.get(scope, day))
        if kind == Kind.PUBLICATION_AFFIDAVIT and day:
            published.append(day)
    return Shown(max(dissolved, default=None), cleared, max(published, default=None))


def events_of(paper: PaperFacts, told: Shown, about: Mapping[str, Events]) -> Events:
    """What is known of the events of one paper: shown by others on file, recorded for its entity, recorded for it."""
    found: dict[str, date] = {}
    scope = paper.text("jurisdiction") or paper.expected.partition("/")[0]
    if scope in told.cleared and "jurisdiction" not in paper.doubts:
        found[CLEARED] = told.cleared[scope]
    if told.published:
        found[PUBLISHED] = told.published
    return {**found, **about.get(paper.entity, {}), **about.get(paper.id, {})}
