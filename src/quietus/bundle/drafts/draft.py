"""A letter or form for the preparer to check and sign, filled in from rules and values, as data.

What is missing is left as a line to fill in, and named, so that nothing is made up and nothing is forgotten.
"""

import string
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache

from quietus.bundle import wording
from quietus.bundle.drafts.rule_file import rule_file, source_of
from quietus.model.errors import Misuse
from quietus.model.expected import Source

BLANK = "_" * 28
"""Stands for what has to be filled in by hand."""

CAUTION = (
    "Not legal or tax advice. Check each rule's source and the day it was checked; the preparer or the client's "
    "counsel decides what is sent. Nothing here was sent or signed."
)


@dataclass(frozen=True, slots=True)
class Rule:
    """What law or practice asks of a letter.

    Attributes:
        says: what it asks, in words.
        must: words that the finished letter holds for it.
        source: where it comes from.
    """

    says: str
    must: tuple[str, ...]
    source: Source


@dataclass(frozen=True, slots=True)
class Template:
    """One letter in words, with what is to be filled in as `{name}`.

    Attributes:
        id: its word at the terminal.
        title: what it is.
        to: lines of the address.
        subject: its subject.
        body: paragraphs; see the head of `rules/letters.toml` for items, quotations and the table of facts.
        facts: label and value of each row of the table of facts.
        enclosures: what goes along.
        cautions: what the preparer should look at before signing.
        blanks: what each name stands for, in words, when it has to be filled in by hand.
        rules: what law or practice asks of it.
    """

    id: str
    title: str
    to: tuple[str, ...]
    subject: str
    body: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    enclosures: tuple[str, ...]
    cautions: tuple[str, ...]
    blanks: Mapping[str, str]
    rules: tuple[Rule, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """One piece of a letter's body.

    Attributes:
        sort: `paragraph`, `item`, `quote` or `facts`.
        text: its words; empty for facts.
        rows: label and value, for facts.
    """

    sort: str
    text: str = ""
    rows: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Draft:
    """A letter or form, filled in.

    Attributes:
        title: what it is.
        tag: stands at the head of every page.
        sender: lines of who sends it; empty for a form.
        on: its date; None for a form, which is dated when it is signed.
        to: lines of the address; empty for a form.
        subject: its subject.
        blocks: its body.
        signature: labels of the lines to sign on.
        enclosures: what goes along.
        blanks: what is left to fill in, in words.
        cautions: what the preparer should look at before signing.
        rules: what law or practice asks of it.
        points: size of its type.
    """

    title: str
    tag: str
    sender: tuple[str, ...]
    on: date | None
    to: tuple[str, ...]
    subject: str
    blocks: tuple[Block, ...]
    signature: tuple[str, ...]
    enclosures: tuple[str, ...]
    blanks: tuple[str, ...]
    cautions: tuple[str, ...]
    rules: tuple[Rule, ...]
    points: int = 11


LETTERS = ("copy", "clearance", "ein", "creditor", "newspaper", "bill", "notice")
"""The letters there are rules for."""


@cache
def template(name: str) -> Template:
    """The letter called `name`.

    Raises:
        Misuse: there is none.
    """
    if name not in LETTERS:
        raise Misuse("There is no such letter.", f"Choose one of {', '.join(LETTERS)}.")
    table = rule_file("letters.toml").table(name)
    blanks = table.table("blanks")
    return Template(
        id=name,
        title=table.text("title"),
        to=table.texts("to"),
        subject=table.text("subject"),
        body=table.texts("body"),
        facts=tuple((row.text("label"), row.text("value")) for row in table.tables("facts")),
        enclosures=table.texts("enclosures", ()),
        cautions=table.texts("cautions", ()),
        blanks={key: blanks.text(key) for key in blanks.names()},
        rules=tuple(Rule(row.text("says"), row.texts("must"), source_of(row)) for row in table.tables("rules")),
    )


def letter(
    name: str,
    values: Mapping[str, str],
    *,
    sender: Sequence[str],
    on: date,
    rules: Sequence[Rule] = (),
    cautions: Sequence[str] = (),
) -> Draft:
    """The letter called `name`, filled in.

    Args:
        name: one of `LETTERS`.
        values: what is known, by the names that stand in the letter; what is empty or not there is left blank.
        sender: lines of who sends it.
        on: its date.
        rules: further rules behind it, such as those of the jurisdiction.
        cautions: further cautions.

    Raises:
        Misuse: there is no such letter.
    """
    words, filling = template(name), _Filling({**values, "date": wording.long_date(on)})
    return Draft(
        title=words.title,
        tag="Draft: to be checked and signed",
        sender=tuple(wording.plain_line(line) for line in sender),
        on=on,
        to=tuple(map(filling.fill, words.to)),
        subject=filling.fill(words.subject),
        blocks=tuple(_block(filling, line, words.facts) for line in words.body),
        signature=("Signature", "Name and title"),
        enclosures=words.enclosures,
        blanks=tuple(words.blanks.get(key, key) for key in filling.missing),
        cautions=(*words.cautions, *cautions),
        rules=(*words.rules, *rules),
    )


def _block(filling: "_Filling", line: str, facts: Sequence[tuple[str, str]]) -> Block:
    if line == "@facts":
        return Block("facts", rows=tuple((label, filling.fill(value)) for label, value in facts))
    for mark, sort in (("- ", "item"), ("> ", "quote")):
        if line.startswith(mark):
            return Block(sort, filling.fill(line.removeprefix(mark)))
    return Block("paragraph", filling.fill(line))


class _Filling(string.Formatter):
    """Puts values in place of their names, and keeps the names of those that are missing, in order, each once."""

    def __init__(self, values: Mapping[str, str]) -> None:
        self._values = {key: wording.plain_line(value) for key, value in values.items()}
        self.missing: list[str] = []

    def fill(self, text: str) -> str:
        """The text with its names filled in. Values are put in as they are: names inside them mean nothing."""
        return self.vformat(text, (), self._values)

    def get_value(self, key: int | str, args: Sequence[object], kwargs: Mapping[str, object]) -> object:
        """The value of a name, or a line to fill in."""
        del args  # the texts know names only
        value = kwargs.get(str(key), "")
        if not value and key not in self.missing:
            self.missing.append(str(key))
        return value or BLANK
