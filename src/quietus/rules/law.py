"""What a rule pack holds, once read and checked."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import Source
from quietus.model.kinds import Kind
from quietus.rules.due import DueRule


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
    """

    tax_class: frozenset[TaxClass] | None = None
    employees: bool | None = None
    assets: bool | None = None
    single_member: bool | None = None
    accounts: frozenset[str] | None = None

    def holds(self, entity: Entity, registration: Registration | None) -> bool:
        """True when every part that matters fits the entity and its registration there."""
        return (
            (self.tax_class is None or entity.tax_class in self.tax_class)
            and (self.employees is None or entity.employees == self.employees)
            and (self.assets is None or entity.has_assets == self.assets)
            and (self.single_member is None or (len(entity.members) == 1) == self.single_member)
            and (self.accounts is None or not self.accounts.isdisjoint(account_types(registration)))
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
    forms: tuple[str, ...] = ()
    due: str = ""
    valid_days: int | None = None
    supports: str = ""
    after: tuple[str, ...] = ()
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

    def terms_for(self, entity: Entity, registration: Registration | None) -> Terms | None:
        """What it says for one entity; None when it does not speak for it.

        A paper that closes a kind of tax account is required of a company that holds such an account there.
        """
        if not self.when.holds(entity, registration):
            return None
        terms = self.terms
        for variant in self.variants:
            if variant.when.holds(entity, registration):
                terms = replace(terms, **variant.changes)
        if terms.closes.isdisjoint(account_types(registration)):
            return terms
        return replace(terms, need=Demand.REQUIRED)


@dataclass(frozen=True, slots=True)
class Pack:
    """One jurisdiction, the federal level or the company itself.

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
    files: tuple[str, ...] = ()

    def rules(self, section: Section) -> tuple[Rule, ...]:
        """The rules of a section, in the order written."""
        return self.sections.get(section, ())


@dataclass(frozen=True, slots=True)
class Packs:
    """Every rule pack that was loaded.

    Attributes:
        by_code: the packs by code.
    """

    by_code: Mapping[str, Pack]

    @property
    def codes(self) -> tuple[str, ...]:
        """Every code there are rules for: `US`, `company`, then the jurisdictions by code."""
        first = [code for code in ("US", "company") if code in self.by_code]
        return (*first, *sorted(self.by_code.keys() - set(first)))

    def get(self, code: str) -> Pack | None:
        """The pack for `code`, or None."""
        return self.by_code.get(code)
