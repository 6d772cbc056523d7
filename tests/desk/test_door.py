"""Nobody but the browser that opened the printed address gets anything."""

import re

import pytest
from starlette.routing import Match
from starlette.testclient import TestClient

from quietus.desk.app import routes
from quietus.desk.door import Door
from quietus.desk.room import Desk
from tests.desk.conftest import HERE, PORT
from tests.desk.make import COMPANY, OTHER, dissolution, file, read

LOOKS = (
    "/",
    "/review",
    "/closings/x",
    "/papers/x",
    "/papers/x/pages/1.png",
    "/papers/x/values/ein.png",
    "/papers/x/cover",
    "/papers/x/cover/1.png",
    "/papers/x/pages",
    "/papers/x/small/1.png",
    "/static/cover.js",
    "/static/desk.css",
)
ACTS = (
    "/find",
    "/closings/x/holds",
    "/closings/x/holds/1",
    "/papers/x/confirm",
    "/papers/x/values/ein",
    "/papers/x/assign",
    "/papers/x/reject",
    "/papers/x/cover",
    "/papers/x/cover/1",
    "/papers/x/apart",
    "/papers/x/whole",
    "/papers/x/joined",
)


@pytest.mark.parametrize("path", [*LOOKS, "/nothing-here"])
def test_without_the_cookie_everything_is_one_plain_sentence(stranger: TestClient, path: str) -> None:
    answer = stranger.get(path)
    assert answer.status_code == 403
    assert answer.headers["content-type"].startswith("text/plain")
    assert re.fullmatch(r"[^.]+\.\n", answer.text)


@pytest.mark.parametrize("path", ACTS)
def test_without_the_form_token_no_form_is_taken(client: TestClient, path: str) -> None:
    assert client.post(path, data={"seen": "1"}).status_code == 403
    assert client.post(path, data={"seen": "1", "form_token": "wrong"}).status_code == 403


def test_every_address_of_the_desk_is_in_these_lists(desk: Desk) -> None:
    listed = {"GET": LOOKS, "POST": ACTS}
    for route in routes(desk):
        (method,) = (route.methods or set()) - {"HEAD"}
        assert any(route.matches(asked(method, path))[0] is Match.FULL for path in listed[method]), route.path


def asked(method: str, path: str) -> dict[str, str]:
    """What a server tells the application of a request."""
    return {"type": "http", "method": method, "path": path, "root_path": ""}


@pytest.mark.parametrize("path", ACTS)
def test_without_the_cookie_no_form_is_taken(desk: Desk, stranger: TestClient, path: str) -> None:
    assert stranger.post(path, data={"form_token": desk.door.form_token, "seen": "1"}).status_code == 403


def test_the_printed_address_works_once(desk: Desk, stranger: TestClient) -> None:
    address = desk.door.address.removeprefix(HERE)
    assert stranger.get(address).headers["location"] == "/"
    assert stranger.get("/").status_code == 200
    stranger.cookies.clear()
    assert stranger.get(address).status_code == 403
    assert "set-cookie" not in stranger.get(address).headers


def test_the_holder_of_the_cookie_may_open_the_address_again(desk: Desk, client: TestClient) -> None:
    answer = client.get(desk.door.address.removeprefix(HERE))
    assert (answer.status_code, answer.headers["location"]) == (303, "/")


@pytest.mark.parametrize("token", ["", "wrong", "é", "\x00"])
def test_a_wrong_token_opens_nothing_and_leaves_the_right_one_good(
    desk: Desk, stranger: TestClient, token: str
) -> None:
    assert stranger.get("/", params={"token": token}).status_code == 403
    assert stranger.get(desk.door.address.removeprefix(HERE)).status_code == 303


def test_the_token_opens_only_the_first_page(desk: Desk, stranger: TestClient) -> None:
    token = desk.door.address.partition("token=")[2]
    assert stranger.get("/review", params={"token": token}).status_code == 403
    assert stranger.post("/", params={"token": token}).status_code == 403


def test_the_cookie_is_out_of_reach_of_scripts_and_of_other_sites(desk: Desk, stranger: TestClient) -> None:
    cookie = stranger.get(desk.door.address.removeprefix(HERE)).headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert "max-age" not in cookie
    assert "expires" not in cookie
    assert desk.door.address.partition("token=")[2].lower() not in cookie


