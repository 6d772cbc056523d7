"""The company's own papers and a newspaper's: the layouts written last."""

from quietus.model.kinds import Kind
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import COUNTIES, PAPERS, late, signed_line, table


@late("whereas and resolved", (Kind.CONSENT,), ("roman", "press", "typewriter"))
def whereas(doc: Doc, case: Case, kind: Kind) -> None:
    """A lawyer's written consent with recitals."""
    left, right = doc.look.left, doc.look.right
    doc.y = 738
    doc.title(
        case.pick("UNANIMOUS WRITTEN CONSENT OF THE MEMBERS", "ACTION BY WRITTEN CONSENT IN LIEU OF A MEETING"), 13
    )
    doc.title("OF", 11, "regular")
    doc.title(case.name.upper(), 13)
    doc.skip(12)
    doc.para(
        f'The undersigned, being all of the members of {case.name} (the "Company"), hereby adopt the following'
        f" resolutions as of {case.pick(case.day(case.signed), days.formal(case.signed))}:"
    )
    doc.para(
        "WHEREAS, the members have determined that it is in the best interests of the Company to dissolve, wind up its"
        " affairs and liquidate its assets;"
    )
    for text in (
        (
            "the Company be, and hereby is, dissolved, and its affairs shall be wound up in accordance with the"
            " operating agreement and applicable law;"
        ),
        (
            f"{case.people[0]} is appointed to wind up the Company, to pay or provide for its liabilities, to file all"
            " final tax returns, and to file such articles or certificates as any jurisdiction requires; and"
        ),
        "the officers are authorized to take all actions necessary to carry out the foregoing.",
    ):
        doc.para(f"RESOLVED, that {text}", x=left + 24)
    doc.skip(26)
    doc.write(left, doc.y + 14, "MEMBERS:", face="bold")
    doc.skip(24)
    for who in case.people:
        signed_line(doc, case, left + 230, who, "Member", width=right - left - 230)
        doc.skip(14)
    letter(doc, case, kind, case.signed)


