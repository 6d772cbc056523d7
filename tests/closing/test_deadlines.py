"""The calendar file: what it holds, what it must not hold, and that other programs read it."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

from icalendar import Calendar

from quietus.closing.case import Case
from quietus.closing.deadlines import Deadline, calendar_bytes, closing_code, deadlines
from quietus.closing.gather import case_of
from quietus.closing.verdict import judge
from quietus.model.entity import Entity, Registration
from quietus.model.facts import facts_of
from quietus.model.paper import Paper
from quietus.rules import load_packs
from tests.closing.make import ENTITY, TODAY, paper

PACKS = load_packs()
NOW = datetime(2026, 11, 20, 17, tzinfo=UTC)
COMPANY = replace(
    ENTITY,
    registrations=(ENTITY.registrations[0], Registration("WA", "604 000 001", since=date(2017, 2, 1))),
    has_creditors=True,
)


def case(*papers: Paper, entity: Entity = COMPANY, today: date = TODAY) -> Case:
    return case_of(PACKS, entity, map(facts_of, papers), (), today)


def ahead(*papers: Paper, today: date = TODAY) -> tuple[Deadline, ...]:
    one = case(*papers, today=today)
    return deadlines(one, judge(one))


def text(*papers: Paper, names: bool = False) -> str:
    return calendar_bytes(ahead(*papers), [COMPANY], NOW, names=names).decode()


def test_only_days_from_today_on_are_in_it_in_order() -> None:
    days = [one.day for one in ahead()]
    assert days == sorted(days)
    assert min(days) >= TODAY
    assert date(2027, 2, 28) in days  # Washington's annual report


def test_due_dates_are_in_it_while_they_lie_ahead() -> None:
    before = {(one.key, one.day) for one in ahead(today=date(2026, 8, 1))}
    assert ("US/final_return", date(2026, 9, 15)) in before
    assert ("US/final_return", date(2027, 3, 15)) in before


def test_the_end_of_the_time_for_claims_is_in_it() -> None:
    notice = paper(1, "company/creditor_notice", signed_date="2026-08-01")
    assert ("company/creditor_notice", date(2026, 11, 29)) in {(one.key, one.day) for one in ahead(notice)}


def test_claims_of_unknown_creditors_end_years_after_publication() -> None:
    entity = replace(COMPANY, home="WY", registrations=(Registration("WY", since=date(2017, 2, 1)),))
    published = paper(3, "company/publication_affidavit", signed_date="2026-08-10")
    found = case(published, entity=entity)
    days = {(one.key, one.day) for one in deadlines(found, judge(found))}
    assert ("company/publication_affidavit", date(2029, 8, 10)) in days


def test_no_client_is_named_unless_asked_for() -> None:
    bad_title = paper(2, "OR/dissolution", stamped=True, filing_date="2026-07-14", jurisdiction="OR")
    plain = text(bad_title).replace("\r\n ", "")
    for secret in (ENTITY.name, "Kettlemoor", "KETTLEMOOR", ENTITY.slug, ENTITY.ein, "1234567", "604 000 001", "100-1"):
        assert secret not in plain
    assert closing_code(COMPANY) in plain
    named = text(names=True).replace("\r\n ", "")
    assert "Kettlemoor Crumb & Crust LLC" in named
    assert ENTITY.ein not in named


def test_the_code_is_the_same_each_time_and_another_for_another_company() -> None:
    assert closing_code(COMPANY) == closing_code(replace(COMPANY, closed=None))
    assert closing_code(COMPANY) != closing_code(replace(COMPANY, ein="09-7654321"))


def test_lines_end_and_fold_as_rfc_5545_section_3_1_says() -> None:
    raw = calendar_bytes(ahead(), [COMPANY], NOW, names=False)
    assert raw.endswith(b"\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert max(len(line) for line in raw.split(b"\r\n")) <= 75


def events(raw: bytes | str) -> list[Any]:
    """The entries of a calendar file, read back."""
    return list(Calendar.from_ical(raw).walk("VEVENT"))


def test_every_entry_is_whole_and_can_be_read_back() -> None:
    read: Any = Calendar.from_ical(text())
    assert read["version"] == "2.0"
    assert read["prodid"]
    found = events(text())
    assert len(found) == len(ahead())
    for event in found:
        assert event["uid"] and event["dtstamp"].dt == NOW
        assert (event["dtend"].dt - event["dtstart"].dt).days == 1
        assert not isinstance(event["dtstart"].dt, datetime)
        assert "Source: " in str(event["description"])
    assert len({str(event["uid"]) for event in found}) == len(found)


def test_an_entry_keeps_its_identifier_when_its_day_moves() -> None:
    first = {str(event["uid"]) for event in events(text())}
    moved = replace(COMPANY, registrations=(COMPANY.registrations[0], Registration("WA", since=date(2017, 3, 1))))
    later = case(entity=moved)
    raw = calendar_bytes(deadlines(later, judge(later)), [moved], NOW, names=False)
    assert {str(event["uid"]) for event in events(raw)} == first


def test_special_signs_are_escaped() -> None:
    assert re.search(r"SUMMARY:Closing [0-9a-f]{8}: WA\\,", text())
