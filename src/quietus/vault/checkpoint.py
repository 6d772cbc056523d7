"""Checkpoints of the journal, and proofs that go with them.

A checkpoint is a signed statement of how long the journal was and what its tree's root was. Kept elsewhere, it shows
any later edit, cut or roll-back. docs/vault-format.md checks proofs in a few lines.
"""

import base64
import hashlib
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select

from quietus.model.errors import Damaged, Misuse
from quietus.vault import catalog, journal, merkle
from quietus.vault.codecs import moment
from quietus.vault.crypto import sign, signed, signer
from quietus.vault.store import Store
from quietus.vault.vault import Vault

TITLE = "quietus checkpoint 1"
CHECKPOINT_BYTES = 4096

_TEXT = re.compile(
    rf"{TITLE}\n"
    r"vault (?P<vault>[0-9a-f]{32})\n"
    r"entries (?P<entries>[1-9][0-9]{0,9})\n"
    r"root (?P<root>[0-9a-f]{64})\n"
    r"at (?P<at>[0-9T:.+-]{32})\n"
    r"key (?P<key>[0-9a-f]{64})\n"
    r"signature (?P<signature>[0-9a-f]{128})\n"
)
_FINGERPRINT = re.compile(r"([1-9][0-9]{0,9})-([A-Z2-7]{32})")
_LOST = "Find out who had access to the vault's folder, and compare with your backups."


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """What the journal was at one moment.

    Attributes:
        vault: the vault's id.
        entries: how many there were.
        root: of their Merkle tree, 64 hex digits.
        at: when, as it stands in the text.
        key: Ed25519 public key of the vault, hex.
        signature: of the text up to the line of the key, hex.
    """

    vault: str
    entries: int
    root: str
    at: str
    key: str
    signature: str = ""

    @property
    def message(self) -> bytes:
        """What is signed: every line but the last."""
        return (
            f"{TITLE}\nvault {self.vault}\nentries {self.entries}\nroot {self.root}\nat {self.at}\nkey {self.key}\n"
        ).encode()

    @property
    def text(self) -> str:
        """The checkpoint as it stands in a file: seven lines."""
        return f"{self.message.decode()}signature {self.signature}\n"

    @property
    def fingerprint(self) -> str:
        """The checkpoint on a slip of paper: number of entries, and 32 letters and digits, four by four."""
        letters = _letters(self.vault, self.entries, self.root)
        return f"{self.entries}-" + "-".join(letters[at : at + 4] for at in range(0, len(letters), 4))


def read_checkpoint(data: bytes) -> Checkpoint:
    """The checkpoint in a file, its signature verified against the key it names.

    Raises:
        Misuse: it is none.
        Damaged: the signature does not fit.
    """
    found = _TEXT.fullmatch(data[: CHECKPOINT_BYTES + 1].decode("ascii", "replace"))
    if found is None:
        raise Misuse("That is no checkpoint.", "Give a file that `quietus checkpoint` wrote.")
    values: dict[str, Any] = {**found.groupdict(), "entries": int(found["entries"])}
    checkpoint = Checkpoint(**values)
    if not signed(bytes.fromhex(checkpoint.key), checkpoint.message, bytes.fromhex(checkpoint.signature)):
        raise Damaged("The signature of the checkpoint does not fit.", "Use another copy of the checkpoint.")
    return checkpoint


def make_checkpoint(vault: Vault) -> Checkpoint:
    """A checkpoint of the journal as it stands now."""
    store = vault.store
    with store.reading() as connection:
        return checkpoint_of(store, connection)


def checkpoint_of(store: Store, connection: Connection) -> Checkpoint:
    """A checkpoint of the journal as this connection sees it."""
    seed = store.keys.subkey("signing")
    entries = journal.head(connection).number
    root = journal.root(connection, entries).hex()
    at, key = moment(store.actor.clock()), signer(seed).hex()
    unsigned = Checkpoint(store.keys.vault, entries, root, at, key)
    return Checkpoint(store.keys.vault, entries, root, at, key, sign(seed, unsigned.message).hex())


def compare_checkpoint(vault: Vault, checkpoint: Checkpoint) -> int:
    """Compare the vault with a checkpoint that was kept elsewhere.

    Returns:
        How many entries the journal has grown by since.

    Raises:
        Misuse: it is of another vault.
        Damaged: the journal was edited, cut or rolled back since, or another key signed the checkpoint.
    """
    with vault.store.reading() as connection:
        if checkpoint.vault != vault.store.keys.vault:
            raise Misuse("The checkpoint is of another vault.", "Give one of this vault.")
        if checkpoint.key not in known_signers(vault.store, connection):
            raise Damaged("The checkpoint was not signed by this vault.", "Find out where it comes from.")
        return _compare(connection, checkpoint.entries, lambda root: root == checkpoint.root)


