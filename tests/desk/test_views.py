"""What the pages show: states in words, places, earlier readings; and hostile text literally."""

import html
import logging
import os
import re
import sys

import pytest
from starlette.testclient import TestClient

from quietus.desk import overview
from quietus.desk.room import Desk
from quietus.model.findings import Mark
from quietus.model.matrix import SIGNS
from tests.desk.make import COMPANY, OTHER, dissolution, file, read

HOSTILE = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>{{7*7}}&amp;\u202egnp.exe\x1b[2J.png"


def text_of(page: str) -> str:
    """The page's text as a person sees it, tags and double spaces taken out."""
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]*>", " ", page)))


def test_the_overview_puts_the_worst_first_and_says_states_in_words(desk: Desk, client: TestClient) -> None:
    file(desk.office, read(dissolution()))
    page = client.get("/").text
    assert page.index(html.escape(OTHER.name)) < page.index(html.escape(COMPANY.name))
    assert re.search(r"Not proven: \d+ things open", page)
    assert "is not on file" in page
    assert "Next:" in text_of(page)


def test_every_sign_of_the_matrix_is_also_a_word(desk: Desk, client: TestClient) -> None:
    file(desk.office, read(dissolution(), doubts=("filing_date",)))
    page = client.get("/").text
    legend = text_of(re.search(r'<ul class="legend".*?</ul>', page, re.DOTALL)[0])  # type: ignore[index]
    assert all(f"{SIGNS[mark]} {mark.value}" in legend for mark in Mark)
    cells = re.findall(r'<td role="cell" class="(\w+)".*?<span class="unseen">(.*?)</span>', page, re.DOTALL)
    assert {"review", "missing", "not_expected"} <= {mark for mark, _ in cells}
    assert all(words.startswith(Mark[mark.upper()].value) for mark, words in cells)
    assert page.count('class="sign') == page.count('aria-hidden="true">') - page.count('class="head"') * 2


def test_a_paper_page_shows_each_value_with_where_and_how_it_was_read(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(), doubts=("filing_date",)))
    page = client.get(f"/papers/{paper.id}").text
    card = re.search(r'<section class="value doubt" id="filing_date".*?</section>', page, re.DOTALL)[0]  # type: ignore[index]
    assert f'src="/papers/{paper.id}/values/filing_date.png' in card
    assert "Tuesday, 14 July 2026" in card
    assert "confidence 40%" in card
    assert 'type="date"' in card


def test_to_have_found_nothing_is_not_offered_for_a_quick_yes(desk: Desk, client: TestClient) -> None:
    values = dissolution()
    del values["filing_date"]
    paper = file(desk.office, read(values, doubts=("filing_date", "stamped")))
    page = client.get(f"/papers/{paper.id}").text
    card = re.search(r'<section class="value doubt" id="filing_date".*?</section>', page, re.DOTALL)[0]  # type: ignore[index]
    assert "nothing was found" in card
    assert re.findall(r"<button[^>]*>(.*?)</button>", card) == ["Save what I see", "It is not on this paper"]
    assert "are right as read" not in page


def test_every_field_can_be_put_right_in_a_control_of_its_kind(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(final_box=False)))
    page = client.get(f"/papers/{paper.id}").text

    def card(field: str) -> str:
        return re.search(rf'<section class="value" id="{field}".*?</section>', page, re.DOTALL)[0]  # type: ignore[index]

    assert '<option value="withdrawal">foreign withdrawal</option>' in card("kind")
    assert '<option value="OR" selected>' in card("jurisdiction")
    assert '<option value="agency-certified">' in card("authority")
    assert 'pattern="[0-9]{2}-[0-9]{7}"' in card("ein")
    assert all('type="date"' in card(f) for f in ("filing_date", "period_end", "valid_until", "signed_date"))
    assert re.findall(r"<button[^>]*>(.*?)</button>", card("final_box")) == ["Ticked", "No such box"]


def test_the_queue_says_why_each_paper_waits(desk: Desk, client: TestClient) -> None:
    file(desk.office, read(dissolution(ein=COMPANY.ein), doubts=("ein",)), name="first.png")
    file(desk.office, read(dissolution(entity_name="Unknown Griddle LLC")), entity="", name="second.png")
    file(desk.office, read(dissolution()), name="not-waiting.png")
    words = text_of(client.get("/review").text)
    assert f"EIN read as {COMPANY.ein}, confidence 40%" in words
    assert "Whose is it? The name on it was read as “Unknown Griddle LLC”" in words
    assert "not-waiting.png" not in words


def test_hostile_names_and_texts_come_out_literally(desk: Desk, client: TestClient) -> None:
    values = dissolution(entity_name=HOSTILE, file_number=HOSTILE, form=HOSTILE)
    filed = file(desk.office, read(values, doubts=("entity_name", "form")), name=HOSTILE)
    homeless = file(desk.office, read(values), name=HOSTILE, entity="")
    paths = (
        "/",
        "/review",
        f"/closings/{desk.door.alias(COMPANY.slug)}",
        f"/papers/{filed.id}",
        f"/papers/{homeless.id}",
    )
    for path in paths:
        page = client.get(path).text
        assert "<script" not in page
        assert "<img src=x" not in page
        assert "49" not in re.sub(r"[0-9a-f]{8,}|\d{4,}", "", re.sub(r"<[^>]*>", "", page))
        assert not {"\u202e", "\x1b"} & set(page)
    assert "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>{{7*7}}&amp;" in html.unescape(page)


