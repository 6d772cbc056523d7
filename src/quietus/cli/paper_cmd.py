"""`quietus paper`: list papers, show what was read, get one back as received."""

from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, opened
from quietus.cli.screen import out, plain, print_json
from quietus.closing.export import export_paper
from quietus.closing.parts import Part, parts_of, sources_of
from quietus.model.kinds import Kind
from quietus.model.paper import Paper
from quietus.model.reading import FIELDS, reading_to_json

paper = typer.Typer(help="Papers in the vault.", no_args_is_help=True)
PaperArgument = Annotated[str, typer.Argument(help="The paper's id, or its first digits.")]


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.add_typer(paper, name="paper")


@paper.command("list")
def list_(
    entity: Annotated[str, typer.Argument(help="The entity's short name. Default: every paper.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """List papers."""
    with opened(home, passphrase_fd) as office:
        papers = office.vault.papers(entity or None)
    table = Table(
        "id", "entity", "where", "kind", "date", "form of authority", "standing", "name", box=None, pad_edge=False
    )
    for item in papers:
        table.add_row(*_row(item))
    out().print(table if papers else "No papers.")
    return 0


def _row(item: Paper) -> tuple[str, ...]:
    reading = item.reading
    return (
        item.id[:8],
        item.entity or "nobody",
        reading.text("jurisdiction") or "",
        Kind(reading.text("kind") or Kind.OTHER).words,
        reading.text("filing_date") or reading.text("signed_date") or "",
        reading.text("authority") or "",
        "waits for review" if item.waits else item.standing.value,
        plain(item.name),
    )


@paper.command("show")
def show(
    paper_id: PaperArgument,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show one paper and every reading of it, the newest first."""
    with opened(home, passphrase_fd) as office:
        item = office.vault.paper(paper_id)
        readings = office.vault.readings(item.id)
        came, went = sources_of(office, item.id), parts_of(office, item.id)
        repeats = office.vault.repeats(item.id)
    if as_json:
        history = [{"at": at.isoformat(), "who": who, **reading_to_json(reading)} for at, who, reading in readings]
        print_json({"id": item.id, "sha256": item.sha256, "name": item.name, "entity": item.entity,
                    "expected": item.expected, "standing": item.standing.value, "readings": history,
                    "from": [_part_json(p) for p in came], "into": [_part_json(p) for p in went]})  # fmt: skip
        return 0
    out().print(plain(f"{item.id}  {item.name}"), style="bold", soft_wrap=True)
    out().print(
        f"sha256 {item.sha256}; {item.size} bytes; {item.pages} pages; received {item.received:%Y-%m-%d %H:%M} UTC",
        soft_wrap=True,
    )
    out().print(plain(f"{item.standing}: {item.entity or 'nobody'} {item.expected}"), soft_wrap=True)
    for at, name in repeats:
        out().print(plain(f"the same bytes came again {at:%Y-%m-%d} as {name}"), soft_wrap=True)
    for part in came:
        out().print(f"from {_pages(part.pages)} of {part.paper[:8]}")
    for part in went:
        out().print(f"{_pages(part.pages)} filed as {part.paper[:8]}")
    for at, who, reading in reversed(readings):
        out().print(plain(f"reading of {at:%Y-%m-%d %H:%M} UTC by {who}"), style="bold")
        table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 1, 0, 3))
        for name in FIELDS:
            value = reading[name]
            if value.value is not None or value.review:
                where = f"page {value.page}" if value.page else ""
                look = "look" if value.review else ""
                table.add_row(
                    name, plain(str(value.value)), f"{value.confidence:.0%}", look, where, plain(value.method)
                )
        out().print(table)
    return 0


def _part_json(part: Part) -> dict[str, object]:
    return {"paper": part.paper, "pages": list(part.pages)}


def _pages(pages: tuple[int, ...]) -> str:
    return f"page {pages[0]}" if len(pages) == 1 else f"pages {pages[0]}-{pages[-1]}"


@paper.command("export")
def export(
    paper_id: PaperArgument,
    file: Annotated[Path, typer.Option("-o", "--out", help="File to write; it must not exist yet.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Write a paper's bytes as received. The file is not encrypted: see to it."""
    with opened(home, passphrase_fd) as office:
        item = export_paper(office, paper_id, file)
    out().print(plain(f"{file}: {item.size} bytes, sha256 {item.sha256}, as received; not encrypted."), soft_wrap=True)
    return 0
