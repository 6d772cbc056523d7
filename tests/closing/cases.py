"""Cases on the real rule packs, for properties that have to hold whatever is on file."""

from collections.abc import Sequence
from datetime import date, timedelta

from hypothesis import strategies as st

from quietus.closing.case import Case
from quietus.closing.gather import case_of
from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import ExpectedPaper
from quietus.model.facts import PaperFacts
from quietus.model.findings import Waiver
from quietus.model.paper import Standing
from quietus.rules import expected_papers, load_packs

PACKS = load_packs()
CODES = [code for code in PACKS.codes if code not in {"US", "company"}]
TODAY = date(2026, 11, 20)
CLOSED = date(2026, 6, 30)
FORMED = date(2016, 4, 11)
DAYS = st.integers(-60, 200).map(lambda days: (CLOSED + timedelta(days)).isoformat())


@st.composite
def entities(draw: st.DrawFn) -> Entity:
    """A company with one to four registrations and any of the facts that rules ask for."""
    codes = draw(st.lists(st.sampled_from(CODES), min_size=1, max_size=4, unique=True))
    flags = st.booleans()
    return Entity(
        slug="fennelgate",
        name="Fennelgate Pan Supply LLC",
        ein="09-7654321",
        tax_class=draw(st.sampled_from(TaxClass)),
        home=codes[0],
        registrations=tuple(
            Registration(code, "100-1", FORMED, draw(st.sampled_from(["", "Fennelgate of the North LLC"])))
            for code in codes
        ),
        formed=FORMED,
        closed=draw(st.sampled_from([CLOSED, None])),
        members=tuple("AB"[: draw(st.integers(1, 2))]),
        employees=draw(flags),
        has_assets=draw(flags),
        has_creditors=draw(st.sampled_from([None, True, False])),
        contractors_paid=draw(flags),
        sold_business=draw(flags),
        last_wages=draw(st.sampled_from([None, date(2026, 5, 20)])),
    )


@st.composite
def papers(draw: st.DrawFn, expected: Sequence[ExpectedPaper]) -> PaperFacts:
    """A paper filed under any of the expected ones or none, with values good, bad, missing and doubtful."""
    wanted = draw(st.sampled_from(expected))
    values: dict[str, str | bool] = {"kind": wanted.kind.value, "jurisdiction": wanted.scope}
    for name in ("signed_date", "filing_date", "period_end", "valid_until"):
        if draw(st.booleans()):
            values[name] = draw(DAYS)
    for name in ("stamped", "final_box"):
        if draw(st.booleans()):
            values[name] = draw(st.booleans())
    if draw(st.booleans()):
        values["entity_name"] = draw(st.sampled_from(["Fennelgate Pan Supply LLC", "Somebody Else LLC"]))
    if draw(st.booleans()):
        values["ein"] = draw(st.sampled_from(["09-7654321", "09-7654312"]))
    return PaperFacts(
        id=f"{draw(st.integers(0, 2**128 - 1)):032x}",
        standing=draw(st.sampled_from([Standing.FILED, Standing.FILED, Standing.FILED, Standing.REJECTED])),
        entity="fennelgate",
        expected=draw(st.sampled_from([wanted.key, wanted.key, wanted.key, ""])),
        received=f"2026-11-{draw(st.integers(1, 20)):02}T00:00:00.000000+00:00",
        values=values,
        doubts=tuple(draw(st.lists(st.sampled_from(sorted(values)), max_size=1))),
        title=draw(st.sampled_from(["", wanted.title, "NOTICE OF DISSOLUTION"])),
    )


@st.composite
def situations(draw: st.DrawFn) -> tuple[Case, PaperFacts, Waiver]:
    """A case, one more paper, and a waiver for one of its expected papers."""
    entity = draw(entities())
    expected = expected_papers(entity, PACKS)
    filed = draw(st.lists(papers(expected), max_size=12, unique_by=lambda paper: paper.id))
    more = draw(papers(expected).filter(lambda paper: paper.id not in {one.id for one in filed}))
    waivers = [waiver(one) for one in draw(st.lists(st.sampled_from(expected), max_size=2))]
    return case_of(PACKS, entity, filed, waivers, TODAY), more, waiver(draw(st.sampled_from(expected)))


def waiver(expected: ExpectedPaper) -> Waiver:
    return Waiver("fennelgate", expected.key, "does not apply", "counsel", "ada", TODAY)
