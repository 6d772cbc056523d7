"""What the rules expect of one entity: a list of papers, derived from its own facts. Pure."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from quietus.model.entity import COMPANY, FEDERAL, Entity, Registration
from quietus.model.expected import Claims, ExpectedPaper, Need, Upkeep
from quietus.model.kinds import Kind
from quietus.rules.due import Due, DueRule, Event, due_date
from quietus.rules.law import Demand, Pack, Packs, Rule, Section, Terms, Traits, traits_of
from quietus.rules.upkeep import upkeep_of
from quietus.rules.years import last_year_begins

_NEEDS = {Demand.REQUIRED: Need.REQUIRED, Demand.ADVISED: Need.ADVISED}
_TO_CREDITORS = frozenset({Kind.CREDITOR_NOTICE, Kind.PUBLICATION_AFFIDAVIT})
_HOME = "home/"
_ORDER = {kind: place for place, kind in enumerate(Kind)}


@dataclass(frozen=True, slots=True, eq=False)
class _Draft:
    """One paper on its way to becoming an expected one. Two drafts are the same only when they are one.

    Attributes:
        paper: all that does not depend on names and days of the entity; no due date yet.
        terms: what the pack says of it.
        due: how its due date follows; None when there is none.
        named: keys that the paper names, if the same for every entity; None when they depend on its home.
    """

    paper: ExpectedPaper
    terms: Terms
    due: DueRule | None
    named: frozenset[str] | None

    @property
    def key(self) -> str:
        return self.paper.key

    @property
    def same_for_all(self) -> bool:
        """True when the paper is as it is for every entity that is expected to have the papers it names."""
        return self.due is None and self.named is not None and self.paper.kind not in _TO_CREDITORS


def expected_papers(entity: Entity, packs: Packs) -> tuple[ExpectedPaper, ...]:
    """Every paper that the rules say must, or should, be on file for an entity.

    In stable order: the company's own, the federal ones, home, then the foreign jurisdictions by code; within each
    in the order of `Kind`. A jurisdiction that no pack covers yields nothing here: compare with `packs.codes`.

    Args:
        entity: the company; only its own facts count.
        packs: the rules.
    """
    drafts = list(_drafts(entity, packs))
    dropped = {_key_of(name, draft.paper.scope, entity.home) for draft in drafts for name in draft.terms.replaces}
    listed = [draft for draft in drafts if draft.key not in dropped]
    keys = frozenset(draft.key for draft in listed)
    whole = _Whole(entity, keys, claims_against(entity, packs), last_year_begins(entity))
    return tuple(_finished(draft, whole) for draft in listed)


def claims_against(entity: Entity, packs: Packs) -> Claims | None:
    """How long creditors may bring their claims: by the law of the home jurisdiction, else as the company pack says."""
    found = (pack.claims for pack in (packs.get(entity.home), packs.get(COMPANY)) if pack and pack.claims)
    return next(found, None)


def owed_while_open(entity: Entity, packs: Packs, scope: str, after: date, until: date) -> tuple[Upkeep, ...]:
    """What a registration goes on owing while it is open, with the days between two days; empty without a pack.

    Args:
        entity: the company.
        packs: the rules.
        scope: USPS code of a jurisdiction it is registered in.
        after: the day before the span.
        until: last day of the span.
    """
    pack, registration = packs.get(scope), entity.registration(scope)
    return upkeep_of(pack.upkeep, entity, registration, after, until) if pack and registration else ()


def _drafts(entity: Entity, packs: Packs) -> Iterator[_Draft]:
    """What every pack concerned says for the entity, in the order of the list."""
    company = packs.get(COMPANY)
    nowhere = traits_of(entity, None)
    for code in (COMPANY, FEDERAL):
        if pack := packs.get(code):
            yield from _section_drafts(pack, Section.ALWAYS, None, nowhere)
    abroad = sorted(entity.foreign, key=lambda registration: registration.jurisdiction)
    home = entity.registration(entity.home) or Registration(entity.home)
    for registration in (home, *abroad):
        if pack := packs.get(registration.jurisdiction):
            section = Section.HOME if registration is home else Section.FOREIGN
            yield from _section_drafts(pack, section, company, traits_of(entity, registration))


@lru_cache(maxsize=4096)  # few kinds of company are registered in few places: a whole register asks the same again
def _section_drafts(pack: Pack, section: Section, company: Pack | None, traits: Traits) -> tuple[_Draft, ...]:
    """What one section says for companies of these traits and, in a jurisdiction, one paper for each account left."""
    home = pack.code if section is Section.HOME else ""
    own = [
        _draft(rule.name, rule.kind, terms, pack, home)
        for rule in pack.rules(section)
        if (terms := _listed(rule, traits))
    ]
    left = _left_accounts(own, company, pack, traits) if company else ()
    return tuple(sorted([*own, *left], key=lambda draft: (_ORDER[draft.paper.kind], draft.key)))


def _listed(rule: Rule, traits: Traits) -> Terms | None:
    """What a rule says, when it makes a paper expected."""
    terms = rule.terms_for(traits)
    return terms if terms and terms.need in _NEEDS else None


def _draft(name: str, kind: Kind, terms: Terms, pack: Pack, home: str) -> _Draft:
    """A draft of the paper.

    Args:
        name: of the rule.
        kind: of the paper.
        terms: what the pack says of it.
        pack: the pack.
        home: the pack's code, when the company was formed there.
    """
    scope = pack.code
    due = pack.due[terms.due] if terms.due else None
    paper = ExpectedPaper(
        key=f"{scope}/{name}",
        scope=scope,
        kind=kind,
        title=terms.title,
        need=_NEEDS[terms.need],
        issuer=terms.issuer,
        sources=tuple(dict.fromkeys((*terms.sources, *(due.sources if due else ())))),
        next_step=terms.next_step,
        titles=terms.titles,
        office_mark=terms.office_mark,
        electronic=terms.electronic,
        final_box=terms.final_box,
        final_box_at=terms.final_box_at,
        taxes=terms.taxes,
        forms=terms.forms,
        valid_days=terms.valid_days,
        valid_to_year_end=terms.valid_to_year_end,
        supports=_key_of(terms.supports, scope, home) if terms.supports else "",
        after=tuple(_key_of(one, scope, home) for one in terms.after),
        better_after=tuple(_key_of(one, scope, home) for one in terms.better_after),
        window=replace(terms.window, after=_key_of(terms.window.after, scope, home)) if terms.window else None,
        home_certificate=terms.home_certificate,
        spared_by_home_end=terms.spared_by_home_end,
        note=terms.note,
    )
    return _Draft(paper, terms, due, None if _names_home(terms) else frozenset(_named(paper)))


def _names_home(terms: Terms) -> bool:
    window = (terms.window.after,) if terms.window else ()
    return any(one.startswith(_HOME) for one in (terms.supports, *terms.after, *terms.better_after, *window))


def _named(paper: ExpectedPaper) -> Iterator[str]:
    """The keys of the papers that a paper names."""
    yield from (*paper.after, *paper.better_after)
    if paper.supports:
        yield paper.supports
    if paper.window:
        yield paper.window.after


def _left_accounts(own: list[_Draft], company: Pack, pack: Pack, traits: Traits) -> Iterator[_Draft]:
    """One paper for each tax account that no paper of the jurisdiction's own pack closes."""
    closed = frozenset[str]().union(*(draft.terms.closes for draft in own))
    for rule in company.rules(Section.REGISTRATION):
        for account in traits.accounts:
            terms = _listed(rule, traits)
            if terms and account not in closed:
                part = re.sub(r"[^a-z0-9]+", "-", account).strip("-") or "other"
                terms = replace(terms, title=f"{terms.title} ({account})", issuer=pack.tax_agency or terms.issuer)
                yield _draft(f"{rule.name}-{part}", rule.kind, terms, pack, "")


