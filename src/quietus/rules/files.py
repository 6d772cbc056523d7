"""TOML that people edit: found, read whole, and its sources followed. What is inside is checked key by key."""

import difflib
import re
import tomllib
from collections.abc import Iterable, Mapping
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TypeVar

from quietus.model.errors import BadData, MachineFault, Misuse
from quietus.model.expected import Basis, Source
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.table import Table

T = TypeVar("T")


def toml_files(folder: Path) -> tuple[Path, ...]:
    """The TOML files of a folder, by name; those that start with a dot are left out.

    Raises:
        Misuse: there is no such folder.
    """
    if not folder.is_dir():
        raise Misuse("A folder of rules that was asked for does not exist.", "Create it, or correct its path.")
    return tuple(sorted(p for p in folder.iterdir() if p.suffix == ".toml" and not p.name.startswith(".")))


def read_raw(file: Traversable | Path) -> bytes:
    """The bytes of one file.

    Raises:
        BadData: too large.
        MachineFault: the disk would not give it.
    """
    try:
        raw = file.read_bytes()
    except OSError as cause:
        raise MachineFault(
            f"{file.name} cannot be read ({cause.strerror}).", "Check that the file is there and may be read."
        ) from cause
    if len(raw) > DEFAULT_LIMITS.register_bytes:
        raise BadData(file.name, "the file", f"at most {DEFAULT_LIMITS.register_bytes} bytes")
    return raw


def read_toml(file: Traversable | Path, raw: bytes | None = None) -> Table:
    """One TOML file as a table.

    Args:
        file: the file.
        raw: its bytes, when they were read before.

    Raises:
        BadData: too large, not UTF-8, or not TOML; the line at fault is named.
        MachineFault: the disk would not give it.
    """
    raw = read_raw(file) if raw is None else raw
    try:
        text = raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as cause:
        line = raw[: cause.start].count(b"\n") + 1
        raise BadData(file.name, f"line {line}", "text saved as UTF-8") from cause
    try:
        return Table(file.name, tomllib.loads(text))
    except tomllib.TOMLDecodeError as cause:
        raise BadData(file.name, _line_of(str(cause), text), f"TOML: {_complaint(str(cause))}") from cause
    except RecursionError as cause:
        raise BadData(file.name, "the file", "lists and tables that are not nested this deep") from cause


def _line_of(message: str, text: str) -> str:
    """The line that a TOML error names, or the last line when it says that the file ends too early."""
    found = re.search(r"line (\d+)", message)
    return f"line {found[1]}" if found else f"line {max(1, len(text.splitlines()))}"


def _complaint(message: str) -> str:
    """What a TOML error complains of, without the place: that stands in the key."""
    return re.sub(r"\s*\(at .*\)$", "", message)


def word(table: Table, key: str, words: Mapping[str, T]) -> T:
    """What the word at `key` stands for.

    Raises:
        BadData: the key is missing or holds no such word.
    """
    return words[_known(table, key, table.text(key), words)]


def listed(table: Table, key: str, words: Mapping[str, T]) -> tuple[T, ...]:
    """What each word of the list at `key` stands for; nothing when the key is missing.

    Raises:
        BadData: the list holds another word.
    """
    return tuple(words[_known(table, key, one, words)] for one in table.texts(key, ()))


def _known(table: Table, key: str, one: str, words: Mapping[str, T]) -> str:
    if one in words:
        return one
    known = f"one of {', '.join(words)}{near(one, words)}" if words else "no name here: there is nothing to name"
    raise table.wrong(key, known)


def near(one: str, words: Iterable[str]) -> str:
    """A hint at the word that was perhaps meant; empty when none is near."""
    found = difflib.get_close_matches(one, list(words), n=1)
    return f"; perhaps {found[0]}" if found else ""


def read_sources(table: Table) -> dict[str, Source]:
    """Every `[sources.NAME]` by its name: `cite`, `basis` and the day it was `checked`.

    Raises:
        BadData: a source lacks one of the three, or has a key beyond them.
    """
    sources = {}
    for name in table.names():
        one = table.table(name)
        sources[name] = Source(one.text("cite"), one.choice("basis", Basis), one.day("checked"))
        one.done()
    return sources


def cited(table: Table, sources: Mapping[str, Source]) -> tuple[Source, ...]:
    """The sources named in the list at `sources`: at least one.

    Raises:
        BadData: none is named, or one that is not there.
    """
    found = listed(table, "sources", sources)
    if not found:
        raise table.wrong("sources", "the name of at least one source, such as sources = ['statute']")
    return found
