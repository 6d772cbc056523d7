"""Clearances, closed accounts and the revenue service's letters: the layouts written last."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import late, party, table


def _cleared(doc: Doc, case: Case, kind: Kind, *, until: bool = True) -> None:
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code, ein=case.ein)
    if until:
        doc.truth["valid_until"] = case.reach.isoformat()


@late("clearance beside a rule", (Kind.CLEARANCE,), ("roman", "gothic", "press"), place="clearance")
def beside_rule(doc: Doc, case: Case, kind: Kind) -> None:
    """Facts in a column at the left, the certificate's words at the right of a rule."""
    left, right = doc.look.left, doc.look.right
    column = left + 158
    doc.fitted(left, 742, case.place.agency, right - left, font=doc.font("bold"), size=14)
    doc.write(left, 727, f"{case.place.capital}, {case.place.name}", size=9.5)
    doc.rule(718, weight=1.6)
    y = 690.0
    for label, value in (
        ("Certificate number", f"{case.dice.randrange(10**8, 10**9)}"),
        ("Date issued", case.day(case.signed)),
        ("Federal employer ID", case.ein),
        (case.pick("Valid through", "Expiration date", "Certificate expires"), case.day(case.reach)),
    ):
        doc.write(left, y, label, face="italic", size=9)
        doc.fitted(left, y - 14, value, 148, size=10.5)
        y -= 42
    doc.pen.setLineWidth(0.6)
    doc.pen.line(column - 8, 700, column - 8, 420)
    doc.y = 690
    doc.para(case.place.clearance.upper(), face="bold", size=15, x=column, gap=0.9)
    doc.para(case.name, face="bold", size=12, x=column)
    doc.para(
        "The records of this agency show that all tax returns required to be filed by the above-named taxpayer have"
        " been filed, and that all taxes, penalties and interest shown to be due have been paid.",
        x=column,
    )
    doc.para(
        f"This certificate is issued at the taxpayer's request for presentation to the {case.place.desk} in connection"
        f" with the {case.pick('dissolution', 'withdrawal', 'termination')} of the business. It does not preclude a"
        " later audit.",
        x=column,
    )
    doc.sign(column + 8, doc.y - 34, "the commissioner")
    doc.rule(doc.y - 40, column, right - 40, 0.5)
    doc.write(column, doc.y - 52, case.pick("Commissioner", "Director, Collections Division", "Secretary"), size=9)
    distract(doc, case, [(left + 90, 150)])
    _cleared(doc, case, kind)


