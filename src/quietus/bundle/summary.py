"""The closing in one view: what the cover, the matrix and `summary.json` say, as plain data. Pure."""

from collections.abc import Mapping, Sequence
from datetime import UTC, date
from typing import Any

from quietus.bundle import wording
from quietus.bundle.exhibits import Exhibit, facts, mark_of, readings
from quietus.bundle.request import BundleRequest
from quietus.model.entity import Registration
from quietus.model.findings import Line, Mark
from quietus.model.kinds import Kind

CAUTION = (
    "This is not legal or tax advice. State practice changes: each paper's rule is named with its source and the day "
    "it was checked, so look again before relying on it. The preparer or the company's counsel decides what these "
    "papers show. Dates and numbers were read off the papers in the way stated with each; the papers govern."
)
"""Stands on the first page of every bundle."""

Cell = dict[str, Any]


def page_data(request: BundleRequest, exhibits: Sequence[Exhibit]) -> dict[str, Any]:
    """Everything that the drawn pages show, ready for typesetting: text, numbers and lists only."""
    by_key = _by_key(exhibits)
    return {
        "title": "Proof of closure",
        "purpose": wording.plain_line(request.purpose.title),
        "entity": wording.plain_line(request.entity.name),
        "about": _about(request),
        "firm": wording.plain_line(request.prepared_by),
        "facts": _cover_facts(request),
        "intro": wording.plain_line(request.purpose.intro),
        "complete": not request.selection.gaps,
        "status": _status(request),
        "clearances": Kind.CLEARANCE in request.purpose.goes_in,
        "rows": _rows(request, by_key),
        "caution": [CAUTION, wording.plain_line(request.purpose.caution)],
        "matrix": _matrix(request, by_key),
        "gaps": _gaps(request),
        "waivers": _waivers(request),
        "not_here": _not_here(request),
        "authorities": _authorities(exhibits),
        "exhibits": [_exhibit(exhibit, request.places) for exhibit in exhibits],
        "version": request.version,
        "made": list(request.made_at.astimezone(UTC).timetuple()[:6]),
    }


def machine_summary(request: BundleRequest, exhibits: Sequence[Exhibit], starts: Sequence[int]) -> dict[str, Any]:
    """`summary.json`: the same for machines.

    Args:
        request: the bundle.
        exhibits: its exhibits.
        starts: page of the proof on which each exhibit's slip sheet lies, 1-based.
    """
    by_key = _by_key(exhibits)
    return {
        "format": "proof-of-closure/1",
        "entity": request.entity.name,
        "home": request.entity.home,
        "purpose": request.purpose.id,
        "jurisdiction": request.selection.jurisdiction or None,
        "recipient": request.recipient,
        "prepared_by": request.prepared_by or None,
        "as_of": request.asof.isoformat(),
        "made_at": request.made_at.astimezone(UTC).isoformat(),
        "made_with": f"quietus {request.version}",
        "complete": not request.selection.gaps,
        "lines": [_machine_line(line, by_key) for line in request.selection.lines],
        "exhibits": [_machine_exhibit(e, start) for e, start in zip(exhibits, starts, strict=True)],
        "gaps": [{"scope": g.scope, "title": g.title or None, "says": g.says} for g in request.selection.gaps],
        "caution": CAUTION,
    }


def _by_key(exhibits: Sequence[Exhibit]) -> dict[str, list[Exhibit]]:
    found: dict[str, list[Exhibit]] = {}
    for exhibit in exhibits:
        found.setdefault(exhibit.item.expected.key, []).append(exhibit)
    return found


def _about(request: BundleRequest) -> str:
    """Where the company was formed and registered, as far as the purpose goes."""
    entity, jurisdiction = request.entity, request.selection.jurisdiction
    home = f"Limited liability company formed in {_place(request, entity.home)}"
    others = [r.jurisdiction for r in entity.foreign if jurisdiction in {"", r.jurisdiction}]
    if not others:
        return f"{home}."
    return f"{home}; registered in {wording.listed([_place(request, code) for code in others])}."


def _place(request: BundleRequest, scope: str) -> str:
    return wording.place(scope, request.places)


