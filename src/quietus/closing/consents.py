"""Consents on record: what a taxpayer signed, whether it holds today, and what it lets out in one answer."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

from quietus.bundle.drafts.consent_rules import each_members_own, months_when_silent
from quietus.bundle.purposes import Purpose
from quietus.closing.closings import entity_named
from quietus.closing.numbering import next_number, numbered
from quietus.closing.office import Office
from quietus.model.consent import Consent, Declined, Filer, Permission, consent_from_json, consent_to_json
from quietus.model.entity import COMPANY, FEDERAL, JURISDICTIONS, Entity, TaxClass
from quietus.model.errors import Damaged, Misuse
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.vault import Card

SORT = "consent"
_DECLINED = "consent-declined"

_SIGNED_PAPERS = frozenset({Kind.CONSENT, Kind.OTHER})
"""What a signed consent may have been read as."""


@dataclass(frozen=True, slots=True)
class Signed:
    """What the signed paper says; see `quietus.model.consent.Consent` for what each means.

    Attributes:
        entity: slug.
        paper: id of the signed paper, or its first digits.
        recipient: to whom may be shown.
        purpose: id of a purpose.
        kinds: what may be shown.
        signer: who signed.
        signed: when.
        until: the last day it holds; None when it does not say.
        scopes: where from; empty for everywhere.
        years: of which years; empty for all.
        members: who signed for what is their own.
        taxpayer: name of the taxpayer; empty for the company, or for the one member of a disregarded company.
        filer: what kind of return the taxpayer files; None for what the company's tax classification says.
    """

    entity: str
    paper: str
    recipient: str
    purpose: str
    kinds: frozenset[Kind]
    signer: str
    signed: date
    until: date | None = None
    scopes: frozenset[str] = frozenset()
    years: frozenset[int] = frozenset()
    members: frozenset[str] = frozenset()
    taxpayer: str = ""
    filer: Filer | None = None


def record_consent(office: Office, said: Signed, today: date) -> Consent:
    """Record a consent, on the word of the signed paper in the vault.

    Raises:
        Misuse: the entity, purpose or paper is not there, or what is said of the consent can't be.
    """
    entity = entity_named(office, said.entity)
    _check_said(office, said, entity, today)
    with office.vault.transaction():
        paper = _signed_paper(office, said)
        consent = Consent(
            id=next_number(office, SORT),
            entity=entity.slug,
            taxpayer=taxpayer_of(entity, said.taxpayer),
            filer=said.filer or filer_of(entity),
            recipient=said.recipient.strip(),
            purpose=said.purpose,
            kinds=said.kinds,
            scopes=said.scopes,
            years=said.years,
            members=said.members,
            signer=said.signer.strip(),
            signed=said.signed,
            until=said.until or last_day(said.signed),
            paper=paper.id,
        )
        _put(office, consent, "consent-recorded", {"paper": paper.id})
    return consent


def withdraw_consent(office: Office, consent_id: str, why: str, today: date) -> Consent:
    """Take note that a consent was taken back: from today on it lets nothing out.

    Raises:
        Misuse: there is no such consent, it was withdrawn before, or nothing is said of why.
    """
    if not why.strip():
        raise Misuse("A withdrawal needs a word on how it came.", "Give it with --reason.")
    with office.vault.transaction():
        consent = consent_named(office, consent_id)
        if consent.withdrawn is not None:
            raise Misuse("That consent was withdrawn before.", "There is nothing left to do.")
        gone = replace(consent, withdrawn=today, withdrawn_why=why.strip())
        _put(office, gone, "consent-withdrawn", {"why": why.strip()})
    return gone


def record_declined(office: Office, slug: str, recipient: str, purpose: str, on: date) -> Declined:
    """Write down that the taxpayer declined; for a like purpose no consent is drawn up again.

    Raises:
        Misuse: the entity or the purpose is not there.
    """
    entity_named(office, slug)
    _check_purpose(office, purpose)
    with office.vault.transaction():
        number = next_number(office, _DECLINED)
        declined = Declined(number, slug, recipient.strip(), purpose, on, office.who)
        body = {"recipient": declined.recipient, "purpose": purpose, "on": on.isoformat(), "by": office.who}
        office.vault.put_card(Card(_DECLINED, number, slug, body), "consent-declined")
    return declined


def declined(office: Office, slug: str, purpose: str) -> tuple[Declined, ...]:
    """The taxpayer's refusals of consents for a purpose."""
    return tuple(
        Declined(c.id, c.entity, c.body["recipient"], c.body["purpose"], date.fromisoformat(c.body["on"]), c.body["by"])
        for c in office.vault.cards(_DECLINED, slug)
        if c.body["purpose"] == purpose
    )


