"""Answer an inquiry: choose what its purpose needs, build the bundle, and record what was sent."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quietus import __version__
from quietus.bundle import BundleMade, BundleRequest, Selection, build_bundle, select
from quietus.closing.closings import entity_named, verify
from quietus.closing.export import make_folder
from quietus.closing.office import Office
from quietus.model.errors import Misuse, Refused


@dataclass(frozen=True, slots=True)
class Inquiry:
    """What was asked.

    Attributes:
        entity: slug.
        purpose: id of a purpose, such as `lender`.
        recipient: who asks, as printed on the cover.
        jurisdiction: USPS code, where the purpose is about one state alone.
        show_gaps: True to answer though something is missing, with the gaps shown openly.
        zipped: True for one zip file instead of a folder.
    """

    entity: str
    purpose: str
    recipient: str
    jurisdiction: str = ""
    show_gaps: bool = False
    zipped: bool = False


@dataclass(frozen=True, slots=True)
class Answer:
    """What was made, and what went into it and what did not."""

    made: BundleMade
    selection: Selection


def answer(
    office: Office, inquiry: Inquiry, folder: Path, today: date, progress: Callable[[int, int], None] | None = None
) -> Answer:
    """Build the bundle in `folder` and record it in the journal.

    Raises:
        Misuse: no such entity or purpose, or `folder` exists already.
        Refused: the closing is not proven and the gaps are not to be shown.
    """
    purposes = office.purposes()
    purpose = purposes.get(inquiry.purpose)
    if purpose is None:
        raise Misuse("There is no such purpose.", f"Choose one of {', '.join(sorted(purposes))}.")
    entity = entity_named(office, inquiry.entity)
    verdict = verify(office, inquiry.entity, today)
    selection = select(purpose, verdict, office.vault.papers(inquiry.entity), inquiry.jurisdiction)
    request = BundleRequest(
        entity=entity,
        verdict=verdict,
        selection=selection,
        purpose=purpose,
        recipient=inquiry.recipient,
        prepared_by=office.config.office_name,
        asof=today,
        made_at=office.clock(),
        show_gaps=inquiry.show_gaps,
        original=lambda paper_id: office.vault.paper_bytes(paper_id, f"bundle for {inquiry.purpose}"),
        version=__version__,
        places={code: pack.name for code, pack in office.packs().by_code.items()},
        limits=office.limits,
    )
    make_folder(folder.parent)
    try:
        made = build_bundle(request, folder, zipped=inquiry.zipped, progress=progress)
    except Refused as refusal:
        office.vault.record(
            "bundle-refused",
            inquiry.entity,
            {"purpose": inquiry.purpose, "recipient": inquiry.recipient, "why": refusal.message},
        )
        raise
    office.vault.record(
        "bundle-made",
        inquiry.entity,
        {
            "purpose": inquiry.purpose,
            "recipient": inquiry.recipient,
            "jurisdiction": inquiry.jurisdiction,
            "gaps_shown": inquiry.show_gaps,
            "papers": [item.paper.id for item in selection.included],
            "pdf_sha256": made.pdf_sha256,
            "manifest_sha256": made.manifest_sha256,
        },
    )
    return Answer(made, selection)
