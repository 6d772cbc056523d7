"""Rule packs: what loads, what a firm can change, and what is said when a pack is wrong."""

import copy
import tomllib
from collections.abc import Iterator
from dataclasses import fields
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quietus.model.entity import JURISDICTIONS
from quietus.model.errors import BadData, Misuse
from quietus.model.expected import Basis, Claims, Window
from quietus.model.table import Table
from quietus.rules import Packs, describe_pack, load_packs
from quietus.rules.law import Demand, Rule, Section, Terms, When
from quietus.rules.packs import _READERS, _pack
from quietus.rules.upkeep import UpkeepRule

BUILT_IN = load_packs()
LOCAL = [code for code in BUILT_IN.codes if code in JURISDICTIONS]

HEADER = """
name = "Elsewhere"
filing_office = "Filing Office"
tax_agency = "Tax Agency"
income_tax = true
confidence = "low"
[sources.statute]
cite = "Code 1"
basis = "from memory"
checked = 2026-11-25
"""
RULE = """
[home.dissolution]
need = "required"
title = "Articles of Ending"
issuer = "filing_office"
next_step = "File them."
sources = ["statute"]
"""


def load(folder: Path, text: str, name: str = "PR.toml") -> Packs:
    (folder / name).write_text(text, encoding="utf-8")
    return load_packs([folder])


def rule(packs: Packs, code: str, section: Section, name: str) -> Rule:
    pack = packs.get(code)
    assert pack is not None
    return next(one for one in pack.rules(section) if one.name == name)


def every_terms(packs: Packs) -> list[tuple[str, Terms]]:
    found = []
    for code in packs.codes:
        pack = packs.get(code)
        assert pack is not None
        for section, rules in pack.sections.items():
            found += [(f"{code} {section} {one.name}", one.terms) for one in rules]
    return found


def test_every_term_of_a_rule_can_be_written_in_a_pack() -> None:
    assert _READERS.keys() == {field.name for field in fields(Terms)}


def test_the_federal_level_the_company_and_fifty_one_jurisdictions_come_built_in() -> None:
    assert BUILT_IN.codes[:2] == ("US", "company")
    assert set(LOCAL) == JURISDICTIONS - {"PR"}


@pytest.mark.parametrize("code", LOCAL)
def test_every_state_says_how_a_home_company_ends_and_a_foreign_one_withdraws(code: str) -> None:
    ending = rule(BUILT_IN, code, Section.HOME, "dissolution").terms
    leaving = rule(BUILT_IN, code, Section.FOREIGN, "withdrawal").terms
    assert ending.need is leaving.need is Demand.REQUIRED
    assert ending.office_mark and leaving.office_mark
    assert "company/consent" in ending.after


@pytest.mark.parametrize("code", LOCAL)
def test_every_state_says_where_it_stands_on_clearance(code: str) -> None:
    for section in (Section.HOME, Section.FOREIGN):
        clearance = rule(BUILT_IN, code, section, "clearance").terms
        if clearance.need is Demand.REQUIRED:
            assert clearance.supports == "filing" or clearance.after


def test_every_clearance_that_is_wanted_says_which_taxes_it_speaks_for() -> None:
    for place, terms in every_terms(BUILT_IN):
        if " clearance" in place and terms.need in (Demand.REQUIRED, Demand.ADVISED):
            assert terms.taxes, place


def test_no_rule_is_without_a_source_and_a_next_step() -> None:
    for place, terms in every_terms(BUILT_IN):
        assert terms.sources, place
        if terms.need in (Demand.REQUIRED, Demand.ADVISED):
            assert terms.next_step.endswith("."), place


def test_what_is_from_memory_says_so_in_the_pack() -> None:
    sources = rule(BUILT_IN, "OR", Section.FOREIGN, "withdrawal").terms.sources
    assert [source.basis for source in sources] == [Basis.MEMORY]


