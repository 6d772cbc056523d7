"""Registrations that nothing on file has ended: since when they have stood open, and what that costs. Pure."""

from collections.abc import Iterator

from quietus.closing.case import OnFile
from quietus.model.entity import Registration
from quietus.model.expected import ExpectedPaper, Source, Upkeep
from quietus.model.facts import PaperFacts
from quietus.model.findings import Code, Finding, Severity


def open_registrations(file: OnFile) -> Iterator[tuple[Registration, ExpectedPaper]]:
    """Each registration that nothing on file ends, with the filing that would.

    A filing whose office mark or kind waits for a person may have ended it: that registration is left out until then.
    """
    for registration in file.case.entity.registrations:
        key = file.ending_key(registration.jurisdiction)
        ending = file.wanted.get(key)
        if ending and key not in file.waived and not any(map(_may_end, file.papers.get(key, ()))):
            yield registration, ending


def _may_end(paper: PaperFacts) -> bool:
    return paper.flag("stamped") is True or "stamped" in paper.doubts or "kind" in paper.doubts


def still_open(file: OnFile) -> Iterator[Finding]:
    """One finding for each registration that is open although the company closed: the clock, and what it runs up."""
    case = file.case
    if case.entity.closed is None or case.entity.closed >= case.today:
        return
    for registration, ending in open_registrations(file):
        yield _finding(file, registration, ending, case.owed(registration.jurisdiction))


def _finding(file: OnFile, registration: Registration, ending: ExpectedPaper, owed: tuple[Upkeep, ...]) -> Finding:
    entity, scope = file.case.entity, registration.jurisdiction
    home_end = file.home_end if scope != entity.home else None
    exposure = " ".join(dict.fromkeys(one.exposure for one in owed if one.exposure))
    return Finding(
        code=Code.FOREIGN_OPEN if home_end else Code.STILL_OPEN,
        severity=Severity.WARNS,
        scope=scope,
        expected=ending.key,
        papers=(),
        says=" ".join([_clock(file, scope), *(_falls_due(file, one) for one in owed if one.dates)]),
        why=" ".join(
            filter(None, ["A registration that is not ended goes on owing reports, fees and taxes.", exposure])
        ),
        sources=_sources(ending, owed),
        next_step=ending.home_certificate if home_end and ending.home_certificate else ending.next_step,
        who="preparer",
    )


def _clock(file: OnFile, scope: str) -> str:
    entity, today = file.case.entity, file.case.today
    closed = entity.closed or today
    days = (today - closed).days
    ended = file.home_end if scope != entity.home else None
    at_home = f" and ended at home on {ended}" if ended else ""
    return (
        f"{scope} is still open {days} {'day' if days == 1 else 'days'} after the company closed on {closed}{at_home}."
    )


def _falls_due(file: OnFile, owed: Upkeep) -> str:
    today = file.case.today
    past = [day for day in owed.dates if day <= today]
    to_come = next((day for day in owed.dates if day > today), None)
    parts = []
    if past:
        cost = f" (${owed.dollars * len(past):,} at least)" if owed.dollars else ""
        parts.append(f"has fallen due on {', '.join(map(str, past))}{cost}")
    if to_come:
        cost = f" (${owed.dollars:,} at least)" if owed.dollars else ""
        parts.append(f"falls due {'next ' if past else ''}on {to_come}{cost}")
    return f"Its {owed.title} {' and '.join(parts)}."


def _sources(ending: ExpectedPaper, owed: tuple[Upkeep, ...]) -> tuple[Source, ...]:
    return tuple(dict.fromkeys((*(source for one in owed for source in one.sources), *ending.sources)))
