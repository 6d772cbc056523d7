"""Work on hostile files, in a process of its own that has limits, holds no key, and can be killed.

The process is a new interpreter and not a fork, so that nothing of this one's memory, keys least of all, is in it. What
comes back is JSON and not a pickle, because whoever takes over the child must not reach the parent.
"""

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import Any

from quietus.bundle.job import COMPOSE, JOB, RESULT, TALLY, Composed, Hole, Job
from quietus.bundle.wording import plain_line
from quietus.model.errors import MachineFault, Unreadable

_LOOK_SECONDS = 0.02


def composed_apart(job: Job, folder: Path, seconds: float, progress: Callable[[int], None]) -> Composed:
    """Compose in a fresh process and wait for it.

    Args:
        job: what to compose.
        folder: a private folder for what passes between the processes.
        seconds: wall time after which it is killed.
        progress: called several times a second with the number of pages laid in.

    Raises:
        Unreadable: a paper's file can't be taken apart, or the process died over it, or took too long or too much.
        MachineFault: the process can't be started, or the PDF can't be written.
    """
    told = done_apart(COMPOSE, asdict(job), folder, seconds, progress)
    try:
        hole = Hole(*(int(offset) for offset in told["hole"])) if job.seal else None
        composed = Composed(int(told["pages"]), tuple(int(start) for start in told["starts"]), hole)
    except (ValueError, KeyError, TypeError):
        raise crashed() from None
    if len(composed.starts) != len(job.originals):
        raise crashed()
    return composed


def done_apart(
    task: str, job: Mapping[str, Any], folder: Path, seconds: float, progress: Callable[[int], None]
) -> Mapping[str, Any]:
    """Do one task in a fresh process, wait for it, and give what it answers: JSON that is not to be believed.

    Raises:
        Unreadable, MachineFault: see `composed_apart`.
    """
    (folder / JOB).write_text(json.dumps({"task": task, **job}), encoding="utf-8")
    try:
        process = subprocess.Popen(  # noqa: S603 - this interpreter and a module of our own
            command(folder),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=_harmless(os.environ),
        )
    except OSError as error:
        raise MachineFault(
            f"A process for the papers can't be started: {error.strerror}.", "Free some memory and try again."
        ) from None
    try:
        _wait(process, folder / TALLY, seconds, progress)
    finally:
        process.kill()
        process.wait()
    return _result(folder / RESULT)


def command(folder: Path) -> Sequence[str]:
    """The command line of the child. `-P` keeps modules that lie about in the current folder out."""
    return [sys.executable, "-P", "-m", "quietus.bundle.apart", str(folder)]


def _harmless(environment: Mapping[str, str]) -> dict[str, str]:
    """The environment without what is meant for quietus alone, such as a passphrase.

    glibc's allocator keeps a heap for each thread of the typesetter; two are enough, and bound what they hoard.
    """
    kept = {name: text for name, text in environment.items() if not name.upper().startswith("QUIETUS")}
    return {"MALLOC_ARENA_MAX": "2", **kept}


def _wait(process: subprocess.Popen[bytes], tally: Path, seconds: float, progress: Callable[[int], None]) -> None:
    end = time.monotonic() + seconds
    while True:
        progress(laid_in(tally))
        try:
            process.wait(timeout=_LOOK_SECONDS)
        except subprocess.TimeoutExpired:
            if time.monotonic() > end:
                raise _stopped("took-too-long", "took too long to take apart") from None
        else:
            progress(laid_in(tally))
            return


def laid_in(tally: Path) -> int:
    """Pages laid in so far."""
    return tally.stat().st_size if tally.exists() else 0


@contextmanager
def naming_the_place(whose: Sequence[tuple[str, str, int]], tally: Path) -> Iterator[None]:
    """A child that died can't say over which paper; the tally tells how far it came.

    Args:
        whose: letter, paper and number of pages of each exhibit, in the order of the work.
        tally: grows by one byte for each page done.

    Raises:
        Unreadable: the error from within, with the place where it happened.
    """
    try:
        yield
    except Unreadable as error:
        if error.message.startswith("Exhibit"):
            raise
        done = laid_in(tally)
        for letter, paper, pages in whose:
            done -= pages
            if done < 0:
                where = f"It came as far as exhibit {letter} (paper {paper[:8]})."
                raise Unreadable(error.reason, f"{error.message} {where}", error.remedy) from None
        raise


def _result(path: Path) -> Mapping[str, Any]:
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        if not isinstance(told, dict):
            raise crashed()
        if "reason" not in told:
            return told
        reason, message, remedy = (plain_line(str(told[key])) for key in ("reason", "message", "remedy"))
    except (OSError, ValueError, KeyError, TypeError):
        raise crashed() from None
    raise Unreadable(reason, message, remedy) if reason else MachineFault(message, remedy)


def crashed() -> Unreadable:
    """What is said when a child died, or answered nonsense."""
    return _stopped("crashed-the-reader", "brought down the process that took them apart")


def _stopped(reason: str, what: str) -> Unreadable:
    return Unreadable(
        reason,
        f"The papers {what}.",
        "Print the paper named to a new PDF, put it into the inbox, and make the bundle again.",
    )