def test_a_page_that_is_not_there_says_so(client: TestClient) -> None:
    for path in (
        "/nowhere",
        "/papers/zz",
        f"/papers/{'0' * 32}",
        "/closings/none",
        "/static/secret",
        "/review?done=zz",
    ):
        answer = client.get(path)
        assert answer.status_code == 404
        assert '<a href="/">' in answer.text


def test_static_files_cannot_lead_out_of_their_folder(client: TestClient) -> None:
    for path in ("/static/..%2f..%2fapp.py", "/static/../app.py", "/static/%2e%2e/door.py"):
        assert client.get(path).status_code == 404


def test_a_method_that_an_address_does_not_know_changes_nothing(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(), doubts=("ein",)))
    assert client.get(f"/papers/{paper.id}/confirm").status_code == 405
    assert client.delete(f"/papers/{paper.id}").status_code == 405
    assert len(desk.office.vault.readings(paper.id)) == 1


def test_a_broken_rule_pack_is_named_with_what_to_do(desk: Desk, client: TestClient) -> None:
    (desk.office.config.rules / "OR.toml").write_text("this is no rule pack", encoding="utf-8")
    answer = client.get("/")
    assert answer.status_code == 500
    assert "OR.toml" in answer.text
    assert "run the command again" in answer.text


def test_a_damaged_paper_is_told_without_a_traceback(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution()))
    for sealed in (p for p in (desk.office.config.vault / "objects").rglob("*") if p.is_file()):
        data = bytearray(sealed.read_bytes())
        data[-1] ^= 1
        sealed.chmod(0o600)
        sealed.write_bytes(data)
    answer = client.get(f"/papers/{paper.id}/pages/1.png")
    assert answer.status_code == 500
    assert "backup" in answer.text
    assert "Traceback" not in answer.text


def test_a_fault_of_ours_tells_where_and_never_what(
    client: TestClient, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def failing(*_: object) -> None:
        raise ValueError(f"while working on {COMPANY.name}")

    monkeypatch.setattr(overview, "all_in_lines", failing)
    with caplog.at_level(logging.DEBUG):
        answer = client.get("/")
    assert answer.status_code == 500
    assert "did not expect" in answer.text
    said = answer.text + caplog.text
    assert "ValueError at" in caplog.text
    assert "Kettlemoor" not in said
    assert "Traceback" not in said


def test_the_caution_stands_on_every_page(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution()))
    for path in ("/", "/review", f"/papers/{paper.id}", "/nowhere"):
        assert "Not legal or tax advice" in client.get(path).text


def test_every_control_has_a_label_and_every_id_is_unique(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(), doubts=("entity_name", "filing_date")), entity="")
    for path in ("/", "/review", f"/papers/{paper.id}"):
        page = client.get(path).text
        ids = re.findall(r'\sid="([^"]+)"', page)
        assert len(ids) == len(set(ids))
        controls = re.findall(r'<(?:select|textarea|input(?! type="hidden"))[^>]*id="([^"]+)"', page)
        assert set(controls) <= set(re.findall(r'<label for="([^"]+)"', page))
        assert not re.findall(r'<(?:select|textarea|input(?! type="hidden"))(?![^>]*\sid=)[^>]*>', page)
        labelled = re.findall(r'aria-labelledby="([^"]+)"', page)
        assert set(labelled) <= set(ids)
        assert len(re.findall("<nav", page)) == len(set(re.findall(r"<nav[^>]* aria-label=[^>]*>", page)))
        for landmark in ("<header", "<main", "<footer", "<h1"):
            assert page.count(landmark) == 1


def test_nothing_is_written_outside_the_vault(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(), doubts=("filing_date",)))
    client.get(f"/papers/{paper.id}/pages/1.png")  # starts the child process, which is not allowed to write any file
    written: list[str] = []
    watching = True

    def watch(event: str, arguments: tuple[object, ...]) -> None:
        flags = arguments[2] if event == "open" else 0
        if watching and event == "open" and isinstance(flags, int) and flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
            written.append(str(arguments[0]))
        if watching and event.startswith("tempfile."):
            written.append(event)

    sys.addaudithook(watch)
    client.get(f"/papers/{paper.id}")
    client.get(f"/papers/{paper.id}/values/filing_date.png")
    form = {"form_token": desk.door.form_token, "seen": "1", "reason": "x" * 50_000}
    assert client.post(f"/papers/{paper.id}/reject", data=form).status_code == 303
    watching = False
    vault = str(desk.office.config.vault)
    assert [path for path in written if path.startswith(vault)], "the change itself was written"
    assert [path for path in written if not path.startswith(vault)] == []
