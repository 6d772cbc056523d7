"""Invented papers in several layouts, each with the truth beside it. Companies, people and numbers are made up.

`paper(seed)` is one paper: kind, layout, place, wear and packing, all drawn from the seed. Wordings and layouts differ
from those of `sample_docs/` and of the measuring corpus.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta

from tests.reading.pages import Box, Draft, Stamp, packed, pdf_of, photographed, worn

HEADS = "Copperline,Maple Fork,Juniper & Vale,Northgate,Tallow Creek,Blue Heron,Stonecrop,Larkspur,Old Kiln,Pinyon"
TAILS = "Bakery Equipment,Pan Repair,Oven Service,Mixers,Flour & Grain,Catering Supply,Refrigeration,Tool Rental"
SUFFIXES = ("LLC", "LLC", "L.L.C.", "Limited Liability Company", "Co., LLC")
PEOPLE = ("Marit Oldenbrook", "Casper Vinegrove", "Theodora Plumley", "Anselm Birchwater", "Ivo Strand")

# code | name | filing office | how it ends at home | how it ends elsewhere | tax agency | return | label of the number
_PLACES = """
OR|Oregon|Secretary of State|Articles of Dissolution|Application for Withdrawal|Oregon Department of Revenue|OR-65|Registry number
WA|Washington|Secretary of State|Certificate of Dissolution|Statement of Withdrawal|Washington State Department of Revenue||UBI number
CO|Colorado|Secretary of State|Statement of Dissolution|Statement of Foreign Entity Withdrawal|Colorado Department of Revenue|DR 0106|Entity ID number
TN|Tennessee|Secretary of State|Articles of Termination|Application for Cancellation of Certificate of Authority|Tennessee Department of Revenue|FAE170|Control number
DE|Delaware|Division of Corporations|Certificate of Cancellation|Certificate of Cancellation of Registration|Delaware Division of Revenue|PRT-RTN|File number
CA|California|Secretary of State|Certificate of Cancellation|Certificate of Cancellation|Franchise Tax Board|568|Entity number
NJ|New Jersey|Division of Revenue and Enterprise Services|Certificate of Termination|Certificate of Cancellation|New Jersey Division of Taxation|NJ-1065|Entity ID
NY|New York|Department of State|Articles of Dissolution|Certificate of Surrender of Authority|New York State Department of Taxation and Finance|IT-204|DOS ID number
PA|Pennsylvania|Department of State|Certificate of Termination|Statement of Withdrawal of Foreign Registration|Pennsylvania Department of Revenue|PA-20S/PA-65|Entity number
MN|Minnesota|Secretary of State|Articles of Termination|Notice of Cancellation of Certificate of Authority|Minnesota Department of Revenue|M3|File number
"""  # noqa: E501 - a table


@dataclass(frozen=True)
class Place:
    """A jurisdiction as these drawings need it."""

    code: str
    name: str
    office: str
    dissolution: str
    withdrawal: str
    agency: str
    form: str
    number: str


PLACES = tuple(Place(*row.split("|")) for row in _PLACES.strip().splitlines())


@dataclass
class Case:
    """What a paper is about; every drawing takes what it needs from it."""

    chance: random.Random
    place: Place
    home: Place
    name: str
    ein: str
    number: str
    people: tuple[str, str]
    filed: date
    signed: date
    formed: date
    ended: date
    style: str
    truth: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Paper:
    """One drawn file and the truth about it."""

    data: bytes
    truth: dict[str, object]
    note: str


def us(day: date, chance: random.Random) -> str:
    """The date in one of the ways people write it."""
    ways = (
        f"{day:%B} {day.day}, {day.year}",
        f"{day:%m/%d/%Y}",
        f"{day.month}/{day.day}/{day.year}",
        f"{day:%m-%d-%Y}",
    )
    return chance.choice((*ways, f"{day:%b} {day.day}, {day.year}"))


def stamped_date(day: date, chance: random.Random) -> str:
    """The date as date stamps have it."""
    month = f"{day:%b}".upper()
    spaced = f"{month} {day.day:02d} {day.year}"
    return chance.choice(
        (spaced, spaced, f"{month} {day.day}, {day.year}", f"{day.day} {month} {day.year}", f"{day:%m/%d/%Y}")
    )


def case(seed: int) -> Case:
    """What the paper of this seed is about."""
    chance = random.Random(seed)
    place, home = chance.sample(PLACES, 2)
    filed = date(2019, 1, 1) + timedelta(chance.randrange(2800))
    one, two = chance.sample(PEOPLE, 2)
    return Case(
        chance=chance,
        place=place,
        home=home,
        name=f"{chance.choice(HEADS.split(','))} {chance.choice(TAILS.split(','))} {chance.choice(SUFFIXES)}",
        ein=f"{chance.choice(('00', '07', '08', '09'))}-{chance.randrange(1000000, 9999999)}",
        number=f"{chance.randrange(10**8, 10**9)}",
        people=(one, two),
        filed=filed,
        signed=filed - timedelta(chance.randrange(1, 25)),
        formed=filed - timedelta(chance.randrange(900, 4000)),
        ended=date(filed.year, *chance.choice(((3, 31), (6, 30), (9, 30), (12, 31), (4, 30)))),
        style=chance.choice(("sans", "serif", "mono", "sans")),
    )


def _title(d: Draft, x: float, y: float, title: str, at: str = "left") -> None:
    d.text(x, y, title, 15 if len(title) < 45 else 11, bold=True, at=at)


def boxed_form(c: Case, title: str, foreign: bool) -> Draft:
    """Numbered items in boxes."""
    d = Draft(c.style)
    _title(d, 4.25, 0.85, title.upper(), "centre")
    d.text(4.25, 1.08, f"{'Foreign' if foreign else 'Domestic'} limited liability company", 10, at="centre")
    d.text(0.8, 0.5, f"{c.place.name} {c.place.office}", 9)
    formed = us(c.formed, c.chance)
    items = [("Name of the limited liability company", c.name), (c.place.number, c.number)]
    if foreign:
        items += [("State of organization", c.home.name), ("Date authorized to do business", formed)]
    else:
        items += [("Date of organization", formed), ("Event causing dissolution", "Consent of all members")]
    y = 1.7
    for index, (label, value) in enumerate(items, 1):
        d.frames.append((0.8, y, 7.7, y + 0.55))
        d.text(0.9, y + 0.17, f"{index}. {label}", 8)
        d.text(1.1, y + 0.43, value, 11)
        y += 0.55
    _sign(d, c, _body(d, c, foreign, y + 0.35) + 0.5)
    return d


def letterhead_form(c: Case, title: str, foreign: bool) -> Draft:
    """Office at the left, lines of label and value."""
    d = Draft(c.style)
    d.text(0.9, 0.7, f"STATE OF {c.place.name.upper()}", 12, bold=True)
    d.text(0.9, 0.9, c.place.office.upper(), 10)
    _title(d, 0.9, 1.5, title)
    origin = ("Jurisdiction of formation:", c.home.name)
    born = ("Articles of organization filed on:", us(c.formed, c.chance))
    rows = (("Company name:", c.name), (f"{c.place.number}:", c.number), origin if foreign else born)
    y = 2.0
    for label, value in rows:
        d.text(0.9, y, label, 10, bold=True)
        d.text(3.7, y, value, 10)
        d.rule(3.65, y + 0.04, 4.0)
        y += 0.33
    _sign(d, c, _body(d, c, foreign, y + 0.25) + 0.6)
    return d


def prose_form(c: Case, title: str, foreign: bool) -> Draft:
    """Running text in numbered paragraphs."""
    d = Draft(c.style)
    _title(d, 4.25, 0.9, title.upper(), "centre")
    d.text(4.25, 1.15, "OF", 11, at="centre")
    d.text(4.25, 1.4, c.name, 12, bold=True, at="centre")
    d.text(4.25, 1.65, f"To the {c.place.office}, State of {c.place.name}", 10, at="centre")
    formed = us(c.formed, c.chance)
    words = [
        f"FIRST: The name of the limited liability company is {c.name}. Its {c.place.number.lower()} is {c.number}."
    ]
    if foreign:
        words.append(
            "SECOND: It is a foreign limited liability company formed under the laws of the State of "
            f"{c.home.name} on {formed}."
        )
    else:
        words.append(f"SECOND: Its articles of organization were filed on {formed}.")
    y = 2.2
    for sentence in words:
        y = d.paragraph(0.9, y + 0.15, sentence, 11)
    y = _body(d, c, foreign, y + 0.15)
    y = d.paragraph(0.9, y + 0.2, f"IN WITNESS WHEREOF, this instrument was executed on {us(c.signed, c.chance)}.", 11)
    d.signature(4.6, y + 0.55, 1.6)
    d.rule(4.5, y + 0.6, 2.8)
    d.text(4.5, y + 0.76, f"{c.people[0]}, Manager", 9)
    return d


def grid_form(c: Case, title: str, foreign: bool) -> Draft:
    """Two columns of cells, labels above values."""
    d = Draft(c.style)
    d.text(7.7, 0.7, f"{c.place.name} {c.place.office}", 10, bold=True, at="right")
    d.text(7.7, 0.9, "Business filings", 8, at="right")
    _title(d, 0.8, 1.45, title)
    formed = us(c.formed, c.chance)
    cells = [("Legal name", c.name), (c.place.number, c.number)]
    if foreign:
        cells += [("Home jurisdiction", c.home.name), ("Date of registration", formed)]
    else:
        cells += [("Formation date", formed), ("County", "Marion")]
    for index, (label, value) in enumerate(cells):
        x, y = 0.8 + (index % 2) * 4.0, 1.75 + (index // 2) * 0.6
        d.frames.append((x, y, x + (4.0 if index % 2 == 0 else 2.9), y + 0.6))
        d.text(x + 0.08, y + 0.16, label, 7.5)
        d.text(x + 0.08, y + 0.42, value, 10 if len(value) < 36 else 8.5)
    _sign(d, c, _body(d, c, foreign, 3.4) + 0.5)
    return d


def _body(d: Draft, c: Case, foreign: bool, y: float) -> float:
    there = (
        f"The company is organized in {c.home.name} and was registered to transact business in {c.place.name}. It no "
        f"longer transacts business in {c.place.name} and surrenders its authority to do so."
    )
    here = (
        "The company has been dissolved by the consent of its members. Its debts and liabilities have been paid or "
        "provided for and its remaining property has been distributed to the members."
    )
    y = d.paragraph(0.9, y, there if foreign else here, 10)
    if c.chance.random() < 0.3:
        y = d.paragraph(0.9, y + 0.1, "Registered agent: Hollowell Agency Services Inc., 40 Court Street.", 10)
    oath = "The person signing declares, under penalty of law, that the statements above are true and complete."
    return d.paragraph(0.9, y + 0.1, oath, 9)


def _sign(d: Draft, c: Case, y: float) -> None:
    d.signature(1.0, y, 1.7)
    d.rule(0.9, y + 0.04, 2.7)
    d.text(0.9, y + 0.18, "Signature", 8)
    if c.chance.random() < 0.5:
        d.text(4.0, y, f"Date: {us(c.signed, c.chance)}", 10)
    else:
        d.text(4.0, y, us(c.signed, c.chance), 10)
        d.rule(4.0, y + 0.04, 1.6)
        d.text(4.0, y + 0.18, "Date signed", 8)
    d.text(0.9, y + 0.5, f"{c.people[0]}, Member", 10)
    if c.chance.random() < 0.3:
        d.text(0.9, 10.6, f"Printed {us(c.signed - timedelta(4), c.chance)}   Rev. 01/2018", 7)


FILINGS: tuple[Callable[[Case, str, bool], Draft], ...] = (boxed_form, letterhead_form, prose_form, grid_form)


def office_stamp(c: Case, design: int) -> Stamp:
    """A stamp of the filing office somewhere on the page."""
    chance = c.chance
    words = stamped_date(c.filed, chance)
    office = f"{c.place.name} {c.place.office}"[:40]
    number = f"No. {chance.randrange(10**7, 10**8)}"
    designs = (
        [("FILED", 1.3), (words, 1.0), (office, 0.5)],
        [(office, 0.5), ("FILED", 1.2), (words, 0.9)],
        [(words, 1.0), ("FILED", 1.2)],
        [(f"FILED {words}", 0.8), (office, 0.5)],
        [("FILED", 1.1), (words, 0.8), (number, 0.5)],
    )
    stamp = Stamp(designs[design % len(designs)], chance.choice((2.3, 4.2, 6.1)), chance.choice((1.6, 2.6, 4.1, 9.4)))
    stamp.ink = chance.choice(("red", "blue", "purple", "green", "red", "blue", "black", "black"))
    stamp.angle = chance.uniform(-12, 12)
    stamp.frame = chance.choice(("rect", "rect", "double", "round", "none"))
    stamp.size = chance.uniform(0.13, 0.21)
    return stamp


def filing(c: Case) -> tuple[Draft, str]:
    """A paper that ends the company at home or elsewhere, with an office's mark or without one."""
    chance = c.chance
    foreign = chance.random() < 0.5
    layout = chance.choice(FILINGS)
    d = layout(c, c.place.withdrawal if foreign else c.place.dissolution, foreign)
    c.truth |= {"kind": "withdrawal" if foreign else "dissolution", "jurisdiction": c.place.code}
    c.truth |= {"entity_name": c.name, "file_number": c.number, "signed_date": c.signed.isoformat()}
    way = chance.choice(("stamp", "stamp", "stamp", "stamp", "none", "electronic", "received"))
    note = f"filing:{layout.__name__}:{way}"
    if way in {"stamp", "electronic"}:
        c.truth |= {"stamped": True, "filing_date": c.filed.isoformat()}
        c.truth["authority"] = "office-stamped" if way == "stamp" else "electronic certificate"
    else:
        c.truth |= {"stamped": False, "authority": "plain copy"}
    if way == "stamp":
        stamp = office_stamp(c, chance.randrange(5))
        d.stamps.append(stamp)
        note += f":{stamp.ink}:{stamp.frame}:{stamp.angle:.0f}"
    elif way == "electronic":
        _electronic(d, c)
        note += chance.choice(("", ":typeset"))
    elif way == "received":
        lines = [("RECEIVED", 1.0), (stamped_date(c.filed, chance), 0.8), ("MAIL ROOM", 0.6)]
        ink = chance.choice(("blue", "red", "black"))
        d.stamps.append(Stamp(lines, 6.0, 2.6, ink, chance.uniform(-8, 8), "rect", 0.15))
    return d, note


