"""The company's own papers and a newspaper's: the split `trial`."""

from datetime import timedelta

from quietus.model.kinds import Kind
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.common_late import table
from tests.corpus.layouts.common_trial import hand, head, lines, trial


@trial("minutes of the members", (Kind.CONSENT,), ("roman", "press", "gothic"))
def minutes(doc: Doc, case: Case, kind: Kind) -> None:
    """Minutes of a special meeting at which the members dissolve the company."""
    left = doc.look.left
    doc.y = 738
    doc.title(case.pick("Minutes of a Special Meeting of Members", "MINUTES OF MEETING OF THE MEMBERS"), 14)
    doc.title(case.name, 12)
    doc.skip(12)
    day = case.pick(case.day(case.signed), days.formal(case.signed))
    doc.para(f"A special meeting of the members was held on {day} at {case.street}, {case.town}.")
    doc.para(f"Present: {case.people[0]} and {case.people[1]}, who together hold every membership interest.")
    doc.para(f"{case.people[0]} took the chair. Notice of the meeting was waived by all present.")
    doc.para("Upon motion made and seconded, the following was carried without dissent:")
    for text in (
        f"{case.name} shall dissolve and its affairs shall be wound up;",
        f"{case.people[1]} shall act as liquidator, with power to sell assets, settle debts and sign every filing;",
        "tax registrations in every state shall be closed once the last returns are filed.",
    ):
        doc.para(f"-  {text}", x=left + 24, gap=0.4)
    doc.para("There being no other business, the meeting was adjourned.")
    hand(doc, case, left, case.people[0], "Chair of the meeting", dated=case.signed)
    hand(doc, case, left, case.people[1], "Secretary of the meeting", dated=case.signed)
    letter(doc, case, kind, case.signed)


@trial("call for claims", (Kind.CREDITOR_NOTICE,), ("roman", "gothic", "broad"))
def call_for_claims(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter to a creditor with a part to fill in and send back."""
    left = doc.look.left
    head(doc, (case.name, "In liquidation", f"{case.street}, {case.town}"), align="centre")
    doc.write(left, 690, case.day(case.signed))
    lines(doc, left, 664, ("Tri-Valley Linen Service", "Credit Department", "77 Depot Road"), size=10)
    doc.y = 610
    doc.para("Notice to creditor: how to make a claim", face="bold")
    doc.para(
        f"This company has dissolved. {case.pick('You appear in our books as a creditor.', 'We may owe you money.')}"
        f" To be paid, mail your claim to the address above so that it arrives no later than {case.day(case.reach)}."
        " Claims that arrive later will not be honored."
    )
    doc.para("State what is owed, since when and for what, and add copies of invoices or contracts.")
    hand(doc, case, left, case.people[1], "for the company")
    doc.rule(doc.y)
    doc.skip(20)
    doc.para("CLAIM (fill in and return)", face="bold", size=9.5)
    for label in ("Name of creditor", "Amount claimed", "Basis of the claim"):
        doc.write(left, doc.y, label, size=9)
        doc.rule(doc.y - 2, left + 120, left + 400, 0.4)
        doc.skip(22)
    letter(doc, case, kind, case.signed)


@trial("oath of the publisher", (Kind.PUBLICATION_AFFIDAVIT,), ("roman", "gothic", "press"))
def publisher(doc: Doc, case: Case, kind: Kind) -> None:
    """An affidavit of publication in two columns: the clipping at the left, the oath at the right."""
    left, right = doc.look.left, doc.look.right
    paper = case.dice.choice(words()["papers"])
    doc.y = 734
    doc.title("Publisher's Affidavit of Publication", 15)
    doc.middle(doc.y, f"{case.place.whole}, county of publication", face="regular", size=10)
    doc.frame(left, 520, 190, 176, weight=0.6)
    doc.y = 682
    doc.para("NOTICE OF DISSOLUTION", face="bold", size=8.5, x=left + 8, gap=0.2)
    doc.para(
        f"All persons are hereby notified that {case.name}, of {case.street}, {case.town}, has dissolved. Any person to"
        " whom it is indebted should present a statement of the debt at that address.",
        x=left + 8,
        right=left + 184,
        size=8.5,
    )
    x, doc.y = left + 210, 690
    doc.para(
        f"{case.people[0]} of {paper}, being sworn, states that the newspaper is published in {case.place.name} every"
        f" week, and that the attached notice ran in its issues of"
        f" {case.day(case.decided - timedelta(7))} and {case.day(case.decided)}.",
        x=x,
    )
    doc.para(f"Publication fee: ${case.dice.randrange(45, 260)}.00", x=x)
    hand(doc, case, x, case.people[0], case.pick("Publisher", "Legal notices desk"), width=180)
    doc.para(f"Sworn to and signed before me on {case.day(case.signed)}.", x=x)
    hand(doc, case, x, case.people[1], "Notary Public", width=180)
    distract(doc, case, [(left + 100, 430), (right - 110, 200)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)


@trial("declaration with a list", (Kind.MAILING_PROOF,), ("typewriter", "roman", "plain"))
def declaration(doc: Doc, case: Case, kind: Kind) -> None:
    """A declaration of mailing with a list of those to whom notices went."""
    left = doc.look.left
    doc.y = 736
    doc.title(case.pick("DECLARATION OF MAILING", "PROOF OF MAILING TO CREDITORS"), 14)
    doc.title(f"In the matter of the dissolution of {case.name}", 11, "italic")
    doc.skip(10)
    doc.para(f"I, {case.people[0]}, work for the company named above and declare:")
    doc.para(
        f"On {case.day(case.decided)} I sealed copies of the company's notice in envelopes with postage paid and left"
        f" them at the post office in {case.town.split(',')[0]}, addressed to each creditor on this list:"
    )
    rows = [
        ["Tri-Valley Linen Service", "77 Depot Road"],
        ["Holloway Propane", "P.O. Box 402"],
        ["Marsh Leasing", "3 Elm Ct"],
    ]
    table(doc, ["Creditor", "Address used"], rows[: case.dice.randrange(2, 4)], [0, 240], pitch=20)
    doc.skip(6)
    doc.para("No envelope has come back. I declare under penalty of perjury that the above is true.")
    hand(doc, case, left, case.people[0], "", dated=case.signed)
    distract(doc, case, [(doc.look.right - 95, 160)])
    letter(doc, case, kind, case.signed)
