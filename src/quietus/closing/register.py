"""The register of entities: lists that people write (TOML or CSV) become entities in the vault."""

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

from quietus.closing.config import read_toml
from quietus.model.entity import EIN_PATTERN, JURISDICTIONS, Entity, Registration, TaxClass, slug_of
from quietus.model.errors import Misuse
from quietus.model.table import Table
from quietus.vault import Vault

CSV_COLUMNS = (
    "name", "ein", "classification", "home", "formed", "closed", "year_end", "members", "employees", "has_assets",
    "has_creditors", "contractors_paid", "sold_business", "last_wages", "plan_adopted", "former_names",
    "jurisdiction", "file_number", "since", "registered_name", "tax_accounts", "slug",
)  # fmt: skip
"""Columns of a CSV entity list: one row a registration; a row that repeats `name` adds a registration to that entity.
Lists inside a cell are separated by semicolons."""


_TEXT_CELLS = (
    "slug", "name", "ein", "classification", "home", "formed", "closed", "year_end", "last_wages", "plan_adopted",
)  # fmt: skip
_FLAG_CELLS = ("employees", "has_assets", "has_creditors", "contractors_paid", "sold_business")
_YES_OR_NO = {"yes": True, "true": True, "no": False, "false": False}


def read_register(file: Path, limit: int) -> tuple[Entity, ...]:
    """Read an entity list, TOML or CSV by the file's ending.

    Args:
        file: the list.
        limit: bytes.

    Raises:
        Misuse: the file can't be read or its ending is neither.
        BadData: a key or column is not as expected.
    """
    if file.suffix.lower() == ".toml":
        top = read_toml(file, limit)
        tables = list(top.tables("entity"))
        top.done()
        if not tables:
            raise top.wrong("entity", "at least one [[entity]]")
    elif file.suffix.lower() == ".csv":
        tables = _tables_of_csv(file, limit)
    else:
        raise Misuse("An entity list ends in .toml or .csv.", "Rename the file or save it in one of the two formats.")
    entities = tuple(_entity(table) for table in tables)
    _refuse_doubles(file.name, entities)
    return entities


def keep_entities(vault: Vault, entities: tuple[Entity, ...]) -> None:
    """Put entities into the vault, all or none.

    Raises:
        Misuse: another entity on the register has the same EIN.
    """
    holders = {entity.ein: entity.slug for entity in vault.entities()}
    for entity in entities:
        holder = holders.get(entity.ein, entity.slug)
        if holder != entity.slug:
            raise Misuse(
                f"The EIN given for {entity.slug} is on the register for {holder}.",
                "Correct the EIN, or import the entity under its first short name with `slug`.",
            )
    with vault.transaction():
        for entity in entities:
            vault.put_entity(entity)


def entity_from(data: Mapping[str, object], source: str = "command line") -> Entity:
    """One entity from plain data with the keys of an `[[entity]]` table.

    Raises:
        BadData: a key is not as expected.
    """
    return _entity(Table(source, data))


def _entity(table: Table) -> Entity:
    name = table.text("name")
    entity = Entity(
        slug=_slug(table, name),
        name=name,
        ein=_ein(table),
        tax_class=table.choice("classification", TaxClass),
        home=_code(table, "home"),
        registrations=tuple(_registration(item) for item in table.tables("registration")),
        formed=table.maybe_day("formed"),
        closed=table.maybe_day("closed"),
        year_end=_year_end(table),
        members=table.texts("members", ()),
        employees=table.flag("employees", False),
        former_names=table.texts("former_names", ()),
        has_assets=table.flag("has_assets", True),
        has_creditors=table.flag("has_creditors") if table.has("has_creditors") else None,
        contractors_paid=table.flag("contractors_paid", False),
        sold_business=table.flag("sold_business", False),
        last_wages=table.maybe_day("last_wages"),
        plan_adopted=table.maybe_day("plan_adopted"),
    )
    table.done()
    return _with_home_first(table, entity)


def _slug(table: Table, name: str) -> str:
    slug = table.text("slug", "") or slug_of(name)
    if not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,39}", slug):
        raise table.wrong("slug", "1 to 40 lower-case letters, digits and dashes")
    return slug


def _ein(table: Table) -> str:
    ein = table.text("ein")
    digits = re.sub(r"[\s-]", "", ein)
    if re.fullmatch(r"\d{9}", digits):
        ein = f"{digits[:2]}-{digits[2:]}"
    if not EIN_PATTERN.fullmatch(ein):
        raise table.wrong("ein", "nine digits as NN-NNNNNNN")
    return ein