def _cover_facts(request: BundleRequest) -> list[list[str]]:
    """Label and value of what the bundle is."""
    rows = [
        ("For", request.recipient),
        ("Purpose", request.purpose.title),
        ("About", _place(request, request.selection.jurisdiction) if request.selection.jurisdiction else ""),
        ("State as of", wording.long_date(request.asof)),
        ("Made", wording.moment(request.made_at.astimezone(UTC))),
        ("Prepared by", request.prepared_by),
    ]
    return [[label, wording.plain_line(value)] for label, value in rows if value]


def _status(request: BundleRequest) -> str:
    gaps, lines = request.selection.gaps, request.selection.lines
    if gaps:
        places = wording.listed(list(dict.fromkeys(_place(request, gap.scope) for gap in gaps)))
        return f"Not complete: {wording.count(len(gaps), 'gap')}, in {places}. See What is missing."
    waived = sum(line.mark is Mark.WAIVED for line in lines)
    tail = f" {wording.count(waived, 'paper does', 'papers do')} not apply, by recorded decision." if waived else ""
    shown = wording.count(len(request.selection.included), "paper")
    return f"Complete for this purpose: every paper it calls for is on file ({shown}).{tail}"


def _rows(request: BundleRequest, by_key: Mapping[str, list[Exhibit]]) -> list[dict[str, Any]]:
    """One row for each registration in reach: how it ended, when, and what clears it."""
    lines = request.selection.lines
    reached = {line.expected.scope for line in lines} | {gap.scope for gap in request.selection.gaps}
    return [
        {
            "place": _place(request, registration.jurisdiction),
            "role": "home" if registration.jurisdiction == request.entity.home else "foreign registration",
            "number": _file_number(registration, lines, by_key),
            "ended": _cells(registration, lines, by_key, ends=True),
            "clearance": _cells(registration, lines, by_key, ends=False),
        }
        for registration in request.entity.registrations
        if registration.jurisdiction in reached
    ]


def _cells(
    registration: Registration, lines: Sequence[Line], by_key: Mapping[str, list[Exhibit]], *, ends: bool
) -> list[Cell]:
    return [
        _cell(line, by_key.get(line.expected.key, []))
        for line in lines
        if line.expected.scope == registration.jurisdiction
        and (line.expected.kind.ends_registration if ends else line.expected.kind is Kind.CLEARANCE)
    ]


def _cell(line: Line, exhibits: Sequence[Exhibit]) -> Cell:
    """A line on the cover: title, mark, and what its exhibit shows."""
    mark = mark_of(line.mark, exhibits)
    cell: Cell = {
        "title": wording.plain_line(line.expected.title),
        "mark": mark.name.lower(),
        "says": wording.MARKS[mark],
        "exhibits": [exhibit.letter for exhibit in exhibits],
    }
    if exhibits:
        best = exhibits[0]
        cell["authority"] = best.authority.value
        cell["date"] = _short(best.paper.reading.day("filing_date") or best.paper.reading.day("signed_date"))
        cell["until"] = _short(best.paper.reading.day("valid_until"))
    return cell


def _short(day: date | None) -> str:
    return wording.short_date(day) if day else ""


def _file_number(registration: Registration, lines: Sequence[Line], by_key: Mapping[str, list[Exhibit]]) -> str:
    """The office's number for the company: as the register has it, else as the ending filing shows it."""
    if registration.file_number:
        return wording.plain_line(registration.file_number)
    for line in lines:
        if line.expected.scope == registration.jurisdiction and line.expected.kind.ends_registration:
            for exhibit in by_key.get(line.expected.key, []):
                return wording.plain_line(exhibit.paper.reading.text("file_number") or "")
    return ""


