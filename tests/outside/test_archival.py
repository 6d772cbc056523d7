"""A proof that calls itself PDF/A-2b, asked of a validator that had no part in making it.

The validator (package page-validation) checks the rules of ISO 19005 and ISO 14289-1 one by one; it is itself tested
against the public corpora of the PDF Association, Isartor and veraPDF.
"""

from dataclasses import replace
from pathlib import Path

import page
import pikepdf
import pytest

from quietus.bundle.build import build_bundle
from quietus.bundle.request import BundleRequest
from tests.bundle.looking import proof
from tests.bundle.make import JPEG, PNG, TIFF, as_received, complete, fax, line, paper, request, scan
from tests.bundle.seals import self_made

pytestmark = pytest.mark.outside

IDENTIFICATION = {"PDFUA1-ID-PART-001", "PDFUA1-ID-SCHEMA-001"}
"""The mark of PDF/UA itself, which a document does not bear whose exhibits are pictures of papers."""


def of_scans(**more: object) -> BundleRequest:
    """A closing whose papers are all scans."""
    made = [("OR/dissolution", scan(JPEG), JPEG, 1), ("WA/withdrawal", scan(PNG, "RGB"), PNG, 1)]
    made.append(("TN/withdrawal", fax(pages=3), TIFF, 3))
    pairs = [(paper(key, data, kind, pages=pages), data) for key, data, kind, pages in made]
    return as_received(replace(request([line(p.expected, p) for p, _ in pairs], pairs), **more))  # type: ignore[arg-type]


def failed(path: Path, profile: str) -> set[str]:
    """Rules that a document breaks."""
    return {failure.rule_id for failure in page.validate_pdf(path, profile=profile).failures}


@pytest.mark.parametrize("sealed", [False, True])
def test_a_proof_of_scans_is_archival(sealed: bool, tmp_path: Path) -> None:
    """ISO 19005-2, conformance level B."""
    made = build_bundle(of_scans(seal=self_made() if sealed else None), tmp_path / "bundle")
    assert failed(proof(made.path), "2b") == set()


def test_every_part_of_a_proof_has_its_place_in_the_order_of_reading(tmp_path: Path) -> None:
    """ISO 14289-1, all of it that a program can check, but the mark that says so."""
    made = build_bundle(of_scans(seal=self_made()), tmp_path / "bundle")
    assert failed(proof(made.path), "ua1") == IDENTIFICATION


def test_a_proof_with_a_foreign_file_does_not_claim_it(tmp_path: Path) -> None:
    """A file of another maker names typefaces that it does not hold."""
    made = build_bundle(as_received(complete()), tmp_path / "bundle")
    assert {"PDFA2B-ID-SCHEMA-001", "PDFA2B-FONT-EMBEDDING-001"} <= failed(proof(made.path), "2b")


def test_the_validator_finds_what_is_missing(tmp_path: Path) -> None:
    made = build_bundle(of_scans(), tmp_path / "bundle")
    with pikepdf.open(proof(made.path)) as pdf:
        del pdf.Root.OutputIntents
        pdf.save(tmp_path / "spoilt.pdf")
    assert failed(tmp_path / "spoilt.pdf", "2b") != set()
