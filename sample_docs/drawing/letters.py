"""Letters and certificates from an agency, and the company's own letters, resolutions and records."""

from collections.abc import Sequence

from drawing.companies import Company
from drawing.sheet import (
    BLACK_INK,
    BLUE_INK,
    LEFT,
    RIGHT,
    Draw,
    Pen,
    centred,
    ending,
    entry,
    line,
    paragraph,
    prose,
    rule,
    sample_mark,
    scribble,
)
from drawing.wording import words

Row = tuple[str, str, str, str]


def tennessee_clearance(company: Company, control: str, account: str, given: str, through: str) -> Draw:
    """Certificate of Tax Clearance for withdrawal, given and valid through the days in words."""
    facts = (
        ("Date:", given),
        ("Taxpayer:", company.name),
        ("FEIN:", company.ein),
        ("Control number:", control),
        ("Tax account:", account),
    )

    def draw(pen: Pen) -> None:
        _framed_head(pen)
        for number, (label, value) in enumerate(facts):
            line(pen, 90, 578 - 20 * number, label, "Serif-Bold", 12)
            line(pen, 210, 578 - 20 * number, value, "Serif", 12)
        y = prose(pen, 460, words("tennessee_clearance", "body"), size=12, x=90, width=432, gap=4)
        centred(pen, y - 16, f"This certificate is valid through {through}.", "Serif-Bold", 13)
        line(pen, 90, y - 44, "A filing made after that day needs a new certificate.", "Serif-Italic", 11)
        scribble(pen, 332, 168, 140, "clearance officer", BLUE_INK)
        rule(pen, 162, 320, 522, 0.6)
        line(pen, 320, 150, "Tax Clearance Officer, for the Commissioner", "Serif", 9.5)
        line(pen, 90, 150, "Questions: (615) 555-0142", "Serif", 9.5)
        sample_mark(pen, 72, 160)

    return draw


def _framed_head(pen: Pen) -> None:
    pen.setStrokeGray(0.2)
    pen.setLineWidth(2)
    pen.rect(44, 52, 524, 702)
    pen.setLineWidth(0.6)
    pen.rect(50, 58, 512, 690)
    centred(pen, 708, "Tennessee Department of Revenue", "Serif-Bold", 16)
    centred(pen, 692, "Taxpayer Services Division", "Serif", 11)
    rule(pen, 680, 180, 432)
    centred(pen, 640, "CERTIFICATE OF TAX CLEARANCE", "Serif-Bold", 20)
    centred(pen, 620, "for withdrawal from the state", "Serif-Italic", 13)


def account_closure(company: Company, dated: str, asked: str, reference: str) -> Draw:
    """The IRS letter that says the business account of an EIN was closed."""

    def draw(pen: Pen) -> None:
        _treasury_head(pen, dated, company.ein, reference)
        for number, text in enumerate((company.name, company.street, company.city)):
            line(pen, LEFT, 640 - 14 * number, text, "Mono", 10.5)
        line(pen, LEFT, 560, "Dear Taxpayer:", "Sans", 10.5)
        body = words("account_closure", "body", asked=asked, formed=company.formed)
        y = prose(pen, 536, body, "Sans", 10.5, gap=4)
        line(pen, LEFT, y - 6, "Sincerely yours,", "Sans", 10.5)
        scribble(pen, LEFT + 8, y - 48, 120, "accounts manager", BLACK_INK)
        line(pen, LEFT, y - 68, "Manager, Business Entity Accounts", "Sans", 10.5)
        line(pen, LEFT, y - 96, "Keep this letter for your records.", "Sans", 8.5)
        ending(pen, RIGHT, 60, "Account closure", "Sans", 8)
        sample_mark(pen)

    return draw


def _treasury_head(pen: Pen, dated: str, ein: str, reference: str) -> None:
    line(pen, LEFT, 744, "Department of the Treasury", "Sans-Bold", 11)
    line(pen, LEFT, 730, "Internal Revenue Service", "Sans-Bold", 11)
    line(pen, LEFT, 716, "Business accounts, Ogden UT 84201", "Sans", 9)
    line(pen, 340, 716, "Date:", "Sans-Bold", 10)
    line(pen, 450, 716, dated, "Sans", 10.5)
    line(pen, 340, 698, "Employer identification", "Sans-Bold", 10)
    line(pen, 340, 686, "number:", "Sans-Bold", 10)
    line(pen, 450, 686, ein, "Sans", 10.5)
    line(pen, 340, 668, "Our reference:", "Sans-Bold", 10)
    line(pen, 450, 668, reference, "Sans", 10.5)
    line(pen, 340, 650, "Telephone:", "Sans-Bold", 10)
    line(pen, 450, 650, "(801) 555-0119", "Sans", 10.5)


