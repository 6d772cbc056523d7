"""Last returns, Schedules K-1 and Form 966: the layouts for tuning."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import choices, sentences, shape_of
from tests.corpus.layouts.registry import layout
from tests.corpus.layouts.returns_common import amounts, form_of, liquidation, quarter_end, returned, shares, wages


@layout("return, boxes under the name", "tune", (Kind.FINAL_RETURN,), ("narrow", "gothic", "plain"), born=0.2)
def under_the_name(doc: Doc, case: Case, _kind: Kind) -> None:
    """Form number at the left, title in the middle, year at the right; boxes in a row under the name."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.write(left, 738, form if form[:1].isalpha() else f"Form {form}", face="bold", size=17)
    doc.write(
        right,
        738,
        str(case.ended.year - 1 if case.chance(0.4) else case.ended.year),
        face="bold",
        size=17,
        align="right",
    )
    doc.write((left + right) / 2 + 20, 748, title, face="bold", size=11, align="centre")
    doc.write((left + right) / 2 + 20, 735, agency, size=8, align="centre")
    doc.rule(728, weight=1.3)
    began = case.ended.replace(month=1, day=1)
    doc.write(left, 714, f"Tax year beginning {case.day(began)} and ending {case.day(case.ended)}", size=9.5)
    wide = right - left
    doc.cell(left, 676, wide * 0.65, 28, "Name", case.name)
    doc.cell(left + wide * 0.65, 676, wide * 0.35, 28, "Employer identification number", case.ein)
    doc.cell(left, 648, wide, 28, "Address", f"{case.street}, {case.town}")
    labels = ["Initial return", "Final return", "Name change", "Amended return"]
    doc.write(left, 630, "Check each that applies:", size=8)
    choices(doc, case, labels, [(left + 4 + 118 * n, 612) for n in range(4)], shape_of(doc, case, "square", "heavy"))
    doc.y = 588
    amounts(doc, case, 14)
    _sign_off(doc, case)
    distract(doc, case, [(right - 90, 590), (left + 90, 90)])
    returned(doc, case, Kind.FINAL_RETURN, form)


def _sign_off(doc: Doc, case: Case) -> None:
    doc.skip(10)
    doc.prose(sentences("returns for tuning", "perjury", case), size=8.5)
    doc.room(70)
    y = doc.y - 20
    doc.sign(doc.look.left + 8, y + 4, case.people[0])
    doc.rule(y, doc.look.left, doc.look.left + 200)
    doc.write(doc.look.left, y - 9, "Signature of partner, member or officer", size=7)
    doc.dated(doc.look.left + 230, y + 3, case.day(case.signed), 9.5)
    doc.rule(y, doc.look.left + 222, doc.look.left + 330)
    doc.write(doc.look.left + 222, y - 9, "Date", size=7)
    doc.write(doc.look.left, y - 26, f"Preparer: {case.people[1]}    Prepared {case.day(case.decided)}", size=8)


@layout("return, boxes down the left", "tune", (Kind.FINAL_RETURN,), ("roman", "gothic"), born=0.15)
def down_the_left(doc: Doc, case: Case, _kind: Kind) -> None:
    """The agency over the title, the boxes in a column beside the name and address."""
    left, right = doc.look.left, doc.look.right
    form, title, agency = form_of(doc, case)
    doc.middle(748, agency.upper(), size=10)
    doc.middle(730, title, size=14)
    doc.write(right, 748, form, face="bold", size=11, align="right")
    doc.frame(left, 590, 122, 122)
    doc.write(left + 5, 700, "Type of return", face="bold", size=9)
    labels = ["First return", "Final return", "Amended return", "Short period"]
    case.dice.shuffle(labels)
    choices(
        doc, case, labels, [(left + 8, 680 - 24 * n) for n in range(4)], shape_of(doc, case, "square", "heavy"), size=10
    )
    stop = left + 132
    began = case.ended.replace(month=1, day=1)
    doc.cell(stop, 684, (right - stop) / 2, 28, "Period begins", case.day(began))
    doc.cell((stop + right) / 2, 684, (right - stop) / 2, 28, "Period ends", case.day(case.ended))
    doc.cell(stop, 653, right - stop, 31, "Legal name of the entity", case.name)
    doc.cell(stop, 622, right - stop, 31, "Mailing address", f"{case.street}, {case.town}")
    doc.cell(stop, 590, (right - stop) / 2, 32, "FEIN", case.ein)
    doc.cell((stop + right) / 2, 590, (right - stop) / 2, 32, "Account", case.account)
    doc.y = 568
    amounts(doc, case, 13)
    _sign_off(doc, case)
    distract(doc, case, [(right - 80, 90), (left + 90, 92)])
    returned(doc, case, Kind.FINAL_RETURN, form)


