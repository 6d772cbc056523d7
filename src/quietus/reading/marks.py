"""Reads ink stamps: which patches of ink are an office's mark, and the date on it, by a vote of several looks.

A stamp is looked at level, then a little to either side, in its own colour and in gray. A date counts as read when the
looks agree; where they do not, the likelier date is given with a low certainty and a person decides.
"""

import re
import tomllib
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache, lru_cache
from importlib.resources import files
from typing import Literal

from rapidfuzz import fuzz
from rapidfuzz.distance import Levenshtein

from quietus.reading.dates import find_dates
from quietus.reading.engine import Layout, Recogniser
from quietus.reading.looks import black_views, inked_view, rim_view, view
from quietus.reading.patches import Patch
from quietus.reading.pixels import Gray, Picture, resized
from quietus.reading.rim import rim_text
from quietus.reading.rows import row_words
from quietus.reading.words import Line, Rect, Word, around, lines_of, plain

Sort = Literal["filed", "received", "rejected", "strange", "other", "unclear", "print"]

_NOTARY = ("notary public", "comm expires", "commission expires")  # however it is set, such a mark is a notary's
_ENOUGH = 1.5  # weight of agreeing looks, all of one mind, at which no further look is needed
_SURELY = 0.78  # share of the weight that one date must hold to be sure of it
_FEW_LOOKS, _AGREED = 2, 3  # looks that show nothing, and that show a stamp which files nothing, before it is left
_SEVERAL = 4  # looks at a patch of dots or of letters that run together: the first two see one and the same picture
_PRINTED, _NEARLY_ALL = 0.7, 0.85  # how surely words are read that are print; and the share of a patch's letters
_BESIDE, _APART = 0.15, 0.85  # inches between a head and its date; what is left of the certainty when they do not touch
_FIGURES = "0123456789/-."
_RUNNING = 80  # characters of surely read ordinary print that no stamp has
_FEW_SMALL = 2
_AROUND = 0.3  # inches about a patch that are looked at, too: its first letters may stand apart
_ALIKE = 79.0  # of 100: how alike a word must be to count as a misread one
_ALIKE_PHRASE = 88.0  # the same for a phrase of several words


@dataclass(frozen=True, slots=True)
class Mark:
    """A stamp as read.

    Attributes:
        sort: what it is; `unclear` when there are words or a date but nothing says whose, `print` for the page's own
            print that had not been recognised before.
        rect: where, in pixels of the upright page.
        day: the date on it that belongs to its sort; None when none was read.
        sure: how sure the date is, 0 to 1 (how sure that it is a mark at all, when there is no date).
        text: what was recognised in the best look.
        method: how it was seen: `stamp:chroma` or `stamp:black`.
    """

    sort: Sort
    rect: Rect
    day: date | None
    sure: float
    text: str
    method: str


@dataclass(frozen=True, slots=True)
class _Look:
    lines: tuple[Line, ...]
    text: str
    telling: str  # the words that may say what the stamp is
    days: tuple[tuple[date, float, str], ...]  # the date, its weight, and the words before it


@cache
def vocabulary() -> dict[str, tuple[str, ...]]:
    """The words of `marks.toml`, in the form that `plain` gives."""
    data = tomllib.loads(files("quietus.reading").joinpath("marks.toml").read_text("utf-8"))
    return {sort: tuple(plain(words) for words in lists) for sort, lists in data.items()}


def read_mark(
    picture: Picture,
    patch: Patch,
    dpi: float,
    engine: Recogniser,
    *,
    taken: frozenset[date] = frozenset(),
    stubborn: bool = False,
) -> Mark | None:
    """The stamp in `patch`; None when there is nothing of a stamp in it (a signature, a ring, a letterhead).

    Args:
        picture: the upright page.
        patch: where to look.
        dpi: of the picture.
        engine: the recogniser.
        taken: dates of the page's own print in and around the patch, which are not the stamp's.
        stubborn: take every look there is, also when the first two show nothing.
    """
    looks: list[_Look] = []
    seen_round = rim_view(picture, patch, dpi)
    rim = rim_text(*seen_round, dpi, engine) if seen_round else ""
    for seen, way in _views(picture, patch, dpi):
        if way == "figures" and not any(sort_of(look.telling)[0] == "filed" for look in looks):
            continue
        words = _WAYS[way](seen, dpi, engine)
        looks.append(_looked(words, taken, rim, capitals=patch.hue < 0))
        empty = not any(_says_something(look) for look in looks)
        if len(looks) == _FEW_LOOKS and not stubborn and empty:
            return None
        if (
            _settled(looks, _FEW_LOOKS if patch.letters else _SEVERAL)
            or _another(looks)
            or (empty and _all_print(looks[-1], patch))
        ):
            break
    if patch.hue < 0 and not any(_says_something(look) for look in looks):
        text = next((look.text for look in looks if _is_print(look)), None)
        return None if text is None else Mark("print", patch.rect, None, 0.9, text, "ocr")
    return _judged(looks, patch)


