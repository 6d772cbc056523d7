"""The office's config file: what it calls itself and where its things lie."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from quietus.model.errors import BadData, Misuse
from quietus.model.table import Table

CONFIG_NAME = "quietus.toml"

TEMPLATE = """\
# The office: what it calls itself and where its things lie. Paths are relative to this file.

[office]
name = ""                           # printed as "prepared by" on bundles; empty prints nothing

[places]
vault = "vault"                     # encrypted; back it up whole
inbox = "inbox"                     # drop scans here
rules = "rules"                     # your own jurisdiction packs, over those that come with quietus
retention = "retention_policies"    # your retention schedules
purposes = "purposes"               # your own bundle purposes, over those that come with quietus

[reading]
tesseract = ""                      # path of another recogniser; empty uses the one installed with quietus
workers = 0                         # papers read side by side; 0 is one for each core

[seal]
certificate = ""                    # PKCS #12 file to seal proofs with, its passphrase in QUIETUS_SEAL_PASSPHRASE;
                                    # empty uses a key of the office's own, made and kept in the vault
timestamp = ""                      # address of a time stamp service (RFC 3161); empty asks none
timestamp_root = ""                 # PEM file of the certificate that the service's chain ends in
"""


@dataclass(frozen=True, slots=True)
class SealConfig:
    """What proofs are sealed with.

    Attributes:
        certificate: a PKCS #12 file; None for the office's own key.
        timestamp: address of a time stamp service; empty for none.
        timestamp_root: PEM file that the service's chain has to end in.
    """

    certificate: Path | None = None
    timestamp: str = ""
    timestamp_root: Path | None = None


@dataclass(frozen=True, slots=True)
class Config:
    """What the config file says, with paths made absolute.

    Attributes:
        home: the folder that holds the config file.
        office_name: printed as "prepared by"; may be empty.
        vault: the vault's folder.
        inbox: the inbox folder.
        rules: the firm's own jurisdiction packs.
        retention: the firm's retention schedules.
        purposes: the firm's own bundle purposes.
        tesseract: path of a system recogniser; empty for the one installed with quietus.
        workers: papers read side by side; 0 for one a core.
        seal: what proofs are sealed with.
    """

    home: Path
    office_name: str
    vault: Path
    inbox: Path
    rules: Path
    retention: Path
    purposes: Path
    tesseract: str
    workers: int
    seal: SealConfig = SealConfig()


def read_toml(file: Path, limit: int) -> Table:
    """A TOML file that people edit, as a Table.

    Raises:
        Misuse: the file is missing, is larger than `limit` bytes, or can't be read.
        BadData: it is not TOML.
    """
    try:
        if file.stat().st_size > limit:
            raise Misuse(f"{file.name} is larger than {limit} bytes.", "Split it into several files.")
        return Table(file.name, tomllib.loads(file.read_text(encoding="utf-8")))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadData(file.name, _line_of(error), "valid TOML in UTF-8") from None
    except OSError as error:
        raise Misuse(f"{file.name} can't be read: {error.strerror}.", "Check the path and its permissions.") from None


def _line_of(error: ValueError) -> str:
    """Where a TOML error lies, without quoting the file's content."""
    text = str(error)
    return text[text.rfind("(at ") + 4 : -1] if "(at " in text else "the file"


def load_config(home: Path, limit: int) -> Config:
    """Read `quietus.toml` in the folder `home`.

    Raises:
        Misuse: there is none.
        BadData: a key is not as expected.
    """
    file = home / CONFIG_NAME
    if not file.is_file():
        raise Misuse(
            f"There is no {CONFIG_NAME} in that folder.",
            "Run `quietus init FOLDER` to make an office, or name its folder with --home or QUIETUS_HOME.",
        )
    top = read_toml(file, limit)
    office, places, reading = top.table("office"), top.table("places"), top.table("reading")
    seal = top.table("seal")
    root = home.resolve()
    config = Config(
        home=root,
        office_name=office.text("name", ""),
        vault=root / places.text("vault", "vault"),
        inbox=root / places.text("inbox", "inbox"),
        rules=root / places.text("rules", "rules"),
        retention=root / places.text("retention", "retention_policies"),
        purposes=root / places.text("purposes", "purposes"),
        tesseract=reading.text("tesseract", ""),
        workers=reading.number("workers", 0, most=256),
        seal=_seal(seal, root),
    )
    for table in (office, places, reading, seal, top):
        table.done()
    return config


def _seal(table: Table, root: Path) -> SealConfig:
    certificate, anchor = table.text("certificate", ""), table.text("timestamp_root", "")
    service = table.text("timestamp", "")
    if service and not anchor:
        raise table.wrong("timestamp_root", "the certificate of the time stamp service, since one is named")
    return SealConfig(root / certificate if certificate else None, service, root / anchor if anchor else None)


def find_home(start: Path) -> Path | None:
    """The nearest folder from `start` upwards that holds a config file, or None."""
    return next((folder for folder in (start, *start.parents) if (folder / CONFIG_NAME).is_file()), None)
