"""Last returns and the forms that go with them: the layouts kept back until tuning was over."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import choices, shape_of
from tests.corpus.layouts.registry import layout
from tests.corpus.layouts.returns_common import amounts, form_of, liquidation, quarter_end, returned, shares, wages

_OATH = "I have examined this return under penalties of perjury; it is true and complete as far as I know."


def _under_oath(doc: Doc, case: Case) -> None:
    doc.skip(6)
    doc.para(_OATH, size=8.5)
    doc.room(50)
    doc.sign(doc.look.left + 10, doc.y - 22, case.people[0])
    doc.rule(doc.y - 26, doc.look.left, doc.look.left + 220, 0.5)
    doc.write(doc.look.left, doc.y - 36, "Signature of a member or officer", size=7)
    doc.write(doc.look.left + 260, doc.y - 22, f"Date {case.day(case.signed)}", size=9.5)


@layout("return, boxes at the foot", "fresh", (Kind.FINAL_RETURN,), ("roman", "plain"), born=0.15)
def foot(doc: Doc, case: Case, kind: Kind) -> None:
    """Name first, sums under it, and the boxes in one row above the oath."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.fitted(left, 746, title, right - left - 90, font=doc.font("bold"), size=13)
    doc.write(right, 746, form if form.startswith("Form") else f"Form {form}", face="bold", size=12, align="right")
    doc.write(left, 732, agency, size=8.5)
    doc.y = 706
    doc.para(f"Legal name: {case.name}", gap=0.3)
    doc.para(f"FEIN: {case.ein}", gap=0.3)
    doc.para(f"Period beginning {case.day(case.ended.replace(month=1, day=1))}, ending {case.day(case.ended)}")
    amounts(doc, case, 12)
    doc.skip(8)
    labels = ["Initial return", "Amended return", "Final return", "Address change"]
    case.dice.shuffle(labels)
    choices(
        doc, case, labels, [(left + 120 * n, doc.y) for n in range(4)], shape_of(doc, case, "square", "paren", "heavy")
    )
    doc.skip(24)
    _under_oath(doc, case)
    distract(doc, case, [(right - 90, 640)])
    returned(doc, case, kind, form)


@layout("return, list at the right", "fresh", (Kind.FINAL_RETURN,), ("gothic", "typewriter", "broad"), born=0.2)
def right_list(doc: Doc, case: Case, kind: Kind) -> None:
    """Cells for the name and number, and a list with the boxes after their words."""
    left = doc.look.left
    form, title, agency = form_of(doc, case)
    doc.middle(748, agency, face="regular", size=9)
    doc.middle(731, title, size=13)
    doc.middle(717, form if form.startswith("Form") else f"Form {form}", face="regular", size=10)
    doc.cell(left, 664, 290, 34, "Name of the company", case.name)
    doc.cell(left, 628, 140, 34, "Federal identification number", case.ein)
    doc.cell(left + 142, 628, 148, 34, "Tax year ended", case.day(case.ended))
    labels = ["First return", "Corrected return", "Final return"]
    choices(
        doc,
        case,
        labels,
        [(left + 318, 684 - 20.0 * n) for n in range(3)],
        shape_of(doc, case, "oval", "bracket"),
        after=case.chance(0.5),
    )
    doc.y = 600
    amounts(doc, case, 15)
    _under_oath(doc, case)
    returned(doc, case, kind, form)


