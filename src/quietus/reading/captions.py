"""The words beside tick boxes: those that name the final box, and those of the boxes about it."""

import re
from collections.abc import Iterator, Sequence
from functools import cache

from rapidfuzz import fuzz, process

from quietus.reading.pieces import Piece, pieces
from quietus.reading.tables import table
from quietus.reading.words import Line, Rect

TEXT_MARK = re.compile(r"[\[({|]\s?([xX✓✔*●■@%&]|[vV])\s?[\])}|]|[☒☑✓✔]|\b_{1,3}[xX]_{1,3}")
"""A mark typed as text, or recognised as such."""
_SENTENCE, _ASKED = 75, 130  # characters: words in a longer line are running text; and in one that asks for a mark
_EDGE = r"(?:(?<![a-z0-9])(?=[a-z0-9])|(?<=[a-z0-9])(?![a-z0-9]))"  # of a word; a rule to write on is none of it
_HERE = re.compile(r"(?:check|mark|tick) ?(?:here|this box|the box|box)\b", re.IGNORECASE)
_LED_UP = 6  # characters before `check here`: a box with its mark, as recognised
_FEW_LETTERS = 3  # that a box with its mark may be recognised as
_SEVERAL = 2
_NUMBER = re.compile(r"(?:^|\s)(\(\w{1,2}\))\s*$")  # `a.` may be a misread box, brackets are none
_LETTER, _ROOMY = 0.5, 0.92  # letter heights: width of a letter; share of it that letters have with a box beside them
_CLOSE = 84.0  # of 100: how alike misread words and a caption must be


def captions(lines: Sequence[Line]) -> tuple[list[Piece], list[Piece]]:
    """Pieces that name the final box, and pieces that name its siblings."""
    short = [line for line in lines if len(line.text) <= _SENTENCE or TEXT_MARK.search(line.text) or _is_row(line)]
    siblings = list(pieces(short, _pattern("siblings")))
    finals = list(pieces(short, _pattern("final")))
    asked = [line for line in lines if len(line.text) <= _ASKED]
    finals += _apart(pieces(asked, _pattern("asked")), finals)
    for line in short:
        for family, piece in _misread(line):
            (siblings if family == "siblings" else finals).extend(_apart([piece], [*finals, *siblings]))
    finals += [] if finals else pieces(short, _pattern("closing"))
    finals, siblings = ([_with_number(piece) for piece in found] for found in (finals, siblings))
    return [_by_the_box(piece, lines) for piece in finals], [_by_the_box(piece, lines) for piece in siblings]


def _is_row(line: Line) -> bool:
    """True for a row of boxes that was recognised as one long line: several captions stand in it."""
    return sum(1 for _ in _pattern("siblings").finditer(line.text)) >= _SEVERAL


def _with_number(caption: Piece) -> Piece:
    """The caption with its number before it, as in `(2) Final return`: its box stands before that."""
    number = _NUMBER.search(caption.line.text[: caption.start])
    return Piece(caption.line, number.start(1), caption.end) if number else caption


def _by_the_box(caption: Piece, lines: Sequence[Line]) -> Piece:
    """Where the row goes on with `check here`, those words: the box stands beside them, far from what it is for."""
    rest = caption.line.text[caption.end :]
    here = _HERE.search(rest)
    if here and not TEXT_MARK.search(rest[: here.start()]):
        return Piece(caption.line, caption.end + here.start(), caption.end + here.end())
    middle, near = caption.rect.middle[1], 0.8 * caption.rect.height
    row = [line for line in lines if line.rect.left > caption.rect.right and abs(line.rect.middle[1] - middle) < near]
    after = min(row, key=lambda line: line.rect.left, default=None)
    if after and (here := _HERE.search(after.text)) and here.start() <= _LED_UP:
        return Piece(after, here.start(), here.end())
    return caption


@cache
def _pattern(family: str) -> re.Pattern[str]:
    patterns = "|".join(table("captions.toml")[family]["patterns"])
    return re.compile(patterns.replace(r"\b", _EDGE), re.IGNORECASE)


def _apart(found: Iterator[Piece] | Sequence[Piece], known: Sequence[Piece]) -> list[Piece]:
    """The pieces that share no letters with a known one."""
    return [
        piece
        for piece in found
        if not any(other.line is piece.line and other.start < piece.end and piece.start < other.end for other in known)
    ]


@cache
def _phrases() -> dict[str, str]:
    """Every phrase without blanks, and its family."""
    return {
        re.sub(r"\W", "", phrase): family
        for family, phrases in table("captions.toml")["phrases"].items()
        for phrase in phrases
    }


def _misread(line: Line) -> Iterator[tuple[str, Piece]]:
    """Runs of one to three words that are nearly a caption, each with the caption's family."""
    starts = [0]
    for word in line.words:
        starts.append(starts[-1] + len(word.text) + 1)
    at = 0
    while at < len(line.words):
        runs = [_likeness(line, starts, at, at + many) for many in (1, 2, 3)]
        best = max(runs, key=lambda run: (run[0], -run[2]))  # a mark after the words is no part of them
        if best[0] >= _CLOSE and best[1] != "neither":
            yield best[1], Piece(line, starts[at], best[2])
            at = next(index for index, start in enumerate(starts) if start > best[2])
        else:
            at += 1


def _likeness(line: Line, starts: Sequence[int], first: int, last: int) -> tuple[float, str, int]:
    """How much the words from `first` to before `last` are like a caption, its family, and where they end."""
    last = min(last, len(line.words))
    end = starts[last] - 1
    letters = re.sub(r"[^a-z0-9]", "", line.text[starts[first] : end].lower())
    found = process.extractOne(letters, list(_phrases()), scorer=fuzz.ratio, score_cutoff=_CLOSE)
    return (found[1], _phrases()[found[0]], end) if found else (0.0, "neither", end)


def gap_between(rect: Rect, caption: Piece, *, after: bool) -> float | None:
    """Pixels between a box and its caption on the one side or the other; None when they share no row."""
    words = caption.rect
    if abs(rect.middle[1] - words.middle[1]) > 0.75 * max(rect.height, words.height):
        return None
    gap = rect.left - words.right if after else words.left - rect.right
    # the recogniser often takes the box for a letter of the first or last word
    return max(0.0, gap) if gap > -1.3 * rect.width and not _is_letter(rect, caption) else None


def _is_letter(rect: Rect, caption: Piece) -> bool:
    """True for what looks like a box in a word without room for one beside its letters, as the O of Original."""
    words = caption.line.words
    long = (word for word in words if sum(map(str.isalpha, word.text)) > _FEW_LETTERS)  # what is not may be the box
    word = next((w for w in long if rect.overlap(w.rect) > 0.6 * rect.width * rect.height), None)
    if word is None:
        return False
    usual = sorted(w.rect.width / len(w.text) for w in words if w is not word and len(w.text) > 2)
    wide = usual[len(usual) // 2] if usual else _LETTER * caption.rect.height
    return (word.rect.width - rect.width) / len(word.text) < _ROOMY * wide
