from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quietus.reading.dates import find_dates

FOURTH = date(2025, 3, 4)


def days(text: str) -> list[date]:
    return [hit.day for hit in find_dates(text)]


@pytest.mark.parametrize(
    "text",
    [
        "4 MAR 2025",
        "MAR 04 2025",
        "MAR042025",
        "Mar. 4, 2025",
        "March 4, 2025",
        "03/04/25",
        "3/4/2025",
        "03-04-2025",
        "03.04.2025",
        "2025-03-04",
        "04-Mar-25",
        "the 4th day of March, 2025",
        "this fourth day of March, A.D. 2025",
        "March 4th, 2025",
        "2025 MAR 04",
        "2025 MAR -4",
    ],
)
def test_every_us_style_is_read(text: str) -> None:
    assert days(f"Dated: {text}.") == [FOURTH]
    assert find_dates(text)[0].sure >= 0.9


@pytest.mark.parametrize(
    "text", ["MAR O4 2025", "MAR 04 2O25", "MAP 04 2025", "Marcb 4, 2025", "O3/04/2025", "rnarch 4, 2025"]
)
def test_a_misread_sign_is_repaired_and_makes_the_date_less_sure(text: str) -> None:
    found = find_dates(text)
    assert all(hit.day == FOURTH and hit.sure < 0.85 for hit in found)


@pytest.mark.parametrize("text", ["JU1 14 2026", "IAN 28 2025", "5EP 28 2026", "0CT 9 2026", "Septernber 15, 2026"])
def test_month_names_with_lookalikes_are_found(text: str) -> None:
    assert len(days(text)) == 1


@pytest.mark.parametrize(
    "text",
    [
        "13/04/2025",
        "02/30/2026",
        "April 31, 2025",
        "1482207-93",
        "604 771 305",
        "(503) 555-0123",
        "97301-0012",
        "MA 04 2025",
        "JU 14 2026",
    ],
)
def test_what_is_no_date_of_the_calendar_is_not_made_one(text: str) -> None:
    assert days(text) == []


def test_two_dates_joined_by_a_dash_are_two_dates() -> None:
    assert days("01/01/2026-06/30/2026") == [date(2026, 1, 1), date(2026, 6, 30)]


def test_a_time_beside_the_date_is_no_part_of_it() -> None:
    assert days("Filed 07/22/2026 10:41 AM") == [date(2026, 7, 22)]


@given(
    st.dates(date(1950, 1, 1), date(2069, 12, 31)), st.sampled_from(["%B %d, %Y", "%m/%d/%Y", "%d %b %Y", "%Y-%m-%d"])
)
def test_every_day_survives_being_written(day: date, style: str) -> None:
    assert days(f"x {day.strftime(style)} y") == [day]


@given(st.text(max_size=60))
def test_no_text_breaks_the_search(text: str) -> None:
    for hit in find_dates(text):
        assert 0 <= hit.start < hit.end <= len(text)
        assert 0 < hit.sure <= 1


@pytest.mark.parametrize("text", ["MAK 04 2025", "AR 04 2025", "NO 04 2025", "THE 04 2025", "0342025", "9370472025"])
def test_what_could_be_two_months_or_any_number_gives_no_date(text: str) -> None:
    assert days(text) == []


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("RUG 04 2025", date(2025, 8, 4)),
        ("EB O04 2025", date(2025, 2, 4)),
        ("0370472025", FOURTH),
        ("03%0472025", FOURTH),
        ("03 04 2025", FOURTH),
    ],
)
def test_a_stamps_cut_letter_or_misread_slash_is_repaired_and_never_counts_as_sure(text: str, day: date) -> None:
    (found,) = find_dates(f"FILED {text} SOS")
    assert found.day == day
    assert found.sure <= 0.8


def test_the_first_half_of_a_year_is_hardly_a_year() -> None:
    assert find_dates("NOV 28 20")[0].sure < 0.55
    assert find_dates("NOV 28 23")[0].sure > 0.9


@pytest.mark.parametrize(
    "text", ["25 MAR 04", "25 MAR -4 AM 8:32", "25 MAR 04 10:12 AM", "2025-03-04T10:11:12", "FILED_03/04/2025"]
)
def test_dates_of_clocks_and_machines_are_read(text: str) -> None:
    assert days(text) == [FOURTH]
    assert find_dates(text)[0].sure >= 0.9


def test_a_clocks_two_numbers_that_could_both_be_the_year_are_unsure() -> None:
    assert all(hit.sure < 0.7 for hit in find_dates("14 MAR 22"))


def test_a_year_of_two_digits_before_a_word_is_whole() -> None:
    assert find_dates("filed on 03/04/19 at 07:20 AM")[0].sure > 0.9 > find_dates("filed on 03/04/19")[0].sure


def test_an_amount_of_money_is_no_date() -> None:
    assert days("Balance -3,012.00") == []


def test_a_nought_with_a_stroke_read_as_two_signs_is_one_and_else_no_date_is_guessed() -> None:
    assert [days(f"JUN {day} 2018") for day in ("O07", "O27")] == [[date(2018, 6, 7)], []]
