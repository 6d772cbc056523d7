"""Reads rule packs: the built-in ones, then a firm's own over them.

A pack is one TOML file named for its code. A firm's file of the same name takes the place of the built-in pack, or,
when it says `extends = true`, is laid on top of it key by key. What a file may hold is told in docs/rule-packs.md.
"""

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from quietus.model.entity import COMPANY, FEDERAL, JURISDICTIONS, TaxClass
from quietus.model.errors import BadData
from quietus.model.expected import Claims, Source, Window
from quietus.model.kinds import Kind
from quietus.model.table import Table
from quietus.rules.due import DueRule, read_due_rules
from quietus.rules.files import cited, listed, near, read_raw, read_sources, read_toml, toml_files
from quietus.rules.law import Demand, Pack, Packs, Rule, Section, Terms, Variant, When
from quietus.rules.upkeep import UpkeepRule, read_upkeep

_KINDS = {kind.value: kind for kind in Kind}
_ORDER = {kind: place for place, kind in enumerate(Kind)}
_CLASSES = {one.value: one for one in TaxClass}
_SECTIONS = {FEDERAL: (Section.ALWAYS,), COMPANY: (Section.ALWAYS, Section.REGISTRATION)}
_LOCAL = (Section.ANY, Section.HOME, Section.FOREIGN)
_HEADER = ("name", "filing_office", "tax_agency", "entity_level_tax", "confidence", "note")
_TAXES = {one: one for one in ("all", "income", "franchise", "gross receipts", "sales", "employer")}
_FLAGS = ("employees", "assets", "creditors", "contractors", "sold_business")
_FILING = "filing"
"""In `after` and `supports`: the filing that ends the registration; dissolution at home, withdrawal elsewhere."""


def load_packs(folders: Sequence[Path] = ()) -> Packs:
    """Every rule pack: the built-in ones, then each folder's, a later one over an earlier one.

    Args:
        folders: the firm's own folders.

    Raises:
        BadData: a file is not as expected; names the file, the key or line, and what should stand there.
        Misuse: a folder does not exist.
        MachineFault: a file cannot be read.
    """
    layers: dict[str, list[Table]] = {}
    every = [*_built_in(), *(path for folder in folders for path in toml_files(folder))]
    digest = hashlib.sha256()
    for file in every:
        raw = read_raw(file)
        digest.update(f"{file.name} {len(raw)}\n".encode() + raw)
        _lay(layers, file, raw)
    federal = _pack(FEDERAL, layers.pop(FEDERAL), {})
    packs = {FEDERAL: federal, **{code: _pack(code, found, federal.due) for code, found in layers.items()}}
    return Packs(packs, digest.hexdigest())


def _built_in() -> Iterator[Traversable]:
    folder = files("quietus.rules") / "packs"
    yield from sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)


def _lay(layers: dict[str, list[Table]], file: Traversable | Path, raw: bytes) -> None:
    """Put one file on top of what there is for its code, or in its place."""
    code = file.name.removesuffix(".toml")
    if code not in JURISDICTIONS | {FEDERAL, COMPANY}:
        raise BadData(file.name, "the file's name", "a two-letter code in capitals such as OR.toml, or company.toml")
    table = read_toml(file, raw)
    if not table.flag("extends", default=False):
        layers[code] = []
    elif code not in layers:
        raise table.wrong("extends", f"false: there is no pack for {code} to extend")
    layers[code] = [*layers[code], table]


@dataclass(frozen=True, slots=True)
class _Part:
    """What one table says of one paper."""

    table: Table
    section: Section
    name: str
    when: When | None
    changes: Mapping[str, Any]
    variants: tuple[Variant, ...]


@dataclass(frozen=True, slots=True)
class _Context:
    """What the names in a table can refer to."""

    sources: Mapping[str, Source]
    due: Mapping[str, DueRule]
    names: frozenset[str]


