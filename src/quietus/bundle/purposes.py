"""What bundles can be for: purposes as data. Each says which kinds of paper go in, in what form, and what is hidden."""

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType

from quietus.bundle.drafts.consent_rules import needs_consent
from quietus.model.errors import BadData, MachineFault
from quietus.model.kinds import Kind
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import PrivateSort
from quietus.model.table import Table


class Reach(StrEnum):
    """Whose papers a purpose sends."""

    EVERYWHERE = "everywhere"
    ONE = "one-jurisdiction"


class Form(StrEnum):
    """In what form a paper goes out."""

    FULL = "full"  # its pages, and its file as received
    REDACTED = "redacted"  # its pages drawn anew with what is private covered; the file as received stays
    LINE = "certificate-line"  # a line in the summary that tells of it; neither pages nor file


EVERY_SORT = frozenset(sort.value for sort in PrivateSort)
"""What is hidden when a purpose does not say: rather too much than too little."""


@dataclass(frozen=True, slots=True)
class Sent:
    """How papers of one kind go out.

    Attributes:
        why: the reason, one sentence.
        form: the most that goes out of them; one that shows what is to be hidden goes out redacted at most.
        hide: what is covered before they go, values of `PrivateSort`.
    """

    why: str
    form: Form = Form.FULL
    hide: frozenset[str] = EVERY_SORT


@dataclass(frozen=True, slots=True)
class Purpose:
    """What one kind of asker may see.

    Attributes:
        id: the word after `--for`.
        title: heading of the cover.
        intro: first sentence of the cover.
        caution: added to the caution that stands on every cover.
        reach: every jurisdiction, or the one that asks.
        goes_in: kinds that are sent, each with the reason, the form, and what is hidden. Those that are tax-return
            information leave only under a consent, whatever stands here.
        stays_out: kinds that are not, each with the reason.
        stays_out_otherwise: the reason for every kind named in neither.
        from_home: kinds that go along from other scopes when the reach is one jurisdiction.
        hide: what is hidden in kinds that do not say it themselves, values of `PrivateSort`.
        to_taxpayer: True for the client's own copy, which needs no consent and goes to nobody else.
        letter: paragraphs of the cover letter.
    """

    id: str
    title: str
    intro: str
    caution: str
    reach: Reach
    goes_in: Mapping[Kind, Sent]
    stays_out: Mapping[Kind, str]
    stays_out_otherwise: str
    from_home: frozenset[Kind] = frozenset()
    hide: frozenset[str] = EVERY_SORT
    to_taxpayer: bool = False
    letter: tuple[str, ...] = ()

    def covers(self, scope: str, kind: Kind, jurisdiction: str) -> bool:
        """True when a paper of `kind` in `scope` answers this purpose, asked for `jurisdiction`."""
        if kind not in self.goes_in:
            return False
        return self.reach is Reach.EVERYWHERE or scope == jurisdiction or kind in self.from_home

    def why_out(self, kind: Kind) -> str:
        """Why a paper of `kind` is not sent."""
        if kind in self.goes_in:
            return "It belongs to a jurisdiction that this answer is not about."
        return self.stays_out.get(kind, self.stays_out_otherwise)

    @property
    def needs_consent(self) -> frozenset[Kind]:
        """The kinds that it sends only under the taxpayer's consent."""
        return frozenset() if self.to_taxpayer else needs_consent() & set(self.goes_in)


def load_purposes(folders: Sequence[Path] = ()) -> Mapping[str, Purpose]:
    """The purposes that come with quietus, and those in the firm's `folders`, which win over others of the same id.

    Raises:
        BadData: a file does not hold what is expected.
        MachineFault: a file or folder can't be read.
    """
    shipped = files("quietus.bundle") / "purpose_files"
    purposes: dict[str, Purpose] = {}
    for folder in (shipped, *folders):
        for purpose in _folder(folder):
            purposes[purpose.id] = purpose
    return MappingProxyType(purposes)


