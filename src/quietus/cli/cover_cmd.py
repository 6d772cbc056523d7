"""`quietus cover`: mark what has to be covered on a paper before it leaves the office."""

from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import HomeOption, PassphraseFd, opened
from quietus.cli.screen import out, plain
from quietus.closing.covering import mark, unmark
from quietus.model.errors import DONE, Misuse
from quietus.model.paper import Paper
from quietus.model.reading import Box, PrivateSort

cover = typer.Typer(
    help="Places to cover on a paper before it leaves, beside those found by reading.", no_args_is_help=True
)
PaperArgument = Annotated[str, typer.Argument(help="The paper's id, or its first digits.")]


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.add_typer(cover, name="cover")


@cover.command("mark")
def mark_(
    paper: PaperArgument,
    page: Annotated[int, typer.Option("--page", help="Page of the file, from 1.")],
    box: Annotated[
        str, typer.Option("--box", help="Left,top,right,bottom in percent of the page as a viewer shows it.")
    ],
    sort: Annotated[PrivateSort, typer.Option("--sort", help="What stands there.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Mark a place. It is covered for every purpose that hides what stands there."""
    with opened(home, passphrase_fd) as office:
        marked = mark(office, paper, page, _box(box), sort)
    _print(marked)
    return DONE


@cover.command("list")
def list_(paper: PaperArgument, home: HomeOption = None, passphrase_fd: PassphraseFd = None) -> int:
    """List the places to cover on a paper, those found by reading and those marked by hand."""
    with opened(home, passphrase_fd) as office:
        found = office.vault.paper(paper)
    _print(found)
    return DONE


@cover.command("unmark")
def unmark_(
    paper: PaperArgument,
    number: Annotated[int, typer.Argument(help="Which of its places, as listed.")],
    reason: Annotated[str, typer.Option("--reason", help="Why nothing private stands there.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Take a mark back. The reason is kept in the journal, and the former marks with the former reading."""
    with opened(home, passphrase_fd) as office:
        left = unmark(office, paper, number, reason)
    _print(left)
    return DONE


def _print(paper: Paper) -> None:
    out().print(plain(f"{paper.id[:8]}  {paper.name}"), style="bold", soft_wrap=True)
    table = Table("no.", "page", "what", "left, top, right, bottom in percent", box=None, pad_edge=False)
    for number, spot in enumerate(paper.reading.private, start=1):
        edges = ", ".join(f"{100 * edge:.1f}" for edge in spot.box)
        table.add_row(str(number), str(spot.page), spot.sort.value.replace("_", " "), edges)
    out().print(table if paper.reading.private else "Nothing to cover is marked on it.")


def _box(text: str) -> Box:
    try:
        left, top, right, bottom = (float(part) / 100 for part in text.split(","))
    except ValueError:
        raise Misuse("A box has four numbers.", "Write it like --box 10,20,45,24: left, top, right, bottom.") from None
    return Box(left, top, right, bottom)
