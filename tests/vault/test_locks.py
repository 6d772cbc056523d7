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
from quietus.vault.header import Header, Lock, LockKind, header_of, read_header
from quietus.vault.keytext import key_from_text, key_text
from quietus.vault.locks import lock_name, new_header, new_lock, unlock
from tests.vault.make import CHEAP, PASSPHRASE


@pytest.fixture(scope="module")
def header() -> Header:
    return new_header(PASSPHRASE, CHEAP)[0]


def tree(header: Header) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(header.text())
    return found


def signed(changed: dict[str, Any]) -> bytes:
    """A header somebody edited and gave a fitting checksum, which needs no key."""
    body = {name: value for name, value in changed.items() if name != "checksum"}
    checksum = hashlib.sha256(json.dumps(body, separators=(",", ":")).encode()).hexdigest()
    return (json.dumps({**body, "checksum": checksum}, indent=2) + "\n").encode()


def test_a_header_comes_back_as_written_and_opens(header: Header) -> None:
    assert read_header(header.text().encode()) == header
    keys, lock = unlock(header, PASSPHRASE)
    assert (len(keys.root), keys.vault, lock) == (32, header.vault, header.locks[0])


def several(header: Header) -> tuple[Header, dict[bytes, Lock]]:
    """The header with a lock of each kind, and the secret of each."""
    keys, first = unlock(header, PASSPHRASE)
    made = {PASSPHRASE: first}
    for kind, secret in (
        (LockKind.PASSPHRASE, b"another passphrase"),
        (LockKind.RECOVERY, key_text(b"r" * 32).encode()),
        (LockKind.KEY_FILE, key_text(b"f" * 32).encode()),
    ):
        made[secret] = new_lock(keys, 1, kind, secret, name=kind.value, cost=CHEAP)
    return header_of(keys, 1, tuple(made.values())), made


def test_any_of_several_locks_opens(header: Header) -> None:
    both, made = several(header)
    assert read_header(both.text().encode()) == both
    keys, _ = unlock(header, PASSPHRASE)
    for secret, lock in made.items():
        assert unlock(both, secret) == (keys, lock)
    assert [lock_name(keys, lock) for lock in both.locks] == ["", "passphrase", "recovery", "key-file"]
    assert len({len(lock.name) for lock in both.locks}) == 1  # not even the length of a name shows


def test_a_recovery_key_may_be_typed_carelessly_but_not_wrongly(header: Header) -> None:
    both, _ = several(header)
    text = key_text(b"r" * 32)
    careless = text.lower().replace("-", " ").replace("o", "0").replace("i", "1").replace("b", "8")
    assert unlock(both, careless.encode())[1].kind is LockKind.RECOVERY
    letter = "A" if text[0] != "A" else "C"
    for wrong in (letter + text[1:], text[:-1], text + "A", text[5:] + text[:5]):
        with pytest.raises(WrongKey):
            unlock(both, wrong.encode())


@pytest.mark.parametrize("secret", [bytes(32), b"\xff" * 32, bytes(range(32))])
def test_a_key_survives_being_text(secret: bytes) -> None:
    text = key_text(secret)
    assert len(text.replace("-", "")) == 56
    assert key_from_text(text.encode()) == secret


def test_what_looks_like_a_recovery_key_is_no_passphrase(header: Header) -> None:
    keys, _ = unlock(header, PASSPHRASE)
    with pytest.raises(Misuse):
        new_lock(keys, 1, LockKind.PASSPHRASE, key_text(b"r" * 32).encode(), name="x", cost=CHEAP)
    with pytest.raises(Misuse):
        new_lock(keys, 1, LockKind.RECOVERY, b"no key at all", name="x")
    with pytest.raises(Misuse):
        new_lock(keys, 1, LockKind.PASSPHRASE, b"phrase", name="x" * 65, cost=CHEAP)


def test_a_lock_of_a_former_root_key_does_not_pass_for_one_of_this(header: Header) -> None:
    with pytest.raises(WrongKey):
        unlock(replace(header, round=2), PASSPHRASE)


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
        ("name", "00" * 91),
        ("kind", "recovery"),
    ],
)
def test_a_lock_out_of_bounds_is_refused_before_it_is_tried(
    header: Header, monkeypatch: pytest.MonkeyPatch, name: str, value: object
) -> None:
    changed = tree(header)
    changed["locks"][0][name] = value
    monkeypatch.setattr(locks, "stretch", lambda *_: pytest.fail("tried"))
    with pytest.raises(Damaged):
        read_header(signed(changed))


@pytest.mark.parametrize("value", [0, -1, 1.0, "1", True, 10**7, None])
def test_the_round_is_bounded_too(header: Header, value: object) -> None:
    with pytest.raises(Damaged):
        read_header(signed({**tree(header), "round": value}))


@pytest.mark.parametrize("number", [0, 65])
def test_there_is_at_least_one_lock_and_not_too_many(header: Header, number: int) -> None:
    changed = tree(header)
    changed["locks"] *= number
    with pytest.raises(Damaged):
        read_header(signed(changed))


@pytest.mark.parametrize(
    "change", [{"passes": 3}, {"memory_kib": 20 * 1024}, {"lanes": 2}, {"salt": "00" * 16}, {"id": "00" * 8}]
)
def test_a_lock_whose_parameters_were_changed_does_not_open(header: Header, change: dict[str, Any]) -> None:
    changed = tree(header)
    changed["locks"][0].update(change)
    with pytest.raises(WrongKey):
        unlock(read_header(signed(changed)), PASSPHRASE)


def test_a_lock_moved_to_another_vault_does_not_open(header: Header) -> None:
    with pytest.raises(WrongKey):
        unlock(replace(header, vault="00" * 16), PASSPHRASE)


def test_a_lock_slipped_in_beside_the_true_one_is_damage(header: Header) -> None:
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


def test_the_same_values_in_another_spelling_are_damage(header: Header) -> None:
    text = header.text().encode()
    for other in (text + b"\n", text.replace(b"  ", b" "), text.rstrip(), json.dumps(tree(header)).encode()):
        with pytest.raises(Damaged):
            read_header(other)
    upper = tree(header)
    upper["locks"][0]["salt"] = "AB" * 16
    with pytest.raises(Damaged):
        read_header(signed(upper))


def test_a_newer_format_is_named_as_such(header: Header) -> None:
    with pytest.raises(Misuse, match="newer"):
        read_header(signed({**tree(header), "format": 2}))


def test_no_vault_is_made_with_a_lock_that_is_too_cheap() -> None:
    with pytest.raises(Misuse):
        new_header(PASSPHRASE, Cost(1, 8, 1))


def test_two_vaults_share_nothing(header: Header, tmp_path: Path) -> None:
    other = new_header(PASSPHRASE, CHEAP)[0]
    mine, theirs = header.locks[0], other.locks[0]
    assert header.vault != other.vault
    assert not {mine.id, mine.salt, mine.nonce, mine.wrapped} & {theirs.id, theirs.salt, theirs.nonce, theirs.wrapped}
    assert unlock(header, PASSPHRASE)[0].root != unlock(other, PASSPHRASE)[0].root
