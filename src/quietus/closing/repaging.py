"""A person says which pages make a paper: takes one apart, puts several together, or makes a divided file one again."""

from collections.abc import Sequence

from quietus.closing.intake import placer
from quietus.closing.office import Office
from quietus.closing.parts import Part, Piece, parts_of, replace_by, set_aside, sources_of, take_back
from quietus.model.errors import Misuse
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Reading
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
    _check_counts(paper)
    data = office.vault.paper_bytes(paper.id, WHY)
    with office.reading_pool() as pool:
        readings = pool.submit(data, starts).result()
        groups = tuple(tuple(view.number for view in reading.pages) for reading in readings)
        files = pool.parts(data, groups).result()
    pieces = [Piece(part, paper.media_type, reading) for part, reading in zip(files, readings, strict=True)]
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
        _check_counts(paper)
    files = tuple(office.vault.paper_bytes(paper.id, WHY) for paper in papers)
    with office.reading_pool() as pool:
        data = pool.joined(files).result()
        reading = _read_whole(pool, data)
    found = placer(office)(reading)
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
        found = placer(office)(_read_whole(pool, data))
    with office.vault.transaction():
        for part in parts:
            set_aside(office, part, (_all_of(part, whole),), "its file is one paper after all", entity=part.entity)
        return take_back(office, whole, found, "one paper after all")


def _read_whole(pool: ReadingPool, data: bytes) -> Reading:
    return pool.submit(data, (1,)).result()[0]


def _check_counts(paper: Paper) -> None:
    if paper.standing is Standing.REPLACED:
        raise Misuse("The pages of that paper were filed as others already.", "See `quietus paper show` for which.")


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
