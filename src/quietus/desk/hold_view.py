"""Holds as the page of a closing shows them."""

from collections.abc import Container, Sequence
from dataclasses import dataclass
from datetime import date

from quietus.closing import holds
from quietus.closing.office import Office
from quietus.model.hold import Hold
from quietus.model.paper import Paper


@dataclass(frozen=True, slots=True)
class HoldView:
    """One hold that keeps papers of a closing, or did.

    Attributes:
        hold: the hold.
        papers: how many papers of the closing it keeps now.
        own: whether it is for this closing alone, and can be released on its page.
        late: whether its review date has passed.
    """

    hold: Hold
    papers: int
    own: bool
    late: bool

    @property
    def scope(self) -> str:
        """What it is for, in words."""
        hold = self.hold
        if hold.paper:
            return "one paper"
        narrow = hold.jurisdiction or hold.kinds or hold.since or hold.until
        return hold.scope if narrow or not self.own else "every paper of this closing, on file and to come"


@dataclass(frozen=True, slots=True)
class HoldsView:
    """The holds that touch a closing.

    Attributes:
        active: those in force.
        released: those that were for it alone and are released, the newest first.
        held: ids of its papers that are held.
    """

    active: tuple[HoldView, ...]
    released: tuple[Hold, ...]
    held: frozenset[str]


def is_own(hold: Hold, slug: str, papers: Container[str]) -> bool:
    """Whether a hold is for one closing alone: for its papers, or for one of them by its id."""
    return hold.entity == slug or hold.paper in papers


def holds_view(office: Office, slug: str, papers: Sequence[Paper], today: date) -> HoldsView:
    """The holds that touch the closing with this short name and these papers."""
    past = holds.Past(office.vault)
    kept = {paper.id: {hold.id for hold in past.catching(paper)} for paper in papers}
    active, released = [], []
    for hold in holds.holds(office.vault):
        count, own = sum(hold.id in found for found in kept.values()), is_own(hold, slug, kept)
        if hold.released:
            released += [hold] if own else []
        elif own or count:
            active.append(HoldView(hold, count, own, bool(hold.review and hold.review < today)))
    return HoldsView(tuple(active), tuple(reversed(released)), frozenset(one for one, found in kept.items() if found))
