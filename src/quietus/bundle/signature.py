"""The office's seal on the proof: a PAdES signature (ETSI EN 319 142-1) by a key of the office.

It shows that the file was not changed since, and which key sealed it. It is no person's signature and does not look
like one: it has no picture on any page. The writer keeps a place for it in the file; the library makes the signature
from the file's hash alone, so that this process never parses what a child made of foreign papers.
"""

import asyncio
import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from quietus.bundle.job import Hole
from quietus.model.errors import MachineFault, Misuse, QuietusError, Unreadable

FIELD = "office-seal"
REASON = "Seal of integrity of the office. No person's signature."
_ROOM, _ROOM_WITH_STAMP = 12 * 1024, 28 * 1024
"""Bytes kept for the signature: a chain of a few certificates, and a time stamp with those of its service."""
_PIECE_BYTES = 1 << 20
_MOST_AFTER = 1 << 24

Stamping = Callable[[bytes], bytes]
"""Asks a time stamp service: a request (RFC 3161, DER) in, its verified reply out."""


@dataclass(frozen=True, slots=True)
class Seal:
    """What the office seals with.

    Attributes:
        key: private key, PKCS #8 in PEM.
        certificate: that of the key, PEM.
        chain: certificates that lead up from it, PEM; empty for a certificate that the office made itself.
        stamp: asks a time stamp service; None for no time stamp.
    """

    key: bytes
    certificate: bytes
    chain: tuple[bytes, ...] = ()
    stamp: Stamping | None = None

    def __repr__(self) -> str:
        """Without the key, so that it gets into no message."""
        return f"Seal({self.fingerprint})"

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate, hex."""
        return _certificate(self.certificate).fingerprint(hashes.SHA256()).hex()

    @property
    def names(self) -> str:
        """Whom the certificate names."""
        subject = _certificate(self.certificate).subject
        found = subject.get_attributes_for_oid(NameOID.COMMON_NAME)
        return str(found[0].value) if found else subject.rfc4514_string()

    @property
    def self_made(self) -> bool:
        """True when nobody but the office vouches for the certificate."""
        made = _certificate(self.certificate)
        return made.subject == made.issuer


@dataclass(frozen=True, slots=True)
class Sealed:
    """A seal that was set.

    Attributes:
        covered: the two pieces of the file that it covers, each with offset and length (the ByteRange, ISO 32000-1,
            12.8.1).
        contents: the signature, CMS in DER, without the filling behind it.
        stamped: True when it carries a time stamp.
        sha256: of the whole file, hex.
    """

    covered: tuple[tuple[int, int], tuple[int, int]]
    contents: bytes
    stamped: bool
    sha256: str


def room(seal: Seal) -> int:
    """Bytes to keep in the PDF for a signature by this seal."""
    return _ROOM_WITH_STAMP if seal.stamp else _ROOM


def load_signer() -> None:
    """Load what signs: a third of a second's work, which can be done beside other work."""
    from pyhanko.sign import general, signers  # noqa: F401, PLC0415


def seal_pdf(path: Path, seal: Seal, hole: Hole) -> Sealed:
    """Set the seal into the place that the writer kept for it.

    Args:
        path: the PDF.
        seal: key and certificate.
        hole: where the hexadecimal digits of the signature go.

    Raises:
        Misuse: the key can't sign this way, or does not belong to the certificate.
        MachineFault: the time stamp service does not answer, or the file can't be written.
        Unreadable: there is no such place in the file.
    """
    with path.open("r+b") as file:
        before, after = _hashed(file, hole)
        covered = before.copy()
        covered.update(after)
        contents = _signed(covered.digest(), seal)
        if 2 * len(contents) > hole.end - hole.begin:
            raise Misuse("The certificates are too long for the document.", "Leave out what the chain does not need.")
        digits = contents.hex().encode().ljust(hole.end - hole.begin, b"0")
        file.seek(hole.begin)
        file.write(digits)
    before.update(b"<" + digits + b">" + after)
    second = hole.end + 1
    covers = (0, hole.begin - 1), (second, len(after))
    return Sealed(covers, contents, seal.stamp is not None, before.hexdigest())


