"""Filings that end a company at home or withdraw it elsewhere, and what offices give back: the split `trial`."""

from datetime import date, timedelta

from quietus.model.kinds import Authority, Kind
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case
from tests.corpus.layouts.common import FILINGS, filing, title_of
from tests.corpus.layouts.common_late import table
from tests.corpus.layouts.common_trial import (
    close,
    corner,
    hand,
    head,
    heading,
    lines,
    post,
    says,
    sort,
    takes_effect,
    trial,
)
from tests.corpus.layouts.registry import ONLINE, STAMPABLE
from tests.corpus.ticks import box

_ENDS = (*FILINGS, Kind.WINDING_UP_NOTICE)


@trial("space for the file mark", FILINGS, ("gothic", "plain", "narrow"), ways=STAMPABLE)
def file_mark(doc: Doc, case: Case, kind: Kind) -> None:
    """Office and title at the left, the corner at the right left free; each answer on a rule under its question."""
    left, right = doc.look.left, doc.look.right
    head(doc, (case.place.desk, case.place.division, f"{case.place.capital}, {case.place.name}"), room=245)
    doc.y = 690
    doc.look_title(heading(case, kind), 255)
    doc.y = min(doc.y, 636) - 8
    asked = (
        ("Exact name of the limited liability company", case.name),
        (f"{case.place.label} assigned by this office", case.number),
        ("Where and when it was formed", f"{case.home.name}, {case.day(case.formed)}"),
    )
    for number, (question, answer) in enumerate(asked, start=1):
        doc.write(left, doc.y, f"{number})  {question}", size=8.5)
        doc.fitted(left + 16, doc.y - 16, answer, right - left - 20, font=case.pick("Courier", ""), size=11)
        doc.rule(doc.y - 20, left + 14, right, 0.4)
        doc.skip(40)
    for number, text in enumerate((*says(case, kind), takes_effect(doc, case)), start=4):
        doc.para(f"{number})  {text}", size=9.5, gap=0.7)
    hand(doc, case, left, case.people[0], case.pick("member", "manager", "authorized signer"), dated=case.signed)
    doc.para(f"Fee ${case.dice.choice((15, 30, 50, 85))}. Mail one signed original to the address above.", size=8)
    corner(doc, case)
    distract(doc, case, [(left + 90, 96)] if doc.y > 160 else [])
    filing(doc, case, kind)


@trial("counsel's articles", _ENDS, ("roman", "press", "typewriter"), ways=STAMPABLE)
def counsel(doc: Doc, case: Case, kind: Kind) -> None:
    """Articles in Roman numbers on plain paper; the stamp over the title or at the foot."""
    left = doc.look.left
    foot = doc.way != "typed" and case.chance(0.35)
    doc.y = 724 if foot else 626
    doc.title(f"{title_of(case, kind)} of {case.name}".upper(), 13)
    doc.skip(12)
    doc.para(f"To the {case.place.office}, {case.place.whole}:")
    doc.para(
        f"Pursuant to the laws of {case.place.name} governing limited liability companies, {case.name} delivers this"
        " instrument for filing and states:"
    )
    shown = (
        f"The company is known to your office under {case.place.label} {case.number}.",
        f"It was formed in {case.home.name}; {case.day(case.formed)} is the date on which you first recorded it.",
        *says(case, kind)[:3],
        takes_effect(doc, case),
    )
    for numeral, text in zip(("I", "II", "III", "IV", "V", "VI"), shown, strict=False):
        doc.write(left, doc.y, f"ARTICLE {numeral}", face="bold", size=9.5)
        doc.para(text, x=left + 74, gap=0.7)
    day = case.pick(days.formal(case.signed), case.day(case.signed))
    doc.para(f"Signed on {day} by a person authorized to act for the company.")
    hand(doc, case, left + 240, case.people[0], case.pick("Managing Member", "Sole Manager"))
    if foot:
        mark(doc, case, doc.way, left + 110, min(doc.y + 10, 150), lean=10)
    else:
        corner(doc, case, side=case.dice.choice(("left", "centre", "right")))
        distract(doc, case, [(left + 100, 110)] if doc.y > 180 else [])
    filing(doc, case, kind)


