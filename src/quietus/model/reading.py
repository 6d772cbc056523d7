"""A reading: what was read off one paper, each value with where it stands and how sure it is."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any, NamedTuple

FIELDS: tuple[str, ...] = (
    "kind",
    "jurisdiction",
    "filing_date",
    "entity_name",
    "ein",
    "file_number",
    "stamped",
    "final_box",
    "period_end",
    "valid_until",
    "signed_date",
    "effective_date",
    "form",
    "authority",
)
"""Every field a reading has, in the order they are shown. Dates are ISO 8601 text; `jurisdiction` is a USPS code or
`US`; `stamped` and `final_box` are true, false, or null (not on this paper, or not told)."""

DATE_FIELDS = frozenset({"filing_date", "period_end", "valid_until", "signed_date", "effective_date"})


class Box(NamedTuple):
    """A rectangle on the page as any viewer shows it, in fractions of its width and height.

    A turn mark of the PDF or JPEG itself is obeyed; quietus's own turning to upright and deskewing are taken back.

    Origin at the top left; 0 <= left < right <= 1 and 0 <= top < bottom <= 1.
    """

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Value:
    """One value read off a paper.

    Attributes:
        value: the text, the ISO date, the yes or no; None when the paper does not carry it.
        confidence: 0 to 1. For a None it is how sure the reader is that there is nothing to find.
        review: True when a person has to look before the value may count.
        page: 1-based page of the file; None when the value stands nowhere (derived or absent).
        box: where on that page.
        raw: the text as recognised, before any repair.
        method: how it was found, such as `text-layer`, `ocr`, `stamp:chroma`, `pixels`, `person:NAME`.
    """

    value: str | bool | None
    confidence: float
    review: bool = False
    page: int | None = None
    box: Box | None = None
    raw: str = ""
    method: str = ""


ABSENT = Value(value=None, confidence=1.0, method="absent")


@dataclass(frozen=True, slots=True)
class PageView:
    """How one page was looked at.

    Attributes:
        number: 1-based page of the file.
        turn: degrees clockwise (0, 90, 180, 270) that make the page as received upright.
        skew: further small rotation in degrees, clockwise positive, that was taken out before recognition.
        text: recognised text of the page.
        method: `text-layer` or `ocr`.
    """

    number: int
    turn: int
    skew: float
    text: str
    method: str


class PrivateSort(StrEnum):
    """What a private spot hides. The value is stable and stands in JSON."""

    SSN = "ssn"  # also an ITIN, which has the same form
    EIN = "ein"
    ACCOUNT_NUMBER = "account_number"  # at a bank: account, routing or card number
    HOME_ADDRESS = "home_address"


@dataclass(frozen=True, slots=True)
class PrivateSpot:
    """A place on the paper that shows what may have to be hidden before the paper leaves the office.

    What stands there is not kept: it can be read off the page again.

    Attributes:
        page: 1-based page of the file.
        box: where on that page, with a margin.
        sort: what stands there.
    """

    page: int
    box: Box
    sort: PrivateSort


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read off one paper.

    Attributes:
        pages: the pages of the file that the paper occupies, in order.
        values: a Value for every name in FIELDS.
        engine: recogniser and version, for the record.
        private: what may have to be hidden, page by page; rather too much than too little.
    """

    pages: tuple[PageView, ...]
    values: Mapping[str, Value] = field(default_factory=dict)
    engine: str = ""
    private: tuple[PrivateSpot, ...] = ()

    def __getitem__(self, name: str) -> Value:
        """The Value of field `name`; ABSENT when the reading has none."""
        return self.values.get(name, ABSENT)

    def text(self, name: str) -> str | None:
        """The value of a text field, or None."""
        value = self[name].value
        return value if isinstance(value, str) else None

    def flag(self, name: str) -> bool | None:
        """The value of a yes-or-no field, or None."""
        value = self[name].value
        return value if isinstance(value, bool) else None

    def day(self, name: str) -> date | None:
        """The value of a date field as a date, or None."""
        value = self[name].value
        return date.fromisoformat(value) if isinstance(value, str) else None

    @property
    def doubts(self) -> tuple[str, ...]:
        """Names of the fields that a person has to look at, in FIELDS order."""
        return tuple(name for name in FIELDS if self[name].review)


def value_to_json(value: Value) -> dict[str, Any]:
    """The documented JSON shape of a Value: value, confidence, review, page, box, raw, method."""
    return {
        "value": value.value,
        "confidence": round(value.confidence, 4),
        "review": value.review,
        "page": value.page,
        "box": _box_to_json(value.box) if value.box else None,
        "raw": value.raw,
        "method": value.method,
    }


def _box_to_json(box: Box) -> list[float]:
    return [round(edge, 5) for edge in box]


def value_from_json(data: Mapping[str, Any]) -> Value:
    """Inverse of `value_to_json`."""
    box = data["box"]
    return Value(
        value=data["value"],
        confidence=data["confidence"],
        review=data["review"],
        page=data["page"],
        box=Box(*box) if box else None,
        raw=data["raw"],
        method=data["method"],
    )


def reading_to_json(reading: Reading) -> dict[str, Any]:
    """A Reading as plain JSON data, whole."""
    return {
        "pages": [
            {"number": p.number, "turn": p.turn, "skew": p.skew, "text": p.text, "method": p.method}
            for p in reading.pages
        ],
        "values": {name: value_to_json(reading[name]) for name in FIELDS},
        "engine": reading.engine,
        "private": [{"page": s.page, "box": _box_to_json(s.box), "sort": s.sort.value} for s in reading.private],
    }


def reading_from_json(data: Mapping[str, Any]) -> Reading:
    """Inverse of `reading_to_json`; a reading kept before private spots were looked for has none."""
    return Reading(
        pages=tuple(PageView(**page) for page in data["pages"]),
        values={name: value_from_json(value) for name, value in data["values"].items()},
        engine=data["engine"],
        private=tuple(
            PrivateSpot(spot["page"], Box(*spot["box"]), PrivateSort(spot["sort"])) for spot in data.get("private", ())
        ),
    )
