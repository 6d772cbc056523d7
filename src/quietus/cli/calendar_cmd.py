"""`quietus calendar`: the days ahead, as a file that ordinary calendars import."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import AsOf, HomeOption, PassphraseFd, day_of, opened
from quietus.cli.screen import CAUTION, out, plain
from quietus.closing.closings import all_cases, case_named
from quietus.closing.outfile import write_out
from quietus.closing.verdict import judge
from quietus.model.errors import DONE

_MOST_CODES = 40  # closings listed with their codes; more would scroll away


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("calendar")(calendar_)


def calendar_(
    file: Annotated[Path, typer.Option("--output", "-o", help="The file to write, such as closings.ics.")],
    entity: Annotated[str, typer.Argument(help="The entity's short name. Default: all.")] = "",
    names: Annotated[bool, typer.Option("--names", help="Name the companies instead of giving codes.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace the file.")] = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Write the days ahead into a calendar file. Companies go by a code, unless --names is given."""
    from quietus.closing.deadlines import calendar_bytes, closing_code, deadlines  # noqa: PLC0415 - no other command
    # needs the calendar library, and each would wait for it

    with opened(home, passphrase_fd) as office:
        today, now = day_of(asof, office.today), office.clock()
        cases = (case_named(office, entity, today),) if entity else all_cases(office, today)
        found = [(case.entity, deadlines(case, judge(case))) for case in cases]
    ahead = [(company, days) for company, days in found if days]
    every = [day for _, days in ahead for day in days]
    companies = [company for company, _ in ahead]
    write_out(file, calendar_bytes(every, companies, now, names=names), replace=force)
    out().print(plain(f"{len(every)} days of {len(ahead)} closings written to {file}"), soft_wrap=True)
    if not names and ahead:
        _print_codes([(closing_code(company), company.slug) for company, _ in ahead])
    out().print(CAUTION, style="italic")
    return DONE


def _print_codes(codes: list[tuple[str, str]]) -> None:
    table = Table("in the calendar", "is", box=None, pad_edge=False)
    for code, slug in codes[:_MOST_CODES]:
        table.add_row(f"Closing {code}", slug)
    out().print(table)
    if len(codes) > _MOST_CODES:
        out().print(f"and {len(codes) - _MOST_CODES} more: `quietus calendar ENTITY` tells the code of one.")
