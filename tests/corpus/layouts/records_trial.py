"""What is kept of things, money, wages and payments when a company ends: the split `trial`."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import table
from tests.corpus.layouts.common_trial import hand, head, lines, trial
from tests.corpus.layouts.returns_common import returned

_TREASURY = "Department of the Treasury - Internal Revenue Service"


def _grid(doc: Doc, case: Case, x: float, y: float, wide: float, names: tuple[str, ...]) -> None:
    """Small numbered boxes in two columns, an amount in most."""
    for number, name in enumerate(names):
        amount = f"{case.money(200, 50000)}.{case.dice.randrange(100):02d}" if case.chance(0.85) else ""
        doc.cell(x + wide / 2 * (number % 2), y - 28 * (number // 2), wide / 2, 28, name, amount, size=9.5)


@trial("wages of an employee", (Kind.WAGE_STATEMENT,), ("gothic", "narrow", "plain"), born=0.2)
def wages_of(doc: Doc, case: Case, kind: Kind) -> None:
    """Form W-2 on the upper half of a sheet: the title over the boxes."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) * 0.5
    doc.write(left, 740, f"{case.ended.year}   W-2   Wage and Tax Statement", face="bold", size=14)
    doc.write(left, 727, f"{_TREASURY}    {case.pick('Copy C, for employee records', 'Copy 1, for the state')}", size=8)
    doc.cell(left, 690, half, 28, "a  Employee's social security number", "XXX-XX-XXXX", size=10)
    doc.cell(left, 662, half, 28, "b  Employer identification number (EIN)", case.ein, size=10)
    doc.cell(left, 620, half, 42, "c  Employer's name, address and ZIP code", "")
    lines(doc, left + 5, 638, (case.name, f"{case.street}, {case.town}"), size=8.5)
    doc.cell(left, 578, half, 42, "e/f  Employee's name and address", case.people[1], size=10)
    names = ("1  Wages, tips, other comp.", "2  Federal tax withheld", "3  Soc. sec. wages", "4  Soc. sec. tax")
    more = ("5  Medicare wages", "6  Medicare tax", "16  State wages", "17  State income tax")
    _grid(doc, case, left + half, 690, right - left - half, (*names, *more))
    returned(doc, case, kind, "W-2", period=None, signed=False)


