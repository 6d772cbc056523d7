"""The header of a vault: its id, and the locks that each open its root key.

The header is read before anything is trusted, so everything in it is bounded first. It must be written exactly as
`Header.text` writes it: a second spelling of the same values counts as damage.
"""

import hashlib
import json
import re
import secrets
from dataclasses import dataclass
from typing import Any

from quietus.model.errors import Damaged, Misuse, WrongKey
from quietus.model.limits import DEFAULT_LIMITS
from quietus.vault.crypto import KEY_BYTES, NONCE_BYTES, TAG_BYTES, Cost, Keys, mac, same, seal, stretch, unseal

FORMAT = 1
HEADER_BYTES = 64 * 1024
MOST_LOCKS = 64
SALT_BYTES = 16

# Bounds of the cost of a guess. Below: OWASP's floor for Argon2id (19 MiB, 2 passes, 1 lane), so that a doctored
# header cannot make guessing cheap. Above: what an office machine can still do, so that it cannot be made to stall.
_LEAST = Cost(passes=2, memory_kib=19 * 1024, lanes=1)
_MOST = Cost(passes=64, memory_kib=4 * 1024 * 1024, lanes=64)

_HEX = re.compile(r"(?:[0-9a-f]{2})*")
_DAMAGED = "The header of the vault is not as it was written."
_REMEDY = "Put vault.json back from a backup of this vault."


@dataclass(frozen=True, slots=True)
class Lock:
    """One way to open the root key.

    Attributes:
        id: 16 hex digits.
        kind: `passphrase`.
        cost: Argon2id parameters.
        salt: 16 random bytes.
        nonce: 12 random bytes; the key they are used with is fresh, because the salt is.
        wrapped: the root key under AES-256-GCM with the stretched passphrase; 48 bytes.
    """

    id: str
    kind: str
    cost: Cost
    salt: bytes
    nonce: bytes
    wrapped: bytes


@dataclass(frozen=True, slots=True)
class Header:
    """What stands in vault.json.

    Attributes:
        vault: the vault's id, 32 hex digits.
        locks: at least one.
        code: HMAC-SHA256 of the rest under a key from the root key, hex.
    """

    vault: str
    locks: tuple[Lock, ...]
    code: str

    def text(self) -> str:
        """The file, whole."""
        body = {**_body(self.vault, self.locks), "code": self.code}
        return json.dumps({**body, "checksum": hashlib.sha256(_compact(body)).hexdigest()}, indent=2) + "\n"


def check_passphrase(passphrase: bytes) -> None:
    """Refuse a passphrase that is empty or longer than the limit.

    Raises:
        Misuse: it is.
    """
    most = DEFAULT_LIMITS.passphrase_bytes
    if not 0 < len(passphrase) <= most:
        raise Misuse(f"A passphrase has 1 to {most} bytes.", "Give a passphrase of that length.")


def new_header(passphrase: bytes, cost: Cost) -> tuple[Header, Keys]:
    """A new vault id, a new random root key, and the header that locks it with `passphrase`.

    Raises:
        Misuse: the passphrase or the cost is out of bounds.
    """
    check_passphrase(passphrase)
    if not _affordable(cost):
        raise Misuse("The cost of a guess is out of bounds.", "Use the default cost.")
    keys = Keys(root=secrets.token_bytes(KEY_BYTES), vault=secrets.token_hex(16))
    locks = (_new_lock(keys, passphrase, cost),)
    return Header(keys.vault, locks, _code(keys, locks)), keys