def creditor_notice(company: Company, dated: str, dissolved: str, deadline: str, creditor: Sequence[str]) -> Draw:
    """The company's letter to a creditor it knows of: how to claim, where, and until when."""
    facts = {"name": company.name, "dissolved": dissolved, "deadline": deadline}

    def draw(pen: Pen) -> None:
        centred(pen, 742, company.name, "Serif-Bold", 16)
        centred(pen, 727, f"{company.street}, {company.city}", "Serif", 9.5)
        rule(pen, 717)
        line(pen, LEFT, 686, dated, "Serif", 11)
        for number, text in enumerate(creditor):
            line(pen, LEFT, 656 - 14 * number, text, "Serif", 11)
        line(pen, LEFT, 596, "NOTICE TO KNOWN CREDITORS OF A DISSOLVED COMPANY", "Serif-Bold", 12)
        y = paragraph(pen, 570, "To whom it may concern:", size=11)
        y = prose(pen, y, words("creditor_notice", "body", **facts), size=11, gap=3)
        line(pen, LEFT, y - 6, "For the company,", "Serif", 11)
        scribble(pen, LEFT + 8, y - 46, 130, company.members[1], BLUE_INK)
        line(pen, LEFT, y - 66, company.members[1], "Serif", 11)
        line(pen, LEFT, y - 80, "Member in charge of winding up", "Serif", 11)
        line(pen, LEFT, y - 110, "Sent by certified mail, return receipt requested", "Serif-Italic", 10)
        sample_mark(pen)

    return draw


def _members_sign(pen: Pen, y: float, company: Company, signing: str, font: str, role: str) -> None:
    for number, name in enumerate(company.members):
        at = y - 60 * number
        scribble(pen, LEFT + 12, at + 4, 130, name, BLUE_INK)
        rule(pen, at, LEFT, LEFT + 205, 0.5)
        line(pen, LEFT, at - 12, f"{name}, {role}", font, 10)
        entry(pen, at, "Date signed", signing, LEFT + 255, RIGHT, font)


def member_consent(company: Company, agreed: str, signing: str) -> Draw:
    """Unanimous written consent of the members to dissolve."""
    opening = words("member_consent", "opening", name=company.name, formed=company.formed, agreed=agreed)
    resolved = words("member_consent", "resolutions", first=company.members[0], second=company.members[1])

    def draw(pen: Pen) -> None:
        centred(pen, 730, "UNANIMOUS WRITTEN CONSENT OF THE MEMBERS", "Serif-Bold", 15)
        centred(pen, 711, "TO DISSOLVE THE COMPANY", "Serif-Bold", 15)
        centred(pen, 684, company.name, "Serif-Bold", 12.5)
        centred(pen, 669, "an Oregon limited liability company", "Serif-Italic", 11)
        y = prose(pen, 636, opening, size=11.5, gap=4)
        y = prose(pen, y, resolved, size=11.5, x=LEFT + 22, width=RIGHT - LEFT - 22, gap=5)
        y = prose(pen, y, words("member_consent", "closing"), size=11.5)
        _members_sign(pen, y - 50, company, signing, "Serif", "member (50 percent)")
        sample_mark(pen)

    return draw


def asset_record(company: Company, signing: str, rows: Sequence[Row], total: str) -> Draw:
    """Record of what the company owned at the end and where each thing went: (asset, to whom, day, amount)."""

    def draw(pen: Pen) -> None:
        centred(pen, 734, "RECORD OF DISPOSITION OF ASSETS", "Sans-Bold", 16)
        centred(pen, 717, "on the winding up of", "Sans", 10)
        centred(pen, 700, company.name, "Sans-Bold", 12)
        y = prose(pen, 668, words("asset_record", "opening"), "Sans", 11, gap=6)
        y = _table(pen, y, rows, total)
        y = prose(pen, y - 36, words("asset_record", "closing"), "Sans", 11, gap=4)
        _members_sign(pen, y - 44, company, signing, "Sans", "member")
        sample_mark(pen)

    return draw


def _table(pen: Pen, y: float, rows: Sequence[Row], total: str) -> float:
    stops = (LEFT + 4, 252.0, 414.0, RIGHT - 4)
    pen.setFillGray(0.87)
    pen.rect(LEFT, y - 6, RIGHT - LEFT, 17, stroke=0, fill=1)
    _row(pen, y - 1, stops, ("Asset", "Sold or distributed to", "Date", "Amount"), "Sans-Bold")
    for row in rows:
        y -= 24
        _row(pen, y, stops, row, "Sans")
        rule(pen, y - 7.5, weight=0.35)
    _row(pen, y - 25, stops, ("Total accounted for", "", "", total), "Sans-Bold")
    return y - 25


def _row(pen: Pen, y: float, stops: tuple[float, ...], row: Row, font: str) -> None:
    for x, text in zip(stops[:3], row[:3], strict=True):
        line(pen, x, y, text, font, 9.5)
    ending(pen, stops[3], y, row[3], font, 9.5)
