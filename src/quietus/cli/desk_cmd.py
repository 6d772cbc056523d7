"""`quietus desk`: the local review page."""

from typing import Annotated

import typer

from quietus.cli.opening import HomeOption, PassphraseFd, opened


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("desk")(desk)


def desk(
    port: Annotated[int, typer.Option(help="Port on this machine; 0 picks a free one.", min=0, max=65535)] = 0,
    browser: Annotated[bool, typer.Option(help="Open it in the browser.")] = True,
    idle: Annotated[
        float, typer.Option(help="Minutes without use after which it closes itself; 0 keeps it open.", min=0)
    ] = 30,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """See papers and what was read off them side by side, and settle doubts, in the browser on this machine only."""
    from quietus.desk import serve  # noqa: PLC0415 - the other commands don't wait for a web server to load

    with opened(home, passphrase_fd) as office:
        serve(office, port=port, open_browser=browser, idle=idle * 60)
    return 0
