"""What runs inside a child process: files nobody vouches for are opened here and nowhere else.

The child may use so much address space, write no file at all, leave no core dump, and has so many seconds; when they
are over the kernel ends it, whatever library it is stuck in. It is started afresh (spawned), so it holds no key, no
catalog and no open file of the parent.
"""

import resource
import signal
import sys
from contextlib import suppress

import cv2

from quietus.model.limits import Limits
from quietus.model.reading import Reading
from quietus.reading.engine import recogniser
from quietus.reading.opening import open_folio
from quietus.reading.reader import read_folio
from quietus.reading.views import Wanted, page_png

OPEN_FILES = 256


def prepare(limits: Limits) -> None:
    """Make this process a safe place for hostile files, for the rest of its life."""
    sys.dont_write_bytecode = True
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the parent's to handle
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    for kind, ceiling in (
        (resource.RLIMIT_AS, limits.child_memory_bytes),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_NOFILE, OPEN_FILES),
    ):
        _, hard = resource.getrlimit(kind)
        least = ceiling if hard == resource.RLIM_INFINITY else min(ceiling, hard)
        with suppress(ValueError):  # macOS knows no ceiling on address space; its time limit still holds
            resource.setrlimit(kind, (least, least))
    cv2.setNumThreads(1)


def read(data: bytes, limits: Limits, tesseract: str) -> tuple[Reading, ...]:
    """Read a file within its time: `child_seconds` to open it, then what its pages are worth.

    Raises:
        Unreadable: as `quietus.reading.read_bytes`.
    """
    recogniser(tesseract)  # loading it is not the file's fault
    _within(limits.child_seconds)
    try:
        folio = open_folio(data, limits)
        _within(limits.seconds_for(folio.pages))
        return read_folio(folio, tesseract)
    finally:
        _within(0)


def picture(data: bytes, wanted: Wanted, limits: Limits, tesseract: str) -> bytes:
    """A PNG of a page within `child_seconds`; errors as `ReadingPool.picture`."""
    _within(limits.child_seconds)
    try:
        return page_png(data, wanted, limits, tesseract)
    finally:
        _within(0)


def _within(seconds: float) -> None:
    """From now on the kernel ends this process after so many seconds; 0 takes the threat back."""
    signal.setitimer(signal.ITIMER_REAL, seconds)
