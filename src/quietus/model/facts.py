"""What a verdict needs to know of one paper: the values of the reading that counts, without text, boxes and pages."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from quietus.model.paper import Paper, Standing
from quietus.model.reading import FIELDS, Reading


@dataclass(frozen=True, slots=True)
class PaperFacts:
    """One paper as a verdict sees it.

    Attributes:
        id: 32 hex digits.
        standing: filed, unassigned or rejected.
        entity: slug of the entity it belongs to; empty when unassigned.
        expected: key of the expected paper it was filed under; empty when it meets none.
        received: when it was filed, as ISO 8601 text in UTC with microseconds, which sorts.
        values: what was read, by the name of the field; what was not read is left out.
        doubts: names of the fields that a person has to look at, in the order of FIELDS.
        title: the heading by which its kind was told; empty when there is none, or when a person told the kind.
    """

    id: str
    standing: Standing
    entity: str
    expected: str
    received: str
    values: Mapping[str, str | bool]
    doubts: tuple[str, ...] = ()
    title: str = ""

    def text(self, name: str) -> str | None:
        """The value of a text field, or None."""
        value = self.values.get(name)
        return value if isinstance(value, str) else None

    def flag(self, name: str) -> bool | None:
        """The value of a yes-or-no field, or None."""
        value = self.values.get(name)
        return value if isinstance(value, bool) else None

    def day(self, name: str) -> date | None:
        """The value of a date field as a date, or None."""
        value = self.values.get(name)
        return date.fromisoformat(value) if isinstance(value, str) else None

    def sure_day(self, name: str) -> date | None:
        """The value of a date field, when nobody has to look at it."""
        return None if name in self.doubts else self.day(name)

    @property
    def counts_from(self) -> date | None:
        """The day the paper counts from: the office's date, else the date it was signed or given."""
        return self.day("filing_date") or self.day("signed_date")

    @property
    def waits(self) -> bool:
        """True while a person has to look before the paper may count."""
        return self.standing is Standing.UNASSIGNED or (self.standing is Standing.FILED and bool(self.doubts))


def facts_of(paper: Paper) -> PaperFacts:
    """A paper as a verdict sees it."""
    reading = paper.reading
    return PaperFacts(
        id=paper.id,
        standing=paper.standing,
        entity=paper.entity,
        expected=paper.expected,
        received=paper.received.isoformat(timespec="microseconds"),
        values=_values(reading),
        doubts=reading.doubts,
        title=_title(reading),
    )


def facts_text(reading: Reading) -> str:
    """What a verdict needs of a reading as compact JSON: `[values, doubts, title]`."""
    return json.dumps([_values(reading), reading.doubts, _title(reading)], separators=(",", ":"))


def facts_from_text(text: str) -> tuple[dict[str, str | bool], tuple[str, ...], str]:
    """Inverse of `facts_text`: values, doubts and title.

    Raises:
        ValueError: the text is not of that form.
    """
    values, doubts, title = json.loads(text)
    return values, tuple(doubts), title


def _values(reading: Reading) -> dict[str, str | bool]:
    return {name: value for name in FIELDS if (value := reading[name].value) is not None}


def _title(reading: Reading) -> str:
    kind = reading["kind"]
    return "" if kind.method.startswith("person:") else kind.raw
