"""What the parent asks of the process that takes papers apart, and what it answers. Plain data."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

JOB, RESULT, TALLY = "job.json", "result.json", "tally"
"""Names of the files that pass between the two. The tally grows by one byte for each page laid in."""


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
    """

    paper: str
    letter: str
    path: str
    media_type: str
    pages: int
    sheets: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Job:
    """What to compose.

    Attributes:
        data: what the drawn pages show; see `quietus.bundle.summary.page_data`.
        originals: one for each exhibit, in order.
        target: the PDF to write.
        limits: names and values of `quietus.model.limits.Limits`.
    """

    data: Mapping[str, Any]
    originals: tuple[Original, ...]
    target: str
    limits: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Composed:
    """What came of it: the number of pages, and the page (1-based) of each exhibit's slip sheet."""

    pages: int
    starts: tuple[int, ...]


def job_from(data: Mapping[str, Any]) -> Job:
    """A Job from its JSON."""
    originals = tuple(
        Original(**{**item, "sheets": tuple((number, turn) for number, turn in item["sheets"])})
        for item in data["originals"]
    )
    return Job(data["data"], originals, data["target"], data["limits"])
