"""Last tax returns, in layouts of our own: what they ask is the trade's, how they look is not any agency's."""

from drawing.companies import Company
from drawing.sheet import (
    LEFT,
    RIGHT,
    Draw,
    Pen,
    cell,
    centred,
    ending,
    line,
    prose,
    rule,
    sample_mark,
    signed,
    tick_box,
)
from drawing.wording import words

Amounts = tuple[tuple[str, str], ...]


def _bar(pen: Pen, y: float, title: str) -> None:
    pen.setFillGray(0.88)
    pen.rect(LEFT, y - 4, RIGHT - LEFT, 13, stroke=0, fill=1)
    line(pen, LEFT + 4, y - 0.5, title, "Sans-Bold", 8.5)


def _rows(pen: Pen, y: float, title: str, amounts: Amounts, pitch: float = 16.5) -> float:
    """A titled list of numbered lines with an amount each; returns where the next part may begin."""
    _bar(pen, y, title)
    y -= pitch + 1
    for number, (text, amount) in enumerate(amounts, start=1):
        line(pen, LEFT + 4, y, f"{number}", "Sans-Bold", 8)
        line(pen, LEFT + 24, y, text, "Sans", 8.5)
        rule(pen, y - 3.5, RIGHT - 96, RIGHT, 0.4)
        ending(pen, RIGHT - 4, y, amount, "Mono", 9.5)
        y -= pitch
    return y - 4


def _partners(pen: Pen, y: float, company: Company, share: str) -> float:
    """The two partners, half each."""
    _bar(pen, y, "Partners at any time in the year")
    for name in company.members:
        y -= 17
        line(pen, LEFT + 24, y, name, "Sans", 8.5)
        line(pen, LEFT + 200, y, "Capital 50.0000%   Profit 50.0000%", "Sans", 8.5)
        ending(pen, RIGHT - 4, y, share, "Mono", 9.5)
        rule(pen, y - 4, weight=0.3)
    return y - 22


def form_1065(company: Company, ein: str, started: str, signing: str, prepared: str, sales: Amounts) -> Draw:
    """Form 1065 for a last short year, the Final return box marked with a typed X."""

    def draw(pen: Pen) -> None:
        _head_1065(pen, company)
        _blanks_1065(pen, company, ein, started)
        _boxes_1065(pen)
        y = _rows(pen, 482, "Income", sales[:4])
        y = _rows(pen, y, "Deductions", sales[4:])
        y = _partners(pen, y, company, "See Schedule K-1")
        y = prose(pen, y, words("form_1065", "perjury"), "Sans", 8)
        signed(pen, y - 24, company.members[0], "partner", signing)
        line(pen, LEFT, y - 52, "Paid preparer: Larkmoor Ledger Office, PTIN P09900112", "Sans", 8)
        line(pen, LEFT + 322, y - 52, f"Prepared {prepared}", "Sans", 8)
        sample_mark(pen)

    return draw


def _head_1065(pen: Pen, company: Company) -> None:
    line(pen, LEFT, 738, "Form 1065", "Sans-Bold", 19)
    centred(pen, 744, "U.S. Return of Partnership Income", "Sans-Bold", 14, 320)
    centred(pen, 729, "Department of the Treasury, Internal Revenue Service", "Sans", 8, 320)
    ending(pen, RIGHT, 738, "2025", "Sans-Bold", 18)
    line(pen, LEFT, 708, "For calendar year 2025, or tax year beginning", "Sans", 8.5)
    line(pen, 256, 708, "01/01/2026", "Mono-Bold", 10.5)
    line(pen, 336, 708, "and ending", "Sans", 8.5)
    line(pen, 392, 708, company.closed, "Mono-Bold", 10.5)
    rule(pen, 704, 250, 328, 0.4)
    rule(pen, 704, 386, 466, 0.4)
    rule(pen, 697, weight=1.3)


