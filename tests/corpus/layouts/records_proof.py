"""What is kept of wages, payments, things and money at the end: the layouts for reported figures."""

from quietus.model.kinds import Authority, Kind
from tests.corpus.doc import Doc
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import table
from tests.corpus.layouts.common_proof import arrived, hand, letterhead, proof
from tests.corpus.layouts.returns_common import IRS, returned


@proof("two wage statements on a sheet", (Kind.WAGE_STATEMENT,), ("gothic", "narrow", "plain"), born=0.2)
def wage_two_up(doc: Doc, case: Case, kind: Kind) -> None:
    """Form W-2, two copies for one employee on one sheet."""
    left, right = doc.look.left, doc.look.right
    wide = (right - left) / 2
    labels = (
        "1 Wages, tips, other comp.",
        "2 Federal income tax withheld",
        "3 Social security wages",
        "4 SS tax withheld",
    )
    sums = [(label, f"{case.money(200, 60000)}.{case.dice.randrange(100):02d}") for label in labels]
    facts = [("Employer ID number (EIN)", case.ein), ("Employer's name", case.name), ("Employee", case.people[0])]
    for top, copy in (
        (744.0, "Copy B, for the employee's federal return"),
        (400.0, "Copy C, for the employee's records"),
    ):
        doc.write(left, top, f"W-2 Wage and Tax Statement {case.ended.year}", face="bold", size=12)
        doc.write(right, top, copy, size=8, align="right")
        for number, (label, value) in enumerate(facts):
            doc.cell(left, top - 46 - 36 * number, wide, 36, label, value, size=10)
        for number, (label, value) in enumerate(sums):
            doc.cell(left + wide, top - 37 - 27 * number, wide, 27, label, value, size=10)
        doc.write(left, top - 132, f"Form W-2   {IRS}", size=7.5)
    returned(doc, case, kind, "W-2", period=None, signed=False)


PAID = (
    ("1099-NEC", "Nonemployee Compensation", "Nonemployee compensation"),
    ("1099-MISC", "Miscellaneous Information", "Rents"),
    ("1099-INT", "Interest Income", "Interest income"),
)


@proof("payments reported", (Kind.INFORMATION_RETURN,), ("gothic", "roman", "plain"), born=0.2)
def payments(doc: Doc, case: Case, kind: Kind) -> None:
    """Forms 1099 as a payer keeps them: its own cells at the left, amounts at the right."""
    left, right = doc.look.left, doc.look.right
    form, what, first = case.dice.choice(PAID)
    doc.write(left, 744, f"{case.ended.year} Form {form}", face="bold", size=14)
    doc.write(left, 730, f"{what}   Copy C for payer", size=9.5)
    half = (right - left) / 2
    rows = (
        ("Payer's name", case.name),
        ("Payer's TIN", case.ein),
        ("Recipient's TIN", "***-**-****"),
        ("Recipient", case.people[1]),
    )
    for number, (label, value) in enumerate(rows):
        doc.cell(left, 684 - 36 * number, half, 36, label, value, size=10)
    doc.cell(left + half, 684, half, 36, f"1 {first}", f"$ {case.money(600, 30000)}.00")
    doc.cell(left + half, 648, half, 36, "4 Federal income tax withheld", "$ 0.00")
    doc.write(left, 562, IRS, size=7.5)
    returned(doc, case, kind, form, period=None, signed=False)


@proof("sale of property or of the business", (Kind.ASSET_SALE_FORM,), ("roman", "gothic", "narrow"), born=0.2)
def sale(doc: Doc, case: Case, kind: Kind) -> None:
    """Forms 4797 and 8594."""
    left, right = doc.look.left, doc.look.right
    form, what = case.dice.choice((("4797", "Sales of Business Property"), ("8594", "Asset Acquisition Statement")))
    doc.write(left, 744, f"Form {form}", face="bold", size=16)
    doc.write(left, 729, IRS, size=7.5)
    doc.write(right, 744, what, face="bold", size=13, align="right")
    doc.write(right, 729, f"{case.ended.year}", size=11, align="right")
    doc.cell(left, 686, 340, 32, "Name shown on return", case.name)
    doc.cell(left + 340, 686, right - left - 340, 32, case.pick("EIN", "Identifying number"), case.ein)
    doc.y = 664
    if form == "8594":
        rows = [
            [f"Class {c}", f"$ {case.money(0, 9000)}", f"$ {case.money(0, 9000)}"]
            for c in ("I", "II", "III", "IV", "V")
        ]
        table(doc, ["Assets", "Fair market value", "Sales price allocated"], rows, [0, 160, 320])
    else:
        bought, sold = f"{case.formed:%m/%d/%y}", f"{case.decided:%m/%d/%y}"
        rows = [[one, bought, sold, case.money(50, 9000)] for one in case.dice.sample(words()["goods"], 4)]
        table(doc, ["Description of property", "Date acquired", "Date sold", "Gross price"], rows, [0, 190, 290, 390])
    returned(doc, case, kind, form, period=None, signed=False)


