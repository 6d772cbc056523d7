"""Stamps and printed marks of the split for reported figures. Importing this enters the stamps in `stamps.DESIGNS`."""

from collections.abc import Callable
from datetime import date

from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.dots import dotted
from tests.corpus.invent import Case, person
from tests.corpus.stamps import PROOF, around, design, line, stacked
from tests.corpus.stamps_late import Drawing, Printed, _box, _lowered, _set, _time
from tests.corpus.strokes import Stroke


def long_zero(day: date) -> str:
    """March 04, 2025."""
    return f"{day:%B %d, %Y}"


def clocked(day: date) -> str:
    """2025 MAR -4, as a mail-room clock prints it."""
    return f"{day.year} {day:%b} {day.day:->2d}".upper()


STAMP_STYLES: tuple[days.Style, ...] = (
    *days.STAMPED[:7],
    days.STAMPED[0],
    lambda day: f"{day:%b}{'' if day.month == 5 else '.'} {day:%d}, {day.year}".upper(),
    lambda day: f"{day:%m-%d-%Y}",
    lambda day: long_zero(day).upper(),
)
PRINT_STYLES: tuple[days.Style, ...] = (
    days.slashed,
    days.slashed,
    lambda day: f"{day.month}/{day.day}/{day.year}",
    lambda day: f"{day:%b} {day:%d}, {day.year}",
    long_zero,
    lambda day: f"{day:%m-%d-%Y}",
)


def _inked(case: Case, when: date | None = None) -> str:
    return case.dice.choice(STAMP_STYLES)(when or case.filed)


def _printed(case: Case) -> str:
    return case.dice.choice(PRINT_STYLES)(case.filed)


def _of_the(case: Case, words: str) -> str:
    """`words` before an official, `by the` before a department."""
    return words if "Secretary" in case.place.office else "by the"


def _office(case: Case) -> str:
    """The office as a stamp shortens it: `DEPT. OF LICENSING & REGULATORY AFFAIRS`."""
    return case.place.office.split(",")[0].replace("Department", "Dept.").replace(" and ", " & ")


def _doc_number(case: Case) -> str:
    return f"{case.dice.randrange(10**10, 10**11)}"


# --- lines, with or without a frame -----------------------------------------------------------------------------------

Rows = Callable[[Case], list[tuple[str, float]]]


def _official(case: Case) -> list[tuple[str, float]]:
    of = f" OF {case.place.name.upper()}" if case.chance(0.4) and "Secretary" in case.place.office else ""
    name = person(case.dice).upper()
    return [("FILED", 29.0), (_inked(case), 18.0), (name, 11.5), (_office(case).upper() + of, 11.0)]


def _city(case: Case) -> list[tuple[str, float]]:
    hour, half = _time(case).split()
    when = f"{clocked(case.filed)}  {case.pick(f'{hour} {half}', f'{half} {hour}')}"
    city = f"{case.place.capital}, {case.place.name}".upper()
    return [("FILED", 21.0), (when, 14.0), (_office(case).upper(), 11.0), (city, 11.0)]


def _section(case: Case) -> list[tuple[str, float]]:
    office = f"{_office(case)} of {case.place.name}"
    head = [("FILED", 22.0), (_of_the(case, "In the Office of the"), 10.0), (office, 12.0)]
    return [*head, (_inked(case), 17.0), (case.place.division, 10.0)]


def _received(case: Case) -> list[tuple[str, float]]:
    where = case.pick("BY MAIL", "CASHIER", "DOCUMENT SERVICES", "MAIL ROOM 2")
    return [(case.pick("RECEIVED", "Received"), 18.0), (_inked(case, case.received), 15.0), (where, 10.0)]


def _unable(case: Case) -> list[tuple[str, float]]:
    why = case.pick("Fee insufficient", "Name conflict")
    return [(case.pick("REJECTED", "UNABLE TO FILE", "NOT FILED"), 21.0), (_inked(case), 14.0), (why, 10.0)]


def _copy(case: Case) -> list[tuple[str, float]]:
    return [(case.pick("CUSTOMER COPY", "COPY", "FOR YOUR RECORDS", "E-MAILED"), 19.0)]


def _drawing(rows: Rows, font: str, width: float, frame: float) -> Callable[[Case], Drawing]:
    def make(case: Case) -> Drawing:
        lines = rows(case)
        height = sum(size for _, size in lines) * 1.2 + 4
        strokes, _ = stacked(width, height - 2, lines, font, room=width - 14 * bool(frame))
        if not frame:
            return strokes, width, height
        return [_box(width, height + 8, frame, 1), *_lowered(strokes, -4)], width, height + 8

    return make


for _name, _sort, _rows, _font, _width, _frame in (
    ("the official's name", "filed", _official, "Helvetica-Bold", 178.0, 0.0),
    ("clock and city", "filed", _city, "Courier-Bold", 196.0, 0.0),
    ("office and section", "filed", _section, "Times-Bold", 184.0, 0.0),
    ("received, by post", "received", _received, "Helvetica-Bold", 158.0, 1.6),
    ("framed, with the reason", "rejected", _unable, "Helvetica-Bold", 172.0, 2.0),
    ("copy for the customer", "copy", _copy, "Helvetica-Bold", 150.0, 0.0),
):
    design(_name, PROOF, _sort)(_drawing(_rows, _font, _width, _frame))


# --- other stamps -----------------------------------------------------------------------------------------------------


