"""What an office writes of a filing in a letter, a mail or a receipt; and what only looks like it."""

from datetime import date

import pytest

from tests.reading.helpers import draft, reading_of
from tests.reading.pages import Draft

NAME = "Old Kiln Mixers LLC"


def written(*rows: str) -> Draft:
    return draft(*((0.8, 0.6 + 0.19 * index, row) for index, row in enumerate(rows)))


LETTER = (
    "STATE OF IOWA",
    "Secretary of State, Business Services",
    f"RE: {NAME}",
    "The Statement of Dissolution of the company named above was filed with this office on 8/29/2025.",
    "Please keep this letter with your records.",
)
MAIL = (
    "From: Maryland Department of Assessments and Taxation <filings@office.example>",
    "Sent: September 2, 2025 9:12 AM",
    f"Subject: your filing for {NAME}",
    f"The Certificate of Cancellation submitted for {NAME} has been approved by the Department",
    "of Assessments and Taxation and was filed on August 29, 2025.",
)
RECEIPT = ("STATE OF MAINE", "SECRETARY OF STATE", "FILING RECEIPT", f"NAME: {NAME}", "CERTIFICATE OF CANCELLATION")


@pytest.mark.parametrize("rows", [LETTER, MAIL], ids=["letter", "mail"])
def test_an_offices_own_letter_tells_the_filing_date(rows: tuple[str, ...]) -> None:
    read = reading_of(written(*rows))
    assert (read.day("filing_date"), read.flag("stamped")) == (date(2025, 8, 29), True)


def test_a_receipts_answers_are_no_labels() -> None:
    page = written(*RECEIPT)
    for row, (label, answer) in enumerate((("FILED:", "08/29/2025"), ("DURATION:", "ENDED"))):
        page.text(0.8, 2.4 + 0.22 * row, label, 10)
        page.text(3.0, 2.4 + 0.22 * row, answer, 10)
    assert reading_of(page).day("filing_date") == date(2025, 8, 29)


@pytest.mark.parametrize("line", ["Received and Filed:", "APPROVED AND FILED"])
def test_a_mark_may_begin_with_what_came_before_the_filing(line: str) -> None:
    page = written(
        "Washington Secretary of State", line, "2025-08-29 12:27 PM", "CERTIFICATE OF DISSOLUTION", f"Name: {NAME}"
    )
    assert reading_of(page).day("filing_date") == date(2025, 8, 29)


@pytest.mark.parametrize(
    "said",
    [
        "The original registration was filed with this office on 8/29/2025, and no report since.",
        "If the Certificate of Withdrawal is filed with this office after 8/29/2025 the fee is $50.",
    ],
)
def test_an_office_that_speaks_of_something_else_tells_no_filing_date(said: str) -> None:
    assert reading_of(written(*LETTER[:3], said)).day("filing_date") is None


def test_a_client_who_writes_that_it_was_filed_is_no_office() -> None:
    rows = (f"{NAME}", "77 Cannery Slip", "To: Secretary of State, Business Services")
    read = reading_of(written(*rows, "Our Statement of Dissolution was filed with your office on 8/29/2025."))
    assert read.day("filing_date") is None


def test_a_filing_told_of_without_a_date_that_was_read_waits_for_a_person() -> None:
    read = reading_of(
        written(*LETTER[:3], "The Articles of Dissolution was duly filed in this office on Aug~st ?, 2O?5.")
    )
    assert (read["stamped"].review, read.day("filing_date")) == (True, None)
