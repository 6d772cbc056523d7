"""Verify closings: gather what a verdict depends on, and judge."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from quietus.closing.case import Case
from quietus.closing.destroyed import destroyed_papers
from quietus.closing.gather import case_of
from quietus.closing.office import Office
from quietus.closing.summary import facts_of_row
from quietus.closing.verdict import judge
from quietus.model.entity import Entity
from quietus.model.errors import Misuse
from quietus.model.facts import facts_of
from quietus.model.findings import Verdict, Waiver
from quietus.model.paper import Paper
from quietus.rules import expected_papers


def verify(office: Office, slug: str, today: date) -> Verdict:
    """The state of one closing as of `today`.

    Raises:
        Misuse: there is no such entity.
    """
    return judge(case_named(office, slug, today))


@dataclass(frozen=True, slots=True)
class Closing:
    """One closing whole: the company, its verdict, and its papers by id."""

    entity: Entity
    verdict: Verdict
    papers: Mapping[str, Paper]


def closings(office: Office, slugs: Iterable[str], today: date) -> Iterator[Closing]:
    """Some closings whole, in the order given.

    Raises:
        Misuse: there is no such entity.
    """
    packs = office.packs()
    for slug in slugs:
        entity, papers = entity_named(office, slug), office.vault.papers(slug)
        waivers, destroyed = office.vault.waivers(slug), destroyed_papers(office.vault, slug).get(slug)
        case = case_of(packs, entity, map(facts_of, papers), waivers, today, destroyed=destroyed)
        yield Closing(entity, judge(case), {paper.id: paper for paper in papers})


def case_named(office: Office, slug: str, today: date) -> Case:
    """Everything that the verdict on one closing depends on.

    Raises:
        Misuse: there is no such entity.
    """
    entity = entity_named(office, slug)
    papers = map(facts_of, office.vault.papers(slug))
    destroyed = destroyed_papers(office.vault, slug).get(slug)
    return case_of(office.packs(), entity, papers, office.vault.waivers(slug), today, destroyed=destroyed)


def all_cases(office: Office, today: date) -> Iterator[Case]:
    """Everything that the verdicts on all closings depend on, one after the other, by short name."""
    packs = office.packs()
    waivers, destroyed = waivers_by_entity(office), destroyed_papers(office.vault)
    papers = {
        slug: tuple(map(facts_of_row, rows)) for slug, rows in groupby(office.vault.facts(), key=lambda row: row[0])
    }
    for entity in office.vault.entities():
        slug = entity.slug
        yield case_of(packs, entity, papers.get(slug, ()), waivers.get(slug, ()), today, destroyed=destroyed.get(slug))


def waivers_by_entity(office: Office) -> dict[str, list[Waiver]]:
    """Every waiver, by the short name of its entity."""
    found: dict[str, list[Waiver]] = {}
    for waiver in office.vault.waivers():
        found.setdefault(waiver.entity, []).append(waiver)
    return found


def verify_all(office: Office, today: date) -> tuple[Verdict, ...]:
    """The state of every closing, worst first: most blocking findings, then most others, then by short name."""
    verdicts = map(judge, all_cases(office, today))
    return tuple(sorted(verdicts, key=lambda v: (-len(v.blocking), -len(v.findings), v.entity)))


def entity_named(office: Office, slug: str) -> Entity:
    """The entity with the short name `slug`.

    Raises:
        Misuse: there is none.
    """
    entity = office.vault.entity(slug)
    if entity is None:
        raise Misuse("There is no such entity on the register.", "See `quietus entity list` for the short names.")
    return entity


def waive(office: Office, slug: str, expected: str, reason: str, source: str) -> Waiver:
    """Record that an expected paper does not apply.

    Raises:
        Misuse: no such entity or expected paper, or reason or source is empty.
    """
    entity = entity_named(office, slug)
    keys = {e.key for e in expected_papers(entity, office.packs())}
    if expected not in keys:
        raise Misuse(f"{expected} is not expected of that entity.", f"Expected are: {', '.join(sorted(keys))}.")
    if not reason.strip() or not source.strip():
        raise Misuse("A waiver needs a reason and a source.", "Give both with --reason and --source.")
    waiver = Waiver(slug, expected, reason.strip(), source.strip(), office.who, office.today)
    office.vault.put_waiver(waiver)
    return waiver


def drop_waiver(office: Office, slug: str, expected: str, reason: str) -> None:
    """Take a waiver back.

    Raises:
        Misuse: there is none, or no reason is given.
    """
    if not reason.strip():
        raise Misuse("Taking a waiver back needs a reason.", "Give it with --reason.")
    if expected not in {w.expected for w in office.vault.waivers(slug)}:
        raise Misuse("There is no such waiver.", f"See `quietus verify {slug}` for what is waived.")
    office.vault.drop_waiver(slug, expected, reason.strip())