@late("plan of liquidation", (Kind.CONSENT,), ("gothic", "plain", "roman"))
def plan(doc: Doc, case: Case, kind: Kind) -> None:
    """A resolution with a plan, signed in a table with shares and days."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 742, case.name, face="bold", size=13)
    doc.y = 716
    doc.title("Resolution of Members Approving Dissolution and Plan of Liquidation", 13, align="left")
    doc.skip(4)
    for number, text in enumerate(
        (
            "The members approve the dissolution of the company. It will cease to carry on business except to wind up.",
            "The manager will collect the assets, give notice to known creditors, and pay debts in order of priority.",
            "What remains will be distributed to the members in proportion to their capital accounts.",
            f"The plan is to be completed before {case.day(case.reach)}.",
        ),
        start=1,
    ):
        doc.para(f"{number}.  {text}", x=left + 12, gap=0.8)
    doc.para("Adopted by the vote of members holding 100% of the interests.")
    doc.skip(6)
    share = case.dice.choice((50, 60, 75))
    top = doc.y
    rows = [
        [who, f"{part}%", "", case.day(case.signed)]
        for who, part in zip(case.people, (share, 100 - share), strict=True)
    ]
    table(doc, ["Member", "Interest", "Signature", "Date"], rows, [0, 160, 225, right - left - 110], pitch=34)
    for number, who in enumerate(case.people):
        doc.sign(left + 234, top - 34 * (number + 1) + 4, who, 110)
    distract(doc, case, [(right - 90, 160)])
    letter(doc, case, kind, case.signed)


@late("letter to known claimants", (Kind.CREDITOR_NOTICE,), ("gothic", "roman", "broad"))
def known_claimants(doc: Doc, case: Case, kind: Kind) -> None:
    """A notice by letter that says what a claim must hold."""
    left = doc.look.left
    doc.write(left, 744, case.name, face="bold", size=12)
    doc.write(left, 730, f"{case.street}, {case.town}", size=9.5)
    doc.write(left, 702, case.day(case.signed))
    for number, text in enumerate(("Ridgeline Paper Supply", "Accounts Receivable", "18 Depot Way")):
        doc.write(left, 676 - 13 * number, text, size=10)
    doc.y = 616
    doc.para("NOTICE OF DISSOLUTION TO KNOWN CLAIMANT", face="bold")
    doc.para(
        f"Please take notice that {case.name} was dissolved on {case.day(case.decided)} and is winding up its affairs."
    )
    doc.para("If you assert a claim, deliver it in writing to the address above. The claim must state:", gap=0.3)
    for text in (
        "(a) the name and address of the claimant;",
        "(b) the amount and the basis of the claim; and",
        "(c) the date on which it arose, with copies of any documents.",
    ):
        doc.para(text, x=left + 24, gap=0.2)
    doc.skip(8)
    doc.para(
        f"The deadline for receipt of claims is {case.day(case.reach)}. A claim not received by then will be barred."
    )
    doc.skip(24)
    signed_line(doc, case, left, case.people[0], "Manager", width=220)
    distract(doc, case, [(doc.look.right - 90, 150)])
    letter(doc, case, kind, case.signed)


@late("notice for the newspaper", (Kind.CREDITOR_NOTICE,), ("roman", "press", "plain"))
def newspaper_notice(doc: Doc, case: Case, kind: Kind) -> None:
    """The text of a notice to unknown creditors, as it is handed to a newspaper."""
    left = doc.look.left
    doc.y = 726
    doc.title("NOTICE TO CREDITORS", 15)
    doc.title(f"Dissolution of {case.name}", 12, "regular")
    doc.skip(18)
    doc.para(
        f"Notice is hereby given that {case.name}, whose address is {case.street}, {case.town}, has dissolved. Any"
        " person with a claim against the company must present it in writing to the company at that address,"
        " together with a description of the claim."
    )
    doc.para(
        "A claim will be barred unless a proceeding to enforce it is commenced within"
        f" {case.pick('two', 'three', 'five')} years after publication of this notice."
    )
    doc.skip(8)
    doc.para(f"Dated: {case.day(case.signed)}")
    doc.skip(20)
    signed_line(doc, case, left, case.people[1], "Member", width=210)
    letter(doc, case, kind, case.signed)


@late("affidavit with venue", (Kind.PUBLICATION_AFFIDAVIT,), ("roman", "press", "typewriter"))
def venue(doc: Doc, case: Case, kind: Kind) -> None:
    """A publisher's oath: venue at the head, days of publication in a list, the notary's part at the foot."""
    left, right = doc.look.left, doc.look.right
    paper, county = case.dice.choice(PAPERS), case.dice.choice(COUNTIES)
    doc.y = 738
    doc.title("AFFIDAVIT OF PUBLICATION", 15)
    doc.skip(8)
    doc.para(f"{case.place.whole.upper()}", gap=0)
    doc.para(f"COUNTY OF {county.upper()}    ss:")
    doc.para(
        f"{case.people[0]}, being first duly sworn, deposes and says: that he or she is the principal clerk of {paper},"
        f" a newspaper of general circulation printed and published in {county} County; that the attached notice of"
        f" dissolution of {case.name} was published in the regular issues of said newspaper on the following dates:"
    )
    doc.para(f"{case.day(case.decided)}, and once a week for two consecutive weeks thereafter", x=left + 40)
    doc.frame(left + 60, doc.y - 92, right - left - 120, 96, weight=0.6)
    doc.skip(12)
    doc.para("LEGAL NOTICE", face="bold", size=9, x=left + 70, gap=0.2)
    doc.para(
        f"{case.name} has been dissolved. Claims against the company should be sent to {case.street}, {case.town}, and"
        " will be barred unless made within the time allowed by law.",
        x=left + 70,
        right=right - 70,
        size=9,
    )
    doc.skip(52)
    signed_line(doc, case, left, case.people[0], "Principal Clerk", width=220)
    doc.para(f"Subscribed and sworn to before me on {case.day(case.signed)}.")
    doc.skip(24)
    signed_line(doc, case, left, case.people[1], "Notary Public", width=220)
    distract(doc, case, [(right - 100, max(doc.y, 110))])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)


@late("newspaper's order sheet", (Kind.PUBLICATION_AFFIDAVIT,), ("gothic", "narrow", "broad"))
def order_sheet(doc: Doc, case: Case, kind: Kind) -> None:
    """A newspaper's computer form: advertisement's number, runs and cost above the declaration."""
    left, right = doc.look.left, doc.look.right
    paper = case.dice.choice(PAPERS)
    doc.write(left, 744, paper, face="bold", size=14)
    doc.write(left, 730, f"Legal Advertising, {case.place.capital}, {case.place.name}", size=9)
    doc.y = 702
    doc.title("Proof of Publication", 16, align="left")
    table(
        doc,
        ["Ad number", "Description", "Runs", "Cost"],
        [[f"{case.dice.randrange(10**6, 10**7)}", "Notice of dissolution", "3", f"${case.dice.randrange(60, 300)}.00"]],
        [0, 100, 300, 370],
    )
    doc.para(f"Advertiser: {case.name}", gap=0.2)
    doc.para(f"First publication: {case.day(case.decided)}")
    doc.para(
        f"I am a representative of {paper}, which is a newspaper of record in the {case.place.whole}. I declare under"
        " penalty of perjury that the notice, of which a printed copy appears below, was published on the dates"
        " indicated in the printed issues and not in a supplement."
    )
    doc.frame(left, doc.y - 76, 240, 80, weight=0.5)
    doc.skip(10)
    doc.para(
        f"NOTICE: {case.name} is dissolved and winding up. Send claims to {case.street}, {case.town}.",
        x=left + 8,
        right=left + 232,
        size=8.5,
    )
    doc.skip(64)
    doc.write(left + 300, doc.y + 2, f"Executed on {case.day(case.signed)}", size=10)
    signed_line(doc, case, left, case.people[1], "Legal Clerk", width=220)
    distract(doc, case, [(right - 90, 200)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)


@late("certificate of service", (Kind.MAILING_PROOF,), ("roman", "typewriter", "gothic"))
def service(doc: Doc, case: Case, kind: Kind) -> None:
    """A certificate that a notice was mailed, with the addresses."""
    left = doc.look.left
    doc.y = 736
    doc.title(case.pick("CERTIFICATE OF SERVICE BY MAIL", "AFFIDAVIT OF MAILING"), 14)
    doc.skip(8)
    doc.para(f"Re: {case.name} - notice to creditors", face="bold")
    doc.para(
        f"I certify that on {case.day(case.decided)} I deposited in the United States Mail, first-class postage"
        " prepaid, a true copy of the notice to creditors addressed to:"
    )
    for name, where in (
        ("Ridgeline Paper Supply", "18 Depot Way"),
        ("Alder County Water District", "2 Court Square"),
        ("Bremmer Leasing", "P.O. Box 77"),
    ):
        doc.para(name, x=left + 30, gap=0)
        doc.para(where, x=left + 30, gap=0.5)
    doc.para("The foregoing is true and correct.")
    doc.skip(22)
    doc.write(left + 260, doc.y + 2, f"Dated {case.day(case.signed)}", size=10)
    signed_line(doc, case, left, case.people[0], "", width=220)
    distract(doc, case, [(doc.look.right - 90, 140)])
    letter(doc, case, kind, case.signed)


@late("log of certified mail", (Kind.MAILING_PROOF,), ("narrow", "plain", "gothic"))
def mail_log(doc: Doc, case: Case, kind: Kind) -> None:
    """A table of what was mailed to whom, with article numbers."""
    left, right = doc.look.left, doc.look.right
    doc.y = 740
    doc.title("PROOF OF MAILING - CERTIFIED MAIL LOG", 13, align="left")
    doc.para(f"Sender: {case.name}", gap=0.2)
    doc.para(f"{case.street}, {case.town}", gap=0.2)
    doc.para("Contents: notice of dissolution to creditors")
    rows = [
        [
            str(number),
            who,
            f"7021 0350 000{case.dice.randrange(10)} {case.dice.randrange(1000, 9999)}",
            case.day(case.decided),
        ]
        for number, who in enumerate(
            ("Ridgeline Paper Supply", "Bremmer Leasing", "Northgate Insurance Agency"), start=1
        )
    ]
    table(doc, ["No.", "Addressee", "Article number", "Mailed"], rows, [0, 34, 200, 360], pitch=24)
    doc.skip(8)
    doc.para("I mailed the pieces listed above, return receipt requested, and declare that this log is accurate.")
    doc.skip(24)
    doc.write(left + 260, doc.y + 2, f"Signed {case.day(case.signed)}", size=10)
    signed_line(doc, case, left, case.people[1], "Office Manager", width=220)
    distract(doc, case, [(right - 90, 200)])
    letter(doc, case, kind, case.signed)
