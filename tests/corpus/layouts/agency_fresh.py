"""Letters, certificates and notices from agencies: the layouts kept back until tuning was over."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import letter, title_of
from tests.corpus.layouts.registry import layout


def _addressed(doc: Doc, case: Case, top: float) -> None:
    doc.y = top
    for text in (case.name, case.street, case.town):
        doc.para(text, gap=0)
    doc.skip(20)


@layout("clearance as a slip", "fresh", (Kind.CLEARANCE,), ("gothic", "narrow", "roman"), place="clearance")
def slip(doc: Doc, case: Case, kind: Kind) -> None:
    """A small certificate in a frame of half a page."""
    left, right = doc.look.left, doc.look.right
    doc.frame(left - 10, 440, right - left + 20, 310, weight=1.4)
    doc.write(left, 728, case.place.agency, face="bold", size=12)
    doc.write(right, 728, f"No. {case.dice.randrange(10**6, 10**7)}", size=9, align="right")
    doc.y = 692
    doc.title(case.place.clearance, 17, align="left")
    doc.skip(6)
    doc.para(f"It is certified that {case.name} (FEIN {case.ein}) owes nothing to this department.")
    doc.para("Every report that fell due has come in, and nothing assessed is outstanding.")
    doc.para(f"Made out on {case.day(case.signed)}. This slip lapses; it is valid until {case.day(case.reach)}.")
    doc.sign(left + 10, 470, "the collector")
    doc.write(left, 452, "Collector of revenue", size=8.5)
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein, valid_until=case.reach.isoformat())


@layout("clearance, question and answer", "fresh", (Kind.CLEARANCE,), ("plain", "press"), place="clearance")
def answered(doc: Doc, case: Case, kind: Kind) -> None:
    """A reply to a request, the day at the left under the letterhead."""
    doc.middle(744, case.place.agency, size=13)
    doc.rule(736)
    doc.write(doc.look.left, 716, f"Date: {case.day(case.signed)}")
    _addressed(doc, case, 690)
    doc.para(f"Your request for a {case.place.clearance}", face="bold")
    doc.para(f"Taxpayer: {case.name}. Federal number: {case.ein}.")
    doc.para("We looked into all of the accounts. No tax, penalty or interest is due, and no return is missing.")
    doc.para(f"You may show this letter to the {case.place.office}. It is good through {case.day(case.reach)}.")
    doc.sign(doc.look.left + 4, doc.y - 34, "examiner")
    doc.write(doc.look.left, doc.y - 52, "Examiner, clearance unit", size=10)
    distract(doc, case, [(440, 150)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein, valid_until=case.reach.isoformat())


@layout("EIN letter, short", "fresh", (Kind.EIN_CLOSURE_LETTER,), ("roman", "gothic", "typewriter"))
def ein_short(doc: Doc, case: Case, kind: Kind) -> None:
    """The service's answer in a few lines, facts in a row."""
    doc.write(doc.look.left, 746, "Internal Revenue Service", face="bold", size=13)
    doc.write(doc.look.left, 732, "Entity Department, Ogden, UT 84201", size=9)
    doc.write(doc.look.right, 746, case.day(case.filed), align="right")
    _addressed(doc, case, 690)
    doc.para(f"Employer identification number {case.ein}", face="bold")
    doc.para("As you asked, we have closed the business account that stood under the number shown above.")
    doc.para("The number stays with the business for good; it is not reused. Returns for earlier periods remain due.")
    doc.sign(doc.look.left + 4, doc.y - 34, "entity department")
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein)


@layout("account ended, certificate", "fresh", (Kind.ACCOUNT_CLOSURE,), ("roman", "plain"))
def ended(doc: Doc, case: Case, kind: Kind) -> None:
    """A confirmation with a heading in the middle and the facts in sentences."""
    doc.middle(746, f"{case.place.name} Department of Labor", size=12)
    doc.middle(731, "Employer accounts", face="regular", size=9)
    doc.y = 696
    sort = case.pick("unemployment insurance", "withholding", "sales and use tax")
    doc.title("Confirmation of Account Closure", 16)
    doc.skip(10)
    doc.para(f"Date of notice: {case.day(case.filed)}")
    doc.para(f"Business: {case.name}     FEIN: {case.ein}")
    doc.para(f"The {sort} account {case.account} of this business was closed effective {case.day(case.ended)}.")
    doc.para("You need file no further reports for it. Keep this notice with your records.")
    distract(doc, case, [(430, 150)])
    letter(
        doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein, effective_date=case.ended.isoformat()
    )


@layout("bill for tax", "fresh", (Kind.TAX_NOTICE,), ("gothic", "typewriter"))
def bill(doc: Doc, case: Case, kind: Kind) -> None:
    """A bill in a column of sums."""
    doc.write(doc.look.left, 746, f"{case.place.whole}, Department of Revenue", face="bold", size=12)
    doc.y = 716
    doc.title("STATEMENT OF TAX OWED", 15, align="left")
    doc.para(f"Statement date: {case.day(case.filed)}")
    _addressed(doc, case, doc.y)
    doc.para(f"Identification number {case.ein}. For the period ended {case.day(case.ended)}:")
    for label in ("Tax unpaid", "Penalty for late filing", "Interest to date", "Total amount due"):
        doc.write(doc.look.left + 20, doc.y, label)
        doc.write(doc.look.left + 320, doc.y, f"${case.money(20, 9000)}.00", align="right")
        doc.skip(18)
    doc.skip(10)
    doc.para(f"Pay by {case.day(case.reach)}. If you disagree, you may ask for a hearing before that day.")
    letter(
        doc,
        case,
        kind,
        case.filed,
        jurisdiction=case.place.code,
        ein=case.ein,
        period_end=case.ended.isoformat(),
    )


@layout("paper refused", "fresh", (Kind.OTHER,), ("press", "plain", "gothic"))
def refused(doc: Doc, case: Case, kind: Kind) -> None:
    """An office's notice of refusal, with a list of defects."""
    doc.middle(744, case.place.desk, size=13)
    doc.middle(729, case.place.division, face="regular", size=9)
    doc.y = 694
    doc.title("Notice of Refusal", 17)
    doc.para(f"{case.day(case.filed)}")
    doc.para(f"To: {case.name}, {case.street}, {case.town}")
    title = title_of(case, case.dice.choice((Kind.DISSOLUTION, Kind.WITHDRAWAL)))
    doc.para(f"Your {title} reached us on {case.day(case.received)}. It was not filed and is sent back to you because:")
    doc.para("- the fee was not enclosed;", gap=0.2)
    doc.para("- the signature is missing.")
    doc.para(f"Correct it and submit it again by {case.day(case.reach)}. Number on our books: {case.number}.")
    doc.unjudged = ("file_number",)
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code)
