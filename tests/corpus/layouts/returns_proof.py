"""Last returns: the layouts for reported figures."""

from datetime import timedelta

from quietus.model.kinds import Kind
from tests.corpus import ticks
from tests.corpus.doc import Doc
from tests.corpus.invent import Case
from tests.corpus.layouts import returns_common
from tests.corpus.layouts.common import choices, shape_of
from tests.corpus.layouts.common_late import began
from tests.corpus.layouts.common_proof import arrived, proof, shown
from tests.corpus.layouts.returns_common import IRS, amounts, liquidation, quarter_end, returned, wages


def _signature(doc: Doc, case: Case) -> None:
    """Declaration and signature; half have a paid preparer's line below."""
    left, right = doc.look.left, doc.look.right
    oath = case.pick(
        "I declare under penalties of perjury that this return, with its attachments, is true and complete.",
        "Under the penalties of perjury I have examined this return, and it is to the best of my knowledge correct.",
    )
    doc.para(oath, size=8)
    doc.skip(16)
    doc.sign(left + 8, doc.y + 3, case.people[0])
    doc.dated(left + 226, doc.y + 2, case.day(case.signed), 9.5)
    shown(doc, left + 330, doc.y + 2, case.people[0], right - left - 330, 9)
    for x, end, label in ((0.0, 210.0, "Signature"), (220.0, 318.0, "Date"), (326.0, right - left, "Name and title")):
        doc.rule(doc.y - 1, left + x, left + end, 0.5)
        doc.write(left + x, doc.y - 9, label, size=7)
    doc.skip(24)
    doc.write(
        left, doc.y, case.pick("Paid preparer: self-prepared", "Mail to the address in the instructions."), size=7.5
    )


def _form(doc: Doc, case: Case) -> tuple[str, str, str]:
    """As `form_of`; an agency whose name does not tell its jurisdiction has it before it."""
    form, title, agency = returns_common.form_of(doc, case)
    told = agency == IRS or case.place.name in f"{title} {agency}"
    return form, title, agency if told else f"{case.place.whole} {agency}"


def _called(form: str) -> str:
    return form if form.startswith("Form") else f"Form {form}"


def _year(case: Case) -> str:
    return case.pick("{} to {}", "beginning {} and ending {}").format(case.day(began(case)), case.day(case.ended))


@proof("return with two rows of boxes", (Kind.FINAL_RETURN,), ("gothic", "plain", "roman"), born=0.2)
def two_rows(doc: Doc, case: Case, kind: Kind) -> None:
    """Title over cells; what applies is ticked in two rows of three."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = _form(doc, case)
    shown(doc, left, 742, _called(form), 110, 15, "bold")
    shown(doc, 318, 744, title, 300, 13, "bold", "centre")
    shown(doc, 318, 730, agency, 300, 8, "regular", "centre")
    doc.write(right, 742, f"{case.ended.year}", face="bold", size=16, align="right")
    doc.rule(720, weight=1.2)
    doc.write(left, 709, f"Calendar or fiscal year {_year(case)}", size=8)
    wide = (right - left) * 0.66
    doc.cell(left, 672, wide, 30, case.pick("Legal name", "Name", "Entity name"), case.name)
    doc.cell(left + wide, 672, right - left - wide, 30, case.pick("FEIN", "Federal ID number", "EIN"), case.ein)
    doc.cell(left, 644, right - left, 28, "Address", f"{case.street}, {case.town}", size=9.5)
    doc.write(
        left, 630, case.pick("Check all that apply:", "Check if:", "Mark each box that applies"), face="bold", size=8.5
    )
    final = case.pick("Final return", "Final return (out of business)", "FINAL RETURN")
    labels = ["Initial return", final, "Amended return", "Name change", "Address change", "Extension attached"]
    spots = [(left + 12 + (right - left) / 3 * (n % 3), 614 - 16.0 * (n // 3)) for n in range(6)]
    choices(doc, case, labels, spots, shape_of(doc, case, "square", "square", "heavy"), size=8.5)
    doc.rule(586)
    doc.y = 570
    amounts(doc, case, 15)
    _signature(doc, case)
    arrived(doc, case, (right - 90, 110))
    returned(doc, case, kind, form)


@proof("return, ovals before the name", (Kind.FINAL_RETURN,), ("gothic", "narrow", "plain"), born=0.15)
def ovals(doc: Doc, case: Case, kind: Kind) -> None:
    """A scannable form: ovals or boxes down the left, the taxpayer at their right."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = _form(doc, case)
    shown(doc, left, 746, agency, 300, 9)
    shown(doc, left, 728, title, right - left - 110, 14, "bold")
    shown(doc, right, 746, _called(form), 150, 11, "bold", "right")
    doc.write(right, 728, f"Tax year {case.ended.year}", size=10, align="right")
    shape = shape_of(doc, case, "oval", "oval", "square")
    final = case.pick("Final", "Final return", "Final year")
    labels = ["First year", "Amended", "Composite", "Change of address"]
    labels.insert(case.dice.randrange(3), final)
    doc.write(left, 702, "Fill in if applicable" if shape == "oval" else "Check if applicable", face="bold", size=8)
    choices(doc, case, labels, [(left, 684 - 17.0 * n) for n in range(5)], shape, size=8)
    y, font = 702.0, case.pick("Courier", "")
    for label, value in (
        ("Name of entity", case.name.upper()),
        ("Federal employer identification number", case.ein),
        ("Mailing address", f"{case.street}, {case.town}".upper()),
        ("Tax year", _year(case)),
    ):
        doc.write(left + 150, y, label, size=7)
        doc.fitted(left + 152, y - 12, value, right - left - 152, font=font, size=10.5)
        doc.rule(y - 16, left + 150, right, 0.3)
        y -= 25
    doc.y = 580
    amounts(doc, case, 16)
    _signature(doc, case)
    returned(doc, case, kind, form)


