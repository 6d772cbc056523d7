"""The log of inquiries: who asked what, when, and what was sent in answer."""

from dataclasses import dataclass, replace
from datetime import UTC, date

from quietus.bundle.request import BundleMade
from quietus.bundle.selection import Selection
from quietus.closing.closings import entity_named
from quietus.closing.numbering import next_number, numbered
from quietus.closing.office import Office
from quietus.model.entity import Entity
from quietus.model.errors import Misuse
from quietus.model.expected import ExpectedPaper
from quietus.model.inquiry import Inquiry, Reply, SentPaper, inquiry_from_json, inquiry_to_json
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.rules import expected_papers
from quietus.vault import Card

SORT = "inquiry"

NOTICES = frozenset({Kind.TAX_NOTICE, Kind.OTHER})
"""What a state's notice or reminder may have been read as."""


def open_inquiry(
    office: Office, slug: str, asker: str, asks: str, on: date, *, jurisdiction: str = "", paper: str = ""
) -> Inquiry:
    """Write down that somebody asked.

    Raises:
        Misuse: the entity or the paper is not there, the state is none of the company's, or nobody or nothing is named.
    """
    entity = entity_named(office, slug)
    if not asker.strip() or not asks.strip():
        raise Misuse("An inquiry needs who asked, and what.", "Give --from and --asked.")
    if jurisdiction and entity.registration(jurisdiction) is None:
        raise Misuse("The company has no registration there.", "Name one of its own, or none.")
    letter = office.vault.paper(paper) if paper else None
    if letter and letter.entity not in {slug, ""}:
        raise Misuse("That letter is filed as another company's.", "Assign it with `quietus review assign`.")
    with office.vault.transaction():
        inquiry = Inquiry(
            id=next_number(office, SORT),
            entity=slug,
            asker=asker.strip(),
            asks=asks.strip(),
            on=on,
            by=office.who,
            jurisdiction=jurisdiction,
            paper=letter.id if letter else "",
        )
        _put(office, inquiry, "inquiry-received")
    return inquiry


def inquiries(office: Office, entity: str = "") -> tuple[Inquiry, ...]:
    """Inquiries about one entity, or all; by number."""
    return tuple(map(_inquiry, office.vault.cards(SORT, entity or None)))


def inquiry_named(office: Office, inquiry_id: str) -> Inquiry:
    """The inquiry with this number; leading zeros may be left out.

    Raises:
        Misuse: there is none.
    """
    return _inquiry(numbered(office, SORT, inquiry_id, "inquiry"))


def add_reply(office: Office, inquiry_id: str, selection: Selection, made: BundleMade, recipient: str) -> Inquiry:
    """Write down what was made in answer.

    Raises:
        Misuse: there is no such inquiry.
    """
    reply = Reply(
        made=office.clock().astimezone(UTC),
        by=office.who,
        recipient=recipient,
        purpose=selection.purpose,
        jurisdiction=selection.jurisdiction,
        papers=tuple(
            SentPaper(
                id=item.paper.id,
                expected=item.expected.key,
                form=item.form.value,
                hidden=item.covered,
                consent=item.consent,
            )
            for item in selection.included
        ),
        gaps=made.gaps,
        pdf_sha256=made.pdf_sha256,
        manifest_sha256=made.manifest_sha256,
    )
    with office.vault.transaction():
        inquiry = inquiry_named(office, inquiry_id)
        answered = replace(inquiry, replies=(*inquiry.replies, reply))
        _put(office, answered, "inquiry-answered", made.manifest_sha256)
    return answered


def mark_sent(office: Office, inquiry_id: str, on: date, how: str) -> Inquiry:
    """Write down that the newest bundle for an inquiry was sent.

    Raises:
        Misuse: there is no such inquiry, or nothing was made for it, or it was sent before it was made.
    """
    with office.vault.transaction():
        inquiry = inquiry_named(office, inquiry_id)
        if not inquiry.replies:
            raise Misuse("Nothing was made in answer to that inquiry.", "Make it with `quietus bundle --inquiry`.")
        last = inquiry.replies[-1]
        if on < last.made.astimezone().date():
            raise Misuse("It can't have been sent before it was made.", "Correct --on.")
        sent = replace(inquiry, replies=(*inquiry.replies[:-1], replace(last, sent=on, how=how.strip())))
        _put(office, sent, "inquiry-sent", last.manifest_sha256)
    return sent


@dataclass(frozen=True, slots=True)
class Notice:
    """A state's notice in the vault, and what it is about.

    Attributes:
        paper: the notice.
        entity: the company it was sent to.
        jurisdiction: USPS code of the state that sent it.
        sender: the agency that most likely sent it.
        ending: the filing that ended the company's registration there; None when the rules know of none.
    """

    paper: Paper
    entity: Entity
    jurisdiction: str
    sender: str
    ending: ExpectedPaper | None


def notice_in(office: Office, paper_id: str, jurisdiction: str = "") -> Notice:
    """What a notice is about: from what was read off it, or `jurisdiction` where that is not sure.

    Raises:
        Misuse: the paper is not there, belongs to nobody, is no notice, or it can't be told which state sent it.
    """
    paper = office.vault.paper(paper_id)
    if paper.standing is not Standing.FILED:
        raise Misuse("That paper belongs to nobody yet.", "Assign it with `quietus review assign PAPER ENTITY`.")
    if paper.reading.text("kind") not in NOTICES:
        raise Misuse(
            "That paper is no notice from outside.",
            "If it is one, say so: `quietus review correct PAPER kind=tax_notice`, or kind=other for a reminder.",
        )
    entity = entity_named(office, paper.entity)
    read = paper.reading["jurisdiction"]
    code = jurisdiction or ("" if read.review else paper.reading.text("jurisdiction") or "")
    if entity.registration(code) is None:
        raise Misuse(
            "It can't be told which of the company's states sent the notice.",
            "Name it with --jurisdiction, such as WA.",
        )
    packs = office.packs()
    pack = packs.get(code)
    tax = paper.reading.text("kind") == Kind.TAX_NOTICE
    sender = (pack.tax_agency if tax else pack.filing_office) if pack else ""
    ending = next((e for e in expected_papers(entity, packs) if e.scope == code and e.kind.ends_registration), None)
    return Notice(paper, entity, code, sender or code, ending)


def _put(office: Office, inquiry: Inquiry, action: str, manifest: str = "") -> None:
    card = Card(SORT, inquiry.id, inquiry.entity, inquiry_to_json(inquiry))
    office.vault.put_card(card, action, {"manifest_sha256": manifest} if manifest else None)


def _inquiry(card: Card) -> Inquiry:
    return inquiry_from_json(card.id, card.entity, card.body)
