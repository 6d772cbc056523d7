"""`quietus retain approve` to `certificate`: disposing of papers, by persons, provably."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, opened
from quietus.cli.screen import errors, out, plain, print_json
from quietus.closing import approval as approving
from quietus.closing.approval import Approval
from quietus.closing.certificate import export_certificate
from quietus.closing.clockwatch import confirm_clock
from quietus.closing.disposal import Disposed, certificate_named, certificates, destroy_again, dispose
from quietus.model.errors import DONE, OPEN_ENDS, Misuse

ReasonOption = Annotated[str, typer.Option(help="Why; it stays in the journal, so put no client data in it.")]
ApprovalArgument = Annotated[str, typer.Argument(help="The approval's id, or its first digits.")]


def attach(app: typer.Typer) -> None:
    """Add the commands to the group."""
    app.command("approve")(approve)
    app.command("approve-too")(approve_too)
    app.command("withdraw")(withdraw)
    app.command("approvals")(approvals)
    app.command("dispose")(dispose_)
    app.command("certificate")(certificate)
    app.command("destroy-again")(again)
    app.command("clock-is-right")(clock_is_right)


def approve(
    reason: ReasonOption,
    papers: Annotated[list[str] | None, typer.Argument(help="Ids of papers, or their first digits.")] = None,
    all_due: Annotated[bool, typer.Option("--all-due", help="All that `retain due` lists.")] = False,
    entity: Annotated[str, typer.Option("--entity", help="With --all-due: only this entity's.")] = "",
    two: Annotated[bool, typer.Option("--two", help="A second person has to approve as well.")] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Approve that papers which are due be disposed of. Nothing is destroyed yet."""
    if all_due == bool(papers):
        raise Misuse("Name papers, or give --all-due.", "See `quietus retain due`.")
    with opened(home, passphrase_fd) as office:
        wanted = papers or [one.kept.paper.id for one in approving.due(office, office.today, entity)]
        given = approving.approve(office, wanted, reason, two=two)
    out().print(f"Approval {given.id}: {len(given.items)} papers.", style="bold")
    second = f"Next: another person runs `quietus retain approve-too {given.id}`, under a lock of their own."
    out().print(second if given.two else f"Next: `quietus retain dispose {given.id}`.", soft_wrap=True)
    return 0


def approve_too(
    approval: ApprovalArgument, reason: ReasonOption, home: HomeOption = None, passphrase_fd: PassphraseFd = None
) -> int:
    """Give the second person's approval, under a lock other than the first person's."""
    with opened(home, passphrase_fd) as office:
        given = approving.approve_too(office, approval, reason)
    out().print(f"Next: `quietus retain dispose {given.id}`.")
    return 0


def withdraw(
    approval: ApprovalArgument, reason: ReasonOption, home: HomeOption = None, passphrase_fd: PassphraseFd = None
) -> int:
    """Take an approval back."""
    with opened(home, passphrase_fd) as office:
        approving.withdraw(office, approval, reason)
    out().print("Withdrawn.")
    return 0


def approvals(home: HomeOption = None, passphrase_fd: PassphraseFd = None, as_json: JsonOption = False) -> int:
    """List approvals, and what each lacks."""
    with opened(home, passphrase_fd) as office:
        found, today = approving.approvals(office.vault), office.today
        gone = {stub.id for stub in office.vault.stubs()}
    rows = [(one, sum(item.paper in gone for item in one.items), one.lacks(today)) for one in found]
    if as_json:
        print_json([_approval_json(*row) for row in rows])
        return 0
    table = Table("approval", "on", "by", "papers", "destroyed", "state", "reason", box=None, pad_edge=False)
    for one, done, lack in rows:
        state = "carried out" if done == len(one.items) else lack or "ready"
        words = (one.id, str(one.first.on), one.first.by, str(len(one.items)), str(done), state, one.first.reason)
        table.add_row(*map(plain, words))
    out().print(table if rows else "No approvals.")
    return 0


def _approval_json(one: Approval, done: int, lack: str) -> dict[str, object]:
    return {
        "approval": one.id,
        "on": one.first.on.isoformat(),
        "by": one.first.by,
        "reason": one.first.reason,
        "two": one.two,
        "second": one.second.by if one.second else None,
        "papers": [item.paper for item in one.items],
        "destroyed": done,
        "lacks": lack or None,
    }


