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

    @property
    def unread(self) -> bool:
        """True when nothing was read: check it before you rely on it."""
        return self in {Basis.MEMORY, Basis.PRACTICE}


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
class Window:
    """A time within which a paper has to follow another one.

    Attributes:
        after: key of the other paper; the window opens on its day.
        months: how long, in months; 0 when counted in days.
        days: how long, in days; 0 when counted in months.
        request: True when it is the asking for the paper that has to fall into the window, not the paper's own date.
    """

    after: str
    months: int
    days: int
    request: bool

    @property
    def words(self) -> str:
        """How long it is, such as `12 months`."""
        return f"{self.months} months" if self.months else f"{self.days} days"


@dataclass(frozen=True, slots=True)
class Claims:
    """How long creditors of a dissolved company may bring their claims.

    Attributes:
        days: fewest days that a notice must leave a known creditor.
        counted_from: what they are counted from, in words, such as `the day the creditor receives the notice`.
        years: years after publication within which every other claim has to be brought; None when there is no such bar.
        sources: where that comes from.
    """

    days: int
    counted_from: str
    years: int | None
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class Upkeep:
    """What a registration goes on owing as long as it is open.

    Attributes:
        scope: USPS code.
        title: such as `Annual Report`.
        dates: the days it falls due that were asked for, in order; empty when the register lacks what they count from.
        dollars: what it costs each time at least, in whole U.S. dollars; 0 when not known.
        exposure: what else leaving it open brings, in words; empty when nothing is noted.
        sources: where that comes from.
    """

    scope: str
    title: str
    dates: tuple[date, ...]
    dollars: int
    exposure: str
    sources: tuple[Source, ...]


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
        final_box_at: where on the form its box stands, in words; empty when that is not noted.
        taxes: the kinds of tax that a clearance speaks for, such as `all` or `franchise`; empty when not noted.
        forms: form numbers that meet it, such as `1065`; empty when any will do.
        due: when it has to be filed; None when there is no date.
        extended: when it has to be filed if an extension was asked for in time; None when there is none.
        valid_days: how long it stays good after it is given, in days; None when the paper itself says or nothing does.
        valid_to_year_end: True when it stays good to the end of the year in which it was given.
        supports: key of the filing that a clearance must still be good for; empty when none.
        after: keys of papers that must be dated on or before this one.
        better_after: keys of papers that had better come first, though nothing says that they must.
        window: the time within which it has to follow another paper; None when there is none.
        home_certificate: what to file instead once the company has ended at home; empty when there is no such way.
        spared_by_home_end: True when it is not needed for a registration that ended by such a certificate.
        claims: how long creditors may answer it, for a notice to them; None for other papers.
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
    final_box_at: str = ""
    taxes: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()
    due: date | None = None
    extended: date | None = None
    valid_days: int | None = None
    valid_to_year_end: bool = False
    supports: str = ""
    after: tuple[str, ...] = ()
    better_after: tuple[str, ...] = ()
    window: Window | None = None
    home_certificate: str = ""
    spared_by_home_end: bool = False
    claims: Claims | None = None
    note: str = ""

    @property
    def unread(self) -> bool:
        """True when no source of it was read, not even in a summary."""
        return all(source.basis.unread for source in self.sources)


def expected_key(scope: str, kind: Kind) -> str:
    """The stable key of the expected paper of `kind` in `scope`."""
    return f"{scope}/{kind.value}"


def kind_of(key: str) -> Kind:
    """The kind of paper that a key names: `PA/clearance` and `PA/clearance-labor` are both a clearance."""
    return Kind(key.rpartition("/")[2].partition("-")[0])
