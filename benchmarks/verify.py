"""How long a firm-wide verdict takes: python -m benchmarks.verify [ENTITIES ...] [--keep FOLDER].

Generated companies, six registrations and thirty papers each, in a real vault; readings of the size that real ones
have. Sealed files are left out: a verdict never opens one. For each number of companies: the first verdict on all of
them, the same again, and once more after one new paper; and the installed command, from its start to its last line.
"""

import argparse
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from sqlalchemy import Table

from quietus.closing.firm import overview
from quietus.closing.office import Office, found_office, open_office
from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import ExpectedPaper
from quietus.model.facts import facts_text
from quietus.model.paper import Paper, Standing
from quietus.model.reading import FIELDS, Box, PageView, Reading, Value
from quietus.rules import Packs, expected_papers
from quietus.vault import catalog, facts
from quietus.vault.codecs import moment, reading_text

PASSPHRASE = b"for measuring only"
TODAY = date(2026, 11, 20)
PAPERS = 30
FOREIGN = 5
LINE = "The undersigned, being all of the members of the company, state that the company has been wound up. "
TEXT = LINE * 15
"""About what a page of print holds."""

Rows = list[dict[str, object]]


def main(words: Sequence[str]) -> None:
    """Measure for each number of entities given; 1,000, 3,000 and 10,000 when none is."""
    parser = argparse.ArgumentParser(prog="benchmarks verify", description=__doc__)
    parser.add_argument("entities", nargs="*", type=int, default=[1000, 3000, 10000])
    parser.add_argument("--keep", type=Path, help="make the offices in this new folder, and leave them there")
    asked = parser.parse_args(words)
    _say("seconds; entities, papers, filling | first, again, one new paper | command first, again, one new paper")
    for number in asked.entities:
        with _folder(asked.keep) as folder:
            _say(_line(number, folder / f"office-{number}"))


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


@contextmanager
def _folder(keep: Path | None) -> Iterator[Path]:
    if keep:
        yield keep
        return
    with tempfile.TemporaryDirectory() as made:
        yield Path(made)


