"""The rule that never bends: a filing date comes from the office's mark alone."""

from datetime import date

import pytest

from quietus.model.reading import Value
from quietus.reading.compose import in_order
from quietus.reading.filed import office_mark
from quietus.reading.marks import Mark
from quietus.reading.printed import Seen
from quietus.reading.roles import dates_in
from quietus.reading.words import Rect, around
from tests.reading.helpers import draft, lines_of, reading_of
from tests.reading.pages import Draft

DISTRACTORS = [
    "Date signed: July 8, 2026",
    "Date: July 8, 2026",
    "Dated July 8, 2026",
    "Executed on July 8, 2026",
    "Mailed July 8, 2026",
    "Received July 8, 2026",
    "RECEIVED JUL 8 2026",
    "Date of organization: July 8, 2026",
    "Articles of organization filed on: July 8, 2026",
    "The original articles were filed on July 8, 2026",
    "Effective date: July 8, 2026",
    "Printed July 8, 2026",
    "07/08/2026 14:22 FROM: LEGAL DESK FAX 555 0187 P.001/002",
    "Date of dissolution: July 8, 2026",
    "July 8, 2026",
    "Date authorized to do business: July 8, 2026",
    "Last annual report due July 8, 2026",
    "My commission expires July 8, 2026",
    "filed with the Secretary of State on July 8, 2026, after which the members agreed to nothing further",
    "Articles of organization filed with this office on July 8, 2026",
    "Annual report filed with the Secretary of State on July 8, 2026",
    "Certificate of authority filed in this state on July 8, 2026",
    "Filed first in the county of its principal office, as the operating agreement of July 8, 2026 demands",
]


def form(*extra: str) -> Draft:
    page = draft(
        (0.8, 0.6, "Oregon Secretary of State"),
        (0.8, 1.9, "Name of the limited liability company: Old Kiln Mixers LLC"),
    )
    page.text(0.8, 1.2, "ARTICLES OF DISSOLUTION", 16, bold=True)
    page.paragraph(
        0.8, 2.3, "The company has been dissolved by the consent of all members; its winding up is complete."
    )
    for index, words in enumerate(extra):
        page.text(0.8, 3.2 + 0.4 * index, words, 10)
    return page


@pytest.mark.parametrize("words", DISTRACTORS)
def test_no_other_date_passes_for_the_filing_date(words: str) -> None:
    read = reading_of(form(words))
    assert read["filing_date"].value is None
    assert read.flag("stamped") is False


@pytest.mark.parametrize(
    "mark",
    [
        ("E-Filed", "Document number: 20268114471", "Filed: 07/22/2026 10:41 AM"),
        ("Electronically filed 07/22/2026 10:41 AM",),
        ("FILED: Jul 22, 2026 3:04 PM", "Filing No. 55512873"),
        ("Date filed: 07/22/2026", "Transaction number 99100023"),
        ("Filing date and time 07/22/2026 03:04 PM", "Status Filed"),
        ("Filed electronically with the Secretary of State on July 22, 2026 at 3:04 PM; filing number 990341207",),
    ],
)
def test_a_printed_file_mark_with_a_companion_is_the_offices_mark(mark: tuple[str, ...]) -> None:
    read = reading_of(form(*mark, "Date signed: July 8, 2026"))
    assert read.text("filing_date") == "2026-07-22"
    assert read.flag("stamped") is True
    assert read.text("authority") == "electronic certificate"
    assert read.text("signed_date") == "2026-07-08"
    assert "filing_date" not in read.doubts


def test_a_date_with_a_label_of_its_own_takes_no_neighbours_label() -> None:
    read = reading_of(form("Filed: see below    Transaction number 99100023", "Order placed: 07/22/2026 10:41 AM"))
    assert read["filing_date"].value is None


def test_filed_with_a_date_and_nothing_else_is_left_to_a_person() -> None:
    read = reading_of(form("Filed: 07/22/2026"))
    assert "filing_date" in read.doubts


def test_a_filing_dated_before_its_signature_is_left_to_a_person() -> None:
    read = reading_of(
        form("Electronically filed 07/22/2026 10:41 AM", "Document number: 20268114471", "Date signed: July 30, 2026")
    )
    assert "filing_date" in read.doubts


def test_an_offices_certificate_gives_the_date_it_attests() -> None:
    page = draft((3, 0.8, "STATE OF NEVADA"), (3, 1.1, "Secretary of State"))
    page.text(3, 1.6, "CERTIFICATE OF FILING", 15, bold=True)
    page.paragraph(
        0.9,
        2.2,
        "I, the Secretary of State, certify that the Notice of Withdrawal of Pinyon Pan Repair LLC, NV20544945943, a "
        "foreign limited liability company formed in Utah and registered here since 12/23/2010, was filed in this "
        "office on 12/28/2020, and that its authority to transact business in Nevada has ended. Given under my hand on "
        "04/27/2021.",
    )
    read = reading_of(page)
    assert read.text("kind") == "withdrawal"
    assert read.text("jurisdiction") == "NV"
    assert read.text("filing_date") == "2020-12-28"
    assert read.text("authority") == "agency-certified"


