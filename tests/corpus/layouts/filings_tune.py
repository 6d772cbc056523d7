"""Filings that end a company at home or withdraw it elsewhere: the layouts for tuning."""

from quietus.model.kinds import Authority, Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case
from tests.corpus.layouts.common import FILINGS, effective, filing, sentences, sort_of, title_of
from tests.corpus.layouts.registry import ONLINE, STAMPABLE, layout
from tests.corpus.ticks import box


@layout("numbered blanks", "tune", FILINGS, ("gothic", "roman", "narrow", "plain"), ways=STAMPABLE)
def numbered_blanks(doc: Doc, case: Case, kind: Kind) -> None:
    """Numbered questions, answers typed on rules, the office's box at the upper right."""
    left, right = doc.look.left, doc.look.right
    doc.fitted(left, 745, case.place.desk, right - left - 190, font=doc.font("bold"), size=13)
    doc.fitted(left, 729, f"{case.place.division}, {case.place.capital}", right - left - 190, size=9)
    doc.frame(right - 178, 652, 178, 104)
    doc.write(right - 174, 746, "Filing office use only", size=7)
    doc.y = 690
    doc.look_title(title_of(case, kind), 270)
    doc.write(left, doc.y, sort_of(kind), face="italic", size=10)
    rows = [
        ("1. Name of the company exactly as it stands on the record", case.name),
        (f"2. {case.place.label}", case.number),
        (
            "3. Date of organization" if kind is Kind.DISSOLUTION else "3. Registered in this state since",
            case.day(case.formed),
        ),
        ("4. Formed under the laws of", case.home.name),
        ("5. Effective date", effective(doc, case)),
        ("6. Mailing address", f"{case.street}, {case.town}"),
    ]
    doc.y -= 48
    for label, value in rows:
        doc.blank(left, doc.y, right, label, value, font=doc.font() if doc.look.family == "gothic" else "Courier")
        doc.skip(37)
    doc.prose(sentences("numbered blanks", kind.value, case))
    _signature(doc, case, doc.y - 30)
    typed = doc.way == "typed"
    mark(doc, case, doc.way, right - (6 if typed else 90), 732 if typed else 700)
    distract(doc, case, [(left + 80, 100), (right - 90, 96)])
    filing(doc, case, kind)


def _signature(doc: Doc, case: Case, y: float) -> None:
    left = doc.look.left
    doc.sign(left + 8, y + 4, case.people[0])
    doc.rule(y, left, left + 170, 0.5)
    doc.write(left, y - 9, "Signature", size=7)
    doc.blank(left + 184, y, left + 345, "Name and title", f"{case.people[0]}, Member", size=9.5)
    doc.dated(left + 362, y + 3, case.day(case.signed), 9.5)
    doc.rule(y, left + 358, doc.look.right, 0.5)
    doc.write(left + 358, y - 9, "Date", size=7)


@layout("ruled grid", "tune", (*FILINGS, Kind.WINDING_UP_NOTICE), ("narrow", "gothic", "broad"), ways=STAMPABLE)
def ruled_grid(doc: Doc, case: Case, kind: Kind) -> None:
    """A form of boxed cells under dark bars, a fee line, the stamp in the middle of the head."""
    left, wide = doc.look.left, doc.look.right - doc.look.left
    doc.middle(752, case.place.whole.upper(), size=11)
    doc.middle(738, case.place.office, face="regular", size=10)
    doc.y = 716
    doc.title(title_of(case, kind), 14)
    doc.middle(doc.y, sort_of(kind), face="regular", size=9)
    doc.frame(left, 590, wide, 70)
    revised = f"{case.dice.randrange(1, 13):02d}/{case.dice.randrange(2016, 2025)}"
    doc.write(left + 4, 650, "Space for the filing stamp", size=7)
    doc.write(
        left + 4,
        596,
        f"Filing fee ${case.dice.choice((10, 20, 25, 50, 60))}.00   Rev. {revised}",
        size=7,
    )
    doc.y = 572
    _bar(doc, "THE COMPANY")
    half = wide / 2
    doc.cell(left, doc.y - 30, wide, 30, "Company name", case.name)
    doc.cell(left, doc.y - 60, half, 30, case.place.label, case.number)
    doc.cell(
        left + half, doc.y - 60, half, 30, "State and date of formation", f"{case.home.name}, {case.day(case.formed)}"
    )
    doc.cell(left, doc.y - 90, wide, 30, "Principal office", f"{case.street}, {case.town}")
    doc.skip(106)
    _bar(doc, "STATEMENTS")
    doc.skip(8)
    doc.prose(sentences("ruled grid", kind.value, case, effective=effective(doc, case)), x=left + 6)
    _bar(doc, "EXECUTION")
    doc.cell(left, doc.y - 40, half, 40, "Signature of an authorized person", "")
    doc.sign(left + 30, doc.y - 33, case.people[1])
    doc.cell(left + half, doc.y - 40, half, 40, "Date signed", "")
    doc.dated(left + half + 10, doc.y - 34, case.day(case.signed))
    doc.cell(left, doc.y - 70, wide, 30, "Printed name and capacity", f"{case.people[1]}, Manager")
    mark(
        doc, case, doc.way, left + case.dice.uniform(200, 360) if doc.way != "typed" else left + wide - 8, 628, lean=12
    )
    distract(doc, case, [(left + 90, 90), (left + wide - 80, 90)])
    filing(doc, case, kind)


