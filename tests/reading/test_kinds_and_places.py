import re

import pytest

from quietus.model.kinds import Kind
from quietus.model.reading import FIELDS
from quietus.reading.marks import sort_of
from quietus.reading.tables import kind_rows, place_rows, table
from tests.reading.helpers import draft, reading_of
from tests.reading.papers import PLACES

STATES = set(
    re.findall(
        "..",
        "ALAKAZARCACOCTDEDCFLGAHIIDILINIAKSKYLAMEMDMAMIMNMSMOMTNENVNHNJNMNYNCNDOHOKORPARISCSDTNTXUTVTVAWAWVWIWY",
    )
)


def test_every_kind_has_its_row() -> None:
    assert set(kind_rows()) == set(Kind)


def test_rows_name_only_fields_that_exist() -> None:
    for row in kind_rows().values():
        assert row.needs | row.reads <= set(FIELDS)
        assert row.needs <= row.reads


def test_every_field_has_a_bar() -> None:
    assert set(table("bars.toml")) == set(FIELDS)
    assert all(0 < bar < 1 for bar in table("bars.toml").values())


def test_every_state_the_district_and_the_federal_level_are_known() -> None:
    assert set(place_rows()) == STATES | {"US"}


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (
            "The company is a foreign limited liability company and surrenders its authority to transact business.",
            "withdrawal",
        ),
        (
            "The domestic company has been dissolved by consent of all members and its winding up is complete.",
            "dissolution",
        ),
    ],
)
def test_a_title_that_means_either_is_decided_by_the_body(body: str, kind: str) -> None:
    page = draft(
        (2.5, 0.6, "California Secretary of State"),
        (0.8, 2.0, "Name of the limited liability company: Blue Heron Mixers LLC"),
    )
    page.text(2.5, 1.1, "CERTIFICATE OF CANCELLATION", 16, bold=True)
    page.paragraph(0.8, 2.5, body)
    read = reading_of(page)
    assert read.text("kind") == kind
    assert read.text("jurisdiction") == "CA"


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.code)
def test_the_state_of_formation_never_passes_for_the_state_of_filing(place: object) -> None:
    name, office = getattr(place, "name"), getattr(place, "office")  # noqa: B009 - a parametrised record
    page = draft(
        (0.8, 0.6, f"{name} {office}"),
        (0.8, 1.9, "Company name: Larkspur Tool Rental LLC"),
        (0.8, 2.2, "formed under the laws of the State of Idaho"),
        (0.8, 2.5, "Jurisdiction of formation: Idaho"),
        (0.8, 2.8, "State of organization"),
        (0.8, 2.98, "Idaho"),
    )
    page.text(0.8, 1.2, "Statement of Withdrawal", 16, bold=True)
    assert reading_of(page).text("jurisdiction") == getattr(place, "code")  # noqa: B009


def test_a_paper_of_no_known_kind_waits_for_a_person() -> None:
    read = reading_of(
        draft((1, 1, "Lorem ipsum dolor sit amet, consectetur adipiscing elit"), (1, 2, "sed do eiusmod"))
    )
    assert read["kind"].value == Kind.OTHER.value
    assert "kind" in read.doubts


@pytest.mark.parametrize(
    ("text", "sort"),
    [
        ("FILED JUL 14 2026", "filed"),
        ("F I L E D SEP 28 2026", "filed"),
        ("FlLED", "filed"),
        ("RECEIVED JUL 10 2026 MAIL ROOM", "received"),
        ("REJECTED see letter", "rejected"),
        ("CANNOT FILE MAY 4 2026", "rejected"),
        ("E-MAILED", "other"),
        ("COPY", "other"),
        ("NOTARY PUBLIC my commission expires", "other"),
        ("FILED clerk of the court", "strange"),
        ("file number 443", None),
        ("name of the field", None),
    ],
)
def test_the_words_of_a_stamp_say_what_it_is(text: str, sort: str | None) -> None:
    assert sort_of(text)[0] == sort


@pytest.mark.parametrize(
    ("rows", "kind"),
    [
        (("Your account has been looked into.", "Tax due: $812.00, with a penalty. You may protest."), "tax_notice"),
        (("All members waive a meeting and agree that the company dissolve.", "Signed by all members"), "consent"),
        (("The withholding account is closed as of March 31.", "No further returns are expected."), "account_closure"),
        (("The policy was cancelled.", "The unused premium of the coverage will be refunded."), "other"),
        (("Your Articles of Dissolution could not be accepted.", "Nothing has been entered on the record."), "other"),
    ],
)  # fmt: skip
def test_a_paper_without_a_known_title_is_told_by_its_words(rows: tuple[str, ...], kind: str) -> None:
    read = reading_of(draft(*((1.0, 1.0 + 0.3 * n, words) for n, words in enumerate(rows))))
    assert read.text("kind") == kind


def test_a_company_that_dissolves_does_so_where_it_was_formed() -> None:
    read = reading_of(
        draft(
            (1, 1, "Articles of Dissolution"),
            (1, 1.5, "Domestic limited liability company"),
            (1, 2, "Home jurisdiction: Georgia"),
        )
    )
    assert read.text("jurisdiction") == "GA"


def test_a_sentence_tells_where_a_company_withdraws() -> None:
    read = reading_of(
        draft(
            (1, 1, "Application for Withdrawal"),
            (1, 2, "The company transacts no more business in Idaho."),
            (1, 2.3, "It was formed in Ohio."),
        )
    )
    assert read.text("jurisdiction") == "ID"


def test_a_county_after_the_state_does_not_hide_it() -> None:
    page = draft(
        (2.5, 1.4, "State of Washington, County of Harrow"),
        (0.8, 1.9, "The editor, being sworn, states that the notice set out here was published in that newspaper."),
        (0.8, 2.2, "To whom it may concern: Old Kiln Mixers LLC is dissolved. Sworn to before me on July 8, 2026."),
    )
    page.text(2.5, 1.0, "Publisher's Affidavit", 16, bold=True)
    read = reading_of(page)
    assert read.text("jurisdiction") == "WA"
    assert read.text("entity_name") == "Old Kiln Mixers LLC"


def test_a_title_that_means_either_follows_the_state_of_formation() -> None:
    page = draft(
        (0.8, 0.6, "Secretary of State, State of California"),
        (0.8, 1.9, "Business:"),
        (2.8, 1.9, "Blue Heron Mixers LLC"),
        (0.8, 2.2, "Formed in:"),
        (2.8, 2.2, "California, April 3, 2007"),
        (0.8, 2.6, "The members resolved that the company be dissolved."),
    )
    page.text(0.8, 1.1, "Limited Liability Company Certificate of Cancellation", 14, bold=True)
    assert reading_of(page).text("kind") == "dissolution"


def test_a_company_paper_headed_by_an_office_waits_for_a_person() -> None:
    page = draft(
        (0.8, 0.6, "STATE OF OREGON"),
        (0.8, 0.8, "SECRETARY OF STATE"),
        (0.8, 1.9, "The members resolved on July 3, 2026 that Old Kiln Mixers LLC come to its end."),
        (0.8, 2.2, "All of the members adopted this resolution without a meeting."),
    )
    assert "kind" in reading_of(page).doubts