@proof("return with questions", (Kind.FINAL_RETURN,), ("roman", "press", "gothic"), born=0.15)
def questions(doc: Doc, case: Case, kind: Kind) -> None:
    """What kind of return it is, asked as questions to answer yes or no."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = _form(doc, case)
    doc.middle(744, title, size=14)
    doc.middle(729, f"{agency}  -  {_called(form)}", face="regular", size=9)
    doc.rule(720)
    doc.blank(left, 692, right - 160, "Name as registered", case.name)
    doc.blank(right - 150, 692, right, "Federal ID number (FEIN)", case.ein)
    doc.blank(left, 658, right - 160, "Street, city, state, ZIP", f"{case.street}, {case.town}", size=9.5)
    doc.blank(right - 150, 658, right, "Tax year end", case.day(case.ended))
    doc.y = 624
    final = case.chance(0.6)
    shape = shape_of(doc, case, "square", "heavy", "bracket")
    ask = case.pick(
        "Is this the final return of the entity?", "Is this a final return?", "Final return? (If yes, explain.)"
    )
    rows = ("Is this the first return?", False), (ask, final), ("Is an earlier return amended?", case.chance(0.2))
    for number, (question, yes) in enumerate(rows):
        doc.write(left, doc.y, question, size=9.5)
        sign = case.dice.choice(ticks.MARKS[shape])
        for x, word, here in ((300, "Yes", yes), (356, "No", not yes)):
            wide = ticks.box(doc, left + x, doc.y - 1, shape, sign if here else "", size=9, name=f"{word}{number}")
            doc.write(left + x + wide + 3, doc.y, word, size=9)
        if question == ask:
            doc.truth["final_box"], doc.box = final, f"{shape}, yes or no: {sign}"
        doc.skip(17)
    doc.skip(6)
    amounts(doc, case, 14)
    _signature(doc, case)
    arrived(doc, case, (left + 100, 110))
    returned(doc, case, kind, form)


@proof("return, kinds in one line", (Kind.FINAL_RETURN,), ("typewriter", "gothic", "plain"), born=0.3)
def one_line(doc: Doc, case: Case, kind: Kind) -> None:
    """A program's print: title at the left, facts with colons, the kinds of return in one line."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = _form(doc, case)
    shown(doc, left, 744, f"{case.ended.year} {_called(form)}", 250, 14, "bold")
    shown(doc, left, 728, title, right - left, 11, "bold")
    shown(doc, left, 715, agency, right - left, 8.5)
    doc.y = 694.0
    facts = ("Name", case.name), ("EIN", case.ein), ("Address", f"{case.street}, {case.town}"), ("Year", _year(case))
    for label, value in facts:
        doc.write(left, doc.y, f"{label}:", size=9)
        doc.fitted(left + 70, doc.y, value, right - left - 70, size=10)
        doc.skip(16)
    doc.skip(6)
    doc.write(left, doc.y, "This return is:", size=9.5)
    spots = [(left + 92 + 88.0 * n, doc.y) for n in range(4)]
    labels, shape = (
        ["Initial", "Amended", "Final", "None of these"],
        shape_of(doc, case, "paren", "bracket", "underline"),
    )
    choices(doc, case, labels, spots, shape)
    doc.skip(22)
    amounts(doc, case, 16)
    _signature(doc, case)
    returned(doc, case, kind, form)


