"""The retention policy that was promised: the schedules in force when papers were filed, kept in the vault.

A schedule that is made longer counts at once. One that is made shorter counts for papers on file only after a person
has accepted it, with a reason: until then each paper is kept as long as the longer of the two says.
"""

import base64
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from quietus.closing.office import Office
from quietus.model.errors import BadData, Misuse
from quietus.model.retention import Keep
from quietus.rules import Keeper, default_schedule_folder, schedule_texts, schedules_of
from quietus.vault import Card

SORT, ID = "policy", "accepted"


@dataclass(frozen=True, slots=True)
class Accepted:
    """The schedules that were accepted last.

    Attributes:
        texts: the files, by name.
        digest: their hash, hex.
        by: who accepted them.
        on: when.
        reason: why; empty for those that came first.
    """

    texts: Mapping[str, bytes]
    digest: str
    by: str
    on: date
    reason: str


@dataclass(frozen=True, slots=True)
class InForce:
    """What papers are kept by.

    Attributes:
        now: the schedules as they stand in their folder.
        accepted: those that were accepted last; the same as `now` when nothing was changed since.
        digest: hash of the schedules as they stand, hex.
    """

    now: Keeper
    accepted: Keeper
    digest: str

    @property
    def changed(self) -> bool:
        """Whether the schedules were changed since they were accepted."""
        return self.now is not self.accepted


def texts_now(office: Office) -> dict[str, bytes]:
    """The office's schedule files; those that come with quietus when it has none."""
    folder = office.config.retention
    return schedule_texts((folder,) if folder.is_dir() else (default_schedule_folder(),))


def digest_of(texts: Mapping[str, bytes]) -> str:
    """Hash of schedule files, hex."""
    digest = hashlib.sha256()
    for name in sorted(texts):
        digest.update(f"{name}\0{len(texts[name])}\0".encode() + texts[name])
    return digest.hexdigest()


def accepted(office: Office) -> Accepted | None:
    """The schedules that were accepted last; None while none were."""
    card = office.vault.card(SORT, ID)
    if card is None:
        return None
    body = card.body
    texts = {name: base64.b64decode(text) for name, text in body["files"].items()}
    return Accepted(texts, body["digest"], body["by"], date.fromisoformat(body["on"]), body["reason"])


def remember_policy(office: Office) -> None:
    """Keep the schedules as they stand, if none are kept yet: what is filed now is promised by them."""
    if office.vault.card(SORT, ID) is None:
        _put(office, texts_now(office), "", {})


def in_force(office: Office) -> InForce:
    """What papers are kept by.

    Raises:
        BadData: a schedule is not as expected.
    """
    texts = texts_now(office)
    digest, before = digest_of(texts), accepted(office)
    now = Keeper(schedules_of(texts))
    if before is None or before.digest == digest:
        return InForce(now, now, digest)
    try:
        return InForce(now, Keeper(schedules_of(before.texts)), digest)
    except BadData as error:
        raise Misuse(
            "The schedules that were accepted last can't be read any more, so nothing can be compared with them.",
            f"Look at what changed ({error.key}), and run `quietus retain accept --reason …`.",
        ) from error


def longer(before: Keep, now: Keep) -> Keep:
    """Of what was promised and what the schedules say now, whichever keeps longer."""
    return before if before.lasts_longer_than(now) else now


def accept(office: Office, reason: str, shortened: int) -> None:
    """Record that the schedules as they stand count for what is on file, even where they are shorter.

    Args:
        office: opened.
        reason: why.
        shortened: papers on file that are kept less long by it, for the journal.

    Raises:
        Misuse: no reason is given, or nothing was changed.
        BadData: a schedule is not as expected.
    """
    if not reason.strip():
        raise Misuse("Accepting a changed policy needs a reason.", "Give it with --reason.")
    texts = texts_now(office)
    schedules_of(texts)
    before = accepted(office)
    if before is not None and before.digest == digest_of(texts):
        raise Misuse("The schedules are those that were accepted.", "There is nothing to accept.")
    _put(office, texts, reason.strip(), {"shortened": shortened})


def _put(office: Office, texts: Mapping[str, bytes], reason: str, details: dict[str, Any]) -> None:
    body = {
        "files": {name: base64.b64encode(text).decode() for name, text in texts.items()},
        "digest": digest_of(texts),
        "by": office.who,
        "on": office.today.isoformat(),
        "reason": reason,
    }
    office.vault.put_card(Card(SORT, ID, "", body), "policy-accepted", {"digest": body["digest"], **details})
