"""Puts together what was found on the pages of one paper into its Reading, and marks what a person has to look at."""

from collections.abc import Sequence
from dataclasses import replace

from quietus.model.kinds import Authority, Kind
from quietus.model.reading import ABSENT, FIELDS, PageView, Reading, Value
from quietus.reading.evidence import Evidence, gather
from quietus.reading.finders import FINDERS, kind
from quietus.reading.office import Office, office_of
from quietus.reading.pages import Book, Page
from quietus.reading.tables import KindRow, kind_rows, table

_WORTH_A_LOOK = frozenset({"kind", "entity_name", "authority"})
_OFFICE_NAMED = 0.9  # how surely a paper of no kind of ours must name an office for an unread stamp on it to matter
_EXACT = frozenset({"entity_name", "ein", "file_number", "signed_date", "effective_date"})
_UNDER = 0.7  # what is left of a value's certainty under a black stamp
_OUT_OF_ORDER = 0.5  # the most that a filing date is sure of when the paper was signed after it


def compose(book: Book, pages: Sequence[Page]) -> Reading:
    """The Reading of the paper that occupies `pages` of the book."""
    evidence = gather(book, tuple(pages))
    row = evidence.row
    instead = _instead(evidence)
    wanted = row.reads | (instead.reads if instead else frozenset())
    values = {name: find(evidence) if name in wanted else ABSENT for name, find in FINDERS.items()}
    values["kind"] = kind(evidence)
    values["authority"] = Value(Authority.PLAIN.value, 0.9, method=evidence.method)
    if row.scope == "office" or (instead and instead.scope == "office"):
        office = office_of(evidence)
        values = {k: _under(v, office) if k in _EXACT else v for k, v in values.items()} | office.values
        if values["filing_date"].method != "certificate":  # a certificate is given after the filing it speaks of
            values["filing_date"] = in_order(values["filing_date"], values["signed_date"])
    elif row.kind is Kind.OTHER:
        values = {name: _if_sure(name, value) for name, value in values.items()} | _filed_anyway(evidence)
    if instead:
        own = row.reads | {"kind", "authority"}
        values = {
            name: value if name in own and value.value is not None else _doubted(name, value, instead)
            for name, value in values.items()
        }
    return Reading(
        pages=tuple(PageView(p.number, p.way.stance.turn, p.way.stance.skew, p.text, p.method) for p in pages),
        values={name: _barred(name, values.get(name, ABSENT), row) for name in FIELDS},
        engine=book.engine.name,
    )


def _instead(e: Evidence) -> KindRow | None:
    """The kind the paper could be instead, when its kind is not sure: what that kind would carry is read too."""
    return None if e.told.sure >= table("bars.toml")["kind"] else kind_rows()[e.told.instead]


def _doubted(name: str, value: Value, instead: KindRow) -> Value:
    """A value that only counts if the paper is of the other kind, or that such a paper would have to have."""
    wanted = name in instead.needs or (instead.scope == "office" and name in {"filing_date", "stamped"})
    return replace(value, review=value.review or value.value is not None or wanted)


def _filed_anyway(e: Evidence) -> dict[str, Value]:
    """An office's mark on a paper of no kind of ours, such as an agent's resignation."""
    office = office_of(e).values
    doubt = office["stamped"].review and e.placed.sure >= _OFFICE_NAMED
    return {name: office[name] for name in ("filing_date", "stamped")} if office["stamped"].value or doubt else {}


def _under(value: Value, office: Office) -> Value:
    """A value less sure for standing under a black stamp, whose strokes can make one digit of another."""
    if value.box is None or value.method != "ocr":
        return value
    here = value.box
    for page, box in office.over:
        wide = min(here.right, box.right) - max(here.left, box.left)
        high = min(here.bottom, box.bottom) - max(here.top, box.top)
        if page == value.page and wide > 0 and high > 0:
            return replace(value, confidence=_UNDER * value.confidence)
    return value


def in_order(filed: Value, signed: Value) -> Value:
    """The filing date, unsure when it lies before the signature or years after it: one of the two was misread."""
    both = isinstance(filed.value, str) and isinstance(signed.value, str)
    before = both and (signed.page or 0) < (filed.page or 0)  # a certificate's own date, on a page before the copy
    if both and not before and not str(signed.value) <= str(filed.value) <= _a_year_after(str(signed.value)):
        return replace(filed, confidence=min(filed.confidence, _OUT_OF_ORDER), review=True)
    return filed


def _a_year_after(day: str) -> str:
    """The same day of the next year; an ISO date, which need not be one of the calendar to be compared."""
    return f"{int(day[:4]) + 1}{day[4:]}"


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
