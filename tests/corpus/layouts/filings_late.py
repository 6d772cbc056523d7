"""Filings that end a company at home or withdraw it elsewhere, on paper: the layouts written last."""

from quietus.model.kinds import Kind
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case
from tests.corpus.layouts.common import FILINGS, filing
from tests.corpus.layouts.common_late import (
    AGENTS,
    COUNTIES,
    effective_words,
    headed,
    late,
    party,
    signed_line,
    table,
)
from tests.corpus.layouts.registry import STAMPABLE
from tests.corpus.ticks import box


def _says(case: Case, kind: Kind) -> list[str]:
    """What the company states, in the trade's phrases."""
    if kind is Kind.WINDING_UP_NOTICE:
        return [
            f"An event requiring dissolution occurred on {case.day(case.decided)}, and the company is winding up.",
            "The company continues only for the purpose of winding up its activities and affairs.",
        ]
    if kind is Kind.DISSOLUTION:
        return [
            f"The dissolution was approved by all of the members on {case.day(case.decided)}.",
            (
                "All debts, obligations and liabilities of the company have been paid or discharged, or adequate"
                " provision has been made therefor."
            ),
            (
                "All remaining property and assets have been distributed among the members according to their"
                " respective rights and interests."
            ),
            "There are no suits pending against the company in any court.",
        ]
    return [
        (
            f"The company is organized under the laws of {case.home.name} and is not transacting business in"
            f" {case.place.name}."
        ),
        (
            f"The company surrenders its authority to transact business in {case.place.name} and revokes the"
            " appointment of its registered agent for service of process."
        ),
        f"A copy of any process may be mailed to {case.street}, {case.town}.",
    ]


def _owner(kind: Kind) -> str:
    return "foreign limited liability company" if kind is Kind.WITHDRAWAL else "limited liability company"


@late("office column", FILINGS, ("gothic", "narrow", "plain"), ways=STAMPABLE)
def office_column(doc: Doc, case: Case, kind: Kind) -> None:
    """A narrow column for the office's use beside the head; headed parts under it."""
    left, right = doc.look.left, doc.look.right
    column = right - 196
    doc.frame(column, 590, 196, 162, weight=0.8)
    doc.write(column + 98, 741, "THIS SPACE FOR OFFICE USE ONLY", size=7, align="centre")
    for number, text in enumerate((case.place.whole, case.place.office, case.place.division)):
        doc.fitted(
            left,
            742 - 14 * number,
            text,
            column - left - 12,
            font=doc.font("bold" if number < 2 else "regular"),
            size=11 - number,
        )
    doc.y = 682
    for part in _broken(doc, headed(case, kind), column - left - 12):
        doc.write(left, doc.y, part, face="bold", size=15)
        doc.skip(18)
    fee = case.dice.choice((20, 25, 35, 40, 50, 60, 100))
    doc.write(left, 600, f"Filing fee: ${fee}.00. Please type or print in ink.", size=8)
    doc.y = 566
    parts = [
        ("Name of limited liability company", case.name),
        (case.place.label, case.number),
        ("Date and jurisdiction of formation", f"{case.day(case.formed)}   {case.home.name}"),
    ]
    for number, (label, value) in enumerate(parts, start=1):
        doc.write(left, doc.y, f"{number}.  {label}:", size=9.5)
        doc.fitted(left + 14, doc.y - 16, value, right - left - 20, font="Courier", size=11)
        doc.rule(doc.y - 20, left + 12, right, 0.4)
        doc.skip(42)
    for number, text in enumerate(_says(case, kind), start=4):
        doc.write(left, doc.y, f"{number}.", size=9.5)
        doc.para(text, x=left + 18, size=9.5, gap=0.7)
    doc.para(effective_words(doc, case), x=left + 18, size=9.5)
    doc.skip(30)
    doc.dated(left + 330, doc.y + 3, case.day(case.signed), 9.5)
    doc.rule(doc.y, left + 320, right, 0.5)
    doc.write(left + 320, doc.y - 11, "Date", size=8)
    signed_line(doc, case, left, case.people[0], case.pick("Member", "Authorized Representative", "Manager"), width=280)
    typed = doc.way == "typed"
    mark(doc, case, doc.way, right - (8 if typed else 98), 705 if typed else 668, lean=14)
    distract(doc, case, [(right - 80, 92), (left + 80, 90)])
    filing(doc, case, kind)


