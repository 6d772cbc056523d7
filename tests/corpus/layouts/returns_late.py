"""Last returns and the forms that go with them: the layouts written last."""

from quietus.model.kinds import Kind
from tests.corpus import ticks
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import choices, shape_of
from tests.corpus.layouts.common_late import began, late
from tests.corpus.layouts.returns_common import amounts, form_of, liquidation, quarter_end, returned, wages


def _oath(doc: Doc, case: Case) -> None:
    left, right = doc.look.left, doc.look.right
    doc.skip(4)
    doc.para(
        "Under penalties of perjury, I declare that I have examined this return, including accompanying schedules and"
        " statements, and to the best of my knowledge and belief it is true, correct, and complete.",
        size=8,
    )
    doc.room(48)
    y = doc.y - 18
    doc.write(left, y + 8, "Sign", face="bold", size=10)
    doc.write(left, y - 3, "Here", face="bold", size=10)
    doc.sign(left + 46, y + 2, case.people[0])
    doc.rule(y - 2, left + 38, left + 230, 0.5)
    doc.write(left + 38, y - 10, "Signature of partner, member or officer", size=6.8)
    doc.dated(left + 244, y + 1, case.day(case.signed), 9.5)
    doc.rule(y - 2, left + 238, left + 340, 0.5)
    doc.write(left + 238, y - 10, "Date", size=6.8)
    doc.write(left + 350, y + 1, case.people[0], size=9)
    doc.rule(y - 2, left + 346, right, 0.5)
    doc.write(left + 346, y - 10, "Print name", size=6.8)
    doc.skip(36)


def _form(form: str) -> str:
    return form if form.startswith("Form") else f"Form {form}"


@late("return with three heads", (Kind.FINAL_RETURN,), ("gothic", "roman", "plain"), born=0.2)
def three_heads(doc: Doc, case: Case, kind: Kind) -> None:
    """Form at the left, title in the middle, year at the right; the boxes in a line between the cells and the sums."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.write(left, 744, _form(form), face="bold", size=13 if len(form) < 9 else 9)
    doc.fitted(left, 731, agency, 150, size=7)
    doc.fitted(left + 156, 742, title, right - left - 215, font=doc.font("bold"), size=13)
    doc.write(
        left + 156, 728, f"For tax year beginning {case.day(began(case))}, ending {case.day(case.ended)}", size=7.5
    )
    doc.write(right, 740, f"{case.ended.year}", face="bold", size=18, align="right")
    doc.rule(722, weight=1.4)
    wide = (right - left) * 0.7
    doc.cell(left, 688, wide, 30, "Name of partnership or company", case.name)
    doc.cell(left, 660, wide, 28, "Number, street, and room or suite no.", f"{case.street}, {case.town}", size=9.5)
    doc.cell(left + wide, 688, right - left - wide, 30, "D  Employer identification number", case.ein, size=10)
    doc.cell(left + wide, 660, right - left - wide, 28, "E  Date business started", f"{case.formed:%m/%d/%Y}", size=10)
    doc.write(left, 642, "G  Check applicable boxes:", size=8.5)
    labels = ["(1) Initial return", "(2) Name change", "(3) Final return", "(4) Address change", "(5) Amended return"]
    gap = (right - left) / 5
    choices(
        doc, case, labels, [(left + gap * n, 626.0) for n in range(5)], shape_of(doc, case, "square", "heavy"), size=8
    )
    doc.rule(616)
    doc.y = 600
    amounts(doc, case, 14)
    _oath(doc, case)
    distract(doc, case, [(right - 90, 90)])
    returned(doc, case, kind, form)


@late("return with ovals and combs", (Kind.FINAL_RETURN,), ("gothic", "narrow"), born=0.15)
def combs(doc: Doc, case: Case, kind: Kind) -> None:
    """A machine-read form: the number in a comb, ovals in a column at the right of the name."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    for x in (left, right - 12):  # marks by which a machine finds the sheet
        doc.frame(x, 744, 12, 12, shade=0.0)
    doc.fitted(left + 22, 746, f"{_form(form)}  {title}", right - left - 50, font=doc.font("bold"), size=12)
    doc.write(left + 22, 732, agency, size=8.5)
    doc.write(left, 704, "Federal employer identification number", size=7)
    for number, sign in enumerate(case.ein.replace("-", "")):
        x = left + 15 * number + (8 if number > 1 else 0)
        doc.frame(x, 684, 13, 17, weight=0.4)
        doc.write(x + 6.5, 688, sign, size=11, align="centre", font="Courier")
    doc.write(left, 670, "Name of entity", size=7)
    doc.fitted(left, 656, case.name.upper(), 300, font="Courier", size=11)
    doc.write(left, 642, "Mailing address", size=7)
    doc.fitted(left, 628, f"{case.street}, {case.town}".upper(), 300, font="Courier", size=9.5)
    doc.write(left, 612, f"Tax period: {case.day(began(case))} through {case.day(case.ended)}", size=9)
    doc.write(right - 160, 704, "Fill in all that apply", face="bold", size=8.5)
    labels = ["Amended return", "Final return", "Name or address change", "First return"]
    if case.chance(0.5):
        case.dice.shuffle(labels)
    choices(
        doc,
        case,
        labels,
        [(right - 160, 684 - 19.0 * n) for n in range(4)],
        shape_of(doc, case, "oval", "oval", "square"),
        size=8,
    )
    doc.y = 586
    amounts(doc, case, 15)
    _oath(doc, case)
    returned(doc, case, kind, form)