def test_a_firm_adds_a_jurisdiction_by_adding_a_file(tmp_path: Path) -> None:
    packs = load(tmp_path, HEADER + RULE)
    assert "PR" in packs.codes
    assert rule(packs, "PR", Section.HOME, "dissolution").terms.issuer == "Filing Office"


def test_a_firm_file_of_the_same_name_takes_the_place_of_the_built_in_pack(tmp_path: Path) -> None:
    packs = load(tmp_path, HEADER + RULE, "OR.toml")
    pack = packs.get("OR")
    assert pack is not None
    assert [one.name for one in pack.rules(Section.HOME)] == ["dissolution"]
    assert not pack.rules(Section.FOREIGN)


def test_a_firm_file_that_extends_changes_only_what_it_says(tmp_path: Path) -> None:
    packs = load(tmp_path, 'extends = true\n[foreign.clearance]\nneed = "advised"\nnext_step = "Ask."\n', "OR.toml")
    changed = rule(packs, "OR", Section.FOREIGN, "clearance").terms
    kept = rule(BUILT_IN, "OR", Section.FOREIGN, "clearance").terms
    assert (changed.need, changed.next_step) == (Demand.ADVISED, "Ask.")
    assert changed.sources == kept.sources
    assert rule(packs, "OR", Section.HOME, "clearance").terms.need is Demand.NONE
    assert rule(packs, "OR", Section.HOME, "dissolution") == rule(BUILT_IN, "OR", Section.HOME, "dissolution")


def test_a_firm_s_word_for_any_stands_over_the_built_in_word_for_home(tmp_path: Path) -> None:
    packs = load(tmp_path, 'extends = true\n[any.final_return]\nneed = "none"\n', "OR.toml")
    assert rule(packs, "OR", Section.HOME, "final_return").terms.need is Demand.NONE


def test_a_later_folder_stands_over_an_earlier_one(tmp_path: Path) -> None:
    for name, title in (("first", "First"), ("second", "Second")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "PR.toml").write_text(HEADER + RULE.replace("Articles of Ending", title), encoding="utf-8")
    packs = load_packs([tmp_path / "first", tmp_path / "second"])
    assert rule(packs, "PR", Section.HOME, "dissolution").terms.title == "Second"


def test_other_files_in_a_firm_folder_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("not a pack", encoding="utf-8")
    (tmp_path / ".PR.toml").write_text("not a pack", encoding="utf-8")
    assert load_packs([tmp_path]).codes == BUILT_IN.codes


def test_a_folder_that_is_not_there_is_misuse(tmp_path: Path) -> None:
    with pytest.raises(Misuse):
        load_packs([tmp_path / "nowhere"])


