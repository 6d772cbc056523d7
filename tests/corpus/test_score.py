"""Scores count what they say they count."""

import pytest

from quietus.model.reading import PageView, Reading, Value
from tests.corpus.score import Row, Verdict, judged, reliability, share


def reading(*pages: int, **values: str | bool | Value) -> Reading:
    whole = {name: one if isinstance(one, Value) else Value(one, 0.97) for name, one in values.items()}
    return Reading(tuple(PageView(n, 0, 0.0, "", "ocr") for n in pages or (1,)), whole)


def row(first: int = 1, last: int = 1, **truth: object) -> Row:
    return {"file": "a.pdf", "first_page": first, "last_page": last, **truth}


def verdict(field: str, truth: object, read: str | bool | Value | None) -> Verdict:
    values = {} if read is None else {field: read}
    mine = row() if truth is None else {**row(), field: truth}
    return next(one.verdict for one in judged([mine], {"a.pdf": [reading(**values)]}) if one.field == field)


@pytest.mark.parametrize(
    ("field", "truth", "read", "expected"),
    [
        ("filing_date", "2026-07-14", "2026-07-14", Verdict.RIGHT),
        ("filing_date", "2026-07-14", "2026-07-08", Verdict.SILENT),
        ("filing_date", "2026-07-14", Value("2026-07-08", 0.4, review=True), Verdict.WRONG),
        ("filing_date", "2026-07-14", None, Verdict.SILENT),
        ("filing_date", None, "2026-07-14", Verdict.SILENT),
        ("filing_date", None, None, Verdict.RIGHT),
        ("signed_date", "2026-07-14", None, Verdict.MISSING),
        ("signed_date", None, "2026-07-14", Verdict.SILENT),
        ("entity_name", "Amberwick Optical, LLC", "AMBERWICK OPTICAL L.L.C.", Verdict.RIGHT),
        ("entity_name", "Amberwick Optical, LLC", "Amberwick Optical Inc.", Verdict.SILENT),
        ("form", "IA 1065", "IA-1065", Verdict.RIGHT),
        ("form", "1120-S", "1120", Verdict.SILENT),
        ("stamped", None, False, Verdict.RIGHT),
        ("stamped", None, True, Verdict.SILENT),
        ("stamped", False, None, Verdict.SILENT),
        ("stamped", False, False, Verdict.RIGHT),
        ("final_box", None, False, Verdict.SILENT),
        ("final_box", True, False, Verdict.SILENT),
    ],
)
def test_a_value_gets_its_verdict(field: str, truth: object, read: str | bool | None, expected: Verdict) -> None:
    assert verdict(field, truth, read) is expected


def test_a_paper_that_was_swallowed_by_another_is_wrong_in_silence() -> None:
    rows = [row(1, 1, kind="consent"), row(2, 2, kind="dissolution")]
    found = judged(rows, {"a.pdf": [reading(1, 2, kind="consent")]})
    kinds = [one.verdict for one in found if one.field == "kind"]
    assert kinds == [Verdict.RIGHT, Verdict.SILENT]


def test_papers_are_matched_by_their_pages() -> None:
    rows = [row(1, 2, kind="consent"), row(3, 3, kind="dissolution")]
    readings = {"a.pdf": [reading(3, kind="dissolution"), reading(1, 2, kind="consent")]}
    assert all(one.verdict is Verdict.RIGHT for one in judged(rows, readings))


def test_refused_files_and_unjudged_fields_are_left_out() -> None:
    assert judged([row(kind="consent")], {"a.pdf": None}) == []
    found = judged([row(kind="other", unjudged=["stamped"])], {"a.pdf": [reading(kind="other", stamped=True)]})
    assert "stamped" not in {one.field for one in found}


def test_shares_are_of_the_right_papers() -> None:
    rows = [row(filing_date="2026-07-14"), {**row(), "file": "b.pdf"}]
    readings = {"a.pdf": [reading(filing_date="2026-07-14")], "b.pdf": [reading(filing_date="2026-07-01")]}
    one = share([each for each in judged(rows, readings) if each.field == "filing_date"])
    assert (one.values, one.exact, one.silent, one.missing) == (1, 100.0, 50.0, 0.0)


def test_reliability_sorts_values_by_confidence() -> None:
    rows = [row(kind="consent"), {**row(kind="other"), "file": "b.pdf"}]
    readings = {"a.pdf": [reading(kind=Value("consent", 0.99))], "b.pdf": [reading(kind=Value("consent", 0.6))]}
    found = [one for one in judged(rows, readings) if one.field == "kind"]
    assert [(low, count, right) for low, _, count, _, right in reliability(found)] == [(0.5, 1, 0.0), (0.98, 1, 100.0)]
