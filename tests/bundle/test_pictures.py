"""Scans come into the PDF pixel for pixel, upright, and with nothing beside their pixels."""

import io
import struct
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2 as pdfium
import pytest
from pikepdf import Dictionary
from PIL import Image, ImageChops, ImageOps, TiffImagePlugin
from PIL.PngImagePlugin import PngInfo

from quietus.bundle.geometry import frame
from quietus.bundle.pictures import PictureFile, bare_jpeg
from quietus.bundle.writer import PdfWriter
from quietus.model.errors import Unreadable
from quietus.model.limits import DEFAULT_LIMITS, Limits
from tests.bundle.make import JPEG, PNG, TIFF, fax, picture, scan


def laid_in(file: PictureFile, page: int, matrix: str = "", *, wide: bool = False) -> pikepdf.Pdf:
    """A PDF with one page that draws a page of a picture file."""
    buffer = io.BytesIO()
    with pikepdf.new() as pdf:
        sheet = pdf.add_blank_page(page_size=(792, 612) if wide else (612, 792)).obj
        to_come = pdf.make_indirect(Dictionary())
        sheet.Resources = Dictionary(XObject=Dictionary(P=to_come))
        sheet.Contents = pdf.make_stream(f"q {matrix} cm /P Do Q".encode())
        pdf.trailer.Info = pdf.make_indirect(Dictionary())
        writer = PdfWriter(buffer, len(pdf.objects) + 1)
        writer.whole(pdf, {to_come.objgen[0]})
        file.draw(writer, page, to_come.objgen[0])
        writer.finish(pdf.trailer.Root, pdf.trailer.Info, bytes(16))
    return pikepdf.open(buffer)


def image_of(pdf: pikepdf.Pdf) -> pikepdf.Object:
    return pdf.pages[0].obj.Resources.XObject.P


@pytest.fixture
def in_pdf(tmp_path: Path) -> Iterator[Callable[[bytes, str], pikepdf.Object]]:
    """Puts the first page of a picture file into a PDF that lives as long as the test."""
    made: list[pikepdf.Pdf] = []

    def put(data: bytes, media_type: str) -> pikepdf.Object:
        path = tmp_path / "scan"
        path.write_bytes(data)
        made.append(laid_in(PictureFile(path, media_type, DEFAULT_LIMITS), 1))
        return image_of(made[-1])

    yield put
    for pdf in made:
        pdf.close()


InPdf = Callable[[bytes, str], pikepdf.Object]


def decoded(image: pikepdf.Object) -> Image.Image:
    assert isinstance(image, pikepdf.Stream)
    return pikepdf.PdfImage(image).as_pil_image()


def same_pixels(one: Image.Image, other: Image.Image) -> bool:
    return one.size == other.size and not ImageChops.difference(one.convert("RGB"), other.convert("RGB")).getbbox()


def tiff(image: Image.Image, **options: Any) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, "TIFF", **options)
    return buffer.getvalue()


def with_bits_reversed(data: bytes) -> bytes:
    """A one-strip Group 4 page, its bits stored the other way round (TIFF 6.0, FillOrder 2)."""
    page = Image.open(io.BytesIO(data))
    assert isinstance(page, TiffImagePlugin.TiffImageFile)
    start, length = page.tag_v2[273][0], page.tag_v2[279][0]
    code = bytes(int(f"{byte:08b}"[::-1], 2) for byte in data[start : start + length])
    photometric = page.tag_v2[262]
    tags = {256: page.width, 257: page.height, 258: 1, 259: 4, 262: photometric, 266: 2, 273: 0, 277: 1, 278: 9999}
    tags[279] = length
    tags[273] = 8 + 2 + 12 * len(tags) + 4
    rows = b"".join(struct.pack("<HHII", tag, 4, 1, number) for tag, number in sorted(tags.items()))
    return b"II*\x00\x08\x00\x00\x00" + struct.pack("<H", len(tags)) + rows + bytes(4) + code


LOSSLESS = {
    "png gray": (scan(PNG), PNG),
    "png colour": (scan(PNG, "RGB"), PNG),
    "png palette": (scan(PNG, "P"), PNG),
    "png one bit": (scan(PNG, "1"), PNG),
    "fax": (fax(), TIFF),
    "fax in strips": (fax(strip_size=20_000), TIFF),
    "fax inverted": (tiff(picture("1"), compression="group4", tiffinfo={262: 0}), TIFF),
    "fax group 3": (tiff(picture("1"), compression="group3"), TIFF),
    "fax bits reversed": (with_bits_reversed(fax()), TIFF),
    "tiff gray": (tiff(picture("L")), TIFF),
    "tiff colour lzw": (tiff(picture("RGB"), compression="tiff_lzw"), TIFF),
}


@pytest.mark.parametrize("name", LOSSLESS)
def test_pixels_are_those_of_the_file(name: str, in_pdf: InPdf) -> None:
    data, media_type = LOSSLESS[name]
    shown = decoded(in_pdf(data, media_type))
    assert same_pixels(shown, Image.open(io.BytesIO(data)))


@pytest.mark.parametrize("mode", ["L", "RGB", "CMYK"])
def test_a_jpeg_keeps_its_coded_pixels(mode: str, in_pdf: InPdf) -> None:
    data = scan(JPEG, mode, quality=70, progressive=True)
    image = in_pdf(data, JPEG)
    assert image.Filter == "/DCTDecode"
    start = data.index(b"\xff\xda")
    assert image.read_raw_bytes().endswith(data[start:])


