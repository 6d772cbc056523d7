"""Company names where they stand on a page: every stretch of words with a suffix, also one broken over two lines."""

import re
from collections.abc import Sequence
from functools import cache
from itertools import pairwise

from quietus.model.names import bare_name
from quietus.reading.pieces import Piece
from quietus.reading.tables import kind_rows, table
from quietus.reading.words import Line, plain

SUFFIX = (
    r"(?:Limited\s+Liability\s+Comp[ae]ny|LIMITED\s+LIABILITY\s+COMPANY|Ltd\.?\s+Liability\s+Co\.?|LTD\.?\s+LIABILITY\s+CO\.?|"
    r"L\.\s?L\.\s?[Cc]\.?|L\.LC\.?|L\.?\s?C\.(?=\s|,|$)|LLC|Llc|LLc|LL\.?C|PLLC|P\.L\.L\.C\.?)"
)
"""A pattern for the suffixes of a limited liability company."""
_WORD = r"(?:l(?=[bcdfghjklmnpqrstvwxz][a-z])[a-z]+|[.\u2018]?[A-Z0-9][\w'\u2019&.\-]*|&|and|of|the|de|la|for|d/b/a)"
_COMPANY = re.compile(rf"(?:{_WORD},?\s+){{1,9}}?{SUFFIX}(?![A-Za-z])")
_OPEN_END = re.compile(rf"(?:^|\s)({_WORD}(?:,?\s+{_WORD}){{0,8}}),?$")
STARTS_WITH_SUFFIX = re.compile(rf"^{SUFFIX}(?![A-Za-z])")
"""A limited-liability suffix at the beginning of a text."""
_OF = re.compile(r"\bof\s+", re.IGNORECASE)
_READING = 4  # words that do so when the next line reads on after the name
_INTRODUCES = 0.85  # weight of a label after which a centred heading names the company
_PARTED = 3.0  # letter heights at the most between two parts of a name in one row
READS_ON = 12
"""Characters after a name that make its line one of running text."""
RUNNING = 6
"""Words that make a line one of running text."""


def stretches(lines: Sequence[Line]) -> list[Piece]:
    """Every stretch of words that ends in a company suffix, also one that is broken over two lines."""
    known = [bare_name(match[0]) for line in lines for match in _COMPANY.finditer(line.text)]
    over = lines_over(lines)
    # a name that running text breaks tells where the same name begins in a title, so the lines are gone through twice
    known += [bare_name(whole.text) for upper, lower in over if (whole := _joined(upper, lower, known))]
    broken = {id(lower): whole for upper, lower in over if (whole := _joined(upper, lower, known))}
    broken |= {id(right): whole for left, right in pairwise(lines) if (whole := _in_row(left, right))}
    found = list(broken.values())
    for line in lines:
        for match in _COMPANY.finditer(line.text):
            if match.start() > 0 or id(line) not in broken:
                found.append(Piece(line, match.start(), match.end()))
    return found


def lines_over(lines: Sequence[Line]) -> list[tuple[Line, Line]]:
    """Each line with the one it follows: right above it in its own column, else the one before it on the page."""
    pairs = []
    for before, lower in pairwise(lines):
        near = [line for line in lines if line is not lower and _in_column(line, lower)]
        pairs.append((max(near, key=lambda line: line.rect.bottom, default=before), lower))
    return pairs


def _in_row(left: Line, right: Line) -> Piece | None:
    """A name of which something across a line, as the rim of a cup, parted the first words from the rest."""
    common = min(left.rect.bottom, right.rect.bottom) - max(left.rect.top, right.rect.top)
    gap = right.rect.left - left.rect.right
    tail, head = _OPEN_END.search(left.text), _COMPANY.match(right.text)
    if not tail or not head or common < 0.6 * left.tall or not 0 <= gap < _PARTED * left.tall:
        return None
    phrases = table("names.toml")["labels"]
    ends = [match.end() for phrase in phrases for match in spelled(phrase).finditer(left.text)]
    start = max((end for end in ends if _OPEN_END.fullmatch(left.text[end:])), default=None)
    if start is None:
        return None
    return Piece(Line(left.words + right.words), start, len(left.text) + 1 + head.end())


def _in_column(upper: Line, lower: Line) -> bool:
    gap = lower.rect.top - upper.rect.bottom
    return abs(upper.rect.left - lower.rect.left) < upper.tall and -0.5 * upper.tall < gap < 1.2 * upper.tall


