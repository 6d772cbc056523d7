"""A stranger with a passphrase or key, docs/vault-format.md and ordinary libraries reads a vault without quietus."""

import ast
import hashlib
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from quietus.vault import LockKind, Vault, add_lock, journal, locks_of, make_checkpoint, new_key, renew_root
from tests.outside import decrypt_vault
from tests.outside.decrypt_vault import Stranger
from tests.vault.make import ENTITY, PASSPHRASE, file, made, opened

pytestmark = pytest.mark.outside

PAPERS = [b"", b"short", bytes(range(256)) * 4096 * 2, b"x" * (2**20 + 1)]


@pytest.fixture
def recovery() -> bytes:
    return new_key()


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, recovery: bytes) -> Path:
    """A vault with four papers and a lock of each kind."""
    monkeypatch.setattr(journal, "MARK_EVERY", 4)
    folder = made(tmp_path / "vault")
    with opened(folder) as vault:
        add_lock(vault, LockKind.RECOVERY, recovery, "safe")
        for data in PAPERS:
            file(vault, data)
    return folder


def read(stranger: Stranger) -> Iterator[bytes]:
    """Every paper, in the order received; on the way all else is read and verified."""
    text = (stranger.folder / "journal.log").read_bytes()
    lines = "".join(row[0] for row in stranger.catalog.execute("SELECT line FROM journal ORDER BY number"))
    assert lines.encode() == text
    said = [stranger.journal(line) for line in text.splitlines()]
    assert [e["action"] for e in said if e["action"] == "paper-filed"] == ["paper-filed"] * 4
    assert json.loads(stranger.catalog.execute("SELECT body FROM entities").fetchone()[0])["name"] == ENTITY.name
    query = "SELECT id, sha256, wrapped FROM papers JOIN data_keys ON paper = id ORDER BY received"
    for paper_id, digest, wrapped in stranger.catalog.execute(query).fetchall():
        paper = stranger.paper(paper_id, wrapped)
        assert hashlib.sha256(paper).hexdigest() == digest
        yield paper


def test_with_the_passphrase(folder: Path) -> None:
    stranger = Stranger(folder, PASSPHRASE.decode())
    assert list(read(stranger)) == PAPERS
    number, end, digest = stranger.catalog.execute('SELECT number, "end", sha256 FROM journal_marks').fetchone()
    text = (folder / "journal.log").read_bytes()
    assert (number, digest) == (4, hashlib.sha256(text[:end]).hexdigest())


def test_with_the_recovery_key(folder: Path, recovery: bytes) -> None:
    assert list(read(Stranger(folder, recovery.decode()))) == PAPERS


def test_after_the_root_key_was_renewed(folder: Path, recovery: bytes) -> None:
    with opened(folder) as vault:
        renew_root(vault, {lock.id: recovery for lock in locks_of(vault) if lock.name == "safe"})
    assert list(read(Stranger(folder, recovery.decode()))) == PAPERS


def root_of(leaves: list[bytes]) -> bytes:
    """RFC 9162 section 2.1.1, word for word."""
    if len(leaves) == 1:
        return hashlib.sha256(b"\0" + leaves[0]).digest()
    half = 1
    while half * 2 < len(leaves):
        half *= 2
    return hashlib.sha256(b"\1" + root_of(leaves[:half]) + root_of(leaves[half:])).digest()


def test_the_root_of_the_journal_is_that_of_the_file(folder: Path) -> None:
    lines = (folder / "journal.log").read_bytes().splitlines()
    with opened(folder) as vault:
        checkpoint = make_checkpoint(vault)
    assert (checkpoint.entries, checkpoint.root) == (len(lines), root_of(lines).hex())


def test_every_table_and_column_stands_in_the_document(folder: Path) -> None:
    document = (Path(__file__).parents[2] / "docs" / "vault-format.md").read_text()
    catalog = Stranger(folder, PASSPHRASE.decode()).catalog
    for (table,) in catalog.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall():
        assert f"`{table}`" in document
        for column in catalog.execute(f"PRAGMA table_info({table})").fetchall():
            assert f"`{column[1]}`" in document, f"{table}.{column[1]}"


def test_the_stranger_uses_nothing_of_quietus_and_is_short() -> None:
    source = Path(decrypt_vault.__file__).read_text()
    imports = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Import | ast.ImportFrom)]
    assert not [node for node in imports if "quietus" in ast.unparse(node)]
    code = [line for line in source.split("class Stranger:")[1].splitlines() if line.strip()]
    assert len(code) <= 60


def test_a_vault_is_closed_before_strangers_look(folder: Path) -> None:
    """What a crash leaves in the write-ahead log is part of the catalog, as the document says."""
    vault: Vault = opened(folder)
    with vault:
        vault.record("noted", "", {})
        assert (folder / "catalog.db-wal").stat().st_size > 0
        assert list(read(Stranger(folder, PASSPHRASE.decode()))) == PAPERS
