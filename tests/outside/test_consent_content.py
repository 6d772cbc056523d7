"""What a consent has to hold, against the regulation and the revenue procedure; and what may leave without one."""

from datetime import date

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest

from quietus.bundle.drafts.consent_draft import Asked, consent_draft
from quietus.bundle.drafts.consent_rules import consent_form, each_members_own, months_when_silent, needs_consent
from quietus.bundle.drafts.draft import Draft
from quietus.bundle.drafts.render import draft_pdf, letter_text
from quietus.bundle.purposes import load_purposes
from quietus.closing.consents import last_day
from quietus.model.consent import Filer
from quietus.model.kinds import Kind

pytestmark = pytest.mark.outside

ASKED = {
    "preparer": "Harrowgate Tax Office",
    "taxpayer": "Ines Hollowbrook",
    "recipient": "First Example Bank, closing desk",
    "purpose": "Proof of closure for a lender",
    "information": "the final return for 2026",
}
"""Treas. Reg. 301.7216-3(a)(3)(i), as three private summaries tell of it alike: names of preparer and taxpayer,
purpose, recipients, information; beside these the signature and its date."""

PRESCRIBED = """\
Federal law requires this consent form be provided to you.
we cannot disclose your tax return information to third parties for purposes other than the preparation and filing
Federal law may not protect your tax return information from further use or distribution.
You are not required to complete this form to engage our tax return preparation services.
your consent will not be valid.
your consent is valid for one year from the date of signature.
Treasury Inspector General for Tax Administration (TIGTA) by telephone at 1-800-366-4484
complaints@tigta.treas.gov.""".splitlines()
"""Rev. Proc. 2013-14, section 5.04(1) for consents to disclose (read in copies of consent forms, which agree)."""


def drawn(filer: Filer) -> Draft:
    information = (ASKED["information"],)
    return consent_draft(
        Asked(
            preparer=ASKED["preparer"],
            taxpayer=ASKED["taxpayer"],
            filer=filer,
            company="Saltmarsh Sheeter Supply LLC",
            recipient=ASKED["recipient"],
            purpose=ASKED["purpose"],
            information=information,
            until=None,
        )
    )


@pytest.mark.parametrize("filer", list(Filer))
@pytest.mark.parametrize("name", sorted(ASKED))
def test_the_form_names_what_the_regulation_asks_for(filer: Filer, name: str) -> None:
    assert ASKED[name] in letter_text(drawn(filer))
    assert name in consent_form(filer).names


@pytest.mark.parametrize("filer", list(Filer))
def test_the_form_has_room_for_signature_and_date(filer: Filer) -> None:
    assert drawn(filer).signature[0].startswith("Taxpayer")
    assert "Date" in drawn(filer).signature


@pytest.mark.parametrize("words", PRESCRIBED)
def test_an_individuals_form_carries_the_prescribed_statements(words: str) -> None:
    assert words in letter_text(drawn(Filer.INDIVIDUAL))


def test_a_company_may_use_any_format_and_needs_no_prescribed_statement() -> None:
    """Treas. Reg. 301.7216-3(a)(3)(iii), as The Tax Adviser (December 2012) tells of Rev. Proc. 2013-14."""
    assert PRESCRIBED[0] not in letter_text(drawn(Filer.BUSINESS))
    assert not consent_form(Filer.BUSINESS).separate
    assert consent_form(Filer.INDIVIDUAL).separate


@pytest.mark.parametrize("filer", list(Filer))
def test_the_form_says_that_less_may_be_asked_for_and_that_a_copy_is_given(filer: Filer) -> None:
    """Treas. Reg. 301.7216-3(c)(2) and (3) (from memory)."""
    said = letter_text(drawn(filer))
    assert "You can ask for less" in said
    assert "given a copy" in said


def test_an_individuals_form_is_letter_size_and_nowhere_smaller_than_12_points() -> None:
    """Rev. Proc. 2013-14, section 5.02 (from memory): paper of 8.5 by 11 inches, type of 12 points."""
    for page in pdfium.PdfDocument(draft_pdf(drawn(Filer.INDIVIDUAL))):
        assert page.get_size() == (8.5 * 72, 11 * 72)
        text = page.get_textpage()
        sizes = {round(pdfium_c.FPDFText_GetFontSize(text, n), 2) for n in range(text.count_chars())}
        assert min(size for size in sizes if size > 1) >= 12  # what pdfium puts between words has size 1


def test_a_consent_that_does_not_say_holds_for_one_year() -> None:
    """Treas. Reg. 301.7216-3(b)(5) (from memory)."""
    assert months_when_silent() == 12
    assert last_day(date(2026, 3, 15)) == date(2027, 3, 14)


@pytest.mark.parametrize(
    "kind",
    [
        Kind.FINAL_RETURN,
        Kind.FINAL_K1,
        Kind.FINAL_EMPLOYMENT_RETURN,
        Kind.WAGE_STATEMENT,
        Kind.INFORMATION_RETURN,
        Kind.ASSET_SALE_FORM,
        Kind.CORPORATE_LIQUIDATION_NOTICE,
        Kind.EIN_CLOSURE_LETTER,
        Kind.TAX_NOTICE,
    ],
)
def test_returns_statements_and_what_the_agency_wrote_need_a_consent(kind: Kind) -> None:
    """Treas. Reg. 301.7216-1(b)(3): whatever is furnished for, in connection with, or comes back on a return."""
    assert kind in needs_consent()
    assert all(kind in p.needs_consent or kind not in p.goes_in for p in load_purposes().values() if not p.to_taxpayer)


def test_a_partners_schedule_is_the_partners_own() -> None:
    """26 U.S.C. 7216(a) (from memory): the information is that of the person whose return it is for."""
    assert Kind.FINAL_K1 in each_members_own()
