"""What the layouts of returns share: which form it is, lines of amounts, and what is true of it."""

from datetime import date, timedelta

from quietus.model.kinds import Authority, Kind
from tests.corpus.doc import Doc
from tests.corpus.invent import Case

IRS = "Department of the Treasury, Internal Revenue Service"
FEDERAL = (
    ("1065", "U.S. Return of Partnership Income"),
    ("1065", "U.S. Return of Partnership Income"),
    ("1120-S", "U.S. Income Tax Return for an S Corporation"),
    ("1120", "U.S. Corporation Income Tax Return"),
)
_LINES = (
    "Gross receipts or sales", "Returns and allowances", "Cost of goods sold", "Gross profit", "Other ordinary income",
    "Net gain from property sold", "Other income", "Total income", "Salaries and wages", "Guaranteed payments",
    "Repairs", "Bad debts", "Rent", "Taxes and licenses", "Interest", "Depreciation", "Other deductions",
)  # fmt: skip
_WAGES = (
    "Number of employees who received wages", "Wages, tips and other compensation", "Income tax withheld",
    "Taxable social security wages", "Taxable Medicare wages", "Total before adjustments", "Total deposits",
    "Balance due",
)  # fmt: skip
_SHARES = (
    "Ordinary business income", "Net rental income", "Interest income", "Guaranteed payments", "Distributions",
    "Self-employment earnings",
)  # fmt: skip


def form_of(doc: Doc, case: Case) -> tuple[str, str, str]:
    """The form's number, its title and its agency: federal as often as the place's own; notes the jurisdiction."""
    if case.chance(0.5) or not case.place.returns:
        doc.truth["jurisdiction"] = "US"
        form, title = case.dice.choice(FEDERAL)
        return form, title, IRS
    doc.truth["jurisdiction"] = case.place.code
    form, title = case.dice.choice(case.place.returns)
    if case.place.name not in title and case.chance(0.6):
        title = f"{case.place.name} {title}"
    return form, title, case.place.agency


def amounts(doc: Doc, case: Case, most: int) -> None:
    """Numbered lines with an amount each."""
    right = doc.look.right
    for number, text in enumerate(_LINES[:most], start=1):
        doc.write(doc.look.left, doc.y, f"{number:2d}", size=8.5)
        doc.write(doc.look.left + 22, doc.y, text, size=9)
        doc.write(right - 4, doc.y, case.money(), size=9.5, align="right")
        doc.rule(doc.y - 3, right - 90, right, 0.4)
        doc.skip(16.5)


def wages(doc: Doc, case: Case, most: int) -> None:
    """The lines of an employment return."""
    right = doc.look.right
    for number, text in enumerate(_WAGES[:most], start=1):
        doc.write(doc.look.left, doc.y, f"{number}", face="bold", size=9)
        doc.write(doc.look.left + 22, doc.y, text, size=9)
        doc.write(right - 4, doc.y, f"{case.money()}.{case.dice.randrange(100):02d}", size=9.5, align="right")
        doc.rule(doc.y - 4, right - 110, right, 0.4)
        doc.skip(19)


def shares(doc: Doc, case: Case, entity: str, holder: str) -> None:
    """The parts of a Schedule K-1: who pays out, who is paid, and how much."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) / 2
    doc.cell(left, 630, half, 28, f"{entity}'s employer identification number", case.ein)
    doc.cell(left, 594, half, 36, f"{entity}'s name", case.name)
    doc.cell(left, 558, half, 36, f"{entity}'s address", f"{case.street}, {case.town}")
    doc.cell(left, 522, half, 36, f"{holder}'s name", case.people[0])
    doc.cell(left, 486, half, 36, f"{holder}'s share of profit", f"{case.dice.randrange(5, 95)}.0000 %")
    doc.y = 640
    for number, text in enumerate(_SHARES, start=1):
        doc.write(left + half + 10, doc.y, f"{number}  {text}", size=9)
        doc.write(right - 4, doc.y - 13, case.money(), size=9.5, align="right")
        doc.skip(28)


def quarter_end(case: Case) -> date:
    """Last day of the quarter that `ended` lies in."""
    month = (case.ended.month - 1) // 3 * 3 + 3
    following = date(case.ended.year + month // 12, month % 12 + 1, 1)
    return following - timedelta(1)


def liquidation(case: Case) -> list[tuple[str, str]]:
    """The questions of Form 966 and their answers."""
    return [
        ("Name of corporation", case.name),
        ("Employer identification number", case.ein),
        ("Address", f"{case.street}, {case.town}"),
        ("Type of return", case.pick("1120", "1120-S")),
        ("Place and date of incorporation", f"{case.home.name}, {case.day(case.formed)}"),
        ("Date resolution or plan was adopted", case.day(case.decided)),
        ("Complete or partial liquidation", "Complete"),
        ("Service center where the last return was filed", "Ogden, UT"),
        ("Section of the Code under which it liquidates", case.pick("331", "336")),
    ]


def returned(
    doc: Doc, case: Case, kind: Kind, form: str, *, period: date | str | None = "", signed: bool = True
) -> None:
    """Note what is true of a return. `period` is its last day: `ended` unless another, or None, is given."""
    doc.truth |= {
        "kind": kind.value,
        "entity_name": case.name,
        "ein": case.ein,
        "form": form.removeprefix("Form "),
        "authority": Authority.PLAIN.value,
    }
    doc.truth.setdefault("jurisdiction", "US")
    doc.unjudged = ("file_number",)  # a tax account may pass for one
    last = case.ended if period == "" else period
    if isinstance(last, date):
        doc.truth["period_end"] = last.isoformat()
    if signed:
        doc.truth["signed_date"] = case.signed.isoformat()
