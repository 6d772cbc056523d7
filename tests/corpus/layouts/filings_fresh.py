"""Filings that end a company at home or withdraw it elsewhere: the layouts kept back until tuning was over."""

from quietus.model.kinds import Authority, Kind
from tests.corpus.doc import Doc
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case
from tests.corpus.layouts.common import FILINGS, effective, filing, title_of
from tests.corpus.layouts.registry import ONLINE, STAMPABLE, layout


def _reasons(case: Case, kind: Kind) -> list[str]:
    name, place = case.name, case.place.name
    if kind is Kind.WINDING_UP_NOTICE:
        return [
            f"{name} gives notice that its members chose on {case.day(case.decided)} to bring its business to an end.",
            "From that day it carries on no business but what is needed to collect its assets and settle its debts.",
        ]
    if kind is Kind.DISSOLUTION:
        return [
            f"The members of {name} resolved on {case.day(case.decided)} that the company be dissolved.",
            "Creditors have been paid in full, or funds for them were deposited, and the balance went to the members.",
            "No proceeding is pending against the company in any court.",
        ]
    return [
        f"{name} is a limited liability company of {case.home.name} and has carried on business in {place}.",
        f"It carries on business in {place} no longer and relinquishes the authority that it was given here.",
        f"Papers that would have been served on its agent can be mailed to {case.street}, {case.town}.",
    ]


@layout("deed with wide margin", "fresh", FILINGS, ("press", "roman"), ways=STAMPABLE)
def deed(doc: Doc, case: Case, kind: Kind) -> None:
    """A lawyer's deed: facts in a narrow column at the left, the text at the right, the stamp in the lower margin."""
    left, right = doc.look.left, doc.look.right
    column = left + 150
    doc.middle(742, title_of(case, kind), face="bold", size=15)
    doc.middle(724, f"delivered to the {case.place.office} of the {case.place.whole}", face="italic", size=10)
    y = 680.0
    for label, value in (
        ("Company", case.name),
        (case.place.label, case.number),
        ("Since", case.day(case.formed)),
        ("Home", case.home.name),
    ):
        doc.write(left, y, label, face="italic", size=8.5)
        doc.fitted(left, y - 13, value, 138, size=9.5)
        y -= 42
    doc.rule(694, column - 8, column - 8 + 1)
    doc.y = 680
    for text in _reasons(case, kind):
        doc.para(text, x=column, gap=0.9)
    doc.para(f"This deed shall operate {effective(doc, case)}.", x=column)
    doc.skip(30)
    doc.sign(column + 6, doc.y, case.people[0])
    doc.rule(doc.y - 4, column, right)
    doc.write(column, doc.y - 16, f"{case.people[0]}, for the company", size=9.5)
    doc.write(column, doc.y - 30, f"Executed on {case.day(case.signed)}", size=9.5)
    mark(doc, case, doc.way, right - (4 if doc.way == "typed" else 96), 190, lean=15)
    distract(doc, case, [(left + 90, 110)])
    filing(doc, case, kind)


@layout("cards in a grid", "fresh", (*FILINGS, Kind.WINDING_UP_NOTICE), ("gothic", "plain", "narrow"), ways=STAMPABLE)
def cards(doc: Doc, case: Case, kind: Kind) -> None:
    """Two columns of shaded cards under the office's name; the stamp over the title at the left."""
    left, right = doc.look.left, doc.look.right
    wide = right - left
    doc.frame(left, 716, wide, 38, shade=0.9, weight=0)
    doc.fitted(left + 8, 730, f"{case.place.desk}: {case.place.division}", wide - 16, font=doc.font("bold"), size=12)
    doc.write(right, 700, title_of(case, kind), face="bold", size=13, align="right")
    rows = [
        ("Entity", case.name),
        (case.place.label, case.number),
        ("Created", case.day(case.formed)),
        ("Law of", case.home.name),
        ("In force from", effective(doc, case)),
        ("Post to", f"{case.street}, {case.town}"),
    ]
    top = 560.0
    for number, (label, value) in enumerate(rows):
        x = left + (wide / 2 + 4) * (number % 2)
        y = top - 50 * (number // 2)
        doc.frame(x, y, wide / 2 - 4, 42, shade=0.95, weight=0.4)
        doc.write(x + 5, y + 30, label, size=7.5)
        doc.fitted(x + 5, y + 10, value, wide / 2 - 14, size=doc.look.size)
    doc.y = top - 140
    doc.prose(_reasons(case, kind), gap=0.9)
    doc.skip(26)
    doc.sign(left + 8, doc.y, case.people[1])
    doc.rule(doc.y - 4, left, left + 200)
    doc.write(left, doc.y - 15, f"{case.people[1]} (member)", size=9)
    doc.write(left + 250, doc.y, f"Signed {case.day(case.signed)}", size=9.5)
    mark(doc, case, doc.way, left + 230 if doc.way == "typed" else left + 110, 655, lean=10)
    distract(doc, case, [(right - 90, 110)])
    filing(doc, case, kind)


@layout("portal extract", "fresh", FILINGS, ("gothic", "broad"), ways=ONLINE, born=0.5)
def extract(doc: Doc, case: Case, kind: Kind) -> None:
    """A page saved from a filing portal, its mark at the foot."""
    left, right = doc.look.left, doc.look.right
    doc.write(left, 748, f"{case.place.office}, {case.place.whole}", size=9, gray=0.25)
    doc.y = 720
    doc.title(title_of(case, kind), 17, align="left")
    for label, value in (
        ("Business", case.name),
        (case.place.label, case.number),
        ("Formed in", f"{case.home.name}, {case.day(case.formed)}"),
        ("Takes effect", effective(doc, case)),
    ):
        doc.write(left, doc.y, f"{label}:", face="bold", size=9.5)
        doc.fitted(left + 130, doc.y, value, right - left - 130, size=doc.look.size)
        doc.skip(22)
    doc.skip(8)
    doc.prose(_reasons(case, kind), gap=0.8)
    doc.para(f"Typed signature: {case.people[0]}    Day of signature: {case.day(case.signed)}", size=9.5)
    mark(doc, case, "electronic", right, 120)
    filing(doc, case, kind)


@layout("receipt of the registry", "fresh", FILINGS, ("roman", "broad", "plain"), ways=ONLINE, born=0.4)
def registry_receipt(doc: Doc, case: Case, kind: Kind) -> None:
    """The office's evidence of filing: a sentence first, figures under it."""
    left = doc.look.left
    doc.middle(744, case.place.whole.upper(), size=13)
    doc.middle(728, case.place.office, face="regular", size=11)
    doc.y = 690
    doc.title("Evidence of Filing", 20)
    doc.skip(14)
    doc.para(
        f"The {title_of(case, kind)} of {case.name} was accepted and has been filed in this office on "
        f"{case.day(case.filed)}."
    )
    doc.para(f"{case.place.label}: {case.number}")
    doc.para(f"Work order {case.dice.randrange(10**6, 10**7)}; fee {case.dice.choice((20, 30, 60))} dollars, paid.")
    doc.para(f"Printed for the file on {case.day(case.reach)}.", size=9)
    if kind is Kind.WITHDRAWAL:
        doc.para("The company was registered here as a foreign limited liability company.", size=9.5)
    doc.sign(left + 250, doc.y - 50, "the registrar", 140)
    doc.write(left + 250, doc.y - 66, case.place.office, size=9.5)
    doc.design = "evidence of filing"
    filing(doc, case, kind, stamped=True, filing_date=case.filed.isoformat(), authority=Authority.ELECTRONIC.value)
    del doc.truth["signed_date"]
