"""Exhibits: each paper that goes out, with its letter, its file's name in the bag, and its facts in words. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from quietus.bundle import wording
from quietus.bundle.selection import Included
from quietus.model.findings import Mark
from quietus.model.kinds import Authority
from quietus.model.paper import Paper
from quietus.model.reading import Value, value_to_json

SHOWN = {
    "filing_date": "Dated",
    "signed_date": "Signed",
    "valid_until": "Valid until",
    "file_number": "File number",
    "stamped": "Office's mark",
}
"""Fields of the reading that a bundle tells, with their labels. No other value that was read off a paper goes out."""

_SUFFIXES = {"application/pdf": "pdf", "image/tiff": "tif", "image/jpeg": "jpg", "image/png": "png"}
_TYPES = {"application/pdf": "PDF", "image/tiff": "TIFF", "image/jpeg": "JPEG", "image/png": "PNG"}


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page of an exhibit.

    Attributes:
        number: 1-based page of the paper's file.
        turn: degrees clockwise (0, 90, 180, 270) that make it upright.
    """

    number: int
    turn: int


@dataclass(frozen=True, slots=True)
class Exhibit:
    """One paper as it goes out.

    Attributes:
        letter: A, B, … Z, AA, …
        item: the paper and the line it answers.
        file: path of its original in the bag.
        sheets: its pages, in order.
    """

    letter: str
    item: Included
    file: str
    sheets: tuple[Sheet, ...]

    @property
    def paper(self) -> Paper:
        """The paper."""
        return self.item.paper

    @property
    def title(self) -> str:
        """Its official title."""
        return wording.plain_line(self.item.expected.title)

    @property
    def authority(self) -> Authority:
        """The form of authority that was read off it; a plain copy when none was."""
        word = self.paper.reading.text("authority")
        return Authority(word) if word in set(Authority) else Authority.PLAIN


def exhibits_of(included: Sequence[Included]) -> tuple[Exhibit, ...]:
    """The exhibits in order. Papers that came in one file share its original."""
    files: dict[str, str] = {}
    exhibits = []
    for number, item in enumerate(included):
        name = f"{number + 1:02d}-{item.expected.kind.value}-{item.expected.scope}"
        path = f"data/originals/{name}.{_SUFFIXES.get(item.paper.media_type, 'bin')}"
        file = files.setdefault(item.paper.sha256, path)
        exhibits.append(Exhibit(wording.letter(number), item, file, _sheets(item.paper)))
    return tuple(exhibits)


def _sheets(paper: Paper) -> tuple[Sheet, ...]:
    """The pages that the reading says are the paper's; all of its file when it says nothing."""
    if not paper.reading.pages:
        return tuple(Sheet(number, 0) for number in range(1, paper.pages + 1))
    return tuple(Sheet(view.number, view.turn) for view in paper.reading.pages)


def facts(exhibit: Exhibit) -> list[dict[str, str]]:
    """The slip sheet's rows: label, value, and how the value was come by."""
    paper, expected = exhibit.paper, exhibit.item.expected
    turned = any(sheet.turn for sheet in exhibit.sheets)
    pages = wording.count(len(exhibit.sheets), "page") + (", turned upright here" if turned else "")
    kind = _TYPES.get(paper.media_type, paper.media_type)
    return [
        _fact("Kind of paper", expected.kind.words.capitalize()),
        _fact("Office or issuer", expected.issuer),
        _fact("Form of authority", exhibit.authority.capitalize(), wording.AUTHORITY[exhibit.authority]),
        *_read(exhibit.item),
        _fact("Pages", pages),
        _fact("Received", wording.moment(paper.received)),
        _fact("File as received", exhibit.file.removeprefix("data/"), f"{kind}, {wording.size(paper.size)}"),
        *(_fact("Rule" if number == 0 else "", str(source)) for number, source in enumerate(expected.sources)),
    ]


def _fact(label: str, value: str, note: str = "") -> dict[str, str]:
    return {"label": label, "value": wording.plain_line(value), "note": wording.plain_line(note)}


def _read(item: Included) -> list[dict[str, str]]:
    """What was read off the paper, each with page, method and the words that stand there."""
    rows = []
    filed = {"filing_date": "Filed"} if item.expected.office_mark or item.expected.kind.ends_registration else {}
    for field, label in (SHOWN | filed).items():
        value = item.paper.reading[field]
        if value.value is not None and not value.review:
            raw = wording.plain_line(value.raw)
            note = wording.how_read(value) + (f": “{raw}”" if raw and field != "stamped" else "")
            rows.append(_fact(label, told(value), note[0].upper() + note[1:]))
    return rows


def told(value: Value) -> str:
    """A value in words: a date as a U.S. reader expects it, yes or no, or the text itself."""
    if isinstance(value.value, bool):
        return "present" if value.value else "none seen"
    try:
        return wording.long_date(date.fromisoformat(value.value or ""))
    except ValueError:
        return value.value or ""


def readings(exhibit: Exhibit) -> dict[str, Any]:
    """The same values for machines: value, page, box, raw text and method by field."""
    shown = {field: exhibit.paper.reading[field] for field in SHOWN}
    return {
        field: {key: item for key, item in value_to_json(value).items() if key not in {"review", "confidence"}}
        for field, value in shown.items()
        if value.value is not None and not value.review
    }


def mark_of(item_mark: Mark, exhibits: Sequence[Exhibit]) -> Mark:
    """The mark as the recipient sees it: proven only with a paper to show for it."""
    return Mark.REVIEW if item_mark is Mark.PROVEN and not exhibits else item_mark
