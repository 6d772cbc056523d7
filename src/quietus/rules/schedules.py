"""Retention schedules: TOML files that say how long which papers are kept, and why."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from importlib.resources import files
from pathlib import Path

from quietus.model.entity import COMPANY, FEDERAL, JURISDICTIONS
from quietus.model.expected import Source
from quietus.model.kinds import Kind
from quietus.model.retention import Trigger
from quietus.model.table import Table
from quietus.rules.files import cited, listed, read_raw, read_sources, read_toml, toml_files
from quietus.rules.periods import Period, period_of

_KINDS = {kind.value: kind for kind in Kind}
_SCOPES = {code: code for code in sorted(JURISDICTIONS | {FEDERAL, COMPANY})}


@dataclass(frozen=True, slots=True)
class RetentionRule:
    """One rule: which papers, from which event, how long.

    Attributes:
        id: stable name, unique among all schedules.
        title: what it is called.
        kinds: kinds of paper it is for; empty for every kind.
        jurisdictions: USPS codes, `US` or `company` it is for; empty for all.
        forms: form numbers it is for; empty for all.
        trigger: the event the period runs from.
        year_ends: month and day; the period then runs from the end of the year in which the event falls.
        period: how long.
        option: True when it counts only once a schedule turns it on.
        past_ceiling: why the paper may be kept longer than a ceiling says; empty when nothing is noted.
        note: what a preparer should know.
        sources: where it comes from.
        elsewhere: jurisdictions that have a period of their own in place of this rule's.
    """

    id: str
    title: str
    kinds: frozenset[Kind]
    jurisdictions: frozenset[str]
    forms: frozenset[str]
    trigger: Trigger
    year_ends: tuple[int, int] | None
    period: Period
    option: bool
    past_ceiling: str
    note: str
    sources: tuple[Source, ...]
    elsewhere: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Ceiling:
    """A rule that says how long information may be kept at most unless there is a reason. Never a reason to keep.

    Attributes:
        id: stable name.
        title: what it is called.
        trigger: the event the period runs from.
        period: how long.
        says: the rule and its exceptions, in words.
        sources: where it comes from.
    """

    id: str
    title: str
    trigger: Trigger
    period: Period
    says: str
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class Schedules:
    """Every retention rule that counts.

    Attributes:
        rules: by id, in no order that matters.
        ceilings: rules that limit how long information may be kept without a reason.
        second_person: whether a disposal needs the approval of two.
    """

    rules: tuple[RetentionRule, ...] = ()
    ceilings: tuple[Ceiling, ...] = ()
    second_person: bool = False


def default_schedule_folder() -> Path:
    """The folder of the schedules that come with quietus: inside an installed package, or at the repository's root."""
    package = Path(str(files("quietus")))
    installed = package / "retention_policies"
    return installed if installed.is_dir() else package.parents[1] / "retention_policies"


def load_schedules(folders: Sequence[Path]) -> Schedules:
    """Every schedule of the folders; a file takes the place of one of the same name in an earlier folder.

    A file may turn on optional rules (`options`) and take rules of other files out (`without`).

    Args:
        folders: in order, such as `[default_schedule_folder(), firm's own]`. None at all keeps everything: no rule.

    Raises:
        BadData: a file is not as expected; names the file, the key or line, and what should stand there.
        Misuse: a folder does not exist.
        MachineFault: a file cannot be read.
    """
    return schedules_of(schedule_texts(folders))


def schedule_texts(folders: Sequence[Path]) -> dict[str, bytes]:
    """The schedule files of the folders by name; one takes the place of one of the same name in an earlier folder.

    Raises:
        Misuse: a folder does not exist.
        BadData: a file is too large.
        MachineFault: a file cannot be read.
    """
    return {path.name: read_raw(path) for folder in folders for path in toml_files(folder)}


