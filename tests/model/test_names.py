"""The same company under differences of writing, and never another company."""

import pytest

from quietus.model.names import same_name


@pytest.mark.parametrize(
    "other",
    [
        "BRINDLEWICK OVEN & PROOFER WORKS LLC",
        "Brindlewick Oven and Proofer Works, L.L.C.",
        "Brindlewick Oven & Proofer Works Limited Liability Company",
        "Brindlewick Oven & Proofer Works, Ltd. Liability Co.",
        "Brindlewick  Oven & Proofer Works",
    ],
)
def test_suffix_and_punctuation_do_not_matter(other: str) -> None:
    assert same_name("Brindlewick Oven & Proofer Works LLC", other)


@pytest.mark.parametrize(
    "other",
    [
        "Brindlewick Oven & Proofer Works Inc.",
        "Brindlewick Oven & Proofer Works LP",
        "Brindlewick Oven & Proofer Works II LLC",
        "Brindlewick Oven Works LLC",
        "Brindlewyck Oven & Proofer Works LLC",
        "",
    ],
)
def test_another_company_is_not_the_same(other: str) -> None:
    assert not same_name("Brindlewick Oven & Proofer Works LLC", other)


def test_two_empty_names_are_not_one_company() -> None:
    assert not same_name("", "...")
