"""Filings that end a company at home or withdraw it elsewhere: the layouts held out for the reported figures."""

from quietus.model.kinds import Authority, Kind
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import FILINGS, effective, filing, sentences, sort_of, title_of
from tests.corpus.layouts.registry import ONLINE, STAMPABLE, layout
from tests.corpus.ticks import box


@layout("two columns", "held", FILINGS, ("roman", "broad", "plain"), ways=STAMPABLE)
def two_columns(doc: Doc, case: Case, kind: Kind) -> None:
    """What to write at the left in small type, what was written at the right; the stamp at the upper left."""
    left, right = doc.look.left, doc.look.right
    stop = left + 170
    doc.write(right, 748, case.place.office, face="bold", size=12, align="right")
    doc.write(right, 735, f"{case.place.whole}", size=10, align="right")
    doc.y = 640
    doc.title(title_of(case, kind), 16, align="left")
    doc.write(left, doc.y, f"({sort_of(kind).lower()})", size=10)
    doc.rule(doc.y - 8, weight=1.4)
    doc.skip(30)
    rows = [
        ("Name. Give it as registered, with its ending.", case.name),
        (f"{case.place.label}. It stands on your last report.", case.number),
        ("When and where the company was formed.", f"{case.day(case.formed)} in {case.home.name}"),
        ("When this filing takes effect.", effective(doc, case)),
        ("Where process is to be sent from now on.", f"{case.street}, {case.town}"),
    ]
    for label, value in rows:
        top = doc.y
        doc.para(label, size=8, right=stop - 12, gap=0)
        low = doc.y
        doc.y = top
        doc.para(value, x=stop, gap=0)
        doc.y = min(low, doc.y) - 6
        doc.rule(doc.y + 6, weight=0.3)
        doc.skip(16)
    doc.prose(sentences("two columns", kind.value, case), x=stop)
    doc.skip(30)
    doc.sign(stop + 8, doc.y + 4, case.people[1])
    doc.rule(doc.y, stop, right)
    doc.write(stop, doc.y - 11, f"{case.people[1]}, authorized member", size=9)
    doc.write(stop + 200, doc.y - 11, "Signed:", size=9)
    doc.dated(stop + 240, doc.y - 11, case.day(case.signed), 9.5)
    typed = doc.way == "typed"
    mark(doc, case, doc.way, left + (235 if typed else 105), 735 if typed else 705)
    distract(doc, case, [(left + 70, 330), (right - 90, 94)])
    filing(doc, case, kind)


@layout("shaded table", "held", (*FILINGS, Kind.WINDING_UP_NOTICE), ("gothic", "narrow"), ways=STAMPABLE)
def shaded_table(doc: Doc, case: Case, kind: Kind) -> None:
    """A table whose left column is shaded; the stamp at the lower right, over the signature's neighbourhood."""
    left, right = doc.look.left, doc.look.right
    doc.frame(left, 716, right - left, 34, shade=0.2, weight=0)
    doc.write(left + 8, 728, f"{case.place.office} of {case.place.name}", face="bold", size=13, gray=1.0)
    doc.y = 690
    doc.title(title_of(case, kind), 15, align="left")
    doc.write(left, doc.y, f"{sort_of(kind)}. Statute and instructions on the reverse.", size=8)
    doc.skip(28)
    rows = [
        ("Registered name", case.name),
        (case.place.label, case.number),
        ("Home jurisdiction", case.home.name),
        ("Organized on", case.day(case.formed)),
        ("To take effect", effective(doc, case)),
        ("Principal address", f"{case.street}, {case.town}"),
        ("Contact", f"{case.people[0]}, 555-01{case.dice.randrange(10, 99)}"),
    ]
    for label, value in rows:
        doc.frame(left, doc.y - 9, 150, 25, shade=0.9)
        doc.frame(left + 150, doc.y - 9, right - left - 150, 25)
        doc.write(left + 5, doc.y, label, size=9.5)
        doc.fitted(left + 156, doc.y, value, right - left - 164, size=doc.look.size)
        doc.skip(25)
    doc.skip(14)
    doc.prose(sentences("shaded table", kind.value, case))
    y = doc.y - 34
    doc.sign(left + 8, y + 4, case.people[0])
    doc.rule(y, left, left + 190)
    doc.write(left, y - 11, f"{case.people[0]}, member", size=9)
    doc.write(left, y - 30, "Executed on", size=9)
    doc.dated(left + 62, y - 30, case.day(case.signed), 9.5)
    typed = doc.way == "typed"
    mark(doc, case, doc.way, right - (4 if typed else 96), min(y, 250) - (10 if typed else 20))
    distract(doc, case, [(right - 90, 668), (left + 80, 92)])
    filing(doc, case, kind)


