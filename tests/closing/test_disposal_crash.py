"""A disposal killed at any write, fsync, unlink or commit: never said to be done before it is, and finished later."""

import shutil
import signal
from collections.abc import Callable
from pathlib import Path

import pytest

from quietus.closing.approval import approve
from quietus.closing.disposal import certificates, dispose, resume
from quietus.closing.office import Office, open_office
from quietus.vault import check_vault
from tests.closing.quick import clock, office_pattern, quick_locks, tmp_path
from tests.closing.retained import PASSPHRASE, Clock, file
from tests.vault.day import calls_of
from tests.vault.faults import Faults, die, in_child

__all__ = ["clock", "office_pattern", "quick_locks", "tmp_path"]

EVERY = 3
"""One in so many points is tried."""


def prepared(home: Path) -> list[str]:
    """Two approved papers, and one that stays."""
    with open_office(home, PASSPHRASE, clock=Clock()) as office:
        gone = [file(office, data).id for data in (b"first to go", b"second to go")]
        file(office, b"stays", signed="2026-03-01")
        approve(office, gone, "the time is over")
    return gone


def disposing(home: Path) -> None:
    with open_office(home, PASSPHRASE, clock=Clock()) as office:
        dispose(office)


def wrong_after_kill(office: Office, gone: list[str]) -> list[str]:
    """What is said to be done that is not."""
    wrong = []
    live, unfinished = {paper.id for paper in office.vault.papers()}, set(office.vault.unfinished())
    said = {e.about for e in office.vault.journal() if e.action in {"paper-destroyed", "destruction-certified"}}
    certified = {certificate.paper for certificate in certificates(office.vault)}
    objects = set(office.vault.store.objects.ids())
    for paper in gone:
        done = paper not in live and paper not in unfinished and paper not in objects
        if paper in said | certified and not done:
            wrong.append("said to be done, and is not")
        if paper in live and office.vault.paper_bytes(paper, "test") not in {b"first to go", b"second to go"}:
            wrong.append("half destroyed")
    return wrong


def test_a_kill_at_any_call(office_pattern: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ground = tmp_path / "ground"
    shutil.copytree(office_pattern, ground)
    gone = prepared(ground)
    rehearsal = tmp_path / "rehearsal"
    shutil.copytree(ground, rehearsal)
    calls = calls_of(lambda: disposing(rehearsal), monkeypatch)
    assert calls.count("unlink") >= 2
    assert calls.count("commit") >= 5
    for at in range(1, len(calls) + 1, EVERY):
        trial = tmp_path / f"trial-{at}"
        shutil.copytree(ground, trial)

        def work(_: Callable[[str], None], at: int = at, trial: Path = trial) -> None:
            Faults(at, "before", die).plant(setattr)
            disposing(trial)

        assert in_child(work)[1] == -signal.SIGKILL
        with open_office(trial, PASSPHRASE, clock=Clock()) as office:
            assert wrong_after_kill(office, gone) == [], f"call {at}, {calls[at - 1]}"
            if at % (2 * EVERY) == 1:
                assert check_vault(office.vault).sound
                resume(office)
            dispose(office)
            assert check_vault(office.vault).sound
            assert sorted(one.paper for one in certificates(office.vault)) == sorted(gone)
            told = [e.about for e in office.vault.journal() if e.action == "destruction-certified"]
            assert sorted(told) == sorted(gone), "certified once each"
            assert len(office.vault.papers()) == 1
        shutil.rmtree(trial)
