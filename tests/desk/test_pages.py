"""Files are taken apart, made whole and put together on the page of their pages."""

import io
import re
import shutil
from collections.abc import Iterator
from datetime import timedelta
from itertools import count
from pathlib import Path

import pytest
from PIL import Image, ImageDraw, ImageFont
from starlette.testclient import TestClient

from quietus.closing.office import Office, open_office
from quietus.closing.parts import parts_of, sources_of
from quietus.desk.room import Desk
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Box, PageView, PrivateSort, PrivateSpot, Reading
from tests.desk.conftest import PASSPHRASE, Send, clock
from tests.desk.make import COMPANY, Values, dissolution, file, read
from tests.desk.test_desk_pictures import opened

CONSENT: Values = {"kind": "consent", "entity_name": COMPANY.name, "signed_date": "2026-06-01"}


@pytest.fixture
def office(found: Path, tmp_path: Path) -> Iterator[Office]:
    """An office whose clock goes on by a second whenever it is looked at."""
    shutil.copytree(found, tmp_path / "office")
    seconds = count()
    with open_office(tmp_path / "office", PASSPHRASE, clock=lambda: clock() + timedelta(seconds=next(seconds))) as made:
        yield made


def leaf(words: str) -> Image.Image:
    """A page with a few words on it."""
    page = Image.new("L", (850, 1100), 255)
    ImageDraw.Draw(page).text((100, 100), words, fill=0, font=ImageFont.load_default(size=28))
    return page


def pdf(*words: str) -> bytes:
    """A PDF with a page for each of the words."""
    first, *more = map(leaf, words)
    out = io.BytesIO()
    first.save(out, "PDF", save_all=True, append_images=more, resolution=100)
    return out.getvalue()


def several(desk: Desk, *words: str, name: str = "batch.pdf", entity: str = COMPANY.slug) -> Paper:
    """A paper of so many pages, filed as it is."""
    one = read(CONSENT)
    views = tuple(PageView(number, 0, 0.0, "", "ocr") for number in range(1, len(words) + 1))
    return desk.office.vault.file_paper(
        pdf(*words), name=name, media_type="application/pdf", pages=len(words),
        standing=Standing.FILED if entity else Standing.UNASSIGNED, entity=entity, expected="",
        reading=Reading(views, one.values, one.engine),
    )  # fmt: skip


@pytest.fixture
def batch(desk: Desk) -> Paper:
    """A file of three pages."""
    return several(desk, "Articles of dissolution", "They go on", "Notice to creditors")


def groups(desk: Desk, paper: Paper) -> list[tuple[int, ...]]:
    """Which pages of a file make a paper."""
    return [part.pages for part in parts_of(desk.office, paper.id)]


@pytest.mark.ocr
def test_a_file_is_taken_apart_then_otherwise_and_made_whole_again(
    desk: Desk, client: TestClient, batch: Paper, send: Send
) -> None:
    assert send(f"/papers/{batch.id}/apart", **{"at-2": "yes"}) == 303
    assert groups(desk, batch) == [(1,), (2, 3)]
    page = client.get(f"/papers/{batch.id}/pages?done=apart").text
    assert "This file holds 2 papers" in page
    assert re.findall(r'name="at-(\d)" value="yes"( checked)?', page) == [("2", " checked"), ("3", "")]

    assert send(f"/papers/{batch.id}/apart", **{"at-2": "yes"}) == 422  # nothing to change
    first = parts_of(desk.office, batch.id)[0].paper
    for address in (f"/papers/{first}/pages", f"/papers/{first}"):
        assert f'Received as page 1 of <a href="/papers/{batch.id}/pages">' in client.get(address).text

    assert send(f"/papers/{batch.id}/apart", **{"at-3": "yes"}) == 303
    assert groups(desk, batch) == [(1, 2), (3,)]
    assert desk.office.vault.paper(first).standing is Standing.REPLACED

    assert send(f"/papers/{batch.id}/whole") == 303
    assert desk.office.vault.paper(batch.id).standing is not Standing.REPLACED
    page = client.get(f"/papers/{batch.id}/pages").text
    assert "Is this more than one paper?" in page
    assert "came from" not in page


@pytest.mark.ocr
@pytest.mark.parametrize("order", ["after", "before"])
def test_pages_of_another_file_are_put_after_or_before(desk: Desk, client: TestClient, send: Send, order: str) -> None:
    one, other = several(desk, "First", name="one.pdf"), several(desk, "Second", name="other.pdf", entity="")
    answer = client.get(f"/papers/{one.id}/pages?with={other.id}")
    assert f'src="/papers/{other.id}/small/1.png"' in answer.text
    assert send(f"/papers/{one.id}/joined", **{"with": other.id, "order": order}) == 303
    (made,) = [paper for paper in desk.office.vault.papers() if paper.standing is not Standing.REPLACED]
    assert made.name == ("one.pdf + other.pdf" if order == "after" else "other.pdf + one.pdf")
    assert {source.paper for source in sources_of(desk.office, made.id)} == {one.id, other.id}
    page = client.get(f"/papers/{made.id}/pages?done=joined").text
    assert "Its pages came from" in page
    assert "Its pages are part of another paper" in client.get(f"/papers/{one.id}/pages").text


