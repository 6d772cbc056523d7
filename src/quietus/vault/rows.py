"""Rows of the catalog as values of the model, and back. Every function works on the caller's connection."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, Select, delete, insert, select, update

from quietus.model.entity import Entity
from quietus.model.findings import Waiver
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Reading
from quietus.vault import catalog, facts
from quietus.vault.codecs import (
    dump,
    entity_from_text,
    entity_tree,
    moment,
    parsing,
    reading_from_text,
    reading_text,
    waiver_from_text,
    waiver_tree,
)

# --- entities ---------------------------------------------------------------------------------------------------


def put_entity(connection: Connection, entity: Entity) -> Entity | None:
    """Insert or replace an entity; returns the one that stood there before."""
    table = catalog.entities
    before = find_entity(connection, entity.slug)
    body = dump(entity_tree(entity))
    if before is None:
        connection.execute(insert(table), {"slug": entity.slug, "body": body})
    else:
        connection.execute(update(table).where(table.c.slug == entity.slug).values(body=body))
    facts.touch(connection, entity.slug)
    return before


def find_entity(connection: Connection, slug: str) -> Entity | None:
    """The entity with this slug, or None."""
    table = catalog.entities
    row = connection.execute(select(table).where(table.c.slug == slug)).first()
    return entity_of(row) if row else None


def all_entities(connection: Connection) -> Iterator[Entity]:
    """Every entity, by slug."""
    table = catalog.entities
    return (entity_of(row) for row in connection.execute(select(table).order_by(table.c.slug)))


def entity_of(row: Row[Any]) -> Entity:
    """The Entity in a row of `entities`."""
    with parsing("an entity"):
        return entity_from_text(row.body)


# --- waivers ----------------------------------------------------------------------------------------------------


def put_waiver(connection: Connection, waiver: Waiver) -> Waiver | None:
    """Insert or replace a waiver; returns the one that stood there before."""
    before = take_waiver(connection, waiver.entity, waiver.expected)
    body = dump(waiver_tree(waiver))
    row = {"entity": waiver.entity, "expected": waiver.expected, "body": body}
    connection.execute(insert(catalog.waivers), row)
    facts.touch(connection, waiver.entity)
    return before


def take_waiver(connection: Connection, entity: str, expected: str) -> Waiver | None:
    """Remove a waiver; returns it, or None when there was none."""
    table = catalog.waivers
    this = (table.c.entity == entity) & (table.c.expected == expected)
    row = connection.execute(select(table).where(this)).first()
    connection.execute(delete(table).where(this))
    if row:
        facts.touch(connection, entity)
    return waiver_of(row) if row else None


def some_waivers(connection: Connection, entity: str | None) -> Iterator[Waiver]:
    """Every waiver of one entity, or of all when None, by entity and expected paper."""
    table = catalog.waivers
    query = select(table).order_by(table.c.entity, table.c.expected)
    if entity is not None:
        query = query.where(table.c.entity == entity)
    return (waiver_of(row) for row in connection.execute(query))


def waiver_of(row: Row[Any]) -> Waiver:
    """The Waiver in a row of `waivers`."""
    with parsing("a waiver"):
        return waiver_from_text(row.body)


# --- papers -----------------------------------------------------------------------------------------------------


def add_paper(connection: Connection, paper: Paper, wrapped: bytes, who: str) -> None:
    """Insert a paper with its wrapped data key and its first reading."""
    row = {
        "id": paper.id,
        "sha256": paper.sha256,
        "name": paper.name,
        "media_type": paper.media_type,
        "size": paper.size,
        "pages": paper.pages,
        "received": moment(paper.received),
        "standing": paper.standing.value,
        "entity": paper.entity or None,
        "expected": paper.expected,
        "newest": 1,
    }
    connection.execute(insert(catalog.papers), row)
    facts.add_paper(connection, paper)
    connection.execute(insert(catalog.data_keys), {"paper": paper.id, "wrapped": wrapped})
    _add_reading(connection, paper, 1, paper.received, who)


def refile(connection: Connection, paper: Paper, at: datetime, who: str) -> int:
    """Store the reading, standing, entity and expected paper that `paper` now has; returns the reading's number."""
    table = catalog.papers
    this = table.c.id == paper.id
    before = connection.execute(select(table.c.newest, table.c.entity).where(this)).one()
    number: int = before.newest + 1
    _add_reading(connection, paper, number, at, who)
    facts.change_paper(connection, paper, before.entity or "")
    connection.execute(
        update(table)
        .where(this)
        .values(newest=number, standing=paper.standing.value, entity=paper.entity or None, expected=paper.expected)
    )
    return number


