"""What bundles can be for: purposes as data, and the guard that keeps tax-return information out of them."""

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType

from quietus.model.errors import BadData, MachineFault
from quietus.model.kinds import Kind
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.table import Table

NEEDS_CONSENT = frozenset(
    {
        Kind.FINAL_RETURN,
        Kind.FINAL_K1,
        Kind.FINAL_EMPLOYMENT_RETURN,
        Kind.CORPORATE_LIQUIDATION_NOTICE,
        Kind.EIN_CLOSURE_LETTER,
        Kind.TAX_NOTICE,
    }
)
"""Kinds that are tax-return information, or that the revenue service sent about it. A preparer who shows them to
somebody without the taxpayer's consent commits an offence (26 U.S.C. 7216; Treas. Reg. 301.7216-1(b)(3) for what
counts, 301.7216-3 for the consent). No purpose may send them while there is no recorded consent to check against."""


class Reach(StrEnum):
    """Whose papers a purpose sends."""

    EVERYWHERE = "everywhere"
    ONE = "one-jurisdiction"


@dataclass(frozen=True, slots=True)
class Purpose:
    """What one kind of asker may see.

    Attributes:
        id: the word after `--for`.
        title: heading of the cover.
        intro: first sentence of the cover.
        caution: added to the caution that stands on every cover.
        reach: every jurisdiction, or the one that asks.
        goes_in: kinds that are sent, each with the reason.
        stays_out: kinds that are not, each with the reason.
        stays_out_otherwise: the reason for every kind named in neither.
        from_home: kinds that go along from other scopes when the reach is one jurisdiction.
    """

    id: str
    title: str
    intro: str
    caution: str
    reach: Reach
    goes_in: Mapping[Kind, str]
    stays_out: Mapping[Kind, str]
    stays_out_otherwise: str
    from_home: frozenset[Kind] = frozenset()

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
    goes_in, stays_out = _kinds(table, "goes_in"), _kinds(table, "stays_out")
    purpose = Purpose(
        id=table.text("id"),
        title=table.text("title"),
        intro=table.text("intro"),
        caution=table.text("caution", ""),
        reach=table.choice("reach", Reach),
        goes_in=MappingProxyType(goes_in),
        stays_out=MappingProxyType(stays_out),
        stays_out_otherwise=table.text("stays_out_otherwise"),
        from_home=frozenset(_kind(table, "from_home", word) for word in table.texts("from_home", ())),
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


def _kinds(table: Table, name: str) -> dict[Kind, str]:
    """Kinds with their reasons, from rows such as `[[goes_in]] kinds = [...] why = "..."`."""
    found: dict[Kind, str] = {}
    for row in table.tables(name):
        why = row.text("why")
        for word in row.texts("kinds"):
            kind = _kind(row, "kinds", word)
            if kind in found:
                raise row.wrong("kinds", f"each kind once, but {kind} is named again")
            found[kind] = why
        row.done()
    return found


def _kind(table: Table, name: str, word: str) -> Kind:
    try:
        return Kind(word)
    except ValueError:
        raise table.wrong(name, f"kinds of paper out of {', '.join(Kind)}") from None


def _check(table: Table, purpose: Purpose) -> None:
    """Refuse a purpose that contradicts itself or would send what needs a consent."""
    if not all(c.isascii() and (c.islower() or c.isdigit() or c == "-") for c in purpose.id):
        raise table.wrong("id", "lower case letters, digits and dashes")
    if not purpose.goes_in:
        raise table.wrong("goes_in", "at least one kind of paper")
    if NEEDS_CONSENT & set(purpose.goes_in):
        raise table.wrong(
            "goes_in", f"no tax-return information ({', '.join(sorted(NEEDS_CONSENT))}): it needs a consent"
        )
    if set(purpose.goes_in) & set(purpose.stays_out):
        raise table.wrong("stays_out", "kinds that are not in goes_in as well")
    if purpose.from_home and (purpose.reach is not Reach.ONE or not purpose.from_home <= set(purpose.goes_in)):
        raise table.wrong("from_home", "kinds out of goes_in, and only with reach = one-jurisdiction")