def test_a_rejection_is_no_filing() -> None:
    page = draft((0.8, 0.6, "Texas Secretary of State"), (0.8, 1.8, "March 22, 2022"))
    page.text(0.8, 2.4, "REJECTION OF FILING", 14, bold=True)
    page.paragraph(
        0.8,
        2.8,
        "The Certificate of Termination that you delivered is returned to you with your fee. It has not been filed.",
    )
    read = reading_of(page)
    assert read.text("kind") == "other"
    assert read["filing_date"].value is None


def test_a_typed_mark_over_several_lines_gives_its_date() -> None:
    read = reading_of(
        draft(
            (5.2, 0.8, "Filed in the office of the"),
            (5.2, 0.98, "Secretary of State, Ohio"),
            (5.2, 1.16, "on 11/09/2024"),
            (5.2, 1.34, "at 06:27 AM"),
            (1, 2.4, "Articles of Dissolution"),
            (1, 2.8, "Signed: October 31, 2024"),
        )
    )
    assert read.text("filing_date") == "2024-11-09"
    assert read.flag("stamped") is True


def test_filed_without_a_date_is_left_to_a_person() -> None:
    read = reading_of(
        draft((5.2, 0.8, "FILED"), (1, 2.4, "Articles of Dissolution"), (1, 2.8, "Secretary of State of Ohio"))
    )
    assert "stamped" in read.doubts


@pytest.mark.parametrize(
    "mark",
    [
        ("FILED", "Oregon Secretary of State", "Date: July 8, 2026"),
        ("FILED", "Date 7/8/2026  Time 10:12 AM", "OREGON SECRETARY OF STATE"),
        ("FILING. DATE: 8 JUL 2026", "OREGON SECRETARY OF STATE"),
        ("OREGON SECRETARY OF STATE", "FILED", "2026 JUL -8 AM 10:12"),
        ("Approved and filed 07/08/2026", "Oregon Secretary of State"),
        ("FILED EFFECTIVE", "2026 JUL 08 AM 10:12", "OREGON SECRETARY OF STATE"),
        ("Filing Number: 202612345670   Date: 7/8/2026 10:12:00 AM",),
        ("Filed electronically with Secretary of the Commonwealth of Oregon on 07/08/2026 at 07:04 PM",),
        ("ID: 4417730", "Date Filed: 7/8/2026 10:12:00 AM", "Oregon Secretary of State", "C2026 189 00123"),
        ("Filed in the Office of", "Secretary of State", "Filing Number 20261234567", "Filed On 07/08/2026 10:12 AM"),
    ],
)
def test_a_printed_mark_is_read_whatever_stands_between_its_head_and_its_date(mark: tuple[str, ...]) -> None:
    page = form()
    for index, words in enumerate(mark):
        page.text(5.0 if len(words) < 60 else 0.8, 0.8 + 0.17 * index, words, 9)
    read = reading_of(page)
    assert read.flag("stamped") is True
    assert read.text("filing_date") == "2026-07-08"


@pytest.mark.parametrize("words", ["OREGON SECRETARY OF STATE  FILED", "Your filing has been approved."])
def test_a_mark_whose_date_was_not_read_waits_for_a_person(words: str) -> None:
    assert {"stamped", "filing_date"} <= set(reading_of(form(words)).doubts)


def test_a_signers_date_in_the_row_of_a_stamp_is_no_rival_of_the_stamps_date() -> None:
    lines = lines_of(
        (1.0, 5.0, "FILED"), (1.0, 5.2, "05/26/2022"), (1.0, 5.4, "Secretary of State"), (4.0, 5.0, "2022-05-14")
    )
    head = next(line.rect for line in lines if line.text == "FILED")
    stamp = Mark("filed", head.grown(60, 120), date(2022, 5, 26), 0.97, "FILED 05/26/2022", "stamp:black")
    mark = office_mark([Seen(lines, (stamp,), tuple(dates_in(lines)), typeset=False)], unread=False)
    assert (mark.day, mark.day_sure) == (date(2022, 5, 26), 0.97)


def test_a_date_that_an_item_asks_for_is_not_the_signers() -> None:
    rows = ((0.8, 3.0, "3. Date and jurisdiction of formation:"), (1.0, 3.2, "May 14, 2012"), (3.0, 3.2, "Nebraska"))
    assert [hit.role for hit in dates_in(lines_of(*rows))] == ["formed"]


