"""Backup and restore of a whole office: its vault, and the few files that say how it works."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from quietus.closing.config import CONFIG_NAME, TEMPLATE, load_config
from quietus.closing.holds import held
from quietus.closing.office import Clock, Office, person, utc_now
from quietus.model.errors import MachineFault, Misuse
from quietus.model.limits import DEFAULT_LIMITS
from quietus.vault import (
    BackupReport,
    CheckReport,
    JournalRewritten,
    RestoreReport,
    back_up,
    check_vault,
    copies,
    fetch_copy,
    open_vault,
    place_at,
    rewrite_journal,
    settle_restored,
    thin_out,
    verify_copy,
)

MOST_SETTINGS_BYTES = 16 * 1024 * 1024

Progress = Callable[[int, int], None]


def _unheard(*_: object) -> None:
    """Nobody asked to be told."""


@dataclass(frozen=True, slots=True)
class Restored:
    """A restored office.

    Attributes:
        home: its folder.
        report: what was restored.
    """

    home: Path
    report: RestoreReport


def back_up_office(office: Office, where: str, *, keep: int = 0, progress: Progress = _unheard) -> BackupReport:
    """Copy the vault and the office's own files to a folder or an `s3://` address; only what is new is copied.

    Args:
        office: opened.
        where: the folder or address.
        keep: how many of the newest copies to keep; 0 keeps all.
        progress: called with files done and files in all.

    Raises:
        Misuse: the place is inside the office, holds another vault's backup, or is no place.
        MachineFault: the machine or the store would not do it.
    """
    if "://" not in where and _inside(Path(where), office.config.vault):
        raise Misuse("A backup inside the vault is lost with it.", "Choose a folder on another disk.")
    place = place_at(where)
    report = back_up(office.vault, place, settings=_settings(office), progress=progress)
    if keep:
        thin_out(place, keep)
    return report


def restore_office(
    where: str,
    home: Path,
    passphrase: bytes,
    *,
    copy: str = "",
    clock: Clock = utc_now,
    progress: Progress = _unheard,
) -> Restored:
    """Make an office from a backup alone, in a new folder.

    Args:
        where: the folder or `s3://` address of the backup.
        home: the new office's folder; must not hold an office.
        passphrase: what opens the copy: its locks are those of the time when it was made.
        copy: name of the copy; the newest when empty.
        clock: tells the time.
        progress: called with files done and files in all.

    Raises:
        Misuse: there is an office already, or no such copy.
        WrongKey: the copy does not open; its files stay in the new folder.
        Damaged: the backup is not as it was written; nothing is made then.
        MachineFault: the machine or the store would not do it.
    """
    if (home / CONFIG_NAME).exists():
        raise Misuse("There is an office in that folder already.", "Choose another folder.")
    place = place_at(where)
    names = copies(place)
    if not names:
        raise Misuse("There is no backup at that place.", "Give the place that `quietus backup` was given.")
    folder = home / "vault"
    made = fetch_copy(place, copy or names[-1], folder, progress)
    with open_vault(folder, passphrase, who=person(), clock=clock) as vault:
        report = settle_restored(vault, place, made, held=lambda paper: held(vault, paper))
    _write_settings(home, report.settings)
    return Restored(home.absolute(), report)


def copies_at(where: str) -> tuple[str, ...]:
    """Names of the copies at a place, oldest first."""
    return copies(place_at(where))


def verify_backup(where: str, copy: str = "", progress: Progress = _unheard) -> tuple[tuple[str, str], ...]:
    """Read every byte of one copy, or of the newest; file and sentence for each thing that is wrong.

    Raises:
        Misuse: there is no such copy.
        Damaged: the copy's list is not as it was written.
    """
    place = place_at(where)
    names = (copy,) if copy else copies(place)[-1:]
    if not names:
        raise Misuse("There is no backup at that place.", "Give the place that `quietus backup` was given.")
    return tuple(verify_copy(place, names[0], progress))


def check_copy(
    folder: Path, passphrase: bytes, *, deep: bool = True, progress: Progress = _unheard, clock: Clock = utc_now
) -> CheckReport:
    """Check a copy of a vault's folder, with no office around it.

    Raises:
        Misuse: there is no vault there.
        WrongKey, Damaged: it does not open.
    """
    with open_vault(folder, passphrase, who=person(), clock=clock) as vault:
        return check_vault(vault, deep=deep, progress=progress)


def rewrite_office_journal(folder: Path, passphrase: bytes, *, clock: Clock = utc_now) -> JournalRewritten:
    """Write a vault's damaged journal file anew from its catalog.

    Args:
        folder: an office's folder, or a vault's.
        passphrase: what opens it.
        clock: tells the time.

    Raises:
        Misuse, WrongKey, Damaged, MachineFault: see `quietus.vault.rewrite_journal`.
    """
    if (folder / CONFIG_NAME).exists():
        folder = load_config(folder, DEFAULT_LIMITS.register_bytes).vault
    return rewrite_journal(folder, passphrase, who=person(), clock=clock)


def _inside(path: Path, folder: Path) -> bool:
    return path.resolve().is_relative_to(folder.resolve())


def _settings(office: Office) -> dict[str, bytes]:
    """The files that people edit, by where a restored office has them."""
    config = office.config
    sources = {"rules": config.rules, "retention_policies": config.retention, "purposes": config.purposes}
    try:
        found = {CONFIG_NAME: (config.home / CONFIG_NAME).read_bytes()}
        for name, folder in sources.items():
            for path in sorted(folder.glob("*.toml")):
                found[f"{name}/{path.name}"] = path.read_bytes()
    except OSError as error:
        raise MachineFault(f"The office's files can't be read: {error.strerror}.", "Check their permissions.") from None
    if sum(map(len, found.values())) > MOST_SETTINGS_BYTES:
        raise Misuse(
            "The office's own files are too large.", "Keep only rules, schedules and purposes in their folders."
        )
    return found


def _write_settings(home: Path, settings: dict[str, bytes]) -> None:
    try:
        for name in ("inbox", "rules", "purposes", "retention_policies"):
            (home / name).mkdir(exist_ok=True, mode=0o700)
        for name, data in settings.items():
            path = PurePosixPath(name)
            if path.is_absolute() or ".." in path.parts or name == CONFIG_NAME:
                continue
            _write(home / path, data)
        # Last: its presence says that all is there. The places in it are those of the old machine: ours are the usual.
        _write(home / CONFIG_NAME, TEMPLATE.encode())
        if CONFIG_NAME in settings:
            _write(home / f"{CONFIG_NAME}.restored", settings[CONFIG_NAME])
    except OSError as error:
        raise MachineFault(
            f"The office can't be made there: {error.strerror}.", "Check the folder's permissions and free space."
        ) from None


def _write(path: Path, data: bytes) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
