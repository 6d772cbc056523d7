"""The catalog: one SQLCipher database, encrypted whole, spoken to through SQLAlchemy.

Only `engine` knows that it is SQLCipher; tables and statements are plain SQLAlchemy and would run on PostgreSQL.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    QueuePool,
    String,
    Table,
    Text,
    create_engine,
    event,
)
from sqlalchemy.exc import DBAPIError
from sqlcipher3 import dbapi2

from quietus.model.errors import Damaged, MachineFault

VERSION = 3
"""Version of the tables, kept in `about`. 2 has `cards`, 3 `erasing` and `receipts`; an older catalog gets the tables
that it lacks when it is opened."""

BUSY_SECONDS = 10.0

# Low bytes of SQLite result codes that are the machine's fault: no permission, busy, locked, no memory, read-only,
# input or output, full, cannot open. Every other code means that the file is not our catalog any more.
_MACHINE = frozenset({3, 5, 6, 7, 8, 10, 13, 14})

_PRAGMAS = (
    "cipher_compatibility = 4",  # the format in docs/vault-format.md, whatever later versions default to
    "journal_mode = WAL",
    "synchronous = FULL",
    "fullfsync = ON",
    "checkpoint_fullfsync = ON",
    "foreign_keys = ON",
    "temp_store = MEMORY",  # temporary files would be plaintext
    "secure_delete = ON",
)

metadata = MetaData()

about = Table("about", metadata, Column("name", String, primary_key=True), Column("value", String, nullable=False))

entities = Table(
    "entities",
    metadata,
    Column("slug", String, primary_key=True),
    Column("body", Text, nullable=False),  # JSON of the Entity, whole
)

papers = Table(
    "papers",
    metadata,
    Column("id", String, primary_key=True),
    Column("sha256", String, nullable=False, index=True),
    Column("name", String, nullable=False),
    Column("media_type", String, nullable=False),
    Column("size", Integer, nullable=False),
    Column("pages", Integer, nullable=False),
    Column("received", String, nullable=False),  # ISO 8601, UTC, microseconds: sorts as text
    Column("standing", String, nullable=False),
    Column("entity", String, ForeignKey("entities.slug")),  # NULL while it belongs to nobody
    Column("expected", String, nullable=False),
    Column("newest", Integer, nullable=False),  # number of the reading that counts
    Index("papers_of_entity", "entity", "received", "id"),
    Index("papers_received", "received", "id"),
)

data_keys = Table(
    "data_keys",
    metadata,
    Column("paper", String, ForeignKey("papers.id"), primary_key=True),
    Column("wrapped", LargeBinary, nullable=False),  # without this row the sealed paper can never be opened again
)

destroyed = Table(
    "destroyed",
    metadata,
    Column("paper", String, ForeignKey("papers.id"), primary_key=True),
    Column("at", String, nullable=False),
)

readings = Table(
    "readings",
    metadata,
    Column("paper", String, ForeignKey("papers.id"), primary_key=True),
    Column("number", Integer, primary_key=True),  # 1, 2, 3 … for each paper
    Column("at", String, nullable=False),
    Column("who", String, nullable=False),
    Column("body", Text, nullable=False),  # JSON of the Reading, whole
)

waivers = Table(
    "waivers",
    metadata,
    Column("entity", String, ForeignKey("entities.slug"), primary_key=True),
    Column("expected", String, primary_key=True),
    Column("body", Text, nullable=False),  # JSON of the Waiver, whole
)

journal = Table(
    "journal",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("batch", Integer, nullable=False),  # number of the first entry of the same transaction
    Column("end", Integer, nullable=False),  # bytes of the journal file up to and with this line
    Column("line", String, nullable=False),  # the line as it stands in the file, with its newline
    Column("hashes", LargeBinary, nullable=False),  # of the leaf, then of each larger Merkle subtree that it completes
)

journal_marks = Table(
    "journal_marks",
    metadata,
    Column("number", Integer, primary_key=True),  # the last entry before the mark
    Column("end", Integer, nullable=False),
    Column("sha256", String, nullable=False),  # of the file's bytes from the mark before to this one
)

former_roots = Table(
    "former_roots",
    metadata,
    Column("round", Integer, primary_key=True),
    Column("last", Integer, nullable=False),  # number of the last journal entry written under that root key
    Column("journal", LargeBinary, nullable=False),  # key of the journal's lines up to there
    Column("signer", String, nullable=False),  # public key that signed checkpoints, hex
)


def engine(path: Path, key: bytes) -> Engine:
    """The catalog at `path`, opened with a raw 256-bit key (no passphrase stretching by SQLCipher)."""

    def connect() -> Any:
        connection = dbapi2.connect(str(path), timeout=BUSY_SECONDS, isolation_level=None, check_same_thread=False)
        try:
            for pragma in (
                "cipher_log_level = NONE",  # else it writes to stderr what this room reports as an error
                f"key = \"x'{key.hex()}'\"",
                *_PRAGMAS,
            ):
                connection.execute(f"PRAGMA {pragma}").fetchall()
        except dbapi2.Error:
            connection.close()
            raise
        return connection

    made = create_engine(
        "sqlite+pysqlite://", module=dbapi2, creator=connect, poolclass=QueuePool, hide_parameters=True
    )
    event.listen(made, "begin", _begin)
    return made


def _begin(connection: Connection) -> None:
    if connection.get_execution_options().get("bare", False):
        return  # the write-ahead log is cut, and the file written anew, outside any transaction
    writing = connection.get_execution_options().get("writing", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


@contextmanager
def catalog_faults() -> Iterator[None]:
    """Turn the database's errors into the family's.

    Raises:
        Damaged: a page fails its authentication, or the file is no catalog. During a commit SQLite reports such a
            page as a lack of memory, since its pager knows no other failure of a codec; the two can't be told apart.
        MachineFault: disk full, no permission, or another program keeps it locked.
    """
    try:
        yield
    except DBAPIError as error:
        code = getattr(error.orig, "sqlite_errorcode", 1)
        if code & 0xFF not in _MACHINE:
            raise _damaged() from error
        raise MachineFault(
            "The catalog of the vault could not be read or written.",
            "Check that the disk has free space and that this account may write the vault's folder.",
        ) from error
    except MemoryError as error:
        raise Damaged(
            "The catalog of the vault could not be read or written: a page of it is damaged, or memory ran out.",
            "Close other programs and run `quietus check`; take the vault from a backup if it confirms the damage.",
        ) from error


def _damaged() -> Damaged:
    return Damaged(
        "The catalog of the vault is not as it was written.",
        "Run `quietus check`; take the vault from a backup if it confirms the damage.",
    )