@trial("item and answer", _ENDS, ("plain", "gothic", "broad"), ways=STAMPABLE)
def item_answer(doc: Doc, case: Case, kind: Kind) -> None:
    """A table of items, choices to tick in its last rows, a box for the stamp at the foot."""
    left, right = doc.look.left, doc.look.right
    head(doc, (case.place.whole, f"{case.place.office} - {case.place.division}"), align="centre", room=360)
    doc.y = 702
    doc.title(heading(case, kind), 14)
    doc.skip(16)
    for number, (item, answer) in enumerate(
        (
            ("Entity name", case.name),
            (case.place.label, case.number),
            ("Home jurisdiction", case.home.name),
            ("Formed / registered", case.day(case.formed)),
            ("Principal address", f"{case.street}, {case.town}"),
        )
    ):
        doc.frame(left, doc.y - 8, 150, 22, shade=0.92, weight=0.5)
        doc.frame(left + 150, doc.y - 8, right - left - 150, 22, weight=0.5)
        doc.write(left + 5, doc.y, f"Item {number + 1}.  {item}", size=8.5)
        doc.fitted(left + 157, doc.y, answer, right - left - 164, size=10.5)
        doc.skip(22)
    doc.skip(6)
    shape = "acro" if doc.born else case.pick("square", "bracket", "underline")
    mine = {"acro": "field", "square": case.pick("check", "cross", "typed")}.get(shape, "typed")
    doc.write(left, doc.y, "Item 6.  Mark each statement that is true:", size=8.5)
    doc.skip(17)
    for number, text in enumerate(says(case, kind)):
        box(doc, left + 6, doc.y - 1, shape, mine, name=f"t{number}")
        doc.para(text, x=left + 40, size=9.5, gap=0.5)
    doc.para(f"Item 7.  {takes_effect(doc, case)}", size=9)
    hand(doc, case, left, case.people[1], "", dated=case.signed, width=170)
    y = min(doc.y - 8, 168)
    doc.frame(right - 250, y - 108, 250, 110, weight=0.6)
    doc.write(right - 245, y - 8, "Filing office stamp", size=7)
    typed = doc.way == "typed"
    mark(doc, case, doc.way, right - 30 if typed else right - 125, y - 32 if typed else y - 54, lean=7)
    filing(doc, case, kind)


@trial("half a sheet", FILINGS, ("typewriter", "gothic", "roman"), ways=STAMPABLE)
def half_sheet(doc: Doc, case: Case, kind: Kind) -> None:
    """A short form on the upper half; the lower half holds nothing but marks."""
    left, right = doc.look.left, doc.look.right
    head(doc, (case.place.desk,), align="centre")
    doc.y = 718
    doc.title(heading(case, kind).upper(), 12.5)
    doc.skip(16)
    end = left + (right - left) * 0.62
    for label, value, label2, value2 in (
        ("Company", case.name, case.place.label, case.number),
        ("Organized under the laws of", case.home.name, "Since", case.day(case.formed)),
    ):
        doc.blank(left, doc.y, end, label, value, size=10.5)
        doc.blank(end + 12, doc.y, right, label2, value2, size=10.5)
        doc.skip(31)
    doc.para(" ".join((*says(case, kind), takes_effect(doc, case))), size=9.5, gap=0.2)
    hand(doc, case, left, case.people[0], case.pick("Member", "Organizer", "Manager"), dated=case.signed)
    doc.rule(doc.y + 8, weight=1.6)
    doc.write(left, doc.y - 4, "DO NOT WRITE BELOW THIS LINE", size=7)
    x, y = left + 190.0, doc.y - 34.0
    if doc.way != "typed":
        x, y = left + case.dice.uniform(120, 360), y - case.dice.uniform(70, 120)
    mark(doc, case, doc.way, x, y)
    distract(doc, case, [(left + 95, 110), (right - 95, 110)])
    filing(doc, case, kind)


@trial("form of two pages", FILINGS, ("roman", "plain", "narrow"), ways=STAMPABLE)
def two_pages(doc: Doc, case: Case, kind: Kind) -> None:
    """Facts on the first page, statements and signature on the second; the mark on the first."""
    left, right = doc.look.left, doc.look.right
    wide = right - left
    form = f"LC-{case.dice.randrange(11, 60)}"
    doc.write(left, 752, f"{form}  (rev. {case.dice.randrange(2009, 2018)})", size=7.5)
    corner(doc, case, side=case.dice.choice(("centre", "right")), y=698)
    head(doc, (case.place.office, case.place.whole), y=736, room=150)
    doc.y = 622
    doc.title(heading(case, kind), 16, align="left")
    doc.skip(4)
    doc.para("Read the instructions. Send no cash. The filing is a public record.", face="italic", size=8.5)
    doc.skip(14)
    for label, value, label2, value2 in (
        ("Company name of record", case.name, case.place.label, case.number),
        ("Jurisdiction of formation", case.home.name, "Date of formation or registration", case.day(case.formed)),
        ("Street address of the principal office", case.street, "City, state, ZIP code", case.town),
        ("Person to contact about this filing", case.people[1], "Telephone", "555-0142"),
    ):
        doc.cell(left, doc.y - 20, wide * 0.58, 36, label, value, size=10)
        doc.cell(left + wide * 0.58, doc.y - 20, wide * 0.42, 36, label2, value2, size=10)
        doc.skip(44)
    doc.para("The statements and the signature follow on page 2.", size=9)
    doc.write(right, 52, "Page 1 of 2", size=8, align="right")
    doc.turn()
    doc.write(left, 744, f"{case.name} - {form}", size=8.5)
    doc.write(right, 52, "Page 2 of 2", size=8, align="right")
    doc.skip(20)
    for letter, text in zip("ABCDE", (*says(case, kind), takes_effect(doc, case)), strict=False):
        doc.para(f"{letter}.  {text}", gap=1.0)
    doc.para("A person who signs a document knowing that it is false commits an offense.", size=9)
    hand(doc, case, left, case.people[0], "for the company", dated=case.signed)
    distract(doc, case, [(right - 100, 320), (left + 100, 300)])
    filing(doc, case, kind)
    doc.unjudged = ("form",)  # a filing form's own number: to some the form, to others nothing


