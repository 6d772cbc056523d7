"""Demands, refusals, reminders and private letters that reach a company that ends: the split `trial`."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import FILINGS, letter
from tests.corpus.layouts.common_late import party, table
from tests.corpus.layouts.common_trial import close, head, heading, lines, post, trial
from tests.corpus.ticks import box


@trial("assessment of tax", (Kind.TAX_NOTICE,), ("gothic", "roman", "plain"))
def assessment(doc: Doc, case: Case, kind: Kind) -> None:
    """A state's assessment with a column of sums and a slip to cut off."""
    left = doc.look.left
    refs = (f"Notice date {case.day(case.filed)}", f"FEIN {case.ein}")
    post(doc, case, (case.place.agency, "Assessment and Billing"), refs)
    doc.title(case.pick("NOTICE OF ASSESSMENT", "PROPOSED ASSESSMENT OF TAX", "TAX DUE NOTICE"), 14, align="left")
    doc.para(f"For the tax period ending {case.day(case.ended)} you owe the following:")
    tax = case.dice.randrange(90, 9000)
    sums = (tax, tax // 17, tax // 10)
    names = ("Tax assessed", "Interest", "Late filing penalty", "Total due")
    for name, amount in zip(names, (*sums, sum(sums)), strict=True):
        doc.write(left + 30, doc.y, name)
        doc.write(left + 330, doc.y, f"{amount:,}.00", align="right")
        doc.skip(17)
    doc.skip(8)
    doc.para(f"Pay in full or file a written protest by {case.day(case.reach)}; after that date collection begins.")
    doc.pen.setDash(4, 3)
    doc.rule(196)
    doc.pen.setDash()
    lines(doc, left, 180, ("DETACH AND RETURN WITH PAYMENT", case.name, f"Amount due: ${sum(sums):,}.00"))
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein, period_end=case.ended.isoformat())


@trial("federal letter of inquiry", (Kind.TAX_NOTICE,), ("gothic", "narrow", "typewriter"))
def inquiry(doc: Doc, case: Case, kind: Kind) -> None:
    """The revenue service has not received a return."""
    left, right = doc.look.left, doc.look.right
    refs = [f"Date of this notice: {case.day(case.filed)}", f"Employer ID number: {case.ein}"]
    refs.append(f"Period: {case.day(case.ended)}")
    post(doc, case, ("Department of the Treasury", "Internal Revenue Service", "Memphis, TN 37501"), refs)
    doc.title(case.pick("We haven't received your tax return", "Your tax return is overdue"), 14, align="left")
    doc.skip(4)
    form = case.pick("1065", "941", "940", "1120-S")
    doc.para(f"Our records do not show a Form {form} from you for the period shown above.")
    doc.para("File it now, or tell us below why you did not have to:")
    for text in (
        "We already filed this return.",
        "The business closed before the period began.",
        "We had no employees.",
    ):
        box(doc, left + 10, doc.y - 1, "square", "")
        doc.para(text, x=left + 28, gap=0.4)
    doc.para(f"If we do not hear from you by {case.day(case.reach)}, we may compute the tax from the facts we have.")
    distract(doc, case, [(right - 95, 170)])
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein, period_end=case.ended.isoformat())
    doc.unjudged = ("form",)  # the return asked for is not the form of this letter


@trial("sent back unfiled", (Kind.OTHER,), ("roman", "plain", "typewriter"))
def sent_back(doc: Doc, case: Case, kind: Kind) -> None:
    """A filing office's letter that a filing was not accepted, with boxes for the reasons."""
    left = doc.look.left
    post(doc, case, (case.place.desk, case.place.division), (case.day(case.filed),), align="centre")
    doc.para(f"Concerning: {case.name}, {case.place.label} {case.number}", gap=0.2)
    doc.para(f"Your submission: {heading(case, case.dice.choice(FILINGS))}")
    doc.para(
        case.pick(
            "We cannot accept this submission. It is enclosed, and no record of it has been made, because:",
            "The enclosed document does not meet the requirements for filing and was therefore not filed. Reason:",
        )
    )
    reasons = ["An annual report is past due.", "It is not signed by a person with authority.", "The fee is too low."]
    ticked = case.dice.randrange(3)
    for number, text in enumerate((*reasons, "Other: see the remarks.")):
        box(doc, left + 10, doc.y - 1, "square", case.pick("typed", "check", "cross") if number == ticked else "")
        doc.para(text, x=left + 30, gap=0.4)
    doc.para(f"Send it again with a copy of this letter before {case.day(case.reach)} to save the fee you have paid.")
    close(doc, case, "Filing Examiner")
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, file_number=case.number)


@trial("yearly report is due", (Kind.OTHER,), ("gothic", "broad", "narrow"))
def report_due(doc: Doc, case: Case, kind: Kind) -> None:
    """A courtesy notice that the annual or biennial report is due."""
    post(doc, case, (case.place.desk, case.place.division), (f"Printed {case.day(case.filed)}",))
    doc.title(case.pick("Courtesy notice: annual report", "BIENNIAL REPORT NOTICE", "Annual registration due"), 15)
    doc.skip(6)
    rows = [[case.name, case.number, case.day(case.reach), f"${case.dice.choice((25, 60, 138, 300))}.00"]]
    table(doc, ["Company", case.place.label, "Due date", "Fee"], rows, [0, 190, 320, 420], pitch=26)
    doc.skip(6)
    doc.para(
        "Reports are accepted online only. A company that misses the date loses its good standing and, in time, its"
        " right to do business. This office will send no other reminder."
    )
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, file_number=case.number)
    doc.unjudged = ("signed_date",)  # printed, not signed


@trial("last statement of a bank", (Kind.OTHER,), ("gothic", "narrow", "plain"), born=0.3)
def bank_statement(doc: Doc, case: Case, kind: Kind) -> None:
    """A statement whose last line takes the balance to nothing."""
    left = doc.look.left
    head(doc, (case.dice.choice(words()["banks"]), "Business checking - account statement"))
    party(doc, case, left, 702)
    doc.y = 636
    doc.para(f"Statement period through {case.day(case.ended)}     Account ending {case.dice.randrange(1000, 9999)}")
    money = case.dice.randrange(300, 9000)
    fee = case.dice.randrange(10, 40)
    rows = [
        ["Beginning balance", "", f"{money + fee:,}.00"],
        ["Service charge", f"-{fee}.00", f"{money:,}.00"],
        ["Withdrawal - account closed", f"-{money:,}.00", "0.00"],
        ["Ending balance", "", "0.00"],
    ]
    table(doc, ["Activity", "Amount", "Balance"], rows, [0, 270, 370], pitch=21)
    doc.skip(8)
    doc.para("Your account was closed during this period. This is your last statement. Please review it promptly.")
    letter(doc, case, kind, case.ended)
    doc.unjudged = ("signed_date", "period_end")  # nobody signs a statement; its period is no tax period
