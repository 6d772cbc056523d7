"""Several threads and several processes may use one vault at once."""

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from quietus.model.errors import MachineFault, Misuse
from quietus.vault import check_vault
from tests.vault.faults import in_child
from tests.vault.make import WAIVER, file, opened

OPEN = """
import sys; from pathlib import Path; from quietus.model.errors import MachineFault; from tests.vault.make import opened
try:
    opened(Path(sys.argv[1]), patience=float(sys.argv[2])).close()
    print("opened")
except MachineFault as fault:
    print(fault.message)
"""


def open_elsewhere(folder: Path, patience: float) -> subprocess.Popen[str]:
    """Open the vault in a process that is no fork of this one, and say how it went."""
    command = [sys.executable, "-c", OPEN, str(folder), str(patience)]
    return subprocess.Popen(command, cwd=Path(__file__).parents[2], stdout=subprocess.PIPE, text=True)


def test_a_second_process_waits_its_turn(folder: Path) -> None:
    with opened(folder) as vault:
        with vault.transaction():
            second = open_elsewhere(folder, 30)
            time.sleep(1.5)
            assert second.poll() is None
        said, _ = second.communicate(timeout=30)
    assert said == "opened\n"


def test_a_second_process_that_waited_long_enough_says_who_is_at_it(folder: Path) -> None:
    with opened(folder) as vault, vault.transaction():
        said, _ = open_elsewhere(folder, 0.1).communicate(timeout=30)
    assert said == f"Another quietus (process {os.getpid()}) is using the vault.\n"


def test_a_child_forked_in_the_middle_of_a_change_does_not_keep_the_lock(folder: Path) -> None:
    with opened(folder) as vault:
        with vault.transaction():
            child = os.fork()
            if child == 0:
                time.sleep(30)
                os._exit(0)
        try:
            vault.store._patience = 0.5
            vault.put_waiver(WAIVER)
        finally:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)


def test_reading_waits_for_nobody(folder: Path) -> None:
    with opened(folder) as reader, opened(folder) as writer:
        with writer.transaction():
            writer.put_waiver(WAIVER)
            seen: list[object] = []
            thread = threading.Thread(target=lambda: seen.append(reader.waivers()))
            thread.start()
            thread.join()
        assert seen == [()]
        assert reader.waivers() == (WAIVER,)


def test_two_processes_that_file_at_once_lose_and_double_nothing(folder: Path) -> None:
    def work(name: str) -> Callable[[Callable[[str], None]], None]:
        def run(tell: Callable[[str], None]) -> None:
            with opened(folder) as vault:
                for number in range(15):
                    with suppress(Misuse):  # the other one was first
                        tell(file(vault, b"common %d" % number).id)
                    tell(file(vault, f"{name} {number}".encode()).id)

        return run

    results: list[tuple[list[str], int]] = []
    threads = [threading.Thread(target=lambda n=name: results.append(in_child(work(n)))) for name in ("left", "right")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [status for _, status in results] == [0, 0]
    told = [word for words, _ in results for word in words]
    with opened(folder) as vault:
        assert sorted(told) == sorted(p.id for p in vault.papers())
        assert len(told) == 3 * 15
        assert check_vault(vault).sound
        assert [e.number for e in vault.journal()] == list(range(1, 3 + 3 * 15 + 1))


def test_threads_share_one_vault(folder: Path) -> None:
    with opened(folder) as vault:

        def work(name: str) -> None:
            for number in range(10):
                with vault.transaction():
                    paper = file(vault, f"{name} {number}".encode())
                    vault.note_repeat(paper.id, "again.pdf")
                vault.paper_bytes(paper.id, "test")

        threads = [threading.Thread(target=work, args=(name,)) for name in ("a", "b", "c")]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert len(vault.papers()) == 30
        assert check_vault(vault).sound
        actions = [e.action for e in vault.journal()]
        assert all(actions[i + 1] == "paper-repeated" for i, a in enumerate(actions) if a == "paper-filed")


def test_the_lock_file_says_nothing_once_everybody_has_gone(folder: Path) -> None:
    with opened(folder) as vault, vault.transaction():
        assert (folder / "lock").read_text().strip() == str(os.getpid())
    assert (folder / "lock").read_bytes() == b""


def test_a_lock_file_that_leads_elsewhere_is_not_followed(folder: Path, tmp_path: Path) -> None:
    victim = tmp_path / "victim"
    victim.write_text("precious")
    (folder / "lock").unlink()
    (folder / "lock").symlink_to(victim)
    with pytest.raises(MachineFault):
        opened(folder)
    assert victim.read_text() == "precious"


def test_a_folder_that_may_not_be_written_is_the_machines_fault(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> int:
        raise PermissionError(13, "denied")

    with opened(folder) as vault:
        monkeypatch.setattr("os.write", refuse)
        with pytest.raises(MachineFault, match="may not be read or written"):
            file(vault, b"one")
        monkeypatch.undo()
        assert vault.papers() == ()
        assert check_vault(vault).sound
