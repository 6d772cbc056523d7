"""The small split: filings, what offices and agencies send back, last returns, and one paper of the company's own."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from quietus.model.kinds import Authority, Kind
from tests.corpus import days, ticks
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case, person, words
from tests.corpus.layouts.common import FILINGS, choices, filing, letter, shape_of, title_of
from tests.corpus.layouts.common_late import elsewhere, firmly_pressed
from tests.corpus.layouts.common_proof import shown, soon
from tests.corpus.layouts.registry import ONLINE, UNMARKED, Write, layout
from tests.corpus.layouts.returns_common import IRS, amounts, quarter_end, returned, wages
from tests.corpus.stamps import SPARE

MARKED = (*["ink"] * 6, *["typed"] * 3, "none", "received", "rejected")
ODD = (Kind.WITHDRAWAL, Kind.DISSOLUTION)
"""For papers drawn once a round, where FILINGS are drawn three times."""
_TRADES = ("Masonry", "Event Rentals", "Tree Service", "Physical Therapy", "Leasing", "Creamery", "Signs", "Capital")
STYLES: tuple[days.Style, ...] = (
    *days.PRINTED[:6],
    days.long,
    lambda day: f"{day:%b} {day:%d}, {day.year}",
    lambda day: f"{day:%m-%d-%Y}",
)


def spare(
    name: str, kinds: tuple[Kind, ...], families: str, *, ways: tuple[str, ...] = UNMARKED, place: str = ""
) -> Callable[[Write], Write]:
    """Enter a layout of the small split; its cases come from all 51 jurisdictions."""

    def enter(write: Write) -> Write:
        def anew(doc: Doc, case: Case, kind: Kind) -> None:
            case = elsewhere(case, kind, place, 0.16)
            write(doc, replace(case, name=_name(case), style=case.dice.choice(STYLES)), kind)
            firmly_pressed(doc)

        layout(name, SPARE, kinds, tuple(families.split()), ways=ways, born=0.15, place=place)(anew)
        return write

    return enter


def _name(case: Case) -> str:
    """A family, initials, a first name, a town or a street, with a trade."""
    pick, lists = case.dice.choice, words()
    family, trade, town = pick(lists["family"]), pick(_TRADES), pick(lists["towns"])
    suffix = pick((" LLC", " LLC", ", LLC", ", L.L.C.", ", Limited Liability Company"))
    name = pick(
        (
            f"{family} Brothers {trade}",
            f"{pick('ABDEHJLMNRSW')}.{pick('ABCDEJLMPRT')}. {family} {trade}",
            f"{pick(lists['given'])}'s {pick(lists['tails'])}",
            f"{town} {trade} Partners",
            f"{pick(lists['heads'])} {trade}",
            f"{family}-{pick(lists['family'])} {pick(lists['tails'])}",
        )
    )
    return (name + suffix).upper() if case.chance(0.3) else name + suffix


def _reason(case: Case, kind: Kind) -> str:
    if kind is Kind.WITHDRAWAL:
        return f"The company is not transacting business in {case.place.name} and surrenders its authority to do so."
    return f"All members agreed in writing on {case.day(case.decided)} that the company be dissolved."


def _after(case: Case, kind: Kind) -> str:
    if kind is Kind.WITHDRAWAL:
        return f"Process may be mailed to the company at {case.street}, {case.town}."
    return "All debts known to the company are paid or provided for, and its remaining property has been distributed."


def _signed(doc: Doc, case: Case, role: str, x: float = 0, wide: float = 220) -> None:
    """Day, signature, printed name: three rules, or a line of text before the signature."""
    x = x or doc.look.left
    doc.room(90)
    doc.skip(30)
    doc.sign(x + 8, doc.y + 3, case.people[0], min(wide - 20, 130))
    doc.rule(doc.y, x, x + wide, 0.5)
    doc.write(x, doc.y - 9, case.pick("Signature", "Authorized signature", "By"), size=7.5)
    doc.skip(28)
    shown(doc, x + 4, doc.y, f"{case.people[0]}, {role}", wide - 8, 10)
    doc.rule(doc.y - 3, x, x + wide, 0.5)
    doc.write(x, doc.y - 12, "Print name and title", size=7.5)
    doc.skip(30)
    doc.dated(x + 4, doc.y, case.day(case.signed), 10)
    doc.rule(doc.y - 3, x, x + 120, 0.5)
    doc.write(x, doc.y - 12, "Date", size=7.5)
    doc.skip(26)


# --- filings ----------------------------------------------------------------------------------------------------------


@spare("sidebar of instructions", FILINGS, "gothic plain narrow", ways=MARKED)
def sidebar(doc: Doc, case: Case, kind: Kind) -> None:
    """Office and directions in a column at the left; the form at its right, the mark above the title."""
    left, right = doc.look.left, doc.look.right
    x = left + 142
    doc.frame(left, 60, 126, 700, shade=0.94, weight=0)
    doc.y = 742
    for text in (case.place.office, case.place.division, f"{case.place.capital}, {case.place.name}"):
        doc.para(text, x=left + 7, right=left + 120, size=9.5, face="bold", gap=0.4)
    doc.skip(24)
    for text in (
        "Type or write in dark ink.",
        "Mail one signed original with the fee.",
        "Allow ten business days. Faster handling costs more.",
        "Other agencies are not told of this filing. Contact the tax agency yourself.",
    ):
        doc.para(text, x=left + 7, right=left + 120, size=8, gap=0.7)
    printed = doc.way == "typed"
    mark(doc, case, doc.way, right if printed else (x + right) / 2 + 20, 740 if printed else 694, lean=8)
    doc.y = 582
    doc.para(title_of(case, kind), x=x, face="bold", size=15, gap=0.2, leading=1.15)
    doc.rule(doc.y + 6, x, right, 1.2)
    doc.skip(14)
    for number, (label, value) in enumerate(
        (
            ("Company name as it stands in our records", case.name),
            (case.place.label, case.number),
            ("Jurisdiction and date of formation", f"{case.home.name}, {case.day(case.formed)}"),
            ("Address for copies", f"{case.street}, {case.town}"),
        ),
        start=1,
    ):
        doc.write(x, doc.y, f"{number}  {label}", size=8.5)
        doc.fitted(x + 12, doc.y - 16, value, right - x - 14, size=10.5)
        doc.rule(doc.y - 20, x + 10, right, 0.4)
        doc.skip(38)
    for text in (_reason(case, kind), _after(case, kind)):
        doc.para(text, x=x, size=10)
    _signed(doc, case, case.pick("Manager", "Member"), x)
    filing(doc, case, kind)


@spare("ordinal clauses", FILINGS, "roman press typewriter", ways=MARKED)
def ordinals(doc: Doc, case: Case, kind: Kind) -> None:
    """An instrument in ordinal clauses under the place's name, the mark at the upper left or right."""
    left, right = doc.look.left, doc.look.right
    printed = doc.way == "typed"
    mark(doc, case, doc.way, right if printed else case.dice.choice((left + 105, right - 105)), 744 if printed else 706)
    doc.y = 596
    doc.title(case.place.whole, 13)
    doc.title(title_of(case, kind).upper(), 13)
    doc.skip(16)
    clauses = (
        f"The name of the limited liability company is {case.name}, and its number on file is {case.number}.",
        f"It was formed under the laws of {case.home.name} on {case.day(case.formed)}.",
        _reason(case, kind),
        _after(case, kind),
    )
    for word, text in zip(("FIRST", "SECOND", "THIRD", "FOURTH"), clauses, strict=True):
        doc.para(f"{word}: {text}", gap=0.9)
    witness = case.pick("IN WITNESS WHEREOF", "In witness of which")
    doc.para(f"{witness}, the undersigned has signed this instrument on {case.day(case.signed)}.")
    doc.skip(30)
    x = left + 220
    doc.sign(x + 6, doc.y + 3, case.people[0])
    doc.rule(doc.y, x, right, 0.5)
    shown(doc, x, doc.y - 12, f"{case.people[0]}, {case.pick('Authorized Person', 'Manager')}", right - x, 10)
    filing(doc, case, kind)


