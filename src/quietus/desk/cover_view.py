"""The places to cover on a paper as its page shows them, and places as a form gives them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from quietus.closing.office import Office
from quietus.closing.parts import sources_of
from quietus.desk.geometry import upright
from quietus.model.errors import Misuse
from quietus.model.paper import Paper
from quietus.model.reading import Box, PageView, PrivateSort, Reading

EDGES = ("left", "top", "right", "bottom")
LEAST = 0.001  # of the page: what is smaller covers not even a full stop

Readings = Sequence[tuple[datetime, str, Reading]]


@dataclass(frozen=True, slots=True)
class Mark:
    """Who drew a place by hand, and when."""

    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class SpotView:
    """One place to cover.

    Attributes:
        number: from 1, as `quietus cover list` counts them.
        page: 1-based page of the file.
        sort: what stands there.
        box: on the page as received.
        mark: who drew it; None when it was found by reading.
    """

    number: int
    page: int
    sort: PrivateSort
    box: Box
    mark: Mark | None


def spot_views(office: Office, paper: Paper) -> tuple[SpotView, ...]:
    """Every place to cover on a paper, in the order kept."""
    marks = _marks(office, paper.id, set())
    return tuple(
        SpotView(number, spot.page, spot.sort, spot.box, marks.get((spot.box, spot.sort)))
        for number, spot in enumerate(paper.reading.private, start=1)
    )


def _marks(office: Office, paper_id: str, seen: set[str]) -> dict[tuple[Box, PrivateSort], Mark]:
    """The places that a person drew on a paper, or on the papers that its pages came from."""
    seen.add(paper_id)
    found: dict[tuple[Box, PrivateSort], Mark] = {}
    for source in sources_of(office, paper_id):
        if source.paper not in seen and office.vault.stub(source.paper) is None:
            found |= _marks(office, source.paper, seen)
    return found | _drawn(office.vault.readings(paper_id))


def _drawn(readings: Readings) -> dict[tuple[Box, PrivateSort], Mark]:
    """The places that a person added: a later reading has them, and is otherwise as the one before it."""
    found = {}
    for (_, _, before), (at, who, after) in pairwise(readings):
        if after.private[:-1] == before.private and after.values == before.values and after.private:
            found[after.private[-1].box, after.private[-1].sort] = Mark(who, at)
    return found


def on_picture(spot: SpotView, page: PageView, shape: float) -> Box:
    """Where a place lies on the upright picture of its page."""
    return upright(spot.box, page.turn, page.skew, shape)


def typed_box(form: dict[str, str]) -> Box:
    """The box that a form gives, in fractions of the picture.

    Raises:
        Misuse: an edge is missing or no number from 0 to 100, or they make no box.
    """
    edges = [_percent(form.get(name, "")) / 100 for name in EDGES]
    box = Box(*edges)
    if box.right - box.left < LEAST or box.bottom - box.top < LEAST:
        raise Misuse("These four numbers make no box.", "Give left smaller than right, and top smaller than bottom.")
    return box


def _percent(text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not 0 <= number <= 100:  # also when it is no number
        raise Misuse("The place needs four numbers from 0 to 100.", "Draw it, or read its edges off the rulers.")
    return number
