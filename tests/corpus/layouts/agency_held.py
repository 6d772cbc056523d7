"""Letters, certificates and notices from agencies: the layouts held out for the reported figures."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import letter, sentences, title_of
from tests.corpus.layouts.registry import layout


@layout("clearance with a seal of words", "held", (Kind.CLEARANCE,), ("roman", "gothic"), place="clearance")
def clearance_plain(doc: Doc, case: Case, kind: Kind) -> None:
    """A statement over a table at its foot that tells when it lapses."""
    doc.middle(738, case.place.whole.upper(), size=12)
    doc.middle(722, case.place.agency, face="italic", size=12)
    doc.y = 676
    doc.title(case.place.clearance, 22)
    doc.skip(24)
    doc.prose(sentences("clearance with a seal of words", "body", case), gap=1.0)
    doc.skip(10)
    third = (doc.look.right - doc.look.left) / 3
    label = case.pick("Expires", "Good through", "Not valid after")
    for number, (head, value) in enumerate(
        (("Issued", case.day(case.signed)), (label, case.day(case.reach)), ("Federal ID", case.ein))
    ):
        doc.cell(doc.look.left + third * number, doc.y - 40, third, 36, head, value)
    doc.sign(doc.look.left + 20, doc.y - 110, "director of revenue")
    doc.rule(doc.y - 116, doc.look.left, doc.look.left + 190)
    doc.write(doc.look.left, doc.y - 128, "Director", size=9)
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein, valid_until=case.reach.isoformat())


@layout("good standing letter", "held", (Kind.CLEARANCE,), ("typewriter", "broad", "plain"), place="clearance")
def good_standing(doc: Doc, case: Case, kind: Kind) -> None:
    """A short letter that all taxes are paid, for use within so many days."""
    doc.write(doc.look.right, 742, case.day(case.signed), align="right")
    doc.write(doc.look.left, 742, case.place.agency, face="bold", size=11)
    doc.y = 690
    for text in (case.name, case.street, case.town):
        doc.para(text, gap=0)
    doc.skip(24)
    doc.para(f"SUBJECT: {case.place.clearance.upper()}")
    doc.para(f"TAXPAYER: {case.name}; FEIN {case.ein}")
    doc.prose(sentences("good standing letter", "body", case), gap=1.0)
    doc.sign(doc.look.left + 6, doc.y - 36, "revenue agent")
    doc.write(doc.look.left, doc.y - 56, "Revenue agent")
    distract(doc, case, [(440, 170)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein, valid_until=case.reach.isoformat())


@layout("EIN letter, facts in the text", "held", (Kind.EIN_CLOSURE_LETTER,), ("roman", "typewriter", "broad"))
def ein_text(doc: Doc, case: Case, kind: Kind) -> None:
    """The service's letter with its facts under the address."""
    doc.middle(748, "DEPARTMENT OF THE TREASURY", face="regular", size=11)
    doc.middle(734, "INTERNAL REVENUE SERVICE", face="regular", size=11)
    doc.middle(720, "CINCINNATI, OH 45999-0023", face="regular", size=9)
    doc.y = 680
    for text in (case.name, case.street, case.town):
        doc.para(text, gap=0)
    doc.skip(20)
    for text in (
        f"Date of this letter: {case.day(case.filed)}",
        f"EIN: {case.ein}",
        f"Letter no. {case.dice.randrange(100, 4000)}C",
    ):
        doc.para(text, gap=0)
    doc.skip(20)
    doc.prose(sentences("EIN letter, facts in the text", "body", case), gap=0.9)
    doc.sign(doc.look.left + 6, doc.y - 36, "operations")
    doc.write(doc.look.left, doc.y - 56, "Department manager")
    distract(doc, case, [(440, 150)])
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein)