@spare("rows of lettered cells", FILINGS, "gothic narrow plain", ways=MARKED)
def lettered(doc: Doc, case: Case, kind: Kind) -> None:
    """A dense form of cells; the filing office's own cell is the last one."""
    left, right = doc.look.left, doc.look.right
    wide = right - left
    shown(doc, left, 742, f"{case.place.whole} - {case.place.office}", wide, 11, "bold")
    shown(doc, left, 724, title_of(case, kind), wide, 14, "bold")
    shown(doc, left, 710, f"{case.place.division}, {case.place.capital}", wide, 8.5)
    later = "" if case.chance(0.75) else case.day(case.reach)
    if later:
        doc.truth["effective_date"] = case.reach.isoformat()
    rows: Sequence[tuple[tuple[str, str], ...]] = (
        (("A. Name of limited liability company", case.name),),
        ((f"B. {case.place.label}", case.number), ("C. Organized in", case.home.name)),
        (("D. Date organized", case.day(case.formed)), ("E. Effective date, if not when filed", later)),
        (("F. Mailing address", f"{case.street}, {case.town}"),),
    )
    y = 664.0
    for row in rows:
        part = wide / len(row)
        for number, (label, value) in enumerate(row):
            doc.cell(left + part * number, y, part, 38, label, value, size=10.5, font=case.pick("", "Courier"))
        y -= 38
    doc.y = y + 20
    doc.para(f"G. {_reason(case, kind)}", size=10)
    doc.para(f"H. {_after(case, kind)}", size=10)
    doc.para("I. I declare that I have examined this document and that it is true, correct and complete.", size=10)
    _signed(doc, case, case.pick("Member", "Organizer", "Manager"))
    top = min(doc.y + 4, 240)
    doc.frame(left, top - 152, wide, 152, weight=0.8)
    doc.write(left + 4, top - 9, case.pick("For filing office use", "Space below for filing officer"), size=7)
    printed = doc.way == "typed"
    mark(doc, case, doc.way, right - 30 if printed else left + wide * 0.62, top - (40 if printed else 76), lean=6)
    filing(doc, case, kind)