WRONG = {
    "unknown key at the top": ('colour = "red"\n' + HEADER, "colour", "known ones"),
    "unknown key in a rule": (HEADER + RULE + "tittle = 'x'\n", "home.dissolution.tittle", "known ones"),
    "not a kind": (HEADER + RULE.replace("dissolution]", "disolution]"), "home.disolution", "perhaps dissolution"),
    "section unknown": (HEADER + RULE.replace("[home.", "[here."), "here", "known ones"),
    "need unknown": (HEADER + RULE.replace('"required"', '"wanted"'), "home.dissolution.need", "required, advised"),
    "title missing": (HEADER + RULE.replace("title", "note"), "home.dissolution.title", "missing"),
    "next step missing": (HEADER + RULE.replace("next_step", "note"), "home.dissolution.next_step", "missing"),
    "title empty": (HEADER + RULE.replace("Articles of Ending", " "), "home.dissolution.title", "not empty"),
    "source unknown": (
        HEADER + RULE.replace('["statute"]', '["statutes"]'),
        "home.dissolution.sources",
        "perhaps statute",
    ),
    "no source": (HEADER + RULE.replace('["statute"]', "[]"), "home.dissolution.sources", "at least one source"),
    "source basis": (HEADER.replace("from memory", "heard"), "sources.statute.basis", "read, read in a private"),
    "source date quoted badly": (HEADER.replace("2026-11-25", '"soon"'), "sources.statute.checked", "date"),
    "name missing": (HEADER.replace("name =", "note ="), "name", "missing"),
    "confidence": (HEADER.replace('"low"', '"so-so"'), "confidence", "high, medium, low"),
    "flag quoted": (HEADER + RULE + 'office_mark = "yes"\n', "home.dissolution.office_mark", "true or false"),
    "a list wanted": (HEADER + RULE + 'forms = "12"\n', "home.dissolution.forms", "list of texts"),
    "days too many": (HEADER + RULE + "valid_days = 99999\n", "home.dissolution.valid_days", "whole number"),
    "due name unknown": (HEADER + RULE + 'due = "9999"\n', "home.dissolution.due", "[due.…]"),
    "after unknown": (HEADER + RULE + 'after = ["clearence"]\n', "home.dissolution.after", "name of a rule"),
    "after nowhere": (HEADER + RULE + 'after = ["ZZ/consent"]\n', "home.dissolution.after", "company/consent"),
    "condition unknown": (HEADER + RULE + 'when = { colour = "red" }\n', "home.dissolution.when.colour", "known ones"),
    "class unknown": (
        HEADER + RULE + 'when = { tax_class = ["partner"] }\n',
        "home.dissolution.when.tax_class",
        "perhaps partnership",
    ),
    "members": (HEADER + RULE + 'when = { members = "two" }\n', "home.dissolution.when.members", "one, several"),
    "variant without when": (
        HEADER + RULE + '[[home.dissolution.variant]]\nneed = "none"\n',
        "home.dissolution.variant[1].when",
        "facts of the entity",
    ),
    "variant unknown key": (
        HEADER + RULE + '[[home.dissolution.variant]]\nwhen = { assets = true }\nned = "none"\n',
        "home.dissolution.variant[1].ned",
        "known ones",
    ),
    "rule not a table": (HEADER + "[home]\ndissolution = 4\n", "home.dissolution", "a table"),
    "extends nothing": ("extends = true\n", "extends", "no pack for PR"),
    "due rule months": (
        HEADER + '[due.x]\ntitle = "t"\nevent = "year-end"\nmonths = 0\nday = 1\nsources = ["statute"]\n',
        "due.x.months",
        "from 1 to 60",
    ),
    "better after unknown": (
        HEADER + RULE + 'better_after = ["x"]\n',
        "home.dissolution.better_after",
        "name of a rule",
    ),
    "window of nothing": (HEADER + RULE + "window = { days = 3 }\n", "home.dissolution.window.after", "missing"),
    "window without length": (
        HEADER + RULE + 'window = { after = "company/consent" }\n',
        "home.dissolution.window.days",
        "whole number from 1",
    ),
    "window after nothing": (
        HEADER + RULE + 'window = { after = "clearance", days = 3 }\n',
        "home.dissolution.window.after",
        "name of a rule",
    ),
    "window unknown key": (
        HEADER + RULE + 'window = { after = "company/consent", weeks = 3 }\n',
        "home.dissolution.window.days",
        "missing",
    ),
    "claims without days": (
        HEADER + '[claims]\ncounted_from = "today"\nsources = ["statute"]\n',
        "claims.days",
        "missing",
    ),
    "claims unknown key": (
        HEADER + '[claims]\ndays = 120\ncounted_from = "x"\nyear = 3\nsources = ["statute"]\n',
        "claims.year",
        "known ones",
    ),
    "claims without source": (HEADER + '[claims]\ndays = 120\ncounted_from = "x"\n', "claims.sources", "at least one"),
    "condition not a flag": (
        HEADER + RULE + 'when = { creditors = "many" }\n',
        "home.dissolution.when.creditors",
        "true or false",
    ),
    "syntax": (HEADER + "[home.dissolution\n", "line 11", "TOML"),
    "syntax at the end": (HEADER + 'x = """never closed\n', "line 11", "TOML"),
    "key twice": (HEADER + RULE + 'title = "again"\n', "line 18", "TOML"),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_wrong_pack_gives_file_key_and_what_is_expected(case: str, tmp_path: Path) -> None:
    text, key, expected = WRONG[case]
    with pytest.raises(BadData) as caught:
        load(tmp_path, text)
    assert caught.value.file == "PR.toml"
    assert caught.value.key == key
    assert expected in caught.value.expected
    assert caught.value.exit_status == 2


def test_a_file_named_for_no_jurisdiction_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadData, match=r"Oregon\.toml"):
        load(tmp_path, HEADER, "Oregon.toml")