def _broken(doc: Doc, text: str, room: float) -> list[str]:
    """Words in lines of at most `room` points in bold 15."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if doc.wide(longer, "bold", 15) > room and lines[-1]:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


@late("first, second, third", FILINGS, ("roman", "press", "typewriter"), ways=STAMPABLE, printed=False)
def first_second(doc: Doc, case: Case, kind: Kind) -> None:
    """A lawyer's certificate in prose; the stamp beside the title."""
    left, right = doc.look.left, doc.look.right
    typed = doc.way == "typed"
    mark(doc, case, doc.way, right if typed else case.dice.choice((left + 90, right - 90)), 748 if typed else 722)
    doc.y = 642
    doc.title(headed(case, kind).split(" (")[0].upper(), 14)
    doc.title("OF", 11, "regular")
    doc.title(case.name, 13)
    doc.skip(14)
    doc.para(
        f"The undersigned, for the purpose of filing this instrument with the {case.place.office} of the"
        f" {case.place.whole}, hereby certifies as follows:"
    )
    says = [
        f"The name of the {_owner(kind)} is {case.name}; its {case.place.label} is {case.number}.",
        f"It was {'registered here' if kind is Kind.WITHDRAWAL else 'formed'} on {case.day(case.formed)}.",
        *_says(case, kind)[:3],
        effective_words(doc, case),
    ]
    for word, text in zip(("FIRST", "SECOND", "THIRD", "FOURTH", "FIFTH", "SIXTH"), says, strict=True):
        doc.para(f"{word}: {text}", x=left + (0 if case.chance(0.5) else 18), gap=0.7)
    day = days.formal(case.signed) if case.chance(0.5) else case.day(case.signed)
    doc.para(f"IN WITNESS WHEREOF, the undersigned has executed this instrument on {day}.")
    doc.skip(26)
    x = left + 220
    doc.write(x - 20, doc.y, "By:")
    signed_line(doc, case, x, case.people[0], "Authorized Person", width=right - x)
    if doc.page == 0 and doc.y > 150:
        distract(doc, case, [(left + 90, 100)])
    filing(doc, case, kind)


@late("return-to block", (*FILINGS, Kind.WINDING_UP_NOTICE), ("gothic", "broad", "narrow"), ways=STAMPABLE)
def return_to(doc: Doc, case: Case, kind: Kind) -> None:
    """Whom to answer at the upper left, a fee line at the right, the stamp under the title."""
    left, right = doc.look.left, doc.look.right
    doc.frame(left, 690, 220, 62, weight=0.5)
    doc.write(left + 4, 743, "Return acknowledgment to:", size=7)
    for number, text in enumerate((case.dice.choice(AGENTS), case.street, case.town)):
        doc.fitted(left + 6, 730 - 13 * number, text, 208, font="Courier", size=9.5)
    doc.write(right, 744, case.place.desk, face="bold", size=11, align="right")
    doc.write(right, 731, case.place.division, size=8.5, align="right")
    doc.write(
        right, 712, f"Fee ${case.dice.choice((15, 30, 75))}   Expedited: ___ yes  ___ no", size=8.5, align="right"
    )
    doc.y = 668
    doc.title(headed(case, kind), 14)
    doc.rule(doc.y + 8, weight=1.2)
    half = (right - left) / 2
    doc.y = 548
    doc.cell(left, doc.y - 34, right - left, 34, "(a) Entity name as shown on our records", case.name, font="Courier")
    doc.cell(left, doc.y - 66, half, 32, f"(b) {case.place.label}", case.number, font="Courier")
    doc.cell(
        left + half,
        doc.y - 66,
        half,
        32,
        "(c) Jurisdiction and date of organization",
        f"{case.home.name} {case.day(case.formed)}",
        font="Courier",
    )
    doc.skip(88)
    for number, text in enumerate((*_says(case, kind), effective_words(doc, case))):
        doc.write(left, doc.y, f"({('i', 'ii', 'iii', 'iv', 'v')[number]})", size=9.5)
        doc.para(text, x=left + 24, size=9.5, gap=0.6)
    doc.para("The undersigned declares under penalty of perjury that the foregoing is true and correct.", size=9)
    top = doc.y - 40
    third = (right - left) / 3
    doc.cell(left, top, third, 40, "Printed name", case.people[1])
    doc.cell(left + third, top, third, 40, "Signature", "")
    doc.sign(left + third + 14, top + 9, case.people[1], 110)
    doc.cell(left + 2 * third, top, third, 40, "Date signed (month, day, year)", "")
    doc.dated(left + 2 * third + 8, top + 8, case.day(case.signed), 10)
    typed = doc.way == "typed"
    mark(
        doc, case, doc.way, right - 10 if typed else left + case.dice.uniform(180, 330), 626 if typed else 606, lean=10
    )
    distract(doc, case, [(left + 90, 96)] if top > 170 else [])
    filing(doc, case, kind)


