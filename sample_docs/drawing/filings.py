"""Papers that end a company at home or withdraw it elsewhere, as delivered to a state's filing office."""

from reportlab.lib.colors import Color

from drawing.companies import Company
from drawing.sheet import (
    BLACK_INK,
    BLUE_INK,
    LEFT,
    RIGHT,
    WIDTH,
    Draw,
    Pen,
    centred,
    ending,
    entry,
    line,
    prose,
    rule,
    sample_mark,
    signed,
    tick_box,
)
from drawing.wording import words


def oregon_articles(company: Company, signing: str, decided: str, body: str = "Serif", ink: Color = BLUE_INK) -> Draw:
    """Articles of Dissolution of an Oregon company, decided and signed on the days given in words."""

    def draw(pen: Pen) -> None:
        _oregon_head(pen)
        _oregon_blanks(pen, company, decided)
        line(pen, LEFT, 488, "3. Debts and property", "Sans-Bold", 9.5)
        y = prose(pen, 473, words("oregon_articles", "debts"), body)
        line(pen, LEFT, y - 2, "4. Effect", "Sans-Bold", 9.5)
        y = prose(pen, y - 17, words("oregon_articles", "effect"), body)
        line(pen, LEFT, y - 2, "5. Address to which process may be mailed", "Sans-Bold", 9.5)
        entry(pen, y - 22, "Street, city, state and ZIP code", f"{company.street}, {company.city}")
        line(pen, LEFT, y - 52, "6. Execution", "Sans-Bold", 9.5)
        y = prose(pen, y - 67, words("oregon_articles", "execution"), body)
        signed(pen, y - 26, company.members[0], "member", signing, ink)
        line(pen, LEFT, y - 60, "7. Person to ask about this filing", "Sans-Bold", 9.5)
        entry(pen, y - 80, "Name", company.members[0], LEFT, LEFT + 200, "Sans")
        entry(pen, y - 80, "Telephone", f"(541) 555-01{company.registry[2:4]}", LEFT + 220, LEFT + 330, "Sans")
        prose(pen, 64, words("oregon_articles", "fee"), "Sans", 7)
        sample_mark(pen)

    return draw


def _oregon_head(pen: Pen) -> None:
    line(pen, LEFT, 742, "Oregon Secretary of State", "Sans-Bold", 13)
    line(pen, LEFT, 728, "Corporation Division, Business Filings", "Sans", 9)
    line(pen, LEFT, 692, "ARTICLES OF DISSOLUTION", "Sans-Bold", 17)
    line(pen, LEFT, 677, "Domestic limited liability company", "Sans", 10)
    pen.setStrokeGray(0.3)
    pen.setLineWidth(0.6)
    pen.rect(364, 660, RIGHT - 364, 94)
    line(pen, 368, 744, "For office use only", "Sans", 7)


def _oregon_blanks(pen: Pen, company: Company, decided: str) -> None:
    entry(pen, 632, "Registry number", company.registry, LEFT, LEFT + 150)
    entry(pen, 632, "Date the articles of organization were filed", company.formed, LEFT + 175, RIGHT)
    entry(pen, 598, "1. Name of the limited liability company, as the record of this office shows it", company.name)
    line(pen, LEFT, 566, "2. How the dissolution came about", "Sans-Bold", 9.5)
    tick_box(pen, LEFT + 6, 547, f"The members consented in writing to dissolve, on {decided}.", "X")
    tick_box(pen, LEFT + 6, 531, "An event named in the articles or the operating agreement took place.")
    tick_box(pen, LEFT + 6, 515, "A court ordered it; a copy of the judgment is attached.")


def washington_withdrawal(company: Company, ubi: str, since: str, ended: str, signing: str, ink: Color) -> Draw:
    """Statement of Withdrawal of a foreign company in Washington."""

    def draw(pen: Pen) -> None:
        _washington_head(pen)
        entry(pen, 640, "Unified Business Identifier (UBI)", ubi, LEFT, LEFT + 150)
        entry(pen, 640, "Jurisdiction of formation", "Oregon", LEFT + 170, LEFT + 290)
        entry(pen, 640, "Registered in Washington since", since, LEFT + 310, RIGHT)
        entry(pen, 606, "Name of the company as registered in this state", company.name)
        y = prose(pen, 574, words("washington_withdrawal", "opening"))
        for number, text in enumerate(words("washington_withdrawal", "points", ended=ended), start=1):
            line(pen, LEFT, y, f"{number}.", "Serif", 10.5)
            y = prose(pen, y, [text], x=LEFT + 18, width=RIGHT - LEFT - 18)
        entry(pen, y - 14, "Mailing address for process", f"{company.street}, {company.city}")
        y = prose(pen, y - 50, words("washington_withdrawal", "closing"))
        signed(pen, y - 30, company.members[1], "member", signing, ink)
        line(pen, LEFT, 94, "Return the filed copy to:", "Sans-Bold", 8)
        for number, text in enumerate((company.members[1], company.street, company.city)):
            line(pen, LEFT, 83 - 11 * number, text, "Sans", 8)
        sample_mark(pen)

    return draw


def _washington_head(pen: Pen) -> None:
    centred(pen, 744, "STATE OF WASHINGTON", "Serif-Bold", 12)
    centred(pen, 730, "Office of the Secretary of State, Corporations and Charities Division", "Serif", 10)
    rule(pen, 720)
    rule(pen, 717)
    centred(pen, 692, "STATEMENT OF WITHDRAWAL", "Serif-Bold", 17)
    centred(pen, 677, "Foreign limited liability company", "Serif-Italic", 11)


