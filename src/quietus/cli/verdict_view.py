"""A verdict on the terminal: the matrix as wide as the terminal allows, findings with why and what next."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from quietus.cli.screen import out, plain
from quietus.closing.faults import day_of
from quietus.closing.summary import Summary
from quietus.model.entity import COMPANY, FEDERAL, Entity
from quietus.model.findings import Finding, Line, Mark, Severity, Verdict
from quietus.model.matrix import SIGNS, Matrix, matrix_of
from quietus.model.paper import Paper

_STYLES = {
    Mark.PROVEN: "green",
    Mark.WAIVED: "green",
    Mark.REVIEW: "yellow",
    Mark.FAULT: "red",
    Mark.MISSING: "red",
    Mark.ADVISED: "dim",
}
_SHORT = {
    Mark.PROVEN: "",
    Mark.WAIVED: "waived",
    Mark.REVIEW: "review",
    Mark.FAULT: "see below",
    Mark.MISSING: "missing",
    Mark.ADVISED: "advised",
}
_DAY_WIDTH = 12  # a sign, a blank and a date
_SCOPE_WIDTH = 12  # `US federal` and the gap
_SCOPE_HEAD_WIDTH = 4  # `home`
Papers = Mapping[str, Paper]


def print_verdict(verdict: Verdict, entity: Entity, papers: Papers) -> None:
    """Print the headline, the matrix, the findings and their sources."""
    console = out()
    console.rule(Text(plain(f"{entity.name}  ·  {state_words(verdict)}"), style="bold"), align="left")
    for table in _matrix_tables(matrix_of(verdict), entity, papers, console.width):
        console.print(table)
    console.print(legend(), style="dim")
    for number, finding in enumerate(verdict.findings, start=1):
        _print_finding(number, finding, papers)
    _print_forms_of_authority(verdict, papers)
    _print_what_rests_on_memory(verdict)
    console.print()


def state_words(verdict: Verdict) -> str:
    """Whether the closing is proven, as of the verdict's day."""
    state = "proven closed" if verdict.proven else f"NOT proven: {len(verdict.blocking)} open"
    return f"{state} as of {verdict.asof}"


def legend() -> str:
    """What each sign means."""
    shown = (Mark.PROVEN, Mark.FAULT, Mark.MISSING, Mark.REVIEW, Mark.WAIVED, Mark.ADVISED, Mark.NOT_EXPECTED)
    return "  ".join(f"{SIGNS[mark]} {mark.value}" for mark in shown)


def scope_words(scope: str, entity: Entity) -> str:
    """A scope of the matrix in words."""
    if scope == COMPANY:
        return "company"
    if scope == FEDERAL:
        return "US federal"
    return f"{scope} home" if scope == entity.home else scope


# --- the matrix -------------------------------------------------------------------------------------------------


def _matrix_tables(matrix: Matrix, entity: Entity, papers: Papers, width: int) -> Iterator[Table]:
    """The matrix in the widest form that fits: with dates, with signs only, or turned and cut into pieces."""
    heads = [max(len(word) for word in head.split()) for head in matrix.columns]
    if width >= _SCOPE_WIDTH + sum(max(_DAY_WIDTH, len(head)) + 2 for head in matrix.columns):
        yield _upright(matrix, entity, papers, wide=True)
    elif width >= _SCOPE_WIDTH + sum(head + 2 for head in heads):
        yield _upright(matrix, entity, papers, wide=False)
    else:
        yield from _turned(matrix, entity, width)


def _upright(matrix: Matrix, entity: Entity, papers: Papers, *, wide: bool) -> Table:
    """A row for each scope."""
    table = _bare_table()
    for head in matrix.columns:
        table.add_column(head if wide else head.replace(" ", "\n"), justify="left" if wide else "center", no_wrap=True)
    for row in matrix.rows:
        table.add_row(scope_words(row.scope, entity), *(_cell(line, papers, wide=wide) for line in row.cells))
    return table


def _turned(matrix: Matrix, entity: Entity, width: int) -> Iterator[Table]:
    """A row for each kind of paper and a narrow column for each scope, as many beside each other as fit."""
    left = max(len(head) for head in matrix.columns) + 2
    fits = max(1, (width - left) // (_SCOPE_HEAD_WIDTH + 2))
    for start in range(0, len(matrix.rows), fits):
        some = matrix.rows[start : start + fits]
        table = _bare_table()
        for row in some:
            table.add_column(_scope_head(row.scope, entity), justify="center", no_wrap=True)
        for number, head in enumerate(matrix.columns):
            table.add_row(head, *(_cell(row.cells[number], {}, wide=False) for row in some))
        yield table


def _bare_table() -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 1))
    table.add_column("", no_wrap=True)
    return table


