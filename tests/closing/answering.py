"""An office in which one company is closed: every paper is on file, and each file holds a word of its own."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from itertools import count
from pathlib import Path
from typing import Any

from quietus.closing.consents import Signed
from quietus.closing.office import Office, found_office, open_office
from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Box, PrivateSort, PrivateSpot, Reading
from tests.bundle.make import typed_pdf
from tests.closing.make import reading

TODAY = date(2026, 11, 20)
BANK = "First Example Bank, closing desk"
COMPANY = Entity(
    slug="saltmarsh-sheeter",
    name="Saltmarsh Sheeter Supply LLC",
    ein="08-3307915",
    tax_class=TaxClass.PARTNERSHIP,
    home="OR",
    registrations=(
        Registration("OR", "1611940-90", date(2018, 2, 5)),
        Registration("WA", "604 902 118", date(2019, 3, 1), tax_accounts=("excise: 604 902 118",)),
    ),
    formed=date(2018, 2, 5),
    closed=date(2026, 3, 31),
    members=("Ines Hollowbrook", "Rufus Tattersley"),
)

_PAPERS: dict[str, dict[str, Any]] = {
    "OR/dissolution": {"filing_date": "2026-04-14", "stamped": True, "file_number": "1611940-90"},
    "WA/withdrawal": {"filing_date": "2026-04-22", "stamped": True, "file_number": "604 902 118"},
    "US/final_return": {"period_end": "2026-03-31", "final_box": True, "ein": "08-3307915", "form": "1065"},
    "OR/final_return": {"period_end": "2026-03-31", "final_box": True, "ein": "08-3307915", "form": "OR-65"},
    "US/final_k1": {"period_end": "2026-03-31", "final_box": True, "ein": "08-3307915"},
    "US/ein_closure_letter": {"signed_date": "2026-09-08", "ein": "08-3307915"},
    "company/consent": {"signed_date": "2026-04-02"},
    "company/asset_disposition": {"signed_date": "2026-04-06"},
    "company/creditor_notice": {"signed_date": "2026-04-16"},
    "WA/account_closure": {"signed_date": "2026-05-04"},
}


def word_of(key: str) -> str:
    """What stands in the file of the paper under `key` and in no other file."""
    return "SECRET" + "".join(c for c in key.upper() if c.isalpha()) + "X"


def file_paper(office: Office, key: str, *, spots: tuple[PrivateSpot, ...] = (), **values: Any) -> Paper:
    """File a paper of the company under the expected paper `key`, or under none when the key ends in a dash."""
    scope, _, kind = key.partition("/")
    words = {"kind": kind.removesuffix("-"), "entity_name": COMPANY.name, "authority": "office-stamped", **values}
    if scope != "company":
        words["jurisdiction"] = scope
    made = reading(**words)
    return office.vault.file_paper(
        typed_pdf(word_of(key), f"Paper {key}", f"Copy {len(office.vault.papers()) + 1}"),
        name=f"{key.replace('/', '-')}.pdf",
        media_type="application/pdf",
        pages=1,
        standing=Standing.FILED,
        entity=COMPANY.slug,
        expected="" if key.endswith("-") else key,
        reading=Reading(made.pages, made.values, "engine 1", spots),
    )


def closed_company(office: Office, *left_out: str) -> dict[str, Paper]:
    """Put the company on the register and file its papers, all but those under the keys `left_out`."""
    office.vault.put_entity(COMPANY)
    return {key: file_paper(office, key, **values) for key, values in _PAPERS.items() if key not in left_out}


def spot(sort: PrivateSort) -> PrivateSpot:
    """A private spot in an empty part of the page."""
    return PrivateSpot(1, Box(0.5, 0.5, 0.7, 0.53), sort)


def signed_paper(office: Office, **values: Any) -> Paper:
    """A signed consent in the vault, as scanned."""
    return file_paper(office, "company/other-", **values)


def signed(paper: str, **more: Any) -> Signed:
    """What a consent says: the bank may see the final return."""
    said: dict[str, Any] = {
        "entity": COMPANY.slug,
        "paper": paper,
        "recipient": BANK,
        "purpose": "lender",
        "kinds": frozenset({Kind.FINAL_RETURN}),
        "signer": "Ines Hollowbrook",
        "signed": date(2026, 11, 2),
    }
    return Signed(**{**said, **more})


@contextmanager
def closed_office(home: Path, *left_out: str) -> Iterator[Office]:
    """An office in which the company is closed, for the tests of a whole module; the clock stands still.

    Tests that share it name recipients of their own, so that one test's consents are nothing to another.
    """

    def clock() -> datetime:
        return datetime(2026, 11, 20, 17, 0, tzinfo=UTC)

    found_office(home, b"test passphrase, not a secret", clock=clock)
    with open_office(home, b"test passphrase, not a secret", clock=clock) as office:
        closed_company(office, *left_out)
        yield office


_NUMBERS = count(1)


def somebody() -> str:
    """A recipient whom no other test names."""
    return f"Example Bank number {next(_NUMBERS)}"
