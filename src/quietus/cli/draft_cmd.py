"""`quietus draft`: letters and forms to check and sign, filled in from the register, the papers and the rules."""

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from quietus.bundle.drafts.draft import Draft
from quietus.cli.consent_cmd import day_given, kinds_given, scopes_given, years_given
from quietus.cli.opening import AsOf, HomeOption, PassphraseFd, day_of, opened
from quietus.cli.screen import CAUTION, out, plain
from quietus.closing.drafts import Wish, draft_consent, draft_letter, write_draft
from quietus.closing.office import Office
from quietus.model.consent import Filer
from quietus.model.errors import DONE

draft = typer.Typer(
    help="Letters and forms as PDF and plain text, for you to check, sign and send. Nothing is signed or sent here.",
    no_args_is_help=True,
)

Entity = Annotated[str, typer.Argument(help="The entity's short name.")]
File = Annotated[Path, typer.Option("-o", "--out", help="The PDF to write; the text goes beside it, as .txt.")]
To = Annotated[
    str, typer.Option("--to", help="Name of whom it goes to. Default: from the rules, or a line to fill in.")
]
ToAddress = Annotated[str, typer.Option("--to-address", help="That one's address. Default: a line to fill in.")]
Address = Annotated[str, typer.Option("--address", help="The company's address, also for replies and claims.")]
Jurisdiction = Annotated[str, typer.Option("--jurisdiction", help="USPS code. Default: the home jurisdiction.")]
Force = Annotated[bool, typer.Option("--force", help="Replace files of that name.")]


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.add_typer(draft, name="draft")


