"""Answer an inquiry: choose what its purpose needs and the consents allow, build the bundle, record what was made."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from quietus import __version__
from quietus.bundle.build import build_bundle, check_gaps
from quietus.bundle.purposes import Form, Purpose
from quietus.bundle.redaction import Reread
from quietus.bundle.request import BundleMade, BundleRequest
from quietus.bundle.selection import Selection, select
from quietus.closing.closings import entity_named, verify
from quietus.closing.consents import permission
from quietus.closing.export import make_folder
from quietus.closing.inquiries import add_reply, inquiry_named, open_inquiry
from quietus.closing.office import Office
from quietus.closing.signing import journal_proofs, office_seal
from quietus.model.consent import Consent, Permission
from quietus.model.entity import Entity
from quietus.model.errors import Misuse, Refused
from quietus.model.findings import Verdict
from quietus.model.paper import Paper


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be made.

    Attributes:
        entity: slug.
        purpose: id of a purpose, such as `lender`.
        recipient: who asks, as printed on the cover; a consent has to name the same. Empty for who made the inquiry.
        jurisdiction: USPS code, where the purpose is about one state alone.
        show_gaps: True to answer though something is missing, with the gaps shown openly.
        zipped: True for one zip file instead of a folder.
        inquiry: number of the inquiry that it answers; empty to enter one in the log.
    """

    entity: str
    purpose: str
    recipient: str = ""
    jurisdiction: str = ""
    show_gaps: bool = False
    zipped: bool = False
    inquiry: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """What would go out, and why.

    Attributes:
        order: what was asked for.
        entity: the company.
        purpose: what it is for.
        recipient: whom it is for, as printed on the cover.
        verdict: the state of the closing.
        selection: what goes out and what stays, each with the reason.
        permission: the consents looked at, and why each holds or does not.
        papers: every paper of the company, by id.
    """

    order: Order
    entity: Entity
    purpose: Purpose
    recipient: str
    verdict: Verdict
    selection: Selection
    permission: Permission
    papers: Mapping[str, Paper]

    @property
    def used(self) -> tuple[Consent, ...]:
        """The consents under which something goes out."""
        return tuple(consent for consent in self.permission.good if consent.id in self.selection.consents)


@dataclass(frozen=True, slots=True)
class Answer:
    """What was made, out of what plan, in answer to which inquiry."""

    made: BundleMade
    plan: Plan
    inquiry: str

    @property
    def selection(self) -> Selection:
        """What went into it and what did not."""
        return self.plan.selection


def plan(office: Office, order: Order, asof: date, disclosed: date) -> Plan:
    """What would go out; nothing is made or sent.

    Args:
        office: the opened office.
        order: what is to be made.
        asof: the day about which the state of the closing is told.
        disclosed: the day it would leave, on which consents have to hold.

    Raises:
        Misuse: no such entity, purpose, inquiry or jurisdiction; or the client's own copy for somebody else.
    """
    purposes = office.purposes()
    purpose = purposes.get(order.purpose)
    if purpose is None:
        raise Misuse("There is no such purpose.", f"Choose one of {', '.join(sorted(purposes))}.")
    entity = entity_named(office, order.entity)
    asker = _asker(office, order)
    recipient = order.recipient.strip() or (entity.name if purpose.to_taxpayer else asker)
    papers = office.vault.papers(entity.slug)
    verdict = verify(office, entity.slug, asof)
    allowed = permission(office, entity, purpose, recipient, disclosed)
    selection = select(purpose, verdict, papers, order.jurisdiction, allowed)
    return Plan(order, entity, purpose, recipient, verdict, selection, allowed, {paper.id: paper for paper in papers})


