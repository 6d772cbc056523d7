"""Where everything stands in a vault's folder."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Layout:
    """The files of a vault.

    Attributes:
        folder: the vault's folder.
    """

    folder: Path

    @property
    def header(self) -> Path:
        """The locks; written last when a vault is made."""
        return self.folder / "vault.json"

    @property
    def catalog(self) -> Path:
        """The SQLCipher database; `-wal` and `-shm` stand beside it while it is in use."""
        return self.folder / "catalog.db"

    @property
    def journal(self) -> Path:
        """The journal file."""
        return self.folder / "journal.log"

    @property
    def objects(self) -> Path:
        """The folder of sealed papers."""
        return self.folder / "objects"

    @property
    def lock(self) -> Path:
        """The lock file; empty while nobody changes the vault."""
        return self.folder / "lock"

    @property
    def lasting(self) -> tuple[Path, ...]:
        """What every finished vault has."""
        return (self.header, self.catalog, self.journal, self.objects)

    def others(self) -> tuple[Path, ...]:
        """What stands in the folder without being one of the vault's files."""
        passing = (self.lock, *(self.catalog.with_name(self.catalog.name + end) for end in ("-wal", "-shm")))
        known = {*self.lasting, *passing}
        return tuple(sorted(path for path in self.folder.iterdir() if path not in known))
