"""Places on a paper that have to be covered before it leaves: those that reading found, and those a person marks."""

from collections.abc import Iterable
from dataclasses import replace

from quietus.closing.office import Office
from quietus.model.errors import Misuse
from quietus.model.paper import Paper
from quietus.model.reading import Box, PrivateSort, PrivateSpot, Reading


def mark(office: Office, paper_id: str, page: int, box: Box, sort: PrivateSort) -> Paper:
    """Mark a place by hand. It is covered for every purpose that hides this sort, as if reading had found it.

    Args:
        office: the opened office.
        paper_id: the paper, or the first digits of its id.
        page: 1-based page of its file.
        box: where on the page as any viewer shows it.
        sort: what stands there.

    Raises:
        Misuse: the paper or the page is not there, or the box is none.
    """
    paper = office.vault.paper(paper_id)
    if not 1 <= page <= paper.pages:
        raise Misuse("The paper has no such page.", f"Its file has {paper.pages}.")
    if not (0 <= box.left < box.right <= 1 and 0 <= box.top < box.bottom <= 1):
        raise Misuse("That is no place on a page.", "Give left, top, right and bottom in percent, each from 0 to 100.")
    spots = (*paper.reading.private, PrivateSpot(page, box, sort))
    return _reread(office, paper, spots, f"a place marked by hand: {sort.value} on page {page}")


def unmark(office: Office, paper_id: str, number: int, reason: str) -> Paper:
    """Take a mark back, because nothing private stands there.

    Args:
        office: the opened office.
        paper_id: the paper, or the first digits of its id.
        number: which of its marks, from 1, in the order listed.
        reason: why it is not needed.

    Raises:
        Misuse: the paper or the mark is not there, or no reason is given.
    """
    paper = office.vault.paper(paper_id)
    spots = paper.reading.private
    if not 1 <= number <= len(spots):
        raise Misuse("There is no such mark on that paper.", "See `quietus cover list PAPER` for their numbers.")
    if not reason.strip():
        raise Misuse("Taking a mark back needs a reason.", "Give it with --reason.")
    kept = (*spots[: number - 1], *spots[number:])
    return _reread(office, paper, kept, f"a mark taken back: {reason.strip()}")


def with_places(reading: Reading, known: Iterable[PrivateSpot]) -> Reading:
    """A reading with the places that are known of its pages: what was covered stays so when pages are read anew.

    Args:
        reading: read anew.
        known: places marked or found before; their pages are counted as the reading's are.
    """
    pages = {view.number for view in reading.pages}
    more = (spot for spot in known if spot.page in pages and not any(_holds(old, spot) for old in reading.private))
    return replace(reading, private=(*reading.private, *more))


def _holds(old: PrivateSpot, spot: PrivateSpot) -> bool:
    """Whether `old` covers all of `spot`, as what it is."""
    inside = (
        old.box.left <= spot.box.left
        and old.box.top <= spot.box.top
        and spot.box.right <= old.box.right
        and spot.box.bottom <= old.box.bottom
    )
    return inside and (old.page, old.sort) == (spot.page, spot.sort)


def _reread(office: Office, paper: Paper, spots: tuple[PrivateSpot, ...], why: str) -> Paper:
    reading = replace(paper.reading, private=spots)
    return office.vault.add_reading(
        paper.id, reading, standing=paper.standing, entity=paper.entity, expected=paper.expected, why=why
    )
