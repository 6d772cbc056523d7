"""Locks, checkpoints, backup and restore, as typed at the command line."""

import json
import os
import shutil
from pathlib import Path

import pytest

from quietus.cli.app import run
from quietus.closing.office import open_office
from quietus.model.paper import Standing
from tests.vault.make import ENTITY, reading

PASSPHRASE = "first words"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An office with one paper."""
    home = tmp_path / "office"
    monkeypatch.setenv("QUIETUS_HOME", str(home))
    assert said(monkeypatch, PASSPHRASE, "init", str(home)) == 0
    with open_office(home, PASSPHRASE.encode()) as office:
        office.vault.put_entity(ENTITY)
        office.vault.file_paper(
            b"a paper", name="a.pdf", media_type="application/pdf", pages=1, standing=Standing.FILED,
            entity=ENTITY.slug, expected="OR/dissolution", reading=reading(),
        )  # fmt: skip
    return home


def said(patch: pytest.MonkeyPatch, passphrase: str, *words: str, new: str | None = None) -> int:
    """Exit status of one command."""
    patch.setenv("QUIETUS_PASSPHRASE", passphrase)
    if new is not None:
        patch.setenv("QUIETUS_NEW_PASSPHRASE", new)
    try:
        return run(list(words))
    finally:
        os.environ.pop("QUIETUS_NEW_PASSPHRASE", None)


def test_locks_come_and_go(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    assert said(monkeypatch, PASSPHRASE, "lock", "add", "ines", new="second words") == 0
    assert said(monkeypatch, PASSPHRASE, "lock", "add", "safe", "--recovery") == 0
    printed = next(word for word in capfd.readouterr().out.split() if word.count("-") == 13)
    stick = tmp_path / "stick.key"
    assert said(monkeypatch, "second words", "lock", "add", "stick", "--key-file", str(stick)) == 0
    assert stick.stat().st_mode & 0o777 == 0o600
    assert said(monkeypatch, printed, "lock", "list", "--json") == 0
    rows = [json.loads(line) for line in capfd.readouterr().out.splitlines() if line.startswith("{")]
    assert [(row["kind"], row["in_use"]) for row in rows] == [
        ("passphrase", False), ("passphrase", False), ("recovery", True), ("key-file", False),
    ]  # fmt: skip
    with stick.open("rb") as file:
        assert run(["lock", "remove", "ines", "--passphrase-fd", str(file.fileno())]) == 0
    assert said(monkeypatch, "second words", "lock", "list") == 3
    assert said(monkeypatch, PASSPHRASE, "lock", "change", rows[0]["id"], new="other words") == 0
    assert said(monkeypatch, PASSPHRASE, "lock", "list") == 3
    assert said(monkeypatch, "other words", "rekey") == 0
    assert said(monkeypatch, printed, "lock", "list") == 3
    assert said(monkeypatch, "other words", "check") == 0


def test_a_checkpoint_shows_that_an_older_copy_was_put_back(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(home / "vault", tmp_path / "old")
    assert said(monkeypatch, PASSPHRASE, "lock", "add", "safe", "--recovery") == 0
    kept = tmp_path / "kept.txt"
    assert said(monkeypatch, PASSPHRASE, "checkpoint", "make", "-o", str(kept)) == 0
    fingerprint = capfd.readouterr().out.rsplit("Fingerprint: ", 1)[1].strip()
    proofs = tmp_path / "entry.json", tmp_path / "growth.json"
    assert said(monkeypatch, PASSPHRASE, "checkpoint", "prove", "--entry", "2", "-o", str(proofs[0])) == 0
    assert said(monkeypatch, PASSPHRASE, "checkpoint", "prove", "--since", str(kept), "-o", str(proofs[1])) == 0
    for proof in proofs:
        assert run(["checkpoint", "verify", str(proof)]) == 0
        proof.write_text(proof.read_text().replace('"path": [', '"path": ["' + "00" * 32 + '",'))
        assert run(["checkpoint", "verify", str(proof)]) in {2, 3}
    for against in (str(kept), fingerprint):
        assert said(monkeypatch, PASSPHRASE, "checkpoint", "compare", against) == 0
    shutil.rmtree(home / "vault")
    shutil.copytree(tmp_path / "old", home / "vault")
    for against in (str(kept), fingerprint):
        assert said(monkeypatch, PASSPHRASE, "checkpoint", "compare", against) == 3


def test_an_office_comes_back_from_its_backup_alone(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    place, again = str(tmp_path / "backup"), tmp_path / "again"
    (home / "rules" / "own.toml").write_text("# the firm's own\n")
    for _ in range(3):
        assert said(monkeypatch, PASSPHRASE, "backup", place, "--keep", "2") == 0
    shutil.rmtree(home)
    capfd.readouterr()
    assert run(["backup", place, "--list"]) == 0
    assert len(capfd.readouterr().out.split()) == 2
    assert run(["backup", place, "--verify"]) == 0
    assert said(monkeypatch, PASSPHRASE, "restore", place, str(again)) == 0
    assert said(monkeypatch, PASSPHRASE, "check", "--home", str(again)) == 0
    with open_office(again, PASSPHRASE.encode()) as office:
        assert [office.vault.paper_bytes(p.id, "test") for p in office.vault.papers()] == [b"a paper"]
    assert (again / "rules" / "own.toml").read_text() == "# the firm's own\n"
    assert said(monkeypatch, PASSPHRASE, "restore", place, str(again)) == 2
    for piece in [path for path in Path(place, "pieces").rglob("*") if path.is_file()]:
        piece.unlink()  # each: some belong to the older copy alone
    assert run(["backup", place, "--verify"]) == 3


def test_a_refusal_is_in_the_journal_with_who_and_the_lock(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    asked = ("bundle", ENTITY.slug, "--for", "lender", "-o", str(tmp_path / "out"))
    assert said(monkeypatch, PASSPHRASE, *asked) == 1
    capfd.readouterr()
    assert said(monkeypatch, PASSPHRASE, "journal", "--json", "--last", "1") == 0
    entry = json.loads(capfd.readouterr().out)
    assert (entry["action"], entry["about"]) == ("bundle-refused", ENTITY.slug)
    assert entry["who"]
    assert entry["lock"]


def test_a_check_reads_everything_and_can_run_on_a_copy(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    copy = shutil.copytree(home / "vault", tmp_path / "copy")
    before = (home / "vault" / "journal.log").read_bytes()
    assert said(monkeypatch, PASSPHRASE, "check", "--deep", "--vault", str(copy)) == 0
    assert (home / "vault" / "journal.log").read_bytes() == before
    sealed = next(path for path in (copy / "objects").rglob("*") if path.is_file())
    data = sealed.read_bytes()
    sealed.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))
    assert said(monkeypatch, PASSPHRASE, "check", "--deep", "--vault", str(copy)) == 3
    assert sealed.name in capfd.readouterr().out
    assert said(monkeypatch, PASSPHRASE, "check", "--deep", "--quick") == 2


def test_a_damaged_paper_is_not_exported_by_halves(home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out.pdf"
    sealed = next(path for path in (home / "vault" / "objects").rglob("*") if path.is_file())
    assert said(monkeypatch, PASSPHRASE, "paper", "export", sealed.name, "-o", str(out)) == 0
    assert out.read_bytes() == b"a paper"
    out.unlink()
    data = sealed.read_bytes()
    sealed.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))
    assert said(monkeypatch, PASSPHRASE, "paper", "export", sealed.name, "-o", str(out)) == 3
    assert not out.exists()


def test_a_backup_inside_the_vault_is_refused(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert said(monkeypatch, PASSPHRASE, "backup", str(home / "vault" / "backup")) == 2
    assert said(monkeypatch, PASSPHRASE, "backup", "ftp://somewhere") == 2


def test_a_damaged_journal_file_can_be_written_anew(
    home: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    journal = home / "vault" / "journal.log"
    journal.write_bytes(journal.read_bytes()[:50])
    assert said(monkeypatch, PASSPHRASE, "check") == 3
    assert "--rewrite-journal" in capfd.readouterr().err
    assert said(monkeypatch, PASSPHRASE, "check", "--rewrite-journal") == 0
    assert said(monkeypatch, PASSPHRASE, "check") == 0
    assert said(monkeypatch, PASSPHRASE, "check", "--rewrite-journal") == 2
    assert len(list(home.glob("vault-damaged-journal-*.log"))) == 1
