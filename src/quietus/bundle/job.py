"""What the parent asks of the process that takes papers apart, and what it answers. Plain data."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeAlias

Rectangle: TypeAlias = tuple[int, int, int, int]
"""Left, top, right, bottom in dots of a page's picture; right and bottom are the first dots outside."""

JOB, RESULT, TALLY = "job.json", "result.json", "tally"
"""Names of the files that pass between the two. The tally grows by one byte for each page laid in."""


COMPOSE, REDACT, RECHECK = "compose", "redact", "recheck"
"""What a child can be asked to do."""


@dataclass(frozen=True, slots=True)
class Original:
    """The file of one exhibit, and the pages of it that are shown.

    Attributes:
        paper: id, for messages.
        letter: of the exhibit.
        path: the file.
        media_type: what it is.
        pages: pages that it has to have.
        sheets: number (1-based) and clockwise turn of each page shown.
        made_here: True for a redacted copy, which is known to hold nothing but pictures.
    """

    paper: str
    letter: str
    path: str
    media_type: str
    pages: int
    sheets: tuple[tuple[int, int], ...]
    made_here: bool = False


class Hole(NamedTuple):
    """Where the hexadecimal digits of a signature go: offset of the first, and of what follows the last."""

    begin: int
    end: int


@dataclass(frozen=True, slots=True)
class Job:
    """What to compose.

    Attributes:
        data: what the drawn pages show; see `quietus.bundle.summary.page_data`.
        originals: one for each exhibit, in order.
        target: the PDF to write.
        limits: names and values of `quietus.model.limits.Limits`.
        seal: what a signature to come says of itself: `room` in bytes, `name`, `reason`, and `when` in PDF's writing;
            None for a document that is not to be sealed.
    """

    data: Mapping[str, Any]
    originals: tuple[Original, ...]
    target: str
    limits: Mapping[str, Any]
    seal: Mapping[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class Composed:
    """What came of it.

    Attributes:
        pages: how many there are.
        starts: the page (1-based) of each exhibit's slip sheet.
        hole: where the signature goes, in a document that is to be sealed.
    """

    pages: int
    starts: tuple[int, ...]
    hole: Hole | None = None


def job_from(data: Mapping[str, Any]) -> Job:
    """A Job from its JSON."""
    originals = tuple(
        Original(**{**item, "sheets": tuple((number, turn) for number, turn in item["sheets"])})
        for item in data["originals"]
    )
    return Job(data["data"], originals, data["target"], data["limits"], data.get("seal"))


@dataclass(frozen=True, slots=True)
class Redaction:
    """One paper to be made anew with boxes on it.

    Attributes:
        paper: id, for messages.
        letter: of the exhibit.
        path: the original.
        media_type: what it is.
        pages: pages that it has to have.
        sheets: for each page of the copy the page of the original (1-based), and the boxes on it: left, top, right,
            bottom as fractions of the page as any viewer shows it.
        target: the PDF to write.
    """

    paper: str
    letter: str
    path: str
    media_type: str
    pages: int
    sheets: tuple[tuple[int, tuple[tuple[float, float, float, float], ...]], ...]
    target: str


@dataclass(frozen=True, slots=True)
class Redacted:
    """What was painted black: the rectangles of each page of the copy."""

    pages: tuple[tuple[Rectangle, ...], ...]


def redaction_from(data: Mapping[str, Any]) -> Redaction:
    """A Redaction from its JSON."""
    sheets = tuple((number, tuple(tuple(box) for box in boxes)) for number, boxes in data["sheets"])
    return Redaction(**{**data, "sheets": sheets})
