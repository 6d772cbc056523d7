"""`quietus journal`: who did what, and when."""

from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, opened
from quietus.cli.screen import out, plain, print_json
from quietus.vault import locks_of


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("journal")(journal)


def journal(
    last: Annotated[int, typer.Option(help="How many of the newest entries; 0 for all.")] = 20,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show the newest journal entries, with the whole journal verified."""
    with opened(home, passphrase_fd) as office:
        entries = office.vault.journal()
        names = {view.id: view.name for view in locks_of(office.vault)}
    names = {e.about: e.details["name"] for e in entries if e.action == "lock-added"} | names
    shown = entries[-last:] if last else entries
    if as_json:
        for entry in shown:
            print_json({"number": entry.number, "at": entry.at.isoformat(), "who": entry.who,
                        "lock": names.get(entry.lock, entry.lock), "action": entry.action,
                        "about": entry.about, "details": entry.details, "hash": entry.hash})  # fmt: skip
        return 0
    table = Table("no.", "when (UTC)", "who", "lock", "what", "about", "hash", box=None, pad_edge=False)
    for entry in shown:
        about = entry.about[:8] if len(entry.about) == 32 else entry.about
        table.add_row(
            str(entry.number),
            f"{entry.at:%Y-%m-%d %H:%M:%S}",
            plain(entry.who),
            plain(names.get(entry.lock, entry.lock[:8])),
            entry.action,
            plain(about),
            entry.hash[:16],
        )
    out().print(table)
    return 0
