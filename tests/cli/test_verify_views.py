"""`verify`, `plan` and `calendar` on a real vault: what they show, to whom it is readable, and what they write."""

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from icalendar import Calendar

from quietus.cli.app import run
from quietus.closing.office import Office
from quietus.model.entity import Registration
from quietus.model.findings import Mark
from quietus.model.matrix import SIGNS
from quietus.model.paper import Standing
from tests.closing.make import ENTITY, reading
from tests.conftest import PASSPHRASE

COMPANY = replace(
    ENTITY,
    name='Kettlemoor <Crumb> & "Crust" LLC',
    registrations=(
        ENTITY.registrations[0],
        *(Registration(code, f"100-{code}", date(2017, 2, 1)) for code in ("WA", "CO", "TN", "NJ", "CA", "PA")),
    ),
    has_creditors=True,
    sold_business=True,
    employees=True,
    contractors_paid=True,
)
PAPERS: tuple[tuple[str, dict[str, str | bool], tuple[str, ...]], ...] = (
    ("company/consent", {"signed_date": "2026-07-01"}, ()),
    ("OR/dissolution", {"stamped": True, "filing_date": "2026-07-14", "authority": "office-stamped"}, ()),
    ("WA/withdrawal", {"stamped": False}, ()),
    ("US/final_return", {"final_box": True, "period_end": "2026-06-30"}, ("ein",)),
)
Command = Callable[..., tuple[int, str]]


@pytest.fixture
def filled(office: Office) -> Office:
    office.vault.put_entity(COMPANY)
    for number, (key, values, doubts) in enumerate(PAPERS):
        office.vault.file_paper(
            bytes([number]), name=f"<b>{number}</b>\x1b[31m.pdf", media_type="application/pdf", pages=1,
            standing=Standing.FILED, entity=COMPANY.slug, expected=key,
            reading=reading(doubts, jurisdiction=key[:2], **values),
        )  # fmt: skip
    return office


