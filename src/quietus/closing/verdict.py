"""Which expected papers are proven, and what is wrong.

Pure: a case in, a Verdict out; the same case always gives the same answer. The faults of a single paper are found in
`quietus.closing.faults`, what papers say only together in `quietus.closing.signs`, and which registrations are still
open in `quietus.closing.still_open`; here they are weighed line by line.
"""

from collections.abc import Iterator, Sequence

from quietus.closing.case import Case, OnFile, on_file
from quietus.closing.exam import Exam
from quietus.closing.faults import checks_of, faults_of, settle_hint
from quietus.closing.signs import signs
from quietus.closing.still_open import still_open
from quietus.closing.windows import window_end
from quietus.model.entity import COMPANY, FEDERAL
from quietus.model.expected import ExpectedPaper, Need
from quietus.model.facts import PaperFacts
from quietus.model.findings import Code, Finding, Line, Mark, Severity, Verdict
from quietus.model.kinds import Kind

__all__ = ["Case", "judge"]

_RANK = {Severity.BLOCKS: 0, Severity.WARNS: 1}


def judge(case: Case) -> Verdict:
    """The state of the closing as of the case's day."""
    file = on_file(case)
    findings: list[Finding] = []
    lines = []
    for expected in case.expected:
        line, said = _line(file, expected)
        lines.append(line)
        findings += said
    findings = _gathered(file, tuple(lines), findings)
    findings += [*_unplaced(file), *_without_rules(case), *signs(file), *still_open(file)]
    findings.sort(key=lambda f: _RANK[f.severity])
    return Verdict(case.entity.slug, case.today, tuple(lines), tuple(findings))


def _line(file: OnFile, expected: ExpectedPaper) -> tuple[Line, list[Finding]]:
    papers = file.papers.get(expected.key)
    if not papers:
        return _empty_line(file, expected)
    checks = checks_of(expected)
    newest_first = sorted(papers, key=lambda paper: (paper.received, paper.id), reverse=True)
    said = [(paper.id, faults_of(Exam(file, expected, paper, paper.counts_from), checks)) for paper in newest_first]
    said.sort(key=lambda one: _blocking(one[1]))
    ids, best = tuple(paper_id for paper_id, _ in said), said[0][1]
    if _blocking(best) == 0:
        return Line(expected, Mark.PROVEN, ids), best
    mark = Mark.REVIEW if any(f.code is Code.WAITING for f in best) else Mark.FAULT
    return Line(expected, mark, ids), best


def _blocking(findings: Sequence[Finding]) -> int:
    """How many of the findings block."""
    return sum(f.severity is Severity.BLOCKS for f in findings)


def _empty_line(file: OnFile, expected: ExpectedPaper) -> tuple[Line, list[Finding]]:
    waiver = file.waived.get(expected.key)
    if waiver:
        return Line(expected, Mark.WAIVED, waiver=waiver), []
    if expected.key in file.case.destroyed:
        return Line(expected, Mark.MISSING), [_destroyed(file, expected)]
    if expected.need is Need.ADVISED or _spared(file, expected):
        return Line(expected, Mark.ADVISED), []
    return Line(expected, Mark.MISSING), [_missing(file, expected)]


def _spared(file: OnFile, expected: ExpectedPaper) -> bool:
    """True when the home state's certificate ended the registration, and this paper is not needed then."""
    return expected.spared_by_home_end and file.ended_by_home_certificate(expected.scope)


def _missing(file: OnFile, expected: ExpectedPaper) -> Finding:
    """The finding for an expected paper that is not on file."""
    clearance = expected.kind is Kind.CLEARANCE
    return Finding(
        code=Code.CLEARANCE_MISSING if clearance else Code.MISSING_PAPER,
        severity=Severity.BLOCKS,
        scope=expected.scope,
        expected=expected.key,
        papers=(),
        says=f"{expected.title} ({expected.kind.words}) is not on file.{_by_when(file, expected)}",
        why=expected.note or f"{expected.issuer}: this paper is expected here.",
        sources=expected.sources,
        next_step=_next_step(file, expected),
        who="preparer",
        missing=(expected.key,),
    )


