"""The company's own papers, and those of newspapers and banks: the layouts held out for the reported figures."""

from quietus.model.kinds import Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter, sentences
from tests.corpus.layouts.registry import layout


@layout("action of the members", "held", (Kind.CONSENT,), ("broad", "narrow", "typewriter"))
def members_action(doc: Doc, case: Case, kind: Kind) -> None:
    """A decision in numbered points; one day for both signatures."""
    doc.y = 735
    doc.title(case.name, 14, align="left")
    doc.title(
        case.pick("Action by written consent of all members", "Resolution of members to dissolve and wind up"),
        12,
        "italic",
        align="left",
    )
    doc.skip(14)
    for number, text in enumerate(sentences("action of the members", "body", case), start=1):
        doc.para(f"{number}. {text}", gap=0.8)
    doc.para(f"Signed by all members on {case.day(case.signed)}.")
    for name in case.people:
        doc.room(60)
        doc.skip(42)
        doc.rule(doc.y, doc.look.left + 200, doc.look.right)
        doc.sign(doc.look.left + 220, doc.y + 4, name)
        doc.write(doc.look.left + 200, doc.y - 12, name, size=10)
    letter(doc, case, kind, case.signed)


@layout("notice to claimants", "held", (Kind.CREDITOR_NOTICE,), ("typewriter", "plain", "roman"))
def claimants(doc: Doc, case: Case, kind: Kind) -> None:
    """A notice to all who may have a claim, its day at the foot."""
    doc.y = 720
    doc.title("NOTICE TO CREDITORS AND CLAIMANTS", 14)
    doc.title(f"of {case.name}", 11, "regular")
    doc.skip(16)
    doc.prose(sentences("notice to claimants", "body", case), gap=1.0)
    doc.skip(36)
    doc.sign(doc.look.left + 10, doc.y + 4, case.people[1])
    doc.rule(doc.y, doc.look.left, doc.look.left + 200)
    doc.write(doc.look.left, doc.y - 12, f"{case.people[1]}, manager", size=10)
    doc.write(doc.look.left, doc.y - 30, f"Given {case.day(case.signed)}")
    distract(doc, case, [(430, 130)])
    letter(doc, case, kind, case.signed)


@layout("proof of publication", "held", (Kind.PUBLICATION_AFFIDAVIT,), ("gothic", "roman", "broad"))
def proof(doc: Doc, case: Case, kind: Kind) -> None:
    """A clipping at the left, the oath at the right."""
    middle = doc.look.left + 170
    paper = case.dice.choice(words()["papers"])
    doc.write(doc.look.left, 745, "PROOF OF PUBLICATION", face="bold", size=14)
    doc.write(doc.look.left, 730, paper, face="italic", size=11)
    doc.frame(doc.look.left, 420, 155, 290)
    doc.y = 695
    doc.para(sentences("proof of publication", "notice", case)[0], x=doc.look.left + 6, right=middle - 22, size=9)
    doc.y = 695
    for text in sentences("proof of publication", "body", case, paper=paper):
        doc.para(text, x=middle, gap=0.9)
    doc.skip(30)
    doc.sign(middle + 10, doc.y + 4, paper)
    doc.rule(doc.y, middle, doc.look.right)
    doc.write(middle, doc.y - 12, "Legal advertising clerk", size=9)
    doc.write(middle, doc.y - 34, f"Subscribed and sworn on {case.day(case.signed)}")
    distract(doc, case, [(doc.look.left + 90, 240)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)


@layout("assets in prose", "held", (Kind.ASSET_DISPOSITION,), ("roman", "typewriter", "plain"))
def assets_prose(doc: Doc, case: Case, kind: Kind) -> None:
    """A statement, thing by thing, of what was sold or handed over."""
    doc.y = 735
    doc.title(case.pick("STATEMENT OF DISTRIBUTION OF ASSETS", "DISPOSITION OF COMPANY PROPERTY"), 14)
    doc.skip(10)
    doc.prose(sentences("assets in prose", "opening", case))
    for thing in case.dice.sample(words()["goods"], 4):
        buyer = case.dice.choice(words()["buyers"][:2])
        text = f"- {thing}: sold on {case.day(case.decided)} to {buyer} for ${case.money(100, 9000)}"
        doc.para(text, x=doc.look.left + 14, gap=0.3)
    doc.prose(sentences("assets in prose", "closing", case))
    doc.skip(30)
    doc.sign(doc.look.left + 8, doc.y + 4, case.people[0])
    doc.rule(doc.y, doc.look.left, doc.look.left + 210)
    doc.write(doc.look.left, doc.y - 12, f"{case.people[0]}, liquidating manager", size=10)
    doc.write(doc.look.left + 240, doc.y, f"Dated {case.day(case.signed)}")
    distract(doc, case, [(430, 130)])
    letter(doc, case, kind, case.signed)


@layout("insurer's letter", "held", (Kind.OTHER,), ("roman", "broad"))
def insurer(doc: Doc, case: Case, kind: Kind) -> None:
    """An insurer confirms that a policy was cancelled."""
    doc.write(doc.look.right, 745, "Brightwater Mutual Assurance", face="bold", size=13, align="right")
    doc.y = 710
    for text in (case.name, case.street, case.town):
        doc.para(text, gap=0)
    doc.skip(20)
    doc.para(f"Date: {case.day(case.signed)}")
    doc.prose(sentences("insurer's letter", "body", case), gap=0.9)
    doc.sign(doc.look.left + 8, doc.y - 34, "underwriter")
    distract(doc, case, [(430, 200)])
    letter(doc, case, kind, case.signed)
