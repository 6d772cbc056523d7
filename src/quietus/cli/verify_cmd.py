"""`quietus verify`: which jurisdictions are not proven closed, and why."""

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from quietus.cli.opening import AsOf, HomeOption, JsonOption, PassphraseFd, day_of, opened
from quietus.cli.screen import CAUTION, out, plain
from quietus.cli.verdict_html import verify_page
from quietus.cli.verdict_json import verdict_json
from quietus.cli.verdict_view import print_overview, print_verdict
from quietus.closing.closings import Closing, closings
from quietus.closing.firm import overview
from quietus.closing.office import Office
from quietus.closing.outfile import write_out
from quietus.closing.summary import Summary
from quietus.model.errors import DONE, OPEN_ENDS, Misuse

WHOLE = 5
"""Up to so many closings are shown whole on the terminal when all are asked for; more are listed in a line each."""
WHOLE_ON_PAGE = 100
"""Up to so many closings are shown whole on a page."""


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("verify")(verify_)


def verify_(
    entity: Annotated[str, typer.Argument(help="The entity's short name. Default: all, worst first.")] = "",
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
    html: Annotated[Path | None, typer.Option("--html", help="Write a page that stands alone into this file.")] = None,
    worst: Annotated[int, typer.Option("--worst", min=1, help="How many closings to list when there are many.")] = 40,
    force: Annotated[bool, typer.Option("--force", help="Replace the file of --html.")] = False,
) -> int:
    """Show what is proven and what is missing, and what to do next.

    Exit status: 0 everything is proven; 1 something is not.
    """
    if as_json and html:
        raise Misuse("--json and --html do not go together.", "Give one of them, then the other.")
    with opened(home, passphrase_fd) as office:
        today = day_of(asof, office.today)
        asked = Asked(office, entity, () if entity else overview(office, today), today)
        if as_json:
            proven = _print_json(asked)
        elif html:
            proven = _write_page(asked, html, force=force)
        else:
            proven = _print(asked, worst)
    return DONE if proven else OPEN_ENDS


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for: one closing by its short name, or all of them."""

    office: Office
    entity: str
    summaries: tuple[Summary, ...]
    today: date

    @property
    def names(self) -> list[str]:
        """Short names, worst first."""
        return [self.entity] if self.entity else [one.entity for one in self.summaries]

    def whole(self, most: int | None = None) -> Iterator[Closing]:
        """The closings whole, worst first; not more than `most` of them."""
        return closings(self.office, self.names[:most], self.today)

    def homeless(self) -> tuple[str, ...]:
        """Ids of papers that belong to nobody, when all closings are asked for."""
        return () if self.entity else self.office.vault.homeless()


def _print(asked: Asked, worst: int) -> bool:
    homeless = asked.homeless()
    proven = bool(asked.names)
    if len(asked.names) > WHOLE:
        print_overview(asked.summaries, worst)
        proven = not any(one.blocking for one in asked.summaries)
    else:
        for one in asked.whole():
            print_verdict(one.verdict, one.entity, one.papers)
            proven = proven and one.verdict.proven
    if not asked.names:
        out().print("The register is empty: `quietus entity import LIST.toml` fills it.")
    if homeless:
        words = "paper belongs" if len(homeless) == 1 else "papers belong"
        out().print(f"{len(homeless)} {words} to nobody on the register: `quietus review` shows what was read.")
    out().print(CAUTION, style="italic")
    return proven and not homeless


def _print_json(asked: Asked) -> bool:
    """One object on one line, written piece by piece: thousands of closings would not fit in memory."""
    head = json.dumps({"schema": 1, "asof": asked.today.isoformat(), "caution": CAUTION}, ensure_ascii=False)
    sys.stdout.write(f'{head[:-1]}, "closings": [')
    proven = bool(asked.names)
    for number, one in enumerate(asked.whole()):
        text = json.dumps(verdict_json(one.verdict, one.entity, one.papers), ensure_ascii=False)
        sys.stdout.write(f"{', ' if number else ''}{text}")
        proven = proven and one.verdict.proven
    homeless = asked.homeless()
    sys.stdout.write(f'], "belongs_to_nobody": {json.dumps(list(homeless))}}}\n')
    sys.stdout.flush()
    return proven and not homeless


def _write_page(asked: Asked, file: Path, *, force: bool) -> bool:
    shown = tuple(asked.whole(WHOLE_ON_PAGE))
    homeless = asked.homeless()
    page = verify_page(shown, asked.today, overview=asked.summaries, homeless=len(homeless))
    write_out(file, page.encode("utf-8", "replace"), replace=force)
    out().print(
        plain(f"Written to {file}: it holds what the vault keeps secret, and is not encrypted."), soft_wrap=True
    )
    blocked = any(one.blocking for one in asked.summaries) or not all(one.verdict.proven for one in shown)
    return bool(shown) and not blocked and not homeless
