"""The closing in one view: what the drawn pages say, as plain data. Pure."""

from collections.abc import Sequence
from datetime import UTC, date
from typing import Any

from quietus.bundle import wording
from quietus.bundle.answers import Shown, shown_of, told_of
from quietus.bundle.exhibits import Exhibit, authority_of, blacked_out, facts
from quietus.bundle.request import BundleRequest
from quietus.bundle.selection import Included
from quietus.bundle.statement import statement
from quietus.bundle.timeline import events_of, sure_day, timeline
from quietus.bundle.witness import entry_of
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
    by_key, told = shown_of(request, exhibits), told_of(request)
    return {
        "title": "Proof of closure",
        "purpose": wording.plain_line(request.purpose.title),
        "entity": wording.plain_line(request.entity.name),
        "about": _about(request),
        "firm": wording.plain_line(request.prepared_by),
        "facts": _cover_facts(request),
        "letter": _letter(request),
        "intro": wording.plain_line(request.purpose.intro),
        "complete": not request.selection.gaps,
        "status": _status(request),
        "clearances": Kind.CLEARANCE in request.purpose.goes_in,
        "rows": _rows(request, by_key),
        "caution": [CAUTION, wording.plain_line(request.purpose.caution)],
        "matrix": _matrix(request, by_key),
        "timeline": timeline(events_of(exhibits, told), request.places),
        "told": [_told(request, item) for item in told],
        "with_consent": _with_consent(request),
        "gaps": _gaps(request),
        "waivers": _waivers(request),
        "not_here": _not_here(request),
        "authorities": _authorities(exhibits),
        "statement": statement(request, exhibits, told),
        "seal": _seal(request),
        "journal": bool(request.proofs),
        "exhibits": [_exhibit(exhibit, request) for exhibit in exhibits],
        "version": request.version,
        "made": list(request.made_at.astimezone(UTC).timetuple()[:6]),
    }


def _told(request: BundleRequest, item: Included) -> dict[str, str]:
    """The line of a paper that is told of and not shown: what a person needs to ask for it."""
    reading = item.paper.reading
    filed, end = sure_day(reading, "filing_date") or sure_day(reading, "signed_date"), sure_day(reading, "period_end")
    number = "" if reading["file_number"].review else reading.text("file_number") or ""
    parts = [
        wording.count(len(reading.pages) or item.paper.pages, "page"),
        f"received {wording.short_date(item.paper.received.astimezone(UTC).date())}",
        f"No. {number}" if number else "",
        f"for the period to {wording.short_date(end)}" if end else "",
        "marked final" if reading.flag("final_box") and not reading["final_box"].review else "",
    ]
    return {
        "title": wording.plain_line(item.expected.title),
        "place": _place(request, item.expected.scope),
        "date": _short(filed),
        "authority": authority_of(item.paper).value,
        "says": wording.plain_line(", ".join(part for part in parts if part)),
    }


def _letter(request: BundleRequest) -> dict[str, Any]:
    paragraphs = request.purpose.letter or (request.purpose.intro,)
    return {
        "date": wording.long_date(request.made_at.astimezone(UTC).date()),
        "to": wording.plain_line(request.recipient),
        "paragraphs": [wording.plain_line(text) for text in paragraphs],
    }


def _with_consent(request: BundleRequest) -> str:
    """What is to be had with the taxpayer's consent: it follows from the purpose, not from what is on file."""
    in_part = request.selection.in_part
    kinds = [f"further {kind.words}" if kind in in_part else kind.words for kind in request.selection.with_consent]
    return _sentence(f"{wording.listed(kinds)}: available with the taxpayer's consent.") if kinds else ""


def _seal(request: BundleRequest) -> dict[str, Any] | None:
    seal = request.seal
    if seal is None:
        return None
    fingerprint = seal.fingerprint
    return {
        "names": wording.plain_line(seal.names),
        "fingerprint": fingerprint,
        "self_made": seal.self_made,
        "stamped": seal.stamp is not None,
    }


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
    told = len(told_of(request))
    shown = wording.count(len(request.selection.included) - told, "paper")
    rest = f" shown, {told} told of in a line" if told else ""
    return f"Complete for this purpose: every paper it calls for is on file ({shown}{rest}).{tail}"


