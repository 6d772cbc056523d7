"""Invented companies and pages for the desk: a page is a PNG whose places have known colours."""

import io
import math
from datetime import date
from itertools import count

from PIL import Image, ImageDraw, ImageFont

from quietus.closing.office import Office
from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.kinds import Authority, Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import FIELDS, Box, PageView, Reading, Value

COMPANY = Entity(
    slug="kettlemoor",
    name="Kettlemoor Crumb & Crust LLC",
    ein="09-1234567",
    tax_class=TaxClass.PARTNERSHIP,
    home="OR",
    registrations=(Registration("OR", "100-1", date(2016, 4, 11)),),
    formed=date(2016, 4, 11),
    closed=date(2026, 6, 30),
    members=("Ilse Underhay", "Borut Tanswell"),
    has_assets=False,
)
OTHER = Entity(
    slug="fennimoor",
    name="Fennimoor Whisk Rental LLC",
    ein="09-7654321",
    tax_class=TaxClass.PARTNERSHIP,
    home="OR",
    registrations=(Registration("OR", "200-2"),),
    formed=date(2018, 2, 5),
    closed=date(2026, 3, 31),
    has_assets=False,
)
PLACES = {
    "filing_date": (Box(0.60, 0.10, 0.85, 0.16), (200, 30, 40)),
    "entity_name": (Box(0.10, 0.30, 0.50, 0.34), (30, 60, 200)),
    "ein": (Box(0.10, 0.40, 0.30, 0.43), (20, 140, 60)),
    "final_box": (Box(0.70, 0.60, 0.72, 0.615), (150, 40, 160)),
}
"""Where values stand on a drawn page, and the colour painted there."""
WORDS = "What remains of the property was handed to the members by their shares."
_NUMBERS = count(1)
Values = dict[str, str | bool]


def page_png(*, turn: int = 0, skew: float = 0.0) -> bytes:
    """A page with text and a block of colour at each of PLACES.

    It leans by `skew` degrees, and needs to be turned clockwise by `turn` degrees to be upright.
    """
    picture = Image.new("RGB", (1700, 2200), "white")
    draw = ImageDraw.Draw(picture)
    font = ImageFont.load_default(size=30)
    for line in range(16):
        draw.text((200, 1480 + 40 * line), f"{line}. {WORDS} {next(_NUMBERS)}", fill="black", font=font)
    for box, colour in PLACES.values():
        edges = (box.left * 1700 - 6, box.top * 2200 - 6, box.right * 1700 + 5, box.bottom * 2200 + 5)
        draw.rectangle(edges, fill=colour, outline="white", width=6)
    out = io.BytesIO()
    leaning = picture.rotate(-skew, Image.Resampling.BICUBIC, fillcolor="white")
    leaning.rotate(turn, expand=True).save(out, "PNG", dpi=(200, 200))
    return out.getvalue()


def as_received(box: Box, turn: int, skew: float = 0.0) -> Box:
    """The box on the page as received around a box of the upright page; see `page_png`."""
    sine, cosine = math.sin(math.radians(skew)), math.cos(math.radians(skew))
    corners = [((x - 0.5) * 1700, (y - 0.5) * 2200) for x in (box.left, box.right) for y in (box.top, box.bottom)]
    xs = [(x * cosine - y * sine) / 1700 + 0.5 for x, y in corners]
    ys = [(x * sine + y * cosine) / 2200 + 0.5 for x, y in corners]
    left, top, right, bottom = min(xs), min(ys), max(xs), max(ys)
    return {
        0: Box(left, top, right, bottom),
        90: Box(top, 1 - right, bottom, 1 - left),
        180: Box(1 - right, 1 - bottom, 1 - left, 1 - top),
        270: Box(1 - bottom, left, 1 - top, right),
    }[turn]


def read(values: Values, *, doubts: tuple[str, ...] = (), turn: int = 0, skew: float = 0.0) -> Reading:
    """A reading with these values at their PLACES, sure of all but those in `doubts`."""
    made = {}
    for name in FIELDS:
        value, place = values.get(name), PLACES.get(name)
        placed = place is not None and (value is not None or name in doubts)
        made[name] = Value(
            value,
            0.4 if name in doubts else 0.99,
            review=name in doubts,
            page=1 if placed else None,
            box=as_received(place[0], turn, skew) if place and placed else None,
            raw=str(value or ""),
            method="ocr" if value is not None else "absent",
        )
    return Reading((PageView(1, turn, skew, "", "ocr"),), made, "drawn")


def dissolution(**more: str | bool) -> Values:
    """Values of COMPANY's stamped dissolution filing."""
    return {
        "kind": Kind.DISSOLUTION.value,
        "jurisdiction": "OR",
        "filing_date": "2026-07-14",
        "entity_name": COMPANY.name,
        "file_number": "100-1",
        "stamped": True,
        "signed_date": "2026-07-08",
        "authority": Authority.STAMPED.value,
        **more,
    }


def file(
    office: Office,
    reading: Reading,
    *,
    name: str = "scan.png",
    entity: str = COMPANY.slug,
    expected: str = "OR/dissolution",
    data: bytes = b"",
) -> Paper:
    """File a paper; one without an entity belongs to nobody."""
    return office.vault.file_paper(
        data or page_png(turn=reading.pages[0].turn, skew=reading.pages[0].skew),
        name=name,
        media_type="image/png",
        pages=1,
        standing=Standing.FILED if entity else Standing.UNASSIGNED,
        entity=entity,
        expected=expected if entity else "",
        reading=reading,
    )
