"""Where a paper belongs: the jurisdiction of the office or agency it comes from or goes to.

The state a company was formed in is named on many papers of other states; such mentions are set apart first.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from rapidfuzz import fuzz

from quietus.model.entity import FEDERAL
from quietus.reading.tables import PlaceRow, place_rows, worded
from quietus.reading.words import Line, plain

OFFICE = re.compile(
    r"\b(secretary of (?:the )?sta\w+|secretary of the commonwealth|department of state|division of corporations|"
    r"corporations? (?:and charities )?division|corporation commission|business services|department of revenue|"
    r"department of taxation|division of taxation|tax commission|division of revenue|revenue department|comptroller|"
    r"state of|commonwealth of|department of|division of|commissioner of revenue|office of the|"
    r"workforce (?:commission|development|solutions)|employment (?:commission|department|security|development)|"
    r"unemployment (?:compensation|insurance)|tax (?:board|department|division)|revenue services|labor and industr\w+|"
    r"(?:corporat\w+|business|limited liability|commercial recording) (?:section|bureau|filings?|division)|"
    r"tax services)\b"
)
_FORMED = re.compile(
    r"(laws of|organi[sz]ed|formed|formation|organization|incorporat\w*|domicil\w*|home (?:state|jurisdiction)|"
    r"jurisdiction of|\bcompany of(?: the)?(?: state| commonwealth)?(?: of)?)\b[^.;]{0,40}$|\ban?\b(?: \w+){0,2} ?$"
)
_CITING = re.compile(
    r"\b(pursuant to|accordance with|provisions of)( the)? laws of( the)?( state of| commonwealth of)? ?$"
)
_DOES = re.compile(
    r"\b(business|activit\w+|transact\w*|withdraw\w*|authority|registration|registered|qualified|operat\w*)\b"
    r"[^.;]{0,30}\b(in|from|of|within)( the)?( state of| commonwealth of)? ?$"
)
_HOME_LABEL = re.compile(
    r"(state|jurisdiction|country|place)\b.{0,24}\b(formation|organization|incorporation|origin)|"
    r"home (state|jurisdiction)|^home$|^laws? of$|^(formed|organi[sz]ed|created) (in|under)\b"
)
_ADDRESS = re.compile(r"\b[A-Z]{2}\.?,? +\d{5}(-\d{4})?\b|[a-z],? +\d{5}(-\d{4})?$|\bP\.? ?O\.? Box\b", re.IGNORECASE)
_POSTAL = re.compile(r"(?:\b(?P<code>[A-Z]{2})|,? (?P<name>[A-Z][a-z]+(?: [A-Z][a-z]+)*))\.?,? +\d{5}(?:-\d{4})?\b")
_OF_STATE = re.compile(
    r"^( \w+){0,4} (form|schedule|return|returns|report|tax return|limited liability company act|llc act)\b"
)
_LOWER_L = re.compile(r"\bl(?=owa\b|daho\b|ndiana\b|llinois\b|nternal revenue\b)")  # a capital I misread
_STATE_OF = re.compile(r"\b(state|commonwealth) of $")
_HALVES = re.compile(r"\b(new|north|south|west|rhode|district of)$")  # the beginning of a name that goes on
_NOT_STATE = re.compile(r"^ (city|street|st|ave|avenue|road|rd|blvd|county(?! of)|boulevard|lane|drive|way)\b")


_COMMON = frozenset(
    plain(
        "department division office bureau of and the state secretary tax taxation taxes revenue commission "
        "corporation corporations business services registration section"
    ).split(" ")
)  # words that offices and agencies of many states have in their names
_NEARLY = 88.0  # of 100: how alike the misread name of the federal agency must be
_ALIKE = 82.0  # of 100: how alike a misread state's name must be
_FORM = 0.8  # what the number of its own return form adds
_SHARED = 0.1  # what the name of an office says that several states have
_SPOKEN_OF = 0.5  # what a sentence says that speaks of the federal agency: papers of states do so too
_ALONE = 0.5  # what a state's name alone on a line adds
_RIVAL = 0.12  # another state that the paper speaks of less than this is no rival
_ACTIVE = 1.0  # what a sentence adds that names the state as where the company does business, or no longer does
_SEAT = 0.5  # what the capital beside an office's name adds, or the office's address
_FEDERAL_FORM = 0.6  # what a line adds that begins with the number of a federal form
_BLOCK = 1.0  # letter heights between the lines of one address


@dataclass(frozen=True, slots=True)
class Placed:
    """A jurisdiction as told.

    Attributes:
        code: USPS code or `US`; None when nothing tells.
        sure: 0 to 1.
        line: the line that says most; None when none does.
        homes: codes of the states that the paper says the company was formed in.
    """

    code: str | None
    sure: float
    line: Line | None
    homes: frozenset[str]


def place_of(pages: Sequence[Sequence[Line]], heights: Sequence[float], marks: Iterable[str]) -> Placed:
    """The jurisdiction of a paper.

    Args:
        pages: the lines of each of its pages.
        heights: pixels, of each page.
        marks: texts of the office stamps on it.
    """
    points: dict[str, float] = defaultdict(float)
    best: dict[str, tuple[float, Line]] = {}
    homes: set[str] = set()
    for number, (lines, height) in enumerate(zip(pages, heights, strict=True)):
        for index, line in enumerate(lines):
            above = [other for other in lines[max(0, index - 4) : index] if _heads(other, line)]
            found, formed = _said(line, above, lines[max(0, index - 2) : index + 3])
            homes |= formed
            level = (1.0 if line.rect.top < 0.3 * height else 0.5) * (1.0 if number == 0 else 0.3)
            for code, weight in found.items():
                points[code] += weight * level
                if weight * level > best.get(code, (0.0, line))[0]:
                    best[code] = (weight * level, line)
    for text in marks:
        for code in _named(plain(text)):
            points[code] += 1.0
    return _decided(points, best, homes)


def _decided(points: dict[str, float], best: dict[str, tuple[float, Line]], homes: set[str]) -> Placed:
    order = sorted(points, key=lambda code: -points[code])
    if not order:
        return Placed(None, 0.0, None, frozenset(homes))
    first = points[order[0]]
    second = points[order[1]] if len(order) > 1 else 0.0
    strong = min(1.0, first / (0.9 if second > _RIVAL else 0.6))
    ahead = min(1.0, max(0.0, (first - 1.25 * second) / max(0.5, 0.5 * first)))
    line = best[order[0]][1] if order[0] in best else None
    return Placed(order[0], 0.4 + 0.59 * min(strong, ahead), line, frozenset(homes))


def _heads(label: Line, value: Line) -> bool:
    """True when `label` stands beside or right above `value`."""
    beside = abs(label.rect.top - value.rect.top) < value.tall
    over = (
        0 <= value.rect.top - label.rect.bottom < 2 * value.tall
        and abs(label.rect.left - value.rect.left) < 4 * value.tall
    )
    return beside or over


def _said(line: Line, above: Sequence[Line], near: Sequence[Line]) -> tuple[dict[str, float], set[str]]:
    """How much a line says for each jurisdiction, and the states it names as the company's home."""
    words = _LOWER_L.sub("i", worded(line.text))
    found: dict[str, float] = defaultdict(float)
    homes: set[str] = set()
    address = bool(_ADDRESS.search(line.text))
    labelled = any(_HOME_LABEL.search(plain(other.text)) for other in above)
    offices = any(OFFICE.search(plain(other.text)) for other in near if _close(other, line))
    lead = _lead(line, near)
    words = _whole(words, lead, line, near)
    for code, start, end in _mentions(words):
        if _NOT_STATE.match(words[end:]):
            continue
        before = (lead + " " if start < 4 else "") + words[:start]
        if _DOES.search(before):
            found[code] += _ACTIVE
        elif labelled or (_FORMED.search(before) and not _CITING.search(before)) or _HOME_LABEL.search(before):
            homes.add(code)
        elif not address:
            found[code] += 1.0 if _STATE_OF.search(before) else _mentioned(words, start, end, offices=offices)
    for code, weight in _besides(line, words, above, seated=offices and not address):
        found[code] += weight
    return {code: weight for code, weight in found.items() if weight}, homes


