"""What is kept of wages, payments, sales, mail and money when a company ends: the layouts for tuning."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter, sentences
from tests.corpus.layouts.company_tune import signatures
from tests.corpus.layouts.registry import layout
from tests.corpus.layouts.returns_common import IRS, returned


@layout("wage and tax statement", "tune", (Kind.WAGE_STATEMENT,), ("narrow", "gothic"), born=0.2)
def wage_statement(doc: Doc, case: Case, kind: Kind) -> None:
    """Form W-2, one sheet for one employee."""
    left, wide = doc.look.left, doc.look.right - doc.look.left
    half = wide / 2
    doc.write(left, 745, f"Form W-2   Wage and Tax Statement   {case.ended.year}", face="bold", size=13)
    doc.write(left, 731, IRS, size=8)
    doc.cell(left, 690, half, 32, "b  Employer identification number (EIN)", case.ein)
    doc.cell(left, 640, half, 50, "c  Employer's name, address, and ZIP code", case.name)
    doc.write(left + 5, 634, f"{case.street}, {case.town}", size=8.5)
    doc.cell(left, 580, half, 50, "e  Employee's name and address", case.people[1])
    labels = (
        "1  Wages, tips, other",
        "2  Federal income tax withheld",
        "3  Social security wages",
        "5  Medicare wages",
    )
    for number, label in enumerate(labels):
        doc.cell(
            left + half,
            690 - 36.0 * number,
            half,
            32,
            label,
            f"{case.money(900, 60000)}.{case.dice.randrange(100):02d}",
        )
    doc.write(left, 555, "Copy B - to be filed with the employee's federal tax return", size=9)
    returned(doc, case, kind, "W-2", period=None, signed=False)


@layout("payments to contractors", "tune", (Kind.INFORMATION_RETURN,), ("narrow", "gothic"), born=0.2)
def contractor_payments(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 1099-NEC."""
    left, wide = doc.look.left, doc.look.right - doc.look.left
    half = wide / 2
    doc.write(left, 745, "Form 1099-NEC", face="bold", size=14)
    doc.write(left, 730, f"Nonemployee Compensation for calendar year {case.ended.year}", size=10)
    doc.write(left, 717, IRS, size=8)
    doc.cell(left, 650, half, 56, "PAYER'S name, street address, city", case.name)
    doc.write(left + 5, 642, f"{case.street}, {case.town}", size=8.5)
    doc.cell(left, 600, half, 32, "PAYER'S TIN", case.ein)
    doc.cell(left, 560, half, 36, "RECIPIENT'S name", case.people[0])
    doc.cell(left + half, 670, half, 36, "1  Nonemployee compensation", f"$ {case.money(700, 20000)}.00")
    doc.cell(left + half, 630, half, 36, "4  Federal income tax withheld", "$ 0.00")
    returned(doc, case, kind, "1099-NEC", period=None, signed=False)


@layout("asset acquisition statement", "tune", (Kind.ASSET_SALE_FORM,), ("narrow", "gothic"), born=0.2)
def acquisition(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 8594."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 744, "Form 8594", face="bold", size=16)
    doc.middle(730, "Asset Acquisition Statement Under Section 1060", size=12)
    doc.middle(716, IRS, face="regular", size=8)
    doc.cell(left, 676, (right - left) * 0.62, 30, "Name as shown on return", case.name)
    doc.cell(left + (right - left) * 0.62, 676, (right - left) * 0.38, 30, "Identifying number", case.ein)
    doc.y = 650
    rows = [
        ("Name of the other party to the transaction", case.dice.choice(words()["buyers"][:2])),
        ("Date of sale", case.day(case.decided)),
        ("Total sales price (consideration)", f"${case.money(9000, 90000)}"),
    ]
    doc.pairs(rows, left + 260, face="regular", pitch=2.0)
    for number in range(1, 5):
        doc.write(left, doc.y, f"Class {('I', 'II', 'III', 'V')[number - 1]} assets, fair market value")
        doc.write(right - 4, doc.y, f"${case.money(10, 9000)}", align="right")
        doc.skip(20)
    distract(doc, case, [(right - 90, 200)])
    returned(doc, case, kind, "8594", period=None, signed=False)


@layout("certificate of mailing", "tune", (Kind.MAILING_PROOF,), ("gothic", "typewriter"))
def mailing_certificate(doc: Doc, case: Case, kind: Kind) -> None:
    """Somebody certifies what was mailed, to whom and when."""
    doc.y = 730
    doc.title(case.pick("CERTIFICATE OF MAILING", "PROOF OF SERVICE BY MAIL"), 15)
    doc.skip(12)
    doc.prose(sentences("certificate of mailing", "body", case), gap=0.9)
    for number, name in enumerate(words()["buyers"][:2]):
        doc.write(
            doc.look.left + 14, doc.y, f"{name}    article 9407 1000 {case.dice.randrange(1000, 9999)} {number:02d}"
        )
        doc.skip(18)
    doc.skip(36)
    doc.sign(doc.look.left + 8, doc.y + 4, case.people[0])
    doc.rule(doc.y, doc.look.left, doc.look.left + 200)
    doc.write(doc.look.left, doc.y - 12, f"{case.people[0]}    Dated: {case.day(case.signed)}", size=10)
    letter(doc, case, kind, case.signed)


@layout("distributions to members", "tune", (Kind.DISTRIBUTION_RECORD,), ("roman", "gothic"))
def distributions(doc: Doc, case: Case, kind: Kind) -> None:
    """Who got what at the end, in a table, signed by all."""
    doc.y = 735
    doc.title("RECORD OF FINAL DISTRIBUTIONS TO MEMBERS", 14)
    doc.title(case.name, 11)
    doc.skip(12)
    doc.prose(sentences("distributions to members", "body", case))
    for name in case.people:
        doc.write(doc.look.left, doc.y, f"{name}, 50 percent")
        doc.write(
            doc.look.right, doc.y, f"${case.money(500, 40000)}.00    paid {case.day(case.decided)}", align="right"
        )
        doc.skip(22)
    signatures(doc, case, "Member")
    letter(doc, case, kind, case.signed)


@layout("balance sheet at the end", "tune", (Kind.CLOSING_BALANCE_SHEET,), ("gothic", "narrow"))
def balance_sheet(doc: Doc, case: Case, kind: Kind) -> None:
    """Assets and liabilities on the last day, all of them nothing."""
    doc.y = 735
    doc.title(case.name, 14)
    doc.title(case.pick("Closing Balance Sheet", "Final Balance Sheet"), 13)
    doc.title(f"as of {case.day(case.ended)}", 11, "regular")
    doc.skip(16)
    for text in (
        "Cash",
        "Accounts receivable",
        "Equipment, net",
        "Total assets",
        "Accounts payable",
        "Members' equity",
    ):
        doc.write(doc.look.left + 10, doc.y, text, face="bold" if "Total" in text else "regular")
        doc.write(doc.look.right - 10, doc.y, "0.00", align="right")
        doc.rule(doc.y - 5, weight=0.3)
        doc.skip(22)
    doc.para(f"Prepared by {case.people[1]} on {case.day(case.signed)} from the books of the company.")
    letter(doc, case, kind, case.signed, period_end=case.ended.isoformat())
    doc.unjudged = ("period_end",)
