"""What a rule pack holds, once read and checked."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import Claims, Source, Window
from quietus.model.kinds import Kind
from quietus.rules.due import DueRule
from quietus.rules.upkeep import UpkeepRule


class Demand(StrEnum):
    """How a pack speaks of a paper. Only the first two become expected papers; the others are told when asked."""

    REQUIRED = "required"
    ADVISED = "advised"
    OFFERED = "offered"  # can be asked for; nothing is known to depend on it
    NONE = "none"  # no such paper is known there


class Section(StrEnum):
    """Where in a pack a rule stands, that is, for which standing of the company it speaks."""

    ANY = "any"  # at home and elsewhere alike; what `home` or `foreign` says goes on top
    HOME = "home"
    FOREIGN = "foreign"
    ALWAYS = "always"  # federal and company packs
    REGISTRATION = "registration"  # company pack: for each registration whose own pack has no such rule


@dataclass(frozen=True, slots=True)
class When:
    """Facts of the entity that a rule or variant depends on; a part that is None does not matter.

    Attributes:
        tax_class: taxed as one of these.
        employees: whether it paid wages.
        assets: whether there was anything to distribute.
        single_member: whether it has exactly one member on the register.
        accounts: it holds a tax account of one of these types there.
        creditors: whether creditors are known; what the register does not say fits neither.
        contractors: whether it paid anybody for services who was no employee.
        sold_business: whether assets that make up a business were sold as one.
    """

    tax_class: frozenset[TaxClass] | None = None
    employees: bool | None = None
    assets: bool | None = None
    single_member: bool | None = None
    accounts: frozenset[str] | None = None
    creditors: bool | None = None
    contractors: bool | None = None
    sold_business: bool | None = None

    def holds(self, traits: "Traits") -> bool:
        """True when every part that matters fits the company."""
        if self.tax_class is not None and traits.tax_class not in self.tax_class:
            return False
        if self.accounts is not None and self.accounts.isdisjoint(traits.accounts):
            return False
        asked = (
            (self.employees, traits.employees),
            (self.assets, traits.assets),
            (self.single_member, traits.single_member),
            (self.creditors, traits.creditors),
            (self.contractors, traits.contractors),
            (self.sold_business, traits.sold_business),
        )
        return all(wanted is None or wanted == is_so for wanted, is_so in asked)


@dataclass(frozen=True, slots=True)
class Traits:
    """The facts of a company, and of its registration in one place, that a rule can ask for; see When.

    Attributes:
        accounts: types of the tax accounts it holds there.
    """

    tax_class: TaxClass
    employees: bool
    assets: bool
    single_member: bool
    creditors: bool | None
    contractors: bool
    sold_business: bool
    accounts: tuple[str, ...]


def traits_of(entity: Entity, registration: Registration | None) -> Traits:
    """What a rule can ask of an entity and its registration in one place."""
    return Traits(
        tax_class=entity.tax_class,
        employees=entity.employees,
        assets=entity.has_assets,
        single_member=len(entity.members) == 1,
        creditors=entity.has_creditors,
        contractors=entity.contractors_paid,
        sold_business=entity.sold_business,
        accounts=account_types(registration),
    )


def account_types(registration: Registration | None) -> tuple[str, ...]:
    """The types of the tax accounts held there (what stands before the colon), lower case, each once."""
    accounts = registration.tax_accounts if registration else ()
    return tuple(dict.fromkeys(account.partition(":")[0].strip().lower() for account in accounts))


@dataclass(frozen=True, slots=True)
class Terms:
    """What a pack says of one paper. The names are those of the keys in the file; see docs/rule-packs.md."""

    need: Demand
    title: str
    issuer: str
    sources: tuple[Source, ...]
    next_step: str = ""
    titles: tuple[str, ...] = ()
    office_mark: bool = False
    electronic: bool = False
    final_box: bool = False
    final_box_at: str = ""
    taxes: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()
    due: str = ""
    valid_days: int | None = None
    valid_to_year_end: bool = False
    supports: str = ""
    after: tuple[str, ...] = ()
    better_after: tuple[str, ...] = ()
    window: Window | None = None
    home_certificate: str = ""
    spared_by_home_end: bool = False
    closes: frozenset[str] = frozenset()
    replaces: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Variant:
    """Other terms for some entities: `changes` are laid over the rule's terms when `when` holds."""

    when: When
    changes: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Rule:
    """One paper that a pack speaks of.

    Attributes:
        name: the paper's kind, or `KIND-PART` when there are several of a kind.
        kind: the kind of paper that meets it.
        when: for which entities it speaks at all.
        terms: what it says.
        variants: laid on top in the order written, each whose condition holds.
    """

    name: str
    kind: Kind
    when: When
    terms: Terms
    variants: tuple[Variant, ...] = ()

    def terms_for(self, traits: Traits) -> Terms | None:
        """What it says for a company; None when it does not speak for it.

        A paper that closes a kind of tax account is required of a company that holds such an account there.
        """
        if not self.when.holds(traits):
            return None
        terms = self.terms
        for variant in self.variants:
            if variant.when.holds(traits):
                terms = replace(terms, **variant.changes)
        if terms.closes.isdisjoint(traits.accounts):
            return terms
        return replace(terms, need=Demand.REQUIRED)


@dataclass(frozen=True, slots=True, eq=False)
class Pack:
    """One jurisdiction, the federal level or the company itself. Two packs are the same only when they are one.

    Attributes:
        code: USPS code, `US` or `company`.
        name: its name.
        filing_office: where companies are formed, registered and ended there; empty when there is none.
        tax_agency: who collects the tax there; empty when there is none.
        income_tax: whether it taxes personal income broadly; None where that is no question.
        entity_level_tax: what the company itself pays there, in words.
        confidence: high, medium or low: how far to trust the pack as a whole.
        note: order rules and traps, in words.
        sections: the rules, by section (`home`, `foreign`, `always`, `registration`).
        due: how due dates follow, by name.
        claims: how long creditors of a company formed there may bring their claims; None where nothing is noted.
        upkeep: what a registration goes on owing while it is open.
        files: names of the files it was read from, the firm's last.
    """

    code: str
    name: str
    filing_office: str
    tax_agency: str
    income_tax: bool | None
    entity_level_tax: str
    confidence: str
    note: str
    sections: Mapping[Section, tuple[Rule, ...]]
    due: Mapping[str, DueRule] = field(default_factory=dict)
    claims: Claims | None = None
    upkeep: tuple[UpkeepRule, ...] = ()
    files: tuple[str, ...] = ()

    def rules(self, section: Section) -> tuple[Rule, ...]:
        """The rules of a section, in the order written."""
        return self.sections.get(section, ())


@dataclass(frozen=True, slots=True)
class Packs:
    """Every rule pack that was loaded.

    Attributes:
        by_code: the packs by code.
        digest: hash of every file they were read from, hex; empty when they were read from none.
    """

    by_code: Mapping[str, Pack]
    digest: str = ""

    @property
    def codes(self) -> tuple[str, ...]:
        """Every code there are rules for: `US`, `company`, then the jurisdictions by code."""
        first = [code for code in ("US", "company") if code in self.by_code]
        return (*first, *sorted(self.by_code.keys() - set(first)))

    @property
    def known(self) -> frozenset[str]:
        """The same codes as a set."""
        return frozenset(self.by_code)

    def get(self, code: str) -> Pack | None:
        """The pack for `code`, or None."""
        return self.by_code.get(code)
