"""Redacted copies and papers told of in a line, as they come out in a whole bundle."""

import io
import json
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2 as pdfium
import pytest

from quietus.bundle import build
from quietus.bundle.build import build_bundle
from quietus.bundle.drawn import typeset, with_sheets
from quietus.bundle.exhibits import exhibits_of
from quietus.bundle.geometry import Leaf, Matrix, frame
from quietus.bundle.purposes import Form
from quietus.bundle.redaction import spots_to_hide
from quietus.bundle.request import BundleMade, BundleRequest
from quietus.bundle.summary import page_data
from quietus.model.errors import Refused, Unreadable
from quietus.model.reading import Box, PageView, PrivateSort, PrivateSpot, Reading
from tests.bundle.looking import everything, last_page, pages_of, proof, words
from tests.bundle.make import PDF, TIFF, complete, fax, line, paper, request, typed_pdf

SECRET = "900-11-2222"
BOX = Box(60 / 612, 80 / 792, 220 / 612, 100 / 792)


def told_a_secret(**more: Any) -> BundleRequest:
    """One paper whose first line is a number."""
    data = typed_pdf(SECRET, "stays in sight")
    made = paper("OR/dissolution", data)
    made = replace(made, reading=replace(made.reading, private=(PrivateSpot(1, BOX, PrivateSort.SSN),)))
    return request([line("OR/dissolution", made)], [(made, data)], **more)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> BundleMade:
    return build_bundle(told_a_secret(), tmp_path_factory.mktemp("made") / "bundle")


def in_form(wanted: BundleRequest, form: Form) -> BundleRequest:
    chosen = tuple(replace(item, form=form, hide=frozenset({"ssn"})) for item in wanted.selection.included)
    return replace(wanted, selection=replace(wanted.selection, included=chosen))


def test_what_is_to_be_hidden_is_nowhere_in_the_bundle(made: BundleMade) -> None:
    for path in (path for path in made.path.rglob("*") if path.is_file()):
        assert SECRET.encode() not in path.read_bytes()
    for pdf in (proof(made.path), made.path / "data" / "redacted" / "01-dissolution-OR.pdf"):
        assert not [text for _, text in everything(pdf) if SECRET.encode() in text or b"stays in sight" in text]
        assert SECRET not in words(pdf)
    assert list((made.path / "data" / "originals").iterdir()) == []


def test_the_place_is_black_and_the_rest_is_seen(made: BundleMade) -> None:
    copy = made.path / "data" / "redacted" / "01-dissolution-OR.pdf"
    drawn = last_page(copy).render(scale=1).to_pil().convert("L")
    assert drawn.crop((60, 80, 219, 99)).getextrema() == (0, 0)
    assert drawn.crop((72, 102, 160, 114)).getextrema()[0] < 120
    exhibit = last_page(proof(made.path)).render(scale=1).to_pil().convert("L")
    assert exhibit.crop((100, 125, 200, 140)).getextrema()[0] == 0


def test_the_slip_sheet_and_the_summary_say_that_it_was_redacted(made: BundleMade) -> None:
    text = words(proof(made.path))
    assert "Redacted by the preparer: 1 place blacked out (social security numbers)." in text
    assert "SHA-256 OF THE REDACTED COPY" in text
    exhibit = json.loads((made.path / "data" / "summary.json").read_text())["exhibits"][0]
    assert (exhibit["form"], exhibit["file"]) == ("redacted", "data/redacted/01-dissolution-OR.pdf")
    wanted = told_a_secret()
    received = wanted.selection.included[0].paper.sha256  # may be guessed at, when all but the number is known
    assert received not in text + (made.path / "data" / "summary.json").read_text()


def test_no_copy_goes_out_that_nothing_can_read_again(tmp_path: Path) -> None:
    with pytest.raises(Refused):
        build_bundle(told_a_secret(reread=None), tmp_path / "bundle")
    assert list(tmp_path.iterdir()) == []


