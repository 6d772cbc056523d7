"""vault.json on disk: reading it, writing it anew, and telling that it changed meanwhile."""

from quietus.model.errors import Damaged, Misuse
from quietus.vault.durable import machine_faults, write_new
from quietus.vault.header import HEADER_BYTES, Header, read_header
from quietus.vault.layout import Layout

Stamp = tuple[int, int, int]
"""What changes whenever the file is replaced: inode, bytes, and nanoseconds of its last change."""


def load_header(layout: Layout) -> Header:
    """The header of the vault.

    Raises:
        Misuse: there is no vault there, or a newer quietus wrote it.
        Damaged: the header is missing or not as it was written.
    """
    with machine_faults():
        try:
            with layout.header.open("rb") as file:
                data = file.read(HEADER_BYTES + 1)
        except (FileNotFoundError, NotADirectoryError) as error:
            if layout.objects.exists() or layout.journal.exists():
                raise Damaged("vault.json is missing from the vault.", "Take the vault from a backup.") from error
            raise Misuse("There is no vault in that folder.", "Give the vault's folder, or make one first.") from error
    if len(data) > HEADER_BYTES:
        raise Damaged("The header of the vault is too long.", "Take the vault from a backup.")
    return read_header(data)


def save_header(layout: Layout, header: Header) -> None:
    """Write the header over the former one, durably.

    Raises:
        MachineFault: the machine would not do it; the former one still stands.
    """
    write_new(layout.header, [header.text().encode()], over=True)


def header_stamp(layout: Layout) -> Stamp | None:
    """The stamp of the header file; None while there is none."""
    with machine_faults():
        try:
            found = layout.header.lstat()
        except FileNotFoundError:
            return None
    return found.st_ino, found.st_size, found.st_mtime_ns
