"""The stamps and printed marks that were drawn last. Importing this module enters the stamps in `stamps.DESIGNS`."""

from collections.abc import Callable
from datetime import date

from reportlab.lib.utils import simpleSplit

from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.dots import dotted
from tests.corpus.invent import Case
from tests.corpus.stamps import LATE, around, design, line, stacked
from tests.corpus.strokes import Stroke

Drawing = tuple[list[Stroke], float, float]
Printed = Callable[[Doc, Case, float, float], None]

INK_STYLES: tuple[days.Style, ...] = (
    *days.STAMPED,
    *days.STAMPED,
    lambda day: f"{day:%d}-{day:%b}-{day.year}".upper(),
    lambda day: f"{day:%b} {day:%d}, {day.year}",
    lambda day: f"{day:%b} {day.day} {day.year}".upper(),
)
TYPED_STYLES: tuple[days.Style, ...] = (
    days.slashed,
    days.slashed,
    lambda day: f"{day.month}/{day.day}/{day.year}",
    lambda day: f"{day:%b} {day:%d}, {day.year}",
    lambda day: f"{day:%Y-%m-%d}",
    days.long,
)


def _day(case: Case, when: date | None = None) -> str:
    return case.dice.choice(INK_STYLES)(when or case.filed)


def _short(case: Case, when: date | None = None) -> str:
    return case.dice.choice((*days.STAMPED[:8], INK_STYLES[-1]))(when or case.filed)


def _time(case: Case) -> str:
    """A time at which offices are open."""
    at = case.dice.randrange(8, 17)
    return f"{at if at <= 12 else at - 12}:{case.dice.randrange(60):02d} {'AM' if at < 12 else 'PM'}"


def _box(width: float, height: float, weight: float = 1.6, inset: float = 3) -> Stroke:
    return Stroke("rect", (inset, inset, width - inset, height - inset), size=weight)


# --- filed ------------------------------------------------------------------------------------------------------------


@design("three decks", LATE, "filed")
def _decks(case: Case) -> Drawing:
    width, height = 186.0, 100.0
    strokes = [_box(width, height), Stroke("line", (3, 76, width - 3, 76)), Stroke("line", (3, 26, width - 3, 26))]
    strokes += [
        line(width / 2, 83, case.place.desk, 10.5, width - 16, "Times-Bold"),
        line(width / 2, 56, "FILED", 20, 100),
        line(width / 2, 34, _day(case), 16, width - 30),
        line(48, 11, "By", 9, 20, "Times-Roman"),
        line(150, 11, case.pick("Deputy", "Clerk", "Examiner"), 9, 50, "Times-Roman"),
        Stroke("line", (60, 10, 124, 10), size=0.6),
    ]
    return strokes, width, height


@design("wheel", LATE, "filed")
def _wheel(case: Case) -> Drawing:
    size = 150.0
    middle = size / 2
    strokes = [Stroke("ellipse", (3, 3, size - 3, size - 3), size=2.6)]
    strokes += [Stroke("ellipse", (24, 24, size - 24, size - 24), size=0.8)]
    strokes += around(middle, middle - 18, case.place.whole.upper(), 9.5, top=True)
    strokes += around(middle, middle - 18, case.place.office.upper(), 9.5, top=False)
    strokes += [
        line(middle, middle + 17, "FILED", 17, 74),
        line(middle, middle - 4, _short(case), 16, 92),
        line(middle, middle - 22, _time(case), 10, 60),
    ]
    return strokes, size, size


@design("perforated, office first", LATE, "filed")
def _perforated(case: Case) -> Drawing:
    style = case.dice.choice((days.STAMPED[0], days.STAMPED[3], days.STAMPED[5], days.STAMPED[6]))
    office = "SEC OF STATE" if "Secretary" in case.place.office else "CORP DIVISION"
    return dotted([(f"{office} {case.place.code}", 2.0), ("FILED", 3.0), (style(case.filed), 2.5)], gap=7)


@design("clerk's initials", LATE, "filed")
def _initials(case: Case) -> Drawing:
    width = 176.0
    rows = [("FILED", 27.0), (_day(case), 17.0), (case.place.office, 11.0), (case.place.whole, 10.0)]
    strokes, bottom = stacked(width, 110, rows, "Times-Bold", room=width)
    strokes += [Stroke("line", (30, bottom - 10, 146, bottom - 10), size=0.7)]
    return _lowered(strokes, bottom - 16), width, 126 - bottom


