"""Data that people edit, checked key by key: what is wrong is said with file, key and what is expected."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from enum import StrEnum
from typing import Any, TypeVar

from quietus.model.errors import BadData

Choice = TypeVar("Choice", bound=StrEnum)


class Table:
    """One table of a TOML file. Every key has to be asked for; `done` refuses those that nobody asked for.

    Args:
        file: the file's name, for messages.
        data: the table's content.
        where: dotted key of the table inside the file, for messages; empty at the top.
    """

    def __init__(self, file: str, data: Mapping[str, Any], where: str = "") -> None:
        self.file = file
        self.where = where
        self._data = data
        self._asked: set[str] = set()

    def key(self, name: str) -> str:
        """The dotted key of `name` in this table."""
        return f"{self.where}.{name}" if self.where else name

    def wrong(self, name: str, expected: str) -> BadData:
        """The error to raise for key `name`."""
        return BadData(self.file, self.key(name), expected)

    def has(self, name: str) -> bool:
        """True when the key is there. Asking makes it a known key: read it next."""
        self._asked.add(name)
        return name in self._data

    def names(self) -> tuple[str, ...]:
        """Every key that is there, in the order written."""
        return tuple(self._data)

    def _get(self, name: str, kind: type | tuple[type, ...], expected: str, default: Any) -> Any:
        self._asked.add(name)
        if name not in self._data:
            if default is None:
                raise self.wrong(name, f"{expected}, but the key is missing")
            return default
        value = self._data[name]
        mistaken_bool = isinstance(value, bool) and kind is not bool
        if not isinstance(value, kind) or mistaken_bool:
            raise self.wrong(name, expected)
        return value

    def text(self, name: str, default: str | None = None, *, empty: bool = False) -> str:
        """Text, without blanks at its ends. Missing: `default`, or BadData when there is none."""
        value: str = self._get(name, str, "text in quotes", default).strip()
        if not value and not empty and default is None:
            raise self.wrong(name, "text that is not empty")
        return value

    def texts(self, name: str, default: tuple[str, ...] | None = None) -> tuple[str, ...]:
        """A list of texts."""
        value = self._get(name, (list, tuple), "a list of texts", default)
        if not all(isinstance(item, str) and item.strip() for item in value):
            raise self.wrong(name, "a list of texts, none of them empty")
        return tuple(item.strip() for item in value)

    def flag(self, name: str, default: bool | None = None) -> bool:
        """True or false."""
        value: bool = self._get(name, bool, "true or false", default)
        return value

    def number(self, name: str, default: int | None = None, *, least: int = 0, most: int = 10**9) -> int:
        """A whole number from `least` to `most`."""
        expected = f"a whole number from {least} to {most}"
        value: int = self._get(name, int, expected, default)
        if not least <= value <= most:
            raise self.wrong(name, expected)
        return value

    def day(self, name: str) -> date:
        """A date, written as 2026-03-31 without quotes; quoted text of that form is taken too."""
        found = self.maybe_day(name)
        if found is None:
            raise self.wrong(name, "a date such as 2026-03-31, but the key is missing")
        return found

    def maybe_day(self, name: str) -> date | None:
        """A date, or None when the key is missing or an empty text."""
        self._asked.add(name)
        value = self._data.get(name, "")
        if isinstance(value, date) and not isinstance(value, datetime):
            return value
        if value == "":
            return None
        try:
            return date.fromisoformat(value)
        except (TypeError, ValueError):
            raise self.wrong(name, "a date such as 2026-03-31") from None

    def choice(self, name: str, choices: type[Choice], default: Choice | None = None) -> Choice:
        """One of the words of an enumeration."""
        words = ", ".join(choice.value for choice in choices)
        value = self._get(name, str, f"one of {words}", default)
        try:
            return choices(value)
        except ValueError:
            raise self.wrong(name, f"one of {words}") from None

    def table(self, name: str) -> "Table":
        """The table under `name`; an empty one when it is missing."""
        return Table(self.file, self._get(name, dict, "a table", {}), self.key(name))

    def tables(self, name: str) -> Iterator["Table"]:
        """Each table of the list `name`, written as [[name]]."""
        for number, item in enumerate(self._get(name, list, f"tables written as [[{self.key(name)}]]", []), start=1):
            if not isinstance(item, dict):
                raise self.wrong(name, f"tables written as [[{self.key(name)}]]")
            yield Table(self.file, item, f"{self.key(name)}[{number}]")

    def done(self) -> None:
        """Refuse keys that nothing asked for: a misspelt key must not pass in silence.

        Raises:
            BadData: there is such a key.
        """
        for name in self._data:
            if name not in self._asked:
                known = ", ".join(sorted(self._asked))
                raise self.wrong(name, f"no such key here; the known ones are {known}")
