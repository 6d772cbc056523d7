"""Finding the office and asking for its passphrase. The passphrase is never an argument: others can see those."""

import os
import sys
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from quietus.cli.screen import errors, plain
from quietus.closing.config import CONFIG_NAME, find_home
from quietus.closing.office import Office, open_office
from quietus.model.errors import Misuse

HomeOption = Annotated[
    Path | None,
    typer.Option(
        "--home", envvar="QUIETUS_HOME", help="The office's folder. Default: this folder or the nearest one above.",
        show_default=False,
    ),
]  # fmt: skip
PassphraseFd = Annotated[
    int | None,
    typer.Option("--passphrase-fd", help="Read the passphrase from this file descriptor.", show_default=False),
]
AsOf = Annotated[
    str, typer.Option("--asof", help="Ask about another day (YYYY-MM-DD). Default: today.", show_default=False)
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]


def home_of(given: Path | None) -> Path:
    """The office's folder.

    Raises:
        Misuse: none was given and none is near.
    """
    home = given or find_home(Path.cwd())
    if home is None:
        raise Misuse(
            f"There is no {CONFIG_NAME} here or above.",
            "Run `quietus init FOLDER` to make an office, or name its folder with --home or QUIETUS_HOME.",
        )
    return home


def opened(home: Path | None, passphrase_fd: int | None, secret: bytes | None = None) -> Office:
    """The opened office, with the passphrase taken from a descriptor, the environment, or the prompt if not given."""
    office = open_office(home_of(home), passphrase(passphrase_fd) if secret is None else secret)
    for note in office.vault.notes:
        errors().print(plain(f"put right: {note}"), soft_wrap=True)
    return office


def passphrase(descriptor: int | None, *, twice: bool = False) -> bytes:
    """The passphrase, in UTF-8.

    Args:
        descriptor: file descriptor to read it from; its first line counts.
        twice: ask again at the prompt, to catch a slip.

    Raises:
        Misuse: there is no prompt to ask at, the descriptor can't be read, or the two differ.
    """
    if descriptor is not None:
        return from_descriptor(descriptor)
    from_environment = os.environ.pop("QUIETUS_PASSPHRASE", None)  # taken out, so that child processes never see it
    if from_environment is not None:
        return from_environment.encode()
    if not sys.stdin.isatty():
        raise Misuse(
            "There is no terminal to ask for the passphrase.",
            "Set QUIETUS_PASSPHRASE or give --passphrase-fd N.",
        )
    first: str = typer.prompt("Passphrase", hide_input=True, err=True)
    if twice and first != typer.prompt("The same again", hide_input=True, err=True):
        raise Misuse("The two passphrases differ.", "Run the command again.")
    return first.encode()


def from_descriptor(descriptor: int) -> bytes:
    """The first line that can be read from a file descriptor.

    Raises:
        Misuse: it can't be read.
    """
    try:
        with os.fdopen(descriptor, "rb", closefd=False) as file:
            return file.readline(65536).rstrip(b"\r\n")
    except OSError as error:
        raise Misuse(f"File descriptor {descriptor} can't be read: {error.strerror}.", "Open it for reading.") from None


def day_of(text: str, today: date) -> date:
    """The day that `--asof` names, or today.

    Raises:
        Misuse: it is not a date.
    """
    if not text:
        return today
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Misuse("--asof takes a date as YYYY-MM-DD.", "Write it like 2026-03-31.") from None