@spare("reason to tick", ODD, "gothic roman plain", ways=MARKED)
def reasons(doc: Doc, case: Case, kind: Kind) -> None:
    """Fee in a corner box, the mark under it; one of three reasons is ticked."""
    left, right = doc.look.left, doc.look.right
    doc.y = 740
    doc.para(case.place.desk, face="bold", size=12, right=right - 230, gap=0.1)
    doc.para(case.place.division, size=9, right=right - 230, gap=0.1)
    doc.frame(right - 104, 730, 104, 24, weight=0.8)
    doc.write(right - 52, 738, f"FEE: ${case.pick('20', '35', '50', '100')}", face="bold", size=10, align="centre")
    mark(doc, case, doc.way, right if doc.way == "typed" else right - 108, 708 if doc.way == "typed" else 640, lean=9)
    doc.y = 680
    doc.look_title(title_of(case, kind), right - left - 236)
    doc.y = 534
    for label, value in (("Name", case.name), (case.place.label, case.number), ("Formed in", case.home.name)):
        shown(doc, left, doc.y, f"{label}:", 130, 10, "bold")
        doc.fitted(left + 138, doc.y, value, right - left - 140, size=10.5)
        doc.rule(doc.y - 4, left + 134, right, 0.4)
        doc.skip(26)
    doc.para("This document is filed because (check one):", gap=0.3)
    others = ("An event named in the operating agreement has occurred.", "A court has ordered that it be dissolved.")
    if kind is Kind.WITHDRAWAL:
        others = ("The company has ended in the place where it was formed.", "The company has merged into another one.")
    shape = shape_of(doc, case, "square", "heavy", "bracket")
    for number, text in enumerate((_reason(case, kind), *others)):
        sign = "" if number else case.dice.choice(ticks.MARKS[shape])
        gone = ticks.box(doc, left + 8, doc.y - 1, shape, sign, name=f"reason{number}")
        doc.para(text, x=left + 16 + gone, size=10)
    doc.para(_after(case, kind), size=10)
    _signed(doc, case, case.pick("Manager", "Authorized representative"), left + 160)
    distract(doc, case, [(left + 96, 100)] if doc.y > 150 else [], ("received",))
    filing(doc, case, kind)


@spare("mark on the backing sheet", ODD, "roman press typewriter", ways=MARKED)
def backing(doc: Doc, case: Case, kind: Kind) -> None:
    """Counsel's paper: the text on the first sheet, title and filer on the second, where the office marks it."""
    left, right = doc.look.left, doc.look.right
    title = title_of(case, kind)
    doc.y = 730
    for text, size in ((title.upper(), 13.0), ("of", 10.0), (case.name, 13.0)):
        doc.title(text, size)
        doc.skip(4)
    doc.skip(16)
    doc.para(f"Under the limited liability company law of {case.place.name}, the undersigned states:")
    doc.para(f"1. The company, {case.place.label} {case.number}, was formed in {case.home.name}.")
    doc.para(f"2. {_reason(case, kind)}")
    doc.para(f"3. {_after(case, kind)}")
    _signed(doc, case, case.pick("Member", "Manager"), left + 200)
    doc.turn()
    for text, size in ((title.upper(), 13.0), ("OF", 10.0), (case.name, 13.0)):
        doc.title(text, size)
        doc.skip(6)
    doc.skip(40)
    doc.write(left, doc.y, "Filed by:" if case.chance(0.5) else "Filer's name and address:", size=10)
    for text in (case.people[1], case.dice.choice(words()["firms"]), f"{case.street}, {case.town}"):
        doc.skip(15)
        shown(doc, left + 20, doc.y, text, 300, 10)
    mark(doc, case, doc.way, right - 20 if doc.way == "typed" else case.dice.choice((left + 130, right - 130)), 330)
    filing(doc, case, kind)


