"""What also comes by mail to a company that ends: demands, refusals, reminders, letters. Written last."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import AGENTS, BANKS, headed, late, party, table


@late("delinquency notice", (Kind.TAX_NOTICE,), ("gothic", "typewriter", "narrow"))
def delinquency(doc: Doc, case: Case, kind: Kind) -> None:
    """A state's demand with a table of periods."""
    left, right = doc.look.left, doc.look.right
    doc.fitted(left, 746, case.place.agency, right - left - 150, font=doc.font("bold"), size=12)
    doc.write(left, 733, f"Collection Division, {case.place.capital}", size=9)
    doc.write(right, 746, f"Notice date: {case.day(case.filed)}", size=9.5, align="right")
    doc.write(right, 733, f"FEIN: {case.ein}", size=9.5, align="right")
    party(doc, case, left, 696, caps=True)
    doc.y = 630
    doc.title(case.pick("NOTICE OF DELINQUENT TAX", "FINAL NOTICE BEFORE LEVY", "NOTICE OF INTENT TO FILE LIEN"), 14)
    doc.para("Our records show that the following amounts have not been paid:")
    one, two, three = (case.dice.randrange(40, 4000) for _ in range(3))
    table(
        doc,
        ["Period ending", "Tax", "Penalty", "Interest", "Balance"],
        [[case.day(case.ended), f"${one}.00", f"${two}.00", f"${three}.00", f"${one + two + three}.00"]],
        [0, 140, 225, 310, 395],
    )
    doc.skip(10)
    doc.para(
        f"Payment of ${one + two + three}.00 must reach us by {case.day(case.reach)} to avoid further collection."
        " If you have already paid, please send a copy of the canceled check."
    )
    doc.para("You have the right to request a hearing. See the enclosed statement of taxpayer rights.")
    distract(doc, case, [(right - 90, 190)])
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein, period_end=case.ended.isoformat())


@late("federal notice with a summary", (Kind.TAX_NOTICE,), ("plain", "gothic", "roman"))
def federal_summary(doc: Doc, case: Case, kind: Kind) -> None:
    """The revenue service's notice: references at the upper right, a summary in a shaded box."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 744, "Department of the Treasury", face="bold", size=9.5)
    doc.write(left, 732, "Internal Revenue Service", face="bold", size=9.5)
    doc.write(left, 720, "Cincinnati, OH 45999-0039", size=9)
    references = (
        ("Notice", f"CP{case.dice.choice((161, 162, 504, 259))}"),
        ("Tax period", case.day(case.ended)),
        ("Notice date", case.day(case.filed)),
        ("Employer ID number", case.ein),
        ("Page", "1 of 1"),
    )
    for number, (label, value) in enumerate(references):
        doc.write(right - 190, 744 - 13 * number, label, face="bold", size=8.5)
        doc.write(right - 90, 744 - 13 * number, value, size=9)
    party(doc, case, left, 668)
    doc.y = 606
    doc.title(
        case.pick("You have unpaid taxes: amount due", "We charged you a penalty for filing late"), 15, align="left"
    )
    doc.skip(2)
    doc.frame(left, doc.y - 72, right - left, 72, shade=0.93, weight=0)
    doc.write(left + 10, doc.y - 15, "Billing summary", face="bold", size=10)
    one, two = case.dice.randrange(200, 5000), case.dice.randrange(2, 200)
    rows = (("Penalty", one), ("Interest charges", two), (f"Amount due by {case.day(case.reach)}", one + two))
    for number, (label, amount) in enumerate(rows):
        doc.write(left + 10, doc.y - 31 - 15 * number, label, size=9.5)
        doc.write(right - 14, doc.y - 31 - 15 * number, f"${amount:,}.00", size=9.5, align="right")
    doc.skip(94)
    doc.para("What you need to do", face="bold", gap=0.2)
    doc.para(
        "Pay the amount due by the date shown to avoid additional penalty and interest. If you don't agree, write"
        " to us at the address above within 30 days of the date of this notice."
    )
    doc.para("Continued on back", face="italic", size=8.5)
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein, period_end=case.ended.isoformat())


@late("notice of deficient filing", (Kind.OTHER,), ("roman", "gothic", "plain"))
def deficient(doc: Doc, case: Case, kind: Kind) -> None:
    """An office gives a filing back, with boxes for what is wrong."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 746, case.place.desk, face="bold", size=12)
    doc.write(left, 732, case.place.division, size=9)
    doc.write(right, 746, case.day(case.filed), align="right")
    party(doc, case, left, 700, attention=True)
    doc.y = 626
    doc.title(case.pick("DOCUMENT RETURNED UNFILED", "RETURNED DOCUMENT NOTICE", "REJECTION NOTICE"), 14, align="left")
    doc.para(f"Entity: {case.name}", gap=0.1)
    doc.para(f"{case.place.label}: {case.number}", gap=0.1)
    doc.para(f"Document: {headed(case, case.dice.choice((Kind.DISSOLUTION, Kind.WITHDRAWAL)))}")
    doc.para(
        f"We are unable to file the document that we received on {case.day(case.received)} for the following reason(s):"
    )
    wrong = case.dice.choice(
        (
            "The name of the entity does not match our records.",
            "All delinquent annual reports must be filed before this document can be accepted.",
            "A tax clearance from the revenue agency must accompany the document.",
        )
    )
    for text in (wrong, "The correct filing fee was not enclosed."):
        doc.write(left + 10, doc.y, "[X]")
        doc.para(text, x=left + 36, gap=0.3)
    doc.skip(8)
    doc.para(
        f"Please correct and resubmit with this notice by {case.day(case.reach)}. The original filing date cannot be"
        " preserved after that."
    )
    doc.sign(left + 6, doc.y - 28, "document examiner")
    doc.write(left, doc.y - 46, "Document Examiner", size=10)
    distract(doc, case, [(right - 90, 150)])
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, file_number=case.number)


