"""Clearances, closed accounts and the revenue service's letter on a number: the layouts for reported figures."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.invent import Case, person
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import party, table
from tests.corpus.layouts.common_proof import agency_lines, arrived, letterhead, post, proof, shown


def _ein(case: Case) -> tuple[str, str]:
    return case.pick("FEIN", "Federal Employer ID No.", "EIN", "Federal ID"), case.ein


def _cleared(doc: Doc, case: Case, kind: Kind, *, until: bool) -> None:
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein)
    doc.truth |= {"valid_until": case.reach.isoformat()} if until else {}
    doc.unjudged = ("authority",)  # an agency's own certificate to some, a plain copy to others


@proof("short clearance letter", (Kind.CLEARANCE,), ("gothic", "roman", "typewriter", "plain"), place="clearance")
def clearance_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter that nothing is owed; half of them lapse on a day."""
    until = case.chance(0.5)
    lapse = case.pick(" It is void after {}.", " It must be presented by {}.", " It expires on {}.") if until else ""
    end = case.pick("dissolution", "withdrawal", "cancellation")
    texts = [
        case.pick(
            f"A review of our files shows that {case.name} has filed its returns and owes no tax, penalty or interest.",
            f"You asked for tax clearance for {case.name}. We find no unpaid tax and no missing return.",
            f"This letter confirms that {case.name} is in compliance with the tax laws that this agency administers.",
        ),
        f"This clearance is for the {end} of the company with the {case.place.office}."
        + lapse.format(case.day(case.reach)),
        case.pick("This letter does not limit a later examination.", "Please send this letter along with your filing."),
    ]
    signer = [person(case.dice), case.pick("Tax Examiner", "Clearance Unit", "Compliance Specialist")]
    head = agency_lines(case, "Tax Clearance Unit", "Taxpayer Services", "Compliance Division")
    to = case.pick("Dear Taxpayer:", "To Whom It May Concern:", f"Dear {case.people[0]}:")
    post(doc, case, head, case.day(case.signed), [_ein(case)], texts, signer, subject=case.place.clearance, to=to)
    arrived(doc, case, (doc.look.right - 90, 110))
    _cleared(doc, case, kind, until=until)


@proof("clearance certificate with a strip", (Kind.CLEARANCE,), ("roman", "press", "gothic"), place="clearance")
def clearance_certificate(doc: Doc, case: Case, kind: Kind) -> None:
    """A certificate: title, a strip of facts, the taxpayer, the words and a director's signature."""
    left, right = doc.look.left, doc.look.right
    if case.chance(0.6):
        doc.frame(left - 18, 240, right - left + 36, 520, weight=1.4)
    doc.y = 724
    doc.title(case.place.whole, 13, "regular")
    doc.title(case.place.agency, 12, "regular")
    doc.skip(20)
    doc.title(case.place.clearance.upper(), 17)
    doc.skip(18)
    until = case.chance(0.7)
    facts = [("Issued", case.day(case.signed)), _ein(case), ("Certificate", f"{case.dice.randrange(10**6, 10**7)}")]
    facts += [(case.pick("Expires", "Void after", "Expiration date"), case.day(case.reach))] if until else []
    wide = (right - left) / len(facts)
    for number, (label, value) in enumerate(facts):
        doc.cell(left + wide * number, doc.y - 30, wide, 32, label, value, size=10)
    doc.skip(60)
    doc.para(case.pick("This is to certify that", "It is hereby certified that the taxpayer"), gap=0.4)
    doc.title(case.name, 14)
    doc.skip(4)
    doc.para(
        "has filed every return due through this date and has paid all taxes, so far as our records show,"
        f" and is released to end its registration in {case.place.name}."
    )
    doc.sign(right - 180, doc.y - 40, "director")
    doc.rule(doc.y - 46, right - 200, right, 0.5)
    doc.write(right - 200, doc.y - 58, f"{person(case.dice)}, {case.pick('Director', 'Commissioner')}", size=9.5)
    _cleared(doc, case, kind, until=until)


def _closed(doc: Doc, case: Case, kind: Kind, *spared: str) -> None:
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein)
    # A tax account may pass for a file number, the day of closing for a period's end or a day of effect.
    doc.unjudged = ("file_number", "effective_date", "period_end", *spared)


