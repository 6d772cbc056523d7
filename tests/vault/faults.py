"""Faults at every call that reaches the disk: a kill, a torn write, or an error from the operating system."""

import errno
import os
import signal
from collections.abc import Callable
from typing import Any, NoReturn

import sqlalchemy
from sqlalchemy.exc import OperationalError
from sqlcipher3 import dbapi2


class Faults:
    """Counts this process's calls of write, fsync, rename, unlink and commit, and strikes at number `at`.

    `how` is `before`, `after` or `torn` (half a write, then as `after`); `strike` is what then happens, but a commit
    that does not kill fails in the database's own way.
    """

    def __init__(self, at: int, how: str, strike: Callable[[], NoReturn]) -> None:
        self.at, self.how, self.strike = at, how, strike
        self.calls: list[str] = []

    def plant(self, patch: Callable[[Any, str, Any], None]) -> None:
        """Put the faults in place; `patch` sets an attribute."""
        for name in ("fsync", "rename", "unlink"):
            patch(os, name, self._struck(name, getattr(os, name)))
        patch(os, "write", self._struck("write", os.write, half=self._half))
        patch(sqlalchemy.Connection, "commit", self._struck("commit", sqlalchemy.Connection.commit))

    @staticmethod
    def _half(handle: int, data: memoryview) -> None:
        with memoryview(data) as view, view[: len(view) // 2] as half:
            _write(handle, half)

    def _struck(self, name: str, call: Callable[..., Any], half: Callable[..., None] | None = None) -> Any:
        def wrapped(*args: Any, **more: Any) -> Any:
            self.calls.append(name)
            if len(self.calls) != self.at:
                return call(*args, **more)
            if self.how == "torn" and half is not None:
                half(*args)
            elif self.how != "before":
                call(*args, **more)
            return commit_fails() if name == "commit" and self.strike is not die else self.strike()

        return wrapped


_write = os.write


def die() -> NoReturn:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError("a killed process went on")


def disk_full() -> NoReturn:
    raise OSError(errno.ENOSPC, "no space left")


def input_output() -> NoReturn:
    raise OSError(errno.EIO, "input or output")


def commit_fails() -> NoReturn:
    fault = dbapi2.OperationalError("database or disk is full")
    fault.sqlite_errorcode = 13
    raise OperationalError("COMMIT", None, fault)


def in_child(work: Callable[[Callable[[str], None]], None]) -> tuple[list[str], int]:
    """Run `work` in a forked process. It is handed a function that tells the parent a word, at once and for sure.

    Returns:
        The words told, and the child's status: 0, or minus the signal that killed it.
    """
    told, tell = os.pipe()
    child = os.fork()
    if child == 0:
        status = 70
        try:
            os.close(told)
            work(lambda word: (_write(tell, f"{word}\n".encode()), None)[1])
            status = 0
        finally:
            os._exit(status)
    os.close(tell)
    with os.fdopen(told) as pipe:
        words = pipe.read().split()
    return words, os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
