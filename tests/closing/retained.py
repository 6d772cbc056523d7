"""An office with a clock that can be set and schedules of its own, for tests of holds and disposal."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from quietus.closing.clockwatch import confirm_clock
from quietus.closing.office import Office, found_office, open_office
from quietus.closing.policy import remember_policy
from quietus.model.paper import Paper, Standing
from tests.closing.make import ENTITY, reading

PASSPHRASE = b"test passphrase, not a secret"
POLICY = """\
title = "For tests"
[sources.manual]
cite = "Closings manual, page 20"
basis = "common practice, no source"
checked = 2026-11-25
[rules.consents]
title = "Consents"
kinds = ["consent"]
trigger = "signed"
period = "{consents}"
past_ceiling = "shows who decided"
sources = ["manual"]
[rules.clearances]
title = "Clearances"
kinds = ["clearance"]
trigger = "filed"
period = "permanent"
past_ceiling = "proof of closure"
sources = ["manual"]
"""


@dataclass
class Clock:
    """A clock that stands until it is set; each look moves it by a millisecond."""

    now: datetime = datetime(2026, 11, 20, 17, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(milliseconds=1)
        return self.now

    def set_to(self, day: date) -> None:
        """Noon of a day."""
        self.now = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)


def write_policy(office: Office, consents: str = "1 year", more: str = "") -> None:
    """The office's only schedule file."""
    (office.config.retention / "tests.toml").write_text(POLICY.format(consents=consents) + more, encoding="utf-8")


def made_office(home: Path, clock: Callable[[], datetime], *, consents: str = "1 year") -> Office:
    """A new office that has nothing but the schedules above and one entity."""
    config = found_office(home, PASSPHRASE, clock=clock)
    for file in config.retention.iterdir():
        file.unlink()
    office = open_office(home, PASSPHRASE, clock=clock)
    write_policy(office, consents)
    office.vault.put_entity(ENTITY)
    remember_policy(office)
    return office


def file(
    office: Office,
    data: bytes = b"a paper",
    *,
    kind: str = "consent",
    signed: str = "2025-03-01",
    doubts: tuple[str, ...] = (),
    **more: str | bool,
) -> Paper:
    """File a paper of the entity."""
    days = {"signed_date": signed} if signed else {}
    return office.vault.file_paper(
        data,
        name="quillfeather.pdf",
        media_type="application/pdf",
        pages=1,
        standing=Standing.FILED,
        entity=ENTITY.slug,
        expected="company/consent" if kind == "consent" else f"OR/{kind}",
        reading=reading(doubts, kind=kind, jurisdiction="OR", **days, **more),
    )


def later(office: Office, clock: Clock, day: date) -> None:
    """Let time pass, and have a person say that the clock is right."""
    clock.set_to(day)
    confirm_clock(office, "looked at the phone")
