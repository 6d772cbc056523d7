"""Read thousands of broken and hostile scans: python -m tests.soak.scans [options].

Each must give readings or a refusal by name, in less than a minute, in a child of less than 1.5 GB. Prints how many
came to what, the slowest and the largest; fails if anything was wrong.
"""

import argparse
import os
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from rich.console import Console
from rich.progress import track

from quietus.model.errors import Unreadable
from quietus.model.limits import DEFAULT_LIMITS
from quietus.reading import ReadingPool
from quietus.reading.refusals import REASONS
from tests.processes import below
from tests.reading.mutants import Mutant, mutants

LONGEST = 60.0  # seconds for one file
LARGEST = 1_500.0  # MB that a child may hold


@dataclass(slots=True)
class Trial:
    """What came of the files.

    Attributes:
        outcomes: how many were read, or refused for which reason.
        slowest: seconds and the file.
        peak: most memory that a child ever held, in MB, and the file it held then.
        wrong: what must not be.
    """

    outcomes: Counter[str] = field(default_factory=Counter)
    slowest: tuple[float, str] = (0.0, "")
    peak: tuple[float, str] = (0.0, "")
    wrong: list[str] = field(default_factory=list)


def tried(pool: ReadingPool, files: Iterator[Mutant], keep: Path | None = None) -> Trial:
    """Read every file, one after another."""
    trial = Trial()
    with _watched(trial) as now:
        for one in files:
            now[0] = name = f"{one.number} ({one.how})"
            begun = time.monotonic()
            outcome = _outcome(pool, one)
            seconds = time.monotonic() - begun
            trial.outcomes[outcome] += 1
            trial.slowest = max(trial.slowest, (seconds, name))
            if seconds > LONGEST:
                trial.wrong.append(f"{name} took {seconds:.0f} s")
            if outcome not in REASONS | {"read"}:
                trial.wrong.append(f"{name}: {outcome}")
            if keep is not None and outcome not in {"read", "damaged", "truncated", "not-a-scan", "empty"}:
                (keep / f"{one.number:05d}-{outcome.split(':')[0]}").write_bytes(one.data)
    if trial.peak[0] > LARGEST:
        trial.wrong.append(f"a child held {trial.peak[0]:.0f} MB over {trial.peak[1]}")
    return trial


def _outcome(pool: ReadingPool, one: Mutant) -> str:
    try:
        return "read" if pool.submit(one.data).result(timeout=600) else "no reading"
    except Unreadable as refusal:
        return refusal.reason
    except Exception as error:  # noqa: BLE001 - anything else is a finding of the trial
        return f"{type(error).__name__}: {error}"


@contextmanager
def _watched(trial: Trial) -> Iterator[list[str]]:
    """Note the most memory that any child holds; the one word given out is the file it is at."""
    now, stop = [""], threading.Event()

    def watch() -> None:
        while not stop.wait(0.05):
            trial.peak = max(trial.peak, (max(_children_hold(), default=0.0), now[0]))

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield now
    finally:
        stop.set()
        watcher.join()


def _children_hold() -> Iterator[float]:
    """MB that each process below this one holds right now (Linux)."""
    for child in below(os.getpid()):
        with suppress(OSError):
            yield int(Path(f"/proc/{child}/statm").read_text().split()[1]) * 4096 / 1e6


def main(words: Sequence[str]) -> int:
    """Read as many as the options say."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak.scans", description=__doc__)
    parser.add_argument("--count", type=int, default=2000, metavar="N", help="files to read (default: 2000)")
    parser.add_argument("--seed", type=int, default=20261120, metavar="S", help="the same seed makes the same files")
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="keep the files that were refused oddly")
    asked = parser.parse_args(words)
    if asked.keep:
        asked.keep.mkdir(parents=True, exist_ok=True)
    screen = Console(highlight=False)
    with ReadingPool(1, DEFAULT_LIMITS) as pool:
        files = track(mutants(asked.count, asked.seed), "reading", total=asked.count, console=screen)
        trial = tried(pool, iter(files), asked.keep)
    for outcome, count in trial.outcomes.most_common():
        screen.print(f"{outcome:20} {count:6}")
    screen.print(f"slowest {trial.slowest[0]:.1f} s: {trial.slowest[1]}")
    screen.print(f"peak memory of a child {trial.peak[0]:.0f} MB: {trial.peak[1]}")
    for line in trial.wrong:
        screen.print(f"WRONG: {line}")
    screen.print(f"{asked.count} files, {len(trial.wrong)} wrong.")
    return 1 if trial.wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
