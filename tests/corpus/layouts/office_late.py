"""What filing offices and their systems give back when they have filed something: the layouts written last."""

from datetime import date

from quietus.model.kinds import Authority, Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case
from tests.corpus.layouts.common import FILINGS, filing, title_of
from tests.corpus.layouts.common_late import effective_words, headed, hour, late, party, table
from tests.corpus.layouts.registry import ONLINE


def _sort(kind: Kind) -> str:
    return "Foreign Limited Liability Company" if kind is Kind.WITHDRAWAL else "Domestic Limited Liability Company"


def _filed(doc: Doc, case: Case, kind: Kind, authority: Authority, dated: date | None) -> None:
    """Note a paper of the office's own: when it was filed, and the day the office gave it, if it has one."""
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=authority.value)
    if dated is None:
        del doc.truth["signed_date"]
    else:
        doc.truth["signed_date"] = dated.isoformat()


@late("certificate under the hand", FILINGS, ("roman", "press"), ways=("certified",), born=0.15)
def under_hand(doc: Doc, case: Case, kind: Kind) -> None:
    """The office certifies in prose that a filing was made."""
    left = doc.look.left
    doc.frame(44, 64, 524, 690, weight=1.0)
    doc.frame(49, 69, 514, 680, weight=2.0)
    doc.y = 700
    doc.title(case.place.whole, 20, "italic")
    doc.title(case.place.office, 14)
    doc.skip(30)
    doc.title(case.pick("Certificate of Filing", "Certificate of Fact"), 18)
    doc.skip(16)
    end = (
        f"and that the authority of the company to transact business in {case.place.name} is thereby withdrawn."
        if kind is Kind.WITHDRAWAL
        else "and that the existence of the company is thereby terminated."
    )
    office = f"{case.place.office} of the {case.place.whole}"
    who = f"I, the undersigned, as {office}, do" if "Secretary" in office else f"The {office} does"
    doc.para(f"{who} hereby certify that the {title_of(case, kind)} for")
    doc.title(case.name, 14)
    doc.title(f"{case.place.label}: {case.number}", 10.5, "regular")
    doc.title(_sort(kind), 10, "italic")
    doc.skip(8)
    doc.para(f"was duly filed in this office on {case.day(case.filed)}, having been found to conform to law, {end}")
    end = "I have hereunto set my hand" if "Secretary" in office else "this certificate is signed and given"
    doc.para(f"IN TESTIMONY WHEREOF, {end} at {case.place.capital} on {case.day(case.reach)}.", gap=1.2)
    doc.sign(left + 250, doc.y - 40, "the officer", 150)
    doc.rule(doc.y - 46, left + 240, doc.look.right - 20)
    doc.write(left + 240, doc.y - 59, case.place.office, size=10)
    doc.write(left + 10, 84, f"Certificate ID {case.dice.randrange(10**7, 10**8)}", size=8.5)
    doc.design = "certificate in prose"
    _filed(doc, case, kind, Authority.CERTIFIED, case.reach)


@late("letter of the office", FILINGS, ("gothic", "roman", "plain"), ways=ONLINE, born=0.2)
def office_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter that acknowledges a filing."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 746, case.place.whole.upper(), face="bold", size=12)
    doc.write(left, 732, case.place.office, size=10)
    doc.write(left, 719, case.place.division, size=9)
    doc.write(right, 746, case.day(case.reach), align="right")
    party(doc, case, left, 676)
    doc.y = 610
    doc.para(f"RE: {case.name}", face="bold", gap=0.1)
    doc.para(f"{case.place.label}: {case.number}", x=left + 26)
    doc.para(
        f"The {title_of(case, kind)} for the above-referenced {_sort(kind).lower()} was filed with this"
        f" office on {case.day(case.filed)}. A fee of ${case.dice.choice((20, 25, 50))}.00 has been applied."
    )
    doc.para(
        case.pick(
            "This letter is your evidence of filing and should be retained with the records of the company.",
            "No further annual reports will be required. Please keep this letter with your permanent records.",
        )
    )
    doc.para(f"If you have questions, call the {case.place.division} and refer to the number above.")
    doc.skip(10)
    doc.para("Sincerely,")
    doc.sign(left + 8, doc.y - 26, "specialist")
    doc.write(left, doc.y - 44, case.pick("Filing Specialist", "Document Examiner", "Business Services"), size=10)
    distract(doc, case, [(right - 90, 150)])
    doc.design = "letter of the office"
    _filed(doc, case, kind, Authority.ELECTRONIC, case.reach)
    doc.unjudged = ("authority",)  # a signed letter on paper: a plain copy to some, the office's certificate to others