def consents(office: Office, entity: str = "") -> tuple[Consent, ...]:
    """Consents of one entity, or of all; by number."""
    return tuple(map(_consent, office.vault.cards(SORT, entity or None)))


def rested_on(office: Office) -> frozenset[str]:
    """Ids of signed papers that consents rest on which hold, or will: without its paper no consent counts."""
    live = (one for one in consents(office) if one.withdrawn is None and one.until >= office.today)
    return frozenset(one.paper for one in live)


def consent_named(office: Office, consent_id: str) -> Consent:
    """The consent with this number; leading zeros may be left out.

    Raises:
        Misuse: there is none.
    """
    return _consent(numbered(office, SORT, consent_id, "consent"))


def permission(office: Office, entity: Entity, purpose: Purpose, recipient: str, today: date) -> Permission:
    """What may be shown to `recipient` for `purpose` on `today`: by the law, and by the consents on record.

    Raises:
        Misuse: it is the client's own copy, and the recipient is somebody else.
    """
    if purpose.to_taxpayer:
        check_own_copy(entity, recipient)
        return Permission(taxpayer=True)
    good: list[Consent] = []
    refused: list[tuple[Consent, str]] = []
    for consent in consents(office, entity.slug):
        reason = (
            consent.answers(recipient, purpose.id)
            or consent.stands(today)
            or _taxpayer_fault(entity, consent)
            or _paper_fault(office, consent)
        )
        if reason:
            refused.append((consent, reason))
        else:
            good.append(consent)
    return Permission(
        good=tuple(good), refused=tuple(refused), own=each_members_own(), members=frozenset(entity.members)
    )


def check_own_copy(entity: Entity, recipient: str) -> None:
    """The client's own copy goes to the client: `recipient` is one of its names, and after a comma whose attention.

    Raises:
        Misuse: it is somebody else, or a disregarded company's owner, whose return the papers belong to, is passed by.
    """
    name = " ".join(recipient.split()).casefold()
    own = [" ".join(one.split()).casefold() for one in _own_names(entity)]
    if name and not any(name == one or name.startswith(f"{one}, attention ") for one in own):
        raise Misuse(
            "The client's own copy goes to the client alone.",
            'Leave --to out, or give the legal name and whose attention: --to "NAME LLC, attention MANAGER". '
            "Anybody else is answered for another purpose, with a consent where one is needed.",
        )


def _own_names(entity: Entity) -> tuple[str, ...]:
    owner = entity.members if entity.tax_class is TaxClass.DISREGARDED and len(entity.members) == 1 else ()
    return (*entity.names, *owner)


def filer_of(entity: Entity) -> Filer:
    """The kind of return that carries the company's income: of a disregarded company its owner's."""
    return Filer.INDIVIDUAL if entity.tax_class is TaxClass.DISREGARDED else Filer.BUSINESS


def taxpayer_of(entity: Entity, named: str = "") -> str:
    """The taxpayer whose information the company's papers are.

    Raises:
        Misuse: the one named is neither the company nor the owner of a disregarded one; or an owner has to be named.
    """
    if named.strip():
        if named.strip() not in (*entity.names, *(entity.members if filer_of(entity) is Filer.INDIVIDUAL else ())):
            raise Misuse(
                "The taxpayer named is not the one whose information the papers are.",
                "Name the company; of a disregarded company the owner, as on the register.",
            )
        return named.strip()
    if filer_of(entity) is Filer.BUSINESS:
        return entity.name
    if len(entity.members) != 1:
        raise Misuse(
            "The company is disregarded, and its owner is not on the register.", "Name the owner with --taxpayer."
        )
    return entity.members[0]


