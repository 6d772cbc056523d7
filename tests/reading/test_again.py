"""A copy read again shows the same words and private places as a paper that is read for the first time."""

from pathlib import Path

import pytest

from quietus.model.limits import DEFAULT_LIMITS
from quietus.reading.again import words_of
from quietus.reading.opening import open_folio
from quietus.reading.reader import read_bytes

SCANS = Path(__file__).parents[2] / "sample_docs" / "scans"


@pytest.mark.ocr
@pytest.mark.parametrize("name", ["b01-or-articles-of-dissolution.pdf", "b02-wa-statement-of-withdrawal.pdf"])
def test_reading_again_finds_what_reading_finds(name: str) -> None:
    data = (SCANS / name).read_bytes()
    (first,) = read_bytes(data, limits=DEFAULT_LIMITS)
    again = words_of(open_folio(data, DEFAULT_LIMITS), "")
    assert first.private
    assert (again.private, again.pages, again.engine) == (first.private, first.pages, first.engine)
