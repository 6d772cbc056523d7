"""A paper back out of the vault, byte for byte."""

import os
from pathlib import Path

from quietus.closing.office import Office
from quietus.model.errors import MachineFault, Misuse, QuietusError
from quietus.model.paper import Paper


def make_folder(folder: Path) -> None:
    """Make a folder for something that leaves the vault, readable by its owner alone, unless it is there.

    Raises:
        MachineFault: it can't be made.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise MachineFault(f"The folder can't be made: {error.strerror}.", "Choose another with -o.") from None


def export_paper(office: Office, paper_id: str, file: Path) -> Paper:
    """Write a paper's bytes as received into a new file that only its owner can read.

    Raises:
        Misuse: no such paper, or the file exists already.
        Damaged: the paper's bytes are not as they were sealed.
        MachineFault: the file can't be written.
    """
    paper = office.vault.paper(paper_id)
    try:
        descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600)
    except FileExistsError:
        raise Misuse("That file exists already.", "Give another name with -o.") from None
    except OSError as error:
        raise MachineFault(f"The file can't be written: {error.strerror}.", "Check the folder.") from None
    try:
        with os.fdopen(descriptor, "wb") as target:
            target.writelines(office.vault.paper_stream(paper.id, "export"))  # a few MiB in memory, however long it is
    except OSError as error:
        file.unlink(missing_ok=True)
        raise MachineFault(f"The file can't be written: {error.strerror}.", "Check the folder.") from None
    except QuietusError:  # what came out before the damage was met is not the paper
        file.unlink(missing_ok=True)
        raise
    return paper
