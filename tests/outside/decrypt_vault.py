"""Reads a vault by docs/vault-format.md alone: ordinary libraries, nothing of quietus, sixty lines."""

import base64
import hashlib
import hmac
import json
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.keywrap import aes_key_unwrap
from sqlcipher3 import dbapi2


def compact(tree: Any) -> bytes:
    return json.dumps(tree, separators=(",", ":")).encode()


class Stranger:
    def __init__(self, folder: Path, secret: str) -> None:
        self.folder, self.header = folder, json.loads((folder / "vault.json").read_text())
        self.root = next(filter(None, (self.opened(dict(lock), secret) for lock in self.header["locks"])))
        body = {name: self.header[name] for name in ("format", "vault", "round", "locks")}
        code = hmac.new(self.subkey("header"), compact(body), hashlib.sha256).hexdigest()
        checksum = hashlib.sha256(compact({**body, "code": code})).hexdigest()
        assert (code, checksum) == (self.header["code"], self.header["checksum"])
        name = "catalog.db" if self.header["round"] == 1 else f"catalog-{self.header['round']}.db"
        self.catalog = dbapi2.connect(str(folder / name))
        self.catalog.execute(f"PRAGMA key = \"x'{self.subkey('catalog').hex()}'\"")
        self.catalog.execute("PRAGMA cipher_compatibility = 4")

    def opened(self, lock: dict[str, Any], secret: str) -> bytes | None:
        salt, wrapped, nonce = bytes.fromhex(lock["salt"]), bytes.fromhex(lock.pop("wrapped")), lock["nonce"]
        if lock["kind"] == "passphrase":
            cost = {"iterations": lock["passes"], "memory_cost": lock["memory_kib"], "lanes": lock["lanes"]}
            key = Argon2id(salt=salt, length=32, **cost).derive(secret.encode())
        elif len(letters := secret.replace("-", "").strip()) == 56:
            key = HKDF(SHA256(), 32, salt, b"quietus 1 lock").derive(base64.b32decode(letters[:52] + "===="))
        else:
            return None
        bound = {"format": 1, "vault": self.header["vault"], "round": self.header["round"], **lock}
        try:
            return AESGCM(key).decrypt(bytes.fromhex(nonce), wrapped, compact(bound))
        except InvalidTag:
            return None

    def subkey(self, purpose: str, about: str = "") -> bytes:
        info = b"quietus 1 " + purpose.encode() + b"\0" + about.encode()
        return HKDF(SHA256(), 32, bytes.fromhex(self.header["vault"]), info).derive(self.root)

    def paper(self, paper_id: str, wrapped: bytes) -> bytes:
        key, plain = AESGCM(aes_key_unwrap(self.subkey("wrapping", paper_id), wrapped)), b""
        data = (self.folder / "objects" / paper_id[:2] / paper_id).read_bytes()
        pieces = [data[at : at + 2**20 + 16] for at in range(8, len(data), 2**20 + 16)]
        for number, piece in enumerate(pieces):
            place = number.to_bytes(8, "big") + bytes([number == len(pieces) - 1])
            plain += key.decrypt(number.to_bytes(12, "big"), piece, data[:8] + bytes.fromhex(paper_id) + place)
        return plain

    def journal(self, line: bytes) -> Any:
        shown = json.loads(line)
        query = "SELECT journal FROM former_roots WHERE last >= ? ORDER BY last"
        former = self.catalog.execute(query, (shown["number"],)).fetchone()
        bound = "\0".join(["quietus journal 1", self.header["vault"], str(shown["number"]), shown["at"]])
        sealed = base64.b64decode(shown["sealed"])
        key = AESGCM(former[0] if former else self.subkey("journal"))
        return json.loads(key.decrypt(sealed[:12], sealed[12:], bound.encode()))