def _folder(folder: Traversable) -> Iterable[Purpose]:
    try:
        found = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
        texts = [(file.name, file.read_bytes()) for file in found]
    except OSError as error:
        raise MachineFault(
            f"The purposes can't be read: {error.strerror}.", "Check the folder and its permissions."
        ) from None
    return [purpose_from(name, text) for name, text in texts]


def purpose_from(file: str, text: bytes) -> Purpose:
    """One purpose from the bytes of a TOML file called `file`.

    Raises:
        BadData: it does not hold what is expected.
    """
    table = Table(file, _parsed(file, text))
    hide = _hidden(table, EVERY_SORT)
    purpose = Purpose(
        id=table.text("id"),
        title=table.text("title"),
        intro=table.text("intro"),
        caution=table.text("caution", ""),
        reach=table.choice("reach", Reach),
        goes_in=MappingProxyType(_sent(table, hide)),
        stays_out=MappingProxyType(_reasons(table)),
        stays_out_otherwise=table.text("stays_out_otherwise"),
        from_home=frozenset(_kind(table, "from_home", word) for word in table.texts("from_home", ())),
        hide=hide,
        to_taxpayer=table.flag("to_taxpayer", False),
        letter=table.texts("letter", ()),
    )
    table.done()
    _check(table, purpose)
    return purpose


def _parsed(file: str, text: bytes) -> Mapping[str, object]:
    if len(text) > DEFAULT_LIMITS.register_bytes:
        raise BadData(file, "the file", f"at most {DEFAULT_LIMITS.register_bytes} bytes")
    try:
        return tomllib.loads(text.decode("utf-8"))
    except UnicodeDecodeError:
        raise BadData(file, "the file", "text in UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise BadData(file, "the file", f"well-formed TOML ({error})") from None


def _sent(table: Table, hide: frozenset[str]) -> dict[Kind, Sent]:
    """Kinds that go in, from rows such as `[[goes_in]] kinds = [...] why = "..." form = "redacted" hide = [...]`."""
    found: dict[Kind, Sent] = {}
    for row in table.tables("goes_in"):
        sent = Sent(row.text("why"), row.choice("form", Form, Form.FULL), _hidden(row, hide))
        found |= dict.fromkeys(_row_kinds(row, found), sent)
    return found


def _reasons(table: Table) -> dict[Kind, str]:
    """Kinds that stay out with their reasons, from rows such as `[[stays_out]] kinds = [...] why = "..."`."""
    found: dict[Kind, str] = {}
    for row in table.tables("stays_out"):
        why = row.text("why")
        found |= dict.fromkeys(_row_kinds(row, found), why)
    return found


def _row_kinds(row: Table, before: Iterable[Kind]) -> list[Kind]:
    kinds: list[Kind] = []
    for word in row.texts("kinds"):
        kind = _kind(row, "kinds", word)
        if kind in kinds or kind in before:
            raise row.wrong("kinds", f"each kind once, but {kind} is named again")
        kinds.append(kind)
    row.done()
    return kinds


def _hidden(table: Table, default: frozenset[str]) -> frozenset[str]:
    if not table.has("hide"):
        return default
    named = frozenset(table.texts("hide"))
    if not named <= EVERY_SORT:
        raise table.wrong("hide", f"some of {', '.join(sorted(EVERY_SORT))}")
    return named


def _kind(table: Table, name: str, word: str) -> Kind:
    try:
        return Kind(word)
    except ValueError:
        raise table.wrong(name, f"kinds of paper out of {', '.join(Kind)}") from None


def _check(table: Table, purpose: Purpose) -> None:
    """Refuse a purpose that contradicts itself."""
    if not all(c.isascii() and (c.islower() or c.isdigit() or c == "-") for c in purpose.id):
        raise table.wrong("id", "lower case letters, digits and dashes")
    if not purpose.goes_in:
        raise table.wrong("goes_in", "at least one kind of paper")
    if set(purpose.goes_in) & set(purpose.stays_out):
        raise table.wrong("stays_out", "kinds that are not in goes_in as well")
    if purpose.from_home and (purpose.reach is not Reach.ONE or not purpose.from_home <= set(purpose.goes_in)):
        raise table.wrong("from_home", "kinds out of goes_in, and only with reach = one-jurisdiction")
