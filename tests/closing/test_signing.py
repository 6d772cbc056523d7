"""The office's seal: made once, kept in the vault, or supplied; and the journal's word for each paper."""

import subprocess
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.serialization import pkcs12

from quietus.bundle.build import build_bundle
from quietus.bundle.signature import Seal
from quietus.closing.config import SealConfig, load_config
from quietus.closing.office import Office
from quietus.closing.signing import PASSPHRASE, journal_proofs, office_seal
from quietus.closing.timestamp import ask_reply
from quietus.model.errors import BadData, Damaged, Misuse
from quietus.model.limits import DEFAULT_LIMITS
from quietus.vault import proof_holds
from tests.bundle.looking import proof
from tests.bundle.make import complete
from tests.bundle.seals import certified, office_key
from tests.closing.answering import closed_office
from tests.outside.test_timestamp import authority, service

__all__ = ["authority", "service"]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with closed_office(tmp_path_factory.mktemp("office")) as opened:
        yield opened


def called(office: Office, name: str) -> Office:
    """The same office under this name."""
    return replace(office, config=replace(office.config, office_name=name))


def with_seal(office: Office, **more: object) -> Office:
    """The same office with something else under [seal]."""
    return replace(office, config=replace(office.config, seal=SealConfig(**more)))  # type: ignore[arg-type]


def test_the_key_is_made_once_and_named_for_the_office(office: Office) -> None:
    named = called(office, "Harrowgate Tax Office")
    first = office_seal(named)
    made = [entry.action for entry in office.vault.journal()].count("signing-key-made")
    assert (first.names, first.self_made) == ("Harrowgate Tax Office", True)
    assert office_seal(named).fingerprint == first.fingerprint
    assert [entry.action for entry in office.vault.journal()].count("signing-key-made") == made


def test_another_name_of_the_office_or_a_long_time_makes_another_key(office: Office) -> None:
    first, now = office_seal(called(office, "First Office")), office.clock()
    assert office_seal(called(office, "Other Office")).fingerprint != first.fingerprint
    other = office_seal(called(office, "Other Office"))
    later = replace(called(office, "Other Office"), clock=lambda: now + timedelta(days=3641))
    assert office_seal(later).fingerprint != other.fingerprint


def test_the_key_is_on_the_disk_in_no_readable_form(office: Office) -> None:
    key = serialization.load_pem_private_key(office_seal(office).key, None)
    der = key.private_bytes(serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    for path in (path for path in office.config.home.rglob("*") if path.is_file()):
        data = path.read_bytes()
        assert der[-60:] not in data
        assert b"PRIVATE KEY" not in data


def test_an_office_without_a_name_seals_without_making_one_up(office: Office) -> None:
    assert office_seal(called(office, " ")).names == "The office that prepared this document"


def supplied(folder: Path, passphrase: bytes) -> tuple[Path, Seal]:
    seal, _ = certified()
    key = serialization.load_pem_private_key(seal.key, None)
    data = pkcs12.serialize_key_and_certificates(
        b"office",
        key,  # type: ignore[arg-type]
        x509.load_pem_x509_certificate(seal.certificate),
        [x509.load_pem_x509_certificate(part) for part in seal.chain],
        serialization.BestAvailableEncryption(passphrase),
    )
    (folder / "office.p12").write_bytes(data)
    return folder / "office.p12", seal


def test_a_certificate_that_the_office_was_given_is_used(
    office: Office, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, seal = supplied(tmp_path, b"open sesame")
    monkeypatch.setenv(PASSPHRASE, "open sesame")
    found = office_seal(with_seal(office, certificate=path))
    assert (found.fingerprint, found.self_made, len(found.chain)) == (seal.fingerprint, False, 1)


@pytest.mark.parametrize("what", ["wrong passphrase", "no file", "no certificate"])
def test_a_certificate_that_does_not_open_is_misuse(
    what: str, office: Office, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, _ = supplied(tmp_path, b"open sesame")
    monkeypatch.setenv(PASSPHRASE, "wrong" if what == "wrong passphrase" else "open sesame")
    if what == "no file":
        path = tmp_path / "none.p12"
    if what == "no certificate":
        path.write_bytes(office_key())
    with pytest.raises(Misuse):
        office_seal(with_seal(office, certificate=path))


def test_a_time_stamp_service_needs_its_root(office: Office, tmp_path: Path) -> None:
    text = (office.config.home / "quietus.toml").read_text()
    (tmp_path / "quietus.toml").write_text(text.replace('timestamp = ""', 'timestamp = "http://127.0.0.1:9/"'))
    with pytest.raises(BadData, match="timestamp_root"):
        load_config(tmp_path, DEFAULT_LIMITS.register_bytes)


@pytest.mark.outside
def test_a_seal_carries_a_stamp_that_openssl_verifies(
    office: Office,
    authority: Path,
    service: str,
    tmp_path: Path,
) -> None:
    """RFC 3161; the stamp is an unsigned attribute of the signature (ETSI EN 319 122-1, 5.3)."""
    root = authority / "root.pem"
    seal = office_seal(with_seal(office, timestamp=service, timestamp_root=root))
    bag = build_bundle(complete(seal=seal), tmp_path / "bundle").path
    shown = subprocess.run(
        ["openssl", "cms", "-cmsout", "-print", "-inform", "DER", "-in", "data/seal/signature.p7s"],
        cwd=bag, check=True, capture_output=True, text=True,
    ).stdout  # fmt: skip
    assert "id-smime-aa-timeStampToken" in shown
    command = (bag / "VERIFY.txt").read_text().replace("\\\n", "").split("With OpenSSL:\n\n")[1].split("\n")[0]
    assert subprocess.run(["bash", "-c", command], cwd=bag, check=False, capture_output=True).returncode == 0
    assert "carries a time stamp" in (bag / "VERIFY.txt").read_text()
    assert proof(bag).stat().st_size > 0


@pytest.mark.outside
def test_a_stamp_of_another_service_is_refused(authority: Path, service: str) -> None:
    from asn1crypto import tsp  # noqa: PLC0415 - for this test alone

    imprint = {"hash_algorithm": {"algorithm": "sha256"}, "hashed_message": b"\1" * 32}
    query = tsp.TimeStampReq({"version": 1, "message_imprint": imprint, "cert_req": True}).dump()
    assert ask_reply(query, service, (authority / "root.pem").read_bytes())
    with pytest.raises(Damaged):
        ask_reply(query, service, (authority / "other.pem").read_bytes())


def test_each_paper_has_its_own_proof_and_all_have_one_checkpoint(office: Office) -> None:
    papers = [paper.id for paper in office.vault.papers("saltmarsh-sheeter")]
    proofs = journal_proofs(office, papers)
    entries = {entry.number: entry for entry in office.vault.journal()}
    assert set(proofs) == set(papers)
    assert len({told["checkpoint"] for told in proofs.values()}) == 1
    for paper, told in proofs.items():
        assert proof_holds(told)
        assert (entries[told["number"]].action, entries[told["number"]].about) == ("paper-filed", paper)
