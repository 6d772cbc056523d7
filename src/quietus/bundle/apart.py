"""The child process: reads its job, composes, and leaves there what came of it. Run as a module."""

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

from quietus.bundle.compose import compose
from quietus.bundle.job import JOB, RESULT, TALLY, job_from
from quietus.model.errors import QuietusError, Unreadable
from quietus.model.limits import Limits


def main(folder: Path) -> None:
    """Do the job that lies in `folder`."""
    job = job_from(json.loads((folder / JOB).read_text(encoding="utf-8")))
    limits = Limits(**job.limits)
    _limit(limits.child_memory_bytes)
    try:
        answer: dict[str, Any] = asdict(compose(job, limits, folder / TALLY))
    except MemoryError:
        answer = _failed("too-much-memory", "The papers needed more memory than allowed.", "Print them to new PDFs.")
    except Unreadable as error:
        answer = _failed(error.reason, error.message, error.remedy)
    except QuietusError as error:
        answer = _failed("", error.message, error.remedy)
    (folder / RESULT).write_text(json.dumps(answer), encoding="utf-8")


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