@pytest.mark.parametrize(
    "form", [{}, {"at-1": "yes"}, {"at-9": "yes"}, {"at-0": "yes"}, {"at-x": "yes"}, {"at-²": "yes"}]
)
def test_a_cut_that_is_none_changes_nothing(desk: Desk, batch: Paper, send: Send, form: dict[str, str]) -> None:
    assert send(f"/papers/{batch.id}/apart", **form) == 422
    assert desk.office.vault.paper(batch.id).standing is Standing.FILED


def test_a_paper_can_be_put_only_to_one_that_may_belong_to_it(desk: Desk, batch: Paper, send: Send) -> None:
    foreign = several(desk, "Theirs", name="theirs.pdf", entity="fennimoor")
    for other in ("", batch.id, foreign.id, "f" * 32):
        assert send(f"/papers/{batch.id}/joined", **{"with": other, "order": "after"}) == 422
    assert desk.office.vault.paper(batch.id).standing is Standing.FILED


def test_a_paper_that_was_never_taken_apart_is_not_made_whole(batch: Paper, send: Send) -> None:
    assert send(f"/papers/{batch.id}/whole") == 422


def test_pages_are_cut_only_as_they_were_seen(desk: Desk, client: TestClient, batch: Paper) -> None:
    for act in ("apart", "whole", "joined"):
        form = {"form_token": desk.door.form_token, "seen": "7", "at-2": "yes"}
        assert client.post(f"/papers/{batch.id}/{act}", data=form).status_code == 409
        assert client.post(f"/papers/{batch.id}/{act}", data={"seen": "1", "at-2": "yes"}).status_code == 403
    assert desk.office.vault.paper(batch.id).standing is Standing.FILED


def test_pages_are_shown_small(client: TestClient, batch: Paper) -> None:
    assert max(opened(client.get(f"/papers/{batch.id}/small/3.png").content).size) == 360
    assert client.get(f"/papers/{batch.id}/small/4.png").status_code == 400


@pytest.mark.ocr
def test_a_place_drawn_by_hand_stays_covered_on_the_paper_that_its_page_goes_into(
    desk: Desk, client: TestClient, batch: Paper, send: Send
) -> None:
    send(f"/papers/{batch.id}/cover", act="mark", page="3", sort="ssn", left="10", top="10", right="30", bottom="12")
    send(f"/papers/{batch.id}/apart", **{"at-3": "yes"})
    last = desk.office.vault.paper(parts_of(desk.office, batch.id)[1].paper)
    assert PrivateSpot(1, Box(0.1, 0.1, 0.3, 0.12), PrivateSort.SSN) in last.reading.private
    assert f"drawn by hand: {desk.office.who}" in client.get(f"/papers/{last.id}/cover").text


@pytest.mark.ocr
def test_a_file_whose_pages_are_filed_as_others_is_not_settled_itself(
    desk: Desk, client: TestClient, batch: Paper, send: Send
) -> None:
    send(f"/papers/{batch.id}/apart", **{"at-3": "yes"})
    page = client.get(f"/papers/{batch.id}").text
    assert "Its pages are filed as other papers." in page
    assert not re.findall("<form", page)
    assert "<form" not in client.get(f"/papers/{batch.id}/cover").text
    for act, form in {
        "assign": {"entity": COMPANY.slug},
        "reject": {"reason": "r"},
        "values/ein": {"act": "correct", "value": COMPANY.ein},
        "cover": {"act": "mark", "page": "1", "sort": "ssn", "left": "1", "top": "1", "right": "2", "bottom": "2"},
    }.items():
        assert send(f"/papers/{batch.id}/{act}", **form) == 409
    assert desk.office.vault.paper(batch.id).standing is Standing.REPLACED


def test_a_hostile_file_name_comes_out_literally(desk: Desk, client: TestClient) -> None:
    hostile = "<script>alert(1)</script>\u202e.pdf"
    one = several(desk, "a", "b", name=hostile)
    other = file(desk.office, read(dissolution()), name=hostile)
    for path in ("pages", f"pages?with={other.id}", "cover"):
        page = client.get(f"/papers/{one.id}/{path}").text
        assert "<script>alert" not in page
        assert "\u202e" not in page
