"""Holds are set and released on the page of a closing, with a reason, and told there."""

import re

import pytest
from starlette.testclient import TestClient

from quietus.closing import holds
from quietus.closing.approval import candidates
from quietus.desk.room import Desk
from quietus.model.hold import Hold
from quietus.model.paper import Paper
from tests.desk.make import COMPANY, OTHER, dissolution, file, read
from tests.desk.test_views import text_of

REASON = "A letter of the bank's counsel <b>came</b>."


@pytest.fixture
def paper(desk: Desk) -> Paper:
    """A paper of the closing."""
    return file(desk.office, read(dissolution()))


@pytest.fixture
def closing(desk: Desk) -> str:
    """The address of the closing."""
    return f"/closings/{desk.door.alias(COMPANY.slug)}"


def post(desk: Desk, client: TestClient, address: str, **form: str) -> int:
    """Send a form of the page; gives the status."""
    return int(client.post(address, data={"form_token": desk.door.form_token} | form).status_code)


def held(desk: Desk) -> list[bool]:
    """Of each paper of the closing whether a hold keeps it."""
    return [bool(one.holds) for one in candidates(desk.office, desk.office.today, COMPANY.slug)]


def test_a_hold_keeps_every_paper_of_the_closing_and_says_why(
    desk: Desk, client: TestClient, paper: Paper, closing: str
) -> None:
    assert post(desk, client, f"{closing}/holds", reason=REASON, paper="", review="2027-03-01") == 303
    (made,) = holds.in_force(desk.office.vault)
    assert (made.entity, made.paper, made.reason, made.by) == (COMPANY.slug, "", REASON, desk.office.who)
    file(desk.office, read(dissolution(filing_date="2026-07-15")))
    assert held(desk) == [True, True]
    page = client.get(closing).text
    words = text_of(page)
    assert "<b>came</b>" not in page
    assert f"{REASON} Keeps every paper of this closing, on file and to come; 2 papers here now" in words
    assert "to be looked at again on 2027-03-01" in words
    assert words.count("on file, held") == 2


def test_a_hold_may_keep_one_paper(desk: Desk, client: TestClient, paper: Paper, closing: str) -> None:
    other = file(desk.office, read(dissolution(filing_date="2026-07-15")))
    assert post(desk, client, f"{closing}/holds", reason=REASON, paper=other.id) == 303
    assert sorted(held(desk)) == [False, True]
    assert "Keeps one paper · set by" in text_of(client.get(closing).text)


def test_a_hold_is_released_with_a_reason_and_stays_in_sight(
    desk: Desk, client: TestClient, paper: Paper, closing: str
) -> None:
    post(desk, client, f"{closing}/holds", reason=REASON)
    (made,) = holds.in_force(desk.office.vault)
    assert post(desk, client, f"{closing}/holds/{made.id}", reason="  ") == 422
    assert holds.in_force(desk.office.vault) == (made,)
    assert post(desk, client, f"{closing}/holds/{made.id}", reason="The matter is settled.") == 303
    assert held(desk) == [False]
    assert "No hold: papers are kept as their rules say." in text_of(client.get(closing).text)
    assert re.search(r"released by .* on 2026-11-20: The matter is settled\.", text_of(client.get(closing).text))
    assert post(desk, client, f"{closing}/holds/{made.id}", reason="again") == 422


@pytest.mark.parametrize(
    "wrong", [{"reason": ""}, {"reason": " "}, {"review": "soon"}, {"review": "2020-01-01"}, {"paper": "f" * 32}]
)
def test_what_is_no_hold_is_not_set_and_not_lost(
    desk: Desk, client: TestClient, paper: Paper, closing: str, wrong: dict[str, str]
) -> None:
    form = {"form_token": desk.door.form_token, "reason": REASON, "paper": "", "review": ""} | wrong
    answer = client.post(f"{closing}/holds", data=form)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert "--" not in text_of(re.search(r'role="alert".*?</div>', answer.text, re.DOTALL)[0]) or wrong.get("review")  # type: ignore[index]
    assert form["reason"].strip() in text_of(answer.text)
    assert holds.holds(desk.office.vault) == ()


def test_a_hold_that_reaches_further_is_told_and_not_released_here(
    desk: Desk, client: TestClient, paper: Paper, closing: str
) -> None:
    wide = Hold(id="", reason="Every dissolution", by="", on=desk.office.today, kinds=frozenset({"dissolution"}))
    made = holds.set_hold(desk.office, wide)
    page = client.get(closing).text
    assert f"quietus hold release {made.id}" in page
    assert f"/holds/{made.id}" not in page
    assert post(desk, client, f"{closing}/holds/{made.id}", reason="no") == 409
    other = f"/closings/{desk.door.alias(OTHER.slug)}"
    assert "Every dissolution" not in client.get(other).text
    assert post(desk, client, f"{other}/holds/{made.id}", reason="no") == 409
    assert holds.in_force(desk.office.vault) == (made,)


@pytest.mark.parametrize("act", ["holds", "holds/0"])
def test_holds_are_set_only_by_forms_of_our_own_pages(desk: Desk, client: TestClient, closing: str, act: str) -> None:
    assert client.post(f"{closing}/{act}", data={"reason": REASON}).status_code == 403
    assert post(desk, client, f"/closings/nobody/{act}", reason=REASON) == 404
    assert holds.holds(desk.office.vault) == ()
