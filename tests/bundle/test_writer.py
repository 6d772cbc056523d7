"""The PDF writer: what other libraries read back is what went in."""

import io
from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name, Stream, String

from quietus.bundle.writer import PdfWriter


def carried(source: pikepdf.Pdf, thing: pikepdf.Object) -> bytes:
    """A PDF whose catalog leads to `thing`, carried over from `source`."""
    buffer = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.Root.Kept = to_come = pdf.make_indirect(Dictionary())
        pdf.trailer.Info = pdf.make_indirect(Dictionary())
        writer = PdfWriter(buffer, len(pdf.objects) + 1)
        writer.whole(pdf, {to_come.objgen[0]})
        writer.carried(source, thing, to_come.objgen[0], {})
        writer.finish(pdf.trailer.Root, pdf.trailer.Info, b"0123456789abcdef")
    return buffer.getvalue()


@pytest.fixture
def source() -> Iterator[pikepdf.Pdf]:
    with pikepdf.new() as pdf:
        for _ in range(40):  # so that old numbers differ from new ones
            pdf.make_indirect(Dictionary())
        yield pdf


tricky = st.one_of(
    st.binary(max_size=12),
    st.sampled_from([b"12 0 R", b"(12 0 R", b"\\) 3 0 R (", b"<12 0 R>", b"\x00 1 0 R", b"%4 0 R"]),
)


@given(st.lists(tricky, min_size=1, max_size=6))
def test_strings_that_look_like_references_stay_as_they_are(strings: list[bytes]) -> None:
    with pikepdf.new() as source:
        inner = source.make_indirect(Dictionary(Word=String("here")))
        mixed = [part for text in strings for part in (String(text), inner, 7, 0)]
        with pikepdf.open(io.BytesIO(carried(source, source.make_indirect(Array(mixed))))) as pdf:
            kept = list(pdf.Root.Kept)
            assert [bytes(part) for part in kept[::4]] == strings
            assert {str(part.Word) for part in kept[1::4]} == {"here"}
            assert kept[2::4] == [7] * len(strings)


def test_shared_and_circular_objects_are_written_once(source: pikepdf.Pdf) -> None:
    one = source.make_indirect(Dictionary())
    two = source.make_indirect(Dictionary(Back=one))
    one.Next, one.Again = two, two
    with pikepdf.open(io.BytesIO(carried(source, one))) as pdf:
        kept = pdf.Root.Kept
        assert kept.Next.objgen == kept.Again.objgen
        assert kept.Next.Back.objgen == kept.objgen


def test_plain_and_coded_streams_come_back(source: pikepdf.Pdf) -> None:
    plain = Stream(source, b"plain words " * 50)
    coded = Stream(source, b"68656c6c6f>")
    coded.Filter = Name.ASCIIHexDecode
    both = source.make_indirect(Dictionary(Plain=source.make_indirect(plain), Coded=source.make_indirect(coded)))
    with pikepdf.open(io.BytesIO(carried(source, both))) as pdf:
        assert pdf.Root.Kept.Plain.read_bytes() == b"plain words " * 50
        assert pdf.Root.Kept.Coded.read_raw_bytes() == b"68656c6c6f>"


def test_an_encrypted_source_comes_back_in_clear(tmp_path: Path) -> None:
    with pikepdf.new() as secret:
        secret.add_blank_page()
        secret.Root.Kept = secret.make_indirect(Stream(secret, b"stream words"))
        secret.Root.Kept.Note = String("string words")
        secret.save(tmp_path / "locked.pdf", encryption=pikepdf.Encryption(owner="o", user=""))
    with pikepdf.open(tmp_path / "locked.pdf") as locked:
        made = carried(locked, locked.Root.Kept)
    with pikepdf.open(io.BytesIO(made)) as pdf:
        assert pdf.Root.Kept.read_bytes() == b"stream words"
        assert str(pdf.Root.Kept.Note) == "string words"


def test_numbers_and_the_like_that_stand_alone_come_back() -> None:
    """Some writers give every number an object of its own."""
    text = (
        b"%PDF-1.4\n1 0 obj\n<</Type/Catalog/Pages 2 0 R/Kept 4 0 R>>\nendobj\n"
        b"2 0 obj\n<</Type/Pages/Kids[3 0 R]/Count 1>>\nendobj\n"
        b"3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>\nendobj\n"
        b"4 0 obj\n[5 0 R 6 0 R 7 0 R 8 0 R 9 0 R]\nendobj\n"
        b"5 0 obj\n42\nendobj\n6 0 obj\n-1.5\nendobj\n7 0 obj\ntrue\nendobj\n8 0 obj\n/A#20b\nendobj\n"
        b"9 0 obj\n(a [b] c)\nendobj\n"
        b"trailer\n<</Root 1 0 R/Size 10>>\n%%EOF\n"
    )
    with pikepdf.open(io.BytesIO(text)) as old, pikepdf.open(io.BytesIO(carried(old, old.Root.Kept))) as pdf:
        kept = list(pdf.Root.Kept)
        assert [str(part) for part in kept] == ["42", "-1.5", "True", "/A b", "a [b] c"]


def test_the_file_is_strictly_well_formed(source: pikepdf.Pdf) -> None:
    made = carried(source, source.make_indirect(Stream(source, b"x")))
    with pikepdf.open(io.BytesIO(made)) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert bytes(pdf.trailer.ID[0]) == b"0123456789abcdef"
    reader = pypdf.PdfReader(io.BytesIO(made), strict=True)
    assert len(reader.pages) == 1
