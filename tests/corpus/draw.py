"""One file of the corpus from seed, split and number: written, marked, worn and packed, with its truth."""

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from drawing.sheet import raster

from quietus.model.kinds import Kind
from tests.corpus import packing
from tests.corpus.doc import Doc, Look
from tests.corpus.invent import Place, invented, places
from tests.corpus.layouts import LAYOUTS, Layout
from tests.corpus.stamps import SPLITS
from tests.corpus.wear import Wear, pressed, worn

Row = dict[str, object]
"""What truth.toml says of one paper."""

_WEIGHTS = {Kind.DISSOLUTION: 3, Kind.FINAL_RETURN: 3, Kind.CLEARANCE: 2}
_AT_HOME = frozenset({Kind.DISSOLUTION, Kind.WINDING_UP_NOTICE})
_TURNED = {90: 8, 270: 6}
"""EXIF orientation that sets a picture lying so many degrees to the right upright again."""


@dataclass(frozen=True, slots=True)
class File:
    """A file of the corpus: its name, its bytes, and a row of truth for each paper in it."""

    name: str
    data: bytes
    rows: tuple[Row, ...]


def drawn(seed: int, split: str, number: int) -> File:
    """File `number` (from 0) of the corpus that `seed` and `split` name."""
    dice = random.Random(f"{seed} {split} {number}")
    order = _order(seed, split)
    layout = order[number % len(order)]
    born = dice.random() < layout.born
    docs = [_written(layout, dice, born=born)]
    if not born and dice.random() < 0.05:
        docs.append(_written(dice.choice(order), dice, born=False))
    printed = [doc.pdf() for doc in docs]
    noise = np.random.default_rng([seed, number, SPLITS.index(split)])
    if born:
        name, data, facts = "pdf", printed[0], {"degradation": "born-digital", "dpi": 0}
    else:
        name, data, facts = _scanned(docs, printed, dice, noise)
    file = f"{number:04d}-{_slug(layout.name)}.{name}"
    rows, page = [], 1
    for doc in docs:
        rows.append(_row(file, doc, page, facts))
        page += doc.page + 1
    return File(file, data, tuple(rows))


def _order(seed: int, split: str) -> list[Layout]:
    """The split's layouts, the weighty ones several times, shuffled: files go through them in turn."""
    mine = [one for one in LAYOUTS if one.split == split]
    order = [one for one in mine for _ in range(_WEIGHTS.get(one.kinds[0], 1))]
    random.Random(f"{seed} {split}").shuffle(order)
    return order


def _slug(text: str) -> str:
    return "-".join("".join(c if c.isalnum() else " " for c in text.lower()).split())


def _among(layout: Layout, kind: Kind) -> Sequence[Place]:
    need = "winding_up" if kind is Kind.WINDING_UP_NOTICE else layout.place
    return [place for place in places() if not need or getattr(place, need)]


def _written(layout: Layout, dice: random.Random, *, born: bool) -> Doc:
    kind = dice.choice(layout.kinds)
    at_home = kind in _AT_HOME or (kind is not Kind.WITHDRAWAL and dice.random() < 0.5)
    case = invented(dice, _among(layout, kind), at_home=at_home)
    look = Look(
        family=dice.choice(layout.families),
        size=dice.choice((10.0, 10.5, 11.0, 11.5)),
        stretch=dice.choice((0.92, 1.0, 1.0, 1.0, 1.05)),
        left=dice.choice((58.0, 66.0, 72.0)),
        right=dice.choice((540.0, 548.0, 556.0)),
    )
    if look.family in {"typewriter", "broad"}:  # wide letters
        look = Look(look.family, min(look.size, 10.5), min(look.stretch, 0.95), 58.0, 556.0)
    doc = Doc(look, dice, born=born, split=layout.split)
    doc.layout = layout.name
    doc.way = dice.choice(layout.ways)
    layout.write(doc, case, kind)
    return doc


# --- wear -------------------------------------------------------------------------------------------------------------


def _wear(dice: random.Random) -> Wear:
    sort = dice.choices(("colour", "gray", "fax", "bilevel", "photo"), (34, 28, 19, 5, 14))[0]
    dpi = {"fax": 200, "bilevel": 300, "photo": dice.choice((170, 200, 230))}.get(sort, 0)
    dpi = dpi or dice.choices((150, 200, 300, 600), (22, 42, 30, 6))[0]
    wide = dice.choices((0.4, 2.0, 5.0), (45, 35, 20))[0]
    level = dice.randrange(228, 256)
    scanned = sort in {"colour", "gray"}
    paper = (level, level, level)
    if sort in {"colour", "photo"}:
        paper = (level, level - dice.randrange(4), level - dice.randrange(14))
    return Wear(
        sort=sort,
        dpi=dpi,
        skew=0.0 if sort == "photo" else dice.uniform(-wide, wide),
        paper=paper,
        ink=dice.randrange(10, 70),
        blur=dice.uniform(0.2, 0.75),
        noise=dice.uniform(0.5, 4.0),
        shadow=dice.choice(("side", "corner")) if scanned and dice.random() < 0.18 else "",
        ring=sort in {"colour", "gray", "photo"} and dice.random() < 0.12,
        holes=dice.choice((2, 3)) if scanned and dice.random() < 0.2 else 0,
        turn=dice.choice((90, 180, 270)) if dice.random() < 0.25 else 0,
        threshold=dice.randrange(135, 175),
        corners=_corners(dice) if sort == "photo" else (),
    )  # fmt: skip


