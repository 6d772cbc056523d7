"""`quietus checkpoint`: proof, kept elsewhere, of what the journal was."""

import json
import os
from pathlib import Path
from typing import Annotated, Any

import typer

from quietus.cli.opening import HomeOption, PassphraseFd, opened
from quietus.cli.screen import out, plain
from quietus.model.errors import MachineFault, Misuse
from quietus.vault import (
    compare_checkpoint,
    compare_fingerprint,
    make_checkpoint,
    proof_holds,
    prove_entry,
    prove_growth,
    read_checkpoint,
)

MOST_PROOF_BYTES = 1024 * 1024

checkpoint = typer.Typer(help="Proof, kept elsewhere, of what the journal was.", no_args_is_help=True)
OutOption = Annotated[
    Path | None, typer.Option("-o", "--out", help="File to write; it must not exist yet.", show_default=False)
]


def attach(app: typer.Typer) -> None:
    """Add the commands to the tree."""
    app.add_typer(checkpoint, name="checkpoint")


@checkpoint.command("make")
def make(file: OutOption = None, home: HomeOption = None, passphrase_fd: PassphraseFd = None) -> int:
    """Sign what the journal is now. Keep the file, or the fingerprint on paper, where the vault is not."""
    with opened(home, passphrase_fd) as office:
        made = make_checkpoint(office.vault)
    if file:
        _write(file, made.text.encode())
    out().print(f"{made.entries} journal entries. Fingerprint: {made.fingerprint}", soft_wrap=True)
    return 0


@checkpoint.command("compare")
def compare(
    against: Annotated[str, typer.Argument(help="The checkpoint's file, or its fingerprint in quotes.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Compare the journal with a checkpoint kept elsewhere.

    Exit status: 0 it only grew since; 3 it was edited, cut, or the vault was put back to an older copy.
    """
    path = Path(against)
    with opened(home, passphrase_fd) as office:
        if path.is_file():
            grown = compare_checkpoint(office.vault, read_checkpoint(_read(path)))
        else:
            grown = compare_fingerprint(office.vault, against)
    out().print(f"The journal holds everything it held then, unchanged, and {grown} entries more.")
    return 0


@checkpoint.command("prove")
def prove(
    file: Annotated[Path, typer.Option("-o", "--out", help="File to write; it must not exist yet.")],
    entry: Annotated[int, typer.Option(help="Number of a journal entry that was there.", show_default=False)] = 0,
    since: Annotated[
        Path | None, typer.Option(help="An older checkpoint that the journal grew from.", show_default=False)
    ] = None,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Write a proof that others can check without quietus: of one entry, or of growth since a checkpoint."""
    if bool(entry) is (since is not None):
        raise Misuse("A proof is of one entry, or of growth.", "Give either --entry or --since.")
    with opened(home, passphrase_fd) as office:
        if since is None:
            proof = prove_entry(office.vault, entry)
        else:
            proof = prove_growth(office.vault, read_checkpoint(_read(since)))
        office.vault.record("proof-exported", "journal", {"proof": proof["proof"], "entry": entry})
    _write(file, (json.dumps(proof, indent=2) + "\n").encode())
    out().print(plain(f"{file}: docs/vault-format.md tells how to check it."), soft_wrap=True)
    return 0


@checkpoint.command("verify")
def verify(file: Annotated[Path, typer.Argument(help="A proof that `prove` wrote.")]) -> int:
    """Check a proof; needs no vault. Exit status: 0 it holds; 3 it does not."""
    try:
        proof: dict[str, Any] = json.loads(_read(file))
    except ValueError as error:
        raise Misuse("That is no proof.", "Give a file that `quietus checkpoint prove` wrote.") from error
    holds = proof_holds(proof)
    out().print("The proof holds." if holds else "The proof does not hold.")
    return 0 if holds else 3


@checkpoint.command("stamp")
def stamp(
    file: Annotated[Path, typer.Argument(help="A checkpoint that `make` wrote.")],
    root: Annotated[Path, typer.Option(help="The service's root certificate, PEM.")],
    service: Annotated[
        str, typer.Option(help="Address of a time stamp service (RFC 3161). Only a hash is sent.", show_default=False)
    ] = "",
    reply: Annotated[
        Path | None,
        typer.Option(help="The stamp's file. Default: the checkpoint's, with .tsr.", show_default=False),
    ] = None,
) -> int:
    """Have a checkpoint time-stamped by a service; without --service verify the stamp it has.

    Anybody can verify it: openssl ts -verify -data FILE -in FILE.tsr -CAfile ROOT.
    """
    from quietus.closing.timestamp import ask_stamp, check_stamp  # noqa: PLC0415 - few need it; it loads slowly

    message, target = _read(file), reply or file.with_name(f"{file.name}.tsr")
    made = read_checkpoint(message)
    if service:
        stamped = ask_stamp(message, service, _read(root))
        _write(target, stamped.reply)
        at = stamped.at
    else:
        at = check_stamp(message, _read(target), _read(root))
    out().print(
        plain(f"{target}: {made.entries} journal entries existed at {at:%Y-%m-%d %H:%M:%S} UTC."), soft_wrap=True
    )
    return 0


def _read(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(MOST_PROOF_BYTES)
    except OSError as error:
        raise Misuse(f"The file can't be read: {error.strerror}.", "Check its name and permissions.") from None


def _write(path: Path, data: bytes) -> None:
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
    except FileExistsError:
        raise Misuse("That file exists already.", "Give another name with -o.") from None
    except OSError as error:
        raise MachineFault(f"The file can't be written: {error.strerror}.", "Check the folder.") from None