@pytest.mark.parametrize("cookie", ["wrong", "é", '"', ""])
def test_a_wrong_cookie_opens_nothing(desk: Desk, stranger: TestClient, cookie: str) -> None:
    header = f"{desk.door.cookie_name}={cookie}".encode("latin-1")
    assert stranger.get("/", headers={b"cookie": header}).status_code == 403


@pytest.mark.parametrize(
    "host", ["evil.example", f"evil.example:{PORT}", "127.0.0.1", "127.0.0.1:1", f"127.0.0.1.evil.example:{PORT}", ""]
)
def test_another_host_name_is_turned_away_even_with_the_cookie(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 403


def test_two_host_names_are_turned_away(client: TestClient) -> None:
    hosts = [("host", f"127.0.0.1:{PORT}"), ("host", "evil.example")]
    assert client.get("/", headers=hosts).status_code == 403


def test_localhost_is_an_own_name(client: TestClient) -> None:
    assert client.get("/", headers={"host": f"localhost:{PORT}"}).status_code == 200


def test_a_foreign_host_does_not_spend_the_token(desk: Desk, stranger: TestClient) -> None:
    address = desk.door.address.removeprefix(HERE)
    assert stranger.get(address, headers={"host": "evil.example"}).status_code == 403
    assert stranger.get(address).status_code == 303


@pytest.mark.parametrize("path", ["/", "/review", "/papers/x", "/static/desk.css", "/nothing-here"])
def test_every_answer_tells_the_browser_to_keep_it_to_itself(client: TestClient, path: str) -> None:
    told = client.get(path).headers
    policy = dict(part.strip().split(" ", 1) for part in told["content-security-policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["style-src"] == policy["img-src"] == policy["form-action"] == "'self'"
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert "script-src" not in policy
    assert told["x-content-type-options"] == "nosniff"
    assert told["referrer-policy"] == "no-referrer"
    assert told["cache-control"] == "no-store"
    assert told["cross-origin-resource-policy"] == "same-origin"


def test_a_stranger_is_told_the_same(stranger: TestClient) -> None:
    told = stranger.get("/").headers
    assert told["cache-control"] == "no-store"
    assert told["content-security-policy"].startswith("default-src 'none'")


def test_pages_need_no_script_no_inline_style_and_nothing_from_elsewhere(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(), doubts=("filing_date",)))
    closing = f"/closings/{desk.door.alias(COMPANY.slug)}"
    for path in ("/", "/review", closing, f"/papers/{paper.id}", f"/papers/{paper.id}/pages"):
        html = client.get(path).text
        assert not re.search(r"<script|<style|\sstyle=|\son\w+=|javascript:|@import", html, re.IGNORECASE)
        assert not re.findall(r'(?:href|src|action)="(?!/|#)[^"]*"', html)
    assert "url(" not in client.get("/static/desk.css").text


def test_addresses_and_titles_name_no_client(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(), doubts=("filing_date",)), name="kettlemoor-dissolution.png")
    alias = desk.door.alias(COMPANY.slug)
    pages = [f"/papers/{paper.id}{more}" for more in ("", "/cover", "/pages")]
    for path in ("/", "/review", f"/closings/{alias}", *pages):
        html = client.get(path).text
        kept_by_browsers = re.findall(r'(?:href|src|action)="([^"]*)"', html) + re.findall(
            "<head>.*?<title>(.*?)</title>", html, re.DOTALL
        )
        assert len(kept_by_browsers) > 3
        assert not [text for text in kept_by_browsers if "kettlemoor" in text.lower() or COMPANY.ein in text]


def test_aliases_differ_between_closings_and_between_runs(desk: Desk) -> None:
    names = {door.alias(slug) for door in (desk.door, Door(PORT)) for slug in (COMPANY.slug, OTHER.slug)}
    assert len(names) == 4


def test_forms_are_not_remembered_by_the_browser(desk: Desk, client: TestClient) -> None:
    paper = file(desk.office, read(dissolution(), doubts=("filing_date", "entity_name")))
    paths = [f"/papers/{paper.id}{more}" for more in ("", "/cover", "/pages")]
    paths += [f"/closings/{desk.door.alias(COMPANY.slug)}"]
    forms = [form for path in paths for form in re.findall(r"<form[^>]*>", client.get(path).text)]
    assert len(forms) > 5
    assert all('autocomplete="off"' in form for form in forms)
