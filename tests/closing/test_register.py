"""Entity lists, TOML and CSV: what they give, and how their faults are named."""

from datetime import date
from pathlib import Path

import pytest

from quietus.closing.register import read_register
from quietus.model.entity import TaxClass
from quietus.model.errors import BadData, Misuse

TOML = """
[[entity]]
name = "Fennelgate Pan Supply LLC"
ein = "091234567"
classification = "partnership"
home = "or"
closed = 2026-03-31
members = ["A", "B"]
[[entity.registration]]
jurisdiction = "WA"
file_number = "604 1"
"""
CSV = """name,ein,classification,home,closed,members,jurisdiction,file_number
Fennelgate Pan Supply LLC,09-1234567,partnership,OR,2026-03-31,A;B,WA,604 1
Fennelgate Pan Supply LLC,09-1234567,partnership,OR,2026-03-31,A;B,ID,77
"""


def write(folder: Path, name: str, text: str) -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def test_toml_gives_an_entity_with_its_home_first(tmp_path: Path) -> None:
    (entity,) = read_register(write(tmp_path, "list.toml", TOML), 10_000)
    assert (entity.slug, entity.ein, entity.home) == ("fennelgate-pan", "09-1234567", "OR")
    assert entity.tax_class is TaxClass.PARTNERSHIP
    assert entity.closed == date(2026, 3, 31)
    assert [r.jurisdiction for r in entity.registrations] == ["OR", "WA"]


def test_csv_rows_of_one_name_are_one_entity(tmp_path: Path) -> None:
    (entity,) = read_register(write(tmp_path, "list.csv", CSV), 10_000)
    assert [r.jurisdiction for r in entity.registrations] == ["OR", "WA", "ID"]
    assert entity.members == ("A", "B")


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('ein = "091234567"', 'ein = "12"', "entity[1].ein"),
        ('home = "or"', 'home = "ZZ"', "entity[1].home"),
        ('"partnership"', '"guild"', "entity[1].classification"),
        ("closed =", "closd =", "entity[1].closd"),
        ('jurisdiction = "WA"', 'jurisdiction = "Q"', "entity[1].registration[1].jurisdiction"),
        ("[[entity]]", "[[entity]", "line 2"),
    ],
)
def test_a_fault_is_named_by_file_and_key(tmp_path: Path, old: str, new: str, key: str) -> None:
    with pytest.raises(BadData) as caught:
        read_register(write(tmp_path, "list.toml", TOML.replace(old, new)), 10_000)
    assert caught.value.file == "list.toml"
    assert caught.value.key.startswith(key)
    assert "Fennelgate" not in caught.value.message


def test_csv_faults_are_named_by_line(tmp_path: Path) -> None:
    with pytest.raises(BadData, match="line 1"):
        read_register(write(tmp_path, "list.csv", "nom,ein\nx,y\n"), 10_000)
    with pytest.raises(BadData, match="line 2"):
        read_register(write(tmp_path, "list.csv", "name,ein\n,09-1234567\n"), 10_000)


def test_a_list_that_is_missing_too_large_or_of_another_format_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Misuse, match="can't be read"):
        read_register(tmp_path / "none.toml", 10_000)
    with pytest.raises(Misuse, match="larger"):
        read_register(write(tmp_path, "list.toml", TOML), 10)
    with pytest.raises(Misuse, match="ends in"):
        read_register(write(tmp_path, "list.txt", TOML), 10_000)


def test_one_ein_for_two_entities_is_refused(tmp_path: Path) -> None:
    second = TOML.replace("Fennelgate Pan", "Otherwise Pan")
    with pytest.raises(BadData, match="ein"):
        read_register(write(tmp_path, "list.toml", TOML + second), 10_000)
