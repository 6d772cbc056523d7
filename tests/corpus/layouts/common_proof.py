"""What the layouts for reported figures share: names, ways to write a day, letterheads, letters, rows of blanks."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from quietus.model.kinds import Kind
from tests.corpus import days
from tests.corpus.doc import Align, Doc, Face
from tests.corpus.filemarks import distract
from tests.corpus.invent import Case, person, words
from tests.corpus.layouts.common import title_of
from tests.corpus.layouts.common_late import elsewhere, firmly_pressed, party
from tests.corpus.layouts.registry import UNMARKED, Write, layout
from tests.corpus.stamps import PROOF
from tests.corpus.stamps_proof import long_zero

STYLES: tuple[days.Style, ...] = (
    *days.PRINTED[:7],
    days.long,
    days.slashed,
    long_zero,
    lambda day: f"{day:%m/%d/%y}",
    lambda day: f"{day:%b} {day.day}, {day.year}",
)


def proof(
    name: str,
    kinds: tuple[Kind, ...],
    families: tuple[str, ...],
    *,
    ways: tuple[str, ...] = UNMARKED,
    born: float = 0.12,
    place: str = "",
) -> Callable[[Write], Write]:
    """Enter a layout of the split for reported figures; its cases come from all 51 jurisdictions."""

    def enter(write: Write) -> Write:
        def anew(doc: Doc, case: Case, kind: Kind) -> None:
            write(doc, _anew(case, kind, place), kind)
            firmly_pressed(doc)

        layout(name, PROOF, kinds, families, ways=ways, born=born, place=place)(anew)
        return write

    return enter


def _anew(case: Case, kind: Kind, need: str) -> Case:
    """The same days for a company named in another way, one time in six in a place that places.toml leaves out."""
    case, dice = elsewhere(case, kind, need, 0.16), case.dice
    name = _name(case)
    name = name.upper() if dice.random() < 0.25 else name
    town = f"{dice.choice(words()['towns'])}, {case.home.code} {dice.randrange(10000, 99000)}"
    return replace(case, name=name, town=town, style=dice.choice(STYLES))


def _name(case: Case) -> str:
    """The shapes that small companies' names have: invented words, a family, initials, an address."""
    pick, lists = case.dice.choice, words()
    suffix = pick((" LLC", " LLC", ", LLC", ", LLC", ", L.L.C.", " L.L.C."))
    family, tail = pick(lists["family"]), pick(lists["tails"])
    street = pick([one for one in lists["streets"] if "Road" in one or "Street" in one])
    shapes = (
        case.name,
        case.name,
        case.name,
        f"{family} Family {pick(('Properties', 'Enterprises', 'Farm'))}{suffix}",
        f"{family} & {pick(lists['family'])} {tail}{suffix}",
        f"{pick('ABCDGHJKLMRT')}{pick('BCDGHKLMPRST')}{pick('CDGJKMPS')} {tail}{suffix}",
        f"{case.dice.randrange(100, 4000)} {street}{suffix}",
        f"The {pick(lists['heads'])} Group{suffix}",
    )
    return pick(shapes)


def entitled(case: Case, kind: Kind) -> str:
    """The filing's title, sometimes with the sort of company."""
    title = title_of(case, kind)
    if "ompany" in title or "oreign" in title or case.chance(0.55):
        return title
    sort = "Foreign" if kind is Kind.WITHDRAWAL else "Domestic"
    return case.pick(f"{title} - {sort} Limited Liability Company", f"{title} of a {sort} LLC")


def owner(kind: Kind) -> str:
    """What sort of company files."""
    return "foreign limited liability company" if kind is Kind.WITHDRAWAL else "limited liability company"


def arrived(doc: Doc, case: Case, *spots: tuple[float, float]) -> None:
    """Perhaps the stamp of a mail room or a copy's, on a paper that no notary sees."""
    distract(doc, case, [*spots], ("received", "received", "copy"))


def soon(case: Case) -> date:
    """The day of filing, or one of the next days: when an office writes about it."""
    return case.filed + timedelta(case.dice.choice((0, 0, 0, 1, 1, 2, 3, 6)))


_NOTES = (
    "Make the check payable to the filing office. Do not send cash.",
    "This form may also be filed online. Paper is processed in the order in which it arrives.",
    "A document that is incomplete or cannot be read will be sent back.",
    "The information on this form is public record.",
    "Questions? Call between 8 a.m. and 4:30 p.m. on any business day.",
)


def foot(doc: Doc, case: Case) -> None:
    """The small print of a form, and when it was last revised."""
    if case.chance(0.6) and doc.y > 300:
        doc.skip(4)
        doc.prose(case.dice.sample(_NOTES, 3), size=7.5, gap=0.1)
    if case.chance(0.6):
        revised = f"{case.dice.randrange(1, 13):02d}/{case.dice.randrange(2008, 2018)}"
        doc.write(doc.look.left, 47, case.pick(f"Rev. {revised}", f"Form revised {revised}", "Page 1 of 1"), size=7)


def when(doc: Doc, case: Case) -> str:
    """A later effective day, which is then noted; mostly nothing."""
    if case.chance(0.8):
        return ""
    later = case.filed + timedelta(case.dice.randrange(5, 75))
    doc.truth["effective_date"] = later.isoformat()
    return case.day(later)


