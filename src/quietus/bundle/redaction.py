"""Redacted copies: made in one child process, looked at in another, read again, and refused on a doubt."""

import re
from collections.abc import Callable, Collection, Sequence
from concurrent.futures import Executor, Future
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from quietus.bundle.child import crashed, done_apart, naming_the_place
from quietus.bundle.job import RECHECK, REDACT, TALLY, Rectangle, Redaction
from quietus.model.errors import Refused
from quietus.model.limits import Limits
from quietus.model.reading import Box, PrivateSpot, Reading

Reread = Callable[[bytes], Reading]
"""Reads a redacted copy as if it had just come in: its words and what is private. Called from several threads."""

Painted = tuple[tuple[Rectangle, ...], ...]
"""What was painted black on each page of a copy."""

_PATTERNS = {
    "ssn": re.compile(r"(?<![\d-])\d{3}[-\u2013 ]\d{2}[-\u2013 ]\d{4}(?![\d-])"),
    "ein": re.compile(r"(?<![\d-])\d{2}[-\u2013] ?\d{7}(?![\d-])"),
}
"""Numbers as tax forms write them: 3-2-4 digits (26 CFR 301.6109-1(a)(1)(ii)), 2-7 digits (301.6109-1(a)(1)(ii)(C))."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A redacted copy to be made.

    Attributes:
        paper: id.
        letter: of its exhibit.
        original: the file.
        media_type: what it is.
        pages: pages that it has to have.
        sheets: pages (1-based) that go into the copy, in order.
        spots: what is to be blacked out.
        hide: sorts of spots that must not be found in the copy.
        target: where the copy goes.
    """

    paper: str
    letter: str
    original: Path
    media_type: str
    pages: int
    sheets: tuple[int, ...]
    spots: tuple[PrivateSpot, ...]
    hide: frozenset[str]
    target: Path


def spots_to_hide(reading: Reading, hide: Collection[str]) -> tuple[PrivateSpot, ...]:
    """What has to be blacked out on a paper: spots of the sorts that the purpose hides."""
    return tuple(spot for spot in reading.private if spot.sort in hide)


def overlooked(reading: Reading, hide: Collection[str]) -> bool:
    """True when a paper's text holds a number of a sort to hide, and no place was found for it.

    So it is with a reading that was kept before private places were looked for.
    """
    found = {spot.sort.value for spot in reading.private}
    sorts = [sort for sort in _PATTERNS if sort in hide and sort not in found]
    return any(_PATTERNS[sort].search(view.text) for sort in sorts for view in reading.pages)


def redacted_copies(
    wanted: Sequence[Wanted], folder: Path, limits: Limits, reread: Reread | None, beside: Executor
) -> list[Future[None]]:
    """Make the redacted copies, and have them checked while other work is done.

    Args:
        wanted: the copies.
        folder: a private folder for what passes between the processes.
        limits: ceilings for the children.
        reread: reads a finished copy again.
        beside: threads for the checks.

    Returns:
        The checks. Nothing may be sealed or leave before each has ended without an error: Refused when a copy shows,
        or may show, what was to be hidden; Unreadable or MachineFault when that can't be told.

    Raises:
        Refused: a copy can't be read again.
        Unreadable: an original can't be drawn.
        MachineFault: a process can't be started.
    """
    if not wanted:
        return []
    if reread is None:
        raise Refused("A redacted copy can't be read again to check it.", "Make the bundle with recognition at hand.")
    painted = _made(wanted, folder, limits)
    looked = beside.submit(_look, wanted, painted, folder, limits)
    return [looked, *(beside.submit(_read_again, item, reread) for item in wanted)]


def _made(wanted: Sequence[Wanted], folder: Path, limits: Limits) -> list[Painted]:
    works, room = [asdict(_work(item)) for item in wanted], _room(folder, REDACT)
    with naming_the_place([(item.letter, item.paper, len(item.sheets)) for item in wanted], room / TALLY):
        told = done_apart(REDACT, {"limits": asdict(limits), "works": works}, room, _seconds(wanted, limits), _unheard)
    try:
        painted = [
            tuple(tuple(_rectangle(found) for found in page) for page in copy["pages"]) for copy in told["copies"]
        ]
    except (KeyError, TypeError, ValueError):
        raise crashed() from None
    for item, pages in zip(wanted, painted, strict=True):
        boxes = [sum(spot.page == number for spot in item.spots) for number in item.sheets]
        if [len(page) for page in pages] != boxes:
            raise crashed()
    return painted


def _work(item: Wanted) -> Redaction:
    boxes = {number: tuple(_plain(spot.box) for spot in item.spots if spot.page == number) for number in item.sheets}
    return Redaction(
        paper=item.paper,
        letter=item.letter,
        path=str(item.original),
        media_type=item.media_type,
        pages=item.pages,
        sheets=tuple((number, boxes[number]) for number in item.sheets),
        target=str(item.target),
    )


def _plain(box: Box) -> tuple[float, float, float, float]:
    return (box.left, box.top, box.right, box.bottom)


def _rectangle(found: Any) -> Rectangle:
    left, top, right, bottom = (int(edge) for edge in found)
    if not (0 <= left < right and 0 <= top < bottom):
        raise ValueError(found)
    return left, top, right, bottom


def _look(wanted: Sequence[Wanted], painted: Sequence[Painted], folder: Path, limits: Limits) -> None:
    """Look at the copies with other eyes than those that made them."""
    copies = [{"path": str(item.target), "painted": pages} for item, pages in zip(wanted, painted, strict=True)]
    job, room = {"limits": asdict(limits), "copies": copies}, _room(folder, RECHECK)
    told = done_apart(RECHECK, job, room, _seconds(wanted, limits), _unheard)
    faults = told.get("faults")
    if not isinstance(faults, list) or len(faults) != len(wanted):
        raise crashed()
    for item, said in zip(wanted, faults, strict=True):
        if said != []:
            raise _refused(item, "something of the original may be left in it")


def _read_again(item: Wanted, reread: Reread) -> None:
    """Read the copy as if it had just come in: nothing that was to be hidden may be found."""
    reading = reread(item.target.read_bytes())
    if any(spot.sort in item.hide for spot in reading.private):
        raise _refused(item, "recognition still finds what was to be hidden")
    text = "\n".join(view.text for view in reading.pages)
    if any(sort in item.hide and pattern.search(text) for sort, pattern in _PATTERNS.items()):
        raise _refused(item, "recognition still reads a number that was to be hidden")


def _refused(item: Wanted, why: str) -> Refused:
    return Refused(
        f"The redacted copy of exhibit {item.letter} (paper {item.paper[:8]}) can't be used: {why}.",
        "Mark the place by hand, or leave the paper out of this bundle.",
    )


def _seconds(wanted: Sequence[Wanted], limits: Limits) -> float:
    return limits.seconds_for(sum(len(item.sheets) for item in wanted))


def _room(folder: Path, name: str) -> Path:
    room = folder / name
    room.mkdir(mode=0o700)
    return room


def _unheard(_done: int) -> None:
    """Pages of redacted copies are counted when they are laid into the document."""
