"""Kill the work at every call that reaches the disk, and at moments that nobody chose; then look what is left."""

import os
import random
import shutil
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from quietus.closing.approval import approvals
from quietus.closing.disposal import certificates
from quietus.closing.intake import take_in
from quietus.closing.office import Office, found_office, open_office
from quietus.closing.parts import counting
from quietus.closing.review import assign, correct, questions, reject
from quietus.model.errors import Misuse
from quietus.model.paper import Standing
from quietus.vault import back_up, check_vault, copies, create_vault, fetch_copy, place_at, verify_copy
from tests.closing.retained import PASSPHRASE as OFFICE_PASSPHRASE
from tests.closing.retained import Clock, made_office
from tests.closing.test_disposal_crash import disposing, prepared, wrong_after_kill
from tests.closing.test_parts import BATCH
from tests.conftest import SCANS
from tests.vault.day import a_day, again, calls_of, survived
from tests.vault.faults import Faults, die, in_child
from tests.vault.make import CHEAP, ENTITY, PASSPHRASE, file, opened, ticking

Tell = Callable[[str], None]
HOW = dict.fromkeys(("fsync", "rename", "unlink", "commit"), ("before",)) | {"write": ("before", "torn")}
"""A kill after one call leaves what a kill before the next one does."""


@dataclass(slots=True)
class Tally:
    """What came of the kills of one kind of work."""

    kills: int = 0
    wrong: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Work:
    """Something to be killed.

    Attributes:
        prepare: makes the ground in an empty folder.
        run: does the work there, telling each step when done.
        look: what is wrong there after a kill, given the steps told.
        finish: takes the work up again and completes it, or raises.
    """

    prepare: Callable[[Path], None]
    run: Callable[[Path, Tell], None]
    look: Callable[[Path, list[str]], Iterator[str]]
    finish: Callable[[Path], None]


def at_every_call(work: Work, room: Path, ground: Path) -> Tally:
    """Kill the work once at each of its calls."""
    tally, patch = Tally(), pytest.MonkeyPatch()
    rehearsal = room / "rehearsal"
    shutil.copytree(ground, rehearsal)
    calls = calls_of(lambda: work.run(rehearsal, lambda _: None), patch)
    shutil.rmtree(rehearsal)
    for at, call in enumerate(calls, start=1):
        for how in HOW[call]:

            def kill(folder: Path, at: int = at, how: str = how) -> tuple[list[str], int]:
                return in_child(lambda tell: _struck(work, folder, tell, Faults(at, how, die)))

            _trial(work, room, ground, tally, f"{how} call {at} ({call})", kill)
    return tally


def at_random(work: Work, room: Path, ground: Path, number: int, seed: int) -> Tally:
    """Kill the work at random moments of its run."""
    tally, chance = Tally(), random.Random(seed)
    rehearsal = room / "rehearsal"
    shutil.copytree(ground, rehearsal)
    begun = time.monotonic()
    in_child(lambda tell: work.run(rehearsal, tell))
    lasts = time.monotonic() - begun
    shutil.rmtree(rehearsal)
    for count in range(number):
        seconds = chance.random() * lasts

        def kill(folder: Path, seconds: float = seconds) -> tuple[list[str], int]:
            return _killed_after(work, folder, seconds)

        _trial(work, room, ground, tally, f"random kill {count}", kill)
    return tally


def _struck(work: Work, folder: Path, tell: Tell, faults: Faults) -> None:
    faults.plant(setattr)
    work.run(folder, tell)


def _trial(
    work: Work, room: Path, ground: Path, tally: Tally, name: str, kill: Callable[[Path], tuple[list[str], int]]
) -> None:
    trial = room / "trial"
    shutil.copytree(ground, trial)
    try:
        done, status = kill(trial)
        if status != -signal.SIGKILL:
            return  # it was through before the kill came
        tally.kills += 1
        wrong = list(work.look(trial, done))
        work.finish(trial)
        tally.wrong += [f"{name}: {what}" for what in wrong]
    except Exception as error:  # noqa: BLE001 - whatever goes wrong in a trial is a finding of it
        tally.wrong.append(f"{name}: {type(error).__name__}: {error}")
    finally:
        shutil.rmtree(trial)


def _killed_after(work: Work, folder: Path, seconds: float) -> tuple[list[str], int]:
    told, tell = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(told)
            work.run(folder, lambda word: (os.write(tell, f"{word}\n".encode()), None)[1])
        finally:
            os._exit(0)
    os.close(tell)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    with os.fdopen(told) as pipe:
        words = [line.strip() for line in pipe if line.endswith("\n")]
    return words, os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


# --- a day at the vault: filing, reading again, waivers, locks, destroying, check, a new root key -----------------


def _new_vault(folder: Path) -> None:
    create_vault(folder / "vault", PASSPHRASE, who="pat", clock=ticking(), cost=CHEAP)
    with opened(folder / "vault") as vault:
        vault.put_entity(ENTITY)