@spare("answers given online", FILINGS, "gothic broad plain", ways=ONLINE)
def online(doc: Doc, case: Case, kind: Kind) -> None:
    """What a filing website made of the answers: sections with a rule, labels over answers."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) / 2
    doc.y = 742
    doc.para(case.place.whole, face="bold", size=12, right=right - 210, gap=0.1)
    doc.para(case.place.office, size=10, right=right - 210, gap=0.1)
    mark(doc, case, "electronic", right, 742)
    doc.y = 652
    doc.title(title_of(case, kind), 15, align="left")
    for head, cells in (
        ("Business", (("Name", case.name), (case.place.label, case.number))),
        ("Formation", (("State", case.home.name), ("Date", case.day(case.formed)))),
        ("Contact", (("Person", case.people[1]), ("Address", f"{case.street}, {case.town}"))),
    ):
        doc.skip(14)
        doc.write(left, doc.y, head, face="bold", size=11)
        doc.rule(doc.y - 4)
        for number, (label, value) in enumerate(cells):
            doc.write(left + half * number, doc.y - 18, label, size=8, gray=0.35)
            doc.fitted(left + half * number, doc.y - 32, value, half - 12, size=10.5)
        doc.skip(44)
    doc.skip(16)
    doc.prose([_reason(case, kind), _after(case, kind)], size=10)
    doc.para("By typing a name below the filer affirms, subject to the penalties of law, that this is true.", size=10)
    doc.skip(4)
    doc.pairs([("Signed by", case.people[0]), ("Title", "Manager"), ("Signed on", case.day(case.signed))], left + 110)
    filing(doc, case, kind)


# --- what offices give back -------------------------------------------------------------------------------------------


def _given(doc: Doc, case: Case, kind: Kind, authority: Authority, dated: str = "") -> None:
    """What is true of an office's own paper; `dated` is its day, empty when it has none."""
    doc.design = doc.layout
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=authority.value)
    del doc.truth["signed_date"]
    doc.truth |= {"signed_date": dated} if dated else {}


@spare("I certify", ODD, "roman press", ways=("certified",))
def certify(doc: Doc, case: Case, kind: Kind) -> None:
    """A certificate in the first person, the official's name at the head and under the signature."""
    left, right = doc.look.left, doc.look.right
    official, dated = person(case.dice), soon(case)
    doc.frame(42, 62, 528, 696, weight=1.6)
    doc.y = 700
    doc.title(case.place.whole, 20)
    doc.skip(4)
    doc.title(case.place.office, 14, "regular")
    doc.skip(26)
    doc.title(case.pick("CERTIFICATE OF FILING", "Certificate of Fact"), 16)
    doc.skip(20)
    doc.para(
        f"I, {official}, acting for the {case.place.office} of {case.place.name} and keeper of its business records,"
        f" certify that on {case.day(case.filed)} there was filed in this office the {title_of(case, kind)} of"
    )
    doc.title(case.name, 14)
    doc.title(f"({case.place.label} {case.number})", 11, "regular")
    doc.skip(8)
    doc.para(
        "and that, by that filing, the company's "
        + ("authority to transact business here ended." if kind is Kind.WITHDRAWAL else "existence ended.")
    )
    doc.para(f"In testimony whereof I set my hand at {case.place.capital}, {days.formal(dated)}.", gap=3)
    doc.sign(left + 250, doc.y - 20, official, 150)
    doc.rule(doc.y - 26, left + 236, right - 6, 0.6)
    shown(doc, left + 236, doc.y - 40, official, right - left - 244, 11)
    doc.write(left + 8, 76, f"Verify this certificate with code {case.dice.randrange(10**8, 10**9)}", size=8)
    _given(doc, case, kind, Authority.CERTIFIED, dated.isoformat())


