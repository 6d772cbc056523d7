"""`quietus inquiry`: the log of who asked what, and what was sent whom."""

from pathlib import Path
from typing import Annotated, Any

import typer
from rich.table import Table

from quietus.bundle.purposes import Form
from quietus.cli.bundle_cmd import print_answer
from quietus.cli.consent_cmd import day_given
from quietus.cli.opening import AsOf, HomeOption, JsonOption, PassphraseFd, day_of, opened
from quietus.cli.screen import CAUTION, covered_words, out, plain, print_json, progress_bar
from quietus.closing.inquiries import inquiries, inquiry_named, mark_sent, open_inquiry
from quietus.closing.notices import answer_notice
from quietus.model.errors import DONE
from quietus.model.inquiry import Inquiry, Reply, inquiry_to_json

inquiry = typer.Typer(help="The log of inquiries: who asked what, and what was sent whom.", no_args_is_help=True)
Number = Annotated[str, typer.Argument(help="The inquiry's number.")]


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.add_typer(inquiry, name="inquiry")


@inquiry.command("record")
def record(
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    asker: Annotated[str, typer.Option("--from", help="Who asks.")],
    asks: Annotated[str, typer.Option("--asked", help="What was asked.")],
    on: Annotated[str, typer.Option("--on", help="The day it came in (YYYY-MM-DD). Default: today.")] = "",
    jurisdiction: Annotated[str, typer.Option("--jurisdiction", help="USPS code, when a state asks.")] = "",
    paper: Annotated[str, typer.Option("--paper", help="The letter in the vault: its id, or the first digits.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Write down that somebody asked."""
    with opened(home, passphrase_fd) as office:
        day = day_given(on, "--on") if on else office.today
        made = open_inquiry(office, entity, asker, asks, day, jurisdiction=jurisdiction.upper(), paper=paper)
    out().print(plain(f"Inquiry {made.id} of {made.asker} about {made.entity}, {made.on}."), soft_wrap=True)
    out().print(f"Answer it with `quietus bundle {made.entity} --inquiry {made.id}`.", soft_wrap=True)
    return DONE


@inquiry.command("list")
def list_(
    entity: Annotated[str, typer.Argument(help="The entity's short name. Default: all.")] = "",
    as_json: JsonOption = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """List inquiries, and what became of them."""
    with opened(home, passphrase_fd) as office:
        found = inquiries(office, entity)
    if as_json:
        print_json({"schema": 1, "inquiries": [_json(one) for one in found]})
        return DONE
    table = Table("no.", "entity", "came in", "from", "asked", "state", "last bundle", box=None, pad_edge=False)
    for one in found:
        last = one.replies[-1].manifest_sha256[:12] if one.replies else ""
        table.add_row(one.id, one.entity, str(one.on), plain(one.asker), plain(one.asks), one.state, last)
    out().print(table if found else "No inquiries.")
    return DONE


@inquiry.command("show")
def show(
    number: Number, as_json: JsonOption = False, home: HomeOption = None, passphrase_fd: PassphraseFd = None
) -> int:
    """Show one inquiry: who asked, and what was sent whom, with hashes and consents."""
    with opened(home, passphrase_fd) as office:
        one = inquiry_named(office, number)
        names = {paper.id: paper.name for paper in office.vault.papers(one.entity)}
    if as_json:
        print_json({"schema": 1, **_json(one)})
        return DONE
    console = out()
    console.print(plain(f"Inquiry {one.id} about {one.entity}: {one.state}"), style="bold", soft_wrap=True)
    console.print(plain(f"asked    {one.on} by {one.asker}: {one.asks} (written down by {one.by})"), soft_wrap=True)
    if one.jurisdiction or one.paper:
        at = names.get(one.paper, one.paper[:8])
        console.print(plain(f"notice   {one.jurisdiction} {at}".rstrip()), soft_wrap=True)
    for reply in one.replies:
        _print_reply(reply, names)
    return DONE


def _print_reply(reply: Reply, names: dict[str, str]) -> None:
    console = out()
    about = f" about {reply.jurisdiction}" if reply.jurisdiction else ""
    console.print(
        plain(f"bundle   {reply.made:%Y-%m-%d %H:%M} UTC by {reply.by}, for {reply.recipient or 'nobody named'}, "
              f"purpose {reply.purpose}{about}"),
        soft_wrap=True,
    )  # fmt: skip
    sent = f"{reply.sent}{', ' + reply.how if reply.how else ''}" if reply.sent else "nobody said that it was"
    console.print(plain(f"sent     {sent}"), soft_wrap=True)
    console.print(f"proof    sha256 {reply.pdf_sha256}", soft_wrap=True)
    console.print(f"manifest sha256 {reply.manifest_sha256}", soft_wrap=True)
    for paper in reply.papers:
        covered = f": {covered_words(paper.hidden)}" if paper.form == Form.REDACTED else ""
        under = f", under consent {paper.consent}" if paper.consent else ""
        name = names.get(paper.id, "a paper no longer on file")
        console.print(plain(f"held     {paper.expected}: {name} ({paper.form}{covered}{under})"), soft_wrap=True)
    if reply.gaps:
        console.print(f"gaps     {reply.gaps}, shown openly", soft_wrap=True)


@inquiry.command("sent")
def sent(
    number: Number,
    on: Annotated[str, typer.Option("--on", help="The day it was sent (YYYY-MM-DD). Default: today.")] = "",
    how: Annotated[str, typer.Option("--how", help="How: certified mail, portal, handed over.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Write down that the newest bundle for an inquiry was sent."""
    with opened(home, passphrase_fd) as office:
        one = mark_sent(office, number, day_given(on, "--on") if on else office.today, how)
    out().print(f"Inquiry {one.id}: sent on {one.replies[-1].sent}.")
    return DONE


@inquiry.command("notice")
def notice(
    paper: Annotated[str, typer.Argument(help="The state's notice in the vault: its id, or the first digits.")],
    folder: Annotated[Path, typer.Option("-o", "--out", help="Folder to make; it must not exist yet.")],
    jurisdiction: Annotated[
        str, typer.Option("--jurisdiction", help="USPS code. Default: the one read off the notice.")
    ] = "",
    recipient: Annotated[str, typer.Option("--to", help="Who sent it. Default: the agency in the rules.")] = "",
    show_gaps: Annotated[
        bool, typer.Option("--show-gaps", help="Answer though incomplete, gaps shown openly.")
    ] = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Answer a state's notice that came after the closing: a letter to check and sign, and the bundle for it."""
    with opened(home, passphrase_fd) as office, progress_bar("building the bundle") as progress:
        made = answer_notice(
            office,
            paper,
            folder,
            day_of(asof, office.today),
            jurisdiction=jurisdiction.upper(),
            recipient=recipient,
            show_gaps=show_gaps,
            progress=progress,
        )
    console = out()
    console.print(plain(f"letter   {made.letter}"), soft_wrap=True)
    print_answer(made.answer)
    for blank in made.draft.blanks:
        console.print(plain(f"fill in  {blank}"), soft_wrap=True)
    for caution in made.draft.cautions:
        console.print(plain(f"look     {caution}"), soft_wrap=True)
    console.print("A draft: check it, sign it, and send it yourself.", soft_wrap=True)
    console.print(CAUTION, style="italic")
    return DONE


def _json(one: Inquiry) -> dict[str, Any]:
    return {"id": one.id, "entity": one.entity, "state": one.state, **inquiry_to_json(one)}
