"""What the layouts of the split `trial` share."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from quietus.model.kinds import Kind
from tests.corpus import days
from tests.corpus.doc import Align, Doc, Face
from tests.corpus.filemarks import distract, mark
from tests.corpus.invent import Case
from tests.corpus.layouts.common import title_of
from tests.corpus.layouts.common_late import elsewhere, party
from tests.corpus.layouts.registry import UNMARKED, Write, layout
from tests.corpus.stamps import TRIAL

_HEADS = (
    "Applegarth", "Blue Heron", "Cordova Lane", "Delmarsh", "Evergreen Notch", "Fox & Fennel", "Green Bottle",
    "Highline 88", "Ivory Gate", "Kinnebec Hill", "Linden Fork", "Moonraker", "Northlight", "Orchard Gap", "Pelican",
    "Quiet Harbor", "Red Barn", "Stonecrop", "Thistledown", "Upland", "Vesper", "Willow Run", "J. Tarn and Sons",
)  # fmt: skip
_TAILS = (
    "Advisors", "Builders", "Capital", "Cleaning Services", "Dairy", "Electric", "Fitness", "Graphics", "Hardware",
    "Installations", "Logistics", "Marine", "Music School", "Organics", "Pharmacy", "Properties", "Rentals", "Systems",
    "Tile & Stone", "Trucking", "Wellness", "Woodworks",
)  # fmt: skip
_SUFFIXES = (" LLC", " LLC", " LLC", ", LLC", ", LLC", ", L.L.C.", " L.L.C.", " Limited Liability Company")
_OFFICIAL = frozenset({Kind.CLEARANCE, Kind.ACCOUNT_CLOSURE, Kind.TAX_NOTICE, Kind.OTHER, Kind.EIN_CLOSURE_LETTER})
_SMALL = (
    "Si necesita ayuda en espa\u00f1ol, llame al 555-0119.",
    "Telephone 555-0160, Monday to Friday, 8:30 a.m. to 4:30 p.m. This mailbox takes no replies.",
    "Change your address, pay or file on our website. Have this paper ready when you call.",
    "We serve the public without regard to race, color, national origin, sex, religion, age or disability.",
)
"""Small print at the foot of letters."""
STYLES: tuple[days.Style, ...] = (
    *days.PRINTED, *days.PRINTED, lambda day: days.long(day).upper(), lambda day: f"{day:%d} {day:%b} {day.year}",
    lambda day: f"{day:%b} {day.day}, {day.year}", lambda day: f"{day:%m/%d/%y}",
)  # fmt: skip
"""How these papers write their days."""


def trial(
    name: str,
    kinds: tuple[Kind, ...],
    families: tuple[str, ...],
    *,
    ways: tuple[str, ...] = UNMARKED,
    born: float = 0.12,
    place: str = "",
) -> Callable[[Write], Write]:
    """Enter a layout of this split; its cases get names of their own and, one in six, a place of `common_late`."""

    def enter(write: Write) -> Write:
        def renamed(doc: Doc, case: Case, kind: Kind) -> None:
            write(doc, _renamed(case, kind, place), kind)
            if kind in _OFFICIAL and "jurisdiction" in doc.truth and doc.y > 200:
                lines(doc, doc.look.left, 70, doc.dice.sample(_SMALL, doc.dice.randrange(3)), size=7.5)

        layout(name, TRIAL, kinds, families, ways=ways, born=born, place=place)(renamed)
        return write

    return enter


def _renamed(case: Case, kind: Kind, need: str) -> Case:
    name = f"{case.dice.choice(_HEADS)} {case.dice.choice(_TAILS)}{case.dice.choice(_SUFFIXES)}"
    case = replace(case, name=name.upper() if case.chance(0.25) else name, style=case.dice.choice(STYLES))
    return elsewhere(case, kind, need, 0.17)


def heading(case: Case, kind: Kind) -> str:
    """The filing's title, often with the sort of company in it."""
    title = title_of(case, kind)
    if "ompany" in title or "oreign" in title or case.chance(0.45):
        return title
    return f"{title} of a {sort(kind)}"


def sort(kind: Kind) -> str:
    """The sort of company that files."""
    return f"{'Foreign' if kind is Kind.WITHDRAWAL else 'Domestic'} Limited Liability Company"