@layout("owner's share", "fresh", (Kind.FINAL_K1,), ("gothic", "plain"), born=0.2)
def owner(doc: Doc, case: Case, kind: Kind) -> None:
    """Schedule K-1 with its boxes at the upper right."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 746, "Schedule K-1 (Form 1065)", face="bold", size=14)
    doc.write(left, 731, "Partner's Share of Income, Deductions, Credits, etc.", size=10)
    doc.write(left, 717, "Department of the Treasury, Internal Revenue Service", size=8)
    doc.write(left, 690, f"Tax year ending {case.day(case.ended)}", size=9.5)
    spots = [(right - 190.0, 746.0), (right - 95.0, 746.0)]
    choices(doc, case, ["Final K-1", "Amended K-1"], spots, shape_of(doc, case, "square", "heavy"))
    shares(doc, case, "Partnership", "Partner")
    returned(doc, case, kind, "1065", signed=False)


@layout("quarter of an employer", "fresh", (Kind.FINAL_EMPLOYMENT_RETURN,), ("plain", "gothic"), born=0.2)
def quarter(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 941 with the boxes in a row under the head."""
    left = doc.look.left
    last = quarter_end(case)
    doc.middle(746, "Form 941: Employer's QUARTERLY Federal Tax Return", size=13)
    doc.middle(732, "Internal Revenue Service", face="regular", size=8)
    doc.y = 706
    doc.para(f"Employer: {case.name}", gap=0.3)
    doc.para(f"Employer identification number: {case.ein}", gap=0.3)
    doc.para(f"Quarter ended: {case.day(last)}")
    labels = ["Final return", "Amended return", "Address change"]
    choices(doc, case, labels, [(left + 130 * n, doc.y) for n in range(3)], shape_of(doc, case, "square", "bracket"))
    doc.skip(30)
    wages(doc, case, 8)
    _under_oath(doc, case)
    returned(doc, case, kind, "941", period=last)


@layout("liquidation notice, in rows", "fresh", (Kind.CORPORATE_LIQUIDATION_NOTICE,), ("gothic", "broad"), born=0.2)
def liquidation_rows(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 966 as rows of questions and answers."""
    doc.write(doc.look.left, 746, "Form 966", face="bold", size=15)
    doc.write(doc.look.left + 90, 746, "Corporate Dissolution or Liquidation", face="bold", size=12)
    doc.y = 712
    doc.pairs(liquidation(case), doc.look.left + 250, face="regular")
    doc.skip(14)
    _under_oath(doc, case)
    returned(doc, case, kind, "966", period=None)


@layout("wages of one person", "fresh", (Kind.WAGE_STATEMENT,), ("roman", "gothic"), born=0.2)
def one_person(doc: Doc, case: Case, kind: Kind) -> None:
    """Form W-2 as a list."""
    doc.write(doc.look.left, 746, f"W-2 Wage and Tax Statement {case.ended.year}", face="bold", size=14)
    doc.y = 716
    rows = [
        ("Employer's name and address", f"{case.name}, {case.street}"),
        ("Employer identification number", case.ein),
        ("Employee's name", case.people[0]),
        ("Wages, tips, other compensation", case.money(9000, 90000)),
        ("Federal income tax withheld", case.money(100, 9000)),
    ]
    doc.pairs(rows, doc.look.left + 220, face="regular")
    returned(doc, case, kind, "W-2", period=None, signed=False)


@layout("payments of a year", "fresh", (Kind.INFORMATION_RETURN,), ("plain", "narrow"), born=0.2)
def payments(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 1099-NEC in two columns."""
    left = doc.look.left
    half = (doc.look.right - left) / 2
    doc.middle(746, f"Form 1099-NEC  Nonemployee Compensation  {case.ended.year}", size=13)
    doc.cell(left, 680, half, 44, "PAYER'S name, street address, city", case.name)
    doc.cell(left, 644, half, 34, "PAYER'S TIN", case.ein)
    doc.cell(left + half, 680, half, 44, "RECIPIENT'S name", case.people[1])
    doc.cell(left + half, 644, half, 34, "1  Nonemployee compensation", f"${case.money(600, 30000)}")
    returned(doc, case, kind, "1099-NEC", period=None, signed=False)


@layout("price by classes", "fresh", (Kind.ASSET_SALE_FORM,), ("roman", "gothic"), born=0.2)
def classes(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 8594: the price of a business by classes of assets."""
    doc.write(doc.look.left, 746, "Form 8594", face="bold", size=15)
    doc.write(doc.look.left + 100, 746, "Asset Acquisition Statement Under Section 1060", face="bold", size=11)
    doc.y = 714
    doc.pairs([("Name as shown on return", case.name), ("Identifying number", case.ein)], doc.look.left + 170)
    doc.skip(8)
    for number, thing in zip(("I", "II", "III", "IV"), case.dice.sample(words()["goods"], 4), strict=True):
        doc.write(doc.look.left, doc.y, f"Class {number}   {thing}", size=9.5)
        doc.write(doc.look.right, doc.y, case.money(100, 9000), size=9.5, align="right")
        doc.skip(20)
    returned(doc, case, kind, "8594", period=None, signed=False)
