"""Places to cover are kept where they were drawn, on the page as received, and told from those found by reading."""

import io
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from starlette.testclient import TestClient

from quietus.closing.covering import mark
from quietus.desk.door import POLICY, WITH_SCRIPT
from quietus.desk.geometry import received, upright
from quietus.desk.room import Desk
from quietus.model.paper import Paper
from quietus.model.reading import Box, PrivateSort, PrivateSpot
from tests.desk.conftest import Send
from tests.desk.make import PLACES, as_received, dissolution, file, page_png, read
from tests.desk.test_desk_pictures import EDGES, near, opened

FOUND = PrivateSpot(1, Box(0.1, 0.2, 0.3, 0.24), PrivateSort.EIN)


def percent(box: Box) -> dict[str, str]:
    """The box as the form sends it."""
    return {name: f"{100 * edge:.2f}" for name, edge in zip(("left", "top", "right", "bottom"), box, strict=True)}


@pytest.fixture
def paper(desk: Desk) -> Paper:
    """A paper on which reading found one place."""
    return file(desk.office, replace(read(dissolution()), private=(FOUND,)))


@pytest.mark.parametrize(("turn", "skew"), [(0, 0.0), (90, 0.0), (180, 0.0), (270, 0.0), (0, 2.5), (90, -3.0)])
def test_a_place_drawn_on_the_upright_picture_is_kept_where_it_lies_as_received(
    desk: Desk, send: Send, client: TestClient, turn: int, skew: float
) -> None:
    data = page_png(turn=turn, skew=skew)
    paper = file(desk.office, read(dissolution(), turn=turn, skew=skew), data=data)
    box, colour = PLACES["ein"]
    assert send(f"/papers/{paper.id}/cover", act="mark", page="1", sort="ein", **percent(box)) == 303
    (spot,) = desk.office.vault.paper(paper.id).reading.private
    assert (spot.page, spot.sort) == (1, PrivateSort.EIN)
    assert spot.box == pytest.approx(as_received(box, turn, skew), abs=0.003)
    picture = Image.open(io.BytesIO(data)).convert("RGB")  # as any viewer shows it
    wide, high = picture.size
    inside = picture.crop((spot.box.left * wide, spot.box.top * high, spot.box.right * wide, spot.box.bottom * high))
    assert near(inside.getpixel((inside.width // 2, inside.height // 2)), colour)
    colours = picture.getcolors(wide * high) or []
    shown = sum(count for count, one in colours if near(one, colour))
    covered = sum(count for count, one in inside.getcolors(wide * high) or [] if near(one, colour))
    assert covered > 0.97 * shown, "nothing of what was drawn around is left in sight"
    shown_again = opened(client.get(f"/papers/{paper.id}/cover/1.png").content)
    assert near(shown_again.getpixel((shown_again.width // 2, shown_again.height // 2)), colour)


@given(EDGES, st.sampled_from((0, 90, 180, 270)), st.floats(-5, 5), st.sampled_from((11 / 8.5, 8.5 / 11, 14 / 8.5)))
def test_a_box_goes_to_the_page_as_received_and_comes_back(
    edges: tuple[float, ...], turn: int, skew: float, shape: float
) -> None:
    left, top, wide, high = (0.2 + 0.6 * edges[0], 0.2 + 0.6 * edges[1], 0.02 + 0.1 * edges[2], 0.02 + 0.1 * edges[3])
    box = Box(left, top, left + wide, top + high)
    back = upright(received(box, turn, 0.0, shape), turn, 0.0, shape)
    assert back == pytest.approx(box)
    leaning = upright(received(box, turn, skew, shape), turn, skew, shape)
    middle = [(a + b) / 2 for a, b in ((leaning.left, leaning.right), (leaning.top, leaning.bottom))]
    assert middle == pytest.approx([left + wide / 2, top + high / 2])


def test_the_desk_and_the_command_keep_the_same_place(desk: Desk, paper: Paper, send: Send) -> None:
    box = Box(0.6, 0.1, 0.85, 0.16)
    mark(desk.office, paper.id, 1, box, PrivateSort.SSN)
    by_command = desk.office.vault.paper(paper.id).reading.private[-1]
    assert send(f"/papers/{paper.id}/cover", act="mark", page="1", sort="ssn", **percent(box)) == 303
    assert desk.office.vault.paper(paper.id).reading.private[-1] == by_command


def test_places_drawn_by_hand_are_told_from_those_found_by_reading_in_words(
    desk: Desk, client: TestClient, paper: Paper, send: Send
) -> None:
    send(f"/papers/{paper.id}/cover", act="mark", page="1", sort="home_address", **percent(PLACES["ein"][0]))
    page = client.get(f"/papers/{paper.id}/cover").text
    found, hand = re.findall(r'<li id="place-\d+" class="(?:found|hand)">.*?</li>', page, re.DOTALL)
    assert "found by reading" in found
    assert f"drawn by hand: {desk.office.who}" in hand
    assert re.findall(r'aria-label="(Place \d+: .*?)"', page) == [
        "Place 1: EIN, found by reading",
        "Place 2: Home address, drawn by hand",
    ]
    assert "a place marked by hand: Home address on page 1" in client.get(f"/papers/{paper.id}").text
    assert page.count('fill="url(#hatch)"') == 3  # on the page, in the list, in the key


def test_a_place_drawn_by_hand_is_taken_back_with_a_reason_and_the_others_stay(
    desk: Desk, client: TestClient, paper: Paper, send: Send
) -> None:
    send(f"/papers/{paper.id}/cover", act="mark", page="1", sort="ssn", **percent(PLACES["ein"][0]))
    assert send(f"/papers/{paper.id}/cover/2", page="1", number="2", reason=" ") == 422
    assert len(desk.office.vault.paper(paper.id).reading.private) == 2
    assert send(f"/papers/{paper.id}/cover/2", page="1", number="2", reason="the wrong line") == 303
    assert desk.office.vault.paper(paper.id).reading.private == (FOUND,)
    whys = [e.details["why"] for e in desk.office.vault.journal() if e.action == "paper-reread"]
    assert whys == ["a place marked by hand: ssn on page 1", "a mark taken back: the wrong line"]


def test_to_look_at_a_place_keeps_nothing(desk: Desk, client: TestClient, paper: Paper) -> None:
    form = {"form_token": desk.door.form_token, "seen": "1", "act": "look", "page": "1", "sort": ""}
    answer = client.post(f"/papers/{paper.id}/cover", data=form | percent(Box(0.1, 0.2, 0.4, 0.25)))
    assert answer.status_code == 200
    assert '<rect id="drawn" x="10.00%" y="20.00%" width="30.00%" height="5.00%">' in answer.text
    assert 'value="40.00"' in answer.text
    assert desk.office.vault.paper(paper.id).reading.private == (FOUND,)


@pytest.mark.parametrize(
    "wrong",
    [
        {"left": ""},
        {"left": "x"},
        {"left": "nan"},
        {"right": "100.1"},
        {"top": "-1"},
        {"left": "50", "right": "50"},
        {"left": "60", "right": "40"},
        {"bottom": "inf"},
        {"sort": ""},
        {"sort": "face"},
    ],
)
def test_what_is_no_place_or_not_said_to_be_anything_is_not_kept_and_not_lost(
    desk: Desk, client: TestClient, paper: Paper, wrong: dict[str, str]
) -> None:
    sent = percent(Box(0.12, 0.2, 0.4, 0.25)) | {"sort": "ssn"} | wrong
    form = {"form_token": desk.door.form_token, "seen": "1", "act": "mark", "page": "1"} | sent
    answer = client.post(f"/papers/{paper.id}/cover", data=form)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert (
        f'name="left" type="number" min="0" max="100" step="0.1" inputmode="decimal" value="{sent["left"]}"'
        in answer.text
    )
    assert desk.office.vault.paper(paper.id).reading.private == (FOUND,)


def test_nobody_takes_back_a_place_that_has_another_number_by_now(desk: Desk, client: TestClient, paper: Paper) -> None:
    form = {"form_token": desk.door.form_token, "seen": "1", "page": "1", "reason": "wrong"}
    mark(desk.office, paper.id, 1, Box(0.5, 0.5, 0.6, 0.6), PrivateSort.SSN)
    assert client.post(f"/papers/{paper.id}/cover/1", data=form).status_code == 409
    assert len(desk.office.vault.paper(paper.id).reading.private) == 2


@pytest.mark.parametrize("act", ["cover", "cover/1"])
def test_places_are_marked_only_by_forms_of_our_own_pages(
    desk: Desk, client: TestClient, paper: Paper, act: str
) -> None:
    form = {"seen": "1", "act": "mark", "page": "1", "sort": "ssn", "reason": "r"} | percent(Box(0.1, 0.1, 0.2, 0.2))
    assert client.post(f"/papers/{paper.id}/{act}", data=form).status_code == 403
    assert desk.office.vault.paper(paper.id).reading.private == (FOUND,)


def test_only_the_page_with_a_script_allows_one_and_only_one_that_lies_beside_it(
    client: TestClient, paper: Paper
) -> None:
    answer = client.get(f"/papers/{paper.id}/cover")
    assert answer.headers[POLICY] == WITH_SCRIPT
    assert WITH_SCRIPT.endswith("; script-src 'self'")
    assert re.findall("<script[^>]*>", answer.text) == ['<script src="/static/cover.js" defer>']
    assert not re.search(r"<style|\sstyle=|\son\w+=|javascript:", answer.text)
    assert client.get("/static/cover.js").headers["content-type"].startswith("text/javascript")
    for path in ("/", f"/papers/{paper.id}", f"/papers/{paper.id}/pages/1.png", "/static/cover.js"):
        assert "script-src" not in client.get(path).headers[POLICY]


@pytest.mark.parametrize("query", ["?page=2", "?page=0", "?page=x"])
def test_a_page_that_the_paper_lacks_is_told_so(client: TestClient, paper: Paper, query: str) -> None:
    answer = client.get(f"/papers/{paper.id}/cover{query}")
    assert answer.status_code == (200 if query == "?page=x" else 404)  # what is no number asks for the first page


def test_a_page_that_cannot_be_shown_is_told_so_and_its_places_are_listed(desk: Desk, client: TestClient) -> None:
    broken = file(desk.office, replace(read(dissolution()), private=(FOUND,)), data=b"\x89PNG\r\n\x1a\n nothing")
    answer = client.get(f"/papers/{broken.id}/cover")
    assert answer.status_code == 200
    assert 'role="alert"' in answer.text
    assert "found by reading" in answer.text
