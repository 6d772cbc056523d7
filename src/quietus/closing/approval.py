"""Who may go: what stands in the way of disposing of a paper, and the approvals of persons.

Nothing is ever disposed of because time has passed. A person looks at what is due and approves it, with a reason; when
the schedules or the approval ask for it, a second person does too.
"""

import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from quietus.closing import holds, parts, policy
from quietus.closing.clockwatch import believe_clock
from quietus.closing.closings import entity_named
from quietus.closing.consents import rested_on
from quietus.closing.keeping import Kept, kept_papers
from quietus.closing.office import Office
from quietus.model.errors import Misuse, Refused
from quietus.model.hold import Hold, catching
from quietus.model.retention import Clock
from quietus.vault import Card, Vault

SORT = "approval"
COUNTS_FOR = timedelta(days=90)
"""An approval that nobody carried out for so long has lapsed: what was looked at then may have changed."""
RESTS = "A consent that still holds rests on it."


@dataclass(frozen=True, slots=True)
class Given:
    """One person's approval.

    Attributes:
        by: the account.
        lock: id of the lock they opened the vault with, which tells persons apart who share an account.
        on: when.
        reason: why.
    """

    by: str
    lock: str
    on: date
    reason: str


@dataclass(frozen=True, slots=True)
class Item:
    """One paper that was approved for disposal, and what was approved of it.

    Attributes:
        paper: id.
        rule: id of the rule that decided.
        until: the last day it had to be kept.
    """

    paper: str
    rule: str
    until: date


