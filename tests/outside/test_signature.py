"""The seal and the journal's proofs, checked by tools that did not make them: OpenSSL, Poppler, the shell.

Sources: RFC 5652 (CMS) and ISO 32000-1, 12.8.1 (ByteRange) for the seal; ETSI EN 319 142-1, 6.3 for what a PAdES
baseline signature carries; RFC 9162, 2.1.3.2 for the proofs.
"""

import json
import re
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import bagit
import pikepdf
import pytest

from quietus.bundle.build import build_bundle
from quietus.bundle.request import BundleRequest
from quietus.bundle.signature import Seal
from quietus.model.errors import Misuse
from quietus.model.paper import Standing
from quietus.vault import prove_entry
from quietus.vault.checkpoint import make_checkpoint
from tests.bundle.looking import pages_of, proof
from tests.bundle.make import complete
from tests.bundle.seals import certified, office_key, self_made
from tests.vault.make import made as made_vault
from tests.vault.make import opened

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(shutil.which("openssl") is None, reason="the second implementation is the openssl command"),
]


def sealed_request(folder: Path) -> BundleRequest:
    """Company B, sealed, with a proof from a real journal for each exhibit."""
    wanted = complete(seal=self_made())
    with opened(made_vault(folder)) as vault:
        for item in wanted.selection.included:
            vault.file_paper(
                wanted.original(item.paper.id),
                name="scan.pdf",
                media_type=item.paper.media_type,
                pages=item.paper.pages,
                standing=Standing.UNASSIGNED,
                entity="",
                expected="",
                reading=item.paper.reading,
            )
        for number in range(5):
            vault.record("later", str(number), {})
        first = next(entry.number for entry in vault.journal() if entry.action == "paper-filed")
        proofs = {
            item.paper.id: prove_entry(vault, first + place) for place, item in enumerate(wanted.selection.included)
        }
        checkpoint = make_checkpoint(vault).text
    return replace(wanted, proofs={paper: {**told, "checkpoint": checkpoint} for paper, told in proofs.items()})


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sealed")
    return build_bundle(sealed_request(folder), folder / "bundle").path


@pytest.fixture
def bag(made: Path, tmp_path: Path) -> Path:
    """A copy to do harm to."""
    return Path(shutil.copytree(made, tmp_path / "bag"))


def told_to_do(bag: Path, word: str) -> str:
    """The command of VERIFY.txt that holds `word`, with the lines that continue it."""
    text = (bag / "VERIFY.txt").read_text().replace("\\\n", "")
    if word == "python3 - data":
        return text[text.index(word) :].split("\nEND\n")[0] + "\nEND\n"
    return next(row.strip() for row in text.splitlines() if word in row)


def done(bag: Path, word: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["bash", "-c", told_to_do(bag, word)], cwd=bag, check=False, capture_output=True, text=True)


def test_openssl_verifies_the_seal_as_verify_txt_says(made: Path) -> None:
    run = done(made, "openssl cms")
    assert (run.returncode, "successful" in run.stderr) == (0, True)


def test_the_folder_with_seal_and_journal_is_a_valid_bag(made: Path) -> None:
    """RFC 8493, by the `bagit` package."""
    bagit.Bag(str(made)).validate()


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="no qpdf on this machine")
def test_qpdf_has_nothing_to_complain_about(made: Path) -> None:
    assert done(made, "qpdf --check").returncode == 0


def test_openssl_finds_a_changed_byte_before_and_behind_the_seal(bag: Path) -> None:
    whole = proof(bag).read_bytes()
    for place in (200, len(whole) - 200):
        proof(bag).write_bytes(whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :])
        assert done(bag, "openssl cms").returncode != 0


def test_the_file_beside_is_the_signature_inside(made: Path) -> None:
    with pikepdf.open(proof(made)) as pdf:
        inside = bytes(pdf.Root.AcroForm.Fields[0].V.Contents)
        covered = [int(number) for number in pdf.Root.AcroForm.Fields[0].V.ByteRange]
    beside = (made / "data" / "seal" / "signature.p7s").read_bytes()
    assert inside.rstrip(b"\0") == beside.rstrip(b"\0")
    assert covered[0] == 0
    assert covered[2] + covered[3] == proof(made).stat().st_size
    gap = proof(made).read_bytes()[covered[1] : covered[2]]
    assert re.fullmatch(rb"<[0-9a-f]+>", gap)


def test_the_signature_is_a_pades_baseline_one(made: Path) -> None:
    shown = subprocess.run(
        ["openssl", "cms", "-cmsout", "-print", "-inform", "DER", "-in", "data/seal/signature.p7s"],
        cwd=made, check=True, capture_output=True, text=True,
    ).stdout  # fmt: skip
    assert "id-smime-aa-signingCertificateV2" in shown
    assert "signingTime" not in shown  # EN 319 142-1, 6.3: it stands in the PDF and not in the signature


