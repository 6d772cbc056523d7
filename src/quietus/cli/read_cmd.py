"""`quietus read`: read files without any vault."""

import os
from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.opening import JsonOption
from quietus.cli.screen import complain, errors, out, plain, print_json
from quietus.closing.intake import read_files
from quietus.model.errors import DONE, QuietusError
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import FIELDS, Reading, value_to_json
from quietus.reading import ReadingPool


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("read")(read)


def read(
    files: Annotated[list[Path], typer.Argument(help="PDF, TIFF, JPEG or PNG files.")],
    tesseract: Annotated[str, typer.Option(help="Path of another recogniser. Default: the one installed.")] = "",
    workers: Annotated[int, typer.Option(help="Files read side by side. Default: one for each core.")] = 0,
    as_json: JsonOption = False,
) -> int:
    """Read files and print what was read; nothing is kept.

    With --json one line for each paper found: `file`, `pages`, and for every field an object with `value`,
    `confidence`, `review`, `page`, `box`, `raw` and `method`. A file that can't be read gives a line with `refused`.
    Exit status: 0 all read; 2 some file could not be.
    """
    status = DONE
    workers = workers or os.cpu_count() or 1
    with ReadingPool(workers, DEFAULT_LIMITS, tesseract) as pool:
        for path, result in read_files(files, pool, workers, DEFAULT_LIMITS.file_bytes):
            if isinstance(result, QuietusError):
                status = 2
                _print_refusal(path, result, as_json)
                continue
            for reading in result:
                _print_reading(path, reading, as_json)
    return status


def _print_refusal(path: Path, refusal: QuietusError, as_json: bool) -> None:
    if as_json:
        reason = getattr(refusal, "reason", "misuse")
        print_json({"file": str(path), "refused": reason, "message": refusal.message, "remedy": refusal.remedy})
        return
    errors().print(plain(str(path)), soft_wrap=True)
    complain(refusal)


def _print_reading(path: Path, reading: Reading, as_json: bool) -> None:
    pages = [page.number for page in reading.pages]
    if as_json:
        print_json({"file": str(path), "pages": pages} | {name: value_to_json(reading[name]) for name in FIELDS})
        return
    out().print(
        plain(f"{path}, pages {pages[0]}-{pages[-1]}" if len(pages) > 1 else f"{path}"), style="bold", soft_wrap=True
    )
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 1, 0, 3))
    for name in FIELDS:
        value = reading[name]
        if value.value is None and not value.review:
            continue
        mark = "look" if value.review else ""
        table.add_row(name, plain(str(value.value)), f"{value.confidence:.0%}", mark, plain(value.method))
    out().print(table)
