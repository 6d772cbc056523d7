"""Letters, certificates and notices from agencies: the layouts for tuning."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter, sentences, title_of
from tests.corpus.layouts.registry import layout


def _addressed(doc: Doc, case: Case, y: float) -> None:
    for number, text in enumerate((case.name, case.street, case.town)):
        doc.write(doc.look.left, y - 14 * number, text)


@layout("clearance certificate, framed", "tune", (Kind.CLEARANCE,), ("roman", "press", "broad"), place="clearance")
def clearance_framed(doc: Doc, case: Case, kind: Kind) -> None:
    """A framed certificate with a table of facts and the day until which it is good."""
    doc.frame(46, 60, 520, 690, weight=2.2)
    doc.y = 708
    doc.title(case.place.agency, 15)
    doc.skip(20)
    doc.title(case.place.clearance.upper(), 19)
    doc.skip(18)
    rows = [
        ("Issued to", case.name),
        ("FEIN", case.ein),
        ("Letter ID", f"L{case.dice.randrange(10**9, 10**10)}"),
        ("Date of issue", case.day(case.signed)),
    ]
    doc.pairs(rows, doc.look.left + 130, pitch=1.9)
    doc.skip(10)
    doc.prose(sentences("clearance certificate, framed", "body", case), gap=0.9)
    doc.para(
        case.pick("This certificate is valid through {}.", "Valid until {}.", "Expiration date: {}").format(
            case.day(case.reach)
        ),
        face="bold",
    )
    doc.sign(doc.look.left + 240, doc.y - 50, "commissioner")
    doc.rule(doc.y - 56, doc.look.left + 230, doc.look.right)
    doc.write(doc.look.left + 230, doc.y - 68, "For the agency", size=9)
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein, valid_until=case.reach.isoformat())


@layout("clearance letter", "tune", (Kind.CLEARANCE,), ("gothic", "roman", "narrow"), place="clearance")
def clearance_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """The same as a letter, without an end."""
    doc.write(doc.look.left, 745, case.place.agency, face="bold", size=12)
    doc.write(doc.look.left, 731, f"Collections and clearance, {case.place.capital}", size=9)
    doc.write(doc.look.left, 690, case.day(case.signed))
    _addressed(doc, case, 656)
    doc.y = 590
    doc.para(f"Re: {case.place.clearance} - FEIN {case.ein}", face="bold")
    doc.prose(sentences("clearance letter", "body", case), gap=0.9)
    doc.sign(doc.look.left + 10, doc.y - 40, "examiner")
    doc.write(doc.look.left, doc.y - 60, "Tax examiner")
    distract(doc, case, [(430, 650), (430, 180)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein)


@layout("EIN letter, facts at the right", "tune", (Kind.EIN_CLOSURE_LETTER,), ("gothic", "narrow"))
def ein_right(doc: Doc, case: Case, kind: Kind) -> None:
    """The service's letter with its facts in a column at the right."""
    doc.write(doc.look.left, 745, "IRS", face="bold", size=15)
    doc.write(doc.look.left + 44, 748, "Department of the Treasury", face="bold", size=10)
    doc.write(doc.look.left + 44, 736, "Internal Revenue Service", face="bold", size=10)
    doc.write(doc.look.left + 44, 724, "Kansas City, MO 64999", size=9)
    for number, (label, value) in enumerate(
        (
            ("Date:", case.day(case.filed)),
            ("Taxpayer ID number:", case.ein),
            ("Form:", "SS-4"),
            ("Contact hours:", "8 to 5"),
        )
    ):
        doc.write(356, 700 - 24 * number, label, face="bold", size=9.5)
        doc.write(356, 689 - 24 * number, value, size=10)
    _addressed(doc, case, 650)
    doc.y = 560
    doc.prose(sentences("EIN letter, facts at the right", "body", case), gap=0.9)
    doc.sign(doc.look.left + 10, doc.y - 40, "director")
    doc.write(doc.look.left, doc.y - 62, "Director, Entity Operations")
    distract(doc, case, [(440, 160)])
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein)


