"""The office's mark on a filing: ink, a typed line, an electronic mark, or none; and what else gets stamped."""

from collections.abc import Callable

from quietus.model.kinds import Authority
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.invent import Case
from tests.corpus.stamps import BLACK, FRESH, HELD, INKS, RED, TUNE
from tests.corpus.stamps_fresh import DESIGNS
from tests.corpus.stamps_late import PRINTED
from tests.corpus.stamps_proof import PRINTED as PRINTED_PROOF
from tests.corpus.stamps_spare import PRINTED as PRINTED_SPARE
from tests.corpus.stamps_trial import PRINTED as PRINTED_TRIAL

PLAIN = ("none", "received", "rejected")
"""Ways to be marked that are no filing."""
Printed = Callable[[Doc, Case, float, float], None]


def mark(doc: Doc, case: Case, way: str, x: float, y: float, *, lean: float = 20) -> None:
    """Mark a filing at about `x`, `y` in the `way` asked for, and note what that makes true.

    Args:
        doc: the paper.
        case: whose.
        way: `ink`, `typed`, `electronic`, `received`, `rejected` or `none`.
        x: middle of an ink stamp; right edge of a printed mark.
        y: middle of an ink stamp; first line of a printed mark.
        lean: the most degrees that an ink stamp is turned.
    """
    doc.design = way
    if way in PLAIN:
        doc.truth |= {"stamped": False, "authority": Authority.PLAIN.value}
        if way != "none":
            _ink(doc, case, way, x, y, lean)
        return
    doc.truth |= {"stamped": True, "filing_date": case.filed.isoformat()}
    if way == "ink":
        doc.truth["authority"] = Authority.STAMPED.value
        doc.design = _ink(doc, case, "filed", x, y, lean)
        return
    name, draw = case.dice.choice(_PRINTED[doc.split, way])
    doc.design = name
    doc.truth["authority"] = (Authority.STAMPED if way == "typed" else Authority.ELECTRONIC).value
    draw(doc, case, x, y)


def _ink(doc: Doc, case: Case, sort: str, x: float, y: float, lean: float) -> str:
    design = case.dice.choice([one for one in DESIGNS if one.split == doc.split and one.sort == sort])
    dice = case.dice
    angle = dice.uniform(-lean, lean) if dice.random() < 0.35 else dice.gauss(0, 3)
    stamp = design.stamp(case)
    ink = BLACK if design.name.startswith("perforated") else dice.choice(INKS)
    x = min(x + dice.uniform(-14, 14), 612 - stamp.width * 0.44)  # at the worst a little of its edge is off the sheet
    doc.press(stamp, x, y + dice.uniform(-16, 10), angle, ink, dice.uniform(0.78, 0.97))
    return design.name


def distract(
    doc: Doc,
    case: Case,
    spots: list[tuple[float, float]],
    sorts: tuple[str, ...] = ("received", "received", "copy", "notary"),
) -> None:
    """Perhaps press a stamp that files nothing, of one of the sorts, at one of the places given."""
    dice = case.dice
    if not spots or dice.random() > 0.45:
        return
    sort = dice.choice(sorts)
    design = dice.choice([one for one in DESIGNS if one.split == doc.split and one.sort == sort])
    x, y = dice.choice(spots)
    doc.press(design.stamp(case), x, y, dice.gauss(0, 4), dice.choice((*INKS, RED)), dice.uniform(0.7, 0.95))


def _hour(case: Case) -> str:
    return f"{case.dice.randrange(1, 13):02d}:{case.dice.randrange(60):02d} {case.dice.choice(('AM', 'PM'))}"


def _stack(doc: Doc, x: float, y: float, rows: list[str], size: float, font: str, room: float) -> None:
    """Lines one under the other that end at `x`; with a negative `room` they begin so many points before it.

    They are set smaller when one is wider than `room` points.
    """
    widest = max(doc.wide(row, "regular", size, font) for row in rows)
    size = min(size, size * abs(room) / widest)
    for number, row in enumerate(rows):
        start = x if room > 0 else x + room
        doc.write(start, y - number * size * 1.25, row, size=size, font=font, align="right" if room > 0 else "left")


def _filed_line(doc: Doc, case: Case, x: float, y: float) -> None:
    style = case.dice.choice(days.STAMPED)
    rows = [f"FILED  {style(case.filed)}", f"{case.place.name} {case.place.office}"]
    _stack(doc, x, y, rows, 12, "Courier-Bold", 176)


def _filed_typed_time(doc: Doc, case: Case, x: float, y: float) -> None:
    style = case.dice.choice(days.STAMPED[4:8])
    rows = [
        f"FILED {style(case.filed)} {_hour(case)}",
        f"{case.place.office}, {case.place.whole}",
        f"Receipt {case.dice.randrange(10**6, 10**7)}",
    ]
    _stack(doc, x, y, rows, 10.5, "Helvetica-Bold", 176)