def _bar(doc: Doc, text: str) -> None:
    doc.frame(doc.look.left, doc.y - 4, doc.look.right - doc.look.left, 14, shade=0.85, weight=0)
    doc.write(doc.look.left + 4, doc.y, text, face="bold", size=9)
    doc.skip(6)


@layout("articles in prose", "tune", FILINGS, ("roman", "typewriter", "press"), ways=STAMPABLE)
def articles_in_prose(doc: Doc, case: Case, kind: Kind) -> None:
    """A law office's own instrument in articles, the stamp at the upper right over its head."""
    typed = doc.way == "typed"
    mark(doc, case, doc.way, doc.look.right - (0 if typed else 80), 752 if typed else 718)
    doc.y = 700
    doc.title(title_of(case, kind).upper(), 14)
    doc.title("OF", 11)
    doc.title(case.name.upper() if case.chance(0.5) else case.name, 13)
    if case.chance(0.25):
        doc.middle(
            doc.y,
            f"(doing business as {case.pick('Hearth & Proof', 'The Copper Ladle', 'Riverbend Works')})",
            face="italic",
            size=10,
        )
        doc.skip(14)
    doc.skip(12)
    doc.para(f"To the {case.place.office}, {case.place.whole}:", gap=0.9)
    for number, text in enumerate(
        sentences("articles in prose", kind.value, case, effective=effective(doc, case)), start=1
    ):
        doc.room(50)
        doc.middle(doc.y, f"ARTICLE {('I', 'II', 'III', 'IV', 'V', 'VI')[number - 1]}", size=doc.look.size)
        doc.skip(doc.look.size * 1.5)
        doc.para(text)
    doc.room(110)
    day = case.facts["formally"] if case.chance(0.5) else case.day(case.signed)
    doc.para(f"IN WITNESS WHEREOF, the undersigned has executed this instrument on {day}.")
    doc.skip(34)
    middle = doc.look.left + 230
    doc.sign(middle + 10, doc.y + 4, case.people[0])
    doc.rule(doc.y, middle, doc.look.right)
    doc.write(middle, doc.y - 13, f"{case.people[0]}, Managing Member")
    if doc.page == 0:
        distract(doc, case, [(doc.look.left + 90, 94)])
    filing(doc, case, kind)


@layout("filing acknowledgment", "tune", FILINGS, ("gothic", "broad", "narrow"), ways=ONLINE, born=0.5)
def filing_acknowledgment(doc: Doc, case: Case, kind: Kind) -> None:
    """A filing system's acknowledgment: no ink, a transaction number, the time of filing; the form may follow."""
    doc.write(doc.look.left, 742, f"{case.place.desk} - {case.place.division}", face="bold", size=12)
    doc.rule(734, weight=1.5)
    doc.y = 706
    doc.title("Filing Acknowledgment", 18, align="left")
    doc.para(f"Printed {case.day(case.reach)}", size=8.5)
    doc.prose(sentences("filing acknowledgment", "opening", case))
    hour = f"{case.dice.randrange(1, 13):02d}:{case.dice.randrange(60):02d} {case.pick('AM', 'PM')}"
    label = case.pick("Filed date and time", "Filing date", "Date filed")
    rows = [
        ("Document type", f"{title_of(case, kind)} ({sort_of(kind).lower()})"),
        ("Entity name", case.name),
        (case.place.label, case.number),
        ("Submitted", f"{case.day(case.received)}"),
        (label, f"{case.day(case.filed)} {hour}"),
        ("Transaction number", f"{case.dice.randrange(10**9, 10**10)}"),
        ("Status", case.pick("Filed", "Accepted and filed")),
        ("Amount paid", f"${case.dice.choice((10, 25, 50, 100))}.00"),
    ]
    doc.pairs(rows, doc.look.left + 170, pitch=2.0)
    doc.skip(10)
    doc.prose(sentences("filing acknowledgment", "closing", case), size=9.5)
    doc.design = "acknowledgment page"
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=Authority.ELECTRONIC.value)
    del doc.truth["signed_date"]


