"""Data that people edit: every fault is named with file, key and expectation."""

from datetime import date
from typing import Any

import pytest

from quietus.model.errors import BadData
from quietus.model.kinds import Kind
from quietus.model.table import Table


def table(**data: Any) -> Table:
    return Table("firm.toml", data)


def test_values_come_back_typed() -> None:
    t = table(name=" Kiln ", on=True, days=30, day=date(2026, 3, 31), kind="consent", names=["a", "b"])
    assert t.text("name") == "Kiln"
    assert t.flag("on") is True
    assert t.number("days") == 30
    assert t.day("day") == date(2026, 3, 31)
    assert t.choice("kind", Kind) is Kind.CONSENT
    assert t.texts("names") == ("a", "b")
    t.done()


@pytest.mark.parametrize(
    ("ask", "data", "expected"),
    [
        (lambda t: t.text("x"), {}, "missing"),
        (lambda t: t.text("x"), {"x": ""}, "not empty"),
        (lambda t: t.text("x"), {"x": 3}, "text in quotes"),
        (lambda t: t.flag("x"), {"x": "yes"}, "true or false"),
        (lambda t: t.number("x"), {"x": True}, "whole number"),
        (lambda t: t.number("x", most=5), {"x": 6}, "from 0 to 5"),
        (lambda t: t.day("x"), {"x": "31 March"}, "a date such as"),
        (lambda t: t.day("x"), {}, "missing"),
        (lambda t: t.choice("x", Kind), {"x": "poem"}, "one of consent"),
        (lambda t: t.texts("x"), {"x": ["a", ""]}, "none of them empty"),
        (lambda t: list(t.tables("x")), {"x": [1]}, "[[rule[2].x]]"),
        (lambda t: t.done(), {"misspelt": 1}, "no such key"),
    ],
)
def test_a_fault_names_file_key_and_expectation(ask: Any, data: dict[str, Any], expected: str) -> None:
    with pytest.raises(BadData) as caught:
        ask(Table("firm.toml", data, "rule[2]"))
    assert caught.value.file == "firm.toml"
    assert caught.value.key.startswith("rule[2].")
    assert expected in caught.value.expected
    assert caught.value.exit_status == 2
