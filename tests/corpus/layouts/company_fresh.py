"""The company's own papers, and those of newspapers and others: the layouts kept back until tuning was over."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter
from tests.corpus.layouts.registry import layout


def _signed(doc: Doc, case: Case, x: float, who: str, role: str) -> None:
    doc.room(70)
    doc.skip(38)
    doc.sign(x + 10, doc.y + 3, who)
    doc.rule(doc.y, x, x + 210)
    doc.write(x, doc.y - 12, f"{who}, {role}", size=9.5)
    doc.skip(24)


@layout("minutes of a meeting", "fresh", (Kind.CONSENT,), ("roman", "plain", "gothic"))
def minutes(doc: Doc, case: Case, kind: Kind) -> None:
    """Minutes: who was there, what was decided, and who keeps the record."""
    doc.y = 738
    doc.title(f"Minutes of a special meeting of the members of {case.name}", 13)
    doc.skip(10)
    doc.para(f"Held at {case.street}, {case.town}. Present: {case.people[0]} and {case.people[1]}, holding all shares.")
    doc.para("It was moved, seconded and carried with every vote that the company end its business and dissolve.")
    doc.para("The manager is to pay what is owed, sell what can be sold, and share out the rest.")
    doc.para("There being nothing else to decide, the meeting closed.")
    _signed(doc, case, doc.look.left, case.people[0], "secretary of the meeting")
    doc.write(doc.look.left, doc.y, f"Signed on {case.day(case.signed)}")
    letter(doc, case, kind, case.signed)


@layout("letter to one creditor", "fresh", (Kind.CREDITOR_NOTICE,), ("gothic", "press", "typewriter"))
def creditors(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter to one creditor that tells how to claim."""
    doc.write(doc.look.left, 742, case.name, face="bold", size=13)
    doc.write(doc.look.left, 727, f"{case.street}, {case.town}", size=9)
    doc.y = 694
    doc.para(f"Date: {case.day(case.signed)}")
    doc.para("To a known creditor", face="bold")
    doc.para(f"{case.name} has dissolved. If you have a claim against it, put it in writing and say what it is for.")
    doc.para(f"It has to be in our hands by {case.day(case.reach)} at the address above, or it will be barred.")
    _signed(doc, case, doc.look.left, case.people[1], "manager")
    distract(doc, case, [(440, 170)])
    letter(doc, case, kind, case.signed)


@layout("oath of an editor", "fresh", (Kind.PUBLICATION_AFFIDAVIT,), ("roman", "narrow"))
def editor(doc: Doc, case: Case, kind: Kind) -> None:
    """An affidavit under its venue, the notice pasted under it."""
    paper = case.dice.choice(words()["papers"])
    doc.y = 740
    doc.title("Publisher's Affidavit", 16)
    doc.para(f"State of {case.place.name}, County of Harrow", face="italic")
    doc.para(f"The editor of {paper}, being sworn, states that the notice set out here was published in that newspaper")
    doc.para(f"in its editions of {case.day(case.decided)} and the two weeks that followed.")
    doc.frame(doc.look.left + 40, doc.y - 64, doc.look.right - doc.look.left - 80, 64)
    doc.skip(18)
    doc.para(f"To whom it may concern: {case.name} is dissolved. Claims go to {case.street}, {case.town}.",
             x=doc.look.left + 48, right=doc.look.right - 48, size=9.5)  # fmt: skip
    doc.skip(34)
    doc.para(f"Sworn to and subscribed before me on {case.day(case.signed)}.")
    _signed(doc, case, doc.look.left, "the notary", "notary public")
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)


@layout("sale and giving away of things", "fresh", (Kind.ASSET_DISPOSITION,), ("plain", "typewriter"))
def things(doc: Doc, case: Case, kind: Kind) -> None:
    """A list of what became of each thing."""
    doc.y = 736
    doc.title("Schedule of asset disposition", 14, align="left")
    doc.para(case.name, face="bold")
    for thing in case.dice.sample(words()["goods"], 4):
        doc.para(f"{thing}: sold for ${case.money(50, 9000)} to a buyer unrelated to the members", gap=0.3)
    doc.skip(8)
    doc.para("Unsold equipment was scrapped. The proceeds were paid into the company's account.")
    doc.para(f"Signed and dated {case.day(case.signed)}")
    _signed(doc, case, doc.look.left, case.people[0], "manager")
    letter(doc, case, kind, case.signed)


@layout("receipt of a member", "fresh", (Kind.DISTRIBUTION_RECORD,), ("roman", "broad"))
def receipt(doc: Doc, case: Case, kind: Kind) -> None:
    """Each member's receipt for the last payment."""
    doc.y = 736
    doc.title("Record of final distribution to members", 14)
    doc.title(case.name, 12, "regular")
    for who in case.people:
        doc.para(f"{who} received ${case.money(100, 40000)}.00 as the whole of the share due on liquidation.", gap=0.8)
    doc.para("Nothing more will be paid.")
    doc.para(f"Dated: {case.day(case.signed)}")
    _signed(doc, case, doc.look.left, case.people[1], "for the company")
    letter(doc, case, kind, case.signed)


@layout("last balance", "fresh", (Kind.CLOSING_BALANCE_SHEET,), ("gothic", "roman"))
def balance(doc: Doc, case: Case, kind: Kind) -> None:
    """Assets over liabilities in one column."""
    doc.y = 736
    doc.title(case.name, 14)
    doc.title("Final Balance Sheet", 12)
    doc.title(f"as of {case.day(case.ended)}", 10, "italic")
    doc.skip(10)
    for label in ("Cash in bank", "Total assets", "Accounts payable", "Members' equity", "Liabilities and equity"):
        doc.write(doc.look.left + 30, doc.y, label)
        doc.write(doc.look.right - 40, doc.y, case.money(0, 90000), align="right")
        doc.skip(20)
    doc.para("Drawn up without audit.", size=9)
    doc.truth |= {"kind": kind.value, "entity_name": case.name, "period_end": case.ended.isoformat()}
    doc.truth["authority"] = "plain copy"


@layout("proof by the clerk", "fresh", (Kind.MAILING_PROOF,), ("press", "gothic"))
def clerk(doc: Doc, case: Case, kind: Kind) -> None:
    """A clerk's proof that notices were posted."""
    doc.y = 736
    doc.title("PROOF OF SERVICE BY MAIL", 14)
    doc.title(f"({case.name})", 11, "regular")
    doc.skip(8)
    doc.para(f"I am over eighteen. I placed copies of the notice in envelopes with first class postage and mailed them"
             f" on {case.day(case.decided)} to every creditor on the company's list.")  # fmt: skip
    doc.para("I declare under penalty of perjury that this is true.")
    doc.para(f"Dated: {case.day(case.signed)}")
    _signed(doc, case, doc.look.left, case.people[0], "clerk")
    letter(doc, case, kind, case.signed)


@layout("landlord's letter", "fresh", (Kind.OTHER,), ("plain", "typewriter"))
def landlord(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter about the lease: of no concern to the closing."""
    doc.write(doc.look.left, 742, "Tanner Street Properties", face="bold", size=12)
    doc.write(doc.look.right, 742, case.day(case.signed), align="right")
    doc.y = 690
    doc.para(case.name, gap=0)
    doc.para(case.street, gap=0)
    doc.para(case.town)
    doc.para("The lease of the premises ends with the month. The tenant's deposit will be returned after inspection.")
    doc.para("Please leave the keys with the janitor.")
    _signed(doc, case, doc.look.left, case.people[1], "landlord")
    letter(doc, case, kind, case.signed)
