"""From the inbox into the vault: what is handled, what waits, what goes aside; nothing is lost."""

import os
import shutil
import struct
import threading
import time
import zlib
from pathlib import Path

import pikepdf
import pytest

from quietus.closing.intake import QUARANTINE, Fate, Outcome, keep_taking_in, take_in
from quietus.closing.office import Office
from quietus.closing.register import keep_entities, read_register
from quietus.model.errors import MachineFault
from quietus.model.paper import Standing
from tests.conftest import ROOT, SCANS

GOOD = SCANS / "a03-co-statement-of-foreign-entity-withdrawal.pdf"


def put(office: Office, name: str, data: bytes, *, age: float = 120.0) -> Path:
    """A file in the inbox that was last written `age` seconds ago."""
    file = office.config.inbox / name
    file.write_bytes(data)
    then = time.time() - age
    os.utime(file, (then, then))
    return file


def register(office: Office) -> None:
    keep_entities(office.vault, read_register(ROOT / "sample_docs" / "entities.toml", 100_000))


def giant_png(side: int) -> bytes:
    """The head of a PNG that claims side x side pixels."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )


def locked_pdf(folder: Path) -> bytes:
    file = folder / "locked.pdf"
    with pikepdf.Pdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(file, encryption=pikepdf.Encryption(user="secret", owner="owner"))
    return file.read_bytes()


def by_name(outcomes: tuple[Outcome, ...]) -> dict[str, Outcome]:
    return {outcome.name: outcome for outcome in outcomes}


def test_a_paper_is_filed_and_leaves_the_inbox(office: Office) -> None:
    register(office)
    file = put(office, "co.pdf", GOOD.read_bytes())
    (outcome,) = take_in(office)
    (paper,) = outcome.papers
    assert outcome.fate is Fate.FILED
    assert (paper.entity, paper.expected, paper.standing) == ("brindlewick-oven", "CO/withdrawal", Standing.FILED)
    assert not file.exists()
    assert office.vault.paper_bytes(paper.id, "test") == GOOD.read_bytes()


def test_the_same_bytes_again_are_seen_as_a_repeat(office: Office) -> None:
    put(office, "first.pdf", GOOD.read_bytes())
    put(office, "second.pdf", GOOD.read_bytes())
    outcomes = by_name(take_in(office))
    assert outcomes["first.pdf"].fate is Fate.FILED
    assert outcomes["second.pdf"].fate is Fate.REPEAT
    put(office, "third.pdf", GOOD.read_bytes())
    (third,) = take_in(office)
    assert third.fate is Fate.REPEAT
    assert len(office.vault.papers()) == 1
    assert list(office.config.inbox.glob("*.pdf")) == []


@pytest.mark.ocr
def test_bad_files_go_aside_with_a_reason_and_the_rest_is_still_filed(office: Office, tmp_path: Path) -> None:
    good = GOOD.read_bytes()
    put(office, "00-empty.pdf", b"")
    put(office, "01-cut.pdf", good[: len(good) // 2])
    put(office, "02-locked.pdf", locked_pdf(tmp_path))
    put(office, "03-giant.png", giant_png(40_000))
    put(office, "04-text.pdf", b"Dear sir, this is no scan at all.\n" * 50)
    outside = tmp_path / "outside.pdf"
    outside.write_bytes(good)
    (office.config.inbox / "05-link.pdf").symlink_to(outside)
    os.mkfifo(office.config.inbox / "06-pipe.pdf")
    (office.config.inbox / "07-folder").mkdir()
    put(office, "99-good.pdf", good)
    outcomes = by_name(take_in(office))
    assert outcomes["99-good.pdf"].fate is Fate.FILED
    bad = {name: outcome for name, outcome in outcomes.items() if name != "99-good.pdf"}
    assert len(bad) == 8
    assert {outcome.fate for outcome in bad.values()} == {Fate.QUARANTINED}
    aside = office.config.inbox / QUARANTINE
    for name, outcome in bad.items():
        assert outcome.reason
        assert os.path.lexists(aside / name)
        assert (aside / f"{name}.reason.json").stat().st_size > 0
    assert outside.read_bytes() == good
    reasons = {name: outcome.reason.split(":")[0] for name, outcome in bad.items()}
    assert reasons["00-empty.pdf"] == "empty"
    assert reasons["02-locked.pdf"] == "password-needed"
    assert reasons["03-giant.png"] == "too-many-pixels"
    assert reasons["05-link.pdf"] == "a-link"


def test_quarantine_never_writes_over_another_file(office: Office) -> None:
    for number in range(2):
        put(office, "bad.pdf", f"text {number}".encode())
        take_in(office)
    kept = sorted(p.name for p in (office.config.inbox / QUARANTINE).glob("*.pdf"))
    assert kept == ["1-bad.pdf", "bad.pdf"]


def test_a_file_still_being_written_waits_in_the_inbox(office: Office) -> None:
    file = put(office, "slow.pdf", b"%PDF-1.7\n", age=0)
    stop = threading.Event()

    def writer() -> None:
        while not stop.wait(0.2):
            with file.open("ab") as growing:
                growing.write(b"% more\n")

    thread = threading.Thread(target=writer)
    thread.start()
    try:
        put(office, "part.pdf.part", GOOD.read_bytes())
        outcomes = by_name(take_in(office))
    finally:
        stop.set()
        thread.join()
    assert outcomes["slow.pdf"].fate is Fate.WAITING
    assert outcomes["part.pdf.part"].fate is Fate.WAITING
    assert file.exists()


@pytest.mark.ocr
def test_a_new_file_cut_short_waits_for_its_rest(office: Office) -> None:
    good = GOOD.read_bytes()
    file = put(office, "cut.pdf", good[: len(good) // 2], age=5)
    (outcome,) = take_in(office)
    assert outcome.fate is Fate.WAITING
    file.write_bytes(good)
    (outcome,) = take_in(office)
    assert outcome.fate is Fate.FILED


def test_an_unreadable_inbox_is_the_machines_fault(office: Office) -> None:
    shutil.rmtree(office.config.inbox)
    with pytest.raises(MachineFault, match="inbox"):
        take_in(office)


def test_watching_takes_in_what_arrives(office: Office) -> None:
    stop = threading.Event()
    seen: list[Outcome] = []
    source = GOOD.read_bytes()

    def arrive() -> None:
        time.sleep(0.5)
        put(office, "late.pdf", source)

    def report(outcome: Outcome) -> None:
        seen.append(outcome)
        stop.set()

    threading.Thread(target=arrive).start()
    threading.Timer(60, stop.set).start()
    keep_taking_in(office, report, stop)
    assert [outcome.fate for outcome in seen] == [Fate.FILED]


def test_watching_tells_once_of_a_file_that_waits(office: Office) -> None:
    put(office, "part.pdf.part", GOOD.read_bytes())
    stop = threading.Event()
    seen: list[Outcome] = []
    threading.Timer(5, stop.set).start()
    keep_taking_in(office, seen.append, stop)
    assert [outcome.fate for outcome in seen] == [Fate.WAITING]
