"""Every attack on the journal: by somebody who can write to the folder, and by somebody who has the root key too."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, delete

from quietus.model.errors import Damaged, QuietusError
from quietus.vault import (
    Checkpoint,
    Vault,
    catalog,
    check_vault,
    compare_checkpoint,
    compare_fingerprint,
    journal,
    make_checkpoint,
)
from tests.vault.make import WAIVER, file, made, opened

Lines = list[bytes]

OUTSIDE: dict[str, Callable[[Lines], Lines]] = {
    "edit": lambda n: [*n[:3], n[3].replace(b"2026", b"2025", 1), *n[4:]],
    "edit the newest": lambda n: [*n[:-1], n[-1].replace(b"2026", b"2025", 1)],
    "delete": lambda n: [*n[:3], *n[4:]],
    "delete the first": lambda n: n[1:],
    "delete all": lambda n: [],
    "reorder": lambda n: [*n[:3], n[4], n[3], *n[5:]],
    "repeat": lambda n: [*n[:4], n[3], *n[4:]],
    "append": lambda n: [*n, n[-1]],
    "truncate": lambda n: n[:-3],
    "truncate inside a line": lambda n: [*n[:-3], n[-3][:-1]],
}
"""On the journal file alone."""

Entries = list[dict[str, Any]]
INSIDE: dict[str, Callable[[Entries], Entries]] = {
    "edit": lambda n: [*n[:3], {**n[3], "who": "somebody else"}, *n[4:]],
    "edit the newest": lambda n: [*n[:-1], {**n[-1], "who": "somebody else"}],
    "delete": lambda n: [*n[:3], *n[4:]],
    "delete the newest": lambda n: n[:-1],
    "delete all but one": lambda n: n[:1],
    "reorder": lambda n: [*n[:3], n[4], n[3], *n[5:]],
    "insert": lambda n: [*n[:3], n[3], *n[3:]],
    "delete one and append another": lambda n: [*n[:3], *n[4:], n[-1]],
    "write the same anew": list,
}
"""With the root key: lines sealed anew, the tree of hashes, the marks and the file all made to fit."""


def attack(room: Path) -> tuple[int, list[str]]:
    """Try all of them; returns how many, and those that went unnoticed."""
    vault_folder = made(room / "vault")
    with opened(vault_folder) as vault:
        for number in range(6):
            vault.record("noted", str(number), {"number": number})
        old = shutil.copytree(vault_folder, room / "old")
        file(vault, b"one")
        vault.put_waiver(WAIVER)
        kept = make_checkpoint(vault)
    missed, tried = [], 0
    for name, change in OUTSIDE.items():
        tried += 1
        if not _noticed_outside(shutil.copytree(vault_folder, room / "trial"), change):
            missed.append(f"file: {name}")
        shutil.rmtree(room / "trial")
    for name, forge in INSIDE.items():
        tried += 2
        with opened(shutil.copytree(vault_folder, room / "trial")) as vault:
            _forge(vault, forge)
            assert check_vault(vault).sound, "the forgery is meant to be perfect"
            missed += [f"root key: {name}, {how}" for how in _unnoticed(vault, kept)]
        shutil.rmtree(room / "trial")
    for steps in (0, 1, 5):  # put back as it was, and then used further
        tried += 2
        with opened(shutil.copytree(old, room / "trial")) as vault:
            for number in range(steps):
                vault.record("noted", str(number), {})
            assert check_vault(vault).sound, "an old copy is whole in itself"
            missed += [f"old copy and {steps} entries, {how}" for how in _unnoticed(vault, kept)]
        shutil.rmtree(room / "trial")
    with opened(vault_folder) as vault:
        assert compare_checkpoint(vault, kept) == 0
    return tried, missed


def _noticed_outside(folder: Path, change: Callable[[Lines], Lines]) -> bool:
    path = folder / "journal.log"
    path.write_bytes(b"".join(change(path.read_bytes().splitlines(keepends=True))))
    try:
        with opened(folder) as vault:
            return not check_vault(vault).sound
    except QuietusError:
        return True


def _unnoticed(vault: Vault, kept: Checkpoint) -> list[str]:
    missed = []
    ways: dict[str, Callable[[], int]] = {
        "checkpoint": lambda: compare_checkpoint(vault, kept),
        "fingerprint": lambda: compare_fingerprint(vault, kept.fingerprint),
    }
    for how, compare in ways.items():
        try:
            compare()
        except Damaged:
            continue
        missed.append(how)
    return missed


def _forge(vault: Vault, change: Callable[[Entries], Entries]) -> None:
    """Write another history with the vault's own keys."""
    store = vault.store
    entries: Entries = [
        {"at": e.at, "who": e.who, "lock": e.lock, "action": e.action, "about": e.about, "details": e.details}
        for e in vault.journal()
    ]
    with store.changing() as connection:
        _emptied(connection)
        for entry in change(json_copy(entries)):
            said = {name: value for name, value in entry.items() if name != "at"}
            paper = said["details"].get("sha256", "") if "salt" in said["details"] else ""
            journal.write(connection, store.keys, None, entry["at"], said, paper=paper)
        text = "".join(journal.lines(connection))
        store.afterwards(lambda: (store.layout.journal.write_text(text), None)[1])


def json_copy(entries: Entries) -> Entries:
    """The entries, independent of each other."""
    return [{**entry, "details": json.loads(json.dumps(entry["details"]))} for entry in entries]


def _emptied(connection: Connection) -> None:
    connection.execute(delete(catalog.journal))
    connection.execute(delete(catalog.journal_marks))
