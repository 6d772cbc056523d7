"""The header of a vault: its id, the round of its root key, and the locks that each open that key.

The header is read before anything is trusted, so everything in it is bounded first. It must be written exactly as
`Header.text` writes it: a second spelling of the same values counts as damage.
"""

import hashlib
import json
import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from quietus.model.errors import Damaged, Misuse
from quietus.vault.crypto import KEY_BYTES, NONCE_BYTES, TAG_BYTES, Cost, Keys, mac, same

FORMAT = 1
HEADER_BYTES = 128 * 1024
MOST_LOCKS = 64
MOST_ROUNDS = 1_000_000
SALT_BYTES = 16
NAME_BYTES = 64
"""A lock's name, padded: its length does not show."""

# Bounds of the cost of a guess. Below: OWASP's floor for Argon2id (19 MiB, 2 passes, 1 lane), so that a doctored
# header cannot make guessing cheap. Above: what an office machine can still do, so that it cannot be made to stall.
_LEAST = Cost(passes=2, memory_kib=19 * 1024, lanes=1)
_MOST = Cost(passes=64, memory_kib=4 * 1024 * 1024, lanes=64)

_HEX = re.compile(r"(?:[0-9a-f]{2})*")
DAMAGED = "The header of the vault is not as it was written."
REMEDY = "Put vault.json back from a backup of this vault."


class LockKind(StrEnum):
    """What opens a lock."""

    PASSPHRASE = "passphrase"  # noqa: S105 - the name of a kind
    RECOVERY = "recovery"
    KEY_FILE = "key-file"


@dataclass(frozen=True, slots=True)
class Lock:
    """One way to open the root key.

    Attributes:
        id: 16 hex digits.
        kind: what opens it.
        cost: Argon2id parameters of a passphrase; None for the others, whose secret is 32 random bytes.
        name: whose it is, sealed under a key from the root key; 92 bytes.
        salt: 16 random bytes, fresh each time the root key is wrapped.
        nonce: 12 random bytes; the key they are used with is fresh, because the salt is.
        wrapped: the root key under AES-256-GCM; 48 bytes.
    """

    id: str
    kind: LockKind
    cost: Cost | None
    name: bytes
    salt: bytes
    nonce: bytes
    wrapped: bytes


@dataclass(frozen=True, slots=True)
class Header:
    """What stands in vault.json.

    Attributes:
        vault: the vault's id, 32 hex digits.
        round: number of the root key: 1, and one more each time it is renewed.
        locks: at least one.
        code: HMAC-SHA256 of the rest under a key from the root key, hex.
    """

    vault: str
    round: int
    locks: tuple[Lock, ...]
    code: str

    def text(self) -> str:
        """The file, whole."""
        body = {**_body(self.vault, self.round, self.locks), "code": self.code}
        return json.dumps({**body, "checksum": hashlib.sha256(_compact(body)).hexdigest()}, indent=2) + "\n"

    def genuine(self, keys: Keys) -> bool:
        """Whether the holder of the root key wrote it."""
        return same(self.code, _code(keys, self.round, self.locks))

    def lock(self, lock_id: str) -> Lock:
        """The lock with this id.

        Raises:
            Misuse: there is none.
        """
        found = next((lock for lock in self.locks if lock.id == lock_id), None)
        if found is None:
            raise Misuse("The vault has no such lock.", "List the locks with `quietus lock list`.")
        return found


def header_of(keys: Keys, number: int, locks: tuple[Lock, ...]) -> Header:
    """The header for these locks, authenticated.

    Raises:
        Misuse: there is no lock, or there are too many.
    """
    if not 0 < len(locks) <= MOST_LOCKS:
        raise Misuse(f"A vault has 1 to {MOST_LOCKS} locks.", "Remove one first, or add one.")
    return Header(keys.vault, number, locks, _code(keys, number, locks))


def bound(vault: str, number: int, lock: Lock) -> bytes:
    """Associated data of a wrapped root key: everything else its lock says, so that no part can be changed alone."""
    tree = _lock_tree(lock)
    del tree["wrapped"]
    return _compact({"format": FORMAT, "vault": vault, "round": number, **tree})


