"""What a verdict needs of a reading, and its short text."""

import json
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quietus.model.facts import facts_from_text, facts_of, facts_text
from quietus.model.paper import Standing
from quietus.model.reading import DATE_FIELDS, FIELDS, PageView, Reading, Value
from tests.closing.make import paper

FLAGS = {"stamped", "final_box"}


def some(name: str) -> st.SearchStrategy[str | bool | None]:
    """Values that a field can have."""
    if name in FLAGS:
        return st.none() | st.booleans()
    return st.none() | (st.dates().map(str) if name in DATE_FIELDS else st.text(max_size=9))


@st.composite
def readings(draw: st.DrawFn) -> Reading:
    values: dict[str, Value] = {}
    for name in draw(st.sets(st.sampled_from(FIELDS))):
        values[name] = Value(draw(some(name)), 0.9, review=draw(st.booleans()), raw=draw(st.text(max_size=5)))
    return Reading((PageView(1, 0, 0.0, "text", "ocr"),), values, "test")


@given(readings())
def test_the_short_text_gives_back_what_it_was_made_of(reading: Reading) -> None:
    values, doubts, title = facts_from_text(facts_text(reading))
    assert values == {name: reading[name].value for name in FIELDS if reading[name].value is not None}
    assert doubts == reading.doubts
    assert title == reading["kind"].raw


def test_a_paper_and_its_facts_say_the_same() -> None:
    one = paper(1, "OR/dissolution", doubts=("ein",), stamped=True, filing_date="2026-07-14", ein="09-1234567")
    facts = facts_of(one)
    assert (facts.id, facts.standing, facts.expected) == (one.id, Standing.FILED, one.expected)
    assert facts.waits is one.waits is True
    assert facts.doubts == ("ein",)
    assert (facts.flag("stamped"), facts.flag("ein"), facts.text("stamped")) == (True, None, None)
    assert facts.day("filing_date") == facts.counts_from == date(2026, 7, 14)


def test_a_doubtful_day_is_not_a_sure_one() -> None:
    facts = facts_of(paper(1, "", doubts=("signed_date",), signed_date="2026-07-14"))
    assert facts.day("signed_date") == date(2026, 7, 14)
    assert facts.sure_day("signed_date") is None


def test_a_paper_counts_from_the_office_s_day_before_the_signature() -> None:
    assert facts_of(paper(1, "", signed_date="2026-07-01")).counts_from == date(2026, 7, 1)
    both = facts_of(paper(1, "", signed_date="2026-07-01", filing_date="2026-07-14"))
    assert both.counts_from == date(2026, 7, 14)


@pytest.mark.parametrize("text", ["", "{}", "[1]", json.dumps([{}, []])])
def test_another_text_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        facts_from_text(text)
