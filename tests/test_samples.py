"""The sample scans are what sample_docs/README.md promises."""

import io
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import tesserocr
from PIL import Image, ImageSequence

from quietus.model.kinds import Authority, Kind
from quietus.model.reading import DATE_FIELDS, FIELDS
from quietus.reading.engine import language_folder

FOLDER = Path(__file__).parents[1] / "sample_docs"
SCANS = FOLDER / "scans"
TRUTH = tomllib.loads((FOLDER / "truth.toml").read_text(encoding="utf-8"))["paper"]
SAMPLE = "SAMPLE \u2014 not a government document"
BORN_DIGITAL = "a03-co-statement-of-foreign-entity-withdrawal.pdf"
FAX = "a04-tn-cancellation-of-certificate-of-authority.tif"
SIDEWAYS = "a07-us-1065-final.pdf"
DAMAGED = "a11-ein-account-closure-letter.png"
NAMES = sorted(path.name for path in SCANS.iterdir())
SCANNED_PDFS = [name for name in NAMES if name.endswith(".pdf") and name != BORN_DIGITAL]


def pages(data: bytes, name: str) -> list[Image.Image]:
    if name.endswith(".pdf"):
        return [page.render(scale=150 / 72).to_pil() for page in pypdfium2.PdfDocument(data)]
    return [frame.copy() for frame in ImageSequence.Iterator(Image.open(io.BytesIO(data)))]


def text_layer(name: str) -> str:
    document = pypdfium2.PdfDocument((SCANS / name).read_bytes())
    return "\n".join(page.get_textpage().get_text_bounded() for page in document)


def draw(into: Path, *names: str) -> None:
    script = str(FOLDER / "make_samples.py")
    subprocess.run([sys.executable, script, "--into", str(into), *names], check=True, timeout=120)


@pytest.fixture(scope="module")
def reader() -> Iterator[tesserocr.PyTessBaseAPI]:
    with tesserocr.PyTessBaseAPI(path=str(language_folder()), lang="eng", psm=tesserocr.PSM.SINGLE_BLOCK) as engine:
        yield engine


@pytest.mark.parametrize("name", NAMES)
def test_every_scan_opens_and_has_the_pages_promised(name: str) -> None:
    found = pages((SCANS / name).read_bytes(), name)
    assert len(found) == (2 if name == FAX else 1)
    for page in found:
        assert (page.width > page.height) == (name == SIDEWAYS)
        assert np.asarray(page.convert("L")).std() > 10  # something is printed on it


@pytest.mark.parametrize("name", [n for n in NAMES if not n.endswith(".pdf")])
def test_pictures_are_of_the_format_their_names_say(name: str) -> None:
    promised = {".png": "PNG", ".jpg": "JPEG", ".tif": "TIFF"}
    assert Image.open(SCANS / name).format == promised[Path(name).suffix]


def test_the_fax_is_one_bit_group_4() -> None:
    fax = Image.open(SCANS / FAX)
    assert (fax.mode, fax.info["compression"], fax.info["dpi"]) == ("1", "group4", (200, 200))


@pytest.mark.parametrize("name", SCANNED_PDFS)
def test_scanned_pdfs_hold_one_picture_and_no_text(name: str) -> None:
    assert text_layer(name) == ""
    page = pypdfium2.PdfDocument(SCANS / name)[0]
    assert [type(thing).__name__ for thing in page.get_objects()] == ["PdfImage"]


def test_the_born_digital_paper_has_text_with_the_sample_mark() -> None:
    text = text_layer(BORN_DIGITAL)
    assert SAMPLE in text
    assert "Filed: 07/22/2026 10:41 AM" in text


def test_the_scans_stay_small() -> None:
    assert sum(path.stat().st_size for path in SCANS.iterdir()) <= 6_000_000


def test_every_scan_has_its_truth_and_every_truth_its_scan() -> None:
    assert sorted(row["file"] for row in TRUTH) == NAMES


@pytest.mark.parametrize("row", TRUTH, ids=lambda row: row["file"])
def test_truth_is_written_in_the_words_of_the_model(row: dict[str, str | bool]) -> None:
    assert set(row) <= {"file", "entity", *FIELDS}
    assert row["kind"] in set(Kind)
    assert row["authority"] in set(Authority)
    for field in DATE_FIELDS & set(row):
        date.fromisoformat(str(row[field]))


def test_only_papers_with_an_office_mark_have_a_filing_date() -> None:
    assert {row["file"] for row in TRUTH if "filing_date" in row} == {
        row["file"] for row in TRUTH if row.get("stamped")
    }


def test_drawing_again_gives_the_same_bytes(tmp_path: Path) -> None:
    chosen = (BORN_DIGITAL, "a08-or-65-final.pdf")
    for turn in ("one", "two"):
        draw(tmp_path / turn, *chosen)
    for name in chosen:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


@pytest.mark.parametrize("name", [FAX, "a05-tn-tax-clearance.jpg"])
def test_the_scans_kept_here_are_what_the_script_draws(name: str, tmp_path: Path) -> None:
    # Pixels, not bytes: another processor's rounding may move a level here and there.
    draw(tmp_path, name)
    drawn, kept = (pages((folder / name).read_bytes(), name) for folder in (tmp_path, SCANS))
    for left, right in zip(drawn, kept, strict=True):
        apart = np.abs(np.asarray(left.convert("L"), dtype=int) - np.asarray(right.convert("L"), dtype=int))
        assert apart.mean() < 0.5


def test_the_script_refuses_a_name_it_does_not_know(tmp_path: Path) -> None:
    with pytest.raises(subprocess.CalledProcessError):
        draw(tmp_path, "no-such-paper.pdf")


@pytest.mark.ocr
@pytest.mark.parametrize("name", NAMES)
def test_every_page_shows_the_sample_mark(name: str, reader: tesserocr.PyTessBaseAPI) -> None:
    for page in pages((SCANS / name).read_bytes(), name):
        upright = page.convert("L").rotate(-90 if name == SIDEWAYS else 0, expand=True)
        foot = upright.crop((0, round(upright.height * 0.84), upright.width, upright.height))
        reader.SetImage(foot.resize((foot.width * 3 // 2, foot.height * 3 // 2)))
        assert "not a government document" in reader.GetUTF8Text()


@pytest.mark.ocr
def test_the_damaged_letter_does_not_give_up_its_date_or_number(reader: tesserocr.PyTessBaseAPI) -> None:
    page = Image.open(SCANS / DAMAGED).convert("L")
    head = page.crop((page.width // 2, 0, page.width, page.height // 4))
    for scale in (1, 2, 3):
        reader.SetImage(head.resize((head.width * scale, head.height * scale), Image.Resampling.BICUBIC))
        text = reader.GetUTF8Text()
        assert "Date" in text
        assert "October 9" not in text
        assert "4418230" not in text
