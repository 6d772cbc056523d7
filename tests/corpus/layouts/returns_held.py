"""Last returns, Schedules K-1 and Form 966: the layouts held out for the reported figures."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import choices, sentences, shape_of
from tests.corpus.layouts.registry import layout
from tests.corpus.layouts.returns_common import amounts, form_of, liquidation, returned, shares, wages


def _affirmed(doc: Doc, case: Case) -> None:
    doc.skip(8)
    doc.prose(sentences("returns held out", "oath", case), size=8.5)
    doc.room(60)
    y = doc.y - 18
    doc.write(doc.look.left, y, "Sign here", face="bold", size=9)
    doc.sign(doc.look.left + 66, y + 2, case.people[1])
    doc.rule(y - 3, doc.look.left + 56, doc.look.left + 250)
    doc.write(doc.look.left + 262, y, f"{case.people[1]}", size=9)
    doc.dated(doc.look.right - 80, y, case.day(case.signed), 9)
    doc.write(doc.look.right - 80, y - 12, "date", size=7)


@layout("return, boxes at the upper right", "held", (Kind.FINAL_RETURN,), ("gothic", "broad", "roman"), born=0.15)
def upper_right(doc: Doc, case: Case, _kind: Kind) -> None:
    """Name and numbers on lines at the left, the boxes in a frame at the upper right."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.y = 745
    doc.title(agency, 9.5, "regular", align="left")
    doc.para(title, face="bold", size=13, right=right - 170, gap=0.3)
    doc.write(left, doc.y, f"Form {form.removeprefix('Form ')}", face="bold", size=11)
    began = case.ended.replace(month=1, day=1)
    doc.frame(right - 160, 668, 160, 88)
    doc.write(right - 154, 745, "Mark if this is your:", size=8)
    labels = ["Original return", "Amended return", "Final return"]
    case.dice.shuffle(labels)
    choices(
        doc,
        case,
        labels,
        [(right - 150, 726 - 21 * n) for n in range(3)],
        shape_of(doc, case, "square", "oval"),
        size=9.5,
    )
    doc.y = min(doc.y - 30, 650)
    doc.write(left, doc.y, f"Fiscal period: from {case.day(began)} through {case.day(case.ended)}", size=9.5)
    for label, value in (
        ("Name of entity", case.name),
        ("Street, city", f"{case.street}, {case.town}"),
        ("Federal ID number (FEIN)", case.ein),
    ):
        doc.skip(34)
        doc.blank(left, doc.y, right if label != "Federal ID number (FEIN)" else left + 200, label, value)
    doc.skip(32)
    amounts(doc, case, 14)
    _affirmed(doc, case)
    distract(doc, case, [(right - 80, 620), (left + 90, 84)])
    returned(doc, case, Kind.FINAL_RETURN, form)


@layout("return, words before the boxes", "held", (Kind.FINAL_RETURN,), ("narrow", "plain"), born=0.2)
def words_first(doc: Doc, case: Case, _kind: Kind) -> None:
    """Title centred, a long list of boxes with the words before them, below the amounts."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.middle(748, f"{form}   {title}" if len(title) < 40 else form, size=14)
    doc.middle(734, title if len(title) >= 40 else agency, face="regular", size=9)
    if len(title) >= 40:
        doc.middle(723, agency, face="regular", size=9)
    doc.frame(left, 628, right - left, 84, weight=1.2)
    doc.write(left + 8, 696, "Taxpayer", size=8)
    doc.fitted(left + 80, 696, case.name, right - left - 90, font=doc.font("bold"), size=doc.look.size)
    doc.write(left + 8, 678, "Identification", size=8)
    doc.write(left + 80, 678, case.ein)
    doc.write(left + 8, 660, "Address", size=8)
    doc.fitted(left + 80, 660, f"{case.street}, {case.town}", right - left - 90, size=doc.look.size)
    doc.write(left + 8, 642, "Year", size=8)
    began = case.ended.replace(month=1, day=1)
    doc.write(left + 80, 642, f"begun {case.day(began)}, ended {case.day(case.ended)}")
    doc.y = 604
    amounts(doc, case, 11)
    doc.skip(10)
    labels = ["Address changed", "Final return", "Initial return", "Amended return", "Extension attached"]
    spots = [(left + 170 * (n % 3), doc.y - 22.0 * (n // 3)) for n in range(5)]
    choices(doc, case, labels, spots, shape_of(doc, case, "square", "oval"), after=True)
    doc.skip(40)
    _affirmed(doc, case)
    distract(doc, case, [(right - 90, 90)])
    returned(doc, case, Kind.FINAL_RETURN, form)


@layout("return printed by software", "held", (Kind.FINAL_RETURN,), ("gothic", "typewriter"), born=0.3)
def by_software(doc: Doc, case: Case, _kind: Kind) -> None:
    """A summary page whose boxes are parentheses or a rule to write on."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.write(left, 748, f"{title}", face="bold", size=12 if len(title) < 50 else 9.5)
    doc.write(left, 734, f"{form}  |  {agency}", size=9)
    doc.rule(726)
    doc.y = 706
    began = case.ended.replace(month=1, day=1)
    doc.pairs(
        [
            ("Entity", case.name),
            ("EIN", case.ein),
            ("Address", f"{case.street}, {case.town}"),
            ("Tax period", f"{began:%m/%d/%Y} - {case.ended:%m/%d/%Y}"),
        ],
        left + 110,
    )
    doc.skip(8)
    doc.write(left, doc.y, "This return is (mark with an X):", face="bold")
    shape = "acro" if doc.born and case.chance(0.3) else case.pick("paren", "underline")
    labels = ["Initial", "Final", "Amended", "Superseding"]
    choices(doc, case, labels, [(left + 112 * n, doc.y - 22) for n in range(4)], shape)
    doc.skip(50)
    amounts(doc, case, 16)
    _affirmed(doc, case)
    distract(doc, case, [(right - 80, 690)])
    returned(doc, case, Kind.FINAL_RETURN, form)


