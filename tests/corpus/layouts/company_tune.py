"""The company's own papers, and those of newspapers and banks: the layouts for tuning."""

from quietus.model.kinds import Kind
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, words
from tests.corpus.layouts.common import letter, sentences
from tests.corpus.layouts.registry import layout


def signatures(doc: Doc, case: Case, role: str) -> None:
    """Both people sign and date."""
    for name in case.people:
        doc.room(64)
        doc.skip(46)
        left = doc.look.left
        doc.sign(left + 10, doc.y + 4, name)
        doc.rule(doc.y, left, left + 210)
        doc.write(left, doc.y - 12, f"{name}, {role}", size=10)
        doc.write(left + 260, doc.y, "Date:")
        doc.dated(left + 296, doc.y, case.day(case.signed))


@layout("written consent in resolutions", "tune", (Kind.CONSENT,), ("roman", "press", "gothic"))
def consent_resolutions(doc: Doc, case: Case, kind: Kind) -> None:
    """Whereas and resolved."""
    doc.y = 735
    doc.title(
        case.pick("WRITTEN CONSENT OF THE MEMBERS IN LIEU OF MEETING", "UNANIMOUS CONSENT OF MEMBERS TO DISSOLUTION"),
        13,
    )
    doc.title(case.name, 12)
    doc.skip(14)
    doc.prose(sentences("written consent in resolutions", "body", case), gap=0.9)
    signatures(doc, case, "Member")
    letter(doc, case, kind, case.signed)


@layout("letter to creditors", "tune", (Kind.CREDITOR_NOTICE,), ("roman", "gothic", "broad"))
def creditors_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """A letter to one creditor."""
    doc.middle(745, case.name, size=14)
    doc.middle(731, f"{case.street}, {case.town}", face="regular", size=9)
    doc.rule(722)
    doc.y = 694
    doc.para(case.day(case.signed))
    doc.para(case.dice.choice(words()["buyers"][:2]), gap=0.1)
    doc.para("Accounts department")
    doc.para(case.pick("Re: Notice of dissolution and request for claims", "NOTICE TO CREDITORS"), face="bold")
    doc.prose(sentences("letter to creditors", "body", case), gap=0.9)
    doc.sign(doc.look.left + 8, doc.y - 34, case.people[0])
    doc.write(doc.look.left, doc.y - 54, f"{case.people[0]}, for the company")
    distract(doc, case, [(430, 160)])
    letter(doc, case, kind, case.signed)


@layout("publisher's affidavit", "tune", (Kind.PUBLICATION_AFFIDAVIT,), ("roman", "typewriter"))
def affidavit(doc: Doc, case: Case, kind: Kind) -> None:
    """A publisher swears; the notice as printed stands below."""
    doc.y = 735
    doc.title("AFFIDAVIT OF PUBLICATION", 15)
    doc.skip(8)
    doc.write(doc.look.left, doc.y, f"{case.place.whole.upper()}   )")
    doc.write(doc.look.left, doc.y - 14, "County of Harrow            ) ss.")
    doc.skip(42)
    paper = case.dice.choice(words()["papers"])
    doc.prose(sentences("publisher's affidavit", "body", case, paper=paper), gap=0.9)
    doc.frame(doc.look.left + 40, doc.y - 84, 250, 88)
    doc.y -= 10
    doc.para(
        sentences("publisher's affidavit", "notice", case)[0], x=doc.look.left + 48, right=doc.look.left + 282, size=8.5
    )
    doc.y -= 30
    doc.sign(doc.look.left + 240, doc.y - 10, paper)
    doc.rule(doc.y - 16, doc.look.left + 230, doc.look.right)
    doc.write(doc.look.left + 230, doc.y - 28, "Publisher", size=9)
    doc.skip(54)
    doc.para(f"Sworn to before me {days.formal(case.signed)}.")
    distract(doc, case, [(doc.look.left + 100, 110)])
    letter(doc, case, kind, case.signed, jurisdiction=case.place.code)


@layout("assets in a table", "tune", (Kind.ASSET_DISPOSITION,), ("gothic", "narrow", "roman"))
def assets_table(doc: Doc, case: Case, kind: Kind) -> None:
    """What was owned and where it went, in a table."""
    doc.y = 735
    doc.title(case.pick("Record of Disposition of Assets", "SCHEDULE OF ASSETS SOLD AND DISTRIBUTED"), 15)
    doc.title(case.name, 11)
    doc.skip(14)
    doc.prose(sentences("assets in a table", "body", case))
    stops = (doc.look.left + 4, doc.look.left + 160, doc.look.left + 330)
    for x, text in zip(stops, ("Asset", "Buyer or member", "Date"), strict=True):
        doc.write(x, doc.y, text, face="bold", size=9.5)
    doc.write(doc.look.right - 4, doc.y, "Proceeds", face="bold", size=9.5, align="right")
    for thing in case.dice.sample(words()["goods"], 6):
        doc.skip(21)
        doc.rule(doc.y + 14, weight=0.3)
        doc.fitted(stops[0], doc.y, thing, 150, size=9.5)
        doc.fitted(stops[1], doc.y, case.dice.choice(words()["buyers"]), 164, size=9.5)
        doc.write(stops[2], doc.y, f"{case.decided:%m/%d/%Y}", size=9.5)
        doc.write(doc.look.right - 4, doc.y, f"${case.money(100, 9000)}", size=9.5, align="right")
    doc.skip(30)
    signatures(doc, case, "Member")
    letter(doc, case, kind, case.signed)


@layout("bank letter", "tune", (Kind.OTHER,), ("gothic", "roman"))
def bank_letter(doc: Doc, case: Case, kind: Kind) -> None:
    """A bank confirms that an account was closed."""
    bank = case.dice.choice(words()["banks"])
    doc.write(doc.look.left, 745, bank, face="bold", size=14)
    doc.y = 700
    doc.para(case.day(case.signed))
    doc.para(case.name, gap=0.1)
    doc.para(f"{case.street}, {case.town}")
    doc.prose(sentences("bank letter", "body", case), gap=0.9)
    doc.sign(doc.look.left + 8, doc.y - 34, bank)
    doc.write(doc.look.left, doc.y - 54, "Branch manager")
    distract(doc, case, [(430, 200)])
    letter(doc, case, kind, case.signed)
