"""What runs inside a child process: files nobody vouches for are opened here and nowhere else.

The child may use so much address space while it works on a file (receiving the file is not held against it), write no
file at all, leave no core dump, and has so many seconds; when they are over the kernel ends it, whatever library it is
stuck in. It is forked from a process that was started afresh and did nothing but load libraries (or, where a fork is
not safe, started afresh itself), so it holds no key, no catalog and no open file of the parent.
"""

import resource
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

import cv2

from quietus.model.limits import Limits
from quietus.model.reading import Reading
from quietus.reading.engine import recogniser
from quietus.reading.errands import Wanted
from quietus.reading.folio import Folio
from quietus.reading.opening import open_folio

OPEN_FILES = 256
_COPIES = 3  # of a file are held while it comes through the pipe; dying there would break the pool, not fail the task


def prepare(limits: Limits) -> None:
    """Make this process a safe place for hostile files, for the rest of its life."""
    sys.dont_write_bytecode = True
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the parent's to handle
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    for kind, ceiling in (
        (resource.RLIMIT_AS, limits.child_memory_bytes + _COPIES * limits.file_bytes),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_NOFILE, OPEN_FILES),
    ):
        _, hard = resource.getrlimit(kind)
        least = ceiling if hard == resource.RLIM_INFINITY else min(ceiling, hard)
        with suppress(ValueError):  # macOS knows no ceiling on address space; its time limit still holds
            resource.setrlimit(kind, (least, least))
    cv2.setNumThreads(1)


def warm(tesseract: str) -> None:
    """Load the recogniser, and what finds private places, before the first file comes."""
    from quietus.reading import again  # noqa: F401, PLC0415

    recogniser(tesseract)


def read(data: bytes, limits: Limits, tesseract: str, starts: tuple[int, ...]) -> tuple[Reading, ...]:
    """Read a file within its time: `child_seconds` to open it, then what its pages are worth.

    Raises:
        Unreadable: as `quietus.reading.read_bytes`.
    """
    recogniser(tesseract)  # loading it is not the file's fault
    from quietus.reading.reader import read_folio  # noqa: PLC0415 - so with the others: each errand loads its own

    with _opened(data, limits) as folio:
        return read_folio(folio, tesseract, starts)


def read_again(data: bytes, limits: Limits, tesseract: str) -> Reading:
    """The words and private places of a file within its time; errors as `read`."""
    recogniser(tesseract)
    from quietus.reading.again import words_of  # noqa: PLC0415

    with _opened(data, limits) as folio:
        return words_of(folio, tesseract)


def picture(data: bytes, wanted: Wanted, limits: Limits, tesseract: str) -> bytes:
    """A PNG of a page within `child_seconds`; errors as `ReadingPool.picture`."""
    from quietus.reading.views import page_png  # noqa: PLC0415

    with _held(limits, len(data)):
        return page_png(data, wanted, limits, tesseract)


def parts(data: bytes, groups: tuple[tuple[int, ...], ...], limits: Limits) -> tuple[bytes, ...]:
    """Pages of a file as files of their own within `child_seconds`; errors as `ReadingPool.parts`."""
    from quietus.reading.leaves import parts_of  # noqa: PLC0415

    with _held(limits, 2 * len(data)):
        return parts_of(data, groups, limits)


def join(files: tuple[bytes, ...], limits: Limits) -> bytes:
    """Files put together within `child_seconds`; errors as `ReadingPool.joined`."""
    from quietus.reading.leaves import joined  # noqa: PLC0415

    with _held(limits, 2 * sum(map(len, files))):
        return joined(files, limits)


@contextmanager
def _opened(data: bytes, limits: Limits) -> Iterator[Folio]:
    """An opened file, held to `child_seconds` while it is opened and from then on to what its pages are worth."""
    with _held(limits, len(data)):
        folio = open_folio(data, limits)
        _within(limits.seconds_for(folio.pages))
        yield folio


@contextmanager
def _held(limits: Limits, extra: int) -> Iterator[None]:
    """Hold this process to its time and memory, beside the `extra` bytes of the file itself."""
    soft, hard = resource.getrlimit(resource.RLIMIT_AS)
    _within(limits.child_seconds)
    try:
        _allow(limits.child_memory_bytes + extra, hard)
        yield
    finally:
        _within(0)
        _allow(soft, hard)


def _allow(ceiling: int, hard: int) -> None:
    with suppress(ValueError):  # macOS knows no ceiling on address space
        resource.setrlimit(
            resource.RLIMIT_AS, (ceiling if hard == resource.RLIM_INFINITY else min(ceiling, hard), hard)
        )


def _within(seconds: float) -> None:
    """From now on the kernel ends this process after so many seconds; 0 takes the threat back."""
    signal.setitimer(signal.ITIMER_REAL, seconds)
