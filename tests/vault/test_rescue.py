"""A damaged journal file is written anew from a catalog that is whole, and never from an older one."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from quietus.model.errors import Damaged, Misuse, WrongKey
from quietus.vault import check_vault, rewrite_journal
from tests.vault.make import PASSPHRASE, file, opened, ticking

HARM: dict[str, Callable[[Path], object]] = {
    "cut": lambda path: path.write_bytes(path.read_bytes()[:200]),
    "edited": lambda path: path.write_bytes(path.read_bytes().replace(b'"number":2', b'"number":7')),
    "gone": lambda path: path.unlink(),
    "not text": lambda path: path.write_bytes(b"\xff\n[[[[\n{}\nnull\n"),
}


def rescued(folder: Path, passphrase: bytes = PASSPHRASE) -> object:
    return rewrite_journal(folder, passphrase, who="pat", clock=ticking())


@pytest.fixture
def told(folder: Path) -> Path:
    with opened(folder) as vault:
        file(vault, b"one")
        vault.record("noted", "1", {})
    return folder


@pytest.mark.parametrize("harm", HARM)
def test_a_damaged_journal_file_is_written_anew(told: Path, harm: str) -> None:
    path = told / "journal.log"
    before = path.read_bytes()
    HARM[harm](path)
    after = path.read_bytes() if path.exists() else None
    with pytest.raises(Damaged):
        opened(told)
    done = rewrite_journal(told, PASSPHRASE, who="pat", clock=ticking())
    assert path.read_bytes().startswith(before)
    assert (done.kept.read_bytes() if done.kept else None) == after
    with opened(told) as vault:
        assert vault.journal()[-1].action == "journal-file-rewritten"
        assert vault.journal()[-1].details["sha256"] == done.sha256
        assert check_vault(vault).sound


def test_a_whole_journal_file_is_left_alone(told: Path) -> None:
    before = (told / "journal.log").read_bytes()
    with pytest.raises(Misuse, match="as it was written"):
        rescued(told)
    assert (told / "journal.log").read_bytes() == before


def test_an_older_catalog_is_not_believed(told: Path, tmp_path: Path) -> None:
    shutil.copytree(told, tmp_path / "old")
    with opened(told) as vault:
        vault.record("noted", "later", {})
    journal = (told / "journal.log").read_bytes()
    for part in ("catalog.db", "catalog.db-wal", "catalog.db-shm"):
        (told / part).unlink(missing_ok=True)
        if (tmp_path / "old" / part).exists():
            shutil.copy(tmp_path / "old" / part, told / part)
    with pytest.raises(Damaged, match="older copy"):
        rescued(told)
    assert (told / "journal.log").read_bytes() == journal


def test_a_rescue_needs_a_key_and_a_sound_catalog(told: Path) -> None:
    with pytest.raises(WrongKey):
        rescued(told, b"another")
    (told / "journal.log").unlink()
    data = bytearray((told / "catalog.db").read_bytes())
    for place in range(2000, len(data), 4096):  # in every page
        data[place] ^= 1
    (told / "catalog.db").write_bytes(bytes(data))
    (told / "catalog.db-wal").unlink(missing_ok=True)
    with pytest.raises(Damaged):
        rescued(told)
