"""Letters to check and sign: what they are filled in with, what is left open, and how they are written."""

import io
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
import pytest

from quietus.bundle.drafts.draft import BLANK, LETTERS, Draft
from quietus.bundle.drafts.render import draft_pdf, draft_text, letter_text
from quietus.closing.consents import record_declined
from quietus.closing.drafts import Wish, claims_deadline, draft_consent, draft_letter, write_draft
from quietus.closing.office import Office
from quietus.model.entity import TaxClass
from quietus.model.errors import Misuse, Refused
from quietus.model.expected import Claims
from quietus.model.kinds import Kind
from tests.closing.answering import BANK, COMPANY, TODAY, closed_office

WHOLE = Wish("Quayle & Dobbs Oven Parts", "12 Invented Way, Salem, OR", "9 Made-up Street, Bend, OR")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with closed_office(tmp_path_factory.mktemp("drafts") / "office") as opened:
        opened.vault.put_entity(
            replace(
                COMPANY,
                slug="owned-alone",
                name="Owned Alone LLC",
                ein="09-2222222",
                tax_class=TaxClass.DISREGARDED,
                members=("Ines Hollowbrook",),
            )
        )
        yield opened


@pytest.fixture(scope="module")
def letters(office: Office) -> dict[str, Draft]:
    """Every letter, with the addresses given."""
    return {name: draft_letter(office, COMPANY.slug, name, WHOLE, TODAY) for name in LETTERS}


def words(draft: Draft) -> str:
    return letter_text(draft)


@pytest.mark.parametrize("name", LETTERS)
def test_whatever_is_left_blank_is_named_and_whatever_is_named_is_blank(
    office: Office, letters: dict[str, Draft], name: str
) -> None:
    bare = draft_letter(office, COMPANY.slug, name, Wish(), TODAY)
    assert bare.blanks
    assert words(bare).count(BLANK) >= len(bare.blanks)
    full = letters[name]
    assert (BLANK in words(full)) is bool(full.blanks)
    assert set(full.blanks) < set(bare.blanks)


@pytest.mark.parametrize("name", LETTERS)
def test_every_letter_is_marked_a_draft_on_every_page_and_signed_by_nobody(
    letters: dict[str, Draft], name: str
) -> None:
    draft = letters[name]
    for page in pdfium.PdfDocument(draft_pdf(draft)):
        assert "Draft: to be checked and signed" in page.get_textpage().get_text_bounded()
    assert draft_text(draft).startswith("[Draft")
    assert all(f"{label}: {'_' * 40}" in draft_text(draft) for label in draft.signature)


def test_text_and_pdf_say_the_same(office: Office) -> None:
    draft = draft_letter(office, COMPANY.slug, "creditor", WHOLE, TODAY)
    document = pdfium.PdfDocument(draft_pdf(draft))
    pdf = "".join("".join(page.get_textpage().get_text_bounded().split()) for page in document)
    text = "".join(draft_text(draft).split())
    for line in words(draft).splitlines():
        assert "".join(line.split()) in pdf
        assert "".join(line.split()) in text


def test_the_notes_for_the_preparer_are_not_in_the_letter(office: Office) -> None:
    draft = draft_letter(office, COMPANY.slug, "creditor", Wish(), TODAY)
    pdf = "".join(page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(draft_pdf(draft)))
    assert "NOTES FOR THE PREPARER" in draft_text(draft)
    assert "ORS 63.641" in draft_text(draft)
    for said in ("NOTES", "ORS 63.641", draft.cautions[0][:20]):
        assert said not in pdf


def test_the_creditors_deadline_is_the_home_states_with_days_for_the_mail(office: Office) -> None:
    draft = draft_letter(office, COMPANY.slug, "creditor", WHOLE, TODAY)
    # 120 days (ORS 63.641) and 14 for the mail from Friday 2026-11-20 is Saturday 2027-04-03.
    assert "by April 5, 2027" in words(draft)
    assert any("at least 120 days" in rule.says.lower() and "ORS 63.641" in str(rule.source) for rule in draft.rules)


@pytest.mark.parametrize(("days", "last"), [(90, date(2027, 3, 4)), (180, date(2027, 6, 2)), (209, date(2027, 7, 1))])
def test_the_deadline_follows_the_rule_of_the_state(days: int, last: date) -> None:
    assert claims_deadline(Claims(days, "the notice", None, ()), TODAY) == last


def test_a_deadline_on_a_legal_holiday_moves_on() -> None:
    # 14 + 17 days from 2026-11-24 is 2026-12-25, a Friday.
    assert claims_deadline(Claims(17, "the notice", None, ()), date(2026, 11, 24)) == date(2026, 12, 28)


def test_a_newspaper_notice_leaves_the_years_open_where_the_rules_name_none(office: Office) -> None:
    draft = draft_letter(office, COMPANY.slug, "newspaper", WHOLE, TODAY)
    assert "the time that the home state's statute gives" in draft.blanks
    assert any("look up its statute" in said for said in draft.cautions)


def test_a_newspaper_notice_names_the_years_of_the_home_state(office: Office) -> None:
    home = replace(COMPANY.registrations[0], jurisdiction="WY")
    office.vault.put_entity(replace(COMPANY, slug="in-wyoming", home="WY", registrations=(home,), ein="09-3333333"))
    draft = draft_letter(office, "in-wyoming", "newspaper", WHOLE, TODAY)
    assert "commenced within 3 years after the publication" in words(draft)
    assert any("W.S. 17-29-704" in str(rule.source) for rule in draft.rules)
    assert any("proves that the company was dissolved" in said for said in draft.cautions)


