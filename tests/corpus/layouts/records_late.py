"""What is kept of things, money, wages and payments when a company ends: the layouts written last."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import GOODS, late, signed_line, table
from tests.corpus.layouts.returns_common import returned


@late("log of assets", (Kind.ASSET_DISPOSITION,), ("narrow", "gothic", "plain"))
def asset_log(doc: Doc, case: Case, kind: Kind) -> None:
    """A table of five columns: what, cost, how it went, when and for how much."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 744, case.name, face="bold", size=12)
    doc.y = 722
    doc.title(case.pick("ASSET DISPOSITION LOG", "Disposition of Assets on Winding Up"), 14, align="left")
    doc.skip(6)
    rows = []
    for number, thing in enumerate(case.dice.sample(GOODS, 6)):
        how = case.pick("Sold", "Sold at auction", "To member", "Scrapped")
        money = "0" if how == "Scrapped" else case.money(40, 9000)
        rows.append([f"A-{number + 1:02d}", thing, how, f"{case.decided:%m/%d/%Y}", f"${money}"])
    table(doc, ["Tag", "Description", "Disposition", "Date", "Proceeds"], rows, [0, 46, 210, 310, 390], pitch=23)
    doc.skip(8)
    doc.para("All proceeds were deposited in the company's operating account and applied to the debts of the company.")
    doc.skip(24)
    doc.write(left + 260, doc.y + 2, f"Prepared {case.day(case.signed)}", size=10)
    signed_line(doc, case, left, case.people[0], "Manager", width=220)
    distract(doc, case, [(right - 90, 200)])
    letter(doc, case, kind, case.signed)


@late("memo on equipment", (Kind.ASSET_DISPOSITION,), ("typewriter", "roman", "broad"))
def equipment_memo(doc: Doc, case: Case, kind: Kind) -> None:
    """A memo for the file."""
    left = doc.look.left
    doc.y = 738
    doc.title("MEMORANDUM TO FILE", 13, align="left")
    doc.pairs(
        [
            ("Company:", case.name),
            ("Date:", case.day(case.signed)),
            ("Subject:", "Record of disposition of assets"),
        ],
        left + 90,
    )
    doc.rule(doc.y + 4)
    doc.skip(14)
    first, second, third = case.dice.sample(GOODS, 3)
    doc.para(
        f"1. {first}: sold on {case.day(case.decided)} to an unrelated buyer for ${case.money(200, 9000)}.", gap=0.5
    )
    doc.para(f"2. {second}: distributed in kind to {case.people[1]} at fair market value.", gap=0.5)
    doc.para(f"3. {third}: donated; no proceeds.")
    doc.para("The company holds no other tangible property, and no title remains to be transferred.")
    doc.skip(24)
    signed_line(doc, case, left, case.people[0], "Managing Member", width=220)
    letter(doc, case, kind, case.signed)


@late("schedule of liquidating distributions", (Kind.DISTRIBUTION_RECORD,), ("gothic", "plain", "roman"))
def distributions(doc: Doc, case: Case, kind: Kind) -> None:
    """Cash on hand, reserves and each member's share, in a table."""
    left = doc.look.left
    doc.y = 740
    doc.title(case.name, 13, align="left")
    doc.title("Schedule of Liquidating Distributions to Members", 13, align="left")
    doc.skip(6)
    share = case.dice.choice((40, 50, 55))
    total = case.dice.randrange(4000, 90000)
    rows = [
        [who, f"{part}%", f"${total * part // 100:,}", f"{case.decided:%m/%d/%Y}", f"{case.dice.randrange(1000, 3000)}"]
        for who, part in zip(case.people, (share, 100 - share), strict=True)
    ]
    table(doc, ["Member", "Percent", "Amount", "Paid", "Check"], rows, [0, 170, 240, 320, 400], pitch=24)
    doc.skip(6)
    doc.para(
        "The distributions were made after payment of, or provision for, all creditors and are in complete"
        " liquidation of each member's interest."
    )
    doc.skip(24)
    doc.write(left + 260, doc.y + 2, f"Date: {case.day(case.signed)}", size=10)
    signed_line(doc, case, left, case.people[0], "Manager", width=220)
    letter(doc, case, kind, case.signed)


