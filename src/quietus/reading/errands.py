"""What a child process is asked to do, by name.

The parent knows no more of it: recognition is loaded in the child alone, so that commands that read nothing start soon.
"""

from dataclasses import dataclass

from quietus.model.limits import Limits
from quietus.model.reading import Box, Reading


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be shown of a page.

    Attributes:
        page: 1-based.
        box: a part of the page as received; None for the whole page.
        longest: the longest side of the PNG in pixels; smaller pictures are not enlarged.
    """

    page: int
    box: Box | None = None
    longest: int = 1600


def prepare(limits: Limits) -> None:
    """See `quietus.reading.child.prepare`."""
    from quietus.reading import child  # noqa: PLC0415 - see above; so with the others

    child.prepare(limits)


def warm(tesseract: str) -> None:
    """See `quietus.reading.child.warm`."""
    from quietus.reading import child  # noqa: PLC0415

    child.warm(tesseract)


def read(data: bytes, limits: Limits, tesseract: str, starts: tuple[int, ...]) -> tuple[Reading, ...]:
    """See `quietus.reading.child.read`."""
    from quietus.reading import child  # noqa: PLC0415

    return child.read(data, limits, tesseract, starts)


def read_again(data: bytes, limits: Limits, tesseract: str) -> Reading:
    """See `quietus.reading.child.read_again`."""
    from quietus.reading import child  # noqa: PLC0415

    return child.read_again(data, limits, tesseract)


def picture(data: bytes, wanted: Wanted, limits: Limits, tesseract: str) -> bytes:
    """See `quietus.reading.child.picture`."""
    from quietus.reading import child  # noqa: PLC0415

    return child.picture(data, wanted, limits, tesseract)


def parts(data: bytes, groups: tuple[tuple[int, ...], ...], limits: Limits) -> tuple[bytes, ...]:
    """See `quietus.reading.child.parts`."""
    from quietus.reading import child  # noqa: PLC0415

    return child.parts(data, groups, limits)


def join(files: tuple[bytes, ...], limits: Limits) -> bytes:
    """See `quietus.reading.child.join`."""
    from quietus.reading import child  # noqa: PLC0415

    return child.join(files, limits)