@late("report reminder card", (Kind.OTHER,), ("gothic", "narrow", "plain"))
def report_card(doc: Doc, case: Case, kind: Kind) -> None:
    """A card of half a page that an annual report falls due."""
    left, right = doc.look.left, doc.look.right
    doc.frame(left - 6, 470, right - left + 12, 280, weight=0.9)
    doc.write(left + 4, 732, case.place.desk, face="bold", size=11)
    doc.write(left + 4, 719, case.place.division, size=8.5)
    doc.write(right - 4, 732, "PRESORTED FIRST CLASS", size=7, align="right")
    doc.y = 692
    doc.title(case.pick("Time to file your annual report", "ANNUAL REPORT DUE", "Periodic report notice"), 15)
    doc.para(
        f"The annual report of {case.name} ({case.place.label} {case.number}) is due by {case.day(case.reach)}.",
        x=left + 10,
    )
    doc.para(
        "File online. A late fee applies after the due date, and an entity that does not file may be"
        " administratively dissolved or have its authority revoked.",
        x=left + 10,
    )
    doc.write(left + 10, 570, f"Mailed {case.day(case.filed)}", size=9)
    party(doc, case, left + 230, 540)
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, file_number=case.number)
    doc.unjudged = ("signed_date",)  # a card is mailed, not signed