def _electronic(d: Draft, c: Case) -> None:
    number = c.chance.randrange(10**10, 10**11)
    hour = f"{c.chance.randrange(1, 12)}:{c.chance.randrange(10, 59)} {c.chance.choice(('AM', 'PM'))}"
    ways = (
        [f"Electronically filed {c.filed:%m/%d/%Y} {hour}", f"Document number: {number}"],
        [f"FILED: {c.filed:%b} {c.filed.day}, {c.filed.year} {hour}", f"Filing No. {number}"],
        [f"Date filed: {c.filed:%m/%d/%Y}", f"Transaction number {number}", f"{c.place.name} {c.place.office}"],
    )
    for index, line in enumerate(c.chance.choice(ways)):
        d.text(7.9, 0.35 + 0.15 * index, line, 8, at="right")


def tax_return(c: Case) -> tuple[Draft, str]:
    """A partnership return with a row or a column of tick boxes."""
    chance = c.chance
    federal = chance.random() < 0.4 or not c.place.form
    final = chance.random() < 0.6
    mark = chance.choice(("x", "check", "pen", "fill", "dot", "penx")) if final else ""
    other = chance.choice(("", "", mark or "x"))
    d = Draft(chance.choice(("sans", "serif")))
    form = "1065" if federal else c.place.form
    d.text(0.6, 0.6, f"Form {form}", 15, bold=True)
    if federal:
        d.text(0.6, 0.8, "Department of the Treasury", 7)
        d.text(0.6, 0.92, "Internal Revenue Service", 7)
        d.text(4.4, 0.65, "U.S. Return of Partnership Income", 14, bold=True, at="centre")
    else:
        d.text(4.6, 0.6, f"{c.place.name} Partnership Return of Income", 13, bold=True, at="centre")
        d.text(4.6, 0.8, c.place.agency, 9, at="centre")
    _period(d, c)
    cells = ((0.6, 5.2, "Name of partnership", c.name), (5.2, 7.9, "Employer identification number", c.ein))
    for x0, x1, label, value in cells:
        d.frames.append((x0, 1.3, x1, 1.8))
        d.text(x0 + 0.06, 1.44, label, 7)
        d.text(x0 + 0.1, 1.68, value, 10)
    _boxes(d, chance, mark, other)
    y = 3.4
    for index in range(1, 13):
        d.text(0.6, y, f"{index}", 8)
        d.text(
            0.9, y, chance.choice(("Gross receipts or sales", "Cost of goods sold", "Salaries and wages", "Rent")), 9
        )
        d.text(7.8, y, f"{chance.randrange(100, 99999):,}", 9, at="right")
        d.rule(6.8, y + 0.03, 1.1)
        y += 0.26
    signed = c.ended + timedelta(chance.randrange(20, 70))
    d.paragraph(0.6, 8.5, "Under penalties of perjury, I declare that I have examined this return.", 8, 7.2)
    d.signature(0.9, 9.2, 1.8)
    d.rule(0.6, 9.25, 3.2)
    d.text(0.6, 9.38, "Signature of partner or member", 7)
    d.text(4.3, 9.2, f"{signed:%m/%d/%Y}", 10)
    d.rule(4.2, 9.25, 1.5)
    d.text(4.3, 9.38, "Date", 7)
    c.truth |= {"kind": "final_return", "jurisdiction": "US" if federal else c.place.code, "entity_name": c.name}
    c.truth |= {"ein": c.ein, "final_box": final, "period_end": c.ended.isoformat(), "form": form}
    c.truth |= {"signed_date": signed.isoformat(), "authority": "plain copy"}
    return d, f"return:{form}:{mark or 'empty'}:{other or '-'}"


