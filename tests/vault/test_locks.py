"""The header is bounded before use, authenticated, and written in one way only."""

import hashlib
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from quietus.model.errors import Damaged, Misuse, WrongKey
from quietus.vault import locks
from quietus.vault.crypto import Cost
from quietus.vault.locks import new_header, read_header, unlock
from tests.vault.make import CHEAP, PASSPHRASE


@pytest.fixture(scope="module")
def header() -> locks.Header:
    return new_header(PASSPHRASE, CHEAP)[0]


def tree(header: locks.Header) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(header.text())
    return found


def signed(changed: dict[str, Any]) -> bytes:
    """A header somebody edited and gave a fitting checksum, which needs no key."""
    body = {name: value for name, value in changed.items() if name != "checksum"}
    checksum = hashlib.sha256(json.dumps(body, separators=(",", ":")).encode()).hexdigest()
    return (json.dumps({**body, "checksum": checksum}, indent=2) + "\n").encode()


def test_a_header_comes_back_as_written_and_opens(header: locks.Header) -> None:
    assert read_header(header.text().encode()) == header
    keys, lock = unlock(header, PASSPHRASE)
    assert (len(keys.root), keys.vault, lock) == (32, header.vault, header.locks[0])


def test_any_of_several_locks_opens(header: locks.Header) -> None:
    keys, _ = unlock(header, PASSPHRASE)
    both = (header.locks[0], locks._new_lock(keys, b"another passphrase", CHEAP))
    twice = locks.Header(header.vault, both, locks._code(keys, both))
    assert read_header(twice.text().encode()) == twice
    for phrase, lock in zip((PASSPHRASE, b"another passphrase"), both, strict=True):
        assert unlock(twice, phrase) == (keys, lock)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("passes", 1),
        ("passes", 65),
        ("passes", 10**18),
        ("passes", True),
        ("passes", 2.0),
        ("memory_kib", 8),
        ("memory_kib", 19 * 1024 - 1),
        ("memory_kib", 2**30),
        ("lanes", 0),
        ("lanes", 65),
        ("lanes", -1),
        ("lanes", "4"),
        ("kind", "nothing"),
        ("id", "xy"),
        ("salt", "00"),
        ("nonce", "00" * 13),
        ("wrapped", "00" * 47),
        ("wrapped", None),
    ],
)
def test_a_lock_out_of_bounds_is_refused_before_it_is_tried(
    header: locks.Header, monkeypatch: pytest.MonkeyPatch, name: str, value: object
) -> None:
    changed = tree(header)
    changed["locks"][0][name] = value
    monkeypatch.setattr(locks, "stretch", lambda *_: pytest.fail("tried"))
    with pytest.raises(Damaged):
        read_header(signed(changed))


@pytest.mark.parametrize("number", [0, 65])
def test_there_is_at_least_one_lock_and_not_too_many(header: locks.Header, number: int) -> None:
    changed = tree(header)
    changed["locks"] *= number
    with pytest.raises(Damaged):
        read_header(signed(changed))


@pytest.mark.parametrize(
    "change", [{"passes": 3}, {"memory_kib": 20 * 1024}, {"lanes": 2}, {"salt": "00" * 16}, {"id": "00" * 8}]
)
def test_a_lock_whose_parameters_were_changed_does_not_open(header: locks.Header, change: dict[str, Any]) -> None:
    changed = tree(header)
    changed["locks"][0].update(change)
    with pytest.raises(WrongKey):
        unlock(read_header(signed(changed)), PASSPHRASE)


def test_a_lock_moved_to_another_vault_does_not_open(header: locks.Header) -> None:
    with pytest.raises(WrongKey):
        unlock(replace(header, vault="00" * 16), PASSPHRASE)


def test_a_lock_slipped_in_beside_the_true_one_is_damage(header: locks.Header) -> None:
    stranger = new_header(b"mine", CHEAP)[0].locks[0]
    with pytest.raises(Damaged):
        unlock(replace(header, locks=(*header.locks, stranger)), PASSPHRASE)


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"{}",
        b"[]",
        b"null",
        b'"text"',
        b"\xff",
        b"[" * 60000,
        b'{"checksum": 1}',
        b'{"checksum": "\xc3\xa9"}',
    ],
)
def test_what_is_no_header_is_damage(text: bytes) -> None:
    with pytest.raises(Damaged):
        read_header(text)


def test_the_same_values_in_another_spelling_are_damage(header: locks.Header) -> None:
    text = header.text().encode()
    for other in (text + b"\n", text.replace(b"  ", b" "), text.rstrip(), json.dumps(tree(header)).encode()):
        with pytest.raises(Damaged):
            read_header(other)
    upper = tree(header)
    upper["locks"][0]["salt"] = "AB" * 16
    with pytest.raises(Damaged):
        read_header(signed(upper))


def test_a_newer_format_is_named_as_such(header: locks.Header) -> None:
    with pytest.raises(Misuse, match="newer"):
        read_header(signed({**tree(header), "format": 2}))


def test_no_vault_is_made_with_a_lock_that_is_too_cheap() -> None:
    with pytest.raises(Misuse):
        new_header(PASSPHRASE, Cost(1, 8, 1))


def test_two_vaults_share_nothing(header: locks.Header, tmp_path: Path) -> None:
    other = new_header(PASSPHRASE, CHEAP)[0]
    mine, theirs = header.locks[0], other.locks[0]
    assert header.vault != other.vault
    assert not {mine.id, mine.salt, mine.nonce, mine.wrapped} & {theirs.id, theirs.salt, theirs.nonce, theirs.wrapped}
    assert unlock(header, PASSPHRASE)[0].root != unlock(other, PASSPHRASE)[0].root
