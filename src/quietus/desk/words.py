"""How the model's values read on a page."""

import re
from datetime import date

from markupsafe import Markup, escape

from quietus.model.entity import COMPANY, FEDERAL, Entity
from quietus.model.kinds import Kind
from quietus.model.reading import DATE_FIELDS, PrivateSort, Value

FIELD_WORDS = {
    "kind": "Kind of paper",
    "jurisdiction": "Jurisdiction",
    "filing_date": "Filing date",
    "entity_name": "Company name",
    "ein": "EIN",
    "file_number": "File number",
    "stamped": "Office's mark",
    "final_box": "Final-return box",
    "period_end": "Tax period end",
    "valid_until": "Valid until",
    "signed_date": "Signed or given on",
    "effective_date": "Effective date",
    "form": "Form number",
    "authority": "Form of authority",
}
FIELD_HINTS = {
    "jurisdiction": "The state the paper was filed with or came from; US for a federal paper.",
    "filing_date": "In the office's stamp, file mark or acknowledgment; never a date of signing, mailing or formation.",
    "ein": "Nine digits, written NN-NNNNNNN.",
    "file_number": "The filing office's number for the company.",
    "stamped": "Is the filing office's stamp, file mark or acknowledgment on the paper?",
    "final_box": "Is the box that says the return is final ticked?",
    "authority": "An office-stamped scan is not a copy certified by the office.",
}
FLAGS = {
    "stamped": {"yes": "The mark is there", "no": "There is no mark", "": "Not asked of this paper"},
    "final_box": {"yes": "Ticked", "no": "Not ticked", "": "No such box"},
}
"""For each yes-or-no field the words of its three answers, by what a form sends."""
SORTS = {
    PrivateSort.SSN: "Social security number or ITIN",
    PrivateSort.EIN: "EIN",
    PrivateSort.ACCOUNT_NUMBER: "Account, routing or card number",
    PrivateSort.HOME_ADDRESS: "Home address",
}
"""What stands at a place to cover."""
_METHODS = {
    "text-layer": "the file's own text",
    "ocr": "recognition of the picture",
    "stamp:chroma": "a stamp in coloured ink",
    "stamp:black": "a stamp in black",
    "file-mark": "the office's printed file mark",
    "pixels": "the pixels of the box",
    "form-field": "a field of the file",
    "text": "the mark typed beside it",
    "absent": "nothing was found",
}


def value_words(name: str, value: str | bool | None) -> str:
    """A value of field `name` for a person."""
    if name in FLAGS:
        return FLAGS[name]["" if value is None else "yes" if value else "no"]
    if value is None:
        return "not on this paper"
    if name == "kind":
        return Kind(str(value)).words
    if name == "jurisdiction":
        return "US (federal)" if value == FEDERAL else str(value)
    return str(value)


def read_words(name: str, value: Value) -> str:
    """What a reading says of field `name`: to have found nothing is not yet to know that nothing is there."""
    if value.value is None and value.review:
        return "nothing was found"
    return value_words(name, value.value)


def long_day(name: str, value: str | bool | None) -> str:
    """A date with its month in words, which can't be taken for the day; empty for anything else."""
    if name not in DATE_FIELDS or not isinstance(value, str):
        return ""
    day = date.fromisoformat(value)
    return f"{day:%A}, {day.day} {day:%B %Y}"


def confidence(value: Value) -> str:
    """How sure the reader is, or who settled it."""
    if value.method.startswith("person:"):
        return f"settled by {value.method.removeprefix('person:')}"
    if value.value is None:
        return f"{value.confidence:.0%} sure that there is nothing"
    return f"confidence {value.confidence:.0%}"


def method_words(method: str) -> str:
    """How a value was found; what the register added to it stays as it is."""
    if method.startswith("person:"):
        return f"a person ({method.removeprefix('person:')})"
    end = next((at for at, c in enumerate(method) if c in ",;"), len(method))
    return _METHODS.get(method[:end], method[:end]) + method[end:]


def scope_words(scope: str, entity: Entity) -> str:
    """A scope of the matrix."""
    if scope == COMPANY:
        return "Company"
    if scope == FEDERAL:
        return "US federal"
    return f"{scope} (home)" if scope == entity.home else scope


def key_words(key: str) -> str:
    """The key of an expected paper, for a person."""
    scope, _, kind = key.partition("/")
    words = Kind(kind).words if kind in set(Kind) else kind
    return words if scope == COMPANY else f"{scope} {words}"


def plain(text: str) -> str:
    """Text without control and direction-changing characters, so that a hostile file name can't rewrite the page."""
    return "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)


def with_code(text: str) -> Markup:
    """Text in which what stands between backticks is something to type."""
    return Markup(re.sub(r"`([^`]+)`", r"<code>\1</code>", str(escape(plain(text)))))  # noqa: S704 - escaped just here


def with_field_words(text: str) -> str:
    """Text in which fields are called what the pages call them."""
    return re.sub(rf"\b(?:{'|'.join(FIELD_WORDS)})\b", lambda name: f"“{FIELD_WORDS[name[0]]}”", text)


def state(blocking: int) -> str:
    """The state of a closing in words, by how many findings keep it from being proven."""
    return f"Not proven: {count(blocking, 'thing', 'things')} open" if blocking else "Proven closed"


def count(number: int, one: str, many: str) -> str:
    """`1 paper`, `2 papers`."""
    return f"{number} {one if number == 1 else many}"
