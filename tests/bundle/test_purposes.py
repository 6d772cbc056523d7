"""What bundles can be for."""

from pathlib import Path

import pytest

from quietus.bundle.drafts.consent_rules import needs_consent
from quietus.bundle.purposes import EVERY_SORT, Form, Reach, load_purposes, purpose_from
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
SHIPPED = {"lender", "contract", "state-notice", "bank-or-insurer", "buyer-counsel", "own-copy"}


def test_six_purposes_come_with_quietus() -> None:
    assert set(load_purposes()) == SHIPPED


@pytest.mark.parametrize("name", sorted(SHIPPED))
@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_is_explained(name: str, kind: Kind) -> None:
    purpose = load_purposes()[name]
    sent = purpose.goes_in.get(kind)
    assert (sent.why if sent else purpose.why_out(kind)).endswith(".")


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_every_purpose_has_a_cover_letter(name: str) -> None:
    assert load_purposes()[name].letter


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_every_kind_that_needs_a_consent_is_named_by_a_purpose_one_way_or_the_other(name: str) -> None:
    purpose = load_purposes()[name]
    assert needs_consent() <= set(purpose.goes_in) | set(purpose.stays_out)


@pytest.mark.parametrize("name", sorted(SHIPPED - {"own-copy"}))
def test_what_needs_a_consent_never_goes_to_a_stranger_as_received(name: str) -> None:
    purpose = load_purposes()[name]
    assert all(purpose.goes_in[kind].form is not Form.FULL for kind in purpose.needs_consent)


@pytest.mark.parametrize("name", sorted(SHIPPED - {"own-copy"}))
def test_no_stranger_sees_numbers_of_persons_or_accounts(name: str) -> None:
    for sent in load_purposes()[name].goes_in.values():
        assert {"ssn", "account_number"} <= sent.hide


@pytest.mark.parametrize("name", sorted(SHIPPED - {"own-copy", "state-notice"}))
def test_nobody_sees_a_home_but_the_state_in_whose_record_it_stands(name: str) -> None:
    for sent in load_purposes()[name].goes_in.values():
        assert "home_address" in sent.hide
    assert "home_address" in load_purposes()["state-notice"].goes_in[Kind.FINAL_RETURN].hide


@pytest.mark.parametrize(("name", "hidden"), [("lender", True), ("state-notice", False), ("buyer-counsel", False)])
def test_the_taxpayer_number_on_a_clearance_is_hidden_by_purpose(name: str, *, hidden: bool) -> None:
    assert ("ein" in load_purposes()[name].goes_in[Kind.CLEARANCE].hide) is hidden


def test_the_clients_own_copy_needs_no_consent_and_covers_what_is_somebody_elses() -> None:
    own = load_purposes()["own-copy"]
    assert own.to_taxpayer
    assert own.needs_consent == frozenset()
    assert own.goes_in[Kind.FINAL_RETURN].hide == frozenset()
    assert own.goes_in[Kind.FINAL_K1].form is Form.REDACTED
    assert own.goes_in[Kind.FINAL_K1].hide == {"ssn", "home_address"}


def test_a_state_hears_of_itself_and_of_the_end_at_home_alone() -> None:
    purpose = load_purposes()["state-notice"]
    assert purpose.reach is Reach.ONE
    assert purpose.covers("WA", Kind.WITHDRAWAL, "WA")
    assert purpose.covers("OR", Kind.DISSOLUTION, "WA")
    assert not purpose.covers("TN", Kind.WITHDRAWAL, "WA")
    assert not purpose.covers("OR", Kind.CLEARANCE, "WA")
    assert not purpose.covers("OR", Kind.FINAL_RETURN, "WA")


def test_a_firm_adds_and_replaces_purposes(tmp_path: Path) -> None:
    (tmp_path / "insurer.toml").write_text(GOOD)
    (tmp_path / "bank.toml").write_text(GOOD.replace('"insurer"', '"lender"'))
    purposes = load_purposes([tmp_path])
    assert purposes["insurer"].title == "Proof of closure for an insurer"
    assert set(purposes["lender"].goes_in) == {Kind.DISSOLUTION}


def test_a_firms_file_of_the_old_shape_sends_papers_whole_unless_they_show_something_private() -> None:
    sent = purpose_from("insurer.toml", GOOD.encode()).goes_in[Kind.DISSOLUTION]
    assert (sent.form, sent.hide) == (Form.FULL, EVERY_SORT)


def test_a_firm_may_name_what_needs_a_consent() -> None:
    purpose = purpose_from("insurer.toml", GOOD.replace('"dissolution"', '"final_return"').encode())
    assert purpose.needs_consent == {Kind.FINAL_RETURN}


def test_a_row_hides_what_it_says_and_otherwise_what_the_purpose_says() -> None:
    rows = (
        'hide = ["ein"]\n[[goes_in]]\nkinds = ["clearance"]\nwhy = "x"\nform = "redacted"\nhide = ["ssn"]\n[[goes_in]]'
    )
    purpose = purpose_from("insurer.toml", GOOD.replace("[[goes_in]]", rows).encode())
    assert purpose.goes_in[Kind.CLEARANCE].hide == {"ssn"}
    assert purpose.goes_in[Kind.DISSOLUTION].hide == {"ein"}


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('id = "insurer"', "", "id"),
        ('id = "insurer"', 'id = "In Surer"', "id"),
        ('"everywhere"', '"somewhere"', "reach"),
        ('["dissolution"]', '["disolution"]', "goes_in[1].kinds"),
        ('["dissolution"]', '["dissolution", "dissolution"]', "goes_in[1].kinds"),
        ('why = "It ends the company."', "", "goes_in[1].why"),
        ('why = "It ends the company."', 'why = "x"\nform = "whole"', "goes_in[1].form"),
        ('why = "It ends the company."', 'why = "x"\nhide = ["name"]', "goes_in[1].hide"),
        ("stays_out_otherwise", "stays_out_otherwhise", "stays_out_otherwise"),
        ("[[goes_in]]", 'from_home = ["dissolution"]\n[[goes_in]]', "from_home"),
        ("[[goes_in]]", '[[stays_out]]\nkinds = ["dissolution"]\nwhy = "x"\n[[goes_in]]', "stays_out"),
        ("[[goes_in]]", 'hide = ["face"]\n[[goes_in]]', "hide"),
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
