import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Box
from quietus.reading.engine import recogniser
from quietus.reading.opening import open_folio
from quietus.reading.pixels import turned
from quietus.reading.upright import Stance, Way, stance_of
from quietus.reading.words import Rect
from tests.reading.pages import worn
from tests.reading.papers import boxed_form, case

ways = st.builds(
    lambda turn, skew, wide, high: Way(Stance(turn, skew), wide, high),
    st.sampled_from([0, 90, 180, 270]),
    st.floats(-5, 5),
    st.integers(800, 2600),
    st.integers(800, 2600),
)


@given(ways, st.floats(0.2, 0.7), st.floats(0.2, 0.7), st.floats(0.05, 0.1), st.floats(0.05, 0.1))
def test_a_box_goes_there_and_comes_back(way: Way, left: float, top: float, wide: float, high: float) -> None:
    box = Box(left, top, left + wide, top + high)
    back = way.back(way.forth(box))
    slack = 0.03  # a leaning rectangle's frame is larger than the rectangle
    assert back.left <= box.left + 1e-6
    assert back.right >= box.right - 1e-6
    assert back.left > box.left - slack
    assert back.bottom < box.bottom + slack


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_mark_on_the_page_is_found_where_the_way_says(turn: int) -> None:
    upright = np.full((300, 200), 255, np.uint8)
    upright[50:60, 20:40] = 0
    received = turned(upright, (360 - turn) % 360)
    high, wide = received.shape
    box = Way(Stance(turn, 0.0), 200, 300).back(Rect(20, 50, 40, 60))
    rows, columns = np.nonzero(received == 0)
    assert (round(box.left * wide), round(box.right * wide)) == (columns.min(), columns.max() + 1)
    assert (round(box.top * high), round(box.bottom * high)) == (rows.min(), rows.max() + 1)


@pytest.mark.ocr
@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("skew", [-4.5, 0.0, 2.3])
def test_turn_and_skew_are_found(turn: int, skew: float) -> None:
    page = worn(boxed_form(case(4), "Articles of Dissolution", foreign=False).picture(150, 4), 4, skew=skew)
    received = np.asarray(page.rotate(turn, expand=True).convert("L"))
    stance = stance_of(received, 150, recogniser())
    assert stance.turn == turn
    assert abs(stance.skew - skew) < 0.35


def test_a_blank_page_is_taken_as_it_came() -> None:
    assert stance_of(np.full((600, 400), 255, np.uint8), 72, recogniser()) == Stance(0, 0.0)


@pytest.mark.parametrize("how", ["PNG", "JPEG", "TIFF"])
@pytest.mark.parametrize("mode", ["RGB", "L"])
def test_a_page_of_600_dpi_comes_at_half_its_size_and_looks_the_same(how: str, mode: str) -> None:
    large = np.full((6600, 5100), 250, np.uint8)
    large[1000:1300, 500:4000] = 30
    out = io.BytesIO()
    Image.fromarray(large).convert(mode).save(out, how, dpi=(600, 600))
    raster = open_folio(out.getvalue(), DEFAULT_LIMITS).raster(1)
    assert raster.dpi == pytest.approx(300, abs=0.1)
    assert raster.picture.shape[:2] == (3300, 2550)
    gray = raster.picture if mode == "L" else raster.picture[:, :, 1]
    assert np.abs(gray[500:650, 250:2000].astype(int) - 30).max() < 12
    assert np.abs(gray[700:, :].astype(int) - 250).max() < 6