def test_the_ein_letter_tells_of_the_last_return_only_when_it_is_proven(office: Office) -> None:
    proven = draft_letter(office, COMPANY.slug, "ein", WHOLE, TODAY)
    assert "for the period to March 31, 2026, was marked final" in words(proven)
    bare = draft_letter(office, "owned-alone", "ein", WHOLE, TODAY)
    assert "which last returns were filed, and when" in bare.blanks
    assert "marked final" not in words(bare)
    assert "has been dissolved" not in words(bare)


def test_a_bill_is_disputed_with_the_day_the_company_ended(office: Office) -> None:
    draft = draft_letter(office, COMPANY.slug, "bill", replace(WHOLE, more={"bill": "No. 4471, $812.40"}), TODAY)
    assert "No. 4471, $812.40" in words(draft)
    assert "April 14, 2026" in words(draft)


def test_a_letter_goes_to_the_office_of_the_state_that_is_named(office: Office) -> None:
    draft = draft_letter(office, COMPANY.slug, "copy", Wish(), TODAY, jurisdiction="WA")
    assert "Washington" in draft.to[0]
    assert "604 902 118" in words(draft)
    assert "April 22, 2026" in words(draft)
    with pytest.raises(Misuse, match="no registration"):
        draft_letter(office, COMPANY.slug, "copy", Wish(), TODAY, jurisdiction="TX")


def test_braces_and_line_breaks_in_a_value_do_nothing(office: Office) -> None:
    odd = Wish("{ein} {0} {entity.__class__}\n\u202eEvil", "", "")
    draft = draft_letter(office, COMPANY.slug, "creditor", odd, TODAY)
    assert draft.to[0] == "{ein} {0} {entity.__class__} Evil"
    assert "{ein}" in "".join(page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(draft_pdf(draft)))


def test_a_consent_names_what_the_purpose_would_show(office: Office) -> None:
    draft = draft_consent(office, COMPANY.slug, BANK, "lender", frozenset())
    for said in (BANK, COMPANY.name, "final return; EIN closure letter", "one year from the day of signature"):
        assert said in words(draft)
    narrow = draft_consent(
        office,
        COMPANY.slug,
        BANK,
        "lender",
        frozenset({Kind.FINAL_RETURN}),
        scopes=frozenset({"US", "OR"}),
        years=frozenset({2026}),
        until=date(2027, 1, 31),
    )
    assert "final return from Oregon and the federal government for 2026" in words(narrow)
    assert "to January 31, 2027" in words(narrow)


def test_a_consent_that_was_declined_is_not_drawn_up_again_for_the_same_purpose(office: Office) -> None:
    """Treas. Reg. 301.7216-3(b)(3) (from memory)."""
    record_declined(office, COMPANY.slug, BANK, "buyer-counsel", TODAY)
    with pytest.raises(Refused, match="declined"):
        draft_consent(office, COMPANY.slug, "Another Counsel", "buyer-counsel", frozenset())
    assert BANK in words(draft_consent(office, COMPANY.slug, BANK, "lender", frozenset()))
    with pytest.raises(Misuse, match="no such purpose"):
        record_declined(office, COMPANY.slug, BANK, "poetry", TODAY)


def test_a_members_schedule_has_a_line_for_every_member_named(office: Office) -> None:
    draft = draft_consent(office, COMPANY.slug, BANK, "lender", frozenset({Kind.FINAL_K1}), members=COMPANY.members)
    assert [label for label in draft.signature if label.startswith("Member")] == [
        "Member: Ines Hollowbrook",
        "Member: Rufus Tattersley",
    ]


@pytest.mark.parametrize(
    ("purpose", "members", "says"),
    [("own-copy", (), "nothing that needs"), ("contract", (), "nothing that needs"), ("poetry", (), "no such purpose"),
     ("lender", ("Nobody",), "not on the register")],
)  # fmt: skip
def test_a_consent_that_makes_no_sense_is_not_drawn(
    office: Office, purpose: str, members: tuple[str, ...], says: str
) -> None:
    with pytest.raises(Misuse, match=says):
        draft_consent(office, COMPANY.slug, BANK, purpose, frozenset(), members=members)


def test_a_draft_is_written_for_its_owner_alone_and_never_over_another(office: Office, tmp_path: Path) -> None:
    draft = draft_letter(office, COMPANY.slug, "copy", WHOLE, TODAY)
    pdf, text = write_draft(office, COMPANY.slug, draft, tmp_path / "copy.pdf")
    assert [file.stat().st_mode & 0o777 for file in (pdf, text)] == [0o600, 0o600]
    with pytest.raises(Misuse, match="exists"):
        write_draft(office, COMPANY.slug, draft, tmp_path / "copy.pdf")
    assert write_draft(office, COMPANY.slug, draft, tmp_path / "copy.pdf", replace=True) == (pdf, text)
    assert office.vault.journal()[-1].action == "draft-made"


def test_a_draft_has_a_title_a_language_tags_and_the_same_bytes_twice(office: Office) -> None:
    draft = draft_letter(office, COMPANY.slug, "bill", WHOLE, TODAY)
    made = draft_pdf(draft, "Harrowgate Tax Office")
    assert made == draft_pdf(draft, "Harrowgate Tax Office")
    with pikepdf.open(io.BytesIO(made)) as pdf:
        assert str(pdf.Root.Lang).startswith("en")
        assert pdf.Root.MarkInfo.Marked
        assert draft.title in str(pdf.docinfo.Title)