def _period(d: Draft, c: Case) -> None:
    begins, ends = date(c.ended.year, 1, 1), c.ended
    way = c.chance.randrange(3)
    if way == 0:
        d.text(4.4, 1.05, f"For tax year beginning {begins:%m/%d/%Y}, ending {ends:%m/%d/%Y}", 9, at="centre")
    elif way == 1:
        d.text(0.6, 1.15, f"Period beginning: {begins:%B} {begins.day}, {begins.year}", 9)
        d.text(4.4, 1.15, f"Period ending: {ends:%B} {ends.day}, {ends.year}", 9)
    else:
        d.text(4.4, 1.05, f"Tax period 1/1/{begins.year} - {ends.month}/{ends.day}/{ends.year}", 9, at="centre")


def _boxes(d: Draft, chance: random.Random, mark: str, other: str) -> None:
    side = chance.uniform(0.11, 0.17)
    labels = ["Initial return", "Final return", "Name change", "Address change", "Amended return"]
    chance.shuffle(labels)
    spare = next(label for label in labels if label != "Final return")
    marks = {"Final return": mark, spare: other}
    row, after = chance.random() < 0.6, chance.random() < 0.3
    for index, label in enumerate(labels):
        x, y = (0.6 + index * 1.46, 2.82) if row else (5.6, 1.95 + index * 0.25)
        words, box = (x, x + 1.4) if after and not row else (x + side + 0.07, x)
        d.text(words, y, label, 8)
        d.boxes.append(Box(box, y - side * 0.85, side, marks.get(label, "")))


