"""Pictures show exactly the place asked for, come from a child process, and are kept within bounds."""

import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from starlette.testclient import TestClient

from quietus.desk.geometry import roomy, upright
from quietus.desk.pictures import Shelf
from quietus.desk.room import Desk
from quietus.model.reading import Box
from tests.desk.make import PLACES, as_received, dissolution, file, read

EDGES = st.tuples(st.floats(0, 0.99), st.floats(0, 0.99), st.floats(0.001, 1), st.floats(0.001, 1))


def opened(data: bytes) -> Image.Image:
    """A PNG as a picture."""
    picture = Image.open(io.BytesIO(data))
    assert picture.format == "PNG"
    return picture.convert("RGB")


def near(left: object, right: tuple[int, ...]) -> bool:
    """Whether two colours are alike but for scaling."""
    return isinstance(left, tuple) and all(abs(a - b) < 12 for a, b in zip(left, right, strict=True))


def drawn_boxes(page: str) -> dict[str, Box]:
    """For each field the box drawn on the page's picture, from the page's source."""
    pattern = r'<a href="#(\w+)" class="(?:sure|doubt)".*?<rect x="(.*?)%" y="(.*?)%" width="(.*?)%" height="(.*?)%"'
    found = {name: [float(n) / 100 for n in edges] for name, *edges in re.findall(pattern, page, re.DOTALL)}
    return {name: Box(x, y, x + wide, y + high) for name, (x, y, wide, high) in found.items()}


LIES = pytest.mark.parametrize(("turn", "skew"), [(0, 0.0), (90, 0.0), (180, 0.0), (270, 0.0), (0, 2.5), (90, -3.0)])
ALL = dissolution(ein="09-1234567", final_box=True)


@LIES
def test_the_picture_of_a_value_shows_the_place_where_it_was_read(
    desk: Desk, client: TestClient, turn: int, skew: float
) -> None:
    paper = file(desk.office, read(ALL, turn=turn, skew=skew))
    for field, (_, colour) in PLACES.items():
        answer = client.get(f"/papers/{paper.id}/values/{field}.png")
        assert answer.headers["content-type"] == "image/png"
        picture = opened(answer.content)
        assert near(picture.getpixel((picture.width // 2, picture.height // 2)), colour)
        assert near(picture.getpixel((1, 1)), (255, 255, 255))
        assert picture.width > picture.height


@LIES
def test_boxes_lie_over_their_places_on_the_picture_of_the_page(
    desk: Desk, client: TestClient, turn: int, skew: float
) -> None:
    paper = file(desk.office, read(ALL, turn=turn, skew=skew))
    picture = opened(client.get(f"/papers/{paper.id}/pages/1.png").content)
    assert picture.height / picture.width == pytest.approx(11 / 8.5, rel=0.01)
    boxes = drawn_boxes(client.get(f"/papers/{paper.id}").text)
    for field, (box, colour) in PLACES.items():
        left, top, right, bottom = boxes[field]
        assert boxes[field] == pytest.approx(box, abs=0.008)
        for x, y in ((left, top), (right, top), (left, bottom), (right, bottom)):
            inside = x + 0.6 * ((left + right) / 2 - x), y + 0.6 * ((top + bottom) / 2 - y)
            assert near(picture.getpixel((int(inside[0] * picture.width), int(inside[1] * picture.height))), colour)


def test_a_picture_that_is_not_there_is_told_so(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution()))
    assert client.get(f"/papers/{paper.id}/pages/2.png").status_code == 400
    assert client.get(f"/papers/{paper.id}/values/form.png").status_code == 400
    assert client.get(f"/papers/{paper.id}/values/secret.png").status_code == 404


def test_a_file_that_cannot_be_shown_is_told_so(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution()), data=b"\x89PNG\r\n\x1a\n and then nothing of a picture")
    answer = client.get(f"/papers/{paper.id}/pages/1.png")
    assert answer.status_code == 422
    assert "Traceback" not in answer.text


def test_the_journal_tells_of_an_unsealed_paper_once_for_all_its_pictures(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(ein="09-1234567")))
    for address in ("pages/1.png", "values/ein.png", "values/filing_date.png", "pages/1.png"):
        assert client.get(f"/papers/{paper.id}/{address}").status_code == 200
    opened_for = [e.details["why"] for e in desk.office.vault.journal() if e.action == "paper-opened"]
    assert opened_for == ["review at the desk"]


def test_a_shelf_lets_the_longest_unused_go() -> None:
    shelf = Shelf(10)
    for key in "abc":
        shelf.put(key, b"1234")
        shelf.get("a")
    assert [shelf.get(key) is not None for key in "abc"] == [True, False, True]
    assert shelf.held == 8


def test_a_shelf_keeps_the_newest_even_when_it_is_too_large() -> None:
    shelf = Shelf(10)
    shelf.put("a", b"1234")
    shelf.put("b", b"x" * 99)
    assert shelf.get("a") is None
    assert shelf.get("b") == b"x" * 99


@given(EDGES, st.sampled_from((0, 90, 180, 270)))
def test_turning_a_box_upright_undoes_how_the_page_lay(edges: tuple[float, ...], turn: int) -> None:
    box = Box(edges[0], edges[1], edges[0] + (1 - edges[0]) * edges[2], edges[1] + (1 - edges[1]) * edges[3])
    assert upright(as_received(box, turn), turn) == pytest.approx(box)


@given(EDGES, st.sampled_from((0, 90, 180, 270)))
def test_room_around_a_box_stays_on_the_page_and_holds_it(edges: tuple[float, ...], turn: int) -> None:
    box = Box(edges[0], edges[1], edges[0] + (1 - edges[0]) * edges[2], edges[1] + (1 - edges[1]) * edges[3])
    more = roomy(box, turn)
    assert 0 <= more.left <= box.left + 1e-9
    assert box.right - 1e-9 <= more.right <= 1
    assert 0 <= more.top <= box.top + 1e-9
    assert box.bottom - 1e-9 <= more.bottom <= 1