@late("check the reason", (*FILINGS, Kind.WINDING_UP_NOTICE), ("plain", "roman", "press"), ways=STAMPABLE)
def check_reason(doc: Doc, case: Case, kind: Kind) -> None:
    """Articles with headings and a list to check; the stamp over the foot."""
    left, right = doc.look.left, doc.look.right
    doc.middle(746, case.place.whole, size=13)
    doc.middle(
        731,
        f"Office of the {case.place.office}" if "Secretary" in case.place.office else case.place.office,
        face="italic",
        size=11,
    )
    doc.y = 700
    doc.title(headed(case, kind).upper(), 13)
    doc.skip(10)
    for head, text in (
        ("ARTICLE 1. NAME", case.name),
        (f"ARTICLE 2. {case.place.label.upper()}", case.number),
        ("ARTICLE 3. FORMATION", f"Formed in {case.home.name} on {case.day(case.formed)}"),
    ):
        doc.write(left, doc.y, head, face="bold", size=9)
        doc.skip(14)
        doc.para(text, x=left + 20, gap=0.7)
    doc.write(left, doc.y, "ARTICLE 4. STATEMENT (check all that apply)", face="bold", size=9)
    doc.skip(18)
    for number, text in enumerate(_says(case, kind)):
        shape = "acro" if doc.born else "square"
        how = "field" if doc.born else case.pick("typed", "check", "cross")
        box(doc, left + 20, doc.y - 1, shape, how, name=f"s{number}")
        doc.para(text, x=left + 38, gap=0.6)
    doc.write(left, doc.y, "ARTICLE 5. EFFECTIVE DATE", face="bold", size=9)
    doc.skip(14)
    doc.para(effective_words(doc, case), x=left + 20)
    doc.skip(22)
    doc.dated(right - 120, doc.y + 3, case.day(case.signed))
    doc.rule(doc.y, right - 130, right, 0.5)
    doc.write(right - 130, doc.y - 11, "Dated", size=8)
    signed_line(doc, case, left, case.people[0], "on behalf of the company", width=250)
    typed = doc.way == "typed"
    y = max(118, doc.y - 40)
    mark(doc, case, doc.way, right if typed else left + case.dice.uniform(170, 360), y, lean=15)
    filing(doc, case, kind)


@late("instrument with acknowledgment", FILINGS, ("roman", "typewriter", "press"), ways=STAMPABLE, printed=False)
def with_acknowledgment(doc: Doc, case: Case, kind: Kind) -> None:
    """A typed instrument, and a notary's page after it."""
    left, right = doc.look.left, doc.look.right
    typed = doc.way == "typed"
    mark(doc, case, doc.way, right - (2 if typed else 92), 746 if typed else 715)
    doc.y = 744
    for text in (f"TO: {case.place.office}", case.place.division, f"{case.place.capital}, {case.place.name}"):
        doc.fitted(left, doc.y, text, right - left - 210, size=9.5)
        doc.skip(13)
    doc.y = 636
    doc.title(headed(case, kind).split(" (")[0], 15)
    doc.skip(12)
    doc.para(f'{case.name} ("Company"), a {_owner(kind)}, {case.place.label} {case.number}, submits the following:')
    for number, text in enumerate(
        (
            f"The Company was formed on {case.day(case.formed)} in {case.home.name}.",
            *_says(case, kind),
            effective_words(doc, case),
        ),
        start=1,
    ):
        doc.para(f"{number}.  {text}", x=left + 16, gap=0.8)
    doc.para(f"Executed at {case.town.split(',')[0]} on {case.day(case.signed)}.")
    doc.skip(44)
    doc.fitted(left + 220, doc.y + 32, case.name, right - left - 220, size=9.5)
    signed_line(doc, case, left + 220, case.people[0], "its Manager", width=right - left - 220)
    doc.turn()
    doc.title("ACKNOWLEDGMENT", 13)
    doc.skip(10)
    doc.para(f"{case.place.whole.upper()}", gap=0)
    doc.para(f"COUNTY OF {case.dice.choice(COUNTIES).upper()}    ss.")
    doc.para(
        f"On {case.day(case.signed)}, before me, a notary public, personally appeared {case.people[0]}, known to me to"
        f" be the person who executed the foregoing instrument on behalf of {case.name}, and acknowledged that the"
        " same was executed for the purposes therein contained."
    )
    doc.skip(30)
    signed_line(doc, case, left, case.people[1], "Notary Public", width=220)
    distract(doc, case, [(right - 110, doc.y - 40)])
    filing(doc, case, kind)