def schedules_of(texts: Mapping[str, bytes]) -> Schedules:
    """What schedule files say, given by name and content; see `load_schedules`.

    Raises:
        BadData: a file is not as expected.
    """
    tables = {name: read_toml(Path(name), raw) for name, raw in texts.items()}
    rules: dict[str, RetentionRule] = {}
    ceilings: dict[str, Ceiling] = {}
    for table in tables.values():
        sources = read_sources(table.table("sources"))
        for rule in _rules(table.table("rules"), sources, rules):
            rules[rule.id] = rule
        for ceiling in _ceilings(table.table("ceilings"), sources):
            ceilings[ceiling.id] = ceiling
        table.text("title")
    wanted = {name for table in tables.values() for name in _named(table, "options", rules)}
    dropped = {name for table in tables.values() for name in _named(table, "without", rules)}
    second = [table.flag("second_person", default=False) for table in tables.values()]
    for table in tables.values():
        table.done()
    counted = (
        rule
        for rule in rules.values()
        if dropped.isdisjoint(_names(rule)) and (not rule.option or not wanted.isdisjoint(_names(rule)))
    )
    return Schedules(tuple(counted), tuple(ceilings.values()), any(second))


def _names(rule: RetentionRule) -> set[str]:
    """The rule's name, and that of the rule that it is the local form of."""
    return {rule.id, rule.id.partition(":")[0]}


def _named(table: Table, key: str, rules: Mapping[str, RetentionRule]) -> tuple[str, ...]:
    return tuple(rule.id for rule in listed(table, key, rules))


def _rules(table: Table, sources: Mapping[str, Source], known: Mapping[str, RetentionRule]) -> Iterator[RetentionRule]:
    for name in table.names():
        if name in known:
            raise table.wrong(
                name,
                "another name: one rule is called so already; to replace that, list it in `without` and rename yours",
            )
        if ":" in name:
            raise table.wrong(name, "a name without a colon")
        yield from _rule_and_local_forms(name, table.table(name), sources)


def _rule_and_local_forms(name: str, table: Table, sources: Mapping[str, Source]) -> Iterator[RetentionRule]:
    """A rule, and for each jurisdiction in `in` the form it has there, with a period and sources of its own."""
    local = table.table("in")
    for code in local.names():
        if code not in _SCOPES:
            raise local.wrong(code, "a USPS code, US or company")
    rule = _rule(name, table, sources)
    yield replace(rule, elsewhere=frozenset(local.names()))
    for code in local.names():
        one = local.table(code)
        yield replace(
            rule,
            id=f"{name}:{code}",
            jurisdictions=frozenset({code}),
            period=_period(one),
            trigger=one.choice("trigger", Trigger) if one.has("trigger") else rule.trigger,
            note=one.text("note", rule.note),
            sources=cited(one, sources),
        )
        one.done()


def _rule(name: str, table: Table, sources: Mapping[str, Source]) -> RetentionRule:
    rule = RetentionRule(
        id=name,
        title=table.text("title"),
        kinds=frozenset(listed(table, "kinds", _KINDS)),
        jurisdictions=frozenset(listed(table, "jurisdictions", _SCOPES)),
        forms=frozenset(plain_form(form) for form in table.texts("forms", ())),
        trigger=table.choice("trigger", Trigger),
        year_ends=_month_and_day(table, "year_ends") if table.has("year_ends") else None,
        period=_period(table),
        option=table.flag("option", default=False),
        past_ceiling=table.text("past_ceiling", ""),
        note=table.text("note", ""),
        sources=cited(table, sources),
    )
    if rule.period.permanent and not rule.past_ceiling:
        raise table.wrong("past_ceiling", "why papers with customer information may be kept for ever")
    table.done()
    return rule


def _ceilings(table: Table, sources: Mapping[str, Source]) -> Iterator[Ceiling]:
    for name in table.names():
        one = table.table(name)
        yield Ceiling(
            id=name,
            title=one.text("title"),
            trigger=one.choice("trigger", Trigger),
            period=_period(one),
            says=one.text("says"),
            sources=cited(one, sources),
        )
        one.done()


def _period(table: Table) -> Period:
    period = period_of(table.text("period"))
    if period is None:
        raise table.wrong("period", 'a period such as "7 years", "18 months" or "30 days", or "permanent"')
    return period


def _month_and_day(table: Table, key: str) -> tuple[int, int]:
    text = table.text(key)
    try:
        day = date.fromisoformat(
            f"2001-{text}"
        )  # a common year: a year that ends on February 29 comes only every fourth
    except ValueError:
        raise table.wrong(key, 'month and day of a year\'s end, such as "06-30"') from None
    return day.month, day.day


def plain_form(form: str) -> str:
    """A form number without case, blanks, dashes and the word Form, so that `Form DR 0106` and `DR-0106` are one."""
    return "".join(c for c in form.upper().removeprefix("FORM") if c.isalnum())