def _pack(code: str, layers: Sequence[Table], federal_due: Mapping[str, DueRule]) -> Pack:
    sections = _SECTIONS.get(code, _LOCAL)
    names = frozenset(name for table in layers for section in sections for name in table.table(section).names())
    sources: dict[str, Source] = {}
    due = dict(federal_due)
    parts: list[_Part] = []
    claims: Claims | None = None
    upkeep: tuple[UpkeepRule, ...] = ()
    for table in layers:
        sources |= read_sources(table.table("sources"))
        due |= read_due_rules(table.table("due"), sources)
        claims = _claims(table.table("claims"), sources) if table.has("claims") else claims
        upkeep = read_upkeep(table, sources) if table.has("upkeep") else upkeep
        for section in sections:
            parts += _parts(table.table(section), section, _Context(sources, due, names))
    header = _header(code, layers)
    for table in layers:
        table.done()
    offices = {key: header[key] for key in ("filing_office", "tax_agency")}
    return Pack(
        code=code,
        **header,
        sections={one: _rules(parts, one, offices) for one in sections if one is not Section.ANY},
        due=due,
        claims=claims,
        upkeep=upkeep,
        files=tuple(table.file for table in layers),
    )


def _header(code: str, layers: Sequence[Table]) -> dict[str, Any]:
    """What a pack says of itself: each key from the uppermost file that has it."""

    def uppermost(key: str) -> Table:
        return next((table for table in reversed(layers) if table.has(key)), layers[-1])

    local = code in JURISDICTIONS
    optional = {"entity_level_tax", "note"} | (set() if local else {"filing_office", "tax_agency"})
    header: dict[str, Any] = {key: uppermost(key).text(key, "" if key in optional else None) for key in _HEADER}
    if header["confidence"] not in ("high", "medium", "low"):
        raise uppermost("confidence").wrong("confidence", "one of high, medium, low")
    header["income_tax"] = uppermost("income_tax").flag("income_tax") if local else None
    for table in layers:  # look at each in every file: a fault below the uppermost one is a fault too
        for key in filter(table.has, _HEADER):
            table.text(key)
        for key in filter(table.has, ("income_tax", "extends")):
            table.flag(key)
    return header


def _claims(table: Table, sources: Mapping[str, Source]) -> Claims:
    claims = Claims(
        days=table.number("days", least=1, most=3660),
        counted_from=table.text("counted_from"),
        years=table.number("years", least=1, most=100) if table.has("years") else None,
        sources=cited(table, sources),
    )
    table.done()
    return claims


def _parts(table: Table, section: Section, context: _Context) -> Iterator[_Part]:
    for name in table.names():
        kind = name.partition("-")[0]
        if kind not in _KINDS:
            raise table.wrong(name, f"a kind of paper, one of {', '.join(_KINDS)}{near(kind, _KINDS)}")
        inner = table.table(name)
        when = _when(inner.table("when")) if inner.has("when") else None
        variants = tuple(_variant(one, context) for one in inner.tables("variant"))
        changes = _changes(inner, context)
        inner.done()
        yield _Part(inner, section, name, when, changes, variants)


def _variant(table: Table, context: _Context) -> Variant:
    if not table.has("when"):
        raise table.wrong("when", "the facts of the entity that call for this variant")
    variant = Variant(_when(table.table("when")), _changes(table, context))
    table.done()
    return variant


def _when(table: Table) -> When:
    members = table.text("members", "")
    if members not in ("", "one", "several"):
        raise table.wrong("members", "one of one, several")
    when = When(
        tax_class=frozenset(listed(table, "tax_class", _CLASSES)) if table.has("tax_class") else None,
        single_member=members == "one" if members else None,
        accounts=_lower(table, "accounts") if table.has("accounts") else None,
        **{name: table.flag(name) for name in _FLAGS if table.has(name)},
    )
    table.done()
    return when


def _lower(table: Table, key: str) -> frozenset[str]:
    return frozenset(one.lower() for one in table.texts(key))


def _due_name(table: Table, key: str, context: _Context) -> str:
    name = table.text(key)
    if name not in context.due:
        known = ", ".join(context.due)
        raise table.wrong(key, f"the name of a [due.…] table here or in US.toml, one of {known}")
    return name


def _reference(table: Table, key: str, name: str, context: _Context) -> str:
    """A paper by its place: `clearance` or `filing` here, `home/dissolution`, `US/final_return`, `company/consent`."""
    scope, slash, paper = name.rpartition("/")
    if not slash:
        known = {*context.names, _FILING}
        if name not in known:
            raise table.wrong(key, f"the name of a rule of this pack, one of {', '.join(sorted(known))}")
    elif scope not in ("home", FEDERAL, COMPANY) or paper.partition("-")[0] not in _KINDS:
        raise table.wrong(key, "home/KIND, US/KIND or company/KIND, such as company/consent")
    return name