@late(
    "order form on top",
    FILINGS,
    ("gothic", "plain", "typewriter"),
    ways=("ink", "ink", "ink", "typed", "none"),
    printed=False,
)
def order_form(doc: Doc, case: Case, kind: Kind) -> None:
    """An agent company's order form with its own days, then the paper that was filed."""
    left, right = doc.look.left, doc.look.right
    agent, title = case.dice.choice(AGENTS), headed(case, kind)
    doc.write(left, 744, agent, face="bold", size=14)
    doc.write(right, 744, f"Order {case.dice.randrange(10**6, 10**7)}", size=10, align="right")
    doc.rule(734)
    doc.y = 706
    doc.title("FILING ORDER - EVIDENCE ENCLOSED", 13, align="left")
    doc.skip(6)
    doc.pairs(
        [
            ("Ordered", case.day(case.signed)),
            ("Sent to office", case.day(case.received)),
            ("Returned to you", case.day(case.reach)),
            ("Subject", case.name),
            ("Service", title),
            ("Jurisdiction", case.place.name),
        ],
        left + 130,
        pitch=1.8,
    )
    doc.skip(10)
    table(
        doc,
        ["Item", "Amount"],
        [["Filing fee", f"{case.dice.choice((20, 50, 100))}.00"], ["Service", "75.00"]],
        [0, 300],
    )
    doc.para("The evidence returned by the office follows. Please keep it with your company records.", size=9.5)
    doc.turn()
    typed = doc.way == "typed"
    mark(doc, case, doc.way, right - (4 if typed else 96), 748 if typed else 712)
    doc.write(left, 744, case.place.desk, face="bold", size=11)
    doc.y = 632
    doc.title(title.upper(), 13, align="left")
    doc.skip(8)
    for label, value in (
        ("Company:", case.name),
        (f"{case.place.label}:", case.number),
        ("Organized:", f"{case.home.name}, {case.day(case.formed)}"),
    ):
        doc.write(left, doc.y, label, size=9.5)
        doc.fitted(left + 150, doc.y, value, right - left - 150, font=doc.font("bold"), size=doc.look.size)
        doc.skip(20)
    doc.skip(4)
    doc.prose([*_says(case, kind), effective_words(doc, case)], gap=0.8)
    doc.skip(28)
    doc.write(left + 290, doc.y + 3, f"Date: {case.day(case.signed)}", size=10)
    signed_line(doc, case, left, case.people[1], "Member", width=240)
    filing(doc, case, kind)


@late("statement under the office's address", FILINGS, ("broad", "gothic", "roman"), ways=STAMPABLE)
def under_address(doc: Doc, case: Case, kind: Kind) -> None:
    """Title at the right in a bar, questions and answers in two columns, the stamp at the left of the foot."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 746, f"{case.place.office}", face="bold", size=11)
    doc.fitted(left, 733, f"{case.place.division}, {case.place.capital}, {case.place.code}", 250, size=8.5)
    doc.frame(left, 694, right - left, 24, shade=0.86, weight=0)
    doc.fitted(left + 8, 701, headed(case, kind), right - left - 16, font=doc.font("bold"), size=14)
    doc.write(left, 680, f"{case.place.whole} - for use by a {_owner(kind)}", size=8.5)
    doc.y = 650
    stop = left + 205
    rows = [
        ("Full legal name", case.name),
        (case.place.label, case.number),
        ("State or country of formation", case.home.name),
        ("Date of formation or registration", case.day(case.formed)),
        ("Principal office", f"{case.street}, {case.town}"),
    ]
    for label, value in rows:
        doc.write(stop - 12, doc.y, label, size=9, align="right", gray=0.2)
        doc.fitted(stop, doc.y, value, right - stop, size=doc.look.size)
        doc.rule(doc.y - 4, stop - 2, right, 0.3)
        doc.skip(25)
    doc.skip(4)
    doc.prose([*_says(case, kind), effective_words(doc, case)], gap=0.7)
    doc.skip(24)
    x = left + 230
    doc.dated(right - 90, doc.y + 3, case.day(case.signed), 9.5)
    signed_line(doc, case, x, case.people[0], "", width=right - x - 100)
    doc.write(x, doc.y + 8, "Member or manager", size=8)
    typed = doc.way == "typed"
    mark(doc, case, doc.way, right if typed else left + 105, 746 if typed else max(doc.y, 130), lean=12)
    filing(doc, case, kind)
    party_note(doc, case)


def party_note(doc: Doc, case: Case) -> None:
    """Sometimes the address to which the office mails its answer, at the foot."""
    if doc.y > 210 and case.chance(0.4):
        doc.write(doc.look.left + 240, 108, "Mail filed copy to:", size=8)
        party(doc, case, doc.look.left + 240, 94)
