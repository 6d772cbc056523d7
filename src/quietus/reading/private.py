"""What on a paper may have to be hidden before it leaves the office: numbers of people and banks, and homes.

Found from every recognised word with its place; what stands there is not kept. A spot too many costs a look, a spot too
few shows a client's number to a stranger: so slips of recognition, odd spacing and broken lines are allowed for.
"""

from collections.abc import Iterable, Iterator, Sequence

from quietus.model.reading import PrivateSort, PrivateSpot
from quietus.reading.homes import home_addresses
from quietus.reading.pages import Page
from quietus.reading.private_numbers import private_numbers
from quietus.reading.words import Line, Rect, Word, around, lines_of

_ACROSS, _DOWN = 0.08, 0.04  # inches of margin: letters are cut off and skewed pages come out slightly askew


def private_spots(pages: Sequence[Page]) -> tuple[PrivateSpot, ...]:
    """Every private spot of the pages, page by page, from the top down."""
    homes = home_addresses([page.lines for page in pages])
    return tuple(spot for page, here in zip(pages, homes, strict=True) for spot in _on(page, here))


def _on(page: Page, homes: list[tuple[PrivateSort, tuple[Word, ...]]]) -> list[PrivateSpot]:
    found = [*private_numbers(_all_lines(page)), *homes]
    spots = {
        PrivateSpot(page.number, page.box(rect), sort) for sort, words in found for rect in _rects(words, page.dpi)
    }
    return sorted(spots, key=lambda spot: (spot.box.top, spot.box.left, spot.sort))


def _all_lines(page: Page) -> tuple[Line, ...]:
    """The lines together with words that were read too unsurely to count."""
    if not page.faint:
        return page.lines
    return lines_of([*(word for line in page.lines for word in line.words), *page.faint])


def _rects(words: Iterable[Word], dpi: float) -> Iterator[Rect]:
    """One rectangle for the words of each row, so that what is broken over two lines hides no whole block."""
    row: list[Rect] = []
    for rect in (word.rect for word in words):
        if row and (rect.top > row[-1].bottom - 0.3 * rect.height or rect.left < row[-1].left):
            yield around(row).grown(_ACROSS * dpi, _DOWN * dpi)
            row = []
        row.append(rect)
    if row:
        yield around(row).grown(_ACROSS * dpi, _DOWN * dpi)
