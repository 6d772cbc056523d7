"""Last returns and the forms that go with them: the split `trial`."""

from quietus.model.kinds import Kind
from tests.corpus import ticks
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import choices, shape_of
from tests.corpus.layouts.common_late import began
from tests.corpus.layouts.common_trial import head, lines, trial
from tests.corpus.layouts.returns_common import IRS, amounts, form_of, liquidation, quarter_end, returned, wages

_PARTS = (
    "Ordinary business income or loss", "Net rental income or loss", "Interest", "Dividends", "Royalties",
    "Capital gain or loss", "Section 1231 gain or loss", "Other deductions", "Credits", "Distributions in cash",
)  # fmt: skip


def _declared(doc: Doc, case: Case) -> None:
    """The declaration, a line for who signs and one for the preparer."""
    left, right = doc.look.left, doc.look.right
    doc.skip(2)
    doc.para(
        "I declare under penalties of perjury that this return and everything attached to it is, to my knowledge, true,"
        " correct and complete.",
        size=8.5,
    )
    doc.room(56)
    y = doc.y - 20
    doc.sign(left + 8, y + 3, case.people[0])
    doc.dated(left + 232, y + 3, case.day(case.signed), 9.5)
    doc.write(left + 356, y + 3, case.pick("Member", "Partner", "Manager", "President"), size=9.5)
    for x, end, label in ((left, 215, "Signature"), (left + 228, 114, "Date"), (left + 352, 100, "Title")):
        doc.rule(y, x, x + end, 0.5)
        doc.write(x, y - 9, label, size=7)
    doc.write(left, y - 26, "Paid preparer's use only: self-prepared", size=7.5)
    doc.write(right, y - 26, "Keep a copy for your records", size=7.5, align="right")
    doc.skip(50)


def _called(form: str) -> str:
    return form if form.startswith("Form") else f"Form {form}"


@trial("return, two rows of boxes", (Kind.FINAL_RETURN,), ("gothic", "plain", "narrow"), born=0.25)
def two_rows(doc: Doc, case: Case, kind: Kind) -> None:
    """Title at the left, name and number in a grid, six boxes in two rows."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    head(doc, (f"{_called(form)}  {title}", agency), room=right - left - 60)
    doc.write(right, 742, f"{case.ended.year}", face="bold", size=17, align="right")
    lines(doc, left, 716, (f"Taxable year from {case.day(began(case))} to {case.day(case.ended)}",))
    wide = (right - left) / 3
    doc.cell(left, 672, wide * 2, 32, "A  Legal name of entity", case.name, size=10.5)
    doc.cell(left + wide * 2, 672, wide, 32, "B  FEIN", case.ein, size=10.5)
    doc.cell(left, 640, wide * 2, 32, "C  Address", f"{case.street}, {case.town}", size=9.5)
    doc.cell(left + wide * 2, 640, wide, 32, "D  Activity", case.pick("Retail", "Services", "Rental"), size=9.5)
    doc.write(left, 622, "E  Mark all that apply:", size=8.5)
    labels = ["Initial", "Final", "Amended", "Address change", "Name change", "Composite"]
    spots = [(left + 120 + 118.0 * (n % 3), 622 - 18.0 * (n // 3)) for n in range(6)]
    choices(doc, case, labels, spots, shape_of(doc, case, "square", "oval", "heavy"), size=8.5)
    doc.y = 578
    amounts(doc, case, 17)
    _declared(doc, case)
    returned(doc, case, kind, form)


@trial("return, yes or no", (Kind.FINAL_RETURN,), ("roman", "gothic", "press"), born=0.15)
def yes_or_no(doc: Doc, case: Case, kind: Kind) -> None:
    """Questions on the return, each with a yes and a no to tick; one asks whether it is the last."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    head(doc, (title, agency, _called(form)), align="centre")
    doc.y = 700
    rows = [("Name of entity", case.name), ("FEIN", case.ein), ("Address", f"{case.street}, {case.town}")]
    doc.pairs([*rows, ("Tax year end", case.day(case.ended))], left + 130, face="regular", pitch=1.8)
    shape = shape_of(doc, case, "square", "paren", "bracket")
    last = case.chance(0.65)
    doc.skip(8)
    doc.write(right - 108, doc.y + 14, "Yes", size=8.5)
    doc.write(right - 48, doc.y + 14, "No", size=8.5)
    answers = [("Is this an amended return?", False), ("Is this the entity's final return?", last)]
    answers.append(("Are there nonresident members?", case.chance(0.5)))
    for number, (question, yes) in enumerate(answers):
        how = case.dice.choice([one for one in ticks.MARKS[shape] if one != "beside"])
        doc.write(left, doc.y, f"{number + 1}.  {question}", size=9.5)
        doc.rule(doc.y - 5, weight=0.3)
        for x, mine in ((right - 108, yes), (right - 48, not yes)):
            ticks.box(doc, x, doc.y - 1, shape, how if mine else "", name=f"q{number}{'yn'[x > right - 100]}")
        if number == 1:
            doc.box = f"{shape}: yes or no, {how}"
        doc.skip(21)
    doc.truth["final_box"] = last
    amounts(doc, case, 16)
    _declared(doc, case)
    distract(doc, case, [(right - 95, 90)] if doc.y > 140 else [])
    returned(doc, case, kind, form)


