"""Filings that end a registration, and what offices give back: the layouts for reported figures."""

from quietus.model.kinds import Authority, Kind
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case, person
from tests.corpus.layouts.common import FILINGS, filing, title_of
from tests.corpus.layouts.common_late import hour, table
from tests.corpus.layouts.common_proof import (
    asked,
    entitled,
    foot,
    hand,
    letterhead,
    office_lines,
    owner,
    post,
    proof,
    shown,
    soon,
    when,
)
from tests.corpus.layouts.registry import ONLINE
from tests.corpus.ticks import box

ODD = (Kind.WITHDRAWAL, Kind.DISSOLUTION)
"""For the rarer papers: a layout that names a dissolution first is drawn three times as often."""
ON_PAPER = (*["ink"] * 7, *["typed"] * 4, "none", "received", "rejected")
"""How offices mark paper: what a preparer keeps is mostly filed, and many offices print their mark."""
Spot = tuple[float, float]


def _states(case: Case, kind: Kind) -> list[str]:
    """What the company says; forms ask it in these words."""
    if kind is Kind.WINDING_UP_NOTICE:
        first = f"The company dissolved on {case.day(case.decided)} and is winding up its activities."
        return [first, "No new business will be undertaken. Claims may be sent to the company's principal office."]
    if kind is Kind.WITHDRAWAL:
        first = f"The company no longer does business in {case.place.name} and asks that its registration be ended."
        return [first, f"It will continue to accept service of process at {case.street}, {case.town}."]
    first = case.pick(
        f"The event that caused dissolution was the written consent of all members given {case.day(case.decided)}.",
        f"Members holding all interests voted to dissolve the company on {case.day(case.decided)}.",
    )
    return [
        first,
        "Winding up is complete. Debts have been paid or provided for, and what remained went to the members.",
    ]


def _facts(case: Case) -> list[tuple[str, str]]:
    name = case.pick("Name of the company", "Entity name", "Exact name of the limited liability company")
    home, formed = (
        case.pick("State of organization", "Organized under the laws of"),
        case.pick("Date organized", "Date formed"),
    )
    day = case.day(case.formed)
    return [(name, case.name), (case.place.label, case.number), (home, case.home.name), (formed, day)]


def _mark(doc: Doc, case: Case, ink: Spot, printed: Spot, lean: float = 12) -> None:
    """The office's mark: where an ink stamp has its middle, and a printed one its right end and first line."""
    x, y = printed if doc.way == "typed" else ink
    mark(doc, case, doc.way, x, y, lean=lean)


@proof("blanks beside the stamp's corner", FILINGS, ("gothic", "plain", "roman"), ways=ON_PAPER)
def corner(doc: Doc, case: Case, kind: Kind) -> None:
    """The commonest form: office at the left, an empty corner at the right, numbered blanks, one signature."""
    left, right = doc.look.left, doc.look.right
    letterhead(
        doc,
        case,
        [*office_lines(case), f"Filing fee: ${case.pick('10', '20', '50', '100')}.00"],
        room=right - left - 220,
    )
    if case.chance(0.6):
        doc.frame(right - 208, 622, 208, 132, weight=0.6)
        doc.write(right - 204, 745, case.pick("Office use only", "(For filing office)", "Do not write here"), size=7)
    later = when(doc, case)
    _mark(doc, case, (right - 104, 686), (right - 10, 726))
    doc.y = 590
    title = entitled(case, kind)
    doc.title(title.upper() if case.chance(0.6) else title, 14)
    doc.skip(14)
    asked(doc, _facts(case), under=case.chance(0.5), font=case.pick("", "Courier"))
    says = [*_states(case, kind), f"Effective date, if later than filing: {later}" if later else ""]
    doc.prose(says, x=left + 18, size=10)
    doc.para("I affirm, under penalties of perjury, that the facts stated here are true.", size=9)
    doc.skip(26)
    hand(doc, case, left, case.people[0], case.pick("Member", "Manager", "Authorized Signer"), 250, right - 120)
    foot(doc, case)
    distract(doc, case, [(left + 140, 96)] if doc.y > 150 else [])
    filing(doc, case, kind)