def shown(
    doc: Doc, x: float, y: float, text: str, room: float, size: float, face: Face = "regular", align: Align = "left"
) -> None:
    """One line, set smaller when it would be wider than `room`."""
    doc.write(x, y, text, face=face, size=min(size, size * room / max(1, doc.wide(text, face, size))), align=align)


def letterhead(doc: Doc, case: Case, lines: Sequence[str], *, room: float = 0) -> None:
    """Whose paper it is, at one of three places at the top; the writing height moves below it."""
    left, right = doc.look.left, doc.look.right
    align: Align = "left" if room else case.dice.choice(("left", "left", "centre", "right"))
    x = {"left": left, "centre": 306.0, "right": right}[align]
    doc.y = 746
    for number, text in enumerate(lines):
        shown(
            doc, x, doc.y, text, room or right - left, 9.5 if number else 13.0, "regular" if number else "bold", align
        )
        doc.skip(12 if number else 14)
    if not room and case.chance(0.5):
        doc.rule(doc.y + 4, weight=case.dice.choice((0.6, 1.4)))


def agency_lines(case: Case, *units: str) -> list[str]:
    """A tax agency's letterhead."""
    box = f"P.O. Box {case.dice.randrange(100, 9000)}, {case.place.capital}, {case.place.code}"
    lines = [case.place.agency, case.pick(*units), box]
    return lines if case.chance(0.6) else [case.place.whole, *lines]


def office_lines(case: Case) -> list[str]:
    """A filing office's letterhead, sometimes with the name of its head."""
    head = [f"{person(case.dice)}, {case.pick('Director', 'Deputy', 'Chief')}"] if case.chance(0.3) else []
    return [case.place.desk, *head, case.place.division, f"{case.place.capital}, {case.place.name}"]


def post(
    doc: Doc,
    case: Case,
    head: Sequence[str],
    day: str,
    refs: Sequence[tuple[str, str]],
    texts: Sequence[str],
    signer: Sequence[str] = (),
    *,
    subject: str = "",
    to: str = "",
    inset: Callable[[], None] | None = None,
) -> None:
    """A letter: letterhead, day, references, address, subject, greeting, text, signature.

    `signer` is empty for a letter that nobody signs; `inset` draws something after the first paragraph.
    """
    letterhead(doc, case, head)
    _addressed(doc, case, day, refs)
    if subject:
        doc.para(case.pick("", "RE: ", "Subject: ") + subject, face="bold")
    if to:
        doc.para(to)
    for number, text in enumerate(texts):
        doc.para(text)
        if inset and number == 0:
            inset()
    if signer:
        doc.room(76)
        doc.para(case.pick("Sincerely,", "Respectfully,", "Very truly yours,", "Regards,"))
        if case.chance(0.7):
            doc.sign(doc.look.left + 4, doc.y - 20, signer[0])
        doc.skip(32)
        doc.prose(signer, size=min(doc.look.size, 10), gap=0)


def _addressed(doc: Doc, case: Case, day: str, refs: Sequence[tuple[str, str]]) -> None:
    left, right, top = doc.look.left, doc.look.right, doc.y - 16
    caps = case.chance(0.5)
    if case.chance(0.5):  # day and references in a block at the right, the address lower at the left
        for number, (label, value) in enumerate([(case.pick("Date", "Letter Date", "Date Issued"), day), *refs]):
            shown(doc, right - 122, top - 14 * number, f"{label}:", 130, 9, "bold", "right")
            doc.fitted(right - 116, top - 14 * number, value, 116, size=9.5)
        doc.y = top - 14 * len(refs) - 26
        party(doc, case, left, doc.y, caps=caps)
        doc.skip(66)
        return
    doc.write(left, top, day)
    party(doc, case, left, top - 34, caps=caps)
    doc.y = top - 94
    for label, value in refs:
        end = doc.write(left, doc.y, f"{label}:")
        doc.fitted(end + 6, doc.y, value, 250, size=doc.look.size)
        doc.skip(doc.look.size * 1.3)
    doc.skip(8)


def asked(doc: Doc, rows: Sequence[tuple[str, str]], *, under: bool = True, font: str = "") -> None:
    """Numbered questions, the answers on rules under them or beside them."""
    left, right = doc.look.left, doc.look.right
    for number, (label, value) in enumerate(rows, start=1):
        doc.write(left, doc.y, f"{number}.", size=9.5)
        end = doc.write(left + 18, doc.y, f"{label}:", size=9.5)
        x = left + 18 if under else end + 6
        doc.skip(17 if under else 0)
        doc.fitted(x + 4, doc.y, value, right - x - 8, font=font, size=10.5)
        doc.rule(doc.y - 4, x, right, 0.4)
        doc.skip(24)


def hand(doc: Doc, case: Case, x: float, who: str, role: str, wide: float = 240, day_x: float = 0) -> None:
    """A signature on a rule, name and role under it; at `day_x`, unless it is 0, the day of signing on another rule."""
    doc.room(50)
    doc.sign(x + 6, doc.y + 3, who, min(wide - 20, 130))
    doc.rule(doc.y, x, x + wide, 0.5)
    doc.fitted(x, doc.y - 11, f"{who}, {role}" if role else who, wide, size=9)
    if day_x:
        doc.dated(day_x + 4, doc.y + 3, case.day(case.signed), 10)
        doc.rule(doc.y, day_x, day_x + 96, 0.5)
        doc.write(day_x, doc.y - 11, case.pick("Date", "Date signed", "Dated"), size=8)
    doc.skip(30)
