"""Entities and waivers as JSON text, and back. Readings have their own codec in the model."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import Any

from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.errors import Damaged
from quietus.model.findings import Waiver
from quietus.model.reading import Reading, reading_from_json, reading_to_json


@contextmanager
def parsing(what: str) -> Iterator[None]:
    """Turn the errors of reading stored values back into Damaged.

    Args:
        what: the row concerned, without client data, such as `paper 0123…`.

    Raises:
        Damaged: the stored value is not one that this version wrote.
    """
    try:
        yield
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise Damaged(
            f"The catalog holds something that cannot be read back: {what}.",
            "Run `quietus check`; take the vault from a backup if it confirms the damage.",
        ) from error


def dump(tree: Any) -> str:
    """Compact JSON text in ASCII, so that even half a character from a broken file can be stored."""
    return json.dumps(tree, separators=(",", ":"))


def moment(at: datetime) -> str:
    """An instant as text that sorts: ISO 8601, UTC, always with microseconds."""
    return at.astimezone(UTC).isoformat(timespec="microseconds")


def entity_tree(entity: Entity) -> dict[str, Any]:
    """An Entity as plain JSON data."""
    return {
        "slug": entity.slug,
        "name": entity.name,
        "ein": entity.ein,
        "tax_class": entity.tax_class.value,
        "home": entity.home,
        "registrations": [_registration_tree(r) for r in entity.registrations],
        "formed": _text(entity.formed),
        "closed": _text(entity.closed),
        "year_end": list(entity.year_end),
        "members": list(entity.members),
        "employees": entity.employees,
        "former_names": list(entity.former_names),
        "has_assets": entity.has_assets,
        "has_creditors": entity.has_creditors,
        "contractors_paid": entity.contractors_paid,
        "sold_business": entity.sold_business,
        "last_wages": _text(entity.last_wages),
        "plan_adopted": _text(entity.plan_adopted),
    }


def entity_from_text(text: str) -> Entity:
    """The Entity whose JSON text this is."""
    tree = json.loads(text)
    month, day = tree["year_end"]
    return Entity(
        slug=tree["slug"],
        name=tree["name"],
        ein=tree["ein"],
        tax_class=TaxClass(tree["tax_class"]),
        home=tree["home"],
        registrations=tuple(_registration(r) for r in tree["registrations"]),
        formed=_day(tree["formed"]),
        closed=_day(tree["closed"]),
        year_end=(month, day),
        members=tuple(tree["members"]),
        employees=tree["employees"],
        former_names=tuple(tree["former_names"]),
        has_assets=tree["has_assets"],
        has_creditors=tree.get("has_creditors"),  # entities put before these facts were known lack them
        contractors_paid=tree.get("contractors_paid", False),
        sold_business=tree.get("sold_business", False),
        last_wages=_day(tree.get("last_wages")),
        plan_adopted=_day(tree.get("plan_adopted")),
    )


def waiver_tree(waiver: Waiver) -> dict[str, Any]:
    """A Waiver as plain JSON data."""
    return {
        "entity": waiver.entity,
        "expected": waiver.expected,
        "reason": waiver.reason,
        "source": waiver.source,
        "by": waiver.by,
        "on": waiver.on.isoformat(),
    }


def waiver_from_text(text: str) -> Waiver:
    """The Waiver whose JSON text this is."""
    tree = json.loads(text)
    return Waiver(**{**tree, "on": date.fromisoformat(tree["on"])})


def reading_text(reading: Reading) -> str:
    """A Reading as JSON text."""
    return dump(reading_to_json(reading))


def reading_from_text(text: str) -> Reading:
    """The Reading whose JSON text this is."""
    return reading_from_json(json.loads(text))


def _registration_tree(registration: Registration) -> dict[str, Any]:
    return {
        "jurisdiction": registration.jurisdiction,
        "file_number": registration.file_number,
        "since": _text(registration.since),
        "name": registration.name,
        "tax_accounts": list(registration.tax_accounts),
    }


def _registration(tree: dict[str, Any]) -> Registration:
    return Registration(**{**tree, "since": _day(tree["since"]), "tax_accounts": tuple(tree["tax_accounts"])})


def _text(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