def clearance(c: Case) -> tuple[Draft, str]:
    """A tax clearance, as a certificate or as a letter."""
    chance = c.chance
    d = Draft(c.style)
    issued, until = c.filed, c.filed + timedelta(chance.randrange(30, 120))
    certificate = chance.random() < 0.5
    d.text(4.25, 0.9, c.place.agency.upper(), 12, bold=True, at="centre")
    if certificate:
        d.text(
            4.25,
            1.5,
            chance.choice(("CERTIFICATE OF TAX CLEARANCE", "TAX CLEARANCE CERTIFICATE")),
            17,
            bold=True,
            at="centre",
        )
        d.text(0.9, 2.2, f"Issued to: {c.name}", 11)
        d.text(0.9, 2.45, f"FEIN: {c.ein}", 11)
        d.text(0.9, 2.7, f"Date issued: {us(issued, chance)}", 11)
        d.text(0.9, 2.95, f"Expires: {us(until, chance)}", 11)
    else:
        d.text(0.9, 1.6, us(issued, chance), 11)
        d.text(0.9, 2.1, c.name, 11)
        d.text(0.9, 2.5, "RE: Tax clearance letter for dissolution or withdrawal", 11, bold=True)
        d.text(0.9, 2.75, f"Federal employer identification number {c.ein}", 11)
        d.paragraph(
            0.9, 3.2, f"This letter remains valid until {us(until, chance)} and may be presented before that date.", 11
        )
    body = f"{c.name} has filed all required returns and paid all taxes, penalties and interest due to {c.place.name}."
    d.paragraph(0.9, 4.0, body, 11)
    d.signature(1.0, 6.0, 1.6)
    c.truth |= {"kind": "clearance", "jurisdiction": c.place.code, "entity_name": c.name, "ein": c.ein}
    c.truth |= {"valid_until": until.isoformat(), "signed_date": issued.isoformat(), "authority": "plain copy"}
    return d, f"clearance:{'certificate' if certificate else 'letter'}"


