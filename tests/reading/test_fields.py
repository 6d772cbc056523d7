import pytest

from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.names import same_name
from quietus.reading.engine import recogniser
from quietus.reading.names import subject_of
from quietus.reading.numbers import ein_of, file_number_of
from quietus.reading.opening import open_folio
from quietus.reading.pages import Book
from quietus.reading.roles import dates_in
from tests.reading.helpers import draft, lines_of, page_of, reading_of
from tests.reading.pages import Draft


def roles(*rows: tuple[float, float, str]) -> dict[str, str]:
    return {hit.day.isoformat(): hit.role for hit in dates_in(lines_of(*rows))}


def test_every_date_of_a_line_takes_its_own_label() -> None:
    found = roles(
        (0.8, 1, "Tax year beginning 01/01/2026, ending 06/30/2026"),
        (0.8, 2, "This certificate is valid through September 15, 2026"),
        (0.8, 3, "My commission expires October 3, 2027"),
        (0.8, 4, "Claims must be received by December 1, 2026"),
    )
    assert found == {
        "2026-01-01": "begins",
        "2026-06-30": "ends",
        "2026-09-15": "valid",
        "2027-10-03": "commission",
        "2026-12-01": "deadline",
    }


def test_a_label_above_and_a_caption_beneath_both_belong_to_their_date() -> None:
    found = roles(
        (0.8, 1.0, "Period ending"), (0.8, 1.17, "06/30/2026"), (4, 5.0, "07/24/2026"), (4, 5.18, "Date signed")
    )
    assert found == {"2026-06-30": "ends", "2026-07-24": "signed"}


def test_a_date_broken_over_two_lines_is_one_date() -> None:
    found = roles(
        (0.8, 1.0, "This clearance was given by the department and it is valid through September"),
        (0.8, 1.18, "15, 2026 and no longer."),
    )
    assert found == {"2026-09-15": "valid"}


@pytest.mark.parametrize(
    "name",
    [
        "Blue Heron Mixers LLC",
        "Juniper & Vale Oven Service, L.L.C.",
        "Old Kiln Limited Liability Company",
        "Maple Fork Tool Rental Co., LLC",
    ],
)
def test_the_subject_is_found_beside_its_label_and_in_a_heading(name: str) -> None:
    labelled = subject_of(
        [
            lines_of(
                (0.8, 1, "Name of the limited liability company"),
                (0.8, 1.2, name),
                (0.8, 5, "Registered agent: Agency Desk LLC"),
            )
        ]
    )
    headed = subject_of([lines_of((3, 1, name), (0.8, 4, "Sold to Wexley Used Goods LLC on March 3, 2026"))])
    assert labelled is not None
    assert labelled.name == name
    assert headed is not None
    assert headed.name == name


def test_a_name_broken_over_two_lines_is_whole() -> None:
    lines = lines_of(
        (0.8, 1, "The undersigned are all of the members of Copperline Bakery"),
        (0.8, 1.18, "Equipment LLC and consent to its dissolution."),
    )
    found = subject_of([lines])
    assert found is not None
    assert found.name == "Copperline Bakery Equipment LLC"


def test_two_companies_of_equal_weight_leave_a_doubt() -> None:
    page = draft((0.8, 4, "Blue Heron Mixers LLC and Pinyon Tool Rental LLC agree as follows on these matters"))
    read = reading_of(page)
    assert "entity_name" not in read.values or read["entity_name"].confidence < 0.6


@pytest.mark.parametrize(
    ("words", "ein"),
    [
        ("EIN: 07-4418230", "07-4418230"),
        ("Employer identification number 07 4418230", "07-4418230"),
        ("FEIN 074418230", "07-4418230"),
        ("Social security number 074-41-8230", None),
        ("Telephone 503-555-0142", None),
        ("Preparer's EIN 07-4418230", None),
    ],
)
def test_an_ein_is_an_ein_and_an_ssn_never_is(words: str, ein: str | None) -> None:
    found = ein_of([lines_of((0.8, 1, words), (0.8, 2, "and some more words to fill the page"))])
    assert (found.text if found else None) == ein


