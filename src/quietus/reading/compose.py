"""Puts together what was found on the pages of one paper into its Reading, and marks what a person has to look at."""

from collections.abc import Sequence
from dataclasses import replace

from quietus.model.kinds import Authority, Kind
from quietus.model.reading import ABSENT, FIELDS, PageView, Reading, Value
from quietus.reading.evidence import gather
from quietus.reading.finders import FINDERS, kind
from quietus.reading.office import office_values
from quietus.reading.pages import Book, Page
from quietus.reading.tables import KindRow, table

_WORTH_A_LOOK = frozenset({"kind", "entity_name", "authority"})
_OUT_OF_ORDER = 0.5  # the most that a filing date is sure of when the paper was signed after it


def compose(book: Book, pages: Sequence[Page]) -> Reading:
    """The Reading of the paper that occupies `pages` of the book."""
    evidence = gather(book, tuple(pages))
    row = evidence.row
    values = {name: find(evidence) if name in row.reads else ABSENT for name, find in FINDERS.items()}
    values["kind"] = kind(evidence)
    values["authority"] = Value(Authority.PLAIN.value, 0.9, method=evidence.method)
    if row.scope == "office":
        values |= office_values(evidence)
        if values["filing_date"].method != "certificate":  # a certificate is given after the filing it speaks of
            values["filing_date"] = _in_order(values["filing_date"], values["signed_date"])
    if row.kind is Kind.OTHER:
        values = {name: _if_sure(name, value) for name, value in values.items()}
        office = office_values(evidence)
        if office["stamped"].value:
            values |= {name: office[name] for name in ("filing_date", "stamped")}
    return Reading(
        pages=tuple(PageView(p.number, p.way.stance.turn, p.way.stance.skew, p.text, p.method) for p in pages),
        values={name: _barred(name, values.get(name, ABSENT), row) for name in FIELDS},
        engine=book.engine.name,
    )


def _in_order(filed: Value, signed: Value) -> Value:
    """The filing date, unsure when it lies before the signature: one of the two was misread."""
    if isinstance(filed.value, str) and isinstance(signed.value, str) and filed.value < signed.value:
        return replace(filed, confidence=min(filed.confidence, _OUT_OF_ORDER), review=True)
    return filed


def _if_sure(name: str, value: Value) -> Value:
    """On a paper that proves nothing, what is not sure is left out; whose paper it is and what, a person can tell."""
    if name in _WORTH_A_LOOK or value.confidence >= table("bars.toml")[name]:
        return value
    return Value(None, value.confidence, method=value.method)


def _barred(name: str, value: Value, row: KindRow) -> Value:
    """The value with its review mark: below its bar, or needed and not found."""
    if value.value is None:
        return replace(value, review=value.review or name in row.needs)
    return replace(value, review=value.review or value.confidence < table("bars.toml")[name])