@layout("typed return with brackets", "tune", (Kind.FINAL_RETURN,), ("typewriter",), born=0.3)
def typed_brackets(doc: Doc, case: Case, _kind: Kind) -> None:
    """A plain computer printout whose boxes are square brackets."""
    left = doc.look.left
    form, title, agency = form_of(doc, case)
    doc.write(left, 745, agency)
    doc.write(left, 731, f"FORM {form.removeprefix('Form ')}   {title}"[:64])
    doc.write(left, 712, f"PERIOD: {case.ended.replace(month=1, day=1):%m/%d/%Y} TO {case.ended:%m/%d/%Y}")
    doc.write(left, 692, f"NAME: {case.name.upper()}"[:66])
    doc.write(left, 678, f"FEIN: {case.ein}     ACCOUNT: {case.account}")
    doc.write(left, 664, f"ADDR: {case.street}, {case.town}".upper()[:66])
    labels = ["INITIAL RETURN", "FINAL RETURN", "AMENDED RETURN"]
    across = case.chance(0.5)
    spots = [(left + 156 * n, 640.0) if across else (left, 642 - 15.0 * n) for n in range(3)]
    choices(doc, case, labels, spots, "acro" if doc.born and case.chance(0.3) else "bracket")
    doc.y = 590
    amounts(doc, case, 15)
    doc.skip(20)
    doc.sign(left + 10, doc.y + 2, case.people[0])
    doc.write(left, doc.y - 14, f"SIGNED {case.people[0].upper()}"[:40])
    doc.write(left + 280, doc.y - 14, f"DATE {case.day(case.signed)}")
    returned(doc, case, Kind.FINAL_RETURN, form)


@layout("partner's share, first form", "tune", (Kind.FINAL_K1,), ("narrow", "gothic"), born=0.2)
def share_first(doc: Doc, case: Case, _kind: Kind) -> None:
    """Schedule K-1 with the final box at the head."""
    left, right = doc.look.left, doc.look.right
    form = case.pick("1065", "1120-S")
    doc.write(left, 742, "Schedule K-1", face="bold", size=15)
    doc.write(left, 728, f"(Form {form})", face="bold", size=10)
    doc.write(left, 714, "Department of the Treasury, Internal Revenue Service", size=7.5)
    choices(
        doc,
        case,
        ["Final K-1", "Amended K-1"],
        [(right - 210, 742), (right - 100, 742)],
        shape_of(doc, case, "square", "heavy"),
    )
    word = "Partner" if form == "1065" else "Shareholder"
    doc.write(left, 694, f"{word}'s Share of Income, Deductions, Credits, etc.", face="bold", size=12)
    doc.write(
        left,
        678,
        f"For tax year beginning {case.day(case.ended.replace(month=1, day=1))}, ending {case.day(case.ended)}",
        size=9.5,
    )
    doc.rule(670, weight=1.2)
    shares(doc, case, "Partnership" if form == "1065" else "Corporation", word)
    returned(doc, case, Kind.FINAL_K1, form, signed=False)


@layout(
    "employment return, closing at the foot", "tune", (Kind.FINAL_EMPLOYMENT_RETURN,), ("gothic", "narrow"), born=0.2
)
def employment_foot(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 941: the quarter in the head, wages, and near the foot the part about a business that has closed."""
    left, right = doc.look.left, doc.look.right
    quarter = quarter_end(case)
    doc.write(left, 740, f"Form 941 for {quarter.year}", face="bold", size=15)
    doc.write(left, 726, "Employer's Quarterly Federal Tax Return", face="bold", size=11)
    doc.write(left, 714, "Department of the Treasury - Internal Revenue Service", size=8)
    doc.write(right, 740, f"Quarter ended {case.day(quarter)}", size=9.5, align="right")
    doc.cell(left, 676, right - left, 28, "Name (not your trade name)", case.name)
    doc.cell(left, 648, (right - left) / 2, 28, "Employer identification number (EIN)", case.ein)
    doc.cell((left + right) / 2, 648, (right - left) / 2, 28, "Address", f"{case.street}")
    doc.y = 626
    wages(doc, case, 12)
    doc.skip(6)
    doc.write(left, doc.y, "Part 3. Tell us about your business.", face="bold")
    doc.skip(22)
    choices(
        doc,
        case,
        ["If your business has closed: final return, check here", "Seasonal employer: check here"],
        [(left, doc.y), (left, doc.y - 40)],
        shape_of(doc, case, "square", "heavy"),
        after=True,
    )
    final = bool(doc.truth["final_box"])
    doc.write(
        left,
        doc.y - 17,
        f"and enter the last day you paid wages: {case.day(case.ended) if final else '____________'}",
        size=9,
    )
    doc.skip(60)
    _sign_off(doc, case)
    distract(doc, case, [(right - 90, 92)])
    returned(doc, case, kind, "941", period=quarter)


@layout("liquidation notice, lined", "tune", (Kind.CORPORATE_LIQUIDATION_NOTICE,), ("narrow", "gothic"), born=0.2)
def liquidation_lined(doc: Doc, case: Case, kind: Kind) -> None:
    """Form 966 as numbered lines."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 740, "Form 966", face="bold", size=16)
    doc.middle(742, "Corporate Dissolution or Liquidation", size=13)
    doc.write(right, 742, "Rev. October 2016", size=8, align="right")
    doc.middle(728, "Department of the Treasury, Internal Revenue Service", face="regular", size=8)
    doc.rule(718, weight=1.3)
    doc.y = 694
    for number, (label, value) in enumerate(liquidation(case), start=1):
        doc.write(left, doc.y, f"{number}", face="bold", size=9)
        doc.write(left + 18, doc.y, label, size=9)
        doc.fitted(left + 240, doc.y, value, right - left - 240, size=doc.look.size)
        doc.rule(doc.y - 5, weight=0.3)
        doc.skip(26)
    _sign_off(doc, case)
    distract(doc, case, [(right - 90, 110)])
    returned(doc, case, kind, "966", period=None)
