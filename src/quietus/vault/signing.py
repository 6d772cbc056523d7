"""Statements that the vault signs and strangers can check: Ed25519 (RFC 8032) over a file as it is."""

import base64
from dataclasses import dataclass

from quietus.vault.checkpoint import known_signers
from quietus.vault.crypto import sign, signed, signer
from quietus.vault.vault import Vault

_SPKI = bytes.fromhex("302a300506032b6570032100")
"""How a SubjectPublicKeyInfo of an Ed25519 key begins (RFC 8410 section 4); the 32 bytes of the key follow."""


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature of the vault.

    Attributes:
        key: public key, 64 hex digits.
        value: 128 hex digits.
    """

    key: str
    value: str

    @property
    def pem(self) -> str:
        """The public key as OpenSSL reads it."""
        text = base64.b64encode(_SPKI + bytes.fromhex(self.key)).decode()
        return f"-----BEGIN PUBLIC KEY-----\n{text}\n-----END PUBLIC KEY-----\n"


def sign_statement(vault: Vault, statement: bytes) -> Signature:
    """The vault's signature of a statement.

    The statement says on its first line what it is, so that none can stand for a checkpoint or the list of a backup.
    """
    seed = vault.store.keys.subkey("signing")
    return Signature(signer(seed).hex(), sign(seed, statement).hex())


def signed_by(vault: Vault, statement: bytes, signature: Signature) -> bool:
    """Whether this vault signed a statement, under its root key or a former one."""
    return signature.key in signers(vault) and statement_holds(statement, signature)


def signers(vault: Vault) -> tuple[str, ...]:
    """Public keys, hex, that the vault signs with now and signed with before its root key was renewed."""
    with vault.store.reading() as connection:
        return tuple(sorted(known_signers(vault.store, connection)))


def statement_holds(statement: bytes, signature: Signature) -> bool:
    """Whether a signature is that of a statement, whoever's key it is; needs no vault."""
    try:
        return signed(bytes.fromhex(signature.key), statement, bytes.fromhex(signature.value))
    except ValueError:
        return False
