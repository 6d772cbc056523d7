"""A timeline of retention: for each paper of an entity a bar from the event to the last day it must be kept."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from quietus.cli.pictured import TEMPLATES
from quietus.cli.retain_words import paper_words, until_words
from quietus.cli.screen import CAUTION
from quietus.closing.approval import Candidate
from quietus.model.entity import Entity
from quietus.model.retention import Clock

_LEFT, _RIGHT, _TOP, _ROW, _WIDTH = 300, 190, 66, 30, 1100  # CSS pixels, as are all below
_MOST_YEARS = 60
_LABEL = 40  # characters beside a bar


@dataclass(frozen=True, slots=True)
class _Scale:
    """Days to pixels."""

    first: date
    last: date

    def x(self, day: date) -> float:
        """Where a day stands."""
        share = (min(max(day, self.first), self.last) - self.first) / (self.last - self.first)
        return round(_LEFT + share * (_WIDTH - _LEFT - _RIGHT), 1)


def timeline(entity: Entity, found: Sequence[Candidate], today: date, *, page: bool) -> str:
    """The picture, alone as SVG or in a page that stands alone.

    Args:
        entity: whose papers.
        found: its papers and what stands in the way of disposing of them.
        today: the day asked about; a line marks it.
        page: whether to put it into an HTML page.
    """
    ordered = sorted(found, key=lambda one: (one.kept.keep.until or date.max, one.kept.paper.id))
    scale = _scale(ordered, today)
    drawn = {
        "width": _WIDTH,
        "height": _TOP + _ROW * len(ordered) + 40,
        "bottom": _TOP + _ROW * len(ordered),
        "left": _LEFT,
        "right": _WIDTH - _RIGHT,
        "years": [(year, scale.x(date(year, 1, 1))) for year in _years(scale)],
        "today": scale.x(today),
        "asof": today.isoformat(),
        "rows": [_row(one, scale, number) for number, one in enumerate(ordered)],
        "name": entity.name,
        "caution": CAUTION,
    }
    return TEMPLATES.get_template("timeline.html" if page else "timeline.svg").render(**drawn)


def _scale(found: Sequence[Candidate], today: date) -> _Scale:
    keeps = [one.kept.keep for one in found]
    days = [today, *(rule.from_day for keep in keeps for rule in keep.applied[:1] if rule.from_day)]
    ends = [today + timedelta(days=366), *(keep.until for keep in keeps if keep.until)]
    last = min(max(ends), date(today.year + _MOST_YEARS, 12, 31))
    return _Scale(date(min(days).year, 1, 1), date(last.year, 12, 31))


def _years(scale: _Scale) -> list[int]:
    span = scale.last.year - scale.first.year + 1
    step = next(step for step in (1, 2, 5, 10) if span / step <= 12 or step == 10)
    return [year for year in range(scale.first.year, scale.last.year + 1) if (year - scale.first.year) % step == 0]


def _row(one: Candidate, scale: _Scale, number: int) -> dict[str, Any]:
    keep, paper = one.kept.keep, one.kept.paper
    winner = keep.winner
    begins = winner.from_day if winner and winner.from_day else None
    received = date.fromisoformat(paper.received[:10])
    left = scale.x(begins or received)
    right = scale.x(keep.until) if keep.until else scale.x(scale.last)
    beside = one.obstacle if one.holds or paper.waits else "" if one.obstacle else "Due for disposal."
    label = paper_words(paper).removeprefix(f"{paper.entity} ")
    return {
        "y": _TOP + _ROW * number,
        "id": paper.id[:8],
        "label": label if len(label) <= _LABEL else f"{label[: _LABEL - 1]}…",
        "left": left,
        "width": max(3.0, round(right - left, 1)),
        "style": "due" if not one.obstacle else _STYLES[keep.clock],
        "open": keep.clock is not Clock.RUNS,
        "end": round(max(left + 3, right), 1),
        "words": str(keep.until) if keep.until else _SHORT[keep.clock],
        "held": ", ".join(hold.id for hold in one.holds),
        "title": f"{until_words(keep)}{f': {winner.title}' if winner else ''}. {beside}".strip(),
    }


_STYLES = {
    Clock.RUNS: "runs",
    Clock.PERMANENT: "permanent",
    Clock.STANDS_STILL: "still",
    Clock.NO_RULE: "still",
}
_SHORT = {
    Clock.PERMANENT: "permanently",
    Clock.STANDS_STILL: "event not known",
    Clock.NO_RULE: "no rule",
}