def _lowered(strokes: list[Stroke], by: float) -> list[Stroke]:
    """Moved down, so that the lowest part lies at the lower edge."""
    out = []
    for one in strokes:
        at = list(one.at)
        for place in (1, 3) if one.sort != "text" else (1,):
            at[place] -= by
        out.append(Stroke(one.sort, tuple(at), one.text, one.font, one.size))
    return out


@design("two columns", LATE, "filed")
def _columns(case: Case) -> Drawing:
    width, height = 226.0, 78.0
    strokes = [_box(width, height, 1.2, 2), Stroke("line", (134, 2, 134, height - 2), size=0.8)]
    strokes += [
        line(68, 50, "FILED", 21, 110),
        line(68, 30, _day(case), 15, 122),
        line(68, 12, case.place.desk, 8.5, 124, "Helvetica"),
    ]
    for number, text in enumerate(
        (f"Fee ${case.dice.choice((20, 25, 35, 50, 100))}", f"Batch {case.dice.randrange(100, 999)}", "Initials ____")
    ):
        strokes.append(line(180, 54 - 18 * number, text, 9, 84, "Helvetica"))
    return strokes, width, height


@design("date on top", LATE, "filed")
def _date_on_top(case: Case) -> Drawing:
    width, height = 170.0, 92.0
    rows = [(_day(case), 18.0), ("FILED", 20.0), (case.place.office.upper(), 9.5), (case.place.name.upper(), 9.5)]
    strokes, _ = stacked(width, height - 11, rows, room=width - 36)
    for x, inward in ((4.0, 1), (width - 4, -1)):  # brackets
        strokes += [Stroke("line", (x, 4, x, height - 4), size=1.8)]
        strokes += [Stroke("line", (x, y, x + 12 * inward, y), size=1.8) for y in (4.0, height - 4)]
    return strokes, width, height


@design("time clock", LATE, "filed")
def _time_clock(case: Case) -> Drawing:
    when = f"{case.filed.year} {case.filed:%b} {case.filed.day:2d}".upper()
    clock = " ".join(reversed(_time(case).split()))
    rows = [("FILED", 15.0), (f"{when}  {clock}", 13.0), (case.place.office.upper(), 10.0)]
    strokes, _ = stacked(214, 54, rows, "Courier-Bold", room=214)
    return strokes, 214.0, 56.0


@design("cut corners", LATE, "filed")
def _cut_corners(case: Case) -> Drawing:
    width, height, cut = 188.0, 96.0, 16.0
    low, right, top = 3.0, width - 3, height - 3
    around_it = [
        (low + cut, low), (right - cut, low), (right, low + cut), (right, top - cut),
        (right - cut, top), (low + cut, top), (low, top - cut), (low, low + cut),
    ]  # fmt: skip
    strokes = [
        Stroke("line", (*a, *b), size=1.8) for a, b in zip(around_it, [*around_it[1:], around_it[0]], strict=True)
    ]
    rows = [
        ("APPROVED AND FILED", 15.0),
        (_day(case), 17.0),
        (case.place.office.upper(), 10.0),
        (case.place.whole.upper(), 9.0),
    ]
    more, _ = stacked(width, height - 12, rows, room=width - 30)
    return strokes + more, width, height


@design("label with bars", LATE, "filed")
def _label(case: Case) -> Drawing:
    """A sticker: bars, a document number, and a line that says when it was filed."""
    width, height = 206.0, 84.0
    strokes, x = [], 26.0
    while x < 180:
        weight = case.dice.choice((0.7, 1.2, 1.9))
        strokes.append(Stroke("line", (x, 56, x, 78), size=weight))
        x += weight + case.dice.choice((1.4, 2.2, 3.0))
    number = f"{case.dice.randrange(10**9, 10**10)}"
    strokes += [
        line(103, 46, f"Doc. {number}   Pages: {case.dice.randrange(1, 4)}", 8.5, 190, "Helvetica"),
        line(103, 31, f"Filed: {case.dice.choice(TYPED_STYLES)(case.filed)}  {_time(case)}", 12, 196),
        line(103, 17, case.place.desk, 9.5, 190, "Helvetica"),
        line(103, 6, case.place.division, 8, 190, "Helvetica"),
    ]
    return strokes, width, height