@design("date between rules", PROOF, "filed")
def _between(case: Case) -> Drawing:
    strokes = [_box(176, 88, 1.4, 2), *(Stroke("line", (2, y, 174, y), size=1.0) for y in (34.0, 62.0))]
    strokes += [
        line(88, 71, f"{case.place.name} {_office(case)}".upper(), 9.5, 162),
        line(88, 42, _inked(case), 18, 152, "Times-Bold"),
    ]
    return [*strokes, line(88, 11, case.pick("F I L E D", "FILED", "Filed"), 20, 136)], 176.0, 88.0


@design("oval with a slot", PROOF, "filed")
def _slot(case: Case) -> Drawing:
    strokes = [Stroke("ellipse", (3, 3, 191, 115), size=1.8), *(Stroke("line", (6, y, 188, y)) for y in (46.0, 70.0))]
    strokes += [line(97, 96, _office(case).upper(), 9, 116), line(97, 75, "FILED", 18, 90)]
    strokes += [line(97, 52, _inked(case), 17, 138), line(97, 30, case.place.whole.upper(), 10, 124)]
    return strokes, 194.0, 118.0


@design("perforated, state last", PROOF, "filed")
def _perforated(case: Case) -> Drawing:
    style = case.dice.choice((days.STAMPED[0], days.STAMPED[4], days.STAMPED[5], days.STAMPED[6]))
    return dotted([("FILED", 2.8), (style(case.filed), 2.5), (case.place.name.upper(), 1.9)], gap=7)


@design("notary, seal and line", PROOF, "notary")
def _notary(case: Case) -> Drawing:
    expires = case.filed.replace(year=case.filed.year + 3, day=min(case.filed.day, 28))
    strokes = [Stroke("ellipse", (2, 2, 98, 98), size=1.4), Stroke("ellipse", (16, 16, 84, 84), size=0.7)]
    strokes += around(50, 36, "NOTARY PUBLIC", 9, top=True) + around(50, 36, case.place.name.upper(), 8, top=False)
    strokes += [line(50, 47, "SEAL", 11, 50), line(176, 56, person(case.dice), 11, 140, "Times-Bold")]
    return (
        [*strokes, line(176, 40, f"My commission expires {days.slashed(expires)}", 9, 148, "Times-Roman")],
        254.0,
        100.0,
    )


# --- printed marks ----------------------------------------------------------------------------------------------------


def _typed_number(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [f"{case.place.label}: {case.number}", f"Date Filed: {_printed(case)} {_time(case)}"]
    _set(doc, x, y, [*rows, person(case.dice), case.place.desk], 9.5, case.pick("Helvetica", "Helvetica-Bold"), 184)


def _typed_colon(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [case.place.desk, f"FILED: {_printed(case)} {_time(case)}", f"Doc ID {_doc_number(case)}"]
    _set(doc, x, y, rows, 10, case.pick("Courier", "Courier-Bold", "Helvetica-Bold"), 190)


def _typed_item(doc: Doc, case: Case, x: float, y: float) -> None:
    office = f"{'Office of the ' if 'Secretary' in case.place.office else ''}{case.place.office}"
    rows = [f"Work Item {_doc_number(case)}", case.place.whole, office, "FILED", f"{_printed(case)} {_time(case)}"]
    _set(doc, x, y, rows, 9.5, "Helvetica-Bold", 186)


def _table(doc: Doc, case: Case, x: float, y: float) -> None:
    """A ruled box: who filed at the left, what and when at the right."""
    left, row = x - 268, 74 / 3
    doc.frame(left, y - 58, 268, 74, weight=0.8)
    for number, text in enumerate((_of_the(case, "Filed in the Office of"), case.place.office, case.place.whole)):
        doc.fitted(left + 5, y - 14 * number, text.replace("by the", "Filed by"), 118, size=9, font="Helvetica")
    cells = ("Filing Number", _doc_number(case)), ("Filed On", f"{_printed(case)} {_time(case)}"), ("Pages", "1")
    for number, (label, value) in enumerate(cells):
        doc.cell(left + 128, y + 16 - row * (number + 1), 140, row, label, value, size=9)


def _dashes(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [case.place.desk, case.pick("-FILED-", "* FILED *", "FILED"), f"{case.place.label}: {case.number}"]
    _set(doc, x, y, [*rows, f"Date Filed: {_printed(case)}"], 10, case.pick("Helvetica", "Courier-Bold"), 192)


def _and_effective(doc: Doc, case: Case, x: float, y: float) -> None:
    """The only mark that also says from when the filing has effect."""
    effective = date.fromisoformat(str(doc.truth.setdefault("effective_date", case.filed.isoformat())))
    style = case.dice.choice(PRINT_STYLES)
    rows = ["FILED", case.place.desk, f"Date Filed: {style(case.filed)}", f"Effective Date: {style(effective)}"]
    _set(doc, x, y, [*rows, f"{case.place.label}: {case.number}"], 9.5, "Helvetica-Bold", 186)


def _web_image(doc: Doc, case: Case, x: float, y: float) -> None:
    head = [_of_the(case, "Filed in the Office of the"), f"{case.place.office} of {case.place.name}"]
    rows = [
        f"Filing #: {case.number}   {_printed(case)}",
        f"Document #: {_doc_number(case)}",
        "Image of an online filing",
    ]
    _set(doc, x, y, [head[0].replace("by the", "Filed by the"), head[1], *rows], 9, "Times-Roman", 206)


PRINTED: dict[tuple[str, str], tuple[tuple[str, Printed], ...]] = {
    (PROOF, "typed"): (
        ("typed, number and official", _typed_number),
        ("typed after a colon", _typed_colon),
        ("typed work item", _typed_item),
    ),
    (PROOF, "electronic"): (
        ("ruled box of the system", _table),
        ("between dashes", _dashes),
        ("filed and effective", _and_effective),
        ("image of an online filing", _web_image),
    ),
}
"""Printed marks, as in `filemarks`."""
