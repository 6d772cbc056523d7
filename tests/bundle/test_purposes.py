"""What bundles can be for."""

from pathlib import Path

import pytest

from quietus.bundle import Reach, load_purposes
from quietus.bundle.purposes import NEEDS_CONSENT, purpose_from
from quietus.model.errors import BadData, MachineFault
from quietus.model.kinds import Kind

GOOD = """
id = "insurer"
title = "Proof of closure for an insurer"
intro = "What an insurer asked."
reach = "everywhere"
stays_out_otherwise = "Not asked for."
[[goes_in]]
kinds = ["dissolution"]
why = "It ends the company."
"""


def test_three_purposes_come_with_quietus() -> None:
    assert set(load_purposes()) == {"lender", "contract", "state-notice"}


@pytest.mark.parametrize("name", ["lender", "contract", "state-notice"])
def test_no_shipped_purpose_sends_what_needs_a_consent(name: str) -> None:
    assert not NEEDS_CONSENT & set(load_purposes()[name].goes_in)


@pytest.mark.parametrize("name", ["lender", "contract", "state-notice"])
@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_is_explained(name: str, kind: Kind) -> None:
    purpose = load_purposes()[name]
    assert purpose.goes_in.get(kind) or purpose.why_out(kind).endswith(".")


@pytest.mark.parametrize("kind", sorted(NEEDS_CONSENT))
def test_a_firm_cannot_add_a_purpose_that_sends_tax_return_information(kind: Kind) -> None:
    with pytest.raises(BadData, match="needs a consent"):
        purpose_from("insurer.toml", GOOD.replace('"dissolution"', f'"{kind}"').encode())


def test_a_state_hears_of_itself_and_of_the_end_at_home_alone() -> None:
    purpose = load_purposes()["state-notice"]
    assert purpose.reach is Reach.ONE
    assert purpose.covers("WA", Kind.WITHDRAWAL, "WA")
    assert purpose.covers("OR", Kind.DISSOLUTION, "WA")
    assert not purpose.covers("TN", Kind.WITHDRAWAL, "WA")
    assert not purpose.covers("OR", Kind.CLEARANCE, "WA")


def test_a_firm_adds_and_replaces_purposes(tmp_path: Path) -> None:
    (tmp_path / "insurer.toml").write_text(GOOD)
    (tmp_path / "bank.toml").write_text(GOOD.replace('"insurer"', '"lender"'))
    purposes = load_purposes([tmp_path])
    assert purposes["insurer"].title == "Proof of closure for an insurer"
    assert set(purposes["lender"].goes_in) == {Kind.DISSOLUTION}


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('id = "insurer"', "", "id"),
        ('id = "insurer"', 'id = "In Surer"', "id"),
        ('"everywhere"', '"somewhere"', "reach"),
        ('["dissolution"]', '["disolution"]', "goes_in[1].kinds"),
        ('["dissolution"]', '["dissolution", "dissolution"]', "goes_in[1].kinds"),
        ('why = "It ends the company."', "", "goes_in[1].why"),
        ("stays_out_otherwise", "stays_out_otherwhise", "stays_out_otherwise"),
        ("[[goes_in]]", 'from_home = ["dissolution"]\n[[goes_in]]', "from_home"),
        ("[[goes_in]]", '[[stays_out]]\nkinds = ["dissolution"]\nwhy = "x"\n[[goes_in]]', "stays_out"),
        ("[[goes_in]]", "colour = 3\n[[goes_in]]", "colour"),
        ("title =", "title ==", "the file"),
    ],
)
def test_a_fault_is_named_with_file_and_key(old: str, new: str, key: str) -> None:
    with pytest.raises(BadData) as caught:
        purpose_from("insurer.toml", GOOD.replace(old, new).encode())
    assert (caught.value.file, caught.value.key) == ("insurer.toml", key)


def test_text_that_is_not_utf8_is_refused() -> None:
    with pytest.raises(BadData, match="UTF-8"):
        purpose_from("insurer.toml", GOOD.encode() + b'caution = "\xff"')


def test_a_folder_that_cannot_be_read_is_a_fault_of_the_machine(tmp_path: Path) -> None:
    with pytest.raises(MachineFault):
        load_purposes([tmp_path / "none"])
