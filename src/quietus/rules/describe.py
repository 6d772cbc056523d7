"""A rule pack in words, with its sources: what `quietus rules show` prints."""

import calendar
from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from quietus.model.errors import Misuse
from quietus.model.expected import Source, Window
from quietus.rules.due import DueRule, YearException
from quietus.rules.law import Demand, Pack, Packs, Rule, Section, Terms, Variant, When
from quietus.rules.upkeep import CountsFrom, Side, UpkeepRule, Years

CAUTION = (
    "Not legal or tax advice. Law and practice change: each rule shows its source, how that was followed, and the day"
    " it was last checked. The preparer or the client's counsel decides."
)

_HEADINGS = {
    Section.HOME: "When the company was formed here",
    Section.FOREIGN: "When the company is registered here and was formed elsewhere",
    Section.ALWAYS: "Whatever the jurisdictions",
    Section.REGISTRATION: "For each tax account that the jurisdiction's own rules do not close",
}
_DEMANDS = {
    Demand.REQUIRED: "required",
    Demand.ADVISED: "advised",
    Demand.OFFERED: "possible, not expected",
    Demand.NONE: "none expected",
}


def describe_pack(packs: Packs, code: str) -> str:
    """What one pack expects, in words, with sources; plain lines, no trailing newline. Show CAUTION with it.

    Raises:
        Misuse: there is no pack for `code`.
    """
    pack = packs.get(code) or packs.get(code.upper()) or packs.get(code.lower())
    if pack is None:
        raise Misuse("There are no rules for that code.", f"Rules exist for: {', '.join(packs.codes)}.")
    return "\n".join([*_header(pack), *_sections(pack), *_claims(pack), *_upkeep(pack), *_due_rules(pack)])


def _header(pack: Pack) -> Iterator[str]:
    yield f"{pack.name} ({pack.code})"
    for label, value in (("Filing office", pack.filing_office), ("Tax agency", pack.tax_agency)):
        if value:
            yield f"{label}: {value}"
    if pack.income_tax is not None:
        taxed = "yes" if pack.income_tax else "no"
        yield f"Broad personal income tax: {taxed}. The company itself pays: {pack.entity_level_tax or 'not noted'}."
    yield f"Confidence in this pack as a whole: {pack.confidence}. Read from: {', then '.join(pack.files)}."
    if pack.note:
        yield pack.note


def _sections(pack: Pack) -> Iterator[str]:
    for section, rules in pack.sections.items():
        if rules:
            yield ""
            yield _HEADINGS[section]
        for rule in rules:
            yield from _rule(rule)


def _rule(rule: Rule) -> Iterator[str]:
    terms = rule.terms
    only = f", only when {_condition(rule.when)}" if rule.when != When() else ""
    yield f"  {rule.kind.words}: {terms.title} ({_DEMANDS[terms.need]}{only})"
    for line in _terms(terms):
        yield f"    {line}"
    for variant in rule.variants:
        yield f"    when {_condition(variant.when)}:"
        for line in _changes(variant):
            yield f"      {line}"


def _terms(terms: Terms) -> Iterator[str]:
    if terms.need in (Demand.REQUIRED, Demand.ADVISED):
        yield f"from or with: {terms.issuer}"
    yield from _facts({one.name: getattr(terms, one.name) for one in fields(Terms)})


def _changes(variant: Variant) -> Iterator[str]:
    changes = dict(variant.changes)
    if "need" in changes:
        yield _DEMANDS[changes["need"]]
    for key in ("title", "issuer"):
        if key in changes:
            yield f"{key}: {changes[key]}"
    yield from _facts(changes)


def _facts(terms: dict[str, Any]) -> Iterator[str]:
    """The lines that the same key yields in a rule and in a variant; nothing for what is empty."""
    for key, words in _WORDS.items():
        if terms.get(key):
            yield words.format(_listed(terms[key]))
    for source in terms.get("sources", ()):
        yield f"source: {source}"


_WORDS = {
    "titles": "also titled: {}",
    "forms": "on form: {}",
    "office_mark": "proves nothing without the office's stamp, file mark or acknowledgment",
    "electronic": "filed electronically: the mark is printed, without ink",
    "final_box": "has to be marked final",
    "final_box_at": "the box stands at: {}",
    "taxes": "speaks for taxes of the kind: {}",
    "after": "dated on or after: {}",
    "better_after": "had better come after: {}",
    "window": "{}",
    "home_certificate": "once the company has ended at home: {}",
    "spared_by_home_end": "not needed for a registration that ended by the home state's certificate",
    "supports": "has to be good on the day of: {}",
    "valid_days": "good for {} days",
    "valid_to_year_end": "good to the end of the year in which it was given",
    "closes": "closes tax accounts of the type: {} (required when the company holds one)",
    "replaces": "takes the place of: {}",
    "due": "due: see {} below",
    "note": "{}",
    "next_step": "when missing: {}",
}


