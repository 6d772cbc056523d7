"""What the layouts written last share: names, places and ways to write a day that the other splits do not have."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

from quietus.model.kinds import Kind
from tests.corpus import days
from tests.corpus.doc import Doc
from tests.corpus.invent import Case, Place, digits
from tests.corpus.layouts.common import title_of
from tests.corpus.layouts.registry import UNMARKED, Write, layout
from tests.corpus.stamps import LATE

_HEADS = (
    "Marigold Pass", "Tern Island", "Whetstone", "Calico Bend", "Prairie Candle", "Harbor Nine", "Dogwood & Daughters",
    "Slate Hollow", "Ruby Sparrow", "Low Country Loom", "Bright Anvil", "Mission Fig", "Ebb and Anchor", "Sagebrush",
    "Twin Sycamores", "41 Quarry Road", "Paper Moth", "Corvid", "Hollis & Wray", "Big Thimble", "Saint Elmo", "Gannet",
    "Pinecone Alley", "R & V Brothers",
)  # fmt: skip
_TAILS = (
    "Painting", "Dental Lab", "Freight Brokers", "Landscape Design", "Bookkeeping", "Coffee", "Consulting Group",
    "Pet Grooming", "Towing & Recovery", "Real Estate Partners", "Engineering", "Flooring", "Brewing", "Home Care",
    "Auto Glass", "Investments", "Media", "Tutoring Center", "Plumbing and Heating", "Outfitters", "Farms", "Software",
)  # fmt: skip
_SUFFIXES = ("LLC", "LLC", "LLC", ", LLC", ", LLC", "L.L.C.", "Limited Liability Company", "Company, LLC")
_GIVEN = (
    "Maribel", "Anders", "Priscilla", "Tobias", "Lucinda", "Emmett", "Noor", "Clement", "Beatriz", "Hollis", "Imani",
    "Rufus", "Saoirse", "Desmond", "Keiko", "Virgil", "Paloma", "Gideon",
)  # fmt: skip
_FAMILY = (
    "Tarrowby", "Castellmoor", "Whitlark", "Odumbrey", "Fensalir", "Brookhampton", "Vandersloot", "Nakagrove",
    "Pellworth", "Ruizmont", "Stellmach", "Crowninshed", "Lindqvale", "Ashgrove-Bell", "McTavin", "O'Harrow",
)  # fmt: skip
_STREETS = (
    "N. Beacon Street", "State Route 9", "Fiddler Avenue", "Commerce Park Drive, Suite 210", "W. 14th Street",
    "Elmhurst Place",
    "Shoreline Parkway, Unit B", "Sunset Terrace", "P.O. Box 1187, Main Street", "Turnpike Road",
)  # fmt: skip
_TOWNS = (
    "Pemberly", "Saltlick", "Grand Marsh", "Port Ansel", "Wickersham", "Vista Blanca", "Oxbow City", "Halfmoon Beach",
    "Tamarind", "Coldspring Center",
)  # fmt: skip
COUNTIES = ("Ansel", "Tamarack", "Whitfall", "St. Odile", "Lower Fork", "Marchmont")
BANKS = ("Ansel County Savings Bank", "Tamarack National Trust", "Pemberly Federal Credit Union")
PAPERS = ("The Pemberly Argus", "Grand Marsh Register-Call", "Ansel County Legal News", "Port Ansel Evening Ledger")
AGENTS = ("Statewide Agent Services of Pemberly", "Wickersham Corporate Agents, Inc.", "Capitol Street Agents Company")
GOODS = (
    "2017 box truck", "Air compressor, 60 gal", "Desks and chairs (lot)", "Espresso machine", "Tablet computers (4)",
    "Pressure washer", "Shop press", "Trade name and website", "Tools, hand (lot)", "Storage racking", "Customer list",
    "Paint sprayer",
)  # fmt: skip

MORE_PLACES = (
    Place("AK", "Alaska", "Department of Commerce, Community, and Economic Development",
          "Corporations, Business and Professional Licensing", "Juneau", ("Articles of Dissolution",),
          ("Application for Certificate of Withdrawal",), "Alaska Department of Revenue", "Entity Number", "########",
          (("6900", "Alaska Partnership Information Return"),), "Tax Clearance Certificate"),
    Place("HI", "Hawaii", "Department of Commerce and Consumer Affairs", "Business Registration Division", "Honolulu",
          ("Articles of Termination",), ("Application for Certificate of Withdrawal",), "Hawaii Department of Taxation",
          "File Number", "###### C5", (("N-20", "Partnership Return of Income"),), "Tax Clearance Certificate"),
    Place("ME", "Maine", "Secretary of State", "Bureau of Corporations, Elections and Commissions", "Augusta",
          ("Certificate of Cancellation",), ("Statement of Cancellation of Foreign Qualification",),
          "Maine Revenue Services", "Charter Number", "20######DC", (("1065ME", "Maine Partnership Return"),)),
    Place("MT", "Montana", "Secretary of State", "Business Services Division", "Helena",
          ("Articles of Termination", "Statement of Termination"), ("Application for Certificate of Withdrawal",),
          "Montana Department of Revenue", "Filing Number", "C######",
          (("PTE", "Montana Pass-Through Entity Tax Return"),), "Tax Clearance Certificate"),
    Place("NE", "Nebraska", "Secretary of State", "Corporate Division", "Lincoln",
          ("Statement of Dissolution",), ("Notice of Cancellation of Certificate of Authority",),
          "Nebraska Department of Revenue", "SOS Account Number", "10########",
          (("1065N", "Nebraska Return of Partnership Income"),), "Tax Clearance Certificate"),
    Place("ND", "North Dakota", "Secretary of State", "Business Services", "Bismarck",
          ("Articles of Dissolution", "Notice of Dissolution"), ("Notice of Withdrawal", "Certificate of Withdrawal"),
          "Office of State Tax Commissioner, North Dakota", "System ID", "000#######",
          (("58", "North Dakota Partnership Income Tax Return"),)),
    Place("RI", "Rhode Island", "Department of State", "Business Services Division", "Providence",
          ("Articles of Dissolution",), ("Certificate of Cancellation of Registration",),
          "Rhode Island Division of Taxation", "Entity ID", "00#######",
          (("RI-1065", "Rhode Island Partnership Income Tax Return"),), "Letter of Good Standing"),
    Place("SD", "South Dakota", "Secretary of State", "Corporations Division", "Pierre",
          ("Articles of Termination",), ("Certificate of Cancellation", "Application for Certificate of Withdrawal"),
          "South Dakota Department of Revenue", "Business ID", "DL0#####", (), "Tax Clearance Certificate"),
)  # fmt: skip
"""Jurisdictions that places.toml leaves out; titles from memory, as there."""

STYLES: tuple[days.Style, ...] = (
    *days.PRINTED,
    *days.PRINTED,
    lambda day: f"{day:%B} {days.ordinal(day.day)}, {day.year}",
    lambda day: f"{day:%b} {day:%d}, {day.year}",
    lambda day: f"{day:%d}-{day:%b}-{day.year}",
    lambda day: f"{day:%Y-%m-%d}",
)


def late(
    name: str,
    kinds: tuple[Kind, ...],
    families: tuple[str, ...],
    *,
    ways: tuple[str, ...] = UNMARKED,
    born: float = 0.12,
    place: str = "",
    printed: bool = True,
) -> Callable[[Write], Write]:
    """Enter a layout of the last split; its cases get names and, sometimes, a place of this module.

    `printed` is False for a paper of a lawyer's or an agent's own, which has no small print at its foot.
    """

    def enter(write: Write) -> Write:
        def anew(doc: Doc, case: Case, kind: Kind) -> None:
            case = _anew(case, kind, place)
            write(doc, case, kind)
            if printed:
                _small_print(doc, case, kind, on_paper="ink" in ways)

        layout(name, LATE, kinds, families, ways=ways, born=born, place=place)(anew)
        return write

    return enter


def elsewhere(case: Case, kind: Kind, need: str, share: float) -> Case:
    """The case, in so large a share of cases in one of MORE_PLACES, which must have what `need` names."""
    if kind is Kind.WINDING_UP_NOTICE or not case.chance(share):
        return case
    place = case.dice.choice([one for one in MORE_PLACES if not need or getattr(one, need)])
    home = place if case.home.code == case.place.code else case.home
    return replace(case, place=place, home=home, number=digits(place.number, case.dice))


def firmly_pressed(doc: Doc) -> None:
    """Press every stamp firmly: a drier one is lost on a 1-bit scan, where nobody could read what the truth tells."""
    doc.pressed[:] = [replace(one, strength=max(one.strength, 0.94)) for one in doc.pressed]


def _anew(case: Case, kind: Kind, need: str) -> Case:
    """The same days and numbers for another invented company, one time in five in a place of this module."""
    case, dice = elsewhere(case, kind, need, 0.2), case.dice
    suffix = dice.choice(_SUFFIXES)
    name = f"{dice.choice(_HEADS)} {dice.choice(_TAILS)}{'' if suffix[0] == ',' else ' '}{suffix}"
    return replace(
        case,
        name=name.upper() if dice.random() < 0.2 else name,
        people=(_person(case), _person(case)),
        street=_street(case),
        town=f"{dice.choice(_TOWNS)}, {case.home.code} {dice.randrange(10000, 99000)}",
        style=dice.choice(STYLES),
    )


def _small_print(doc: Doc, case: Case, kind: Kind, *, on_paper: bool) -> None:
    """What stands at the foot of official papers: instructions, addresses, when the form was last revised."""
    left, right = doc.look.left, doc.look.right
    if on_paper:
        if doc.page == 0 and doc.y > 330 and case.chance(0.5):
            doc.y = 210.0
            doc.para("INSTRUCTIONS", face="bold", size=7.5, gap=0.1)
            for text in case.dice.sample(_ADVICE, 4):
                doc.para(text, size=7.5, gap=0.15)
        if case.chance(0.6):
            revised = f"Rev. {case.dice.randrange(1, 13):02d}/{case.dice.randrange(2011, 2018)}"
            doc.write(left, 48, f"{revised}     See instructions before completing.", size=7)
    elif kind in _LETTERS and doc.truth.get("jurisdiction") == case.place.code and case.chance(0.5):
        doc.rule(58, weight=0.4)
        text = (
            f"{case.place.capital}, {case.place.code}   Telephone 555-0{case.dice.randrange(100, 200)}   TTY 555-0199"
        )
        doc.write((left + right) / 2, 48, text, size=7.5, align="centre")


_LETTERS = frozenset({Kind.CLEARANCE, Kind.ACCOUNT_CLOSURE, Kind.TAX_NOTICE, Kind.OTHER})
_ADVICE = (
    "Type or print clearly in black ink. Illegible documents will be returned.",
    "Submit one original. A copy will be returned to you if you enclose a self-addressed envelope.",
    "Make the check payable to the filing office. Fees are not refundable.",
    "The name must be identical to the name on the records of this office.",
    "This form is a public record. Do not include a social security number or a bank account number.",
    "Filing this document does not relieve the company of any tax that it may owe. Contact the revenue agency.",
    "The document must be signed by a member, manager or other person who is authorized to sign.",
    "If you have questions about this form, you may wish to seek legal counsel. This office cannot give legal advice.",
    "A delayed effective date may not be more than 90 days after the date of filing.",
)
"""Instructions as filing offices print them."""


def _person(case: Case) -> str:
    middle = f" {case.dice.choice('ABCDEGHJKLMNPRST')}." if case.chance(0.35) else ""
    return f"{case.dice.choice(_GIVEN)}{middle} {case.dice.choice(_FAMILY)}"


def _street(case: Case) -> str:
    street = case.dice.choice(_STREETS)
    return street if street.startswith("P.O.") else f"{case.dice.randrange(11, 9800)} {street}"


def headed(case: Case, kind: Kind) -> str:
    """The filing's title as this office prints it: bare, or with the sort of company in it."""
    title = title_of(case, kind)
    if "ompany" in title or case.chance(0.5):
        return title
    sort = "Foreign" if kind is Kind.WITHDRAWAL else "Domestic"
    return case.pick(f"{title} ({sort} Limited Liability Company)", f"{sort} LLC - {title}")


