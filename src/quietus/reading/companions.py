"""What stands about a date and shows that an office put it there: its name, a time of day, a number, `office use`."""

import re
from collections.abc import Sequence
from functools import cache

from quietus.reading.attested import OFFICES, acknowledges, certifies, office_writes, speaks_of_ending
from quietus.reading.roles import Dated
from quietus.reading.tables import table
from quietus.reading.words import Line, plain

SENTENCE = 80
"""Characters: a longer line is running text."""
STAMP_LINE = 45
"""Characters: a longer line is no stamp's."""
_TITLE_LINES = 6
_OWN_WORDS = re.compile(r"\bfiling (date|number|no|id)\b", re.IGNORECASE)  # labels that name no paper
_WIDE, _HIGH = 22, 6.5  # letter heights to either side of a date, and above and below it, that are about it


@cache
def _sign(name: str) -> re.Pattern[str]:
    return re.compile(table("filing.toml")["companion"][name], re.IGNORECASE)


def shows(name: str, text: str) -> bool:
    """Whether a sign of `[companion]` in `filing.toml` stands in a text."""
    return _sign(name).search(text) is not None


def companions(hit: Dated, lines: Sequence[Line]) -> int:
    """How many things beside the date show that an office made the mark."""
    text, label = about(hit, lines)
    words = plain(text)
    signs = (
        shows("time", text),
        shows("number", text),
        OFFICES.search(words),
        shows("electronic", label),
        shows("office_use", text),
        _row_names_filing(hit, lines) or speaks_of_ending(lines),
    )
    if _register(lines) and not (shows("time", text) or _row_names_filing(hit, lines)):
        return 0  # `Filing date` on a register's page is as often that of the formation
    return sum(1 for sign in signs if sign) + 2 * (_receipt(lines) or certifies(lines) or acknowledges(lines))


def shows_electronic(hit: Dated, lines: Sequence[Line]) -> bool:
    """True when what stands about the mark says that the paper came by wire; a clerk types times and numbers, too."""
    text, label = about(hit, lines)
    page = "\n".join(line.text for line in lines)
    return shows("by_wire", text) or shows("by_wire", label) or shows("screen", page)


def about(hit: Dated, lines: Sequence[Line]) -> tuple[str, str]:
    """The short lines about a date, and its label."""
    tall = hit.piece.line.tall
    zone = hit.piece.line.rect.grown(_WIDE * tall, _HIGH * tall)
    near = [line for line in lines if line is hit.piece.line or (zone.overlap(line.rect) > 0 and _tells(line.text))]
    return "\n".join(line.text for line in near), hit.label.text if hit.label else ""


def _tells(line: str) -> bool:
    """True for a short line that may tell of a date near it; a fax machine's own has a time of day, too."""
    fax = shows("sent", line) and shows("time", line) and OFFICES.search(plain(line)) is None
    return len(line) <= SENTENCE and not fax


def in_row(hit: Dated, lines: Sequence[Line]) -> str:
    """The text of the row that a date stands in."""
    here = hit.piece.rect
    row = [
        line for line in lines if min(line.rect.bottom, here.bottom) - max(line.rect.top, here.top) > 0.5 * line.tall
    ]
    return "  ".join(line.text for line in sorted(row, key=lambda line: line.rect.left))


def _row_names_filing(hit: Dated, lines: Sequence[Line]) -> bool:
    """True in a list of filings: the row of the date names a paper that ends a company."""
    row = _OWN_WORDS.sub("", in_row(hit, lines))
    sentence = table("filing.toml")["sentence"]
    return all(re.search(sentence[name], row, re.IGNORECASE) for name in ("paper", "ending")) and len(row) <= SENTENCE


def _register(lines: Sequence[Line]) -> bool:
    """True for a page of an office's register about a company, not about a filing."""
    return any(shows("register", line.text) for line in lines[:_TITLE_LINES])


def _receipt(lines: Sequence[Line]) -> bool:
    """True for a page that an office wrote to say what it took: a receipt or acknowledgment under its name."""
    titles = (line.text for line in lines[:_TITLE_LINES] if len(line.text) <= STAMP_LINE)
    return office_writes(lines) and any(shows("receipt", title) for title in titles)