@pytest.mark.parametrize(
    ("label", "number"),
    [
        ("Registry number: ", "1482207-93"),
        ("UBI Number ", "604 771 305"),
        ("Secretary of State control number ", "001207744"),
        ("ID number of the foreign entity: ", "20171540886"),
        ("Entity ID ", "0450118832"),
        ("FileNumber ", "369975 C5"),
        ("Charter Number: ", "20270665DC"),
        ("SOS Account Number: ", "1084120186"),
        ("this office knows it as ", "L5136663"),
        ("Item 4. ID number: ", "20171540886"),
        ("SCC ID: ", "S0118832"),
        ("known to this office under entity number ", "802331976"),
        ("Business ALEI ", "US-CT.BER:8020859"),
    ],
)
def test_the_offices_number_is_found_by_its_label(label: str, number: str) -> None:
    found = file_number_of(
        [lines_of((0.8, 1, label + number), (0.8, 2, "Document number 20268114471"), (0.8, 3, "Phone 503-555-0142"))]
    )
    assert found is not None
    assert found.text == number


@pytest.mark.parametrize(("place", "number"), [("MT", "C726909"), ("IA", None)])
def test_a_filing_number_is_the_companys_only_where_the_office_calls_it_so(place: str, number: str | None) -> None:
    found = file_number_of(
        [lines_of((0.8, 1, "Filing Number: C726909"), (0.8, 2, "and words of the page"))], place=place
    )
    assert (found.text if found else None) == number


def test_an_ein_one_digit_to_a_cell_is_read() -> None:
    page = draft((0.8, 0.6, "Nebraska Department of Revenue"), (0.8, 2, "Federal employer identification number"))
    page.text(0.8, 1.2, "Nebraska Return of Partnership Income", 16, bold=True)
    for index, digit in enumerate("074418230"):
        page.text(0.8 + 0.22 * index + 0.15 * (index > 1), 2.25, digit, 10)
    assert reading_of(page)["ein"].value == "07-4418230"


def test_a_name_broken_in_a_narrow_column_is_joined_when_it_stands_whole_elsewhere() -> None:
    read = reading_of(
        draft(
            (0.8, 1.0, "Company"),
            (3.0, 1.02, "Blue Heron Catering Supply Company, LLC is a limited liability company"),
            (0.8, 1.18, "Blue Heron Catering"),
            (3.0, 1.22, "of Arizona and has carried on business in Nevada."),
            (0.8, 1.34, "Supply Company, LLC"),
        )
    )
    assert read.text("entity_name") == "Blue Heron Catering Supply Company, LLC"


def test_a_missing_value_beside_its_label_is_left_to_a_person() -> None:
    page = draft(
        (0.8, 0.6, "Tennessee Department of Revenue"),
        (0.8, 2, "Issued to: Pinyon Mixers LLC"),
        (0.8, 2.3, "Employer identification number"),
    )
    page.text(0.8, 1.2, "CERTIFICATE OF TAX CLEARANCE", 16, bold=True)
    page.text(0.8, 2.6, "Date issued: August 3, 2026", 10)
    read = reading_of(page)
    assert read["ein"].value is None
    assert "ein" in read.doubts


def test_boxes_of_values_lie_where_the_words_stand() -> None:
    page = page_of((2.0, 3.0, "EIN: 07-4418230 in the middle of this page"))
    found = ein_of([page.lines])
    assert found is not None
    box = page.box(found.piece.rect)
    assert 2.0 / 8.5 < box.left < box.right < 4.2 / 8.5
    assert 2.8 / 11 < box.top < 3.0 / 11 + 0.01
    assert box.bottom < 3.1 / 11


def test_two_dates_side_by_side_after_a_period_are_its_begin_and_end() -> None:
    found = dates_in(lines_of((0.8, 2, "Tax period"), (2.4, 2, "01/01/2025"), (3.5, 2, "04/30/2025")))
    assert [(hit.role, hit.day.isoformat()) for hit in found] == [("begins", "2025-01-01"), ("ends", "2025-04-30")]


@pytest.mark.parametrize("words", ["This letter can be used until", "The slip lapses on", "Not valid after"])
def test_words_for_the_end_of_a_certificate(words: str) -> None:
    (found,) = dates_in(lines_of((1, 2, f"{words} May 10, 2026.")))
    assert found.role == "valid"


def test_a_name_of_one_bare_word_at_the_start_of_a_sentence_is_not_trusted() -> None:
    named = subject_of([lines_of((1, 2, "Supply L.L.C., 209496217130, is a limited liability company of this state."))])
    assert named is not None
    assert not named.whole