def compare_fingerprint(vault: Vault, fingerprint: str) -> int:
    """Compare the vault with a printed fingerprint; see `compare_checkpoint`.

    Raises:
        Misuse: it is no fingerprint.
        Damaged: the journal was edited, cut or rolled back since.
    """
    number, _, letters = fingerprint.partition("-")
    letters = re.sub(r"[\s-]", "", letters).upper()
    found = _FINGERPRINT.fullmatch(f"{number.strip()}-{letters}")
    if found is None:
        raise Misuse("That is no fingerprint.", "Give it as `quietus checkpoint` printed it: 123-ABCD-EFGH-…")
    entries, vault_id = int(found[1]), vault.store.keys.vault
    with vault.store.reading() as connection:
        return _compare(connection, entries, lambda root: _letters(vault_id, entries, root) == found[2])


def prove_entry(vault: Vault, number: int) -> dict[str, Any]:
    """Proof that one journal entry is in the journal that a checkpoint states, as plain JSON data.

    That of an entry which files a paper has the paper's hash, and the salt that shows that the entry commits to it.

    Raises:
        Misuse: there is no such entry.
    """
    store, table = vault.store, catalog.journal
    with store.reading() as connection:
        line = connection.execute(select(table.c.line).where(table.c.number == number)).scalar()
        if line is None:
            raise Misuse("The journal has no entry of that number.", "See `quietus journal`.")
        checkpoint = checkpoint_of(store, connection)
        path = merkle.inclusion(number - 1, checkpoint.entries, journal.subtrees(connection))
        named = _paper_named(store, connection, number) if "paper" in json.loads(line) else {}
    return {
        "proof": "inclusion",
        "number": number,
        "line": line.rstrip("\n"),
        "path": [step.hex() for step in path],
        "checkpoint": checkpoint.text,
        **named,
    }


def _paper_named(store: Store, connection: Connection, number: int) -> dict[str, Any]:
    details = next(journal.picked(connection, store.keys, [number])).details
    return {"paper": {"sha256": details["sha256"], "salt": details["salt"]}}


def prove_growth(vault: Vault, old: Checkpoint) -> dict[str, Any]:
    """Proof that the journal only grew since an old checkpoint, as plain JSON data.

    Raises:
        Misuse, Damaged: see `compare_checkpoint`.
    """
    compare_checkpoint(vault, old)
    store = vault.store
    with store.reading() as connection:
        new = checkpoint_of(store, connection)
        path = merkle.consistency(old.entries, new.entries, journal.subtrees(connection))
    return {
        "proof": "consistency",
        "path": [step.hex() for step in path],
        "old": old.text,
        "new": new.text,
    }


def proof_holds(proof: dict[str, Any]) -> bool:
    """Whether a proof that was exported holds; needs no vault.

    Raises:
        Misuse: it is no proof.
        Damaged: a checkpoint in it does not bear its signature.
    """
    try:
        path = [bytes.fromhex(step) for step in proof["path"]]
        if proof["proof"] == "inclusion":
            new = read_checkpoint(proof["checkpoint"].encode())
            hashed = merkle.leaf(proof["line"].encode())
            if not _shows_paper(proof):
                return False
            return merkle.includes(hashed, proof["number"] - 1, new.entries, path, bytes.fromhex(new.root))
        old, new = read_checkpoint(proof["old"].encode()), read_checkpoint(proof["new"].encode())
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise Misuse("That is no proof.", "Give a file that `quietus checkpoint` wrote.") from error
    roots = bytes.fromhex(old.root), bytes.fromhex(new.root)
    return old.vault == new.vault and merkle.grew(old.entries, new.entries, path, *roots)


def _compare(connection: Connection, entries: int, fits: Callable[[str], bool]) -> int:
    now = journal.head(connection).number
    if now < entries:
        raise Damaged(
            f"The journal has {now} entries, but had {entries} at the checkpoint: an older copy was put back.",
            _LOST,
        )
    if not fits(journal.root(connection, entries).hex()):
        raise Damaged("The journal is not the one that the checkpoint was made of.", _LOST)
    return now - entries


def known_signers(store: Store, connection: Connection) -> set[str]:
    """Public keys, hex, that this vault signs with now and signed with before its root key was renewed."""
    former = connection.execute(select(catalog.former_roots.c.signer)).scalars()
    return {signer(store.keys.subkey("signing")).hex(), *former}


def _letters(vault: str, entries: int, root: str) -> str:
    digest = hashlib.sha256(f"quietus fingerprint 1\n{vault}\n{entries}\n{root}\n".encode()).digest()
    return base64.b32encode(digest[:20]).decode()


def _shows_paper(proof: dict[str, Any]) -> bool:
    """Whether the line commits to the paper that the proof names, if it names one."""
    named = proof.get("paper")
    return named is None or json.loads(proof["line"])["paper"] == journal.commitment(named["sha256"], named["salt"])
