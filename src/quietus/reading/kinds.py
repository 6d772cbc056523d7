"""What kind of paper it is, told by the title in its headings and by the words of its body."""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from rapidfuzz import fuzz

from quietus.model.kinds import Kind
from quietus.reading.forms import named_among
from quietus.reading.tables import KindRow, covers, either, kind_rows, patterns, worded
from quietus.reading.words import Line

_TITLE, _BODY, _PER_PHRASE, _AGAINST = 1.6, 0.8, 0.25, 0.3
_ALIKE = 88.0  # of 100, for a title with misread letters
_WORD_ALIKE = 78.0  # of 100, for one word of it
_LONG_TITLE = 105  # characters of a title over two or three lines
_MOST_CUES = 1.3  # cues together are worth no more than this
_FORM = 0.9  # what a kind's own form number is worth
_SENT_BACK, _SENT_BACK_AGAIN = 0.9, 0.5  # what the first sign that a paper came back is worth, and each further one
_ATTACHED = 1.2  # what it says against every kind, and for none of them, that a page goes with a return
_ATTACHED_TITLE = 0.5
_REFUSABLE = frozenset({Kind.DISSOLUTION, Kind.WITHDRAWAL, Kind.WINDING_UP_NOTICE, Kind.CLEARANCE})
_UNTITLED = 0.93  # what is left of a filing's certainty when no heading names it: those of one company read alike
_COVER = 0.55  # from this score on the first page is a cover: a certificate or acknowledgment about another paper
_TITLED = 0.7  # from this score on a heading names a filing
_CITED = 0.85  # weight of a title that such a page names in its text
_OF_COMPANY = 0.75  # share of a heading that its title fills at the least when a company's name follows it
_COMPANY = re.compile(r"\b(l ?l ?c|l c|(limited|ltd) liability co(mpany)?)$")
_LARGER = 1.3  # times as tall as the print of the page, a word is a heading
_LONG_LINE = 130  # characters: a longer line is running text


@dataclass(frozen=True, slots=True)
class Told:
    """A kind as told.

    Attributes:
        kind: what it is.
        sure: 0 to 1.
        heading: the line that named it; None when the body alone did.
        instead: the next likely kind.
    """

    kind: Kind
    sure: float
    heading: Line | None
    instead: Kind


@dataclass(frozen=True, slots=True)
class Heading:
    """A line, or two or three that read on, with how much of a heading it is."""

    line: Line
    words: str
    weight: float


def kind_of(pages: Sequence[tuple[Sequence[Line], float]], *, elsewhere: bool | None, form: bool) -> Told:
    """The kind of the paper that has the lines `pages`, each page with its height in pixels.

    Args:
        pages: of the paper, in order; the headings of the first one count, and those of the second after a letter.
        elsewhere: whether the company says it was formed in another jurisdiction than the paper's; None when not told.
        form: whether a state's own return form number stands on it.
    """
    pages = _without_stamps(pages)
    words = _undenied("\n".join(line.text for lines, _ in pages for line in lines))
    titles = _headings(pages)
    back = sum(1 for pattern in patterns("sent_back") if pattern.search(words))
    top = worded("\n".join(line.text for line in pages[0][0]))
    sale, _ = _title(titles, kind_rows()[Kind.ASSET_SALE_FORM].titles)  # goes with a return, and is wanted
    attached = sale < _ATTACHED_TITLE and any(pattern.search(top) for pattern in patterns("attachment"))
    returned = _SENT_BACK + _SENT_BACK_AGAIN * (back - 1) if back else 0.0
    scores: dict[Kind, tuple[float, Line | None]] = {}
    for kind, row in kind_rows().items():
        title, line = _title(titles, row.titles)
        score = _TITLE * title + _said(row, words)
        if kind is Kind.FINAL_RETURN and form:
            score += 0.6
        named = bool(row.forms) and named_among(row.forms, pages[0][0], pages[0][1])
        score += _FORM if named else 0.0
        if attached and not named:
            score += _ATTACHED if kind is Kind.OTHER else -_ATTACHED
        score += returned if kind is Kind.OTHER else -returned if kind in _REFUSABLE else 0.0
        scores[kind] = (score, line)
    return _decided(scores, titles, words, elsewhere)


