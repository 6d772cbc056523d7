"""What papers say only together: later years, a winding up that only began, claims that may still come. Pure."""

from collections.abc import Iterator

from quietus.closing.case import OnFile
from quietus.closing.windows import claims_end
from quietus.model.entity import COMPANY
from quietus.model.facts import PaperFacts
from quietus.model.findings import Code, Finding, Severity
from quietus.model.kinds import Kind

_OF_A_YEAR = frozenset({Kind.FINAL_RETURN, Kind.FINAL_K1, Kind.TAX_NOTICE})


def signs(file: OnFile) -> Iterator[Finding]:
    """Every finding of this kind."""
    yield from _later_years(file)
    yield from _only_begun(file)
    yield from _claims_open(file)


def is_of_later_year(file: OnFile, paper: PaperFacts) -> bool:
    """True when a return or notice surely covers a time after the tax year in which the company closed."""
    last = file.last_year_end
    if last is None or paper.text("kind") not in _OF_A_YEAR or "kind" in paper.doubts:
        return False
    end = paper.sure_day("period_end")
    return end is not None and end > last


def _later_years(file: OnFile) -> Iterator[Finding]:
    """Returns and notices for later years, one finding for each jurisdiction."""
    found: dict[str, list[PaperFacts]] = {}
    for paper in file.filed:
        if is_of_later_year(file, paper):
            found.setdefault(paper.text("jurisdiction") or COMPANY, []).append(paper)
    for scope, papers in found.items():
        last = max(day for paper in papers if (day := paper.day("period_end")))
        wanted = file.wanted.get(f"{scope}/{Kind.FINAL_RETURN.value}")
        yield Finding(
            code=Code.LATER_YEAR,
            severity=Severity.BLOCKS,
            scope=scope,
            expected=wanted.key if wanted else "",
            papers=tuple(paper.id for paper in papers),
            says=f"A return or notice for a time up to {last} is on file, though the company closed on "
            f"{file.case.entity.closed}.",
            why="Papers for later years are a sign that the final box was missed, or that business went on.",
            sources=wanted.sources if wanted else (),
            next_step="See whether the return before was marked final: if not, amend it; if so, ask the agency why it "
            "expected another. If business went on, correct the closing date on the register.",
            who="preparer",
        )


def _only_begun(file: OnFile) -> Iterator[Finding]:
    """A notice that begins the winding up is on file, and the filing that ends the company is not."""
    home = file.case.entity.home
    ending = file.wanted.get(file.ending_key(home))
    notices = file.papers.get(f"{home}/{Kind.WINDING_UP_NOTICE.value}", ())
    if ending is None or not notices or ending.key in file.waived or file.papers.get(ending.key):
        return
    notice = file.wanted[notices[0].expected]
    yield Finding(
        code=Code.WINDING_UP_ONLY,
        severity=Severity.WARNS,
        scope=home,
        expected=ending.key,
        papers=tuple(paper.id for paper in notices),
        says=f"{notice.title} is on file; it begins the winding up and does not prove that the company ended.",
        why=f"What ends the company in {home} is: {ending.title}.",
        sources=ending.sources,
        next_step=ending.next_step,
        who="preparer",
    )


def _claims_open(file: OnFile) -> Iterator[Finding]:
    """The time that a notice to creditors has to leave them is not over."""
    found = claims_end(file)
    if found is None or found[2] < file.case.today:
        return
    notice, given, last = found
    claims = notice.claims
    if claims is None:
        return
    yield Finding(
        code=Code.CLAIMS_OPEN,
        severity=Severity.WARNS,
        scope=notice.scope,
        expected=notice.key,
        papers=(file.dated[notice.key].id,),
        says=f"Creditors who were sent the notice of {given} may bring claims until {last} at the earliest.",
        why=f"A notice has to leave them at least {claims.days} days from {claims.counted_from}.",
        sources=claims.sources,
        next_step="Keep back enough to pay what may still be claimed, or hold the last distribution until that day.",
        who="client",
    )