@design("heavy bar", LATE, "filed")
def _heavy_bar(case: Case) -> Drawing:
    width, height = 196.0, 70.0
    strokes = [Stroke("line", (2, height - 4, width - 2, height - 4), size=5), Stroke("line", (2, 4, width - 2, 4))]
    rows = [(f"FILED  {_short(case)}", 18.0), (f"{case.place.office}, {case.place.capital}", 10.0),
            (case.place.whole, 10.0)]  # fmt: skip
    more, _ = stacked(width, height - 12, rows, "Helvetica-Bold", room=width - 8)
    return strokes + more, width, height


# --- distractors ------------------------------------------------------------------------------------------------------


@design("received, wheel", LATE, "received")
def _received_wheel(case: Case) -> Drawing:
    size = 112.0
    middle = size / 2
    strokes = [Stroke("ellipse", (3, 3, size - 3, size - 3), size=1.8)]
    strokes += around(middle, middle - 17, "RECEIVED", 13, top=True)
    strokes += around(middle, middle - 16, case.pick("MAIL CENTER", "MAILROOM", "FRONT COUNTER"), 9, top=False)
    strokes += [line(middle, middle - 5, _short(case, case.received), 14, 86)]
    return strokes, size, size


@design("received, form", LATE, "received")
def _received_form(case: Case) -> Drawing:
    width, height = 158.0, 70.0
    rows = [(case.pick("RECEIVED", "REC'D"), 17.0), (_day(case, case.received), 14.0)]
    strokes, _ = stacked(width, height - 6, rows, "Times-Bold")
    strokes += [line(40, 9, case.pick("Check #", "Cash", "Via"), 9, 60, "Times-Roman")]
    strokes += [Stroke("line", (62, 8, 146, 8), size=0.6), _box(width, height, 1.0, 2)]
    return strokes, width, height


@design("received, clock line", LATE, "received")
def _received_line(case: Case) -> Drawing:
    when = f"{case.received:%m-%d-%y}"
    text = f"RECEIVED {when} {case.dice.randrange(8, 12)}:{case.dice.randrange(60):02d}"
    return [line(88, 6, text, 13, 172, "Courier-Bold")], 176.0, 22.0


@design("copy, slanted", LATE, "copy")
def _copy(case: Case) -> Drawing:
    text = case.pick("COPY", "FILE COPY", "CLIENT'S COPY")
    strokes = [line(70, 12, text, 25, 128, "Times-BoldItalic"), _box(140, 44, 2.2, 2), _box(140, 44, 0.6, 5)]
    return strokes, 140.0, 44.0


@design("entered", LATE, "copy")
def _entered(case: Case) -> Drawing:
    rows = [(case.pick("ENTERED", "SCANNED", "POSTED"), 15.0), (_short(case, case.reach), 12.0)]
    strokes, _ = stacked(120, 38, rows)
    return [Stroke("line", (4, 4, 116, 4)), Stroke("line", (4, 38, 116, 38)), *strokes], 120.0, 42.0


def _expires(case: Case) -> date:
    return case.filed.replace(year=case.filed.year + 3, day=min(case.filed.day, 28))


@design("notary, framed", LATE, "notary")
def _notary(case: Case) -> Drawing:
    width, height = 176.0, 70.0
    rows = [
        ("OFFICIAL STAMP", 9.0),
        (case.people[1], 12.0),
        (f"Notary Public - {case.place.name}", 10.0),
        (f"Commission No. {case.dice.randrange(10**5, 10**6)}", 9.0),
        (f"Commission Expires {days.long(_expires(case))}", 9.0),
    ]
    strokes, _ = stacked(width, height - 7, rows, "Helvetica")
    return [_box(width, height, 1.6, 2), *strokes], width, height


@design("notary, round", LATE, "notary")
def _notary_round(case: Case) -> Drawing:
    size = 108.0
    middle = size / 2
    strokes = [Stroke("ellipse", (3, 3, size - 3, size - 3), size=2.0)]
    strokes += around(middle, middle - 15, case.people[0].upper(), 8.5, top=True)
    strokes += around(middle, middle - 15, f"COUNTY OF ANSEL, {case.place.code}", 8.5, top=False)
    strokes += [
        line(middle, middle + 6, "NOTARY", 13, 66),
        line(middle, middle - 8, "PUBLIC", 13, 66),
        line(middle, middle - 19, f"Exp. {days.slashed(_expires(case))}", 8, 60, "Helvetica"),
    ]
    return strokes, size, size