def test_a_corporation_commission_is_no_notarys_commission() -> None:
    line = "Filed electronically with the Corporation Commission on 12/18/2019 at 11:55 PM; filing number 892018837"
    assert [hit.role for hit in dates_in(lines_of((0.8, 3.0, line), size=8))] == ["filed"]


def test_of_two_stamps_the_one_counts_whose_date_the_certificate_tells() -> None:
    rows = (
        "Office of the Secretary of State",
        "I certify that the Articles of Dissolution attached were",
        "filed in this office on 01/07/2019.",
    )
    lines = lines_of(*((0.8, 1 + 0.2 * index, row) for index, row in enumerate(rows)))
    stamps = tuple(
        Mark("filed", Rect(900, top, 1200, top + 90), day, 0.97, "FILED", "stamp:chroma")
        for top, day in ((900, date(2047, 1, 7)), (1000, date(2019, 1, 7)))
    )
    mark = office_mark([Seen(lines, stamps, tuple(dates_in(lines)), typeset=False)], unread=False)
    assert (mark.day, mark.day_sure > 0.9) == (date(2019, 1, 7), True)


def test_a_look_that_cuts_off_the_end_of_the_year_is_no_second_date() -> None:
    whole = Mark("filed", Rect(700, 1400, 1000, 1500), date(2018, 10, 30), 0.97, "FILED OCT 30 2018", "stamp:black")
    part = Mark("filed", Rect(700, 1380, 890, 1490), date(2020, 10, 30), 0.59, "FILED OCT 30 20", "stamp:black")
    other = Mark("filed", Rect(700, 1380, 890, 1490), date(2020, 10, 31), 0.59, "FILED OCT 31 20", "stamp:black")
    sure = [office_mark([Seen((), (whole, twin), (), typeset=False)], unread=False).day_sure for twin in (part, other)]
    assert sure == [0.97, 0.5]


def test_date_at_the_end_of_a_line_is_no_label_when_the_sentence_goes_on() -> None:
    first = "We recorded the statement that you sent us for this company last month. The date"
    assert dates_in(lines_of((0.8, 1.0, first), (0.8, 1.2, "of filing is May 4, 2026.")))[0].role != "signed"


def test_an_offices_certificate_or_letter_has_a_later_date_than_the_filing() -> None:
    page = draft(
        (0.8, 0.8, "STATE OF IOWA"),
        (0.8, 1.0, "Secretary of State"),
        (0.8, 1.4, "Certificate of Dissolution"),
        (0.8, 1.8, "The registrar, for the Secretary of State, certifies that the statement below met the law."),
        (0.8, 2.1, "Name"),
        (3.0, 2.1, "Old Kiln Mixers LLC"),
        (0.8, 2.4, "Filed"),
        (3.0, 2.4, "March 4, 2025"),
        (0.8, 2.8, "Therefore this certificate of dissolution is issued."),
        (0.8, 3.1, "Witness my hand this 11th day of March, 2025."),
    )
    read = reading_of(page)
    fields = ("filing_date", "signed_date", "authority")
    assert [read.text(name) for name in fields] == ["2025-03-04", "2025-03-11", "agency-certified"]
    assert not read.values["filing_date"].review


@pytest.mark.parametrize(
    ("more", "form"), [("Document number: 20251234567", "electronic certificate"), ("", "office-stamped")]
)
def test_a_typed_mark_without_a_number_is_a_clerks(more: str, form: str) -> None:
    rows = ("Ohio Secretary of State", "Date filed: March 4, 2025", "Time: 9:12 AM", more)
    lines = lines_of(*((4.5, 0.5 + 0.2 * n, row) for n, row in enumerate(rows) if row))
    assert office_mark([Seen(lines, (), tuple(dates_in(lines)), typeset=True)], unread=False).form.value == form


@pytest.mark.parametrize(("day", "sure"), [(16, 0.97), (9, 0.5), (6, 0.5)])
def test_a_stamp_that_the_look_at_the_page_reads_otherwise_is_unsure(day: int, sure: float) -> None:
    lines = lines_of((4.0, 2.0, "FILED"), (4.0, 2.3, "2020 JUN 16 9:18 AM"))
    rect = around([line.rect for line in lines])
    stamp = Mark("filed", rect, date(2020, 6, day), 0.97, f"FILED 2020 JUN {day}", "stamp:black")
    page = Seen(lines, (stamp,), tuple(dates_in(lines)), typeset=False)
    assert office_mark([page], unread=False).day_sure == sure


@pytest.mark.parametrize(("filed", "review"), [("2022-05-10", False), ("2027-05-10", True), ("2022-05-02", True)])
def test_a_filing_date_before_or_years_after_the_signature_is_looked_at(filed: str, review: bool) -> None:
    seen = in_order(Value(filed, 0.9, page=1), Value("2022-05-03", 0.9, page=1))
    assert seen.review is review
