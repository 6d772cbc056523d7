"""Retention and disposal as typed at the command line, from the rule to the certificate."""

import io
import json
import subprocess
from pathlib import Path

import pytest

from quietus.cli.app import run
from quietus.closing.office import open_office, utc_now
from tests.closing.quick import quick_locks
from tests.closing.retained import PASSPHRASE, file, made_office, write_policy

__all__ = ["quick_locks"]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An office with a paper that is due, one that is not, and one whose event is not known."""
    home = tmp_path / "office"
    monkeypatch.setenv("QUIETUS_HOME", str(home))
    monkeypatch.setenv("COLUMNS", "200")
    with made_office(home, utc_now) as office:
        file(office, signed="2020-03-01")
        file(office, b"proof", kind="clearance", filing_date="2020-01-01")
        file(office, b"undated", signed="")
    return home


@pytest.fixture
def said(home: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> "Said":
    return Said(monkeypatch, capfd)


class Said:
    """Runs commands; keeps what the last one printed."""

    def __init__(self, patch: pytest.MonkeyPatch, capture: pytest.CaptureFixture[str]) -> None:
        self._patch, self._capture = patch, capture

    def __call__(self, *words: str, status: int = 0) -> str:
        self._patch.setenv("QUIETUS_PASSPHRASE", PASSPHRASE.decode())
        found = run(list(words))
        shown = self._capture.readouterr()
        assert found == status, shown
        return shown.out + shown.err

    def json(self, *words: str, status: int = 0) -> list[dict[str, object]]:
        found = json.loads(self(*words, "--json", status=status).splitlines()[0])
        return found if isinstance(found, list) else [found]


def only_due(said: Said) -> str:
    (one,) = said.json("retain", "due")
    return str(one["paper"])


def test_from_the_rule_to_the_certificate(said: Said, home: Path, tmp_path: Path) -> None:
    paper = only_due(said)
    explained = said("retain", "explain", paper[:8])
    assert "* until 2021-03-01: Consents, 1 year from signing (2020-03-01)" in explained
    assert "Closings manual, page 20 (common practice, no source, checked 2026-11-25)" in explained
    assert "event is not known" in said("retain", "due", "--why-not")
    said("retain", "approve", paper[:8], "--reason", "time is over")
    (approval,) = said.json("retain", "approvals")
    assert approval["papers"] == [paper]
    backup = str(tmp_path / "backup")
    said("backup", backup)
    shown = said("retain", "dispose", str(approval["approval"]), "--backup", backup, "--yes")
    assert "destroyed" in shown
    assert "1 backup copies" in shown
    folder = tmp_path / "certificate"
    said("retain", "certificate", paper[:8], "-o", str(folder))
    assert paper in said("retain", "certificate", paper)
    asked = "openssl pkeyutl -verify -pubin -inkey vault-key.pem -rawin -in certificate.json -sigfile"
    assert subprocess.run([*asked.split(), "certificate.json.sig"], cwd=folder, check=False).returncode == 0
    said("check")
    said("paper", "show", paper, status=2)
    (report,) = said.json("retain", "report")
    assert (report["destroyed"], report["permanent"], report["due"]) == (1, 1, [])


def test_a_hold_is_set_listed_and_released(said: Said) -> None:
    paper = only_due(said)
    said("hold", "set", "--entity", "kettlemoor", "--reason", "a claim was announced", "--review", "2099-01-01")
    (hold,) = said.json("hold", "list")
    assert (hold["papers"], hold["review"]) == (3, "2099-01-01")
    said("retain", "approve", paper, "--reason", "time is over", status=1)
    assert "a claim was announced" in said("retain", "explain", paper)
    said("hold", "release", str(hold["hold"]), "--reason", "settled")
    assert said.json("hold", "list") == []
    assert only_due(said) == paper
    said("hold", "set", "--reason", "nothing named", status=2)
    said("hold", "set", "--kind", "poem", "--reason", "no such kind", status=2)


def test_a_shorter_policy_waits_for_a_person(said: Said, home: Path) -> None:
    with open_office(home, PASSPHRASE) as office:
        write_policy(office, "2 months")
    (diff,) = said.json("retain", "policy", status=1)
    assert diff["shortened"] == 1
    assert only_due(said)
    assert [one["promised_longer"] for one in said.json("retain", "list")].count(True) == 1
    assert "1 would be kept less long" in said("retain", "accept", "--reason", "new manual", "--yes")
    (diff,) = said.json("retain", "policy")
    assert diff["shortened"] == 0


def test_a_timeline_is_drawn_as_svg_and_as_a_page(said: Said, tmp_path: Path) -> None:
    said("retain", "timeline", "kettlemoor", "-o", str(tmp_path / "t.svg"))
    said("retain", "timeline", "kettlemoor", "-o", str(tmp_path / "t.html"))
    drawn = (tmp_path / "t.svg").read_text()
    assert drawn.startswith("<svg ")
    assert all(words in drawn for words in ("Crumb &amp; Crust", "permanently", "event not known", "· due"))
    page = (tmp_path / "t.html").read_text()
    assert drawn.splitlines()[5] in page
    assert "default-src 'none'" in page
    said("retain", "timeline", "kettlemoor", "-o", str(tmp_path / "t.svg"), status=2)


def test_nothing_is_destroyed_unasked(said: Said, monkeypatch: pytest.MonkeyPatch) -> None:
    paper = only_due(said)
    said("retain", "approve", "--all-due", "--reason", "time is over")
    for typed in ("n\n", ""):
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        said("retain", "dispose", status=2)
    assert only_due(said) == paper
    said("retain", "approve", "--reason", "nothing named", status=2)
    said("retain", "dispose", "ffff", "--yes", status=2)
    said("retain", "event", "kettlemoor", "wedding", "2020-01-01", "--reason", "no such event", status=2)
    said("retain", "event", "kettlemoor", "engagement-end", "2020-01-01", "--reason", "closing letter")
    said("retain", "clock-is-right", "--reason", "looked at the phone")
