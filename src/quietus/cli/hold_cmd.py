"""`quietus hold`: papers that may not be disposed of, whatever their rule says."""

from datetime import date
from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, day_of, opened
from quietus.cli.screen import out, plain, print_json
from quietus.closing import holds
from quietus.closing.approval import candidates
from quietus.model.hold import Hold

hold = typer.Typer(help="Keep papers whatever their rule says, until the hold is released.", no_args_is_help=True)


def attach(app: typer.Typer) -> None:
    """Add the commands to the tree."""
    app.add_typer(hold, name="hold")


@hold.command("set")
def set_(
    reason: Annotated[str, typer.Option(help="Why, such as the matter; it stays in the journal.")],
    entity: Annotated[str, typer.Option(help="Only papers of this entity, by its short name.")] = "",
    paper: Annotated[str, typer.Option(help="Only this paper, by its id or its first digits.")] = "",
    jurisdiction: Annotated[
        str, typer.Option(help="Only papers of this jurisdiction: a USPS code, US or company.")
    ] = "",
    kind: Annotated[
        list[str] | None, typer.Option(help="Only papers of this kind; more than one may be given.")
    ] = None,
    from_: Annotated[str, typer.Option("--from", help="Only papers dated on this day or later (YYYY-MM-DD).")] = "",
    to: Annotated[str, typer.Option("--to", help="Only papers dated on this day or earlier.")] = "",
    review: Annotated[str, typer.Option(help="When somebody should ask whether it is still needed.")] = "",
    everything: Annotated[bool, typer.Option("--everything", help="Every paper there is and will be.")] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Set a hold. All that is said of a paper must fit; what is not surely known of one counts as fitting.

    It counts for what is on file and for what comes, until it is released.
    """
    with opened(home, passphrase_fd) as office:
        wanted = Hold(
            id="", reason=reason, by="", on=office.today, review=_day(review), entity=entity, paper=paper,
            jurisdiction=jurisdiction, kinds=frozenset(kind or ()), since=_day(from_), until=_day(to),
        )  # fmt: skip
        made = holds.set_hold(office, wanted, everything=everything)
        caught = sum(made in one.holds for one in candidates(office, office.today))
    out().print(
        plain(f"Hold {made.id} on {made.scope}: catches {caught} papers on file, and what comes."), soft_wrap=True
    )
    return 0


def _day(text: str) -> date | None:
    return day_of(text, date.min) if text else None


@hold.command("list")
def list_(
    all_: Annotated[bool, typer.Option("--all", help="Released ones too.")] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """List holds, how many papers each catches, and which are past their review date."""
    with opened(home, passphrase_fd) as office:
        found = [one for one in holds.holds(office.vault) if all_ or one.released is None]
        papers, today = candidates(office, office.today), office.today
    counts = {one.id: sum(one in paper.holds for paper in papers) for one in found}
    if as_json:
        print_json([{"hold": one.id, **holds.hold_tree(one), "papers": counts[one.id]} for one in found])
        return 0
    table = Table("hold", "set", "by", "on what", "papers", "review", "reason", box=None, pad_edge=False)
    for one in found:
        late = " PASSED" if one.review and one.review < today and not one.released else ""
        review = f"released {one.released.on}" if one.released else f"{one.review or ''}{late}"
        words = (one.id, str(one.on), one.by, one.scope, str(counts[one.id]), review, one.reason)
        table.add_row(*map(plain, words))
    out().print(table if found else "No holds.")
    return 0


@hold.command("release")
def release(
    hold_id: Annotated[str, typer.Argument(metavar="HOLD", help="The hold's id, or its first digits.")],
    reason: Annotated[str, typer.Option(help="Why it is no longer needed.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Release a hold. Nothing is shortened and nothing destroyed by it; other holds stay."""
    with opened(home, passphrase_fd) as office:
        made = holds.release_hold(office, hold_id, reason)
    out().print(plain(f"Released {made.id} on {made.scope}. Its papers are kept as their rules say."), soft_wrap=True)
    return 0
