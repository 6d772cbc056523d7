"""What the rules expect of one entity: a list of papers, derived from its own facts. Pure."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from quietus.model.entity import COMPANY, FEDERAL, Entity, Registration
from quietus.model.expected import ExpectedPaper, Need
from quietus.model.kinds import Kind
from quietus.rules.due import Due, DueRule, Event, due_date
from quietus.rules.law import Demand, Pack, Packs, Rule, Section, Terms, account_types

_NEEDS = {Demand.REQUIRED: Need.REQUIRED, Demand.ADVISED: Need.ADVISED}
_ORDER = {kind: place for place, kind in enumerate(Kind)}


@dataclass(frozen=True, slots=True)
class _Draft:
    """One paper on its way to becoming an expected one."""

    scope: str
    name: str
    kind: Kind
    terms: Terms
    pack: Pack

    @property
    def key(self) -> str:
        return f"{self.scope}/{self.name}"


def expected_papers(entity: Entity, packs: Packs) -> tuple[ExpectedPaper, ...]:
    """Every paper that the rules say must, or should, be on file for an entity.

    In stable order: the company's own, the federal ones, home, then the foreign jurisdictions by code; within each
    in the order of `Kind`. A jurisdiction that no pack covers yields nothing here: compare with `packs.codes`.

    Args:
        entity: the company; only its own facts count.
        packs: the rules.
    """
    drafts = list(_drafts(entity, packs))
    dropped = {_key_of(name, draft, entity) for draft in drafts for name in draft.terms.replaces}
    listed = [draft for draft in drafts if draft.key not in dropped]
    keys = frozenset(draft.key for draft in listed)
    return tuple(_finished(draft, entity, keys) for draft in listed)


def _drafts(entity: Entity, packs: Packs) -> Iterator[_Draft]:
    for code in (COMPANY, FEDERAL):
        if pack := packs.get(code):
            yield from _sorted(_from_section(pack, Section.ALWAYS, code, entity, None))
    abroad = sorted(entity.foreign, key=lambda registration: registration.jurisdiction)
    home = entity.registration(entity.home) or Registration(entity.home)
    for registration in (home, *abroad):
        if pack := packs.get(registration.jurisdiction):
            section = Section.HOME if registration is home else Section.FOREIGN
            own = list(_from_section(pack, section, pack.code, entity, registration))
            yield from _sorted([*own, *_left_accounts(own, packs, pack, entity, registration)])


def _sorted(drafts: Iterator[_Draft] | list[_Draft]) -> list[_Draft]:
    return sorted(drafts, key=lambda draft: (_ORDER[draft.kind], draft.name))


def _from_section(
    pack: Pack, section: Section, scope: str, entity: Entity, registration: Registration | None
) -> Iterator[_Draft]:
    for rule in pack.rules(section):
        terms = rule.terms_for(entity, registration)
        if terms and terms.need in _NEEDS:
            yield _Draft(scope, rule.name, rule.kind, terms, pack)


def _left_accounts(
    own: list[_Draft], packs: Packs, pack: Pack, entity: Entity, registration: Registration
) -> Iterator[_Draft]:
    """One paper for each tax account that no paper of the jurisdiction's own pack closes."""
    company = packs.get(COMPANY)
    closed = frozenset[str]().union(*(draft.terms.closes for draft in own))
    for rule in company.rules(Section.REGISTRATION) if company else ():
        for account in account_types(registration):
            terms = rule.terms_for(entity, registration)
            if terms and terms.need in _NEEDS and account not in closed:
                yield _account_draft(rule, terms, account, pack)


def _account_draft(rule: Rule, terms: Terms, account: str, pack: Pack) -> _Draft:
    part = re.sub(r"[^a-z0-9]+", "-", account).strip("-") or "other"
    terms = replace(terms, title=f"{terms.title} ({account})", issuer=pack.tax_agency or terms.issuer)
    return _Draft(pack.code, f"{rule.name}-{part}", rule.kind, terms, pack)


def _finished(draft: _Draft, entity: Entity, keys: frozenset[str]) -> ExpectedPaper:
    terms = draft.terms
    due = _due(draft.pack.due[terms.due], entity) if terms.due else None
    supports = _key_of(terms.supports, draft, entity) if terms.supports else ""
    after = (_key_of(name, draft, entity) for name in terms.after)
    return ExpectedPaper(
        key=draft.key,
        scope=draft.scope,
        kind=draft.kind,
        title=terms.title,
        need=_NEEDS[terms.need],
        issuer=terms.issuer,
        sources=terms.sources,
        next_step=terms.next_step,
        titles=terms.titles,
        office_mark=terms.office_mark,
        electronic=terms.electronic,
        final_box=terms.final_box,
        forms=terms.forms,
        due=due.day if due else None,
        extended=due.extended if due else None,
        valid_days=terms.valid_days,
        supports=supports if supports in keys else "",
        after=tuple(key for key in after if key in keys),
        note=terms.note,
    )


def _key_of(name: str, draft: _Draft, entity: Entity) -> str:
    """The key that a name in a pack stands for: `filing`, `clearance`, `home/dissolution`, `company/consent`."""
    scope, _, paper = name.rpartition("/")
    scope = {"": draft.scope, "home": entity.home}.get(scope, scope)
    if paper == "filing":
        paper = (Kind.DISSOLUTION if scope == entity.home else Kind.WITHDRAWAL).value
    return f"{scope}/{paper}"


def _due(rule: DueRule, entity: Entity) -> Due | None:
    """The due date, when the register knows the day it counts from."""
    if rule.event is not Event.YEAR_END or entity.closed is None:
        return None
    return due_date(rule, entity.closed, begins=last_year_begins(entity))


def last_year_begins(entity: Entity) -> date | None:
    """The first day of the last tax year: after the ordinary year end before the closing, or the formation date.

    None while the closing date is not known. Years of 52 or 53 weeks are not known here.
    """
    closed = entity.closed
    if closed is None:
        return None
    ends = (year_end(year, *entity.year_end) for year in (closed.year - 2, closed.year - 1, closed.year))
    begins = max(end for end in ends if end < closed) + timedelta(days=1)
    return max(begins, entity.formed) if entity.formed and entity.formed <= closed else begins


def year_end(year: int, month: int, day: int) -> date:
    """The ordinary year end of a year; February 29 is the last of February in a common year."""
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month + 1, 1) - timedelta(days=1)
