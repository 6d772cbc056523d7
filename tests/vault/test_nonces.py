"""No key and nonce ever meet twice, and no key is used more often than SP 800-38D allows."""

import base64
import io
import json
from pathlib import Path

import pytest

from quietus.model.errors import Damaged, Misuse
from quietus.vault import LockKind, add_lock, change_lock, journal, objects
from quietus.vault.crypto import seal
from quietus.vault.objects import CHUNK_BYTES, MOST_CHUNKS, open_paper, seal_paper
from tests.vault.make import CHEAP, file, opened

KEY, PAPER_ID = b"k" * 32, "ab" * 16


def test_the_ceilings_are_those_of_sp_800_38d() -> None:
    assert CHUNK_BYTES <= 2**36 - 32  # section 5.2.1.1: bytes in one call
    assert MOST_CHUNKS <= 2**32  # section 8.3: calls under one key
    assert 16 * journal.MOST_ENTRIES <= 2**32  # the same, for sixteen copies of a vault that each went on by themselves


def test_chunks_are_numbered_one_by_one_in_a_nonce_that_cannot_run_over(monkeypatch: pytest.MonkeyPatch) -> None:
    used: list[bytes] = []

    def noted(key: bytes, nonce: bytes, plain: bytes, bound: bytes) -> bytes:
        used.append(nonce)
        return seal(key, nonce, plain, bound)

    monkeypatch.setattr(objects, "seal", noted)
    monkeypatch.setattr(objects, "CHUNK_BYTES", 3)
    list(seal_paper(io.BytesIO(bytes(3000)), KEY, PAPER_ID))
    assert [int.from_bytes(nonce, "big") for nonce in used] == list(range(1000))
    assert {len(nonce) for nonce in used} == {12}
    assert MOST_CHUNKS < 2**96


def test_a_paper_stops_before_its_key_was_used_too_often(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = b"".join(seal_paper(io.BytesIO(bytes(3 * CHUNK_BYTES)), KEY, PAPER_ID))
    monkeypatch.setattr(objects, "MOST_CHUNKS", 2)
    with pytest.raises(Misuse):
        list(seal_paper(io.BytesIO(bytes(3 * CHUNK_BYTES)), KEY, PAPER_ID))
    with pytest.raises(Damaged):
        list(open_paper(io.BytesIO(whole), KEY, PAPER_ID))


def test_every_random_nonce_and_key_of_a_vault_is_another(folder: Path) -> None:
    seen: list[bytes] = []
    with opened(folder) as vault:
        lock = add_lock(vault, LockKind.PASSPHRASE, b"one", "ines", cost=CHEAP)
        for number in range(8):
            file(vault, b"%d" % number)
            change_lock(vault, lock.id, b"another %d" % number, cost=CHEAP)
            seen += [part for one in vault.store.header.locks[1:] for part in (one.salt, one.nonce, one.name[:12])]
    for line in (folder / "journal.log").read_text().splitlines():
        seen.append(base64.b64decode(json.loads(line)["sealed"])[:12])
    assert len(set(seen)) == len(seen) > 40
