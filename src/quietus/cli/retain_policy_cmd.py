"""`quietus retain policy` and `accept`: what papers are kept by, and what a change of it would do."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import AsOf, HomeOption, JsonOption, PassphraseFd, day_of, opened
from quietus.cli.retain_words import paper_words, until_words
from quietus.cli.screen import out, plain, print_json
from quietus.closing.policy import accept, accepted, in_force
from quietus.closing.policy_diff import PolicyDiff, policy_diff, unaccepted
from quietus.model.retention import Keep

_SHOWN = 40  # changes printed; --json has all


def attach(app: typer.Typer) -> None:
    """Add the commands to the group."""
    app.command("policy")(policy)
    app.command("accept")(accept_)


def policy(
    diff: Annotated[
        Path | None,
        typer.Option(
            "--policy-diff", show_default=False, help="Show what the schedules in this folder would change, and stop."
        ),
    ] = None,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show which schedules count, and what a change would do before it does anything.

    A file in the folder of --policy-diff takes the place of the office's file of that name. Exit status: 0 nothing
    would be kept less long; 1 something would.
    """
    with opened(home, passphrase_fd) as office:
        day = day_of(asof, office.today)
        before, now = accepted(office), in_force(office)
        made = policy_diff(office, diff, day) if diff else unaccepted(office, day)
    if as_json:
        print_json(_diff_json(made))
        return 1 if made.shortened else 0
    rules = len(now.now.schedules.rules)
    since = f"accepted on {before.on} by {before.by}" if before else "not accepted yet; the first filing accepts them"
    out().print(plain(f"{rules} rules, schedules {now.digest[:12]}; {since}."), soft_wrap=True)
    if now.changed:
        out().print("The schedules were changed since. Longer counts at once, shorter once accepted.", style="bold")
    _print_diff(made)
    return 1 if made.shortened else 0


def _print_diff(made: PolicyDiff) -> None:
    longer = len(made.changes) - made.shortened
    due = sum(change.due for change in made.changes)
    out().print(
        f"Of {made.papers} papers, {made.shortened} would be kept less long, {longer} longer; {due} would be due.",
        soft_wrap=True,
    )
    table = Table("paper", "what", "now", "then", "", box=None, pad_edge=False)
    for change in made.changes[:_SHOWN]:
        sign = "due" if change.due else "shorter" if change.shorter else "longer"
        words = plain(paper_words(change.paper))
        table.add_row(change.paper.id[:8], words, until_words(change.before), until_words(change.after), sign)
    if made.changes:
        out().print(table)
    if len(made.changes) > _SHOWN:
        out().print(f"… and {len(made.changes) - _SHOWN} more; --json lists all.")


def _diff_json(made: PolicyDiff) -> dict[str, object]:
    return {
        "papers": made.papers,
        "shortened": made.shortened,
        "changes": [
            {
                "paper": change.paper.id,
                "entity": change.paper.entity,
                "before": _keep_json(change.before),
                "after": _keep_json(change.after),
                "shorter": change.shorter,
                "due": change.due,
            }
            for change in made.changes
        ],
    }


def _keep_json(keep: Keep) -> dict[str, object]:
    return {
        "clock": keep.clock.value,
        "until": keep.until.isoformat() if keep.until else None,
        "decided_by": keep.winner.rule if keep.winner else None,
    }


def accept_(
    reason: Annotated[str, typer.Option(help="Why papers on file may be kept less long.")],
    yes: Annotated[bool, typer.Option("--yes", help="Don't ask again.")] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Accept the schedules as they stand for what is on file, even where they are shorter than what was promised."""
    with opened(home, passphrase_fd) as office:
        made = unaccepted(office, office.today)
        _print_diff(made)
        if made.shortened and not yes:
            typer.confirm("Keep these papers less long from now on?", abort=True, err=True)
        accept(office, reason, made.shortened)
    out().print("Accepted, and entered in the journal.")
    return 0
