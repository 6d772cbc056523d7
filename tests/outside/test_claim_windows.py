"""How long creditors may bring claims, against the sections of state law and of the uniform act.

Marked at each case: `read` (text of the statute, sometimes on a copy), `memory`. The days are followed here a second
time, by counting in the calendar.
"""

from datetime import date, timedelta

import pytest

from quietus.closing.case import on_file
from quietus.closing.gather import case_of
from quietus.closing.windows import claims_end, publication_end
from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import Basis, Claims
from quietus.model.facts import PaperFacts
from quietus.model.paper import Standing
from quietus.rules import claims_against, load_packs

pytestmark = pytest.mark.outside

PACKS = load_packs()
RECEIPT = "the day the creditor receives the notice"


def company(home: str) -> Entity:
    return Entity(
        slug="pan-glazing", name="Pan Glazing LLC", ein="07-0000001", tax_class=TaxClass.PARTNERSHIP, home=home,
        registrations=(Registration(home),), closed=date(2026, 6, 30), has_creditors=True,
    )  # fmt: skip


def claims(home: str) -> Claims:
    found = claims_against(company(home), PACKS)
    assert found
    return found


KNOWN = [
    # home, days, counted from, source, how it was followed
    ("IA", 120, RECEIPT, "Iowa Code 489.704", Basis.READ),
    ("HI", 120, RECEIPT, "HRS 428-807", Basis.READ),
    ("WA", 120, RECEIPT, "RCW 25.15.301", Basis.READ),
    ("PA", 120, RECEIPT, "15 Pa.C.S. 8874", Basis.READ),
    ("NC", 120, "the date of the notice", "G.S. 57D-6-10", Basis.READ),
    ("OR", 120, "the effective date of the notice", "ORS 63.641", Basis.READ),
    ("MO", 120, RECEIPT, "Uniform Limited Liability Company Act (2013) section 704", Basis.READ),
    ("NY", 120, RECEIPT, "Uniform Limited Liability Company Act (2013) section 704", Basis.READ),
]


@pytest.mark.parametrize(("home", "days", "counted_from", "source", "basis"), KNOWN)
def test_known_claims(home: str, days: int, counted_from: str, source: str, basis: Basis) -> None:
    found = claims(home)
    assert (found.days, found.counted_from) == (days, counted_from)
    assert any(source in one.cite and one.basis is basis for one in found.sources)


UNKNOWN = [
    # home, years after publication, source
    ("WY", 3, "W.S. 17-29-704"),
    ("CT", 3, "Conn. Gen. Stat. 34-267d"),
    ("FL", 4, "Fla. Stat. 605.0712"),
    ("MT", 5, "MCA 35-8-909"),
    ("WV", 5, "W. Va. Code 31B-8-808"),
]


@pytest.mark.parametrize(("home", "years", "source"), UNKNOWN)
def test_other_claims_are_barred_years_after_publication(home: str, years: int, source: str) -> None:
    """The uniform text says three years (2013, section 705) or five (2006, section 704); states differ (read)."""
    found = claims(home)
    assert found.years == years
    assert any(source in one.cite and one.basis is Basis.READ for one in found.sources)


@pytest.mark.parametrize("home", ["MO", "NY", "OR"])
def test_where_no_bar_was_read_none_is_told(home: str) -> None:
    assert claims(home).years is None


def paper(key: str, signed: date) -> PaperFacts:
    values: dict[str, str | bool] = {"signed_date": signed.isoformat()}
    return PaperFacts("0" * 32, Standing.FILED, "pan-glazing", key, "2026-11-01T00:00:00.000000+00:00", values)


@pytest.mark.parametrize("home", [case[0] for case in KNOWN])
@pytest.mark.parametrize("given", [date(2026, 7, 30), date(2027, 11, 3), date(2028, 1, 31)])
def test_120_days_are_counted_one_by_one(home: str, given: date) -> None:
    case = case_of(PACKS, company(home), [paper("company/creditor_notice", given)], (), date(2026, 11, 20))
    found = claims_end(on_file(case))
    assert found
    day = given
    for _ in range(120):
        day += timedelta(days=1)
    assert found[1:] == (given, day)


@pytest.mark.parametrize(("home", "years", "source"), UNKNOWN)
def test_the_years_after_publication_end_on_the_same_day_of_the_year(home: str, years: int, source: str) -> None:
    published = paper("company/publication_affidavit", date(2026, 8, 10))
    found = publication_end(on_file(case_of(PACKS, company(home), [published], (), date(2026, 11, 20))))
    assert found and found[1] == date(2026 + years, 8, 10), source
