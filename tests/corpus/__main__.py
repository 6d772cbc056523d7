"""Draw measuring scans into a folder, with truth.toml beside them.

Usage: python -m tests.corpus --into FOLDER --count N --seed S --split tune|held|fresh|late|trial|proof|spare
"""

import argparse
import json
import sys
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from tests.corpus.draw import File, Row, drawn
from tests.corpus.stamps import SPLITS


def toml(rows: Iterable[Row]) -> str:
    """Rows of truth as TOML; a JSON string, number, boolean or list of strings is written the same way in TOML."""
    blocks = []
    for row in rows:
        lines = [f"{key} = {json.dumps(value, ensure_ascii=True)}" for key, value in row.items()]
        blocks.append("\n".join(("[[paper]]", *lines)))
    return "\n\n".join(blocks) + "\n"


def draw_into(folder: Path, count: int, seed: int, split: str, workers: int = 1) -> list[Row]:
    """Draw the first `count` files into `folder`, write truth.toml, and give its rows."""
    folder.mkdir(parents=True, exist_ok=True)
    rows: list[Row] = []
    one = partial(drawn, seed, split)
    if workers == 1:
        return _kept(folder, map(one, range(count)), rows)
    with ProcessPoolExecutor(workers) as pool:
        return _kept(folder, pool.map(one, range(count), chunksize=4), rows)


def _kept(folder: Path, files: Iterable[File], rows: list[Row]) -> list[Row]:
    for file in files:
        (folder / file.name).write_bytes(file.data)
        rows += file.rows
    (folder / "truth.toml").write_text(toml(rows), encoding="utf-8")
    return rows


def main() -> None:
    """Draw what is asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.corpus", description="Draw measuring scans into a folder.")
    parser.add_argument("--into", type=Path, required=True, metavar="FOLDER")
    parser.add_argument("--count", type=int, default=400, metavar="N", help="files to draw (default: 400)")
    parser.add_argument("--seed", type=int, default=7, metavar="S", help="the same seed draws the same files")
    parser.add_argument("--split", choices=SPLITS, default="tune", help="which layouts and stamps")
    parser.add_argument("--workers", type=int, default=1, metavar="N", help="processes that draw side by side")
    asked = parser.parse_args()
    rows = draw_into(asked.into, asked.count, asked.seed, asked.split, asked.workers)
    sys.stdout.write(f"{asked.count} files, {len(rows)} papers in {asked.into}\n")


if __name__ == "__main__":
    main()
