"""The company's own papers and a newspaper's: the layouts for reported figures."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import COUNTIES, table
from tests.corpus.layouts.common_proof import arrived, hand, letterhead, proof

CREDITORS = (
    "Hobart Street Supply Co.",
    "Tri-County Water Service",
    "Canal Insurance Brokers",
    "Linden Equipment Leasing",
)


@proof("minutes or consent of members", (Kind.CONSENT,), ("roman", "typewriter", "gothic", "plain"))
def consent(doc: Doc, case: Case, kind: Kind) -> None:
    """Minutes of a meeting at which all members vote to dissolve, or their consent without a meeting."""
    left, right = doc.look.left, doc.look.right
    first, second = case.people
    doc.y = 738
    doc.title(case.name, 13)
    met = case.chance(0.5)
    if met:
        doc.title("Minutes of a Special Meeting of the Members: Consent to Dissolution", 12)
        says: tuple[str, ...] = (
            f"The members met on {case.day(case.signed)}. Present were all members: {first} and {second}.",
            f"{first} chaired the meeting, and {second} kept the minutes. Notice was waived.",
            "It was moved, seconded and voted by all that the company be dissolved and its debts paid or provided for.",
            "It was further voted that its property be distributed and that all final filings and tax returns be made.",
            "There being no other business, the meeting was adjourned.",
        )
    else:
        doc.title(case.pick("WRITTEN CONSENT OF MEMBERS", "Members' Resolution to Dissolve"), 15)
        says = (
            "1) We are all the members of the company, and we act without a meeting as the operating agreement allows.",
            "2) We consent to the dissolution of the company and to the winding up of its business.",
            f"3) {first} may sign and file whatever is needed to end its registrations and its tax accounts.",
            "4) This consent may be signed in counterparts.",
        )
    doc.skip(12)
    doc.prose(says)
    doc.skip(34)
    for who, role in (
        ((first, "Chair"), (second, "Secretary of the meeting")) if met else ((first, "Member"), (second, "Member"))
    ):
        hand(doc, case, left, who, role, day_x=0 if met else right - 140)
        doc.skip(18)
    arrived(doc, case, (right - 90, 150))
    letter(doc, case, kind, case.signed)


@proof("creditors are told", (Kind.CREDITOR_NOTICE,), ("roman", "gothic", "typewriter", "broad"))
def told(doc: Doc, case: Case, kind: Kind) -> None:
    """A notice to creditors under the company's own letterhead, to all or to one."""
    letterhead(doc, case, [case.name, case.street, case.town])
    doc.skip(24)
    doc.write(doc.look.left, doc.y, case.day(case.signed))
    doc.skip(34)
    doc.title(case.pick("NOTICE TO CREDITORS", "Notice to Creditors of Dissolved Company"), 13, align="left")
    doc.para(case.pick(f"To: {case.dice.choice(CREDITORS)}", "To all persons with claims against the company:"))
    doc.para(
        f"{case.name} has dissolved. If it owes you money, send a written claim with proof of it to the address above."
    )
    doc.para(f"We must receive your claim by {case.day(case.reach)}. Claims that arrive later are barred.")
    doc.skip(34)
    hand(doc, case, doc.look.left, case.people[0], case.pick("Manager", "Member"))
    arrived(doc, case, (doc.look.right - 90, 150))
    letter(doc, case, kind, case.signed)


@proof("affidavit beside its clipping", (Kind.PUBLICATION_AFFIDAVIT,), ("roman", "press", "gothic"))
def publisher(doc: Doc, case: Case, kind: Kind) -> None:
    """A publisher swears that a notice ran; the clipping at the right."""
    left, right = doc.look.left, doc.look.right
    paper, county = case.dice.choice(words()["papers"]), case.dice.choice(COUNTIES)
    doc.y = 740
    doc.title(case.pick("Affidavit of Publication", "PUBLISHER'S AFFIDAVIT OF PUBLICATION"), 15)
    doc.para(f"{case.place.whole}, {county} County", gap=1)
    middle, top = left + (right - left) * 0.56, doc.y
    doc.para(
        f"I am the publisher of {paper}, a newspaper published in {county} County. The notice at the right, about"
        f" {case.name}, ran once a week for three weeks. The first day was {case.day(case.decided)}.",
        right=middle,
    )
    doc.para(f"Sworn on {case.day(case.signed)}.", right=middle)
    doc.skip(34)
    for who, role in zip(case.people, ("Publisher", "Notary Public"), strict=True):
        hand(doc, case, left, who, role, 200)
        doc.skip(14)
    doc.y = top
    doc.para("PUBLIC NOTICE", face="bold", size=9, x=middle + 24, gap=0.3)
    doc.para(
        f"{case.name} has dissolved. Creditors should send their claims to {case.street}, {case.town}, within the time"
        " that the law sets, or they will be barred.",
        x=middle + 24,
        right=right - 8,
        size=9,
    )
    doc.frame(middle + 16, doc.y - 4, right - middle - 16, top - doc.y + 18, weight=0.5)
    distract(doc, case, [(right - 110, 330)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)


@proof("mailing under penalty of perjury", (Kind.MAILING_PROOF,), ("gothic", "roman", "typewriter"))
def mailing(doc: Doc, case: Case, kind: Kind) -> None:
    """Somebody declares what was mailed to whom and how."""
    doc.y = 738
    doc.title(case.pick("DECLARATION OF MAILING", "Proof of Mailing"), 14)
    doc.skip(10)
    how = case.pick("first-class mail, postage prepaid", "certified mail, return receipt requested")
    doc.para(f"On {case.day(case.decided)} I mailed the creditor notice of {case.name} by {how} to each person listed:")
    streets = case.dice.sample(words()["streets"], 4)
    rows = [[who, f"{case.dice.randrange(10, 900)} {way}"] for who, way in zip(CREDITORS, streets, strict=True)]
    table(doc, ["Addressee", "Address"], rows, [0, 220], pitch=22, lines=case.chance(0.5))
    doc.skip(8)
    doc.para("I declare under penalty of perjury that this is true.")
    doc.skip(34)
    hand(doc, case, doc.look.left, case.people[1], "", day_x=doc.look.right - 140)
    distract(doc, case, [(doc.look.right - 90, 150)])
    letter(doc, case, kind, case.signed)