@trial("return, boxes in the margin", (Kind.FINAL_RETURN,), ("typewriter", "plain", "gothic"), born=0.25)
def in_margin(doc: Doc, case: Case, kind: Kind) -> None:
    """Boxes one under the other at the left of the name, the last with the day that business ended."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    head(doc, (agency,), room=300)
    doc.write(right, 746, _called(form), face="bold", size=11, align="right")
    doc.y = 724
    doc.title(title, 14, align="left")
    doc.rule(doc.y + 6, weight=1.6)
    top = doc.y - 14
    stop = left + 176
    labels = ["Amended return", "First return", case.pick("Final return", "FINAL - out of business", "Final (closed)")]
    spots = [(left, top - 20.0 * n) for n in range(3)]
    choices(doc, case, labels, spots, shape_of(doc, case, "heavy", "bracket", "underline", "square"), size=9)
    facts = (("Entity", case.name), ("Fed. ID", case.ein), ("Address", case.street), ("", case.town))
    for number, (label, value) in enumerate((*facts, ("Year ends", case.day(case.ended)))):
        doc.write(stop, top - 19 * number, label, size=8.5)
        doc.fitted(stop + 66, top - 19 * number, value, right - stop - 70, size=10)
    doc.y = top - 108
    amounts(doc, case, 17)
    _declared(doc, case)
    distract(doc, case, [(right - 95, 88)] if doc.y > 140 else [])
    returned(doc, case, kind, form)


@trial("member's share on a schedule", (Kind.FINAL_K1,), ("gothic", "roman", "plain"), born=0.2)
def share(doc: Doc, case: Case, kind: Kind) -> None:
    """Schedule K-1 of either form, its boxes between the title and the parts, amounts in one list."""
    left, right = doc.look.left, doc.look.right
    form, entity, holder = case.dice.choice(
        [("1065", "Partnership", "Partner"), ("1120-S", "Corporation", "Shareholder")]
    )
    head(doc, (f"Schedule K-1 (Form {form})  {case.ended.year}", IRS))
    doc.write(left, 716, f"{holder}'s share of income, deductions and credits", face="bold", size=11)
    lines(doc, left, 700, (f"For calendar year, or tax year ended {case.day(case.ended)}",))
    shape = shape_of(doc, case, "square", "heavy")
    choices(doc, case, ["Final K-1", "Amended K-1"], [(right - 190, 700.0), (right - 90, 700.0)], shape)
    doc.rule(690, weight=1.2)
    wide = (right - left) / 2
    for number, (label, value) in enumerate(
        (
            (f"{entity}'s employer identification number", case.ein),
            (f"{holder}'s identifying number", f"XXX-XX-{case.dice.randrange(1000, 9999)}"),
            (f"{entity}'s name", case.name),
            (f"{holder}'s name", case.people[0]),
            (f"{entity}'s address", f"{case.street}, {case.town}"),
            (f"{holder}'s percentage", f"{case.dice.randrange(5, 95)}.00 %"),
        )
    ):
        doc.cell(left + wide * (number % 2), 654 - 36.0 * (number // 2), wide, 36, label, value, size=10)
    doc.y = 556
    for number, text in enumerate(_PARTS, start=1):
        doc.write(left, doc.y, f"{number:2d}   {text}", size=9.5)
        doc.write(right - 20, doc.y, case.money() if case.chance(0.6) else "", size=9.5, align="right")
        doc.rule(doc.y - 5, weight=0.3)
        doc.skip(22)
    returned(doc, case, kind, form, signed=False)
    doc.unjudged = ("file_number", "form")  # Schedule K-1, or the form that it belongs to


@trial("quarter, boxes in a row", (Kind.FINAL_EMPLOYMENT_RETURN,), ("gothic", "plain", "roman"), born=0.2)
def quarter(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 941: the quarter in a row of boxes under the name, the closing question under the sums."""
    left, right = doc.look.left, doc.look.right
    last = quarter_end(case)
    head(doc, (f"Form 941  Employer's Quarterly Federal Tax Return, {last.year}", "Internal Revenue Service"))
    doc.cell(left, 694, 150, 30, "EIN", case.ein, size=10.5)
    doc.cell(left + 150, 694, right - left - 150, 30, "Employer's legal name", case.name, size=10.5)
    doc.cell(left, 664, right - left, 30, "Address", f"{case.street}, {case.town}", size=9.5)
    doc.write(left, 646, "Quarter (check one):", size=8.5)
    for number, months in enumerate(("1 Jan-Mar", "2 Apr-Jun", "3 Jul-Sep", "4 Oct-Dec")):
        x = left + 100 + 92.0 * number
        ticks.box(doc, x, 645, "square", "cross" if number == last.month // 3 - 1 else "", name=f"m{number}")
        doc.write(x + 13, 646, months, size=8.5)
    doc.write(left, 630, f"Quarter ends {case.day(last)}", size=8.5)
    doc.y = 606
    wages(doc, case, 8)
    doc.skip(4)
    doc.write(left, doc.y, "About your business", face="bold", size=10)
    doc.skip(18)
    shape = shape_of(doc, case, "square", "heavy", "oval")
    closed = case.chance(0.65)
    how = case.dice.choice(ticks.MARKS[shape]) if closed else ""
    wide = ticks.box(doc, left, doc.y - 1, shape, how, name="closed")
    doc.write(left + wide + 6, doc.y, "17  Business has closed or you stopped paying wages.", size=9.5)
    if closed:
        doc.write(left + wide + 262, doc.y, f"Final date wages were paid: {case.day(case.ended)}", size=9)
    doc.skip(18)
    wide = ticks.box(doc, left, doc.y - 1, shape, "", name="seasonal")
    doc.write(left + wide + 6, doc.y, "18  Seasonal employer; you do not file every quarter.", size=9.5)
    doc.skip(16)
    doc.truth["final_box"] = closed
    doc.box = f"{shape}: {how or 'empty'}"
    _declared(doc, case)
    returned(doc, case, kind, "941", period=last)


@trial("state quarter with names", (Kind.FINAL_EMPLOYMENT_RETURN,), ("typewriter", "narrow", "gothic"), born=0.15)
def state_quarter(doc: Doc, case: Case, kind: Kind) -> None:
    """A state's quarterly report of contributions and wages, or of withholding, with a list of employees."""
    left, right = doc.look.left, doc.look.right
    last = quarter_end(case)
    form = f"{case.pick('UC', 'ER', 'WR')}-{case.dice.randrange(2, 60)}"
    head(doc, (case.place.agency, case.pick("Employer's Quarterly Wage Report", "Quarterly Payroll Tax Report")))
    doc.write(right, 730, f"Form {form}", size=10, align="right")
    rows = [("Employer", case.name), ("FEIN", case.ein), ("Quarter ended", case.day(last)), ("Address", case.street)]
    doc.y = 706
    doc.pairs(rows, left + 110, pitch=1.7)
    doc.skip(6)
    labels = ["Change of address", "Final report", "No wages this quarter"]
    if case.chance(0.5):
        labels.reverse()
    shape = shape_of(doc, case, "square", "oval", "paren")
    choices(doc, case, labels, [(left + 160.0 * n, doc.y) for n in range(3)], shape, size=8.5)
    doc.skip(28)
    lines(doc, left, doc.y, ("Employee                      Wages paid                      Tax withheld",), size=8.5)
    doc.skip(18)
    for who in case.people:
        doc.write(left, doc.y, who, size=9.5)
        doc.write(left + 240, doc.y, f"{case.money(300, 20000)}.00", size=9.5, align="right")
        doc.write(left + 370, doc.y, f"{case.money(10, 900)}.00", size=9.5, align="right")
        doc.skip(17)
    wages(doc, case, 6)
    _declared(doc, case)
    distract(doc, case, [(right - 95, 110)])
    doc.truth["jurisdiction"] = case.place.code
    returned(doc, case, kind, form, period=last)


@trial("plan of a corporation", (Kind.CORPORATE_LIQUIDATION_NOTICE,), ("gothic", "roman", "typewriter"), born=0.2)
def plan_of(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 966 as a list of short questions with answers under them, in two columns."""
    left, right = doc.look.left, doc.look.right
    head(doc, ("Form 966   Corporate Dissolution or Liquidation", IRS))
    doc.rule(722, weight=1.8)
    half = (right - left) / 2
    (_, name), (_, ein), (_, where), *rest = liquidation(case)
    doc.cell(left, 684, right - left, 32, "Corporation", name, size=11)
    doc.cell(left, 652, half, 32, "Employer identification number", ein, size=10.5)
    doc.cell(left + half, 652, half, 32, "Address", where, size=9.5)
    for number, (label, value) in enumerate(rest):
        x, y = left + half * (number % 2), 628 - 44.0 * (number // 2)
        doc.write(x, y, f"{number + 1}  {label}", size=8)
        doc.fitted(x + 12, y - 16, value, half - 20, size=10.5)
        doc.rule(y - 20, x, x + half - 8, 0.4)
    doc.y = 486
    doc.para("A certified copy of the resolution must be attached.", size=9)
    _declared(doc, case)
    distract(doc, case, [(right - 95, 200)])
    returned(doc, case, kind, "966", period=None)
