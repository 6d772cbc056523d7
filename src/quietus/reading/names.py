"""The company a paper is about: which of the names on it is the subject's, and how surely it was read."""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

from rapidfuzz import fuzz

from quietus.model.names import bare_name
from quietus.reading.articles import article_of, with_article
from quietus.reading.pieces import Piece, belongs
from quietus.reading.stretches import READS_ON, RUNNING, STARTS_WITH_SUFFIX, SUFFIX, lines_over, spelled, stretches
from quietus.reading.tables import covers, kind_rows, table, worded
from quietus.reading.words import Line, Word, plain

_ENDS_WITH_SUFFIX = re.compile(rf"[\s,]+{SUFFIX}\W*$")
_NUMBER = re.compile(r"\d{1,2}")
_ITEM = re.compile(r"\W*(\d{1,2})\b")
_MONTH = re.compile(r"(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?$", re.IGNORECASE)
_COUNTED = frozenset(
    "no number item line box part suite ste unit page room floor apt section exhibit schedule form".split()  # noqa: SIM905
)
"""Words before a number that is no name's."""
_GLUED = 6  # letters of a label that can't be a word's end by chance
_UNSURE = 0.75
_CUT_SHORT = 0.6  # what is left of the certainty when the word before a name may belong to it
_WELL_LABELLED = 0.9  # a name of a single word counts only with a label of this weight
_ALONE = 0.9  # share of its line that a name fills when it stands by itself
_RIVAL = 0.8  # another company that the paper speaks of this much, relative to the best, is a rival
_ALMOST = 88.0  # of 100: two names this alike on one paper are one name, one of them misread


@dataclass(frozen=True, slots=True)
class Named:
    """A company's name as read.

    Attributes:
        name: as written, with its suffix.
        sure: 0 to 1.
        piece: where it stands best.
        page: index of that page among the paper's pages.
        seen: how often it stands on the paper.
        whole: False when words of it may be missing.
    """

    name: str
    sure: float
    piece: Piece
    page: int
    seen: int
    whole: bool


@dataclass(frozen=True, slots=True)
class _Candidate:
    name: str
    piece: Piece
    page: int
    weight: float
    certain: float
    whole: bool


def subject_of(pages: Sequence[Sequence[Line]]) -> Named | None:
    """The company the paper with these lines is about; None when no name is found."""
    found = [c for number, lines in enumerate(pages) for c in _candidates(lines, number)]
    if not found:
        return None
    groups: dict[str, list[_Candidate]] = defaultdict(list)
    for candidate in _shortened(_untitled(found)):
        groups[bare_name(candidate.name)].append(candidate)
    ranked = sorted(groups.values(), key=lambda group: -_rank(group))
    best = ranked[0]
    top = _whole_name(max(best, key=lambda c: c.weight * c.certain), best)
    return Named(top.name, _certainty(best, ranked[1:]), top.piece, top.page, len(best), any(c.whole for c in best))


def _whole_name(top: _Candidate, group: Sequence[_Candidate]) -> _Candidate:
    """The name with its article, where more of the places that tell have one than have none."""
    said = [(article_of(c.piece), c) for c in group]
    having = [(the, c) for the, c in said if the]
    if not having or sum(c.weight for _, c in having) <= sum(c.weight for the, c in said if the == ""):
        return top
    the, best = next((pair for pair in having if pair[1] is top), having[0])
    return replace(best, name=f"{the} {best.name}", piece=with_article(best.piece, the), weight=top.weight)


def stem(name: Piece) -> Piece:
    """The name without its suffix: what tells one company from another."""
    suffix = _ENDS_WITH_SUFFIX.search(name.text)
    return Piece(name.line, name.start, name.start + suffix.start()) if suffix and suffix.start() > 0 else name


def _rank(group: Sequence[_Candidate]) -> float:
    return max(c.weight for c in group) + 0.25 * min(3, len(group) - 1) + 0.1 * max(c.certain for c in group)


def _certainty(best: Sequence[_Candidate], others: Sequence[Sequence[_Candidate]]) -> float:
    """Seen well once is good, twice alike nearly certain; a rival name, or a variant of the same, pulls it down."""
    read = 1.0
    for candidate in best:
        read *= 1 - min(0.97, candidate.certain)
    label = min(1.0, 0.75 + 0.25 * max(c.weight for c in best))
    sure = (1 - read) * label
    mine = bare_name(best[0].name)
    for group in others:
        alike = fuzz.ratio(mine, bare_name(group[0].name))
        if alike >= _ALMOST and len(group) >= len(best):
            sure *= 0.75
        elif alike < _ALMOST and _rank(group) > _RIVAL * _rank(best):
            sure *= 0.7
    return sure


