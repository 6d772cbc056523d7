"""Files that survive a crash: a write leaves the old state or the new one, and one process writes at a time.

Order of a durable write, after POSIX practice: temporary file in the same folder, write, fsync, rename, fsync of the
folder. POSIX promises little about a power cut, so everything written here also carries a tag or a hash of its own.
"""

import errno
import fcntl
import os
import secrets
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from quietus.model.errors import MachineFault

FILE_MODE = 0o600
FOLDER_MODE = 0o700
TEMPORARY = ".new-"
"""Start of the name of a file that is still being written; whatever bears it after a crash is rubbish."""

FROZEN = f"{TEMPORARY}backup-"
"""Start of the name of a folder in which a running backup keeps files as they were; then the process's number."""

_POLL_SECONDS = 0.02


@contextmanager
def machine_faults() -> Iterator[None]:
    """Turn the operating system's errors into MachineFault.

    Raises:
        MachineFault: the disk is full, a permission is missing, or a file could not be read or written.
    """
    try:
        yield
    except OSError as error:
        raise _machine_fault(error) from error


def _machine_fault(error: OSError) -> MachineFault:
    if error.errno in {errno.ENOSPC, errno.EDQUOT}:
        return MachineFault("The disk that holds the vault is full.", "Free some space and run the command again.")
    if error.errno in {errno.EACCES, errno.EPERM, errno.EROFS}:
        return MachineFault(
            "The vault's folder may not be read or written by this account.",
            "Give this account read and write permission on the vault's folder.",
        )
    name = errno.errorcode.get(error.errno or 0, "unknown fault")
    return MachineFault(f"A file of the vault could not be read or written ({name}).", "Check the disk and try again.")


def sync_folder(folder: Path) -> None:
    """Make the names in `folder` durable."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def make_folder(folder: Path) -> None:
    """Make `folder`, private to this account, and make its name durable; an existing one is left alone."""
    try:
        folder.mkdir(mode=FOLDER_MODE)
    except FileExistsError:
        return
    sync_folder(folder.parent)


def write_new(path: Path, pieces: Iterable[bytes], *, over: bool = False) -> None:
    """Write a file whole and durably, or leave nothing but a temporary file behind.

    The caller holds the vault's lock, so nobody else can make `path` between the look and the rename.

    Args:
        path: where the file shall stand.
        pieces: its bytes.
        over: whether it may take the place of another; there is no moment without one of them.

    Raises:
        MachineFault: the machine would not do it, or a file stands there already.
    """
    temporary = path.with_name(f"{TEMPORARY}{path.name}-{secrets.token_hex(4)}")
    with machine_faults():
        try:
            handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, FILE_MODE)
            with os.fdopen(handle, "wb", buffering=0) as file:
                for piece in pieces:
                    _write_all(file.fileno(), piece)
                os.fsync(file.fileno())
            if not over:
                _refuse_existing(path)
            os.rename(temporary, path)  # noqa: PTH104 (the crash tests put their faults on the calls of os)
        except BaseException:
            with suppress(OSError):
                temporary.unlink()
            raise
        sync_folder(path.parent)


def _refuse_existing(path: Path) -> None:
    if path.exists():
        raise FileExistsError(errno.EEXIST, "stands there already")


def append(path: Path, data: bytes) -> None:
    """Add `data` to the end of a file that exists, durably.

    Raises:
        MachineFault: the machine would not do it; a part of `data` may have been written.
    """
    with machine_faults():
        handle = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_NOFOLLOW)
        try:
            _write_all(handle, data)
            os.fsync(handle)
        finally:
            os.close(handle)


def _write_all(handle: int, data: bytes) -> None:
    view = memoryview(data)
    while view:
        view = view[os.write(handle, view) :]


@contextmanager
def writers_turn(lock: Path, patience: float) -> Iterator[None]:
    """Hold the vault's lock file, waiting for it if need be. The holder's process number stands in it meanwhile.

    The kernel lets go of the lock when the holder dies, so a killed process never leaves a vault locked.

    Args:
        lock: the lock file; made when missing.
        patience: seconds to wait.

    Raises:
        MachineFault: another process held the lock all that time.
    """
    with machine_faults():
        handle = os.open(lock, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC, FILE_MODE)
    try:
        _await_lock(handle, patience)
        with machine_faults():
            os.ftruncate(handle, 0)
            os.pwrite(handle, b"%d\n" % os.getpid(), 0)
        try:
            yield
        finally:
            with suppress(OSError):
                os.ftruncate(handle, 0)
                fcntl.flock(handle, fcntl.LOCK_UN)  # closing alone would leave it with a child forked meanwhile
    finally:
        os.close(handle)


def _await_lock(handle: int, patience: float) -> None:
    deadline = time.monotonic() + patience
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() >= deadline:
                break
            time.sleep(_POLL_SECONDS)
        except OSError as error:
            raise _machine_fault(error) from error
        else:
            return
    holder = os.pread(handle, 20, 0).strip().decode("ascii", "replace")
    process = f" (process {holder})" if holder.isdigit() else ""
    raise MachineFault(f"Another quietus{process} is using the vault.", "Wait until it has finished, or end it.")