@design("rejected, three lines", LATE, "rejected")
def _rejected(case: Case) -> Drawing:
    rows = [("REJECTED", 22.0), (_day(case), 13.0), ("See attached notice", 9.5)]
    strokes, _ = stacked(166, 66, rows, "Times-Bold")
    return [_box(166, 72, 1.2, 2), _box(166, 72, 0.6, 5), *strokes], 166.0, 72.0


@design("returned for correction", LATE, "rejected")
def _returned(case: Case) -> Drawing:
    rows = [("RETURNED", 18.0), ("FOR CORRECTION", 14.0), (_short(case), 13.0)]
    strokes, _ = stacked(170, 62, rows, "Helvetica-Bold", room=166)
    return strokes, 170.0, 64.0


# --- printed marks ----------------------------------------------------------------------------------------------------


def _set(doc: Doc, x: float, y: float, rows: list[str], size: float, font: str, room: float) -> float:
    """Lines that begin `room` points before `x`, broken when one is too long; returns the height they take."""
    parts = [part for row in rows for part in simpleSplit(row, font, size, room / doc.look.stretch)]
    for number, part in enumerate(parts):
        doc.write(x - room, y - number * size * 1.25, part, size=size, font=font)
    return len(parts) * size * 1.25


def _typed_office_first(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [f"{case.place.whole}", case.place.office, f"Filed {_time(case)} {case.dice.choice(INK_STYLES)(case.filed)}"]
    _set(doc, x, y, rows, 10.5, "Courier-Bold", 178)


def _typed_framed(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = ["FILED", case.dice.choice(TYPED_STYLES)(case.filed), case.place.desk]
    tall = _set(doc, x - 6, y + 2, rows, 10.5, "Helvetica-Bold", 162)
    doc.frame(x - 176, y + 4 - tall, 176, tall + 14, weight=0.9)


def _typed_date_filed(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        f"Date Filed: {case.dice.choice(TYPED_STYLES)(case.filed)}",
        f"{case.place.desk}",
        f"Filing Fee: ${case.dice.choice((10, 25, 40, 70))}.00 Paid",
    ]
    _set(doc, x, y, rows, 10, "Times-Bold", 176)


def _id_and_amount(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        "E-Filed",
        case.place.desk,
        f"Date and Time: {case.dice.choice(TYPED_STYLES)(case.filed)} {_time(case)}",
        f"{case.place.label}: {case.number}",
        f"Document number: {case.dice.randrange(10**10, 10**11)}",
        f"Amount Paid: ${case.dice.choice((10, 25, 50))}.00",
    ]
    _set(doc, x, y, rows, 8.8, "Helvetica", 224)


def _received_and_filed(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        case.place.desk,
        "Received and Filed:",
        f"{case.dice.choice(TYPED_STYLES)(case.filed)} {_time(case)}",
        f"Fee Receipt: ${case.dice.choice((15, 40, 55))}.00",
    ]
    _set(doc, x, y, rows, 10, "Courier-Bold", 190)


def _number_and_date(doc: Doc, case: Case, x: float, y: float) -> None:
    office = "SOS" if "Secretary" in case.place.office else "Corporations"
    when = f"{case.dice.choice(TYPED_STYLES[:4])(case.filed)} {_time(case)}"
    text = f"{case.place.code} {office} Filing No. {case.dice.randrange(10**11, 10**12)}   Date Filed: {when}"
    _set(doc, x, y, [text], 9, "Helvetica-Bold", 400)


PRINTED: dict[tuple[str, str], tuple[tuple[str, Printed], ...]] = {
    (LATE, "typed"): (
        ("typed, office first", _typed_office_first),
        ("typed in a frame", _typed_framed),
        ("typed with fee", _typed_date_filed),
    ),
    (LATE, "electronic"): (
        ("date, id and amount", _id_and_amount),
        ("received and filed", _received_and_filed),
        ("number and date in a line", _number_and_date),
    ),
}
"""Printed marks, as in `filemarks`."""
