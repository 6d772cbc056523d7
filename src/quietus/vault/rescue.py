"""Writing a damaged journal file anew from the catalog, which holds every line as well."""

import hashlib
import json
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection

from quietus.model.errors import Damaged, MachineFault, Misuse
from quietus.model.limits import DEFAULT_LIMITS
from quietus.vault import journal
from quietus.vault.durable import machine_faults, write_new
from quietus.vault.opening import assemble, open_vault, unlocked
from quietus.vault.store import Actor, Store

_LONGEST_LINE = 64 * 1024 * 1024  # bytes; what follows in a longer one is no line of ours


@dataclass(frozen=True, slots=True)
class JournalRewritten:
    """What was done to a damaged journal file.

    Attributes:
        entries: entries the new file holds.
        kept: where the damaged file was put; None when it was gone.
        sha256: of the damaged file, hex; empty when it was gone.
    """

    entries: int
    kept: Path | None
    sha256: str


def rewrite_journal(
    folder: Path,
    passphrase: bytes,
    *,
    who: str,
    clock: Callable[[], datetime],
    patience: float = DEFAULT_LIMITS.vault_wait_seconds,
) -> JournalRewritten:
    """Write the journal file anew from the catalog and put the damaged one beside the vault, as evidence.

    The catalog is believed only when its own journal is whole, and only when the damaged file does not know of later
    entries: then it is the catalog that was put back from an older copy.

    Args:
        folder: where the vault stands.
        passphrase: what opens any of its locks.
        who: the person or account that acts, for the journal.
        clock: tells the time.
        patience: seconds to wait for another process that is changing the vault.

    Raises:
        Misuse: there is no vault there, or its journal file is as it was written.
        WrongKey: no lock opens with the passphrase.
        Damaged: the catalog's journal is broken, or the file knows of entries that the catalog lacks.
        MachineFault: the machine would not do it, or another quietus keeps the vault.
    """
    layout, header, keys, lock = unlocked(folder, passphrase)
    if not layout.catalog.exists():
        raise Damaged(f"{layout.catalog.name} is missing from the vault.", "Take the vault from a backup.")
    with assemble(layout, keys, header, Actor(who, lock.id, clock), patience) as vault:
        store = vault.store
        with store.holding() as connection:
            entries = sum(1 for _ in journal.entries(connection, keys))
            _refuse_whole(store, connection)
            _refuse_later(store, entries)
            done = _rewritten(store, connection, entries, clock())
    with open_vault(folder, passphrase, who=who, clock=clock, patience=patience) as vault:
        details = {"entries": done.entries, "sha256": done.sha256, "kept": bool(done.kept)}
        vault.record("journal-file-rewritten", "journal", details)
    return done


def _refuse_whole(store: Store, connection: Connection) -> None:
    with suppress(Damaged):
        journal.missing_from(store.layout.journal, connection, whole=True)
        raise Misuse("The journal file is as it was written.", "There is nothing to write anew.")


def _refuse_later(store: Store, entries: int) -> None:
    """A line that opens under the vault's key and is later than the catalog's last shows an older catalog."""
    for line in _lines(store.layout.journal):
        try:
            number = int(json.loads(line)["number"])
        except (ValueError, KeyError, TypeError, RecursionError):
            continue
        if number > entries and journal.opens(store.keys, line, number):
            raise Damaged(
                "The journal file knows of later entries than the catalog, which must be an older copy.",
                "Put the newest catalog back, or restore the vault from a backup.",
            )


def _lines(path: Path) -> Iterator[str]:
    with machine_faults():
        try:
            with path.open("rb") as file:
                while line := file.readline(_LONGEST_LINE):
                    yield line.decode("utf-8", "replace")
        except FileNotFoundError:
            return


def _rewritten(store: Store, connection: Connection, entries: int, now: datetime) -> JournalRewritten:
    path = store.layout.journal
    kept, digest = None, ""
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise MachineFault("Something that is no file stands in the journal's place.", "Move it out of the vault.")
    if path.exists():
        stamp = now.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
        kept = path.parent.with_name(f"{path.parent.name}-damaged-journal-{stamp}.log")
        digest = _copied(path, kept)
    write_new(path, (line.encode() for line in journal.lines(connection)), over=True)
    return JournalRewritten(entries, kept, digest)


def _copied(path: Path, target: Path) -> str:
    """Copy a file durably to a new one and return its SHA-256, hex."""
    digest = hashlib.sha256()

    def pieces() -> Iterator[bytes]:
        with path.open("rb") as file:
            while piece := file.read(1024 * 1024):
                digest.update(piece)
                yield piece

    write_new(target, pieces())
    return digest.hexdigest()