def _code(table: Table, name: str) -> str:
    code = table.text(name).upper()
    if code not in JURISDICTIONS:
        raise table.wrong(name, "a two-letter USPS code such as OR")
    return code


def _year_end(table: Table) -> tuple[int, int]:
    text = table.text("year_end", "12-31")
    try:
        day = date.fromisoformat(f"2024-{text}")  # a leap year, so that 02-29 passes
    except ValueError:
        raise table.wrong("year_end", "month and day as MM-DD") from None
    return (day.month, day.day)


def _registration(table: Table) -> Registration:
    registration = Registration(
        jurisdiction=_code(table, "jurisdiction"),
        file_number=table.text("file_number", ""),
        since=table.maybe_day("since"),
        name=table.text("name", ""),
        tax_accounts=table.texts("tax_accounts", ()),
    )
    table.done()
    return registration


def _with_home_first(table: Table, entity: Entity) -> Entity:
    """The entity with its home registration first; one is added when the list names none."""
    codes = [r.jurisdiction for r in entity.registrations]
    if len(codes) != len(set(codes)):
        raise table.wrong("registration", "each jurisdiction once")
    for key in ("closed", "last_wages", "plan_adopted"):
        day = getattr(entity, key)
        if day and entity.formed and day < entity.formed:
            raise table.wrong(key, "a day on or after `formed`")
    home = entity.registration(entity.home) or Registration(entity.home, since=entity.formed)
    return replace(entity, registrations=(home, *entity.foreign))


def _refuse_doubles(file: str, entities: tuple[Entity, ...]) -> None:
    for what in ("slug", "ein"):
        seen: set[str] = set()
        for entity in entities:
            value = getattr(entity, what)
            if value in seen:
                raise Table(file, {}).wrong(what, f"each {what} once in the list; give each entity its own")
            seen.add(value)


def _tables_of_csv(file: Path, limit: int) -> list[Table]:
    """A CSV list as the tables that the same list in TOML would hold."""
    merged: dict[str, dict[str, object]] = {}
    for number, row in enumerate(_csv_rows(file, limit), start=2):
        name = row.get("name", "")
        if not name:
            raise Table(file.name, {}).wrong(f"line {number}", "a legal name in column `name`")
        entity = merged.setdefault(name, {**_entity_cells(row), "registration": []})
        registrations = entity["registration"]
        if row.get("jurisdiction") and isinstance(registrations, list):
            registrations.append(_registration_cells(row))
    return [Table(file.name, data, f"rows of entity {i}") for i, data in enumerate(merged.values(), start=1)]


def _csv_rows(file: Path, limit: int) -> list[dict[str, str]]:
    try:
        if file.stat().st_size > limit:
            raise Misuse(f"{file.name} is larger than {limit} bytes.", "Split it into several files.")
        text = file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise Table(file.name, {}).wrong("the file", "CSV in UTF-8") from None
    except OSError as error:
        raise Misuse(f"{file.name} can't be read: {error.strerror}.", "Check the path and its permissions.") from None
    reader = csv.DictReader(io.StringIO(text))
    for column in reader.fieldnames or ():
        if column not in CSV_COLUMNS:
            raise Table(file.name, {}).wrong("line 1", f"columns out of {', '.join(CSV_COLUMNS)}")
    rows = [{key: (value or "").strip() for key, value in row.items() if key} for row in reader]
    if not rows:
        raise Table(file.name, {}).wrong("line 2", "at least one entity")
    return rows


def _entity_cells(row: Mapping[str, str]) -> dict[str, object]:
    data: dict[str, object] = {}
    for column in _TEXT_CELLS:
        if row.get(column):
            data[column] = row[column]
    for column in ("members", "former_names"):
        data[column] = _cell_list(row.get(column, ""))
    for column in _FLAG_CELLS:
        if row.get(column):
            data[column] = _YES_OR_NO.get(row[column].lower(), row[column])
    return data


def _registration_cells(row: Mapping[str, str]) -> dict[str, object]:
    return {
        "jurisdiction": row["jurisdiction"],
        "file_number": row.get("file_number", ""),
        "since": row.get("since", ""),
        "name": row.get("registered_name", ""),
        "tax_accounts": _cell_list(row.get("tax_accounts", "")),
    }


def _cell_list(cell: str) -> list[str]:
    return [part.strip() for part in cell.split(";") if part.strip()]
