"""Whether `The` before a company's name is part of it: the law counts it for nothing, a bank's form does not."""

import re

from quietus.reading.pieces import Piece
from quietus.reading.stretches import READS_ON
from quietus.reading.words import plain

_GOES_ON = re.compile(r"[\W\d]{0,3}[A-Za-z]{2}")
_STOP = (".", ";", "!", "?")


def article_of(name: Piece) -> str | None:
    """`The` as written before a name that it is part of; empty when there is none; None when nothing tells.

    It is part of the name where a capital has no other reason: with the name alone on a line, or in the middle of one.
    """
    before = name.line.text[: name.start].split()
    if not before or plain(before[-1]) != "the":
        return ""
    the, lead = before[-1], before[-2] if len(before) > 1 else ""
    if the.islower():
        return None
    rest = name.line.text[name.end :]
    alone = not lead and (len(rest) <= READS_ON or not _GOES_ON.match(rest))
    inside = bool(lead) and not lead.endswith(_STOP) and (lead.endswith(":") or not (the.isupper() and lead.isupper()))
    return the if alone or inside else None


def with_article(name: Piece, the: str) -> Piece:
    """The name together with the article before it."""
    return Piece(name.line, name.line.text.rindex(the, 0, name.start), name.end)