@late("clearance letter with a table", (Kind.CLEARANCE,), ("gothic", "plain", "narrow"), place="clearance")
def with_table(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter that goes through the tax accounts one by one."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 746, case.place.whole, size=10)
    doc.fitted(left, 731, case.place.agency, right - left - 170, font=doc.font("bold"), size=12.5)
    doc.write(right, 746, f"Letter ID: L{case.dice.randrange(10**9, 10**10)}", size=8.5, align="right")
    doc.write(right, 733, f"Date: {case.day(case.signed)}", size=9.5, align="right")
    party(doc, case, left, 690, caps=True)
    doc.y = 620
    doc.para(f"Subject: {case.place.clearance}", face="bold", gap=0.1)
    doc.para(f"FEIN: {case.ein}")
    doc.para("We have completed our review of your request. The table shows each account on our records.")
    rows = [
        [tax, f"{case.dice.randrange(10**7, 10**8)}", f"{case.ended:%m/%Y}", "Closed, no balance"]
        for tax in ("Sales and use", "Withholding", "Pass-through entity")
    ]
    table(doc, ["Tax", "Account", "Filed through", "Status"], rows, [0, 140, 230, 320], lines=case.chance(0.6))
    doc.skip(8)
    until = case.chance(0.6)
    doc.para(
        "The taxpayer named above is in compliance and is cleared for dissolution, withdrawal or cancellation. No"
        " liability remains outstanding as of the date of this letter."
    )
    if until:
        words = case.pick(
            "This clearance is valid until {}.", "This clearance expires on {}.", "This letter may be used through {}."
        )
        doc.para(words.format(case.day(case.reach)))
    doc.para("Sincerely,")
    doc.sign(left + 8, doc.y - 24, "clearance officer")
    doc.write(left, doc.y - 42, "Tax Clearance Section", size=10)
    distract(doc, case, [(right - 90, 140)])
    _cleared(doc, case, kind, until=until)
    doc.unjudged = ("file_number", "period_end")  # the accounts and the last month filed


@late("clearance, standing line", (Kind.CLEARANCE,), ("roman", "broad", "plain"), place="clearance")
def standing(doc: Doc, case: Case, kind: Kind) -> None:
    """A certificate whose facts stand in boxes, the standing between two rules."""
    left, right = doc.look.left, doc.look.right
    half = (right - left) / 2
    doc.y = 736
    doc.title(case.place.agency, 13)
    doc.skip(14)
    doc.title(case.place.clearance, 20, "italic")
    doc.skip(10)
    doc.cell(left, doc.y - 34, right - left, 34, "Taxpayer", case.name)
    doc.cell(left, doc.y - 68, half, 34, "FEIN", case.ein)
    doc.cell(left + half, doc.y - 68, half, 34, "Issue date", case.day(case.signed))
    doc.skip(100)
    doc.rule(doc.y + 18, weight=1.2)
    doc.middle(doc.y, case.pick("ALL TAXES PAID - IN GOOD STANDING", "NO TAX DUE", "ACCOUNT STANDING: CLEAR"), size=13)
    doc.rule(doc.y - 9, weight=1.2)
    doc.skip(34)
    doc.para(
        f"This certifies that {case.name} has satisfied its tax obligations to the {case.place.whole} administered by"
        f" this agency and may proceed to close its record with the {case.place.office}."
    )
    doc.para(f"Valid for that purpose through {case.day(case.reach)}.", face="bold")
    doc.para("Verify this certificate at the agency's website with the number shown below.", size=9)
    doc.write(left, doc.y - 6, f"Verification number {case.dice.randrange(10**9, 10**10)}", size=9)
    doc.sign(right - 170, doc.y - 60, "comptroller")
    doc.rule(doc.y - 66, right - 180, right, 0.5)
    doc.write(right - 180, doc.y - 78, "For the agency", size=9)
    distract(doc, case, [(left + 90, 130)])
    _cleared(doc, case, kind)


@late("EIN letter in type", (Kind.EIN_CLOSURE_LETTER,), ("typewriter",))
def ein_typed(doc: Doc, case: Case, kind: Kind) -> None:
    """The revenue service's machine-written letter: its references at the right."""
    left = doc.look.left
    doc.write(left, 744, "Department of the Treasury", size=10)
    doc.write(left, 731, "Internal Revenue Service", size=10)
    doc.write(
        left, 718, case.pick("OGDEN  UT  84201-0038", "CINCINNATI  OH  45999-0038", "KANSAS CITY  MO  64999"), size=10
    )
    for number, text in enumerate(
        (
            f"In reply refer to: {case.dice.randrange(10**9, 10**10)}",
            f"{case.filed:%b}. {case.filed:%d}, {case.filed.year}  LTR {case.dice.randrange(100, 3999)}C  E0",
            f"{case.ein}  000000 00",
            f"Input Op: {case.dice.randrange(10**9, 10**10)}",
            "BODC: SB",
        )
    ):
        doc.write(left + 255, 692 - 13 * number, text, size=10)
    party(doc, case, left, 606, caps=True)
    doc.y = 530
    doc.para(f"Employer identification number: {case.ein}")
    doc.para("Dear Taxpayer:")
    doc.para(
        f"Thank you for your correspondence of {case.day(case.signed)}. We have closed the business account associated"
        " with the employer identification number shown above."
    )
    doc.para(
        "An EIN is a permanent federal taxpayer identification number. We cannot cancel it, and it will not be"
        " assigned to another business. If you need it later, it will still belong to this entity."
    )
    doc.para("Keep this letter for your records.")
    doc.para("Sincerely yours,")
    doc.sign(left + 240, doc.y - 20, "operations manager")
    doc.write(left + 230, doc.y - 42, "Operations Manager, Accounts")
    distract(doc, case, [(doc.look.right - 90, 120)])
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein)


