"""A file that holds several papers is cut where they begin; where that is not sure, a person has to look."""

import io

import numpy as np
import pikepdf
import pytest
from PIL import Image

from quietus.model.errors import Unreadable
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Reading
from quietus.reading import ReadingPool
from quietus.reading.leaves import joined, parts_of
from quietus.reading.opening import open_folio
from quietus.reading.reader import read_bytes
from tests.reading.helpers import Row, draft
from tests.reading.pages import Draft, packed, pdf_of, worn

ACME, OTHER = "Copperline Mixers LLC", "Juniper & Vale Tool Rental LLC"


def filing(title: str, company: str, *more: Row, state: str = "Oregon") -> Draft:
    """One page of a filing, signed at its foot."""
    page = draft(
        (1, 0.8, f"{state} Secretary of State"),
        (1, 2.2, f"Name of the limited liability company: {company}"),
        (1, 2.6, "The company is dissolved by consent of all members and its affairs are wound up."),
        (1, 8.0, "Signature                         Date signed 03/04/2026"),
        *more,
    )
    page.text(1, 1.5, title, 15, bold=True)
    return page


def more_of(company: str, *rows: Row) -> Draft:
    return draft((1, 1, f"5. The address of {company} for process is that of its manager."), *rows)


def cuts(*pages: Draft) -> list[tuple[int, ...]]:
    return [numbers(reading) for reading in read_bytes(pdf_of(list(pages)), limits=DEFAULT_LIMITS)]


def numbers(reading: Reading) -> tuple[int, ...]:
    return tuple(page.number for page in reading.pages)


def test_two_filings_of_two_companies_are_two_papers() -> None:
    assert cuts(filing("Articles of Dissolution", ACME), filing("Articles of Dissolution", OTHER)) == [(1,), (2,)]


def test_two_kinds_of_one_company_are_two_papers() -> None:
    first, second = filing("Articles of Dissolution", ACME), filing("Statement of Withdrawal", ACME, state="Washington")
    readings = read_bytes(pdf_of([first, second]), limits=DEFAULT_LIMITS)
    assert [(reading.text("kind"), reading.text("jurisdiction")) for reading in readings] == [
        ("dissolution", "OR"),
        ("withdrawal", "WA"),
    ]
    assert readings[1]["kind"].page == 2


def test_page_numbers_keep_pages_together_and_part_papers() -> None:
    one = [
        filing("Articles of Dissolution", ACME, (4, 10.5, "Page 1 of 2")),
        filing("Statement of Withdrawal", ACME, (4, 10.5, "Page 2 of 2")),
        filing("Articles of Dissolution", ACME, (4, 10.5, "Page 1 of 2")),
        more_of(ACME, (4, 10.5, "Page 2 of 2")),
    ]
    assert cuts(*one) == [(1, 2), (3, 4)]


def test_a_page_that_reads_on_stays_with_its_paper() -> None:
    assert cuts(filing("Articles of Dissolution", ACME), more_of(ACME)) == [(1, 2)]


def test_the_blank_back_of_a_sheet_stays_with_its_paper() -> None:
    pages = (filing("Articles of Dissolution", ACME), Draft(), filing("Articles of Dissolution", OTHER), Draft())
    assert cuts(*pages) == [(1, 2), (3, 4)]


def test_the_numbers_of_a_fax_machine_do_not_count() -> None:
    first, second = filing("Articles of Dissolution", ACME), filing("Articles of Dissolution", OTHER)
    for number, page in enumerate((first, second), 1):
        page.text(1, 0.3, f"10/02/2026 14:22  FAX 555 0187  P.{number:02d}/02", 8)
    assert cuts(first, second) == [(1,), (2,)]


def test_a_covering_letter_stays_with_what_it_covers() -> None:
    letter = draft(
        (1, 1, "March 4, 2026"),
        (1, 1.6, "Dear Sir or Madam:"),
        (1, 2, f"Enclosed please find the articles of dissolution of {ACME} for filing."),
        (1, 3, "Sincerely,"),
    )
    assert cuts(letter, filing("Articles of Dissolution", ACME)) == [(1, 2)]


def test_a_cut_that_is_not_sure_makes_somebody_look() -> None:
    again = [filing("Articles of Dissolution", ACME), filing("Articles of Dissolution", ACME)]
    again[0].texts = [text for text in again[0].texts if "Signature" not in text[2]]
    readings = read_bytes(pdf_of(again), limits=DEFAULT_LIMITS)
    assert all(reading["kind"].review and "not sure" in reading["kind"].method for reading in readings)


def test_a_person_says_where_papers_begin() -> None:
    data = pdf_of([filing("Articles of Dissolution", ACME), more_of(ACME), filing("Articles of Dissolution", OTHER)])
    assert [numbers(r) for r in read_bytes(data, limits=DEFAULT_LIMITS)] == [(1, 2), (3,)]
    told = read_bytes(data, limits=DEFAULT_LIMITS, starts=(1, 2))
    assert [numbers(r) for r in told] == [(1,), (2, 3)]
    assert "not sure" not in told[0]["kind"].method
    assert [numbers(r) for r in read_bytes(data, limits=DEFAULT_LIMITS, starts=(1,))] == [(1, 2, 3)]


