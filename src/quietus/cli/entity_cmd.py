"""`quietus entity`: the register of companies being closed."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, opened
from quietus.cli.screen import out, plain, print_json
from quietus.closing.closings import entity_named
from quietus.closing.register import entity_from, keep_entities, read_register
from quietus.model.entity import Entity, Registration, TaxClass

entity = typer.Typer(help="The register: companies being closed, and where they are registered.", no_args_is_help=True)


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.add_typer(entity, name="entity")


@entity.command("import")
def import_(
    file: Annotated[Path, typer.Argument(help="Entity list, .toml or .csv (see the README for both).")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Put every entity of a list on the register; one that is there already is replaced."""
    with opened(home, passphrase_fd) as office:
        entities = read_register(file, office.limits.register_bytes)
        keep_entities(office.vault, entities)
    for item in entities:
        out().print(plain(f"{item.slug}: {item.name}; home {item.home}; also {_codes(item) or 'nowhere else'}"))
    return 0


@entity.command("add")
def add(
    name: Annotated[str, typer.Option(help="Legal name.")],
    ein: Annotated[str, typer.Option(help="EIN, NN-NNNNNNN.")],
    classification: Annotated[TaxClass, typer.Option(help="Federal tax classification.")],
    in_home: Annotated[str, typer.Option("--in", help="Home jurisdiction, CODE or CODE:FILE-NUMBER.")],
    also: Annotated[list[str], typer.Option(help="Foreign registration, CODE or CODE:FILE-NUMBER; repeat.")] = [],  # noqa: B006 - typer copies it
    formed: Annotated[str, typer.Option(help="Formation date, YYYY-MM-DD.")] = "",
    closed: Annotated[str, typer.Option(help="Closing date, YYYY-MM-DD.")] = "",
    year_end: Annotated[str, typer.Option(help="Tax-year end, MM-DD.")] = "12-31",
    member: Annotated[list[str], typer.Option(help="A member's name; repeat.")] = [],  # noqa: B006 - typer copies it
    employees: Annotated[bool, typer.Option(help="Wages were paid in the last year.")] = False,
    assets: Annotated[bool, typer.Option(help="There was something to sell or distribute.")] = True,
    creditors: Annotated[bool | None, typer.Option(help="It owes, or may owe, somebody.", show_default=False)] = None,
    contractors_paid: Annotated[bool, typer.Option(help="Contractors were paid in the last year.")] = False,
    sold_business: Annotated[bool, typer.Option(help="Its business was sold as a whole.")] = False,
    last_wages: Annotated[str, typer.Option(help="Day wages were last paid, YYYY-MM-DD.")] = "",
    plan_adopted: Annotated[str, typer.Option(help="Day the plan to liquidate was adopted, YYYY-MM-DD.")] = "",
    slug: Annotated[str, typer.Option(help="Short name. Default: made from the legal name.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Put one entity on the register."""
    item = entity_from(
        {
            "name": name,
            "ein": ein,
            "classification": classification.value,
            "home": in_home.partition(":")[0],
            "formed": formed,
            "closed": closed,
            "year_end": year_end,
            "members": member,
            "employees": employees,
            "has_assets": assets,
            **({} if creditors is None else {"has_creditors": creditors}),
            "contractors_paid": contractors_paid,
            "sold_business": sold_business,
            "last_wages": last_wages,
            "plan_adopted": plan_adopted,
            "slug": slug,
            "registration": [
                {"jurisdiction": code, "file_number": number}
                for code, _, number in (text.partition(":") for text in (in_home, *also))
            ],
        }
    )
    with opened(home, passphrase_fd) as office:
        keep_entities(office.vault, (item,))
    out().print(plain(f"{item.slug}: {item.name}; home {item.home}; also {_codes(item) or 'nowhere else'}"))
    return 0


@entity.command("list")
def list_(home: HomeOption = None, passphrase_fd: PassphraseFd = None, as_json: JsonOption = False) -> int:
    """List the register."""
    with opened(home, passphrase_fd) as office:
        entities = office.vault.entities()
    if as_json:
        print_json([_entity_json(item) for item in entities])
        return 0
    table = Table(box=None, pad_edge=False)
    for head in ("short name", "legal name", "EIN", "taxed as", "home", "also in", "closed"):
        table.add_column(head, no_wrap=head != "legal name", overflow="fold")
    for item in entities:
        closed = item.closed.isoformat() if item.closed else "not yet"
        table.add_row(item.slug, plain(item.name), item.ein, item.tax_class, item.home, _codes(item), closed)
    out().print(table if entities else "The register is empty: `quietus entity import LIST.toml` fills it.")
    return 0


@entity.command("show")
def show(
    slug: Annotated[str, typer.Argument(help="The entity's short name.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show one entity whole."""
    with opened(home, passphrase_fd) as office:
        item = entity_named(office, slug)
    if as_json:
        print_json(_entity_json(item))
        return 0
    table = Table(box=None, show_header=False, pad_edge=False)
    for key, value in _entity_json(item).items():
        if key != "registrations":
            table.add_row(key.replace("_", " "), plain(_words(value)))
    for registration in item.registrations:
        table.add_row(f"in {registration.jurisdiction}", plain(_registration_words(registration)))
    out().print(table)
    return 0


def _codes(item: Entity) -> str:
    return ", ".join(r.jurisdiction for r in item.foreign)


def _words(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(map(str, value)) or "none"
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value or "not known")


def _registration_words(registration: Registration) -> str:
    parts = [
        f"file number {registration.file_number or 'not known'}",
        f"since {registration.since}" if registration.since else "",
        f"as {registration.name}" if registration.name else "",
        f"accounts {', '.join(registration.tax_accounts)}" if registration.tax_accounts else "",
    ]
    return "; ".join(part for part in parts if part)


def _entity_json(item: Entity) -> dict[str, object]:
    return {
        "slug": item.slug,
        "name": item.name,
        "ein": item.ein,
        "classification": item.tax_class.value,
        "home": item.home,
        "formed": item.formed.isoformat() if item.formed else None,
        "closed": item.closed.isoformat() if item.closed else None,
        "year_end": f"{item.year_end[0]:02}-{item.year_end[1]:02}",
        "members": list(item.members),
        "employees": item.employees,
        "has_assets": item.has_assets,
        "has_creditors": item.has_creditors,
        "contractors_paid": item.contractors_paid,
        "sold_business": item.sold_business,
        "last_wages": item.last_wages.isoformat() if item.last_wages else None,
        "plan_adopted": item.plan_adopted.isoformat() if item.plan_adopted else None,
        "former_names": list(item.former_names),
        "registrations": [
            {
                "jurisdiction": r.jurisdiction,
                "file_number": r.file_number,
                "since": r.since.isoformat() if r.since else None,
                "name": r.name,
                "tax_accounts": list(r.tax_accounts),
            }
            for r in item.registrations
        ],
    }
