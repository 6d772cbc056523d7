"""Settling what was not read surely: a person confirms, corrects, assigns or rejects. Every reading is kept."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from quietus.closing.intake import placer
from quietus.closing.matching import Place, place_with
from quietus.closing.office import Office
from quietus.closing.parts import check_counts
from quietus.model.entity import EIN_PATTERN, FEDERAL, JURISDICTIONS
from quietus.model.errors import Misuse
from quietus.model.kinds import Authority, Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import DATE_FIELDS, FIELDS, Reading, Value
from quietus.rules import expected_papers

FLAG_WORDS = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, slots=True)
class Question:
    """One paper that waits, and why.

    Attributes:
        paper: the paper.
        doubts: names of the fields in doubt.
        homeless: True when it belongs to nobody on the register.
    """

    paper: Paper
    doubts: tuple[str, ...]
    homeless: bool


def questions(office: Office, entity: str = "") -> tuple[Question, ...]:
    """Every paper that waits for a person, oldest first."""
    papers = office.vault.papers(entity or None)
    return tuple(
        Question(p, p.reading.doubts, p.standing is Standing.UNASSIGNED)
        for p in sorted(papers, key=lambda p: p.received)
        if p.waits
    )


def confirm(office: Office, paper_id: str, fields: tuple[str, ...] = ()) -> Paper:
    """Say that the values in doubt are as read: those named, or all of them.

    Raises:
        Misuse: the paper is not there or counts no more, or a field is not in doubt.
    """
    paper = _counting(office, paper_id)
    for name in fields:
        if name not in paper.reading.doubts:
            raise Misuse(f"{name} is not in doubt on that paper.", "See `quietus review` for what is.")
    values = {name: _by_person(paper.reading[name], office.who) for name in fields or paper.reading.doubts}
    return _settle(office, paper, values, "confirmed")


def correct(office: Office, paper_id: str, corrections: Mapping[str, str]) -> Paper:
    """Put a person's values in place of those read. An empty text says that the paper does not carry the value.

    Raises:
        Misuse: the paper or a field is not there, the paper counts no more, or a value is not of its form.
    """
    paper = _counting(office, paper_id)
    values = {
        name: replace(_by_person(paper.reading[name], office.who), value=parse_value(name, text))
        for name, text in corrections.items()
    }
    return _settle(office, paper, values, "corrected")


def assign(office: Office, paper_id: str, slug: str, expected: str = "") -> Paper:
    """Say which entity a paper belongs to and, when given, which expected paper it answers.

    Raises:
        Misuse: the paper, the entity or the expected paper is not there, or the paper counts no more.
    """
    paper = _counting(office, paper_id)
    entity = office.vault.entity(slug)
    if entity is None:
        raise Misuse("There is no such entity on the register.", "See `quietus entity list`.")
    wanted = expected_papers(entity, office.packs())
    if expected and expected not in {e.key for e in wanted}:
        raise Misuse(f"{expected} is not expected of that entity.", f"See `quietus verify {slug}` for what is.")
    found = place_with(paper.reading, entity, wanted)
    looked_at = {"entity_name"} | ({"kind", "form"} if expected else set())
    reading = _confirmed(found.reading, looked_at, office.who)
    return office.vault.add_reading(
        paper.id, reading, standing=Standing.FILED, entity=slug, expected=expected or found.expected, why="assigned"
    )


def reject(office: Office, paper_id: str, reason: str) -> Paper:
    """Say that a paper is no evidence. It stays sealed and listed; it never counts.

    Raises:
        Misuse: the paper is not there or counts no more, or no reason is given.
    """
    if not reason.strip():
        raise Misuse("A rejection needs a reason.", "Give it with --reason.")
    paper = _counting(office, paper_id)
    return office.vault.add_reading(
        paper.id,
        paper.reading,
        standing=Standing.REJECTED,
        entity=paper.entity,
        expected="",
        why=f"rejected: {reason.strip()}",
    )


def _counting(office: Office, paper_id: str) -> Paper:
    paper = office.vault.paper(paper_id)
    check_counts(paper)
    return paper


def parse_value(name: str, text: str) -> str | bool | None:
    """A person's text as the value of field `name`; empty text is None.

    Raises:
        Misuse: there is no such field, or the text is not of its form.
    """
    text = text.strip()
    if name not in FIELDS:
        raise Misuse(f"A reading has no field {name}.", f"The fields are {', '.join(FIELDS)}.")
    if not text:
        return None
    if name in {"stamped", "final_box"}:
        if text.lower() not in FLAG_WORDS:
            raise Misuse(f"{name} takes yes or no.", "Leave it empty to say that the paper has no such thing.")
        return FLAG_WORDS[text.lower()]
    if name in DATE_FIELDS:
        return _day(name, text)
    return _word(name, text)


def _day(name: str, text: str) -> str:
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise Misuse(f"{name} takes a date as YYYY-MM-DD.", "Write it like 2026-03-31.") from None


def _word(name: str, text: str) -> str:
    forms = {
        "kind": (text in set(Kind), f"one of {', '.join(Kind)}"),
        "authority": (text in set(Authority), f"one of {', '.join(Authority)}"),
        "jurisdiction": (text.upper() in JURISDICTIONS | {FEDERAL}, "a USPS code or US"),
        "ein": (bool(EIN_PATTERN.fullmatch(text)), "nine digits as NN-NNNNNNN"),
    }
    fits, expected = forms.get(name, (True, ""))
    if not fits:
        raise Misuse(f"{name} takes {expected}.", "Correct the value.")
    return text.upper() if name == "jurisdiction" else re.sub(r"\s+", " ", text)


def _by_person(value: Value, who: str) -> Value:
    return replace(value, confidence=1.0, review=False, method=f"person:{who}")


def _confirmed(reading: Reading, fields: set[str], who: str) -> Reading:
    """The reading with those of `fields` that are in doubt confirmed: who assigns a paper has looked at them."""
    values = {name: _by_person(reading[name], who) for name in fields if reading[name].review}
    return replace(reading, values={**reading.values, **values})


def _settle(office: Office, paper: Paper, values: Mapping[str, Value], why: str) -> Paper:
    """File a new reading that keeps all other values, and find the paper's place again with it."""
    reading = replace(paper.reading, values={**paper.reading.values, **values})
    found = _place_again(office, paper, reading)
    final = replace(found.reading, values={**found.reading.values, **values})  # a person's word beats the register's
    why = f"{why} {', '.join(sorted(values))}" if values else why
    return office.vault.add_reading(
        paper.id, final, standing=found.standing, entity=found.entity, expected=found.expected, why=why
    )


def _place_again(office: Office, paper: Paper, reading: Reading) -> Place:
    """A paper that has an owner keeps it; one that has none is matched anew."""
    entity = office.vault.entity(paper.entity) if paper.entity else None
    if entity is None:
        return placer(office)(reading)
    return place_with(reading, entity, expected_papers(entity, office.packs()))
