"""What a bundle is asked to be, and what came of it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path

from quietus.bundle.purposes import Purpose
from quietus.bundle.redaction import Reread
from quietus.bundle.selection import Selection
from quietus.bundle.signature import Seal
from quietus.bundle.witness import Proofs
from quietus.model.entity import Entity
from quietus.model.findings import Verdict
from quietus.model.limits import DEFAULT_LIMITS, Limits


@dataclass(frozen=True, slots=True)
class BundleRequest:
    """One answer to an inquiry.

    Attributes:
        entity: the company.
        verdict: the state of its closing.
        selection: what goes out, chosen for `purpose`.
        purpose: what the bundle is for.
        recipient: whom it is for, as it stands on the cover.
        prepared_by: the firm's name; may be empty.
        asof: the day the state was asked about.
        made_at: when the bundle is made; with a time zone. The only clock there is.
        show_gaps: make it although something is missing, and show what.
        original: gives the bytes of a paper as received, by id.
        version: of quietus.
        places: names of the jurisdictions by USPS code; the code stands where there is none.
        limits: ceilings for the child process that takes the papers apart.
        reread: reads a redacted copy as if it had just come in; without it none can be made.
        seal: what the office seals the proof with; None leaves it without a seal.
        proofs: by paper, proof that the entry of its filing is in the journal; those of one bundle lead to one
            checkpoint.
    """

    entity: Entity
    verdict: Verdict
    selection: Selection
    purpose: Purpose
    recipient: str
    prepared_by: str
    asof: date
    made_at: datetime
    show_gaps: bool
    original: Callable[[str], bytes]
    version: str
    places: Mapping[str, str] = field(default_factory=dict)
    limits: Limits = DEFAULT_LIMITS
    reread: Reread | None = None
    seal: Seal | None = None
    proofs: Proofs = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class BundleMade:
    """What was made.

    Attributes:
        path: the folder, or the zip.
        pages: pages of the proof.
        exhibits: papers in it.
        gaps: gaps shown in it.
        payload_bytes: size of the payload (the PDF, the originals, the summary).
        pdf_sha256: hash of the PDF, hex.
        manifest_sha256: hash of `manifest-sha256.txt`, hex: it stands for every byte of the payload.
    """

    path: Path
    pages: int
    exhibits: int
    gaps: int
    payload_bytes: int
    pdf_sha256: str
    manifest_sha256: str