@spare("receipt with the fee", ODD, "gothic typewriter narrow", ways=ONLINE)
def receipt(doc: Doc, case: Case, kind: Kind) -> None:
    """A receipt sent with the filed copy: to whom, what was filed, what was paid."""
    left, right = doc.look.left, doc.look.right
    fee = case.dice.choice((25, 40, 60, 125))
    shown(doc, left, 742, case.place.desk, 330, 13, "bold")
    shown(doc, left, 727, case.place.division, 330, 9.5)
    shown(doc, right, 742, case.pick("FILING RECEIPT", "Receipt of Filing"), 170, 13, "bold", "right")
    for number, text in enumerate((case.people[1], case.street, case.town)):
        doc.write(left, 680 - 14 * number, text, size=10.5)
    doc.y = 612
    rows = (
        ("Entity", case.name),
        (case.place.label, case.number),
        ("Document", title_of(case, kind)),
        ("Filed", case.day(case.filed)),
        ("Receipt number", f"{case.dice.randrange(10**7, 10**8)}"),
        ("Filing fee", f"${fee}.00"),
        ("Paid by check", f"${fee}.00"),
        ("Balance", "$0.00"),
    )
    for label, value in rows:
        shown(doc, left, doc.y, label, 140, 10, "bold")
        doc.fitted(left + 150, doc.y, value, right - left - 152, size=10.5)
        doc.rule(doc.y - 7, weight=0.3)
        doc.skip(24)
    doc.skip(10)
    doc.para("The document named above has been filed. Your copy is enclosed. Keep this receipt with your records.")
    _given(doc, case, kind, Authority.ELECTRONIC)
    doc.unjudged = ("signed_date", "authority")  # what a receipt certifies is a matter of taste


@spare("filing details on a portal", ODD, "gothic broad narrow", ways=ONLINE)
def portal(doc: Doc, case: Case, kind: Kind) -> None:
    """A page of an office's website, printed: one filing, its states and its days."""
    left, right = doc.look.left, doc.look.right
    printed = soon(case)
    doc.write(left, 762, f"{printed.month}/{printed.day}/{printed:%y}", size=7.5)
    doc.write(right, 762, f"Filing Details - {case.place.code} Business Portal", size=7.5, align="right")
    doc.frame(left, 722, right - left, 30, shade=0.86, weight=0)
    shown(doc, left + 8, 732, f"{case.place.desk} | Business Portal", right - left - 16, 13, "bold")
    doc.write(left, 702, case.pick("Home > My Filings > Details", "Dashboard / Filings / View"), size=8)
    doc.y = 668
    doc.title(case.name, 14, align="left")
    doc.skip(8)
    ended = "Withdrawn" if kind is Kind.WITHDRAWAL else "Dissolved"
    for label, value in (
        (case.place.label, case.number),
        ("Entity type", f"{'Foreign' if kind is Kind.WITHDRAWAL else 'Domestic'} Limited Liability Company"),
        ("Entity status", f"Inactive - {ended}"),
        ("Filing type", title_of(case, kind)),
        ("Filing status", case.pick("Approved", "Filed", "Completed")),
        ("Submitted", f"{case.received:%m/%d/%Y}"),
        ("Date filed", f"{case.filed:%m/%d/%Y}"),
    ):
        shown(doc, left + 6, doc.y, label, 150, 10)
        doc.fitted(left + 170, doc.y, value, right - left - 176, size=10.5)
        doc.skip(23)
    doc.frame(left, doc.y - 18, 118, 22, shade=0.9)
    doc.write(left + 59, doc.y - 10, "Download document", size=8.5, align="centre")
    _given(doc, case, kind, Authority.ELECTRONIC)
    doc.unjudged = ("signed_date", "authority")  # nobody signs a web page


# --- returns ----------------------------------------------------------------------------------------------------------


def _oath(doc: Doc, case: Case) -> None:
    left, right = doc.look.left, doc.look.right
    doc.skip(4)
    doc.para("Under penalties of perjury, I declare that I have examined this return and that it is true.", size=8)
    doc.skip(18)
    doc.write(left, doc.y, "Sign Here", face="bold", size=9)
    doc.sign(left + 64, doc.y + 2, case.people[0])
    doc.rule(doc.y - 2, left + 60, left + 250, 0.5)
    doc.dated(left + 266, doc.y, case.day(case.signed), 9.5)
    doc.rule(doc.y - 2, left + 262, right, 0.5)
    shown(doc, left + 60, doc.y - 11, f"{case.people[0]}, {case.pick('member manager', 'member')}", 190, 8)
    doc.write(left + 262, doc.y - 11, "Date", size=7.5)
    doc.skip(20)