@dataclass(frozen=True, slots=True)
class Approval:
    """An approval to dispose of some papers.

    Attributes:
        id: its own.
        first: who gave it.
        two: whether a second person has to give theirs.
        second: who gave the second; None while nobody has.
        items: the papers.
        withdrawn: why it was taken back; empty while it counts.
    """

    id: str
    first: Given
    two: bool
    second: Given | None
    items: tuple[Item, ...]
    withdrawn: str = ""

    def lacks(self, today: date) -> str:
        """What it lacks to be carried out, as a sentence; empty when nothing."""
        if self.withdrawn:
            return "The approval was withdrawn."
        if self.two and self.second is None:
            return "The approval of a second person is missing."
        if today > self.first.on + COUNTS_FOR:
            return f"The approval has lapsed: it is older than {COUNTS_FOR.days} days."
        return ""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A paper, and what stands in the way of disposing of it.

    Attributes:
        kept: the paper and how long it is kept.
        holds: the holds that keep it.
        obstacle: a sentence; empty when it is due.
    """

    kept: Kept
    holds: tuple[Hold, ...]
    obstacle: str


def obstacle(kept: Kept, caught_by: Sequence[Hold], today: date) -> str:
    """What stands in the way of disposing of a paper, as a sentence; empty when nothing does. Pure."""
    if caught_by:
        return f"It is held: {', '.join(hold.id for hold in caught_by)}."
    if kept.paper.waits:
        return "It waits for review: what is not surely read decides nothing."
    keep = kept.keep
    if keep.clock is not Clock.RUNS:
        return {
            Clock.PERMANENT: "It is kept permanently.",
            Clock.STANDS_STILL: "Its clock stands still: the event is not known.",
            Clock.NO_RULE: "No rule applies to it.",
        }[keep.clock]
    return "" if keep.over_on(today) else f"It is kept until {keep.until}."


def candidates(office: Office, asof: date, slug: str = "") -> tuple[Candidate, ...]:
    """Every paper, or those of one entity, with what stands in the way of disposing of it as of a day.

    Raises:
        Misuse: there is no such entity.
        BadData: a schedule is not as expected.
    """
    if slug:
        entity_named(office, slug)
    in_force, now = policy.in_force(office), holds.in_force(office.vault)
    shared = parts.all_same_pages(office)
    slugs: tuple[list[str] | None, ...] = ([slug],) if slug and not shared else (None, [""])
    found = {}
    for some in slugs:
        for kept in kept_papers(office, in_force, some):
            caught_by = catching(now, kept.paper)
            found[kept.paper.id] = Candidate(kept, caught_by, obstacle(kept, caught_by, asof))
    for paper in rested_on(office) & found.keys():
        found[paper] = replace(found[paper], obstacle=found[paper].obstacle or RESTS)
    for paper, others in shared.items():
        if paper in found and not found[paper].obstacle:
            ways = ((other, found[other].obstacle) for other in others if other in found)
            found[paper] = replace(found[paper], obstacle=in_another(ways))
    return tuple(one for one in found.values() if not slug or one.kept.paper.entity == slug)


def in_another(ways: Iterable[tuple[str, str]]) -> str:
    """What stands in the way of disposing of a paper because its pages stand in others; empty when nothing does.

    A file that was taken apart holds the pages of every paper in it, so all of them go or none.

    Args:
        ways: the others that are there, and what stands in the way of disposing of each.
    """
    return next((f"Its pages also stand in paper {other[:8]}. {way}" for other, way in ways if way), "")


def due(office: Office, asof: date, slug: str = "") -> tuple[Candidate, ...]:
    """The papers that may be disposed of as of a day, those that were due first at the front.

    A day that is not to come is answered only by a clock that can be believed.

    Raises:
        Misuse: there is no such entity.
        Refused: the clock can't be believed.
    """
    if asof <= office.today:
        believe_clock(office)
    ripe = [one for one in candidates(office, asof, slug) if not one.obstacle]
    return tuple(sorted(ripe, key=lambda one: (one.kept.keep.until or date.max, one.kept.paper.id)))


def approve(office: Office, papers: Iterable[str], reason: str, *, two: bool = False) -> Approval:
    """Approve that papers be disposed of. They stay until `dispose` is run, which looks at everything again.

    Args:
        office: opened.
        papers: ids, or their first digits.
        reason: why; goes into the certificate.
        two: whether a second person has to approve as well; the schedules may ask for it by themselves.

    Raises:
        Misuse: no paper, no reason, or a paper that is not on file.
        Refused: a paper is not due, or the clock can't be believed. Nothing is approved then.
    """
    if not reason.strip():
        raise Misuse("An approval needs a reason.", "Give it with --reason.")
    with office.vault.transaction():
        believe_clock(office)
        wanted = {office.vault.paper(one).id for one in papers}
        if not wanted:
            raise Misuse("No paper was named.", "Name papers, or give --all-due.")
        ripe = {one.kept.paper.id: one for one in candidates(office, office.today)}
        past = holds.Past(office.vault)
        for paper in sorted(wanted):
            one = ripe[paper]
            why = one.obstacle or obstacle(one.kept, past.catching(office.vault.paper(paper)), office.today)
            if why:
                raise Refused(
                    f"Paper {paper[:8]} is not due. {why}", "See `quietus retain due` and `quietus hold list`."
                )
        approval = Approval(
            id=secrets.token_hex(4),
            first=_given(office, reason),
            two=two or policy.in_force(office).now.schedules.second_person,
            second=None,
            items=tuple(_item(ripe[paper].kept) for paper in sorted(wanted)),
        )
        _put(office.vault, approval, "disposal-approved", {"papers": sorted(wanted), "reason": reason.strip()})
    return approval


def _item(kept: Kept) -> Item:
    keep = kept.keep
    if keep.until is None or keep.winner is None:
        raise Misuse("That paper has no day until which it is kept.", "See `quietus retain explain`.")
    return Item(kept.paper.id, keep.winner.rule, keep.until)


def approve_too(office: Office, approval_id: str, reason: str) -> Approval:
    """Give the second approval.

    Raises:
        Misuse: no such approval, none is asked for, or no reason.
        Refused: the vault is open under the lock of the first person.
    """
    if not reason.strip():
        raise Misuse("An approval needs a reason.", "Give it with --reason.")
    with office.vault.transaction():
        before = named(office.vault, approval_id)
        if not before.two or before.second or before.withdrawn:
            raise Misuse("That approval asks for no second one.", "See `quietus retain approvals`.")
        given = _given(office, reason)
        if given.lock == before.first.lock:
            raise Refused(
                "The first approval was given under the same lock.",
                "The second person opens the vault with a passphrase or key of their own: `quietus lock add`.",
            )
        approval = replace(before, second=given)
        _put(office.vault, approval, "disposal-approved-too", {"reason": reason.strip()})
    return approval


def withdraw(office: Office, approval_id: str, reason: str) -> Approval:
    """Take an approval back. What was destroyed under it stays destroyed.

    Raises:
        Misuse: no such approval, or no reason.
    """
    if not reason.strip():
        raise Misuse("Withdrawing an approval needs a reason.", "Give it with --reason.")
    with office.vault.transaction():
        approval = replace(named(office.vault, approval_id), withdrawn=reason.strip())
        _put(office.vault, approval, "disposal-approval-withdrawn", {"reason": reason.strip()})
    return approval


def named(vault: Vault, approval_id: str) -> Approval:
    """The only approval whose id begins so.

    Raises:
        Misuse: there is none, or more than one.
    """
    found = [one for one in approvals(vault) if approval_id and one.id.startswith(approval_id)]
    if len(found) != 1:
        raise Misuse("There is no such approval.", "See `quietus retain approvals`.")
    return found[0]


def approvals(vault: Vault) -> tuple[Approval, ...]:
    """Every approval, oldest first."""
    found = [_approval(card.id, card.body) for card in vault.cards(SORT)]
    return tuple(sorted(found, key=lambda one: (one.first.on, one.id)))


def _given(office: Office, reason: str) -> Given:
    return Given(office.who, office.vault.lock_in_use, office.today, reason.strip())


def _put(vault: Vault, approval: Approval, action: str, details: dict[str, Any]) -> None:
    body = {
        "first": given_tree(approval.first),
        "two": approval.two,
        "second": given_tree(approval.second) if approval.second else None,
        "items": [{"paper": i.paper, "rule": i.rule, "until": i.until.isoformat()} for i in approval.items],
        "withdrawn": approval.withdrawn,
    }
    vault.put_card(Card(SORT, approval.id, "", body), action, details)


def given_tree(given: Given) -> dict[str, str]:
    """One person's approval as plain JSON data."""
    return {"by": given.by, "lock": given.lock, "on": given.on.isoformat(), "reason": given.reason}


def _approval(approval_id: str, body: Mapping[str, Any]) -> Approval:
    second = body["second"]
    items = tuple(Item(i["paper"], i["rule"], date.fromisoformat(i["until"])) for i in body["items"])
    return Approval(
        approval_id, _given_of(body["first"]), body["two"], _given_of(second) if second else None, items,
        body["withdrawn"],
    )  # fmt: skip


def _given_of(tree: Mapping[str, str]) -> Given:
    return Given(tree["by"], tree["lock"], date.fromisoformat(tree["on"]), tree["reason"])
