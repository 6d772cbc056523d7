"""What may have to be hidden is found wherever it stands; every number and address here is invented."""

import pytest

from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import (
    Box,
    PrivateSort,
    PrivateSpot,
    Reading,
    reading_from_json,
    reading_to_json,
)
from quietus.reading.pages import Page
from quietus.reading.private import private_spots
from quietus.reading.reader import read_bytes
from quietus.reading.upright import Stance, Way
from quietus.reading.words import Rect, Word, lines_of
from tests.reading.helpers import Row, page_of
from tests.reading.pages import Draft, packed, worn

SSN, EIN, ACCOUNT, HOME = PrivateSort.SSN, PrivateSort.EIN, PrivateSort.ACCOUNT_NUMBER, PrivateSort.HOME_ADDRESS
FILLER = (1.0, 9.0, "Nothing else stands on this page, which is here for its one number.")


def sorts(*rows: Row) -> list[PrivateSort]:
    return [spot.sort for spot in private_spots([page_of(*rows, FILLER)])]


@pytest.mark.parametrize(
    "number",
    [
        "000-12-3456", "666-45-6789", "900 70 1234", "987-65-4321", "9O1-7l-23S4", "000\u201312\u20133456",
        "000 - 12 - 3456", "000.12.3456", "912-8B-4321", "SSN:000-12-3456", "000-12-3456.", "(666-12-3456)",
        "66 6-12-3456",
    ],
)  # fmt: skip
def test_a_social_security_number_is_found_by_its_grouping(number: str) -> None:
    assert sorts((1, 2, f"The member {number} signed this.")) == [SSN]


@pytest.mark.parametrize("number", ["XXX-XX-1234", "***-**-1234", "xxx-xx-0000"])
def test_a_masked_number_needs_no_hiding(number: str) -> None:
    assert sorts((1, 2, f"Social security number {number}")) == []


@pytest.mark.parametrize(
    ("label", "number", "sort"),
    [
        ("Social Security Number", "000123456", SSN),
        ("ITIN:", "900701234", SSN),
        ("Partner's identifying number", "0 0 0 1 2 3 4 5 6", SSN),
        ("SSN", "12345-6789", SSN),
        ("Employer identification number", "071234567", EIN),
        ("EIN", "0 7 1 2 3 4 5 6 7", EIN),
        ("Routing number", "000000518", ACCOUNT),
        ("Checking account no.", "0012 3456 7890", ACCOUNT),
    ],
)
def test_a_label_tells_what_bare_digits_are(label: str, number: str, sort: PrivateSort) -> None:
    assert sorts((1, 2, f"{label} {number}")) == [sort]
    assert sorts((1, 2, label), (1, 2.2, number)) == [sort]
    assert sorts((1, 2, label), (5, 2, number)) == [sort]


@pytest.mark.parametrize(
    "words",
    [
        "Registry number 1482207-93",
        "UBI number 604 771 305",
        "Document number 202681144",
        "Filed OCT-09-2026 at 10:41",
        "FILED JUL 14 2026",
        "Tax period 01/01/2026 to 06/30/2026",
        "Telephone 503-555-0142",
        "Salem, Oregon 97301-0001",
        "Account number 600-123-456 at the tax agency is closed",
    ],
)
def test_what_an_office_needs_is_left_alone(words: str) -> None:
    assert sorts((1, 2, words)) == []


def test_an_ein_is_found_without_a_label() -> None:
    assert sorts((1, 2, "Kettlemoor Crumb LLC, 07-4418230, is closed.")) == [EIN]


def test_nine_bare_digits_count_where_a_social_security_number_is_asked_for() -> None:
    asked = (1, 2, "Name and SSN of each member")
    assert sorts(asked, (1, 4, "Odalys Pemberwick"), (4, 4, "000123456")) == [SSN]
    assert sorts(asked, (1, 4, "Document number 202681144")) == []


def test_an_account_number_is_a_banks_only_where_a_bank_is_spoken_of() -> None:
    account = (1.0, 2.0, "Account number: 0044 1188 2200")
    assert sorts(account) == []
    assert sorts(account, (1, 3, "First Larch Bank, deposit slip")) == [ACCOUNT]


def test_the_foot_of_a_cheque_is_hidden() -> None:
    assert set(sorts((1, 2, "Bank of Larch"), (1, 5, ":000000518: 0044118822 1001"))) == {ACCOUNT}


def test_a_card_number_is_hidden() -> None:
    assert ACCOUNT in sorts((1, 2, "Paid by 0000 1234 5678 9015"))


def test_a_number_broken_over_two_lines_is_hidden_on_both() -> None:
    page = page_of((1, 2, "The members are Tobias Quernstone 000-12-"), (1, 2.18, "3456 and another."), FILLER)
    first, second = private_spots([page])
    assert first.sort == second.sort == SSN
    assert first.box.left > 0.3
    assert second.box.right < 0.2


def test_the_spot_covers_the_number_and_not_the_line() -> None:
    (spot,) = private_spots([page_of((1, 2, "Number 000-12-3456 of the member"), FILLER)])
    assert spot.page == 1
    assert 1.3 / 8.5 < spot.box.left < 1.55 / 8.5
    assert 2.3 / 8.5 < spot.box.right < 2.6 / 8.5
    assert spot.box.top < 1.88 / 11 < 2.0 / 11 < spot.box.bottom