@layout("online printout", "tune", FILINGS, ("gothic", "roman", "broad"), ways=ONLINE, born=0.5)
def online_printout(doc: Doc, case: Case, kind: Kind) -> None:
    """A form filled in on a web page: labels at the left, answers at the right, the electronic mark at the top."""
    left, right = doc.look.left, doc.look.right
    mark(doc, case, "electronic", right, 750)
    doc.y = 676
    doc.title(title_of(case, kind), 16, align="left")
    doc.write(left, doc.y, f"{sort_of(kind)} - {case.place.whole}", size=9)
    doc.skip(30)
    rows = [
        ("Entity name", case.name),
        (case.place.label, case.number),
        ("Jurisdiction of formation", case.home.name),
        ("Date of formation", case.day(case.formed)),
        ("Effective date", effective(doc, case)),
        ("Service of process address", f"{case.street}, {case.town}"),
    ]
    for label, value in rows:
        doc.write(left, doc.y, label, size=9.5, gray=0.3)
        doc.fitted(left + 190, doc.y, value, right - left - 190, font=doc.font("bold"), size=doc.look.size)
        doc.rule(doc.y - 6, weight=0.25)
        doc.skip(24)
    doc.skip(6)
    doc.prose(sentences("online printout", kind.value, case))
    doc.write(left, doc.y - 6, f"Electronic signature: /s/ {case.people[0]}", face="italic")
    doc.write(left, doc.y - 24, f"Signed on {case.day(case.signed)}")
    filing(doc, case, kind)


@layout("office certificate", "tune", FILINGS, ("roman", "press"), ways=("certified",), born=0.1)
def office_certificate(doc: Doc, case: Case, kind: Kind) -> None:
    """The filing office's own certificate that the filing was made, given under its hand."""
    doc.frame(40, 60, 532, 690, weight=2)
    doc.middle(712, case.place.whole.upper(), size=18)
    doc.middle(690, case.place.office, face="italic", size=14)
    doc.y = 640
    doc.title(case.pick("CERTIFICATE OF FILING", "CERTIFICATE"), 20)
    doc.skip(16)
    given = case.reach
    doc.prose(sentences("office certificate", kind.value, case, title=title_of(case, kind)), gap=1.0)
    doc.para(f"Given under my hand at {case.place.capital} on {case.day(given)}.")
    doc.sign(330, 170, "the office", 150)
    doc.rule(164, 320, 530)
    doc.write(320, 150, case.place.office)
    doc.write(72, 100, f"Certificate number {case.dice.randrange(10**7, 10**8)}", size=9)
    doc.design = "office certificate"
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=Authority.CERTIFIED.value)
    doc.truth["signed_date"] = given.isoformat()


@layout("long form of two pages", "tune", FILINGS, ("narrow", "roman"), ways=STAMPABLE)
def two_pages(doc: Doc, case: Case, kind: Kind) -> None:
    """A form over two pages: the mark on the first, the signature on the second."""
    left, right = doc.look.left, doc.look.right
    revised = f"{case.dice.randrange(1, 13)}/{case.dice.randrange(2012, 2022)}"
    doc.write(
        right,
        752,
        f"Form {case.dice.randrange(100, 900)} (revised {revised})",
        size=8,
        align="right",
    )
    doc.write(left, 748, f"Return to: {case.place.desk}", size=9)
    doc.write(left, 736, f"{case.place.division}, {case.place.capital}", size=9)
    doc.y = 640
    doc.title(title_of(case, kind), 17)
    doc.middle(doc.y, sort_of(kind), face="regular", size=11)
    doc.skip(32)
    doc.write(left, doc.y, "Entity information", face="bold")
    doc.skip(24)
    doc.blank(left, doc.y, right, "The name of the limited liability company", case.name)
    doc.skip(36)
    doc.blank(left, doc.y, left + 200, case.place.label, case.number)
    doc.blank(left + 220, doc.y, right, "Formed", f"{case.day(case.formed)}, {case.home.name}")
    doc.skip(30)
    doc.write(left, doc.y, "Event or reason (mark one)", face="bold")
    doc.skip(18)
    for number, text in enumerate(sentences("long form of two pages", "reasons", case)):
        box(doc, left + 8, doc.y, "square", "typed" if number == 0 else "", name=f"reason{number}")
        doc.para(text, x=left + 26, gap=0.5)
    doc.prose(sentences("long form of two pages", kind.value, case))
    mark(doc, case, doc.way if doc.way != "typed" else "ink", right - 92, 700)
    doc.write(right, 48, "Page 1 of 2", size=8, align="right")
    doc.turn()
    doc.write(left, doc.y, f"{case.name} - {case.place.label} {case.number}", size=9)
    doc.skip(30)
    doc.prose(sentences("long form of two pages", "second page", case, effective=effective(doc, case)))
    _signature(doc, case, doc.y - 40)
    distract(doc, case, [(left + 100, 220), (right - 100, 200)])
    doc.write(right, 48, "Page 2 of 2", size=8, align="right")
    filing(doc, case, kind)