def _destroyed(file: OnFile, expected: ExpectedPaper) -> Finding:
    """The finding for an expected paper that was on file until it was disposed of. What is gone proves nothing."""
    return Finding(
        code=Code.DESTROYED,
        severity=Severity.BLOCKS if expected.need is Need.REQUIRED else Severity.WARNS,
        scope=expected.scope,
        expected=expected.key,
        papers=(),
        says=f"{expected.title} was on file, and {file.case.destroyed[expected.key]}.",
        why="It was kept as long as its rule says and disposed of with approval. It can't be shown any more.",
        sources=expected.sources,
        next_step="Nothing is owed; `quietus retain certificate` shows that it was destroyed lawfully.",
        who="preparer",
        missing=(expected.key,),
    )


def _by_when(file: OnFile, expected: ExpectedPaper) -> str:
    """When it was or is due, as sentences that begin with a blank; empty when there is no such day."""
    today = file.case.today
    words = ""
    if expected.due:
        words = f" It {'was' if expected.due < today else 'is'} due on {expected.due}."
    last = window_end(file, expected)
    if last and expected.window:
        what = "be asked for" if expected.window.request else "be made"
        words += f" It {'had' if last < today else 'has'} to {what} by {last}."
    return words


def _next_step(file: OnFile, expected: ExpectedPaper) -> str:
    return expected.home_certificate if expected.home_certificate and file.home_end else expected.next_step


def _gathered(file: OnFile, lines: tuple[Line, ...], findings: list[Finding]) -> list[Finding]:
    """A jurisdiction with nothing at all on file gets one finding instead of one for each paper."""
    touched = {paper.text("jurisdiction") for paper in file.filed} | {p.expected.partition("/")[0] for p in file.filed}
    touched |= {key.partition("/")[0] for key in file.case.destroyed}
    bare = []
    for registration in file.case.entity.registrations:
        scope = registration.jurisdiction
        missing = [line for line in lines if line.expected.scope == scope and line.mark is Mark.MISSING]
        if missing and scope not in touched:
            bare.append(_nothing_on_file(file, scope, [line.expected for line in missing]))
    scopes = {finding.scope for finding in bare}
    return bare + [f for f in findings if f.scope not in scopes]


def _nothing_on_file(file: OnFile, scope: str, wanted: Sequence[ExpectedPaper]) -> Finding:
    titles = "; ".join(expected.title for expected in wanted)
    return Finding(
        code=Code.MISSING_JURISDICTION,
        severity=Severity.BLOCKS,
        scope=scope,
        expected=wanted[0].key,
        papers=(),
        says=f"Nothing at all is on file for {scope}, where the company is registered; expected: {titles}.",
        why=wanted[0].note or "A registration that is not ended goes on owing reports, fees and taxes.",
        sources=wanted[0].sources,
        next_step=_next_step(file, wanted[0]),
        who="preparer",
        missing=tuple(expected.key for expected in wanted),
    )


def _unplaced(file: OnFile) -> Iterator[Finding]:
    """Papers of the entity that answer no expected paper but wait: any of them may turn out to matter."""
    for paper in file.filed:
        if not paper.expected and paper.doubts:
            yield _waiting(paper)


def _waiting(paper: PaperFacts) -> Finding:
    return Finding(
        code=Code.WAITING,
        severity=Severity.BLOCKS,
        scope=paper.text("jurisdiction") or COMPANY,
        expected="",
        papers=(paper.id,),
        says=f"Paper {paper.id[:8]} waits for review: {', '.join(paper.doubts)} not read surely.",
        why="A value below its confidence bar does not count until a person has looked.",
        sources=(),
        next_step=settle_hint(paper.id),
        who="preparer",
    )


def _without_rules(case: Case) -> Iterator[Finding]:
    """Registrations that no rule pack covers: what is expected there is not known, so nothing is proven."""
    for scope in (*(r.jurisdiction for r in case.entity.registrations), FEDERAL):
        if scope not in case.known:
            yield Finding(
                code=Code.NO_RULES,
                severity=Severity.BLOCKS,
                scope=scope,
                expected="",
                papers=(),
                says=f"There are no rules for {scope}, so it can't be told whether the company has left it.",
                why="What is not known is never taken for proven.",
                sources=(),
                next_step=f"Add a rule pack {scope}.toml to the office's rules folder.",
                who="preparer",
            )
