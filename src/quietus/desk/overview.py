"""The first page: every closing, worst first. A few are shown whole, many in a line each."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from quietus.closing.closings import closings
from quietus.closing.firm import overview as all_in_lines
from quietus.closing.summary import Summary
from quietus.desk.closing_view import closing_view
from quietus.desk.forms import Asked, Form
from quietus.desk.room import Desk, page
from quietus.desk.words import with_field_words
from quietus.model.findings import Code

FEW = 12
"""So many closings are shown whole, with their matrices; when there are more, each gets a line."""
LINES = 100
"""Closings on one page."""


@dataclass(frozen=True, slots=True)
class Row:
    """One closing in a line.

    Attributes:
        alias: what stands for it in addresses.
        line: its summary.
        says: what its worst finding says, with fields named as the pages name them.
    """

    alias: str
    line: Summary
    says: str


@dataclass(frozen=True, slots=True)
class LinesPage:
    """Some of many closings.

    Attributes:
        rows: those shown.
        found: how many there are of this sort.
        start: how many of them come before those shown.
        show: `open` for those not proven, `proven`, or empty for all.
        name: what was looked for; empty when nothing was.
        size: how many are shown at once.
    """

    rows: tuple[Row, ...]
    found: int
    start: int = 0
    show: str = ""
    name: str = ""
    size: int = LINES

    @property
    def before(self) -> int | None:
        """Where the page before starts; None when there is none."""
        return max(0, self.start - self.size) if self.start else None

    @property
    def after(self) -> int | None:
        """Where the next page starts; None when there is none."""
        end = self.start + len(self.rows)
        return end if end < self.found and not self.name else None


def overview(desk: Desk, request: Request) -> Response:
    """Every closing, worst first."""
    show, start = request.query_params.get("show", ""), request.query_params.get("from", "")
    with desk.turn:
        lines = all_in_lines(desk.office, desk.office.today)
        if len(lines) <= FEW:
            return _few(desk, lines)
        shown = [line for line in lines if show not in _SORTS or bool(line.blocking) is _SORTS[show]]
        first = min(int(start), len(shown)) if start.isascii() and start.isdecimal() and len(start) < 9 else 0
        rows = _rows(desk, shown[first : first + LINES])
        return _page(desk, lines, LinesPage(rows, len(shown), first, show if show in _SORTS else ""))


_SORTS = {"open": True, "proven": False}
"""What `show` may be, and whether something blocks such closings."""


def find(desk: Desk, _asked: Asked, form: Form) -> Response:
    """The closings that fit what was typed, which goes into no address: browsers keep those."""
    wanted = " ".join(form.get("name", "").split())
    with desk.turn:
        lines = all_in_lines(desk.office, desk.office.today)
        eins = {entity.slug: entity.ein for entity in desk.office.vault.entities()}
        fits = [
            line for line in lines if wanted.casefold() in f"{line.name}\n{line.entity}\n{eins[line.entity]}".casefold()
        ]
        return _page(desk, lines, LinesPage(_rows(desk, fits[:LINES]), len(fits), name=wanted))


def _rows(desk: Desk, lines: Sequence[Summary]) -> tuple[Row, ...]:
    return tuple(
        Row(desk.door.alias(line.entity), line, with_field_words(line.says) if line.code == Code.WAITING else line.says)
        for line in lines
    )


def _page(desk: Desk, lines: Sequence[Summary], shown: LinesPage) -> Response:
    return page(desk, "overview.html", page=shown, closings=(), **_counts(desk, lines))


def _few(desk: Desk, lines: Sequence[Summary]) -> Response:
    office = desk.office
    views = [
        closing_view(one.entity, one.verdict, one.papers, desk.door.alias(one.entity.slug))
        for one in closings(office, [line.entity for line in lines], office.today)
    ]
    return page(desk, "overview.html", page=None, closings=views, **_counts(desk, lines))


def _counts(desk: Desk, lines: Sequence[Summary]) -> dict[str, Any]:
    return {
        "all": len(lines),
        "open": sum(line.blocking > 0 for line in lines),
        "waiting": len(desk.waiting()),
        "asof": desk.office.today,
    }
