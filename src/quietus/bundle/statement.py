"""The custodian's statement: a form for a person to complete and sign, with what the rules of evidence ask for. Pure.

Fed. R. Evid. 902(11) asks for a statement of the custodian that the records meet 803(6)(A) to (C); 902(14) for one of a
qualified person on the process of digital identification, to which the Advisory Committee's note of 2017 gives the
comparison of hash values as the example; 28 U.S.C. 1746 for the closing words. The program fills in what it knows,
signs nothing, and claims neither that the papers are true nor that a court will receive them.
"""

from collections.abc import Sequence
from datetime import UTC
from typing import Any

from quietus.bundle import wording
from quietus.bundle.exhibits import Exhibit, authority_of
from quietus.bundle.request import BundleRequest
from quietus.bundle.selection import Included
from quietus.bundle.witness import entry_of
from quietus.model.kinds import Authority

LIMITS = (
    "This form speaks of the keeping and copying of the papers only. It does not say that what an office filed or "
    "stamped is true, and a copy with an office's stamp is not a copy attested by that office (Fed. R. Evid. 902(4)). "
    "A party that means to use it gives the other side reasonable written notice, and makes papers and form available "
    "for inspection (902(11)). Counsel decides whether the form fits the case."
)


def statement(request: BundleRequest, exhibits: Sequence[Exhibit], told: Sequence[Included]) -> dict[str, Any]:
    """What the form shows, ready for typesetting."""
    return {
        "firm": wording.plain_line(request.prepared_by),
        "about": _about(request),
        "papers": [_paper(request, exhibit) for exhibit in exhibits],
        "told": [_told(request, item) for item in told],
        "keeping": _keeping(request),
        "redacted": any(exhibit.redacted for exhibit in exhibits),
        "missing": _missing(request, exhibits),
        "limits": LIMITS,
    }


def _about(request: BundleRequest) -> list[list[str]]:
    entity = request.entity
    numbers = [
        f"{wording.place(r.jurisdiction, request.places)}" + (f" (No. {r.file_number})" if r.file_number else "")
        for r in entity.registrations
        if request.selection.jurisdiction in {"", r.jurisdiction} or r.jurisdiction == entity.home
    ]
    rows = [
        ("Company", entity.name),
        ("Registrations", wording.listed(numbers)),
        ("For", request.recipient),
        ("Purpose", request.purpose.title),
    ]
    return [[label, wording.plain_line(value)] for label, value in rows if value]


def _paper(request: BundleRequest, exhibit: Exhibit) -> dict[str, Any]:
    paper = exhibit.paper
    proof = request.proofs.get(paper.id)
    return {
        "letter": exhibit.letter,
        "title": exhibit.title,
        "issuer": wording.plain_line(exhibit.item.expected.issuer),
        "id": paper.id[:8],
        "received": wording.short_date(paper.received.astimezone(UTC).date()),
        "pages": len(exhibit.sheets),
        "bytes": wording.size(exhibit.size),
        "authority": exhibit.authority.value,
        "form": "redacted copy" if exhibit.redacted else "as received",
        "entry": str(entry_of(proof).number) if proof else "",
        "sha256": exhibit.sha256,
    }


def _told(request: BundleRequest, item: Included) -> dict[str, str]:
    return {
        "title": wording.plain_line(item.expected.title),
        "place": wording.place(item.expected.scope, request.places),
        "received": wording.short_date(item.paper.received.astimezone(UTC).date()),
        "authority": authority_of(item.paper).value,
    }


def _keeping(request: BundleRequest) -> str:
    """How the papers are kept and copied (902(13), 902(14); 901(b)(9)), as far as the program does it."""
    return (
        f"quietus {request.version} took the SHA-256 hash of every file when it was received, sealed the file "
        f"unchanged under a key of its own, and wrote an entry into a journal whose entries are chained. On "
        f"{wording.moment(request.made_at.astimezone(UTC))} it opened each file, took the hash again, and found it "
        "equal to the one recorded; had one differed, this document would not have been made. Dates and numbers were "
        "read off the papers by text recognition or confirmed by a person, as each slip sheet says; they are aids, "
        "and the papers govern."
    )


def _missing(request: BundleRequest, exhibits: Sequence[Exhibit]) -> list[str]:
    """What the papers lack, so that nothing looks more than it is."""
    said = []
    plain = [e.letter for e in exhibits if e.authority is Authority.PLAIN]
    stamped = [e.letter for e in exhibits if e.authority is Authority.STAMPED]
    redacted = [e.letter for e in exhibits if e.redacted]
    if plain:
        said.append(f"{_exhibits(plain)}: no mark of an office on the copy.")
    if stamped:
        said.append(f"{_exhibits(stamped)}: an office's stamp, but no seal and signature that attest the copy.")
    if len(redacted) == 1:
        said.append(f"{_exhibits(redacted)}: a redacted copy; the paper as received is with the preparer.")
    elif redacted:
        said.append(f"{_exhibits(redacted)}: redacted copies; the papers as received are with the preparer.")
    gaps = len(request.selection.gaps)
    if gaps:
        count = wording.count(gaps, "gap is", "gaps are")
        said.append(f"{count} shown under What is missing.")
    return said


def _exhibits(letters: Sequence[str]) -> str:
    return f"Exhibit {letters[0]}" if len(letters) == 1 else f"Exhibits {wording.listed(list(letters))}"