@layout("partner's share, second form", "held", (Kind.FINAL_K1,), ("roman", "broad"), born=0.2)
def share_second(doc: Doc, case: Case, _kind: Kind) -> None:
    """Schedule K-1 with its box in the middle of the head."""
    left, right = doc.look.left, doc.look.right
    form = case.pick("1065", "1120-S")
    doc.middle(748, f"SCHEDULE K-1 (FORM {form.upper()})", size=13)
    doc.middle(733, "Internal Revenue Service", face="regular", size=8)
    word = "Partner" if form == "1065" else "Shareholder"
    doc.middle(716, f"{word}'s share of income, deductions and credits", face="regular", size=11)
    choices(
        doc,
        case,
        ["Amended", "Final K-1"],
        [(left + 140, 696), (left + 240, 696)],
        shape_of(doc, case, "square", "paren"),
    )
    doc.write(
        left, 676, f"Year from {case.day(case.ended.replace(month=1, day=1))} to {case.day(case.ended)}", size=9.5
    )
    shares(doc, case, "Entity", word)
    doc.write(right, 60, f"Mailed {case.day(case.filed)}", size=8, align="right")
    returned(doc, case, Kind.FINAL_K1, form, signed=False)


@layout("employment return, closing in the head", "held", (Kind.FINAL_EMPLOYMENT_RETURN,), ("roman", "broad"), born=0.2)
def employment_head(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 940: the type of return at the upper right, one of its boxes for a business that has closed."""
    left, right = doc.look.left, doc.look.right
    year_end = case.ended.replace(month=12, day=31)
    doc.write(left, 744, f"Form 940 for {year_end.year}", face="bold", size=14)
    doc.write(left, 729, "Employer's Annual Federal Unemployment", face="bold", size=10.5)
    doc.write(left, 716, "(FUTA) Tax Return", face="bold", size=10.5)
    doc.write(left, 703, "Internal Revenue Service", size=8)
    doc.frame(right - 216, 660, 216, 96)
    doc.write(right - 210, 744, "Type of return (check all that apply)", size=8)
    labels = ["a. Amended", "b. Successor employer", "c. No payments to employees", "d. Final: business closed"]
    choices(doc, case, labels, [(right - 206, 728 - 18 * n) for n in range(4)], shape_of(doc, case, "square", "oval"))
    doc.y = 632
    for label, value in (
        ("Employer identification number", case.ein),
        ("Name", case.name),
        ("Address", f"{case.street}, {case.town}"),
        ("Year ended", case.day(year_end)),
    ):
        doc.write(left, doc.y, label, size=9)
        doc.fitted(left + 160, doc.y, value, right - left - 160, size=doc.look.size)
        doc.rule(doc.y - 4, left + 155, right, 0.4)
        doc.skip(21)
    doc.skip(10)
    wages(doc, case, 8)
    _affirmed(doc, case)
    distract(doc, case, [(left + 90, 84)])
    returned(doc, case, kind, "940", period=year_end)


@layout("liquidation notice, boxed", "held", (Kind.CORPORATE_LIQUIDATION_NOTICE,), ("roman", "plain"), born=0.2)
def liquidation_boxed(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 966 as boxed cells, two by two."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) / 2
    doc.middle(748, "CORPORATE DISSOLUTION OR LIQUIDATION", size=14)
    doc.middle(733, "Form 966, Internal Revenue Service (required under section 6043(a))", face="regular", size=9)
    doc.y = 712
    for number, (label, value) in enumerate(liquidation(case)):
        column = number % 2
        doc.cell(left + half * column, doc.y - 40, half, 40, label, value, size=10)
        if column:
            doc.skip(40)
    doc.skip(60)
    doc.prose(sentences("returns held out", "resolution", case))
    _affirmed(doc, case)
    distract(doc, case, [(right - 80, 120)])
    returned(doc, case, kind, "966", period=None)
