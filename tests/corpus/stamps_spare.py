"""Stamps and printed marks of the small split. Importing this module enters the stamps in `stamps.DESIGNS`."""

from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.invent import Case, person
from tests.corpus.stamps import SPARE, around, design, line, stacked
from tests.corpus.stamps_late import Drawing, Printed, _box, _set, _time
from tests.corpus.strokes import Stroke

CUT: tuple[days.Style, ...] = (*days.STAMPED[:6], lambda day: f"{day:%b}. {day:%d}, {day.year}".upper())
"""How these stamps write a day."""


def _cut(case: Case) -> str:
    return case.dice.choice(CUT)(case.filed)


def _short_office(case: Case) -> str:
    return case.place.office.split(",")[0].replace("Department", "Dept.").replace(" and ", " & ")


@design("word beside its day", SPARE, "filed")
def _beside(case: Case) -> Drawing:
    strokes = [_box(212, 54, 1.8, 2), Stroke("line", (82, 2, 82, 52), size=1.0)]
    strokes += [line(42, 20, "FILED", 21, 70), line(147, 29, _cut(case), 17, 118)]
    return [*strokes, line(147, 12, f"{case.place.code} {_short_office(case)}", 9.5, 120)], 212.0, 54.0


@design("seal with day and hour", SPARE, "filed")
def _seal(case: Case) -> Drawing:
    strokes = [Stroke("ellipse", (3, 3, 149, 149), size=2.0), Stroke("ellipse", (23, 23, 129, 129), size=0.9)]
    strokes += around(76, 58, _short_office(case).upper(), 9.5, top=True)
    strokes += around(76, 58, case.place.whole.upper(), 9.5, top=False)
    style = case.dice.choice(days.STAMPED[:6])
    strokes += [line(76, 92, _time(case), 10.5, 60), line(76, 70, style(case.filed), 15, 92)]
    return [*strokes, line(76, 46, case.pick("FILED", "Filed"), 17, 66)], 152.0, 152.0


@design("cashier's register", SPARE, "filed")
def _register(case: Case) -> Drawing:
    top = f"FILED  {_cut(case)}  {_time(case)}"
    rows = [(top, 13.0), (case.place.desk.upper(), 10.5), (f"TRAN {case.dice.randrange(10**6, 10**7)}", 10.5)]
    strokes, _ = stacked(226, 52, rows, "Courier-Bold", room=224)
    return strokes, 226.0, 54.0


@design("endorsed and filed", SPARE, "filed")
def _endorsed(case: Case) -> Drawing:
    rows = [("ENDORSED - FILED", 17.0), ("in the office of the", 10.0), (_short_office(case), 11.5)]
    rows += [(f"of the {case.place.whole}", 10.5), (_cut(case), 17.0), (person(case.dice), 10.5)]
    strokes, _ = stacked(188, 98, rows, "Times-Bold", room=186)
    return strokes, 188.0, 100.0


@design("received at the counter", SPARE, "received")
def _received(case: Case) -> Drawing:
    strokes = [_box(168, 70, 1.6, 2), _box(168, 70, 0.7, 6)]
    day = case.dice.choice(CUT)(case.received)
    more, _ = stacked(168, 60, [("RECEIVED", 18.0), (day, 15.0), ("FRONT COUNTER", 9.0)], room=148)
    return [*strokes, *more], 168.0, 70.0


@design("sent back unfiled", SPARE, "rejected")
def _unfiled(case: Case) -> Drawing:
    why = case.pick("SIGNATURE MISSING", "SEE LETTER ENCLOSED", "FEE NOT ENCLOSED")
    rows = [(case.pick("RETURNED - NOT FILED", "REJECTED"), 18.0), (_cut(case), 14.0), (why, 10.0)]
    strokes, _ = stacked(196, 62, rows, room=176)
    return [_box(196, 70, 2.0, 2), *strokes], 196.0, 70.0


# --- printed marks ----------------------------------------------------------------------------------------------------

PRESSWORK: tuple[days.Style, ...] = (
    days.slashed,
    days.slashed,
    days.long,
    lambda day: f"{day.month}/{day.day}/{day.year}",
    lambda day: f"{day:%b} {day:%d}, {day.year}",
)
"""How these printed marks write a day."""


def _print(case: Case) -> str:
    return case.dice.choice(PRESSWORK)(case.filed)


def _typed_reviewer(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [case.place.desk, f"Filed: {_print(case)}", f"Pages: {case.dice.randrange(1, 4)}"]
    reviewer = f"Reviewed by: {person(case.dice).split()[0][:1]}{case.dice.choice('BCDHKLMPRSTW')}"
    _set(doc, x, y, [*rows, reviewer], 10, case.pick("Helvetica-Bold", "Courier-Bold", "Times-Bold"), 184)


def _typed_capitals(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = ["FILED", f"{_print(case)} {_time(case)}".upper(), case.place.desk.upper()]
    _set(doc, x, y, [*rows, f"DCN {case.dice.randrange(10**8, 10**9)}"], 9.5, "Courier-Bold", 186)


def _internet(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [case.place.desk, case.pick("Internet Filing", "Online Filing"), f"Date Filed: {_print(case)}"]
    rows += [f"Time Filed: {_time(case)}", f"Confirmation: {case.dice.randrange(10**8, 10**9)}"]
    _set(doc, x, y, rows, 9.5, case.pick("Helvetica", "Times-Roman"), 186)


def _sentence(doc: Doc, case: Case, x: float, y: float) -> None:
    text = (
        f"Filed electronically with the {case.place.office}, {case.place.whole}, on {_print(case)} at"
        f" {_time(case)}. Filing No. {case.dice.randrange(10**9, 10**10)}"
    )
    high = _set(doc, x - 6, y, [text], 9, "Helvetica-Bold", 182)
    doc.frame(x - 196, y - high + 4, 196, high + 12, weight=0.8, shade=1.0)


PRINTED: dict[tuple[str, str], tuple[tuple[str, Printed], ...]] = {
    (SPARE, "typed"): (("typed with the reviewer", _typed_reviewer), ("typed in capitals", _typed_capitals)),
    (SPARE, "electronic"): (("internet filing", _internet), ("sentence in a frame", _sentence)),
}
"""Printed marks, as in `filemarks`."""
