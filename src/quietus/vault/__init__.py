"""Keys, sealed papers, catalog, journal. Nothing readable leaves this room unasked.

`create_vault` makes a vault, `open_vault` opens one, `Vault` is its face, `check_vault` verifies all of it. Around it:
locks (`keyring`), checkpoints and proofs of the journal (`checkpoint`). The format on disk is described byte by byte in
docs/vault-format.md.
"""

from quietus.vault.backup import (
    BackupReport,
    Copy,
    RestoreReport,
    back_up,
    copies,
    fetch_copy,
    forget_papers,
    read_copy,
    settle_restored,
    thin_out,
    verify_copy,
)
from quietus.vault.cards import Card
from quietus.vault.check import CheckReport, Problem, check_vault
from quietus.vault.checkpoint import (
    Checkpoint,
    compare_checkpoint,
    compare_fingerprint,
    make_checkpoint,
    proof_holds,
    prove_entry,
    prove_growth,
    read_checkpoint,
)
from quietus.vault.header import LockKind
from quietus.vault.journal import Entry
from quietus.vault.keyring import (
    LockView,
    add_lock,
    change_lock,
    find_lock,
    locks_of,
    new_key,
    remove_lock,
    renew_root,
)
from quietus.vault.opening import create_vault, open_vault
from quietus.vault.places import Place, place_at
from quietus.vault.rescue import JournalRewritten, rewrite_journal
from quietus.vault.signing import Signature, sign_statement, signed_by, signers, statement_holds
from quietus.vault.vault import Vault

__all__ = [
    "BackupReport",
    "Card",
    "CheckReport",
    "Checkpoint",
    "Copy",
    "Entry",
    "JournalRewritten",
    "LockKind",
    "LockView",
    "Place",
    "Problem",
    "RestoreReport",
    "Signature",
    "Vault",
    "add_lock",
    "back_up",
    "change_lock",
    "check_vault",
    "compare_checkpoint",
    "compare_fingerprint",
    "copies",
    "create_vault",
    "fetch_copy",
    "find_lock",
    "forget_papers",
    "locks_of",
    "make_checkpoint",
    "new_key",
    "open_vault",
    "place_at",
    "proof_holds",
    "prove_entry",
    "prove_growth",
    "read_checkpoint",
    "read_copy",
    "remove_lock",
    "renew_root",
    "rewrite_journal",
    "settle_restored",
    "sign_statement",
    "signed_by",
    "signers",
    "statement_holds",
    "thin_out",
    "verify_copy",
]