def answer(
    office: Office, order: Order, folder: Path, asof: date, progress: Callable[[int, int], None] | None = None
) -> Answer:
    """Build the bundle in `folder`; record it in the journal and in the log of inquiries.

    Consents have to hold on the day it is made, whatever day the state of the closing is told of.

    Raises:
        Misuse: no such entity, purpose or inquiry, or `folder` exists already.
        Refused: the closing is not proven and the gaps are not to be shown; or a redacted copy can't be trusted.
    """
    planned, request = checked(office, order, asof)
    inquiry = order.inquiry or _entered(office, planned)
    make_folder(folder.parent)
    proofs = journal_proofs(office, [item.paper.id for item in planned.selection.included])
    with _refusals_entered(office, planned), _reread(office, planned.selection) as reread:
        request = replace(request, reread=reread, seal=office_seal(office), proofs=proofs)
        made = build_bundle(request, folder, zipped=order.zipped, progress=progress)
    with office.vault.transaction():
        office.vault.record("bundle-made", order.entity, _details(planned, made, inquiry))
        answered = add_reply(office, inquiry, planned.selection, made, planned.recipient)
    return Answer(made, planned, answered.id)


def checked(office: Office, order: Order, asof: date) -> tuple[Plan, BundleRequest]:
    """What would go out today, unless something is missing that may not be; a refusal is entered in the journal.

    Raises:
        Misuse: no such entity, purpose, inquiry or jurisdiction; or the client's own copy for somebody else.
        Refused: something is not proven and the gaps are not to be shown.
    """
    planned = plan(office, order, asof, office.today)
    request = _request(office, planned, asof)
    with _refusals_entered(office, planned):
        check_gaps(request)
    return planned, request


@contextmanager
def _refusals_entered(office: Office, planned: Plan) -> Iterator[None]:
    """A refusal from within goes into the journal, and on."""
    try:
        yield
    except Refused as refusal:
        why = {"purpose": planned.order.purpose, "recipient": planned.recipient, "why": refusal.message}
        office.vault.record("bundle-refused", planned.order.entity, {**why})
        raise


def _asker(office: Office, order: Order) -> str:
    """Who made the inquiry that is answered; empty when none is named.

    Raises:
        Misuse: there is no such inquiry, or it is about another company.
    """
    if not order.inquiry:
        return ""
    inquiry = inquiry_named(office, order.inquiry)
    if inquiry.entity != order.entity:
        raise Misuse("That inquiry is about another company.", "See `quietus inquiry list` for its number.")
    return inquiry.asker


def _entered(office: Office, planned: Plan) -> str:
    """The number of an inquiry entered for a bundle that was asked for without one."""
    inquiry = open_inquiry(
        office,
        planned.order.entity,
        planned.recipient or "not named",
        planned.purpose.title,
        office.today,
        jurisdiction=planned.order.jurisdiction,
    )
    return inquiry.id


def _request(office: Office, planned: Plan, asof: date) -> BundleRequest:
    order = planned.order
    return BundleRequest(
        entity=planned.entity,
        verdict=planned.verdict,
        selection=planned.selection,
        purpose=planned.purpose,
        recipient=planned.recipient,
        prepared_by=office.config.office_name,
        asof=asof,
        made_at=office.clock(),
        show_gaps=order.show_gaps,
        original=lambda paper_id: office.vault.paper_bytes(paper_id, f"bundle for {order.purpose}"),
        version=__version__,
        places={code: pack.name for code, pack in office.packs().by_code.items()},
        limits=office.limits,
    )


@contextmanager
def _reread(office: Office, selection: Selection) -> Iterator[Reread | None]:
    """Reads redacted copies as if they had just come in; None when there will be none.

    Recognition is started at once, in its own processes, so that it is there when the first copy is.
    """
    copies = sum(item.form is Form.REDACTED for item in selection.included)
    if not copies:
        yield None
        return
    with office.reading_pool(at_most=copies) as pool:
        pool.warm()
        yield lambda data: pool.read_again(data).result()


def _details(planned: Plan, made: BundleMade, inquiry: str) -> dict[str, object]:
    selection = planned.selection
    return {
        "purpose": planned.order.purpose,
        "recipient": planned.recipient,
        "jurisdiction": planned.order.jurisdiction,
        "gaps_shown": planned.order.show_gaps,
        "papers": [item.paper.id for item in selection.included],
        "forms": [item.form.value for item in selection.included],
        "consents": list(selection.consents),
        "inquiry": inquiry,
        "pdf_sha256": made.pdf_sha256,
        "manifest_sha256": made.manifest_sha256,
    }