def _hashed(file: BinaryIO, hole: Hole) -> tuple["hashlib._Hash", bytes]:
    """The hash of all before the place of the signature, and what follows it: a table that grows with the pages alone.

    Raises:
        Unreadable: there is no such place.
    """
    digest, left = hashlib.sha256(), hole.begin - 1
    while left > 0 and (piece := file.read(min(left, _PIECE_BYTES))):
        digest.update(piece)
        left -= len(piece)
    size = hole.end - hole.begin
    if left or not 0 < size <= 2 * _ROOM_WITH_STAMP or file.read(size + 2) != b"<" + b"0" * size + b">":
        raise Unreadable("no-place", "The document has no place for the seal.", "Make the bundle again.")
    after = file.read(_MOST_AFTER + 1)
    if len(after) > _MOST_AFTER:
        raise Unreadable("no-place", "The document has no place for the seal at its end.", "Make the bundle again.")
    return digest, after


def _signed(digest: bytes, seal: Seal) -> bytes:
    # Most of a second to load, and only a proof that is sealed needs it.
    from pyhanko.sign.general import SigningError  # noqa: PLC0415

    signer, stamper = _signer(seal), _stamper(seal.stamp) if seal.stamp else None
    try:
        made = asyncio.run(signer.async_sign(digest, "sha256", use_pades=True, timestamper=stamper))
    except QuietusError:
        raise
    except (SigningError, ValueError, TypeError, NotImplementedError) as error:
        raise Misuse(
            "The office's key can't seal the document.", "Use a certificate with an RSA or P-256 key, or none."
        ) from error
    except OSError as error:
        raise MachineFault("The time stamp service refused.", "Ask again later, or another service.") from error
    contents: bytes = made.dump()
    return contents


def certificate_of(seal: Seal) -> str:
    """The certificates as one PEM text, the office's own first."""
    return b"".join(part.strip() + b"\n" for part in (seal.certificate, *seal.chain)).decode()


def _certificate(pem: bytes) -> x509.Certificate:
    return x509.load_pem_x509_certificate(pem)


def _signer(seal: Seal) -> Any:
    from asn1crypto import keys, pem  # noqa: PLC0415 - see _signed
    from asn1crypto import x509 as asn1_x509  # noqa: PLC0415
    from pyhanko.sign import signers  # noqa: PLC0415
    from pyhanko_certvalidator.registry import SimpleCertificateStore  # noqa: PLC0415

    key = serialization.load_pem_private_key(seal.key, None)
    if key.public_key() != _certificate(seal.certificate).public_key():
        raise Misuse("The key does not belong to the certificate.", "Name the certificate's own key.")
    der = key.private_bytes(serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    store = SimpleCertificateStore()  # type: ignore[no-untyped-call]
    store.register_multiple([asn1_x509.Certificate.load(pem.unarmor(part)[2]) for part in seal.chain])

    class OfficeSigner(signers.SimpleSigner):
        """Signs with elliptic curves as RFC 6979 has it: the same document gets the same signature."""

        def sign_raw(self, data: bytes, digest_algorithm: str) -> bytes:
            if isinstance(key, ec.EllipticCurvePrivateKey):
                return key.sign(data, ec.ECDSA(hashes.SHA256(), deterministic_signing=True))
            signature: bytes = super().sign_raw(data, digest_algorithm)
            return signature

    return OfficeSigner(
        signing_cert=asn1_x509.Certificate.load(pem.unarmor(seal.certificate)[2]),
        signing_key=keys.PrivateKeyInfo.load(der),
        cert_registry=store,
    )


def _stamper(ask: Stamping) -> Any:
    from asn1crypto import tsp  # noqa: PLC0415 - see _signed
    from pyhanko.sign.timestamps import TimeStamper  # noqa: PLC0415

    class Service(TimeStamper):
        """The office's own way to the service."""

        async def async_request_tsa_response(self, req: Any) -> Any:
            return tsp.TimeStampResp.load(ask(req.dump()))

    return Service()  # type: ignore[no-untyped-call]
