"""A verdict as JSON, in the shape that docs/json-output.md describes (schema 1)."""

from collections.abc import Iterable, Mapping

from quietus.closing.summary import Summary
from quietus.model.entity import Entity
from quietus.model.expected import Source
from quietus.model.findings import Finding, Line, Verdict
from quietus.model.paper import Paper


def verdict_json(verdict: Verdict, entity: Entity, papers: Mapping[str, Paper]) -> dict[str, object]:
    """One closing, whole."""
    return {
        "entity": verdict.entity,
        "name": entity.name,
        "proven": verdict.proven,
        "expected": [_line_json(line, papers) for line in verdict.lines],
        "findings": [_finding_json(finding) for finding in verdict.findings],
    }


def summary_json(summary: Summary) -> dict[str, object]:
    """One closing in a line."""
    return {
        "entity": summary.entity,
        "name": summary.name,
        "proven": summary.blocking == 0,
        "blocking": summary.blocking,
        "warning": summary.warning,
        "required": summary.expected,
        "required_proven": summary.proven,
        "worst": {
            "scope": summary.scope,
            "code": summary.code,
            "says": summary.says,
            "next_step": summary.next_step,
        }
        if summary.code
        else None,
    }


def sources_json(sources: Iterable[Source]) -> list[str]:
    """Sources as text, each with how it was followed and the day it was checked."""
    return [str(source) for source in sources]


def _line_json(line: Line, papers: Mapping[str, Paper]) -> dict[str, object]:
    expected = line.expected
    return {
        "key": expected.key,
        "title": expected.title,
        "need": expected.need.value,
        "mark": line.mark.value,
        "due": expected.due.isoformat() if expected.due else None,
        "extended": expected.extended.isoformat() if expected.extended else None,
        "papers": list(line.papers),
        "authority": papers[line.papers[0]].reading.text("authority") if line.papers else None,
        "waiver": {"reason": line.waiver.reason, "source": line.waiver.source, "by": line.waiver.by,
                   "on": line.waiver.on.isoformat()} if line.waiver else None,
        "sources": sources_json(expected.sources),
        "from_memory": expected.unread,
    }  # fmt: skip


def _finding_json(finding: Finding) -> dict[str, object]:
    return {
        "code": finding.code.value,
        "severity": finding.severity.value,
        "scope": finding.scope,
        "expected": finding.expected,
        "missing": list(finding.missing),
        "papers": list(finding.papers),
        "says": finding.says,
        "why": finding.why,
        "sources": sources_json(finding.sources),
        "next_step": finding.next_step,
        "who": finding.who,
    }