def _matrix(request: BundleRequest, by_key: Mapping[str, list[Exhibit]]) -> dict[str, Any]:
    """Jurisdictions by kinds of paper, with a mark in each field; only the marks in use are explained."""
    lines = request.selection.lines
    kinds = list(dict.fromkeys(line.expected.kind for line in lines))
    scopes = list(dict.fromkeys([line.expected.scope for line in lines] + [g.scope for g in request.selection.gaps]))
    fields = {scope: [_field(lines, scope, kind, by_key) for kind in kinds] for scope in scopes}
    rows = [{"place": _place(request, scope), "cells": cells} for scope, cells in fields.items()]
    used = {cell["mark"] for cells in fields.values() for cell in cells}
    legend = [[mark.name.lower(), words] for mark, words in wording.MARKS.items() if mark.name.lower() in used]
    return {"columns": [kind.words.capitalize() for kind in kinds], "rows": rows, "legend": legend}


def _field(lines: Sequence[Line], scope: str, kind: Kind, by_key: Mapping[str, list[Exhibit]]) -> Cell:
    for line in lines:
        if line.expected.scope == scope and line.expected.kind is kind:
            return _cell(line, by_key.get(line.expected.key, []))
    mark = Mark.NOT_EXPECTED
    return {"mark": mark.name.lower(), "says": wording.MARKS[mark], "exhibits": []}


def _gaps(request: BundleRequest) -> list[dict[str, str]]:
    return [
        {"place": _place(request, gap.scope), "title": wording.plain_line(gap.title), "says": gap.says}
        for gap in request.selection.gaps
    ]


def _waivers(request: BundleRequest) -> list[dict[str, str]]:
    return [
        {
            "place": _place(request, line.expected.scope),
            "title": wording.plain_line(line.expected.title),
            "reason": wording.plain_line(line.waiver.reason),
            "source": wording.plain_line(line.waiver.source),
            "by": wording.plain_line(line.waiver.by),
            "on": wording.long_date(line.waiver.on),
        }
        for line in request.selection.lines
        if line.waiver
    ]


def _not_here(request: BundleRequest) -> list[dict[str, str]]:
    """Kinds that this purpose never sends, and why: about the purpose, not about what is on file."""
    reasons: dict[str, list[Kind]] = {}
    for kind, why in request.purpose.stays_out.items():
        reasons.setdefault(why, []).append(kind)
    return [
        {"kinds": _sentence(wording.listed([kind.words for kind in kinds])), "why": wording.plain_line(why)}
        for why, kinds in reasons.items()
    ]


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def _authorities(exhibits: Sequence[Exhibit]) -> list[list[str]]:
    """The forms of authority that occur, explained."""
    used = {exhibit.authority for exhibit in exhibits}
    return [[_sentence(form.value), words] for form, words in wording.AUTHORITY.items() if form in used]


def _exhibit(exhibit: Exhibit, places: Mapping[str, str]) -> dict[str, Any]:
    reading = exhibit.paper.reading
    return {
        "letter": exhibit.letter,
        "title": exhibit.title,
        "place": wording.place(exhibit.item.expected.scope, places),
        "kind": exhibit.item.expected.kind.words,
        "date": _short(reading.day("filing_date") or reading.day("signed_date")),
        "authority": exhibit.authority.value,
        "facts": facts(exhibit),
        "sha256": exhibit.paper.sha256,
    }


def _machine_line(line: Line, by_key: Mapping[str, list[Exhibit]]) -> dict[str, Any]:
    exhibits = by_key.get(line.expected.key, [])
    return {
        "scope": line.expected.scope,
        "kind": line.expected.kind.value,
        "title": line.expected.title,
        "mark": mark_of(line.mark, exhibits).value,
        "exhibits": [exhibit.letter for exhibit in exhibits],
        "sources": [str(source) for source in line.expected.sources],
    }


def _machine_exhibit(exhibit: Exhibit, start: int) -> dict[str, Any]:
    paper = exhibit.paper
    return {
        "letter": exhibit.letter,
        "scope": exhibit.item.expected.scope,
        "kind": exhibit.item.expected.kind.value,
        "title": exhibit.title,
        "file": exhibit.file,
        "sha256": paper.sha256,
        "bytes": paper.size,
        "media_type": paper.media_type,
        "file_pages": [sheet.number for sheet in exhibit.sheets],
        "slip_sheet_page": start,
        "received": paper.received.astimezone(UTC).isoformat(),
        "authority": exhibit.authority.value,
        "read": readings(exhibit),
    }
