"""What is kept of wages, payments, sales, mail and money when a company ends: the layouts held out."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter, sentences
from tests.corpus.layouts.registry import layout
from tests.corpus.layouts.returns_common import returned


def _lines(doc: Doc, rows: list[tuple[str, str]], stop: float) -> None:
    for label, value in rows:
        doc.write(doc.look.left, doc.y, label, size=9.5)
        doc.fitted(doc.look.left + stop, doc.y, value, doc.look.right - doc.look.left - stop, size=doc.look.size)
        doc.rule(doc.y - 5, weight=0.3)
        doc.skip(22)


@layout("transmittal of wage statements", "held", (Kind.WAGE_STATEMENT,), ("roman", "gothic"), born=0.2)
def wage_transmittal(doc: Doc, case: Case, kind: Kind) -> None:
    """Form W-3."""
    doc.middle(745, f"W-3   Transmittal of Wage and Tax Statements   {case.ended.year}", size=13)
    doc.middle(731, "Department of the Treasury - Internal Revenue Service", face="regular", size=8)
    doc.y = 700
    rows = [
        ("Employer identification number", case.ein),
        ("Employer's name", case.name),
        ("Address", f"{case.street}, {case.town}"),
        ("Total number of Forms W-2", str(case.dice.randrange(1, 12))),
        ("Wages, tips, other compensation", case.money(9000, 400000)),
        ("Federal income tax withheld", case.money(500, 40000)),
    ]
    _lines(doc, rows, 210)
    doc.sign(doc.look.left + 50, doc.y - 40, case.people[0])
    doc.write(doc.look.left, doc.y - 40, "Signature", size=8)
    doc.write(doc.look.right - 150, doc.y - 40, f"Date {case.day(case.signed)}", size=9.5)
    returned(doc, case, kind, "W-3", period=None)


@layout("summary of information returns", "held", (Kind.INFORMATION_RETURN,), ("roman", "broad"), born=0.2)
def information_summary(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 1096."""
    doc.write(doc.look.left, 745, "1096", face="bold", size=18)
    doc.write(
        doc.look.left + 70, 748, "Annual Summary and Transmittal of U.S. Information Returns", face="bold", size=11
    )
    doc.write(doc.look.left + 70, 735, "Internal Revenue Service", size=8)
    doc.y = 700
    rows = [
        ("FILER'S name", case.name),
        ("Address", f"{case.street}, {case.town}"),
        ("Employer identification number", case.ein),
        ("Total number of forms", str(case.dice.randrange(1, 20))),
        ("Total amount reported with this form", f"${case.money(900, 90000)}.00"),
        ("Forms sent with it", "1099-NEC"),
    ]
    _lines(doc, rows, 210)
    doc.sign(doc.look.left + 10, doc.y - 40, case.people[1])
    doc.write(doc.look.right - 150, doc.y - 40, f"Date {case.day(case.signed)}", size=9.5)
    distract(doc, case, [(doc.look.right - 90, 240)])
    returned(doc, case, kind, "1096", period=None)


@layout("sales of business property", "held", (Kind.ASSET_SALE_FORM,), ("plain", "roman"), born=0.2)
def property_sales(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 4797."""
    doc.middle(745, "Form 4797: Sales of Business Property", size=14)
    doc.middle(
        731, "(also involuntary conversions and recapture amounts) Internal Revenue Service", face="regular", size=8
    )
    doc.y = 700
    _lines(doc, [("Name(s) shown on return", case.name), ("Identifying number", case.ein)], 160)
    doc.skip(14)
    for thing in case.dice.sample(words()["goods"], 4):
        doc.write(doc.look.left, doc.y, thing, size=9.5)
        doc.write(doc.look.left + 190, doc.y, f"acquired {case.day(case.formed)}", size=9)
        doc.write(doc.look.left + 330, doc.y, f"sold {case.day(case.decided)}", size=9)
        doc.write(doc.look.right, doc.y, case.money(100, 9000), size=9.5, align="right")
        doc.skip(22)
    returned(doc, case, kind, "4797", period=None, signed=False)


@layout("declaration of mailing", "held", (Kind.MAILING_PROOF,), ("roman", "broad"))
def mailing_declaration(doc: Doc, case: Case, kind: Kind) -> None:
    """A sworn word that notices went out by certified mail, with the receipt's numbers."""
    doc.y = 725
    doc.title(case.pick("Declaration of Mailing", "Affidavit of Mailing"), 16)
    doc.title(f"in the matter of {case.name}", 11, "italic")
    doc.skip(14)
    doc.prose(sentences("declaration of mailing", "body", case), gap=1.0)
    doc.para(f"Certified mail receipt 7019 {case.dice.randrange(1000, 9999)} 0000 {case.dice.randrange(1000, 9999)}")
    doc.sign(doc.look.left + 220, doc.y - 40, case.people[1])
    doc.rule(doc.y - 46, doc.look.left + 210, doc.look.right)
    doc.write(doc.look.left + 210, doc.y - 58, f"{case.people[1]}, {case.day(case.signed)}", size=10)
    distract(doc, case, [(doc.look.left + 100, 160)])
    letter(doc, case, kind, case.signed)


@layout("ledger of last payments", "held", (Kind.DISTRIBUTION_RECORD,), ("typewriter", "plain"))
def last_payments(doc: Doc, case: Case, kind: Kind) -> None:
    """A typed ledger of what the members were paid."""
    doc.y = 735
    doc.title("LIQUIDATING DISTRIBUTIONS", 14, align="left")
    doc.para(f"Company: {case.name}", gap=0.2)
    doc.prose(sentences("ledger of last payments", "body", case))
    for name in case.people:
        check = f"check {case.dice.randrange(1000, 9999)}"
        doc.para(f"{case.day(case.decided)}   {name}   {check}   ${case.money(500, 40000)}.00", gap=0.3)
    doc.sign(doc.look.left + 10, doc.y - 40, case.people[0])
    doc.write(doc.look.left, doc.y - 58, f"{case.people[0]}, member. Signed {case.day(case.signed)}")
    letter(doc, case, kind, case.signed)


@layout("statement of what is left", "held", (Kind.CLOSING_BALANCE_SHEET,), ("roman", "broad"))
def what_is_left(doc: Doc, case: Case, kind: Kind) -> None:
    """A balance sheet after liquidation, by an accountant."""
    doc.write(doc.look.left, 745, case.dice.choice(words()["firms"]), face="italic")
    doc.y = 710
    doc.title("BALANCE SHEET AFTER LIQUIDATION", 14, align="left")
    doc.para(f"{case.name}", face="bold", gap=0.2)
    doc.para(f"At the close of business on {case.day(case.ended)}")
    for text in (
        "Cash in bank",
        "Receivables",
        "Property",
        "TOTAL ASSETS",
        "Debts",
        "Capital of members",
        "TOTAL LIABILITIES AND EQUITY",
    ):
        doc.write(doc.look.left, doc.y, text)
        doc.write(doc.look.left + 330, doc.y, "$ 0", align="right")
        doc.skip(20)
    doc.prose(sentences("statement of what is left", "body", case))
    doc.para(f"{case.day(case.signed)}")
    letter(doc, case, kind, case.signed, period_end=case.ended.isoformat())
    doc.unjudged = ("period_end",)