@late("balance from the books", (Kind.CLOSING_BALANCE_SHEET,), ("gothic", "narrow", "broad"))
def from_books(doc: Doc, case: Case, kind: Kind) -> None:
    """A balance sheet printed by bookkeeping software, indented, with a time of printing."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 752, f"{case.dice.randrange(1, 12)}:{case.dice.randrange(10, 59)} PM", size=8)
    doc.write(left, 741, "Accrual Basis", size=8)
    doc.middle(738, case.name, size=13)
    doc.middle(722, case.pick("Closing Balance Sheet", "Final Balance Sheet"), size=12)
    doc.middle(708, f"As of {case.day(case.ended)}", face="regular", size=10)
    doc.y = 676
    cash = case.dice.choice((0, 0, case.dice.randrange(100, 9000)))
    for indent, text, amount in (
        (0, "ASSETS", None),
        (1, "Current Assets", None),
        (2, "Checking", cash),
        (2, "Accounts Receivable", 0),
        (1, "Total Current Assets", cash),
        (0, "TOTAL ASSETS", cash),
        (0, "LIABILITIES & EQUITY", None),
        (1, "Liabilities", None),
        (2, "Accounts Payable", 0),
        (1, "Total Liabilities", 0),
        (1, "Equity", None),
        (2, "Members' Equity", cash),
        (0, "TOTAL LIABILITIES & EQUITY", cash),
    ):
        doc.write(left + 60 + 16 * indent, doc.y, text, face="bold" if not indent else "regular", size=10)
        if amount is not None:
            doc.write(right - 80, doc.y, f"{amount:,}.00", size=10, align="right")
        doc.skip(18)
    doc.truth |= {
        "kind": kind.value,
        "entity_name": case.name,
        "period_end": case.ended.isoformat(),
        "authority": "plain copy",
    }
    doc.unjudged = ("period_end",)  # the day of a balance sheet is a period's end to some


@late("wage statement in boxes", (Kind.WAGE_STATEMENT,), ("gothic", "narrow"), born=0.2)
def wage_boxes(doc: Doc, case: Case, kind: Kind) -> None:
    """Form W-2 as lettered and numbered boxes."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) / 2
    doc.cell(left, 712, half, 30, "b  Employer identification number (EIN)", case.ein)
    doc.cell(left, 652, half, 60, "c  Employer's name, address, and ZIP code", case.name, size=10)
    doc.write(left + 5, 640, f"{case.street}, {case.town}", size=8.5)
    doc.cell(left, 574, half, 56, "e  Employee's name", case.people[0], size=10)
    names = (
        "1  Wages, tips, other compensation",
        "2  Federal income tax withheld",
        "3  Social security wages",
        "4  Social security tax withheld",
        "5  Medicare wages and tips",
        "6  Medicare tax withheld",
    )
    for number, name in enumerate(names):
        x = left + half + (half / 2) * (number % 2)
        doc.cell(x, 712 - 30 * (number // 2), half / 2, 30, name, f"{case.money(300, 60000)}.00", size=9.5)
    doc.write(left, 552, f"Form W-2  Wage and Tax Statement   {case.ended.year}", face="bold", size=13)
    doc.write(right, 552, "Department of the Treasury - Internal Revenue Service", size=7.5, align="right")
    doc.write(
        left, 540, case.pick("Copy D - For Employer", "Copy B - To Be Filed With Employee's FEDERAL Tax Return"), size=8
    )
    returned(doc, case, kind, "W-2", period=None, signed=False)


@late("contractor's payments", (Kind.INFORMATION_RETURN,), ("gothic", "roman"), born=0.2)
def contractor(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 1099-NEC or 1099-MISC as boxes, the title at the right."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) * 0.55
    form, what = case.dice.choice(
        (("1099-NEC", "Nonemployee Compensation"), ("1099-MISC", "Miscellaneous Information"))
    )
    doc.cell(left, 690, half, 58, "PAYER'S name, street address, city or town, state, ZIP code", case.name, size=10)
    doc.write(left + 5, 678, f"{case.street}, {case.town}", size=8.5)
    doc.cell(left, 644, half / 2, 30, "PAYER'S TIN", case.ein, size=10)
    doc.cell(left + half / 2, 644, half / 2, 30, "RECIPIENT'S TIN", "XXX-XX-XXXX", size=10)
    doc.cell(left, 600, half, 44, "RECIPIENT'S name", case.people[0], size=10)
    doc.cell(
        left + half,
        644,
        right - left - half,
        30,
        "1  Nonemployee compensation" if form == "1099-NEC" else "1  Rents",
        f"$ {case.money(600, 40000)}.00",
        size=10,
    )
    doc.write(left + half + 10, 730, f"Form {form}", face="bold", size=13)
    doc.write(left + half + 10, 714, f"For calendar year {case.ended.year}", size=9)
    doc.write(left + half + 10, 700, what, face="bold", size=10)
    doc.write(left, 586, "Department of the Treasury - Internal Revenue Service", size=7.5)
    returned(doc, case, kind, form, period=None, signed=False)


@late("sale of business assets", (Kind.ASSET_SALE_FORM,), ("gothic", "roman", "plain"), born=0.2)
def asset_sale(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 8594 or 4797 with parts under dark bars."""
    left, right = doc.look.left, doc.look.right
    form, what = case.dice.choice(
        (("8594", "Asset Acquisition Statement Under Section 1060"), ("4797", "Sales of Business Property"))
    )
    doc.write(left, 744, "Form", size=8)
    doc.write(left + 24, 742, form, face="bold", size=18)
    doc.middle(744, what, size=13)
    doc.middle(730, "Attach to your income tax return.", face="regular", size=8)
    doc.write(left, 728, "Internal Revenue Service", size=7)
    doc.cell(left, 692, (right - left) * 0.68, 28, "Name as shown on return", case.name, size=10)
    doc.cell(left + (right - left) * 0.68, 692, (right - left) * 0.32, 28, "Identifying number", case.ein, size=10)
    doc.y = 672
    doc.frame(left, doc.y - 4, right - left, 15, shade=0.2, weight=0)
    doc.write(left + 4, doc.y, "Part I", face="bold", size=9, gray=1.0)
    doc.skip(22)
    rows = [
        [thing, f"{case.formed:%m/%d/%Y}", f"{case.decided:%m/%d/%Y}", case.money(90, 9000)]
        for thing in case.dice.sample(GOODS, 4)
    ]
    table(doc, ["(a) Description", "(b) Acquired", "(c) Sold", "(d) Amount"], rows, [0, 220, 310, 400])
    returned(doc, case, kind, form, period=None, signed=False)