def _rows(request: BundleRequest, by_key: Shown) -> list[dict[str, Any]]:
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


def _cells(registration: Registration, lines: Sequence[Line], by_key: Shown, *, ends: bool) -> list[Cell]:
    return [
        _cell(line, by_key)
        for line in lines
        if line.expected.scope == registration.jurisdiction
        and (line.expected.kind.ends_registration if ends else line.expected.kind is Kind.CLEARANCE)
    ]


def _cell(line: Line, by_key: Shown) -> Cell:
    """A line on the cover: title, mark, and what its exhibit shows."""
    mark, exhibits, best = by_key.mark(line), by_key.of(line), by_key.best(line)
    told = best is not None and not exhibits
    cell: Cell = {
        "title": wording.plain_line(line.expected.title),
        "mark": mark.name.lower(),
        "says": wording.MARKS[mark] + (", told here without a copy" if told else ""),
        "exhibits": [exhibit.letter for exhibit in exhibits],
        "told": told,
    }
    if best:
        reading = best.paper.reading
        cell["authority"] = authority_of(best.paper).value
        cell["date"] = _short(reading.day("filing_date") or reading.day("signed_date"))
        cell["until"] = _short(reading.day("valid_until"))
    return cell


def _short(day: date | None) -> str:
    return wording.short_date(day) if day else ""


def _file_number(registration: Registration, lines: Sequence[Line], by_key: Shown) -> str:
    """The office's number for the company: as the register has it, else as the ending filing shows it."""
    if registration.file_number:
        return wording.plain_line(registration.file_number)
    for line in lines:
        if line.expected.scope == registration.jurisdiction and line.expected.kind.ends_registration:
            best = by_key.best(line)
            if best:
                return wording.plain_line(best.paper.reading.text("file_number") or "")
    return ""


def _matrix(request: BundleRequest, by_key: Shown) -> dict[str, Any]:
    """Jurisdictions by kinds of paper, with a mark in each field; only the marks in use are explained."""
    lines = request.selection.lines
    kinds = list(dict.fromkeys(line.expected.kind for line in lines))
    scopes = list(dict.fromkeys([line.expected.scope for line in lines] + [g.scope for g in request.selection.gaps]))
    fields = {scope: [_field(lines, scope, kind, by_key) for kind in kinds] for scope in scopes}
    rows = [{"place": _place(request, scope), "cells": cells} for scope, cells in fields.items()]
    used = {cell["mark"] for cells in fields.values() for cell in cells}
    legend = [[mark.name.lower(), words] for mark, words in wording.MARKS.items() if mark.name.lower() in used]
    return {"columns": [kind.words.capitalize() for kind in kinds], "rows": rows, "legend": legend}


def _field(lines: Sequence[Line], scope: str, kind: Kind, by_key: Shown) -> Cell:
    for line in lines:
        if line.expected.scope == scope and line.expected.kind is kind:
            return _cell(line, by_key)
    mark = Mark.NOT_EXPECTED
    return {"mark": mark.name.lower(), "says": wording.MARKS[mark], "exhibits": [], "told": False}


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


def _exhibit(exhibit: Exhibit, request: BundleRequest) -> dict[str, Any]:
    reading, proof = exhibit.paper.reading, request.proofs.get(exhibit.paper.id)
    return {
        "letter": exhibit.letter,
        "title": exhibit.title,
        "place": _place(request, exhibit.item.expected.scope),
        "kind": exhibit.item.expected.kind.words,
        "date": _short(reading.day("filing_date") or reading.day("signed_date")),
        "authority": exhibit.authority.value,
        "facts": facts(exhibit, entry_of(proof) if proof else None),
        "redacted": exhibit.redacted,
        "blacked_out": blacked_out(exhibit),
        "sha256": exhibit.sha256,
    }
