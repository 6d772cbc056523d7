"""The measuring scans are what they claim: seeded, told apart by split, truthful, and marked as samples."""

import io
import random
import tomllib
from datetime import date

import numpy as np
import pypdfium2
import pytest
from drawing.sheet import SAMPLE
from PIL import Image, ImageSequence

from quietus.model.kinds import Authority, Kind
from quietus.model.reading import DATE_FIELDS, FIELDS
from tests.corpus import days, draw, stamps, ticks
from tests.corpus.__main__ import toml
from tests.corpus.invent import invented, places
from tests.corpus.layouts import LAYOUTS, Layout
from tests.corpus.layouts.common import title_of
from tests.corpus.strokes import Pressed, Stamp, Stroke
from tests.corpus.wear import pressed

SPLITS = stamps.SPLITS
EXTRA = {
    "file", "first_page", "last_page", "layout", "degradation", "dpi", "skew", "turn", "quality", "container", "shadow",
    "ring", "holes", "stamp", "box", "unjudged",
}  # fmt: skip


def page_count(file: draw.File) -> int:
    if file.name.endswith(".pdf"):
        return len(pypdfium2.PdfDocument(file.data))
    return len(list(ImageSequence.Iterator(Image.open(io.BytesIO(file.data)))))


@pytest.fixture(scope="module", params=SPLITS)
def files(request: pytest.FixtureRequest) -> list[draw.File]:
    return [draw.drawn(11, request.param, number) for number in range(8)]


def test_the_same_seed_draws_the_same_bytes() -> None:
    assert [draw.drawn(5, "tune", n) for n in range(3)] == [draw.drawn(5, "tune", n) for n in range(3)]


def test_another_seed_draws_other_papers() -> None:
    assert draw.drawn(5, "tune", 0).data != draw.drawn(6, "tune", 0).data


def test_the_splits_share_no_layout_and_no_stamp() -> None:
    for things in ([(one.name, one.split) for one in LAYOUTS], [(one.name, one.split) for one in stamps.DESIGNS]):
        assert len({name for name, _ in things}) == len(things)
        assert {split for _, split in things} == set(SPLITS)


@pytest.mark.parametrize("split", [one for one in SPLITS if one != stamps.SPARE])  # a small one has some of them
def test_each_split_has_every_kind_of_paper_and_of_stamp(split: str) -> None:
    assert {kind for one in LAYOUTS if one.split == split for kind in one.kinds} == set(Kind)
    sorts = {one.sort for one in stamps.DESIGNS if one.split == split}
    assert sorts == {"filed", "received", "copy", "notary", "rejected"}


def test_the_jurisdictions_are_many_and_each_stands_there_once() -> None:
    assert len(places()) >= 25
    assert len({place.code for place in places()}) == len(places())


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda one: one.name)
def test_every_layout_fits_its_sheets_and_carries_the_sample_mark(layout: Layout) -> None:
    for seed in range(2):
        doc = draw._written(layout, random.Random(f"{layout.name}{seed}"), born=True)
        pages = pypdfium2.PdfDocument(doc.pdf())
        texts = [page.get_textpage().get_text_bounded() for page in pages]
        assert len(texts) == doc.page + 1 <= 3
        assert all(SAMPLE in text for text in texts)
        assert any(_letters(str(doc.truth["entity_name"])) in _letters(text) for text in texts)


def _letters(text: str) -> str:
    return "".join(sign for sign in text.upper() if sign.isalnum())


def test_truth_is_written_in_the_words_of_the_model(files: list[draw.File]) -> None:
    for row in (row for file in files for row in file.rows):
        assert set(row) <= {*FIELDS, *EXTRA}
        assert row["kind"] in set(Kind)
        assert row["authority"] in set(Authority)
        for name in DATE_FIELDS & set(row):
            date.fromisoformat(str(row[name]))
        assert ("filing_date" in row) == bool(row.get("stamped"))


def test_the_papers_of_a_file_cover_its_pages(files: list[draw.File]) -> None:
    for file in files:
        spans = [(int(str(row["first_page"])), int(str(row["last_page"]))) for row in file.rows]
        pages = [n for first, last in spans for n in range(first, last + 1)]
        assert pages == list(range(1, page_count(file) + 1))


def test_one_bit_scans_are_one_bit_and_something_is_printed_on_them(files: list[draw.File]) -> None:
    for file in files:
        if file.name.endswith((".tif", ".png")):
            image = Image.open(io.BytesIO(file.data))
            assert (image.mode == "1") == (file.rows[0]["degradation"] in {"fax", "bilevel"})
            assert np.asarray(image.convert("L")).std() > 5


def test_no_ein_has_a_prefix_that_the_irs_assigns() -> None:
    for seed in range(50):
        assert invented(random.Random(seed), places(), at_home=True).ein[:2] in {"00", "07", "08", "09"}


def test_days_follow_each_other() -> None:
    for seed in range(200):
        case = invented(random.Random(seed), places(), at_home=False)
        assert case.formed < case.ended < case.signed < case.received < case.filed < case.reach
        assert case.decided < case.signed
        assert case.home.code != case.place.code
        assert title_of(case, Kind.WITHDRAWAL) in case.place.withdrawal


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2026, 7, 1), "the 1st day of July, 2026"),
        (date(2026, 7, 12), "the 12th day of July, 2026"),
        (date(2026, 7, 23), "the 23rd day of July, 2026"),
    ],
)
def test_a_formal_day_has_its_ordinal(day: date, words: str) -> None:
    assert days.formal(day) == words


def test_a_stamp_that_reaches_over_the_edge_is_cut_there() -> None:
    stamp = Stamp("solid", (Stroke("rect", (5, 5, 95, 45), size=8),), 100, 50)
    page = np.full((1100, 850, 3), 255, np.uint8)
    out = pressed(page, Pressed(0, stamp, 612, 396, 0, (200, 0, 0)), 100, np.random.default_rng(1))
    dark = np.argwhere(out.min(axis=2) < 128)
    assert dark[:, 1].min() > 770
    assert out.shape == page.shape


@pytest.mark.parametrize("shape", ticks.SHAPES)
def test_every_shape_of_box_has_marks(shape: str) -> None:
    assert ticks.MARKS[shape]


def test_truth_is_toml() -> None:
    row: draw.Row = {"file": 'a "b".pdf', "stamped": True, "dpi": 200, "skew": -0.5, "unjudged": ["form"]}
    assert tomllib.loads(toml([row])) == {"paper": [row]}
