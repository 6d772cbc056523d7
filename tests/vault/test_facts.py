"""Facts and kept verdicts follow every change of the vault, and come back as they were."""

from dataclasses import replace
from datetime import date

import pytest
from sqlalchemy import delete, update

from quietus.closing.summary import facts_of_row
from quietus.model.facts import PaperFacts, facts_of
from quietus.model.paper import Standing
from quietus.model.reading import Value
from quietus.vault import Vault, check_vault
from quietus.vault.facts import KeptVerdict
from quietus.vault.facts import facts as stored
from tests.vault.make import ENTITY, WAIVER, file, reading

OTHER = replace(ENTITY, slug="another", ein="07-4418231")
KEPT = KeptVerdict(ENTITY.slug, 3, "rules", "2026-11-20", '{"blocking":1}')


def facts(vault: Vault, *slugs: str) -> dict[str, PaperFacts]:
    return {row[1]: facts_of_row(row) for row in vault.facts(slugs or None)}


def test_the_facts_of_a_paper_are_those_of_the_reading_that_counts(vault: Vault) -> None:
    paper = file(vault, b"one")
    assert facts(vault) == {paper.id: facts_of(paper)}
    corrected = replace(reading(), values={**reading().values, "ein": Value("07-4418230", 1.0, method="person:pat")})
    after = vault.add_reading(
        paper.id, corrected, standing=Standing.FILED, entity=ENTITY.slug, expected="OR/clearance", why="test"
    )
    assert facts(vault) == {paper.id: facts_of(after)}
    assert facts(vault)[paper.id].doubts == ()


def test_a_paper_moves_with_its_facts_to_another_entity_and_to_nobody(vault: Vault) -> None:
    vault.put_entity(OTHER)
    paper = file(vault, b"one")
    vault.add_reading(paper.id, reading(), standing=Standing.FILED, entity="another", expected="", why="")
    assert [one.entity for one in facts(vault).values()] == ["another"]
    assert facts(vault, ENTITY.slug) == {}
    assert facts(vault, "another").keys() == {paper.id}
    vault.add_reading(paper.id, reading(), standing=Standing.UNASSIGNED, entity="", expected="", why="")
    assert facts(vault) == {}
    assert vault.homeless() == (paper.id,)
    vault.add_reading(paper.id, reading(), standing=Standing.FILED, entity="another", expected="", why="")
    assert vault.homeless() == ()


def test_the_papers_of_an_entity_lie_side_by_side(vault: Vault) -> None:
    vault.put_entity(OTHER)
    papers = [file(vault, bytes([number])) for number in range(6)]
    for paper in papers[::2]:
        vault.add_reading(paper.id, reading(), standing=Standing.FILED, entity="another", expected="", why="")
    owners = [row[0] for row in vault.facts()]
    assert owners == sorted(owners)
    assert len(owners) == 6


def test_every_change_of_an_entity_its_papers_and_waivers_raises_its_revision(vault: Vault) -> None:
    vault.put_entity(OTHER)
    seen = vault.revisions()

    def raised() -> set[str]:
        nonlocal seen
        before, seen = seen, vault.revisions()
        return {slug for slug in seen if seen[slug] > before.get(slug, 0)}

    vault.put_entity(replace(ENTITY, closed=date(2026, 7, 1)))
    assert raised() == {ENTITY.slug}
    paper = file(vault, b"one")
    assert raised() == {ENTITY.slug}
    vault.add_reading(paper.id, reading(), standing=Standing.FILED, entity=ENTITY.slug, expected="", why="")
    assert raised() == {ENTITY.slug}
    vault.add_reading(paper.id, reading(), standing=Standing.FILED, entity="another", expected="", why="")
    assert raised() == {ENTITY.slug, "another"}
    vault.put_waiver(WAIVER)
    assert raised() == {ENTITY.slug}
    vault.drop_waiver(ENTITY.slug, WAIVER.expected, "test")
    assert raised() == {ENTITY.slug}
    vault.paper_bytes(paper.id, "looking changes nothing")
    assert raised() == set()


def test_a_change_that_is_undone_leaves_facts_and_revisions_as_they_were(vault: Vault) -> None:
    before = (facts(vault), vault.revisions())
    with pytest.raises(ZeroDivisionError), vault.transaction():
        file(vault, b"one")
        raise ZeroDivisionError
    assert (facts(vault), vault.revisions()) == before


def test_a_kept_verdict_comes_back_and_a_newer_one_takes_its_place(vault: Vault) -> None:
    journal = vault.journal()
    vault.keep_verdicts([KEPT])
    assert vault.kept_verdicts() == {ENTITY.slug: KEPT}
    newer = replace(KEPT, revision=4, body="{}")
    vault.keep_verdicts([newer])
    assert vault.kept_verdicts() == {ENTITY.slug: newer}
    vault.keep_verdicts([])
    assert vault.kept_verdicts() == {ENTITY.slug: newer}
    assert vault.journal() == journal


def test_entities_are_found_many_at_a_time(vault: Vault) -> None:
    for number in range(3):
        vault.put_entity(replace(ENTITY, slug=f"company-{number:04}", ein=f"08-{number:07}"))
    assert vault.entity_texts().keys() == {ENTITY.slug, "company-0000", "company-0001", "company-0002"}
    wanted = [f"company-{number:04}" for number in range(1203)]
    assert vault.entity_texts(wanted).keys() == {"company-0000", "company-0001", "company-0002"}


def test_facts_that_are_not_those_of_the_reading_are_found_by_check(vault: Vault) -> None:
    paper, other = file(vault, b"one"), file(vault, b"two")
    assert check_vault(vault).sound
    with vault.store.changing() as connection:
        connection.execute(update(stored).where(stored.c.paper == paper.id).values(expected="WA/withdrawal"))
        connection.execute(delete(stored).where(stored.c.paper == other.id))
    report = check_vault(vault)
    assert {problem.where for problem in report.problems} == {paper.id, other.id}


def test_every_fact_of_an_entity_comes_back(vault: Vault) -> None:
    whole = replace(
        ENTITY, has_creditors=False, contractors_paid=True, sold_business=True,
        last_wages=date(2026, 5, 20), plan_adopted=date(2026, 6, 1),
    )  # fmt: skip
    vault.put_entity(whole)
    assert vault.entity(ENTITY.slug) == whole
