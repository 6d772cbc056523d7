"""Drafts as files: a PDF, and plain text with the notes for the preparer under it."""

import textwrap
from collections.abc import Sequence
from itertools import groupby
from typing import Any

from quietus.bundle import wording
from quietus.bundle.drafts.draft import CAUTION, Block, Draft
from quietus.bundle.typesetter import typeset_pdf

_WIDTH = 78
_LEAST = 8.5  # points; a form that is prescribed a size has no smaller type at all
_PRESCRIBED = 12  # points


def draft_pdf(draft: Draft, firm: str = "") -> bytes:
    """The draft as a PDF: same draft, same bytes. The notes for the preparer are not in it.

    Its body ends with a paragraph, which stays with the lines to sign on.

    Args:
        draft: the draft.
        firm: the firm's name, for the PDF's own note of its author; may be empty.

    Raises:
        MachineFault: the typesetter failed.
    """
    return typeset_pdf("quietus.bundle.drafts", "letter.typ", _data(draft, firm), "The letter")


def _data(draft: Draft, firm: str) -> dict[str, Any]:
    return {
        "title": draft.title,
        "about": draft.subject,
        "tag": draft.tag,
        "firm": wording.plain_line(firm),
        "sender": list(draft.sender),
        "on": wording.long_date(draft.on) if draft.on else "",
        "to": list(draft.to),
        "subject": draft.subject,
        "runs": [_run(sort, list(run)) for sort, run in groupby(draft.blocks[:-1], key=lambda block: block.sort)],
        "last": draft.blocks[-1].text,
        "signature": list(draft.signature),
        "enclosures": list(draft.enclosures),
        "points": draft.points,
        "least": draft.points if draft.points >= _PRESCRIBED else _LEAST,
    }


def _run(sort: str, run: Sequence[Block]) -> dict[str, Any]:
    """Blocks of one sort that follow each other: one list, one frame, one table."""
    rows = [list(row) for block in run for row in block.rows]
    return {"sort": sort, "texts": [block.text for block in run], "rows": rows}


def draft_text(draft: Draft) -> str:
    """The draft as plain text, lines of 78 characters, with the notes for the preparer at its end."""
    parts = [f"[{draft.tag}]", *_head(draft), draft.subject, *map(_block_text, draft.blocks), *_foot(draft)]
    return "\n\n".join(part for part in parts if part) + "\n\n" + _notes(draft)


def letter_text(draft: Draft) -> str:
    """What the letter itself says, on one line for each part, without tag, signature and notes."""
    facts = [f"{label}: {value}" for block in draft.blocks for label, value in block.rows]
    texts = [block.text for block in draft.blocks if block.text]
    enclosed = [f"Enclosed: {'; '.join(draft.enclosures)}."] if draft.enclosures else []
    return "\n".join([*draft.to, draft.subject, *texts, *facts, *enclosed])


def _head(draft: Draft) -> list[str]:
    on = wording.long_date(draft.on) if draft.on else ""
    return ["\n".join(draft.sender), on, "\n".join(draft.to)]


def _block_text(block: Block) -> str:
    if block.sort == "facts":
        wide = max(len(label) for label, _ in block.rows)
        return "\n".join(f"{label:<{wide}}  {value}" for label, value in block.rows)
    first, rest = {"item": ("  - ", "    "), "quote": ("    ", "    ")}.get(block.sort, ("", ""))
    return _wrapped(block.text, first, rest)


def _wrapped(text: str, first: str = "", rest: str = "") -> str:
    return textwrap.fill(
        text, _WIDTH, initial_indent=first, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False
    )


def _foot(draft: Draft) -> list[str]:
    lines = "\n\n".join(f"{label}: {'_' * 40}" for label in draft.signature)
    enclosed = _wrapped(f"Enclosed: {'; '.join(draft.enclosures)}.") if draft.enclosures else ""
    return [lines, enclosed]


def _notes(draft: Draft) -> str:
    """What the preparer should know, under a rule: no part of the letter."""
    parts = ["-" * _WIDTH, "NOTES FOR THE PREPARER: NO PART OF THE LETTER"]
    if draft.blanks:
        parts.append("To be filled in:\n" + "\n".join(_wrapped(blank, "  - ", "    ") for blank in draft.blanks))
    if draft.cautions:
        parts.append("Look at this first:\n" + "\n".join(_wrapped(said, "  - ", "    ") for said in draft.cautions))
    rules = "\n".join(_wrapped(f"{rule.says} Source: {rule.source}.", "  - ", "    ") for rule in draft.rules)
    parts.append(f"What is asked of it, and by whom:\n{rules}")
    parts.append(_wrapped(CAUTION))
    return "\n\n".join(parts) + "\n"
