"""Consents, inquiries, dry runs and drafts at the terminal, from the request to the answer."""

import json
import os
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from quietus.cli.app import run
from tests.closing.answering import BANK, COMPANY, closed_office, file_paper, signed_paper

TODAY = datetime.now(UTC).astimezone().date()
SLUG = COMPANY.slug


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    home = tmp_path_factory.mktemp("inquiry") / "office"
    with closed_office(home) as office:
        signed_paper(office)
        file_paper(office, "WA/tax_notice-", signed_date="2026-10-15")
    yield home


@pytest.fixture(autouse=True)
def at_home(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUIETUS_HOME", str(home))
    monkeypatch.setenv("COLUMNS", "200")


class Said(str):
    """What a command printed, and how it ended."""

    status: int


@pytest.fixture
def quietus(capsys: pytest.CaptureFixture[str]) -> Any:
    def command(*words: str) -> Said:
        os.environ["QUIETUS_PASSPHRASE"] = "test passphrase, not a secret"
        status = run(list(words))
        caught = capsys.readouterr()
        said = Said(caught.out + caught.err)
        said.status = status
        return said

    return command


def paper_of(quietus: Any, kind: str) -> str:
    """The id of the only paper of a kind, from the list."""
    lines = [line for line in quietus("paper", "list", SLUG).splitlines() if kind in line]
    return str(lines[0].split()[0])


def test_a_dry_run_says_what_would_go_out_and_why_and_makes_nothing(quietus: Any, tmp_path: Path) -> None:
    said = quietus("bundle", SLUG, "--for", "lender", "--to", BANK, "--dry-run")
    assert said.status == 0
    for words in (
        "Nothing was made",
        "OR/dissolution",
        "whole, as received",
        "none is on file",
        "quietus draft consent",
    ):
        assert words in said
    told = json.loads(quietus("bundle", SLUG, "--for", "lender", "--to", BANK, "--dry-run", "--json"))
    assert [item["expected"] for item in told["goes_in"]] == ["OR/dissolution", "WA/withdrawal"]
    assert told["with_consent"] == ["final_return", "ein_closure_letter"]
    assert {left["name"] for left in told["left_out"]} >= {"US-final_return.pdf"}
    assert all(left["why"].endswith(".") for left in told["left_out"])
    assert json.loads(quietus("inquiry", "list", "--json"))["inquiries"] == []


def test_a_consent_is_recorded_used_and_withdrawn(quietus: Any) -> None:
    paper = paper_of(quietus, "other paper")
    words = (
        "consent",
        "record",
        SLUG,
        "--paper",
        paper,
        "--to",
        BANK,
        "--for",
        "lender",
        "--signer",
        "Ines Hollowbrook",
    )
    made = quietus(
        *words, "--kinds", "final_return", "--scopes", "US", "--years", "2026", "--signed", TODAY.isoformat()
    )
    assert (made.status, "Consent 0001" in made) == (0, True)
    dry = quietus("bundle", SLUG, "--for", "lender", "--to", BANK, "--dry-run")
    assert "redacted: nothing was found to cover, under consent 0001" in " ".join(dry.split())
    (listed,) = json.loads(quietus("consent", "list", SLUG, "--json"))["consents"]
    assert (listed["holds"], listed["kinds"], listed["scopes"], listed["years"]) == (
        True,
        ["final_return"],
        ["US"],
        [2026],
    )
    later = (TODAY + timedelta(days=400)).isoformat()
    assert "ran out" in quietus("consent", "list", "--asof", later)
    assert quietus("consent", "withdraw", "1", "--reason", "The manager wrote.").status == 0
    told = json.loads(quietus("bundle", SLUG, "--for", "lender", "--to", BANK, "--dry-run", "--json"))
    assert "US/final_return" not in {item["expected"] for item in told["goes_in"]}
    assert told["consents"] == [{"id": "0001", "holds": False, "used": False, "why": f"it was withdrawn on {TODAY}"}]


def test_an_inquiry_is_recorded_answered_sent_and_shown(quietus: Any, tmp_path: Path) -> None:
    asked = quietus("inquiry", "record", SLUG, "--from", "Contracting Officer", "--asked", "Proof of closure")
    number = asked.split()[1]
    order = ("bundle", SLUG, "--for", "contract", "--to", "Contracting Officer", "--inquiry", number)
    made = quietus(*order, "-o", str(tmp_path / "proof"))
    assert (made.status, f"inquiry  {number}" in made) == (0, True)
    assert quietus("inquiry", "sent", number, "--how", "portal").status == 0
    shown = quietus("inquiry", "show", number)
    for words in ("Proof of closure", "sha256", "OR/dissolution", "portal", "purpose contract"):
        assert words in shown
    told = json.loads(quietus("inquiry", "show", number, "--json"))
    assert (told["state"], told["replies"][0]["how"]) == ("sent", "portal")
    assert number in quietus("inquiry", "list", SLUG)


def test_a_states_notice_is_answered_from_the_terminal(quietus: Any, tmp_path: Path) -> None:
    notice = paper_of(quietus, "tax notice")
    said = quietus("inquiry", "notice", notice, "-o", str(tmp_path / "reply"))
    assert said.status == 0
    assert "fill in  the agency's address" in said
    assert "check it, sign it" in said
    assert (tmp_path / "reply" / "proof" / "VERIFY.txt").is_file()


@pytest.mark.parametrize(
    "words",
    [
        ("copy", "--jurisdiction", "wa"),
        ("clearance", "--jurisdiction", "WA"),
        ("ein", "--address", "9 Made-up Street"),
        ("creditor", "--to", "Quayle & Dobbs"),
        ("newspaper", "--county", "Deschutes County"),
        ("bill", "--bill", "No. 4471"),
        ("notice", "--jurisdiction", "WA"),
        ("consent", "--for", "lender", "--to", BANK, "--kinds", "final_return"),
    ],
)
def test_every_draft_is_written_with_its_blanks_and_sources_told(
    quietus: Any, tmp_path: Path, words: tuple[str, ...]
) -> None:
    said = quietus("draft", words[0], SLUG, "-o", str(tmp_path / "draft.pdf"), *words[1:])
    assert said.status == 0
    assert (tmp_path / "draft.pdf").read_bytes().startswith(b"%PDF")
    assert "NOTES FOR THE PREPARER" in (tmp_path / "draft.txt").read_text()
    for start in ("fill in", "look", "source", "A draft"):
        assert any(line.startswith(start) for line in said.splitlines())


@pytest.mark.parametrize(
    "words",
    [
        ("bundle", SLUG, "--for", "lender"),
        ("bundle", SLUG, "--for", "own-copy", "--to", BANK, "--dry-run"),
        ("consent", "withdraw", "7777", "--reason", "x"),
        ("inquiry", "record", SLUG, "--from", "A", "--asked", "B", "--on", "yesterday"),
        ("draft", "copy", "nobody", "-o", "x.pdf"),
        ("draft", "consent", SLUG, "-o", "x.pdf", "--for", "contract"),
    ],
)  # fmt: skip
def test_misuse_ends_with_2_and_a_remedy(quietus: Any, words: tuple[str, ...]) -> None:
    said = quietus(*words)
    assert said.status == 2
    assert len(said.splitlines()) == 2
