"""A person says which pages make a paper: takes one apart, puts several together, or makes a divided file one again."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

from quietus.closing.covering import with_places
from quietus.closing.intake import placer
from quietus.closing.office import Office
from quietus.closing.parts import Part, Piece, check_counts, parts_of, replace_by, set_aside, sources_of, take_back
from quietus.model.errors import Misuse
from quietus.model.paper import Paper
from quietus.model.reading import PrivateSpot, Reading
from quietus.reading import ReadingPool, media_type

WHY = "to file its pages anew"


def split(office: Office, paper_id: str, at: Sequence[int]) -> tuple[Paper, ...]:
    """Take a paper apart: a new one begins at each of the pages `at` (1-based, of this paper).

    Raises:
        Misuse: the paper is not there, was replaced by others before, or has no such pages.
        Unreadable: it can't be taken apart.
    """
    paper = office.vault.paper(paper_id)
    starts = (1, *sorted(set(at)))
    if len(starts) < 2 or starts[1] < 2 or starts[-1] > paper.pages:
        raise Misuse("No paper begins there.", f"Name pages from 2 to its last: it has {paper.pages} in all.")
    check_counts(paper)
    data = office.vault.paper_bytes(paper.id, WHY)
    with office.reading_pool() as pool:
        readings = pool.submit(data, starts).result()
        groups = tuple(tuple(view.number for view in reading.pages) for reading in readings)
        files = pool.parts(data, groups).result()
    known = [with_places(reading, paper.reading.private) for reading in readings]
    pieces = [Piece(part, paper.media_type, reading) for part, reading in zip(files, known, strict=True)]
    with office.vault.transaction():
        return replace_by(office, paper, pieces, placer(office))


def join(office: Office, paper_ids: Sequence[str]) -> Paper:
    """Make one paper of several, in the order given: pages of it came in several files.

    Raises:
        Misuse: fewer than two papers, one of them twice, or one that is not there or was replaced before.
        Unreadable: they can't be put together.
    """
    papers = [office.vault.paper(paper_id) for paper_id in paper_ids]
    if len({paper.id for paper in papers}) != len(papers) or len(papers) < 2:
        raise Misuse("It takes two different papers to make one of.", "Name each paper once.")
    for paper in papers:
        check_counts(paper)
    files = tuple(office.vault.paper_bytes(paper.id, WHY) for paper in papers)
    with office.reading_pool() as pool:
        data = pool.joined(files).result()
        reading = _read_whole(pool, data)
    before = accumulate((paper.pages for paper in papers), initial=0)
    known = (
        replace(s, page=s.page + n) for paper, n in zip(papers, before, strict=False) for s in paper.reading.private
    )
    found = placer(office)(with_places(reading, known))
    with office.vault.transaction():
        whole = office.vault.file_paper(
            data,
            name=" + ".join(paper.name for paper in papers),
            media_type=media_type(data),
            pages=len(reading.pages),
            standing=found.standing,
            entity=found.entity,
            expected=found.expected,
            reading=found.reading,
        )
        for paper in papers:
            set_aside(
                office, paper, (_all_of(paper, whole),), "its pages are part of another paper", entity=paper.entity
            )
    return whole


def make_whole(office: Office, paper_id: str) -> Paper:
    """Say that a file that was taken apart is one paper after all; it may be named by any of its parts.

    Raises:
        Misuse: the paper is not there, was never taken apart, or its pages are part of yet another paper.
        Unreadable: it can't be read any more.
    """
    whole = _divided(office, office.vault.paper(paper_id))
    parts = _all_parts(office, whole)
    data = office.vault.paper_bytes(whole.id, WHY)
    with office.reading_pool() as pool:
        reading = _read_whole(pool, data)
    found = placer(office)(with_places(reading, _places(office, whole, parts)))
    with office.vault.transaction():
        for part in parts:
            set_aside(office, part, (_all_of(part, whole),), "its file is one paper after all", entity=part.entity)
        return take_back(office, whole, found, "one paper after all")


def _read_whole(pool: ReadingPool, data: bytes) -> Reading:
    return pool.submit(data, (1,)).result()[0]


def _divided(office: Office, paper: Paper) -> Paper:
    """The file that was taken apart: the paper named, or the one whose part it is."""
    if parts_of(office, paper.id):
        return paper
    sources = sources_of(office, paper.id)
    if len(sources) != 1:
        raise Misuse("That paper is not part of a file that was taken apart.", "See `quietus paper show`.")
    return office.vault.paper(sources[0].paper)


def _all_of(paper: Paper, whole: Paper) -> Part:
    return Part(whole.id, tuple(range(1, paper.pages + 1)))


def _places(office: Office, whole: Paper, papers: Sequence[Paper]) -> list[PrivateSpot]:
    """The places to cover that are known of a file that was taken apart, pages counted as in it."""
    pages = {part.paper: part.pages for part in parts_of(office, whole.id)}
    own = [replace(spot, page=pages[one.id][spot.page - 1]) for one in papers for spot in one.reading.private]
    return [*whole.reading.private, *own]


def _all_parts(office: Office, whole: Paper) -> list[Paper]:
    """The papers that the pages of `whole` went into, when they are nothing but parts of it."""
    found = []
    for part in parts_of(office, whole.id):
        if [source.paper for source in sources_of(office, part.paper)] != [whole.id]:
            raise Misuse("Pages of that file are also part of another paper.", "Take that one apart first.")
        paper = office.vault.paper(part.paper)
        if parts_of(office, paper.id):
            raise Misuse("A part of that file was taken apart once more, or joined.", "Make that part whole first.")
        found.append(paper)
    return found