def ein_letter(c: Case) -> tuple[Draft, str]:
    """The letter that says the business account was closed."""
    d = Draft(c.style)
    d.text(0.9, 0.7, "Department of the Treasury", 11, bold=True)
    d.text(0.9, 0.9, "Internal Revenue Service", 11)
    d.text(5.2, 0.9, f"Date: {us(c.filed, c.chance)}", 10)
    d.text(5.2, 1.1, f"Employer ID number: {c.ein}", 10)
    d.text(0.9, 1.9, c.name, 11)
    words = "We are writing to confirm that, as you asked, we have closed your business account under the employer identification number shown above. The number is never given to another business."  # noqa: E501
    d.paragraph(0.9, 2.9, words, 11)
    d.signature(1.0, 5.0, 1.6)
    c.truth |= {"kind": "ein_closure_letter", "jurisdiction": "US", "entity_name": c.name, "ein": c.ein}
    c.truth |= {"signed_date": c.filed.isoformat(), "authority": "plain copy"}
    return d, "ein_letter"


def consent(c: Case) -> tuple[Draft, str]:
    """The members' consent to dissolve."""
    d = Draft(c.style)
    d.text(
        4.25,
        0.9,
        c.chance.choice(("WRITTEN CONSENT OF THE MEMBERS", "ACTION BY UNANIMOUS CONSENT")),
        14,
        bold=True,
        at="centre",
    )
    d.text(4.25, 1.2, c.name, 12, at="centre")
    words = f"The undersigned, all of the members of {c.name}, formed in {c.home.name} on {us(c.formed, c.chance)}:"
    y = d.paragraph(0.9, 1.8, words, 11)
    y = d.paragraph(
        0.9, y + 0.15, "RESOLVED, that the company be dissolved and its affairs wound up without a meeting.", 11
    )
    for person in c.people:
        y += 0.8
        d.signature(1.0, y, 1.6)
        d.rule(0.9, y + 0.04, 2.8)
        d.text(0.9, y + 0.2, f"{person}, Member", 10)
        d.text(4.3, y, f"Dated: {us(c.signed, c.chance)}", 10)
    c.truth |= {
        "kind": "consent",
        "entity_name": c.name,
        "signed_date": c.signed.isoformat(),
        "authority": "plain copy",
    }
    return d, "consent"


