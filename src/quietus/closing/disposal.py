"""Carrying out what was approved: each paper is looked at again, destroyed, and only then certified.

Three steps, each of which a crash may cut short and the next run finishes: (1) in one transaction, holds, policy and
approval are looked at and the paper's rows go; (2) sealed bytes, the catalog's log and slack, and the backups that can
be reached; (3) the certificate, signed, into the journal. A paper is called destroyed nowhere before (3).
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quietus.closing import holds, policy
from quietus.closing.approval import RESTS, Approval, Item, approvals, in_another, named, obstacle
from quietus.closing.certificate import (
    Certificate,
    certificate_card,
    certificate_of,
    read_exported,
    sign_certificate,
)
from quietus.closing.clockwatch import believe_clock
from quietus.closing.consents import rested_on
from quietus.closing.destroyed import SORT
from quietus.closing.keeping import Kept, kept_paper
from quietus.closing.office import Office
from quietus.closing.parts import same_pages
from quietus.closing.safekeeping import back_up_office
from quietus.closing.statement import History, begun, copies_known, history_of, stated
from quietus.model.errors import Misuse, QuietusError, Refused
from quietus.model.hold import Hold, catching
from quietus.vault import Card, Vault, forget_papers, place_at


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one approved paper.

    Attributes:
        paper: id.
        approval: id.
        refused: why it was not destroyed; empty when it was.
    """

    paper: str
    approval: str
    refused: str = ""


@dataclass(frozen=True, slots=True)
class Disposed:
    """What one run did.

    Attributes:
        outcomes: of the approved papers.
        certificates: those written, of this run and of runs that were cut short.
        copies: names of backup copies that were removed.
        unreached: for each backup that could not be reached, its place and why.
    """

    outcomes: tuple[Outcome, ...]
    certificates: tuple[Certificate, ...]
    copies: tuple[str, ...]
    unreached: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class _Backups:
    """What was done about backups in one run."""

    removed: tuple[str, ...] = ()
    unreached: tuple[tuple[str, str], ...] = ()


def dispose(office: Office, approval_ids: Iterable[str] = (), backups: Sequence[str] = ()) -> Disposed:
    """Destroy what was approved, finish what a crash left, and certify both.

    Args:
        office: opened.
        approval_ids: which approvals to carry out; all that are complete when none is named.
        backups: folders or `s3://` addresses of the office's backups, to have copies that hold the papers removed.

    Raises:
        Misuse: there is no such approval.
        Refused: an approval that was named lacks something, or the clock can't be believed.
        MachineFault: the machine would not do all of it. Run it again: nothing is said to be done that is not.
    """
    chosen = [named(office.vault, one) for one in approval_ids]
    for approval in chosen:
        if lack := approval.lacks(office.today):
            raise Refused(lack, "See `quietus retain approvals`.")
    outcomes: list[Outcome] = []
    ready = chosen or [one for one in approvals(office.vault) if not one.lacks(office.today)]
    gone, past = {stub.id for stub in office.vault.stubs()}, holds.Past(office.vault)
    waiting = [(one, item) for one in ready for item in one.items if item.paper not in gone]
    if waiting:
        believe_clock(office)
    for approval, item in waiting:
        if item.paper not in gone:  # two approvals may name the same paper
            outcomes.append(_destroy(office, approval, item, past))
            gone |= set() if outcomes[-1].refused else {item.paper}
    return _finish(office, tuple(outcomes), backups)


def resume(office: Office) -> tuple[Certificate, ...]:
    """Finish and certify destructions that were cut short; nothing else is destroyed.

    Raises:
        MachineFault: the machine would not do it.
    """
    left = [card for card in office.vault.cards(SORT) if "certificate" not in card.body]
    return _finish(office, (), ()).certificates if left or office.vault.unfinished() else ()


# --- first step -------------------------------------------------------------------------------------------------


def _destroy(office: Office, approval: Approval, item: Item, past: holds.Past) -> Outcome:
    """Look at everything again and, if nothing stands in the way, let the paper's rows go in the same transaction."""
    vault = office.vault
    with vault.transaction():
        kept = kept_paper(office, policy.in_force(office), item.paper)
        caught_by = past.catching(vault.paper(item.paper))
        why = still_barred(named(vault, approval.id), item, kept, caught_by, office.today)
        why = why or (RESTS if item.paper in rested_on(office) else "") or in_another(_ways(office, item.paper))
        if why:
            vault.record("disposal-refused", item.paper, {"approval": approval.id, "why": why})
            return Outcome(item.paper, approval.id, why)
        paper = vault.paper(item.paper)
        body = begun(office, approval, kept, paper)
        vault.destroy_paper(paper.id, "kept long enough", {"approval": approval.id, "rule": item.rule})
        vault.put_card(Card(SORT, paper.id, paper.entity, body), "disposal-begun", {"approval": approval.id})
    return Outcome(item.paper, approval.id)