def unlock(header: Header, passphrase: bytes) -> tuple[Keys, Lock]:
    """Open the root key with the first lock that the passphrase fits.

    Raises:
        Misuse: the passphrase is out of bounds.
        WrongKey: no lock opens.
        Damaged: a lock opened, but the header was changed.
    """
    check_passphrase(passphrase)
    for lock in header.locks:
        key = stretch(passphrase, lock.salt, lock.cost)
        try:
            root = unseal(key, lock.nonce, lock.wrapped, _bound(header.vault, lock))
        except Damaged:
            continue
        keys = Keys(root, header.vault)
        if not same(header.code, _code(keys, header.locks)):
            raise Damaged(_DAMAGED, _REMEDY)
        return keys, lock
    raise WrongKey("The passphrase opens no lock of this vault.", "Check the passphrase and that this is the vault.")


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
        raise Damaged(_DAMAGED, _REMEDY) from error
    if not whole:
        raise Damaged(_DAMAGED, _REMEDY)
    if tree.get("format") != FORMAT:
        raise Misuse("The vault was written by a newer quietus.", "Open it with the quietus that wrote it, or newer.")
    try:
        header = _header(tree)
    except (ValueError, KeyError, TypeError) as error:
        raise Damaged(_DAMAGED, _REMEDY) from error
    if header.text().encode() != data:
        raise Damaged(_DAMAGED, _REMEDY)
    return header


def _new_lock(keys: Keys, passphrase: bytes, cost: Cost) -> Lock:
    lock = Lock(
        id=secrets.token_hex(8),
        kind="passphrase",
        cost=cost,
        salt=secrets.token_bytes(SALT_BYTES),
        nonce=secrets.token_bytes(NONCE_BYTES),
        wrapped=b"",
    )
    wrapped = seal(stretch(passphrase, lock.salt, cost), lock.nonce, keys.root, _bound(keys.vault, lock))
    return Lock(lock.id, lock.kind, lock.cost, lock.salt, lock.nonce, wrapped)


def _affordable(cost: Cost) -> bool:
    return (
        _LEAST.passes <= cost.passes <= _MOST.passes
        and _LEAST.memory_kib <= cost.memory_kib <= _MOST.memory_kib
        and _LEAST.lanes <= cost.lanes <= _MOST.lanes
    )


def _bound(vault: str, lock: Lock) -> bytes:
    """Associated data of a wrapped root key: everything else its lock says, so that no part can be changed alone."""
    tree = _lock_tree(lock)
    del tree["wrapped"]
    return _compact({"format": FORMAT, "vault": vault, **tree})


def _code(keys: Keys, locks: tuple[Lock, ...]) -> str:
    return mac(keys.subkey("header"), _compact(_body(keys.vault, locks)))


def _compact(tree: dict[str, Any]) -> bytes:
    return json.dumps(tree, separators=(",", ":")).encode()


def _body(vault: str, locks: tuple[Lock, ...]) -> dict[str, Any]:
    return {"format": FORMAT, "vault": vault, "locks": [_lock_tree(lock) for lock in locks]}


def _lock_tree(lock: Lock) -> dict[str, Any]:
    return {
        "id": lock.id,
        "kind": lock.kind,
        "passes": lock.cost.passes,
        "memory_kib": lock.cost.memory_kib,
        "lanes": lock.cost.lanes,
        "salt": lock.salt.hex(),
        "nonce": lock.nonce.hex(),
        "wrapped": lock.wrapped.hex(),
    }


def _header(tree: dict[str, Any]) -> Header:
    locks = tuple(_lock(entry) for entry in tree["locks"])
    if not 0 < len(locks) <= MOST_LOCKS:
        raise ValueError("number of locks")
    return Header(vault=_hex(tree["vault"], 16).hex(), locks=locks, code=_hex(tree["code"], 32).hex())


def _lock(tree: dict[str, Any]) -> Lock:
    cost = Cost(_whole(tree["passes"]), _whole(tree["memory_kib"]), _whole(tree["lanes"]))
    if tree["kind"] != "passphrase" or not _affordable(cost):
        raise ValueError("kind or cost")
    return Lock(
        id=_hex(tree["id"], 8).hex(),
        kind=tree["kind"],
        cost=cost,
        salt=_hex(tree["salt"], SALT_BYTES),
        nonce=_hex(tree["nonce"], NONCE_BYTES),
        wrapped=_hex(tree["wrapped"], KEY_BYTES + TAG_BYTES),
    )


def _whole(value: object) -> int:
    if type(value) is not int:
        raise ValueError("whole number")
    return value


def _hex(value: object, length: int) -> bytes:
    if not isinstance(value, str) or not _HEX.fullmatch(value) or len(value) != 2 * length:
        raise ValueError("hex digits")
    return bytes.fromhex(value)
