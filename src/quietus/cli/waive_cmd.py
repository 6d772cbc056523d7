"""`quietus waive`: record that an expected paper does not apply."""

from typing import Annotated

import typer

from quietus.cli.opening import HomeOption, PassphraseFd, opened
from quietus.cli.screen import out, plain
from quietus.closing.closings import drop_waiver, waive


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("waive")(waive_)


def waive_(
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    expected: Annotated[str, typer.Argument(help="The expected paper, such as NJ/final_return.")],
    reason: Annotated[str, typer.Option(help="Why it does not apply.")],
    source: Annotated[str, typer.Option(help="What you rely on: statute, agency page, letter, counsel.")] = "",
    drop: Annotated[bool, typer.Option("--drop", help="Take the waiver back.")] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Record that an expected paper does not apply. It answers for a missing paper; it never hides a fault."""
    with opened(home, passphrase_fd) as office:
        if drop:
            drop_waiver(office, entity, expected, reason)
            out().print(plain(f"{entity} {expected}: the waiver is taken back."))
            return 0
        made = waive(office, entity, expected, reason, source)
    out().print(plain(f"{entity} {expected}: waived by {made.by} on {made.on}: {made.reason} (source: {made.source})"))
    return 0
