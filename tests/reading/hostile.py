"""Files that nobody should have to open, each made here in a few lines."""

import io
import struct
import zlib

import pikepdf
from PIL import Image
from reportlab.pdfgen import canvas


def good_pdf(words: str = "A plain page with enough words on it to be read") -> bytes:
    """One typeset page."""
    out = io.BytesIO()
    page = canvas.Canvas(out, pagesize=(612, 792), invariant=True)
    page.drawString(72, 700, words)
    page.showPage()
    page.save()
    return out.getvalue()


def truncated_pdf() -> bytes:
    """The first two thirds of a PDF."""
    whole = good_pdf()
    return whole[: len(whole) * 2 // 3]


def locked_pdf() -> bytes:
    """A PDF that opens only with a password."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(good_pdf())) as pdf:
        pdf.save(out, encryption=pikepdf.Encryption(user="secret", owner="secret"))
    return out.getvalue()


def png_bomb(side: int = 40_000) -> bytes:
    """A PNG whose header claims `side` by `side` pixels; hardly any data follows."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    header = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    pixels = zlib.compress(b"\x00" * 100_000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")


def looping_tiff() -> bytes:
    """A TIFF whose only page names itself as the next page."""
    out = io.BytesIO()
    Image.new("1", (64, 64), 1).save(out, "TIFF")
    data = bytearray(out.getvalue())
    start = struct.unpack_from("<I", data, 4)[0]
    entries = struct.unpack_from("<H", data, start)[0]
    struct.pack_into("<I", data, start + 2 + 12 * entries, start)
    return bytes(data)


def two_page_loop_tiff() -> bytes:
    """A TIFF whose second page names the first as the next."""
    out = io.BytesIO()
    pages = [Image.new("1", (64, 64), 1) for _ in range(2)]
    pages[0].save(out, "TIFF", save_all=True, append_images=pages[1:])
    data = bytearray(out.getvalue())
    first = struct.unpack_from("<I", data, 4)[0]
    at = first + 2 + 12 * struct.unpack_from("<H", data, first)[0]
    second = struct.unpack_from("<I", data, at)[0]
    struct.pack_into("<I", data, second + 2 + 12 * struct.unpack_from("<H", data, second)[0], first)
    return bytes(data)


def cut_tiff() -> bytes:
    """A TIFF with its second half missing."""
    out = io.BytesIO()
    Image.effect_noise((800, 1000), 90).save(out, "TIFF")
    return out.getvalue()[: len(out.getvalue()) // 2]


def giant_page_pdf() -> bytes:
    """A PDF page of 200 by 200 inches, the largest that the format allows."""
    out = io.BytesIO()
    page = canvas.Canvas(out, pagesize=(14400, 14400), invariant=True)
    page.rect(10, 10, 100, 100)
    page.showPage()
    page.save()
    return out.getvalue()


def _inflating(block: bytes, times: int) -> bytes:
    """A deflate stream that unpacks to `block` repeated, made without packing each copy."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    once = packer.compress(block) + packer.flush(zlib.Z_FULL_FLUSH)
    return b"\x78\xda" + once * times + b"\x03\x00" + b"\x00" * 4


def flate_bomb_pdf(megabytes: int = 6000) -> bytes:
    """A PDF whose page description unpacks to gigabytes; the file itself has a few megabytes."""
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(612, 792))
    stream = pikepdf.Stream(pdf, b"")
    stream.write(_inflating(b" " * (1 << 20), megabytes), filter=pikepdf.Name.FlateDecode)
    pdf.pages[0].Contents = pdf.make_indirect(stream)
    out = io.BytesIO()
    pdf.save(out, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return out.getvalue()


def picture_bomb_pdf(side: int = 40_000) -> bytes:
    """A PDF page covered by a picture of `side` by `side` pixels."""
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(612, 792))
    stream = pikepdf.Stream(pdf, b"")
    stream.write(_inflating(b"\x00" * (side // 8), side), filter=pikepdf.Name.FlateDecode)
    stream.Type, stream.Subtype, stream.ColorSpace = pikepdf.Name.XObject, pikepdf.Name.Image, pikepdf.Name.DeviceGray
    stream.Width, stream.Height, stream.BitsPerComponent = side, side, 1
    pdf.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Im0=pdf.make_indirect(stream)))
    pdf.pages[0].Contents = pdf.make_stream(b"q 612 0 0 792 0 0 cm /Im0 Do Q")
    out = io.BytesIO()
    pdf.save(out, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return out.getvalue()
