"""Forms settle papers, only forms of our own pages, and only what their sender has seen."""

import pytest
from starlette.testclient import TestClient

from quietus.closing.closings import verify
from quietus.closing.review import confirm
from quietus.desk.forms import FORM_BYTES
from quietus.desk.room import Desk
from quietus.model.findings import Code
from quietus.model.paper import Paper, Standing
from tests.desk.conftest import Send
from tests.desk.make import COMPANY, OTHER, dissolution, file, read


@pytest.fixture
def doubtful(desk: Desk) -> Paper:
    """A dissolution filing whose date and stamp were not read surely."""
    return file(desk.office, read(dissolution(), doubts=("filing_date", "stamped")))


def waiting(desk: Desk) -> bool:
    """Whether the closing has a finding that a paper waits."""
    return any(f.code is Code.WAITING for f in verify(desk.office, COMPANY.slug, desk.office.today).findings)


def test_one_value_is_confirmed_and_the_other_still_waits(desk: Desk, doubtful: Paper, send: Send) -> None:
    assert send(f"/papers/{doubtful.id}/values/filing_date", act="confirm") == 303
    reading = desk.office.vault.paper(doubtful.id).reading
    assert reading.doubts == ("stamped",)
    assert reading["filing_date"].method == f"person:{desk.office.who}"
    assert waiting(desk)


def test_all_values_are_confirmed_at_once_and_the_closing_no_longer_waits(
    desk: Desk, doubtful: Paper, send: Send
) -> None:
    assert waiting(desk)
    assert send(f"/papers/{doubtful.id}/confirm") == 303
    assert not desk.office.vault.paper(doubtful.id).waits
    assert not waiting(desk)


def test_a_correction_counts_and_the_first_reading_stays(desk: Desk, doubtful: Paper, send: Send) -> None:
    assert send(f"/papers/{doubtful.id}/values/filing_date", act="correct", value="2026-07-19") == 303
    readings = desk.office.vault.readings(doubtful.id)
    assert [reading.text("filing_date") for _, _, reading in readings] == ["2026-07-14", "2026-07-19"]


def test_a_value_can_be_said_not_to_be_there(desk: Desk, doubtful: Paper, send: Send) -> None:
    assert send(f"/papers/{doubtful.id}/values/filing_date", act="absent") == 303
    assert desk.office.vault.paper(doubtful.id).reading["filing_date"].value is None


@pytest.mark.parametrize(("word", "flag"), [("yes", True), ("no", False)])
def test_a_yes_or_no_is_given_by_a_button(desk: Desk, doubtful: Paper, send: Send, word: str, flag: bool) -> None:
    assert send(f"/papers/{doubtful.id}/values/stamped", act="correct", value=word) == 303
    assert desk.office.vault.paper(doubtful.id).reading.flag("stamped") is flag


@pytest.mark.parametrize("value", ["", "  "])
def test_an_empty_box_does_not_say_that_the_value_is_not_there(
    desk: Desk, doubtful: Paper, send: Send, value: str
) -> None:
    assert send(f"/papers/{doubtful.id}/values/filing_date", act="correct", value=value) == 422
    assert len(desk.office.vault.readings(doubtful.id)) == 1


def test_a_paper_of_nobody_is_assigned(desk: Desk, send: Send) -> None:
    paper = file(desk.office, read(dissolution(entity_name="Unknown Griddle LLC")), entity="")
    assert send(f"/papers/{paper.id}/assign", entity=OTHER.slug, expected="OR/dissolution") == 303
    after = desk.office.vault.paper(paper.id)
    assert (after.standing, after.entity, after.expected) == (Standing.FILED, OTHER.slug, "OR/dissolution")


def test_assigning_needs_an_entity_and_an_expected_paper_of_it(desk: Desk, send: Send) -> None:
    paper = file(desk.office, read(dissolution()), entity="")
    assert send(f"/papers/{paper.id}/assign", entity="") == 422
    assert send(f"/papers/{paper.id}/assign", entity="nobody") == 422
    assert send(f"/papers/{paper.id}/assign", entity=OTHER.slug, expected="ZZ/dissolution") == 422
    assert desk.office.vault.paper(paper.id).standing is Standing.UNASSIGNED


def test_a_rejected_paper_never_counts_and_its_reason_is_shown(
    desk: Desk, client: TestClient, doubtful: Paper, send: Send
) -> None:
    assert send(f"/papers/{doubtful.id}/reject", reason="A draft <i>that was never filed</i>.") == 303
    assert desk.office.vault.paper(doubtful.id).standing is Standing.REJECTED
    assert "A draft &lt;i&gt;that was never filed&lt;/i&gt;." in client.get(f"/papers/{doubtful.id}").text


def test_a_rejection_needs_a_reason(desk: Desk, doubtful: Paper, send: Send) -> None:
    assert send(f"/papers/{doubtful.id}/reject", reason=" ") == 422
    assert desk.office.vault.paper(doubtful.id).standing is Standing.FILED


