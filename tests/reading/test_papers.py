"""Whole papers: our own in many layouts, and the sample scans. Nothing may be wrong without a flag."""

import tomllib
from functools import cache
from pathlib import Path

import pytest

from quietus.model.kinds import Authority, Kind
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import FIELDS, Reading, reading_from_json, reading_to_json
from quietus.reading.reader import read_bytes
from tests.reading.measure import agrees
from tests.reading.papers import paper

pytestmark = pytest.mark.ocr
SAMPLES = Path(__file__).parents[2] / "sample_docs"
TRUTH = {row["file"]: row for row in tomllib.loads((SAMPLES / "truth.toml").read_text("utf-8"))["paper"]}
MUST = ("kind", "jurisdiction", "filing_date")


@cache
def sample(name: str) -> Reading:
    return read_bytes((SAMPLES / "scans" / name).read_bytes(), limits=DEFAULT_LIMITS)[0]


def silent_errors(reading: Reading, truth: dict[str, object]) -> list[str]:
    return [name for name in FIELDS if not reading[name].review and not agrees(name, reading[name], truth.get(name))]


@pytest.mark.parametrize("seed", range(16))
def test_nothing_on_our_own_papers_is_wrong_without_a_flag(seed: int) -> None:
    drawn = paper(seed)
    reading = read_bytes(drawn.data, limits=DEFAULT_LIMITS)[0]
    assert silent_errors(reading, drawn.truth) == [], drawn.note


@pytest.mark.parametrize("name", sorted(TRUTH))
def test_nothing_on_the_samples_is_wrong_without_a_flag(name: str) -> None:
    assert silent_errors(sample(name), TRUTH[name]) == []


@pytest.mark.parametrize("name", sorted(name for name in TRUTH if name.startswith("b")))
def test_the_closed_companys_papers_leave_no_doubt(name: str) -> None:
    assert sample(name).doubts == ()
    assert all(agrees(field, sample(name)[field], TRUTH[name].get(field)) for field in MUST)


def test_the_stained_letter_leaves_a_doubt() -> None:
    assert sample("a11-ein-account-closure-letter.png").doubts


def test_a_reading_names_pages_values_and_engine() -> None:
    reading = sample("a04-tn-cancellation-of-certificate-of-authority.tif")
    assert [page.number for page in reading.pages] == [1, 2]
    assert reading.engine.startswith("tesserocr ")
    assert set(reading.values) == set(FIELDS)
    assert Kind(str(reading["kind"].value)) is Kind.WITHDRAWAL
    assert Authority(str(reading["authority"].value)) is Authority.STAMPED
    assert reading_from_json(reading_to_json(reading))["filing_date"].value == reading["filing_date"].value