DAY = Work(
    prepare=_new_vault,
    run=lambda folder, tell: a_day(folder / "vault", tell),
    look=lambda folder, done: survived(folder / "vault", done),
    finish=lambda folder: again(folder / "vault"),
)


# --- making a vault -----------------------------------------------------------------------------------------------


def _make(folder: Path, tell: Tell) -> None:
    create_vault(folder / "vault", PASSPHRASE, who="pat", clock=ticking(), cost=CHEAP)
    tell("made")


def _made(folder: Path, done: list[str]) -> Iterator[str]:
    if "made" in done and not (folder / "vault").exists():
        yield "lost"


def _make_again(folder: Path) -> None:
    if not (folder / "vault").exists():
        _make(folder, lambda _: None)
    with opened(folder / "vault") as vault:
        assert check_vault(vault).sound


MAKING = Work(prepare=lambda folder: folder.mkdir(exist_ok=True), run=_make, look=_made, finish=_make_again)


# --- backup and restore -------------------------------------------------------------------------------------------

LARGE = random.Random(4).randbytes(5 * 1024 * 1024)


def _backed_up_once(folder: Path) -> None:
    _new_vault(folder)
    with opened(folder / "vault") as vault:
        file(vault, LARGE)
        back_up(vault, place_at(str(folder / "backup")))
        file(vault, b"later")
        vault.destroy_paper(file(vault, b"gone").id, "test")


def _backup(folder: Path, tell: Tell) -> None:
    place = place_at(str(folder / "backup"))
    with opened(folder / "vault") as vault:
        tell(back_up(vault, place).copy.name)
    fetch_copy(place, copies(place)[-1], folder / "again")
    tell("restored")


def _backups_whole(folder: Path, done: list[str]) -> Iterator[str]:
    place = place_at(str(folder / "backup"))
    names = copies(place)
    yield from (f"lost: {name}" for name in done if name != "restored" and name not in names)
    for name in names:
        yield from (f"{name} {file}: {what}" for file, what in verify_copy(place, name))
    if "restored" in done and not (folder / "again").exists():
        yield "lost: restored"
    with opened(folder / "vault") as vault:
        yield from (problem.what for problem in check_vault(vault).problems)
        yield from ("unfinished" for path in (folder / "vault").iterdir() if path.name.startswith(".new"))


def _backup_again(folder: Path) -> None:
    if (folder / "again").exists():
        with opened(folder / "again") as vault:
            assert check_vault(vault).sound
        shutil.rmtree(folder / "again")
    _backup(folder, lambda _: None)
    assert list(_backups_whole(folder, [])) == []
    with opened(folder / "again") as vault:
        assert check_vault(vault).sound
        assert (len(vault.papers()), len(vault.stubs())) == (2, 1)


BACKUP = Work(prepare=_backed_up_once, run=_backup, look=_backups_whole, finish=_backup_again)


# --- the inbox, and review ----------------------------------------------------------------------------------------

SCAN = SCANS / "a03-co-statement-of-foreign-entity-withdrawal.pdf"


def _office(folder: Path) -> Office:
    return open_office(folder / "office", PASSPHRASE)


def _with_inbox(folder: Path) -> None:
    found_office(folder / "office", PASSPHRASE)
    with _office(folder) as office:
        office.vault.put_entity(ENTITY)
    inbox = folder / "office" / "inbox"
    for name in ("first.pdf", "the same again.pdf"):
        shutil.copy(SCAN, inbox / name)
    (inbox / "no scan.pdf").write_bytes(b"just text")
    past = time.time() - 3600
    for path in inbox.iterdir():
        if path.is_file():
            os.utime(path, (past, past))


def _ingest(folder: Path, tell: Tell) -> None:
    with _office(folder) as office:
        take_in(office, report=lambda outcome: tell(outcome.name.split()[0]))


def _inbox_whole(folder: Path, done: list[str]) -> Iterator[str]:
    inbox, scan = folder / "office" / "inbox", SCAN.read_bytes()
    with _office(folder) as office:
        papers = office.vault.papers()
        if len(papers) > 1:
            yield "doubled"
        held = [office.vault.paper_bytes(paper.id, "test") for paper in papers]
        waiting = [path.read_bytes() for path in inbox.rglob("*.pdf") if path.is_file()]
        if scan not in held + waiting:
            yield "lost: the scan"
        if b"just text" not in waiting:
            yield "lost: what was no scan"
        if done and "first.pdf" in done and not held:
            yield "lost: what was told"
        yield from (problem.what for problem in check_vault(office.vault).problems)


def _ingest_again(folder: Path) -> None:
    _ingest(folder, lambda _: None)
    assert list(_inbox_whole(folder, [])) == []
    with _office(folder) as office:
        assert len(office.vault.papers()) == 1
    assert sorted(p.name for p in (folder / "office" / "inbox").glob("*.pdf")) == []


