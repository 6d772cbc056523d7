"""What `verify` has to say."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from quietus.model.expected import ExpectedPaper, Source


class Code(StrEnum):
    """Kinds of finding. The value is stable and appears in `verify --json`."""

    MISSING_JURISDICTION = "missing-jurisdiction"
    MISSING_PAPER = "missing-paper"
    NO_OFFICE_MARK = "no-office-mark"
    FINAL_BOX_EMPTY = "final-box-empty"
    CLEARANCE_MISSING = "clearance-missing"
    CLEARANCE_EXPIRED = "clearance-expired"
    CLEARANCE_TOO_EARLY = "clearance-before-final-return"
    FILED_BEFORE_CLEARANCE = "filed-before-clearance"
    DATES_OUT_OF_ORDER = "dates-out-of-order"
    PERIOD_MISMATCH = "period-mismatch"
    NAME_MISMATCH = "name-mismatch"
    EIN_MISMATCH = "ein-mismatch"
    FILE_NUMBER_MISMATCH = "file-number-mismatch"
    LATE = "late-unless-relief"
    WINDOW_MISSED = "window-missed"
    LATER_YEAR = "later-year-return"
    WINDING_UP_ONLY = "winding-up-only"
    STILL_OPEN = "still-open"
    FOREIGN_OPEN = "foreign-still-open"
    CLAIMS_OPEN = "claims-still-open"
    WAITING = "waiting-for-review"
    DESTROYED = "paper-destroyed"
    NO_RULES = "no-rules"


class Severity(StrEnum):
    """Whether a finding keeps the closing from being proven."""

    BLOCKS = "blocks"
    WARNS = "warns"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing `verify` has to say.

    Attributes:
        code: what kind of finding.
        severity: a closing with a finding that blocks is not proven.
        scope: USPS code, FEDERAL or COMPANY.
        expected: key of the expected paper concerned; empty when none.
        papers: ids of the papers concerned.
        says: one plain sentence.
        why: the rule behind it, in words.
        sources: where the rule comes from.
        next_step: what to do.
        who: who acts, such as `preparer`, `client`, `filing office`.
        missing: keys of every expected paper that the finding says is not on file.
    """

    code: Code
    severity: Severity
    scope: str
    expected: str
    papers: tuple[str, ...]
    says: str
    why: str
    sources: tuple[Source, ...]
    next_step: str
    who: str
    missing: tuple[str, ...] = ()


class Mark(StrEnum):
    """State of one cell of the matrix of jurisdictions by papers."""

    PROVEN = "proven"
    WAIVED = "waived"
    REVIEW = "review"
    FAULT = "fault"
    MISSING = "missing"
    ADVISED = "advised, not on file"
    NOT_EXPECTED = "not expected"


@dataclass(frozen=True, slots=True)
class Waiver:
    """The preparer's recorded decision that an expected paper does not apply.

    A waiver answers for a paper that is not there; it never hides a fault of a paper that is.

    Attributes:
        entity: slug.
        expected: key of the expected paper.
        reason: why it does not apply.
        source: what the preparer relies on.
        by: who decided.
        on: when.
    """

    entity: str
    expected: str
    reason: str
    source: str
    by: str
    on: date


@dataclass(frozen=True, slots=True)
class Line:
    """One expected paper and what answers for it.

    Attributes:
        expected: the expected paper.
        mark: its state.
        papers: ids of the papers filed under it, best first.
        waiver: the waiver that answers for it, if any.
    """

    expected: ExpectedPaper
    mark: Mark
    papers: tuple[str, ...] = ()
    waiver: Waiver | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """The state of one closing as of a day.

    Attributes:
        entity: slug.
        asof: the day asked about.
        lines: one for every expected paper, in the order shown.
        findings: worst first.
    """

    entity: str
    asof: date
    lines: tuple[Line, ...]
    findings: tuple[Finding, ...]

    @property
    def blocking(self) -> tuple[Finding, ...]:
        """The findings that keep the closing from being proven."""
        return tuple(f for f in self.findings if f.severity is Severity.BLOCKS)

    @property
    def proven(self) -> bool:
        """True when nothing keeps the closing from being proven."""
        return not self.blocking