def _besides(line: Line, words: str, above: Sequence[Line], *, seated: bool) -> Iterator[tuple[str, float]]:
    """What a line says for jurisdictions without naming them: by offices, statutes, capitals, addresses and forms."""
    for code in _office_address(line, above):
        yield code, _SEAT
    telling = {FEDERAL, *(code for phrase, code in _telling() if phrase in words)}
    for code, row in place_rows().items():
        yield code, _agency(words, row) + _cites(words, row) if code in telling else 0.0
        if seated and row.seat and re.search(rf"\b{row.seat}\b", words):
            yield code, _SEAT
    for code in _forms(line.text):
        yield code, _FORM
    if _federal_form().match(words) and not _names().search(words):
        yield FEDERAL, _FEDERAL_FORM


def _mentioned(words: str, start: int, end: int, *, offices: bool) -> float:
    """What a state's name in a line is worth: most in an office's name, or before what only a state gives out."""
    if OFFICE.search(words) or (not words[:start].strip(" 0123456789") and _OF_STATE.match(words[end:])):
        return 1.0
    return 0.6 if offices else _ALONE if _bare(words, start, end) else 0.15


def _bare(words: str, start: int, end: int) -> bool:
    """True when a line says nothing but the state's name."""
    return end - start >= len(words.removesuffix(" state")) - 2