def _corners(dice: random.Random) -> tuple[tuple[float, float], ...]:
    """Where a hand-held camera sees the sheet's corners; within about three degrees of square."""
    bare = ((0.035, 0.035), (0.965, 0.035), (0.965, 0.965), (0.035, 0.965))
    return tuple((x + dice.uniform(-0.03, 0.03), y + dice.uniform(-0.03, 0.03)) for x, y in bare)


def _scanned(
    docs: Sequence[Doc], printed: Sequence[bytes], dice: random.Random, noise: np.random.Generator
) -> tuple[str, bytes, Row]:
    wear = _wear(dice)
    # A machine sets its level by the print; else a stamp could vanish that the truth tells of.
    wear = replace(wear, threshold=max(wear.threshold, wear.ink + 105, 150))
    sent = dice.random() < 0.7
    pages: list[packing.Page] = []
    total = sum(doc.page + 1 for doc in docs)
    for doc, sheets in zip(docs, printed, strict=True):
        for number, page in enumerate(raster(sheets, wear.dpi)):
            inked = page
            for one in (each for each in doc.pressed if each.page == number):
                inked = pressed(inked, one, wear.dpi, noise)
            pages.append(worn(inked, wear, _fax_line(dice, len(pages) + 1, total) if sent else "", noise))
    quality = dice.randrange(45 if wear.dpi <= 150 else 35, 91)
    name, data, how = _packed(pages, wear, quality, dice, printed[0] if len(docs) == 1 else b"")
    facts: Row = {
        "degradation": wear.sort,
        "dpi": wear.dpi,
        "skew": round(wear.skew, 2),
        "turn": wear.turn,
        "quality": quality if how in {"jpeg", "pdf", "searchable pdf"} and wear.sort not in {"fax", "bilevel"} else 0,
        "container": how,
        "shadow": wear.shadow,
        "ring": wear.ring,
        "holes": wear.holes,
    }
    return name, data, facts


def _fax_line(dice: random.Random, page: int, total: int) -> str:
    day = f"{dice.randrange(1, 13):02d}/{dice.randrange(1, 29):02d}/{dice.randrange(2018, 2027)}"
    place = dice.choice(("FILING DESK", "MAIN ST OFFICE", "LEGAL SVCS"))
    sender = f"{place}  FAX 555 01{dice.randrange(10, 99)}"
    return f"{day} {dice.randrange(24):02d}:{dice.randrange(60):02d}  {sender}  P.{page:02d}/{total:02d}"


def _packed(
    pages: Sequence[packing.Page], wear: Wear, quality: int, dice: random.Random, printed: bytes
) -> tuple[str, bytes, str]:
    """File ending, bytes and container."""
    one_bit = wear.sort in {"fax", "bilevel"}
    single = len(pages) == 1
    if wear.sort == "photo" and single:
        turned = _TURNED.get(wear.turn, 0) if dice.random() < 0.6 else 0
        return "jpg", packing.jpeg(pages[0], 72, max(quality, 55), turned=turned), "jpeg"
    ways = ["pdf", "pdf", "tiff"] + (["png"] if single else []) + (["jpeg"] if single and not one_bit else [])
    ways = ["tiff", "pdf"] if wear.sort == "fax" else ways
    way = dice.choice(ways)
    if way == "jpeg":
        return "jpg", packing.jpeg(pages[0], wear.dpi, quality), "jpeg"
    if way == "png":
        return "png", packing.png(pages[0], wear.dpi, one_bit=one_bit), "png"
    if way == "tiff":
        return "tif", packing.tiff(pages, wear.dpi, one_bit=one_bit), "tiff"
    if printed and not one_bit and not wear.turn and dice.random() < 0.15:
        return "pdf", packing.searchable(printed, pages, wear.dpi, quality), "searchable pdf"
    return "pdf", packing.pdf(pages, wear.dpi, quality, one_bit=one_bit), "pdf"


def _row(file: str, doc: Doc, page: int, facts: Row) -> Row:
    row: Row = {
        "file": file,
        "first_page": page,
        "last_page": page + doc.page,
        **doc.truth,
        "layout": doc.layout,
        **facts,
    }
    if doc.design:
        row["stamp"] = doc.design
    if doc.box:
        row["box"] = doc.box
    if doc.unjudged:
        row["unjudged"] = list(doc.unjudged)
    return row