@pytest.mark.skipif(shutil.which("pdfsig") is None, reason="no pdfsig on this machine")
def test_poppler_finds_the_seal_valid_and_over_the_whole_document(made: Path) -> None:
    told = subprocess.run(["pdfsig", str(proof(made))], check=False, capture_output=True, text=True).stdout
    assert "Signature is Valid." in told
    assert "Total document signed" in told
    assert "ETSI.CAdES.detached" in told


@pytest.mark.skipif(shutil.which("pdfsig") is None, reason="no pdfsig on this machine")
def test_poppler_finds_a_changed_document(bag: Path) -> None:
    whole = proof(bag).read_bytes()
    proof(bag).write_bytes(whole[:900] + bytes([whole[900] ^ 1]) + whole[901:])
    told = subprocess.run(["pdfsig", str(proof(bag))], check=False, capture_output=True, text=True).stdout
    assert "Signature is Valid." not in told


def test_the_fingerprint_is_printed_in_the_document(made: Path) -> None:
    told = done(made, "-fingerprint").stdout.split("=")[1].replace(":", "").strip().lower()
    assert told in "".join(pages_of(proof(made))).replace("\n", "")


def test_a_key_that_a_company_certified_verifies_up_to_its_root(tmp_path: Path) -> None:
    seal, root = certified()
    (tmp_path / "root.pem").write_bytes(root)
    bag = build_bundle(complete(seal=seal), tmp_path / "bundle").path
    command = told_to_do(bag, "openssl cms").replace("-noverify", f"-CAfile {tmp_path / 'root.pem'} -purpose any")
    assert subprocess.run(["bash", "-c", command], cwd=bag, check=False, capture_output=True).returncode == 0


def test_a_key_that_is_not_the_certificates_is_misuse(tmp_path: Path) -> None:
    with pytest.raises(Misuse):
        build_bundle(complete(seal=replace(self_made(), key=office_key())), tmp_path / "bundle")


def test_the_same_request_gives_the_same_bytes_and_signature(tmp_path: Path) -> None:
    """RFC 6979: a signature without a time stamp depends on the key and the document alone."""
    seal = self_made()
    one = build_bundle(complete(seal=seal), tmp_path / "one").path
    two = build_bundle(complete(seal=seal), tmp_path / "two").path
    names = sorted(path.relative_to(one) for path in one.rglob("*") if path.is_file())
    assert [name for name in names if (one / name).read_bytes() != (two / name).read_bytes()] == []


def test_the_checkpoint_bears_its_signature(made: Path) -> None:
    assert done(made, "pkeyutl").returncode == 0


def test_a_changed_checkpoint_does_not(bag: Path) -> None:
    path = bag / "data" / "journal" / "checkpoint.txt"
    path.write_text(path.read_text().replace("entries ", "entries 1", 1))
    assert done(bag, "pkeyutl").returncode != 0


def test_every_exhibit_is_proven_to_be_in_the_journal(made: Path) -> None:
    rows = done(made, "python3 - data").stdout.splitlines()
    originals = sorted(path.name for path in (made / "data" / "originals").iterdir())
    copies = [path.name for path in (made / "data" / "redacted").iterdir()]
    assert (len(originals), len(copies)) == (3, 1)
    told = [*(f"data/originals/{name}" for name in originals), "a paper of which you have a copy"]
    assert rows == [
        f"data/journal/exhibit-{letter}.json: OK, {what}" for letter, what in zip("ABCD", told, strict=True)
    ]


def test_a_proof_for_another_paper_fails(bag: Path) -> None:
    a, b = (bag / "data" / "journal" / f"exhibit-{letter}.json" for letter in "AB")
    told, other = json.loads(a.read_text()), json.loads(b.read_text())
    a.write_text(json.dumps({**told, "paper": {**told["paper"], "sha256": other["paper"]["sha256"]}}))
    rows = done(bag, "python3 - data").stdout.splitlines()
    assert [row.endswith("FAILED") for row in rows] == [True, False, False, False]


def test_a_changed_entry_is_not_in_the_journal(bag: Path) -> None:
    path = bag / "data" / "journal" / "exhibit-B.json"
    path.write_text(path.read_text().replace('"number\\":', '"number\\": ', 1).replace("sealed", "sealeD", 1))
    rows = done(bag, "python3 - data").stdout.splitlines()
    assert [row.endswith("FAILED") for row in rows] == [False, True, False, False]


def test_a_seal_without_its_key_in_messages() -> None:
    seal = self_made()
    assert b"PRIVATE" in seal.key
    assert "PRIVATE" not in repr(seal)
    assert isinstance(seal, Seal)


def test_the_seal_says_that_it_is_no_persons(made: Path) -> None:
    with pikepdf.open(proof(made)) as pdf:
        said = pdf.Root.AcroForm.Fields[0].V
        assert "No person's signature" in str(said.Reason)
        assert datetime.strptime(str(said.M), "D:%Y%m%d%H%M%SZ").replace(tzinfo=UTC).year == 2026
