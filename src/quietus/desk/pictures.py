"""Pictures of pages and of places on them, made in a child process and kept in memory only, within bounds."""

import math
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable

from quietus.closing.office import Office
from quietus.model.errors import Misuse
from quietus.model.paper import Paper
from quietus.model.reading import Box, Value
from quietus.reading import ReadingPool

PAGE_PIXELS = 1600  # longest side of a page's picture
SPOT_PIXELS = 900  # longest side of the picture of one value
PICTURE_BYTES = 48 * 1024 * 1024
PAPER_BYTES = 64 * 1024 * 1024

_LEAST_WIDE, _LEAST_HIGH = 0.2, 0.02  # of the upright page: a tick alone tells little without what stands beside it
_ROOM = 0.004  # of the page's width, between a box and the line drawn around it
_HIGH = 11 / 8.5  # height of a page by its width: near enough for the few degrees of a skew


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
        if number not in {page.number for page in paper.reading.pages}:
            raise Misuse("The paper has no such page.", "Go back to the paper.")
        return self._picture(paper, number, None, PAGE_PIXELS)

    def spot(self, paper: Paper, value: Value) -> bytes:
        """The upright picture of where a value stands, PNG.

        Raises:
            Misuse: the value stands nowhere.
            Unreadable, Damaged, MachineFault: it can't be shown.
        """
        if value.page is None or value.box is None:
            raise Misuse("That value stands nowhere on the paper.", "Go back to the paper.")
        turn = next((page.turn for page in paper.reading.pages if page.number == value.page), 0)
        return self._picture(paper, value.page, roomy(value.box, turn), SPOT_PIXELS)

    def _picture(self, paper: Paper, page: int, box: Box | None, longest: int) -> bytes:
        return _kept(
            self._pictures,
            (paper.id, page, box),
            lambda: self._pool.picture(self._data(paper), page, box, longest).result(),
        )

    def _data(self, paper: Paper) -> bytes:
        """The paper's bytes; the journal tells of it once for each time they are unsealed, not for each picture."""
        with self._turn:
            return _kept(self._papers, paper.id, lambda: self._office.vault.paper_bytes(paper.id, "review at the desk"))


def _kept(shelf: Shelf, key: Hashable, make: Callable[[], bytes]) -> bytes:
    data = shelf.get(key)
    if data is None:
        data = make()
        shelf.put(key, data)
    return data


def roomy(box: Box, turn: int) -> Box:
    """The box, but never so small that it shows a tick without its words.

    Args:
        box: on the page as received.
        turn: degrees clockwise that make the page upright.
    """
    least_wide, least_high = (_LEAST_WIDE, _LEAST_HIGH) if turn in {0, 180} else (_LEAST_HIGH, _LEAST_WIDE)
    return _around(box, max(box.right - box.left, least_wide), max(box.bottom - box.top, least_high))


def upright(box: Box, turn: int, skew: float = 0.0) -> Box:
    """The box on the page made upright, as its picture shows it.

    Args:
        box: on the page as received.
        turn: degrees clockwise (0, 90, 180, 270).
        skew: degrees, clockwise positive, that the turned page leans.
    """
    left, top, right, bottom = box
    turned = {
        0: box,
        90: Box(1 - bottom, left, 1 - top, right),
        180: Box(1 - right, 1 - bottom, 1 - left, 1 - top),
        270: Box(top, 1 - right, bottom, 1 - left),
    }[turn]
    return _straight(turned, skew) if skew else turned


def _straight(box: Box, skew: float) -> Box:
    """The rectangle that `box` is drawn around, on the page turned back by `skew` about its middle.

    A leaning rectangle fills its box to the edges, so that its own sides follow from the box's.
    """
    sine, cosine = math.sin(math.radians(skew)), math.cos(math.radians(skew))
    x, y = (box.left + box.right) / 2 - 0.5, ((box.top + box.bottom) / 2 - 0.5) * _HIGH
    x, y = x * cosine + y * sine + 0.5, (y * cosine - x * sine) / _HIGH + 0.5
    outer_wide, outer_high = box.right - box.left, (box.bottom - box.top) * _HIGH
    lean = abs(sine)
    wide = max((outer_wide * cosine - outer_high * lean) / (cosine**2 - lean**2), outer_wide / 4)
    high = max((outer_high * cosine - outer_wide * lean) / (cosine**2 - lean**2), outer_high / 4) / _HIGH
    return _around(Box(x, y, x, y), wide, high)


def framed(box: Box) -> Box:
    """The box with a little room, so that a line drawn along it touches no letter."""
    return _around(box, box.right - box.left + 2 * _ROOM, box.bottom - box.top + 2 * _ROOM / _HIGH)


def _around(box: Box, wide: float, high: float) -> Box:
    """A box of that size with the same middle, as far as it lies on the page."""
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    edges = x - wide / 2, y - high / 2, x + wide / 2, y + high / 2
    return Box(*(min(1.0, max(0.0, edge)) for edge in edges))