@late("agent's resignation letter", (Kind.OTHER,), ("roman", "press", "gothic"))
def agent_leaves(doc: Doc, case: Case, kind: Kind) -> None:
    """A registered agent tells the company that it resigns."""
    left, right = doc.look.left, doc.look.right
    agent = case.dice.choice(AGENTS)
    doc.middle(742, agent, size=14)
    doc.middle(727, f"Registered agent service - {case.place.capital}, {case.place.name}", face="regular", size=9)
    doc.write(left, 690, case.day(case.signed))
    party(doc, case, left, 660, attention=True)
    doc.y = 590
    doc.para(f"Re: Resignation as registered agent in {case.place.name}", face="bold")
    doc.para(
        f"This is to notify {case.name} that we resign as its registered agent for service of process in"
        f" {case.place.name}. A statement of resignation will be delivered to the {case.place.office}; the agency"
        " terminates thirty-one days after it is filed."
    )
    doc.para(
        f"Please appoint a new agent by {case.day(case.reach)}. Any process received before then will be forwarded."
    )
    doc.para("Very truly yours,")
    doc.sign(left + 6, doc.y - 24, agent)
    doc.write(left, doc.y - 42, agent, size=10)
    distract(doc, case, [(right - 90, 170)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)
    doc.unjudged = ("jurisdiction",)  # a private letter: the state is named, yet no state's paper


@late("bank's closing letter", (Kind.OTHER,), ("roman", "gothic", "broad"))
def bank_closes(doc: Doc, case: Case, kind: Kind) -> None:
    """A bank confirms the end of a business checking account."""
    left, right = doc.look.left, doc.look.right
    bank = case.dice.choice(BANKS)
    doc.write(right, 746, bank, face="bold", size=13, align="right")
    doc.write(right, 732, "Business Banking Operations", size=9, align="right")
    doc.write(left, 704, case.day(case.signed))
    party(doc, case, left, 676)
    doc.y = 606
    doc.para(f"Confirmation of closed account ending in {case.dice.randrange(1000, 9999)}", face="bold")
    doc.para(f"Dear {case.people[0]}:")
    doc.para(
        f"As you requested, the business checking account of {case.name} was closed on {case.day(case.decided)}. A"
        f" cashier's check for the remaining balance of ${case.money(10, 9000)}.{case.dice.randrange(10, 99)} was sent."
    )
    doc.para(
        "Outstanding checks presented after closing will be returned. A last statement will be mailed within ten days."
    )
    doc.para("We appreciate your business.")
    doc.sign(left + 6, doc.y - 26, bank)
    doc.write(left, doc.y - 44, "Vice President, Deposit Services", size=10)
    distract(doc, case, [(right - 90, 160)])
    letter(doc, case, kind, case.signed)


@late("certificate of existence", (Kind.OTHER,), ("roman", "press"))
def existence(doc: Doc, case: Case, kind: Kind) -> None:
    """A filing office certifies that a company is in existence: the opposite of an end."""
    doc.frame(46, 66, 520, 686, weight=1.6)
    doc.y = 706
    doc.title(case.place.whole, 18)
    doc.title(case.place.office, 13, "italic")
    doc.skip(26)
    doc.title(case.pick("CERTIFICATE OF EXISTENCE", "CERTIFICATE OF GOOD STANDING", "CERTIFICATE OF STATUS"), 16)
    doc.skip(18)
    office = f"{case.place.office} of the {case.place.whole}"
    doc.para(f"I, {office}, do hereby certify that" if "Secretary" in office else f"The {office} certifies that")
    doc.title(case.name, 13)
    doc.para(
        f"{case.place.label} {case.number}, a limited liability company, was duly organized or registered on"
        f" {case.day(case.formed)}; that all fees due this office have been paid; that its most recent annual report"
        " has been filed; and that it is in existence and in good standing on the records of this office."
    )
    doc.para(f"Given on {case.day(case.signed)}.")
    doc.sign(330, doc.y - 40, "the office", 150)
    doc.rule(doc.y - 46, 320, 530)
    doc.write(320, doc.y - 58, case.place.office, size=9.5)
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, file_number=case.number)
    doc.unjudged = ("authority",)  # certified in words, on a plain copy


@late("agent's invoice", (Kind.OTHER,), ("gothic", "narrow", "typewriter"))
def invoice(doc: Doc, case: Case, kind: Kind) -> None:
    """A bill for another year of registered agent service."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 744, case.dice.choice(AGENTS), face="bold", size=12)
    doc.write(right, 744, "INVOICE", face="bold", size=16, align="right")
    doc.write(right, 726, f"No. {case.dice.randrange(10**5, 10**6)}", size=9.5, align="right")
    doc.write(right, 713, f"Date {case.day(case.signed)}", size=9.5, align="right")
    doc.write(right, 700, f"Due {case.day(case.reach)}", size=9.5, align="right")
    doc.write(left, 692, "Bill to", face="bold", size=9)
    party(doc, case, left, 676)
    doc.y = 606
    table(
        doc,
        ["Description", "Qty", "Amount"],
        [
            [f"Registered agent service, {case.place.name}, 1 year", "1", "$125.00"],
            ["Compliance calendar", "1", "$0.00"],
            ["Total due", "", "$125.00"],
        ],
        [0, 330, 390],
        pitch=22,
    )
    doc.skip(12)
    doc.para("If you no longer do business, let us know so that we can discontinue the service. Thank you!", size=9.5)
    letter(doc, case, kind, case.signed)
    doc.unjudged = ("signed_date", "jurisdiction")  # nobody signs a bill; the state is the place of the service