@late("return, page one of a filing copy", (Kind.FINAL_RETURN,), ("typewriter", "gothic", "plain"), born=0.35)
def filing_copy(doc: Doc, case: Case, kind: Kind) -> None:
    """What a preparer's program prints for the client: facts in two columns, boxes with brackets or squares."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.write(right, 756, "CLIENT COPY", size=8, align="right")
    doc.fitted(left, 742, f"{_form(form)}: {title}", right - left, font=doc.font("bold"), size=12)
    doc.write(left, 728, agency, size=8.5)
    doc.rule(720)
    half = left + (right - left) / 2 + 10
    for number, (label, value) in enumerate(
        (
            ("Taxpayer", case.name),
            ("FEIN", case.ein),
            ("Address", case.street),
            ("City", case.town),
            ("Year begins", case.day(began(case))),
            ("Year ends", case.day(case.ended)),
        )
    ):
        x = left if number % 2 == 0 else half
        y = 698 - 22.0 * (number // 2)
        doc.write(x, y, f"{label}:", size=8.5)
        doc.fitted(x + 66, y, value, (right - left) / 2 - 80, size=10)
    doc.write(left, 628, "Return type:", face="bold", size=9.5)
    labels = ["Original", "Amended", "Final", "Short year"]
    choices(
        doc,
        case,
        labels,
        [(left + 88 + 92.0 * n, 628) for n in range(4)],
        shape_of(doc, case, "bracket", "square", "underline"),
    )
    doc.y = 600
    amounts(doc, case, 16)
    _oath(doc, case)
    distract(doc, case, [(right - 90, 84)])
    returned(doc, case, kind, form)


@late("return, boxes after the name", (Kind.FINAL_RETURN,), ("roman", "broad", "press"), born=0.15)
def after_name(doc: Doc, case: Case, kind: Kind) -> None:
    """A state's older form: title in the middle, name on rules, words before their boxes at the left."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.middle(746, agency, face="regular", size=10)
    doc.middle(728, title, size=14)
    doc.write(right, 712, _form(form), face="bold", size=10, align="right")
    doc.y = 682.0
    doc.blank(left, doc.y, right - 150, "Legal name", case.name)
    doc.blank(right - 140, doc.y, right, "FEIN", case.ein)
    doc.skip(34)
    doc.blank(left, doc.y, right - 150, "Address", f"{case.street}, {case.town}", size=9.5)
    doc.blank(right - 140, doc.y, right, "Tax year ended", case.day(case.ended))
    doc.skip(32)
    doc.write(left, doc.y, "If this is a:", face="italic", size=9.5)
    labels = ["new business", "final return (business closed)", "amended return"]
    spots = [(left + x, doc.y) for x in (74.0, 174.0, 352.0)]
    doc_before = case.chance(0.4)
    choices(doc, case, labels, spots, shape_of(doc, case, "square", "paren"), after=doc_before, size=9)
    doc.skip(26)
    amounts(doc, case, 13)
    _oath(doc, case)
    distract(doc, case, [(left + 90, 84)])
    returned(doc, case, kind, form)


