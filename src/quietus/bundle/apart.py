"""The child process: reads its job, does it, and leaves there what came of it. Run as a module."""

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

from quietus.bundle.damage import naming
from quietus.bundle.job import COMPOSE, JOB, RECHECK, REDACT, RESULT, TALLY, job_from, redaction_from
from quietus.model.errors import QuietusError, Unreadable
from quietus.model.limits import Limits


def main(folder: Path) -> None:
    """Do the job that lies in `folder`."""
    told = json.loads((folder / JOB).read_text(encoding="utf-8"))
    limits = Limits(**told["limits"])
    _limit(limits.child_memory_bytes)
    try:
        answer = _TASKS[told.get("task", COMPOSE)](told, limits, folder / TALLY)
    except MemoryError:
        answer = _failed("too-much-memory", "The papers needed more memory than allowed.", "Print them to new PDFs.")
    except Unreadable as error:
        answer = _failed(error.reason, error.message, error.remedy)
    except QuietusError as error:
        answer = _failed("", error.message, error.remedy)
    (folder / RESULT).write_text(json.dumps(answer), encoding="utf-8")


def _compose(told: dict[str, Any], limits: Limits, tally: Path) -> dict[str, Any]:
    from quietus.bundle.compose import compose  # noqa: PLC0415 - the typesetter alone, and not for every task

    return asdict(compose(job_from(told), limits, tally))


def _redact(told: dict[str, Any], limits: Limits, tally: Path) -> dict[str, Any]:
    from quietus.bundle.blackout import redact  # noqa: PLC0415 - what composing does not need

    copies = []
    for item in told["works"]:
        work = redaction_from(item)
        with naming(work.letter, work.paper):
            copies.append(asdict(redact(work, limits, tally)))
    return {"copies": copies}


def _recheck(told: dict[str, Any], _limits: Limits, _tally: Path) -> dict[str, Any]:
    from quietus.bundle.recheck import recheck  # noqa: PLC0415 - what composing does not need

    return {"faults": [recheck(Path(copy["path"]), copy["painted"]) for copy in told["copies"]]}


_TASKS = {COMPOSE: _compose, REDACT: _redact, RECHECK: _recheck}


def _failed(reason: str, message: str, remedy: str) -> dict[str, Any]:
    return {"reason": reason, "message": message, "remedy": remedy}


def _limit(memory_bytes: int) -> None:
    """Bound the address space of this process, and let it hold as many files open as it may."""
    try:
        import resource  # noqa: PLC0415 - only on Unix; elsewhere the wall time is the limit
    except ImportError:
        return
    _, most = resource.getrlimit(resource.RLIMIT_AS)
    bound = memory_bytes if most == resource.RLIM_INFINITY else min(memory_bytes, most)
    resource.setrlimit(resource.RLIMIT_AS, (bound, most))
    _, files = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (files, files))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
