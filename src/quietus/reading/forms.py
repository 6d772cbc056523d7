"""The number of a return form, known from the jurisdiction's own list; short numbers count only after `Form`."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from quietus.model.entity import FEDERAL
from quietus.reading.pieces import Piece
from quietus.reading.tables import place_rows
from quietus.reading.words import Line

_SHORT = 60  # characters: a longer line is running text
_SPOKEN_OF = r"\s+(?:was|is|were|has|had|have|you|that|which)\b"  # after a form's number in a sentence about it


@dataclass(frozen=True, slots=True)
class Formed:
    """A form number: as the list writes it, how sure, and where it stands."""

    form: str
    sure: float
    piece: Piece


def form_of(lines: Sequence[Line], height: float, place: str | None) -> Formed | None:
    """The return form that a page is, by its number; None when none of the jurisdiction's forms is named."""
    rows = place_rows()
    forms = rows[place].forms if place else rows[FEDERAL].forms
    tall = sorted(line.tall for line in lines)[len(lines) // 2] if lines else 1.0
    found = [
        Formed(form, _weight(line, height, tall, named) * line_sure, Piece(line, start, end))
        for form in forms
        for line in lines
        for start, end, named in _hits(form, line.text, large=line.rect.top < 0.15 * height and line.tall > 1.1 * tall)
        for line_sure in [min(word.sure for word in line.part(start, end))]
    ]
    found = [hit for hit in found if hit.sure > 0.3]
    return max(found, key=lambda hit: (round(hit.sure, 2), len(hit.form)), default=None)


def named_among(forms: Sequence[str], lines: Sequence[Line], height: float) -> bool:
    """True when one of the form numbers stands as a page's own: after `Form`, or alone and large at the top."""
    tall = sorted(line.tall for line in lines)[len(lines) // 2] if lines else 1.0
    for line in lines:
        if len(line.text) > _SHORT or 0.3 * height < line.rect.top < 0.88 * height:
            continue
        large = line.rect.top < 0.15 * height and line.tall > 1.1 * tall
        if any(named or large for form in forms for _, _, named in _hits(form, line.text, large=large)):
            return True
    return False


def _hits(form: str, text: str, *, large: bool) -> list[tuple[int, int, bool]]:
    """Where the form's number stands in a text, and whether the word `Form` stands before it.

    A number alone on its line counts only when it is set `large` at the top, as forms have it in the corner.
    """
    telling = bool(re.search(r"[A-Za-z]", form)) and len(form) >= 4
    hits = []
    for match in _pattern(form).finditer(text):
        named = match["word"] is not None
        alone = large and len(match[0]) > 0.8 * len(text) and len(form) >= 3
        if telling or named or alone:
            hits.append((match.start("number"), match.end("number"), named))
    return hits


@cache
def _pattern(form: str) -> re.Pattern[str]:
    spaced = r"\s?".join(re.escape(sign) if sign not in "- " else r"[\s-]?" for sign in form)
    return re.compile(
        rf"(?<![A-Za-z0-9/-])(?P<word>f\s?o\s?r\s?m\s+)?(?P<number>{spaced})(?![A-Za-z0-9/]|-\d|{_SPOKEN_OF})",
        re.IGNORECASE,
    )


def _weight(line: Line, height: float, tall: float, named: bool) -> float:
    """More at the top, in large letters, and after the word `Form`; a mention in a sentence counts little."""
    where = 1.0 if line.rect.top < 0.2 * height else 0.7 if line.rect.top > 0.9 * height else 0.45
    size = min(1.0, 0.75 + 0.25 * (line.tall / tall - 0.9))
    opens = named and line.text.lower().startswith("form")
    short = 1.0 if opens or len(line.text) < 40 else 0.7
    return where * size * short * (1.0 if named else 0.9)