@spare("federal partnership return", (Kind.FINAL_RETURN,), "gothic narrow plain")
def partnership(doc: Doc, case: Case, kind: Kind) -> None:
    """Form number at the left of the head, year at its right; lettered cells; the boxes in one line below them."""
    left, right = doc.look.left, doc.look.right
    wide = right - left
    doc.write(left, 738, "Form", size=8)
    doc.write(left + 22, 736, "1065", face="bold", size=20)
    doc.middle(744, "U.S. Return of Partnership Income", size=13)
    doc.middle(731, f"For year ending {case.day(case.ended)}", face="regular", size=8.5)
    doc.write(left, 725, IRS.replace("Department of the Treasury, ", "Dept. of the Treasury - "), size=6.5)
    doc.write(right, 736, f"{case.ended.year}", face="bold", size=18, align="right")
    doc.rule(720, weight=1.4)
    doc.cell(left, 684, wide * 0.66, 34, "Name of partnership", case.name)
    doc.cell(left + wide * 0.66, 684, wide * 0.34, 34, "D  Employer identification number", case.ein)
    doc.cell(left, 650, wide * 0.66, 34, "Number, street, city, state, ZIP", f"{case.street}, {case.town}", size=10)
    doc.cell(left + wide * 0.66, 650, wide * 0.34, 34, "E  Date business started", case.day(case.formed))
    doc.write(left, 634, "G  Check applicable boxes:", size=8.5)
    labels = ["(1) Initial return", "(2) Final return", "(3) Name change", "(4) Address change", "(5) Amended return"]
    spots = [(left + wide * share, 617.0) for share in (0.0, 0.18, 0.36, 0.55, 0.78)]
    choices(doc, case, labels, spots, shape_of(doc, case, "square", "square", "heavy"), size=7.5)
    doc.rule(606)
    doc.y = 588
    amounts(doc, case, case.dice.choice((15, 17)))
    _oath(doc, case)
    returned(doc, case, kind, "1065")


@spare("state partnership return", (Kind.FINAL_RETURN,), "gothic roman plain typewriter", place="returns")
def state_return(doc: Doc, case: Case, kind: Kind) -> None:
    """A state's return: taxpayer on rules at the left, a framed column of boxes at the right."""
    left, right = doc.look.left, doc.look.right
    form, title = case.dice.choice(case.place.returns)
    doc.truth["jurisdiction"] = case.place.code
    shown(doc, left, 744, f"{case.place.agency}, {case.place.whole}", right - left, 9)
    shown(doc, left, 726, title, right - left - 130, 14, "bold")
    shown(doc, right, 726, form if form.startswith("Form") else f"Form {form}", 120, 13, "bold", "right")
    doc.rule(718)
    doc.write(left, 704, f"Calendar year {case.ended.year} or fiscal year ending {case.day(case.ended)}", size=8.5)
    stop = right - 166
    for number, (label, value) in enumerate(
        (
            ("Legal name", case.name),
            ("FEIN", case.ein),
            ("Street address", case.street),
            ("City, state, ZIP", case.town),
        )
    ):
        doc.blank(left, 672 - 31 * number, stop, label, value, size=10.5)
    doc.frame(right - 154, 566, 154, 128, weight=0.8)
    doc.write(right - 148, 680, case.pick("Check if:", "This return is:", "Mark all that apply"), face="bold", size=8.5)
    final = case.pick("Final return", "Final", "Final return, business ended")
    labels = ["Initial return", "Amended", final, "Composite return", "New address"]
    spots = [(right - 148, 662.0 - 20 * number) for number in range(5)]
    choices(doc, case, labels, spots, shape_of(doc, case, "square", "heavy", "oval"), size=8)
    doc.y = 540
    amounts(doc, case, 14)
    _oath(doc, case)
    distract(doc, case, [(right - 100, 118)] if doc.y > 170 else [], ("received",))
    returned(doc, case, kind, form)


