"""`quietus backup` and `quietus restore`."""

from pathlib import Path
from typing import Annotated

import typer

from quietus.cli.opening import HomeOption, PassphraseFd, opened, passphrase
from quietus.cli.screen import out, plain, progress_bar
from quietus.closing.safekeeping import back_up_office, copies_at, restore_office, verify_backup
from quietus.vault import read_checkpoint

WHERE = "A folder, better on another disk, or an s3://bucket/folder address; its keys come from the environment."
PlaceArgument = Annotated[str, typer.Argument(help=WHERE)]
CopyOption = Annotated[str, typer.Option("--copy", help="Which copy. Default: the newest.", show_default=False)]


def attach(app: typer.Typer) -> None:
    """Add the commands to the tree."""
    app.command("backup")(backup)
    app.command("restore")(restore)


def backup(
    place: PlaceArgument,
    list_: Annotated[bool, typer.Option("--list", help="List the copies there, and do nothing else.")] = False,
    verify: Annotated[bool, typer.Option("--verify", help="Read a copy whole, and do nothing else.")] = False,
    copy: CopyOption = "",
    keep: Annotated[int, typer.Option(help="Remove all but so many of the newest copies. 0 keeps all.", min=0)] = 0,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Copy what is new to a backup. It holds all that is needed to restore, sealed as it is in the vault.

    Listing and verifying need no passphrase. Exit status: 0 done; 3 the backup is not as it was written.
    """
    if list_:
        for name in copies_at(place):
            out().print(name)
        return 0
    if verify:
        return _verify(place, copy)
    with opened(home, passphrase_fd) as office, progress_bar("copying") as progress:
        report = back_up_office(office, place, keep=keep, progress=progress)
    fingerprint = read_checkpoint(report.copy.checkpoint.encode()).fingerprint
    out().print(
        f"{report.copy.name}: {report.copy.papers} papers, {report.all_bytes:,} bytes ({report.new_bytes:,} new).\n"
        f"Fingerprint of the journal, for your files: {fingerprint}",
        soft_wrap=True,
    )
    return 0


def _verify(place: str, copy: str) -> int:
    with progress_bar("verifying") as progress:
        problems = verify_backup(place, copy, progress)
    for file, sentence in problems:
        out().print(plain(f"PROBLEM {file}: {sentence}"), style="bold red", soft_wrap=True)
    out().print(f"{len(problems)} problems." if problems else "Every byte of the copy is as it was written.")
    return 3 if problems else 0


def restore(
    place: PlaceArgument,
    folder: Annotated[Path, typer.Argument(help="Where the restored office will be; a new folder.")],
    copy: CopyOption = "",
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Make an office from a backup alone. It opens with the passphrases and keys of the time of the copy."""
    secret = passphrase(passphrase_fd)
    with progress_bar("restoring") as progress:
        made = restore_office(place, folder, secret, copy=copy, progress=progress)
    report, console = made.report, out()
    console.print(plain(f"{made.home}: {report.copy.papers} papers restored from {report.copy.name}."), soft_wrap=True)
    if report.later:
        console.print(f"This is not the newest copy: {report.later} later ones are there.", style="bold")
    if report.destroyed_again:
        console.print(
            f"{len(report.destroyed_again)} papers in it were destroyed later; they were destroyed again.",
            soft_wrap=True,
        )
    if report.held:
        console.print(
            f"{len(report.held)} papers in it were destroyed later, and are back: a hold of then keeps them.",
            style="bold",
            soft_wrap=True,
        )
    if report.unknown:
        console.print(
            f"{report.unknown} later copies were signed after the root key was renewed, or by somebody else. What was "
            "destroyed by then is back: look at `quietus journal` of the newest copy.",
            style="bold",
            soft_wrap=True,
        )
    console.print(
        "What was destroyed after the newest copy is back as well: heed certificates that were kept elsewhere with "
        "`quietus retain destroy-again`.",
        soft_wrap=True,
    )
    console.print(f"Next: `quietus check --home {plain(str(folder))}`.", soft_wrap=True)
    return 0