def test_text_that_is_not_utf_8_gives_its_line(tmp_path: Path) -> None:
    (tmp_path / "PR.toml").write_bytes(b'name = "x"\nnote = "\xff"\n')
    with pytest.raises(BadData) as caught:
        load_packs([tmp_path])
    assert caught.value.key == "line 2"


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(tmp_path: Path) -> None:
    (tmp_path / "PR.toml").write_bytes(b"\xef\xbb\xbf" + (HEADER + RULE).replace("\n", "\r\n").encode())
    assert "PR" in load_packs([tmp_path]).codes


def test_a_pack_too_large_is_refused(tmp_path: Path) -> None:
    (tmp_path / "PR.toml").write_bytes(b"#" * (8 * 1024 * 1024 + 1))
    with pytest.raises(BadData, match="at most"):
        load_packs([tmp_path])


SHIPPED = {
    code: tomllib.loads((files("quietus.rules") / "packs" / f"{code}.toml").read_text(encoding="utf-8"))
    for code in ("NJ", "CA", "FL", "ND")
}


def places(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of everything in a pack."""
    if path:
        yield path
    entries = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in entries:
        yield from places(value, (*path, key))


@given(
    st.sampled_from([(code, place) for code, data in SHIPPED.items() for place in places(data)]),
    st.one_of(st.none(), st.text(max_size=9), st.integers(), st.booleans(), st.dates(), st.lists(st.text(max_size=9)),
              st.dictionaries(st.text(max_size=9), st.integers(), max_size=2)),
)  # fmt: skip
def test_a_pack_with_one_value_changed_loads_whole_or_is_refused_with_file_and_key(
    chosen: tuple[str, tuple[Any, ...]], value: Any
) -> None:
    code, place = chosen
    data = copy.deepcopy(SHIPPED[code])
    inner = data
    for step in place[:-1]:
        inner = inner[step]
    inner[place[-1]] = value
    if value is None:
        del inner[place[-1]]
    try:
        packs = Packs({code: _pack(code, [Table(f"{code}.toml", data)], BUILT_IN.by_code["US"].due)})
    except BadData as fault:
        assert fault.file == f"{code}.toml"
        assert fault.key and fault.expected
    else:
        assert describe_pack(packs, code)


DOCS = Path(__file__).parents[2] / "docs" / "rule-packs.md"


def examples() -> list[str]:
    """The TOML examples of the manual."""
    return [part.split("```")[0] for part in DOCS.read_text(encoding="utf-8").split("```toml\n")[1:]]


def test_the_manual_names_every_key_of_the_other_tables() -> None:
    text = DOCS.read_text(encoding="utf-8")
    for names in (fields(UpkeepRule), fields(Claims), fields(Window), fields(When)):
        assert all(
            f"`{field.name}`" in text or f"{field.name} =" in text for field in names if field.name != "single_member"
        )


@pytest.mark.parametrize("name", ["WA.toml", "PR.toml"])
def test_the_example_packs_of_the_manual_load(name: str, tmp_path: Path) -> None:
    (example,) = (one for one in examples() if one.startswith(f"# rules/{name}"))
    packs = load(tmp_path, example, name)
    section = rule(packs, name[:2], Section.FOREIGN, "clearance" if name == "WA.toml" else "withdrawal")
    assert section.terms.need in (Demand.ADVISED, Demand.REQUIRED)


def test_the_manual_names_every_key_of_a_rule() -> None:
    text = DOCS.read_text(encoding="utf-8")
    assert all(f"| `{key}` |" in text for key in [*_READERS, "when", "variant"])
