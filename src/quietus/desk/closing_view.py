"""One closing as the pages show it: state in words, the matrix, and the findings with what to do next."""

from collections.abc import Mapping
from dataclasses import dataclass

from quietus.closing.faults import day_of
from quietus.desk.words import scope_words, state, with_field_words
from quietus.model.entity import Entity
from quietus.model.findings import Code, Finding, Line, Mark, Verdict
from quietus.model.matrix import SIGNS, matrix_of
from quietus.model.paper import Paper

_SHORT = {
    Mark.PROVEN: "on file",
    Mark.WAIVED: "waived",
    Mark.REVIEW: "review",
    Mark.FAULT: "fault",
    Mark.MISSING: "missing",
    Mark.ADVISED: "advised",
    Mark.NOT_EXPECTED: "",
}
LEGEND = (Mark.PROVEN, Mark.FAULT, Mark.MISSING, Mark.REVIEW, Mark.WAIVED, Mark.ADVISED, Mark.NOT_EXPECTED)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the matrix.

    Attributes:
        head: its column.
        mark: its state.
        sign: one sign for the state.
        short: a word or a date to stand beside the sign.
        title: what is expected there; empty when nothing is.
        paper: id of the paper that answers; empty when none does.
    """

    head: str
    mark: Mark
    sign: str
    short: str
    title: str
    paper: str


@dataclass(frozen=True, slots=True)
class ClosingView:
    """One closing.

    Attributes:
        entity: the company.
        alias: what stands for it in addresses.
        verdict: its state.
        columns: heads of the matrix.
        rows: of the matrix: the scope in words and its cells.
        papers: every paper that the verdict names, by id.
    """

    entity: Entity
    alias: str
    verdict: Verdict
    columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]
    papers: Mapping[str, Paper]

    @property
    def state(self) -> str:
        """Its state in words."""
        return state(len(self.verdict.blocking))

    def waiting(self, finding: Finding) -> Paper | None:
        """The paper that a finding asks a person to look at; None for other findings."""
        return next(iter(self.named(finding)), None) if finding.code is Code.WAITING else None

    def says(self, finding: Finding) -> str:
        """What a finding says, with fields named as the pages name them."""
        return with_field_words(finding.says) if finding.code is Code.WAITING else finding.says

    def named(self, finding: Finding) -> tuple[Paper, ...]:
        """The papers that a finding is about."""
        return tuple(self.papers[i] for i in finding.papers if i in self.papers)


def closing_view(entity: Entity, verdict: Verdict, papers: Mapping[str, Paper], alias: str) -> ClosingView:
    """What the pages show of one closing."""
    matrix = matrix_of(verdict)
    rows = tuple(
        (
            scope_words(row.scope, entity),
            tuple(_cell(head, line, papers) for head, line in zip(matrix.columns, row.cells, strict=True)),
        )
        for row in matrix.rows
    )
    return ClosingView(entity, alias, verdict, matrix.columns, rows, papers)


def _cell(head: str, line: Line | None, papers: Mapping[str, Paper]) -> Cell:
    if line is None:
        return Cell(head, Mark.NOT_EXPECTED, SIGNS[Mark.NOT_EXPECTED], "", "", "")
    paper = papers.get(line.papers[0]) if line.papers else None
    day = day_of(paper) if paper and line.mark is Mark.PROVEN else None
    short = day.isoformat() if day else _SHORT[line.mark]
    return Cell(head, line.mark, SIGNS[line.mark], short, line.expected.title, paper.id if paper else "")
