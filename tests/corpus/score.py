"""What the reader made of each paper of the corpus, against the truth.

A value is right when it is the truth's: names by `same_name`, forms and file numbers but for spaces and dashes, the
rest exactly. A wrong value that no person is asked to look at is a silent error. So is a silent nothing where the truth
has a value, for the fields that `verify` stands on; for the other fields it is only missing.
"""

import itertools
import re
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from quietus.model.names import same_name
from quietus.model.reading import FIELDS, Reading, Value

Row = Mapping[str, object]
MATTER = ("kind", "jurisdiction", "filing_date", "stamped", "final_box", "entity_name")
"""The fields that `verify` stands on."""
BINS = (0.0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0001)
"""Edges of the bins of a reliability table."""
_NOTHING = Value(value=None, confidence=0.0, method="no reading")


class Verdict(StrEnum):
    """What became of one value."""

    RIGHT = "right"
    WRONG = "wrong, flagged"
    MISSING = "missing"
    SILENT = "silent error"


@dataclass(frozen=True, slots=True)
class Judged:
    """One field of one paper.

    Attributes:
        row: the paper's truth.
        field: name of the field.
        truth: what a careful person reads; None when the paper does not carry it.
        value: what was read.
        verdict: what became of it.
    """

    row: Row
    field: str
    truth: str | bool | None
    value: Value
    verdict: Verdict


def judged(rows: Sequence[Row], readings: Mapping[str, Sequence[Reading] | None]) -> list[Judged]:
    """Every judged field of every paper whose file was read; a file that was refused (None) is left out."""
    by_file: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        by_file[str(row["file"])].append(row)
    found = []
    for file, mine in by_file.items():
        read = readings[file]
        if read is not None:
            found += [one for row, reading in _paired(mine, read) for one in _fields(row, reading)]
    return found


def _paired(rows: Sequence[Row], readings: Sequence[Reading]) -> list[tuple[Row, Reading | None]]:
    """Each paper with the reading that covers most of its pages; a reading serves only one paper."""
    free = list(readings)
    pairs: list[tuple[Row, Reading | None]] = []
    for row in rows:
        best = max(free, key=lambda one: _shared(row, one), default=None)
        if best is not None and _shared(row, best) > 0:
            free.remove(best)
            pairs.append((row, best))
        else:
            pairs.append((row, None))
    return pairs


def _shared(row: Row, reading: Reading) -> int:
    first, last = row["first_page"], row["last_page"]
    if not (isinstance(first, int) and isinstance(last, int)):
        raise TypeError("truth: first_page and last_page are numbers")
    return sum(first <= page.number <= last for page in reading.pages)


def _fields(row: Row, reading: Reading | None) -> list[Judged]:
    spared = row.get("unjudged", [])
    fields = [name for name in FIELDS if not (isinstance(spared, list) and name in spared)]
    return [_judge(row, name, reading[name] if reading else _NOTHING) for name in fields]


def _judge(row: Row, field: str, value: Value) -> Judged:
    truth = row.get(field)
    if not (truth is None or isinstance(truth, str | bool)):
        raise TypeError(f"truth: {field} is neither text nor yes or no")
    return Judged(row, field, truth, value, _verdict(field, truth, value))


def _verdict(field: str, truth: str | bool | None, value: Value) -> Verdict:
    if alike(field, truth, value.value):
        return Verdict.RIGHT
    if value.review:
        return Verdict.WRONG
    if value.value is None and field not in MATTER:
        return Verdict.MISSING
    return Verdict.SILENT


def alike(field: str, truth: str | bool | None, read: str | bool | None) -> bool:
    """True when what was read is what stands there."""
    if field == "stamped":  # on a paper that goes to no filing office, no mark and no answer are the same
        return bool(read) if truth else not read and (truth is None or read is not None)
    if isinstance(truth, str) and isinstance(read, str):
        return _ALIKE.get(field, str.__eq__)(truth, read)
    return truth == read


def _bare(text: str) -> str:
    return re.sub(r"[^A-Z0-9]", "", text.upper().removeprefix("FORM "))


def _same_bare(left: str, right: str) -> bool:
    return _bare(left) == _bare(right)


_ALIKE: dict[str, Callable[[str, str], bool]] = {
    "entity_name": same_name,
    "form": _same_bare,
    "file_number": _same_bare,
}


@dataclass(frozen=True, slots=True)
class Share:
    """How often each thing happened, in percent.

    Attributes:
        values: how many papers carry a value.
        exact: of those, how many were read right.
        review: of all papers, how many a person is asked to look at.
        silent: of all papers, how many were wrong without a flag.
        missing: of all papers, how many gave nothing, without a flag, where there was a value.
    """

    values: int
    exact: float
    review: float
    silent: float
    missing: float


def share(found: Sequence[Judged]) -> Share:
    """The shares over some fields of some papers."""
    carried = [one for one in found if one.truth is not None]
    return Share(
        values=len(carried),
        exact=percent(sum(one.verdict is Verdict.RIGHT for one in carried), len(carried)),
        review=percent(sum(one.value.review for one in found), len(found)),
        silent=percent(sum(one.verdict is Verdict.SILENT for one in found), len(found)),
        missing=percent(sum(one.verdict is Verdict.MISSING for one in found), len(found)),
    )


def percent(part: int, whole: int) -> float:
    """`part` of `whole` in percent; not a number when there is nothing."""
    return 100 * part / whole if whole else float("nan")


def papers_in_doubt(found: Sequence[Judged]) -> float:
    """Percent of papers with at least one field that a person has to look at."""
    doubts: dict[tuple[object, object], bool] = defaultdict(bool)
    for one in found:
        doubts[one.row["file"], one.row["first_page"]] |= one.value.review
    return percent(sum(doubts.values()), len(doubts))


def reliability(found: Sequence[Judged]) -> list[tuple[float, float, int, float, float]]:
    """For each bin of confidence: its edges, how many values, their mean confidence and the share right, percent."""
    table = []
    given = [one for one in found if one.value.value is not None]
    for low, high in itertools.pairwise(BINS):
        here = [one for one in given if low <= one.value.confidence < high]
        if here:
            mean = 100 * sum(one.value.confidence for one in here) / len(here)
            right = percent(sum(one.verdict is Verdict.RIGHT for one in here), len(here))
            table.append((low, high, len(here), mean, right))
    return table