def hour(case: Case) -> str:
    """A time of day as computers print it."""
    second = f":{case.dice.randrange(60):02d}" if case.chance(0.4) else ""
    return f"{case.dice.randrange(1, 13)}:{case.dice.randrange(60):02d}{second} {case.pick('AM', 'PM')}"


def effective_words(doc: Doc, case: Case) -> str:
    """A sentence on when the filing takes effect; sometimes a later day, which is then noted."""
    if case.chance(0.78):
        return case.pick(
            "This document is effective when it is filed.", "Effective date: date of filing.", "Effective upon filing."
        )
    later = case.filed + timedelta(case.dice.randrange(8, 80))
    doc.truth["effective_date"] = later.isoformat()
    return case.pick("The effective date is {}.", "Delayed effective date: {}", "To be effective on {}.").format(
        case.day(later)
    )


def party(doc: Doc, case: Case, x: float, y: float, *, caps: bool = False, attention: bool = False) -> None:
    """An address in its window."""
    lines = [case.name, *([f"Attn: {case.people[0]}"] if attention else []), case.street, case.town]
    for number, text in enumerate(lines):
        doc.fitted(x, y - 13 * number, text.upper() if caps else text, 260, size=min(doc.look.size, 10.5))


def signed_line(doc: Doc, case: Case, x: float, who: str, role: str, *, width: float = 200) -> None:
    """A signature on a rule at the writing height, name and role under it."""
    doc.room(44)
    doc.sign(x + 8, doc.y + 3, who, min(width - 20, 130))
    doc.rule(doc.y, x, x + width, 0.5)
    doc.write(x, doc.y - 11, f"{who}, {role}" if role else who, size=9)
    doc.skip(28)


def began(case: Case) -> date:
    """First day of the tax year that `ended` closes."""
    return case.ended.replace(month=1, day=1)


def table(
    doc: Doc, heads: list[str], rows: list[list[str]], stops: list[float], *, pitch: float = 18, lines: bool = True
) -> None:
    """A table at the writing height; columns begin at the stops, counted from the left edge."""
    left, right = doc.look.left, doc.look.right
    ends = [*stops[1:], right - left]
    doc.skip(6)
    doc.frame(left, doc.y - 5, right - left, 16, shade=0.9, weight=0.5 if lines else 0)
    for head, stop in zip(heads, stops, strict=True):
        doc.write(left + stop + 3, doc.y, head, face="bold", size=8.5)
    doc.skip(pitch)
    for row in rows:
        for text, stop, end in zip(row, stops, ends, strict=True):
            doc.fitted(left + stop + 3, doc.y, text, end - stop - 8, size=9.5)
        if lines:
            doc.rule(doc.y - 5, weight=0.3)
        doc.skip(pitch)