def _window(table: Table, key: str, context: _Context) -> Window:
    inner = table.table(key)
    months = inner.number("months", 0, most=120)
    window = Window(
        after=_reference(inner, "after", inner.text("after"), context),
        months=months,
        days=0 if months else inner.number("days", least=1, most=3660),
        request=inner.flag("request", False),
    )
    inner.done()
    return window


def _references(table: Table, key: str, context: _Context) -> tuple[str, ...]:
    return tuple(_reference(table, key, one, context) for one in table.texts(key))


_READERS: dict[str, Callable[[Table, str, _Context], Any]] = {
    "need": lambda table, key, _: table.choice(key, Demand),
    "title": lambda table, key, _: table.text(key),
    "issuer": lambda table, key, _: table.text(key),
    "sources": lambda table, _, context: cited(table, context.sources),
    "next_step": lambda table, key, _: table.text(key),
    "titles": lambda table, key, _: table.texts(key),
    "office_mark": lambda table, key, _: table.flag(key),
    "electronic": lambda table, key, _: table.flag(key),
    "final_box": lambda table, key, _: table.flag(key),
    "final_box_at": lambda table, key, _: table.text(key),
    "taxes": lambda table, key, _: listed(table, key, _TAXES),
    "forms": lambda table, key, _: table.texts(key),
    "due": _due_name,
    "valid_days": lambda table, key, _: table.number(key, least=1, most=3660),
    "valid_to_year_end": lambda table, key, _: table.flag(key),
    "supports": lambda table, key, context: _reference(table, key, table.text(key), context),
    "after": _references,
    "better_after": _references,
    "window": _window,
    "home_certificate": lambda table, key, _: table.text(key),
    "spared_by_home_end": lambda table, key, _: table.flag(key),
    "closes": lambda table, key, _: _lower(table, key),
    "replaces": _references,
    "note": lambda table, key, _: table.text(key),
}


def _changes(table: Table, context: _Context) -> dict[str, Any]:
    """The terms that stand in a table, and only those."""
    return {key: read(table, key, context) for key, read in _READERS.items() if table.has(key)}


def _rules(parts: Sequence[_Part], section: Section, offices: Mapping[str, str]) -> tuple[Rule, ...]:
    """The rules of one section, in the order of kinds: what is said for `any` and for it, a later file on top."""
    wanted = [part for part in parts if part.section in (section, Section.ANY)]
    names = {part.name for part in wanted}
    rules = [_rule([part for part in wanted if part.name == name], offices) for name in names]
    return tuple(sorted(rules, key=lambda rule: (_ORDER[rule.kind], rule.name)))


def _rule(parts: Sequence[_Part], offices: Mapping[str, str]) -> Rule:
    changes: dict[str, Any] = {}
    for part in parts:
        changes |= part.changes
    variants = tuple(
        Variant(one.when, _with_office(part.table, one.changes, offices)) for part in parts for one in part.variants
    )
    top = parts[-1]
    changes = _with_office(top.table, changes, offices)
    _complete(top.table, changes, variants)
    when = next((part.when for part in reversed(parts) if part.when), When())
    return Rule(top.name, _KINDS[top.name.partition("-")[0]], when, Terms(**changes), variants)


def _with_office(table: Table, changes: Mapping[str, Any], offices: Mapping[str, str]) -> dict[str, Any]:
    """`issuer = "filing_office"` and `"tax_agency"` stand for the pack's own."""
    issuer = changes.get("issuer", "")
    if issuer not in offices:
        return dict(changes)
    if not offices[issuer]:
        raise table.wrong("issuer", f"an office by name: this pack has no {issuer}")
    return {**changes, "issuer": offices[issuer]}


def _complete(table: Table, changes: Mapping[str, Any], variants: Sequence[Variant]) -> None:
    """Refuse a rule that lacks what every rule needs."""
    for key in ("need", "title", "issuer", "sources"):
        if key not in changes:
            raise table.wrong(key, f"its {key}, but the key is missing")
    wanted = {changes["need"], *(one.changes.get("need") for one in variants)}
    listed_paper = bool(changes.get("closes")) or not wanted.isdisjoint({Demand.REQUIRED, Demand.ADVISED})
    if listed_paper and "next_step" not in changes:
        raise table.wrong("next_step", "what to do when the paper is missing, but the key is missing")
