"""Every layout by name, its split, the kinds of paper it can be, and how it can be marked."""

from collections.abc import Callable
from dataclasses import dataclass

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.invent import Case

Write = Callable[[Doc, Case, Kind], None]
STAMPABLE = ("ink", "ink", "ink", "ink", "ink", "ink", "typed", "none", "received", "rejected")
ONLINE = ("electronic",)
UNMARKED = ("",)


@dataclass(frozen=True, slots=True)
class Layout:
    """A layout.

    Attributes:
        name: what breakdowns call it; for `tune` and `held` also its part of wording.toml.
        split: one of `stamps.SPLITS`.
        kinds: the kinds of paper that can be written in it.
        families: the families of type it may be set in.
        ways: how the office may have marked it.
        born: how often it is a born-digital file, 0 to 1.
        place: what its jurisdiction must have: `clearance`, `returns`, `winding_up`, or nothing.
        write: writes it.
    """

    name: str
    split: str
    kinds: tuple[Kind, ...]
    families: tuple[str, ...]
    ways: tuple[str, ...]
    born: float
    place: str
    write: Write


LAYOUTS: list[Layout] = []


def layout(
    name: str,
    split: str,
    kinds: tuple[Kind, ...],
    families: tuple[str, ...],
    *,
    ways: tuple[str, ...] = UNMARKED,
    born: float = 0.12,
    place: str = "",
) -> Callable[[Write], Write]:
    """Enter a layout in LAYOUTS."""

    def enter(write: Write) -> Write:
        LAYOUTS.append(Layout(name, split, kinds, families, ways, born, place, write))
        return write

    return enter
