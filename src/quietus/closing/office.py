"""The one place where the real parts are chosen: vault, rules, schedules, purposes, recogniser, clock."""

import os
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import lru_cache
from pathlib import Path
from types import TracebackType
from typing import Self

from quietus.bundle.purposes import Purpose, load_purposes
from quietus.closing.config import CONFIG_NAME, TEMPLATE, Config, load_config
from quietus.model.errors import MachineFault, Misuse
from quietus.model.limits import DEFAULT_LIMITS, Limits
from quietus.reading import ReadingPool
from quietus.rules import Packs, Schedules, default_schedule_folder, load_packs, load_schedules
from quietus.vault import Vault, create_vault, open_vault

Clock = Callable[[], datetime]


def utc_now() -> datetime:
    """The real clock: now, in UTC."""
    return datetime.now(UTC)


def person() -> str:
    """Who is at the keyboard: the name of the operating system's user."""
    import getpass  # noqa: PLC0415 - pulls in terminal handling that most commands never need

    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return f"uid {os.getuid()}"


@dataclass(frozen=True, slots=True)
class Office:
    """An opened office: the parts that every use case is given.

    Attributes:
        config: what the config file says.
        vault: the opened vault.
        limits: ceilings for files.
        clock: tells the time, in UTC.
        who: who acts.
    """

    config: Config
    vault: Vault
    limits: Limits
    clock: Clock
    who: str

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.vault.close()

    @property
    def today(self) -> date:
        """The calendar day here: legal dates are local days, not UTC days."""
        return self.clock().astimezone().date()

    def packs(self) -> Packs:
        """What the law and practice expect: the packs that come with quietus under the firm's own."""
        folders = _existing(self.config.rules)
        files = (path for folder in folders for path in sorted(folder.iterdir()) if path.is_file())
        return _packs(folders, tuple((path, path.stat().st_size, path.stat().st_mtime_ns) for path in files))

    def schedules(self) -> Schedules:
        """The firm's retention schedules; those that come with quietus when it has none."""
        return load_schedules(_existing(self.config.retention) or (default_schedule_folder(),))

    def purposes(self) -> dict[str, Purpose]:
        """What bundles can be for."""
        return dict(load_purposes(_existing(self.config.purposes)))

    @property
    def workers(self) -> int:
        """How many papers are read side by side."""
        return self.config.workers or os.cpu_count() or 1

    def reading_pool(self, at_most: int = sys.maxsize) -> ReadingPool:
        """The child processes that look at hostile files, as many as there are workers and `at_most` so many."""
        return ReadingPool(min(self.workers, at_most), self.limits, self.config.tesseract)


@lru_cache(maxsize=1)
def _packs(folders: tuple[Path, ...], _files: tuple[tuple[Path, int, int], ...]) -> Packs:
    """The packs, read again only when a file of the firm's is another: one command asks for them several times."""
    return load_packs(folders)


def _existing(folder: Path) -> tuple[Path, ...]:
    return (folder,) if folder.is_dir() else ()


def found_office(home: Path, passphrase: bytes, *, clock: Clock = utc_now) -> Config:
    """Make a new office in `home`: config file, inbox, retention schedules to edit, and an empty vault.

    Raises:
        Misuse: there is one already, or the passphrase is empty or too long.
        MachineFault: the folder can't be written.
    """
    if (home / CONFIG_NAME).exists():
        raise Misuse("There is an office in that folder already.", "Choose another folder.")
    check_passphrase(passphrase, DEFAULT_LIMITS)
    try:
        home.mkdir(parents=True, exist_ok=True)
        for name in ("inbox", "rules", "purposes"):
            (home / name).mkdir(exist_ok=True, mode=0o700)
        if not (home / "retention_policies").exists():
            shutil.copytree(default_schedule_folder(), home / "retention_policies")
        create_vault(home / "vault", passphrase, who=person(), clock=clock)
        with (home / CONFIG_NAME).open("x", encoding="utf-8") as file:  # last: its presence says that all is there
            file.write(TEMPLATE)
    except OSError as error:
        raise MachineFault(
            f"The office can't be made there: {error.strerror}.", "Check the folder's permissions and free space."
        ) from None
    return load_config(home, DEFAULT_LIMITS.register_bytes)


def open_office(home: Path, passphrase: bytes, *, clock: Clock = utc_now, limits: Limits = DEFAULT_LIMITS) -> Office:
    """Open the office in `home`.

    Raises:
        Misuse, BadData: no office there, or its config file is not as expected.
        WrongKey, Damaged: the vault does not open.
    """
    config = load_config(home, limits.register_bytes)
    check_passphrase(passphrase, limits)
    who = person()
    return Office(config, open_vault(config.vault, passphrase, who=who, clock=clock), limits, clock, who)


def check_passphrase(passphrase: bytes, limits: Limits) -> None:
    """Refuse what can't be a passphrase.

    Raises:
        Misuse: it is empty or longer than the limit.
    """
    if not passphrase:
        raise Misuse(
            "The passphrase is empty.", "Give one at the prompt, in QUIETUS_PASSPHRASE, or by --passphrase-fd."
        )
    if len(passphrase) > limits.passphrase_bytes:
        raise Misuse(f"The passphrase is longer than {limits.passphrase_bytes} bytes.", "Give a shorter one.")