def last_day(signed: date) -> date:
    """The last day of a consent that does not say how long it holds: the day before so many months are over."""
    months = signed.month - 1 + months_when_silent()
    year, month = signed.year + months // 12, months % 12 + 1
    try:
        anniversary = date(year, month, signed.day)
    except ValueError:  # no such day in that month: it is over on the last one
        anniversary = date(year + month // 12, month % 12 + 1, 1)
    return anniversary - timedelta(days=1)


def _check_said(office: Office, said: Signed, entity: Entity, today: date) -> None:
    _check_purpose(office, said.purpose)
    if not said.recipient.strip() or not said.signer.strip() or not said.kinds:
        raise Misuse(
            "A consent names its recipient, who signed, and what may be shown.", "Give --to, --signer and --kinds."
        )
    if said.signed > today:
        raise Misuse("The consent is not signed yet.", "Record it when it is: a consent comes before the disclosure.")
    if said.until is not None and said.until < said.signed:
        raise Misuse("The consent would end before it was signed.", "Correct --until.")
    if not said.scopes <= JURISDICTIONS | {FEDERAL, COMPANY}:
        raise Misuse("There is no such jurisdiction.", f"Use USPS codes, {FEDERAL} or {COMPANY}.")
    if not said.members <= set(entity.members):
        raise Misuse("A member named is not on the register.", "Give the names as `quietus entity show` prints them.")


def _check_purpose(office: Office, purpose: str) -> None:
    if purpose not in office.purposes():
        raise Misuse("There is no such purpose.", f"Choose one of {', '.join(sorted(office.purposes()))}.")


def _signed_paper(office: Office, said: Signed) -> Paper:
    """The signed paper, unless something speaks against it.

    Raises:
        Misuse: it is not there, is not filed as the company's, or is no such paper; or its date is another.
    """
    paper = office.vault.paper(said.paper)
    if paper.standing is not Standing.FILED or paper.entity != said.entity:
        raise Misuse(
            "The signed paper is not filed as that company's.", "File it with `quietus review assign PAPER ENTITY`."
        )
    if paper.reading.text("kind") not in _SIGNED_PAPERS or paper.expected:
        raise Misuse(
            "That paper is filed as something else than a consent to show tax-return information.",
            "If it is one, say so first: `quietus review correct PAPER kind=other`.",
        )
    read = paper.reading.day("signed_date")
    if read not in {None, said.signed} and not paper.reading["signed_date"].review:
        raise Misuse(
            "The signed paper reads as signed on another day.", "Correct --signed, or the reading by `quietus review`."
        )
    return paper


def _taxpayer_fault(entity: Entity, consent: Consent) -> str:
    """Why the taxpayer who consented is not the one whose papers these are by now; empty when it is."""
    if consent.taxpayer not in _own_names(entity):
        return "it is of somebody who is not the taxpayer by what the register says now"
    return ""


def _paper_fault(office: Office, consent: Consent) -> str:
    """Why the signed paper does not bear the consent; empty when it is on file and whole. It is opened to see."""
    try:
        paper = office.vault.paper(consent.paper)
        if paper.standing is not Standing.FILED or paper.entity != consent.entity:
            return "its signed paper is no longer filed as the company's"
        for _ in office.vault.paper_stream(paper.id, f"to see that consent {consent.id} is on file"):
            pass
    except Misuse:
        return "its signed paper is not on file any more"
    except Damaged:
        return "its signed paper is damaged"
    return ""


def _put(office: Office, consent: Consent, action: str, details: dict[str, str]) -> None:
    office.vault.put_card(Card(SORT, consent.id, consent.entity, consent_to_json(consent)), action, details)


def _consent(card: Card) -> Consent:
    return consent_from_json(card.id, card.entity, card.body)
