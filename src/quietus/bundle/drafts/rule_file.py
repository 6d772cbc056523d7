"""The files of rules about letters and forms: read once, and their sources followed."""

import tomllib
from functools import cache
from importlib.resources import files

from quietus.model.expected import Basis, Source
from quietus.model.table import Table


@cache
def _text(name: str) -> str:
    return (files("quietus.bundle.drafts") / "rules" / name).read_text(encoding="utf-8")


def rule_file(name: str) -> Table:
    """One of the files in the folder `rules`, as a fresh Table.

    Raises:
        BadData: later, when a key does not hold what is expected.
    """
    return Table(name, tomllib.loads(_text(name)))


def source_of(table: Table) -> Source:
    """Where a rule comes from: its `cite`, `basis` and `checked`.

    Raises:
        BadData: one of them is not as expected.
    """
    return Source(table.text("cite"), table.choice("basis", Basis), table.day("checked"))