def _joined(upper: Line, lower: Line, known: Sequence[str]) -> Piece | None:
    """A name whose end stands at the start of the next line, as a piece of both lines together.

    More than the bare suffix counts as broken off only in running text, or when the whole name is `known` to stand on
    the page: in an address each line is a thing by itself.
    """
    gap = lower.rect.top - upper.rect.bottom
    if not -0.5 * upper.tall < gap < 1.2 * upper.tall or _COMPANY.search(upper.text[-30:]):
        return None
    tail = _OPEN_END.search(upper.text)
    head = re.match(rf"(?:{_WORD},?\s+){{0,4}}?{SUFFIX}(?![A-Za-z])", lower.text)
    running = len(upper.words) >= RUNNING and abs(upper.rect.left - lower.rect.left) < 3 * upper.tall
    centred = abs(upper.rect.middle[0] - lower.rect.middle[0]) < 2 * upper.tall
    if (running or centred) and (cut := _cut_suffix(upper, lower)):
        return cut
    if not tail or not head:
        return None
    aligned = len(upper.words) >= _READING and abs(upper.rect.left - lower.rect.left) < 3 * upper.tall
    running = running or (aligned and len(lower.text) > head.end() + READS_ON) or _heading(upper, lower)
    whole = bare_name(f"{tail[1]} {head[0]}")
    if centred and (start := _begins(upper, head[0], known)) is not None:
        return Piece(Line(upper.words + lower.words), start, len(upper.text) + 1 + head.end())
    if not running and not STARTS_WITH_SUFFIX.match(lower.text) and not any(name.endswith(whole) for name in known):
        return None
    return Piece(Line(upper.words + lower.words), tail.start(1), len(upper.text) + 1 + head.end())


def _begins(upper: Line, end: str, known: Sequence[str]) -> int | None:
    """Where in the upper line of a centred title a name begins of which `end` is the rest.

    Either the whole name is known to stand on the page, or the name follows the title of a paper and `of`.
    """
    starts = [match.start() for match in re.finditer(r"\S+", upper.text)]
    names = {name for name in known if name.endswith(" " + bare_name(end))}
    for start in starts:
        if bare_name(f"{upper.text[start:]} {end}") in names:
            return start
    if _general(upper):
        return None
    titled = [match.end() for title in _paper_titles() for match in spelled(title).finditer(upper.text)]
    after = _OF.search(upper.text, max(titled)) if titled else None
    return after.end() if after and _OPEN_END.fullmatch(upper.text[after.end() :]) else None


def _general(upper: Line) -> bool:
    """True for a line that ends in words for any company, as `of a Texas entity`: the name begins below it."""
    return plain(upper.words[-1].text) in table("names.toml")["others"]["lead"]


@cache
def _paper_titles() -> tuple[str, ...]:
    return tuple(title for row in kind_rows().values() if row.scope == "office" for title in row.titles)


def _heading(upper: Line, lower: Line) -> bool:
    """True for a centred heading of two lines, the upper one ending in what introduces a name and its first words."""
    if abs(upper.rect.middle[0] - lower.rect.middle[0]) > 2 * upper.tall or _general(upper):
        return False
    strong = (phrase for phrase, weight in table("names.toml")["labels"].items() if weight >= _INTRODUCES)
    ends = [match.end() for phrase in strong for match in spelled(phrase).finditer(upper.text)]
    return any(_OPEN_END.fullmatch(upper.text[end:]) for end in ends)


def _cut_suffix(upper: Line, lower: Line) -> Piece | None:
    """A name whose very suffix is broken over two lines: `Harrow Ltd. Liability` and `Co.`."""
    both, seam = Line(upper.words + lower.words), len(upper.text)
    for match in _COMPANY.finditer(both.text):
        suffix = re.search(rf"{SUFFIX}$", match[0])
        if suffix and match.start() + suffix.start() < seam < match.end():
            return Piece(both, match.start(), match.end())
    return None


@cache
def spelled(phrase: str) -> re.Pattern[str]:
    """A pattern for a phrase in plain form, whatever stands between its words; a colon after it belongs to it."""
    inner = r"[\s'\u2019.,\-]*".join(map(re.escape, phrase.split())) if phrase != "re" else r"(?:RE|Re)(?=\s*:)"
    return re.compile(rf"\b{inner}\b\s*(?:is\s*)?[:.]?", 0 if phrase == "re" else re.IGNORECASE)
