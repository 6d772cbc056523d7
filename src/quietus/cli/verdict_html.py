"""Verdicts as one page that stands alone: no script, nothing loaded from anywhere, the matrix drawn in the page."""

from collections.abc import Mapping, Sequence
from datetime import date

from quietus.cli.pictured import TEMPLATES
from quietus.cli.screen import CAUTION
from quietus.cli.verdict_view import legend, scope_words, shown_day, state_words
from quietus.closing.closings import Closing
from quietus.closing.summary import Summary
from quietus.model.findings import Finding, Line, Mark
from quietus.model.matrix import SIGNS, Matrix, matrix_of
from quietus.model.paper import Paper

_CELL = (92, 36)  # width and height of a cell, in CSS pixels, as are all below
_GAP = 4
_LEFT, _TOP = 96, 42
_HEAD_LINE = 15

_STYLES = {
    Mark.PROVEN: "proven",
    Mark.WAIVED: "waived",
    Mark.REVIEW: "review",
    Mark.FAULT: "fault",
    Mark.MISSING: "missing",
    Mark.ADVISED: "advised",
    Mark.NOT_EXPECTED: "none",
}
Papers = Mapping[str, Paper]


def verify_page(shown: Sequence[Closing], asof: date, *, overview: Sequence[Summary] = (), homeless: int = 0) -> str:
    """The page.

    Args:
        shown: closings shown whole.
        asof: the day asked about.
        overview: every closing in a line; empty when only one was asked for.
        homeless: how many papers belong to nobody.
    """
    return TEMPLATES.get_template("verify.html").render(
        asof=asof.isoformat(),
        caution=CAUTION,
        legend=legend(),
        overview=overview,
        closings=[_closing(one) for one in shown],
        left_out=max(0, len(overview) - len(shown)),
        homeless=homeless,
    )


def _closing(shown: Closing) -> dict[str, object]:
    verdict = shown.verdict
    return {
        "name": shown.entity.name,
        "state": state_words(verdict),
        "picture": _picture(matrix_of(verdict), shown),
        "findings": [_finding(finding, shown.papers) for finding in verdict.findings],
        "lines": [_line(line, shown.papers) for line in verdict.lines],
    }


def _finding(finding: Finding, papers: Papers) -> dict[str, object]:
    return {
        "scope": finding.scope,
        "code": finding.code.value,
        "severity": finding.severity.value,
        "says": finding.says,
        "why": finding.why,
        "sources": [str(source) for source in finding.sources],
        "papers": ", ".join(f"{papers[i].name} ({i[:8]})" for i in finding.papers if i in papers),
        "next_step": finding.next_step,
        "who": finding.who,
    }


def _line(line: Line, papers: Papers) -> dict[str, object]:
    paper = papers[line.papers[0]] if line.papers else None
    return {
        "key": line.expected.key,
        "title": line.expected.title,
        "sign": SIGNS[line.mark],
        "state": line.mark.value,
        "due": line.expected.due.isoformat() if line.expected.due else "",
        "paper": f"{paper.name} ({paper.id[:8]})" if paper else line.waiver.reason if line.waiver else "",
        "authority": (paper.reading.text("authority") or "not told") if paper else "",
        "sources": [str(source) for source in line.expected.sources],
    }


def _picture(matrix: Matrix, shown: Closing) -> dict[str, object]:
    """The matrix as shapes with places."""
    width, height = _CELL
    return {
        "width": _LEFT + len(matrix.columns) * (width + _GAP),
        "height": _TOP + len(matrix.rows) * (height + _GAP),
        "cell_width": width,
        "cell_height": height,
        "heads": [word for number, head in enumerate(matrix.columns) for word in _head(head, number)],
        "scopes": [
            {"y": _row_top(number) + height // 2 + 5, "text": scope_words(row.scope, shown.entity)}
            for number, row in enumerate(matrix.rows)
        ],
        "cells": [
            _cell(line, (column, row), shown.papers)
            for row, one in enumerate(matrix.rows)
            for column, line in enumerate(one.cells)
        ],
    }


def _head(text: str, column: int) -> list[dict[str, object]]:
    """The words of a column's head, one below the other, standing on the matrix."""
    words = text.split(" ", 1)
    middle = _column_left(column) + _CELL[0] // 2
    bottom = _TOP - 8
    return [
        {"x": middle, "y": bottom - _HEAD_LINE * (len(words) - 1 - number), "text": word}
        for number, word in enumerate(words)
    ]


def _cell(line: Line | None, place: tuple[int, int], papers: Papers) -> dict[str, object]:
    mark = line.mark if line else Mark.NOT_EXPECTED
    left = _column_left(place[0])
    day = shown_day(line, papers) if line else None
    return {
        "x": left,
        "y": _row_top(place[1]),
        "middle": left + _CELL[0] // 2,
        "style": _STYLES[mark],
        "sign": SIGNS[mark],
        "words": (day.isoformat() if day else mark.value.partition(",")[0]) if line else "",
        "title": f"{line.expected.title}: {mark.value}" if line else mark.value,
    }


def _column_left(column: int) -> int:
    return _LEFT + column * (_CELL[0] + _GAP)


def _row_top(row: int) -> int:
    return _TOP + row * (_CELL[1] + _GAP)