def _without_stamps(pages: Sequence[tuple[Sequence[Line], float]]) -> list[tuple[Sequence[Line], float]]:
    """The pages without what a stamp says that a filing was sent back, where a heading names such a filing.

    A letter that sends a filing back says so in a sentence.
    """
    first, height = pages[0]
    stamps = patterns("sent_back", "stamps")
    kept = [line for line in first if not any(stamp.search(worded(line.text)) for stamp in stamps)]
    titled = max(_title(headings(kept, height), kind_rows()[kind].titles)[0] for kind in _REFUSABLE)
    return [(kept if kept and titled > _TITLED else first, height), *pages[1:]]


def _undenied(text: str) -> str:
    """The text in plain form without what it says that the paper is not."""
    words = worded(text)
    for denial in patterns("denied"):
        words = denial.sub(" ", words)
    return words


def _said(row: KindRow, words: str) -> float:
    """What the words of the whole paper say for the kind, or against it."""
    body = min(1.0, _PER_PHRASE * sum(1 for phrase in row.body if phrase in words))
    wrong = sum(1 for phrase in row.against if phrase in words)
    cues = sum(weight for pattern, weight in row.cues if pattern.search(words))
    return _BODY * body - _AGAINST * wrong + min(_MOST_CUES, cues)


def _headings(pages: Sequence[tuple[Sequence[Line], float]]) -> list[Heading]:
    first, height = pages[0]
    titles = headings(first, height)
    words = worded("\n".join(line.text for line in first))
    letter = len(pages) > 1 and any(pattern.search(words) for pattern in patterns("letters"))
    if _title(titles, covers())[0] > _COVER or letter:
        titles = [*titles, *(Heading(h.line, h.words, _CITED) for h in headings(first, height, cited=True))]
    return [*titles, *headings(*pages[1])] if letter else titles


def _decided(
    scores: dict[Kind, tuple[float, Line | None]], titles: Sequence[Heading], words: str, elsewhere: bool | None
) -> Told:
    foreign, domestic = _sides(words, elsewhere)
    vague = either()["vague"] if foreign or domestic else ()
    both, line = _title(titles, (*either()["titles"], *vague))
    ends = max(scores[Kind.DISSOLUTION][0], scores[Kind.WITHDRAWAL][0])
    if both and _TITLE * both > ends - _BODY:
        side = Kind.WITHDRAWAL if foreign > domestic else Kind.DISSOLUTION
        own = scores[side]
        scores[side] = (max(own[0], _TITLE * both + 0.5 * _BODY), own[1] or line)
        other = Kind.DISSOLUTION if side is Kind.WITHDRAWAL else Kind.WITHDRAWAL
        if own[0] < _TITLE * both and scores[other][0] < _TITLE * both + 0.5:
            scores[other] = (min(scores[other][0], scores[side][0] - 0.25 * abs(foreign - domestic)), scores[other][1])
    order = sorted(scores, key=lambda kind: -scores[kind][0])
    best, second = scores[order[0]], scores[order[1]]
    sure = _certainty(best[0], best[0] - second[0])
    if best[1] is None and order[0] in _REFUSABLE:
        sure *= _UNTITLED
    if order[0] is Kind.DISSOLUTION and foreign >= domestic + 3:
        sure *= 0.7
    if best[0] <= 0.3:
        return Told(Kind.OTHER, 0.3, None, order[0])
    return Told(order[0], sure, best[1], order[1])


def _certainty(score: float, margin: float) -> float:
    """A clear title well ahead of the next kind is near 1; a weak score, or a close second, well below."""
    strong = min(1.0, max(0.0, (score - 0.3) / 0.9))
    ahead = min(1.0, max(0.0, margin / 0.5))
    return 0.35 + 0.64 * min(strong, ahead)


def _sides(words: str, elsewhere: bool | None) -> tuple[float, float]:
    """Evidence that the company is foreign there, and that it is at home."""
    foreign = sum(1.0 for phrase in either()["foreign"] if phrase in words)
    domestic = sum(1.0 for phrase in either()["domestic"] if phrase in words)
    if elsewhere is not None:
        foreign, domestic = (foreign + 2, domestic) if elsewhere else (foreign, domestic + 2)
    return foreign, domestic


