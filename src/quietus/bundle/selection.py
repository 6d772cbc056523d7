"""What goes out and what stays: least disclosure, decided before any byte of a paper is touched. Pure."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from quietus.bundle.purposes import Purpose, Reach
from quietus.model.entity import COMPANY, FEDERAL
from quietus.model.errors import Misuse
from quietus.model.expected import ExpectedPaper, Need
from quietus.model.findings import Code, Finding, Line, Mark, Severity, Verdict
from quietus.model.paper import Paper, Standing

NOT_PROOF = frozenset(
    {
        Code.NO_OFFICE_MARK,
        Code.NAME_MISMATCH,
        Code.EIN_MISMATCH,
        Code.FILE_NUMBER_MISMATCH,
        Code.FINAL_BOX_EMPTY,
        Code.WAITING,
    }
)
"""Findings after which a paper never goes out, gaps shown or not: it may be a draft, or another company's."""

_OPEN = frozenset({Mark.MISSING, Mark.REVIEW, Mark.FAULT})

_SAYS = {
    Code.MISSING_JURISDICTION: "Nothing is on file for this jurisdiction.",
    Code.NO_RULES: "What has to be on file for this jurisdiction has not been established.",
    Code.NO_OFFICE_MARK: "The paper on file carries no mark of the office, and is not shown.",
    Code.CLEARANCE_EXPIRED: "The clearance ran out before the filing that it supports.",
    Code.DATES_OUT_OF_ORDER: "Its date does not agree with the order in which the papers have to follow.",
    Code.WAITING: "The paper on file has not been confirmed yet, and is not shown.",
}
_SAYS_OF_MARK = {
    Mark.MISSING: "The paper is not on file.",
    Mark.REVIEW: _SAYS[Code.WAITING],
    Mark.PROVEN: "The paper is on file, and can't be shown as it is.",
}
_SAYS_OTHERWISE = "The paper on file does not agree with the rest, and is not shown."
"""Gaps speak to a stranger: in sentences of this room's own, which can't tell of papers outside the purpose."""


