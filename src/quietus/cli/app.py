"""The command tree, and the one place where errors become output and exit statuses."""

import os
import resource
import sys
import traceback
from pathlib import Path
from typing import Annotated

import typer

from quietus import __version__
from quietus.cli import (
    backup_cmd,
    bundle_cmd,
    calendar_cmd,
    check_cmd,
    checkpoint_cmd,
    consent_cmd,
    cover_cmd,
    desk_cmd,
    draft_cmd,
    entity_cmd,
    hold_cmd,
    ingest_cmd,
    init_cmd,
    inquiry_cmd,
    journal_cmd,
    lock_cmd,
    paper_cmd,
    plan_cmd,
    read_cmd,
    retain_cmd,
    review_cmd,
    rules_cmd,
    verify_cmd,
    waive_cmd,
)
from quietus.cli.screen import complain
from quietus.model.errors import DONE, Misuse, OwnFault, QuietusError

app = typer.Typer(
    name="quietus",
    help="Read, file, seal, verify and prove the papers of companies being closed.\n\n"
    "Not legal or tax advice: check each rule's source and date; you or the client's counsel decide.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

for module in (
    init_cmd, entity_cmd, ingest_cmd, review_cmd, verify_cmd, plan_cmd, calendar_cmd, waive_cmd, bundle_cmd,
    consent_cmd, inquiry_cmd, draft_cmd, cover_cmd, read_cmd, retain_cmd, hold_cmd, paper_cmd, check_cmd,
    journal_cmd, rules_cmd, desk_cmd, lock_cmd, checkpoint_cmd, backup_cmd,
):  # fmt: skip
    module.attach(app)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"quietus {__version__}")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    """Nothing to do before a command."""


def main() -> None:
    """Run the command line; never returns.

    Exit statuses are those of `quietus.model.errors`.
    """
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))  # a core dump would hold keys
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """Run one command and return its exit status."""
    try:
        status = app(arguments, prog_name="quietus", standalone_mode=False)
    except QuietusError as error:
        return complain(error)
    except (typer.Abort, KeyboardInterrupt):
        return complain(Misuse("Stopped.", ""))
    except typer.TyperException as error:
        return complain(_misuse(error))
    except Exception as fault:  # noqa: BLE001 - the last edge: nothing may reach the person as a traceback
        return complain(_own_fault(fault))
    return status if isinstance(status, int) else DONE


def _misuse(error: typer.TyperException) -> Misuse:
    """What typer found wrong with the words of the command."""
    format_message = getattr(error, "format_message", None)
    message = format_message() if format_message else str(error)
    return Misuse(message or "No such command.", "Run the command with --help to see what it takes.")


def _own_fault(fault: Exception) -> OwnFault:
    """A fault of quietus itself, named by its place alone: its message might carry client data."""
    if os.environ.get("QUIETUS_TRACEBACK"):
        raise fault
    last = traceback.extract_tb(fault.__traceback__)[-1]
    where = f"{type(fault).__name__} at {Path(last.filename).name}:{last.lineno}"
    return OwnFault(
        f"quietus stopped on a fault of its own ({where}).",
        "Nothing is lost. Please report this line; QUIETUS_TRACEBACK=1 shows more, and may show client data.",
    )