@dataclass(frozen=True, slots=True)
class _Whole:
    """What a draft needs to know of the entity as a whole.

    Attributes:
        entity: the company.
        keys: of every paper expected of it.
        claims: how long its creditors may bring claims.
        begins: first day of its last tax year.
    """

    entity: Entity
    keys: frozenset[str]
    claims: Claims | None
    begins: date | None


def _finished(draft: _Draft, whole: _Whole) -> ExpectedPaper:
    """The paper with the entity's days, and without what it names that is not expected of the entity."""
    paper = draft.paper
    if draft.same_for_all and draft.named is not None and draft.named <= whole.keys:
        return paper
    due = _due(draft.due, whole) if draft.due else None
    paper = _dated(draft, due, whole.claims if paper.kind in _TO_CREDITORS else None)
    return paper if draft.named is not None and draft.named <= whole.keys else _with_listed_names(paper, draft, whole)


@lru_cache(maxsize=65536)  # due dates go by months: few are different
def _dated(draft: _Draft, due: Due | None, claims: Claims | None) -> ExpectedPaper:
    return replace(draft.paper, due=due.day if due else None, extended=due.extended if due else None, claims=claims)


def _with_listed_names(paper: ExpectedPaper, draft: _Draft, whole: _Whole) -> ExpectedPaper:
    terms, home = draft.terms, whole.entity.home

    def listed(names: Iterable[str]) -> tuple[str, ...]:
        return tuple(key for name in names if (key := _key_of(name, paper.scope, home)) in whole.keys)

    opens = listed((terms.window.after,)) if terms.window else ()
    return replace(
        paper,
        supports="".join(listed((terms.supports,))) if terms.supports else "",
        after=listed(terms.after),
        better_after=listed(terms.better_after),
        window=replace(terms.window, after=opens[0]) if terms.window and opens else None,
    )


def _key_of(name: str, scope: str, home: str) -> str:
    """The key that a name in a pack stands for: `filing`, `clearance`, `home/dissolution`, `company/consent`.

    Args:
        name: the name.
        scope: of the pack it stands in.
        home: code of the jurisdiction the company was formed in.
    """
    where, _, paper = name.rpartition("/")
    where = {"": scope, "home": home}.get(where, where)
    if paper == "filing":
        paper = (Kind.DISSOLUTION if where == home else Kind.WITHDRAWAL).value
    return f"{where}/{paper}"


def _due(rule: DueRule, whole: _Whole) -> Due | None:
    """The due date, when the register knows the day it counts from."""
    entity = whole.entity
    events = {
        Event.YEAR_END: entity.closed,
        Event.LAST_WAGES: entity.last_wages,
        Event.ADOPTION: entity.plan_adopted,
    }
    event = events[rule.event]
    return due_date(rule, event, begins=whole.begins) if event else None