@proof("bill of sale, as is", (Kind.ASSET_DISPOSITION,), ("roman", "press", "typewriter"))
def bill_of_sale(doc: Doc, case: Case, kind: Kind) -> None:
    """The company sells what it has left."""
    doc.y = 734
    doc.title(case.pick("BILL OF SALE", "Bill of Sale and Assignment of Assets"), 16)
    doc.skip(16)
    buyer = case.dice.choice(words()["buyers"][:2])
    doc.para(f'For ${case.money(400, 30000)} paid by {buyer} ("Buyer"), {case.name} ("Seller") sells to Buyer, as is:')
    for thing in case.dice.sample(words()["goods"], 4):
        doc.para(f"-  {thing}", x=doc.look.left + 26, gap=0.2)
    doc.skip(8)
    doc.para(
        f"Seller is winding up. This sale is part of the disposition of its assets. Dated {case.day(case.signed)}."
    )
    doc.para("Seller owns the property free of liens and will defend its title.")
    doc.skip(40)
    hand(doc, case, doc.look.left + 200, case.people[0], "Manager, for Seller")
    arrived(doc, case, (doc.look.left + 110, 150))
    letter(doc, case, kind, case.signed)


@proof("member's receipt", (Kind.DISTRIBUTION_RECORD,), ("gothic", "roman", "broad"))
def receipt(doc: Doc, case: Case, kind: Kind) -> None:
    """A member acknowledges what was paid out at the end."""
    letterhead(doc, case, [case.name, case.street, case.town])
    doc.skip(26)
    doc.title(case.pick("RECEIPT FOR LIQUIDATING DISTRIBUTION", "Record of Final Distribution to Member"), 14)
    doc.skip(10)
    rows = [
        ["Member", case.people[1]],
        ["Interest", f"{case.dice.choice((10, 25, 33, 50, 100))} %"],
        ["Amount distributed", f"${case.money(500, 60000)}.00"],
        ["How paid", case.pick("Company check", "Wire transfer", "Cashier's check")],
    ]
    table(doc, ["Distribution", ""], rows, [0, 170], pitch=22)
    doc.skip(6)
    doc.para("I received this amount as the full distribution due to me on the liquidation of the company.")
    doc.skip(36)
    hand(doc, case, doc.look.left, case.people[1], "Member", day_x=doc.look.right - 130)
    letter(doc, case, kind, case.signed)


@proof("final balance, unaudited", (Kind.CLOSING_BALANCE_SHEET,), ("gothic", "plain", "roman"))
def balance(doc: Doc, case: Case, kind: Kind) -> None:
    """An accountant's page with two halves that agree."""
    left, right = doc.look.left, doc.look.right
    doc.y = 736
    doc.title(case.name, 13)
    doc.title(case.pick("CLOSING BALANCE SHEET", "Final Balance Sheet on Liquidation"), 13)
    doc.title(case.day(case.ended), 10.5, "regular")
    doc.skip(20)
    cash = case.dice.choice((0, case.dice.randrange(200, 9000)))
    for text, amount in (
        ("Assets", None),
        ("Cash in bank", cash),
        ("Equipment, net", 0),
        ("Total assets", cash),
        ("Liabilities and members' equity", None),
        ("Accounts payable", 0),
        ("Capital accounts", cash),
        ("Total liabilities and equity", cash),
    ):
        head = amount is None or text.startswith("Total")
        doc.write(left + (0 if head else 22), doc.y, text, face="bold" if head else "regular")
        doc.write(right - 20, doc.y, "" if amount is None else f"$ {amount:,}", align="right")
        doc.skip(21)
    doc.para("Unaudited. Prepared from the books of the company on the tax basis.", size=8.5, face="italic")
    doc.truth |= {"kind": kind.value, "entity_name": case.name, "authority": Authority.PLAIN.value}
    doc.unjudged = ("period_end", "signed_date")  # the day of a balance sheet is a period's end to some