def _office(doc: Doc, case: Case, kind: Kind, authority: Authority, design: str, dated: date | None) -> None:
    """Note a paper of the office's own, and the day that it gives itself."""
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=authority.value)
    doc.design = design
    if dated:
        doc.truth["signed_date"] = dated.isoformat()
    else:
        del doc.truth["signed_date"]


@trial("certificate issued upon filing", FILINGS, ("roman", "press"), ways=("certified",), born=0.2)
def issued(doc: Doc, case: Case, kind: Kind) -> None:
    """The office finds the filing in order and issues a certificate."""
    left, right = doc.look.left, doc.look.right
    given = case.filed + timedelta(case.dice.randrange(0, 12))
    doc.frame(40, 60, 532, 700, weight=2.6)
    doc.y = 690
    for text, size in ((case.place.whole.upper(), 17), (case.place.office, 13), (case.place.division, 10)):
        doc.title(text, size, "bold" if size > 15 else "regular")
    doc.skip(26)
    ended = "withdrawal" if kind is Kind.WITHDRAWAL else case.pick("dissolution", "termination")
    doc.title(f"Official Certificate of {ended.title()}", 19)
    doc.skip(14)
    doc.para(
        f"The undersigned, on behalf of the {case.place.office}, certifies that the {title_of(case, kind)} of the"
        f" {sort(kind).lower()} named here, duly signed, has been received, examined and found to satisfy the law."
    )
    doc.pairs(
        [("Name", case.name), (case.place.label, case.number), ("Filed", case.day(case.filed))], left + 150, pitch=1.9
    )
    doc.skip(8)
    end = f"Its registration in {case.place.name} is at an end." if ended == "withdrawal" else "The company has ended."
    doc.para(f"Accordingly this certificate of {ended} is issued. {end}")
    day = case.pick(f"this {days.formal(given)[4:]}", f"on {case.day(given)}")
    doc.para(f"Witness my hand at {case.place.capital} {day}.")
    doc.sign(right - 190, doc.y - 44, "registrar", 140)
    doc.rule(doc.y - 50, right - 200, right - 10)
    doc.write(right - 200, doc.y - 62, case.pick("Registrar", "Director of Records", "Filing Officer"), size=9.5)
    lines(doc, left, 84, (f"Authentication code {case.dice.randrange(10**9, 10**10)}",), size=8)
    _office(doc, case, kind, Authority.CERTIFIED, "certificate issued", given)


