"""How long a bundle of 500 scanned pages takes, beside a bare merge of the same pages; and answers of five pages.

The merge is the least anyone does who sends scans on: the fastest library at hand copies all pages into one PDF, in a
process of its own. The bundle has everything besides: the drawn pages, frame, page number and tag of every page, the
originals, the hashes, the seal. Both are told in seconds of processor time, child processes included, and of the wall
clock, in turns, so that both see the same machine.

An answer of five pages is told twice: the bundle alone, with nothing to cover; and the whole command on sample scans
with two of the five papers redacted, drawn again, looked at and read again, from its start to the end of its process.
"""

import argparse
import io
import os
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
from PIL import Image, ImageFilter

from quietus.bundle import build
from quietus.bundle.build import build_bundle
from quietus.bundle.child import composed_apart
from quietus.bundle.job import Composed
from quietus.bundle.request import BundleRequest
from quietus.model.paper import Paper
from tests.bundle.make import JPEG, PDF, as_received, line, paper, request
from tests.bundle.seals import self_made

MERGES = {
    "pikepdf": """
import sys, pikepdf
made = pikepdf.new()
for name in sys.argv[2:]:
    made.pages.extend(pikepdf.open(name).pages)
made.save(sys.argv[1])
""",
    "pypdfium2": """
import sys, pypdfium2
made = pypdfium2.PdfDocument.new()
for name in sys.argv[2:]:
    made.import_pages(pypdfium2.PdfDocument(name))
made.save(sys.argv[1])
""",
}
KEYS = ("OR/dissolution", "WA/withdrawal", "TN/withdrawal", "CO/withdrawal", "NJ/withdrawal")
MIB = 1024 * 1024

SAMPLES = Path(__file__).resolve().parent.parent / "sample_docs"
FIVE = ("b01", "b02", "b05", "b07", "b08")
REDACTED = 2
"""Of the five: on the two filings stand home addresses."""

PURPOSE = """
id = "five"
title = "Proof of closure"
intro = "How the company ended."
caution = "It speaks of the registrations alone."
reach = "everywhere"
hide = ["ssn", "ein", "account_number", "home_address"]
stays_out_otherwise = "The question is answered without it."
letter = ["You asked how the company ended."]

[[goes_in]]
kinds = ["dissolution", "withdrawal", "consent", "asset_disposition", "creditor_notice"]
why = "It shows how the company ended."
"""

COMMAND = "from quietus.cli import main; main()"
TOLD = """
import sys, time
from pathlib import Path
from quietus.cli import main, opening

stamp, unlock = Path(sys.argv.pop(1)), opening.open_office

def told(*arguments):
    office = unlock(*arguments)
    stamp.write_text(str(time.time()))
    return office

opening.open_office = told
main()
"""

Took = tuple[float, float]
"""Seconds of processor time and of the wall clock."""


def main(words: Sequence[str]) -> None:
    """Measure as the options say."""
    asked = _options(words)
    with tempfile.TemporaryDirectory(prefix="quietus-bench-") as room:
        files = scans(Path(room), asked.pages, len(KEYS), asked.dpi)
        size = sum(file.stat().st_size for file in files) / MIB
        say(f"bundle of {asked.pages} pages in {len(files)} files, {size:.0f} MiB")
        beside_merge(Path(room), files, asked.pages, asked.rounds)
        five_pages(Path(room), asked.rounds)
        redacted_answer(Path(room), asked.rounds)


def say(text: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def scans(room: Path, pages: int, files: int, dpi: int) -> list[Path]:
    """So many letter pages of grainy gray, as JPEGs in PDFs, each page another."""
    made = []
    pictures = [_picture(seed, dpi) for seed in range(10)]
    for number in range(files):
        path = room / f"scan-{number}.pdf"
        with pikepdf.new() as pdf:
            for page in range(pages // files):
                _add(pdf, pictures[page % len(pictures)], (round(8.5 * dpi), 11 * dpi), number * pages + page)
            pdf.save(path)
        made.append(path)
    return made


def _picture(seed: int, dpi: int) -> bytes:
    size = wide, high = round(8.5 * dpi), 11 * dpi
    noise = Image.frombytes("L", size, random.Random(seed).randbytes(wide * high))  # noqa: S311 - grain
    sheet = Image.blend(noise.filter(ImageFilter.GaussianBlur(1)), Image.new("L", size, 240), 0.55)
    buffer = io.BytesIO()
    sheet.save(buffer, "JPEG", quality=70)
    return buffer.getvalue()


def _add(pdf: pikepdf.Pdf, picture: bytes, size: tuple[int, int], number: int) -> None:
    page = pdf.add_blank_page(page_size=(612, 792))
    image = pikepdf.Stream(pdf, picture[:-2] + b"\xff\xfe\x00\x06%04d" % (number % 10000) + picture[-2:])
    image.Type, image.Subtype, image.Filter = pikepdf.Name.XObject, pikepdf.Name.Image, pikepdf.Name.DCTDecode
    image.ColorSpace, image.BitsPerComponent = pikepdf.Name.DeviceGray, 8
    image.Width, image.Height = size
    page.obj.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Im0=image))
    page.obj.Contents = pikepdf.Stream(pdf, b"q 612 0 0 792 0 0 cm /Im0 Do Q")


