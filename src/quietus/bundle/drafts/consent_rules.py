"""What the law asks of a consent: which papers need one, how long it holds, what it has to say. Data with sources."""

from dataclasses import dataclass
from functools import cache

from quietus.bundle.drafts.rule_file import rule_file, source_of
from quietus.model.consent import Filer
from quietus.model.expected import Source
from quietus.model.kinds import Kind


@dataclass(frozen=True, slots=True)
class Statement:
    """Something that a consent form says, and where that it has to comes from."""

    name: str
    text: str
    source: Source


@dataclass(frozen=True, slots=True)
class ConsentForm:
    """What a consent has to be for one kind of filer.

    Attributes:
        statements: what it says, in order; those prescribed for the filer come first.
        names: what it has to name (Treas. Reg. 301.7216-3(a)(3)(i)), by a short name.
        separate: whether each consent has to be a document of its own.
        points: least size of type, in points.
        sources: where that comes from.
    """

    statements: tuple[Statement, ...]
    names: dict[str, str]
    separate: bool
    points: int
    sources: tuple[Source, ...]


@cache
def needs_consent() -> frozenset[Kind]:
    """Kinds that leave the office only with the taxpayer's consent (26 U.S.C. 7216).

    A preparer who shows them to somebody without it commits an offence.
    """
    return _kinds("needs_consent")


@cache
def each_members_own() -> frozenset[Kind]:
    """Kinds that are each member's own, so that the company's consent alone does not reach them."""
    return _kinds("each_members_own")


def _kinds(name: str) -> frozenset[Kind]:
    return frozenset(map(Kind, rule_file("consent.toml").table(name).texts("kinds")))


@cache
def months_when_silent() -> int:
    """How long a consent holds that does not say how long, in months from the day of signature."""
    return rule_file("consent.toml").table("duration_when_silent").number("months", least=1, most=120)


@cache
def consent_form(filer: Filer) -> ConsentForm:
    """What a consent of this kind of filer has to be."""
    rules = rule_file("consent.toml")
    own, content = rules.table(filer.value), rules.table("content")
    prescribed = [Statement(row.text("name"), row.text("says"), source_of(own)) for row in own.tables("statements")]
    common = [
        Statement(name, rules.table(name).text("text"), source_of(rules.table(name)))
        for name in ("voluntary", "narrower", "copy", "abroad")
    ]
    return ConsentForm(
        statements=(*prescribed, *common),
        names={row.text("name"): row.text("says") for row in content.tables("items")},
        separate=own.flag("separate_document"),
        points=own.number("least_points", 10, least=8, most=20),
        sources=(source_of(content), source_of(own), source_of(rules.table("duration_when_silent"))),
    )
