"""The splits that measure: what their truth says stands on the paper, and each shares nothing with the others."""

import random
from datetime import date
from functools import cache
from unittest.mock import patch

import pypdfium2
import pytest
from reportlab.pdfgen.canvas import Canvas

from quietus.model.reading import DATE_FIELDS
from tests.corpus import days, draw, filemarks
from tests.corpus.doc import Doc
from tests.corpus.layouts import LAYOUTS, Layout, common_late, common_proof, common_trial, spare
from tests.corpus.stamps import DESIGNS, LATE, SPARE, SPLITS
from tests.corpus.stamps_late import INK_STYLES, TYPED_STYLES
from tests.corpus.stamps_proof import PRINT_STYLES, STAMP_STYLES, clocked
from tests.corpus.stamps_spare import CUT, PRESSWORK
from tests.corpus.stamps_trial import CAST, PRINTS

UNSEEN = SPLITS[SPLITS.index(LATE) :]
LARGE = [one for one in UNSEEN if one != SPARE]
MINE = [one for one in LAYOUTS if one.split in UNSEEN]
CLOCK = (lambda day: f"{day.year} {day:%b} {day.day:2d}", lambda day: f"{day:%b}. {day:%d}, {day.year}")
WAYS = (*days.PRINTED, *days.WRITTEN, *days.STAMPED, *CLOCK)
WAYS = (*WAYS, *common_late.STYLES, *INK_STYLES, *TYPED_STYLES, *common_trial.STYLES, *CAST, *PRINTS)
WAYS = (*WAYS, *common_proof.STYLES, *STAMP_STYLES, *PRINT_STYLES, clocked)
WAYS = (*WAYS, *spare.STYLES, *CUT, *PRESSWORK)


@cache
def written(layout: Layout, seed: int) -> tuple[Doc, str]:
    with patch("tests.corpus.doc.by_hand", typed):  # strokes of a pen are no text
        doc = draw._written(layout, random.Random(f"{layout.name} {seed}"), born=True)
    pages = pypdfium2.PdfDocument(doc.pdf())
    return doc, bare("".join(page.get_textpage().get_text_bounded() for page in pages))


def typed(pen: Canvas, x: float, y: float, text: str, size: float, dice: random.Random) -> None:
    pen.setFont("Courier", size * 0.8)
    pen.drawString(x, y, text)


def formal(day: date) -> str:
    return days.formal(day).removeprefix("the ")


def bare(text: str) -> str:
    return "".join(text.upper().split())


def letters(text: str) -> str:
    return "".join(sign for sign in text.upper() if sign.isalnum())


def papers(layout: Layout) -> list[tuple[Doc, str]]:
    return [written(layout, seed) for seed in range(4)]


@pytest.mark.parametrize("layout", MINE, ids=lambda one: f"{one.split}: {one.name}")
def test_names_and_numbers_of_the_truth_stand_on_the_paper(layout: Layout) -> None:
    for doc, text in papers(layout):
        for field in {"entity_name", "ein", "file_number", "form"} & set(doc.truth):
            assert letters(str(doc.truth[field])) in letters(text), field


@pytest.mark.parametrize("layout", MINE, ids=lambda one: f"{one.split}: {one.name}")
def test_days_of_the_truth_stand_on_the_paper(layout: Layout) -> None:
    for doc, text in papers(layout):
        for field in DATE_FIELDS & set(doc.truth):
            day = date.fromisoformat(str(doc.truth[field]))
            dots = field == "filing_date" and doc.design.startswith("perforated")
            assert dots or any(bare(style(day)) in text for style in (*WAYS, formal)), field


@pytest.mark.parametrize("layout", MINE, ids=lambda one: f"{one.split}: {one.name}")
def test_no_paper_names_a_form_or_a_number_that_the_truth_leaves_out(layout: Layout) -> None:
    for doc, text in papers(layout):
        if "ein" not in doc.truth:
            assert not any(word in text for word in ("FEIN", "EMPLOYERIDENT", "FEDERALID"))
        if "final_box" not in doc.truth:
            assert "FINALRETURN" not in text.replace("FILEAFINALRETURN", "")


@pytest.mark.parametrize("split", LARGE)
def test_the_jurisdictions_are_many(split: str) -> None:
    mine = [doc for one in MINE if one.split == split for doc, _ in papers(one)]
    seen = {str(doc.truth["jurisdiction"]) for doc in mine if "jurisdiction" in doc.truth}
    assert len(seen) >= 40
    assert "US" in seen


@pytest.mark.parametrize("split", UNSEEN)
def test_no_printed_mark_and_no_stamp_is_anothers(split: str) -> None:
    marks = [name for (owner, _), each in filemarks._PRINTED.items() for name, _ in each if owner == split]
    others = [name for (owner, _), each in filemarks._PRINTED.items() for name, _ in each if owner != split]
    assert not {*marks} & {*others}
    stamps = [one for one in DESIGNS if one.split == split]
    assert len(marks) + len([one for one in stamps if one.sort == "filed"]) >= (10 if split in LARGE else 8)
    assert not {one.make for one in stamps} & {one.make for one in DESIGNS if one.split != split}


@pytest.mark.parametrize("split", UNSEEN)
def test_the_same_seed_draws_the_same_bytes(split: str) -> None:
    assert [draw.drawn(5, split, n) for n in range(3)] == [draw.drawn(5, split, n) for n in range(3)]
