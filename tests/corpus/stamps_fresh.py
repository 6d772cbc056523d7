"""The stamps that were kept back until tuning was over. Importing this module enters them in `stamps.DESIGNS`."""

from reportlab.pdfbase.pdfmetrics import stringWidth

from tests.corpus import days
from tests.corpus.dots import dotted
from tests.corpus.invent import Case
from tests.corpus.stamps import DESIGNS, FRESH, around, design, line, stacked
from tests.corpus.strokes import Stroke

__all__ = ["DESIGNS"]
Drawing = tuple[list[Stroke], float, float]


def _day(case: Case) -> str:
    return case.dice.choice(days.STAMPED)(case.filed)


@design("corner marks", FRESH, "filed")
def _corners(case: Case) -> Drawing:
    width, height = 186.0, 92.0
    rows = [
        (case.place.office.upper(), 10.0),
        ("F I L E D", 20.0),
        (_day(case), 16.0),
        (case.place.whole.upper(), 9.5),
    ]
    strokes, _ = stacked(width, height - 10, rows, room=width - 40)
    for x, inward in ((3.0, 1), (width - 3, -1)):
        for y, up in ((3.0, 1), (height - 3, -1)):
            strokes += [
                Stroke("line", (x, y, x + 22 * inward, y), size=2.0),
                Stroke("line", (x, y, x, y + 22 * up), size=2.0),
            ]
    return strokes, width, height


@design("head at the left", FRESH, "filed")
def _beside(case: Case) -> Drawing:
    width, height = 224.0, 62.0
    strokes = [
        Stroke("rect", (2, 2, width - 2, height - 2), size=1.5),
        Stroke("line", (92, 2, 92, height - 2), size=1.0),
        line(47, 23, "FILED", 24, 80, "Times-Bold"),
        line(158, 40, _day(case), 15, 120),
        line(158, 24, case.place.office, 9.5, 122, "Helvetica"),
        line(158, 10, case.place.name, 9.5, 122, "Helvetica"),
    ]
    return strokes, width, height


@design("strip", FRESH, "filed")
def _strip(case: Case) -> Drawing:
    text = f"FILED {_day(case)}  {case.place.desk.upper()}"
    size = min(13.0, 13.0 * 300 / stringWidth(text, "Courier-Bold", 13.0))
    width = stringWidth(text, "Courier-Bold", size) + 12
    strokes = [
        Stroke("line", (2, 28, width - 2, 28), size=1.4),
        Stroke("line", (2, 4, width - 2, 4), size=1.4),
        line(width / 2, 12, text, size, width, "Courier-Bold"),
    ]
    return strokes, width, 32.0


@design("date in a ring", FRESH, "filed")
def _ring(case: Case) -> Drawing:
    size = 138.0
    middle = size / 2
    strokes = [Stroke("ellipse", (3, 3, size - 3, size - 3), size=2.2)]
    strokes += around(middle, middle - 18, f"FILED {case.place.office}".upper(), 10, top=True)
    strokes += around(middle, middle - 18, case.place.name.upper(), 10, top=False)
    strokes += [line(middle, middle - 6, case.dice.choice(days.STAMPED[:8])(case.filed), 17, size - 46)]
    return strokes, size, size


@design("perforated, date first", FRESH, "filed")
def _perforated(case: Case) -> Drawing:
    style = case.dice.choice((days.STAMPED[0], days.STAMPED[3], days.STAMPED[5], days.STAMPED[6]))
    return dotted([(style(case.filed), 2.9), ("FILED", 2.9), (f"{case.place.code} SOS", 2.4)], gap=8)


@design("received, two rules", FRESH, "received")
def _received(case: Case) -> Drawing:
    rows = [("RECEIVED BY", 12.0), (case.pick("THE FRONT DESK", "POST ROOM"), 12.0), (_came(case), 14.0)]
    strokes, _ = stacked(164, 60, rows, "Times-Bold")
    return [Stroke("line", (2, 62, 162, 62)), Stroke("line", (2, 4, 162, 4)), *strokes], 164.0, 66.0


def _came(case: Case) -> str:
    return case.dice.choice(days.STAMPED)(case.received)


@design("true copy", FRESH, "copy")
def _copy(case: Case) -> Drawing:
    strokes, _ = stacked(150, 40, [(case.pick("OFFICE COPY", "DRAFT", "PAID"), 22.0)], "Helvetica-BoldOblique")
    return [Stroke("ellipse", (2, 2, 148, 42), size=1.4), *strokes], 150.0, 44.0


@design("notary, plain lines", FRESH, "notary")
def _notary(case: Case) -> Drawing:
    expires = case.filed.replace(year=case.filed.year + 2, day=min(case.filed.day, 28))
    rows = [
        (f"Notary Public, {case.place.whole}", 10.0),
        (case.people[0], 11.0),
        (f"Commission expires {days.slashed(expires)}", 10.0),
    ]
    strokes, _ = stacked(184, 46, rows, "Times-Bold")
    return strokes, 184.0, 48.0


@design("refused", FRESH, "rejected")
def _refused(case: Case) -> Drawing:
    rows = [("NOT ACCEPTED", 20.0), (case.dice.choice(days.STAMPED)(case.filed), 13.0)]
    strokes, _ = stacked(186, 50, rows)
    return [Stroke("rect", (2, 2, 184, 54), size=2.0), *strokes], 186.0, 56.0