@spare("quarter in a panel", (Kind.FINAL_EMPLOYMENT_RETURN,), "gothic plain narrow")
def payroll(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 941: employer at the left, the quarter in a panel at the right, the closing question in a late part."""
    left, right = doc.look.left, doc.look.right
    last = quarter_end(case)
    stop = right - 150
    shown(doc, left, 742, f"Form 941 for {last.year}:", 160, 14, "bold")
    shown(doc, left + 168, 742, "Employer's QUARTERLY Federal Tax Return", right - left - 170, 11, "bold")
    doc.write(left, 728, IRS, size=8)
    for number, (label, value) in enumerate(
        (
            ("Employer identification number (EIN)", case.ein),
            ("Name", case.name),
            ("Address", case.street),
            ("", case.town),
        )
    ):
        doc.cell(left, 686 - 32 * number, stop - left - 10, 32, label, value, size=10.5)
    doc.frame(stop, 590, 150, 128, weight=1.0)
    doc.write(stop + 6, 704, "Report for this Quarter", face="bold", size=9)
    shape = shape_of(doc, case, "square", "heavy")
    for number, text in enumerate(("January to March", "April to June", "July to September", "October to December")):
        sign = case.dice.choice(ticks.MARKS[shape]) if number == (last.month - 1) // 3 else ""
        ticks.box(doc, stop + 8, 684 - 18 * number, shape, sign, size=8, name=f"quarter{number}")
        doc.write(stop + 24, 685 - 18 * number, text, size=8.5)
    doc.write(stop + 6, 602, f"Quarter ended {case.day(last)}", size=8.5)
    doc.y = 564
    wages(doc, case, 8)
    doc.skip(6)
    doc.write(left, doc.y, "Part 3: About your business", face="bold", size=10)
    doc.skip(20)
    closed = case.chance(0.62)
    sign = case.dice.choice(ticks.MARKS[shape]) if closed else ""
    doc.truth["final_box"], doc.box = closed, f"{shape}: {sign or 'empty'}"
    doc.write(left, doc.y, "17  If your business has closed or you stopped paying wages", size=9.5)
    ticks.box(doc, right - 84, doc.y - 1, shape, sign, name="closed")
    doc.write(right - 68, doc.y, "Check here", size=9.5)
    doc.skip(17)
    doc.write(
        left + 18, doc.y, f"and enter the last day you paid wages:  {case.day(case.ended) if closed else ''}", size=9.5
    )
    doc.skip(19)
    doc.write(left, doc.y, "18  If you are a seasonal employer", size=9.5)
    ticks.box(doc, right - 84, doc.y - 1, shape, "", name="seasonal")
    doc.write(right - 68, doc.y, "Check here", size=9.5)
    doc.skip(22)
    _oath(doc, case)
    returned(doc, case, kind, "941", period=last)


@spare("partner's share in two parts", (Kind.FINAL_K1,), "gothic narrow roman")
def share(doc: Doc, case: Case, kind: Kind) -> None:
    """Schedule K-1: partnership and partner down the left, items at the right under the two boxes."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) / 2
    shape = shape_of(doc, case, "square", "heavy")
    spots = [(left + half + 10, 748.0), (left + half + 110, 748.0)]
    choices(doc, case, ["Final K-1", "Amended K-1"], spots, shape, size=8)
    doc.write(left, 738, "Schedule K-1", face="bold", size=15)
    doc.write(left, 724, f"(Form 1065)    {case.ended.year}", face="bold", size=11)
    doc.write(left, 711, IRS, size=7)
    doc.write(left, 698, f"Tax year ending {case.day(case.ended)}", size=9)
    doc.write(left, 680, "Partner's Share of Income, Deductions, Credits, etc.", face="bold", size=8.5)
    for number, (label, value) in enumerate(
        (
            ("A  Partnership's employer identification number", case.ein),
            ("B  Partnership's name", case.name),
            ("Partnership's address", f"{case.street}, {case.town}"),
            ("E  Partner's TIN", f"XXX-XX-{case.dice.randrange(1000, 9999)}"),
            ("F  Partner's name", case.people[0]),
            ("J  Partner's share of profit, beginning", f"{case.dice.randrange(5, 95)}.000000 %"),
        )
    ):
        doc.cell(left, 634 - 38 * number, half - 6, 38, label, value, size=10)
    items = ("Ordinary business income", "Net rental real estate income", "Other net rental income")
    for number, text in enumerate(
        (*items, "Guaranteed payments", "Interest income", "Dividends", "Royalties", "Distributions")
    ):
        y = 712 - 34 * number
        value = case.money() if case.chance(0.6) else ""
        doc.cell(left + half + 6, y - 12, half - 6, 34, f"{number + 1}  {text}", value, size=10)
    returned(doc, case, kind, "1065", signed=False)


# --- other papers -----------------------------------------------------------------------------------------------------


@spare("clearance as a memorandum", (Kind.CLEARANCE,), "gothic roman typewriter", place="clearance")
def memorandum(doc: Doc, case: Case, kind: Kind) -> None:
    """An agency's clearance set as a memorandum; half of them lapse."""
    left = doc.look.left
    doc.y = 742
    doc.title(case.place.agency, 14)
    doc.title(case.place.whole, 10, "regular")
    doc.rule(doc.y + 2, weight=1.2)
    doc.skip(20)
    until = case.chance(0.5)
    rows = [("Subject", case.place.clearance), ("Taxpayer", case.name), ("FEIN", case.ein)]
    doc.pairs([*rows, ("Issued", case.day(case.signed))], left + 110)
    doc.skip(18)
    purpose = case.pick("dissolution", "withdrawal")
    doc.para(
        f"The taxpayer named above asked for clearance before its {purpose}. Our records show that all returns are on"
        " file and that no tax, interest or penalty is due."
    )
    if until:
        lapse = case.pick("This clearance expires on {}.", "Valid through {}.", "This clearance is good until {}.")
        doc.para(lapse.format(case.day(case.reach)))
        doc.truth["valid_until"] = case.reach.isoformat()
    doc.para("It does not prevent the agency from examining any return within the time that the law allows.")
    doc.skip(34)
    doc.sign(left + 6, doc.y + 3, "the examiner")
    doc.rule(doc.y, left, left + 220, 0.5)
    shown(doc, left, doc.y - 13, f"{person(case.dice)}, {case.pick('Revenue Agent', 'Audit Manager')}", 220, 10)
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein)
    doc.unjudged = ("authority",)  # an agency's certificate to some, a plain copy to others