def beside_merge(room: Path, files: Sequence[Path], pages: int, rounds: int) -> None:
    """The bundle and every merge in turns; the ratio to the fastest."""
    wanted = _bundle_of(files, pages // len(files))
    took: dict[str, list[Took]] = {name: [] for name in (*MERGES, "document", "bundle")}
    vars(build)["composed_apart"] = _told_apart(took["document"])
    for turn in range(rounds):
        for name, script in MERGES.items():
            merged = room / f"{name}-{turn}.pdf"
            words = [sys.executable, "-c", script, str(merged), *map(str, files)]
            took[name].append(_timed(lambda words=words: subprocess.run(words, check=True)))  # type: ignore[misc]  # noqa: S603
            merged.unlink()
        took["bundle"].append(_timed(lambda turn=turn: build_bundle(wanted, room / f"bundle-{turn}")))  # type: ignore[misc]
    cpu = {name: statistics.median(seconds for seconds, _ in found) for name, found in took.items()}
    wall = {name: statistics.median(seconds for _, seconds in found) for name, found in took.items()}
    fastest = min(MERGES, key=cpu.__getitem__)
    for name in took:
        ratios = f"{cpu[name] / cpu[fastest]:.2f} x cpu, {wall[name] / wall[fastest]:.2f} x wall"
        say(f"  {name:12} {cpu[name]:6.2f} s cpu  {wall[name]:6.2f} s wall   {ratios}")
    say(f"  bar: 1.5 x the fastest merge ({fastest}). The document is the PDF alone; the bundle has the originals")
    say("  besides, and two passes of SHA-256 over everything, which no merge makes.")


def _told_apart(took: list[Took]) -> Callable[..., Composed]:
    """Composing, told apart from the rest of the bundle."""

    def composed(*arguments: Any) -> Composed:
        made: list[Composed] = []
        took.append(_timed(lambda: made.append(composed_apart(*arguments))))
        return made[0]

    return composed


def _bundle_of(files: Sequence[Path], pages: int) -> BundleRequest:
    pairs = [
        (paper(key, file.read_bytes(), PDF, pages=pages), file.read_bytes())
        for key, file in zip(KEYS, files, strict=True)
    ]
    return _asked(pairs)


def _asked(pairs: Sequence[tuple[Paper, bytes]]) -> BundleRequest:
    wanted = request([line(made.expected, made) for made, _ in pairs], pairs, seal=self_made())
    return replace(as_received(wanted), show_gaps=True)


def five_pages(room: Path, rounds: int) -> None:
    """An answer of five scans, from the request to the finished folder."""
    pairs = [(paper(key, _picture(number, 150), JPEG), _picture(number, 150)) for number, key in enumerate(KEYS)]
    wanted = _asked(pairs)
    took = [
        _timed(lambda turn=turn: build_bundle(wanted, room / f"answer-{turn}"))  # type: ignore[misc]
        for turn in range(rounds + 1)
    ][1:]
    cpu, wall = (statistics.median(column) for column in zip(*took, strict=True))
    say(f"an answer of five pages: {cpu:.2f} s cpu, {wall:.2f} s wall   (bar: 2 s)")


def redacted_answer(room: Path, rounds: int) -> None:
    """The whole command for five sample scans, two of them redacted, told apart at the moment the vault is unlocked."""
    _prepare_office(room / "office")
    parts = [_answered(room, turn) for turn in range(rounds + 1)][1:]
    before, after = (statistics.median(column) for column in zip(*parts, strict=True))
    say(f"the command for five pages, two of them redacted: {before:.2f} s to the unlocked vault, then {after:.2f} s")
    say("  wall, to the end of the process   (bar: 2 s after unlock)")


def _prepare_office(home: Path) -> None:
    _quietus("init", str(home))
    _quietus("entity", "import", str(SAMPLES / "entities.toml"), home=home)
    for name in FIVE:
        shutil.copy(next((SAMPLES / "scans").glob(f"{name}-*")), home / "inbox")
    _quietus("ingest", home=home)
    (home / "purposes" / "five.toml").write_text(PURPOSE, encoding="utf-8")


def _answered(room: Path, turn: int) -> tuple[float, float]:
    """Seconds to the unlocked vault, and from there to the end of the command."""
    out, stamp = room / f"redacted-{turn}", room / "unlocked"
    words = ["bundle", "saltmarsh-sheeter", "--for", "five", "--to", "Example Bank", "--show-gaps", "-o", str(out)]
    begin = time.time()
    _quietus(*words, home=room / "office", run=(sys.executable, "-c", TOLD, str(stamp)))
    end, unlocked = time.time(), float(stamp.read_text())
    redacted = len(list((out / "data" / "redacted").iterdir()))
    if redacted != REDACTED:
        sys.exit(f"{redacted} papers were redacted, not {REDACTED}")
    return unlocked - begin, end - unlocked


def _quietus(*words: str, home: Path | None = None, run: Sequence[str] = (sys.executable, "-c", COMMAND)) -> None:
    environment = {**os.environ, "QUIETUS_PASSPHRASE": "benchmark", "QUIETUS_HOME": str(home or "")}
    subprocess.run([*run, *words], env=environment, check=True, stdout=subprocess.DEVNULL)  # noqa: S603


def _timed(work: Callable[[], object]) -> Took:
    cpu, wall = _cpu(), time.perf_counter()
    work()
    return _cpu() - cpu, time.perf_counter() - wall


def _cpu() -> float:
    spent = os.times()
    return spent.user + spent.system + spent.children_user + spent.children_system


def _options(words: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m benchmarks bundle", description=__doc__)
    parser.add_argument("--pages", type=int, default=500, help="pages of the large bundle")
    parser.add_argument("--dpi", type=int, default=150, help="of its scans: 150 makes 280 KB a page, 300 over 1 MB")
    parser.add_argument("--rounds", type=int, default=3, help="turns")
    return parser.parse_args(words)
