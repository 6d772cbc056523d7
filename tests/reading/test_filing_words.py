"""How offices word that they took a paper, and what only looks like it: a table of texts, read as words alone."""

import tomllib
from functools import cache
from pathlib import Path

import pytest

from quietus.reading.filed import OfficeMark, office_mark
from quietus.reading.printed import Seen
from quietus.reading.roles import dates_in
from quietus.reading.tables import table
from tests.reading.helpers import lines_of

DAY = "2025-03-04"
PLACES = {"corner": (4.0, 0.5), "left": (0.8, 0.35), "foot": (0.8, 10.4), "body": (0.8, 3.2), "page": (0.8, 0.8)}
FORM = (
    (0.8, 1.3, "Oregon Secretary of State, Corporation Division"),
    (0.8, 1.6, "ARTICLES OF DISSOLUTION"),
    (0.8, 1.85, "Limited Liability Company"),
    (0.8, 2.2, "1. Name of the limited liability company: Old Kiln Mixers LLC"),
    (0.8, 2.5, "2. The company has been dissolved by the consent of all members."),
    (0.8, 4.2, "Date signed: February 27, 2025"),
    (0.8, 4.5, "Signature of an authorized person: Alma Birch, Member"),
)
WIDE = 2.45  # inches from one cell to the next
CASES = tomllib.loads(Path(__file__).with_name("filing_words.toml").read_text("utf-8"))


@cache
def mark_in(case: str) -> OfficeMark:
    """The office's mark on a page with the text."""
    place, _, text = case.partition(": ")
    place, text = (place, text) if place in PLACES else ("corner", case)
    x, y = PLACES[place]
    rows = [
        (x + WIDE * cell, y + 0.18 * number, words)
        for number, line in enumerate(text.split(" / "))
        for cell, words in enumerate(line.split("    "))
    ]
    lines = lines_of(*rows, *(() if place == "page" else FORM), size=9)
    return office_mark([Seen(lines, (), tuple(dates_in(lines)), typeset=False)], unread=False)


def outcome(mark: OfficeMark) -> str:
    """`none` or the date, with a question mark when a person is asked."""
    bars = table("bars.toml")
    unsure = mark.sure < bars["stamped"] or (mark.stamped and mark.day_sure < bars["filing_date"])
    return (str(mark.day) if mark.stamped else "none") + ("?" if unsure else "")


@pytest.mark.parametrize("case", CASES["read"])
def test_a_worded_filing_is_read(case: str) -> None:
    assert outcome(mark_in(case)) == DAY


@pytest.mark.parametrize("case", CASES["offered"])
def test_what_could_be_a_filing_is_never_passed_over(case: str) -> None:
    assert outcome(mark_in(case)) in {DAY, DAY + "?"}


@pytest.mark.parametrize("case", CASES["none"])
def test_another_date_is_no_filing_date(case: str) -> None:
    assert outcome(mark_in(case)) == "none"


@pytest.mark.parametrize("case", CASES["asked"])
def test_a_date_of_an_office_that_filed_nothing_is_never_surely_the_filing_date(case: str) -> None:
    assert outcome(mark_in(case)) in {"none", "none?", DAY + "?", "None?"}
