"""The table of records-management requirements keeps to what is there."""

import re

from tests.conftest import ROOT

TABLE = (ROOT / "docs" / "standards.md").read_text(encoding="utf-8")
ROWS = [line for line in TABLE.splitlines() if line.startswith("| ")][2:]


def test_every_test_that_the_table_names_exists() -> None:
    named = set(re.findall(r"`(tests/[a-z_/]+\.py)`", TABLE))
    assert len(named) > 12
    assert [name for name in named if not (ROOT / name).is_file()] == []


def test_every_line_has_a_test_or_says_that_it_is_not_met() -> None:
    without = [row for row in ROWS if "`tests/" not in row]
    assert all("**not met**" in row for row in without)
    assert len(ROWS) > 30


def test_the_table_counts_its_own_gaps_right() -> None:
    unmet = sum("**not met**" in row for row in ROWS)
    partly = sum("**" in row for row in ROWS) - unmet
    assert f"Of {len(ROWS)} lines, {unmet} are not met and {partly} are met in part" in TABLE


def test_the_words_after_a_test_are_those_of_its_name() -> None:
    for name, words in re.findall(r"`(tests/[a-z_/]+\.py)`: ([^|;]+?) \|", TABLE):
        first = words.split(" …")[0]
        wanted = "_".join(re.findall(r"[a-z0-9]+", first.lower()))
        assert f"def test_{wanted}" in (ROOT / name).read_text(encoding="utf-8"), words