@proof("owner's share, stacked", (Kind.FINAL_K1,), ("gothic", "roman", "narrow"), born=0.2)
def owner_share(doc: Doc, case: Case, kind: Kind) -> None:
    """Schedule K-1 of a partnership or an S corporation; its boxes under the title or at the right."""
    left, right = doc.look.left, doc.look.right
    form, entity, holder = case.dice.choice(
        (("1065", "Partnership", "Partner"), ("1120-S", "Corporation", "Shareholder"))
    )
    doc.write(left, 742, f"SCHEDULE K-1 (Form {form})", face="bold", size=13)
    doc.write(left, 728, f"{holder}'s Share of Income, Deductions, Credits, etc.", size=10.5)
    doc.write(left, 716, IRS, size=7.5)
    doc.write(right, 742, f"{case.ended.year}", face="bold", size=16, align="right")
    spots = [(left, 698.0), (left + 110, 698.0)] if case.chance(0.5) else [(right - 170, 722.0), (right - 84, 722.0)]
    choices(doc, case, ["Final K-1", "Amended K-1"], spots, shape_of(doc, case, "square", "heavy"), size=8.5)
    doc.write(right, 698, f"Tax year ending {case.day(case.ended)}", size=9, align="right")
    half = (right - left) / 2
    cells = (
        (f"{entity}'s EIN", case.ein),
        (f"{holder}'s SSN or TIN", f"XXX-XX-{case.dice.randrange(1000, 9999)}"),
        (f"{entity}'s name", case.name),
        (f"{holder}'s name", case.people[0]),
        ("IRS center", case.pick("Ogden", "Kansas City", "E-FILE")),
        ("Ownership percentage", f"{case.dice.randrange(1, 99)}.000000 %"),
    )
    for number, (label, value) in enumerate(cells):
        doc.cell(left + half * (number % 2), 654 - 34 * (number // 2), half, 34, label, value, size=10)
    doc.y = 560
    for text in ("Ordinary business income", "Rental income", "Interest", "Section 1231 gain", "Distributions"):
        doc.write(left + 4, doc.y, text, size=9.5)
        doc.write(right - 6, doc.y, case.money(5, 80000), size=9.5, align="right")
        doc.rule(doc.y - 5, weight=0.3)
        doc.skip(21)
    returned(doc, case, kind, form, signed=False)


EMPLOYER = (
    ("941", "Employer's Quarterly Federal Tax Return"),
    ("941", "Employer's Quarterly Federal Tax Return"),
    ("944", "Employer's Annual Federal Tax Return"),
    ("940", "Employer's Annual Federal Unemployment (FUTA) Tax Return"),
)


@proof("federal wages, last quarter or year", (Kind.FINAL_EMPLOYMENT_RETURN,), ("gothic", "plain", "narrow"), born=0.2)
def federal_wages(doc: Doc, case: Case, kind: Kind) -> None:
    """Forms 941, 944 and 940; the question whether the business closed stands below the sums."""
    left, right = doc.look.left, doc.look.right
    form, title = case.dice.choice(EMPLOYER)
    last = quarter_end(case) if form == "941" else case.ended.replace(month=12, day=31)
    shown(doc, left, 744, f"Form {form}: {title}", right - left, 13, "bold")
    doc.write(left, 731, f"{IRS}      {last.year}", size=8)
    doc.cell(left, 690, 170, 30, "EIN", case.ein)
    doc.cell(left + 170, 690, right - left - 170, 30, "Name (not your trade name)", case.name)
    doc.cell(left, 662, right - left, 28, "Address", f"{case.street}, {case.town}", size=9.5)
    doc.write(left, 644, f"{'Quarter' if form == '941' else 'Year'} ended {case.day(last)}", face="bold", size=9.5)
    doc.y = 618
    wages(doc, case, 8)
    closed = case.chance(0.62)
    shape = shape_of(doc, case, "square", "heavy")
    sign = case.dice.choice(ticks.MARKS[shape]) if closed else ""
    final = case.pick(
        "Business closed or no more wages will be paid: this is the final return",
        "If your business has closed or you stopped paying wages, check here",
        "Check here if you will not file again because the business has closed",
    )
    wage_day = f"Last day on which wages were paid: {case.day(case.ended) if closed else ''}"
    for text, mark in ((final, sign), (wage_day, None), ("Seasonal employer: no return for some quarters", "")):
        doc.write(left, doc.y, text, size=9.5)
        if mark is not None:
            ticks.box(doc, right - 24, doc.y - 1, shape, mark, name=text[:4])
        doc.skip(18)
    doc.truth["final_box"], doc.box = closed, f"{shape}: {sign or 'empty'}"
    _signature(doc, case)
    arrived(doc, case, (right - 90, 130))
    returned(doc, case, kind, form, period=last)


@proof("state withholding, last quarter", (Kind.FINAL_EMPLOYMENT_RETURN,), ("gothic", "typewriter"), place="returns")
def state_wages(doc: Doc, case: Case, kind: Kind) -> None:
    """A state's withholding return: cells at the head, boxes down the left under them."""
    left, right = doc.look.left, doc.look.right
    last, form = quarter_end(case), f"{case.pick('WR', 'L', 'W')}-{case.dice.randrange(5, 60)}"
    shown(doc, left, 744, f"Form {form}", 120, 13, "bold")
    shown(doc, 330, 744, "Withholding Tax Return", 250, 13, "bold", "centre")
    shown(doc, 330, 730, case.place.agency, 300, 9, "regular", "centre")
    third, cells = (
        (right - left) / 3,
        (("FEIN", case.ein), ("Quarter ended", case.day(last)), ("Due date", case.day(last + timedelta(30)))),
    )
    for number, (label, value) in enumerate(cells):
        doc.cell(left + third * number, 688, third, 30, label, value, size=10)
    doc.cell(left, 658, right - left, 30, "Employer", case.name)
    final = case.pick("Final return: no longer paying wages", "Final return (account closing)")
    labels = ["Amended return", final, "No wages paid this quarter"]
    spots = [(left + 10, 638 - 17.0 * n) for n in range(3)]
    choices(doc, case, labels, spots, shape_of(doc, case, "square", "bracket", "oval"), size=8.5)
    doc.y = 576
    wages(doc, case, 5)
    _signature(doc, case)
    arrived(doc, case, (right - 90, 220))
    doc.truth["jurisdiction"] = case.place.code
    returned(doc, case, kind, form, period=last)


@proof("liquidation, answers on rules", (Kind.CORPORATE_LIQUIDATION_NOTICE,), ("roman", "gothic", "plain"), born=0.2)
def liquidation_rules(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 966 with its answers on rules."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 742, "Form 966", face="bold", size=16)
    doc.write(right, 744, "Corporate Dissolution or Liquidation", face="bold", size=13, align="right")
    doc.write(right, 731, IRS, size=8, align="right")
    doc.rule(720, weight=1.2)
    doc.y = 692
    for label, value in liquidation(case):
        doc.blank(left, doc.y, right, label, value, size=10.5)
        doc.skip(35)
    _signature(doc, case)
    arrived(doc, case, (right - 90, 150))
    returned(doc, case, kind, "966", period=None)
