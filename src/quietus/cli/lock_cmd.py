"""`quietus lock`: who and what opens the vault. `quietus rekey`: a new root key."""

import os
import sys
from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, from_descriptor, opened, passphrase
from quietus.cli.screen import out, plain, print_json
from quietus.model.errors import MachineFault, Misuse
from quietus.vault import (
    LockKind,
    LockView,
    add_lock,
    change_lock,
    find_lock,
    locks_of,
    new_key,
    remove_lock,
    renew_root,
)

lock = typer.Typer(help="What opens the vault: passphrases, a printed recovery key, key files.", no_args_is_help=True)
LockArgument = Annotated[str, typer.Argument(help="The lock's name, or the first digits of its id.")]
NewFd = Annotated[
    int | None,
    typer.Option("--new-passphrase-fd", help="Read the new passphrase from this file descriptor.", show_default=False),
]


def attach(app: typer.Typer) -> None:
    """Add the commands to the tree."""
    app.add_typer(lock, name="lock")
    app.command("rekey")(rekey)


@lock.command("list")
def list_(home: HomeOption = None, passphrase_fd: PassphraseFd = None, as_json: JsonOption = False) -> int:
    """List the locks; any one of them opens the vault."""
    with opened(home, passphrase_fd) as office:
        views = locks_of(office.vault)
    if as_json:
        for view in views:
            cost = view.cost
            print_json({"id": view.id, "name": view.name, "kind": view.kind.value, "in_use": view.in_use,
                        "dated": view.dated, "passes": cost.passes if cost else None,
                        "memory_kib": cost.memory_kib if cost else None})  # fmt: skip
        return 0
    table = Table("id", "name", "kind", "a guess costs", "", box=None, pad_edge=False)
    for view in views:
        table.add_row(
            view.id[:8], plain(view.name), view.kind.value, _cost(view), "opened with it" if view.in_use else ""
        )
    out().print(table)
    return 0


def _cost(view: LockView) -> str:
    if view.cost is None:
        return "2^256 tries"
    said = f"{view.cost.memory_kib // 1024} MiB, {view.cost.passes} passes"
    return f"{said}; less than today's: renew it with `quietus lock change`" if view.dated else said


@lock.command("add")
def add(
    name: Annotated[str, typer.Argument(help="Whose it is, or where it is kept.")],
    recovery: Annotated[bool, typer.Option("--recovery", help="Print a recovery key to be kept on paper.")] = False,
    key_file: Annotated[
        Path | None, typer.Option("--key-file", help="Write a key file here, such as on a stick.", show_default=False)
    ] = None,
    new_passphrase_fd: NewFd = None,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Add a lock: a passphrase for one more person, a recovery key to print, or a key file.

    A recovery key is typed at the passphrase prompt; a key file is given by --passphrase-fd 3 3<FILE.
    """
    if recovery and key_file:
        raise Misuse("A lock is either a recovery key or a key file.", "Leave one of the two options out.")
    with opened(home, passphrase_fd) as office:
        if not (recovery or key_file):
            add_lock(office.vault, LockKind.PASSPHRASE, new_passphrase(new_passphrase_fd), name)
        else:
            secret = new_key()
            if key_file:  # first the file: a lock without its key would be of no use to anybody
                _write_key(key_file, secret)
            add_lock(office.vault, LockKind.KEY_FILE if key_file else LockKind.RECOVERY, secret, name)
            if recovery:
                _show(secret)
    out().print(plain(f"{name}: opens the vault from now on."))
    return 0


@lock.command("change")
def change(
    name: LockArgument,
    new_passphrase_fd: NewFd = None,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Give a passphrase lock a new passphrase, at today's cost of a guess; give a recovery key lock a new key."""
    with opened(home, passphrase_fd) as office:
        view = find_lock(office.vault, name)
        if view.kind is LockKind.KEY_FILE:
            raise Misuse("A key file is not changed in place.", "Add a new one, then remove this lock.")
        secret = new_key() if view.kind is LockKind.RECOVERY else new_passphrase(new_passphrase_fd)
        change_lock(office.vault, view.id, secret)
        if view.kind is LockKind.RECOVERY:
            _show(secret)
    out().print(plain(f"{view.name}: changed. Copies of the vault made before still open with the old one."))
    return 0


@lock.command("remove")
def remove(name: LockArgument, home: HomeOption = None, passphrase_fd: PassphraseFd = None) -> int:
    """Remove a lock."""
    with opened(home, passphrase_fd) as office:
        view = find_lock(office.vault, name)
        remove_lock(office.vault, view.id)
    out().print(
        plain(
            f"{view.name}: removed. Who had it may have kept the root key: `quietus rekey` makes a new one. "
            "Backups made before still open with it."
        ),
        soft_wrap=True,
    )
    return 0


def rekey(
    keep: Annotated[
        list[str] | None,
        typer.Option("--keep", help="Keep this lock too; its passphrase or key is asked for. Repeat for more."),
    ] = None,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Give the vault a new root key. Papers are not rewritten; locks that are not kept have to be added anew."""
    secret = passphrase(passphrase_fd)
    with opened(home, passphrase_fd, secret) as office:
        known = {view.id: secret for view in locks_of(office.vault) if view.in_use}
        for name in keep or ():
            view = find_lock(office.vault, name)
            known[view.id] = _ask(f"Passphrase or key of {plain(view.name)}")
        kept, gone = renew_root(office.vault, known)
    out().print(plain(f"The root key is new. Kept: {', '.join(view.name for view in kept)}."), soft_wrap=True)
    if gone:
        out().print(plain(f"Gone, to be added anew: {', '.join(view.name for view in gone)}."), soft_wrap=True)
    return 0


def new_passphrase(descriptor: int | None) -> bytes:
    """A passphrase for a lock: from a descriptor, QUIETUS_NEW_PASSPHRASE, or the prompt, twice.

    Raises:
        Misuse: there is no prompt to ask at, or the two differ.
    """
    if descriptor is not None:
        return from_descriptor(descriptor)
    from_environment = os.environ.pop("QUIETUS_NEW_PASSPHRASE", None)  # so that child processes never see it
    if from_environment is not None:
        return from_environment.encode()
    first = _ask("New passphrase")
    if first != _ask("The same again"):
        raise Misuse("The two passphrases differ.", "Run the command again.")
    return first


def _ask(what: str) -> bytes:
    if not sys.stdin.isatty():
        raise Misuse("There is no terminal to ask at.", "Set QUIETUS_NEW_PASSPHRASE or give --new-passphrase-fd N.")
    said: str = typer.prompt(what, hide_input=True, err=True)
    return said.encode()


def _show(secret: bytes) -> None:
    console = out()
    console.print(
        "Recovery key. Write it down or print it, and keep it apart from this machine; it is not shown again:"
    )
    console.print(f"\n    {secret.decode()}\n", style="bold", soft_wrap=True)


def _write_key(path: Path, secret: bytes) -> None:
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(secret + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except FileExistsError:
        raise Misuse("That file exists already.", "Give another name.") from None
    except OSError as error:
        raise MachineFault(f"The key file can't be written: {error.strerror}.", "Check the folder.") from None