def test_copies_are_not_read_any_more_once_the_document_has_failed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One file has another number of pages than it was received with; the copies of the others wait for one thread."""
    begun: list[int] = []

    def slow(data: bytes) -> Reading:
        begun.append(len(data))
        time.sleep(1)
        return Reading(())

    monkeypatch.setattr(build, "_AT_ONCE", 1)
    pairs = [(paper("OR/dissolution", typed_pdf("one page"), pages=2), typed_pdf("one page"))]
    for key in ("WA/withdrawal", "TN/withdrawal", "CO/withdrawal", "NJ/withdrawal"):
        data = typed_pdf(SECRET, key)
        made = paper(key, data)
        spots = (PrivateSpot(1, BOX, PrivateSort.SSN),)
        pairs.append((replace(made, reading=replace(made.reading, private=spots)), data))
    wanted = request([line(made.expected, made) for made, _ in pairs], pairs, reread=slow)
    assert [item.form for item in wanted.selection.included].count(Form.REDACTED) == 4
    with pytest.raises(Unreadable, match="another number of pages"):
        build_bundle(wanted, tmp_path / "bundle")
    assert len(begun) < 4
    assert list(tmp_path.iterdir()) == []


def found(*spots: PrivateSpot, text: str = "") -> Reading:
    return Reading((PageView(1, 0, 0.0, text, "ocr"),), private=spots)


@pytest.mark.parametrize(
    "again", [found(PrivateSpot(1, BOX, PrivateSort.SSN)), found(text=f"No. {SECRET}")], ids=["spot", "text"]
)
def test_a_copy_on_which_something_is_found_is_refused(again: Reading, tmp_path: Path) -> None:
    wanted = in_form(told_a_secret(reread=lambda _: again), Form.REDACTED)
    with pytest.raises(Refused, match="exhibit A"):
        build_bundle(wanted, tmp_path / "bundle")
    assert list(tmp_path.iterdir()) == []


def test_a_number_without_a_place_keeps_the_whole_paper_back(tmp_path: Path) -> None:
    data = typed_pdf(SECRET)
    made = paper("OR/dissolution", data)
    view = PageView(1, 0, 0.0, f"No. {SECRET}", "text-layer")
    made = replace(made, reading=replace(made.reading, pages=(view,)))
    with pytest.raises(Refused, match="its place is not known"):
        build_bundle(request([line("OR/dissolution", made)], [(made, data)]), tmp_path / "bundle")
    assert list(tmp_path.iterdir()) == []


def test_what_the_purpose_does_not_hide_may_be_found(tmp_path: Path) -> None:
    wanted = told_a_secret(reread=lambda _: found(PrivateSpot(1, BOX, PrivateSort.EIN), text="08-3307915"))
    assert build_bundle(in_form(wanted, Form.REDACTED), tmp_path / "bundle").exhibits == 1


def test_a_copy_holds_the_pages_of_its_paper_alone(tmp_path: Path) -> None:
    data = fax(pages=3)
    made = paper("OR/dissolution", data, TIFF, pages=3)
    second = replace(made.reading.pages[0], number=2)
    made = replace(made, reading=replace(made.reading, pages=(second,)))
    wanted = request([line("OR/dissolution", made)], [(made, data)])
    item = wanted.selection.included or (replace(complete().selection.included[0], paper=made),)
    wanted = replace(wanted, show_gaps=True, selection=replace(wanted.selection, included=item))
    folder = build_bundle(in_form(wanted, Form.REDACTED), tmp_path / "bundle").path
    with pikepdf.open(folder / "data" / "redacted" / "01-dissolution-OR.pdf") as pdf:
        assert len(pdf.pages) == 1
        assert pdf.pages[0].obj.Resources.XObject.Page.Filter == "/CCITTFaxDecode"  # black and white without loss


def test_spots_of_other_sorts_stay_in_sight() -> None:
    spots = tuple(PrivateSpot(1, BOX, sort) for sort in PrivateSort)
    reading = Reading((), private=spots)
    assert {s.sort for s in spots_to_hide(reading, {"ssn", "ein"})} == {PrivateSort.SSN, PrivateSort.EIN}
    assert spots_to_hide(reading, set()) == ()


def test_a_paper_told_of_in_a_line_sends_neither_pages_nor_file(tmp_path: Path) -> None:
    wanted = in_form(complete(), Form.LINE)
    asked: list[str] = []

    def original(id_: str) -> bytes:
        asked.append(id_)
        return b""

    made = build_bundle(replace(wanted, original=original), tmp_path / "bundle")
    for page in pdfium.PdfDocument(proof(made.path)):
        assert page.render(scale=0.3).to_pil().convert("L").getextrema()[0] < 160
    text = words(proof(made.path))
    assert (made.exhibits, asked) == (0, [])
    assert "Told of here without a copy" in text
    assert "told here without a copy" in text
    assert "4 told of in a line" in text
    assert list((made.path / "data" / "originals").iterdir()) == []
    lines = json.loads((made.path / "data" / "summary.json").read_text())["lines"]
    assert {(item["form"], item["mark"]) for item in lines} == {("certificate-line", "proven")}


def test_the_document_of_pictures_alone_is_made_for_keeping(tmp_path: Path) -> None:
    """ISO 19005-2, 6.6.4: a file says in its metadata that it is PDF/A; one with foreign pages does not."""
    foreign = typed_pdf("Articles")
    made = paper("OR/dissolution", foreign, PDF)
    wanted = request([line("OR/dissolution", made)], [(made, foreign)])
    for name, asked, claims in (("a", in_form(wanted, Form.REDACTED), True), ("b", wanted, False)):
        path = proof(build_bundle(asked, tmp_path / name).path)
        with pikepdf.open(path) as pdf, pdf.open_metadata() as metadata:
            assert (metadata.pdfa_status == "2B", "/OutputIntents" in pdf.Root) == (claims, claims)
        assert ("made to PDF/A-2b" in words(path)) is claims


def test_the_drawn_pages_pass_the_typesetters_checks_for_those_who_cannot_see() -> None:
    """ISO 14289-1 (PDF/UA-1), as far as the typesetter checks it: title, language, tags, words for every picture."""
    wanted = complete()
    exhibits = exhibits_of(wanted.selection.included)
    frames = [[frame(Leaf((0, 0, 1, 1), Matrix(612, 0, 0, 792, 0, 0), 612, 792), 0)] for _ in exhibits]
    data = with_sheets(page_data(wanted, exhibits), frames, [[] for _ in exhibits], [])
    with pikepdf.open(io.BytesIO(typeset(data, "ua-1"))) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang) == "en-US"


def test_the_form_to_sign_is_not_signed_and_claims_nothing(tmp_path: Path) -> None:
    pages = pages_of(proof(build_bundle(complete(), tmp_path / "bundle").path))
    form = next(page for page in pages if "a form to complete and sign" in page and "Nobody has signed" in page)
    text = " ".join("\n".join(pages[pages.index(form) :]).split())
    for words_ in ("803(6)(A) to (C)", "902(11)", "902(14)", "28 U.S.C. 1746", "under penalty of perjury"):
        assert words_ in text
    assert "an office's stamp, but no seal and signature that attest the copy" in text


def test_a_page_too_large_to_draw_is_named(tmp_path: Path) -> None:
    data = typed_pdf("large", size=(14000, 14000))
    made = paper("OR/dissolution", data)
    wanted = in_form(request([line("OR/dissolution", made)], [(made, data)]), Form.REDACTED)
    with pytest.raises(Unreadable, match="Exhibit A"):
        build_bundle(wanted, tmp_path / "bundle")