HOMES = [
    ((1, 2, "Odalys Pemberwick"), (1, 2.18, "14 Larch Lane"), (1, 2.36, "Astoria, OR 97103")),
    ((1, 2, "Member: Odalys Pemberwick, 14 Larch Lane, Astoria, OR 97103"),),
    ((1, 2, "Name and address of each member"), (1, 2.18, "1420 NW Thistle Ave. Apt 3, Bend, OR 97701")),
    ((1, 2, "Residence address:"), (3, 2, "P.O. Box 118, Astoria, OR 97103")),
    ((1, 2, "Tobias Quernstone"), (1, 2.18, "1200 Broadway"), (1, 2.36, "Astoria, OR 97103")),
]


@pytest.mark.parametrize("rows", HOMES)
def test_a_persons_address_is_hidden(rows: tuple[Row, ...]) -> None:
    assert set(sorts(*rows)) == {HOME}


OFFICES = [
    ((1, 2, "Secretary of State"), (1, 2.18, "255 Capitol Street NE"), (1, 2.36, "Salem, OR 97310")),
    ((1, 2, "Mail this form to"), (1, 2.18, "255 Capitol Street NE, Salem, OR 97310")),
    ((1, 2, "Kettlemoor Crumb LLC"), (1, 2.18, "9 Mill Road"), (1, 2.36, "Astoria, OR 97103")),
    ((1, 2, "Registered agent: Anselm Birchwater, 14 Larch Lane, Astoria, OR 97103"),),
]


@pytest.mark.parametrize("rows", OFFICES)
def test_an_offices_or_a_companys_address_is_left_alone(rows: tuple[Row, ...]) -> None:
    assert sorts(*rows) == []


def test_a_spot_on_a_turned_page_lies_where_the_page_as_received_has_it() -> None:
    way = Way(Stance(90, 0.0), 1700, 2200)
    word = Word("000-12-3456", Rect(200, 300, 400, 330), 0.9)
    (spot,) = private_spots([Page(3, 200.0, way, lines_of([word]), "ocr")])
    assert spot.page == 3
    assert spot.box.top < 1 - 400 / 1700 < 1 - 200 / 1700 < spot.box.bottom
    assert spot.box.left < 300 / 2200 < 330 / 2200 < spot.box.right


def unsure(text: str) -> list[PrivateSort]:
    """What is found in one word that was hardly read."""
    word = Word(text, Rect(200, 300, 400, 330), 0.1)
    page = Page(1, 200.0, Way(Stance(0, 0.0), 1700, 2200), (), "ocr", faint=(word,))
    return [spot.sort for spot in private_spots([page])]


def test_what_was_hardly_read_is_hidden_too_but_for_dates() -> None:
    assert unsure("000-12-3456") == [SSN]
    assert unsure("00-72-0230") == [SSN]
    assert unsure("07-14-2026") == []


def test_spots_travel_through_json_and_older_readings_have_none() -> None:
    spot = PrivateSpot(2, Box(0.1, 0.2, 0.3, 0.4), PrivateSort.ACCOUNT_NUMBER)
    data = reading_to_json(Reading((), private=(spot,)))
    assert data["private"] == [{"page": 2, "box": [0.1, 0.2, 0.3, 0.4], "sort": "account_number"}]
    assert reading_from_json(data).private == (spot,)
    del data["private"]
    assert reading_from_json(data).private == ()


@pytest.mark.ocr
@pytest.mark.parametrize("turn", [0, 180])
def test_private_spots_are_found_on_scans(turn: int) -> None:
    page = Draft()
    page.text(1, 1, "Schedule of members", 14, bold=True)
    y = page.paragraph(1, 1.5, "The members of Kettlemoor Crumb & Crust LLC and their shares in what is left are:")
    for row, (name, number) in enumerate([("Odalys Pemberwick", "000-12-3456"), ("Ivo Strand", "912-78-4321")]):
        page.text(1, y + 0.3 + row, name)
        page.text(1, y + 0.48 + row, f"{14 + row} Larch Lane")
        page.text(1, y + 0.66 + row, "Astoria, OR 97103")
        page.text(4, y + 0.3 + row, f"SSN {number}")
    page.text(1, 5, "EIN 07-1234567")
    page.text(1, 5.4, "Paid from First Larch Bank, checking account number 0044 1188 2200")
    scan = worn(page.picture(200), 3).rotate(turn)
    (reading,) = read_bytes(packed([scan], "pdf", 200), limits=DEFAULT_LIMITS)
    found = [spot.sort for spot in reading.private]
    assert [found.count(sort) for sort in (SSN, EIN, ACCOUNT, HOME)] == [2, 1, 1, 4]


@pytest.mark.parametrize("words", ["2025-08-29 12:27 PM", "Received 2025-08-29 12:27:10"])
def test_a_day_with_a_time_is_no_number_to_hide(words: str) -> None:
    assert private_spots([page_of((0.8, 0.6, "Secretary of State"), (0.8, 1.0, words))]) == ()
