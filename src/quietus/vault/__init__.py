"""Keys, sealed papers, catalog, journal. Nothing readable leaves this room unasked.

`create_vault` makes a vault, `open_vault` opens one, `Vault` is its face, `check_vault` verifies all of it. The format
on disk is described byte by byte in docs/vault-format.md.
"""

from quietus.vault.check import CheckReport, Problem, check_vault
from quietus.vault.journal import Entry
from quietus.vault.opening import create_vault, open_vault
from quietus.vault.vault import Vault

__all__ = ["CheckReport", "Entry", "Problem", "Vault", "check_vault", "create_vault", "open_vault"]
