"""Which entity and which expected paper a reading belongs to."""

from dataclasses import replace

from quietus.closing.matching import Place, place
from quietus.model.entity import Entity
from quietus.model.expected import ExpectedPaper
from quietus.model.kinds import Kind
from quietus.model.paper import Standing
from quietus.model.reading import Reading
from tests.closing.make import ENTITY, reading, want

OTHER = replace(
    ENTITY, slug="other", name="Fennelgate Pan Supply LLC", ein="09-7654321", former_names=("Panhandle LLC",)
)
EXPECTED = (
    want("company", Kind.CONSENT),
    want("OR", Kind.DISSOLUTION),
    want("US", Kind.FINAL_RETURN, forms=("1065",)),
    want("WA", Kind.WITHDRAWAL),
)


def placed(item: Reading) -> Place:
    def expected(_: Entity) -> tuple[ExpectedPaper, ...]:
        return EXPECTED

    return place(item, (ENTITY, OTHER), expected)


def test_name_kind_and_jurisdiction_file_a_paper() -> None:
    found = placed(reading(kind="dissolution", jurisdiction="OR", entity_name="KETTLEMOOR CRUMB AND CRUST LLC"))
    assert (found.standing, found.entity, found.expected) == (Standing.FILED, "kettlemoor", "OR/dissolution")
    assert not found.reading.doubts


def test_a_former_name_files_too() -> None:
    assert placed(reading(kind="consent", entity_name="Panhandle, L.L.C.")).entity == "other"


def test_the_ein_files_a_paper_in_another_name() -> None:
    found = placed(reading(kind="final_return", jurisdiction="US", ein="09-1234567", entity_name="Wrong Name LLC"))
    assert (found.entity, found.expected) == ("kettlemoor", "US/final_return")


def test_name_and_ein_of_two_entities_file_nowhere() -> None:
    found = placed(reading(kind="consent", ein="09-7654321", entity_name="Kettlemoor Crumb & Crust LLC"))
    assert found.standing is Standing.UNASSIGNED
    assert found.reading.doubts == ("ein",)


def test_a_stranger_belongs_to_nobody() -> None:
    assert (
        placed(reading(kind="dissolution", jurisdiction="OR", entity_name="Thimble LLC")).standing
        is Standing.UNASSIGNED
    )


def test_a_near_name_alone_waits_for_a_person() -> None:
    found = placed(reading(kind="dissolution", jurisdiction="OR", entity_name="Kettlemoor Crumb & Crvst LLC"))
    assert found.entity == "kettlemoor"
    assert found.reading.doubts == ("entity_name",)


def test_a_near_name_with_the_file_number_does_not_wait() -> None:
    item = reading(
        kind="dissolution", jurisdiction="OR", entity_name="Kettlemoor Crumb & Crvst LLC", file_number="1001"
    )
    assert not placed(item).reading.doubts


def test_a_doubtful_value_that_agrees_with_the_register_is_settled() -> None:
    item = reading(
        ("ein", "filing_date"), kind="consent", entity_name=ENTITY.name, ein=ENTITY.ein, filing_date="2026-01-02"
    )
    found = placed(item)
    assert found.reading.doubts == ("filing_date",)
    assert "agrees with the register" in found.reading["ein"].method


def test_a_form_that_the_rules_do_not_name_answers_nothing() -> None:
    assert placed(reading(kind="final_return", jurisdiction="US", form="1120", ein=ENTITY.ein)).expected == ""
    assert placed(reading(kind="final_return", jurisdiction="US", form="Form 1065", ein=ENTITY.ein)).expected


def test_a_dissolution_where_a_withdrawal_is_expected_waits() -> None:
    found = placed(reading(kind="dissolution", jurisdiction="WA", entity_name=ENTITY.name))
    assert found.expected == "WA/withdrawal"
    assert found.reading.doubts == ("kind",)
