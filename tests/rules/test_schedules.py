"""Retention schedules: what comes with quietus, what an office can change, and what is said when one is wrong."""

from datetime import date
from pathlib import Path

import pytest

from quietus.model.errors import BadData, Misuse
from quietus.model.facts import PaperFacts
from quietus.model.kinds import Kind
from quietus.model.paper import Standing
from quietus.model.retention import Trigger
from quietus.rules import Schedules, default_schedule_folder, keep, load_schedules

DEFAULT = load_schedules([default_schedule_folder()])

GOOD = """
title = "Office"
[sources.office]
cite = "Office policy"
basis = "common practice, no source"
checked = 2026-11-25
[rules.ten-years]
title = "Ten years"
kinds = ["consent"]
trigger = "home-dissolved"
period = "10 years"
sources = ["office"]
"""


def load(folder: Path, text: str) -> Schedules:
    (folder / "office.toml").write_text(text, encoding="utf-8")
    return load_schedules([default_schedule_folder(), folder])


def ids(schedules: Schedules) -> set[str]:
    return {rule.id for rule in schedules.rules}


def test_six_schedules_come_with_quietus() -> None:
    assert {path.name for path in default_schedule_folder().glob("*.toml")} == {
        "federal-tax.toml",
        "employment.toml",
        "preparer.toml",
        "customer-information.toml",
        "closed-company.toml",
        "claims.toml",
    }


@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_of_paper_has_a_rule(kind: Kind) -> None:
    assert any(kind in rule.kinds for rule in DEFAULT.rules)


def test_every_rule_that_outlasts_the_ceiling_says_why_it_may() -> None:
    assert all(rule.past_ceiling for rule in DEFAULT.rules)


def test_the_disposal_limit_is_a_ceiling_and_no_rule() -> None:
    assert [ceiling.id for ceiling in DEFAULT.ceilings] == ["ftc-disposal"]
    assert "ftc-disposal" not in ids(DEFAULT)


def test_an_office_adds_a_rule_by_adding_a_file(tmp_path: Path) -> None:
    assert ids(load(tmp_path, GOOD)) == ids(DEFAULT) | {"ten-years"}


def test_a_file_of_the_same_name_takes_the_place_of_the_one_that_came(tmp_path: Path) -> None:
    (tmp_path / "closed-company.toml").write_text(GOOD, encoding="utf-8")
    schedules = load_schedules([default_schedule_folder(), tmp_path])
    assert "ten-years" in ids(schedules)
    assert "proof-of-closure" not in ids(schedules)


def test_a_rule_of_another_file_can_be_taken_out(tmp_path: Path) -> None:
    assert "winding-up-papers" not in ids(load(tmp_path, 'without = ["winding-up-papers"]\n' + GOOD))


def test_an_optional_rule_counts_only_once_turned_on(tmp_path: Path) -> None:
    assert "bad-debt-7-years" not in ids(DEFAULT)
    assert "bad-debt-7-years" in ids(load(tmp_path, 'options = ["bad-debt-7-years"]\n' + GOOD))


def test_no_folder_means_no_rule() -> None:
    assert load_schedules([]) == Schedules()


def test_a_folder_that_is_not_there_is_misuse(tmp_path: Path) -> None:
    with pytest.raises(Misuse):
        load_schedules([tmp_path / "nowhere"])


