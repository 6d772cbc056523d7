"""Stamps of our own design, told as strokes: they can be pressed on a scan or drawn into a born-digital paper."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from reportlab.pdfbase.pdfmetrics import stringWidth

from tests.corpus import days
from tests.corpus.dots import dotted
from tests.corpus.invent import Case
from tests.corpus.strokes import Stamp, Stroke

RED, BLUE, PURPLE = (196, 26, 40), (28, 62, 168), (104, 36, 150)
GREEN, BLACK = (20, 110, 70), (12, 12, 14)
INKS = (RED, RED, BLUE, BLUE, PURPLE, GREEN, BLACK, BLACK)
SPLITS = ("tune", "held", "fresh", "late", "trial", "proof", "spare")
TUNE, HELD, FRESH, LATE, TRIAL, PROOF, SPARE = SPLITS


@dataclass(frozen=True, slots=True)
class Design:
    """A design of stamp.

    Attributes:
        name: what breakdowns call it.
        split: one of SPLITS.
        sort: `filed`, or a distractor: `received`, `copy`, `notary`, `rejected`.
        make: draws it for a case.
    """

    name: str
    split: str
    sort: str
    make: Callable[[Case], tuple[list[Stroke], float, float]]

    def stamp(self, case: Case) -> Stamp:
        """The stamp, its days written in one of the styles of stamps."""
        strokes, width, height = self.make(case)
        return Stamp(self.name, tuple(strokes), width, height)


DESIGNS: list[Design] = []


def design(name: str, split: str, sort: str) -> Callable[[Callable[[Case], tuple[list[Stroke], float, float]]], None]:
    """Enter a drawing in DESIGNS."""

    def enter(make: Callable[[Case], tuple[list[Stroke], float, float]]) -> None:
        DESIGNS.append(Design(name, split, sort, make))

    return enter


def line(x: float, y: float, text: str, size: float, room: float, font: str = "Helvetica-Bold") -> Stroke:
    """A centred line of text, set smaller when it would be wider than `room`."""
    wide = stringWidth(text, font, size)
    return Stroke("text", (x, y, 0.0), text, font, min(size, size * room / wide))


def around(middle: float, radius: float, text: str, size: float, *, top: bool) -> list[Stroke]:
    """Letters along a circle, centred at the top or at the bottom; crowded when the text is long."""
    font, gap = "Helvetica-Bold", 1.0
    size = min(size, size * radius * 2.6 / (stringWidth(text, font, size) + len(text) * gap))
    room = [stringWidth(letter, font, size) + gap for letter in text]
    reach = radius if top else radius + size * 0.72
    done, strokes = -sum(room) / 2, []
    for letter, wide in zip(text, room, strict=True):
        offset = (done + wide / 2) / radius
        angle = math.pi / 2 - offset if top else -math.pi / 2 + offset
        x, y = middle + reach * math.cos(angle), middle + reach * math.sin(angle)
        strokes.append(Stroke("text", (x, y, math.degrees(angle) + (-90 if top else 90)), letter, font, size))
        done += wide
    return strokes


def stacked(
    width: float, top: float, rows: Sequence[tuple[str, float]], font: str = "Helvetica-Bold", room: float = 0
) -> tuple[list[Stroke], float]:
    """Centred lines from `top` downwards, (text, size) each; the strokes and the height where they end."""
    strokes = []
    for text, size in rows:
        stroke = line(width / 2, top - size * 0.85, text, size, room or width - 24, font)
        strokes.append(stroke)
        top -= max(stroke.size * 1.18, size * 0.9)
    return strokes, top


def _stamp_day(case: Case, *, short: bool = False) -> str:
    styles = days.STAMPED[:8] if short else days.STAMPED
    return case.dice.choice(styles)(case.filed)


def _hour(case: Case) -> str:
    return (
        f"{case.dice.randrange(1, 13)}:{case.dice.randrange(60):02d} {case.dice.choice(('AM', 'PM', 'A.M.', 'P.M.'))}"
    )


def _who(case: Case) -> str:
    return case.place.office.upper()


# --- filed: for tuning ------------------------------------------------------------------------------------------------


@design("double box", TUNE, "filed")
def _double_box(case: Case) -> tuple[list[Stroke], float, float]:
    width, height = case.dice.uniform(150, 200), 96.0
    strokes = [
        Stroke("rect", (3, 3, width - 3, height - 3), size=2.2),
        Stroke("rect", (7, 7, width - 7, height - 7), size=0.8),
    ]
    rows = [("FILED", 26.0), (_stamp_day(case), 17.0), (_who(case), 9.5), (case.place.name.upper(), 9.5)]
    more, _ = stacked(width, height - 12, rows)
    return strokes + more, width, height


@design("round", TUNE, "filed")
def _round(case: Case) -> tuple[list[Stroke], float, float]:
    size = case.dice.uniform(125, 160)
    middle = size / 2
    strokes = [
        Stroke("ellipse", (4, 4, size - 4, size - 4), size=2),
        Stroke("ellipse", (21, 21, size - 21, size - 21), size=1),
    ]
    strokes += around(middle, middle - 16, _who(case), 9, top=True)
    strokes += around(middle, middle - 16, case.place.whole.upper(), 9, top=False)
    room = size - 54
    strokes += [
        line(middle, middle + 7, "FILED", 22, room),
        line(middle, middle - 14, _stamp_day(case, short=True), 14, room),
    ]
    return strokes, size, size


@design("time bar", TUNE, "filed")
def _time_bar(case: Case) -> tuple[list[Stroke], float, float]:
    width, height = 178.0, 88.0
    strokes = [Stroke("rect", (3, 3, width - 3, height - 3), size=1.6)]
    strokes += [Stroke("line", (3, 56, width - 3, 56), size=1.2), Stroke("line", (3, 28, width - 3, 28), size=1.2)]
    strokes += [line(width / 2, 64, "F I L E D", 19, width - 20, "Times-Bold")]
    strokes += [line(width / 2, 36, f"{_stamp_day(case, short=True)}  {_hour(case)}", 14, width - 16)]
    strokes += [line(width / 2, 13, f"{case.place.name} {case.place.office}", 10, width - 16, "Times-Bold")]
    return strokes, width, height


@design("perforated", TUNE, "filed")
def _perforated(case: Case) -> tuple[list[Stroke], float, float]:
    style = case.dice.choice((days.STAMPED[0], days.STAMPED[3], days.STAMPED[4], days.STAMPED[6]))
    rows = [("FILED", 3.2), (style(case.filed), 2.7), (f"{case.place.name} SOS".upper(), 2.2)]
    return dotted(rows, gap=7)


@design("office line", TUNE, "filed")
def _office_line(case: Case) -> tuple[list[Stroke], float, float]:
    width = 190.0
    rows = [
        ("FILED", 22.0),
        ("IN THE OFFICE OF THE", 8.5),
        (_who(case), 10.5),
        (f"OF {case.place.name.upper()}", 10.0),
        (_stamp_day(case), 15.0),
    ]
    strokes, bottom = stacked(width, 104, rows, room=width)
    return (
        [Stroke(s.sort, (s.at[0], s.at[1] - bottom + 4, *s.at[2:]), s.text, s.font, s.size) for s in strokes],
        width,
        108 - bottom,
    )


# --- filed: held out --------------------------------------------------------------------------------------------------


@design("single box, office first", HELD, "filed")
def _office_first(case: Case) -> tuple[list[Stroke], float, float]:
    width, height = case.dice.uniform(160, 215), 104.0
    number = f"No. {case.dice.randrange(10**6, 10**8)}"
    rows = [
        (case.place.whole.upper(), 10.0),
        (_who(case), 10.0),
        ("Filed", 22.0),
        (_stamp_day(case), 16.0),
        (number, 9.0),
    ]
    strokes, _ = stacked(width, height - 9, rows, "Times-Bold")
    return [Stroke("rect", (3, 3, width - 3, height - 3), size=1.3), *strokes], width, height


@design("oval", HELD, "filed")
def _oval(case: Case) -> tuple[list[Stroke], float, float]:
    width, height = 190.0, 116.0
    strokes = [Stroke("ellipse", (3, 3, width - 3, height - 3), size=2.4)]
    rows = [(case.place.name.upper(), 10.0), ("FILED", 22.0), (_stamp_day(case), 16.0), (_who(case), 9.0)]
    more, _ = stacked(width, height - 20, rows, room=width * 0.72)
    return strokes + more, width, height


@design("unframed", HELD, "filed")
def _unframed(case: Case) -> tuple[list[Stroke], float, float]:
    width, height = 168.0, 74.0
    rows = [("FILED", 32.0), (_stamp_day(case), 18.0), (f"{case.place.name} {case.place.office}", 10.0)]
    strokes, _ = stacked(width, height, rows, "Helvetica-BoldOblique", room=width)
    return strokes, width, height


@design("endorsed", HELD, "filed")
def _endorsed(case: Case) -> tuple[list[Stroke], float, float]:
    width = 184.0
    rows = [
        ("ENDORSED - FILED", 17.0), ("in the office of the", 10.0), (case.place.office, 12.0),
        (f"of the {case.place.whole}", 11.0), (_stamp_day(case), 16.0),
    ]  # fmt: skip
    strokes, bottom = stacked(width, 104, rows, "Times-Bold", room=width)
    return (
        [Stroke(s.sort, (s.at[0], s.at[1] - bottom + 4, *s.at[2:]), s.text, s.font, s.size) for s in strokes],
        width,
        108 - bottom,
    )


@design("perforated, one line", HELD, "filed")
def _perforated_line(case: Case) -> tuple[list[Stroke], float, float]:
    style = case.dice.choice((days.STAMPED[1], days.STAMPED[5], days.STAMPED[6], days.STAMPED[7]))
    rows = [(f"{case.place.code} {_short_office(case)}", 2.3), (f"FILED {style(case.filed)}", 2.3)]
    return dotted(rows, gap=6)


@design("ring with bar", HELD, "filed")
def _ring_bar(case: Case) -> tuple[list[Stroke], float, float]:
    size = 146.0
    middle = size / 2
    strokes = [Stroke("ellipse", (4, 4, size - 4, size - 4), size=1.4)]
    strokes += around(middle, middle - 17, f"{case.place.whole} - {case.place.office}".upper(), 8.5, top=True)
    strokes += around(middle, middle - 17, "FILED", 15, top=False)
    strokes += [
        Stroke("line", (8, middle + 12, size - 8, middle + 12)),
        Stroke("line", (8, middle - 12, size - 8, middle - 12)),
    ]
    strokes += [line(middle, middle - 6, _stamp_day(case, short=True), 17, size - 30)]
    return strokes, size, size


def _short_office(case: Case) -> str:
    return "SOS" if "Secretary" in case.place.office else "CORPORATIONS"


# --- distractors ------------------------------------------------------------------------------------------------------


@design("received box", TUNE, "received")
def _received(case: Case) -> tuple[list[Stroke], float, float]:
    width, height = 150.0, 78.0
    rows = [
        ("RECEIVED", 20.0),
        (case.dice.choice(days.STAMPED)(case.received), 14.0),
        (case.pick("MAIL ROOM", "BY COUNTER", "DOCUMENT INTAKE"), 10.0),
    ]
    strokes, _ = stacked(width, height - 10, rows)
    return [Stroke("rect", (3, 3, width - 3, height - 3), size=1.8), *strokes], width, height


@design("received clock", HELD, "received")
def _clock(case: Case) -> tuple[list[Stroke], float, float]:
    width = 190.0
    when = f"{case.received.year} {case.received:%b} {case.received:%d}".upper()
    rows = [
        (case.pick("RECEIVED", "REC'D", "Received by mail"), 14.0),
        (f"{when}  {case.pick('AM', 'PM')} {case.dice.randrange(8, 12)}: {case.dice.randrange(10, 59)}", 12.0),
    ]
    strokes, _ = stacked(width, 40, rows, "Courier-Bold", room=width)
    return strokes, width, 40.0


@design("copy", TUNE, "copy")
def _copy(case: Case) -> tuple[list[Stroke], float, float]:
    rows = [(case.pick("COPY", "CLIENT COPY"), 24.0)]
    strokes, _ = stacked(130, 34, rows)
    return [Stroke("rect", (2, 2, 128, 38), size=2.0), *strokes], 130.0, 40.0


@design("duplicate", HELD, "copy")
def _duplicate(case: Case) -> tuple[list[Stroke], float, float]:
    rows = [(case.pick("FILE COPY", "DUPLICATE", "SCANNED"), 20.0), (days.slashed(case.reach), 11.0)]
    strokes, _ = stacked(140, 42, rows, "Times-Bold")
    return [Stroke("rect", (2, 2, 138, 46), size=1.0), *strokes], 140.0, 48.0


@design("notary block", TUNE, "notary")
def _notary(case: Case) -> tuple[list[Stroke], float, float]:
    width, height = 170.0, 62.0
    rows = [
        (case.people[1].upper(), 10.0),
        (f"NOTARY PUBLIC - {case.place.name.upper()}", 10.0),
        (f"Commission No. {case.dice.randrange(10**5, 10**6)}", 9.0),
        (f"My Commission Expires {days.long(_far(case))}", 9.0),
    ]
    strokes, _ = stacked(width, height - 7, rows)
    return [Stroke("rect", (2, 2, width - 2, height - 2), size=1.0), *strokes], width, height


@design("notary ring", HELD, "notary")
def _notary_ring(case: Case) -> tuple[list[Stroke], float, float]:
    size = 112.0
    middle = size / 2
    strokes = [
        Stroke("ellipse", (3, 3, size - 3, size - 3), size=1.6),
        Stroke("ellipse", (18, 18, size - 18, size - 18)),
    ]
    strokes += around(middle, middle - 14, f"{case.people[0]}  NOTARY PUBLIC".upper(), 8, top=True)
    strokes += around(middle, middle - 14, case.place.whole.upper(), 8, top=False)
    strokes += [
        line(middle, middle + 4, "Comm. expires", 8, 66),
        line(middle, middle - 9, days.slashed(_far(case)), 11, 66),
    ]
    return strokes, size, size


@design("rejected", TUNE, "rejected")
def _rejected(case: Case) -> tuple[list[Stroke], float, float]:
    rows = [("REJECTED", 26.0), (case.dice.choice(days.STAMPED)(case.filed), 13.0), (_who(case), 9.0)]
    strokes, _ = stacked(170, 70, rows)
    return [Stroke("rect", (2, 2, 168, 74), size=2.4), *strokes], 170.0, 76.0


@design("returned", HELD, "rejected")
def _returned(case: Case) -> tuple[list[Stroke], float, float]:
    rows = [("RETURNED - NOT FILED", 17.0), (case.dice.choice(days.STAMPED)(case.filed), 13.0), ("see letter", 9.0)]
    strokes, _ = stacked(200, 58, rows, "Times-Bold")
    return [Stroke("rect", (2, 2, 198, 60), size=1.2), *strokes], 200.0, 62.0


def _far(case: Case) -> date:
    return case.filed.replace(year=case.filed.year + 3, day=min(case.filed.day, 28))
