"""Months of work at random on a real vault, against a second reckoning of what may go: no more goes, and no less."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

import pytest

from quietus.closing import holds
from quietus.closing.approval import approve, due
from quietus.closing.clockwatch import confirm_clock
from quietus.closing.disposal import certificates, dispose
from quietus.closing.office import Office
from quietus.closing.policy import accept
from quietus.model.errors import Misuse, Refused
from quietus.model.hold import Hold
from quietus.vault import check_vault
from tests.closing.quick import clock, office, office_pattern, quick_locks, tmp_path
from tests.closing.retained import Clock, file, write_policy

__all__ = ["clock", "office", "office_pattern", "quick_locks", "tmp_path"]

STEPS = 60


@dataclass
class Books:
    """What a careful clerk would write down.

    Attributes:
        signed: day each paper was signed; None when not known for sure.
        held: for each hold that is set, the papers and the span of days that it is on.
        approved: for each paper approved, the last days it had to be kept and when that was.
        gone: papers that may be gone.
    """

    signed: dict[str, date | None] = field(default_factory=dict)
    held: dict[str, tuple[str, date, date]] = field(default_factory=dict)
    approved: list[tuple[str, date, date]] = field(default_factory=list)
    gone: set[str] = field(default_factory=set)
    now_years: int = 1
    accepted_years: int = 1

    def until(self, paper: str) -> date | None:
        signed, years = self.signed[paper], max(self.now_years, self.accepted_years)
        if signed is None:
            return None
        leap = (signed.month, signed.day) == (2, 29) and (signed.year + years) % 4
        return date(signed.year + years, 3, 1) if leap else signed.replace(year=signed.year + years)

    def is_held(self, paper: str) -> bool:
        signed = self.signed[paper]
        return any(
            (not one or one == paper) and (signed is None or first <= signed <= last)
            for one, first, last in self.held.values()
        )

    def ripe(self, paper: str, today: date) -> bool:
        until = self.until(paper)
        return until is not None and until < today and not self.is_held(paper)

    def may_go(self, today: date) -> set[str]:
        return {
            paper
            for paper, until, on in self.approved
            if paper not in self.gone and self.ripe(paper, today) and self.until(paper) == until
            and today <= on + timedelta(days=90)
        }  # fmt: skip


class Clerk:
    """Does one thing at a time in the office, and writes it down."""

    def __init__(self, office: Office, clock: Clock, seed: int) -> None:
        self.office, self.clock, self.chance, self.books = office, clock, Random(seed), Books()

    def live(self) -> list[str]:
        return sorted(set(self.books.signed) - self.books.gone)

    def file(self) -> None:
        day = self.chance.choice([date(2024, 2, 29), date(2025, 1, 31), self._day()])
        sure = self.chance.random() < 0.8
        paper = file(
            self.office, b"%d" % len(self.books.signed), signed=day.isoformat(), doubts=() if sure else ("signed_date",)
        )
        self.books.signed[paper.id] = day if sure else None

    def _day(self) -> date:
        return date(2022, 1, 1) + timedelta(self.chance.randrange(1700))

    def hold(self) -> None:
        paper = self.chance.choice(["", *self.live()])
        first = self._day()
        last = first + timedelta(days=self.chance.choice([0, 200]))
        wanted = Hold("", "a matter", "", self.office.today, paper=paper, since=first, until=last)
        self.books.held[holds.set_hold(self.office, wanted).id] = (paper, first, last)

    def release(self) -> None:
        if self.books.held:
            gone = self.chance.choice(sorted(self.books.held))
            holds.release_hold(self.office, gone, "settled")
            del self.books.held[gone]

    def change_policy(self) -> None:
        self.books.now_years = self.chance.choice([1, 1, 2, 3])
        write_policy(self.office, f"{self.books.now_years} years")

    def accept(self) -> None:
        try:
            accept(self.office, "a new manual", 0)
        except Misuse:
            return
        self.books.accepted_years = self.books.now_years

    def wait(self) -> None:
        self.clock.now += timedelta(days=self.chance.randrange(1, 40))
        self.office.vault.record("noted", "", {})

    def leap(self) -> None:
        back = self.chance.random() < 0.3
        self.clock.now += timedelta(days=-3 if back else 60)
        with pytest.raises(Refused):
            due(self.office, self.office.today)
        if self.chance.random() < 0.5:
            self.office.vault.record("noted", "", {})
        confirm_clock(self.office, "looked at the phone")

    def approve(self) -> None:
        wanted = [paper for paper in self.live() if self.chance.random() < 0.4]
        today = self.office.today
        if wanted and all(self.books.ripe(paper, today) for paper in wanted):
            approve(self.office, wanted, "time is over")
            self.books.approved += [(p, until, today) for p in wanted if (until := self.books.until(p))]
        elif wanted:
            with pytest.raises(Refused):
                approve(self.office, wanted, "time is over")
            self.approve_due()

    def approve_due(self) -> None:
        today = self.office.today
        ripe = [paper for paper in self.live() if self.books.ripe(paper, today)]
        assert sorted(one.kept.paper.id for one in due(self.office, today)) == ripe
        if ripe and self.chance.random() < 0.5:
            approve(self.office, ripe, "time is over")
            self.books.approved += [(p, until, today) for p in ripe if (until := self.books.until(p))]

    def dispose(self) -> None:
        expected = self.books.may_go(self.office.today)
        made = dispose(self.office)
        assert {one.paper for one in made.certificates} == expected
        self.books.gone |= expected


@pytest.mark.parametrize("seed", [1, 3])
def test_what_goes_is_what_a_careful_clerk_would_let_go(office: Office, clock: Clock, seed: int) -> None:
    clerk = Clerk(office, clock, seed)
    steps = [
        clerk.file, clerk.file, clerk.hold, clerk.release, clerk.change_policy, clerk.accept, clerk.wait, clerk.leap,
        clerk.approve, clerk.approve, clerk.dispose, clerk.dispose,
    ]  # fmt: skip
    for _ in range(STEPS):
        clerk.chance.choice(steps)()
        assert {stub.id for stub in office.vault.stubs()} == clerk.books.gone
    assert clerk.books.gone, "something was disposed of"
    assert {one.paper for one in certificates(office.vault)} == clerk.books.gone
    assert sorted(paper.id for paper in office.vault.papers()) == clerk.live()
    assert check_vault(office.vault).sound