def _blanks_1065(pen: Pen, company: Company, ein: str, started: str) -> None:
    cell(pen, LEFT, 664, 320, 27, "Name of partnership", company.name)
    cell(pen, LEFT + 320, 664, 160, 27, "D  Employer identification number", ein, 11)
    cell(pen, LEFT, 637, 320, 27, "Number, street, and room or suite no.", company.street)
    cell(pen, LEFT + 320, 637, 160, 27, "E  Date business started", started)
    cell(pen, LEFT, 610, 320, 27, "City or town, state, and ZIP code", company.city)
    cell(pen, LEFT + 320, 610, 160, 27, "F  Total assets at end of year", "0")
    cell(pen, LEFT, 583, 160, 27, "A  Principal business activity", "Bakery machinery")
    cell(pen, LEFT + 160, 583, 160, 27, "B  Principal product or service", "Equipment sales")
    cell(pen, LEFT + 320, 583, 160, 27, "C  Business code number", "423830")


def _boxes_1065(pen: Pen) -> None:
    line(pen, LEFT, 562, "G", "Sans-Bold", 9)
    line(pen, LEFT + 16, 562, "Check the boxes that apply:", "Sans", 8.5)
    tick_box(pen, LEFT + 140, 560, "(1) Initial return")
    tick_box(pen, LEFT + 248, 560, "(2) Final return", "X")
    tick_box(pen, LEFT + 356, 560, "(3) Name change")
    tick_box(pen, LEFT + 140, 542, "(4) Address change")
    tick_box(pen, LEFT + 248, 542, "(5) Amended return")
    line(pen, LEFT, 522, "H", "Sans-Bold", 9)
    line(pen, LEFT + 16, 522, "Accounting method:", "Sans", 8.5)
    tick_box(pen, LEFT + 140, 520, "(1) Cash")
    tick_box(pen, LEFT + 248, 520, "(2) Accrual", "X")
    tick_box(pen, LEFT + 356, 520, "(3) Other")
    line(pen, LEFT, 502, "I", "Sans-Bold", 9)
    line(pen, LEFT + 16, 502, "Number of Schedules K-1, one for each partner of the year:", "Sans", 8.5)
    line(pen, LEFT + 300, 502, "2", "Mono", 10)


def oregon_65(company: Company, signing: str, mark: str, amounts: Amounts, share: str) -> Draw:
    """Oregon's partnership return, the Final return box marked with `mark` (`X` typed, `pen` by hand)."""

    def draw(pen: Pen) -> None:
        _head_65(pen, company)
        _boxes_65(pen, mark)
        line(pen, LEFT, 546, "A.  Date the partnership began doing business in Oregon:", "Sans", 9)
        line(pen, LEFT + 250, 546, company.formed, "Mono", 9.5)
        line(pen, LEFT, 530, "B.  Number of partners on the last day of the tax year:", "Sans", 9)
        line(pen, LEFT + 250, 530, "2   (Oregon residents: 2)", "Mono", 9.5)
        y = _rows(pen, 506, "Oregon modifications and tax", amounts, 19)
        y = _partners(pen, y - 4, company, share)
        y = prose(pen, y - 4, words("oregon_65", "ends"), "Sans", 9)
        y = prose(pen, y - 8, words("oregon_65", "oath"), "Sans", 9)
        signed(pen, y - 28, company.members[0], "partner", signing)
        sample_mark(pen)

    return draw


def _head_65(pen: Pen, company: Company) -> None:
    ending(pen, RIGHT, 744, "Form OR-65", "Sans-Bold", 17)
    line(pen, LEFT, 748, "Oregon Department of Revenue", "Sans-Bold", 11)
    line(pen, LEFT, 732, "Oregon Partnership Return of Income", "Sans-Bold", 13)
    ending(pen, RIGHT, 730, "Page 1 of 1", "Sans", 8)
    rule(pen, 722, weight=1.6)
    cell(pen, LEFT, 690, 150, 27, "Tax year beginning (MM/DD/YYYY)", "01/01/2026")
    cell(pen, LEFT + 150, 690, 150, 27, "Tax year ending (MM/DD/YYYY)", company.closed)
    cell(pen, LEFT + 300, 690, 180, 27, "Federal employer identification number (FEIN)", company.ein)
    cell(pen, LEFT, 660, 480, 27, "Partnership name", company.name)
    cell(pen, LEFT, 633, 300, 27, "Mailing address", company.street)
    cell(pen, LEFT + 300, 633, 180, 27, "City, state and ZIP code", company.city, 9)