def test_what_was_typed_is_not_lost_when_it_is_wrong(desk: Desk, client: TestClient, doubtful: Paper) -> None:
    form = {"form_token": desk.door.form_token, "seen": "1", "act": "correct", "value": "09-12<3"}
    answer = client.post(f"/papers/{doubtful.id}/values/ein", data=form)
    assert answer.status_code == 422
    assert 'value="09-12&lt;3"' in answer.text
    assert 'role="alert"' in answer.text


@pytest.mark.parametrize("token", [None, "", "wrong", "é"])
@pytest.mark.parametrize("act", ["confirm", "values/filing_date", "assign", "reject"])
def test_a_form_without_the_token_changes_nothing(
    desk: Desk, client: TestClient, doubtful: Paper, act: str, token: str | None
) -> None:
    form = {"seen": "1", "act": "confirm", "entity": OTHER.slug, "reason": "because"}
    form |= {} if token is None else {"form_token": token}
    assert client.post(f"/papers/{doubtful.id}/{act}", data=form).status_code == 403
    assert len(desk.office.vault.readings(doubtful.id)) == 1


def test_nobody_confirms_a_value_that_changed_after_they_looked(
    desk: Desk, client: TestClient, doubtful: Paper
) -> None:
    form = {"form_token": desk.door.form_token, "seen": "1", "act": "confirm"}
    confirm(desk.office, doubtful.id, ("stamped",))
    answer = client.post(f"/papers/{doubtful.id}/values/filing_date", data=form)
    assert answer.status_code == 409
    assert "settled meanwhile" in answer.text
    assert desk.office.vault.paper(doubtful.id).reading.doubts == ("filing_date",)


@pytest.mark.parametrize("seen", ["", "0", "2", "one"])
def test_a_form_that_saw_no_such_reading_changes_nothing(
    desk: Desk, client: TestClient, doubtful: Paper, seen: str
) -> None:
    form = {"form_token": desk.door.form_token, "seen": seen}
    assert client.post(f"/papers/{doubtful.id}/confirm", data=form).status_code == 409
    assert len(desk.office.vault.readings(doubtful.id)) == 1


@pytest.mark.parametrize(("field", "act"), [("no_such", "confirm"), ("ein", "confirm"), ("ein", "burn"), ("ein", "")])
def test_an_act_that_is_none_of_ours_changes_nothing(
    desk: Desk, doubtful: Paper, send: Send, field: str, act: str
) -> None:
    assert send(f"/papers/{doubtful.id}/values/{field}", act=act) == 422
    assert len(desk.office.vault.readings(doubtful.id)) == 1


def test_only_plain_forms_of_sensible_size_are_read(desk: Desk, client: TestClient, doubtful: Paper) -> None:
    token = desk.door.form_token
    as_file = client.post(f"/papers/{doubtful.id}/confirm", files={"form_token": ("f", token.encode())})
    long = client.post(f"/papers/{doubtful.id}/reject", data={"form_token": token, "reason": "x" * FORM_BYTES})
    many = client.post(f"/papers/{doubtful.id}/confirm", data={"form_token": token} | {f"f{n}": "" for n in range(99)})
    assert [as_file.status_code, long.status_code, many.status_code] == [400, 400, 400]
    assert len(desk.office.vault.readings(doubtful.id)) == 1


def test_a_form_for_a_paper_that_is_not_there_is_answered_so(desk: Desk, client: TestClient) -> None:
    form = {"form_token": desk.door.form_token, "seen": "1"}
    assert client.post(f"/papers/{'0' * 32}/confirm", data=form).status_code == 404


def test_after_settling_comes_the_next_paper_and_at_last_the_empty_queue(
    desk: Desk, client: TestClient, doubtful: Paper
) -> None:
    other = file(desk.office, read(dissolution(filing_date="2026-07-15"), doubts=("entity_name",)))
    form = {"form_token": desk.door.form_token, "seen": "1"}
    first = client.post(f"/papers/{doubtful.id}/values/stamped", data=form | {"act": "confirm"})
    assert first.headers["location"].startswith(f"/papers/{doubtful.id}#")
    second = client.post(f"/papers/{doubtful.id}/confirm", data=form | {"seen": "2"})
    assert second.headers["location"] == f"/papers/{other.id}?done={doubtful.id}"
    assert "Settled:" in client.get(second.headers["location"]).text
    last = client.post(f"/papers/{other.id}/confirm", data=form)
    assert last.headers["location"] == f"/review?done={other.id}"
    assert "Nothing waits" in client.get(last.headers["location"]).text


def test_who_settled_what_is_on_the_pages(desk: Desk, client: TestClient, doubtful: Paper, send: Send) -> None:
    send(f"/papers/{doubtful.id}/values/filing_date", act="correct", value="2026-07-19")
    send(f"/papers/{doubtful.id}/values/stamped", act="confirm")
    for path in (f"/papers/{doubtful.id}", f"/closings/{desk.door.alias(COMPANY.slug)}"):
        html = client.get(path).text
        assert "<del>2026-07-14</del> → <ins>2026-07-19</ins>" in html
        assert "The mark is there stands" in html
        assert "corrected “Filing date”" in html
        assert f"<b>{desk.office.who}</b>" in html
