"""May the clock be believed? A disposal asks, since a clock set ahead would make everything ripe.

The clock is compared with the journal: its entries, and then this moment, must follow each other without going back by
more than an hour and without leaping ahead by more than 45 days. Where they do not, a person has to say that the clock
is right; that is entered in the journal, and counts from there on.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta

from quietus.closing.office import Office
from quietus.model.errors import Misuse, Refused
from quietus.vault import Card

SORT, ID = "clock", "confirmed"
BACK = timedelta(hours=1)
AHEAD = timedelta(days=45)
"""The network puts a clock right that is an hour behind; an office in which nothing is done for 45 days is rare."""

_REMEDY = "Look at the machine's date. When it is right, say so with `quietus retain clock-is-right --reason …`."


def doubt(times: Iterable[datetime], now: datetime) -> str:
    """Why the clock can't be believed, as a sentence; empty when it can.

    Args:
        times: of journal entries, in the order they were written.
        now: what the clock says.
    """
    before: datetime | None = None
    for at in (*times, now):
        if before is not None and at < before - BACK:
            return f"The clock went back from {before:%Y-%m-%d %H:%M} to {at:%Y-%m-%d %H:%M} UTC."
        if before is not None and at > before + AHEAD:
            return f"The clock leapt ahead from {before:%Y-%m-%d} to {at:%Y-%m-%d}."
        before = at if before is None else max(before, at)
    return ""


def believe_clock(office: Office) -> None:
    """Raise unless the clock follows from the journal.

    Raises:
        Refused: it went back, or leapt ahead, and nobody has said that it is right.
    """
    card = office.vault.card(SORT, ID)
    after = int(card.body["after"]) if card else 0
    why = doubt((at for _, at in office.vault.moments(after)), office.clock())
    if why:
        raise Refused(f"{why} Nothing is due by a clock like that.", _REMEDY)


def confirm_clock(office: Office, reason: str) -> None:
    """Record that a person looked at the clock and that it is right.

    Raises:
        Misuse: no reason is given.
    """
    if not reason.strip():
        raise Misuse("Say how you know that the clock is right.", "Give it with --reason.")
    with office.vault.transaction():
        last = max((number for number, _ in office.vault.moments()), default=0)
        body = {"after": last, "by": office.who, "at": office.clock().isoformat(), "reason": reason.strip()}
        office.vault.put_card(Card(SORT, ID, "", body), "clock-confirmed", {"reason": reason.strip()})
