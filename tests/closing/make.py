"""Short ways to make entities, readings, papers and expected papers for tests of the use cases."""

from datetime import UTC, date, datetime
from typing import Any

from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import Basis, ExpectedPaper, Need, Source, expected_key
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import PageView, Reading, Value

TODAY = date(2026, 11, 20)
SOURCE = Source("Invented Code 1.2", Basis.PRACTICE, date(2026, 11, 1))

ENTITY = Entity(
    slug="kettlemoor",
    name="Kettlemoor Crumb & Crust LLC",
    ein="09-1234567",
    tax_class=TaxClass.PARTNERSHIP,
    home="OR",
    registrations=(Registration("OR", "100-1"), Registration("WA", "604 000 001")),
    formed=date(2016, 4, 11),
    closed=date(2026, 6, 30),
)


def reading(doubts: tuple[str, ...] = (), **values: str | bool) -> Reading:
    """A reading with these values, sure of all but those in `doubts`."""
    return Reading(
        pages=(PageView(1, 0, 0.0, "", "ocr"),),
        values={
            name: Value(values.get(name), 0.5 if name in doubts else 0.99, review=name in doubts, page=1, method="ocr")
            for name in {*values, *doubts}
        },
    )


def paper(number: int, expected: str, *, doubts: tuple[str, ...] = (), **values: str | bool) -> Paper:
    """A filed paper that answers `expected` and reads `values`."""
    return Paper(
        id=f"{number:032x}",
        sha256=f"{number:064x}",
        name=f"scan-{number}.pdf",
        media_type="application/pdf",
        size=1000,
        pages=1,
        received=datetime(2026, 11, 1, tzinfo=UTC),
        standing=Standing.FILED,
        entity=ENTITY.slug,
        expected=expected,
        reading=reading(doubts, **values),
    )


def want(scope: str, kind: Kind, **more: Any) -> ExpectedPaper:
    """An expected paper; `more` sets any of its attributes."""
    base: dict[str, Any] = {
        "key": expected_key(scope, kind),
        "scope": scope,
        "kind": kind,
        "title": f"The {kind.words}",
        "need": Need.REQUIRED,
        "issuer": "the office",
        "sources": (SOURCE,),
        "next_step": "Get it.",
    }
    return ExpectedPaper(**{**base, **more})
