"""Drawn shapes that carry words or digits: dark bands, and rows of cells."""

import cv2
import numpy as np
import pytest

from quietus.reading.bands import light_bands
from quietus.reading.combs import comb_digits, spread_digits
from quietus.reading.engine import Layout, recogniser
from quietus.reading.pixels import Gray
from quietus.reading.words import Rect
from tests.reading.helpers import lines_of

DPI = 200.0


def sheet() -> Gray:
    return np.full((600, 1700), 250, np.uint8)


def letters(page: Gray, words: str, left: int, base: int, gray: int, size: float = 1.1) -> None:
    cv2.putText(page, words, (left, base), cv2.FONT_HERSHEY_DUPLEX, size, gray, 2, cv2.LINE_AA)


@pytest.mark.ocr
def test_white_letters_on_a_dark_band_are_read() -> None:
    page = sheet()
    cv2.rectangle(page, (150, 150), (1500, 220), 70, -1)
    letters(page, "Vermont Secretary of State", 180, 198, 255)
    words = recogniser().words(light_bands(page, DPI), DPI, Layout.PAGE)
    assert "Vermont Secretary of State" in " ".join(word.text for word in words)


@pytest.mark.parametrize("box", [(0, 150, 1700, 220), (150, 150, 1500, 155), (150, 150, 300, 290)])
def test_a_shadow_at_the_edge_a_rule_and_a_dark_square_are_no_bands(box: tuple[int, int, int, int]) -> None:
    page = sheet()
    cv2.rectangle(page, box[:2], box[2:], 70, -1)
    assert light_bands(page, DPI) is page


def comb(digits: str, wall: int) -> tuple[Gray, Rect]:
    page = sheet()
    for index, digit in enumerate(digits):
        left = 200 + 44 * index + (22 if index > 1 else 0)
        cv2.rectangle(page, (left, 200), (left + 38, 250), wall, 1)
        letters(page, digit, left + 10, 238, 60, 0.8)
    return page, Rect(170, 150, 1100, 330)


@pytest.mark.ocr
@pytest.mark.parametrize("wall", [60, 150])
def test_digits_in_cells_are_read_without_the_walls(wall: int) -> None:
    page, near = comb("074418230", wall)
    found = comb_digits(page, near, DPI, recogniser())
    assert found is not None
    assert (found.digits, found.sure > 0.8) == ("074418230", True)


@pytest.mark.parametrize("digits", ["07441823", "0744182301", "0744 8230"])
def test_a_row_of_cells_that_is_no_ein_is_none(digits: str) -> None:
    page, near = comb(digits, 60)
    assert comb_digits(page, near, DPI, recogniser()) is None


def test_digits_set_apart_in_a_row_are_one_number() -> None:
    digits = ((1.0 + 0.4 * n + 0.3 * (n > 1), 2.0, digit) for n, digit in enumerate("074418230"))
    lines = lines_of((1.0, 1.7, "Federal employer identification number of the partnership"), *digits)
    found = spread_digits(lines, Rect(100, 300, 1600, 500))
    assert found is not None
    assert found.digits == "074418230"
