"""Demands, refusals, reminders and bank papers: the layouts for reported figures."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.invent import Case, person, words
from tests.corpus.layouts.common import letter, title_of
from tests.corpus.layouts.common_late import table
from tests.corpus.layouts.common_proof import agency_lines, office_lines, post, proof


@proof("balance due", (Kind.TAX_NOTICE,), ("gothic", "plain", "roman", "typewriter"))
def balance_due(doc: Doc, case: Case, kind: Kind) -> None:
    """An agency's demand for tax, the revenue service's as often as a state's."""
    federal = case.chance(0.5)
    irs = ["Internal Revenue Service", "Department of the Treasury", "Ogden, UT 84201"]
    tax, more = case.dice.randrange(150, 6000), case.dice.randrange(5, 400)
    due = f"${tax + more:,}.00"

    def sums() -> None:
        rows = [["Tax", f"${tax:,}.00"], ["Penalty and interest", f"${more:,}.00"], ["Amount you owe", due]]
        table(doc, [f"Period ended {case.day(case.ended)}", "Amount"], rows, [0, 300], lines=case.chance(0.5))
        doc.skip(8)

    texts = [
        case.pick("Our records show a balance on your account.", "We have assessed additional tax, as shown below."),
        f"Pay {due} by {case.day(case.reach)}. Interest continues until the balance is paid in full.",
        "If you disagree with this notice, call us or write to the address above, and tell us why.",
    ]
    notice = f"{case.pick('CP', 'N', 'TA')}-{case.dice.randrange(100, 999)}"
    refs = [(case.pick("EIN", "FEIN", "Taxpayer ID"), case.ein), ("Notice", notice)]
    subject = case.pick("Notice of Balance Due", "Notice of Assessment", "Notice of Tax Due and Demand for Payment")
    head = irs if federal else agency_lines(case, "Collections", "Accounts Receivable")
    post(doc, case, head, case.day(case.filed), refs, texts, subject=subject, inset=sums)
    code = "US" if federal else case.place.code
    letter(doc, case, kind, case.filed, jurisdiction=code, ein=case.ein, period_end=case.ended.isoformat())
    doc.unjudged = ("file_number", "signed_date", "form")  # the notice's number; nobody signs it


@proof("filing not accepted", (Kind.OTHER,), ("gothic", "roman", "plain"))
def sent_back(doc: Doc, case: Case, kind: Kind) -> None:
    """A filing office refuses a filing."""
    title = title_of(case, case.dice.choice((Kind.DISSOLUTION, Kind.WITHDRAWAL)))
    texts = [
        f"We cannot file the {title} of {case.name} received {case.day(case.received)}, for this reason:",
        case.pick(
            "The name on the document differs from the name in our records.",
            "The document is not signed by a person authorized to sign it.",
            "Annual reports are past due and must be filed first.",
        ),
        f"Please correct it and send it again with this letter by {case.day(case.reach)}. Your check is being held.",
    ]
    signer = [person(case.dice), case.pick("Document Specialist", "Filing Section", case.place.division)]
    subject = case.pick("Document not accepted for filing", "Rejection of filing", "Your filing has been rejected")
    refs = [(case.place.label, case.number)]
    post(doc, case, office_lines(case), case.day(case.filed), refs, texts, signer, subject=subject)
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, file_number=case.number)


@proof("annual report falls due", (Kind.OTHER,), ("gothic", "narrow", "roman"))
def report_due(doc: Doc, case: Case, kind: Kind) -> None:
    """A reminder that a report falls due."""
    texts = [
        case.pick(
            f"The annual report of {case.name} is due on {case.day(case.reach)}.",
            f"{case.name} has not filed its {case.filed.year} annual report. File by {case.day(case.reach)}.",
        ),
        "A company that fails to file loses its good standing and may be dissolved or have its registration revoked.",
        "Reports are filed on our website. If you have already filed, disregard this notice.",
    ]
    subject = case.pick("Annual Report Reminder", "Notice: annual report due", "ANNUAL REPORT NOTICE")
    refs = [(case.place.label, case.number)]
    post(doc, case, office_lines(case), case.day(case.filed), refs, texts, subject=subject)
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, file_number=case.number)
    doc.unjudged = ("signed_date",)  # nobody signs a reminder


@proof("last bank statement", (Kind.OTHER,), ("gothic", "narrow", "broad"))
def bank_statement(doc: Doc, case: Case, kind: Kind) -> None:
    """A bank's statement of an account that comes to nothing."""
    opening = case.dice.randrange(900, 40000)
    rows = [
        [f"{case.decided:%m/%d}", "Beginning balance", "", f"{opening:,}.00"],
        [f"{case.decided:%m/%d}", f"Check {case.dice.randrange(1000, 1900)}", f"{opening - 300:,}.00", "300.00"],
        [f"{case.signed:%m/%d}", case.pick("Withdrawal - account closed", "Closing withdrawal"), "300.00", "0.00"],
    ]
    head = [case.dice.choice(words()["banks"]), case.pick("Business Checking Statement", "Statement of Account")]
    texts = [f"Account ending {case.dice.randrange(1000, 9999)}", "Thank you for banking with us."]
    refs = [("Period", f"{case.decided:%m/%d/%Y} - {case.signed:%m/%d/%Y}")]
    heads, stops = ["Date", "Description", "Debits", "Balance"], [0.0, 70.0, 290.0, 380.0]
    post(doc, case, head, case.day(case.signed), refs, texts, inset=lambda: table(doc, heads, rows, stops))
    letter(doc, case, kind, case.signed)
    doc.unjudged = ("signed_date", "period_end")  # nobody signs a statement; its last day may pass for a period's


@proof("agent gives notice", (Kind.OTHER,), ("roman", "gothic", "press"))
def agent_notice(doc: Doc, case: Case, kind: Kind) -> None:
    """A registered agent's letter that it resigns."""
    firm = case.dice.choice(words()["firms"])
    texts = [
        f"We resign as registered agent of {case.name} and have sent a statement of resignation to the filing office.",
        f"Please name a new agent before {case.day(case.reach)}. Mail that comes until then is sent on to you.",
    ]
    subject, to = case.pick("Resignation of registered agent", "Notice of resignation"), f"Dear {case.people[0]}:"
    head, signer = [firm, "Registered agents and corporate services"], [person(case.dice), firm]
    post(doc, case, head, case.day(case.signed), [], texts, signer, subject=subject, to=to)
    letter(doc, case, kind, case.signed)