def typed_mark(lines: Sequence[Line], patch: Patch, taken: frozenset[date]) -> Mark | None:
    """The stamp in a patch of a page that has its own text, whose words need no recognition; arguments as above."""
    words = [word for line in lines for word in line.words if patch.rect.holds(word.rect)]
    look = _looked(words, taken, "", capitals=True)
    return _judged([look, look], patch) if _says_something(look) else None


def joined(marks: Sequence[Mark], dpi: float) -> tuple[Mark, ...]:
    """The marks, a head without a date and a date without a head that lie on or beside each other made one."""
    out = list(marks)
    dated = [mark.rect for mark in marks if mark.sort == "filed" and mark.day]
    for head in [mark for mark in marks if mark.sort == "filed" and not mark.day]:
        if any(head.rect.overlap(rect) > 0 for rect in dated):
            continue  # the head of a stamp whose date was read from another patch
        near = head.rect.grown(_BESIDE * dpi, _BESIDE * dpi)
        for body in [mark for mark in out if mark.sort == "unclear" and mark.day and near.overlap(mark.rect) > 0]:
            sure = body.sure * (1.0 if body.rect.overlap(head.rect) > 0 else _APART)
            one = replace(
                head, rect=around((head.rect, body.rect)), day=body.day, sure=sure, text=f"{head.text} {body.text}"
            )
            out = [mark for mark in out if mark not in (head, body)] + [one]
            break
    return tuple(out)


@lru_cache(maxsize=4096)  # the lines about a stamp are looked at again and again
def sort_of(text: str) -> tuple[Sort | None, int]:
    """What the words in a stamp make of it, and how many of its words said so."""
    words = " ".join(dict.fromkeys(plain(way) for way in (text, _SPREAD.sub(r"\1", text), _SPLIT.sub(r"\1", text))))
    counts = {sort: sum(1 for phrase in phrases if said(phrase, words)) for sort, phrases in vocabulary().items()}
    order: tuple[Sort, ...] = ("rejected", "strange", "filed", "received", "other")
    for sort in order:
        if counts[sort]:
            return sort, counts[sort]
    return None, counts["office"]


def said(phrase: str, text: str) -> bool:
    """True when `phrase` stands in `text` (both in plain form), one or two letters of a longer word misread.

    A phrase begins where a word begins: there is no `not filed` in `Dakota filed`.
    """
    if " " not in phrase:
        return phrase in _meant(text)
    if len(text) < 0.8 * len(phrase) or not fuzz.partial_ratio(phrase, text, score_cutoff=_ALIKE_PHRASE):
        return False
    words, many = text.split(), phrase.count(" ") + 1
    runs = (" ".join(words[at : at + most]) for at in range(len(words)) for most in (many - 1, many, many + 1))
    return any(fuzz.ratio(phrase, run) >= _ALIKE_PHRASE for run in runs)


@lru_cache(maxsize=4096)
def _meant(text: str) -> frozenset[str]:
    """The single words of the vocabulary that stand in a text, well or badly read."""
    return frozenset().union(*map(_may_be, text.split()))


@lru_cache(maxsize=65_536)  # the same few words are met at every look
def _may_be(word: str) -> frozenset[str]:
    return frozenset(phrase for phrases in vocabulary().values() for phrase in phrases if _same_word(word, phrase))


def _same_word(word: str, wanted: str) -> bool:
    if word == wanted:
        return True
    if len(wanted) < 5 or abs(len(word) - len(wanted)) > 1 or word in vocabulary()["never"]:
        return False
    return Levenshtein.normalized_similarity(_letters(word), _letters(wanted)) * 100 >= _ALIKE


_HEAD = re.compile(  # in small letters it must head a line, alone or before a date
    r"\W*(?:Electronically |[Ee]-)?Filed\b\W*(?:(?:[Oo]n|[Ii]n the office|[Dd]ate)\b.*|\d.*|[A-Z][a-z]{2,8}\.? \d.*)?$"
)
_SPREAD = re.compile(r"\b([A-Z]) (?=[A-Z]\b)")  # letters set wide apart: `F I L E D`
_SPLIT = re.compile(r"\b([A-Z]) (?=[A-Z]{3,}\b)")  # a first letter set apart: `F ILED`
_LOOKALIKE = str.maketrans("01|!58", "oliisb")