def _scope_head(scope: str, entity: Entity) -> str:
    return {COMPANY: "co.", entity.home: f"{scope}\nhome"}.get(scope, scope)


def _cell(line: Line | None, papers: Papers, *, wide: bool) -> Text:
    if line is None:
        return Text(SIGNS[Mark.NOT_EXPECTED], style="dim")
    text = SIGNS[line.mark]
    if wide:
        text = f"{text} {shown_day(line, papers) or _SHORT[line.mark]}".rstrip()
    return Text(text, style=_STYLES[line.mark])


def shown_day(line: Line, papers: Papers) -> date | None:
    """The day of the paper that proves a line; None when nothing proves it, or the paper has no day."""
    return day_of(papers[line.papers[0]]) if line.papers and line.mark is Mark.PROVEN else None


# --- findings ---------------------------------------------------------------------------------------------------


def _print_finding(number: int, finding: Finding, papers: Papers) -> None:
    console = out()
    weight = "" if finding.severity is Severity.BLOCKS else " (does not block)"
    style = "bold red" if finding.severity is Severity.BLOCKS else "bold yellow"
    console.print()
    console.print(Text(f"{number}. {finding.scope}  {finding.code}{weight}", style=style))
    indented(finding.says)
    indented(f"Why: {finding.why}")
    for source in finding.sources:
        indented(f"Source: {source}")
    named = ", ".join(f"{papers[i].name} ({i[:8]})" for i in finding.papers if i in papers)
    if named:
        indented(f"Paper: {named}")
    indented(f"Next: {finding.next_step} ({finding.who})")


def indented(text: str) -> None:
    """Print a paragraph that stands in from the left."""
    out().print(Padding(Text(plain(text)), (0, 0, 0, 3)))


def _print_forms_of_authority(verdict: Verdict, papers: Papers) -> None:
    """In what form each paper on file speaks for its office; an office-stamped scan is not a certified copy."""
    lines = [line for line in verdict.lines if line.papers]
    if not lines:
        return
    console = out()
    console.print()
    table = Table(box=None, pad_edge=False)
    for head in ("paper on file", "as", "form of authority", "read from"):
        table.add_column(head, overflow="fold")
    for line in lines:
        paper = papers[line.papers[0]]
        authority = paper.reading.text("authority") or "not told"
        table.add_row(line.expected.key, plain(line.expected.title), authority, plain(f"{paper.name} ({paper.id[:8]})"))
    console.print(table)
    console.print("An office-stamped scan is not a copy certified by the office.", style="dim")


def _print_what_rests_on_memory(verdict: Verdict) -> None:
    unread, checked = what_rests_on_memory(verdict)
    if unread:
        out().print(
            plain(f"Rules from memory or practice alone, to be checked first: {', '.join(unread)}."), style="dim"
        )
    if checked:
        out().print(f"The oldest of these rules was last checked on {checked}.", style="dim")


def what_rests_on_memory(verdict: Verdict) -> tuple[list[str], date | None]:
    """Keys of the expected papers whose rules nobody read, and the day that the oldest of all rules was checked."""
    unread = [line.expected.key for line in verdict.lines if line.expected.unread]
    checked = min((source.checked for line in verdict.lines for source in line.expected.sources), default=None)
    return unread, checked


# --- many closings ----------------------------------------------------------------------------------------------


def print_overview(summaries: Sequence[Summary], most: int) -> None:
    """Print closings in a line each, worst first, at most `most` of those that are not proven."""
    console = out()
    waiting = [one for one in summaries if one.blocking]
    proven = len(summaries) - len(waiting)
    console.print(
        Text(f"{len(summaries):,} closings: {len(waiting):,} not proven, {proven:,} proven closed", style="bold")
    )
    table = Table("closing", "open", "on file", "worst", box=None, pad_edge=False)
    table.columns[1].justify = "right"
    for one in waiting[:most]:
        worst = Text(plain(f"{one.scope} {one.code}: {one.says}"), overflow="ellipsis", no_wrap=True)
        table.add_row(one.entity, str(one.blocking), f"{one.proven} of {one.expected}", worst)
    console.print(table)
    if len(waiting) > most:
        console.print(f"and {len(waiting) - most:,} more; --worst N shows more of them.", style="dim")
    console.print(
        "`quietus verify ENTITY` shows one closing whole, `quietus plan ENTITY` what to do next.", style="dim"
    )
