"""The pages of one file: into which papers they went, and what can be put to them."""

from collections.abc import Iterable
from dataclasses import dataclass

from quietus.closing.office import Office
from quietus.closing.parts import Part, parts_of, sources_of
from quietus.model.errors import Misuse
from quietus.model.paper import Paper, Standing


@dataclass(frozen=True, slots=True)
class Group:
    """Pages of a file that make one paper.

    Attributes:
        pages: 1-based, of the file.
        paper: the paper they were filed as; None when it was destroyed.
    """

    pages: tuple[int, ...]
    paper: Paper | None


@dataclass(frozen=True, slots=True)
class PagesView:
    """The pages of one paper.

    Attributes:
        paper: the paper.
        groups: the papers its pages went into; itself alone when it counts as it is.
        sources: the papers that its pages came from, with the pages there.
        divided: whether it was taken apart, and can be made whole or taken apart otherwise.
        others: papers whose pages may belong to it.
    """

    paper: Paper
    groups: tuple[Group, ...]
    sources: tuple[tuple[Paper, Part], ...]
    divided: bool
    others: tuple[Paper, ...]

    @property
    def starts(self) -> frozenset[int]:
        """The pages, but for the first, at which papers begin now."""
        return frozenset(group.pages[0] for group in self.groups) - {1}

    @property
    def replaced(self) -> bool:
        """Whether its pages are filed as other papers."""
        return self.paper.standing is Standing.REPLACED


def pages_view(office: Office, paper: Paper) -> PagesView:
    """What the page shows of the pages of a paper."""
    parts = parts_of(office, paper.id) if paper.standing is Standing.REPLACED else ()
    groups = tuple(Group(part.pages, _there(office, part.paper)) for part in parts)
    whole = (Group(tuple(view.number for view in paper.reading.pages), paper),)
    return PagesView(
        paper=paper,
        groups=groups or whole,
        sources=came_from(office, paper),
        divided=_divided(office, paper, groups),
        others=() if groups else _others(office, paper),
    )


def came_from(office: Office, paper: Paper) -> tuple[tuple[Paper, Part], ...]:
    """The papers that a paper's pages came from, with the pages there.

    Parts of a file that was made whole again came after it: its pages are not from there.
    """
    sources = ((_there(office, part.paper), part) for part in sources_of(office, paper.id))
    return tuple((one, part) for one, part in sources if one is not None and one.received < paper.received)


def _there(office: Office, paper_id: str) -> Paper | None:
    """The paper; None when it was destroyed."""
    return None if office.vault.stub(paper_id) else office.vault.paper(paper_id)


def _divided(office: Office, paper: Paper, groups: Iterable[Group]) -> bool:
    """Whether the papers are nothing but its parts, and count."""
    papers = [group.paper for group in groups]
    return bool(papers) and all(
        part is not None
        and part.standing is not Standing.REPLACED
        and [source.paper for source in sources_of(office, part.id)] == [paper.id]
        for part in papers
    )


def _others(office: Office, paper: Paper) -> tuple[Paper, ...]:
    """Papers of the same owner or of nobody that count, the newest first."""
    owners = {paper.entity, ""}
    found = {one.id: one for owner in owners for one in office.vault.papers(owner)}
    counting = (one for one in found.values() if one.standing is not Standing.REPLACED and one.id != paper.id)
    return tuple(sorted(counting, key=lambda one: one.received, reverse=True))


def chosen(view: PagesView, paper_id: str) -> Paper | None:
    """The other paper that was chosen to be put to this one; None when none was.

    Raises:
        Misuse: it is not one that can be.
    """
    if not paper_id:
        return None
    for other in view.others:
        if other.id == paper_id:
            return other
    raise Misuse("That paper can't be put to this one.", "Choose one of the list.")
