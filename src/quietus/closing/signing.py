"""What shows a stranger that a proof is the office's: its seal, and the journal's word for each paper.

The office seals with a key of its own that lies in the vault, or with a certificate that it was given.

The key is made when the first proof is sealed, and never leaves the vault but into the memory of the command.
"""

import os
from collections.abc import Collection
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import pkcs12
from cryptography.x509.oid import NameOID

from quietus.bundle.signature import Seal
from quietus.closing.config import SealConfig
from quietus.closing.office import Office
from quietus.model.errors import Misuse
from quietus.vault import Card, prove_entry

SORT, CARD = "signing-key", "office"
PASSPHRASE = "QUIETUS_SEAL_PASSPHRASE"  # noqa: S105 - the name of a variable
YEARS = 10
_NAMELESS = "The office that prepared this document"
_NAME_LETTERS = 64  # the longest common name (RFC 5280, Appendix A.1, ub-common-name)
_MOST_BYTES = 1 << 20


def office_seal(office: Office) -> Seal:
    """The office's seal; its key is made when there is none yet, or when the office has another name.

    Raises:
        Misuse: a certificate is named in the config file and can't be used.
    """
    config = office.config.seal
    key, certificate, chain = _supplied(config) if config.certificate else _own(office)
    stamp = None
    if config.timestamp:
        from quietus.closing.timestamp import ask_reply  # noqa: PLC0415 - few need it; it loads slowly

        root = _read(config.timestamp_root, "timestamp_root") if config.timestamp_root else b""
        stamp = lambda request: ask_reply(request, config.timestamp, root)  # noqa: E731 - a closure over two values
    return Seal(key, certificate, chain, stamp)


def _own(office: Office) -> tuple[bytes, bytes, tuple[bytes, ...]]:
    name = (office.config.office_name.strip() or _NAMELESS)[:_NAME_LETTERS]
    now = office.clock()
    with office.vault.transaction():
        card = office.vault.card(SORT, CARD)
        if card is None or not _fits(card.body["certificate"].encode(), name, now):
            card = Card(SORT, CARD, "", _made(name, now))
            office.vault.put_card(card, "signing-key-made", secret=True)
    return card.body["key"].encode(), card.body["certificate"].encode(), ()


def _fits(pem: bytes, name: str, now: datetime) -> bool:
    certificate = x509.load_pem_x509_certificate(pem)
    return certificate.subject == _named(name) and now < certificate.not_valid_after_utc - timedelta(days=30)


def _named(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _made(name: str, now: datetime) -> dict[str, str]:
    """A P-256 key and a certificate for it that nobody else vouches for (RFC 5280)."""
    key = ec.generate_private_key(ec.SECP256R1())
    begin = now.astimezone(UTC).replace(microsecond=0) - timedelta(days=1)
    usage = dict.fromkeys(("key_encipherment", "data_encipherment", "key_agreement", "key_cert_sign"), False)
    usage |= dict.fromkeys(("crl_sign", "encipher_only", "decipher_only"), False)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(_named(name))
        .issuer_name(_named(name))
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(begin + timedelta(days=YEARS * 365))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.KeyUsage(digital_signature=True, content_commitment=True, **usage), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return {"key": _pem(key).decode(), "certificate": certificate.public_bytes(serialization.Encoding.PEM).decode()}


def _pem(key: ec.EllipticCurvePrivateKey | rsa.RSAPrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _supplied(config: SealConfig) -> tuple[bytes, bytes, tuple[bytes, ...]]:
    data = _read(config.certificate, "certificate")
    try:
        found = pkcs12.load_pkcs12(data, os.environ.get(PASSPHRASE, "").encode() or None)
    except ValueError:
        raise Misuse(
            "The certificate for the seal does not open.",
            f"Name a PKCS #12 file, and set its passphrase in {PASSPHRASE}.",
        ) from None
    if found.cert is None or not isinstance(found.key, (ec.EllipticCurvePrivateKey, rsa.RSAPrivateKey)):
        raise Misuse(
            "The file for the seal holds no certificate with an RSA or elliptic curve key.",
            "Export the certificate together with its private key.",
        )
    pem = serialization.Encoding.PEM
    chain = tuple(more.certificate.public_bytes(pem) for more in found.additional_certs)
    return _pem(found.key), found.cert.certificate.public_bytes(pem), chain


def _read(path: Path | None, key: str) -> bytes:
    wrong = Misuse(f"The file named under [seal] {key} can't be read.", "Correct it in quietus.toml.")
    try:
        if path is None or path.stat().st_size > _MOST_BYTES:
            raise wrong
        return path.read_bytes()
    except OSError:
        raise wrong from None


def journal_proofs(office: Office, papers: Collection[str]) -> dict[str, dict[str, Any]]:
    """For each paper, proof that the entry of its filing is in the journal; all of them lead to one checkpoint."""
    with office.vault.transaction():  # so that the journal does not grow between two proofs
        filed = office.vault.filings(papers)
        proofs = {paper: prove_entry(office.vault, number) for paper, number in filed.items()}
    one = next((proof["checkpoint"] for proof in proofs.values()), "")
    return {paper: {**proof, "checkpoint": one} for paper, proof in proofs.items()}
