"""Writing what leaves the vault on request, readable by its owner alone."""

import os
from contextlib import suppress
from pathlib import Path

from quietus.model.errors import MachineFault, Misuse


def write_out(file: Path, data: bytes, *, replace: bool = False) -> None:
    """Write a file whole, or not at all.

    Args:
        file: where to.
        data: what.
        replace: whether a file of that name may be replaced.

    Raises:
        Misuse: there is a file of that name, and it may not be replaced.
        MachineFault: the machine would not do it.
    """
    part = file.with_name(f".{file.name}.{os.getpid()}.part")
    try:
        descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600)
        try:
            with os.fdopen(descriptor, "wb") as target:
                target.write(data)
            if replace:
                part.replace(file)
            else:
                os.link(part, file)  # fails when the name is taken, whoever took it in the meantime
        finally:
            with suppress(FileNotFoundError):
                part.unlink()
    except FileExistsError:
        raise Misuse("That file exists already.", "Give another name, or --force to replace it.") from None
    except OSError as error:
        raise MachineFault(f"The file can't be written: {error.strerror}.", "Check the folder.") from None
