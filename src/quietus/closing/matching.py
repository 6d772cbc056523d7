"""Which entity and which expected paper a reading belongs to. Pure: a reading and the register in, a place out."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from rapidfuzz import fuzz

from quietus.model.entity import COMPANY, Entity
from quietus.model.expected import ExpectedPaper
from quietus.model.kinds import Kind
from quietus.model.names import bare_name, same_name
from quietus.model.paper import Standing
from quietus.model.reading import Reading, Value

NEAR_NAME = 88.0
"""Likeness (0 to 100) of two bare names above which a slip of the recogniser is plausible. Never enough by itself:
a near name files a paper only together with the EIN or a file number, or for a person to confirm."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a paper goes.

    Attributes:
        standing: filed or unassigned.
        entity: slug; empty when unassigned.
        expected: key of the expected paper it answers; empty when none.
        reading: the reading, with values settled or put in doubt by the register.
    """

    standing: Standing
    entity: str
    expected: str
    reading: Reading


def place(
    reading: Reading, entities: Iterable[Entity], expected_of: Callable[[Entity], tuple[ExpectedPaper, ...]]
) -> Place:
    """Find the place of a paper.

    Args:
        reading: what was read off it.
        entities: the register.
        expected_of: what the rules expect of an entity.
    """
    entity, reading = _owner(reading, tuple(entities))
    if entity is None:
        return Place(Standing.UNASSIGNED, "", "", reading)
    return place_with(reading, entity, expected_of(entity))


def place_with(reading: Reading, entity: Entity, expected: tuple[ExpectedPaper, ...]) -> Place:
    """The place of a paper whose entity is known."""
    reading = _settled(reading, entity)
    key, reading = _expected_key(reading, expected)
    return Place(Standing.FILED, entity.slug, key, reading)


def _owner(reading: Reading, entities: tuple[Entity, ...]) -> tuple[Entity | None, Reading]:
    """The one entity that the paper names, by EIN, file number and name; None when none or several."""
    ein, name = reading.text("ein"), reading.text("entity_name")
    by_ein = [e for e in entities if ein and e.ein == ein]
    by_name = [e for e in entities if name and any(same_name(name, known) for known in e.names)]
    if by_ein and by_name and by_ein[0] not in by_name:
        return None, _doubt(reading, "ein", "belongs to another entity than the name")
    if len(by_name) == 1:
        return by_name[0], reading
    if by_ein:
        return by_ein[0], reading
    return _owner_by_likeness(reading, entities)


def _owner_by_likeness(reading: Reading, entities: tuple[Entity, ...]) -> tuple[Entity | None, Reading]:
    name, number = bare_name(reading.text("entity_name") or ""), _digits(reading.text("file_number"))
    near = [e for e in entities if name and _likeness(name, e) >= NEAR_NAME]
    if len(near) != 1:
        return None, reading
    registration = near[0].registration(reading.text("jurisdiction") or "")
    if registration and number and number == _digits(registration.file_number):
        return near[0], reading
    return near[0], _doubt(reading, "entity_name", "near a name on the register")


def _likeness(name: str, entity: Entity) -> float:
    return max(fuzz.ratio(name, bare_name(known)) for known in entity.names)


def _settled(reading: Reading, entity: Entity) -> Reading:
    """Doubtful identity values that agree to the letter with the register are no longer in doubt.

    A misread EIN or file number that happens to equal the register's is far less likely than a right one.
    """
    registration = entity.registration(reading.text("jurisdiction") or "")
    name, number = reading.text("entity_name"), _digits(reading.text("file_number"))
    agrees = {
        "ein": reading.text("ein") == entity.ein,
        "entity_name": bool(name) and any(same_name(name or "", known) for known in entity.names),
        "file_number": bool(number and registration and number == _digits(registration.file_number)),
    }
    values = dict(reading.values)
    for field, same in agrees.items():
        if same and values[field].review:
            values[field] = replace(
                values[field], review=False, method=f"{values[field].method}, agrees with the register"
            )
    return replace(reading, values=values)


def _expected_key(reading: Reading, expected: tuple[ExpectedPaper, ...]) -> tuple[str, Reading]:
    kind, scope = reading.text("kind"), reading.text("jurisdiction")
    fitting = [p for p in expected if p.kind == kind and p.scope in {scope, COMPANY} and _form_fits(reading, p)]
    if len(fitting) > 1:  # such as two clearances from two agencies: a person says which
        return fitting[0].key, _doubt(reading, "form", "answers more than one expected paper there")
    if fitting:
        return fitting[0].key, reading
    ends_there = [p for p in expected if p.scope == scope and p.kind.ends_registration]
    if kind in {Kind.DISSOLUTION, Kind.WITHDRAWAL} and ends_there:
        return ends_there[0].key, _doubt(reading, "kind", f"the register expects a {ends_there[0].kind.words} there")
    return "", reading


def _form_fits(reading: Reading, paper: ExpectedPaper) -> bool:
    """True unless the paper is on another form than those that the rules name."""
    form = _plain(reading.text("form") or "")
    return not (form and paper.forms) or form in {_plain(known) for known in paper.forms}


def _plain(text: str) -> str:
    return re.sub(r"[^A-Z0-9]", "", text.upper().removeprefix("FORM"))


def _digits(text: str | None) -> str:
    return re.sub(r"\D", "", text or "")


def _doubt(reading: Reading, field: str, because: str) -> Reading:
    old: Value = reading[field]
    method = f"{old.method}; {because}"
    return replace(reading, values={**reading.values, field: replace(old, review=True, method=method)})
