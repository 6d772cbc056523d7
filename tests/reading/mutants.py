"""Broken and hostile scans by the thousand: real ones with bits flipped, ends cut off, pieces of others spliced in."""

import io
import random
import re
import struct
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from PIL import Image

from tests.reading import hostile
from tests.reading.pages import Box, Draft, packed, pdf_of

SCANS = Path(__file__).parents[2] / "sample_docs" / "scans"
_SAMPLES = 0.06  # share of files made from a sample scan at its full size; the rest are made from small ones


@dataclass(frozen=True, slots=True)
class Mutant:
    """A file that may do anything.

    Attributes:
        number: its place in the row of its seed.
        how: what was done to which file.
        data: its bytes.
    """

    number: int
    how: str
    data: bytes


def mutants(count: int, seed: int) -> Iterator[Mutant]:
    """The first `count` files of the row that `seed` names."""
    for number in range(count):
        yield mutant(seed, number)


def mutant(seed: int, number: int) -> Mutant:
    """File `number` (from 0) of the row that `seed` names."""
    chance = random.Random(f"{seed} {number}")
    if chance.random() < 0.02:
        name = chance.choice(sorted(_bombs()))
        return Mutant(number, name, _bombs()[name](chance))
    name, data = _grown(chance)
    words = []
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        change = chance.choice(_CHANGES)
        data = change(data, chance)
        words.append(change.__name__.strip("_"))
    return Mutant(number, f"{name}: {', '.join(words)}", data)


def _grown(chance: random.Random) -> tuple[str, bytes]:
    if chance.random() < _SAMPLES:
        path = chance.choice(sorted(SCANS.iterdir()))
        return path.name, path.read_bytes()
    return chance.choice(_small())


@cache
def _small() -> list[tuple[str, bytes]]:
    """Small files of every type, packed in every way."""
    page = Draft()
    page.text(1, 1, "Articles of Dissolution", 18, bold=True)
    page.text(1, 1.6, "Copperline Mixers LLC, EIN 07-1234567, 000-12-3456")
    page.text(1, 2, "Filed 03/04/2026 with the Oregon Secretary of State")
    page.boxes.append(Box(1, 2.4, 0.15, "x"))
    picture = page.picture(80).crop((0, 0, 680, 440))
    files = [("typed.pdf", pdf_of([page, Draft()]))]
    files += [(f"scan.{how}", packed([picture, picture], how, 80)) for how in ("pdf", "tiff", "fax", "jpeg", "png")]
    for mode in ("1", "L", "P", "RGBA", "I;16"):
        files.append((f"{mode}.png", _saved(_as(picture, mode), "PNG")))
    for how in ("jpeg", "packbits", "tiff_adobe_deflate", "group3", "raw"):
        files.append((f"{how}.tif", _saved(_as(picture, "1" if how == "group3" else "RGB"), "TIFF", compression=how)))
    files.append(("progressive.jpg", _saved(picture, "JPEG", progressive=True, quality=60)))
    files.append(("cmyk.jpg", _saved(picture.convert("CMYK"), "JPEG")))
    return files


def _as(picture: Image.Image, mode: str) -> Image.Image:
    return picture.convert("L").convert("I").convert("I;16") if mode == "I;16" else picture.convert(mode)


def _saved(picture: Image.Image, kind: str, **more: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind, **more)
    return out.getvalue()


@cache
def _bombs() -> dict[str, Callable[[random.Random], bytes]]:
    return {
        "png bomb": lambda chance: hostile.png_bomb(chance.choice((7_000, 20_000, 60_000))),
        "picture bomb": lambda chance: hostile.picture_bomb_pdf(chance.choice((7_000, 12_000))),
        "flate bomb": lambda chance: hostile.flate_bomb_pdf(chance.choice((100, 2_000))),
        "giant page": lambda _: hostile.giant_page_pdf(),
        "looping tiff": lambda _: hostile.looping_tiff(),
        "two-page loop": lambda _: hostile.two_page_loop_tiff(),
        "locked": lambda _: hostile.locked_pdf(),
    }


# --- what is done to a file -----------------------------------------------------------------------------------------


def _flipped(data: bytes, chance: random.Random) -> bytes:
    out = bytearray(data)
    for _ in range(chance.choice((1, 4, 16, 200))):
        if out:
            out[chance.randrange(len(out))] ^= 1 << chance.randrange(8)
    return bytes(out)


def _flipped_at_the_head(data: bytes, chance: random.Random) -> bytes:
    return _flipped(data[:600], chance) + data[600:]


def _cut(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def _holed(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + data[at + chance.randrange(1, 2000) :]


def _blanked(data: bytes, chance: random.Random) -> bytes:
    at, long = chance.randrange(len(data) + 1), chance.randrange(1, 2000)
    fill = chance.choice((b"\x00", b"\xff", b" ", b"A"))
    return data[:at] + fill * min(long, len(data) - at) + data[at + long :]


def _stuffed(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + chance.randbytes(chance.randrange(1, 2000)) + data[at:]


def _doubled(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + data[max(0, at - chance.randrange(1, 5000)) : at] + data[at:]


def _spliced(data: bytes, chance: random.Random) -> bytes:
    other = _grown(chance)[1]
    return data[: chance.randrange(len(data) + 1)] + other[chance.randrange(len(other)) :]


def _with_other_numbers(data: bytes, chance: random.Random) -> bytes:
    """Other numbers in a PDF's text: sizes, lengths, references."""
    found = list(re.finditer(rb"(?<![\w.])\d{1,10}(?![\w.])", data))
    for match in sorted(chance.sample(found, min(len(found), chance.randrange(1, 6))), key=lambda m: -m.start()):
        number = chance.choice((b"0", b"-1", b"1", b"65536", b"99999999", b"2147483648", b"4294967295", b"1e30"))
        data = data[: match.start()] + number + data[match.end() :]
    return data


def _with_other_words(data: bytes, chance: random.Random) -> bytes:
    """Four bytes set to an extreme, as in a TIFF's directory or a PNG's header, with the checksums put right."""
    if len(data) < 64:
        return data
    at = chance.randrange(len(data) - 4) if chance.random() < 0.5 else chance.randrange(8, 60)
    extreme = struct.pack(
        chance.choice("<>") + "I", chance.choice((0, 1, 0xFF, 0xFFFF, 0x10000, 0x7FFFFFFF, 0xFFFFFFFF))
    )
    return _checksummed(data[:at] + extreme + data[at + 4 :])


def _checksummed(data: bytes) -> bytes:
    """A PNG with every chunk's checksum made to fit, so that decoders go on; anything else as it is."""
    if not data.startswith(b"\x89PNG\r\n\x1a\n"):
        return data
    out, at = bytearray(data[:8]), 8
    while at + 12 <= len(data):
        (long,) = struct.unpack_from(">I", data, at)
        end = at + 8 + long
        if end + 4 > len(data):
            break
        out += data[at:end] + struct.pack(">I", zlib.crc32(data[at + 4 : end]))
        at = end + 4
    return bytes(out + data[at:])


_CHANGES = (_flipped, _flipped, _flipped, _flipped_at_the_head, _cut, _holed, _blanked, _stuffed, _doubled, _spliced,
            _with_other_numbers, _with_other_numbers, _with_other_words, _with_other_words)  # fmt: skip
