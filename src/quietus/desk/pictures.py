"""Pictures of pages and of places on them, made in a child process and kept in memory only, within bounds."""

import struct
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable

from quietus.closing.office import Office
from quietus.desk.geometry import roomy
from quietus.model.errors import Misuse
from quietus.model.paper import Paper
from quietus.model.reading import Box, Value
from quietus.reading import ReadingPool

PAGE_PIXELS = 1600  # longest side of a page's picture
SPOT_PIXELS = 900  # longest side of the picture of one value
SMALL_PIXELS = 360  # longest side of a page among others
PICTURE_BYTES = 48 * 1024 * 1024
PAPER_BYTES = 64 * 1024 * 1024
_PNG_SIZE = 16  # where a PNG says how wide and high it is, four bytes each (PNG specification, section 11.2.1)


class Shelf:
    """Byte strings by key: the oldest unused go first when together they are more than `most` bytes.

    The newest stays even when it alone is more than that.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: OrderedDict[Hashable, bytes] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: Hashable) -> bytes | None:
        """The bytes, or None."""
        with self._lock:
            if key in self._held:
                self._held.move_to_end(key)
            return self._held.get(key)

    def put(self, key: Hashable, data: bytes) -> None:
        """Keep the bytes."""
        with self._lock:
            self._held[key] = data
            self._held.move_to_end(key)
            while len(self._held) > 1 and self.held > self._most:
                self._held.popitem(last=False)

    @property
    def held(self) -> int:
        """Bytes kept."""
        return sum(len(data) for data in self._held.values())


class Pictures:
    """Pictures of the papers in the vault.

    Args:
        office: the opened office.
        pool: the child processes.
        turn: held while the vault is used.
    """

    def __init__(self, office: Office, pool: ReadingPool, turn: threading.Lock) -> None:
        self._office = office
        self._pool = pool
        self._turn = turn
        self._papers = Shelf(PAPER_BYTES)
        self._pictures = Shelf(PICTURE_BYTES)

    def page(self, paper: Paper, number: int) -> bytes:
        """The upright picture of a page, PNG.

        Raises:
            Misuse: the paper has no such page.
            Unreadable, Damaged, MachineFault: it can't be shown.
        """
        return self._picture(paper, _known(paper, number), None, PAGE_PIXELS)

    def small(self, paper: Paper, number: int) -> bytes:
        """The same, small."""
        return self._picture(paper, _known(paper, number), None, SMALL_PIXELS)

    def shape(self, paper: Paper, number: int) -> float:
        """Height of a page's upright picture by its width."""
        wide, high = struct.unpack_from(">II", self.page(paper, number), _PNG_SIZE)
        return float(high / wide)

    def spot(self, paper: Paper, value: Value) -> bytes:
        """The upright picture of where a value stands, PNG.

        Raises:
            Misuse: the value stands nowhere.
            Unreadable, Damaged, MachineFault: it can't be shown.
        """
        if value.page is None or value.box is None:
            raise Misuse("That value stands nowhere on the paper.", "Go back to the paper.")
        return self.place(paper, value.page, value.box)

    def place(self, paper: Paper, number: int, box: Box) -> bytes:
        """The upright picture of a place on the page as received, with what stands beside it."""
        turn = next((page.turn for page in paper.reading.pages if page.number == number), 0)
        return self._picture(paper, number, roomy(box, turn), SPOT_PIXELS)

    def _picture(self, paper: Paper, page: int, box: Box | None, longest: int) -> bytes:
        return _kept(
            self._pictures,
            (paper.id, page, box, longest),
            lambda: self._pool.picture(self._data(paper), page, box, longest).result(),
        )

    def _data(self, paper: Paper) -> bytes:
        """The paper's bytes; the journal tells of it once for each time they are unsealed, not for each picture."""
        with self._turn:
            return _kept(self._papers, paper.id, lambda: self._office.vault.paper_bytes(paper.id, "review at the desk"))


def _known(paper: Paper, number: int) -> int:
    if number not in {page.number for page in paper.reading.pages}:
        raise Misuse("The paper has no such page.", "Go back to the paper.")
    return number


def _kept(shelf: Shelf, key: Hashable, make: Callable[[], bytes]) -> bytes:
    data = shelf.get(key)
    if data is None:
        data = make()
        shelf.put(key, data)
    return data
