"""The days ahead of closings as an ordinary calendar takes them (RFC 5545). No client is named unless asked for.

An entry names a closing by a short code that only who holds the register can tell; `quietus calendar` prints which
is which.
"""

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from icalendar import Alarm, Calendar, Event

from quietus.closing.case import Case, on_file
from quietus.closing.plan import plan
from quietus.closing.windows import claims_end, publication_end
from quietus.model.entity import COMPANY, FEDERAL, Entity
from quietus.model.expected import ExpectedPaper
from quietus.model.findings import Verdict

_NOTICE = timedelta(days=-7)
"""When an entry reminds, before its day."""


@dataclass(frozen=True, slots=True)
class Deadline:
    """One day ahead of one closing.

    Attributes:
        entity: slug.
        key: of the expected paper it is about.
        day: the day.
        what: what falls on it, without naming the client.
        do: what to do, without naming the client.
        why: where the rule comes from, one source a line.
    """

    entity: str
    key: str
    day: date
    what: str
    do: str
    why: tuple[str, ...]


def deadlines(case: Case, verdict: Verdict) -> tuple[Deadline, ...]:
    """The days from the case's day on that matter for what is still open, in order."""
    found = (one for one in _all_days(case, verdict) if one.day >= case.today)
    return tuple(sorted(dict.fromkeys(found), key=lambda one: (one.day, one.key, one.what)))


def _all_days(case: Case, verdict: Verdict) -> Iterator[Deadline]:
    file = on_file(case)
    for step in plan(case, verdict):
        for limit in step.limits:
            yield _deadline(file.wanted[step.key], case, limit.day, f"{_where(step.scope)}{step.title}: {limit.says}")
    if found := claims_end(file):
        notice, _, last = found
        yield _deadline(notice, case, last, "claims of known creditors may end; see the deadline in the notice")
    if end := publication_end(file):
        affidavit, last = end
        yield _deadline(affidavit, case, last, "claims of unknown creditors are barred after this day")


def _deadline(expected: ExpectedPaper, case: Case, day: date, what: str) -> Deadline:
    """What to do is the rule's own sentence: what a verdict says may name the client."""
    sources = expected.claims.sources if expected.claims else expected.sources
    return Deadline(case.entity.slug, expected.key, day, what, expected.next_step, tuple(map(str, sources)))


def _where(scope: str) -> str:
    return {COMPANY: "", FEDERAL: "US federal, "}.get(scope, f"{scope}, ")


def closing_code(entity: Entity) -> str:
    """Eight hex digits that stand for a closing outside the office: always the same, and nobody can tell whose."""
    return hashlib.sha256(f"quietus closing {entity.slug} {entity.ein}".encode()).hexdigest()[:8]


def calendar_bytes(deadlines: Iterable[Deadline], entities: Iterable[Entity], now: datetime, *, names: bool) -> bytes:
    """Deadlines as an RFC 5545 file.

    A later file updates the entries of an earlier one: what falls on a day keeps its identifier when the day moves.

    Args:
        deadlines: of any number of closings.
        entities: the companies concerned.
        now: when the file is made, in UTC.
        names: whether to name the company in each entry instead of giving its code.
    """
    by_slug = {entity.slug: entity for entity in entities}
    calendar = Calendar()
    calendar.add("prodid", "-//quietus//closings//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for one in deadlines:
        calendar.add_component(_entry(one, by_slug[one.entity], now, names=names))
    made: bytes = calendar.to_ical()
    return made


def _entry(deadline: Deadline, entity: Entity, now: datetime, *, names: bool) -> Event:
    who = entity.name if names else f"Closing {closing_code(entity)}"
    entry = Event()
    entry.add("uid", _identifier(deadline, entity))
    entry.add("dtstamp", now)
    entry.add("last-modified", now)
    entry.add("dtstart", deadline.day)
    entry.add("dtend", deadline.day + timedelta(days=1))
    entry.add("summary", f"{who}: {deadline.what}")
    entry.add("description", "\n".join([deadline.do, *(f"Source: {source}" for source in deadline.why)]))
    entry.add("transp", "TRANSPARENT")
    entry.add("class", "CONFIDENTIAL")
    entry.add_component(_reminder(who, deadline))
    return entry


def _reminder(who: str, deadline: Deadline) -> Alarm:
    reminder = Alarm()
    reminder.add("action", "DISPLAY")
    reminder.add("description", f"{who}: {deadline.what}")
    reminder.add("trigger", _NOTICE)
    return reminder


def _identifier(deadline: Deadline, entity: Entity) -> str:
    said = f"{entity.slug} {entity.ein} {deadline.key} {deadline.what}"
    return f"{hashlib.sha256(said.encode()).hexdigest()[:40]}@quietus.invalid"