def draft_mark(pen: Pen) -> None:
    """A word processor's gray DRAFT slanting across the sheet."""
    pen.saveState()
    pen.translate(WIDTH / 2, 430)
    pen.rotate(42)
    pen.setFillGray(0.86)
    pen.setFont("Sans-Bold", 120)
    pen.drawCentredString(0, -36, "DRAFT")
    pen.restoreState()


def colorado_withdrawal(company: Company) -> Draw:
    """Statement of Foreign Entity Withdrawal as Colorado's filing office gives it back: electronic mark, no ink."""

    def draw(pen: Pen) -> None:
        _colorado_head(pen)
        answers = (
            ("1. ID number of the foreign entity", "20171540886"),
            ("2. True name of the foreign entity", company.name),
            ("3. Jurisdiction of its formation", "Oregon"),
            ("4. Form of entity", "Foreign limited liability company"),
            ("5. Authorized in Colorado since", "06/29/2017"),
            ("6. Street address for service of process", company.street),
            ("", company.city),
        )
        for number, (label, value) in enumerate(answers):
            line(pen, LEFT, 618 - 24 * number, label, "Helvetica", 10)
            line(pen, 300, 618 - 24 * number, value, "Helvetica-Bold", 10)
        facts = {"member": company.members[0], "street": company.street, "city": company.city}
        y = prose(pen, 440, words("colorado_withdrawal", "points", **facts), "Helvetica", 10, gap=4)
        rule(pen, y - 4)
        prose(pen, y - 20, words("colorado_withdrawal", "foot"), "Helvetica", 8.5)
        sample_mark(pen, font="Helvetica-Bold")

    return draw


def _colorado_head(pen: Pen) -> None:
    mark = (
        "Colorado Secretary of State",
        "Document number: 20268114471",
        "Filed: 07/22/2026 10:41 AM",
        "Amount paid: $10.00",
    )
    ending(pen, RIGHT, 752, "E-Filed", "Helvetica-Bold", 11)
    for number, text in enumerate(mark):
        ending(pen, RIGHT, 739 - 11 * number, text, "Helvetica", 9)
    line(pen, LEFT, 752, "This document was delivered electronically.", "Helvetica", 8)
    line(pen, LEFT, 741, "No paper copy is kept by the filing office.", "Helvetica", 8)
    rule(pen, 696)
    centred(pen, 668, "Statement of Foreign Entity Withdrawal", "Helvetica-Bold", 16)
    centred(pen, 652, "filed pursuant to section 7-90-806 of the Colorado Revised Statutes", "Helvetica", 9)


def tennessee_cancellation(company: Company, control: str, signing: str) -> tuple[Draw, Draw]:
    """Both pages of a foreign company's cancellation of its Certificate of Authority in Tennessee."""

    def front(pen: Pen) -> None:
        _tennessee_head(pen)
        entry(pen, 518, "Secretary of State control number", control, LEFT, LEFT + 180)
        entry(pen, 518, "State of formation", "Oregon", LEFT + 200, LEFT + 320)
        entry(pen, 518, "Certificate of authority given", "March 2, 2020", LEFT + 340, RIGHT)
        entry(pen, 482, "Name of the limited liability company", company.name)
        entry(pen, 446, "Principal executive office", f"{company.street}, {company.city}")
        y = prose(pen, 410, words("tennessee_cancellation", "front"), "Sans", 11.5, gap=3)
        entry(pen, y - 14, "Registered agent in Tennessee whose authority ends", "Dunmoor Agency Service, Nashville")
        line(pen, LEFT, 74, "Filing fee $20. Annual reports must be current through the year of filing.", "Sans", 8)
        ending(pen, RIGHT, 60, "Page 1 of 2", "Sans", 8)
        sample_mark(pen)

    def back(pen: Pen) -> None:
        line(pen, LEFT, 722, f"Control number {control}", "Sans", 9)
        line(pen, LEFT, 708, company.name, "Sans-Bold", 10)
        rule(pen, 698)
        y = prose(pen, 672, words("tennessee_cancellation", "service"), "Sans", 11.5)
        entry(pen, y - 12, "Street address", company.street)
        entry(pen, y - 46, "City, state and ZIP code", company.city)
        y = prose(pen, y - 84, words("tennessee_cancellation", "back"), "Sans", 11.5, gap=8)
        signed(pen, y - 36, company.members[1], "member", signing, BLACK_INK)
        prose(pen, y - 100, words("tennessee_cancellation", "notes"), "Sans", 9)
        ending(pen, RIGHT, 60, "Page 2 of 2", "Sans", 8)
        sample_mark(pen)

    return front, back


def _tennessee_head(pen: Pen) -> None:
    line(pen, LEFT, 722, "Tennessee Secretary of State", "Sans-Bold", 13)
    line(pen, LEFT, 708, "Division of Business Services", "Sans", 9)
    line(pen, LEFT, 697, "Business filings counter", "Sans", 9)
    rule(pen, 612, weight=1.2)
    centred(pen, 590, "CERTIFICATE OF CANCELLATION OF", size=15)
    centred(pen, 572, "CERTIFICATE OF AUTHORITY", size=15)
    centred(pen, 556, "Foreign limited liability company", "Sans", 10)