@layout("account closed, table", "held", (Kind.ACCOUNT_CLOSURE,), ("gothic", "narrow", "broad"))
def account_table(doc: Doc, case: Case, kind: Kind) -> None:
    """A confirmation that tax accounts are closed, as a table."""
    doc.frame(doc.look.left, 724, doc.look.right - doc.look.left, 30, shade=0.88, weight=0)
    doc.write(doc.look.left + 8, 735, case.place.agency, face="bold", size=12)
    doc.y = 694
    doc.title(case.pick("Confirmation of Account Closure", "Notice of Closed Tax Account"), 15, align="left")
    doc.skip(10)
    sort = case.pick("Sales tax", "Withholding tax", "Unemployment insurance tax")
    rows = [
        ("Notice issued", case.day(case.signed)),
        ("Business", case.name),
        ("FEIN", case.ein),
        ("Tax type", sort),
        ("Account", case.account),
        ("Closed as of", case.day(case.ended)),
    ]
    doc.pairs(rows, doc.look.left + 150, pitch=2.0)
    doc.skip(12)
    doc.prose(sentences("account closed, table", "body", case), gap=0.9)
    distract(doc, case, [(430, 240)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein)
    doc.unjudged = ("file_number",)  # a tax account may pass for one


@layout("tax notice in prose", "held", (Kind.TAX_NOTICE,), ("roman", "typewriter"))
def notice_prose(doc: Doc, case: Case, kind: Kind) -> None:
    """A demand or an assessment in prose."""
    federal = case.chance(0.4)
    agency = "Department of the Treasury, Internal Revenue Service" if federal else case.place.agency
    doc.y = 740
    doc.title(agency, 12)
    doc.skip(10)
    doc.title(
        case.pick("NOTICE OF PROPOSED ASSESSMENT", "NOTICE OF TAX DUE", "STATEMENT OF ACCOUNT AND DEMAND FOR PAYMENT"),
        13,
    )
    doc.skip(14)
    doc.para(f"Date: {case.day(case.signed)}", gap=0.2)
    doc.para(f"To: {case.name}, {case.street}, {case.town}", gap=0.2)
    doc.para(f"Identification number: {case.ein}")
    doc.prose(
        sentences("tax notice in prose", "body", case, amount=f"${case.money()}.{case.dice.randrange(10, 99)}"), gap=0.9
    )
    doc.sign(doc.look.left + 6, doc.y - 36, "collector")
    distract(doc, case, [(440, 180)])
    letter(doc, case, kind, case.signed, jurisdiction="US" if federal else case.place.code, ein=case.ein)
    doc.truth["period_end"] = case.ended.isoformat()


@layout("filing could not be accepted", "held", (Kind.OTHER,), ("gothic", "broad"))
def not_accepted(doc: Doc, case: Case, kind: Kind) -> None:
    """A filing office's list of what was wrong: nothing has been filed."""
    doc.middle(745, case.place.whole, size=13)
    doc.middle(730, f"{case.place.office}, {case.place.division}", face="regular", size=9)
    doc.y = 690
    doc.para(f"{case.day(case.signed)}")
    doc.title("Your document could not be accepted for filing", 14, align="left")
    doc.para(f"Document: {title_of(case, Kind.WITHDRAWAL)}", gap=0.2)
    doc.para(f"Company: {case.name}", gap=0.2)
    doc.para(f"{case.place.label}: {case.number}")
    doc.prose(sentences("filing could not be accepted", "body", case), gap=0.8)
    distract(doc, case, [(430, 200)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, file_number=case.number)


@layout("report reminder", "held", (Kind.OTHER,), ("gothic", "narrow"))
def reminder(doc: Doc, case: Case, kind: Kind) -> None:
    """A filing office reminds of the annual report and threatens to end the company."""
    doc.write(doc.look.left, 745, case.place.desk, face="bold", size=13)
    doc.write(doc.look.right, 745, case.day(case.signed), align="right")
    doc.y = 700
    doc.title(case.pick("ANNUAL REPORT REMINDER", "Your annual report is due"), 16, align="left")
    doc.skip(8)
    doc.para(f"{case.name}    {case.place.label} {case.number}", face="bold")
    doc.prose(sentences("report reminder", "body", case), gap=0.9)
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, file_number=case.number)
