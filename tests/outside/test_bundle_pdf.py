"""The proof's PDF, as three libraries that did not write it understand it."""

from pathlib import Path

import pikepdf
import pypdf
import pypdfium2 as pdfium
import pytest

from quietus.bundle.build import build_bundle
from quietus.bundle.request import BundleRequest
from tests.bundle import hostile
from tests.bundle.looking import proof
from tests.bundle.make import complete, line, paper, request

pytestmark = pytest.mark.outside

ODD_FILES = {
    "complete": None,
    "active": hostile.active(),
    "filled in": hostile.filled_in(),
    "layered": hostile.layered(),
    "locked": hostile.locked(""),
    "endless": hostile.endless(),
}


@pytest.fixture(scope="module", params=ODD_FILES)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    data = ODD_FILES[request.param]
    folder = tmp_path_factory.mktemp("made") / "bundle"
    build_bundle(complete() if data is None else bundle_of(data), folder)
    return proof(folder)


def bundle_of(data: bytes) -> BundleRequest:
    made = paper("OR/dissolution", data)
    return request([line("OR/dissolution", made)], [(made, data)])


def test_qpdf_has_nothing_to_complain_about(made: Path) -> None:
    with pikepdf.open(made, attempt_recovery=False, suppress_warnings=False) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert pdf.get_warnings() == []


def test_pypdf_reads_it_strictly_to_the_last_page(made: Path) -> None:
    reader = pypdf.PdfReader(made, strict=True)
    for page in reader.pages:
        page.extract_text()
    assert reader.metadata is not None
    assert str(reader.metadata.title).startswith("Proof of closure: ")
    assert reader.outline


def test_three_libraries_count_the_same_pages(made: Path) -> None:
    with pikepdf.open(made) as pdf:
        counts = {len(pdf.pages), len(pypdf.PdfReader(made).pages), len(pdfium.PdfDocument(made))}
    assert len(counts) == 1


def test_every_page_draws(made: Path) -> None:
    for page in pdfium.PdfDocument(made):
        assert page.render(scale=0.3).to_pil().convert("L").getextrema()[0] < 160


def test_bookmarks_agree_between_libraries(made: Path) -> None:
    reader = pypdf.PdfReader(made)
    theirs = [(str(mark.title), reader.get_destination_page_number(mark)) for mark in flat(reader.outline)]
    ours = [(mark.get_title(), mark.get_dest().get_index()) for mark in pdfium.PdfDocument(made).get_toc()]
    assert theirs == ours
    assert ("Closing summary", 1) in ours
    assert ours[0][1] == 0


def flat(outline: object) -> list[pypdf.generic.Destination]:
    if isinstance(outline, list):
        return [mark for item in outline for mark in flat(item)]
    return [outline] if isinstance(outline, pypdf.generic.Destination) else []


def test_every_tag_leads_to_content_of_its_page(made: Path) -> None:
    """ISO 32000-1, 14.7.4: the numbers of marked content on a page are those its structure knows."""
    with pikepdf.open(made) as pdf:
        parents = pikepdf.NumberTree(pdf.Root.StructTreeRoot.ParentTree)
        for page in pdf.pages:
            marked = {
                int(step.operands[1]["/MCID"])
                for step in pikepdf.parse_content_stream(page)
                if str(step.operator) == "BDC" and "/MCID" in step.operands[1]
            }
            known = len(parents[int(page.obj.StructParents)]) if "/StructParents" in page.obj else 0
            assert marked == set(range(known))
