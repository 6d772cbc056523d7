"""`quietus rules`: what is expected where, in words, with sources."""

from pathlib import Path
from typing import Annotated

import typer

from quietus.cli.opening import HomeOption, home_of
from quietus.cli.screen import CAUTION, out, plain
from quietus.closing.config import find_home, load_config
from quietus.model.limits import DEFAULT_LIMITS
from quietus.rules import Packs, describe_pack, load_packs

rules = typer.Typer(help="What the law and practice expect, with sources.", no_args_is_help=True)


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.add_typer(rules, name="rules")


@rules.command("show")
def show(
    code: Annotated[str, typer.Argument(help="USPS code, US, or company.")],
    home: HomeOption = None,
) -> int:
    """Say what is expected in one jurisdiction."""
    out().print(plain_lines(describe_pack(_packs(home), code)), soft_wrap=False)
    out().print(CAUTION, style="italic")
    return 0


@rules.command("list")
def list_(home: HomeOption = None) -> int:
    """List the jurisdictions that there are rules for."""
    out().print(" ".join(sorted(_packs(home).codes)))
    return 0


def plain_lines(text: str) -> str:
    """Several lines, each without control characters."""
    return "\n".join(plain(line) for line in text.splitlines())


def _packs(home: HomeOption) -> Packs:
    """The office's packs where there is an office; else those that come with quietus."""
    if home is None and find_home(Path.cwd()) is None:
        return load_packs(())
    folder = load_config(home_of(home), DEFAULT_LIMITS.register_bytes).rules
    return load_packs((folder,) if folder.is_dir() else ())
