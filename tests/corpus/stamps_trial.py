"""The stamps and printed marks of the split `trial`. Importing this module enters the stamps in `stamps.DESIGNS`."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from reportlab.lib.utils import simpleSplit

from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.dots import dotted
from tests.corpus.invent import Case
from tests.corpus.stamps import TRIAL, around, design, line, stacked
from tests.corpus.strokes import Stroke

Drawing = tuple[list[Stroke], float, float]
Printed = Callable[[Doc, Case, float, float], None]

WHEELS: tuple[days.Style, ...] = (
    lambda day: f"{day:%b} {day.day} {day.year}".upper(),
    lambda day: f"{day:%b} {day:%d} {day.year}".upper(),
    lambda day: f"{day:%b} {day:%d} {day.year}".upper(),
    lambda day: f"{day.day} {day:%b} {day.year}".upper(),
    lambda day: f"{day:%m-%d-%y}",
    lambda day: f"{day:%m/%d/%Y}",
)
"""How the wheels of a dater are set."""
CAST: tuple[days.Style, ...] = (*WHEELS, lambda day: f"{day:%b}. {day.day}, {day.year}".upper(), days.long)
PRINTS: tuple[days.Style, ...] = (
    days.slashed, days.slashed, days.long, lambda day: f"{day.month}/{day.day}/{day.year}",
    lambda day: f"{day:%d}-{day:%b}-{day.year}", lambda day: f"{day.year}-{day:%m-%d}",
)  # fmt: skip
"""How a computer prints a day."""


def _set(case: Case, when: date | None = None) -> str:
    return case.dice.choice(WHEELS)(when or case.filed)


def _clock(case: Case) -> str:
    at = case.dice.randrange(8, 17)
    half = case.pick("am", "AM", "a.m.") if at < 12 else case.pick("pm", "PM", "p.m.")
    return f"{at - 12 if at > 12 else at}:{case.dice.randrange(60):02d} {half}"


def _frame(width: float, height: float, weight: float = 1.4, inset: float = 2) -> Stroke:
    return Stroke("rect", (inset, inset, width - inset, height - inset), size=weight)


# --- filed ------------------------------------------------------------------------------------------------------------


@design("three compartments", TRIAL, "filed")
def _compartments(case: Case) -> Drawing:
    strokes = [_frame(236, 52), *(Stroke("line", (x, 2, x, 50), size=0.9) for x in (66.0, 160.0))]
    strokes += [line(34, 20, "FILED", 17, 56), line(113, 21, _set(case), 14, 88)]
    strokes += [line(197, 30, case.place.office, 9.5, 64), line(197, 14, case.place.name, 9.5, 64, "Helvetica")]
    return strokes, 236.0, 52.0


@design("arch", TRIAL, "filed")
def _arch(case: Case) -> Drawing:
    """The office bent over the top; everything else straight, on a bar."""
    strokes = around(88, 68, case.place.office.upper(), 10.5, top=True)
    strokes += [line(88, 112, "FILED", 24, 104, "Times-Bold"), line(88, 90, _set(case), 16, 130)]
    strokes += [line(88, 74, case.place.whole, 10, 150, "Times-Roman"), Stroke("line", (16, 66, 160, 66), size=2.4)]
    return [_lower(one, 60) for one in strokes], 176.0, 110.0


def _lower(one: Stroke, by: float) -> Stroke:
    x, y, *more = one.at
    return replace(one, at=(x, y - by, more[0], more[1] - by) if one.sort == "line" else (x, y - by, *more))


@design("dashed", TRIAL, "filed")
def _dashed(case: Case) -> Drawing:
    width, height = 180.0, 88.0
    strokes = [Stroke("line", (x, y, x + 8, y)) for y in (3.0, height - 3) for x in range(4, 172, 12)]
    strokes += [Stroke("line", (x, y, x, y + 7)) for x in (3.0, width - 3) for y in range(4, 80, 11)]
    rows = [(case.place.desk, 10.0), (case.pick("FILED", "FILED OF RECORD"), 19.0)]
    rows += [(case.dice.choice(CAST)(case.filed), 15.0), (f"at {_clock(case)}", 10.0)]
    more, _ = stacked(width, height - 10, rows, room=width - 34)
    return strokes + more, width, height


@design("ladder", TRIAL, "filed")
def _ladder(case: Case) -> Drawing:
    """Narrow and tall, a rule under each line."""
    texts = (case.place.whole, case.place.office, "FILED", _set(case), f"No. {case.dice.randrange(10**5, 10**7)}")
    strokes = [_frame(134, 122, 1.8)]
    for number, (text, size) in enumerate(zip(texts, (9, 9, 17, 14, 9), strict=True)):
        y = 104 - 24.0 * number
        strokes += [line(67, y, text, size, 120), Stroke("line", (2, y - 6, 132, y - 6), size=0.6)]
    return strokes[:-1], 134.0, 122.0


@design("perforated with a number", TRIAL, "filed")
def _pinholes(case: Case) -> Drawing:
    style = case.dice.choice((WHEELS[1], WHEELS[4], WHEELS[5]))
    number = f"{case.dice.randrange(10**6, 10**7)}"
    return dotted([(f"FILED {case.place.code}", 2.7), (style(case.filed), 2.7), (number, 2.1)], gap=8)


@design("bridge", TRIAL, "filed")
def _bridge(case: Case) -> Drawing:
    """A ring with a bar across that is wider than the ring, as on postmarks."""
    strokes = [Stroke("ellipse", (19, 3, 137, 121), size=1.8), Stroke("rect", (2, 47, 154, 77), size=1.6)]
    strokes += around(62, 44, case.place.office.upper(), 8.5, top=True)
    strokes = [replace(one, at=(one.at[0] + 16, *one.at[1:])) if one.sort == "text" else one for one in strokes]
    strokes += [line(78, 84, case.place.code, 12, 50), line(78, 55, _set(case), 17, 144), line(78, 26, "FILED", 18, 70)]
    return strokes, 156.0, 124.0


@design("numbering machine", TRIAL, "filed")
def _numbering(case: Case) -> Drawing:
    rows = [(f"{case.dice.randrange(10**6, 10**8):08d}", 15.0), (f"FILED  {case.dice.choice(CAST)(case.filed)}", 17.0)]
    rows += [(f"{case.place.office}, {case.place.whole}", 10.0)]
    strokes, _ = stacked(208, 54, rows, "Courier-Bold", room=208)
    return strokes, 208.0, 54.0


@design("dater with initials", TRIAL, "filed")
def _initialled(case: Case) -> Drawing:
    strokes = [line(80, 62, "Filed", 22, 150, "Times-BoldItalic"), Stroke("line", (4, 57, 156, 57), size=1.2)]
    strokes += [line(80, 39, _set(case), 17, 150), Stroke("line", (4, 33, 156, 33), size=1.2)]
    strokes += [line(80, 21, case.place.desk, 10, 154, "Times-Bold"), line(36, 6, "Clerk", 8, 40, "Times-Roman")]
    strokes += [Stroke("line", (50, 5, 120, 5), size=0.5)]
    for x in (60.0, 72.0, 84.0):  # initials in haste
        strokes += [Stroke("line", (x, 6, x + 6, 16)), Stroke("line", (x + 6, 16, x + 11, 5))]
    return strokes, 160.0, 84.0


# --- what files nothing -----------------------------------------------------------------------------------------------


@design("received, how it came", TRIAL, "received")
def _received(case: Case) -> Drawing:
    rows = [("RECEIVED", 18.0), (_set(case, case.received), 14.0)]
    rows += [(case.pick("HAND DELIVERED", "VIA U.S. MAIL", "DROP BOX", "OVERNIGHT COURIER"), 9.0)]
    strokes, _ = stacked(150, 62, rows, "Times-Bold")
    return [Stroke("line", (4, 3, 146, 3), size=2), Stroke("line", (4, 65, 146, 65), size=2), *strokes], 150.0, 68.0


@design("received, section", TRIAL, "received")
def _received_section(case: Case) -> Drawing:
    what = case.pick("CASHIER", "CORPORATE SECTION", "FRONT DESK")
    strokes, _ = stacked(170, 41, [(f"{what} RECEIVED", 11.0), (f"{_set(case, case.received)} {_clock(case)}", 13.0)])
    return [_frame(170, 46, 0.9), *strokes], 170.0, 46.0


@design("sent off", TRIAL, "copy")
def _sent(case: Case) -> Drawing:
    strokes, _ = stacked(120, 40, [(case.pick("E-MAILED", "FAXED", "CLIENT FILE", "PAID"), 17.0)], "Courier-Bold")
    return [_frame(120, 34, 1.2), *(_lower(one, 14) for one in strokes)], 120.0, 34.0


@design("notary, state first", TRIAL, "notary")
def _notary(case: Case) -> Drawing:
    ends = case.filed.replace(year=case.filed.year + 4, day=min(case.filed.day, 28))
    rows = [(case.place.whole.upper(), 9.0), (case.people[1], 13.0), ("NOTARY PUBLIC", 11.0)]
    rows += [(f"ID# {case.dice.randrange(10**6, 10**8)}", 8.5), (f"My comm. exp. {days.slashed(ends)}", 8.5)]
    strokes, _ = stacked(160, 72, rows, "Times-Bold")
    return [_frame(160, 76, 1.0), _frame(160, 76, 0.5, 5), *strokes], 160.0, 76.0


@design("unable to file", TRIAL, "rejected")
def _unable(case: Case) -> Drawing:
    rows = [(case.pick("UNABLE TO FILE", "FILING REFUSED"), 17.0), (_set(case), 13.0)]
    strokes, _ = stacked(184, 50, [*rows, (case.pick("DEFICIENCY NOTED", "SEE ENCLOSURE"), 9.0)])
    return [_frame(184, 56, 2.0), *strokes], 184.0, 56.0


# --- printed marks ----------------------------------------------------------------------------------------------------


def _put(doc: Doc, x: float, y: float, rows: Sequence[str], size: float, font: str, room: float) -> float:
    """Lines that begin `room` points before `x`; returns the height of the last."""
    parts = [part for row in rows for part in simpleSplit(row, font, size, room / doc.look.stretch)]
    for number, part in enumerate(parts):
        doc.write(x - room, y - number * size * 1.22, part, size=size, font=font)
    return y - (len(parts) - 1) * size * 1.22


def _sentence(doc: Doc, case: Case, x: float, y: float) -> None:
    day = case.dice.choice(PRINTS)(case.filed)
    _put(doc, x, y, [f"FILED with the {case.place.desk} on {day} at {_clock(case)}"], 10.5, "Courier-Bold", 172)


def _date_of_filing(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [f"Date of Filing: {case.dice.choice(PRINTS)(case.filed)}", f"Time: {_clock(case)}", case.place.desk]
    _put(doc, x, y, rows, 10, "Helvetica-Bold", 172)


def _beside_bar(doc: Doc, case: Case, x: float, y: float) -> None:
    day = case.dice.choice(PRINTS)(case.filed)
    rows = ["eFiled", f"{day} {_clock(case)}", case.place.desk, f"Confirmation {case.dice.randrange(10**7, 10**8)}"]
    low = _put(doc, x, y, rows, 9.5, "Helvetica", 208)
    doc.frame(x - 216, low - 3, 3, y - low + 13, shade=0.1, weight=0)


def _accepted(doc: Doc, case: Case, x: float, y: float) -> None:
    when = f"{case.dice.choice(PRINTS)(case.filed)} {_clock(case)}"
    rows = ["ELECTRONIC FILING ACCEPTED", f"Filed: {when}", f"Submission ID: {case.dice.randrange(10**8, 10**9)}-1"]
    _put(doc, x, y, [*rows, case.place.desk], 9.2, "Courier-Bold", 228)


def _head_line(doc: Doc, case: Case, x: float, y: float) -> None:
    when = f"{case.dice.choice(PRINTS)(case.filed)} {_clock(case)}"
    text = f"{case.place.desk}  |  Filed online: {when}  |  Work order W{case.dice.randrange(10**9, 10**10)}"
    _put(doc, x, y, [text], 8.8, "Helvetica-Bold", doc.look.right - doc.look.left)


PRINTED: dict[tuple[str, str], tuple[tuple[str, Printed], ...]] = {
    (TRIAL, "typed"): (("typed sentence", _sentence), ("date of filing", _date_of_filing)),
    (TRIAL, "electronic"): (("beside a bar", _beside_bar), ("accepted", _accepted), ("head line", _head_line)),
}
"""Printed marks, as in `filemarks`."""
