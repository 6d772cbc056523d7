"""Exhibits: each paper that goes out, with its letter, its file's name in the bag, and its facts in words. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from quietus.bundle import wording
from quietus.bundle.purposes import Form
from quietus.bundle.redaction import spots_to_hide
from quietus.bundle.selection import Included
from quietus.model.kinds import Authority
from quietus.model.paper import Paper
from quietus.model.reading import PrivateSort, PrivateSpot, Value, value_to_json

SHOWN = {
    "filing_date": "Dated",
    "signed_date": "Signed",
    "valid_until": "Valid until",
    "file_number": "File number",
    "stamped": "Office's mark",
}
"""Fields of the reading that a bundle tells, with their labels. No other value that was read off a paper goes out."""

_MOST_QUOTED = 32
"""Letters. Around a stamp, recognition picks up the rim as well; summary.json has all of it."""

_SUFFIXES = {"application/pdf": "pdf", "image/tiff": "tif", "image/jpeg": "jpg", "image/png": "png"}
_SORTS = {
    PrivateSort.SSN: "social security numbers",
    PrivateSort.EIN: "employer identification numbers",
    PrivateSort.ACCOUNT_NUMBER: "account numbers",
    PrivateSort.HOME_ADDRESS: "home addresses",
}
_TYPES = {"application/pdf": "PDF", "image/tiff": "TIFF", "image/jpeg": "JPEG", "image/png": "PNG"}


@dataclass(frozen=True, slots=True)
class Entry:
    """The journal's entry of a paper's filing: its number, and when it was written."""

    number: int
    at: datetime


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page of an exhibit.

    Attributes:
        number: 1-based page of the exhibit's file.
        turn: degrees clockwise (0, 90, 180, 270) that make it upright.
        received: 1-based page of the file as received.
    """

    number: int
    turn: int
    received: int


@dataclass(frozen=True, slots=True)
class Exhibit:
    """One paper as it goes out: as received, or as a redacted copy.

    Attributes:
        letter: A, B, … Z, AA, …
        item: the paper and the line it answers.
        file: path of its file in the bag.
        sheets: its pages, in order.
        sha256: of that file, hex; of a redacted copy once it is made.
        size: of that file in bytes.
        redacted: True when the file is a redacted copy.
        spots: what is blacked out in it.
    """

    letter: str
    item: Included
    file: str
    sheets: tuple[Sheet, ...]
    sha256: str
    size: int
    redacted: bool = False
    spots: tuple[PrivateSpot, ...] = ()

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
        return authority_of(self.paper)

    @property
    def media_type(self) -> str:
        """What its file is; a redacted copy is a PDF whatever the paper was."""
        return "application/pdf" if self.redacted else self.paper.media_type


def authority_of(paper: Paper) -> Authority:
    """The form of authority that was read off a paper; a plain copy when none was."""
    word = paper.reading.text("authority")
    return Authority(word) if word in set(Authority) else Authority.PLAIN


def exhibits_of(included: Sequence[Included]) -> tuple[Exhibit, ...]:
    """The exhibits in order. Papers that came in one file share its original, unless they are redacted.

    Args:
        included: the papers that go out; those told of in a line alone become no exhibit.
    """
    files: dict[str, str] = {}
    shown = (item for item in included if item.form is not Form.LINE)
    return tuple(_exhibit(number, item, files) for number, item in enumerate(shown))


def _exhibit(number: int, item: Included, files: dict[str, str]) -> Exhibit:
    paper, name = item.paper, f"{number + 1:02d}-{item.expected.kind.value}-{item.expected.scope}"
    sheets, letter = _sheets(paper), wording.letter(number)
    if item.form is Form.REDACTED:
        copied = tuple(replace(sheet, number=place) for place, sheet in enumerate(sheets, start=1))
        numbers = {sheet.received for sheet in sheets}
        spots = tuple(s for s in spots_to_hide(paper.reading, item.hide) if s.page in numbers)
        return Exhibit(letter, item, f"data/redacted/{name}.pdf", copied, "", 0, redacted=True, spots=spots)
    path = f"data/originals/{name}.{_SUFFIXES.get(paper.media_type, 'bin')}"
    return Exhibit(letter, item, files.setdefault(paper.sha256, path), sheets, paper.sha256, paper.size)


def _sheets(paper: Paper) -> tuple[Sheet, ...]:
    """The pages that the reading says are the paper's; all of its file when it says nothing."""
    if not paper.reading.pages:
        return tuple(Sheet(number, 0, number) for number in range(1, paper.pages + 1))
    return tuple(Sheet(view.number, view.turn, view.number) for view in paper.reading.pages)


def facts(exhibit: Exhibit, entry: Entry | None = None) -> list[dict[str, str]]:
    """The slip sheet's rows: label, value, and how the value was come by.

    Args:
        exhibit: whose.
        entry: of its filing in the journal, if a proof of it goes along.
    """
    paper, expected = exhibit.paper, exhibit.item.expected
    turned = any(sheet.turn for sheet in exhibit.sheets)
    pages = wording.count(len(exhibit.sheets), "page") + (", turned upright here" if turned else "")
    return [
        _fact("Kind of paper", expected.kind.words.capitalize()),
        _fact("Office or issuer", expected.issuer),
        _fact("Form of authority", exhibit.authority.capitalize(), wording.AUTHORITY[exhibit.authority]),
        *_read(exhibit.item),
        _fact("Pages", pages),
        _fact("Received", wording.moment(paper.received)),
        *_entered(exhibit, entry),
        *_consented(exhibit),
        *_files(exhibit),
        *(_fact("Rule" if number == 0 else "", str(source)) for number, source in enumerate(expected.sources)),
    ]


def _entered(exhibit: Exhibit, entry: Entry | None) -> list[dict[str, str]]:
    if entry is None:
        return []
    note = f"Proof that it is there: journal/exhibit-{exhibit.letter}.json"
    return [_fact("Journal", f"Entry {entry.number}, {wording.moment(entry.at)}", note)]


def _consented(exhibit: Exhibit) -> list[dict[str, str]]:
    if not exhibit.item.consent:
        return []
    return [_fact("Consent", "Shown with the taxpayer's consent", "The signed consent is on file with the preparer.")]


def _files(exhibit: Exhibit) -> list[dict[str, str]]:
    paper, here = exhibit.paper, exhibit.file.removeprefix("data/")
    kind = _TYPES.get(paper.media_type, paper.media_type)
    if not exhibit.redacted:
        return [_fact("File as received", here, f"{kind}, {wording.size(paper.size)}")]
    return [
        _fact("Redacted copy", here, f"PDF of pictures made for this purpose, {wording.size(exhibit.size)}"),
        _fact("File as received", f"{kind}, kept by the preparer", "It is not in this file, since it shows more."),
    ]


def blacked_out(exhibit: Exhibit) -> str:
    """What was done to a redacted copy, in a sentence or two; empty for any other exhibit."""
    if not exhibit.redacted:
        return ""
    made = "Every page is a picture made from the paper, and nothing lies under the black."
    if not exhibit.spots:
        return f"Redacted copy: no place on these pages had to be blacked out. {made}"
    sorts = dict.fromkeys(_SORTS[spot.sort] for spot in exhibit.spots)
    places = wording.count(len(exhibit.spots), "place")
    return f"Redacted by the preparer: {places} blacked out ({wording.listed(list(sorts))}). {made}"


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
            quoted = raw and len(raw) <= _MOST_QUOTED and field != "stamped"
            note = wording.how_read(value) + (f": “{raw}”" if quoted else "")
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
