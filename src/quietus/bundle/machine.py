"""`summary.json`: what the document says, for machines. Pure."""

from collections.abc import Sequence
from datetime import UTC
from typing import Any

from quietus.bundle.answers import Shown, shown_of
from quietus.bundle.exhibits import Exhibit, readings
from quietus.bundle.purposes import Form
from quietus.bundle.request import BundleRequest
from quietus.bundle.summary import CAUTION
from quietus.bundle.witness import entry_of
from quietus.model.findings import Line


def machine_summary(request: BundleRequest, exhibits: Sequence[Exhibit], starts: Sequence[int]) -> dict[str, Any]:
    """`summary.json`: the same for machines.

    Args:
        request: the bundle.
        exhibits: its exhibits.
        starts: page of the proof on which each exhibit's slip sheet lies, 1-based.
    """
    by_key = shown_of(request, exhibits)
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
        "seal": request.seal.fingerprint if request.seal else None,
        "lines": [_machine_line(line, by_key) for line in request.selection.lines],
        "exhibits": [_machine_exhibit(e, start, request) for e, start in zip(exhibits, starts, strict=True)],
        "gaps": [{"scope": g.scope, "title": g.title or None, "says": g.says} for g in request.selection.gaps],
        "caution": CAUTION,
    }


def _machine_line(line: Line, by_key: Shown) -> dict[str, Any]:
    exhibits, best = by_key.of(line), by_key.best(line)
    return {
        "scope": line.expected.scope,
        "kind": line.expected.kind.value,
        "title": line.expected.title,
        "mark": by_key.mark(line).value,
        "form": (best.form.value if not exhibits else _form(exhibits[0])) if best else None,
        "exhibits": [exhibit.letter for exhibit in exhibits],
        "sources": [str(source) for source in line.expected.sources],
    }


def _form(exhibit: Exhibit) -> str:
    return (Form.REDACTED if exhibit.redacted else Form.FULL).value


def _machine_exhibit(exhibit: Exhibit, start: int, request: BundleRequest) -> dict[str, Any]:
    paper, proof = exhibit.paper, request.proofs.get(exhibit.paper.id)
    return {
        "letter": exhibit.letter,
        "scope": exhibit.item.expected.scope,
        "kind": exhibit.item.expected.kind.value,
        "title": exhibit.title,
        "file": exhibit.file,
        "form": _form(exhibit),
        "sha256": exhibit.sha256,
        "bytes": exhibit.size,
        "media_type": exhibit.media_type,
        "file_pages": [sheet.number for sheet in exhibit.sheets],
        "slip_sheet_page": start,
        "received": paper.received.astimezone(UTC).isoformat(),
        "journal_entry": entry_of(proof).number if proof else None,
        "consent": bool(exhibit.item.consent),
        "authority": exhibit.authority.value,
        "read": readings(exhibit),
    }
