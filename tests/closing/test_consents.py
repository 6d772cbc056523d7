"""Consents: what is recorded, when one holds, and what it lets out."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import pytest

from quietus.closing.answer import Order, Plan, plan
from quietus.closing.consents import (
    check_own_copy,
    consent_named,
    consents,
    filer_of,
    last_day,
    permission,
    record_consent,
    taxpayer_of,
    withdraw_consent,
)
from quietus.closing.office import Office
from quietus.closing.review import reject
from quietus.model.consent import Filer
from quietus.model.entity import TaxClass
from quietus.model.errors import Misuse
from quietus.model.kinds import Kind
from tests.closing.answering import COMPANY, TODAY, closed_office, file_paper, signed, signed_paper, somebody


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """One office for all of these tests: each names a recipient of its own."""
    with closed_office(tmp_path_factory.mktemp("consents") / "office") as opened:
        yield opened


@pytest.fixture(scope="module")
def paper(office: Office) -> str:
    """The id of a signed consent in the vault."""
    return signed_paper(office).id


@pytest.fixture
def bank() -> str:
    return somebody()


def lender(office: Office, to: str, day: date = TODAY, purpose: str = "lender") -> Plan:
    return plan(office, Order(COMPANY.slug, purpose, to), day, day)


def goes(planned: Plan) -> set[str]:
    return {item.expected.key for item in planned.selection.included}


def why(planned: Plan, key: str) -> str:
    papers = {paper.id for paper in planned.papers.values() if paper.expected == key}
    return next(left.reason for left in planned.selection.left_out if left.paper in papers)


def test_without_a_consent_no_return_goes_out_and_the_reason_is_told(office: Office, bank: str) -> None:
    planned = lender(office, bank)
    assert goes(planned) == {"OR/dissolution", "WA/withdrawal"}
    assert "none is on file" in why(planned, "US/final_return")
    assert planned.selection.with_consent == (Kind.FINAL_RETURN, Kind.EIN_CLOSURE_LETTER)


def test_a_consent_lets_out_what_it_names_and_nothing_else(office: Office, paper: str, bank: str) -> None:
    made = record_consent(office, signed(paper[:8], recipient=bank), TODAY)
    planned = lender(office, bank)
    assert goes(planned) == {"OR/dissolution", "WA/withdrawal", "US/final_return", "OR/final_return"}
    assert planned.used == (made,)
    assert "does not name EIN closure letter" in why(planned, "US/ein_closure_letter")
    assert planned.selection.with_consent == (Kind.EIN_CLOSURE_LETTER,)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"recipient": "Second Example Bank"}, "another recipient"),
        ({"purpose": "buyer-counsel"}, "another purpose"),
        ({"kinds": frozenset({Kind.FINAL_K1})}, "does not name final return"),
        ({"scopes": frozenset({"OR"})}, "does not name US"),
        ({"years": frozenset({2025})}, "does not name the paper's year"),
        ({"signed": date(2025, 11, 20)}, "ran out on 2026-11-19"),
        ({"signed": date(2026, 10, 1), "until": date(2026, 10, 31)}, "ran out on 2026-10-31"),
    ],
)
def test_a_consent_that_does_not_fit_lets_nothing_out(
    office: Office, paper: str, bank: str, more: dict[str, object], says: str
) -> None:
    record_consent(office, signed(paper, **{"recipient": bank, **more}), TODAY)
    planned = lender(office, bank)
    assert "US/final_return" not in goes(planned)
    assert says in why(planned, "US/final_return")


def test_the_recipient_may_differ_in_blanks_and_capitals_alone(office: Office, paper: str, bank: str) -> None:
    record_consent(office, signed(paper, recipient=bank), TODAY)
    assert "US/final_return" in goes(lender(office, f" {bank.upper()} "))
    assert "US/final_return" not in goes(lender(office, f"{bank}, second floor"))


def test_a_consent_does_not_reach_back_before_its_signature(office: Office, paper: str, bank: str) -> None:
    record_consent(office, signed(paper, recipient=bank), TODAY)
    before = lender(office, bank, date(2026, 11, 1))
    assert "a consent comes before the disclosure" in why(before, "US/final_return")


def test_a_withdrawn_consent_lets_nothing_out_from_that_day(office: Office, paper: str, bank: str) -> None:
    made = record_consent(office, signed(paper, recipient=bank), TODAY)
    gone = withdraw_consent(office, made.id.lstrip("0"), "The manager called.", TODAY)
    assert gone == consent_named(office, made.id)
    assert "withdrawn on 2026-11-20" in why(lender(office, bank), "US/final_return")
    assert "US/final_return" in goes(lender(office, bank, TODAY - timedelta(days=1)))
    with pytest.raises(Misuse, match="before"):
        withdraw_consent(office, made.id, "again", TODAY)


def test_a_consent_whose_paper_was_destroyed_lets_nothing_out(office: Office, bank: str) -> None:
    paper = file_paper(office, "company/other-")
    record_consent(office, signed(paper.id, recipient=bank), TODAY)
    office.vault.destroy_paper(paper.id, "its time was over")
    assert "not on file any more" in why(lender(office, bank), "US/final_return")


def test_a_consent_whose_paper_was_rejected_lets_nothing_out(office: Office, bank: str) -> None:
    paper = file_paper(office, "company/other-")
    record_consent(office, signed(paper.id, recipient=bank), TODAY)
    reject(office, paper.id, "not the client's signature")
    assert "no longer filed" in why(lender(office, bank), "US/final_return")


def test_a_consent_of_somebody_who_is_not_the_taxpayer_any_more_lets_nothing_out(
    office: Office, paper: str, bank: str
) -> None:
    renamed = replace(COMPANY, name="Renamed Sheeter LLC")
    record_consent(office, signed(paper, recipient=bank), TODAY)
    allowed = permission(office, renamed, office.purposes()["lender"], bank, TODAY)
    assert allowed.good == ()
    assert any("not the taxpayer" in reason for _, reason in allowed.refused)


def test_a_members_schedule_needs_every_members_signature(office: Office, paper: str, bank: str) -> None:
    (office.config.purposes / "court.toml").write_text(
        'id = "court"\ntitle = "Proof for a court"\nintro = "What was asked."\nreach = "everywhere"\n'
        'stays_out_otherwise = "Not asked for."\n[[goes_in]]\nkinds = ["final_k1"]\nform = "redacted"\nwhy = "Asked."\n'
    )
    said = signed(paper, recipient=bank, purpose="court", kinds=frozenset({Kind.FINAL_K1}))
    record_consent(office, replace(said, members=frozenset({"Ines Hollowbrook"})), TODAY)
    one = lender(office, bank, purpose="court")
    assert goes(one) == set()
    assert "not every member signed" in why(one, "US/final_k1")
    record_consent(office, replace(said, members=frozenset(COMPANY.members)), TODAY)
    assert goes(lender(office, bank, purpose="court")) == {"US/final_k1"}


def test_the_own_copy_needs_no_consent_and_goes_to_the_company_alone(office: Office, bank: str) -> None:
    planned = lender(office, "", purpose="own-copy")
    assert {"US/final_return", "US/final_k1", "US/ein_closure_letter"} <= goes(planned)
    assert planned.recipient == COMPANY.name
    assert planned.selection.with_consent == ()
    with pytest.raises(Misuse, match="client alone"):
        lender(office, bank, purpose="own-copy")
    with pytest.raises(Misuse, match="client alone"):
        lender(office, "Ines Hollowbrook", purpose="own-copy")


@pytest.mark.parametrize("to", ["", COMPANY.name, COMPANY.name.upper(), f"{COMPANY.name}, attention Ines Hollowbrook"])
def test_these_are_the_company(to: str) -> None:
    check_own_copy(COMPANY, to)


def test_the_owner_of_a_disregarded_company_is_the_taxpayer() -> None:
    alone = replace(COMPANY, tax_class=TaxClass.DISREGARDED, members=("Ines Hollowbrook",))
    check_own_copy(alone, "Ines Hollowbrook")
    assert (taxpayer_of(alone), filer_of(alone)) == ("Ines Hollowbrook", Filer.INDIVIDUAL)
    assert (taxpayer_of(COMPANY), filer_of(COMPANY)) == (COMPANY.name, Filer.BUSINESS)
    with pytest.raises(Misuse, match="not the one"):
        taxpayer_of(COMPANY, "Ines Hollowbrook")
    with pytest.raises(Misuse, match="owner is not"):
        taxpayer_of(replace(alone, members=()))


@pytest.mark.parametrize(
    ("signed_on", "last"),
    [
        (date(2026, 11, 2), date(2027, 11, 1)),
        (date(2026, 1, 1), date(2026, 12, 31)),
        (date(2024, 2, 29), date(2025, 2, 28)),
        (date(2025, 12, 31), date(2026, 12, 30)),
    ],
)
def test_a_consent_that_does_not_say_holds_for_a_year(signed_on: date, last: date) -> None:
    assert last_day(signed_on) == last


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"entity": "nobody"}, "no such entity"),
        ({"purpose": "poetry"}, "no such purpose"),
        ({"recipient": " "}, "names its recipient"),
        ({"signer": ""}, "names its recipient"),
        ({"kinds": frozenset()}, "names its recipient"),
        ({"signed": date(2026, 12, 1)}, "not signed yet"),
        ({"until": date(2026, 10, 1)}, "end before"),
        ({"scopes": frozenset({"ZZ"})}, "no such jurisdiction"),
        ({"members": frozenset({"Nobody"})}, "not on the register"),
        ({"taxpayer": "Another LLC"}, "not the one"),
        ({"paper": "ffffffff"}, "No paper"),
    ],
)
def test_what_can_not_be_is_not_recorded(
    office: Office, paper: str, bank: str, more: dict[str, object], says: str
) -> None:
    said = signed(paper, recipient=bank)
    with pytest.raises(Misuse, match=says):
        record_consent(office, replace(said, **more), TODAY)  # type: ignore[arg-type]
    assert bank not in {consent.recipient for consent in consents(office)}


def test_a_paper_filed_as_something_else_is_no_consent(office: Office) -> None:
    for one in office.vault.papers(COMPANY.slug):
        if one.expected in {"company/consent", "US/final_return"}:
            with pytest.raises(Misuse, match="something else"):
                record_consent(office, signed(one.id), TODAY)


def test_a_paper_that_reads_as_signed_on_another_day_is_not_taken(office: Office) -> None:
    paper = signed_paper(office, signed_date="2026-11-03")
    with pytest.raises(Misuse, match="another day"):
        record_consent(office, signed(paper.id), TODAY)


def test_a_paper_of_another_company_is_no_consent(office: Office, paper: str) -> None:
    office.vault.put_entity(replace(COMPANY, slug="other", name="Other Proofer LLC", ein="09-1111111"))
    with pytest.raises(Misuse, match="not filed as that company"):
        record_consent(office, replace(signed(paper), entity="other"), TODAY)


def test_consents_are_numbered_listed_and_journaled(office: Office, paper: str, bank: str) -> None:
    before = len(consents(office))
    made = [record_consent(office, signed(paper, recipient=bank), TODAY) for _ in range(2)]
    assert [consent.id for consent in made] == [f"{before + 1:04d}", f"{before + 2:04d}"]
    assert consents(office, COMPANY.slug)[before:] == tuple(made)
    assert [entry.action for entry in office.vault.journal()].count("consent-recorded") == before + 2
