"""What several layouts need."""

import re
from datetime import date, timedelta

from quietus.model.kinds import Authority, Kind
from tests.corpus import ticks
from tests.corpus.doc import Doc
from tests.corpus.invent import Case, wording

FILINGS = (Kind.DISSOLUTION, Kind.WITHDRAWAL)


def sentences(layout: str, part: str, case: Case, **more: str) -> list[str]:
    """The paragraphs of a part of a layout, with the case's facts filled in."""
    return [" ".join(text.split()).format(**case.facts, **more) for text in wording()[layout][part]]


def title_of(case: Case, kind: Kind) -> str:
    """What the place calls this filing."""
    if kind is Kind.WINDING_UP_NOTICE:
        return case.place.winding_up
    return case.dice.choice(case.place.dissolution if kind is Kind.DISSOLUTION else case.place.withdrawal)


def sort_of(kind: Kind) -> str:
    """The line under a filing's title."""
    return "Foreign limited liability company" if kind is Kind.WITHDRAWAL else "Domestic limited liability company"


def filing(doc: Doc, case: Case, kind: Kind, **more: str | bool) -> None:
    """Note what is true of a filing, but for the office's mark."""
    doc.truth |= {
        "kind": kind.value,
        "jurisdiction": case.place.code,
        "entity_name": case.name,
        "file_number": case.number,
        "signed_date": case.signed.isoformat(),
        **more,
    }


def letter(doc: Doc, case: Case, kind: Kind, dated: date, **more: str | bool) -> None:
    """Note what is true of a letter, a certificate or a paper of the company's own."""
    doc.truth |= {
        "kind": kind.value,
        "entity_name": case.name,
        "signed_date": dated.isoformat(),
        "authority": Authority.PLAIN.value,
        **more,
    }


def effective(doc: Doc, case: Case) -> str:
    """When the filing takes effect, in words: mostly at once, sometimes on a later day."""
    if case.dice.random() < 0.75:
        return case.pick("upon filing", "on the date of filing by this office", "when filed")
    later = case.filed + timedelta(case.dice.randrange(8, 80))
    doc.truth["effective_date"] = later.isoformat()
    return case.day(later)


def choices(
    doc: Doc,
    case: Case,
    labels: list[str],
    spots: list[tuple[float, float]],
    shape: str,
    *,
    after: bool = False,
    size: float = 9,
) -> None:
    """Return boxes at the places given, `labels` beside them; the label that says final is ticked or not.

    Args:
        doc: the paper.
        case: whose.
        labels: one of them says final.
        spots: left end of each box.
        shape: one of `ticks.SHAPES`.
        after: True when the label stands before its box.
        size: of the box, in points.
    """
    (final,) = [label for label in labels if re.search(r"\bfinal\b", label, re.IGNORECASE)]
    ticked = case.chance(0.62)
    marks = dict.fromkeys(labels, "")
    if ticked:
        marks[final] = case.dice.choice(ticks.MARKS[shape])
    if case.chance(0.3):
        other = case.dice.choice([label for label in labels if label != final])
        marks[other] = case.dice.choice(ticks.MARKS[shape])
    doc.truth["final_box"] = ticked
    doc.box = f"{shape}: {marks[final] or 'empty'}"
    small = doc.look.size * 0.86
    for number, (label, (x, y)) in enumerate(zip(labels, spots, strict=True)):
        name = f"c1_{number}"
        if after:
            end = doc.write(x, y, label, size=small)
            ticks.box(doc, end + 5, y - 1, shape, marks[label], size=size, name=name)
        else:
            wide = ticks.box(doc, x, y - 1, shape, marks[label], size=size, name=name)
            doc.write(x + wide + 4, y, label, size=small)


def shape_of(doc: Doc, case: Case, *shapes: str) -> str:
    """The shape of this paper's boxes; a form field on most born-digital ones."""
    return "acro" if doc.born and case.chance(0.8) else case.dice.choice(shapes)