INGEST = Work(prepare=_with_inbox, run=_ingest, look=_inbox_whole, finish=_ingest_again)


def _with_batch(folder: Path) -> None:
    found_office(folder / "office", PASSPHRASE)
    with _office(folder) as office:
        office.vault.put_entity(ENTITY)
    batch = folder / "office" / "inbox" / "batch.pdf"
    batch.write_bytes(BATCH)
    past = time.time() - 3600
    os.utime(batch, (past, past))


def _batch_whole(folder: Path, done: list[str]) -> Iterator[str]:
    """The file with every paper in it is in the vault, or it waits in the inbox and nothing is in the vault."""
    with _office(folder) as office:
        papers = office.vault.papers()
        if len(papers) not in {0, 3}:
            yield f"{len(papers)} papers of a batch of two"
        received = [paper for paper in papers if paper.standing is Standing.REPLACED]
        held = [office.vault.paper_bytes(paper.id, "test") for paper in received]
        waiting = [path.read_bytes() for path in (folder / "office" / "inbox").glob("*.pdf")]
        if BATCH not in held + waiting:
            yield "lost: the batch"
        if done and not papers:
            yield "lost: what was told"
        if any(len(counting(office, paper)) != 2 for paper in received):
            yield "a batch without its papers"
        yield from (problem.what for problem in check_vault(office.vault).problems)


def _batch_again(folder: Path) -> None:
    _ingest(folder, lambda _: None)
    assert list(_batch_whole(folder, ["batch.pdf"])) == []
    assert not list((folder / "office" / "inbox").glob("*.pdf"))


BATCHES = Work(prepare=_with_batch, run=_ingest, look=_batch_whole, finish=_batch_again)


def _to_review(folder: Path) -> None:
    found_office(folder / "office", PASSPHRASE)
    with _office(folder) as office:
        office.vault.put_entity(ENTITY)
        for number in range(3):
            file(office.vault, b"paper %d" % number)


def _review(folder: Path, tell: Tell) -> None:
    with _office(folder) as office:
        first, second, third = office.vault.papers()
        correct(office, first.id, {"ein": ENTITY.ein})
        tell("corrected")
        assign(office, second.id, ENTITY.slug, "WA/withdrawal")
        tell("assigned")
        reject(office, third.id, "not ours")
        tell("rejected")


def _reviewed(folder: Path, done: list[str]) -> Iterator[str]:
    with _office(folder) as office:
        readings = [office.vault.readings(paper.id) for paper in office.vault.papers()]
        if len(readings) != 3:
            yield "papers lost or doubled"
        for step, found in zip(("corrected", "assigned", "rejected"), readings, strict=True):
            if step in done and len(found) < 2:
                yield f"lost: {step}"
            if found[0][2]["ein"].value != ENTITY.ein or not found[0][2]["ein"].review:
                yield "the first reading was changed"
        questions(office)
        yield from (problem.what for problem in check_vault(office.vault).problems)


def _review_again(folder: Path) -> None:
    with suppress(Misuse):  # what was rejected cannot be corrected again
        _review(folder, lambda _: None)
    assert list(_reviewed(folder, [])) == []


REVIEW = Work(prepare=_to_review, run=_review, look=_reviewed, finish=_review_again)

# --- disposal -----------------------------------------------------------------------------------------------------


def _approved(folder: Path) -> None:
    with made_office(folder / "office", Clock()):
        pass
    prepared(folder / "office")


def _dispose(folder: Path, tell: Tell) -> None:
    disposing(folder / "office")
    tell("disposed")


def _disposed(folder: Path, done: list[str]) -> Iterator[str]:
    with open_office(folder / "office", OFFICE_PASSPHRASE, clock=Clock()) as office:
        gone = [item.paper for approval in approvals(office.vault) for item in approval.items]
        yield from wrong_after_kill(office, gone)
        if done and len(certificates(office.vault)) != len(gone):
            yield "lost: a certificate that was told"
        yield from (problem.what for problem in check_vault(office.vault).problems)


def _dispose_again(folder: Path) -> None:
    _dispose(folder, lambda _: None)
    assert list(_disposed(folder, ["disposed"])) == []
    with open_office(folder / "office", OFFICE_PASSPHRASE, clock=Clock()) as office:
        assert len(office.vault.papers()) == 1
        told = [e.about for e in office.vault.journal() if e.action == "destruction-certified"]
        assert len(told) == len(set(told)) == 2


DISPOSAL = Work(prepare=_approved, run=_dispose, look=_disposed, finish=_dispose_again)

WORKS: dict[str, Work] = {"make": MAKING, "day": DAY, "backup": BACKUP, "review": REVIEW, "ingest": INGEST,
                          "batch": BATCHES, "dispose": DISPOSAL}  # fmt: skip
