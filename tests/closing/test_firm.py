"""All closings at a glance: the same as one by one, quicker the second time, and never stale."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from quietus.closing import firm, summary
from quietus.closing.closings import verify, verify_all, waive
from quietus.closing.firm import overview
from quietus.closing.office import Office
from quietus.closing.summary import Docket, Summary, judge_many, summary_from_text, summary_of, summary_text
from quietus.model.entity import Entity, Registration
from quietus.model.errors import Damaged, MachineFault
from quietus.model.paper import Standing
from tests.closing.make import ENTITY, TODAY, reading

JUDGED: list[str] = []


@pytest.fixture(autouse=True)
def judged(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """Short names of the entities judged in this process, in order."""
    real = summary.judged

    def watched(packs: object, docket: Docket, today: date) -> Summary:
        found = real(packs, docket, today)  # type: ignore[arg-type]
        JUDGED.append(found.entity)
        return found

    monkeypatch.setattr(summary, "judged", watched)
    JUDGED.clear()
    yield JUDGED


def company(number: int) -> Entity:
    codes = ("WA", "CO", "TN", "NJ", "CA")
    registrations = (Registration("OR"), *(Registration(code) for code in codes[: number % 6]))
    return replace(
        ENTITY, slug=f"company-{number:03}", name=f"Company {number} LLC", ein=f"09-{number:07}",
        registrations=registrations,
    )  # fmt: skip


def file(office: Office, entity: Entity, expected: str = "company/consent", **values: str | bool) -> None:
    read = reading((), **{"entity_name": entity.name, "signed_date": "2026-07-01", **values})
    office.vault.file_paper(
        f"{entity.slug} {expected} {sorted(values.items())}".encode(), name="scan.pdf", media_type="application/pdf",
        pages=1, standing=Standing.FILED, entity=entity.slug, expected=expected, reading=read,
    )  # fmt: skip


@pytest.fixture
def firm_of_nine(office: Office) -> Office:
    with office.vault.transaction():
        for number in range(9):
            office.vault.put_entity(company(number))
            if number % 2:
                file(office, company(number))
    return office


def one_by_one(office: Office, today: date = TODAY) -> list[Summary]:
    found = [summary_of(verify(office, e.slug, today), e) for e in office.vault.entities()]
    return sorted(found, key=lambda one: (-one.blocking, -one.warning, one.entity))


def test_the_overview_says_what_each_verdict_says_worst_first(firm_of_nine: Office) -> None:
    assert list(overview(firm_of_nine, TODAY)) == one_by_one(firm_of_nine)
    assert [one.entity for one in overview(firm_of_nine, TODAY)] == [v.entity for v in verify_all(firm_of_nine, TODAY)]


def test_nothing_is_judged_twice(firm_of_nine: Office, judged: list[str]) -> None:
    first = overview(firm_of_nine, TODAY)
    assert len(judged) == 9
    judged.clear()
    assert overview(firm_of_nine, TODAY) == first
    assert judged == []


CHANGES: dict[str, Callable[[Office], object]] = {
    "paper": lambda office: file(office, company(2)),
    "entity": lambda office: office.vault.put_entity(replace(company(2), closed=None)),
    "waiver": lambda office: waive(office, "company-002", "company/consent", "one member", "agreement"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_has_its_closing_judged_again_and_no_other(
    firm_of_nine: Office, judged: list[str], change: str
) -> None:
    overview(firm_of_nine, TODAY)
    judged.clear()
    CHANGES[change](firm_of_nine)
    assert list(overview(firm_of_nine, TODAY)) == one_by_one(firm_of_nine)
    assert judged == ["company-002"]


def test_another_day_has_all_of_them_judged_again(firm_of_nine: Office, judged: list[str]) -> None:
    overview(firm_of_nine, TODAY)
    judged.clear()
    later = date(2027, 11, 20)
    assert list(overview(firm_of_nine, later)) == one_by_one(firm_of_nine, later)
    assert len(judged) == 9


def test_other_rules_have_all_of_them_judged_again(firm_of_nine: Office, judged: list[str]) -> None:
    before = {one.entity: one.expected for one in overview(firm_of_nine, TODAY)}
    judged.clear()
    pack = firm_of_nine.config.rules / "OR.toml"
    pack.write_text('extends = true\n[home.dissolution]\nneed = "advised"\n', encoding="utf-8")
    after = {one.entity: one.expected for one in overview(firm_of_nine, TODAY)}
    assert len(judged) == 9
    assert all(after[slug] == before[slug] - 1 for slug in before)


def test_an_empty_register_has_an_empty_overview(office: Office) -> None:
    assert overview(office, TODAY) == ()


def test_child_processes_find_the_same_in_the_same_order(
    firm_of_nine: Office, judged: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(firm, "POOL_FROM", 1)
    monkeypatch.setattr(summary, "_BATCH", 2)
    monkeypatch.setattr(firm, "_children", lambda _office: 2)
    found = overview(firm_of_nine, TODAY)
    assert judged == []  # not in this process
    assert list(found) == one_by_one(firm_of_nine)


def test_a_child_that_dies_is_reported(monkeypatch: pytest.MonkeyPatch, firm_of_nine: Office) -> None:
    def die(*_: object) -> Summary:
        import os  # noqa: PLC0415 - in the child

        os._exit(9)

    monkeypatch.setattr(summary, "judged", die)
    dockets = [Docket("{}", (), ())] * 3
    with pytest.raises(MachineFault, match="died"):
        list(judge_many(firm_of_nine.packs(), dockets, TODAY, 2))


def test_facts_that_cannot_be_read_back_are_damage() -> None:
    with pytest.raises(Damaged, match="facts of paper ab"):
        summary.facts_of_row(("x", "ab", "filed", "", "", "{"))


def test_a_vault_that_cannot_be_written_still_gives_its_overview(
    firm_of_nine: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_fresh: object) -> None:
        raise MachineFault("The disk is read-only.", "")

    monkeypatch.setattr(firm_of_nine.vault, "keep_verdicts", refuse)
    assert list(overview(firm_of_nine, TODAY)) == one_by_one(firm_of_nine)


def test_a_summary_comes_back_from_its_text(firm_of_nine: Office) -> None:
    for one in overview(firm_of_nine, TODAY):
        assert summary_from_text(summary_text(one)) == one
        assert one.proven <= one.expected


def test_the_digest_of_rules_changes_with_a_pack(tmp_path: Path, office: Office) -> None:
    before = firm.rules_digest(office.packs())
    assert firm.rules_digest(office.packs()) == before
    (office.config.rules / "WA.toml").write_text("extends = true\n", encoding="utf-8")
    assert firm.rules_digest(office.packs()) != before
