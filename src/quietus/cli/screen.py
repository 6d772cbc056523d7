"""What commands share for printing: consoles, the complaint, the progress bar, JSON."""

import json
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from quietus.model.errors import QuietusError
from quietus.rules import CAUTION

__all__ = ["CAUTION", "complain", "covered_words", "errors", "out", "plain", "print_json", "progress_bar"]


def out() -> Console:
    """The console for results."""
    return Console(highlight=False, markup=False, emoji=False, soft_wrap=False)


def errors() -> Console:
    """The console for progress and complaints."""
    return Console(stderr=True, highlight=False, markup=False, emoji=False)


def complain(error: QuietusError) -> int:
    """Print the sentence and the remedy of an error; return its exit status."""
    console = errors()
    console.print(plain(f"quietus: {error.message}"), style="bold", soft_wrap=True)
    if error.remedy:
        console.print(plain(error.remedy), soft_wrap=True)
    return error.exit_status


def plain(text: str) -> str:
    """Text without control and direction-changing characters, so that a hostile file name can't rewrite the screen."""
    return "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)


def print_json(data: object) -> None:
    """One line of JSON on standard output."""
    sys.stdout.write(json.dumps(data, ensure_ascii=False, sort_keys=False) + "\n")
    sys.stdout.flush()


@contextmanager
def progress_bar(what: str) -> Iterator[Callable[[int, int], None]]:
    """A progress bar on standard error; what it yields takes steps done and steps in all. Silent without a terminal."""
    console = errors()
    with Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        console=console,
        transient=True,
        disable=not console.is_terminal,
    ) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


_SORTS = {"ssn": "SSN", "ein": "EIN", "account_number": "account number", "home_address": "home address"}


def covered_words(sorts: Iterable[str]) -> str:
    """What is covered on a redacted copy, in words."""
    named = ", ".join(_SORTS.get(sort, sort.replace("_", " ")) for sort in sorts)
    return f"{named} covered" if named else "nothing was found to cover"