def _letters(word: str) -> str:
    return word.translate(_LOOKALIKE).replace("l", "i")


_WAYS: dict[str, Callable[[Gray, float, Recogniser], list[Word]]] = {
    "block": lambda seen, dpi, engine: engine.words(seen, dpi, Layout.BLOCK),
    "rows": row_words,
    "figures": lambda seen, dpi, engine: row_words(seen, dpi, engine, _FIGURES),
}
"""How a look is recognised: as a block, row by row, or row by row as a date in figures and nothing else."""


def _views(picture: Picture, patch: Patch, dpi: float) -> Iterator[tuple[Gray, str]]:
    """Looks at the patch, the likeliest to succeed first, and how to recognise each."""
    gray = replace(patch, hue=-1, usual=0.0)
    wide = replace(patch, rect=patch.rect.grown(_AROUND * dpi, _AROUND * dpi))
    lean = patch.leans[0]
    level = view(picture, patch, lean, dpi)
    yield level, "block"
    yield level, "rows"
    yield resized(view(picture, patch, lean + 1.5, dpi, framed=True), 1.4), "block"
    if patch.hue >= 0:
        yield inked_view(picture, patch, lean, dpi), "block"
        yield inked_view(picture, wide, lean, dpi), "rows"
    for other in patch.leans[1:]:
        seen = view(picture, patch, other, dpi)
        yield seen, "block"
        yield seen, "rows"
    if patch.hue < 0:
        for seen in black_views(picture, patch, lean, dpi):
            yield seen, "block"
            yield seen, "rows"
        yield view(picture, wide, lean, dpi), "rows"
    yield view(picture, gray, lean - 1.5, dpi), "rows"
    yield view(picture, patch, lean - 2.5, dpi), "block"
    yield view(picture, patch, lean + 2.5, dpi), "rows"
    yield resized(level, 0.75), "block"
    yield level, "figures"
    yield view(picture, gray, lean + 0.7, dpi), "figures"


def _looked(words: list[Word], taken: frozenset[date], rim: str, *, capitals: bool) -> _Look:
    """What a look shows. In black, where print may be in the picture, only capitals or a head can make it a stamp."""
    lines = lines_of([word for word in words if word.sure > 0.2 and plain(word.text)])
    text = " ".join(line.text for line in lines)
    days = _stacked_days(lines, taken)
    for hit in find_dates(text):
        if hit.day in taken:
            continue
        part = Line(tuple(w for line in lines for w in line.words)).part(hit.start, hit.end)
        days.append((hit.day, hit.sure * min(word.sure for word in part), text[: hit.start]))
    loud = [word.text for line in lines for word in line.words if not capitals or _in_capitals(word.text)]
    loud.append(rim)
    if any(_HEAD.match(line.text) for line in lines):
        loud.append("filed")
    if any(said(phrase, plain(text)) for phrase in _NOTARY):
        loud.append("notary")
    return _Look(lines, text, " ".join(loud), tuple(days))


def _stacked_days(lines: Sequence[Line], taken: frozenset[date]) -> list[tuple[date, float, str]]:
    """Dates set one part under the other, month, day, year, in a column of their own beside other words."""
    words = [word for line in lines for word in line.words]
    found = []
    for month in (word for word in words if word.text.isalpha() and 3 <= len(word.text) <= 9):
        below = [
            w for w in words if w.rect.top > month.rect.middle[1] and w.text.strip(".,").isdigit() and _under(month, w)
        ]
        parts = [month, *sorted(below, key=lambda word: word.rect.top)[:2]]
        level = len({line for line in lines if any(part in line.words for part in parts)})
        if len(parts) == 3 and level == 3 and len(lines) > 3:
            text = " ".join(part.text for part in parts)
            sure = min(part.sure for part in parts)
            found += [(hit.day, hit.sure * sure, "") for hit in find_dates(text) if hit.day not in taken]
    return found


def _under(upper: Word, lower: Word) -> bool:
    return abs(upper.rect.middle[0] - lower.rect.middle[0]) < 0.6 * max(upper.rect.width, lower.rect.width)


def _in_capitals(text: str) -> bool:
    letters = [sign for sign in text if sign.isalpha()]
    return sum(sign.isupper() for sign in letters) >= 0.6 * len(letters)


def _says_something(look: _Look) -> bool:
    sort, offices = sort_of(look.telling)
    return bool(look.days) or sort is not None or offices > 0