def _add_reading(connection: Connection, paper: Paper, number: int, at: datetime, who: str) -> None:
    row = {"paper": paper.id, "number": number, "at": moment(at), "who": who, "body": reading_text(paper.reading)}
    connection.execute(insert(catalog.readings), row)


def wrapped_key(connection: Connection, paper_id: str) -> bytes | None:
    """The paper's wrapped data key; None when it was destroyed, or never was."""
    table = catalog.data_keys
    found: bytes | None = connection.execute(select(table.c.wrapped).where(table.c.paper == paper_id)).scalar()
    return found


def destroy_key(connection: Connection, paper_id: str, at: datetime) -> bool:
    """Delete a paper's wrapped key and remember that; False when it had none."""
    table = catalog.data_keys
    if wrapped_key(connection, paper_id) is None:
        return False
    connection.execute(delete(table).where(table.c.paper == paper_id))
    connection.execute(insert(catalog.destroyed), {"paper": paper_id, "at": moment(at)})
    return True


def was_destroyed(connection: Connection, paper_id: str) -> bool:
    """Whether the paper's key was destroyed on purpose."""
    table = catalog.destroyed
    return connection.execute(select(table.c.paper).where(table.c.paper == paper_id)).first() is not None


def some_papers(connection: Connection, entity: str | None) -> Iterator[Paper]:
    """Papers of one entity, or all when None, in the order received."""
    query = papers_with_newest().order_by(catalog.papers.c.received, catalog.papers.c.id)
    if entity is not None:
        query = query.where(catalog.papers.c.entity == (entity or None))
    return _papers(connection, query)


def papers_with_prefix(connection: Connection, prefix: str) -> tuple[Paper, ...]:
    """At most two papers whose id begins with `prefix`, hex digits."""
    table = catalog.papers
    # "g" comes after every hex digit: a range of the primary key, not a scan.
    query = papers_with_newest().where(table.c.id >= prefix, table.c.id < prefix + "g").limit(2)
    return tuple(_papers(connection, query))


def papers_with_hash(connection: Connection, sha256: str) -> tuple[Paper, ...]:
    """Papers with these bytes."""
    return tuple(_papers(connection, papers_with_newest().where(catalog.papers.c.sha256 == sha256)))


def readings_of(connection: Connection, paper_id: str) -> Iterator[tuple[datetime, str, Reading]]:
    """Every reading of a paper, oldest first, with when and by whom."""
    table = catalog.readings
    query = select(table).where(table.c.paper == paper_id).order_by(table.c.number)
    return (reading_of(row) for row in connection.execute(query))


def reading_of(row: Row[Any]) -> tuple[datetime, str, Reading]:
    """When, who and the Reading in a row of `readings`."""
    with parsing(f"reading {row.number} of paper {row.paper}"):
        return datetime.fromisoformat(row.at), row.who, reading_from_text(row.body)


def papers_with_newest() -> Select[Any]:
    """Papers, each with the body of the reading that counts."""
    papers, readings = catalog.papers, catalog.readings
    newest = (readings.c.paper == papers.c.id) & (readings.c.number == papers.c.newest)
    query = select(papers, readings.c.body).select_from(papers.outerjoin(readings, newest))
    return query.execution_options(yield_per=1000)


def paper_of(row: Row[Any]) -> Paper:
    """The Paper in a row of `papers_with_newest`."""
    with parsing(f"paper {row.id}"):
        return Paper(
            id=row.id,
            sha256=row.sha256,
            name=row.name,
            media_type=row.media_type,
            size=row.size,
            pages=row.pages,
            received=datetime.fromisoformat(row.received),
            standing=Standing(row.standing),
            entity=row.entity or "",
            expected=row.expected,
            reading=reading_from_text(row.body),
        )


def _papers(connection: Connection, query: Select[Any]) -> Iterator[Paper]:
    return (paper_of(row) for row in connection.execute(query))
