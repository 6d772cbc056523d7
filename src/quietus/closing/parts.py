"""Papers whose pages stand in another file: a batch taken apart, a paper put together from several files.

The file as received stays in the vault byte for byte, replaced by the papers its pages went into; a card says which
pages went where. All of it is one transaction: a crash leaves either the file in the inbox or everything filed.
"""

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from quietus.closing.covering import with_places
from quietus.closing.matching import Place
from quietus.closing.office import Office
from quietus.model.errors import Refused
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Reading, Value
from quietus.vault import Card

SORT = "pages"
"""Sort of the cards that say where the pages of a replaced paper went; the card's id is that paper's id."""

Placer = Callable[[Reading], Place]


@dataclass(frozen=True, slots=True)
class Part:
    """Pages of a paper that stand in another one.

    Attributes:
        paper: id of the other paper.
        pages: 1-based, of the paper they came from.
    """

    paper: str
    pages: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Piece:
    """A part about to be filed: its bytes, its type, and what was read off it, pages numbered as in the whole."""

    data: bytes
    media_type: str
    reading: Reading

    @property
    def pages(self) -> tuple[int, ...]:
        """1-based, of the whole."""
        return tuple(view.number for view in self.reading.pages)


def check_counts(paper: Paper) -> None:
    """Refuse a paper that counts no more: what is said of a paper is said where it counts.

    Raises:
        Refused: its pages were filed as other papers.
    """
    if paper.standing is Standing.REPLACED:
        raise Refused(
            "The pages of this paper are filed as other papers.",
            "Open those and settle them there; `quietus paper show` names them.",
        )


def parts_of(office: Office, paper_id: str) -> tuple[Part, ...]:
    """Where the pages of a replaced paper went; empty for any other."""
    card = office.vault.card(SORT, paper_id)
    return _parts(card) if card else ()


def sources_of(office: Office, paper_id: str) -> tuple[Part, ...]:
    """The papers, with their pages, that a paper's pages came from; empty when it was received as it is."""
    return tuple(
        Part(card.id, part.pages)
        for card in office.vault.cards(SORT)
        for part in _parts(card)
        if part.paper == paper_id
    )


def same_pages(office: Office, paper_id: str) -> tuple[str, ...]:
    """Ids of every other paper that shows pages of this one: while one of them is there, what stands on them is.

    A paper is out of the world only when these are destroyed with it; each that counts has its own time to be kept.
    """
    return all_same_pages(office, [paper_id])[paper_id]


def all_same_pages(office: Office, papers: Iterable[str] | None = None) -> dict[str, tuple[str, ...]]:
    """The same for several papers, or for every paper that shares pages when None."""
    down = [(card.id, part.paper) for card in office.vault.cards(SORT) for part in _parts(card)]
    up = [(part, whole) for whole, part in down]
    below, above = _steps(down), _steps(up)
    wanted = sorted({*below, *above}) if papers is None else papers
    return {one: tuple(sorted(_reached(one, below) | _reached(one, above))) for one in wanted}


def _steps(pairs: Iterable[tuple[str, str]]) -> dict[str, set[str]]:
    steps: dict[str, set[str]] = {}
    for start, end in pairs:
        steps.setdefault(start, set()).add(end)
    return steps


def _reached(paper_id: str, steps: Mapping[str, set[str]]) -> set[str]:
    found: set[str] = set()
    ahead = {paper_id}
    while ahead:
        ahead = {end for start in ahead for end in steps.get(start, ())} - found
        found |= ahead
    return found - {paper_id}


def counting(office: Office, paper: Paper) -> tuple[Paper, ...]:
    """The papers that count in a paper's place: itself, or those its pages went into and that are still there."""
    if paper.standing is not Standing.REPLACED:
        return (paper,)
    there = [part.paper for part in parts_of(office, paper.id) if office.vault.stub(part.paper) is None]
    return tuple(one for paper_id in there for one in counting(office, office.vault.paper(paper_id)))


def file_batch(office: Office, whole: Piece, name: str, pieces: Sequence[Piece], find: Placer) -> tuple[Paper, ...]:
    """File a file that holds several papers: the whole as received, and each paper in it.

    Args:
        office: the opened office.
        whole: the file as received; its reading covers all pages.
        name: its name in the inbox.
        pieces: the papers in it.
        find: what finds the place of a reading.
    """
    with office.vault.transaction():
        received = office.vault.file_paper(
            whole.data,
            name=name,
            media_type=whole.media_type,
            pages=len(whole.pages),
            standing=Standing.REPLACED,
            entity="",
            expected="",
            reading=whole.reading,
        )
        return replace_by(office, received, pieces, find)


