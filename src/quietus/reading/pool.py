"""Reads files in child processes that can be killed. A file that takes its reader down takes nothing else with it."""

import multiprocessing
import os
import signal
import sys
from collections.abc import Callable
from concurrent.futures import CancelledError, Future
from concurrent.futures import TimeoutError as TooLate
from concurrent.futures.process import BrokenProcessPool
from functools import cache
from multiprocessing import forkserver
from types import TracebackType
from typing import Any, Literal, ParamSpec, Self, TypeVar

from pebble import ProcessExpired, ProcessPool

from quietus.model.limits import Limits
from quietus.model.reading import Box, Reading
from quietus.reading import errands
from quietus.reading.errands import Wanted
from quietus.reading.refusals import refuse

P = ParamSpec("P")
T = TypeVar("T")

_START: Literal["forkserver", "spawn"] = "forkserver" if sys.platform == "linux" else "spawn"
"""How a child starts: never with this process's memory, keys least of all. Elsewhere libraries don't stand a fork."""

_FILES = 200  # read by one child before it is replaced, so that no library's leak grows for ever
_GRACE = 15.0  # seconds over the child's own time limit after which the parent ends it


@cache
def load_early() -> None:
    """Begin to load recognition, in a process of its own, so that it is there when the first pool is made.

    The children are forked from that process. Neither it nor they see what is meant for quietus alone in the
    environment, such as a passphrase.
    """
    if _START == "spawn":
        return
    ours = {name: os.environ.pop(name) for name in list(os.environ) if name.startswith("QUIETUS")}
    try:
        multiprocessing.get_context(_START).set_forkserver_preload(["quietus.reading.child", "quietus.reading.again"])
        forkserver.ensure_running()
    finally:
        os.environ.update(ours)


class ReadingPool:
    """A pool of child processes that read files. Use it as a context manager.

    Args:
        workers: how many children read at once.
        limits: ceilings on bytes, pages, pixels, seconds and memory.
        tesseract: a system's Tesseract program; empty for the recogniser installed with quietus.
    """

    def __init__(self, workers: int, limits: Limits, tesseract: str = "") -> None:
        self._workers, self._limits, self._tesseract = workers, limits, tesseract
        self._pool = self._children()

    def _children(self) -> ProcessPool:
        load_early()
        return ProcessPool(
            max_workers=self._workers,
            max_tasks=_FILES,
            initializer=errands.prepare,
            initargs=(self._limits,),
            context=multiprocessing.get_context(_START),
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if kind is None:
            self._pool.close()  # type: ignore[no-untyped-call]
        else:
            self._pool.stop()  # type: ignore[no-untyped-call]
        self._pool.join()

    def warm(self) -> None:
        """Have every child started and its recogniser loaded, without waiting for it."""
        for _ in range(self._workers):
            self._schedule(self._limits.child_seconds, errands.warm, self._tesseract)

    def submit(self, data: bytes, starts: tuple[int, ...] = ()) -> "Future[tuple[Reading, ...]]":
        """Read a file. The future holds a Reading for each paper in it, or raises Unreadable with the reason.

        Args:
            data: the file.
            starts: the pages, 1-based, at which a person says that papers begin; empty to tell it from the pages.
        """
        longest = self._limits.seconds_for(self._limits.pages)
        return self._schedule(longest, errands.read, data, self._limits, self._tesseract, starts)

    def read_again(self, data: bytes) -> "Future[Reading]":
        """Read the words of a file that holds one paper, and what on it would have to be hidden; nothing else of it.

        The future's Reading has pages and private places, found as `submit` finds them, and no values.
        """
        longest = self._limits.seconds_for(self._limits.pages)
        return self._schedule(longest, errands.read_again, data, self._limits, self._tesseract)

    def parts(self, data: bytes, groups: tuple[tuple[int, ...], ...]) -> "Future[tuple[bytes, ...]]":
        """The pages of each group (1-based numbers) of a PDF or TIFF as a file of its own, no pixel changed.

        The future raises Unreadable as reading does, and `no-such-page`.
        """
        return self._schedule(self._limits.child_seconds, errands.parts, data, groups, self._limits)

    def joined(self, files: tuple[bytes, ...]) -> "Future[bytes]":
        """All pages of the files, in order, as one PDF, no pixel changed; the future raises as reading does."""
        return self._schedule(self._limits.child_seconds, errands.join, files, self._limits)

    def picture(self, data: bytes, page: int, box: Box | None = None, longest: int = 1600) -> "Future[bytes]":
        """A PNG of a page of the file, upright, or of the part around `box` with a margin.

        Args:
            data: the file.
            page: 1-based.
            box: a part of the page as received, as a Value has it.
            longest: the longest side of the PNG in pixels.

        The future raises Unreadable as reading does, and `no-such-page`.
        """
        limits, wanted = self._limits, Wanted(page, box, longest)
        return self._schedule(limits.child_seconds, errands.picture, data, wanted, limits, self._tesseract)

    def _schedule(self, seconds: float, task: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> "Future[T]":
        del kwargs  # none of the tasks takes any
        outer: Future[T] = Future()
        if not self._pool.active:  # broken by a child that died between two files: its files were refused by name
            self._pool.stop()  # type: ignore[no-untyped-call]
            self._pool.join()
            self._pool = self._children()
        inner = self._pool.schedule(task, args=list(args), timeout=seconds + _GRACE)
        inner.add_done_callback(lambda done: _hand_over(done, outer))
        return outer


def _hand_over(done: "Future[Any]", outer: "Future[Any]") -> None:
    """Pass a result on, with the ways a child can end turned into named refusals."""
    if not outer.set_running_or_notify_cancel():
        return
    try:
        outer.set_result(done.result())
    except TooLate:
        outer.set_exception(refuse("took-too-long"))
    except ProcessExpired as fault:
        late = fault.exitcode == -signal.SIGALRM
        outer.set_exception(refuse("took-too-long" if late else "reader-died"))
    except BrokenProcessPool:
        outer.set_exception(refuse("reader-died"))
    except CancelledError as fault:
        outer.set_exception(fault)
    except Exception as fault:  # noqa: BLE001 - the reader's own refusals, made in the child, go on as they are
        outer.set_exception(fault)