def _boxes_65(pen: Pen, mark: str) -> None:
    line(pen, LEFT, 612, "Mark every box that applies", "Sans-Bold", 9)
    tick_box(pen, LEFT + 8, 592, "First return", size=10)
    tick_box(pen, LEFT + 128, 592, "Final return", mark, 10)
    tick_box(pen, LEFT + 248, 592, "Amended return", size=10)
    tick_box(pen, LEFT + 368, 592, "Extension filed", size=10)
    tick_box(pen, LEFT + 8, 570, "Accounting period change", size=10)
    tick_box(pen, LEFT + 248, 570, "Composite return filed for owners", size=10)


def tennessee_fae170(company: Company, control: str, account: str, signing: str, amounts: Amounts) -> Draw:
    """Tennessee's franchise and excise return; none of its Initial, Final and Amended boxes is marked."""

    def draw(pen: Pen) -> None:
        _head_fae170(pen, company, control, account)
        _boxes_fae170(pen)
        y = _rows(pen, 520, "Schedule A and B: computation of franchise tax and excise tax", amounts, 18.5)
        paid = (("Paid on 04/15/2026", "131"), ("Paid on 06/15/2026", "130"))
        y = _rows(pen, y, "Schedule E: estimated payments", paid, 18.5)
        y = prose(pen, y - 6, words("tennessee_fae170", "ends"), "Sans", 8.5)
        y = prose(pen, y - 6, words("tennessee_fae170", "perjury"), "Sans", 8.5)
        signed(pen, y - 28, company.members[1], "member", signing)
        sample_mark(pen)

    return draw


def _head_fae170(pen: Pen, company: Company, control: str, account: str) -> None:
    centred(pen, 746, "TENNESSEE DEPARTMENT OF REVENUE", "Sans-Bold", 11)
    centred(pen, 729, "Franchise and Excise Tax Return", "Sans-Bold", 15)
    line(pen, LEFT, 738, "FAE170", "Sans-Bold", 17)
    rule(pen, 720, weight=1.3)
    cell(pen, LEFT, 688, 240, 27, "Taxable year: beginning", "01/01/2026")
    cell(pen, LEFT + 240, 688, 240, 27, "Taxable year: ending", company.closed)
    cell(pen, LEFT, 661, 320, 27, "Legal name", company.name)
    cell(pen, LEFT + 320, 661, 160, 27, "FEIN", company.ein)
    cell(pen, LEFT, 634, 320, 27, "Mailing address", company.street)
    cell(pen, LEFT + 320, 634, 160, 27, "Account number", account)
    cell(pen, LEFT, 607, 320, 27, "City, state and ZIP code", company.city)
    cell(pen, LEFT + 320, 607, 160, 27, "Secretary of State control number", control)


def _boxes_fae170(pen: Pen) -> None:
    line(pen, LEFT, 586, "Return:", "Sans-Bold", 9)
    tick_box(pen, LEFT + 90, 584, "Initial return")
    tick_box(pen, LEFT + 218, 584, "Final return")
    tick_box(pen, LEFT + 346, 584, "Amended return")
    line(pen, LEFT, 566, "Type of entity:", "Sans-Bold", 9)
    tick_box(pen, LEFT + 90, 564, "Corporation")
    tick_box(pen, LEFT + 218, 564, "Limited liability company", "X")
    tick_box(pen, LEFT + 346, 564, "Limited partnership")
    line(pen, LEFT, 546, "Apportionment:", "Sans-Bold", 9)
    tick_box(pen, LEFT + 90, 544, "Single sales factor", "X")
    tick_box(pen, LEFT + 218, 544, "Other method approved")