@late("status page of a portal", FILINGS, ("gothic", "broad", "narrow"), ways=ONLINE, born=0.5)
def status_page(doc: Doc, case: Case, kind: Kind) -> None:
    """A browser's print of the page that tells what became of an order."""
    left, right = doc.look.left, doc.look.right
    doc.write(
        left, 764, f"{case.reach:%m/%d/%y}, {case.dice.randrange(1, 12)}:{case.dice.randrange(10, 59)} PM", size=7
    )
    doc.write(306, 764, "My Business Account | Order details", size=7, align="centre")
    doc.frame(left, 718, right - left, 34, shade=0.25, weight=0)
    size = min(14.0, 14.0 * (right - left - 20) / doc.wide(case.place.desk, "bold", 14))
    doc.write(left + 10, 730, case.place.desk, face="bold", size=size, gray=1.0)
    doc.y = 694
    doc.title(f"Filing complete: {headed(case, kind)}", 13, align="left")
    doc.skip(4)
    doc.para(
        case.pick(
            "Thank you. Your filing was approved and is now part of the public record.",
            "Success! The document below has been filed. You may print this page for your records.",
        ),
        size=10,
    )
    table(
        doc,
        ["Order information", ""],
        [
            ["Order number", f"{case.dice.randrange(10**8, 10**9)}"],
            ["Business name", case.name],
            ["Business type", _sort(kind)],
            [case.place.label, case.number],
            ["Submitted on", f"{case.day(case.received)} {hour(case)}"],
            [case.pick("Date filed", "Filing date", "Filed on"), f"{case.day(case.filed)} {hour(case)}"],
            ["Filing status", case.pick("FILED", "Approved - Filed")],
            ["Fee paid", f"${case.dice.choice((10, 25, 35))}.00 (card)"],
        ],
        [0, 180],
        pitch=22,
    )
    doc.skip(6)
    doc.para("Questions? Use the message center. Do not reply to automated notices.", size=8.5)
    doc.write(right, 52, "Page 1/1", size=7, align="right")
    doc.design = "status page"
    _filed(doc, case, kind, Authority.ELECTRONIC, None)