def _k1(doc: Doc, case: Case, kind: Kind, form: str, words: tuple[str, str, str]) -> None:
    """A Schedule K-1: two parts at the left, amounts in a grid at the right, the boxes over it."""
    left, right = doc.look.left, doc.look.right
    entity, holder, title = words
    half = (right - left) * 0.48
    doc.write(left, 740, "Schedule K-1", face="bold", size=15)
    doc.write(left, 726, f"(Form {form})", face="bold", size=11)
    doc.write(left + half - 6, 734, f"{case.ended.year}", face="bold", size=18, align="right")
    doc.write(left, 713, "Department of the Treasury", size=7.5)
    doc.write(left, 704, "Internal Revenue Service", size=7.5)
    doc.write(left, 688, f"tax year beginning {case.day(began(case))}", size=8.5)
    doc.write(left, 677, f"ending {case.day(case.ended)}", size=8.5)
    doc.fitted(left, 656, title, half - 8, font=doc.font("bold"), size=11)
    choices(
        doc,
        case,
        ["Final K-1", "Amended K-1"],
        [(left + half + 14, 744.0), (left + half + 110, 744.0)],
        shape_of(doc, case, "square", "heavy"),
        size=9,
    )
    y = 626.0
    for label, value in (
        (f"A  {entity}'s employer identification number", case.ein),
        (f"B  {entity}'s name, address, city, state, and ZIP code", case.name),
        ("C  IRS center where return was filed", case.pick("Ogden, UT", "Kansas City, MO", "e-file")),
        (f"E  {holder}'s identifying number", f"***-**-{case.dice.randrange(1000, 9999)}"),
        (f"F  {holder}'s name and address", case.people[0]),
        ("J  Share of profit, loss and capital at year end", f"{case.dice.randrange(5, 90)}.0000%"),
    ):
        doc.cell(left, y - 36, half, 36, label, value, size=10)
        y -= 36
    names = (
        "1  Ordinary business income (loss)",
        "2  Net rental real estate income",
        "5  Interest income",
        "9a  Net long-term capital gain",
        "10  Net section 1231 gain",
        "19  Distributions",
    )
    y = 728.0
    for number, name in enumerate(names):
        doc.cell(
            left + half + 8,
            y - 34,
            right - left - half - 8,
            34,
            name,
            "" if number in (1, 3) else case.money(20, 90000),
            size=10,
        )
        y -= 34
    returned(doc, case, kind, form, signed=False)


@late("share of a partner, grid", (Kind.FINAL_K1,), ("gothic", "plain", "narrow"), born=0.2)
def partner_grid(doc: Doc, case: Case, kind: Kind) -> None:
    """Schedule K-1 (Form 1065)."""
    _k1(doc, case, kind, "1065", ("Partnership", "Partner", "Partner's Share of Income, Deductions, Credits, etc."))


@late("share of a shareholder, grid", (Kind.FINAL_K1,), ("roman", "gothic"), born=0.2)
def shareholder_grid(doc: Doc, case: Case, kind: Kind) -> None:
    """Schedule K-1 (Form 1120-S)."""
    words = ("Corporation", "Shareholder", "Shareholder's Share of Income, Deductions, Credits, etc.")
    _k1(doc, case, kind, "1120-S", words)


