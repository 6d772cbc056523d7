"""A state's notice that came after the closing, answered: a letter to check and sign, and the bundle for that state."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from quietus.bundle import wording
from quietus.bundle.drafts.draft import Draft
from quietus.closing.answer import Answer, Order, answer, checked
from quietus.closing.drafts import Wish, draft_letter, write_draft
from quietus.closing.inquiries import Notice, inquiries, notice_in, open_inquiry
from quietus.closing.office import Office
from quietus.model.errors import Misuse, QuietusError
from quietus.model.kinds import Kind

PURPOSE = "state-notice"


@dataclass(frozen=True, slots=True)
class Answered:
    """What was made: the letter's file, the letter, and the bundle."""

    letter: Path
    draft: Draft
    answer: Answer


def answer_notice(
    office: Office,
    paper_id: str,
    folder: Path,
    today: date,
    *,
    jurisdiction: str = "",
    recipient: str = "",
    show_gaps: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Answered:
    """Make the answer to a notice in `folder`: `letter.pdf`, `letter.txt` and the bundle `proof`; enter it in the log.

    Raises:
        Misuse: the paper is no notice, its state or company can't be told, or the folder exists.
        Refused: that state's part of the closing is not proven, and gaps are not to be shown.
    """
    if folder.exists():
        raise Misuse("The place for the answer is taken.", "Choose a name that does not exist yet.")
    notice = notice_in(office, paper_id, jurisdiction)
    slug, to = notice.entity.slug, recipient.strip() or notice.sender
    order = Order(slug, PURPOSE, to, notice.jurisdiction, show_gaps=show_gaps)
    checked(office, order, today)
    inquiry = _inquiry_of(office, notice, to)
    try:
        made = answer(office, replace(order, inquiry=inquiry), folder / "proof", today, progress)
    except QuietusError:
        with suppress(OSError):
            folder.rmdir()  # empty: a bundle is there whole or not at all
        raise
    wish = Wish(to=to, more={"notice_date": _dated(notice)})
    draft = draft_letter(office, slug, "notice", wish, today, jurisdiction=notice.jurisdiction)
    letter, _ = write_draft(office, slug, draft, folder / "letter.pdf")
    return Answered(letter, draft, made)


def _inquiry_of(office: Office, notice: Notice, asker: str) -> str:
    """The number of the inquiry that the notice is, entered now unless it was before."""
    for known in inquiries(office, notice.entity.slug):
        if known.paper == notice.paper.id:
            return known.id
    kind = Kind(notice.paper.reading.text("kind") or Kind.OTHER)
    asks = "A tax notice" if kind is Kind.TAX_NOTICE else "A notice or reminder"
    opened = open_inquiry(
        office,
        notice.entity.slug,
        asker,
        f"{asks} after the closing",
        notice.paper.received.astimezone().date(),
        jurisdiction=notice.jurisdiction,
        paper=notice.paper.id,
    )
    return opened.id


def _dated(notice: Notice) -> str:
    """The day of the notice, in words; empty when it was not read surely."""
    reading = notice.paper.reading
    for name in ("filing_date", "signed_date"):
        day = reading.day(name)
        if day and not reading[name].review:
            return wording.long_date(day)
    return ""
