"""What an office says in a sentence: a certificate, letter or mail that a paper was filed, and when.

The words are those of `filing.toml`. A sentence counts when an office speaks, when it names a paper that ends a
company, and when nothing between the verb and the date says that the date is another one.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from quietus.model.kinds import Kind
from quietus.reading.dates import Found, find_dates
from quietus.reading.pieces import Piece
from quietus.reading.tables import covers, either, kind_rows, table
from quietus.reading.words import Line, Word, plain

_REACH = 420  # characters of the sentence before the date
_GAP = 110  # characters between the verb and the date
_NEAR = 60  # characters before the verb in which the paper is named
OFFICES = re.compile(
    r"\b(sec(retary)? of|department of state|division of corporations|corporations?( and \w+)? (division|commission|"
    r"bureau|section)|this office|business (services|registration|filings)|corporation commission|department of ("
    r"commerce|licensing|assessments|consumer|financial|business)|state treasurer|lieutenant governor|"
    r"bureau of corporations|commissioner of|clerk of the commission|sos|soc filing|administrator)\b"
)
"""Offices where companies are ended, in plain form."""
_SPEAKER = re.compile(
    r"\b(this office|my office|our office|our records|these records|records of|office of the|secretary of|we|me|"
    r"by the administrator)\b",
    re.IGNORECASE,
)
_DEPARTMENT = re.compile(r"\b(department|division|bureau) of\b")
_SENTENCE_END = re.compile(r"[.;:]\s+(?=[A-Z])")
_ADDRESSED = re.compile(r"\W*(to|attn|attention|re|subject|mail)\b", re.IGNORECASE)
_FROM = re.compile(r"\W*from\b", re.IGNORECASE)
_HEAD_LINES, _SENDER_LINES = 4, 8
_SWORN = re.compile(r"\bcertif(y|ies|ied)\b", re.IGNORECASE)
_NONE = re.compile(r"\bno\b(?!\.)", re.IGNORECASE)
_LED = re.compile(r"\b(was|were|been|being|duly|hereby|is|are)\W*$", re.IGNORECASE)
_AT_ODDS = 0.5  # how sure a date is when the page tells of two filings


@dataclass(frozen=True, slots=True)
class Attested:
    """A filing that the page attests.

    Attributes:
        day: when the paper was filed.
        sure: 0 to 1.
        piece: the date.
        sworn: whether the office certifies it, rather than merely acknowledging it.
    """

    day: date
    sure: float
    piece: Piece
    sworn: bool


def attested(lines: Sequence[Line]) -> Attested | None:
    """The filing that an office's certificate or acknowledgment speaks of; None on any other page."""
    words: tuple[Word, ...] = tuple(word for line in lines for word in line.words)
    if not words:
        return None
    flow = Line(words)
    told = told_of_filing(lines)
    if not told and not office_writes(lines):
        return None
    letter = told or _written("letter", flow.text)
    found = [
        (strong, Attested(hit.day, 0.95 * hit.sure * min(1.0, piece.sure + 0.05), piece, sworn(lines)))
        for hit in find_dates(flow.text)
        for piece in (Piece(flow, hit.start, hit.end),)
        if (strong := _taken(flow.text, hit, told=told, letter=letter)) is not None
    ]
    best = [said for strong, said in found if strong] or [said for _, said in found]
    if not best:
        return None
    rivals = {said.day for said in best} - {best[0].day}
    return replace(best[0], sure=min(best[0].sure, _AT_ODDS)) if rivals else best[0]


def told_of_filing(lines: Sequence[Line]) -> bool:
    """True for a page that certifies something, or that has the title of an office's certificate or acknowledgment."""
    return sworn(lines) or any(plain(line.text) in covers() for line in lines)


def sworn(lines: Sequence[Line]) -> bool:
    """True for a page on which something is certified."""
    return any(_SWORN.search(line.text) for line in lines)


def _taken(flow: str, hit: Found, *, told: bool, letter: bool) -> bool | None:
    """Whether the date is when an office took a paper: True for filed, False for accepted or the like, else None."""
    whole = flow[max(0, hit.start - _REACH) : hit.start]
    sentence = _SENTENCE_END.split(whole)[-1]
    for name, strong in (("took", True), ("weakly", False)):
        for verb in reversed(list(_says(name).finditer(sentence))):
            before, between = sentence[: verb.start()], sentence[verb.end() :]
            other = _other_paper(before) or _other_paper(between)
            if _shouted(verb[0], before) or not _past(before, between) or other:
                continue
            named = whole if told else " ".join(_SENTENCE_END.split(whole)[-2:])
            if strong and _of_filing(named, told=told, letter=letter):
                return True
            if (
                not strong
                and letter
                and not _written("refused", flow)
                and _names_paper(sentence)
                and _speaker(sentence + flow[hit.end : hit.end + 60])
            ):
                return False
    return None


def _shouted(verb: str, before: str) -> bool:
    """True for FILED in capitals that no `was` leads up to: a mark, not a sentence."""
    return verb.isupper() and _LED.search(before) is None


def _past(before: str, between: str) -> bool:
    """Whether the verb tells of what an office did, up to the date: nothing wished, refused or of another day."""
    did = _says("has").search(before) or _says("own").search(between) or not before.strip(" -*.")
    near = len(between) <= _GAP and not find_dates(between)
    return bool(did) and near and not (wished(before) or _says("lapse").search(between))


