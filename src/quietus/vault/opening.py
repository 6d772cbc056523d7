"""Making a vault, and opening one."""

import os
import secrets
import shutil
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine, insert, select, update

from quietus.model.errors import Damaged, Misuse
from quietus.model.limits import DEFAULT_LIMITS
from quietus.vault import catalog, locks
from quietus.vault.crypto import DEFAULT_COST, Cost, Keys
from quietus.vault.durable import FILE_MODE, TEMPORARY, machine_faults, make_folder, sync_folder, writers_turn
from quietus.vault.header import Header, Lock
from quietus.vault.headerfile import load_header, save_header
from quietus.vault.keyring import finish_renewal, former_catalogs_gone, settle_locks
from quietus.vault.layout import Layout
from quietus.vault.store import Actor, Store
from quietus.vault.vault import Vault

_RESTORE = "Take the vault from a backup."
_VERSIONS = frozenset(str(number) for number in range(1, catalog.VERSION + 1))


def create_vault(
    folder: Path, passphrase: bytes, *, who: str, clock: Callable[[], datetime], cost: Cost = DEFAULT_COST
) -> None:
    """Make an empty vault. It is built beside `folder` and moved there whole, so a crash leaves no half vault.

    Args:
        folder: where it shall stand; may exist if it is empty.
        passphrase: opens its first lock.
        who: the person or account that makes it, for the journal.
        clock: tells the time.
        cost: Argon2id parameters of the lock.

    Raises:
        Misuse: the folder holds something, is no folder, or the passphrase is empty or too long.
        MachineFault: the machine would not do it.
    """
    folder = folder.absolute()
    with machine_faults():
        if folder.exists() and not (folder.is_dir() and not any(folder.iterdir())):
            raise Misuse("The vault needs an empty folder.", "Choose a new folder for the vault.")
        header, keys = locks.new_header(passphrase, cost, who)
        folder.parent.mkdir(parents=True, exist_ok=True)
        building = Layout(folder.with_name(f"{TEMPORARY}{folder.name}-{secrets.token_hex(4)}"))
        try:
            _build(building, header, keys, Actor(who, header.locks[0].id, clock))
            os.rename(building.folder, folder)  # noqa: PTH104 (the crash tests put their faults on the calls of os)
            sync_folder(folder.parent)
        except BaseException:
            with suppress(OSError):
                shutil.rmtree(building.folder)
            raise


def open_vault(
    folder: Path,
    passphrase: bytes,
    *,
    who: str,
    clock: Callable[[], datetime],
    patience: float = DEFAULT_LIMITS.vault_wait_seconds,
) -> Vault:
    """Open a vault, and compare the end of its journal file with its catalog.

    What a crash left half done is finished or undone: entries that the journal file lacks are put there from the
    catalog, a change of the locks is settled. The vault's `notes` and the journal say so.

    Args:
        folder: where it stands.
        passphrase: what opens any of its locks: a passphrase, or the text of a recovery key or key file.
        who: the person or account that acts, for the journal.
        clock: tells the time.
        patience: seconds to wait, each time, for another process that is changing the vault.

    Raises:
        Misuse: there is no vault there, or a newer quietus wrote it.
        WrongKey: no lock opens with the passphrase.
        Damaged: a part of the vault is missing or not as it was written.
        MachineFault: the machine would not do it, or another quietus keeps the vault.
    """
    layout, header, keys, lock = unlocked(folder, passphrase)
    if not layout.catalog.exists():
        with writers_turn(layout.lock, patience):
            finish_renewal(layout)
    with machine_faults():
        missing = next((path.name for path in layout.lasting if not path.exists()), None)
    if missing:
        raise Damaged(f"{missing} is missing from the vault.", _RESTORE)
    vault = assemble(layout, keys, header, Actor(who, lock.id, clock), patience)
    try:
        older = _check_about(vault.store)
        with vault.store.changing(thorough=True) as connection:
            if older:
                _upgrade(vault.store, connection)
            settle_locks(vault.store, connection)
            former_catalogs_gone(vault.store)
    except BaseException:
        vault.close()
        raise
    return vault


def unlocked(folder: Path, passphrase: bytes) -> tuple[Layout, Header, Keys, Lock]:
    """Where the vault in `folder` stands, its header and keys, and the lock that opened; for this room only.

    Raises:
        Misuse, WrongKey, Damaged: see `open_vault`.
    """
    layout = Layout(folder.absolute())
    header = load_header(layout)
    keys, lock = locks.unlock(header, passphrase)
    return Layout(layout.folder, header.round), header, keys, lock


def assemble(layout: Layout, keys: Keys, header: Header, actor: Actor, patience: float) -> Vault:
    """A vault from its opened parts, with nothing compared yet; for this room only."""
    return Vault(Store(layout, keys, header, engine=_engine(layout, keys), actor=actor, patience=patience))


def _engine(layout: Layout, keys: Keys) -> Engine:
    return catalog.engine(layout.catalog, keys.subkey("catalog"))


def _build(layout: Layout, header: Header, keys: Keys, actor: Actor) -> None:
    make_folder(layout.folder)
    make_folder(layout.objects)
    for path in (layout.catalog, layout.journal):
        path.touch(mode=FILE_MODE)
    engine = _engine(layout, keys)
    with catalog.catalog_faults(), engine.begin() as connection:
        catalog.metadata.create_all(connection)
        facts = {"vault": keys.vault, "version": str(catalog.VERSION), "header": header.code}
        connection.execute(insert(catalog.about), [{"name": n, "value": v} for n, v in facts.items()])
    engine.dispose()
    with assemble(layout, keys, header, actor, DEFAULT_LIMITS.vault_wait_seconds) as vault:
        vault.record("vault-created", keys.vault, {})
    save_header(layout, header)


def _check_about(store: Store) -> bool:
    """True when the catalog has the tables of an older quietus."""
    with store.reading() as connection:
        facts = _about(connection)
    if facts.get("vault") != store.keys.vault:
        raise Damaged("The catalog belongs to another vault.", _RESTORE)
    version = facts.get("version", "")
    if version not in _VERSIONS:
        raise Misuse("The catalog was written by a newer quietus.", "Open it with the quietus that wrote it, or newer.")
    return version != str(catalog.VERSION)


def _about(connection: Connection) -> dict[str, str]:
    return {row.name: row.value for row in connection.execute(select(catalog.about))}


def _upgrade(store: Store, connection: Connection) -> None:
    """Add the tables that an older catalog lacks; it may have been done by another process meanwhile."""
    before = _about(connection)["version"]
    if before == str(catalog.VERSION):
        return
    catalog.metadata.create_all(connection)
    this = catalog.about.c.name == "version"
    connection.execute(update(catalog.about).where(this).values(value=str(catalog.VERSION)))
    store.write("catalog-upgraded", store.keys.vault, {"old": int(before), "new": catalog.VERSION})
