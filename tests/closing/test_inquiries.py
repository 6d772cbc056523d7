"""The log of inquiries, and a state's notice that came after the closing."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pypdfium2 as pdfium
import pytest

from quietus.closing.answer import Order, answer
from quietus.closing.inquiries import inquiries, inquiry_named, mark_sent, notice_in, open_inquiry
from quietus.closing.notices import answer_notice
from quietus.closing.office import Office
from quietus.closing.review import reject
from quietus.model.errors import Misuse, Refused
from quietus.model.inquiry import Inquiry, Reply, SentPaper, inquiry_from_json, inquiry_to_json
from tests.closing.answering import BANK, COMPANY, TODAY, closed_office, file_paper


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with closed_office(tmp_path_factory.mktemp("inquiries") / "office") as opened:
        yield opened


@pytest.fixture(scope="module")
def notice(office: Office) -> str:
    """The id of a notice that Washington sent for a quarter after the withdrawal."""
    return file_paper(office, "WA/tax_notice-", signed_date="2026-10-15").id


def text_of(pdf: Path) -> str:
    return "\n".join(page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(pdf))


def test_who_asked_what_and_when_is_written_down(office: Office) -> None:
    made = open_inquiry(office, COMPANY.slug, f" {BANK} ", "Is it closed?", date(2026, 11, 18))
    assert (made.asker, made.asks, made.on, made.by, made.state) == (
        BANK,
        "Is it closed?",
        date(2026, 11, 18),
        office.who,
        "open",
    )
    assert inquiry_named(office, made.id.lstrip("0")) == made
    assert made in inquiries(office, COMPANY.slug)
    assert office.vault.journal()[-1].action == "inquiry-received"


@pytest.mark.parametrize(
    ("slug", "asker", "asks", "jurisdiction", "paper", "says"),
    [
        ("nobody", "A", "B", "", "", "no such entity"),
        (COMPANY.slug, " ", "B", "", "", "who asked"),
        (COMPANY.slug, "A", "", "", "", "who asked"),
        (COMPANY.slug, "A", "B", "TX", "", "no registration"),
        (COMPANY.slug, "A", "B", "", "ffffffff", "No paper"),
    ],
)
def test_an_inquiry_that_can_not_be_is_not_written_down(
    office: Office, slug: str, asker: str, asks: str, jurisdiction: str, paper: str, says: str
) -> None:
    before = inquiries(office)
    with pytest.raises(Misuse, match=says):
        open_inquiry(office, slug, asker, asks, TODAY, jurisdiction=jurisdiction, paper=paper)
    assert inquiries(office) == before


def test_another_companys_letter_is_no_inquiry_about_this_one(office: Office, notice: str) -> None:
    office.vault.put_entity(replace(COMPANY, slug="other", name="Other Proofer LLC", ein="09-1111111"))
    with pytest.raises(Misuse, match="another company"):
        open_inquiry(office, "other", BANK, "Is it closed?", TODAY, paper=notice)


def test_what_was_sent_whom_is_told_with_day_and_way(office: Office, tmp_path: Path) -> None:
    made = open_inquiry(office, COMPANY.slug, BANK, "Proof, please.", TODAY)
    with pytest.raises(Misuse, match="Nothing was made"):
        mark_sent(office, made.id, TODAY, "")
    answer(office, Order(COMPANY.slug, "contract", BANK, inquiry=made.id), tmp_path / "proof", TODAY)
    assert inquiry_named(office, made.id).state == "bundle made"
    with pytest.raises(Misuse, match="before it was made"):
        mark_sent(office, made.id, date(2026, 11, 1), "")
    sent = mark_sent(office, made.id, TODAY, "certified mail")
    assert sent.state == "sent"
    assert (sent.replies[-1].sent, sent.replies[-1].how) == (TODAY, "certified mail")


def test_an_inquiry_comes_back_from_json_as_it_was() -> None:
    paper = SentPaper("a" * 32, "US/final_return", "redacted", ("ein", "ssn"), "0001")
    reply = Reply(datetime(2026, 11, 20, tzinfo=UTC), "ada", BANK, "lender", "", (paper,), 2, "b" * 64, "c" * 64)
    whole = Inquiry(
        "0007", "x", BANK, "?", TODAY, "ada", "WA", "d" * 32, (reply, replace(reply, sent=TODAY, how="mail"))
    )
    assert inquiry_from_json("0007", "x", inquiry_to_json(whole)) == whole


def test_a_notice_is_matched_to_company_state_agency_and_ending(office: Office, notice: str) -> None:
    found = notice_in(office, notice)
    assert (found.entity, found.jurisdiction) == (COMPANY, "WA")
    assert found.sender == office.packs().by_code["WA"].tax_agency
    assert found.ending is not None
    assert found.ending.key == "WA/withdrawal"


def test_a_reminder_of_an_annual_report_comes_from_the_filing_office(office: Office) -> None:
    reminder = file_paper(office, "WA/other-", signed_date="2026-10-01")
    assert notice_in(office, reminder.id).sender == office.packs().by_code["WA"].filing_office


def test_a_notice_is_answered_with_a_letter_and_the_proof_for_that_state_alone(
    office: Office, notice: str, tmp_path: Path
) -> None:
    made = answer_notice(office, notice, tmp_path / "reply", TODAY)
    assert sorted(path.name for path in (tmp_path / "reply").iterdir()) == ["letter.pdf", "letter.txt", "proof"]
    letter = text_of(made.letter)
    for words in ("604 902 118", "April 22, 2026", "October 15, 2026", COMPANY.name):
        assert words in letter
    keys = [item.expected.key for item in made.answer.selection.included]
    assert keys == ["OR/dissolution", "WA/withdrawal", "WA/account_closure"]
    logged = inquiry_named(office, made.answer.inquiry)
    assert (logged.paper, logged.jurisdiction, logged.state) == (notice, "WA", "bundle made")
    again = answer_notice(office, notice, tmp_path / "again", TODAY)
    assert again.answer.inquiry == made.answer.inquiry
    assert len(inquiry_named(office, logged.id).replies) == 2


def test_a_notice_whose_state_is_not_known_has_to_be_told_it(office: Office) -> None:
    unread = file_paper(office, "company/tax_notice-")
    with pytest.raises(Misuse, match="can't be told"):
        notice_in(office, unread.id)
    assert notice_in(office, unread.id, "OR").jurisdiction == "OR"


def test_what_is_no_notice_is_not_answered_as_one(office: Office, tmp_path: Path) -> None:
    deed = next(p for p in office.vault.papers(COMPANY.slug) if p.expected == "WA/withdrawal")
    with pytest.raises(Misuse, match="no notice"):
        answer_notice(office, deed.id, tmp_path / "reply", TODAY)
    gone = file_paper(office, "WA/tax_notice-", file_number="gone")
    reject(office, gone.id, "advertising")
    with pytest.raises(Misuse, match="belongs to nobody"):
        notice_in(office, gone.id)
    assert not (tmp_path / "reply").exists()


def test_a_state_whose_part_is_not_proven_gets_no_answer(tmp_path: Path) -> None:
    with closed_office(tmp_path / "office", "WA/withdrawal") as office:
        notice = file_paper(office, "WA/tax_notice-", signed_date="2026-10-15")
        with pytest.raises(Refused):
            answer_notice(office, notice.id, tmp_path / "reply", TODAY)
        assert not (tmp_path / "reply").exists()
        made = answer_notice(office, notice.id, tmp_path / "reply", TODAY, show_gaps=True)
        assert "the day the registration ended" in made.draft.blanks
        assert any("proves that the registration ended" in said for said in made.draft.cautions)
