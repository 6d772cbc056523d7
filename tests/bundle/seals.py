"""Keys and certificates to seal with."""

from datetime import UTC, datetime

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.x509.oid import NameOID

from quietus.bundle.signature import Seal

BEGIN, END = datetime(2026, 1, 1, tzinfo=UTC), datetime(2046, 1, 1, tzinfo=UTC)
Key = ec.EllipticCurvePrivateKey | rsa.RSAPrivateKey


def office_key() -> bytes:
    """A new P-256 key."""
    return _pem(ec.generate_private_key(ec.SECP256R1()))


def self_made(name: str = "Harrowgate Tax Office") -> Seal:
    """A seal that nobody but the office vouches for."""
    key = ec.generate_private_key(ec.SECP256R1())
    return Seal(_pem(key), _issued(name, key, name, key, ca=False))


def certified() -> tuple[Seal, bytes]:
    """A seal with an RSA key under an intermediate certificate, and the root."""
    root, between, key = (rsa.generate_private_key(65537, 2048) for _ in range(3))
    top = _issued("Example Root", root, "Example Root", root, ca=True)
    middle = _issued("Example Issuer", between, "Example Root", root, ca=True)
    return Seal(_pem(key), _issued("Harrowgate Tax Office", key, "Example Issuer", between, ca=False), (middle,)), top


def _issued(name: str, key: Key, issuer: str, issuer_key: Key, *, ca: bool) -> bytes:
    made = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)]))
        .issuer_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, issuer)]))
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(BEGIN)
        .not_valid_after(END)
        .add_extension(x509.BasicConstraints(ca=ca, path_length=None), critical=True)
        .sign(issuer_key, hashes.SHA256())
    )
    return made.public_bytes(serialization.Encoding.PEM)


def _pem(key: Key) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