@late("mail from the filing system", FILINGS, ("gothic", "narrow", "broad"), ways=ONLINE, born=0.5)
def system_mail(doc: Doc, case: Case, kind: Kind) -> None:
    """An electronic mail that says a filing was approved, as printed."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 750, case.people[0], face="bold", size=12)
    doc.rule(744, weight=1.4)
    doc.y = 726
    doc.pairs(
        [
            ("From:", f"{case.place.desk} Online Filing <noreply@filings.example>"),
            ("Sent:", f"{case.day(case.filed)} {hour(case)}"),
            ("To:", "records@client.example"),
            ("Subject:", f"Filing approved - {case.name}"),
        ],
        left + 70,
        pitch=1.4,
    )
    doc.skip(14)
    doc.para(f"Dear {case.people[0]}:")
    doc.para(
        f"The {headed(case, kind)} submitted for {case.name} has been approved by the {case.place.office}, "
        f"{case.place.division}, and was filed on {case.day(case.filed)}."
    )
    doc.para(f"{case.place.label}: {case.number}", x=left + 30, gap=0.1)
    doc.para(f"Entity type: {_sort(kind)}", x=left + 30, gap=0.1)
    doc.para(f"Tracking number: {case.dice.randrange(10**9, 10**10)}", x=left + 30)
    doc.para("A copy of the filed document can be downloaded from your account for the next 30 days.")
    doc.para("This mailbox is not monitored. Please do not respond to this message.", face="italic", size=9)
    doc.write(right, 52, "1", size=8, align="right")
    doc.design = "electronic mail"
    _filed(doc, case, kind, Authority.ELECTRONIC, None)
    doc.unjudged = ("signed_date", "authority")  # the day it was sent is the day of filing; a mail certifies little


@late("form made online", FILINGS, ("roman", "gothic", "plain"), ways=ONLINE, born=0.5)
def made_online(doc: Doc, case: Case, kind: Kind) -> None:
    """A form that a filing system filled in, its mark at the upper right or in a line along the foot."""
    left, right = doc.look.left, doc.look.right
    mark(doc, case, "electronic", right, 752)
    doc.y = 664
    doc.title(headed(case, kind), 16)
    doc.middle(doc.y, f"{case.place.office}, {case.place.whole}", face="regular", size=9.5)
    doc.skip(28)
    ended = (
        f"The entity withdraws from {case.place.name}; it no longer transacts business there."
        if kind is Kind.WITHDRAWAL
        else f"The entity is dissolved by consent of its members given on {case.day(case.decided)}."
    )
    for head, rows in (
        ("Entity Details", [("Name", case.name), (case.place.label, case.number), ("Type", _sort(kind))]),
        ("Formation", [("Jurisdiction", case.home.name), ("Date", case.day(case.formed))]),
        ("Mailing Address", [("Address", f"{case.street}, {case.town}")]),
    ):
        doc.write(left, doc.y, head, face="bold", size=11)
        doc.rule(doc.y - 4, weight=0.8)
        doc.skip(19)
        for label, value in rows:
            doc.write(left + 10, doc.y, f"{label}:", size=9.5)
            doc.fitted(left + 150, doc.y, value, right - left - 150, size=doc.look.size)
            doc.skip(17)
        doc.skip(8)
    doc.para(ended)
    doc.para(effective_words(doc, case))
    doc.para(
        f"I, {case.people[0]}, sign this document electronically as a person authorized to do so."
        f"  /s/ {case.people[0]}   Signature date: {case.day(case.signed)}",
        size=9.5,
    )
    filing(doc, case, kind)


@late("two-part receipt", FILINGS, ("typewriter", "gothic"), ways=ONLINE, born=0.3)
def two_part(doc: Doc, case: Case, kind: Kind) -> None:
    """A receipt printed by an office's old system: capitals, facts in columns, asterisks."""
    left, right = doc.look.left, doc.look.right
    doc.y = 742
    for text in (case.place.whole.upper(), case.place.office.upper(), "* * *  FILING RECEIPT  * * *"):
        doc.title(text, 12)
    doc.rule(doc.y + 4)
    doc.skip(18)
    rows = [
        ("ENTITY NAME:", case.name.upper()),
        ("DOCUMENT TYPE:", title_of(case, kind).upper()),
        ("ENTITY TYPE:", _sort(kind).upper()),
        (f"{case.place.label.upper()}:", case.number),
        ("FILED:", case.dice.choice((f"{case.filed:%m/%d/%Y}", case.day(case.filed)))),
        ("DURATION:", "ENDED" if kind is Kind.DISSOLUTION else "AUTHORITY ENDED"),
        ("CASH NUMBER:", f"{case.filed:%y%m%d}{case.dice.randrange(10**5, 10**6)}"),
    ]
    for label, value in rows:
        doc.write(left, doc.y, label, size=9.5)
        doc.fitted(left + 165, doc.y, value, right - left - 165, size=10)
        doc.skip(20)
    doc.rule(doc.y + 6)
    doc.skip(14)
    doc.write(left, doc.y, "FILER:", size=9.5)
    party(doc, case, left + 60, doc.y, caps=True, attention=True)
    doc.skip(70)
    table(
        doc,
        ["FEES", "", "PAYMENTS", ""],
        [["FILING", "60.00", "CHECK", "60.00"], ["COPIES", "0.00", "REFUND", "0.00"]],
        [0, 110, 240, 360],
    )
    doc.design = "old system's receipt"
    _filed(doc, case, kind, Authority.ELECTRONIC, None)
    doc.unjudged = ("authority",)  # printed on paper by the office; the sort of certificate is a matter of taste
