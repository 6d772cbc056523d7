"""Making locks and opening them: a passphrase, a printed recovery key or a key file each open the root key."""

import secrets
from dataclasses import replace

from quietus.model.errors import Damaged, Misuse, WrongKey
from quietus.model.limits import DEFAULT_LIMITS
from quietus.vault.crypto import DEFAULT_COST, KEY_BYTES, NONCE_BYTES, Cost, Keys, hkdf, seal, stretch, unseal
from quietus.vault.header import (
    DAMAGED,
    NAME_BYTES,
    REMEDY,
    SALT_BYTES,
    Header,
    Lock,
    LockKind,
    affordable,
    bound,
    header_of,
)
from quietus.vault.keytext import key_from_text

_LOCK_INFO = b"quietus 1 lock"


def check_passphrase(passphrase: bytes) -> None:
    """Refuse a passphrase that is empty or longer than the limit.

    Raises:
        Misuse: it is.
    """
    most = DEFAULT_LIMITS.passphrase_bytes
    if not 0 < len(passphrase) <= most:
        raise Misuse(f"A passphrase has 1 to {most} bytes.", "Give a passphrase of that length.")


def new_header(passphrase: bytes, cost: Cost, name: str = "") -> tuple[Header, Keys]:
    """A new vault id, a new random root key, and the header that locks it with `passphrase`.

    Raises:
        Misuse: the passphrase or the cost is out of bounds.
    """
    keys = Keys(root=secrets.token_bytes(KEY_BYTES), vault=secrets.token_hex(16))
    lock = new_lock(keys, 1, LockKind.PASSPHRASE, passphrase, name=name, cost=cost)
    return header_of(keys, 1, (lock,)), keys


def new_lock(
    keys: Keys,
    number: int,
    kind: LockKind,
    secret: bytes,
    *,
    name: str,
    cost: Cost = DEFAULT_COST,
    lock_id: str = "",
) -> Lock:
    """A lock that `secret` opens.

    Args:
        keys: holds the root key to wrap.
        number: round of the root key.
        kind: what `secret` is.
        secret: a passphrase, or the text of a recovery key or key file.
        name: whose lock it is; at most 64 bytes.
        cost: Argon2id parameters; only for a passphrase.
        lock_id: 16 hex digits; made when empty.

    Raises:
        Misuse: name, secret or cost is out of bounds.
    """
    of_passphrase = kind is LockKind.PASSPHRASE
    check_passphrase(secret)
    if of_passphrase and key_from_text(secret) is not None:
        raise Misuse("That is a recovery key, not a passphrase.", "Choose words of your own.")
    if of_passphrase and not affordable(cost):
        raise Misuse("The cost of a guess is out of bounds.", "Use the default cost.")
    lock_id = lock_id or secrets.token_hex(8)
    lock = Lock(
        id=lock_id,
        kind=kind,
        cost=cost if of_passphrase else None,
        name=_seal_name(keys, lock_id, name),
        salt=secrets.token_bytes(SALT_BYTES),
        nonce=secrets.token_bytes(NONCE_BYTES),
        wrapped=b"",
    )
    return replace(lock, wrapped=seal(_key(lock, secret), lock.nonce, keys.root, bound(keys.vault, number, lock)))


def lock_name(keys: Keys, lock: Lock) -> str:
    """Whose lock it is.

    Raises:
        Damaged: it was changed.
    """
    nonce, sealed = lock.name[:NONCE_BYTES], lock.name[NONCE_BYTES:]
    padded = unseal(keys.subkey("name", lock.id), nonce, sealed, bytes.fromhex(keys.vault))
    return padded.rstrip(b"\0").decode("utf-8", "replace")


def unlock(header: Header, secret: bytes) -> tuple[Keys, Lock]:
    """Open the root key with the first lock that the secret fits.

    Raises:
        Misuse: the secret is out of bounds.
        WrongKey: no lock opens.
        Damaged: a lock opened, but the header was changed.
    """
    check_passphrase(secret)
    for lock in header.locks:
        root = open_lock(header, lock, secret)
        if root is None:
            continue
        keys = Keys(root, header.vault)
        if not header.genuine(keys):
            raise Damaged(DAMAGED, REMEDY)
        return keys, lock
    raise WrongKey(
        "That opens no lock of this vault.",
        "Check the passphrase, or the recovery key letter by letter, and that this is the vault.",
    )


def open_lock(header: Header, lock: Lock, secret: bytes) -> bytes | None:
    """The root key, when the secret opens this lock; else None."""
    is_key = key_from_text(secret) is not None
    if is_key is (lock.kind is LockKind.PASSPHRASE):
        return None
    try:
        return unseal(_key(lock, secret), lock.nonce, lock.wrapped, bound(header.vault, header.round, lock))
    except Damaged:
        return None


def _key(lock: Lock, secret: bytes) -> bytes:
    if lock.cost is not None:
        return stretch(secret, lock.salt, lock.cost)
    random = key_from_text(secret)
    if random is None:
        raise Misuse("That is no recovery key and no key file.", "Give it as it was printed, all 56 characters.")
    return hkdf(random, salt=lock.salt, info=_LOCK_INFO)  # 256 random bits need no stretching


def _seal_name(keys: Keys, lock_id: str, name: str) -> bytes:
    padded = name.encode()[: NAME_BYTES + 1].ljust(NAME_BYTES, b"\0")
    if len(padded) > NAME_BYTES:
        raise Misuse(f"The name of a lock has at most {NAME_BYTES} bytes.", "Give a shorter one.")
    nonce = secrets.token_bytes(NONCE_BYTES)
    return nonce + seal(keys.subkey("name", lock_id), nonce, padded, bytes.fromhex(keys.vault))
