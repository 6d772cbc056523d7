"""The installed command from end to end on the committed scans, as a preparer uses it."""

import base64
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import ROOT, SCANS

pytestmark = [pytest.mark.whole, pytest.mark.xdist_group("whole")]

PASSPHRASE = "test only"
COMMAND = Path(sys.executable).with_name("quietus")


@dataclass(frozen=True)
class Played:
    """An office in which the scenario was played, and what ingest said."""

    home: Path
    ingest: subprocess.CompletedProcess[str]


def run(home: Path, *arguments: str, passphrase: str | None = PASSPHRASE) -> subprocess.CompletedProcess[str]:
    """Run the installed command in an office, with no terminal."""
    environment = {**os.environ, "QUIETUS_HOME": str(home), "COLUMNS": "160"}
    environment.pop("QUIETUS_PASSPHRASE", None)
    if passphrase is not None:
        environment["QUIETUS_PASSPHRASE"] = passphrase
    return subprocess.run(
        [COMMAND, *arguments], env=environment, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL
    )


def json_of(done: subprocess.CompletedProcess[str]) -> Any:
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Played]:
    home = tmp_path_factory.mktemp("whole") / "office"
    assert run(home, "init", str(home)).returncode == 0
    assert run(home, "entity", "import", str(ROOT / "sample_docs" / "entities.toml")).returncode == 0
    for scan in SCANS.iterdir():
        shutil.copy(scan, home / "inbox")
    yield Played(home, run(home, "ingest", "--json"))


def test_ingest_files_every_scan_and_says_that_some_wait(played: Played) -> None:
    outcomes = [json.loads(line) for line in played.ingest.stdout.splitlines()]
    assert {o["fate"] for o in outcomes} == {"filed"}
    assert len(outcomes) == len(list(SCANS.iterdir()))
    assert played.ingest.returncode == 1
    assert [p.name for p in (played.home / "inbox").iterdir()] == []


def test_verify_finds_every_true_gap_and_nothing_else(played: Played) -> None:
    done = run(played.home, "verify", "brindlewick-oven", "--asof", "2026-11-20", "--json")
    found = {(f["code"], f["scope"]) for f in json_of(done)["closings"][0]["findings"] if f["severity"] == "blocks"}
    assert found == {
        ("missing-jurisdiction", "NJ"),
        ("missing-paper", "company"),
        ("no-office-mark", "WA"),
        ("final-box-empty", "TN"),
        ("clearance-expired", "TN"),
        ("dates-out-of-order", "OR"),
        ("ein-mismatch", "US"),
        ("waiting-for-review", "US"),
    }
    assert done.returncode == 1


def test_a_whole_closing_is_proven_with_status_zero(played: Played) -> None:
    done = run(played.home, "verify", "saltmarsh-sheeter", "--asof", "2026-11-20", "--json")
    closing = json_of(done)["closings"][0]
    assert closing["proven"]
    assert done.returncode == 0
    assert {line["mark"] for line in closing["expected"]} <= {"proven", "advised, not on file"}


def test_verify_shows_the_matrix_the_findings_and_the_caution(played: Played) -> None:
    text = run(played.home, "verify", "--asof", "2026-11-20").stdout
    for words in (
        "NOT proven",
        "proven closed",
        "Nothing at all is on file for NJ",
        "Next:",
        "Not legal or tax advice",
    ):
        assert words in text
    assert "1 paper belongs to nobody" in text
    assert "office-stamped" in text


def test_the_matrix_fits_a_narrow_terminal(played: Played) -> None:
    environment = {**os.environ, "QUIETUS_HOME": str(played.home), "QUIETUS_PASSPHRASE": PASSPHRASE, "COLUMNS": "80"}
    done = subprocess.run([COMMAND, "verify"], env=environment, capture_output=True, text=True, check=False)
    assert max(len(line) for line in done.stdout.splitlines()) <= 80


def test_review_lists_what_waits(played: Played) -> None:
    done = run(played.home, "review", "--json")
    names = {question["name"] for question in json_of(done)}
    assert {"a11-ein-account-closure-letter.png", "a12-nobody.jpg"} <= names
    assert not any(name.startswith("b") for name in names)
    assert done.returncode == 1


def test_a_bundle_is_made_for_the_whole_closing_and_refused_for_the_other(played: Played, tmp_path: Path) -> None:
    made = run(played.home, "bundle", "saltmarsh-sheeter", "--for", "lender", "-o", str(tmp_path / "proof"),
               "--asof", "2026-11-20")  # fmt: skip
    assert made.returncode == 0, made.stderr
    assert (tmp_path / "proof" / "data" / "proof-of-closure.pdf").stat().st_size > 10_000
    refused = run(played.home, "bundle", "brindlewick-oven", "--for", "lender", "-o", str(tmp_path / "no"))
    assert refused.returncode == 1
    assert "--show-gaps" in refused.stderr
    assert not (tmp_path / "no").exists()
    shown = run(played.home, "bundle", "brindlewick-oven", "--for", "lender", "-o", str(tmp_path / "open"),
                "--show-gaps", "--asof", "2026-11-20")  # fmt: skip
    assert shown.returncode == 0, shown.stderr


