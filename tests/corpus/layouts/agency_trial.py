"""Clearances, letters on the employer identification number, closed tax accounts: the split `trial`."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import party, table
from tests.corpus.layouts.common_trial import close, head, post, trial


def _cleared(doc: Doc, case: Case, kind: Kind, *, until: bool) -> None:
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein)
    if until:
        doc.truth["valid_until"] = case.reach.isoformat()


@trial("clearance between heavy rules", (Kind.CLEARANCE,), ("roman", "press", "gothic"), place="clearance")
def heavy_rules(doc: Doc, case: Case, kind: Kind) -> None:
    """A certificate between two heavy rules, its facts at the foot."""
    left, right = doc.look.left, doc.look.right
    head(doc, (case.place.agency, case.place.whole), y=740, align="centre")
    doc.rule(712, weight=3.0)
    doc.y = 668
    doc.title(case.place.clearance.upper(), 17)
    doc.skip(20)
    doc.para("This document attests that")
    doc.title(case.name, 13.5)
    doc.skip(4)
    doc.para(
        "has made all filings and paid all amounts that this agency was entitled to, up to and including the date of"
        " issue, and that the agency does not oppose the end of its legal existence or of its registration."
    )
    doc.para(case.pick("Liability found in a later examination is not waived.", "Photocopies of this paper are void."))
    doc.skip(20)
    doc.rule(doc.y + 8, weight=0.6)
    doc.skip(12)
    facts = [("Federal ID (FEIN)", case.ein), (case.pick("Issued", "Date of issue"), case.day(case.signed))]
    facts.append((case.pick("Void after", "Good until", "Expires"), case.day(case.reach)))
    doc.pairs(facts, left + 150, pitch=1.7)
    doc.sign(right - 180, doc.y - 20, "tax collector", 140)
    doc.write(right - 185, doc.y - 36, case.pick("Tax Collector", "Deputy Director", "Compliance Bureau"), size=9.5)
    doc.rule(88, weight=3.0)
    distract(doc, case, [(left + 95, 140)])
    _cleared(doc, case, kind, until=True)


@trial("no objection", (Kind.CLEARANCE,), ("gothic", "typewriter", "plain"), place="clearance")
def no_objection(doc: Doc, case: Case, kind: Kind) -> None:
    """A revenue officer's letter that the filing office may go ahead."""
    rows = (case.place.agency, "Clearance Unit", f"{case.place.capital}, {case.place.code}")
    post(doc, case, rows, (case.day(case.signed), f"FEIN {case.ein}"))
    doc.para(f"{case.place.clearance} - {case.name}", face="bold")
    found = case.pick("no open periods", "no balance", "no delinquency")
    doc.para(
        f"In answer to your inquiry we searched our records and found {found} and no unfiled returns for the taxpayer."
        f" The {case.place.desk} may therefore proceed with the filing that ends it."
    )
    until = case.chance(0.6)
    if until:
        words = case.pick("Use this letter not later than {}.", "This clearance remains in force until {}.")
        doc.para(words.format(case.day(case.reach)))
    doc.para("We reserve the right to audit returns for years that are still open under the statute of limitations.")
    doc.para("Please present the original of this letter; the filing office may refuse a copy.")
    close(doc, case, case.pick("Revenue Officer", "Tax Examiner II", "Supervisor"))
    _cleared(doc, case, kind, until=until)


@trial("clearance from a portal", (Kind.CLEARANCE,), ("gothic", "broad", "narrow"), born=0.5, place="clearance")
def from_portal(doc: Doc, case: Case, kind: Kind) -> None:
    """A certificate that an agency's website composed; nobody signed it."""
    left, right = doc.look.left, doc.look.right
    doc.frame(left, 720, right - left, 30, shade=0.85, weight=0)
    head(doc, (case.place.agency,), y=731, align="centre")
    doc.y = 690
    doc.title(case.place.clearance, 17, align="left")
    doc.para("Result of your request: COMPLIANT", face="bold")
    rows = [
        ["Taxpayer", case.name],
        ["FEIN", case.ein],
        ["Purpose", case.pick("Closing the business", "Dissolution / withdrawal", "Ending registration")],
        ["Issued on", case.day(case.signed)],
        [case.pick("Valid until", "Expiration", "Good through"), case.day(case.reach)],
        ["Serial", f"{case.dice.randrange(10**10, 10**11)}"],
    ]
    table(doc, ["Request", "Answer"], rows, [0, 140], pitch=22)
    doc.skip(6)
    doc.para("On the date of issue the taxpayer has filed all returns and owes no taxes administered by this agency.")
    doc.para("Composed by computer; no signature is required. Anyone can confirm it online by its serial.", size=9)
    _cleared(doc, case, kind, until=True)
    doc.unjudged = ("signed_date",)  # issued, but nobody signed it


