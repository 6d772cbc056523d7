"""Cards: what the office decided or did beside the papers, such as a hold, an approval, a consent or an inquiry.

A card is plain JSON data under a sort and an id. What each sort says is the business of who keeps it; this room keeps
it sealed, and the journal tells of every card that is put, with what stood there before.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Column, Connection, Index, Row, String, Table, Text, insert, select, update

from quietus.vault import catalog
from quietus.vault.codecs import dump, parsing

cards = Table(
    "cards",
    catalog.metadata,
    Column("sort", String, primary_key=True),
    Column("id", String, primary_key=True),
    Column("entity", String, nullable=False),  # slug; empty when the card is about no single entity
    Column("body", Text, nullable=False),  # JSON object
    Index("cards_of_entity", "sort", "entity", "id"),
)


@dataclass(frozen=True, slots=True)
class Card:
    """One card.

    Attributes:
        sort: what kind of card, such as `hold`.
        id: its own within the sort.
        entity: slug; empty when it is about no single entity.
        body: plain JSON data.
    """

    sort: str
    id: str
    entity: str
    body: dict[str, Any]


def put(connection: Connection, card: Card) -> Card | None:
    """Insert a card, or replace the one with its sort and id; returns the one that stood there before."""
    before = find(connection, card.sort, card.id)
    row = {"entity": card.entity, "body": dump(card.body)}
    if before is None:
        connection.execute(insert(cards), {"sort": card.sort, "id": card.id, **row})
    else:
        connection.execute(update(cards).where(cards.c.sort == card.sort, cards.c.id == card.id).values(**row))
    return before


def find(connection: Connection, sort: str, card_id: str) -> Card | None:
    """The card of this sort with this id, or None."""
    row = connection.execute(select(cards).where(cards.c.sort == sort, cards.c.id == card_id)).first()
    return card_of(row) if row else None


def some(connection: Connection, sort: str, entity: str | None) -> Iterator[Card]:
    """Cards of one sort: of one entity, or of all when None; by id."""
    query = select(cards).where(cards.c.sort == sort).order_by(cards.c.id)
    if entity is not None:
        query = query.where(cards.c.entity == entity)
    return (card_of(row) for row in connection.execute(query))


def card_of(row: Row[Any]) -> Card:
    """The Card in a row of `cards`."""
    with parsing(f"a card of sort {row.sort}"):
        body = json.loads(row.body)
        if not isinstance(body, dict):
            raise TypeError
        return Card(row.sort, row.id, row.entity, body)