def _of_filing(text: str, *, told: bool, letter: bool) -> bool:
    """Whether what was filed is a paper that ends a company, and an office says so."""
    if told:
        return (_speaker(text) or _DEPARTMENT.search(plain(text)) is not None) and (_ending_named(text))
    return _says("ending").search(text) is not None and (letter or _speaker(text) or _names_office(text))


def _speaker(text: str) -> bool:
    return _SPEAKER.search(text) is not None or re.search(r"\byour\b", text, re.IGNORECASE) is not None


def _names_paper(sentence: str) -> bool:
    return _says("paper").search(sentence) is not None and _says("ending").search(sentence) is not None


def _other_paper(before: str) -> bool:
    """True when what was filed is the paper that made the company, or a report, and no paper that ends it."""
    near = before[-_NEAR:]
    others = list(_says("other_paper").finditer(near))
    return bool(others) and not _says("ending").search(near[others[-1].end() :])


@cache
def _says(name: str) -> re.Pattern[str]:
    return re.compile(table("filing.toml")["sentence"][name], re.IGNORECASE)


def _written(name: str, text: str) -> bool:
    return re.search(table("filing.toml")["written"][name], text, re.IGNORECASE) is not None


def _names_office(text: str) -> bool:
    words = plain(text)
    return bool(OFFICES.search(words) or _DEPARTMENT.search(words))


def office_writes(lines: Sequence[Line]) -> bool:
    """True for a letter or mail of an office: its name stands in the head, or after From."""
    head = [line for line in lines[:_HEAD_LINES] if not _ADDRESSED.match(line.text)]
    head += [line for line in lines[:_SENDER_LINES] if _FROM.match(line.text)]
    return any(_names_office(line.text) for line in head)


def speaks_of_ending(lines: Sequence[Line]) -> bool:
    """True for a page that an office wrote about the end of a company, and that does not refuse it.

    A sealed certificate, a letter, or a status page: it tells when, even if no date was found to be that of filing.
    """
    text = " ".join(line.text for line in lines)
    headed = office_writes(lines)
    own = _written("sealed", text) or (headed and (_written("letter", text) or _written("status", text)))
    own = own or (headed and any(plain(line.text) in covers() for line in lines))
    return own and names_ending(text) and not _written("refused", text)


def certifies(lines: Sequence[Line]) -> bool:
    """True for an office's own certificate of a company's end; not for a copy of a paper, certified to be one."""
    text = " ".join(line.text for line in lines)
    sealed = _written("sealed", text) and not certified_copy(text)
    return sealed and names_ending(text) and not _written("refused", text)


def certified_copy(text: str) -> bool:
    """True for a text that certifies that a paper is a true copy."""
    return _written("copy", text)


def acknowledges(lines: Sequence[Line]) -> bool:
    """True for an office's letter or mail that says that a company's last paper was filed, wherever it tells when."""
    text = " ".join(line.text for line in lines)
    if not office_writes(lines) or not _written("letter", text) or _written("refused", text):
        return False
    took = [part for part in _before_each("took", text) if _past(part, "")]
    held = [part for part in _before_each("held", text) if _NONE.search(part) is None and not wished(part)]
    return any(_names_paper(part) and not _other_paper(part) for part in (*took, *held))


def _before_each(name: str, text: str) -> list[str]:
    """What comes before each of the verbs in its sentence."""
    verbs = _says(name).finditer(text)
    return [_SENTENCE_END.split(text[max(0, verb.start() - _REACH) : verb.start()])[-1] for verb in verbs]


def names_ending(text: str) -> bool:
    """True for a text with a word for the end of a company."""
    return _says("ending").search(text) is not None


def reminds(lines: Sequence[Line]) -> bool:
    """True for an office's letter about what is due or what it means to do: nothing was filed yet."""
    return office_writes(lines) and any(_written("errand", line.text) for line in lines)


def sends_back(lines: Sequence[Line]) -> bool:
    """True for an office's letter with which a paper goes back unfiled."""
    text = " ".join(line.text for line in lines)
    said = re.finditer(table("filing.toml")["written"]["sent_back"], text, re.IGNORECASE)
    return office_writes(lines) and any(not wished(text[: found.start()]) for found in said)


def filed_here(lines: Sequence[Line]) -> bool:
    """True when a page says that something was filed in the office that speaks, whether or not a date was read."""
    text = " ".join(line.text for line in lines)
    return any(_tells(text, verb) for verb in _says("took").finditer(text))


def _tells(text: str, verb: re.Match[str]) -> bool:
    before, after = text[max(0, verb.start() - _REACH) : verb.start()], text[verb.end() : verb.end() + _GAP]
    before = _SENTENCE_END.split(before)[-1]
    own = _says("own").search(after) is not None
    return own and _says("has").search(before) is not None and not wished(before) and not _other_paper(before)


def wished(before: str) -> bool:
    """True when what comes before a verb makes a wish, a condition or a refusal of it."""
    return _says("not_so").search(before) is not None


def _ending_named(text: str) -> bool:
    words = plain(text)
    return any(title in words for title in _endings()) or _names_paper(text)


@cache
def _endings() -> tuple[str, ...]:
    rows = kind_rows()
    return (*rows[Kind.DISSOLUTION].titles, *rows[Kind.WITHDRAWAL].titles, *either()["titles"])