def _office_address(line: Line, above: Sequence[Line]) -> list[str]:
    """The state of an address that stands in one line, or in one block, with an office's name."""
    found = [hit["code"] or _codes().get(plain(hit["name"]), "") for hit in _POSTAL.finditer(line.text)]
    found = [code for code in found if code in place_rows()]  # the number of a post office box looks like a ZIP code
    if not found or not any(OFFICE.search(plain(other.text)) for other in (line, *_block(line, above))):
        return []
    return found


def _block(line: Line, above: Sequence[Line]) -> list[Line]:
    """The lines above, up to three, that stand close over each other and over this one, at one edge or one middle."""
    block: list[Line] = []
    for other in reversed(above):
        last = block[-1] if block else line
        near = 0 <= last.rect.top - other.rect.bottom < _BLOCK * last.tall
        aligned = abs(other.rect.left - last.rect.left) < 2 * last.tall
        centred = abs(other.rect.middle[0] - last.rect.middle[0]) < 2 * last.tall
        if near and (aligned or centred):
            block.append(other)
    return block


def _lead(line: Line, near: Sequence[Line]) -> str:
    """The line that this one reads on from, in plain form; empty when it begins something new."""
    for other in near:
        gap = line.rect.top - other.rect.bottom
        above = other.rect.top < line.rect.top and -0.5 * line.tall < gap < 1.2 * line.tall
        if above and len(other.words) > 5 and abs(other.rect.left - line.rect.left) < 2 * line.tall:
            return plain(other.text)
    return ""


def _whole(words: str, lead: str, line: Line, near: Sequence[Line]) -> str:
    """The words of a line with the rest of a state's name that goes on in the next one, and without such a rest."""
    if (half := _HALVES.search(lead)) and _names().match(f"{half[0]} {words}"):
        words = words.partition(" ")[2]
    if half := _HALVES.search(words):
        lower = next((other for other in near if _lead(other, (line,))), None)
        rest = worded(lower.text).partition(" ")[0] if lower else ""
        return f"{words} {rest}" if _names().fullmatch(f"{half[0]} {rest}") else words
    return words


def _close(other: Line, line: Line) -> bool:
    return abs(other.rect.top - line.rect.top) < 3 * max(other.tall, line.tall)


@cache
def _names() -> re.Pattern[str]:
    names = [plain(row.name) for code, row in place_rows().items() if code != FEDERAL]
    return re.compile(r"\b(" + "|".join(sorted(names, key=len, reverse=True)) + r")\b")


@cache
def _codes() -> dict[str, str]:
    return {plain(row.name): code for code, row in place_rows().items()}