@trial("it is on file", FILINGS, ("roman", "gothic", "typewriter"), ways=ONLINE, born=0.2)
def on_file(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter or notice with which the office answers a filing."""
    sent = case.filed + timedelta(case.dice.randrange(1, 15))
    rows = (case.place.desk, case.place.division, f"{case.place.capital}, {case.place.code}")
    post(doc, case, rows, (case.day(sent),), align="centre")
    doc.para(case.pick("ACKNOWLEDGMENT OF FILING", "NOTICE OF ACCEPTANCE", "CONFIRMATION"), face="bold")
    title, what = title_of(case, kind), sort(kind).lower()
    doc.para(
        case.pick(
            f"This office has accepted the {title} of {case.name}, {case.place.label} {case.number}, a {what}. It was"
            f" placed on file {case.day(case.filed)}.",
            f"We have recorded the {title} that you submitted for {case.name}, a {what} ({case.place.label}"
            f" {case.number}). The date of filing is {case.day(case.filed)}.",
        )
    )
    doc.para(
        case.pick(
            "The status of this company on our records is now inactive.",
            "You need not send any more reports to this office for the company.",
        )
    )
    doc.para("Keep this acknowledgment in a safe place; a duplicate costs $10. Other agencies may have to be told too.")
    close(doc, case, case.pick("Records Section", "Customer Service", "For the office"))
    _office(doc, case, kind, Authority.ELECTRONIC, "it is on file", sent)
    doc.unjudged = ("authority",)  # a letter: a plain copy to some, the office's word to others


@trial("submission summary", FILINGS, ("gothic", "plain", "broad"), ways=ONLINE, born=0.5)
def summary(doc: Doc, case: Case, kind: Kind) -> None:
    """What a filing website shows when all is done, printed."""
    left, right = doc.look.left, doc.look.right
    lines(doc, left, 766, (f"{case.reach:%m/%d/%Y}     https://business.filings.example/summary",), size=7)
    head(doc, (case.place.desk, "Business online services"), y=740)
    doc.rule(718, weight=2.0)
    doc.y = 690
    doc.title(case.pick("Submission summary", "Filing receipt", "Your filing is complete"), 16, align="left")
    rows = [
        ("Document", heading(case, kind)),
        ("Entity", case.name),
        ("Type of entity", sort(kind)),
        (case.place.label, case.number),
        ("Submitted", f"{case.day(case.received)} by {case.people[0]}"),
        ("Status", case.pick("Accepted", "Filed", "Complete - filed")),
        (case.pick("Filed date", "Date of filing", "Filed"), case.day(case.filed)),
        ("Receipt", f"R{case.dice.randrange(10**8, 10**9)}"),
        ("Paid", f"${case.dice.choice((20, 35, 75))}.00 by card"),
    ]
    if case.chance(0.5):
        table(doc, ["", "Details"], [list(row) for row in rows], [0, 150], pitch=22, lines=False)
    else:
        doc.skip(10)
        for number, (label, value) in enumerate(rows):
            x, y = left + (number % 2) * (right - left) / 2, doc.y - 40.0 * (number // 2)
            doc.write(x, y, label.upper(), size=7.5, gray=0.35)
            doc.fitted(x, y - 14, value, (right - left) / 2 - 14, size=10.5)
        doc.skip(206)
    doc.para("A stamped image of the document is in your account. Save it with this page.", size=9)
    _office(doc, case, kind, Authority.ELECTRONIC, "submission summary", None)
    doc.unjudged = ("signed_date",)  # nobody signs a web page; some take the day of submission


@trial("mail about a document", FILINGS, ("gothic", "roman"), ways=ONLINE, born=0.5)
def mailed(doc: Doc, case: Case, kind: Kind) -> None:
    """The filing system's electronic mail, as a mail program prints it."""
    left = doc.look.left
    doc.title(f"Document filed: {case.name}", 14, align="left")
    when = f"{case.day(case.filed)} 4:{case.dice.randrange(10, 59)} PM"
    rows = (f"{case.place.desk} <filings@registry.example>", f"{when}    To: {case.people[0]}")
    lines(doc, left, doc.y - 4, rows, size=9)
    doc.rule(doc.y - 24)
    doc.skip(48)
    doc.para(f"Hello {case.people[0].split()[0]},")
    doc.para(
        f"Good news: the {title_of(case, kind)} for the {sort(kind).lower()} below has been reviewed and filed by"
        f" the {case.place.office} of {case.place.name}."
    )
    facts = [("Company", case.name), (case.place.label, case.number), ("Filing date", case.day(case.filed))]
    doc.pairs(facts, left + 150, face="regular", pitch=1.7)
    doc.skip(8)
    doc.para("No paper will be mailed. Sign in to download your filed document; the link works for sixty days.")
    doc.para("Do you like our online service? Tell us in our survey.", face="italic", size=9)
    _office(doc, case, kind, Authority.ELECTRONIC, "mail about a document", None)
    doc.unjudged = ("signed_date", "authority")  # the day of sending is the day of filing; a mail certifies little


@trial("record made online", _ENDS, ("roman", "gothic", "plain"), ways=ONLINE, born=0.45)
def record(doc: Doc, case: Case, kind: Kind) -> None:
    """A document that a filing system composed, with its mark at the head or the foot."""
    left, right = doc.look.left, doc.look.right
    if case.chance(0.6):
        mark(doc, case, "electronic", right, 752)
    else:
        mark(doc, case, "electronic", right, 112)
    doc.y = 672
    doc.middle(doc.y, case.place.whole, size=12)
    doc.skip(20)
    doc.title(heading(case, kind), 15)
    doc.skip(10)
    for text, value in (
        ("The name of the company is", case.name),
        (f"The {case.place.label} of the company is", case.number),
        ("The company was formed in", case.home.name),
        ("It has been on record since", case.day(case.formed)),
    ):
        end = doc.write(left, doc.y, f"{text}  ")
        doc.fitted(end, doc.y, value, right - end, font=doc.font("bold"), size=doc.look.size)
        doc.skip(20)
    doc.skip(6)
    doc.prose((*says(case, kind), takes_effect(doc, case)))
    doc.skip(8)
    doc.para(
        f"Electronically signed by {case.people[0]} on {case.day(case.signed)}, who affirms under penalty of law that"
        " the facts stated are true.",
        size=9.5,
    )
    filing(doc, case, kind)
