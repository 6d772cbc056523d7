"""After a crash at any point nothing is lost, nothing is doubled, and `check` finds nothing wrong."""

import os
import random
import resource
import shutil
import signal
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import NoReturn

import pytest

from quietus.model.errors import Damaged, MachineFault
from quietus.vault import check_vault, create_vault
from tests.vault.day import STEPS, a_day, again, calls_of, survived
from tests.vault.faults import Faults, die, disk_full, in_child, input_output
from tests.vault.make import CHEAP, PASSPHRASE, file, opened, ticking

EVERY = 9
"""One in so many points is tried here; tests/soak tries all of them."""


# A kill after one call leaves what a kill before the next one does, so "after" is not tried here.
@pytest.mark.parametrize("how", ["before", "torn"])
def test_a_kill_at_a_write_sync_rename_or_commit(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    rehearsal, trial = tmp_path / "rehearsal", tmp_path / "trial"
    shutil.copytree(folder, rehearsal)
    calls = calls_of(lambda: a_day(rehearsal, lambda _: None), monkeypatch)
    assert {"write", "fsync", "rename", "unlink", "commit"} == set(calls)
    points = [at for at, call in enumerate(calls, start=1) if how != "torn" or call == "write"][::EVERY]
    for at in points:
        shutil.copytree(folder, trial)

        def work(tell: Callable[[str], None], at: int = at) -> None:
            Faults(at, how, die).plant(setattr)
            a_day(trial, tell)

        done, status = in_child(work)
        assert status == -signal.SIGKILL
        assert list(survived(trial, done)) == [], f"{how} call {at}, {calls[at - 1]}"
        again(trial)
        shutil.rmtree(trial)


@pytest.mark.parametrize(("how", "fault"), [("before", disk_full), ("torn", disk_full), ("after", input_output)])
def test_an_error_of_the_machine_at_a_call_that_writes(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: str, fault: Callable[[], NoReturn]
) -> None:
    rehearsal, trial = tmp_path / "rehearsal", tmp_path / "trial"
    shutil.copytree(folder, rehearsal)
    calls = calls_of(lambda: a_day(rehearsal, lambda _: None), monkeypatch)
    points = [at for at, call in enumerate(calls, start=1) if how != "torn" or call == "write"][::EVERY]
    for at in points:
        shutil.copytree(folder, trial)
        done: list[str] = []
        with monkeypatch.context() as planted:
            Faults(at, how, fault).plant(planted.setattr)
            with suppress(MachineFault), opened(trial) as vault:
                for name, step in STEPS.items():
                    step(vault)
                    done.append(name)
        assert list(survived(trial, done)) == [], f"{how} call {at}, {calls[at - 1]}"
        again(trial)
        shutil.rmtree(trial)


def test_an_open_vault_goes_on_after_an_error_of_the_machine(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with opened(folder) as vault:
        for at in range(1, 9):
            with monkeypatch.context() as planted:
                Faults(at, "before", disk_full).plant(planted.setattr)
                with suppress(MachineFault):
                    file(vault, b"%d" % at)
        assert check_vault(vault).sound
        file(vault, b"and on")
        assert check_vault(vault).sound


def test_a_disk_that_takes_no_more_stops_the_work_and_spoils_nothing(folder: Path) -> None:
    def fill(tell: Callable[[str], None]) -> None:
        with opened(folder) as vault:
            resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, resource.RLIM_INFINITY))
            with suppress(MachineFault):
                for count in range(1000):
                    tell(file(vault, b"%d" % count).id)
                tell("never full")
            with suppress(MachineFault):
                file(vault, bytes(500_000))
                tell("sealed too much")
            resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
            assert check_vault(vault).sound
            tell(file(vault, b"and on").id)

    told, status = in_child(fill)
    assert status == 0
    assert 2 < len(told) < 1000
    with opened(folder) as vault:
        assert check_vault(vault).sound
        assert set(told) <= {paper.id for paper in vault.papers()}


@pytest.mark.parametrize("how", ["before", "after"])
def test_a_kill_while_a_vault_is_made_leaves_a_whole_vault_or_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    def make(folder: Path) -> None:
        create_vault(folder, PASSPHRASE, who="pat", clock=ticking(), cost=CHEAP)

    calls = calls_of(lambda: make(tmp_path / "rehearsal"), monkeypatch)
    for at in range(1, len(calls) + 1):
        folder = tmp_path / f"{at}" / "vault"

        def work(_: Callable[[str], None], at: int = at, folder: Path = folder) -> None:
            Faults(at, how, die).plant(setattr)
            make(folder)

        assert in_child(work)[1] == -signal.SIGKILL
        if not folder.exists():
            make(folder)
        with opened(folder) as vault:
            assert check_vault(vault).sound


def test_kills_at_moments_that_nobody_chose(folder: Path, tmp_path: Path) -> None:
    chance = random.Random(20261120)
    for number in range(6):
        before = time.monotonic()
        child = os.fork()
        if child == 0:
            try:
                with opened(folder) as vault:
                    for count in range(10**6):
                        file(vault, b"%d of %d" % (count, number))
            finally:
                os._exit(0)
        time.sleep(0.02 + chance.random() / 5)
        os.kill(child, signal.SIGKILL)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL, time.monotonic() - before
        with opened(folder) as vault:
            assert check_vault(vault).sound
            filed = [e.about for e in vault.journal() if e.action == "paper-filed"]
            assert sorted(filed) == sorted(p.id for p in vault.papers()) == list(vault.store.objects.ids())


def test_a_paper_is_durable_before_its_row_and_its_row_before_the_journal_file(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with opened(folder) as vault:
        calls = calls_of(lambda: file(vault, b"one"), monkeypatch)
    # The paper's folder is new; then the sealed file: its beginning, its one chunk, itself, its name; then the rest.
    assert calls == ["fsync", "write", "write", "fsync", "rename", "fsync", "commit", "write", "fsync"]


def test_a_damaged_write_ahead_log_never_passes_for_an_older_vault(folder: Path, tmp_path: Path) -> None:
    def work(tell: Callable[[str], None]) -> None:
        with opened(folder) as vault:
            for number in range(5):
                tell(file(vault, b"%d" % number).id)
            die()

    told, status = in_child(work)
    assert (len(told), status) == (5, -signal.SIGKILL)
    log = folder / "catalog.db-wal"
    data = log.read_bytes()
    assert len(data) > 50_000
    chance = random.Random(7)
    outcomes = set()
    for place in (0, 31, len(data) - 1, *chance.sample(range(len(data)), 60)):
        trial = tmp_path / "trial"
        shutil.copytree(folder, trial)
        changed = data[:place] + bytes([data[place] ^ 1 << chance.randrange(8)]) + data[place + 1 :]
        (trial / log.name).write_bytes(changed)
        try:
            with opened(trial) as vault:
                assert sorted(told) == sorted(p.id for p in vault.papers()), f"byte {place}"
                assert check_vault(vault).sound
                outcomes.add("whole")
        except Damaged:
            outcomes.add("damaged")
        shutil.rmtree(trial)
    assert "damaged" in outcomes
    log.unlink()
    with pytest.raises(Damaged):
        opened(folder)