@layout("questions", "held", FILINGS, ("gothic", "plain", "roman"), ways=STAMPABLE)
def questions(doc: Doc, case: Case, kind: Kind) -> None:
    """Questions with yes and no, the stamp across the middle of the head."""
    left, right = doc.look.left, doc.look.right
    doc.middle(750, case.place.desk, size=14)
    doc.middle(736, case.place.division, face="regular", size=9)
    doc.y = 640
    doc.title(title_of(case, kind).upper(), 13)
    doc.middle(doc.y, sort_of(kind).upper(), face="regular", size=9)
    doc.skip(26)
    for label, value in (
        ("Company:", case.name),
        (f"{case.place.label}:", case.number),
        ("Formed:", f"{case.day(case.formed)}, {case.home.name}"),
    ):
        doc.write(left, doc.y, label, face="bold")
        doc.fitted(left + 135, doc.y, value, right - left - 140, font="Courier", size=doc.look.size)
        doc.rule(doc.y - 3, left + 130, right, 0.4)
        doc.skip(22)
    doc.skip(8)
    for number, text in enumerate(sentences("questions", kind.value, case), start=1):
        doc.write(left, doc.y, f"{number}.", face="bold")
        top = doc.y
        doc.para(text, x=left + 20, right=right - 110, gap=0.4)
        yes = case.chance(0.7)
        for x, word, on in ((right - 100, "Yes", yes), (right - 48, "No", not yes)):
            wide = box(doc, x, top, "square", case.pick("typed", "check") if on else "", name=f"q{number}{word}")
            doc.write(x + wide + 3, top, word, size=9)
    doc.para(f"Effective: {effective(doc, case)}")
    doc.skip(26)
    doc.write(left, doc.y, "By:", face="bold")
    doc.sign(left + 30, doc.y + 2, case.people[0])
    doc.rule(doc.y - 3, left + 22, left + 220)
    doc.write(left + 240, doc.y, "Date:", face="bold")
    doc.dated(left + 280, doc.y, case.day(case.signed))
    doc.write(left, doc.y - 20, f"Print name: {case.people[0]}", size=9.5)
    typed = doc.way == "typed"
    mark(doc, case, doc.way, left + (235 if typed else case.dice.uniform(200, 270)), 712 if typed else 690)
    distract(doc, case, [(right - 70, 700), (left + 90, 96)])
    filing(doc, case, kind)