def dispose_(
    approvals: Annotated[
        list[str] | None, typer.Argument(help="Ids of approvals. Default: all that are ready.")
    ] = None,
    backup: Annotated[
        list[str] | None,
        typer.Option("--backup", help="A backup of this office (folder or s3:// address) that shall forget them too."),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Don't ask again.")] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Destroy what was approved: key, sealed bytes, readings, names; then write a signed certificate of each.

    Holds, rules and the clock are looked at once more. Every backup named gets a new copy first; then the copies that
    hold the papers are removed from it. Exit status: 0 done; 1 something was refused, or a backup was not reached.
    """
    if not yes:
        typer.confirm("Destroy the approved papers for good? Nobody can bring them back.", abort=True, err=True)
    with opened(home, passphrase_fd) as office:
        made = dispose(office, approvals or (), backup or ())
    if as_json:
        print_json(_disposed_json(made))
    else:
        _print_disposed(made)
    return OPEN_ENDS if made.unreached or any(one.refused for one in made.outcomes) else DONE


def _print_disposed(made: Disposed) -> None:
    for one in made.certificates:
        what = f"{one.tree['paper']['what']}, {one.tree['rule']['title']}, kept until {one.tree['rule']['until']}"
        out().print(plain(f"destroyed {one.paper[:8]}  {what}"), soft_wrap=True)
    for outcome in made.outcomes:
        if outcome.refused:
            out().print(plain(f"REFUSED   {outcome.paper[:8]}  {outcome.refused}"), style="bold", soft_wrap=True)
    for where, why in made.unreached:
        errors().print(plain(f"not reached: {where}: {why}"), style="bold", soft_wrap=True)
    if made.copies:
        out().print(f"{len(made.copies)} backup copies that held destroyed papers were removed.")
    if not made.certificates:
        out().print("Nothing was destroyed.")
        return
    out().print("Each has a certificate: `quietus retain certificate PAPER`. Copies that it names still open.")


def _disposed_json(made: Disposed) -> dict[str, object]:
    return {
        "destroyed": [one.paper for one in made.certificates],
        "refused": [{"paper": one.paper, "why": one.refused} for one in made.outcomes if one.refused],
        "copies_removed": list(made.copies),
        "backups_not_reached": [{"place": where, "why": why} for where, why in made.unreached],
    }


def certificate(
    paper: Annotated[str, typer.Argument(help="The destroyed paper's id, or its first digits. Default: a list.")] = "",
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write it with its signatures here.", show_default=False)
    ] = None,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show the certificate of a destruction, or export it so that anyone can check it with OpenSSL."""
    with opened(home, passphrase_fd) as office:
        found = [certificate_named(office.vault, paper)] if paper else list(certificates(office.vault))
    if as_json:
        print_json([one.tree for one in found])
        return 0
    if not paper:
        for one in found:
            done = one.tree["destroyed"]["finished"][:10]
            out().print(plain(f"{one.paper[:8]}  {done}  {one.tree['paper']['what']}"), soft_wrap=True)
        out().print(f"{len(found)} certificates.")
        return 0
    if output is None:
        out().print(plain_lines(found[0].text_file.decode()), soft_wrap=True)
        return 0
    for path in export_certificate(found[0], output):
        out().print(plain(str(path)), soft_wrap=True)
    return 0


def plain_lines(text: str) -> str:
    """Text of several lines without control characters but the ends of lines."""
    return "\n".join(plain(line) for line in text.splitlines())


def again(
    folders: Annotated[list[Path], typer.Argument(help="Folders that `retain certificate -o` wrote.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """After an older copy of the vault was put back: destroy again what certificates kept elsewhere tell of."""
    with opened(home, passphrase_fd) as office:
        done = destroy_again(office, folders, lambda words: out().print(plain(words), style="bold", soft_wrap=True))
    for paper in done:
        out().print(f"destroyed again {paper[:8]}")
    out().print(f"{len(done)} papers were back, and are destroyed again.")
    return 0


def clock_is_right(reason: ReasonOption, home: HomeOption = None, passphrase_fd: PassphraseFd = None) -> int:
    """Say that the machine's clock is right, after it went back, leapt ahead, or nothing was done for 45 days."""
    with opened(home, passphrase_fd) as office:
        confirm_clock(office, reason)
        now = office.clock()
    out().print(f"Entered in the journal: the clock is right at {now:%Y-%m-%d %H:%M} UTC.")
    return 0