@proof("sales or withholding account closed", (Kind.ACCOUNT_CLOSURE,), ("gothic", "plain", "narrow", "typewriter"))
def account_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter that a tax account is closed, as of a day."""
    sort = case.pick("sales and use tax", "withholding tax", "employer withholding", "sales tax")
    ended = case.day(case.ended)
    texts = [
        case.pick(
            f"We closed your {sort} account as of {ended}, as you asked.",
            f"Your request to close the {sort} account of {case.name} has been completed. The closing date is {ended}.",
            f"This notice confirms that the {sort} account shown above was closed effective {ended}.",
        ),
        case.pick(
            "Returns for periods up to that date must still be filed if you have not done so.",
            "You will receive no more forms for this account. Keep your records for at least four years.",
            "If the business starts again you must register anew before making sales or paying wages.",
        ),
    ]
    signer = case.dice.choice(([person(case.dice), "Account Services"], ["Registration and Account Maintenance"]))
    refs = [_ein(case), (case.pick("Account number", "Account ID", "Tax account"), case.account)]
    subject = case.pick("Confirmation of account closure", f"Your {sort} account is closed", "Account closed")
    head = agency_lines(case, "Business Tax Registration", "Customer Service", "Account Services")
    post(
        doc, case, head, case.day(case.filed), refs, texts, signer, subject=subject, to=case.pick("", "Dear Taxpayer:")
    )
    _closed(doc, case, kind)


@proof("employer account page", (Kind.ACCOUNT_CLOSURE,), ("gothic", "broad", "narrow"), born=0.4)
def account_page(doc: Doc, case: Case, kind: Kind) -> None:
    """An agency's web page about an unemployment or sales account that is closed, printed."""
    left, right = doc.look.left, doc.look.right
    doc.frame(left, 722, right - left, 26, shade=0.9, weight=0)
    shown(doc, left + 8, 731, case.place.agency, right - left - 16, 12, "bold")
    doc.write(right, 756, f"Printed {case.day(case.filed)}", size=7.5, align="right")
    doc.y = 696
    doc.title(
        case.pick("Account Summary: Closed", "Close Account - Complete", "Your account has been closed"),
        14,
        align="left",
    )
    rows = [
        ["Legal name", case.name],
        ["FEIN", case.ein],
        ["Account type", case.pick("Unemployment insurance (employer)", "Sales tax", "Withholding")],
        ["Account number", case.account],
        [case.pick("Status", "Account status"), "CLOSED"],
        [case.pick("Cease date", "Closed as of", "Date business closed"), case.day(case.ended)],
    ]
    table(doc, ["Account", ""], rows, [0, 160], pitch=21, lines=case.chance(0.5))
    doc.skip(8)
    doc.para("No more returns are required for this account after the date shown. Outstanding balances remain payable.")
    _closed(doc, case, kind, "signed_date")  # nobody signs a web page


@proof("letter that the EIN account is closed", (Kind.EIN_CLOSURE_LETTER,), ("gothic", "roman", "typewriter"))
def ein_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """The revenue service's answer to a request to close the account of a number."""
    left, right = doc.look.left, doc.look.right
    city = case.pick("Ogden, UT 84201", "Cincinnati, OH 45999", "Kansas City, MO 64999")
    letterhead(doc, case, ["Department of the Treasury", "Internal Revenue Service", city], room=230)
    refs = [
        (case.pick("Date", "Letter date"), case.day(case.filed)),
        (case.pick("Employer identification number", "EIN", "Taxpayer ID number"), case.ein),
        (case.pick("Letter number", "In reply refer to"), f"{case.dice.randrange(10**4, 10**9)}"),
        ("Contact telephone", "800-555-0142"),
    ]
    for number, (label, value) in enumerate(refs):
        doc.write(right - 210, 744 - 26 * number, f"{label}:", size=8.5)
        doc.write(right - 210, 732 - 26 * number, value, size=10)
    party(doc, case, left, 634, caps=case.chance(0.6))
    doc.y = 566
    doc.para(case.pick("Dear Taxpayer:", f"Dear {case.people[0]}:"))
    asked = f"{case.pick('your letter', 'your request', 'the information you gave us')} of {case.day(case.signed)}"
    doc.para(
        case.pick(
            f"We received {asked} and closed the business account of your EIN.",
            f"This responds to {asked}. The account for the EIN shown above has been closed.",
        )
    )
    doc.para(
        "Once assigned, the number stays the permanent federal tax number of the entity, even if no return is filed"
        " under it. It is never given to anyone else. Should you need it again, write to us at the address above."
    )
    doc.para(case.pick("Please file all returns that are due.", "You need not reply to this letter."))
    doc.para("Sincerely,")
    doc.sign(left + 4, doc.y - 22, "manager")
    doc.skip(44)
    doc.prose([person(case.dice), case.pick("Department Manager", "Operations Manager, Entity Control")], gap=0)
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein)
