"""What verdicts need, in short: the facts of each paper beside its readings, and verdicts that still hold.

Both are derived: `facts` from the readings that count, `verdicts` from everything. A register of thousands of closings
is judged from them without opening a single reading.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Column, Connection, ForeignKey, Integer, String, Table, Text, delete, insert, select, update
from sqlalchemy.dialects.sqlite import insert as upsert

from quietus.model.facts import facts_text
from quietus.model.paper import Paper, Standing
from quietus.vault import catalog
from quietus.vault.codecs import moment

facts = Table(
    "facts",
    catalog.metadata,
    Column("entity", String, primary_key=True),  # slug; empty while the paper belongs to nobody
    Column("paper", String, ForeignKey("papers.id"), primary_key=True),
    Column("standing", String, nullable=False),
    Column("expected", String, nullable=False),
    Column("received", String, nullable=False),
    Column("body", Text, nullable=False),  # of the reading that counts: JSON list of values, doubts and title
    sqlite_with_rowid=False,  # stored in the order of the key: the papers of an entity lie side by side
)

revisions = Table(
    "revisions",
    catalog.metadata,
    Column("entity", String, ForeignKey("entities.slug"), primary_key=True),
    Column("number", Integer, nullable=False),  # raised by every change of the entity, its papers and its waivers
)

verdicts = Table(
    "verdicts",
    catalog.metadata,
    Column("entity", String, ForeignKey("entities.slug"), primary_key=True),
    Column("revision", Integer, nullable=False),
    Column("rules", String, nullable=False),  # digest of rules and program
    Column("asof", String, nullable=False),
    Column("body", Text, nullable=False),  # JSON
)

FactsRow = tuple[str, str, str, str, str, str]
"""One paper: entity, id, standing, expected, received, and the text of `quietus.model.facts.facts_text`."""

_MANY = 500  # slugs in one statement


@dataclass(frozen=True, slots=True)
class KeptVerdict:
    """A verdict in short that was kept, and what it held for.

    Attributes:
        entity: slug.
        revision: of the entity when it was judged.
        rules: digest of the rules it was judged by.
        asof: the day it was judged for, ISO 8601.
        body: JSON, in the form that who keeps it has chosen.
    """

    entity: str
    revision: int
    rules: str
    asof: str
    body: str


def touch(connection: Connection, slug: str) -> None:
    """Note that something about an entity changed."""
    changed = connection.execute(
        update(revisions).where(revisions.c.entity == slug).values(number=revisions.c.number + 1)
    )
    if not changed.rowcount:
        connection.execute(insert(revisions), {"entity": slug, "number": 1})


def add_paper(connection: Connection, paper: Paper) -> None:
    """Store the facts of a paper that is new."""
    connection.execute(insert(facts), _row(paper))
    if paper.entity:
        touch(connection, paper.entity)


def _row(paper: Paper) -> dict[str, str]:
    return {
        "entity": paper.entity,
        "paper": paper.id,
        "standing": paper.standing.value,
        "expected": paper.expected,
        "received": moment(paper.received),
        "body": facts_text(paper.reading),
    }


def agree(connection: Connection, paper: Paper) -> bool:
    """True when the facts that are stored of a paper are those of the reading that counts."""
    this = (facts.c.entity == paper.entity) & (facts.c.paper == paper.id)
    found = connection.execute(select(facts).where(this)).mappings().first()
    return found is not None and dict(found) == _row(paper)


def change_paper(connection: Connection, paper: Paper, before: str) -> None:
    """Store the facts that a paper now has, in place of those it had.

    Args:
        connection: in a transaction.
        paper: as it now is.
        before: slug of the entity it belonged to; empty when it belonged to nobody.
    """
    connection.execute(delete(facts).where(facts.c.entity == before, facts.c.paper == paper.id))
    if before and before != paper.entity:
        touch(connection, before)
    add_paper(connection, paper)


def drop_paper(connection: Connection, paper: Paper) -> None:
    """Delete the facts of a paper, and the verdict on its entity that may quote them."""
    connection.execute(delete(facts).where(facts.c.entity == paper.entity, facts.c.paper == paper.id))
    if paper.entity:
        connection.execute(delete(verdicts).where(verdicts.c.entity == paper.entity))
        touch(connection, paper.entity)


def all_facts(connection: Connection) -> Iterator[FactsRow]:
    """Every paper that belongs to an entity, those of one entity side by side, entities by slug."""
    query = select(facts).where(facts.c.entity > "").order_by(facts.c.entity, facts.c.paper)
    return _rows(connection, query)


def facts_of_entities(connection: Connection, slugs: Sequence[str]) -> Iterator[FactsRow]:
    """The papers of some entities, those of one entity side by side."""
    for start in range(0, len(slugs), _MANY):
        some = slugs[start : start + _MANY]
        yield from _rows(connection, select(facts).where(facts.c.entity.in_(some)).order_by(facts.c.entity))


def homeless(connection: Connection) -> tuple[str, ...]:
    """Ids of the papers that belong to nobody and could count, in the order received."""
    waiting = (facts.c.entity == "") & (facts.c.standing == Standing.UNASSIGNED.value)
    query = select(facts.c.paper).where(waiting).order_by(facts.c.received, facts.c.paper)
    return tuple(connection.execute(query).scalars())


def _rows(connection: Connection, query: Any) -> Iterator[FactsRow]:
    for row in connection.execute(query.execution_options(yield_per=5000)):
        yield tuple(row)


def bodies(connection: Connection, slugs: Sequence[str] | None) -> dict[str, str]:
    """The JSON text of some entities by slug, or of all when None."""
    table = catalog.entities
    if slugs is None:
        return {row.slug: row.body for row in connection.execute(select(table).order_by(table.c.slug))}
    found: dict[str, str] = {}
    for start in range(0, len(slugs), _MANY):
        some = slugs[start : start + _MANY]
        found |= {row.slug: row.body for row in connection.execute(select(table).where(table.c.slug.in_(some)))}
    return found


def revisions_of(connection: Connection) -> dict[str, int]:
    """The revision of every entity, by slug in order."""
    entities = catalog.entities
    query = select(entities.c.slug, revisions.c.number).select_from(entities.outerjoin(revisions))
    return {slug: number or 0 for slug, number in connection.execute(query.order_by(entities.c.slug))}


def kept(connection: Connection) -> Iterator[KeptVerdict]:
    """Every verdict that was kept."""
    return (KeptVerdict(*row) for row in connection.execute(select(verdicts)))


def keep(connection: Connection, fresh: Iterable[KeptVerdict]) -> None:
    """Keep verdicts, each in place of the one kept for its entity before."""
    rows = [
        {"entity": v.entity, "revision": v.revision, "rules": v.rules, "asof": v.asof, "body": v.body} for v in fresh
    ]
    if not rows:
        return
    new = upsert(verdicts)
    changed = {name: new.excluded[name] for name in ("revision", "rules", "asof", "body")}
    connection.execute(new.on_conflict_do_update(index_elements=["entity"], set_=changed), rows)
