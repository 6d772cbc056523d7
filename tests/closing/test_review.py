"""A person settles doubts; both readings stay."""

import pytest

from quietus.closing.office import Office
from quietus.closing.register import keep_entities, read_register
from quietus.closing.review import assign, confirm, correct, parse_value, questions, reject
from quietus.model.errors import Misuse
from quietus.model.paper import Paper, Standing
from tests.closing.make import reading
from tests.conftest import ROOT


@pytest.fixture
def doubtful(office: Office) -> Paper:
    """A paper of the register's first entity whose filing date is in doubt."""
    keep_entities(office.vault, read_register(ROOT / "sample_docs" / "entities.toml", 100_000))
    return office.vault.file_paper(
        b"%PDF bytes as received",
        name="scan.pdf",
        media_type="application/pdf",
        pages=1,
        standing=Standing.FILED,
        entity="brindlewick-oven",
        expected="OR/dissolution",
        reading=reading(
            ("filing_date",),
            kind="dissolution",
            jurisdiction="OR",
            stamped=True,
            filing_date="2026-07-14",
            entity_name="Brindlewick Oven & Proofer Works LLC",
        ),
    )


def test_a_doubtful_paper_is_listed(office: Office, doubtful: Paper) -> None:
    (question,) = questions(office)
    assert question.paper.id == doubtful.id
    assert question.doubts == ("filing_date",)


def test_confirming_settles_and_keeps_both_readings(office: Office, doubtful: Paper) -> None:
    paper = confirm(office, doubtful.id[:8])
    assert not paper.waits
    assert paper.reading["filing_date"].method == f"person:{office.who}"
    assert questions(office) == ()
    first, second = office.vault.readings(doubtful.id)
    assert first[2]["filing_date"].review
    assert second[2]["filing_date"].confidence == 1.0


def test_correcting_puts_the_persons_value_in_place(office: Office, doubtful: Paper) -> None:
    paper = correct(office, doubtful.id, {"filing_date": "2026-07-16"})
    assert paper.reading.text("filing_date") == "2026-07-16"
    assert [r.text("filing_date") for _, _, r in office.vault.readings(paper.id)] == ["2026-07-14", "2026-07-16"]


def test_a_corrected_kind_finds_its_place_again(office: Office, doubtful: Paper) -> None:
    paper = correct(office, doubtful.id, {"kind": "withdrawal", "jurisdiction": "WA", "filing_date": "2026-07-16"})
    assert paper.expected == "WA/withdrawal"


def test_assigning_moves_a_paper(office: Office, doubtful: Paper) -> None:
    paper = assign(office, doubtful.id, "saltmarsh-sheeter")
    assert (paper.entity, paper.expected) == ("saltmarsh-sheeter", "OR/dissolution")
    with pytest.raises(Misuse):
        assign(office, doubtful.id, "nobody")
    with pytest.raises(Misuse):
        assign(office, doubtful.id, "saltmarsh-sheeter", "ZZ/poem")


def test_a_rejected_paper_no_longer_waits_and_is_kept(office: Office, doubtful: Paper) -> None:
    paper = reject(office, doubtful.id, "a fax cover sheet")
    assert paper.standing is Standing.REJECTED
    assert questions(office) == ()
    assert office.vault.paper_bytes(paper.id, "test") == b"%PDF bytes as received"
    with pytest.raises(Misuse):
        reject(office, doubtful.id, " ")


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        ("filing_date", "2026-02-28", "2026-02-28"),
        ("stamped", "yes", True),
        ("final_box", "no", False),
        ("jurisdiction", "wa", "WA"),
        ("kind", "clearance", "clearance"),
        ("ein", "", None),
    ],
)
def test_a_persons_text_becomes_a_value(field: str, text: str, value: object) -> None:
    assert parse_value(field, text) == value


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("filing_date", "28 Feb"),
        ("stamped", "maybe"),
        ("jurisdiction", "ZZ"),
        ("kind", "poem"),
        ("ein", "1"),
        ("x", "y"),
    ],
)
def test_a_text_of_another_form_is_refused(field: str, text: str) -> None:
    with pytest.raises(Misuse):
        parse_value(field, text)
