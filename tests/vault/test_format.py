"""A stranger with the passphrase, docs/vault-format.md and ordinary libraries can read a vault without quietus.

`Stranger` uses nothing of quietus: it follows the document, section by section.
"""

import base64
import hashlib
import hmac
import json
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.keywrap import aes_key_unwrap
from sqlcipher3 import dbapi2

from quietus.vault import journal
from tests.vault.make import ENTITY, PASSPHRASE, file, made, opened

PAPERS = [b"", b"short", bytes(range(256)) * 4096 * 2, b"x" * (2**20 + 1)]


class Stranger:
    def __init__(self, folder: Path, passphrase: bytes) -> None:
        # "The locks" and "Keys"
        self.folder = folder
        self.header: dict[str, Any] = json.loads((folder / "vault.json").read_text())
        lock = dict(self.header["locks"][0])
        stretch = Argon2id(
            salt=bytes.fromhex(lock["salt"]),
            length=32,
            iterations=lock["passes"],
            lanes=lock["lanes"],
            memory_cost=lock["memory_kib"],
        )
        wrapped, nonce = bytes.fromhex(lock.pop("wrapped")), bytes.fromhex(lock["nonce"])
        bound = compact({"format": 1, "vault": self.header["vault"], **lock})
        self.root = AESGCM(stretch.derive(passphrase)).decrypt(nonce, wrapped, bound)

    def subkey(self, purpose: str, about: str = "") -> bytes:
        info = b"quietus 1 " + purpose.encode() + b"\0" + about.encode()
        return HKDF(SHA256(), 32, bytes.fromhex(self.header["vault"]), info).derive(self.root)

    def header_is_genuine(self) -> bool:
        body = {name: self.header[name] for name in ("format", "vault", "locks")}
        code = hmac.new(self.subkey("header"), compact(body), hashlib.sha256).hexdigest()
        checksum = hashlib.sha256(compact({**body, "code": code})).hexdigest()
        return (code, checksum) == (self.header["code"], self.header["checksum"])

    def catalog(self) -> Any:
        connection = dbapi2.connect(str(self.folder / "catalog.db"))
        connection.execute(f"PRAGMA key = \"x'{self.subkey('catalog').hex()}'\"")
        connection.execute("PRAGMA cipher_compatibility = 4")
        return connection

    def paper(self, paper_id: str, wrapped: bytes) -> bytes:
        key = aes_key_unwrap(self.subkey("wrapping", paper_id), wrapped)
        data = (self.folder / "objects" / paper_id[:2] / paper_id).read_bytes()
        magic, body = data[:8], data[8:]
        assert magic == b"QUIETUS\x01"
        plain, step = b"", 2**20 + 16
        pieces = [body[at : at + step] for at in range(0, len(body), step)]
        for number, piece in enumerate(pieces):
            last = bytes([number == len(pieces) - 1])
            bound = magic + bytes.fromhex(paper_id) + number.to_bytes(8, "big") + last
            plain += AESGCM(key).decrypt(number.to_bytes(12, "big"), piece, bound)
        return plain

    def journal(self, lines: list[str]) -> list[dict[str, Any]]:
        key, vault = AESGCM(self.subkey("journal")), self.header["vault"]
        previous, said = hashlib.sha256(f"quietus journal 1 {vault}".encode()).hexdigest(), []
        for number, text in enumerate(lines, start=1):
            line = json.loads(text)
            assert (line["number"], line["previous"]) == (number, previous)
            sealed = base64.b64decode(line["sealed"])
            bound = "\0".join(["quietus journal 1", vault, str(number), line["at"], previous]).encode()
            said.append(json.loads(key.decrypt(sealed[:12], sealed[12:], bound)))
            previous = hashlib.sha256(text.encode()).hexdigest()
        return said


def compact(tree: dict[str, Any]) -> bytes:
    return json.dumps(tree, separators=(",", ":")).encode()


def test_a_stranger_reads_every_paper_row_and_journal_line(tmp_path: Path, monkeypatch: Any) -> None:
    monkeypatch.setattr(journal, "MARK_EVERY", 4)
    folder = made(tmp_path / "vault")
    with opened(folder) as vault:
        papers = {file(vault, data).id: data for data in PAPERS}
    stranger = Stranger(folder, PASSPHRASE)
    assert stranger.header_is_genuine()
    catalog = stranger.catalog()
    rows = catalog.execute("SELECT id, sha256, wrapped FROM papers JOIN data_keys ON paper = id").fetchall()
    assert {row[0]: stranger.paper(row[0], row[2]) for row in rows} == papers
    assert all(hashlib.sha256(papers[row[0]]).hexdigest() == row[1] for row in rows)
    assert json.loads(catalog.execute("SELECT body FROM entities").fetchone()[0])["name"] == ENTITY.name
    text = (folder / "journal.log").read_text()
    said = stranger.journal(text.splitlines())
    assert [entry["action"] for entry in said] == ["vault-created", "entity-put", *["paper-filed"] * 4]
    assert "".join(row[0] for row in catalog.execute("SELECT line FROM journal ORDER BY number")) == text
    number, end, digest = catalog.execute('SELECT number, "end", sha256 FROM journal_marks').fetchone()
    assert (number, digest) == (4, hashlib.sha256(text.encode()[:end]).hexdigest())
    catalog.close()


def test_every_table_and_column_stands_in_the_document(folder: Path) -> None:
    document = (Path(__file__).parents[2] / "docs" / "vault-format.md").read_text()
    catalog = Stranger(folder, PASSPHRASE).catalog()
    for (table,) in catalog.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall():
        assert f"`{table}`" in document
        for column in catalog.execute(f"PRAGMA table_info({table})").fetchall():
            assert f"`{column[1]}`" in document, f"{table}.{column[1]}"
    catalog.close()
