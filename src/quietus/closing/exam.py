"""One paper looked at as the answer to one expected paper, and what a check has to say of it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from quietus.closing.case import OnFile
from quietus.model.entity import COMPANY, Entity
from quietus.model.expected import ExpectedPaper, kind_of
from quietus.model.facts import PaperFacts
from quietus.model.findings import Code, Severity
from quietus.model.kinds import Kind


@dataclass(frozen=True, slots=True)
class Exam:
    """One paper looked at as the answer to one expected paper.

    Attributes:
        file: the case it belongs to.
        expected: what it is filed under.
        paper: the paper.
        day: the day it counts from.
    """

    file: OnFile
    expected: ExpectedPaper
    paper: PaperFacts
    day: date | None

    @property
    def entity(self) -> Entity:
        """The company."""
        return self.file.case.entity

    @property
    def today(self) -> date:
        """The day asked about."""
        return self.file.case.today


class Said(NamedTuple):
    """What a check has to say; the rest of the finding follows from the exam."""

    code: Code
    severity: Severity
    says: str
    why: str
    next_step: str
    who: str = "preparer"


class Asks(NamedTuple):
    """What an expected paper asks of papers: it tells which checks can have something to say."""

    kind: Kind
    office_mark: bool
    final_box: bool
    due: bool
    window: bool
    supports: bool
    order: bool


class Check(NamedTuple):
    """A look at one thing, and of which expected papers it is worth taking."""

    look: Callable[[Exam], Iterator[Said]]
    concerns: Callable[[Asks], bool]


def always(_asks: Asks) -> bool:
    """The check is worth taking of every expected paper."""
    return True


def asks_of(expected: ExpectedPaper) -> Asks:
    """What an expected paper asks of papers."""
    return Asks(
        expected.kind,
        expected.office_mark,
        expected.final_box,
        expected.due is not None,
        expected.window is not None,
        bool(expected.supports),
        bool(expected.after or expected.better_after),
    )


def words_of(key: str) -> str:
    """The key of an expected paper in words, such as `WA foreign withdrawal`."""
    words = kind_of(key).words
    scope = key.partition("/")[0]
    return words if scope == COMPANY else f"{scope} {words}"
