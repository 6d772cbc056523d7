"""`quietus consent`: what a taxpayer signed, so that tax-return information may be shown to somebody."""

from datetime import date
from typing import Annotated, Any

import typer
from rich.table import Table

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, day_of, opened
from quietus.cli.screen import CAUTION, out, plain, print_json
from quietus.closing.consents import Signed, consents, record_consent, record_declined, withdraw_consent
from quietus.model.consent import Consent, Filer, consent_to_json
from quietus.model.entity import COMPANY
from quietus.model.errors import DONE, Misuse
from quietus.model.kinds import Kind

consent = typer.Typer(
    help="Consents of taxpayers to show their tax-return information (26 U.S.C. 7216; Treas. Reg. 301.7216-3).",
    no_args_is_help=True,
)


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.add_typer(consent, name="consent")


@consent.command("record")
def record(
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    paper: Annotated[str, typer.Option("--paper", help="The signed paper in the vault: its id, or the first digits.")],
    recipient: Annotated[str, typer.Option("--to", help="The recipient, exactly as the paper names it.")],
    purpose: Annotated[str, typer.Option("--for", help="The purpose of bundles that it was given for.")],
    kinds: Annotated[str, typer.Option("--kinds", help="What may be shown, such as final_return,ein_closure_letter.")],
    signed: Annotated[str, typer.Option("--signed", help="The day it was signed (YYYY-MM-DD).")],
    signer: Annotated[str, typer.Option("--signer", help="Who signed for the taxpayer.")],
    until: Annotated[
        str, typer.Option("--until", help="The last day it holds (YYYY-MM-DD). Default: one year.", show_default=False)
    ] = "",
    scopes: Annotated[
        str, typer.Option("--scopes", help="Where from: USPS codes, US, company. Default: everywhere.")
    ] = "",
    years: Annotated[str, typer.Option("--years", help="Years in which the periods end. Default: all.")] = "",
    member: Annotated[
        list[str] | None, typer.Option("--member", help="A member who signed for their own schedule; may be repeated.")
    ] = None,
    taxpayer: Annotated[str, typer.Option("--taxpayer", help="The taxpayer. Default: the company or its owner.")] = "",
    filer: Annotated[
        Filer | None, typer.Option("--filer", help="Kind of return. Default: by the company's tax classification.")
    ] = None,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Record a signed consent. It lets out what it names, to whom it names, for what it names, as long as it holds."""
    with opened(home, passphrase_fd) as office:
        said = Signed(
            entity=entity,
            paper=paper,
            recipient=recipient,
            purpose=purpose,
            kinds=kinds_given(kinds),
            signer=signer,
            signed=day_given(signed, "--signed"),
            until=day_given(until, "--until") if until else None,
            scopes=scopes_given(scopes),
            years=years_given(years),
            members=frozenset(member or ()),
            taxpayer=taxpayer,
            filer=filer,
        )
        made = record_consent(office, said, office.today)
    out().print(
        plain(f"Consent {made.id} of {made.taxpayer}: to {made.recipient}, for {made.purpose}, until {made.until}."),
        soft_wrap=True,
    )
    out().print(CAUTION, style="italic")
    return DONE


@consent.command("list")
def list_(
    entity: Annotated[str, typer.Argument(help="The entity's short name. Default: all.")] = "",
    asof: Annotated[str, typer.Option("--asof", help="Ask about another day (YYYY-MM-DD).", show_default=False)] = "",
    as_json: JsonOption = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """List consents, and say which hold."""
    with opened(home, passphrase_fd) as office:
        today, found = day_of(asof, office.today), consents(office, entity)
    if as_json:
        print_json({"schema": 1, "asof": today.isoformat(), "consents": [_json(one, today) for one in found]})
        return DONE
    table = Table("no.", "entity", "recipient", "for", "shows", "signed", "until", "state", box=None, pad_edge=False)
    for one in found:
        table.add_row(
            one.id,
            one.entity,
            plain(one.recipient),
            one.purpose,
            plain(_shows(one)),
            str(one.signed),
            str(one.until),
            plain(one.stands(today) or "holds"),
        )
    out().print(table if found else "No consents.")
    return DONE


@consent.command("declined")
def declined(
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    purpose: Annotated[str, typer.Option("--for", help="The purpose of bundles that it was asked for.")],
    recipient: Annotated[str, typer.Option("--to", help="To whom would have been shown.")] = "",
    on: Annotated[str, typer.Option("--on", help="The day it was said (YYYY-MM-DD). Default: today.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Write down that the taxpayer said no: for a like purpose no consent is drawn up again."""
    with opened(home, passphrase_fd) as office:
        made = record_declined(office, entity, recipient, purpose, day_given(on, "--on") if on else office.today)
    out().print(f"{made.entity}: a consent for {made.purpose} was declined on {made.on}. It is not to be asked again.")
    return DONE


@consent.command("withdraw")
def withdraw(
    number: Annotated[str, typer.Argument(help="The consent's number.")],
    reason: Annotated[str, typer.Option("--reason", help="How it was taken back: letter, call, by whom.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Take note that a consent was taken back. From today on it lets nothing out."""
    with opened(home, passphrase_fd) as office:
        gone = withdraw_consent(office, number, reason, office.today)
    out().print(f"Consent {gone.id} was withdrawn on {gone.withdrawn}.")
    return DONE


def _shows(one: Consent) -> str:
    where = f" from {', '.join(sorted(one.scopes))}" if one.scopes else ""
    years = f" of {', '.join(map(str, sorted(one.years)))}" if one.years else ""
    return ", ".join(kind.words for kind in Kind if kind in one.kinds) + where + years


def _json(one: Consent, today: date) -> dict[str, Any]:
    reason = one.stands(today)
    return {"id": one.id, "entity": one.entity, **consent_to_json(one), "holds": not reason, "why": reason}


def kinds_given(text: str) -> frozenset[Kind]:
    """The kinds of paper in a list with commas.

    Raises:
        Misuse: there is no such kind.
    """
    return frozenset(map(_kind, _words(text)))


def scopes_given(text: str) -> frozenset[str]:
    """The jurisdictions in a list with commas, in capitals but for the company itself."""
    return frozenset(word.lower() if word.lower() == COMPANY else word.upper() for word in _words(text))


def years_given(text: str) -> frozenset[int]:
    """The years in a list with commas.

    Raises:
        Misuse: one is no year.
    """
    return frozenset(map(_year, _words(text)))


def day_given(text: str, option: str) -> date:
    """The day that an option names.

    Raises:
        Misuse: it is no date.
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Misuse(f"{option} takes a date as YYYY-MM-DD.", "Write it like 2026-03-31.") from None


def _words(text: str) -> list[str]:
    return [word.strip() for word in text.split(",") if word.strip()]


def _kind(word: str) -> Kind:
    try:
        return Kind(word)
    except ValueError:
        raise Misuse("There is no such kind of paper.", f"Kinds are: {', '.join(Kind)}.") from None


def _year(word: str) -> int:
    if not word.isascii() or not word.isdigit() or len(word) != 4:
        raise Misuse("A year has four digits.", "Write it like --years 2025,2026.")
    return int(word)