@pytest.mark.parametrize(
    ("upper", "lower", "name"),
    [
        ("Minutes of a meeting of the members of Old Kiln", "Mixers Co., LLC", "Old Kiln Mixers Co., LLC"),
        ("Minutes of a meeting of the members of Old Kiln Ltd.", "Liability Co.", "Old Kiln Ltd. Liability Co."),
        ("STATEMENT OF TERMINATION", "OLD KILN MIXERS LLC", "Old Kiln Mixers LLC"),
        ("CERTIFICATE OF CANCELLATION OF REGISTRATION OF OLD KILN", "MIXERS LLC", "Old Kiln Mixers LLC"),
        ("CERTIFICATE OF DISSOLUTION OF TEXAS ENTITY", "OLD KILN MIXERS LLC", "Old Kiln Mixers LLC"),
    ],
)
def test_a_name_in_a_centred_heading_of_two_lines_is_whole(upper: str, lower: str, name: str) -> None:
    page = Draft()
    page.text(4.25, 1.0, upper, 12, at="centre")
    page.text(4.25, 1.22, lower, 12, at="centre")
    named = subject_of([Book(open_folio(page.pdf(), DEFAULT_LIMITS), recogniser()).read(1).lines])
    assert named is not None
    assert same_name(named.name, name)


def test_a_name_that_has_a_line_to_itself_is_not_cut_to_its_end() -> None:
    named = subject_of(
        [
            lines_of(
                (1, 1, "Entity"), (1, 1.2, "Old Kiln Paving and Grading LLC"), (1, 3, "Paving and Grading LLC signs.")
            )
        ]
    )
    assert named is not None
    assert named.name == "Old Kiln Paving and Grading LLC"


@pytest.mark.parametrize(
    ("row", "name"),
    [
        ("Taxpayer: 41 Quarry Road Brewing LLC", "41 Quarry Road Brewing LLC"),
        ("Fulllegalname Calico Bend Coffee Company, LLC", "Calico Bend Coffee Company, LLC"),
        ("Suite 41 Quarry Road Brewing LLC", "Quarry Road Brewing LLC"),
        ("June 30 Quarry Road Brewing LLC", "Quarry Road Brewing LLC"),
    ],
)
def test_a_number_that_begins_a_name_is_part_of_it_and_a_lost_blank_is_not(row: str, name: str) -> None:
    named = subject_of([lines_of((0.8, 0.6, row))])
    assert named is not None
    assert named.name == name


def test_an_items_number_is_no_part_of_a_name() -> None:
    lines = lines_of((0.8, 0.6, "1 Quarry Road Brewing LLC"), (0.8, 1.0, "2 Address of the company"))
    named = subject_of([lines])
    assert named is not None
    assert named.name == "Quarry Road Brewing LLC"


@pytest.mark.parametrize("title", ["Tax Clearance Certificate", "Sales Tax Release Order"])
def test_the_title_in_a_letters_subject_line_is_no_part_of_the_name(title: str) -> None:
    named = subject_of(
        [
            lines_of(
                (0.8, 1, "Old Kiln Mixers LLC"), (0.8, 1.2, "12 Mill Lane"), (0.8, 2, f"{title} Old Kiln Mixers LLC")
            )
        ]
    )
    assert named is not None
    assert (named.name, named.whole) == ("Old Kiln Mixers LLC", True)


def test_what_may_be_a_title_before_a_name_leaves_a_doubt() -> None:
    named = subject_of([lines_of((0.8, 2, "Second Release Order Old Kiln Mixers LLC"))])
    assert named is not None
    assert not named.whole


def test_a_name_parted_in_its_row_is_whole() -> None:
    named = subject_of([lines_of((0.8, 1, "The name of the company is OLD"), (3.05, 1, "KILN MIXERS LLC"))])
    assert named is not None
    assert named.name == "OLD KILN MIXERS LLC"


def test_a_suffix_that_lost_a_full_stop_is_one() -> None:
    named = subject_of([lines_of((0.8, 1, "Taxpayer: Old Kiln Mixers L.LC."))])
    assert named is not None
    assert same_name(named.name, "Old Kiln Mixers LLC")


@pytest.mark.parametrize(
    ("rows", "number"),
    [
        (("Old Kiln Mixers LLC, a company of this state, Organization", "Number 5294770, submits:"), "5294770"),
        (("SCC ID Number: $4533498", "Tracking number: 1148349237"), "S4533498"),
        (("Business ID DLO99777", ""), "DL099777"),
        (("Confirmation 84690756", ""), None),
        (("Business ALEI", "US-CT. BER: 8020859"), "US-CT.BER:8020859"),
    ],
)
def test_a_number_is_found_past_a_line_break_and_with_a_letter_misread(
    rows: tuple[str, str], number: str | None
) -> None:
    found = file_number_of([lines_of((0.8, 1, rows[0]), (0.8, 1.18, rows[1]))], guess=True)
    assert (found.text if found else None) == number
