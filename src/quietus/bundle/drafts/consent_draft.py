"""A consent for the taxpayer to sign, from what the regulation asks it to hold."""

from dataclasses import dataclass
from datetime import date

from quietus.bundle import wording
from quietus.bundle.drafts.consent_rules import consent_form, months_when_silent
from quietus.bundle.drafts.draft import BLANK, Block, Draft, Rule
from quietus.model.consent import Filer


@dataclass(frozen=True, slots=True)
class Asked:
    """What the taxpayer would consent to.

    Attributes:
        preparer: name of the firm; empty leaves a line to fill in.
        taxpayer: name of the taxpayer.
        filer: what kind of return the taxpayer files.
        company: name of the company whose papers they are.
        recipient: to whom would be shown; empty leaves a line.
        purpose: what for, in words.
        information: what would be shown, one phrase each.
        until: the last day it would hold; None for as long as the law says.
        members: who would sign for what is their own.
    """

    preparer: str
    taxpayer: str
    filer: Filer
    company: str
    recipient: str
    purpose: str
    information: tuple[str, ...]
    until: date | None
    members: tuple[str, ...] = ()


def consent_draft(asked: Asked) -> Draft:
    """The form: what a consent has to name (Treas. Reg. 301.7216-3(a)(3)(i)), and the statements for this filer."""
    form = consent_form(asked.filer)
    named = {
        "preparer": ("Preparer", asked.preparer or BLANK),
        "taxpayer": ("Taxpayer", asked.taxpayer),
        "recipient": ("May be shown to", asked.recipient or BLANK),
        "purpose": ("For this purpose", asked.purpose),
        "information": ("What may be shown", "; ".join(asked.information)),
    }
    rows = [tuple(map(wording.plain_line, row)) for row in named.values()]
    rows.append(("How long it holds", _duration(asked.until)))
    said = [statement.text for statement in form.statements]
    agreed = (
        f"I consent to {rows[0][1]} showing what is named above, about {wording.plain_line(asked.company)}, "
        "to the recipient named above, for the purpose and time named above."
    )
    blanks = {"preparer": asked.preparer, "recipient": asked.recipient}
    return Draft(
        title="Consent to disclosure of tax return information",
        tag="Not signed",
        sender=(),
        on=None,
        to=(),
        subject="Consent to disclosure of tax return information",
        blocks=(
            *(Block("paragraph", text) for text in said[:1]),
            Block("facts", rows=tuple((label, value) for label, value in rows)),
            *(Block("paragraph", text) for text in said[1:]),
            Block("paragraph", agreed),
        ),
        signature=_signatures(asked),
        enclosures=(),
        blanks=tuple(form.names[name] for name, value in blanks.items() if not value),
        cautions=_cautions(asked, separate=form.separate),
        rules=(
            *(Rule(f"It names {said}.", (), form.sources[0]) for said in form.names.values()),
            *(Rule(f"It says what is asked of it: {s.name}.", (s.text,), s.source) for s in form.statements),
            Rule("It says how long it holds, or holds for one year.", (), form.sources[2]),
            Rule("Its form, for this kind of filer.", (), form.sources[1]),
        ),
        points=form.points,
    )


def _duration(until: date | None) -> str:
    if until:
        return f"from the day of signature to {wording.long_date(until)}"
    months = months_when_silent()
    return f"{months} months from the day of signature" if months != 12 else "one year from the day of signature"


def _signatures(asked: Asked) -> tuple[str, ...]:
    who = ("Taxpayer",) if asked.filer is Filer.INDIVIDUAL else ("Taxpayer, by", "Name and title")
    members = tuple(f"Member: {wording.plain_line(name)}" for name in asked.members)
    return (*who, "Date", *(label for member in members for label in (member, "Date")))


def _cautions(asked: Asked, *, separate: bool) -> tuple[str, ...]:
    found = [
        "Have it signed before anything is shown: a later signature cures nothing.",
        "Who signs for a company must have authority to: the person who winds it up.",
        "Give the taxpayer a copy at signing; scan the signed form into the inbox; then `quietus consent record`.",
    ]
    if separate:
        found.append("Compare the statements with Rev. Proc. 2013-14 itself; keep each consent a document of its own.")
    if not asked.members:
        found.append("A member's own schedule needs that member's signature too: draw the form up with --member.")
    return tuple(found)