def _filed_in_office(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        "Filed in the office of the",
        f"{case.place.office}, {case.place.name}",
        f"on {case.dice.choice(days.PRINTED)(case.filed)}",
        f"at {_hour(case)}",
    ]
    _stack(doc, x, y, rows, 10.5, "Times-Bold", -190)


def _filing_date_block(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        f"FILING DATE: {case.dice.choice(days.STAMPED)(case.filed)}",
        f"FILE NO.: {case.dice.randrange(10**7, 10**8)}",
        f"{case.place.desk.upper()}",
    ]
    _stack(doc, x, y, rows, 9.5, "Courier-Bold", -215)


def _corner(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        "Electronically Filed",
        case.place.desk,
        f"Filing number: {case.dice.randrange(10**9, 10**10)}",
        f"Filed on: {case.dice.choice(days.STAMPED[4:9])(case.filed)} {_hour(case)}",
    ]
    _stack(doc, x, y, rows, 9.5, "Helvetica", 240)


def _band(doc: Doc, case: Case, x: float, y: float) -> None:
    doc.frame(x - 228, y - 22, 228, 36, weight=1.0)
    doc.write(x - 222, y, f"E-FILED {case.dice.choice(days.STAMPED)(case.filed)}", size=11, font="Helvetica-Bold")
    doc.write(
        x - 222,
        y - 14,
        f"Transaction No. {case.dice.randrange(10**8, 10**9)}   {case.place.code} {_hour(case)}",
        size=9,
    )


def _delivered(doc: Doc, case: Case, x: float, y: float) -> None:
    delivered = f"DELIVERED {_hour(case)} {days.slashed(case.filed)}"
    rows = [
        case.place.whole,
        f"{case.place.office}, {case.place.division}",
        delivered,
        f"FILED {_hour(case)} {days.slashed(case.filed)}",
        f"SR {case.dice.randrange(10**10, 10**11)}  -  File {case.number}",
    ]
    _stack(doc, x, y, rows, 8.8, "Times-Roman", 260)


def _document_lines(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        f"Document No.  {case.dice.randrange(10**10, 10**11)}",
        f"Date Filed    {case.dice.choice(days.STAMPED[4:9])(case.filed)}",
        "Filed by electronic submission",
        case.place.desk,
    ]
    _stack(doc, x, y, rows, 9, "Courier", -235)


def _filed_and_number(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        f"{case.place.desk}",
        f"FILED: {case.dice.choice(days.STAMPED)(case.filed)}, {_hour(case)}",
        f"Document number {case.dice.randrange(10**7, 10**8)}",
    ]
    _stack(doc, x, y, rows, 10, "Helvetica-Bold", -200)


def _filed_between_rules(doc: Doc, case: Case, x: float, y: float) -> None:
    doc.rule(y + 13, x - 170, x, 0.8)
    rows = [f"FILED {case.dice.choice(days.STAMPED)(case.filed)}", case.place.office, case.place.whole]
    _stack(doc, x, y, rows, 11, "Times-Bold", 168)
    doc.rule(y - 34, x - 170, x, 0.8)


def _foot_line(doc: Doc, case: Case, x: float, y: float) -> None:
    text = (
        f"Filed electronically with {case.place.desk} on {case.dice.choice(days.STAMPED[4:9])(case.filed)} "
        f"at {_hour(case)}; filing number {case.dice.randrange(10**8, 10**9)}"
    )
    _stack(doc, x, y, [text], 8.5, "Helvetica", 470)


def _table_at_foot(doc: Doc, case: Case, x: float, y: float) -> None:
    rows = [
        f"Date and time of filing   {case.dice.choice(days.STAMPED[4:9])(case.filed)} {_hour(case)}",
        f"Electronic receipt no.    {case.dice.randrange(10**8, 10**9)}",
        f"Accepted by               {case.place.desk}",
    ]
    _stack(doc, x, y, rows, 9, "Courier", -330)


_PRINTED: dict[tuple[str, str], tuple[tuple[str, Printed], ...]] = {
    (TUNE, "typed"): (("typed line", _filed_line), ("typed line with time", _filed_typed_time)),
    (HELD, "typed"): (("typed in the office", _filed_in_office), ("typed filing date", _filing_date_block)),
    (FRESH, "typed"): (("typed with number", _filed_and_number), ("typed between rules", _filed_between_rules)),
    (FRESH, "electronic"): (("foot line", _foot_line), ("table at the foot", _table_at_foot)),
    (TUNE, "electronic"): (("e-filed corner", _corner), ("e-filed band", _band)),
    (HELD, "electronic"): (("delivered and filed", _delivered), ("document lines", _document_lines)),
    **PRINTED,
    **PRINTED_TRIAL,
    **PRINTED_PROOF,
    **PRINTED_SPARE,
}