@trial("number kept, account shut", (Kind.EIN_CLOSURE_LETTER,), ("roman", "gothic", "narrow"))
def account_shut(doc: Doc, case: Case, kind: Kind) -> None:
    """The revenue service's answer to a request to close an account: references at the left above the address."""
    left = doc.look.left
    head(doc, ("Internal Revenue Service", "United States Department of the Treasury", "Ogden, UT 84201-0023"))
    facts = (("Letter", f"{case.dice.randrange(200, 4900)}C"), ("Dated", case.day(case.filed)), ("EIN", case.ein))
    for number, (label, value) in enumerate((*facts, ("Our phone", "555-0177"))):
        doc.write(left, 698 - 13 * number, f"{label}:", face="bold", size=9)
        doc.write(left + 62, 698 - 13 * number, value, size=9.5)
    party(doc, case, left + 250, 660)
    doc.y = 596
    doc.para("Dear Sir or Madam:")
    doc.para(
        case.pick(
            f"You asked us to cancel the employer identification number of {case.name}. A number once assigned cannot"
            " be cancelled, but we have closed the account that goes with it.",
            f"As you requested, the business tax account of {case.name} is closed, and our system no longer expects any"
            " returns for it. The employer identification number remains yours permanently.",
        )
    )
    doc.para("Should you take up business again, you may use the same number; call us to reopen the account.")
    doc.para("If a return is overdue, please send it to the address at the top. Keep a copy of this letter.")
    close(doc, case, case.pick("Department Manager", "Chief, Entity Section"))
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein)


@trial("request to close granted", (Kind.ACCOUNT_CLOSURE,), ("gothic", "roman", "narrow"))
def granted(doc: Doc, case: Case, kind: Kind) -> None:
    """A revenue department answers a request to close a sales or a withholding account."""
    refs = (f"Mail date: {case.day(case.filed)}", f"FEIN: {case.ein}")
    post(doc, case, (case.place.agency, "Registration and Licensing"), refs, align="right")
    tax = case.pick("sales and use tax", "employer withholding tax", "gross receipts tax", "lodging tax")
    doc.title(f"Your {tax} account is closed", 14, align="left")
    doc.skip(4)
    doc.para(f"Account {case.account} of {case.name} was closed on our system as of {case.day(case.ended)}.")
    doc.para(
        case.pick(
            "Destroy the license or certificate that was issued for it. Do not collect the tax after that day.",
            "Returns are not due for later periods. A return for the last period must be filed even if no tax is due.",
        )
    )
    doc.para("This notice does not close accounts that you hold for other taxes, and it is not a tax clearance.")
    close(doc, case, case.pick("Account Specialist", "Taxpayer Services"))
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein)
    doc.unjudged = ("file_number", "effective_date")  # the account may pass for a number, its last day for an effect


@trial("employer made inactive", (Kind.ACCOUNT_CLOSURE,), ("plain", "typewriter", "broad"))
def inactive(doc: Doc, case: Case, kind: Kind) -> None:
    """An unemployment insurance office's notice of changed status, facts in a table."""
    right = doc.look.right
    office = case.pick("Department of Workforce Services", "Division of Employment Security", "Department of Labor")
    head(doc, (f"{case.place.name} {office}", "Unemployment Tax - Accounts"))
    doc.rule(724)
    doc.y = 700
    doc.title("Notice of Change in Employer Status", 14, align="left")
    rows = [
        ["Employer", case.name],
        ["Federal ID (FEIN)", case.ein],
        ["Employer account", case.account],
        ["New status", case.pick("INACTIVE - account closed", "CLOSED", "TERMINATED")],
        ["Last day of liability", case.day(case.ended)],
        ["Reason", case.pick("Ceased operations", "No employment", "Business discontinued")],
    ]
    table(doc, ["Your account", ""], rows, [0, 160], pitch=21, lines=case.chance(0.5))
    doc.skip(8)
    doc.para("Quarterly contribution reports are no longer required. Records of wages must be kept for four years.")
    doc.para(f"Notice mailed {case.day(case.filed)}. An appeal must be filed within 15 days of mailing.", size=9.5)
    distract(doc, case, [(right - 95, 180)])
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein)
    doc.unjudged = ("file_number", "effective_date", "signed_date")  # mailed, not signed