@pytest.mark.ocr
def test_a_scanned_batch_is_cut_into_its_papers() -> None:
    pages = [
        filing("Articles of Dissolution", ACME, (4, 10.5, "Page 1 of 2")),
        more_of(ACME, (4, 10.5, "Page 2 of 2")),
        filing("Statement of Withdrawal", ACME, state="Washington"),
        filing("Articles of Dissolution", OTHER),
    ]
    scans = [worn(page.picture(200), seed, skew=0.6) for seed, page in enumerate(pages)]
    scans[2] = scans[2].rotate(180)
    readings = read_bytes(packed(scans, "fax", 200), limits=DEFAULT_LIMITS)
    assert [numbers(reading) for reading in readings] == [(1, 2), (3,), (4,)]
    assert [reading.text("kind") for reading in readings] == ["dissolution", "withdrawal", "dissolution"]


def test_parts_of_a_pdf_keep_their_pictures_byte_for_byte() -> None:
    batch = packed([Draft().picture(72), draft((1, 1, "one")).picture(72), draft((1, 1, "two")).picture(72)], "pdf", 72)
    first, second = parts_of(batch, ((1, 2), (3,)), DEFAULT_LIMITS)
    assert pictures(first) + pictures(second) == pictures(batch)
    assert parts_of(batch, ((1, 2), (3,)), DEFAULT_LIMITS) == (first, second)


def pictures(data: bytes) -> list[bytes]:
    with pikepdf.open(io.BytesIO(data)) as pdf:
        return [image.read_raw_bytes() for page in pdf.pages for image in page.get_images().values()]


def test_parts_of_a_pdf_take_nothing_of_other_pages_along() -> None:
    batch = pdf_of([draft((1, 1, "first secret 000-12-3456")), draft((1, 1, "second page"))])
    with pikepdf.open(io.BytesIO(batch)) as pdf:
        pdf.attachments["note.txt"] = b"an attached secret"
        pdf.docinfo["/Title"] = "a titled secret"
        out = io.BytesIO()
        pdf.save(out)
    (second,) = parts_of(out.getvalue(), ((2,),), DEFAULT_LIMITS)
    with pikepdf.open(io.BytesIO(second)) as pdf:
        streams = [bytes(thing.read_bytes()) for thing in pdf.objects if isinstance(thing, pikepdf.Stream)]
        assert not pdf.attachments
        assert "/Title" not in pdf.docinfo
    assert all(b"secret" not in stream for stream in streams)


@pytest.mark.parametrize("how", ["tiff", "fax"])
def test_parts_of_a_tiff_keep_every_pixel(how: str) -> None:
    batch = packed([draft((1, 1, f"page {number}")).picture(100) for number in range(3)], how, 100)
    whole = frames(batch)
    parts = parts_of(batch, ((1,), (2, 3)), DEFAULT_LIMITS)
    again = [frame for part in parts for frame in frames(part)]
    assert all(np.array_equal(one, other) for one, other in zip(whole, again, strict=True))
    assert Image.open(io.BytesIO(parts[1])).info["dpi"] == (100, 100)


def frames(data: bytes) -> list[np.ndarray[tuple[int, ...], np.dtype[np.uint8]]]:
    image = Image.open(io.BytesIO(data))
    found = []
    for number in range(getattr(image, "n_frames", 1)):
        image.seek(number)
        found.append(np.asarray(image.convert("RGB")))
    return found


def test_files_of_every_type_become_one() -> None:
    page = draft((1, 1, "a page of its own")).picture(72)
    files = (*(packed([page], how, 72) for how in ("jpeg", "png", "fax", "tiff")), pdf_of([draft((1, 1, "x"))]))
    whole = joined(files, DEFAULT_LIMITS)
    with pikepdf.open(io.BytesIO(whole)) as pdf:
        assert [[round(float(edge)) for edge in p.mediabox] for p in pdf.pages] == [[0, 0, 612, 792]] * 5
        assert next(iter(pdf.pages[0].get_images().values())).read_raw_bytes() == files[0]
    folio = open_folio(whole, DEFAULT_LIMITS)
    for number in (2, 3, 4):
        picture = folio.raster(number).picture
        assert picture.min() < 90 < 230 < picture.max()


def test_taking_apart_happens_in_a_child_and_names_what_is_wrong() -> None:
    with ReadingPool(1, DEFAULT_LIMITS) as pool:
        data = pdf_of([filing("Articles of Dissolution", ACME), more_of(ACME)])
        assert len(pool.parts(data, ((1,), (2,))).result(timeout=60)) == 2
        assert [numbers(r) for r in pool.submit(data, (1, 2)).result(timeout=60)] == [(1,), (2,)]
        with pytest.raises(Unreadable) as caught:
            pool.parts(data, ((3,),)).result(timeout=60)
        assert caught.value.reason == "no-such-page"
        with pytest.raises(Unreadable) as caught:
            pool.joined((data, b"no scan")).result(timeout=60)
        assert caught.value.reason == "not-a-scan"