def says(case: Case, kind: Kind) -> list[str]:
    """What the company states about its end, or its end in this place."""
    day = case.day(case.decided)
    if kind is Kind.WINDING_UP_NOTICE:
        return [
            case.pick(f"By vote of its members on {day} the company entered into winding up.",
                      f"Winding up commenced on {day}, when an event named in the operating agreement took place."),
            "Until winding up is complete the company carries on no business other than to close its affairs.",
        ]  # fmt: skip
    if kind is Kind.DISSOLUTION:
        return [
            case.pick(f"The members voted to dissolve on {day}.", f"Every member agreed on {day} to dissolve.",
                      f"The event causing dissolution was the written agreement of the members on {day}."),
            case.pick("Known liabilities have been satisfied, and reserves were set aside for any that are contingent.",
                      "No creditor of the company remains unpaid or unprovided for."),
            "Property left after payment of creditors went to the persons entitled to it.",
            case.pick("No legal proceeding against the company is open.", "The company is not a party to any lawsuit."),
        ]  # fmt: skip
    return [
        f"The company exists under the laws of {case.home.name}.",
        case.pick(f"It has ended its activities in {case.place.name} and gives up its right to do business there.",
                  f"It no longer conducts affairs in {case.place.name} and asks to be withdrawn from the register."),
        f"Legal papers served on the {case.place.office} may be forwarded to {case.street}, {case.town}.",
    ]  # fmt: skip


def takes_effect(doc: Doc, case: Case) -> str:
    """A line on the effective date: mostly that of filing, sometimes a later day, which is then noted."""
    if case.chance(0.8):
        return case.pick("Delayed effective date, if any: none", "This filing takes effect upon acceptance.",
                         "Effective date: upon filing")  # fmt: skip
    later = case.filed + timedelta(case.dice.randrange(10, 80))
    doc.truth["effective_date"] = later.isoformat()
    return case.pick("Delayed effective date, if any: {}", "Effective date (later than filing): {}").format(
        case.day(later)
    )


def head(doc: Doc, rows: Sequence[str], *, y: float = 746, align: Align = "left", room: float = 0) -> None:
    """A letterhead: the first line bold, each set smaller when it is wider than `room` points."""
    look = doc.look
    x = {"left": look.left, "centre": (look.left + look.right) / 2, "right": look.right}[align]
    for number, text in enumerate(rows):
        face: Face = "regular" if number else "bold"
        size = 9.0 if number else 12.5
        size = min(size, size * (room or look.right - look.left) / doc.wide(text, face, size))
        doc.write(x, y - 13 * number, text, face=face, size=size, align=align)


def lines(doc: Doc, x: float, y: float, rows: Sequence[str], *, size: float = 9.5, align: Align = "left") -> None:
    """Lines one under the other."""
    for number, text in enumerate(rows):
        doc.write(x, y - 1.35 * size * number, text, size=size, align=align)


def post(doc: Doc, case: Case, rows: Sequence[str], refs: Sequence[str], *, align: Align = "left") -> None:
    """A letterhead, references beside or under it, the address in its window; the text begins under that."""
    look = doc.look
    head(doc, rows, align=align, room=300 if align != "centre" else 0)
    if align == "left":
        lines(doc, look.right, 746, refs, align="right")
    else:
        lines(doc, look.left, 746 if align == "right" else 700, refs)
    party(doc, case, look.left + case.dice.choice((0, 0, 24)), 664, caps=case.chance(0.4), attention=case.chance(0.3))
    doc.y = 590


def close(doc: Doc, case: Case, who: str, *spots: tuple[float, float]) -> None:
    """The end of a letter: a signature, who signed, and perhaps a stamp that files nothing at one of the spots."""
    doc.sign(doc.look.left + 6, doc.y - 28, who)
    doc.write(doc.look.left, doc.y - 46, who, size=10)
    distract(doc, case, [*spots, (doc.look.right - 95, 150)])


def hand(doc: Doc, case: Case, x: float, who: str, role: str, *, dated: date | None = None, width: float = 190) -> None:
    """A signature on a rule under the writing height, who signed under it, the day beside it."""
    doc.room(74)
    doc.skip(32)
    doc.sign(x + 6, doc.y + 3, who, min(width - 20, 130))
    doc.rule(doc.y, x, x + width, 0.5)
    doc.write(x, doc.y - 11, f"{who}, {role}" if role else who, size=8.5)
    if dated:
        doc.dated(x + width + 22, doc.y + 3, case.day(dated), 10)
        doc.rule(doc.y, x + width + 16, x + width + 130, 0.5)
        doc.write(x + width + 16, doc.y - 11, case.pick("Date", "Date signed", "Dated"), size=8.5)
    doc.skip(34)


def corner(doc: Doc, case: Case, *, side: Align = "right", y: float = 704, lean: float = 14) -> None:
    """The office's mark in the upper right corner or, ink only, the middle or the left of the sheet."""
    look = doc.look
    if doc.way == "typed":
        mark(doc, case, doc.way, look.right, 744)
        return
    x = {"left": look.left + 105, "centre": (look.left + look.right) / 2, "right": look.right - 98}[side]
    mark(doc, case, doc.way, x, y, lean=lean)
