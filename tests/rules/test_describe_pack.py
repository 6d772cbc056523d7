"""`quietus rules show`: a pack in words, every rule with its source."""

import pytest

from quietus.model.errors import Misuse
from quietus.rules import describe_pack, load_packs

PACKS = load_packs()


@pytest.mark.parametrize("code", PACKS.codes)
def test_every_source_of_a_pack_is_told_with_its_basis_and_the_day_it_was_checked(code: str) -> None:
    text = describe_pack(PACKS, code)
    pack = PACKS.by_code[code]
    for rules in pack.sections.values():
        for rule in rules:
            assert rule.terms.title in text
            assert all(str(source) in text for source in rule.terms.sources)
            for variant in rule.variants:
                assert all(str(source) in text for source in variant.changes.get("sources", ()))


def test_small_letters_will_do() -> None:
    assert describe_pack(PACKS, "tn") == describe_pack(PACKS, "TN")
    assert describe_pack(PACKS, "COMPANY") == describe_pack(PACKS, "company")


def test_an_unknown_code_names_the_known_ones() -> None:
    with pytest.raises(Misuse) as caught:
        describe_pack(PACKS, "ZZ")
    assert "TN" in caught.value.remedy


def test_order_due_date_and_conditions_are_told_in_words() -> None:
    text = describe_pack(PACKS, "TN")
    assert "dated on or after: final_return" in text
    assert "15th day of the fourth month" in text
    federal = describe_pack(PACKS, "US")
    assert "only when it paid wages" in federal
    assert "began before 2026-01-01: 3 months, extension 7" in federal
