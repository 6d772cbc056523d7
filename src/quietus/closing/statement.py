"""What a certificate of destruction states: what is known before, what was done, and what is known of copies."""

import hashlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC
from pathlib import Path
from typing import Any

from quietus.closing import holds, policy
from quietus.closing.approval import Approval, given_tree
from quietus.closing.keeping import Kept
from quietus.closing.office import Office
from quietus.model.errors import Misuse
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Stub
from quietus.vault import Card, Vault

CAUTION = (
    "This certificate states what one vault did with one paper that it kept. It does not say that no copy exists "
    "elsewhere: not of the vault's folder, made by other means, not on paper, not of what was sent to anybody. Old "
    "blocks of a disk are written over by the disk in its own time; what they may hold is sealed. Not legal or tax "
    "advice."
)
HOW = (
    "The paper's own key was deleted from the encrypted catalog, with every reading, value and name; the sealed bytes, "
    "which nothing opens any more, were removed."
)


def begun(office: Office, approval: Approval, kept: Kept, paper: Paper) -> dict[str, Any]:
    """What the certificate will state that is known now and gone afterwards; no client data."""
    winner = kept.keep.winner
    if winner is None:
        raise Misuse("That paper has no rule.", "See `quietus retain explain`.")
    second = given_tree(approval.second) if approval.second else None
    return {
        "expected": paper.expected,
        "paper": {
            "id": paper.id,
            "sha256": paper.sha256,
            "bytes": paper.size,
            "pages": paper.pages,
            "received": paper.received.date().isoformat(),
            "what": _what(paper),
        },
        "rule": {
            "id": winner.rule,
            "title": winner.title,
            "trigger": winner.trigger.value,
            "from": str(winner.from_day),
            "period": winner.period,
            "until": str(winner.until),
            "sources": [str(source) for source in winner.sources],
            "others": [{"id": one.rule, "until": str(one.until)} for one in kept.keep.applied[1:]],
        },
        "schedules": policy.in_force(office).digest,
        "holds": f"{len(holds.in_force(office.vault))} in force, none caught it; looked at as it was destroyed",
        "approved": {"approval": approval.id, **given_tree(approval.first), "second": second},
        "begun": office.clock().astimezone(UTC).isoformat(timespec="seconds"),
        "by": office.who,
        "inbox": _in_inbox(office.config.inbox, paper),
    }


def _what(paper: Paper) -> str:
    kind = Kind(paper.reading.text("kind") or Kind.OTHER).words
    return " ".join(part for part in (paper.reading.text("jurisdiction"), kind) if part)


def _in_inbox(inbox: Path, paper: Paper) -> int:
    """How many files with the paper's bytes lie in the inbox and its quarantine."""
    try:
        same = [p for p in inbox.rglob("*") if p.is_file() and not p.is_symlink() and p.stat().st_size == paper.size]
        return sum(hashlib.sha256(path.read_bytes()).hexdigest() == paper.sha256 for path in same)
    except OSError:
        return 0


def stated(office: Office, card: Card, stub: Stub, checked: str, copies: list[str]) -> dict[str, Any]:
    """What a certificate states, once the destruction is finished.

    Args:
        office: opened.
        card: what `begun` gave.
        stub: what is left of the paper.
        checked: how it was made sure that nothing is left in the catalog, as a sentence.
        copies: what is known of copies, as sentences.
    """
    known = card.body
    return {
        **{name: known[name] for name in ("paper", "rule", "schedules", "holds", "approved")},
        "destroyed": {
            "begun": stub.destroyed.isoformat(timespec="seconds"),
            "finished": office.clock().astimezone(UTC).isoformat(timespec="seconds"),
            "by": known["by"],
            "how": HOW,
            "checked": checked,
        },
        "copies": copies,
        "stays": _stays(card),
        "caution": CAUTION,
    }


def _stays(card: Card) -> list[str]:
    words = [
        "A stub: id, SHA-256, sizes, days. The register of entities.",
        "Journal entries about the paper, sealed: id, hash, size, what it was filed under, reasons that people typed.",
    ]
    if card.body["inbox"]:
        words.append(f"{card.body['inbox']} files with the same bytes in the inbox or its quarantine, left alone.")
    return words


@dataclass(frozen=True, slots=True)
class History:
    """What the journal tells of copies of papers.

    Attributes:
        filed: number of the entry with which a paper was filed, by its id.
        begun: number of the entry with which its destruction began, by its id.
        copies: number of the entry with which a copy was made, by its name.
        removed: names of copies that were removed since.
        bundles: how many bundles a paper went into, by its id.
    """

    filed: dict[str, int] = field(default_factory=dict)
    begun: dict[str, int] = field(default_factory=dict)
    copies: dict[str, int] = field(default_factory=dict)
    removed: set[str] = field(default_factory=set)
    bundles: Counter[str] = field(default_factory=Counter)


def history_of(vault: Vault) -> History:
    """What the journal tells of copies of papers; opens every entry."""
    told = History()
    numbers = {"paper-filed": told.filed, "destruction-begun": told.begun, "backup-made": told.copies}
    for entry in vault.journal():
        if entry.action in numbers:
            numbers[entry.action][entry.about] = entry.number
        elif entry.action == "backup-copies-removed":
            told.removed.update(entry.details["copies"])
        elif entry.action == "bundle-made":
            told.bundles.update(entry.details.get("papers", ()))
    return told


def copies_known(card: Card, history: History, unreached: Sequence[str]) -> list[str]:
    """What is known of copies of the paper, as sentences."""
    first, last = history.filed.get(card.id, 0), history.begun.get(card.id, 0)
    made = [name for name, number in history.copies.items() if first < number < last]
    gone, left = ([name for name in made if (name in history.removed) is out] for out in (True, False))
    words = [f"A backup could not be reached: {why}" for why in unreached]
    if gone:
        words.append(f"Backup copies that held the paper and were removed: {', '.join(gone)}.")
    if left:
        words.append(
            f"Backup copies made while the paper was on file, and not reached: {', '.join(left)}. Whoever has one of "
            "them, and what opened the vault then, can open the paper in it."
        )
    if not made:
        words.append("The journal knows of no backup copy made while the paper was on file.")
    if bundles := history.bundles[card.id]:
        words.append(f"The paper went into {bundles} bundles that were made for others; they are not in the vault.")
    return words