def _mentions(words: str) -> list[tuple[str, int, int]]:
    found = [(_codes()[m[1]], m.start(), m.end()) for m in _names().finditer(words)]
    return found or (_misread_mentions(words) if OFFICE.search(words) else [])


def _misread_mentions(words: str) -> list[tuple[str, int, int]]:
    """A state's name beside an office's, with a letter misread; nothing when it could be two states'."""
    first = words.partition(" ")[0]
    near = [code for name, code in _codes().items() if len(name) > 5 and fuzz.ratio(first, name) >= _ALIKE]
    return [(near[0], 0, len(first))] if len(near) == 1 else []


def _named(words: str) -> set[str]:
    return {code for code, _, _ in _mentions(_LOWER_L.sub("i", words))}


@cache
def _shared() -> frozenset[str]:
    """Office and agency names that more than one jurisdiction has."""
    every = [phrase for row in place_rows().values() for phrase in {*row.offices, *row.agencies}]
    return frozenset(phrase for phrase in every if every.count(phrase) > 1)


@cache
def _telling() -> tuple[tuple[str, str], ...]:
    """What names a jurisdiction by its office, its agency or its law, each with the jurisdiction's code."""
    rows = place_rows().values()
    return tuple((phrase, row.code) for row in rows for phrase in (*row.offices, *row.agencies, *row.cites))


def _agency(words: str, row: PlaceRow) -> float:
    """An office or agency that only this jurisdiction has; one that several have counts little by itself."""
    hit = 0.0
    for phrase in (*row.offices, *row.agencies):
        if phrase in words:
            own = phrase not in _shared() and _distinct(phrase, row)
            spoken = row.code == FEDERAL and f"the {phrase}" in words
            hit = max(hit, _SPOKEN_OF if spoken else 1.2 if own else _SHARED)
    long = len(words) >= len("internal revenue")
    if row.code == FEDERAL and not hit and long and fuzz.partial_ratio(row.agencies[0], words, score_cutoff=_NEARLY):
        return 1.0
    return hit


def _distinct(phrase: str, row: PlaceRow) -> bool:
    """True when the phrase names the state, or has a word that the names of such offices do not share."""
    return plain(row.name) in phrase or any(word not in _COMMON for word in phrase.split())


def _cites(words: str, row: PlaceRow) -> float:
    named = (cite for cite in row.cites if cite in words)
    return 0.6 if any(re.search(rf"\b{re.escape(cite)}\b(?= \d| section| s |$| ch)", words) for cite in named) else 0.0


@cache
def _telling_forms() -> re.Pattern[str]:
    """Form numbers that have letters and digits and so cannot be anything else; spaces are taken out beforehand."""
    bare = {re.sub(r"\s", "", form).upper() for row in place_rows().values() for form in row.forms}
    telling = [form for form in bare if len(form) >= 5 and re.search(r"[A-Z]", form) and re.search(r"\d", form)]
    return re.compile(
        r"(?<![A-Z0-9])(?:FORM)?(" + "|".join(map(re.escape, sorted(telling, key=len, reverse=True))) + r")(?![0-9])"
    )


@cache
def _federal_form() -> re.Pattern[str]:
    """A line that begins with a federal form's number, or with that of a schedule to one."""
    forms = "|".join(re.escape(plain(form)) for form in sorted(place_rows()[FEDERAL].forms, key=len, reverse=True))
    return re.compile(rf"(department of the treasury |schedule k 1 )?form ({forms})\b")


@cache
def _form_places() -> dict[str, tuple[str, ...]]:
    places: dict[str, tuple[str, ...]] = {}
    for code, row in place_rows().items():
        for form in row.forms:
            bare = re.sub(r"\s", "", form).upper()
            places[bare] = (*places.get(bare, ()), code)
    return places


def _forms(text: str) -> tuple[str, ...]:
    """The jurisdictions whose own return form a line names."""
    found = _telling_forms().search(re.sub(r"\s", "", text).upper())
    return _form_places()[found[1]] if found else ()
