"""What notices and letters have to hold, against the statutes and agency pages that ask for it."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import pytest

from quietus.bundle import wording
from quietus.bundle.drafts.draft import LETTERS, Draft, template
from quietus.bundle.drafts.render import letter_text
from quietus.closing.drafts import Wish, draft_letter
from quietus.closing.office import Office
from quietus.model.entity import Registration
from tests.closing.answering import COMPANY, TODAY, closed_office

pytestmark = pytest.mark.outside

WISH = Wish("Quayle & Dobbs Oven Parts", "12 Invented Way, Salem, OR 97301", "9 Made-up Street, Bend, OR 97701")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with closed_office(tmp_path_factory.mktemp("notices") / "office") as opened:
        yield opened


@pytest.fixture(scope="module")
def letters(office: Office) -> dict[str, Draft]:
    """Every letter about the company of Oregon."""
    return {name: draft_letter(office, COMPANY.slug, name, WISH, TODAY) for name in LETTERS}


def of_state(office: Office, name: str, code: str) -> Draft:
    """A letter of a company formed in a state."""
    slug = f"formed-in-{code.lower()}"
    office.vault.put_entity(replace(COMPANY, slug=slug, home=code, registrations=(Registration(code),)))
    return draft_letter(office, slug, name, WISH, TODAY)


@pytest.mark.parametrize("name", LETTERS)
def test_every_letter_holds_the_words_that_its_rules_ask_for(letters: dict[str, Draft], name: str) -> None:
    said = letter_text(letters[name])
    for rule in template(name).rules:
        for words in rule.must:
            assert words in said


@pytest.mark.parametrize("name", LETTERS)
def test_every_rule_of_a_letter_has_a_source_and_a_day(letters: dict[str, Draft], name: str) -> None:
    rules = letters[name].rules
    assert rules
    assert all(rule.source.cite and rule.source.checked >= date(2026, 11, 1) for rule in rules)


@pytest.mark.parametrize(
    ("code", "days"),
    [
        ("IA", 120),  # Iowa Code 489.704 (read, as all of these), from receipt
        ("HI", 120),  # HRS 428-807
        ("WA", 120),  # RCW 25.15.301
        ("OR", 120),  # ORS 63.641, from the effective date of the notice
    ],
)
def test_the_deadline_leaves_a_known_creditor_the_days_of_the_statute(office: Office, code: str, days: int) -> None:
    draft = of_state(office, "creditor", code)
    last = next(
        day
        for day in (TODAY + timedelta(n) for n in range(400))
        if f"by {wording.long_date(day)}." in letter_text(draft)
    )
    assert last >= TODAY + timedelta(days=days + 7)  # a week in the mail still leaves the days whole
    assert last.weekday() < 5


@pytest.mark.parametrize(
    "words",
    [
        "in writing",  # 2013 text
        "has to say",  # what a claim must contain
        "Send the claim to: 9 Made-up Street, Bend, OR 97701",  # a mailing address
        "has to be received by",  # the deadline
        "is barred",  # what follows from missing it
    ],
)
def test_a_known_creditors_notice_says_what_the_uniform_act_asks(letters: dict[str, Draft], words: str) -> None:
    """Uniform Limited Liability Company Act (2013) 704(b), as enacted in Iowa Code 489.704 (read)."""
    assert words in letter_text(letters["creditor"])


@pytest.mark.parametrize(
    ("code", "years"),
    [
        ("WY", 3),  # Wyo. Stat. 17-29-704 (read)
        ("CT", 3),  # Conn. Gen. Stat. 34-267d (read)
        ("FL", 4),  # Fla. Stat. 605.0712 (read)
        ("MT", 5),  # Mont. Code 35-8-909 (read)
        ("WV", 5),  # W. Va. Code 31B-8-808 (read)
    ],
)
def test_a_newspaper_notice_names_the_years_of_the_statute(office: Office, code: str, years: int) -> None:
    said = letter_text(of_state(office, "newspaper", code))
    assert f"is commenced within {years} years after the publication of this notice" in said


@pytest.mark.parametrize(
    "words",
    [
        "published once",
        "must be in writing",
        "must be mailed to: 9 Made-up Street, Bend, OR 97701",
        "is barred unless a proceeding to enforce it is commenced",
        "affidavit of publication",
    ],
)
def test_a_newspaper_notice_says_what_the_uniform_act_asks(letters: dict[str, Draft], words: str) -> None:
    """Uniform Limited Liability Company Act (2013) 705(b), as enacted in Conn. Gen. Stat. 34-267d (read)."""
    assert words in letter_text(letters["newspaper"])


@pytest.mark.parametrize(
    "words",
    [
        f"Complete legal name: {COMPANY.name}",
        f"Employer identification number: {COMPANY.ein}",
        "Business address: 9 Made-up Street, Bend, OR 97701",
        "Reason for closing the account: The company ended its business on March 31, 2026",
        "a copy of the notice that assigned the number",
    ],
)
def test_the_ein_letter_says_what_the_revenue_service_asks(letters: dict[str, Draft], words: str) -> None:
    """irs.gov, Canceling an EIN: Closing Your Account, archived copy of October 2012 (read)."""
    assert words in letter_text(letters["ein"])


def test_the_ein_letter_does_not_ask_to_cancel_the_number(letters: dict[str, Draft]) -> None:
    """The same page: the number is never cancelled, the account is closed."""
    assert "cancel" not in letter_text(letters["ein"]).lower()