def _candidates(lines: Sequence[Line], page: int) -> list[_Candidate]:
    labels = _labels(lines)
    others = _others(lines)
    uppers = {id(lower): upper for upper, lower in lines_over(lines)}
    found = []
    for piece in stretches(lines):
        name = _trimmed(piece, lines)
        if name is None:
            continue
        near = [weight * belongs(label, name) for label, weight in labels if _before(label, name)]
        weight = max([0.3, *near])
        foreign = max([0.0, *(belongs(label, name) for label in others)])
        if foreign > 0.45 and foreign >= weight:
            weight = 0.1
        if foreign <= 0.45:
            weight = max(weight, _by_place(name, lines, page))
        lone = len(bare_name(name.text).split()) < 2 and weight < _WELL_LABELLED
        doubtful = lone or _cut_short(name) or _numbered(name) or _broken_off(name, uppers.get(id(name.line)))
        certain = stem(name).sure * (_CUT_SHORT if doubtful else 1.0)
        found.append(_Candidate(_clean(name.text), name, page, weight, certain, not doubtful))
    return found


def _cut_short(name: Piece) -> bool:
    """True when the word before the name was read unsurely and so could be a part of it."""
    before = name.line.part(0, name.start - 1) if name.start > 1 else ()
    if not before:
        return False
    if before[-1].text[-1] in ":,;.)|":  # a colon after a word that introduces no name parts the name itself
        return before[-1].text[-1] == ":" and not before[-1].text[0].islower() and not _introduces(before)
    return before[-1].sure < _UNSURE and plain(before[-1].text) not in table("names.toml")["others"]["lead"]


def _introduces(before: Sequence[Word]) -> bool:
    words = plain(" ".join(word.text for word in before))
    labels = (
        *table("names.toml")["labels"],
        *table("names.toml")["others"]["lead"],
        *table("names.toml")["others"]["labels"],
    )
    return any(words.endswith(plain(label)) for label in labels) or not any(sign.isalpha() for sign in before[-1].text)


def _broken_off(name: Piece, upper: Line | None) -> bool:
    """True for a name at the start of a line of running text: its first words may stand, unread, in the line above."""
    if name.start > 0 or upper is None or len(name.line.text) < len(name.text) + READS_ON:
        return False
    gap = name.line.rect.top - upper.rect.bottom
    running = len(upper.words) >= RUNNING and abs(upper.rect.left - name.line.rect.left) < 3 * upper.tall
    return (
        running and gap < 1.4 * upper.tall and plain(upper.words[-1].text) not in table("names.toml")["others"]["lead"]
    )


def _before(label: Piece, name: Piece) -> bool:
    return label.line is not name.line or label.end <= name.start


def _trimmed(piece: Piece, lines: Sequence[Line]) -> Piece | None:
    """Without the words of the sentence that lead up to the name; None when nothing but a suffix is left."""
    lead = set(table("names.toml")["others"]["lead"])
    start = piece.start
    text = piece.text
    while True:
        first = re.match(r"[\s,:;(\"“]*([^\s,:;]+)[\s,:;]+", text)
        if not first or not (_leads_up(first[1], text, lead) or _glued(first[1]) or _counts(first[1], text)):
            break
        if _NUMBER.fullmatch(first[1]) and _of_name(Piece(piece.line, start, piece.end), first[1], lines):
            break
        start += first.end()
        text = text[first.end() :]
    bare = bare_name(text)
    if (
        len(bare) < 3
        or bare in {"ltd liability co", "limited liability", "ltd liability"}
        or not re.search(r"[a-z]{2}", bare)
    ):
        return None
    if re.fullmatch(rf"{SUFFIX}.*", text.strip()):
        return None
    return Piece(piece.line, start, piece.end)


def _leads_up(word: str, text: str, lead: set[str]) -> bool:
    """True for a word that stands before names, or a date; a lone capital letter is part of the name."""
    initial = len(word) < 2 and word.isupper() != text.isupper()
    return not initial and (plain(word) in lead or re.match(r"\d{1,4}[-/.]\d|\d{1,2}[.)]?$", word) is not None)


def _glued(word: str) -> bool:
    """True for a label whose blanks were lost: `Fulllegalname`, or `Name` behind a rule read as a letter."""
    compact = re.sub(r"[^a-z]", "", word.lower())
    labels = (label.replace(" ", "") for label in table("names.toml")["labels"] if " " in label)
    return compact.lstrip("il") == "name" or any(compact.endswith(label) for label in labels if len(label) > _GLUED)


def _counts(word: str, text: str) -> bool:
    """True for a month or `Suite` with its number, before a name."""
    numbered = re.match(r"\W*\S+\s+\d{1,2}\s", text) is not None
    return numbered and (plain(word) in _COUNTED or _MONTH.match(word) is not None)


def _of_name(rest: Piece, number: str, lines: Sequence[Line]) -> bool:
    """Whether a bare number before a name is its first word, as in `41 Elm Street LLC`, and no item's number or day.

    An item's number begins its line, and another line begins with the one before or after it.
    """
    before = rest.line.text[: rest.start].split()
    if before:
        return plain(before[-1]) not in _COUNTED and not _MONTH.match(before[-1])
    beside = {str(int(number) - 1), str(int(number) + 1)}
    return not any((found := _ITEM.match(line.text)) and found[1] in beside for line in lines)