@pytest.fixture
def command(filled: Office, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Iterator[Command]:
    """Run a command in the office; gives its exit status and what it printed."""
    monkeypatch.setenv("QUIETUS_HOME", str(filled.config.home))

    def started(*words: str, width: int = 160) -> tuple[int, str]:
        monkeypatch.setenv("QUIETUS_PASSPHRASE", PASSPHRASE.decode())  # a command forgets it once it has read it
        monkeypatch.setenv("COLUMNS", str(width))
        capsys.readouterr()
        status = run([*words, "--asof", "2026-11-20"])
        said = capsys.readouterr()
        assert "Traceback" not in said.err
        return status, said.out + said.err

    yield started


# --- the matrix -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [40, 50, 60, 80, 100, 120, 160, 240])
def test_the_matrix_fits_every_width_and_loses_no_cell(command: Command, width: int) -> None:
    text = command("verify", COMPANY.slug, width=width)[1]
    assert max(map(len, text.splitlines())) <= width
    shown = json.loads(command("verify", COMPANY.slug, "--json")[1])["closings"][0]["expected"]
    matrix = text.partition(SIGNS[Mark.PROVEN] + " proven")[0]
    for mark in (Mark.PROVEN, Mark.FAULT, Mark.MISSING, Mark.REVIEW):
        assert any(line["mark"] == mark.value for line in shown)
        assert SIGNS[mark] in matrix
    for code in ("OR", "WA", "CO", "TN", "NJ", "CA", "PA"):
        assert re.search(rf"\b{code}\b", matrix)


def test_the_matrix_says_the_same_without_colour(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    plain = command("verify", COMPANY.slug)[1]
    monkeypatch.setenv("FORCE_COLOR", "1")
    coloured = command("verify", COMPANY.slug)[1]
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain
    assert len(set(SIGNS.values())) == len(SIGNS)


def test_verify_shows_sources_with_how_they_were_followed_and_what_rests_on_memory(command: Command) -> None:
    text = " ".join(command("verify", COMPANY.slug)[1].split())
    assert re.search(r"Source: .+? \(from memory, checked 2026-11-25\)", text)
    assert re.search(r"Source: .+? \(read, checked 2026-11-25\)", text)
    assert "Rules from memory or practice alone, to be checked first: " in text
    assert "company/closing_balance_sheet" in text.rpartition("to be checked first")[2]


# --- the page ---------------------------------------------------------------------------------------------------


class Page(HTMLParser):
    """What a page loads, and which of its tags are open at the end."""

    def __init__(self) -> None:
        super().__init__()
        self.loads: list[str] = []
        self.tags: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        if tag not in {"meta", "br", "link", "img"}:
            self.open.append(tag)
        self.loads += [
            f"{name}={value}" for name, value in attrs if name in {"src", "href", "action", "srcset", "data"}
        ]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def page_of(file: Path) -> tuple[Page, str]:
    text = file.read_text(encoding="utf-8")
    page = Page()
    page.feed(text)
    return page, text


def test_the_page_stands_alone_and_holds_the_matrix_as_a_picture(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "closing.html"
    status, said = command("verify", COMPANY.slug, "--html", str(file))
    assert status == 1
    assert "not encrypted" in said
    page, text = page_of(file)
    assert page.loads == [] and page.open == []
    assert not {"script", "link", "img", "iframe", "form"} & set(page.tags)
    assert "url(" not in text and "http:" not in text and "https:" not in text
    assert "default-src 'none'" in text
    svg = text.partition("<svg")[2].partition("</svg>")[0]
    for words in ("WA", "OR home", "US federal", "final return", SIGNS[Mark.MISSING], SIGNS[Mark.PROVEN], "2026-07-14"):
        assert words.split()[-1] in svg
    assert file.stat().st_mode & 0o777 == 0o600


def test_names_of_clients_and_files_cannot_change_the_page(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "closing.html"
    command("verify", COMPANY.slug, "--html", str(file))
    _, text = page_of(file)
    assert "Kettlemoor &lt;Crumb&gt; &amp; &#34;Crust&#34; LLC" in text
    assert "<Crumb>" not in text and "<b>0</b>" not in text
    assert "\x1b" not in text


def test_the_page_of_all_closings_lists_them_worst_first(command: Command, filled: Office, tmp_path: Path) -> None:
    filled.vault.put_entity(replace(COMPANY, slug="another", name="Another LLC", ein="09-7654321", registrations=()))
    file = tmp_path / "all.html"
    command("verify", "--html", str(file))
    _, text = page_of(file)
    assert text.count("<svg") == 2
    assert "default-src 'none'" in text


def test_a_file_that_is_there_is_not_replaced_unless_asked(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "closing.html"
    file.write_text("mine", encoding="utf-8")
    assert command("verify", COMPANY.slug, "--html", str(file))[0] == 2
    assert file.read_text(encoding="utf-8") == "mine"
    assert command("verify", COMPANY.slug, "--html", str(file), "--force")[0] == 1
    assert file.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []


def test_a_page_in_a_folder_that_is_not_there_is_the_machine_s_fault(command: Command, tmp_path: Path) -> None:
    status, said = command("verify", COMPANY.slug, "--html", str(tmp_path / "no" / "x.html"))
    assert status == 4
    assert "can't be written" in said


def test_json_and_a_page_do_not_go_together(command: Command, tmp_path: Path) -> None:
    assert command("verify", "--json", "--html", str(tmp_path / "x.html"))[0] == 2


# --- many closings ----------------------------------------------------------------------------------------------


def test_many_closings_are_listed_worst_first_in_a_line_each(command: Command, filled: Office) -> None:
    with filled.vault.transaction():
        for number in range(8):
            entity = replace(COMPANY, slug=f"small-{number}", name=f"Small {number} LLC", ein=f"09-{number:07}",
                             registrations=COMPANY.registrations[: 1 + number % 3])  # fmt: skip
            filled.vault.put_entity(entity)
    status, text = command("verify", width=100)
    lines = text.splitlines()
    assert status == 1
    assert lines[0] == "9 closings: 9 not proven, 0 proven closed"
    assert lines[2].startswith(COMPANY.slug)
    assert max(map(len, lines)) <= 100
    few = command("verify", "--worst", "2")[1]
    assert "and 7 more" in few
    whole = json.loads(command("verify", "--json")[1])
    listed = [line.split()[0] for line in lines[2:11]]
    assert [closing["entity"] for closing in whole["closings"]] == listed


def test_json_is_as_documented(command: Command) -> None:
    said = json.loads(command("verify", COMPANY.slug, "--json")[1])
    assert said.keys() == {"schema", "asof", "caution", "closings", "belongs_to_nobody"}
    closing = said["closings"][0]
    documented = (Path(__file__).parents[2] / "docs" / "json-output.md").read_text(encoding="utf-8")
    for key in (*closing, *closing["expected"][0], *closing["findings"][0]):
        assert f"`{key}`" in documented
    assert {finding["code"] for finding in closing["findings"]} <= set(re.findall(r"`([a-z-]+)`", documented))


# --- plan and calendar ------------------------------------------------------------------------------------------


def test_a_plan_is_shown_in_words_and_as_json(command: Command) -> None:
    status, text = command("plan", COMPANY.slug)
    assert status == 1
    said = json.loads(command("plan", COMPANY.slug, "--json")[1])
    assert [step["number"] for step in said["steps"]] == list(range(1, len(said["steps"]) + 1))
    for step in said["steps"]:
        assert f"{step['number']}. {step['scope']}  " in text
    assert "After: step" in text
    assert "(past): due" in text


@pytest.mark.parametrize("width", [40, 80, 160])
def test_a_plan_fits_the_terminal(command: Command, width: int) -> None:
    assert max(map(len, command("plan", COMPANY.slug, width=width)[1].splitlines())) <= width


def test_a_calendar_is_written_and_its_codes_are_told(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "ahead.ics"
    status, said = command("calendar", COMPANY.slug, "-o", str(file))
    assert status == 0
    events = list(Calendar.from_ical(file.read_bytes()).walk("VEVENT"))
    assert f"{len(events)} days of 1 closings" in said
    code = re.search(r"Closing ([0-9a-f]{8})\s+kettlemoor", said)
    assert code and code[1].encode() in file.read_bytes()
    assert b"kettlemoor" not in file.read_bytes().lower()
    assert file.stat().st_mode & 0o777 == 0o600
    everything = tmp_path / "all.ics"
    assert command("calendar", "-o", str(everything), "--names")[0] == 0
    assert b"Kettlemoor" in everything.read_bytes()


def test_nobody_of_that_name_is_misuse(command: Command, tmp_path: Path) -> None:
    assert command("plan", "nobody")[0] == 2
    assert command("calendar", "nobody", "-o", str(tmp_path / "x.ics"))[0] == 2
    assert list(tmp_path.glob("*.ics")) == []