def test_a_group_4_page_keeps_its_code(in_pdf: InPdf) -> None:
    data = fax()
    image = in_pdf(data, TIFF)
    assert image.Filter == "/CCITTFaxDecode"
    assert image.read_raw_bytes() in data


def test_what_a_jpeg_carries_beside_its_pixels_stays_behind() -> None:
    exif = Image.Exif()
    exif[0x010E] = "SECRETPLACE"
    data = scan(JPEG, exif=exif, comment=b"SECRETWORD") + b"SECRETTAIL"
    bare = b"".join(bare_jpeg(data))
    assert b"SECRET" in data
    assert b"SECRET" not in bare
    assert same_pixels(Image.open(io.BytesIO(bare)), Image.open(io.BytesIO(data)))


def test_what_a_png_carries_beside_its_pixels_stays_behind(in_pdf: InPdf) -> None:
    notes = PngInfo()
    notes.add_text("Comment", "SECRETWORD")
    data = scan(PNG, pnginfo=notes) + b"SECRETTAIL"
    assert b"SECRET" not in in_pdf(data, PNG).read_raw_bytes()


def test_a_jpeg_that_breaks_off_is_refused() -> None:
    with pytest.raises(Unreadable):
        list(bare_jpeg(scan(JPEG)[:4000]))


def drawn(data: bytes, media_type: str, folder: Path, turn: int = 0) -> Image.Image:
    """The picture as a viewer shows it on its exhibit page, cut to its frame."""
    path = folder / "scan"
    path.write_bytes(data)
    file = PictureFile(path, media_type, DEFAULT_LIMITS)
    into = frame(file.leaf(1), turn)
    buffer = io.BytesIO()
    laid_in(file, 1, str(into.matrix), wide=into.landscape).save(buffer)
    shown: Image.Image = pdfium.PdfDocument(buffer.getvalue())[0].render(scale=1).to_pil().convert("L")
    top = shown.height - into.bottom - into.high
    return shown.crop((round(into.left), round(top), round(into.left + into.wide), round(top + into.high)))


def close(one: Image.Image, other: Image.Image) -> bool:
    small = [image.convert("L").resize((34, 34), Image.Resampling.BOX) for image in (one, other)]
    worst = ImageChops.difference(*small).getextrema()[1]
    return isinstance(worst, (int, float)) and worst < 60


@pytest.mark.parametrize("mark", range(1, 9))
@pytest.mark.parametrize("media_type", [JPEG, TIFF, PNG])
def test_a_turn_mark_is_obeyed(media_type: str, mark: int, tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = mark
    options: dict[str, Any] = {"tiffinfo": {274: mark}} if media_type == TIFF else {"exif": exif}
    data = scan(media_type, size=(600, 1000), **options)
    assert close(drawn(data, media_type, tmp_path), ImageOps.exif_transpose(Image.open(io.BytesIO(data))))


def test_each_page_of_a_tiff_keeps_its_own_turn_mark_and_order(tmp_path: Path) -> None:
    first, second = picture("L", (600, 1000)), picture("RGB", (500, 700))
    buffer = io.BytesIO()
    first.save(buffer, "TIFF", save_all=True, append_images=[second], tiffinfo={274: 6})
    path = tmp_path / "two.tif"
    path.write_bytes(buffer.getvalue())
    file = PictureFile(path, TIFF, DEFAULT_LIMITS)
    assert file.pages == 2
    upright = []
    for number in (1, 2):
        with Image.open(io.BytesIO(buffer.getvalue())) as original:
            original.seek(number - 1)
            upright.append(ImageOps.exif_transpose(original))
    shapes = [file.leaf(1), file.leaf(2)]
    for number in (1, 2, 1):
        with laid_in(file, number) as pdf:
            pixels = decoded(image_of(pdf))
        assert same_pixels(pixels, upright[number - 1])
        assert (shapes[number - 1].wide > shapes[number - 1].high) == (pixels.width > pixels.height)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_page_is_turned_clockwise(turn: int, tmp_path: Path) -> None:
    expected = picture("L").rotate(-turn, expand=True)
    assert close(drawn(scan(PNG), PNG, tmp_path, turn), expected)


def test_fax_pixels_that_are_not_square_come_out_in_proportion(tmp_path: Path) -> None:
    path = tmp_path / "fax.tif"
    path.write_bytes(fax(dpi=(204, 98)))
    leaf = PictureFile(path, TIFF, DEFAULT_LIMITS).leaf(1)
    assert (round(leaf.wide), round(leaf.high)) == (round(1728 / 204 * 72), round(2200 / 98 * 72))


def test_a_picture_without_a_believable_dpi_is_taken_for_a_letter_page(tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(scan(JPEG, dpi=(72, 72), size=(3000, 4000)))
    leaf = PictureFile(path, JPEG, DEFAULT_LIMITS).leaf(1)
    assert (leaf.wide, leaf.high) == (594, 792)


def test_too_many_pixels_are_refused_before_they_are_decoded(tmp_path: Path) -> None:
    path = tmp_path / "big.png"
    path.write_bytes(scan(PNG, size=(2000, 2000)))
    with pytest.raises((Unreadable, Image.DecompressionBombWarning)):
        PictureFile(path, PNG, Limits(page_pixels=3_000_000))


def test_transparency_lies_on_white_paper(in_pdf: InPdf) -> None:
    buffer = io.BytesIO()
    Image.new("RGBA", (50, 50), (0, 0, 0, 0)).save(buffer, "PNG")
    shown = decoded(in_pdf(buffer.getvalue(), PNG))
    assert shown.convert("RGB").getpixel((25, 25)) == (255, 255, 255)
