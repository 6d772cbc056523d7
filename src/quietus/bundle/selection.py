"""What goes out and what stays: least disclosure, decided before any byte of a paper is touched. Pure."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from quietus.bundle.drafts.consent_rules import needs_consent
from quietus.bundle.gap_words import SAYS, SAYS_OF_MARK, SAYS_OTHERWISE, SAYS_UNNAMED
from quietus.bundle.purposes import Form, Purpose, Reach
from quietus.model.consent import NO_CONSENT, Permission
from quietus.model.entity import COMPANY, FEDERAL
from quietus.model.errors import Misuse
from quietus.model.expected import ExpectedPaper, Need
from quietus.model.findings import Code, Finding, Line, Mark, Severity, Verdict
from quietus.model.kinds import Kind
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


@dataclass(frozen=True, slots=True)
class Included:
    """A paper that goes out, and the line it answers.

    Attributes:
        paper: the paper.
        line: the line.
        form: whole, drawn anew with what is private covered, or told of in a line of the summary alone.
        hide: what is covered when it goes out redacted, values of `PrivateSort`.
        consent: id of the consent under which it goes out; empty when it needs none.
    """

    paper: Paper
    line: Line
    form: Form = Form.FULL
    hide: frozenset[str] = frozenset()
    consent: str = ""

    @property
    def expected(self) -> ExpectedPaper:
        """The expected paper it answers."""
        return self.line.expected

    @property
    def covered(self) -> tuple[str, ...]:
        """The sorts of private places found on it that are covered when it goes out redacted, by name."""
        if self.form is not Form.REDACTED:
            return ()
        return tuple(sorted({spot.sort.value for spot in self.paper.reading.private if spot.sort in self.hide}))


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
        with_consent: kinds that the purpose names and that no consent gives whole: what is not shown of them is
            available with the taxpayer's consent. It follows from purpose and consent alone, not from what is on file.
    """

    purpose: str
    jurisdiction: str
    lines: tuple[Line, ...]
    included: tuple[Included, ...]
    left_out: tuple[LeftOut, ...]
    gaps: tuple[Gap, ...]
    with_consent: tuple[Kind, ...] = ()

    @property
    def in_part(self) -> frozenset[Kind]:
        """Those of `with_consent` of which something goes out, under a consent for a part of them."""
        return frozenset(item.expected.kind for item in self.included if item.consent) & frozenset(self.with_consent)

    @property
    def consents(self) -> tuple[str, ...]:
        """Ids of the consents under which something goes out."""
        return tuple(dict.fromkeys(item.consent for item in self.included if item.consent))


def select(
    purpose: Purpose,
    verdict: Verdict,
    papers: Sequence[Paper],
    jurisdiction: str = "",
    permission: Permission = NO_CONSENT,
) -> Selection:
    """Choose the papers that answer `purpose`, and say of every other one why it stays.

    Args:
        purpose: what the bundle is for.
        verdict: the state of the closing.
        papers: what is on file.
        jurisdiction: USPS code of the one that asks, for a purpose that reaches one jurisdiction.
        permission: what may be shown of tax-return information; nothing, unless somebody consented.

    Raises:
        Misuse: the jurisdiction is missing, not wanted, or not one of this company's.
    """
    _check_jurisdiction(purpose, verdict, jurisdiction)
    asked = _Asked(purpose, verdict, papers, jurisdiction, permission)
    lines = tuple(line for line in verdict.lines if asked.covers(line))
    chosen, reasons = _chosen(asked)
    for shared in _shares_its_file([item for item in chosen.values() if item.form is Form.FULL]):
        del chosen[shared]
        reasons[shared] = "Its file holds pages of another paper that may not go along; scan it by itself."
    return Selection(
        purpose=purpose.id,
        jurisdiction=jurisdiction,
        lines=lines,
        included=tuple(chosen.values()),
        left_out=tuple(LeftOut(paper.id, reasons[paper.id]) for paper in papers if paper.id in reasons),
        gaps=_gaps(asked, lines, frozenset(chosen)),
        with_consent=tuple(kind for kind in Kind if kind in purpose.needs_consent and not permission.whole(kind)),
    )


@dataclass(frozen=True, slots=True)
class _Asked:
    purpose: Purpose
    verdict: Verdict
    papers: Sequence[Paper]
    jurisdiction: str
    permission: Permission

    def covers(self, line: Line) -> bool:
        """True when the recipient may hear of a line at all: that a return was made is tax-return information too."""
        scope, kind = line.expected.scope, line.expected.kind
        if not self.purpose.covers(scope, kind, self.jurisdiction):
            return False
        if kind not in needs_consent():
            return True
        on_file = [paper for paper in self.papers if paper.id in line.papers]
        shown = [paper for paper in on_file if not self.without_consent(paper, line)[1]]
        return bool(shown) if on_file else self.permission.reaches(scope, kind)

    def without_consent(self, paper: Paper, line: Line) -> tuple[str, str]:
        """The consent under which a paper may go, and otherwise the reason why it may not."""
        if line.expected.kind not in needs_consent():
            return "", ""
        if self.purpose.to_taxpayer != self.permission.taxpayer:
            return "", "It is tax-return information, and only the taxpayer's own copy is free of consent."
        end = paper.reading.day("period_end")
        year = end.year if end else None
        return self.permission.for_paper(line.expected.scope, line.expected.kind, year)