@layout("web receipt", "held", FILINGS, ("narrow", "gothic", "broad"), ways=ONLINE, born=0.5)
def web_receipt(doc: Doc, case: Case, kind: Kind) -> None:
    """The page that a filing system shows at the end, printed from a browser."""
    doc.write(doc.look.left, 762, f"{case.reach:%m/%d/%Y}, 9:{case.dice.randrange(10, 59)} AM", size=7)
    doc.write(doc.look.right, 762, "Business filings online", size=7, align="right")
    doc.y = 730
    doc.title(f"{case.place.name} Business Filings", 15, align="left")
    doc.para(f"{case.place.office}, {case.place.division}", size=9)
    doc.frame(doc.look.left, doc.y - 40, doc.look.right - doc.look.left, 40, shade=0.93)
    doc.write(
        doc.look.left + 10,
        doc.y - 17,
        case.pick("Your filing has been approved.", "The document has been filed."),
        face="bold",
        size=13,
    )
    doc.write(doc.look.left + 10, doc.y - 32, f"Confirmation {case.dice.randrange(10**8, 10**9)}", size=9.5)
    doc.skip(70)
    hour = f"{case.dice.randrange(1, 13)}:{case.dice.randrange(10, 59)} {case.pick('a.m.', 'p.m.')}"
    rows = [
        ("Filing:", title_of(case, kind)),
        ("Type of business:", sort_of(kind)),
        ("Business name:", case.name),
        (f"{case.place.label}:", case.number),
        ("Formation:", f"{case.home.name}, {case.day(case.formed)}"),
        ("Filed:", f"{case.day(case.filed)}, {hour}"),
        ("Effective:", effective(doc, case)),
        ("Order placed:", case.day(case.received)),
        ("Document number:", f"{case.dice.randrange(10**10, 10**11)}"),
        ("Paid by card ending:", f"{case.dice.randrange(1000, 9999)}"),
    ]
    for label, value in rows:
        doc.write(doc.look.left + 148, doc.y, label, size=10, align="right", gray=0.25)
        doc.fitted(doc.look.left + 158, doc.y, value, 320, font=doc.font(), size=10.5)
        doc.skip(21)
    doc.skip(12)
    doc.prose(sentences("web receipt", kind.value, case), size=10)
    doc.design = "web receipt"
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=Authority.ELECTRONIC.value)
    del doc.truth["signed_date"]


@layout("e-form with lines at the foot", "held", FILINGS, ("roman", "gothic"), ways=ONLINE, born=0.5)
def e_form(doc: Doc, case: Case, kind: Kind) -> None:
    """A form made by a filing system, its electronic mark at the head or the foot."""
    left, right = doc.look.left, doc.look.right
    at_foot = case.chance(0.4)
    mark(doc, case, "electronic", right, 104 if at_foot else 752)
    doc.y = 690
    doc.title(f"{case.place.whole}", 12)
    doc.title(title_of(case, kind), 15)
    doc.middle(doc.y, f"for a {sort_of(kind).lower()}", face="italic", size=10)
    doc.skip(30)
    for number, text in enumerate(
        sentences("e-form with lines at the foot", kind.value, case, effective=effective(doc, case)), start=1
    ):
        doc.write(left, doc.y, f"{number})")
        doc.para(text, x=left + 24)
    doc.skip(6)
    doc.write(left, doc.y, f"Submitted by {case.people[1]}, member, who affirms the above under penalty of law.")
    doc.write(left, doc.y - 16, f"Affirmed {case.day(case.signed)}")
    filing(doc, case, kind)


@layout("certificate over a copy", "held", FILINGS, ("roman", "press"), ways=("certified",), born=0.1)
def certificate_over_copy(doc: Doc, case: Case, kind: Kind) -> None:
    """A certified copy: the office's certificate on the first page, the stamped paper on the second."""
    title = title_of(case, kind)
    given = case.reach
    doc.y = 720
    doc.title(case.place.whole, 17, "italic")
    doc.title(f"Office of the {case.place.office}" if "Secretary" in case.place.office else case.place.office, 13)
    doc.skip(40)
    doc.title("CERTIFIED COPY", 19)
    doc.skip(20)
    doc.prose(sentences("certificate over a copy", "certificate", case, title=title), gap=1.2)
    doc.skip(40)
    doc.write(doc.look.left, doc.y, f"Dated: {case.day(given)}")
    doc.sign(330, doc.y + 4, "custodian", 140)
    doc.rule(doc.y, 320, doc.look.right)
    doc.write(320, doc.y - 13, "Custodian of records", size=10)
    doc.turn()
    doc.y = 690
    doc.title(title.upper(), 14)
    doc.middle(doc.y, sort_of(kind), face="italic", size=10)
    doc.skip(30)
    doc.prose(sentences("certificate over a copy", kind.value, case))
    doc.write(doc.look.left, doc.y - 20, f"Signed {case.day(case.signed)} by {case.people[0]}, member")
    mark(doc, case, "ink", doc.look.right - 90, 725)
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=Authority.CERTIFIED.value)
    doc.truth["signed_date"] = given.isoformat()