@spare("claims to be sent", (Kind.CREDITOR_NOTICE,), "roman gothic press")
def claims(doc: Doc, case: Case, kind: Kind) -> None:
    """A company tells a creditor what a claim must say, where to send it and by when."""
    left = doc.look.left
    doc.y = 740
    doc.title(case.pick("NOTICE TO CREDITORS OF DISSOLUTION", "Notice to Known Creditors"), 14)
    doc.title(case.name, 12)
    doc.skip(18)
    doc.para(f"Date of this notice: {case.day(case.signed)}")
    doc.para(
        "The company has dissolved and is winding up. A person who has a claim against it must send it in writing."
    )
    doc.para("The claim must state:", gap=0.3)
    for text in ("the creditor's name and address,", "the amount claimed, and", "the facts on which it rests."):
        doc.para(f"-  {text}", x=left + 24, gap=0.2)
    doc.skip(8)
    doc.para(f"Send it to: {case.name}, {case.street}, {case.town}.")
    doc.para(f"The deadline is {case.day(case.reach)}. A claim not received by then is barred.", face="bold")
    doc.skip(30)
    doc.sign(left + 6, doc.y + 3, case.people[0])
    doc.rule(doc.y, left, left + 220, 0.5)
    shown(doc, left, doc.y - 13, f"{case.people[0]}, {case.pick('Manager', 'Member')}", 220, 10)
    letter(doc, case, kind, case.signed)


@spare("tax return is missing", (Kind.TAX_NOTICE,), "gothic plain typewriter")
def missing(doc: Doc, case: Case, kind: Kind) -> None:
    """A state agency asks for a return that it has not received; facts in a box at the right."""
    left, right = doc.look.left, doc.look.right
    shown(doc, left, 742, case.place.agency, 270, 13, "bold")
    shown(doc, left, 727, case.place.whole, 270, 9.5)
    facts = (("Notice date", case.day(case.filed)), ("FEIN", case.ein), ("Period ending", case.day(case.ended)))
    doc.frame(right - 196, 690, 196, 66, weight=0.8)
    for number, (label, value) in enumerate(facts):
        doc.write(right - 190, 740 - 19 * number, f"{label}:", face="bold", size=9)
        doc.fitted(right - 108, 740 - 19 * number, value, 102, size=9.5)
    for number, text in enumerate((case.name, case.street, case.town)):
        shown(doc, left, 650 - 14 * number, text, 300, 10.5)
    doc.y = 578
    doc.title(case.pick("NOTICE: TAX RETURN NOT RECEIVED", "Notice of Delinquent Tax Return"), 13, align="left")
    doc.skip(6)
    doc.para(f"We have no tax return from you for the period ending {case.day(case.ended)}.")
    doc.para(
        f"File the return by {case.day(case.reach)}. If you do not, we may estimate the tax and assess it with penalty"
        " and interest."
    )
    doc.para("If you were not required to file, or have already filed, check the reason on the reply slip and mail it.")
    doc.para(f"Questions? Call 555-0{case.dice.randrange(100, 199)} and have this notice with you.")
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein, period_end=case.ended.isoformat())
    doc.unjudged = ("signed_date", "form", "file_number")  # nobody signs such a notice