WRONG = {
    "unknown key": (GOOD + 'colour = "red"\n', "rules.ten-years.colour", "known ones"),
    "unknown key at the top": ('colour = "red"\n' + GOOD, "colour", "known ones"),
    "title missing": (GOOD.replace('title = "Office"', ""), "title", "missing"),
    "kind": (GOOD.replace('["consent"]', '["consents"]'), "rules.ten-years.kinds", "perhaps consent"),
    "jurisdiction": (GOOD + 'jurisdictions = ["Oregon"]\n', "rules.ten-years.jurisdictions", "one of"),
    "trigger": (GOOD.replace("home-dissolved", "today"), "rules.ten-years.trigger", "filed, later-of-filed-and-due"),
    "period": (GOOD.replace("10 years", "ten years"), "rules.ten-years.period", "7 years"),
    "period as a number": (GOOD.replace('"10 years"', "10"), "rules.ten-years.period", "text"),
    "permanent without a reason": (GOOD.replace("10 years", "permanent"), "rules.ten-years.past_ceiling", "for ever"),
    "year end": (GOOD + 'year_ends = "30-06"\n', "rules.ten-years.year_ends", "06-30"),
    "leap day as a year end": (GOOD + 'year_ends = "02-29"\n', "rules.ten-years.year_ends", "06-30"),
    "source": (GOOD.replace('["office"]', '["offices"]'), "rules.ten-years.sources", "perhaps office"),
    "name taken": (GOOD.replace("ten-years", "refund-claim"), "rules.refund-claim", "without"),
    "option unknown": ('options = ["bad-debt"]\n' + GOOD, "options", "perhaps bad-debt-7-years"),
    "without unknown": ('without = ["nothing"]\n' + GOOD, "without", "one of"),
    "ceiling key": (
        GOOD + '[ceilings.x]\ntitle = "X"\ntrigger = "last-use"\nperiod = "1 year"\nsources = ["office"]\n',
        "ceilings.x.says",
        "missing",
    ),
    "local code": (GOOD + '[rules.ten-years.in.ZZ]\nperiod = "1 year"\n', "rules.ten-years.in.ZZ", "USPS"),
    "local period": (
        GOOD + '[rules.ten-years.in.CA]\nsources = ["office"]\n',
        "rules.ten-years.in.CA.period",
        "missing",
    ),
    "second person": ('second_person = "yes"\n' + GOOD, "second_person", "true or false"),
    "syntax": (GOOD + "[rules\n", "line 13", "TOML"),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_wrong_schedule_gives_file_key_and_what_is_expected(case: str, tmp_path: Path) -> None:
    text, key, expected = WRONG[case]
    with pytest.raises(BadData) as caught:
        load(tmp_path, text)
    assert (caught.value.file, caught.value.key) == ("office.toml", key)
    assert expected in caught.value.expected


def test_the_example_schedule_of_the_manual_loads_and_every_trigger_is_told(tmp_path: Path) -> None:
    text = (Path(__file__).parents[2] / "docs" / "rule-packs.md").read_text(encoding="utf-8")
    (example,) = (p.split("```")[0] for p in text.split("```toml\n") if p.startswith('title = "Office policy"'))
    assert "notices-ten-years" in ids(load(tmp_path, example))
    assert all(f"`{trigger}`" in text for trigger in Trigger)


LOCAL = GOOD + '[rules.ten-years.in.CA]\nperiod = "2 years"\nsources = ["office"]\n'


def test_a_jurisdiction_s_own_period_takes_the_place_of_the_rule_s(tmp_path: Path) -> None:
    schedules = load(tmp_path, LOCAL)
    only = Schedules(tuple(rule for rule in schedules.rules if rule.id.startswith("ten-years")))
    found = {}
    for place, doubts in (("CA", ()), ("OR", ()), ("CA", ("jurisdiction",)), ("", ())):
        values: dict[str, str | bool] = {"kind": "consent", "signed_date": "2026-01-31", "filing_date": "2026-01-31"}
        values |= {"jurisdiction": place} if place else {}
        paper = PaperFacts("0" * 32, Standing.FILED, "one", "", "2026-01-31T00:00:00.000000+00:00", values, doubts)
        kept = keep(paper, None, date(2026, 1, 31), only)
        found[place, doubts] = [rule.rule for rule in kept.applied]
    assert found["CA", ()] == ["ten-years:CA"]
    assert found["OR", ()] == ["ten-years"]
    assert found["CA", ("jurisdiction",)] == ["ten-years", "ten-years:CA"]
    assert found["", ()] == ["ten-years"]


def test_a_rule_taken_out_takes_its_local_forms_along(tmp_path: Path) -> None:
    assert not {"ten-years", "ten-years:CA"} & ids(load(tmp_path, 'without = ["ten-years"]\n' + LOCAL))


def test_one_file_that_asks_for_a_second_person_is_enough(tmp_path: Path) -> None:
    assert not load(tmp_path, GOOD).second_person
    assert load(tmp_path, "second_person = true\n" + GOOD).second_person


def test_the_local_form_in_the_manual_loads(tmp_path: Path) -> None:
    text = (Path(__file__).parents[2] / "docs" / "rule-packs.md").read_text(encoding="utf-8")
    blocks = [part.split("```")[0] for part in text.split("```toml\n")[1:]]
    (example,) = (block for block in blocks if block.startswith('title = "Office policy"'))
    (local,) = (block for block in blocks if block.startswith("[rules.notices-ten-years.in."))
    assert "notices-ten-years:CA" in ids(load(tmp_path, f"{example}\n{local}"))