@late("quarter, closing in part three", (Kind.FINAL_EMPLOYMENT_RETURN,), ("gothic", "narrow", "plain"), born=0.2)
def part_three(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 941: quarters to check at the right of the name, the closing question near the foot."""
    left, right = doc.look.left, doc.look.right
    last = quarter_end(case)
    doc.write(left, 742, f"Form 941 for {last.year}:", face="bold", size=14)
    doc.write(left + 150, 742, "Employer's QUARTERLY Federal Tax Return", face="bold", size=11)
    doc.write(left, 729, "Department of the Treasury - Internal Revenue Service", size=7.5)
    doc.cell(left, 692, 300, 28, "Employer identification number (EIN)", case.ein)
    doc.cell(left, 664, 300, 28, "Name (not your trade name)", case.name)
    doc.cell(left, 636, 300, 28, "Address", f"{case.street}, {case.town}", size=9)
    doc.write(left + 316, 712, f"Report for this quarter of {last.year}", face="bold", size=9)
    months = (
        "1: January, February, March",
        "2: April, May, June",
        "3: July, August, September",
        "4: October, November, December",
    )
    for number, text in enumerate(months):
        y = 696.0 - 16 * number
        ticks.box(doc, left + 318, y, "square", "typed" if number == last.month // 3 - 1 else "", name=f"q{number}")
        doc.write(left + 332, y + 1, text, size=8.5)
    doc.write(left + 318, 632, f"Quarter ended {case.day(last)}", size=8.5)
    doc.y = 612
    doc.write(left, doc.y, "Part 1: Answer these questions for this quarter.", face="bold", size=9.5)
    doc.skip(20)
    wages(doc, case, 8)
    doc.write(left, doc.y, "Part 3: Tell us about your business.", face="bold", size=9.5)
    doc.skip(20)
    closed = case.chance(0.62)
    shape = shape_of(doc, case, "square", "heavy")
    how = case.dice.choice(ticks.MARKS[shape]) if closed else ""
    doc.write(left, doc.y, "17  If your business has closed or you stopped paying wages . . . . . . . . .", size=9)
    ticks.box(doc, right - 96, doc.y - 1, shape, how, name="c17")
    doc.write(right - 82, doc.y, "Check here, and", size=9)
    doc.skip(15)
    doc.write(
        left + 16,
        doc.y,
        f"enter the final date you paid wages {case.day(case.ended) if closed else '    /    /    '}",
        size=9,
    )
    doc.skip(17)
    doc.write(left, doc.y, "18  If you're a seasonal employer and don't file for every quarter . . . . . .", size=9)
    ticks.box(doc, right - 96, doc.y - 1, shape, "", name="c18")
    doc.write(right - 82, doc.y, "Check here.", size=9)
    doc.skip(18)
    doc.truth["final_box"] = closed
    doc.box = f"{shape}: {how or 'empty'}"
    _oath(doc, case)
    returned(doc, case, kind, "941", period=last)


@late("unemployment year, type of return", (Kind.FINAL_EMPLOYMENT_RETURN,), ("gothic", "roman", "plain"), born=0.2)
def unemployment_year(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 940, or Form 944, with the type of return beside the name."""
    left, right = doc.look.left, doc.look.right
    year_end = case.ended.replace(month=12, day=31)
    form, title = case.dice.choice(
        (
            ("940", "Employer's Annual Federal Unemployment (FUTA) Tax Return"),
            ("944", "Employer's ANNUAL Federal Tax Return"),
        )
    )
    doc.write(left, 742, f"Form {form} for {year_end.year}", face="bold", size=14)
    doc.write(left, 728, title, face="bold", size=10)
    doc.write(left, 716, "Internal Revenue Service", size=7.5)
    doc.cell(left, 672, 310, 30, "Employer identification number (EIN)", case.ein)
    doc.cell(left, 642, 310, 30, "Name (not your trade name)", case.name)
    doc.cell(left, 612, 310, 30, "Address", f"{case.street}, {case.town}", size=9)
    doc.write(left + 326, 700, "Type of Return", face="bold", size=10)
    doc.write(left + 326, 689, "(Check all that apply.)", size=8)
    labels = ["a. Amended", "b. Successor employer", "d. Final: business closed or"]
    choices(doc, case, labels, [(left + 328, 670 - 18.0 * n) for n in range(3)], shape_of(doc, case, "square", "heavy"))
    doc.write(left + 342, 623, "stopped paying wages", size=doc.look.size * 0.86)
    doc.write(left, 594, f"For the calendar year ended {case.day(year_end)}", size=9)
    doc.y = 568
    wages(doc, case, 8)
    _oath(doc, case)
    distract(doc, case, [(right - 90, 90)])
    returned(doc, case, kind, form, period=year_end)


@late(
    "liquidation, questions under a bar", (Kind.CORPORATE_LIQUIDATION_NOTICE,), ("gothic", "roman", "narrow"), born=0.2
)
def liquidation_bar(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 966: the name in a cell, the other questions as short lines in two columns."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 744, "Form", size=8)
    doc.write(left + 24, 741, "966", face="bold", size=20)
    doc.middle(746, "Corporate Dissolution or Liquidation", size=13)
    doc.middle(732, "(Required under section 6043(a) of the Internal Revenue Code)", face="regular", size=8.5)
    doc.write(left, 728, "Internal Revenue Service", size=7)
    doc.rule(722, weight=1.2)
    (_, name), (_, ein), *rest = liquidation(case)
    doc.cell(left, 686, (right - left) * 0.66, 32, "Name of corporation", name)
    doc.cell(left + (right - left) * 0.66, 686, (right - left) * 0.34, 32, "Employer identification number", ein)
    doc.y = 664
    for number, (label, value) in enumerate(rest, start=1):
        doc.write(left, doc.y, f"{number}", face="bold", size=9)
        doc.write(left + 18, doc.y, label, size=9)
        doc.fitted(left + 270, doc.y, value, right - left - 272, size=10)
        doc.rule(doc.y - 5, left + 262, right, 0.4)
        doc.skip(24)
    doc.para(
        "Attach a certified copy of the resolution or plan and all amendments or supplements.", face="italic", size=9
    )
    _oath(doc, case)
    distract(doc, case, [(right - 90, 140)])
    returned(doc, case, kind, "966", period=None)


@late(
    "state wage report", (Kind.FINAL_EMPLOYMENT_RETURN,), ("narrow", "typewriter", "gothic"), born=0.15, place="returns"
)
def wage_report(doc: Doc, case: Case, kind: Kind) -> None:
    """A state's quarterly report of withholding, with a box for the last one."""
    left, right = doc.look.left, doc.look.right
    last = quarter_end(case)
    form = f"{case.pick('WH', 'QW', 'WT')}-{case.dice.randrange(3, 40)}"
    doc.fitted(left, 744, case.place.agency, right - left - 130, font=doc.font("bold"), size=12)
    doc.write(left, 729, "Quarterly Withholding Tax Return for Employers", size=11)
    doc.write(right, 744, f"Form {form}", face="bold", size=11, align="right")
    doc.cell(left, 686, right - left, 30, "Business name", case.name)
    half = (right - left) / 2
    doc.cell(left, 656, half, 30, "FEIN", case.ein)
    doc.cell(left + half, 656, half, 30, "Quarter ending", case.day(last))
    doc.write(left, 632, "Check if:", size=9)
    labels = ["Amended return", "Final return - account to be closed", "Address change"]
    choices(
        doc,
        case,
        labels,
        [(left + 56, 632), (left + 176, 632), (left + 392, 632)],
        shape_of(doc, case, "square", "bracket", "oval"),
        size=8.5,
    )
    doc.y = 600
    for number, text in enumerate(
        ("Total wages paid this quarter", "Income tax withheld", "Payments made", "Amount due"), 1
    ):
        doc.write(left, doc.y, f"{number}", face="bold", size=9)
        doc.write(left + 20, doc.y, text, size=9.5)
        doc.write(right - 4, doc.y, f"{case.money(0, 50000)}.00", size=9.5, align="right")
        doc.rule(doc.y - 4, right - 110, right, 0.4)
        doc.skip(21)
    _oath(doc, case)
    distract(doc, case, [(right - 90, 300)])
    doc.truth["jurisdiction"] = case.place.code
    returned(doc, case, kind, form, period=last)