def creditor_notice(c: Case) -> tuple[Draft, str]:
    """A letter to creditors, with a deadline that is no date of signing."""
    d = Draft(c.style)
    d.text(0.9, 0.8, c.name, 13, bold=True)
    d.text(0.9, 1.5, us(c.signed, c.chance), 11)
    d.text(0.9, 2.1, "NOTICE TO CREDITORS OF DISSOLUTION", 13, bold=True)
    deadline = us(c.signed + timedelta(130), c.chance)
    words = f"{c.name} has been dissolved. Claims must be received by {deadline}; a claim received later is barred."
    y = d.paragraph(0.9, 2.6, words, 11)
    d.signature(1.0, y + 0.8, 1.6)
    d.text(0.9, y + 1.1, f"{c.people[0]}, for the company", 10)
    c.truth |= {"kind": "creditor_notice", "entity_name": c.name, "signed_date": c.signed.isoformat()}
    c.truth["authority"] = "plain copy"
    return d, "creditor_notice"


KINDS = (*[filing] * 4, *[tax_return] * 3, clearance, ein_letter, consent, creditor_notice)


def paper(seed: int) -> Paper:
    """One paper, drawn, worn and packed as the seed says."""
    c = case(seed)
    draft, note = c.chance.choice(KINDS)(c)
    if note.endswith("typeset"):
        return Paper(pdf_of([draft]), c.truth, note)
    chance = c.chance
    wear = chance.choice(("colour", "colour", "colour", "gray", "fax", "photo"))
    dpi = 200 if wear == "fax" else chance.choice((200, 200, 200, 300, 150))
    turn = chance.choice((0, 0, 0, 0, 90, 180, 270))
    page = draft.picture(dpi, seed)
    page = photographed(page, seed) if wear == "photo" else page
    page = worn(page, seed, skew=chance.uniform(-5, 5) if chance.random() < 0.5 else 0.0, noise=3.0)
    page = page.convert("L").convert("RGB") if wear == "gray" else page
    how = {"fax": "fax", "photo": "jpeg"}.get(wear) or chance.choice(("pdf", "jpeg", "tiff"))
    data = packed([page.rotate(turn, expand=True)], how, dpi, chance.choice((85, 70, 50)))
    return Paper(data, c.truth, f"{note}:{wear}:{dpi}:{turn}:{how}")
