"""A small vault with an invented client, and readings and papers to put in it."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import BinaryIO

from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.findings import Waiver
from quietus.model.paper import Paper, Standing
from quietus.model.reading import ABSENT, FIELDS, Box, PageView, Reading, Value
from quietus.vault import Vault, create_vault, open_vault
from quietus.vault.crypto import Cost

PASSPHRASE = b"a passphrase for tests only"
CHEAP = Cost(passes=2, memory_kib=19 * 1024, lanes=1)
"""The least a lock may cost, so that hundreds of openings stay quick."""

ENTITY = Entity(
    slug="brindlewick-oven",
    name="Brindlewick Oven & Proofer Works LLC",
    ein="07-4418230",
    tax_class=TaxClass.PARTNERSHIP,
    home="OR",
    registrations=(
        Registration("OR", "1482207-93", date(2016, 4, 11)),
        Registration("WA", "604 771 305", name="Brindlewick Ovens", tax_accounts=("excise: 604-771-305",)),
    ),
    formed=date(2016, 4, 11),
    closed=date(2026, 6, 30),
    members=("Odalys Pemberwick", "Tobias Quernstone"),
    former_names=("Brindlewick Bakehouse LLC",),
)
WAIVER = Waiver("brindlewick-oven", "OR/clearance", "Oregon asks for none", "ORS 63.621", "pat", date(2026, 11, 20))
TEXT = "Articles of Dissolution of Brindlewick Oven & Proofer Works LLC"
FILED = {"standing": Standing.FILED, "entity": "brindlewick-oven", "expected": "OR/dissolution"}


def ticking() -> Callable[[], datetime]:
    """A clock that moves one second at each look."""
    now = datetime(2026, 11, 20, 17, 0, tzinfo=UTC)

    def clock() -> datetime:
        nonlocal now
        now += timedelta(seconds=1)
        return now

    return clock


def opened(folder: Path, passphrase: bytes = PASSPHRASE, *, patience: float = 10.0) -> Vault:
    return open_vault(folder, passphrase, who="pat", clock=ticking(), patience=patience)


def made(folder: Path) -> Path:
    """A new vault with one entity and nothing else."""
    create_vault(folder, PASSPHRASE, who="pat", clock=ticking(), cost=CHEAP)
    with opened(folder) as vault:
        vault.put_entity(ENTITY)
    return folder


def reading(ein: str = "07-4418230") -> Reading:
    found = {
        "kind": Value("dissolution", 0.97, page=1, box=Box(0.1, 0.1, 0.5, 0.2), raw="Articles of Dissolution"),
        "ein": Value(ein, 0.5, review=True, page=1, method="ocr"),
        "stamped": Value(True, 0.99, page=1, box=Box(0.6, 0.1, 0.9, 0.2), method="stamp:chroma"),
    }
    values = {name: found.get(name, ABSENT) for name in FIELDS}
    return Reading(pages=(PageView(1, 90, -0.4, TEXT, "ocr"),), values=values, engine="an engine")


def file(vault: Vault, data: bytes | BinaryIO, *, name: str = "scan.pdf") -> Paper:
    """File `data` as a dissolution of the entity."""
    return vault.file_paper(
        data,
        name=name,
        media_type="application/pdf",
        pages=1,
        standing=Standing.FILED,
        entity=ENTITY.slug,
        expected="OR/dissolution",
        reading=reading(),
    )


def files_of(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())
