"""Rows of the catalog as values of the model, and back. Every function works on the caller's connection."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    ForeignKey,
    Integer,
    Row,
    Select,
    String,
    Table,
    delete,
    insert,
    select,
    update,
)

from quietus.model.entity import Entity
from quietus.model.findings import Waiver
from quietus.model.paper import Paper, Standing, Stub
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

receipts = Table(
    "receipts",
    catalog.metadata,
    Column("number", Integer, primary_key=True),
    Column("paper", String, ForeignKey("papers.id"), nullable=False, index=True),
    Column("at", String, nullable=False),
    Column("name", String, nullable=False),  # here and not in the journal, so that it goes with the paper
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


def strip_paper(connection: Connection, paper: Paper, at: datetime) -> None:
    """Delete a paper's key, readings, facts and names, and leave a stub: id, hash, sizes, days."""
    for table in (catalog.data_keys, catalog.readings, receipts):
        connection.execute(delete(table).where(table.c.paper == paper.id))
    facts.drop_paper(connection, paper)
    table = catalog.papers
    bare = {"name": "", "entity": None, "expected": "", "newest": 0}
    connection.execute(update(table).where(table.c.id == paper.id).values(**bare))
    connection.execute(insert(catalog.destroyed), {"paper": paper.id, "at": moment(at)})


def stubs(connection: Connection, *, sha256: str | None = None, prefix: str = "") -> Iterator[Stub]:
    """What is left of papers that were destroyed, oldest destruction first.

    Args:
        connection: to the catalog.
        sha256: of the bytes they had; None for any.
        prefix: how their ids begin, hex digits.
    """
    papers, destroyed = catalog.papers, catalog.destroyed
    query = select(papers, destroyed.c.at).join_from(destroyed, papers).order_by(destroyed.c.at, papers.c.id)
    if sha256 is not None:
        query = query.where(papers.c.sha256 == sha256)
    if prefix:
        query = query.where(papers.c.id >= prefix, papers.c.id < prefix + "g")
    for row in connection.execute(query):
        yield Stub(
            id=row.id,
            sha256=row.sha256,
            media_type=row.media_type,
            size=row.size,
            pages=row.pages,
            received=datetime.fromisoformat(row.received),
            destroyed=datetime.fromisoformat(row.at),
        )


def note_receipt(connection: Connection, paper_id: str, at: datetime, name: str) -> None:
    """Remember under what name the bytes of a paper came once more."""
    connection.execute(insert(receipts), {"paper": paper_id, "at": moment(at), "name": name})


def receipts_of(connection: Connection, paper_id: str) -> Iterator[tuple[datetime, str]]:
    """When and under what name the bytes of a paper came once more, oldest first."""
    query = select(receipts.c.at, receipts.c.name).where(receipts.c.paper == paper_id).order_by(receipts.c.number)
    return ((datetime.fromisoformat(row.at), row.name) for row in connection.execute(query))


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


def reading_traces(connection: Connection, paper_id: str) -> Iterator[bytes]:
    """How the rows of a paper's readings begin in the database's file: SQLite keeps the number 1 in no byte at all."""
    table = catalog.readings
    columns = select(table.c.number, table.c.at, table.c.who)
    for number, at, who in connection.execute(columns.where(table.c.paper == paper_id)):
        stored = b"" if number == 1 else number.to_bytes(1 + number.bit_length() // 8, "big")
        yield paper_id.encode() + stored + f"{at}{who}".encode()


def reading_of(row: Row[Any]) -> tuple[datetime, str, Reading]:
    """When, who and the Reading in a row of `readings`."""
    with parsing(f"reading {row.number} of paper {row.paper}"):
        return datetime.fromisoformat(row.at), row.who, reading_from_text(row.body)


def papers_with_newest() -> Select[Any]:
    """Papers that were not destroyed, each with the body of the reading that counts."""
    papers, readings = catalog.papers, catalog.readings
    newest = (readings.c.paper == papers.c.id) & (readings.c.number == papers.c.newest)
    query = select(papers, readings.c.body).select_from(papers.outerjoin(readings, newest))
    query = query.where(papers.c.id.not_in(select(catalog.destroyed.c.paper)))
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
