"""The room's data tables, read once from the TOML files beside this module."""

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from quietus.model.kinds import Kind
from quietus.reading.words import plain


@cache
def table(name: str) -> dict[str, Any]:
    """A TOML file of this room, whole."""
    return tomllib.loads(files("quietus.reading").joinpath(name).read_text("utf-8"))


@dataclass(frozen=True, slots=True)
class KindRow:
    """What `kinds.toml` says of one kind; phrases in plain form, cues with what each is worth."""

    kind: Kind
    scope: str
    titles: tuple[str, ...]
    body: tuple[str, ...]
    against: tuple[str, ...]
    needs: frozenset[str]
    reads: frozenset[str]
    forms: tuple[str, ...]
    cues: tuple[tuple[re.Pattern[str], float], ...]
    place: str


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """What `jurisdictions.toml` says of one jurisdiction; phrases in plain form."""

    code: str
    name: str
    offices: tuple[str, ...]
    agencies: tuple[str, ...]
    forms: tuple[str, ...]
    cites: tuple[str, ...]
    seat: str
    number: tuple[str, ...]


@cache
def kind_rows() -> dict[Kind, KindRow]:
    """Every kind, in the order of the file."""
    rows = table("kinds.toml")
    return {
        Kind(name): KindRow(
            Kind(name),
            row["scope"],
            _plain(row["titles"]),
            _plain(row["body"]),
            _plain(row["against"]),
            frozenset(row["needs"]),
            frozenset(row["reads"]),
            tuple(row.get("forms", [])),
            tuple((re.compile(pattern), float(weight)) for pattern, weight in row.get("cues", {}).items()),
            row.get("place", ""),
        )
        for name, row in rows.items()
        if name in set(Kind)
    }


@cache
def either() -> dict[str, tuple[str, ...]]:
    """Titles that can mean either end, and the words that tell which."""
    return {key: _plain(phrases) for key, phrases in table("kinds.toml")["either"].items()}


@cache
def patterns(name: str, key: str = "patterns") -> tuple[re.Pattern[str], ...]:
    """The patterns of `kinds.toml` under `name`, over plain text."""
    return tuple(re.compile(pattern) for pattern in table("kinds.toml")[name][key])


@cache
def covers() -> tuple[str, ...]:
    """Titles of certificates and acknowledgments that are about another paper."""
    return _plain(table("kinds.toml")["covers"]["titles"])


@cache
def place_rows() -> dict[str, PlaceRow]:
    """Every jurisdiction by code, the federal level first."""
    return {
        code: PlaceRow(
            code,
            row["name"],
            _plain(row.get("office", [])),
            _plain(row.get("agency", [])),
            tuple(row["forms"]),
            _plain(row["cite"]),
            plain(row.get("seat", "")),
            tuple(row.get("number", [])),
        )
        for code, row in table("jurisdictions.toml").items()
    }


_US, _AND_OR = re.compile(r"\bu s\b"), re.compile(r"\band or\b")


def worded(text: str) -> str:
    """The text in plain form; `U.S.` as one word, `and/or` as `and`."""
    return _AND_OR.sub("and", _US.sub("us", plain(text)))


def _plain(phrases: list[str]) -> tuple[str, ...]:
    return tuple(worded(phrase) for phrase in phrases)