def _numbered(name: Piece) -> bool:
    """True for a name that begins its line with a single figure: it may number the line after all."""
    return not name.line.text[: name.start].strip() and re.match(r"\d\s", name.text) is not None


def _untitled(found: Sequence[_Candidate]) -> list[_Candidate]:
    """Without the title of a letter that stands before the company's name in its subject line.

    Such a title ends in what a paper is called. Where neither it is known nor the rest of the name stands on the paper
    by itself, the word may be a part of the name, and nothing tells.
    """
    bares = [bare_name(c.name) for c in found]
    return [_without_title(c, bares) for c in found]


def _without_title(candidate: _Candidate, bares: Sequence[str]) -> _Candidate:
    words = candidate.name.split()
    papers = table("names.toml")["papers"]["words"]
    last = next((at for at in range(len(words) - 2, 0, -1) if plain(words[at]) in papers), 0)
    rest = " ".join(words[last + 1 :])
    if not last or not bare_name(rest) or STARTS_WITH_SUFFIX.match(rest):
        return candidate
    if bare_name(rest) not in bares and worded(" ".join(words[: last + 1])) not in _titles():
        labelled = candidate.weight >= _WELL_LABELLED or bares.count(bare_name(candidate.name)) > 1
        return candidate if labelled else replace(candidate, whole=False, certain=candidate.certain * _CUT_SHORT)
    piece = candidate.piece
    cut = piece.text.index(words[last], len(" ".join(words[:last]))) + len(words[last])
    shorter = Piece(piece.line, piece.start + cut + 1, piece.end)
    return replace(candidate, name=rest, piece=shorter, certain=shorter.sure)


@cache
def _titles() -> frozenset[str]:
    """The titles of all papers."""
    return frozenset((*covers(), *(title for row in kind_rows().values() for title in row.titles)))


def _shortened(found: list[_Candidate]) -> list[_Candidate]:
    """Where one candidate is another with sentence words before it, the shorter one stands for both.

    A name that has a line to itself is whole; what begins a line and is only the end of such a name was broken off.
    """
    alone = {bare_name(c.name) for c in found if len(c.piece.text) >= _ALONE * len(c.piece.line.text)}
    found = [c for c in found if c.piece.start > 0 or not _tail_of(bare_name(c.name), alone)]
    bares = {bare_name(c.name) for c in found}
    out = []
    for candidate in found:
        bare = bare_name(candidate.name)
        inner = [b for b in bares - {bare} if bare.endswith(" " + b) and len(b.split()) >= 2]
        if bare in alone:
            inner = []
        if not inner:
            out.append(candidate)
            continue
        keep = max(inner, key=len)
        words = candidate.name.split()
        for start in range(1, len(words)):
            if bare_name(" ".join(words[start:])) == keep:
                offset = len(" ".join(words[:start])) + 1
                piece = Piece(candidate.piece.line, candidate.piece.start + offset, candidate.piece.end)
                out.append(
                    _Candidate(" ".join(words[start:]), piece, candidate.page, candidate.weight, piece.sure, True)
                )
                break
    return out


def _tail_of(bare: str, names: set[str]) -> bool:
    return any(name.endswith(" " + bare) for name in names)


def _labels(lines: Sequence[Line]) -> list[tuple[Piece, float]]:
    found = []
    for phrase, weight in table("names.toml")["labels"].items():
        pattern = spelled(phrase)
        for line in lines:
            for match in pattern.finditer(line.text):
                found.append((Piece(line, match.start(), match.end()), weight))
    return found


def _others(lines: Sequence[Line]) -> list[Piece]:
    return [
        Piece(line, match.start(), match.end())
        for phrase in table("names.toml")["others"]["labels"]
        for line in lines
        for match in spelled(phrase).finditer(line.text)
    ]


def _by_place(piece: Piece, lines: Sequence[Line], page: int) -> float:
    """What a name's place is worth: alone on a line among the headings of the first page it is the paper's subject."""
    if len(piece.text) < 0.8 * len(piece.line.text):
        return 0.0
    tall = sorted(line.tall for line in lines)[len(lines) // 2]
    if piece.line.tall > 1.12 * tall or piece.line.text.isupper():
        return 0.8
    top, bottom = lines[0].rect.top, max(line.rect.bottom for line in lines)
    return 0.7 if page == 0 and piece.rect.top < top + 0.22 * (bottom - top) else 0.0


def _clean(text: str) -> str:
    text = re.sub(r"\bl(?=[bcdfghjklmnpqrstvwxz][a-z])", "I", text)  # no word begins so: it is a capital I
    text = re.sub(r"(?<=\s)[.\u2018](?=[A-Z])", "", text)
    text = re.sub(r"(?<=[a-z]{2})\.(?=[A-Z][a-z])", " ", text)  # a speck in a gap
    text = re.sub(r"\bL\.LC\b\.?", "L.L.C.", text)
    return re.sub(r"\s+", " ", text.replace("|", " ")).strip(' ,;:"“”()')
