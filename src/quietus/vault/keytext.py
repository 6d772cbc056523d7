"""A random key as text that can be printed, typed in again, and kept in a file: 56 letters and digits, four by four.

Base32 (RFC 4648 section 6) of 32 random bytes, then four characters that tell a slip of the pen: the first 20 bits of
their SHA-256.
"""

import base64
import hashlib
import re

from quietus.vault.crypto import KEY_BYTES

_CHECK = 4
_TEXT = re.compile(r"[A-Z2-7]{56}")
_LOOKALIKES = str.maketrans("018", "OIB")


def key_text(secret: bytes) -> str:
    """32 bytes as text, such as `ABCD-EFGH-…`."""
    letters = _letters(secret) + _check(secret)
    return "-".join(letters[at : at + 4] for at in range(0, len(letters), 4))


def key_from_text(text: bytes) -> bytes | None:
    """The 32 bytes that the text stands for; None when it is no such text, or was mistyped.

    Case, spaces and hyphens do not matter, and 0, 1 and 8 pass for O, I and B, which they resemble.
    """
    plain = re.sub(r"[\s-]", "", text.decode("ascii", "replace")).upper().translate(_LOOKALIKES)
    if not _TEXT.fullmatch(plain):
        return None
    secret = base64.b32decode(plain[:-_CHECK] + "====")
    return secret if _letters(secret) + _check(secret) == plain else None


def _letters(secret: bytes) -> str:
    return base64.b32encode(secret).decode().rstrip("=")[: -(-KEY_BYTES * 8 // 5)]


def _check(secret: bytes) -> str:
    return base64.b32encode(hashlib.sha256(secret).digest()).decode()[:_CHECK]