def affordable(cost: Cost) -> bool:
    """Whether the cost of a guess is within its bounds."""
    return (
        _LEAST.passes <= cost.passes <= _MOST.passes
        and _LEAST.memory_kib <= cost.memory_kib <= _MOST.memory_kib
        and _LEAST.lanes <= cost.lanes <= _MOST.lanes
    )


def read_header(data: bytes) -> Header:
    """The header in `data`, bounded and spelled as written; its authenticity shows only when a lock opens.

    Raises:
        Damaged: the checksum fails, or something is missing, misspelled or out of bounds.
        Misuse: it was written by a newer quietus.
    """
    try:
        tree = json.loads(data)
        checksum = tree.pop("checksum")
        whole = same(checksum, hashlib.sha256(_compact(tree)).hexdigest())
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise Damaged(DAMAGED, REMEDY) from error
    if not whole:
        raise Damaged(DAMAGED, REMEDY)
    if tree.get("format") != FORMAT:
        raise Misuse("The vault was written by a newer quietus.", "Open it with the quietus that wrote it, or newer.")
    try:
        header = _header(tree)
    except (ValueError, KeyError, TypeError) as error:
        raise Damaged(DAMAGED, REMEDY) from error
    if header.text().encode() != data:
        raise Damaged(DAMAGED, REMEDY)
    return header


def _code(keys: Keys, number: int, locks: tuple[Lock, ...]) -> str:
    return mac(keys.subkey("header"), _compact(_body(keys.vault, number, locks)))


def _compact(tree: dict[str, Any]) -> bytes:
    return json.dumps(tree, separators=(",", ":")).encode()


def _body(vault: str, number: int, locks: tuple[Lock, ...]) -> dict[str, Any]:
    return {"format": FORMAT, "vault": vault, "round": number, "locks": [_lock_tree(lock) for lock in locks]}


def _lock_tree(lock: Lock) -> dict[str, Any]:
    cost = lock.cost
    return {
        "id": lock.id,
        "kind": lock.kind.value,
        **({"passes": cost.passes, "memory_kib": cost.memory_kib, "lanes": cost.lanes} if cost else {}),
        "name": lock.name.hex(),
        "salt": lock.salt.hex(),
        "nonce": lock.nonce.hex(),
        "wrapped": lock.wrapped.hex(),
    }


def _header(tree: dict[str, Any]) -> Header:
    locks = tuple(_lock(entry) for entry in tree["locks"])
    number = _whole(tree["round"])
    if not (0 < len(locks) <= MOST_LOCKS and 0 < number <= MOST_ROUNDS):
        raise ValueError("number of locks or round")
    return Header(vault=_hex(tree["vault"], 16).hex(), round=number, locks=locks, code=_hex(tree["code"], 32).hex())


def _lock(tree: dict[str, Any]) -> Lock:
    kind = LockKind(tree["kind"])
    return Lock(
        id=_hex(tree["id"], 8).hex(),
        kind=kind,
        cost=_cost(tree) if kind is LockKind.PASSPHRASE else None,
        name=_hex(tree["name"], NONCE_BYTES + NAME_BYTES + TAG_BYTES),
        salt=_hex(tree["salt"], SALT_BYTES),
        nonce=_hex(tree["nonce"], NONCE_BYTES),
        wrapped=_hex(tree["wrapped"], KEY_BYTES + TAG_BYTES),
    )


def _cost(tree: dict[str, Any]) -> Cost:
    cost = Cost(_whole(tree["passes"]), _whole(tree["memory_kib"]), _whole(tree["lanes"]))
    if not affordable(cost):
        raise ValueError("cost")
    return cost


def _whole(value: object) -> int:
    if type(value) is not int:
        raise ValueError("whole number")
    return value


def _hex(value: object, length: int) -> bytes:
    if not isinstance(value, str) or not _HEX.fullmatch(value) or len(value) != 2 * length:
        raise ValueError("hex digits")
    return bytes.fromhex(value)
