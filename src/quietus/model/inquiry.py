"""What was asked from outside, and what was sent in answer. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any


@dataclass(frozen=True, slots=True)
class SentPaper:
    """One paper as it went into an answer.

    Attributes:
        id: of the paper.
        expected: key of the expected paper it answers.
        form: in what form it went: whole, redacted, or as a line.
        hidden: what was covered on it.
        consent: id of the consent under which it went; empty when it needed none.
    """

    id: str
    expected: str
    form: str
    hidden: tuple[str, ...] = ()
    consent: str = ""


@dataclass(frozen=True, slots=True)
class Reply:
    """One bundle made in answer to an inquiry.

    Attributes:
        made: when, UTC.
        by: who made it.
        recipient: whom it is for, as printed on its cover.
        purpose: id of its purpose.
        jurisdiction: USPS code of the one it is about; empty for all.
        papers: what went into it.
        gaps: how many gaps it shows.
        pdf_sha256: hash of its PDF, hex.
        manifest_sha256: hash of the list of its payload, hex.
        sent: the day it was sent; None while nobody said that it was.
        how: how it was sent.
    """

    made: datetime
    by: str
    recipient: str
    purpose: str
    jurisdiction: str
    papers: tuple[SentPaper, ...]
    gaps: int
    pdf_sha256: str
    manifest_sha256: str
    sent: date | None = None
    how: str = ""

    @property
    def consents(self) -> tuple[str, ...]:
        """Ids of the consents used."""
        return tuple(dict.fromkeys(paper.consent for paper in self.papers if paper.consent))


@dataclass(frozen=True, slots=True)
class Inquiry:
    """A request from outside.

    Attributes:
        id: its number, digits.
        entity: slug of the company it is about.
        asker: who asks.
        asks: what was asked, in words.
        on: the day it came in.
        by: who wrote it down.
        jurisdiction: USPS code when a state asks; empty otherwise.
        paper: id of the letter or notice in the vault; empty when there is none.
        replies: what was made in answer, oldest first.
    """

    id: str
    entity: str
    asker: str
    asks: str
    on: date
    by: str
    jurisdiction: str = ""
    paper: str = ""
    replies: tuple[Reply, ...] = ()

    @property
    def state(self) -> str:
        """Where it stands, in a word or two."""
        if not self.replies:
            return "open"
        return "sent" if any(reply.sent for reply in self.replies) else "bundle made"


def inquiry_to_json(inquiry: Inquiry) -> dict[str, Any]:
    """An inquiry as plain JSON data, without its id and entity: dates as ISO 8601 text."""
    return {
        "asker": inquiry.asker,
        "asks": inquiry.asks,
        "on": inquiry.on.isoformat(),
        "by": inquiry.by,
        "jurisdiction": inquiry.jurisdiction,
        "paper": inquiry.paper,
        "replies": [_reply_to_json(reply) for reply in inquiry.replies],
    }


def _reply_to_json(reply: Reply) -> dict[str, Any]:
    papers = [
        {"id": p.id, "expected": p.expected, "form": p.form, "hidden": list(p.hidden), "consent": p.consent}
        for p in reply.papers
    ]
    return {
        "made": reply.made.isoformat(),
        "by": reply.by,
        "recipient": reply.recipient,
        "purpose": reply.purpose,
        "jurisdiction": reply.jurisdiction,
        "papers": papers,
        "gaps": reply.gaps,
        "pdf_sha256": reply.pdf_sha256,
        "manifest_sha256": reply.manifest_sha256,
        "sent": reply.sent.isoformat() if reply.sent else None,
        "how": reply.how,
    }


def inquiry_from_json(inquiry_id: str, entity: str, data: Mapping[str, Any]) -> Inquiry:
    """Inverse of `inquiry_to_json`."""
    return Inquiry(
        id=inquiry_id,
        entity=entity,
        asker=data["asker"],
        asks=data["asks"],
        on=date.fromisoformat(data["on"]),
        by=data["by"],
        jurisdiction=data["jurisdiction"],
        paper=data["paper"],
        replies=tuple(map(_reply_from_json, data["replies"])),
    )


def _reply_from_json(data: Mapping[str, Any]) -> Reply:
    papers = tuple(SentPaper(**{**paper, "hidden": tuple(paper["hidden"])}) for paper in data["papers"])
    sent = date.fromisoformat(data["sent"]) if data["sent"] else None
    return Reply(**{**data, "made": datetime.fromisoformat(data["made"]), "papers": papers, "sent": sent})