@trial("payee statement", (Kind.INFORMATION_RETURN,), ("gothic", "roman", "narrow"), born=0.2)
def payee(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 1099-NEC, -MISC or -INT: the title in the middle, payer and payee stacked at the left."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) * 0.52
    form, what = case.dice.choice(
        (
            ("1099-NEC", "Nonemployee Compensation"),
            ("1099-MISC", "Miscellaneous Information"),
            ("1099-INT", "Interest Income"),
        )
    )
    doc.middle(742, f"Form {form}   {what}   {case.ended.year}", size=14)
    doc.middle(728, f"{_TREASURY}   Copy {case.pick('B', 'C')}", face="regular", size=8)
    doc.cell(left, 672, half, 46, "PAYER'S name and address", "")
    lines(doc, left + 5, 690, (case.name, f"{case.street}, {case.town}"), size=8.5)
    doc.cell(left, 644, half, 28, "PAYER'S TIN", case.ein, size=10)
    doc.cell(left, 616, half, 28, "RECIPIENT'S TIN", f"XXX-XX-{case.dice.randrange(1000, 9999)}", size=10)
    doc.cell(left, 584, half, 32, "RECIPIENT'S name", case.people[1], size=10)
    first = {"NEC": "1  Nonemployee compensation", "MISC": "1  Rents", "INT": "1  Interest income"}[form[5:]]
    _grid(
        doc,
        case,
        left + half,
        690,
        right - left - half,
        (first, "4  Federal tax withheld", "5  State tax", "7  State income"),
    )
    returned(doc, case, kind, form, period=None, signed=False)


@trial("form on sold assets", (Kind.ASSET_SALE_FORM,), ("gothic", "roman", "plain"), born=0.2)
def sold(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 8594 as questions with a class table, or Form 4797 as a list."""
    left, right = doc.look.left, doc.look.right
    doc.rule(724, weight=1.4)
    if case.chance(0.5):
        form, title = "8594", "Asset Acquisition Statement"
        rows = [
            [f"Class {one}", f"$ {case.money()}", f"$ {case.money()}"] for one in ("I", "II", "III", "V", "VI and VII")
        ]
        heads = ["Assets", "Fair market value", "Allocation of price"]
        stops = [0.0, 160.0, 320.0]
    else:
        form, title = "4797", "Sales of Business Property"
        rows = [[x, f"{case.decided:%m/%d/%Y}", f"$ {case.money()}"] for x in case.dice.sample(words()["goods"], 4)]
        heads = ["Description of property", "Date sold", "Gross sales price"]
        stops = [0.0, 240.0, 340.0]
    doc.write(left, 732, f"Form {form}", face="bold", size=17)
    doc.write(right, 740, title, face="bold", size=13, align="right")
    doc.write(right, 728, _TREASURY, size=8, align="right")
    doc.blank(left, 692, right - 150, "Name(s) shown on return", case.name, size=10.5)
    doc.blank(right - 140, 692, right, "Identifying number", case.ein, size=10.5)
    doc.y = 656
    table(doc, heads, rows, stops, pitch=22)
    doc.skip(6)
    doc.para("Attach this form to the income tax return of the seller for the year of the sale.", size=9)
    returned(doc, case, kind, form, period=None, signed=False)


@trial("bill of sale", (Kind.ASSET_DISPOSITION,), ("roman", "typewriter", "press"))
def bill_of_sale(doc: Doc, case: Case, kind: Kind) -> None:
    """A bill of sale by which a company in liquidation sells its equipment."""
    left, right = doc.look.left, doc.look.right
    buyer = case.dice.choice(words()["buyers"][:2])
    doc.y = 736
    doc.title(case.pick("BILL OF SALE", "BILL OF SALE AND RECEIPT"), 16)
    doc.skip(10)
    doc.para(
        f"{case.name} (Seller), which is liquidating its assets, sells and delivers the following property to {buyer}"
        f" (Buyer) for ${case.money(900, 60000)}.00, receipt of which Seller acknowledges:"
    )
    for number, thing in enumerate(case.dice.sample(words()["goods"], 4), start=1):
        doc.para(f"{number}. {thing}", x=left + 30, gap=0.3)
    doc.skip(8)
    doc.para("Seller owns the property free of liens. It is sold as is, where is, without warranty of any kind.")
    doc.para(f"Executed {case.pick('on', 'as of')} {case.day(case.signed)}.")
    hand(doc, case, left, case.people[0], "for Seller")
    distract(doc, case, [(right - 100, 150)])
    letter(doc, case, kind, case.signed)


@trial("receipt of a last distribution", (Kind.DISTRIBUTION_RECORD,), ("roman", "gothic", "plain"))
def last_distribution(doc: Doc, case: Case, kind: Kind) -> None:
    """Members acknowledge what each was paid on liquidation."""
    left = doc.look.left
    doc.write(left, 742, case.name, face="bold", size=12)
    doc.y = 714
    doc.title(case.pick("Receipt for Final Distribution", "RECORD OF LIQUIDATING DISTRIBUTIONS"), 14, align="left")
    doc.skip(4)
    doc.para("After its creditors were paid, the company divided its remaining cash among its members as shown.")
    rows = [[who, f"$ {case.money(500, 90000)}", case.pick("Check", "Wire")] for who in case.people]
    table(doc, ["Member", "Amount received", "Paid by"], rows, [0, 220, 360], pitch=24)
    doc.skip(6)
    doc.para("Each member accepts the payment in full for the member's interest and releases the company.")
    hand(doc, case, left, case.people[0], "", dated=case.signed)
    hand(doc, case, left, case.people[1], "", dated=case.signed)
    letter(doc, case, kind, case.signed)


@trial("two sides of a balance", (Kind.CLOSING_BALANCE_SHEET,), ("gothic", "roman", "narrow"))
def two_sides(doc: Doc, case: Case, kind: Kind) -> None:
    """A last balance sheet in account form: assets at the left, claims at the right."""
    left, right = doc.look.left, doc.look.right
    middle = (left + right) / 2
    name = case.pick("Final Balance Sheet", "Liquidation Balance Sheet", "Closing Balance Sheet")
    head(doc, (case.name, name, f"at {case.day(case.ended)}"), align="centre")
    cash = case.dice.choice((0, case.dice.randrange(50, 7000)))
    doc.pen.setLineWidth(0.8)
    doc.pen.line(middle, 690, middle, 560)
    sides = (
        (left, ("Cash in bank", "Receivables", "Equipment, net", "Total assets"), (cash, 0, 0, cash)),
        (middle + 12, ("Accounts payable", "Taxes payable", "Members' capital", "Total"), (0, 0, cash, cash)),
    )
    for x, names, amounts in sides:
        doc.write(x, 692, "ASSETS" if x == left else "LIABILITIES AND CAPITAL", face="bold", size=10)
        for number, (text, amount) in enumerate(zip(names, amounts, strict=True)):
            y = 668 - 24.0 * number
            doc.write(x, y, text, face="bold" if number == 3 else "regular", size=10)
            doc.write(x + (right - left) / 2 - 30, y, f"{amount:,}" if amount else "-", size=10, align="right")
    lines(doc, left, 530, (f"Prepared from the records of the company by {case.people[1]}, unaudited.",))
    doc.truth |= {"kind": kind.value, "entity_name": case.name, "authority": "plain copy"}
    doc.unjudged = ("period_end", "signed_date")  # the day of a balance is a period's end to some