def headings(lines: Sequence[Line], height: float, *, cited: bool = False) -> list[Heading]:
    """The lines of a page that could be, or be part of, a heading; with `cited` also those of running text."""
    if not lines:
        return []
    tall = sorted(line.tall for line in lines)[len(lines) // 2]
    found = []
    for index, line in enumerate(lines):
        words = _undenied(line.text)
        if (
            not words
            or (len(words) > _LONG_LINE and not cited)
            or (line.tall < _LARGER * tall and _labels(line, lines, index))
        ):
            continue
        weight = _weight(line, tall, height)
        found.append(Heading(line, words, weight))
        for more in range(1, 3):
            if index + more >= len(lines) or not _reads_on(lines[index + more - 1], lines[index + more]):
                break
            words = f"{words} {_undenied(lines[index + more].text)}"
            if len(words) <= _LONG_TITLE or cited:
                found.append(Heading(line, words, weight))
    return found


def _labels(line: Line, lines: Sequence[Line], index: int) -> bool:
    """True for a single word that shares its row, as `Receipt` beside a number: no heading but a label."""
    beside = (*lines[max(0, index - 1) : index], *lines[index + 1 : index + 2]) if len(line.words) == 1 else ()
    return any(line.rect.top < other.rect.middle[1] < line.rect.bottom for other in beside)


def _weight(line: Line, tall: float, height: float) -> float:
    """How much a line looks like a heading: tall or in capitals, and high on the page."""
    letters = [sign for sign in line.text if sign.isalpha()]
    capitals = len(letters) > 5 and sum(sign.isupper() for sign in letters) > 0.8 * len(letters)
    size = min(1.0, max(0.55, 0.55 + 0.7 * (line.tall / max(1.0, tall) - 1)))
    where = line.rect.top / height
    level = 1.0 if where < 0.4 else 0.75 if where < 0.65 else 0.5
    return min(1.0, size + (0.2 if capitals else 0.0)) * level


def _reads_on(upper: Line, lower: Line) -> bool:
    gap = lower.rect.top - upper.rect.bottom
    alike = 0.7 < lower.tall / max(1.0, upper.tall) < 1.4
    return alike and -0.3 * upper.tall < gap < 1.3 * upper.tall


def _title(titles: Sequence[Heading], phrases: Sequence[str]) -> tuple[float, Line | None]:
    """The best match of any of the phrases with a heading: 0 to about 1.3, longer phrases more."""
    best: tuple[float, Line | None] = (0.0, None)
    opened = _by_opener(tuple(phrases))
    for heading in titles:
        for phrase in (phrase for opener in _openings(heading.words) for phrase in opened.get(opener, ())):
            share = _match(phrase, heading.words)
            if not share:
                continue
            cover = 1.0 if heading.weight == _CITED else _cover(phrase, heading.words)
            length = 1 + 0.06 * (len(phrase.split()) - 2)
            score = share * heading.weight * (0.4 + 0.6 * cover) * length
            if score > best[0]:
                best = (score, heading.line)
    return best


def _cover(phrase: str, words: str) -> float:
    """The share of a heading that a title fills; the name of the company that it goes on with takes little from it."""
    named = words.startswith(f"{phrase} of ") and _COMPANY.search(words)
    return max(_OF_COMPANY if named else 0.0, min(1.0, len(phrase) / len(words)))


@cache
def _by_opener(phrases: tuple[str, ...]) -> dict[str, list[str]]:
    """Titles by their first words."""
    found: dict[str, list[str]] = defaultdict(list)
    for phrase in phrases:
        found[phrase.partition(" ")[0]].append(phrase)
    return found


@cache
def _openers() -> frozenset[str]:
    """The first words of all titles."""
    titles = [title for row in kind_rows().values() for title in row.titles]
    return frozenset(_by_opener((*titles, *covers(), *(title for these in either().values() for title in these))))


@lru_cache(maxsize=4096)
def _openings(words: str) -> frozenset[str]:
    """The first words of titles that stand in the words, well or badly read: no other title needs to be compared."""
    return frozenset().union(*map(_may_be, words.split()))


@lru_cache(maxsize=65_536)
def _may_be(word: str) -> frozenset[str]:
    parts = word.split("&")
    return frozenset(opener for opener in _openers() if opener in parts or "&" in opener or _same(opener, word))


def _match(phrase: str, words: str) -> float:
    """1 when the phrase stands in the words, less when its words do with misread letters, else 0."""
    if phrase in words:
        return 1.0 if re.search(rf"\b{re.escape(phrase)}\b", words) else 0.0
    if len(words) < 0.8 * len(phrase) or not fuzz.partial_ratio(phrase, words, score_cutoff=_ALIKE):
        return 0.0
    wanted, found = phrase.split(), words.split()
    windows = [found[at : at + len(wanted)] for at in range(len(found) - len(wanted) + 1)]
    return 0.9 if any(all(map(_same, wanted, window)) for window in windows) else 0.0


def _same(wanted: str, found: str) -> bool:
    return wanted == found or (len(wanted) > 3 and fuzz.ratio(wanted, found) >= _WORD_ALIKE)