@proof("bureau head in cells", FILINGS, ("gothic", "narrow", "roman"), ways=ON_PAPER)
def bureau(doc: Doc, case: Case, kind: Kind) -> None:
    """Agency in a bar, cells for the day of receipt and for the stamp, whom to answer, then the certificate."""
    left, right = doc.look.left, doc.look.right
    wide = right - left
    doc.frame(left, 728, wide, 26, shade=0.92)
    shown(doc, 306, 737, f"{case.place.desk}, {case.place.division}".upper(), wide - 12, 10.5, "bold", "centre")
    came = f"{case.received:%m/%d/%Y}" if case.chance(0.35) else ""
    doc.cell(left, 618, 130, 110, case.pick("Date received", "Received (office)", "Date in"), "")
    doc.write(left + 12, 676, came, size=11, font="Courier-Bold")
    doc.cell(left + 130, 618, wide - 130, 110, case.pick("(For bureau use only)", "Endorsement", "Office use"), "")
    later = when(doc, case)
    _mark(doc, case, (left + 65 + wide / 2, 676), (right - 14, 700), 9)
    for y, label, value in ((584, "Name", case.people[1]), (550, "Address", f"{case.street}, {case.town}")):
        doc.cell(left, y, wide * 0.62, 34, label, value, size=10)
    doc.y = 604
    doc.para("The document will be returned to the name and address entered here.", x=left + wide * 0.66, size=8)
    doc.y = 524
    doc.title(entitled(case, kind).upper(), 14)
    doc.title(f"For use by a {owner(kind)}", 9, "regular")
    doc.skip(12)
    asked(doc, _facts(case), under=case.chance(0.8), font=case.pick("", "", "Courier"))
    doc.prose(
        [*_states(case, kind), f"The filing shall be effective on {later}." if later else ""], x=left + 18, size=9.5
    )
    formal = case.chance(0.5)
    doc.para(f"Signed this {days.formal(case.signed).removeprefix('the ')}" if formal else "", size=10)
    doc.skip(24)
    role = case.pick("Member", "Manager", "Agent")
    hand(doc, case, left + 20, case.people[0], role, day_x=0 if formal else right - 130)
    foot(doc, case)
    filing(doc, case, kind)


@proof("choose when it takes effect", FILINGS, ("plain", "gothic", "press"), ways=ON_PAPER)
def takes_effect(doc: Doc, case: Case, kind: Kind) -> None:
    """Sections under bars; boxes to tick for the day of effect; the stamp beside the title."""
    left, right = doc.look.left, doc.look.right
    letterhead(
        doc, case, [case.place.office, f"{case.place.capital}, {case.place.name}", case.place.division], room=260
    )
    doc.y = 690
    doc.look_title(entitled(case, kind), 290)
    later = when(doc, case)
    _mark(doc, case, (right - 98, 694), (right, 740), 14)
    doc.y = 596
    shape, sign = ("acro", "field") if doc.born else ("square", case.pick("typed", "cross", "check"))
    facts = _facts(case)
    for head, rows in (("Entity Information", facts[:2]), ("Formation", facts[2:])):
        _bar(doc, head)
        for label, value in rows:
            shown(doc, left + 6, doc.y, f"{label}:", 230, 9)
            doc.fitted(left + 242, doc.y, value, right - left - 246, size=10.5)
            doc.rule(doc.y - 4, left + 238, right, 0.3)
            doc.skip(22)
    _bar(doc, "Statements")
    doc.prose(_states(case, kind), x=left + 6, size=9.5, gap=0.4)
    _bar(doc, "Effectiveness of Filing")
    for letter, text in (
        ("A", "upon filing by the office"),
        ("B", f"on the later date of: {later or '___ /___ /_____'}"),
    ):
        chosen = bool(later) == (letter == "B")
        wide = box(doc, left + 8, doc.y - 1, shape, sign if chosen else "", name=letter)
        doc.write(left + 14 + wide, doc.y, f"{letter}. This document becomes effective {text}.", size=9.5)
        doc.skip(18)
    _bar(doc, "Execution")
    doc.skip(24)
    hand(doc, case, left + 210, case.people[0], "authorized person", right - left - 210, left + 20)
    foot(doc, case)
    distract(doc, case, [(left + 90, 92)] if doc.y > 156 else [])
    filing(doc, case, kind)


