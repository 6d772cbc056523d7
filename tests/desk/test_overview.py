"""The first page shows a few closings whole and many in lines; what waits is told without reading every paper again."""

import html
import re
from dataclasses import replace

import pytest
from starlette.testclient import TestClient

from quietus.closing.review import assign, confirm, questions, reject
from quietus.desk import overview, views
from quietus.desk.room import Desk
from tests.desk.make import COMPANY, OTHER, dissolution, file, read
from tests.desk.test_views import text_of

MANY = 30


@pytest.fixture
def many(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Many closings, twelve on a page."""
    monkeypatch.setattr(overview, "LINES", 12)
    for number in range(MANY - 2):
        name, ein = f"Company <i>{number:02}</i> & Sons LLC", f"08-{number:07}"
        desk.office.vault.put_entity(replace(OTHER, slug=f"company-{number:02}", name=name, ein=ein))


def names(page: str) -> list[str]:
    """The closings that the lines of a page tell of."""
    return [html.unescape(name) for name in re.findall(r'<a href="/closings/\w+">(.*?)</a></th>', page)]


def test_many_closings_get_a_line_each_worst_first_and_pages_hold_all_of_them(
    desk: Desk, client: TestClient, many: None
) -> None:
    file(desk.office, read(dissolution()))
    first = client.get("/")
    found, address = names(first.text), "/"
    assert len(found) == 12
    assert "1 to 12 of 30, worst first." in text_of(first.text)
    assert "30 closings are not proven, 0 proven" in text_of(first.text)
    while after := re.search(r'href="([^"]*)" rel="next"', client.get(address).text):
        address = html.unescape(after[1])
        found += names(client.get(address).text)
    assert len(found) == len(set(found)) == MANY
    assert found[-1] == COMPANY.name, "the only one with a paper on file is the least bad"
    assert 'rel="prev"' in client.get(address).text


def test_a_line_says_state_and_next_step_and_leads_to_the_closing(desk: Desk, client: TestClient, many: None) -> None:
    page = client.get("/?from=24").text
    line = re.findall(r"<tr role=\"row\">\s*<th scope=\"row\".*?</tr>", page, re.DOTALL)[-1]
    assert re.search(r"Not proven: \d+ things open", line)
    assert "on file" in line
    assert "Next:" in line
    address = re.search(r'href="(/closings/\w+)"', line)[1]  # type: ignore[index]
    assert client.get(address).status_code == 200


def test_closings_are_found_by_part_of_their_name_or_ein_and_no_address_tells_which(
    desk: Desk, client: TestClient, many: None
) -> None:
    for wanted, expected in (("kettlemoor crumb", [COMPANY.name]), (OTHER.ein, [OTHER.name]), ("nobody at all", [])):
        answer = client.post("/find", data={"form_token": desk.door.form_token, "name": wanted})
        assert names(answer.text) == expected
        assert "location" not in answer.headers
        assert f'value="{wanted}"' in answer.text
    assert "No closing fits." in answer.text
    hostile = client.post("/find", data={"form_token": desk.door.form_token, "name": '"><script>'}).text
    assert "<script" not in hostile


def test_proven_and_unproven_closings_can_be_seen_apart(client: TestClient, many: None) -> None:
    assert "1 to 12 of 30" in text_of(client.get("/?show=open").text)
    assert "No closing fits." in client.get("/?show=proven").text
    for odd in ("/?show=x", "/?from=-1", "/?from=²", "/?from=99999999999"):
        assert "1 to 12 of 30" in text_of(client.get(odd).text)
    assert client.get("/?from=1000").status_code == 200


def test_what_waits_is_what_the_review_at_the_terminal_tells(desk: Desk, client: TestClient, many: None) -> None:
    doubtful = [file(desk.office, read(dissolution(), doubts=("ein",)), entity=e.slug) for e in (COMPANY, OTHER)]
    homeless = file(desk.office, read(dissolution()), entity="")
    unseen = read(dissolution(filing_date="2026-07-20"), doubts=("filing_date",))

    def agrees(number: int) -> None:
        assert sorted(desk.waiting()) == sorted(q.paper.id for q in questions(desk.office))
        assert len(desk.waiting()) == number
        assert f"{number}<span" in client.get("/review").text

    agrees(3)
    confirm(desk.office, doubtful[0].id)
    agrees(2)
    file(desk.office, unseen, entity="company-07")
    agrees(3)
    assign(desk.office, homeless.id, COMPANY.slug)
    agrees(2)
    reject(desk.office, doubtful[1].id, "a draft")
    agrees(1)


def test_a_long_queue_shows_its_first_papers_and_says_so(
    desk: Desk, client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:

    monkeypatch.setattr(views, "QUESTIONS", 2)
    for _ in range(3):
        file(desk.office, read(dissolution(), doubts=("ein",)))
    page = client.get("/review").text
    assert page.count('class="whys"') == 2
    assert "3 papers, the longest waiting first; the first 2 are shown" in text_of(page)