def _line(number: int, home: Path) -> str:
    found_office(home, PASSPHRASE)
    with open_office(home, PASSPHRASE) as office:
        filling = _timed(lambda: fill(office, number))
    times = []
    with open_office(home, PASSPHRASE) as office:
        for _ in range(2):
            times.append(_timed(lambda: overview(office, TODAY)))
        add_paper(office, number // 2)
        times.append(_timed(lambda: overview(office, TODAY)))
    commands = [_command(home, TODAY + timedelta(days=1)) for _ in range(2)]
    with open_office(home, PASSPHRASE) as office:
        add_paper(office, number // 3)
    commands.append(_command(home, TODAY + timedelta(days=1)))
    shown = [f"{number:6,} {number * PAPERS:8,} {filling:6.1f}"]
    shown += [" ".join(f"{seconds:6.2f}" for seconds in part) for part in (times, commands)]
    return " | ".join(shown)


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def _command(home: Path, asof: date) -> float:
    """Seconds that the installed command takes."""
    environment = {**os.environ, "QUIETUS_HOME": str(home), "QUIETUS_PASSPHRASE": PASSPHRASE.decode()}
    command = [str(Path(sys.executable).with_name("quietus")), "verify", "--asof", asof.isoformat()]
    start = time.perf_counter()
    done = subprocess.run(  # noqa: S603 - our own command
        command, env=environment, capture_output=True, check=False
    )
    if done.returncode not in (0, 1):
        sys.exit(done.stderr.decode())
    return time.perf_counter() - start


def fill(office: Office, number: int) -> None:
    """Put companies and their papers into an office, the same ones each time, many rows at a time."""
    chance = random.Random(number)  # noqa: S311 - the same companies each time, nothing secret
    packs = office.packs()
    store = office.vault.store
    for start in range(0, number, 250):
        with store.changing() as connection:
            for index in range(start, min(start + 250, number)):
                entity = company(index, packs, chance)
                office.vault.put_entity(entity)
                papers = tuple(papers_of(entity, packs, chance))
                for table, made in _rows_of(papers).items():
                    connection.execute(table.insert(), made)
                store.write("papers-filed", entity.slug, {"papers": [paper.id for paper in papers]})


def _rows_of(papers: Sequence[Paper]) -> dict[Table, Rows]:
    """What filing the papers puts into the catalog, but for the journal."""
    filed: Rows = [
        {
            "id": paper.id, "sha256": paper.sha256, "name": paper.name, "media_type": paper.media_type,
            "size": paper.size, "pages": paper.pages, "received": moment(paper.received),
            "standing": paper.standing.value, "entity": paper.entity, "expected": paper.expected, "newest": 1,
        }
        for paper in papers
    ]  # fmt: skip
    seen: Rows = [
        {
            "entity": paper.entity, "paper": paper.id, "standing": paper.standing.value, "expected": paper.expected,
            "received": moment(paper.received), "body": facts_text(paper.reading),
        }
        for paper in papers
    ]  # fmt: skip
    read: Rows = [
        {"paper": p.id, "number": 1, "at": moment(p.received), "who": "measure", "body": reading_text(p.reading)}
        for p in papers
    ]
    keys: Rows = [{"paper": paper.id, "wrapped": b"\0" * 40} for paper in papers]
    return {catalog.papers: filed, facts.facts: seen, catalog.readings: read, catalog.data_keys: keys}


def add_paper(office: Office, index: int) -> None:
    """File one more paper for one company, sealed and journaled as ever."""
    packs = office.packs()
    entity = office.vault.entities()[index]
    expected = expected_papers(entity, packs)[0]
    office.vault.file_paper(
        os.urandom(2000), name="one-more.pdf", media_type="application/pdf", pages=1, standing=Standing.FILED,
        entity=entity.slug, expected=expected.key, reading=_reading(entity, expected, TODAY),
    )  # fmt: skip


def company(index: int, packs: Packs, chance: random.Random) -> Entity:
    """One company, formed in one jurisdiction and registered in five others."""
    codes = chance.sample([code for code in packs.codes if len(code) == 2 and code != "US"], FOREIGN + 1)
    return Entity(
        slug=f"company-{index:05}",
        name=f"Company Number {index:05} Holdings LLC",
        ein=f"00-{index:07}",
        tax_class=chance.choice(list(TaxClass)),
        home=codes[0],
        registrations=tuple(
            Registration(
                code, str(chance.randrange(10**8, 10**9)), date(2012, 1, 1) + timedelta(chance.randrange(3000))
            )
            for code in codes
        ),
        formed=date(2011, 3, 1),
        closed=date(2026, 1, 31) + timedelta(chance.randrange(200)),
        members=("A", "B"),
        employees=chance.random() < 0.3,
    )


def papers_of(entity: Entity, packs: Packs, chance: random.Random) -> Iterator[Paper]:
    """Thirty papers: most of what is expected, some of it twice, some of it faulty."""
    expected = expected_papers(entity, packs)
    for count in range(PAPERS):
        wanted = chance.choice(expected) if count >= len(expected) or chance.random() < 0.05 else expected[count]
        day = (entity.closed or TODAY) + timedelta(chance.randrange(5, 60))
        yield Paper(
            id=f"{chance.getrandbits(128):032x}",
            sha256=f"{chance.getrandbits(256):064x}",
            name=f"scan-{count}.pdf",
            media_type="application/pdf",
            size=200_000,
            pages=2,
            received=datetime(2026, 11, 1, tzinfo=UTC) + timedelta(seconds=chance.randrange(10**6)),
            standing=Standing.FILED,
            entity=entity.slug,
            expected=wanted.key,
            reading=_reading(entity, wanted, day),
        )


def _reading(entity: Entity, expected: ExpectedPaper, day: date) -> Reading:
    registration = entity.registration(expected.scope)
    read: dict[str, str | bool] = {
        "kind": expected.kind.value,
        "jurisdiction": expected.scope,
        "entity_name": entity.name.upper(),
        "ein": entity.ein,
        "signed_date": day.isoformat(),
        "authority": "plain copy",
    }
    if expected.office_mark:
        number = registration.file_number if registration else ""
        read |= {"stamped": True, "filing_date": day.isoformat(), "file_number": number, "authority": "office-stamped"}
    if expected.final_box:
        read |= {"final_box": True, "period_end": (entity.closed or day).isoformat()}
        read |= {"form": expected.forms[0]} if expected.forms else {}
    box = Box(0.1, 0.2, 0.4, 0.25)
    values = {
        name: Value(read[name], 0.97, page=1, box=box, raw=str(read[name]), method="ocr") if name in read
        else Value(None, 1.0, method="absent")
        for name in FIELDS
    }  # fmt: skip
    return Reading((PageView(1, 0, 0.0, TEXT, "ocr"), PageView(2, 0, 0.0, TEXT, "ocr")), values, "measured")


if __name__ == "__main__":
    main(sys.argv[1:])