def test_retain_shows_policy_event_date_and_source(played: Played) -> None:
    kept = json_of(run(played.home, "retain", "list", "saltmarsh-sheeter", "--json"))
    assert len(kept) == 8
    for item in kept:
        assert item["decided_by"]
        assert item["rules"][0]["sources"]
    assert any(item["until"] for item in kept)


def test_nothing_in_the_vault_folder_is_readable(played: Played) -> None:
    words = [
        "Brindlewick",
        "brindlewick",
        "Saltmarsh",
        "07-4418230",
        "083307915",
        "Pemberwick",
        "Dissolution",
        "dissolution",
    ]
    needles = [
        form
        for word in words
        for form in (word.encode(), word.encode("utf-16-le"), base64.b64encode(word.encode())[:-4])
    ]
    for file in (played.home / "vault").rglob("*"):
        if file.is_file():
            data = file.read_bytes()
            assert not [needle for needle in needles if needle in data], file.name


def test_check_is_clean_and_the_journal_tells_who_did_what(played: Played) -> None:
    assert run(played.home, "check").returncode == 0
    entries = [json.loads(line) for line in run(played.home, "journal", "--last", "0", "--json").stdout.splitlines()]
    assert [e["number"] for e in entries] == sorted(e["number"] for e in entries)
    assert all(e["who"] and e["at"] and e["action"] for e in entries)


def test_a_wrong_or_missing_passphrase_is_refused_in_words(played: Played) -> None:
    wrong = run(played.home, "verify", passphrase="wrong")
    assert wrong.returncode == 3
    assert "Traceback" not in wrong.stderr
    none = run(played.home, "verify", passphrase=None)
    assert none.returncode == 2
    assert "--passphrase-fd" in none.stderr


def test_the_passphrase_comes_from_a_descriptor_too(played: Played) -> None:
    reader, writer = os.pipe()
    os.write(writer, f"{PASSPHRASE}\n".encode())
    os.close(writer)
    environment = {k: v for k, v in os.environ.items() if k != "QUIETUS_PASSPHRASE"} | {
        "QUIETUS_HOME": str(played.home)
    }
    done = subprocess.run(
        [COMMAND, "entity", "list", "--passphrase-fd", str(reader)],
        env=environment, pass_fds=(reader,), capture_output=True, text=True, check=False,
    )  # fmt: skip
    os.close(reader)
    assert done.returncode == 0, done.stderr
    assert "saltmarsh-sheeter" in done.stdout


def _damage(home: Path, pattern: str, change: Any) -> None:
    file = sorted(f for f in (home / "vault").glob(pattern) if f.is_file())[0]
    data = bytearray(file.read_bytes())
    change(data)
    file.chmod(0o600)
    file.write_bytes(data)


def _flip(data: bytearray) -> None:
    data[len(data) // 2] ^= 1


@pytest.mark.parametrize("what", ["vault.json", "catalog.db", "objects/*/*", "journal.log", "removed", "edited"])
def test_damage_gives_a_clear_error_and_a_status(played: Played, tmp_path: Path, what: str) -> None:
    home = tmp_path / "copy"
    shutil.copytree(played.home, home)
    if what == "removed":
        next(f for f in (home / "vault" / "objects").rglob("*") if f.is_file()).unlink()
    elif what == "edited":
        file = home / "vault" / "journal.log"
        lines = file.read_text().splitlines(keepends=True)
        file.write_text("".join(lines[:2] + lines[3:]))
    else:
        _damage(home, what, _flip)
    done = run(home, "check")
    assert done.returncode == 3
    assert "Traceback" not in done.stderr
    assert done.stdout + done.stderr


def test_export_gives_the_bytes_as_received(played: Played, tmp_path: Path) -> None:
    papers = json_of(run(played.home, "verify", "saltmarsh-sheeter", "--json"))["closings"][0]["expected"]
    paper = next(line["papers"][0] for line in papers if line["key"] == "OR/dissolution")
    target = tmp_path / "back.pdf"
    assert run(played.home, "paper", "export", paper, "-o", str(target)).returncode == 0
    assert target.read_bytes() == (SCANS / "b01-or-articles-of-dissolution.pdf").read_bytes()
    assert run(played.home, "paper", "export", paper, "-o", str(target)).returncode == 2


def test_misuse_ends_with_status_two_and_a_remedy(played: Played, tmp_path: Path) -> None:
    for arguments in (
        ("verify", "nobody"),
        ("verify", "--asof", "tomorrow"),
        ("paper", "show", "ffff"),
        ("bundle", "saltmarsh-sheeter", "--for", "poetry", "-o", str(tmp_path / "x")),
        ("rules", "show", "ZZ"),
        ("frobnicate",),
        ("init", str(played.home)),
    ):
        done = run(played.home, *arguments)
        assert done.returncode == 2, arguments
        assert done.stderr
        assert "Traceback" not in done.stderr
    lost = run(tmp_path, "verify")
    assert lost.returncode == 2
    assert "quietus init" in lost.stderr
