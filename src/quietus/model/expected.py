"""What the rules say a company must yield, and where each rule comes from."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from quietus.model.kinds import Kind


class Basis(StrEnum):
    """How far a source was followed when the rule was written down."""

    READ = "read"
    UNOFFICIAL = "read in a private summary"
    MEMORY = "from memory"
    PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a rule comes from.

    Attributes:
        cite: statute section, regulation, form line or agency page.
        basis: how it was followed.
        checked: the day somebody last looked.
    """

    cite: str
    basis: Basis
    checked: date

    def __str__(self) -> str:
        """One line for screens: cite, basis, date."""
        return f"{self.cite} ({self.basis}, checked {self.checked.isoformat()})"


class Need(StrEnum):
    """How strongly a paper is expected."""

    REQUIRED = "required"
    ADVISED = "advised"


@dataclass(frozen=True, slots=True)
class ExpectedPaper:
    """One paper that the rules say must, or should, be on file.

    Attributes:
        key: stable name `SCOPE/kind`, such as `OR/dissolution`, `US/final_return`, `company/consent`.
        scope: USPS code, FEDERAL or COMPANY.
        kind: the kind of paper that meets it.
        title: its official title there.
        titles: other titles seen for the same role.
        need: required or advised.
        issuer: the office or agency it comes from or is filed with.
        office_mark: True when it proves nothing without the office's stamp, file mark or acknowledgment.
        electronic: True when the office files electronically, so that a printed mark without ink is the office's mark.
        final_box: True when the return must be marked final.
        forms: form numbers that meet it, such as `1065`; empty when any will do.
        due: when it has to be filed; None when there is no date.
        extended: when it has to be filed if an extension was asked for in time; None when there is none.
        valid_days: how long it stays good after it is given, in days; None when the paper itself says or nothing does.
        supports: key of the filing that a clearance must still be good for; empty when none.
        after: keys of papers that must be dated on or before this one.
        note: what a preparer should know, in a sentence or two.
        sources: where all that comes from.
        next_step: what to do when it is missing, one sentence.
    """

    key: str
    scope: str
    kind: Kind
    title: str
    need: Need
    issuer: str
    sources: tuple[Source, ...]
    next_step: str
    titles: tuple[str, ...] = ()
    office_mark: bool = False
    electronic: bool = False
    final_box: bool = False
    forms: tuple[str, ...] = ()
    due: date | None = None
    extended: date | None = None
    valid_days: int | None = None
    supports: str = ""
    after: tuple[str, ...] = ()
    note: str = ""


def expected_key(scope: str, kind: Kind) -> str:
    """The stable key of the expected paper of `kind` in `scope`."""
    return f"{scope}/{kind.value}"


def kind_of(key: str) -> Kind:
    """The kind of paper that a key names: `PA/clearance` and `PA/clearance-labor` are both a clearance."""
    return Kind(key.rpartition("/")[2].partition("-")[0])