@late("EIN letter with a box", (Kind.EIN_CLOSURE_LETTER,), ("gothic", "narrow", "plain"))
def ein_boxed(doc: Doc, case: Case, kind: Kind) -> None:
    """The service's newer letter: references in a ruled box, headings between paragraphs."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 742, "Department of the Treasury", face="bold", size=10)
    doc.write(left, 729, "Internal Revenue Service", face="bold", size=10)
    doc.write(left, 716, "Stop 6055, Kansas City, MO 64999", size=9)
    y = 730.0
    for label, value in (
        ("Letter date", case.day(case.filed)),
        ("Employer ID number", case.ein),
        ("Person to contact", "Entity Unit"),
        ("Telephone", "555-0100"),
    ):
        doc.cell(right - 190, y - 24, 190, 28, label, value, size=10)
        y -= 28
    party(doc, case, left, 640)
    doc.y = 560
    doc.title("We closed your business account", 15, align="left")
    doc.skip(2)
    doc.para("What this means", face="bold", gap=0.2)
    doc.para(
        f"Based on the information you sent us, the account of {case.name} under this employer identification number is"
        " closed on our records."
    )
    doc.para("What you need to do", face="bold", gap=0.2)
    doc.para("You don't need to do anything. If any return for a period before the closing is missing, please file it.")
    doc.para("If you start again", face="bold", gap=0.2)
    doc.para("The number remains yours and can be reactivated on written request.")
    doc.sign(left + 4, doc.y - 30, "entity unit")
    doc.write(left, doc.y - 50, "Manager, Entity Unit", size=10)
    distract(doc, case, [(right - 90, 130)])
    letter(doc, case, kind, case.filed, jurisdiction="US", ein=case.ein)


@late("permit cancelled", (Kind.ACCOUNT_CLOSURE,), ("gothic", "roman", "press"))
def permit_cancelled(doc: Doc, case: Case, kind: Kind) -> None:
    """A tax agency's letter about a seller's permit or a sales tax licence."""
    left, right = doc.look.left, doc.look.right
    doc.middle(744, case.place.agency, size=13)
    doc.middle(730, "Taxpayer Registration", face="regular", size=9)
    doc.rule(722)
    doc.write(left, 700, case.day(case.filed))
    doc.write(right, 700, f"FEIN {case.ein}", align="right")
    party(doc, case, left, 668)
    doc.y = 600
    thing = case.pick("sales tax permit", "sales and use tax license", "seller's permit")
    doc.para(f"RE: Cancellation of {thing} - account {case.account}", face="bold")
    doc.para(
        f"At your request the {thing} of {case.name} has been cancelled and the account closed effective"
        f" {case.day(case.ended)}. No further sales tax returns are due after that date."
    )
    doc.para(
        "The permit is no longer valid and may not be displayed or used to make purchases for resale. Books and"
        " records must be kept for the time that the law provides."
    )
    doc.para("Thank you for your cooperation.")
    doc.sign(left + 6, doc.y - 30, "registration clerk")
    doc.write(left, doc.y - 48, "Account Maintenance", size=10)
    distract(doc, case, [(right - 90, 160)])
    letter(
        doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein, effective_date=case.ended.isoformat()
    )
    doc.unjudged = ("file_number",)  # a tax account may pass for one


@late("employer account ended", (Kind.ACCOUNT_CLOSURE,), ("narrow", "plain", "typewriter"))
def employer_ended(doc: Doc, case: Case, kind: Kind) -> None:
    """A labor department's notice that an employer owes no further wage reports."""
    left, right = doc.look.left, doc.look.right
    agency = case.pick("Department of Labor", "Workforce Commission", "Employment Security Department")
    doc.write(left, 746, f"{case.place.name} {agency}", face="bold", size=12)
    doc.write(left, 732, "Unemployment Insurance Tax - Employer Status Unit", size=9)
    doc.y = 704
    doc.title("NOTICE OF ACCOUNT TERMINATION", 13, align="left")
    doc.skip(4)
    half = (right - left) / 2
    doc.cell(left, doc.y - 30, half, 30, "Employer account number", case.account)
    doc.cell(left + half, doc.y - 30, half, 30, "Date mailed", case.day(case.filed))
    doc.cell(left, doc.y - 60, half, 30, "Federal ID number", case.ein)
    doc.cell(left + half, doc.y - 60, half, 30, "Liability ended", case.day(case.ended))
    doc.skip(84)
    party(doc, case, left + 20, doc.y)
    doc.skip(62)
    doc.para(
        "Our records have been updated to show that this employer no longer has employees. The unemployment insurance"
        " account is closed, and wage reports are not required for any later quarter."
    )
    doc.para(
        "You must notify us within thirty days if you resume paying wages. You may appeal this determination"
        " in writing within 20 days of the mailing date."
    )
    distract(doc, case, [(right - 90, 180)])
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein)
    doc.unjudged = ("file_number", "effective_date", "signed_date")  # `liability ended` and `date mailed`


@late("account closed on a portal", (Kind.ACCOUNT_CLOSURE,), ("gothic", "broad"), born=0.45)
def closed_on_portal(doc: Doc, case: Case, kind: Kind) -> None:
    """A page of an agency's website about a request to close an account."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 762, f"{case.filed:%m/%d/%Y}", size=7)
    doc.write(right, 762, "Tax account center", size=7, align="right")
    doc.frame(left, 716, right - left, 30, shade=0.88, weight=0)
    doc.fitted(left + 8, 727, case.place.agency, right - left - 16, font=doc.font("bold"), size=13)
    sort = case.pick("Withholding Tax", "Sales Tax", "Sales and Use Tax")
    doc.y = 692
    doc.title("Account closed", 15, align="left")
    doc.para(f"The request to close your {sort} account was processed. The account is now closed.")
    table(
        doc,
        ["Detail", ""],
        [
            ["Taxpayer", case.name],
            ["FEIN", case.ein],
            ["Account type", sort],
            ["Account", case.account],
            ["Closing date", case.day(case.ended)],
            ["Reason", case.pick("Business closed", "Out of business", "No longer has employees")],
            ["Confirmation", f"{case.dice.randrange(10**9, 10**10)}"],
        ],
        [0, 150],
        pitch=21,
    )
    doc.skip(6)
    doc.para(
        f"Processed {case.day(case.filed)}. File a final return for the last period if you have not done so.", size=9.5
    )
    letter(doc, case, kind, case.filed, jurisdiction=case.place.code, ein=case.ein)
    doc.unjudged = ("file_number", "effective_date", "signed_date")  # nobody signs a web page
