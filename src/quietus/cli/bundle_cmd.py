"""`quietus bundle`: answer an inquiry with a proof of closure."""

from pathlib import Path
from typing import Annotated

import typer

from quietus.cli.opening import AsOf, HomeOption, PassphraseFd, day_of, opened
from quietus.cli.screen import out, plain, progress_bar
from quietus.closing.answer import Answer, Inquiry, answer
from quietus.model.errors import DONE


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("bundle")(bundle)


def bundle(
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    purpose: Annotated[str, typer.Option("--for", help="What it is for: lender, contract, state-notice, or your own.")],
    folder: Annotated[Path, typer.Option("-o", "--out", help="Folder to make; it must not exist yet.")],
    recipient: Annotated[str, typer.Option("--to", help="Who asked, as printed on the cover.")] = "",
    jurisdiction: Annotated[str, typer.Option("--jurisdiction", help="USPS code, for a purpose about one state.")] = "",
    show_gaps: Annotated[
        bool, typer.Option("--show-gaps", help="Answer though incomplete, gaps shown openly.")
    ] = False,
    zipped: Annotated[bool, typer.Option("--zip", help="Make one zip file instead of a folder.")] = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Make a proof of closure: one PDF, the papers as received, and hashes that anyone can check.

    Tax-return information is left out: it may leave only with the taxpayer's consent (26 U.S.C. 7216).
    """
    inquiry = Inquiry(entity, purpose, recipient, jurisdiction.upper(), show_gaps, zipped)
    with opened(home, passphrase_fd) as office, progress_bar("building the bundle") as progress:
        answered = answer(office, inquiry, folder, day_of(asof, office.today), progress)
        names = {paper.id: paper.name for paper in office.vault.papers(entity)}
    _print(answered, names)
    return DONE


def _print(answered: Answer, names: dict[str, str]) -> None:
    console, made = out(), answered.made
    console.print(plain(f"bundle   {made.path}"), soft_wrap=True)
    console.print(f"proof    {made.pages} pages, {made.exhibits} exhibits, sha256 {made.pdf_sha256}", soft_wrap=True)
    console.print(f"manifest sha256 {made.manifest_sha256}", soft_wrap=True)
    if made.gaps:
        console.print(f"gaps     {made.gaps}, shown openly", soft_wrap=True)
    for item in answered.selection.included:
        console.print(plain(f"goes in  {item.expected.key}: {names[item.paper.id]}"), soft_wrap=True)
    for left in answered.selection.left_out:
        console.print(plain(f"left out {names[left.paper]}: {left.reason}"), soft_wrap=True)
