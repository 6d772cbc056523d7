"""Which journal entry filed a paper."""

from bisect import bisect_right
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime, timedelta

from sqlalchemy import Connection

from quietus.vault import journal
from quietus.vault.crypto import Keys
from quietus.vault.journal import Entry
from quietus.vault.moments import moments

_NEAR = timedelta(minutes=1)
"""How long after a paper was received its entry is looked for first: sealing the largest paper takes seconds."""


def filings(connection: Connection, keys: Keys, received: Mapping[str, datetime]) -> dict[str, int]:
    """Numbers of the entries that filed papers.

    An entry takes ten times as long to open as to look at, so those written soon after a paper was received are opened
    first, and all others only when a clock was set between.

    Args:
        connection: to the catalog.
        keys: of the vault.
        received: by paper, when it was received.
    """
    soon = _soon_after(connection, sorted(received.values()))
    found = _first(journal.picked(connection, keys, soon), received)
    return found if len(found) == len(received) else _first(journal.entries(connection, keys), received)


def _first(entries: Iterable[Entry], papers: Collection[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for entry in entries:
        if entry.action == "paper-filed" and entry.about in papers:
            found.setdefault(entry.about, entry.number)
    return found


def _soon_after(connection: Connection, times: list[datetime]) -> Iterator[int]:
    for number, at in moments(connection, 0):
        before = bisect_right(times, at)
        if before and at - times[before - 1] < _NEAR:
            yield number
