"""The vault's cryptography, each primitive behind one function that the outside checks call with published vectors.

Nothing here is invented: HKDF (RFC 5869), Argon2id (RFC 9106), AES key wrap (RFC 3394), AES-256-GCM (NIST SP 800-38D),
Ed25519 (RFC 8032).
"""

import hashlib
import hmac
from dataclasses import dataclass

from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.keywrap import InvalidUnwrap, aes_key_unwrap, aes_key_wrap

from quietus.model.errors import Damaged

KEY_BYTES = 32
NONCE_BYTES = 12
TAG_BYTES = 16

_RESTORE = "Run `quietus check`, and take the vault from a backup if it confirms the damage."


@dataclass(frozen=True, slots=True)
class Cost:
    """What one guess at a passphrase costs (RFC 9106 section 3.1).

    Attributes:
        passes: number of passes, t.
        memory_kib: memory in KiB, m.
        lanes: parallel lanes, p.
    """

    passes: int
    memory_kib: int
    lanes: int


DEFAULT_COST = Cost(passes=3, memory_kib=64 * 1024, lanes=4)
"""The second recommended option of RFC 9106 section 4."""


@dataclass(frozen=True, slots=True, repr=False)
class Keys:
    """The root key of a vault and what is derived from it. Its repr shows no key.

    Attributes:
        root: 32 random bytes.
        vault: the vault's id, 32 hex digits; salts every derivation.
    """

    root: bytes
    vault: str

    def subkey(self, purpose: str, about: str = "") -> bytes:
        """The 32-byte key for one purpose, such as `catalog`; keys of different purposes tell nothing of each other."""
        return hkdf(self.root, salt=bytes.fromhex(self.vault), info=f"quietus 1 {purpose}\0{about}".encode())


def hkdf(secret: bytes, *, salt: bytes, info: bytes, length: int = KEY_BYTES) -> bytes:
    """HKDF-SHA256 (RFC 5869): extract and expand."""
    return HKDF(SHA256(), length, salt, info).derive(secret)


def stretch(
    passphrase: bytes, salt: bytes, cost: Cost, *, secret: bytes | None = None, ad: bytes | None = None
) -> bytes:
    """Argon2id (RFC 9106), version 0x13, 32 bytes out. The caller has bounded `cost`."""
    derivation = Argon2id(
        salt=salt,
        length=KEY_BYTES,
        iterations=cost.passes,
        lanes=cost.lanes,
        memory_cost=cost.memory_kib,
        ad=ad,
        secret=secret,
    )
    return derivation.derive(passphrase)


def seal(key: bytes, nonce: bytes, plain: bytes, bound: bytes) -> bytes:
    """AES-GCM (SP 800-38D), 96-bit nonce: ciphertext with the 128-bit tag at its end.

    The caller answers for the nonce: never twice under one key.

    Args:
        key: 32 bytes in this vault; 16 and 24 work too.
        nonce: 12 bytes.
        plain: what to seal.
        bound: associated data, not sealed but authenticated.
    """
    return AESGCM(key).encrypt(nonce, plain, bound)


def unseal(key: bytes, nonce: bytes, sealed: bytes, bound: bytes) -> bytes:
    """Inverse of `seal`; nothing comes out before the tag is verified.

    Raises:
        Damaged: the tag does not verify: another key, nonce or associated data, or a changed bit.
    """
    try:
        return AESGCM(key).decrypt(nonce, sealed, bound)
    except (InvalidTag, ValueError) as error:
        raise Damaged("A sealed part of the vault is not as it was written.", _RESTORE) from error


def wrap(key: bytes, data_key: bytes) -> bytes:
    """AES key wrap (RFC 3394) of `data_key` under `key`; 8 bytes longer. Needs no nonce."""
    return aes_key_wrap(key, data_key)


def unwrap(key: bytes, wrapped: bytes) -> bytes:
    """Inverse of `wrap`.

    Raises:
        Damaged: the integrity check of RFC 3394 fails.
    """
    try:
        return aes_key_unwrap(key, wrapped)
    except (InvalidUnwrap, ValueError) as error:
        raise Damaged("A wrapped key of the vault is not as it was written.", _RESTORE) from error


def mac(key: bytes, data: bytes) -> str:
    """HMAC-SHA256 (RFC 2104), hex."""
    return hmac.new(key, data, hashlib.sha256).hexdigest()


def same(left: str, right: str) -> bool:
    """Whether two authentication codes in hex are equal, in constant time."""
    return hmac.compare_digest(left.encode(), right.encode())


def sign(seed: bytes, message: bytes) -> bytes:
    """Ed25519 (RFC 8032): 64 bytes. `seed` is the 32-byte private key."""
    return Ed25519PrivateKey.from_private_bytes(seed).sign(message)


def signer(seed: bytes) -> bytes:
    """The 32-byte Ed25519 public key of a private one."""
    return Ed25519PrivateKey.from_private_bytes(seed).public_key().public_bytes_raw()


def signed(key: bytes, message: bytes, signature: bytes) -> bool:
    """Whether `signature` is that of `message` under the Ed25519 public key `key`."""
    try:
        Ed25519PublicKey.from_public_bytes(key).verify(signature, message)
    except (InvalidSignature, ValueError):
        return False
    return True
