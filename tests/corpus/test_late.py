"""The split written last: what its truth says stands on the paper, and it shares nothing with the others."""

import random
from datetime import date
from functools import cache

import pypdfium2
import pytest

from quietus.model.reading import DATE_FIELDS
from tests.corpus import days, draw, filemarks
from tests.corpus.doc import Doc
from tests.corpus.layouts import LAYOUTS, Layout
from tests.corpus.layouts.common_late import STYLES
from tests.corpus.stamps import DESIGNS, LATE
from tests.corpus.stamps_late import INK_STYLES, TYPED_STYLES

MINE = [one for one in LAYOUTS if one.split == LATE]
CLOCK = (lambda day: f"{day.year} {day:%b} {day.day:2d}", lambda day: f"{day:%b}. {day:%d}, {day.year}")
WAYS = (*days.PRINTED, *days.WRITTEN, *days.STAMPED, *STYLES, *INK_STYLES, *TYPED_STYLES, *CLOCK, days.formal)


@cache
def written(layout: Layout, seed: int) -> tuple[Doc, str]:
    doc = draw._written(layout, random.Random(f"{layout.name} {seed}"), born=True)
    pages = pypdfium2.PdfDocument(doc.pdf())
    return doc, bare("".join(page.get_textpage().get_text_bounded() for page in pages))


def bare(text: str) -> str:
    return "".join(text.upper().split())


def letters(text: str) -> str:
    return "".join(sign for sign in text.upper() if sign.isalnum())


def papers(layout: Layout) -> list[tuple[Doc, str]]:
    return [written(layout, seed) for seed in range(4)]


@pytest.mark.parametrize("layout", MINE, ids=lambda one: one.name)
def test_names_and_numbers_of_the_truth_stand_on_the_paper(layout: Layout) -> None:
    for doc, text in papers(layout):
        for field in {"entity_name", "ein", "file_number", "form"} & set(doc.truth):
            assert letters(str(doc.truth[field])) in letters(text), field


@pytest.mark.parametrize("layout", MINE, ids=lambda one: one.name)
def test_days_of_the_truth_stand_on_the_paper(layout: Layout) -> None:
    for doc, text in papers(layout):
        by_hand = layout.kinds[0].value.startswith("final") or "stamped" in doc.truth  # strokes are no text
        for field in DATE_FIELDS & set(doc.truth):
            day = date.fromisoformat(str(doc.truth[field]))
            dots = field == "filing_date" and doc.design.startswith("perforated")
            hand = field == "signed_date" and by_hand
            assert dots or hand or any(bare(style(day)) in text for style in WAYS), field


@pytest.mark.parametrize("layout", MINE, ids=lambda one: one.name)
def test_no_paper_names_a_form_or_a_number_that_the_truth_leaves_out(layout: Layout) -> None:
    for doc, text in papers(layout):
        if "ein" not in doc.truth:
            assert not any(word in text for word in ("FEIN", "EMPLOYERIDENT", "FEDERALID"))
        if "final_box" not in doc.truth:
            assert "FINALRETURN" not in text.replace("FILEAFINALRETURN", "")


def test_the_jurisdictions_are_many() -> None:
    seen = {str(doc.truth["jurisdiction"]) for one in MINE for doc, _ in papers(one) if "jurisdiction" in doc.truth}
    assert len(seen) >= 40
    assert "US" in seen


def test_no_printed_mark_and_no_stamp_is_anothers() -> None:
    marks = [name for (split, _), each in filemarks._PRINTED.items() for name, _ in each if split == LATE]
    others = [name for (split, _), each in filemarks._PRINTED.items() for name, _ in each if split != LATE]
    assert not {*marks} & {*others}
    stamps = [one for one in DESIGNS if one.split == LATE]
    assert len([one for one in stamps if one.sort == "filed"]) >= 10
    assert not {one.make for one in stamps} & {one.make for one in DESIGNS if one.split != LATE}


def test_the_same_seed_draws_the_same_bytes() -> None:
    assert [draw.drawn(5, LATE, n) for n in range(4)] == [draw.drawn(5, LATE, n) for n in range(4)]