def _is_print(look: _Look) -> bool:
    """True when the look shows surely read words of ordinary print, small letters for the most part."""
    words = [word for line in look.lines for word in line.words if len(word.text) > 1]
    small = sum(1 for word in words if not _in_capitals(word.text))
    return len(words) >= 4 and small >= 0.5 * len(words) and sum(word.sure for word in words) >= 0.8 * len(words)


def _print_in(looks: Sequence[_Look]) -> str | None:
    """The page's own print, where a look shows more of it than any stamp has; else None."""
    running = [look for look in looks if _is_print(look) and len(look.text) > _RUNNING]
    dated = [look for look in looks if look.days and _small_words(look) >= _FEW_SMALL]
    return next((look.text for look in (*running, *dated)), None)


def _small_words(look: _Look) -> int:
    """Longer words in small letters, surely read: a form's print has them, hardly a stamp that names no office."""
    words = [word for line in look.lines for word in line.words if word.sure > 0.5]
    return sum(1 for word in words if len(word.text) >= 4 and word.text.isalpha() and word.text.islower())


def _settled(looks: Sequence[_Look], least: int) -> bool:
    """True when what the looks say so far is beyond doubt."""
    votes = _votes(looks, "filed")
    if len(votes) != 1 or sort_of(" ".join(look.telling for look in looks))[0] is None:
        return False
    return len(looks) >= least and sum(votes.values()) >= _ENOUGH


def _another(looks: Sequence[_Look]) -> bool:
    """True when look after look says that the stamp is one that files nothing, and none says anything else."""
    sorts = [sort for look in looks if (sort := sort_of(look.telling)[0])]
    return len(sorts) >= _AGREED and set(sorts) in ({"received"}, {"other"})


def _all_print(look: _Look, patch: Patch) -> bool:
    """True when the look reads nearly every letter of a black patch as the page's own print: no stamp is left over."""
    read = sum(len(word.text) for line in look.lines for word in line.words if word.sure >= _PRINTED)
    return patch.hue < 0 and _is_print(look) and read >= _NEARLY_ALL * patch.letters


def _votes(looks: Sequence[_Look], sort: str) -> dict[date, float]:
    """Weight of each date over all looks; dates that the stamp itself calls received do not count as filed."""
    votes: dict[date, float] = defaultdict(float)
    for look in looks:
        chosen = [day for day in look.days if sort != "filed" or not _called_received(day[2])]
        if len(chosen) > 1:
            chosen = [day for day in chosen if said("filed", plain(day[2][-24:]))] or chosen
        for day, weight, _ in chosen:
            votes[day] += weight
    return votes


def _called_received(before: str) -> bool:
    last = plain(before).split()[-3:]
    return any(said("received", word) or said("recd", word) for word in last) and not any(
        said("filed", word) for word in last
    )


def _judged(looks: Sequence[_Look], patch: Patch) -> Mark | None:
    sorts = [sort_of(look.telling) for look in looks]
    counts: dict[Sort, int] = defaultdict(int)
    for sort, count in sorts:
        if sort is not None:
            counts[sort] += count
    votes = _votes(looks, "filed" if "filed" in counts else "")
    printed = _print_in(looks) if patch.hue < 0 and not counts else None
    if printed is not None:
        return Mark("print", patch.rect, None, 0.9, printed, "ocr")
    if not counts and not votes:
        return None
    named: Sort = max(counts, key=lambda sort: counts[sort]) if counts else "unclear"
    best = max(looks, key=lambda look: (len(look.days), sum(w.sure for line in look.lines for w in line.words)))
    method = "stamp:chroma" if patch.hue >= 0 else "stamp:black"
    if not votes:
        return Mark(named, patch.rect, None, min(1.0, sum(counts.values()) / len(looks)), best.text, method)
    day = max(votes, key=lambda one: votes[one])
    return Mark(named, patch.rect, day, _certainty(votes, day, looks), best.text, method)


def _certainty(votes: dict[date, float], day: date, looks: Sequence[_Look]) -> float:
    """How sure the date is: its share of the votes, and how many looks it has behind it.

    Two agreeing looks of full weight give 0.97; one alone never gives more than 0.7; a rival date pulls it down fast.
    """
    share = votes[day] / sum(votes.values())
    agreeing = sum(1 for look in looks if any(one == day for one, _, _ in look.days))
    backing = min(1.0, max(votes[day] / _ENOUGH, 0.3 * (agreeing - 1)))
    sure = share**2 * (0.55 + 0.42 * backing)
    if agreeing < 2:
        sure = min(sure, 0.7)
    return sure if share >= _SURELY else min(sure, 0.6)