@layout("account closed, letter", "tune", (Kind.ACCOUNT_CLOSURE,), ("gothic", "roman"))
def account_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """A tax agency says that a sales or withholding account is closed."""
    sort = case.pick("sales and use tax", "employer withholding", "state unemployment tax")
    doc.write(doc.look.right, 745, case.place.agency, face="bold", size=12, align="right")
    doc.write(doc.look.right, 731, f"Registration unit, {case.place.capital}", size=9, align="right")
    _addressed(doc, case, 700)
    doc.write(doc.look.right, 650, f"Date: {case.day(case.signed)}", align="right")
    doc.y = 610
    doc.para(f"Your {sort} account {case.account} is closed", face="bold", size=13)
    doc.prose(sentences("account closed, letter", "body", case, sort=sort), gap=0.9)
    doc.sign(doc.look.left + 10, doc.y - 40, "registrar")
    doc.write(doc.look.left, doc.y - 60, "Registration specialist")
    distract(doc, case, [(430, 170)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)
    doc.unjudged = ("file_number",)  # a tax account may pass for one


@layout("tax notice with a coupon", "tune", (Kind.TAX_NOTICE,), ("gothic", "narrow"))
def notice_coupon(doc: Doc, case: Case, kind: Kind) -> None:
    """A bill: amounts in a table, a coupon to tear off."""
    federal = case.chance(0.4)
    agency = "Internal Revenue Service" if federal else case.place.agency
    doc.write(doc.look.left, 748, agency, face="bold", size=13)
    doc.write(
        doc.look.right,
        748,
        f"Notice {case.pick('CP', 'LT', 'N')}{case.dice.randrange(100, 600)}",
        size=10,
        align="right",
    )
    doc.write(doc.look.right, 734, f"Notice date {case.day(case.signed)}", size=10, align="right")
    _addressed(doc, case, 700)
    doc.write(doc.look.right, 700, f"EIN {case.ein}", align="right")
    doc.y = 630
    doc.title(
        case.pick("You have a balance due", "Notice of balance due", "We have not received your return"),
        16,
        align="left",
    )
    doc.skip(6)
    doc.prose(sentences("tax notice with a coupon", "body", case))
    for label in ("Tax you owe", "Penalty", "Interest", "Amount due"):
        doc.write(doc.look.left + 20, doc.y, label)
        doc.write(doc.look.left + 330, doc.y, f"${case.money(10, 3000)}.00", align="right")
        doc.rule(doc.y - 4, weight=0.3)
        doc.skip(20)
    doc.rule(190, 40, 572, 0.6)
    doc.write(doc.look.left, 172, f"Payment coupon: {case.name}", size=9)
    doc.write(doc.look.left, 158, f"Pay by {case.day(case.reach)}", size=9)
    letter(doc, case, kind, case.signed, jurisdiction="US" if federal else case.place.code, ein=case.ein)
    doc.truth["period_end"] = case.ended.isoformat()


@layout("filing sent back", "tune", (Kind.OTHER,), ("roman", "gothic"))
def sent_back(doc: Doc, case: Case, kind: Kind) -> None:
    """A filing office returns a filing: nothing has been filed."""
    filed = title_of(case, Kind.DISSOLUTION)
    doc.write(doc.look.left, 745, case.place.desk, face="bold", size=13)
    doc.write(doc.look.left, 731, case.place.division, size=9)
    doc.write(doc.look.left, 690, case.day(case.signed))
    _addressed(doc, case, 656)
    doc.y = 590
    doc.title(case.pick("NOTICE OF REJECTION", "REJECTION OF FILING"), 14, align="left")
    doc.para(f"Entity: {case.name} ({case.number})")
    doc.prose(sentences("filing sent back", "body", case, title=filed), gap=0.9)
    doc.sign(doc.look.left + 10, doc.y - 36, "examiner of filings")
    distract(doc, case, [(430, 170)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, file_number=case.number)


@layout("agent resigns", "tune", (Kind.OTHER,), ("roman", "typewriter"))
def agent_resigns(doc: Doc, case: Case, kind: Kind) -> None:
    """A registered agent gives up its appointment: stamped by the office, and no end of the company."""
    doc.y = 720
    doc.title(case.place.desk, 13)
    doc.title("STATEMENT OF RESIGNATION OF REGISTERED AGENT", 13)
    doc.skip(16)
    agent = case.dice.choice(words()["firms"])
    doc.prose(sentences("agent resigns", "body", case, agent=agent), gap=1.0)
    doc.sign(doc.look.left + 200, doc.y - 30, agent)
    doc.rule(doc.y - 36, doc.look.left + 190, doc.look.right)
    doc.write(doc.look.left + 190, doc.y - 48, f"{agent}, by its officer, {case.day(case.signed)}", size=9)
    mark(doc, case, "ink", doc.look.right - 85, 690)
    doc.unjudged = ("stamped", "filing_date", "authority")  # the mark is real, but it ends nothing
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, file_number=case.number)