def _bar(doc: Doc, head: str) -> None:
    doc.skip(4)
    doc.frame(doc.look.left, doc.y - 5, doc.look.right - doc.look.left, 16, shade=0.85, weight=0)
    doc.write(doc.look.left + 4, doc.y, head, face="bold", size=9.5)
    doc.skip(22)


@proof("counsel's articles in roman numbers", FILINGS, ("roman", "press", "typewriter"), ways=ON_PAPER)
def roman(doc: Doc, case: Case, kind: Kind) -> None:
    """An instrument that counsel typed; the stamp at the head or at the foot."""
    left, right = doc.look.left, doc.look.right
    later = when(doc, case)
    at_foot = case.chance(0.35)
    if not at_foot:
        _mark(doc, case, (case.dice.choice((left + 92, right - 92)), 708), (right, 744), 20)
    doc.y = 740 if at_foot else 628
    for text, size in ((case.place.whole.upper(), 11), (title_of(case, kind).upper(), 14), ("OF", 10), (case.name, 13)):
        doc.title(text, size, "bold" if size > 12 else "regular")
        doc.skip(3)
    doc.skip(10)
    doc.para(f"The undersigned {owner(kind)}, acting under the limited liability company act, states:")
    end = f"This instrument is effective {'on ' + later if later else 'when the office files it'}."
    facts = f"{case.name} (No. {case.number}) was organized in {case.home.name} on {case.day(case.formed)}."
    for number, text in zip(("I", "II", "III", "IV"), (facts, *_states(case, kind), end), strict=True):
        doc.title(f"ARTICLE {number}", 10.5)
        doc.skip(4)
        doc.para(text, gap=0.7)
    doc.para(f"Dated: {case.day(case.signed)}")
    doc.skip(26)
    hand(doc, case, left + 230, case.people[0], case.pick("Member", "Manager"), right - left - 230)
    if at_foot:
        _mark(doc, case, (left + 110, max(doc.y - 30, 130)), (right, min(doc.y - 10, 190)), 10)
    filing(doc, case, kind)


@proof(
    "statement in a ruled table",
    (*FILINGS, *FILINGS, Kind.WINDING_UP_NOTICE),
    ("gothic", "broad", "plain"),
    ways=ON_PAPER,
)
def ruled_table(doc: Doc, case: Case, kind: Kind) -> None:
    """Questions in a shaded column, answers beside them, the space for the endorsement at the foot."""
    left, right = doc.look.left, doc.look.right
    letterhead(doc, case, [case.place.whole, case.place.office, case.place.division])
    doc.skip(22)
    doc.title(entitled(case, kind), 15)
    doc.para("Type or print. Retain a copy for your files.", size=8.5, face="italic")
    mail, later = f"{case.street}, {case.town}", when(doc, case)
    for label, value in (*_facts(case), ("Mailing address", mail), ("Delayed effective date", later or "None")):
        doc.skip(26)
        doc.frame(left, doc.y - 8, 178, 26, shade=0.93, weight=0.4)
        doc.frame(left + 178, doc.y - 8, right - left - 178, 26, weight=0.4)
        shown(doc, left + 5, doc.y, label, 168, 9)
        doc.fitted(left + 184, doc.y, value, right - left - 192, size=10.5)
    doc.skip(28)
    doc.prose(_states(case, kind), size=10)
    doc.skip(26)
    hand(doc, case, left, case.people[0], case.pick("Manager", "Organizer", "Member"), 230, right - 150)
    foot(doc, case)
    y = min(doc.y - 12, 210)
    _mark(doc, case, (case.dice.choice((left + 120, 306, right - 110)), max(118, y - 40)), (right - 30, y), 8)
    filing(doc, case, kind)