def replace_by(office: Office, whole: Paper, pieces: Sequence[Piece], find: Placer) -> tuple[Paper, ...]:
    """File the pieces of a paper in its place; call it inside a transaction."""
    papers = tuple(_file(office, piece, part_name(whole.name, piece.pages), find) for piece in pieces)
    owners = {paper.entity for paper in papers}
    owner = owners.pop() if len(owners) == 1 else ""
    moved = tuple(Part(paper.id, piece.pages) for paper, piece in zip(papers, pieces, strict=True))
    set_aside(office, whole, moved, "its pages are filed as papers of their own", entity=owner)
    return papers


def set_aside(office: Office, paper: Paper, moved: Sequence[Part], why: str, *, entity: str) -> None:
    """Let a paper be replaced by others, and keep where its pages went; call it inside a transaction."""
    if paper.standing is not Standing.REPLACED or paper.entity != entity:
        office.vault.add_reading(
            paper.id, paper.reading, standing=Standing.REPLACED, entity=entity, expected="", why=why
        )
    _put(office, paper.id, moved)


def take_back(office: Office, paper: Paper, found: Place, why: str) -> Paper:
    """Let a replaced paper count again as a whole; call it inside a transaction."""
    _put(office, paper.id, ())
    return office.vault.add_reading(
        paper.id, found.reading, standing=found.standing, entity=found.entity, expected=found.expected, why=why
    )


def _file(office: Office, piece: Piece, name: str, find: Placer) -> Paper:
    """File a piece, or find it where it was filed before: the same pages may come by themselves, or once more."""
    known = office.vault.paper_by_hash(hashlib.sha256(piece.data).hexdigest())
    if known is None:
        found = find(renumbered(piece.reading))
        return office.vault.file_paper(
            piece.data,
            name=name,
            media_type=piece.media_type,
            pages=len(piece.pages),
            standing=found.standing,
            entity=found.entity,
            expected=found.expected,
            reading=found.reading,
        )
    if known.standing is Standing.REPLACED:
        # With what persons said of it before, and what they marked on it since.
        found = find(with_places(known.reading, renumbered(piece.reading).private))
        return take_back(office, known, found, "its pages are a paper of their own again")
    office.vault.note_repeat(known.id, name)
    return known


def renumbered(reading: Reading) -> Reading:
    """The reading with the paper's own pages counted from 1."""
    order = {view.number: number for number, view in enumerate(reading.pages, 1)}
    return replace(
        reading,
        pages=tuple(replace(view, number=order[view.number]) for view in reading.pages),
        values={name: _moved(value, order) for name, value in reading.values.items()},
        private=tuple(replace(spot, page=order[spot.page]) for spot in reading.private),
    )


def _moved(value: Value, order: dict[int, int]) -> Value:
    return value if value.page is None else replace(value, page=order[value.page])


def whole_reading(readings: Sequence[Reading]) -> Reading:
    """What is known of a file that holds several papers: its pages, and that it is no paper by itself."""
    kind = Value(Kind.OTHER.value, 1.0, method=f"holds {len(readings)} papers")
    return Reading(
        pages=tuple(view for reading in readings for view in reading.pages),
        values={"kind": kind},
        engine=readings[0].engine,
        private=tuple(spot for reading in readings for spot in reading.private),
    )


def part_name(name: str, pages: Sequence[int]) -> str:
    """What a part is called: the file's name and its pages there."""
    return f"{name} page {pages[0]}" if len(pages) == 1 else f"{name} pages {pages[0]}-{pages[-1]}"


def _put(office: Office, paper_id: str, moved: Sequence[Part]) -> None:
    body = {"into": [{"paper": part.paper, "pages": list(part.pages)} for part in moved]}
    office.vault.put_card(Card(SORT, paper_id, "", body), "pages-moved")


def _parts(card: Card) -> tuple[Part, ...]:
    return tuple(Part(entry["paper"], tuple(entry["pages"])) for entry in card.body["into"])
