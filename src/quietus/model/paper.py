"""A paper as received, and where it was filed."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from quietus.model.reading import Reading


class Standing(StrEnum):
    """Where a paper stands in the vault."""

    FILED = "filed"  # belongs to an entity
    UNASSIGNED = "unassigned"  # belongs to nobody on the register yet
    REJECTED = "rejected"  # a person said it is not evidence; kept, never counted
    REPLACED = "replaced"  # its pages were filed anew as other papers; kept as received, never counted


@dataclass(frozen=True, slots=True)
class Paper:
    """One document as received; its bytes are sealed and never change.

    Attributes:
        id: 32 hex digits, random, never used again.
        sha256: hash of the bytes as received, hex.
        name: the file's name in the inbox.
        media_type: `application/pdf`, `image/tiff`, `image/jpeg` or `image/png`.
        size: bytes.
        pages: page count of the file.
        received: when it was filed, UTC.
        standing: filed, unassigned or rejected.
        entity: slug of the entity it belongs to; empty when unassigned.
        expected: key of the expected paper it was filed under; empty when it meets none.
        reading: the reading that counts (the newest).
    """

    id: str
    sha256: str
    name: str
    media_type: str
    size: int
    pages: int
    received: datetime
    standing: Standing
    entity: str
    expected: str
    reading: Reading

    @property
    def waits(self) -> bool:
        """True while a person has to look before the paper may count."""
        return self.standing is Standing.UNASSIGNED or (self.standing is Standing.FILED and bool(self.reading.doubts))


@dataclass(frozen=True, slots=True)
class Stub:
    """What is left of a paper that was destroyed: enough for the journal to make sense, and nothing of the client.

    Attributes:
        id: 32 hex digits; never used again.
        sha256: hash of the bytes as received, hex.
        media_type: such as `application/pdf`.
        size: bytes.
        pages: page count of the file.
        received: when it was filed, UTC.
        destroyed: when its key was destroyed, UTC.
    """

    id: str
    sha256: str
    media_type: str
    size: int
    pages: int
    received: datetime
    destroyed: datetime