def _ways(office: Office, paper: str) -> Iterator[tuple[str, str]]:
    """The papers that show pages of this one and are there, with what stands in the way of disposing of each."""
    active, in_force = holds.in_force(office.vault), policy.in_force(office)
    for other in same_pages(office, paper):
        if office.vault.stub(other) is None:
            kept = kept_paper(office, in_force, other)
            yield other, obstacle(kept, catching(active, kept.paper), office.today)


def still_barred(approval: Approval, item: Item, kept: Kept, caught_by: Sequence[Hold], today: date) -> str:
    """Why an approved paper must not be destroyed after all; empty when it may. Pure."""
    if item not in approval.items or item.paper != kept.paper.id:
        return "The approval is not for this paper."
    if lack := approval.lacks(today):
        return lack
    if why := obstacle(kept, caught_by, today):
        return why
    winner = kept.keep.winner
    if winner is None or (winner.rule, kept.keep.until) != (item.rule, item.until):
        return "What decides about it is not what was approved: rule or date have changed."
    return ""


# --- second and third step --------------------------------------------------------------------------------------


def _finish(office: Office, outcomes: tuple[Outcome, ...], places: Sequence[str]) -> Disposed:
    erased = office.vault.finish_destruction()
    reached = _reach(office, places)
    checked = erased.words if erased else "The catalog was searched when the destruction was finished."
    made = tuple(_certify(office, checked, reached))
    return Disposed(outcomes, made, reached.removed, reached.unreached)


def _reach(office: Office, places: Sequence[str]) -> _Backups:
    """Have every backup named forget the copies that hold a destroyed paper, once a new copy is there."""
    gone = [stub.id for stub in office.vault.stubs()]
    removed: list[str] = []
    unreached: list[tuple[str, str]] = []
    for where in places if gone else ():
        try:
            back_up_office(office, where)
            names = forget_papers(place_at(where), gone)
        except QuietusError as error:
            unreached.append((where, error.message))
            continue
        removed += names
        office.vault.record("backup-copies-removed", office.vault.id, {"copies": names})
    return _Backups(tuple(removed), tuple(unreached))


def _certify(office: Office, checked: str, reached: _Backups) -> Iterator[Certificate]:
    vault = office.vault
    pending = set(vault.unfinished())
    stubs = {stub.id: stub for stub in vault.stubs()}
    waiting = [card for card in vault.cards(SORT) if "certificate" not in card.body]
    waiting = [card for card in waiting if card.id in stubs and card.id not in pending]
    history = history_of(vault) if waiting else History()
    for card in waiting:
        copies = copies_known(card, history, [why for _, why in reached.unreached])
        tree = stated(office, card, stubs[card.id], checked, copies)
        certificate = sign_certificate(vault, tree)
        body = {"expected": card.body["expected"], "certificate": certificate_card(certificate)}
        details = {"certificate": dict(certificate.tree), "signature": certificate.json_signature.value}
        vault.put_card(Card(SORT, card.id, card.entity, body), "destruction-certified", details)
        yield certificate


# --- certificates -----------------------------------------------------------------------------------------------


def certificates(vault: Vault, entity: str | None = None) -> tuple[Certificate, ...]:
    """Every certificate, or those of one entity, oldest destruction first."""
    found = [certificate_of(c.body["certificate"]) for c in vault.cards(SORT, entity) if "certificate" in c.body]
    return tuple(sorted(found, key=lambda one: (one.tree["destroyed"]["finished"], one.paper)))


def certificate_named(vault: Vault, paper: str) -> Certificate:
    """The certificate of the only destroyed paper whose id begins so.

    Raises:
        Misuse: there is none, or more than one.
    """
    found = [one for one in certificates(vault) if paper and one.paper.startswith(paper)]
    if len(found) != 1:
        raise Misuse("There is no such certificate.", "See `quietus retain certificate` for all of them.")
    return found[0]


def destroy_again(
    office: Office, folders: Iterable[Path], told: Callable[[str], None] = lambda _: None
) -> tuple[str, ...]:
    """After an older copy of the vault was put back: destroy again what certificates kept elsewhere say was destroyed.

    Args:
        office: opened.
        folders: exported certificates.
        told: called with a sentence for each paper that stays.

    Returns:
        Ids of the papers that were destroyed again.

    Raises:
        BadData: a certificate is not one of this vault's. Those before it were heeded.
    """
    again = []
    for folder in folders:
        certificate = read_exported(office.vault, folder)
        sha256 = str(certificate.tree["paper"]["sha256"])
        same = (one for one in office.vault.papers() if one.id == certificate.paper and one.sha256 == sha256)
        paper = next(same, None)
        if paper is None:
            continue
        if holds.held(office.vault, paper):
            told(f"Paper {paper.id[:8]} is back, and a hold of the copy's time keeps it.")
            continue
        with office.vault.transaction():
            office.vault.destroy_paper(paper.id, "a certificate says that it was destroyed before")
            body = {"expected": paper.expected, "certificate": certificate_card(certificate)}
            office.vault.put_card(Card(SORT, paper.id, paper.entity, body), "destroyed-again")
        again.append(paper.id)
    office.vault.finish_destruction()
    return tuple(again)
