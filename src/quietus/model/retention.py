"""How long a paper is kept."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from quietus.model.expected import Source


class Trigger(StrEnum):
    """The event a period runs from. A paper whose event is not known has a clock that stands still."""

    FILED = "filed"  # the filing office's date on the paper
    LATER_OF_FILED_AND_DUE = "later-of-filed-and-due"  # 26 U.S.C. 6501(b)(1)
    DUE = "due"
    SIGNED = "signed"
    HOME_DISSOLVED = "home-dissolved"  # the date of the filing that ended the company at home
    RECEIVED = "received"  # the day the paper came into the vault
    PRESENTED = "presented"  # a return presented for signature, 26 U.S.C. 6107(b); its signature is never earlier
    LATER_OF_DUE_AND_PAID = "later-of-due-and-paid"  # 26 CFR 31.6001-1(e)(2); no paper shows the payment by itself
    LAST_USE = "last-use"  # of customer information, 16 CFR 314.4(c)(6); recorded by a person
    ENGAGEMENT_END = "engagement-end"  # recorded by a person
    EMPLOYMENT_END = "employment-end"  # recorded by a person; 8 CFR 274a.2(b)(2)
    CLEARED = "cleared"  # the newest tax clearance of the paper's jurisdiction
    DISSOLVED_OR_PUBLISHED = "later-of-dissolved-and-published"  # claims are barred from the later of the two on


RECORDED = {
    "paid": "the tax was paid",
    "presented": "the return was presented for signature",
    "last-use": "the information was last used to serve the client",
    "engagement-end": "the engagement ended",
    "employment-end": "the last employment ended",
    "published": "the notice to creditors was published",
}
"""Events that a person can record, for one paper or for a whole entity, because no paper need show them."""


class Clock(StrEnum):
    """State of a paper's retention clock."""

    RUNS = "runs"
    STANDS_STILL = "stands still"  # the event is not known: the paper is kept
    PERMANENT = "permanent"
    NO_RULE = "no rule"


@dataclass(frozen=True, slots=True)
class Applied:
    """One retention rule applied to one paper.

    Attributes:
        rule: the rule's id.
        title: what it is called.
        trigger: the event.
        from_day: the event's date; None while not known.
        until: last day the paper must be kept; None when permanent or when the clock stands still.
        period: the period in words, such as `7 years` or `permanent`.
        sources: where the rule comes from.
    """

    rule: str
    title: str
    trigger: Trigger
    from_day: date | None
    until: date | None
    period: str
    sources: tuple[Source, ...]

    @property
    def permanent(self) -> bool:
        """True when the rule never lets the paper go."""
        return self.period == "permanent"


@dataclass(frozen=True, slots=True)
class Keep:
    """How long one paper is kept: the longest of the rules that apply.

    Attributes:
        clock: whether the clock runs.
        until: last day the paper must be kept, when the clock runs.
        winner: the rule that decided; None when there is no rule.
        applied: every rule that applied, longest first.
    """

    clock: Clock
    until: date | None
    winner: Applied | None
    applied: tuple[Applied, ...]

    @property
    def reach(self) -> tuple[int, date]:
        """What sorts keeps by how long they keep: a paper without a rule is kept until somebody makes one."""
        order = {Clock.RUNS: 0, Clock.STANDS_STILL: 1, Clock.NO_RULE: 2, Clock.PERMANENT: 3}
        return order[self.clock], self.until or date.min

    def lasts_longer_than(self, other: "Keep") -> bool:
        """Whether this one keeps the paper longer than `other` would."""
        return self.reach > other.reach

    def over_on(self, today: date) -> bool:
        """Whether the last day that the paper must be kept lies before `today`."""
        return self.clock is Clock.RUNS and self.until is not None and self.until < today
