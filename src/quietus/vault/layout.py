"""Where everything stands in a vault's folder."""

import re
from dataclasses import dataclass
from pathlib import Path

_CATALOG = re.compile(r"catalog(?:-(?P<round>[0-9]{1,7}))?\.db(?:-wal|-shm)?")


@dataclass(frozen=True, slots=True)
class Layout:
    """The files of a vault.

    Attributes:
        folder: the vault's folder.
        round: number of the root key; each has a catalog file of its own name.
    """

    folder: Path
    round: int = 1

    @property
    def header(self) -> Path:
        """The locks; written last when a vault is made."""
        return self.folder / "vault.json"

    @property
    def catalog(self) -> Path:
        """The SQLCipher database; `-wal` and `-shm` stand beside it while it is in use."""
        return self.folder / ("catalog.db" if self.round == 1 else f"catalog-{self.round}.db")

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

    @property
    def catalog_log(self) -> Path:
        """The catalog's write-ahead log."""
        return self.catalog.with_name(f"{self.catalog.name}-wal")

    def other_catalogs(self, *, later: bool) -> tuple[Path, ...]:
        """Catalogs under another root key, earlier or later than this one, and what stands beside them."""
        return tuple(
            path
            for path in sorted(self.folder.iterdir())
            if (found := _CATALOG.fullmatch(path.name))
            and (number := int(found["round"] or 1)) != self.round
            and (number > self.round) is later
        )

    def others(self) -> tuple[Path, ...]:
        """What stands in the folder without being one of the vault's files."""
        passing = (self.lock, self.catalog_log, self.catalog.with_name(f"{self.catalog.name}-shm"))
        known = {*self.lasting, *passing}
        return tuple(sorted(path for path in self.folder.iterdir() if path not in known))
