"""The matrix of jurisdictions by papers, as the terminal, the review page and the bundle show it."""

from dataclasses import dataclass

from quietus.model.findings import Line, Mark, Verdict
from quietus.model.kinds import Kind

_COLUMNS: tuple[tuple[str, frozenset[Kind]], ...] = (
    ("consent", frozenset({Kind.CONSENT})),
    ("winding-up notice", frozenset({Kind.WINDING_UP_NOTICE})),
    ("ending filed", frozenset({Kind.DISSOLUTION, Kind.WITHDRAWAL})),
    ("tax clearance", frozenset({Kind.CLEARANCE})),
    ("final return", frozenset({Kind.FINAL_RETURN})),
    ("final K-1", frozenset({Kind.FINAL_K1})),
    ("payroll final", frozenset({Kind.FINAL_EMPLOYMENT_RETURN})),
    ("W-2 and 1099", frozenset({Kind.WAGE_STATEMENT, Kind.INFORMATION_RETURN})),
    ("asset sale", frozenset({Kind.ASSET_SALE_FORM})),
    ("Form 966", frozenset({Kind.CORPORATE_LIQUIDATION_NOTICE})),
    ("account closed", frozenset({Kind.ACCOUNT_CLOSURE})),
    ("EIN letter", frozenset({Kind.EIN_CLOSURE_LETTER})),
    ("creditor notice", frozenset({Kind.CREDITOR_NOTICE})),
    ("mailing proof", frozenset({Kind.MAILING_PROOF})),
    ("publication", frozenset({Kind.PUBLICATION_AFFIDAVIT})),
    ("assets out", frozenset({Kind.ASSET_DISPOSITION})),
    ("distribution", frozenset({Kind.DISTRIBUTION_RECORD})),
    ("balance sheet", frozenset({Kind.CLOSING_BALANCE_SHEET})),
)

SIGNS = {
    Mark.PROVEN: "✓",
    Mark.WAIVED: "W",
    Mark.REVIEW: "?",
    Mark.FAULT: "!",
    Mark.MISSING: "✗",
    Mark.ADVISED: "○",
    Mark.NOT_EXPECTED: "·",
}
"""One sign for each mark, told apart without colour."""


@dataclass(frozen=True, slots=True)
class Row:
    """One scope of the matrix: a cell for every column, None where nothing is expected."""

    scope: str
    cells: tuple[Line | None, ...]


@dataclass(frozen=True, slots=True)
class Matrix:
    """Scopes by papers; only columns that some scope needs."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]


def matrix_of(verdict: Verdict) -> Matrix:
    """The matrix of a verdict, rows in the verdict's own order of scopes."""
    used = [(head, kinds) for head, kinds in _COLUMNS if any(line.expected.kind in kinds for line in verdict.lines)]
    scopes = dict.fromkeys(line.expected.scope for line in verdict.lines)
    rows = tuple(Row(scope, tuple(_cell(verdict, scope, kinds) for _, kinds in used)) for scope in scopes)
    return Matrix(tuple(head for head, _ in used), rows)


_WORST_FIRST = (Mark.MISSING, Mark.FAULT, Mark.REVIEW, Mark.PROVEN, Mark.WAIVED, Mark.ADVISED)


def _cell(verdict: Verdict, scope: str, kinds: frozenset[Kind]) -> Line | None:
    """The line of a cell; where several papers share one, such as clearances from two agencies, the worst."""
    lines = [line for line in verdict.lines if line.expected.scope == scope and line.expected.kind in kinds]
    return min(lines, key=lambda line: _WORST_FIRST.index(line.mark), default=None)