@proof("made by the office's website", FILINGS, ("gothic", "roman", "plain"), ways=ONLINE, born=0.45)
def website(doc: Doc, case: Case, kind: Kind) -> None:
    """What a filing system printed of the answers it was given, its mark at the upper right."""
    left, right = doc.look.left, doc.look.right
    letterhead(doc, case, [case.place.office, case.place.whole, case.place.division], room=190)
    later = when(doc, case)
    mark(doc, case, "electronic", right, 742)
    doc.y = 648
    doc.title(entitled(case, kind), 15, align="left")
    doc.rule(doc.y + 6, weight=1.0)
    doc.skip(12)
    doc.pairs(
        [*_facts(case), ("Principal address", f"{case.street}, {case.town}")], left + 240, face="regular", pitch=1.9
    )
    doc.skip(10)
    doc.prose([*_states(case, kind), f"Requested effective date: {later}" if later else ""])
    doc.para("The person who submits this document states that its facts are true and that he or she may sign it.")
    doc.para(f"Electronic signature: {case.people[0]}. Signed {case.day(case.signed)}.")
    filing(doc, case, kind)


def _given(doc: Doc, case: Case, kind: Kind, authority: Authority, dated: str = "") -> None:
    """Note what is true of a paper that the office itself made; `dated` is its own day, if it has one."""
    doc.design = doc.layout
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=authority.value)
    del doc.truth["signed_date"]
    doc.truth |= {"signed_date": dated} if dated else {}


@proof("certificate that it was filed", FILINGS, ("roman", "press", "gothic"), ways=("certified",), born=0.2)
def certificate(doc: Doc, case: Case, kind: Kind) -> None:
    """The office certifies what it filed and when."""
    if case.chance(0.5):
        doc.frame(40, 60, 532, 700, weight=case.dice.choice((1.0, 2.4)))
    office = f"Office of the {case.place.office}" if "Secretary" in case.place.office else case.place.office
    letterhead(doc, case, ["", case.place.whole, office])
    doc.y = 650
    ended = "Withdrawal" if kind is Kind.WITHDRAWAL else "Dissolution"
    doc.title(case.pick("CERTIFICATE OF FILING", f"Certificate of {ended}", "CERTIFICATE"), 18)
    doc.skip(10)
    doc.title(case.name, 13)
    doc.title(f"{case.place.label} {case.number}", 11, "regular")
    doc.skip(16)
    doc.para(
        f"The undersigned, for the {case.place.office} of {case.place.name}, certifies that the {title_of(case, kind)}"
        f" of the {owner(kind)} named above was found to meet the requirements of law and was filed on"
        f" {case.day(case.filed)}."
    )
    what = "authority to do business in this jurisdiction" if kind is Kind.WITHDRAWAL else "existence"
    doc.para(f"The company's {what} has ended, as the records of this office show.")
    dated = soon(case)
    doc.para(case.pick("Dated: {}", f"Issued at {case.place.capital} on {{}}.").format(case.day(dated)), gap=2)
    doc.sign(320, doc.y - 24, "the official", 150)
    doc.rule(doc.y - 30, 306, doc.look.right - 10, 0.5)
    for y, text in ((43, person(case.dice)), (56, case.place.office)):
        shown(doc, 306, doc.y - y, text, doc.look.right - 310, 10)
    doc.write(doc.look.left + 4, 80, f"Authentication: {case.dice.randrange(10**7, 10**8)}", size=8.5)
    _given(doc, case, kind, Authority.CERTIFIED, dated.isoformat())