def _listed(value: Any) -> str:
    if isinstance(value, Window):
        what = "has to be asked for" if value.request else "has to follow"
        return f"{what} within {value.words} after: {value.after}"
    if isinstance(value, frozenset):
        value = sorted(value)
    return ", ".join(value) if isinstance(value, list | tuple) else str(value)


def _condition(when: When) -> str:
    """The facts of the entity that a condition asks for, in words."""
    parts = []
    if when.tax_class is not None:
        parts.append(f"taxed as {' or '.join(sorted(when.tax_class))}")
    for name, (so, not_so) in _FACTS.items():
        if getattr(when, name) is not None:
            parts.append(so if getattr(when, name) else not_so)
    if when.accounts is not None:
        parts.append(f"it holds a tax account of the type {' or '.join(sorted(when.accounts))}")
    return " and ".join(parts)


_FACTS = {
    "employees": ("it paid wages", "it paid no wages"),
    "assets": ("it had assets", "it had no assets"),
    "single_member": ("it has one member", "it has several members"),
    "creditors": ("creditors are known", "it has no creditors"),
    "contractors": ("it paid contractors", "it paid no contractors"),
    "sold_business": ("its business was sold", "its business was not sold"),
}


def _claims(pack: Pack) -> Iterator[str]:
    claims = pack.claims
    if claims is None:
        return
    yield ""
    yield "Claims of creditors of a company formed here" if pack.income_tax is not None else "Claims of creditors"
    yield f"  a notice leaves known creditors at least {claims.days} days from {claims.counted_from}"
    if claims.years:
        yield f"  once a notice is published, other claims are barred after {claims.years} years"
    yield from _noted("", claims.sources)


def _upkeep(pack: Pack) -> Iterator[str]:
    if pack.upkeep:
        yield ""
        yield "Owed as long as the registration is open"
    for rule in pack.upkeep:
        whose = {Side.BOTH: "", Side.HOME: " (formed here)", Side.FOREIGN: " (formed elsewhere)"}[rule.side]
        yield f"  {rule.title}{whose}: {_when_due(rule)}"
        if rule.dollars:
            yield f"    costs at least ${rule.dollars} each time"
        yield from (f"  {line}" for line in _noted(rule.exposure, rule.sources))


def _when_due(rule: UpkeepRule) -> str:
    if rule.counts_from is CountsFrom.NOTHING:
        return "no such duty is known"
    turn = {Years.EVERY: "every year", Years.ODD: "in odd years", Years.EVEN: "in even years"}
    years = turn.get(rule.years, "every second year after that of the registration")
    if rule.counts_from is CountsFrom.CALENDAR:
        return f"{calendar.month_name[rule.month]} {rule.day}, {years}"
    event = {CountsFrom.REGISTRATION: "registration", CountsFrom.YEAR_END: "tax year's end"}[rule.counts_from]
    base = f"the quarter of the {event}" if rule.quarter else f"the month of the {event}"
    if not rule.day:
        return f"the anniversary of the {event}, {years}"
    day = "last day" if rule.day == 31 else f"day {rule.day}"
    shift = f"month {rule.months:+d} from " if rule.months else ""
    return f"{day} of {shift}{base}, {years}"


def _due_rules(pack: Pack) -> Iterator[str]:
    used = {terms.due for rules in pack.sections.values() for rule in rules for terms in _every(rule) if terms.due}
    for name in sorted(used):
        yield ""
        yield from _due_rule(pack.due[name])


def _every(rule: Rule) -> Iterator[Terms]:
    """The terms with no variant and with each: enough to find every name they use."""
    yield rule.terms
    for variant in rule.variants:
        yield Terms(**{**{one.name: getattr(rule.terms, one.name) for one in fields(Terms)}, **variant.changes})


def _due_rule(rule: DueRule) -> Iterator[str]:
    yield f"Due date {rule.name}: {rule.title}"
    yield "  A Saturday, Sunday or legal holiday of the District of Columbia moves it to the next day that is none."
    if rule.extension_months:
        yield f"  An extension asked for in time adds {rule.extension_months} months to the day before it is moved."
    if rule.timely_deposit_days:
        yield f"  {rule.timely_deposit_days} days more when every deposit was full and on time."
    for one in rule.exceptions:
        yield f"  {_year_words(one)}: {one.months} months, extension {one.extension_months}."
        yield from _noted(one.note, one.sources)
    yield from _noted(rule.note, rule.sources)


def _year_words(one: YearException) -> str:
    if not one.ends_in_month:
        return f"A tax year that began before {one.begins_before}"
    day = f" on day {one.ends_on_day} of" if one.ends_on_day else " in"
    return f"A tax year that ends{day} {calendar.month_name[one.ends_in_month]} and began before {one.begins_before}"


def _noted(note: str, sources: tuple[Source, ...]) -> Iterator[str]:
    if note:
        yield f"  {note}"
    for source in sources:
        yield f"  source: {source}"