@layout("typewritten", "held", FILINGS, ("typewriter",), ways=STAMPABLE)
def typewritten(doc: Doc, case: Case, kind: Kind) -> None:
    """An old typewritten instrument in capitals."""
    doc.y = 725
    doc.write(doc.look.left, doc.y, case.place.whole.upper())
    doc.write(doc.look.left, doc.y - 14, f"{case.place.office.upper()}")
    doc.y = 650
    doc.title(title_of(case, kind).upper(), 13)
    doc.title(f"({sort_of(kind).upper()})", 10, "regular")
    doc.skip(16)
    for number, text in enumerate(sentences("typewritten", kind.value, case, effective=effective(doc, case)), start=1):
        doc.para(f"{number}.  {text}".upper() if case.chance(0.7) else f"{number}.  {text}", gap=0.9)
    doc.skip(40)
    middle = doc.look.left + 210
    doc.sign(middle, doc.y + 4, case.people[0])
    doc.write(middle - 10, doc.y, "_" * 30)
    doc.write(middle - 10, doc.y - 14, case.people[0].upper())
    doc.write(doc.look.left, doc.y, "DATED:")
    doc.dated(doc.look.left + 52, doc.y, case.day(case.signed))
    typed = doc.way == "typed"
    mark(doc, case, doc.way, doc.look.right - (0 if typed else 80), 725 if typed else 705)
    distract(doc, case, [(doc.look.left + 100, 110)] if doc.y > 190 else [])
    filing(doc, case, kind)


@layout("transmittal before the filing", "held", FILINGS, ("roman", "gothic"), ways=("ink", "ink", "ink", "none"))
def transmittal_first(doc: Doc, case: Case, kind: Kind) -> None:
    """A filing service's letter on top, full of days that are not the filing's; the stamped paper under it."""
    firm = case.dice.choice(words()["firms"])
    title = title_of(case, kind)
    doc.write(doc.look.left, 740, firm, face="bold", size=14)
    doc.write(doc.look.left, 726, f"{case.street}, {case.town}", size=9)
    doc.y = 690
    doc.para(case.day(case.reach))
    doc.para(case.people[0], gap=0.2)
    doc.para(case.name)
    doc.prose(sentences("transmittal before the filing", "letter", case, title=title))
    doc.sign(doc.look.left + 10, doc.y - 40, firm)
    doc.write(doc.look.left, doc.y - 60, firm)
    distract(doc, case, [(450, 200)])
    doc.turn()
    doc.y = 700
    doc.write(doc.look.left, 748, case.place.desk, face="bold", size=12)
    doc.title(title, 15)
    doc.middle(doc.y, sort_of(kind), face="regular", size=10)
    doc.skip(28)
    rows = [
        ("Name", case.name),
        (case.place.label, case.number),
        ("Organized", f"{days.long(case.formed)}, {case.home.name}"),
        ("Effective", effective(doc, case)),
    ]
    doc.pairs(rows, doc.look.left + 160, face="regular", pitch=2.0)
    doc.skip(8)
    doc.prose(sentences("transmittal before the filing", kind.value, case))
    doc.skip(30)
    doc.sign(doc.look.left + 8, doc.y + 4, case.people[1])
    doc.rule(doc.y, doc.look.left, doc.look.left + 200)
    doc.write(doc.look.left, doc.y - 12, f"{case.people[1]}, member", size=9.5)
    doc.write(doc.look.left + 230, doc.y, f"Date: {case.day(case.signed)}")
    mark(doc, case, doc.way, doc.look.right - 90, min(doc.y - 60, 300))
    filing(doc, case, kind)
