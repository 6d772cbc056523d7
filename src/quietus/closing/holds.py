"""Holds: set, listed, released. What a hold catches is asked anew each time it matters."""

import secrets
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from quietus.closing.closings import entity_named
from quietus.closing.office import Office
from quietus.model.entity import COMPANY, FEDERAL, JURISDICTIONS
from quietus.model.errors import Misuse
from quietus.model.facts import PaperFacts, facts_of
from quietus.model.hold import Hold, Released, catching
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.vault import Card, Vault

SORT = "hold"


def set_hold(office: Office, wanted: Hold, *, everything: bool = False) -> Hold:
    """Set a hold; it counts from now on, for what is on file and for what comes.

    Args:
        office: opened.
        wanted: the hold; its id, who set it and when are filled in here.
        everything: whether a hold that names nothing is meant.

    Raises:
        Misuse: no reason; nothing is named; entity, paper, jurisdiction or kind is not known; days are out of order.
    """
    if not wanted.reason.strip():
        raise Misuse("A hold needs a reason.", "Give it with --reason.")
    hold = replace(wanted, id=secrets.token_hex(4), reason=wanted.reason.strip(), by=office.who, on=office.today)
    if hold.scope == "every paper" and not everything:
        raise Misuse("The hold names nothing.", "Say what it is for, or give --everything.")
    _check(office, hold)
    if hold.paper:
        hold = replace(hold, paper=office.vault.paper(hold.paper).id)
    office.vault.put_card(Card(SORT, hold.id, hold.entity, hold_tree(hold)), "hold-set", {"hold": hold_tree(hold)})
    return hold


def _check(office: Office, hold: Hold) -> None:
    if hold.entity:
        entity_named(office, hold.entity)
    if hold.jurisdiction and hold.jurisdiction not in JURISDICTIONS | {FEDERAL, COMPANY}:
        raise Misuse("There is no such jurisdiction.", "Give a USPS code such as OR, or US, or company.")
    known = {kind.value for kind in Kind}
    if not hold.kinds <= known:
        raise Misuse("There is no such kind of paper.", f"Kinds are: {', '.join(sorted(known))}.")
    if hold.since and hold.until and hold.until < hold.since:
        raise Misuse("The last day of the hold's span lies before its first.", "Give --from and --to in order.")
    if hold.review and hold.review < hold.on:
        raise Misuse("The review date lies in the past.", "Give a day to come with --review.")


def release_hold(office: Office, hold_id: str, reason: str) -> Hold:
    """Release a hold. Nothing is shortened and nothing destroyed: its papers are in the ordinary course again.

    Raises:
        Misuse: there is no such hold, it was released before, or no reason is given.
    """
    if not reason.strip():
        raise Misuse("Releasing a hold needs a reason.", "Give it with --reason.")
    with office.vault.transaction():
        found = [hold for hold in holds(office.vault) if hold_id and hold.id.startswith(hold_id)]
        if len(found) != 1:
            raise Misuse("There is no such hold.", "See `quietus hold list` for the ids.")
        if found[0].released:
            raise Misuse("That hold was released before.", "There is nothing to release.")
        hold = replace(found[0], released=Released(office.who, office.today, reason.strip()))
        office.vault.put_card(
            Card(SORT, hold.id, hold.entity, hold_tree(hold)), "hold-released", {"reason": reason.strip()}
        )
    return hold


def holds(vault: Vault) -> tuple[Hold, ...]:
    """Every hold, released or not, oldest first."""
    found = [hold_of(card.id, card.body) for card in vault.cards(SORT)]
    return tuple(sorted(found, key=lambda hold: (hold.on, hold.id)))


def in_force(vault: Vault) -> tuple[Hold, ...]:
    """The holds that hold."""
    return tuple(hold for hold in holds(vault) if hold.released is None)


def held(vault: Vault, paper: Paper) -> bool:
    """Whether a hold keeps a paper."""
    return bool(catching(in_force(vault), facts_of(paper)))


class Past:
    """How papers were read and filed before. A hold follows a paper that was corrected or moved out of its reach."""

    def __init__(self, vault: Vault) -> None:
        self._vault = vault
        self._filings: dict[str, set[tuple[str, str, str]]] | None = None

    def catching(self, paper: Paper) -> tuple[Hold, ...]:
        """The holds in force that keep a paper as it is, or as it was read or filed at any time before."""
        active = in_force(self._vault)
        if not active:
            return ()
        states = [facts_of(paper), *self._former(paper)]
        return tuple(hold for hold in active if any(hold.catches(state) for state in states))

    def _former(self, paper: Paper) -> Iterator[PaperFacts]:
        if self._filings is None:
            self._filings = _filings(self._vault)
        for _, _, reading in self._vault.readings(paper.id):
            for standing, entity, expected in self._filings.get(paper.id, ()):
                yield facts_of(
                    replace(paper, reading=reading, standing=Standing(standing), entity=entity, expected=expected)
                )


def _filings(vault: Vault) -> dict[str, set[tuple[str, str, str]]]:
    """Every standing, entity and expected paper that each paper ever had, from the journal."""
    found: dict[str, set[tuple[str, str, str]]] = {}
    for entry in vault.journal():
        if entry.action == "paper-filed":
            told = [entry.details]
        elif entry.action == "paper-reread":
            told = [entry.details["old"], entry.details["new"]]
        else:
            continue
        known = found.setdefault(entry.about, set())
        known.update((one["standing"], one["entity"], one["expected"]) for one in told)
    return found


def hold_tree(hold: Hold) -> dict[str, Any]:
    """A hold as plain JSON data."""
    released = hold.released
    return {
        "reason": hold.reason,
        "by": hold.by,
        "on": hold.on.isoformat(),
        "review": _text(hold.review),
        "entity": hold.entity,
        "paper": hold.paper,
        "jurisdiction": hold.jurisdiction,
        "kinds": sorted(hold.kinds),
        "since": _text(hold.since),
        "until": _text(hold.until),
        "released": {"by": released.by, "on": released.on.isoformat(), "reason": released.reason} if released else None,
    }


def hold_of(hold_id: str, body: Mapping[str, Any]) -> Hold:
    """The hold in a card."""
    gone = body["released"]
    return Hold(
        id=hold_id,
        reason=body["reason"],
        by=body["by"],
        on=date.fromisoformat(body["on"]),
        review=_day(body["review"]),
        entity=body["entity"],
        paper=body["paper"],
        jurisdiction=body["jurisdiction"],
        kinds=frozenset(body["kinds"]),
        since=_day(body["since"]),
        until=_day(body["until"]),
        released=Released(gone["by"], date.fromisoformat(gone["on"]), gone["reason"]) if gone else None,
    )


def _text(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