@draft.command("copy")
def copy(
    entity: Entity,
    file: File,
    jurisdiction: Jurisdiction = "",
    to: To = "",
    to_address: ToAddress = "",
    address: Address = "",
    force: Force = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Ask a filing office for a copy of the filing that ended the registration, with its mark."""
    with opened(home, passphrase_fd) as office:
        wish = Wish(to, to_address, address)
        return _letter(office, entity, "copy", wish, file, jurisdiction=jurisdiction, asof=asof, force=force)


@draft.command("clearance")
def clearance(
    entity: Entity,
    file: File,
    jurisdiction: Jurisdiction = "",
    to: To = "",
    to_address: ToAddress = "",
    address: Address = "",
    force: Force = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Ask a tax agency for its clearance."""
    with opened(home, passphrase_fd) as office:
        wish = Wish(to, to_address, address)
        return _letter(office, entity, "clearance", wish, file, jurisdiction=jurisdiction, asof=asof, force=force)


@draft.command("ein")
def ein(
    entity: Entity,
    file: File,
    to_address: ToAddress = "",
    address: Address = "",
    force: Force = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Ask the Internal Revenue Service to close the account of the company's number."""
    with opened(home, passphrase_fd) as office:
        return _letter(office, entity, "ein", Wish("", to_address, address), file, asof=asof, force=force)


@draft.command("creditor")
def creditor(
    entity: Entity,
    file: File,
    to: To = "",
    to_address: ToAddress = "",
    address: Address = "",
    force: Force = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Tell a known creditor of the dissolution, with the last day for claims by the law of the home state."""
    with opened(home, passphrase_fd) as office:
        return _letter(office, entity, "creditor", Wish(to, to_address, address), file, asof=asof, force=force)


@draft.command("newspaper")
def newspaper(
    entity: Entity,
    file: File,
    to: To = "",
    to_address: ToAddress = "",
    address: Address = "",
    county: Annotated[str, typer.Option("--county", help="County of the principal office.")] = "",
    force: Force = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Have a notice of dissolution published, for creditors that the company does not know."""
    with opened(home, passphrase_fd) as office:
        wish = Wish(to, to_address, address, {"county": county})
        return _letter(office, entity, "newspaper", wish, file, asof=asof, force=force)


@draft.command("bill")
def bill(
    entity: Entity,
    file: File,
    to: To = "",
    to_address: ToAddress = "",
    address: Address = "",
    number: Annotated[str, typer.Option("--bill", help="Number and amount of the bill.")] = "",
    dated: Annotated[str, typer.Option("--bill-date", help="The day of the bill.")] = "",
    force: Force = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Dispute a bill raised after the closing for something that the company did not order."""
    with opened(home, passphrase_fd) as office:
        wish = Wish(to, to_address, address, {"bill": number, "bill_date": dated})
        return _letter(office, entity, "bill", wish, file, asof=asof, force=force)


@draft.command("notice")
def notice(
    entity: Entity,
    file: File,
    jurisdiction: Jurisdiction = "",
    to: To = "",
    to_address: ToAddress = "",
    address: Address = "",
    dated: Annotated[str, typer.Option("--notice-date", help="Date and number of the notice.")] = "",
    force: Force = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Reply to a state's notice, the letter alone; `quietus inquiry notice` makes the proof with it."""
    with opened(home, passphrase_fd) as office:
        wish = Wish(to, to_address, address, {"notice_date": dated})
        return _letter(office, entity, "notice", wish, file, jurisdiction=jurisdiction, asof=asof, force=force)


@draft.command("consent")
def consent(
    entity: Entity,
    file: File,
    purpose: Annotated[str, typer.Option("--for", help="The purpose of bundles that it is for.")],
    to: To = "",
    kinds: Annotated[str, typer.Option("--kinds", help="What may be shown. Default: all that the purpose names.")] = "",
    scopes: Annotated[str, typer.Option("--scopes", help="Where from: USPS codes, US, company. Default: all.")] = "",
    years: Annotated[str, typer.Option("--years", help="Years in which the periods end. Default: all.")] = "",
    until: Annotated[str, typer.Option("--until", help="The last day it holds. Default: one year.")] = "",
    member: Annotated[
        list[str] | None, typer.Option("--member", help="A member who signs for their own schedule; may be repeated.")
    ] = None,
    taxpayer: Annotated[str, typer.Option("--taxpayer", help="The taxpayer. Default: the company or its owner.")] = "",
    filer: Annotated[Filer | None, typer.Option("--filer", help="Kind of return. Default: by tax class.")] = None,
    force: Force = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """A consent for the taxpayer to sign, with what 26 U.S.C. 7216 and its regulation ask for."""
    with opened(home, passphrase_fd) as office:
        made = draft_consent(
            office,
            entity,
            to,
            purpose,
            kinds_given(kinds),
            scopes=scopes_given(scopes),
            years=years_given(years),
            until=day_given(until, "--until") if until else None,
            members=tuple(member or ()),
            taxpayer=taxpayer,
            filer=filer,
        )
        return _write(office, entity, made, file, force=force)


def _letter(
    office: Office,
    entity: str,
    name: str,
    wish: Wish,
    file: Path,
    *,
    jurisdiction: str = "",
    asof: str,
    force: bool,
) -> int:
    today: date = day_of(asof, office.today)
    made = draft_letter(office, entity, name, wish, today, jurisdiction=jurisdiction.upper())
    return _write(office, entity, made, file, force=force)


def _write(office: Office, entity: str, made: Draft, file: Path, *, force: bool) -> int:
    pdf, text = write_draft(office, entity, made, file, replace=force)
    console = out()
    console.print(plain(f"{made.title}: {pdf} and {text}; not encrypted."), soft_wrap=True)
    for blank in made.blanks:
        console.print(plain(f"fill in  {blank}"), soft_wrap=True)
    for caution in made.cautions:
        console.print(plain(f"look     {caution}"), soft_wrap=True)
    for source in dict.fromkeys(str(rule.source) for rule in made.rules):
        console.print(plain(f"source   {source}"), soft_wrap=True)
    console.print("A draft: check it, sign it, and send it yourself.", soft_wrap=True)
    console.print(CAUTION, style="italic")
    return DONE