@dataclass(frozen=True, slots=True)
class Included:
    """A paper that goes out, and the line it answers."""

    paper: Paper
    line: Line

    @property
    def expected(self) -> ExpectedPaper:
        """The expected paper it answers."""
        return self.line.expected


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A paper that does not go out.

    Attributes:
        paper: its id.
        reason: why, one plain sentence for the preparer. Never printed in a bundle: it tells what else is on file.
    """

    paper: str
    reason: str


@dataclass(frozen=True, slots=True)
class Gap:
    """Something that the purpose calls for and that is not proven.

    Attributes:
        scope: USPS code, FEDERAL or COMPANY.
        expected: key of the expected paper; empty when none.
        title: what the paper is called; empty when the gap is not about one paper.
        says: one plain sentence for the recipient.
    """

    scope: str
    expected: str
    title: str
    says: str


@dataclass(frozen=True, slots=True)
class Selection:
    """What a bundle is made of.

    Attributes:
        purpose: id of the purpose.
        jurisdiction: the one that asks; empty when the purpose reaches everywhere.
        lines: what the purpose covers, in matrix order.
        included: the papers that go out, in matrix order.
        left_out: every other paper, with the reason.
        gaps: what keeps the covered part from being proven, in matrix order.
    """

    purpose: str
    jurisdiction: str
    lines: tuple[Line, ...]
    included: tuple[Included, ...]
    left_out: tuple[LeftOut, ...]
    gaps: tuple[Gap, ...]


def select(purpose: Purpose, verdict: Verdict, papers: Sequence[Paper], jurisdiction: str = "") -> Selection:
    """Choose the papers that answer `purpose`, and say of every other one why it stays.

    Args:
        purpose: what the bundle is for.
        verdict: the state of the closing.
        papers: what is on file.
        jurisdiction: USPS code of the one that asks, for a purpose that reaches one jurisdiction.

    Raises:
        Misuse: the jurisdiction is missing, not wanted, or not one of this company's.
    """
    _check_jurisdiction(purpose, verdict, jurisdiction)
    lines = tuple(e for e in verdict.lines if purpose.covers(e.expected.scope, e.expected.kind, jurisdiction))
    barred = _barred(verdict)
    chosen: dict[str, Included] = {}
    reasons: dict[str, str] = {}
    best: dict[str, str] = {}
    for paper, line in _in_matrix_order(verdict, papers):
        reason = _reason(purpose, verdict, paper, line, jurisdiction) or barred.get(paper.id, "")
        if not reason and line and line.expected.key in best:
            reason = "Another paper on file answers for it better."
        if reason or line is None:
            reasons[paper.id] = reason
        else:
            best[line.expected.key] = paper.id
            chosen[paper.id] = Included(paper, line)
    for shared in _shares_its_file(tuple(chosen.values())):
        del chosen[shared]
        reasons[shared] = "Its file holds pages of another paper that may not go along; scan it by itself."
    return Selection(
        purpose=purpose.id,
        jurisdiction=jurisdiction,
        lines=lines,
        included=tuple(chosen.values()),
        left_out=tuple(LeftOut(paper.id, reasons[paper.id]) for paper in papers if paper.id in reasons),
        gaps=_gaps(_Asked(purpose, verdict, papers, jurisdiction), lines, frozenset(chosen)),
    )


def _check_jurisdiction(purpose: Purpose, verdict: Verdict, jurisdiction: str) -> None:
    if purpose.reach is Reach.EVERYWHERE and jurisdiction:
        raise Misuse(
            "This purpose covers every jurisdiction.", "Leave --jurisdiction out, or choose a purpose for one state."
        )
    if purpose.reach is Reach.EVERYWHERE:
        return
    if not jurisdiction:
        raise Misuse(
            "This purpose is for one jurisdiction, and none was named.",
            "Name it with --jurisdiction, such as --jurisdiction WA.",
        )
    known = {line.expected.scope for line in verdict.lines} | {finding.scope for finding in verdict.findings}
    if jurisdiction not in known - {FEDERAL, COMPANY}:
        raise Misuse(
            "The company has no registration in that jurisdiction.", "Name one of its own with --jurisdiction."
        )


def _in_matrix_order(verdict: Verdict, papers: Sequence[Paper]) -> list[tuple[Paper, Line | None]]:
    """Each paper once with its line, best first within a line; those without a line last, as they come."""
    by_id = {paper.id: paper for paper in papers}
    lined = {id_: line for line in verdict.lines for id_ in line.papers if id_ in by_id}
    found: list[tuple[Paper, Line | None]] = [(by_id[id_], line) for id_, line in lined.items()]
    return found + [(paper, None) for paper in papers if paper.id not in lined]


def _reason(purpose: Purpose, verdict: Verdict, paper: Paper, line: Line | None, jurisdiction: str) -> str:
    """Why a paper stays; empty when nothing speaks against it."""
    if paper.standing is not Standing.FILED or paper.entity != verdict.entity:
        return "It is not filed as this company's paper."
    if line is None or paper.expected != line.expected.key:
        return "It is not filed under a paper that the rules expect."
    expected = line.expected
    if not purpose.covers(expected.scope, expected.kind, jurisdiction):
        return purpose.why_out(expected.kind)
    if paper.reading.doubts:
        return "A person has to confirm what was read off it first."
    return _misfiled(paper, expected)


def _misfiled(paper: Paper, expected: ExpectedPaper) -> str:
    """A paper that reads as something else than it is filed under might show what the purpose does not allow."""
    if paper.reading.text("kind") != expected.kind.value:
        return "What was read off it is another kind of paper than it is filed under."
    read_in = paper.reading.text("jurisdiction")
    if expected.scope != COMPANY and read_in not in {None, expected.scope}:
        return "What was read off it is from another jurisdiction than it is filed under."
    return ""


def _barred(verdict: Verdict) -> dict[str, str]:
    """Reasons for the papers that a finding keeps in."""
    return {
        paper: "It does not prove what it is filed for: see the finding on it."
        for finding in verdict.findings
        if finding.code in NOT_PROOF and finding.severity is Severity.BLOCKS
        for paper in finding.papers
    }


def _shares_its_file(chosen: Sequence[Included]) -> list[str]:
    """Ids of papers whose file, which goes out whole, has pages that belong to no chosen paper."""
    files: dict[str, list[Paper]] = defaultdict(list)
    for item in chosen:
        files[item.paper.sha256].append(item.paper)
    return [paper.id for sharers in files.values() if not _accounted(sharers) for paper in sharers]


def _accounted(sharers: Iterable[Paper]) -> bool:
    """True when the pages of these papers are all there is in their common file."""
    seen: set[int] = set()
    pages = 0
    for paper in sharers:
        whole = range(1, paper.pages + 1)
        seen.update(view.number for view in paper.reading.pages) if paper.reading.pages else seen.update(whole)
        pages = paper.pages
    return seen == set(range(1, pages + 1))


@dataclass(frozen=True, slots=True)
class _Asked:
    purpose: Purpose
    verdict: Verdict
    papers: Sequence[Paper]
    jurisdiction: str


def _gaps(asked: _Asked, lines: tuple[Line, ...], chosen: frozenset[str]) -> tuple[Gap, ...]:
    """What blocks inside the covered part, then covered lines that nothing shown answers for, without repeats."""
    by_key = {line.expected.key: line for line in lines}
    gaps = [
        _gap(finding, by_key)
        for finding in asked.verdict.findings
        if finding.severity is Severity.BLOCKS and _concerns(asked, finding, by_key)
    ]
    told = {gap.expected or gap.scope for gap in gaps}
    for line in lines:
        expected = line.expected
        if not {expected.key, expected.scope} & told and _unanswered(line, chosen):
            says = _SAYS_OF_MARK.get(line.mark, _SAYS_OTHERWISE)
            gaps.append(Gap(expected.scope, expected.key, expected.title, says))
    scopes = dict.fromkeys(line.expected.scope for line in asked.verdict.lines)
    order = {scope: place for place, scope in enumerate(scopes)}
    return tuple(sorted(dict.fromkeys(gaps), key=lambda gap: order.get(gap.scope, len(order))))


def _gap(finding: Finding, covered: dict[str, Line]) -> Gap:
    """A finding as the recipient may see it."""
    line = covered.get(finding.expected)
    if line is None or finding.code is Code.MISSING_JURISDICTION:
        return Gap(finding.scope, "", "", _SAYS.get(finding.code, _SAYS_OTHERWISE))
    says = _SAYS.get(finding.code) or _SAYS_OF_MARK.get(line.mark, _SAYS_OTHERWISE)
    return Gap(finding.scope, finding.expected, line.expected.title, says)


def _concerns(asked: _Asked, finding: Finding, covered: dict[str, Line]) -> bool:
    """True when a finding bears on what the purpose covers.

    A finding about no one expected paper bears on it when its jurisdiction is covered, unless every paper it names is
    surely of a kind that the purpose leaves out.
    """
    if finding.code is Code.MISSING_JURISDICTION:
        return any(line.expected.scope == finding.scope for line in covered.values())
    if finding.expected:
        return finding.expected in covered
    if finding.scope in {FEDERAL, COMPANY}:
        return False
    if asked.purpose.reach is Reach.ONE and finding.scope != asked.jurisdiction:
        return False
    named = [paper for paper in asked.papers if paper.id in finding.papers]
    kinds = asked.purpose.goes_in
    surely_out = [p for p in named if not p.reading["kind"].review and p.reading.text("kind") not in kinds]
    return not named or len(surely_out) < len(named)


def _unanswered(line: Line, chosen: frozenset[str]) -> bool:
    if line.mark in _OPEN:
        return line.expected.need is Need.REQUIRED
    return line.mark is Mark.PROVEN and not chosen & set(line.papers)
