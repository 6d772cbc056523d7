"""`quietus init`: make an office."""

from pathlib import Path
from typing import Annotated

import typer

from quietus.cli.opening import PassphraseFd, passphrase
from quietus.cli.screen import CAUTION, out
from quietus.closing.office import found_office


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("init")(init)


def init(
    folder: Annotated[Path, typer.Argument(help="Where the office will be.")] = Path(),
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Make an office: an encrypted vault, an inbox, and a config file.

    There is no way back without the passphrase or another lock: see `quietus lock add --recovery`.
    """
    config = found_office(folder, passphrase(passphrase_fd, twice=True))
    console = out()
    console.print(
        f"office   {config.home}\ninbox    {config.inbox}\nvault    {config.vault} (encrypted)", soft_wrap=True
    )
    console.print(
        "Without the passphrase nobody can open the vault. `quietus lock add safe --recovery` prints a second key: "
        "keep it on paper, apart from this machine. `quietus backup PLACE` keeps a copy of everything.",
        soft_wrap=True,
    )
    console.print("Next: `quietus entity import LIST.toml`, then drop scans into the inbox.")
    console.print(CAUTION, style="italic")
    return 0
