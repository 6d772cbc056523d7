"""`quietus check`: is everything in the vault as it was written?"""

from pathlib import Path
from typing import Annotated

import typer

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, home_of, opened, passphrase
from quietus.cli.screen import out, plain, print_json, progress_bar
from quietus.closing.disposal import resume
from quietus.closing.safekeeping import check_copy, rewrite_office_journal
from quietus.model.errors import Misuse
from quietus.vault import CheckReport, check_vault


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("check")(check)


def check(
    quick: Annotated[bool, typer.Option("--quick", help="Look at rows and links only, not at every byte.")] = False,
    deep: Annotated[bool, typer.Option("--deep", help="Read every byte again; done anyway unless --quick.")] = False,
    vault: Annotated[
        Path | None, typer.Option("--vault", help="Check a copy of the vault's folder instead.", show_default=False)
    ] = None,
    rewrite: Annotated[
        bool, typer.Option("--rewrite-journal", help="Write a damaged journal file anew from the catalog first.")
    ] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Verify every object, row and journal entry.

    Exit status: 0 all is as written; 3 something is not.
    """
    if quick and deep:
        raise Misuse("A check is either quick or deep.", "Leave one of the two options out.")
    if rewrite:
        return _rewrite(home, vault, passphrase(passphrase_fd))
    certified: tuple[object, ...] = ()
    with progress_bar("checking") as progress:
        if vault:
            report = check_copy(vault, passphrase(passphrase_fd), deep=not quick, progress=progress)
        else:
            with opened(home, passphrase_fd) as office:
                report = check_vault(office.vault, deep=not quick, progress=progress)
                certified = resume(office) if report.sound else ()
    if as_json:
        print_json(_report_json(report))
    else:
        _print(report)
        if certified:
            out().print(f"{len(certified)} destructions that had been cut short are certified now.")
    return 3 if report.problems else 0


def _rewrite(home: Path | None, vault: Path | None, secret: bytes) -> int:
    done = rewrite_office_journal(vault or home_of(home), secret)
    out().print(f"The journal file was written anew from the catalog: {done.entries} entries.")
    if done.kept:
        out().print(plain(f"The damaged one was put beside the vault: {done.kept}"), soft_wrap=True)
    out().print("Run `quietus check` now, and compare with a checkpoint that was kept elsewhere.")
    return 0


def _print(report: CheckReport) -> None:
    for repaired in report.repaired:
        out().print(plain(f"repaired: {repaired}"), soft_wrap=True)
    for problem in report.problems:
        out().print(plain(f"PROBLEM {problem.where}: {problem.what}"), style="bold red", soft_wrap=True)
        out().print(plain(f"   {problem.remedy}"), soft_wrap=True)
    state = f"{len(report.problems)} problems" if report.problems else "all is as it was written"
    out().print(f"{report.objects} sealed papers, {report.rows} rows, {report.entries} journal entries: {state}.")


def _report_json(report: CheckReport) -> dict[str, object]:
    return {
        "objects": report.objects,
        "rows": report.rows,
        "entries": report.entries,
        "repaired": [str(item) for item in report.repaired],
        "problems": [{"what": p.what, "where": p.where, "remedy": p.remedy} for p in report.problems],
    }