def _chosen(asked: _Asked) -> tuple[dict[str, Included], dict[str, str]]:
    """The papers that go out by id, and the reasons of all others."""
    barred = _barred(asked.verdict)
    chosen: dict[str, Included] = {}
    reasons: dict[str, str] = {}
    best: set[str] = set()
    for paper, line in _in_matrix_order(asked.verdict, asked.papers):
        reason = _reason(asked, paper, line) or barred.get(paper.id, "")
        if not reason and line and line.expected.key in best:
            reason = "Another paper on file answers for it better."
        if reason or line is None:
            reasons[paper.id] = reason
        else:
            best.add(line.expected.key)
            chosen[paper.id] = _included(asked, paper, line)
    return chosen, reasons


def _included(asked: _Asked, paper: Paper, line: Line) -> Included:
    """The paper in the form that the purpose allows: redacted when it shows what the purpose hides."""
    sent = asked.purpose.goes_in[line.expected.kind]
    consent, _ = asked.without_consent(paper, line)
    shows = {spot.sort.value for spot in paper.reading.private}
    form = Form.REDACTED if sent.form is Form.FULL and shows & sent.hide else sent.form
    return Included(paper, line, form, sent.hide if form is Form.REDACTED else frozenset(), consent)


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


def _reason(asked: _Asked, paper: Paper, line: Line | None) -> str:
    """Why a paper stays; empty when nothing speaks against it."""
    if paper.standing is not Standing.FILED or paper.entity != asked.verdict.entity:
        return "It is not filed as this company's paper."
    if line is None or paper.expected != line.expected.key:
        return "It is not filed under a paper that the rules expect."
    expected = line.expected
    if not asked.purpose.covers(expected.scope, expected.kind, asked.jurisdiction):
        return asked.purpose.why_out(expected.kind)
    _, without = asked.without_consent(paper, line)
    if without:
        return without
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


def _shares_its_file(whole: Sequence[Included]) -> list[str]:
    """Ids of papers whose file, which goes out as received, has pages of none that goes out whole.

    A redacted copy has the pages of its own paper alone: it may go, and vouches for no page of the file.
    """
    files: dict[str, list[Paper]] = defaultdict(list)
    for item in whole:
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


def _gaps(asked: _Asked, lines: tuple[Line, ...], chosen: frozenset[str]) -> tuple[Gap, ...]:
    """What blocks inside the covered part, then covered lines that nothing shown answers for, without repeats."""
    by_key = {line.expected.key: line for line in lines}
    gaps = [
        _gap(asked, finding, by_key)
        for finding in asked.verdict.findings
        if finding.severity is Severity.BLOCKS and _concerns(asked, finding, by_key)
    ]
    told = {gap.expected or gap.scope for gap in gaps}
    for line in lines:
        expected = line.expected
        if not {expected.key, expected.scope} & told and _unanswered(line, chosen):
            says = SAYS_OF_MARK.get(line.mark, SAYS_OTHERWISE)
            gaps.append(Gap(expected.scope, expected.key, expected.title, says))
    scopes = dict.fromkeys(line.expected.scope for line in asked.verdict.lines)
    order = {scope: place for place, scope in enumerate(scopes)}
    return tuple(sorted(dict.fromkeys(gaps), key=lambda gap: order.get(gap.scope, len(order))))


def _gap(asked: _Asked, finding: Finding, covered: dict[str, Line]) -> Gap:
    """A finding as the recipient may see it."""
    line = covered.get(finding.expected)
    if line is None or finding.code is Code.MISSING_JURISDICTION:
        return Gap(finding.scope, "", "", SAYS[finding.code])
    named = [paper for paper in asked.papers if paper.id in finding.papers]
    unnamed = any(asked.without_consent(paper, line)[1] for paper in named)
    return Gap(finding.scope, finding.expected, line.expected.title, SAYS_UNNAMED if unnamed else SAYS[finding.code])


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
    kinds = {kind for kind in asked.purpose.goes_in if kind not in asked.purpose.needs_consent}
    surely_out = [p for p in named if not p.reading["kind"].review and p.reading.text("kind") not in kinds]
    return not named or len(surely_out) < len(named)


def _unanswered(line: Line, chosen: frozenset[str]) -> bool:
    if line.mark in _OPEN:
        return line.expected.need is Need.REQUIRED
    return line.mark is Mark.PROVEN and not chosen & set(line.papers)
