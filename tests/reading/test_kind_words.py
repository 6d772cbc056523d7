"""Titles and wordings of offices, agencies and companies, as lines of text: what kind they are, and whose."""

from functools import cache
from pathlib import Path
from textwrap import wrap

import pytest

from quietus.model.kinds import Kind
from quietus.reading.evidence import told_and_placed
from quietus.reading.tables import table
from quietus.reading.words import Line, Rect, Word

DPI, HIGH, TEXT, TITLE = 200.0, 2200.0, 28.0, 44.0


def laid(paper: str) -> tuple[Line, ...]:
    """The lines of a page, each word with a place; those after `#` set larger."""
    lines = []
    top = 0.7 * DPI
    for text in paper.split(" / "):
        tall = TITLE if text.startswith("# ") else TEXT
        for row in wrap(text.removeprefix("# "), 92):
            left, words = 0.8 * DPI, []
            for word in row.split():
                wide = 0.55 * tall * len(word)
                words.append(Word(word, Rect(left, top, left + wide, top + tall), 0.95))
                left += wide + 0.4 * tall
            lines.append(Line(tuple(words)))
            top += 1.4 * tall
        top += 0.5 * tall
    return tuple(lines)


@cache
def papers() -> tuple[tuple[str, str, str], ...]:
    """Kind, jurisdiction and lines of each paper of the list."""
    rows = Path(__file__).with_name("kind_words.txt").read_text("utf-8").splitlines()
    found = []
    for row in rows:
        if row and not row.startswith("#"):
            head, lines = row.split(" :: ", 1)
            kind, place = head.split()
            found.append((kind, place, lines))
    return tuple(found)


@pytest.mark.parametrize(("kind", "place", "lines"), papers(), ids=lambda value: str(value)[:60])
def test_a_papers_wording_tells_its_kind_and_its_jurisdiction(kind: str, place: str, lines: str) -> None:
    bars = table("bars.toml")
    told, placed = told_and_placed([laid(lines)], [HIGH], [])
    assert told.kind is Kind(kind.rstrip("?"))
    if not kind.endswith("?"):
        assert told.sure >= bars["kind"]
    if place != "-":
        assert placed.code == place
        assert placed.sure >= bars["jurisdiction"]