@proof("short letter: it was filed", FILINGS, ("gothic", "roman", "typewriter"), ways=ONLINE, born=0.2)
def filed_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter of a few lines that tells the day of filing."""
    title, filed = title_of(case, kind), case.day(case.filed)
    texts = [
        case.pick(
            f"The {title} for {case.name} was filed on {filed}.",
            f"This office filed the {title} of {case.name} on {filed}.",
            f"We are pleased to confirm that the {title} submitted for {case.name} was accepted and filed {filed}.",
        ),
        case.pick(
            "The fee has been received. Please keep this letter with your records.",
            "Annual reports are no longer required. Please notify the tax agency of the change.",
            "The certification you requested, if any, is enclosed.",
        ),
        f"Should you have any questions, please call {case.place.division} at 555-0{case.dice.randrange(100, 199)}.",
    ]
    signer = [person(case.dice), case.pick("Regulatory Specialist", "Corporations Examiner", case.place.division)]
    refs, subject, dated = [(case.place.label, case.number)], case.pick(case.name, title), soon(case)
    post(doc, case, office_lines(case), case.day(dated), refs, texts, signer, subject=subject)
    _given(doc, case, kind, Authority.ELECTRONIC, dated.isoformat())
    doc.unjudged = ("authority",)  # a letter on paper certifies to some and not to others


@proof("acknowledgment with numbers", FILINGS, ("gothic", "narrow", "plain"), ways=ONLINE, born=0.4)
def acknowledgment(doc: Doc, case: Case, kind: Kind) -> None:
    """One page that an office's system gives back: what was filed, under which numbers, when."""
    letterhead(doc, case, office_lines(case))
    doc.skip(24)
    doc.title(
        case.pick("Filing Acknowledgment", "ACKNOWLEDGMENT OF FILING", "Filing Confirmation", "FILING RECEIPT"), 15
    )
    doc.skip(8)
    doc.para(f"{case.pick('Date', 'Printed')}: {case.day(soon(case))}", size=9)
    status = "Withdrawn" if kind is Kind.WITHDRAWAL else case.pick("Dissolved", "Terminated")
    rows = [
        ["Entity name", case.name],
        [case.place.label, case.number],
        [case.pick("Document", "Filing type"), title_of(case, kind)],
        [case.pick("Filing number", "Work order"), f"{case.dice.randrange(10**9, 10**10)}"],
        [case.pick("Date and time filed", "Filed", "File date"), f"{case.day(case.filed)} {hour(case)}"],
        [case.pick("Entity status", "Status"), status],
        ["Fee", f"${case.pick('20', '25', '60', '100')}.00"],
    ]
    table(doc, ["Filing", ""], rows, [0, 170], pitch=22, lines=case.chance(0.6))
    doc.skip(8)
    doc.para(
        case.pick(
            "The document listed above has been filed. This page is your receipt.", "Thank you for filing with us."
        )
    )
    _given(doc, case, kind, Authority.ELECTRONIC)
    doc.unjudged = ("signed_date", "authority")  # the day of printing; what such a page certifies is a matter of taste


@proof("e-mail: your document is filed", ODD, ("gothic", "narrow"), ways=ONLINE, born=0.5)
def mail(doc: Doc, case: Case, kind: Kind) -> None:
    """An e-mail of the filing office, printed."""
    left, right, sent = doc.look.left, doc.look.right, case.filed
    doc.y = 746
    subject = case.pick("Your document has been filed", "Document filed", "Filing complete")
    doc.title(f"{subject} - {case.name}", 12, align="left")
    doc.rule(doc.y + 4)
    doc.skip(12)
    shown(doc, left, doc.y, f"{case.place.desk} <do-not-reply@corporations.example>", right - left, 9, "bold")
    doc.write(left, doc.y - 13, "To: office@preparer.example", size=9)
    doc.write(right, doc.y - 13, f"{sent:%a} {sent.month}/{sent.day}/{sent.year} {hour(case)}", size=9, align="right")
    doc.skip(44)
    doc.para(
        f"The {title_of(case, kind)} you sent us for {case.name} ({case.place.label} {case.number}) has been reviewed"
        f" and was filed on {case.day(case.filed)}."
    )
    doc.para("A stamped copy is attached. Copies can also be obtained from our website at any time without charge.")
    doc.prose([case.place.division, case.place.desk, f"{case.place.capital}, {case.place.name}"], gap=0)
    _given(doc, case, kind, Authority.ELECTRONIC)
    doc.unjudged = ("signed_date", "authority")  # the day it was sent; a mail certifies little
