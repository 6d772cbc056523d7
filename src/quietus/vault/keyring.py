"""The locks of an open vault: adding, changing and removing them, and a new root key that leaves the papers alone.

A change of the locks is announced in the catalog, then made in vault.json, then settled in the catalog: so an older
vault.json that is put back beside the catalog, with a lock that was removed, is noticed.
"""

import os
import secrets
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, insert, select, update
from sqlalchemy.exc import DBAPIError

from quietus.model.errors import Damaged, Misuse, WrongKey
from quietus.vault import catalog, journal
from quietus.vault.crypto import DEFAULT_COST, KEY_BYTES, Cost, Keys, signer, unwrap, wrap
from quietus.vault.durable import TEMPORARY, append, machine_faults, sync_folder
from quietus.vault.header import Header, Lock, LockKind, header_of
from quietus.vault.headerfile import save_header
from quietus.vault.keytext import key_text
from quietus.vault.layout import Layout
from quietus.vault.locks import lock_name, new_lock, open_lock
from quietus.vault.store import Store
from quietus.vault.vault import Vault

_LIST = "List the locks with `quietus lock list`."


@dataclass(frozen=True, slots=True)
class LockView:
    """A lock as people see it.

    Attributes:
        id: 16 hex digits.
        kind: `passphrase`, `recovery` or `key-file`.
        name: whose it is, or where it is kept.
        cost: Argon2id parameters; None for a random key.
        dated: whether a guess at it costs less than at a lock made today.
        in_use: whether the vault was opened with it.
    """

    id: str
    kind: LockKind
    name: str
    cost: Cost | None
    dated: bool
    in_use: bool


def locks_of(vault: Vault) -> tuple[LockView, ...]:
    """Every lock of the vault, in the order they were added."""
    store = vault.store
    return tuple(_view(store, lock) for lock in store.header.locks)


def find_lock(vault: Vault, id_or_name: str) -> LockView:
    """The lock with this id, the beginning of it, or this name.

    Raises:
        Misuse: there is none, or more than one.
    """
    found = [v for v in locks_of(vault) if v.name == id_or_name or (id_or_name and v.id.startswith(id_or_name))]
    if len(found) != 1:
        raise Misuse("More than one lock fits." if found else "The vault has no such lock.", _LIST)
    return found[0]


def new_key() -> bytes:
    """The text of a new random key, for a recovery key or a key file."""
    return key_text(secrets.token_bytes(KEY_BYTES)).encode()


def add_lock(vault: Vault, kind: LockKind, secret: bytes, name: str, *, cost: Cost = DEFAULT_COST) -> LockView:
    """Add a lock that `secret` opens.

    Args:
        vault: open.
        kind: what `secret` is.
        secret: a passphrase, or what `new_key` gave.
        name: whose it is, or where it is kept; no other lock has it.
        cost: Argon2id parameters of a passphrase.

    Raises:
        Misuse: the name is taken, there are too many locks, or the secret or cost is out of bounds.
    """
    store = vault.store
    with store.changing() as connection:
        if not name or any(lock_name(store.keys, lock) == name for lock in store.header.locks):
            raise Misuse("Every lock has a name of its own.", "Give another name.")
        lock = new_lock(store.keys, store.header.round, kind, secret, name=name, cost=cost)
        after = header_of(store.keys, store.header.round, (*store.header.locks, lock))
        store.write("lock-added", lock.id, {"kind": kind.value, "name": name})
        _announce(store, connection, after)
    _settle(store)
    return _view(store, lock)


def change_lock(vault: Vault, lock_id: str, secret: bytes, *, cost: Cost = DEFAULT_COST) -> LockView:
    """Give a lock another secret, at today's cost of a guess. Its id and name stay.

    Raises:
        Misuse: there is no such lock, or the secret or cost is out of bounds.
    """
    store = vault.store
    with store.changing() as connection:
        before = store.header.lock(lock_id)
        name = lock_name(store.keys, before)
        lock = new_lock(store.keys, store.header.round, before.kind, secret, name=name, cost=cost, lock_id=before.id)
        locks = tuple(lock if old.id == lock.id else old for old in store.header.locks)
        store.write("lock-changed", lock.id, {"kind": lock.kind.value, "name": name})
        _announce(store, connection, header_of(store.keys, store.header.round, locks))
    _settle(store)
    return _view(store, lock)


def remove_lock(vault: Vault, lock_id: str) -> None:
    """Remove a lock. Whoever has an old copy of the vault can still open that copy: see `renew_root`.

    Raises:
        Misuse: there is no such lock, it is the last one, or it is the one in use.
    """
    store = vault.store
    with store.changing() as connection:
        gone = store.header.lock(lock_id)
        if gone.id == store.actor.lock:
            raise Misuse("The vault was opened with that lock.", "Open it with another lock to remove this one.")
        locks = tuple(lock for lock in store.header.locks if lock.id != gone.id)
        after = header_of(store.keys, store.header.round, locks)
        store.write("lock-removed", gone.id, {"kind": gone.kind.value, "name": lock_name(store.keys, gone)})
        _announce(store, connection, after)
    _settle(store)


def settle_locks(store: Store, connection: Connection) -> None:
    """Compare vault.json with what the catalog knows of it, and settle a change that a crash cut short.

    Raises:
        Damaged: vault.json is an older copy.
    """
    codes = _known_codes(connection)
    code = store.header.code
    if code not in codes:
        raise Damaged(
            "vault.json is an older copy: locks were changed since.",
            "Put the newest vault.json back: each copy in a backup holds that of its time.",
        )
    if codes == [code]:
        return
    _know(connection, [code])
    if code == codes[0]:
        store.notes.append("A change of the locks was cut short and did not happen.")
        store.write("lock-change-undone", "locks", {})


# --- a new root key ---------------------------------------------------------------------------------------------


def renew_root(vault: Vault, known: Mapping[str, bytes]) -> tuple[tuple[LockView, ...], tuple[LockView, ...]]:
    """Give the vault a new root key, and with it a new key for everything but the papers, which stay as they are.

    What was derived from the old root key opens nothing of the vault afterwards, except copies made before. The vault
    is closed at the end; open it again.

    Args:
        vault: open.
        known: secrets of the locks to keep, by lock id; a lock whose secret is not among them has to be made anew.

    Returns:
        The locks kept, and those that are gone.

    Raises:
        Misuse: no secret was given.
        WrongKey: a secret does not open its lock.
    """
    store = vault.store
    kept = tuple(_checked(store, lock_id, secret) for lock_id, secret in known.items())
    gone = tuple(view for view in locks_of(vault) if view.id not in known)
    with store.holding() as connection:
        store.settle(connection, thorough=True)
        line = _renewed(store, connection, known)
        append(store.layout.journal, line)
        vault.close()
        _remove(store.layout.catalog)
    return kept, gone


def finish_renewal(layout: Layout) -> None:
    """Put the catalog of the newest root key in its place, if it is not there yet; the caller holds the lock."""
    waiting = _waiting(layout)
    with machine_faults():
        if waiting.exists() and not layout.catalog.exists():
            os.rename(waiting, layout.catalog)  # noqa: PTH104 (the crash tests put their faults on the calls of os)
            sync_folder(layout.folder)


def former_catalogs_gone(store: Store) -> None:
    """Remove catalogs of former root keys that a crash left; the caller holds the lock.

    Raises:
        Damaged: there is one of a later root key, so that vault.json is an older copy.
    """
    with machine_faults():
        if store.layout.other_catalogs(later=True):
            raise Damaged("vault.json is an older copy: the root key was renewed since.", "Put the newest one back.")
        former = store.layout.other_catalogs(later=False)
        if not former:
            return
        for path in former:
            path.unlink()
        sync_folder(store.layout.folder)
    store.notes.append("Removed the catalog of a former root key, which a crash had left.")
    store.write("former-catalog-removed", "catalog", {})


def _checked(store: Store, lock_id: str, secret: bytes) -> LockView:
    lock = store.header.lock(lock_id)
    if open_lock(store.header, lock, secret) != store.keys.root:
        raise WrongKey("A secret does not open its lock.", "Give the right one, or leave that lock out.")
    return _view(store, lock)


def _renewed(store: Store, connection: Connection, known: Mapping[str, bytes]) -> bytes:
    """Make the new catalog and then the new header, which is what decides; returns the journal line."""
    old, number = store.keys, store.header.round + 1
    keys = Keys(secrets.token_bytes(KEY_BYTES), old.vault)
    header = header_of(keys, number, tuple(_moved(store, keys, lock_id, known[lock_id]) for lock_id in known))
    layout = Layout(store.layout.folder, number)
    waiting = _waiting(layout)
    _remove(waiting)
    try:
        _export(connection, waiting, keys)
        line = _rewrap(store, waiting, keys, header)
        with machine_faults(), waiting.open("rb") as file:
            os.fsync(file.fileno())
        save_header(layout, header)
    except BaseException:
        with suppress(OSError):
            _remove(waiting)
        raise
    finish_renewal(layout)
    return line


def _moved(store: Store, keys: Keys, lock_id: str, secret: bytes) -> Lock:
    lock = store.header.lock(lock_id)
    name, cost = lock_name(store.keys, lock), lock.cost or DEFAULT_COST
    return new_lock(keys, store.header.round + 1, lock.kind, secret, name=name, cost=cost, lock_id=lock.id)


def _export(connection: Connection, target: Path, keys: Keys) -> None:
    """Write the catalog anew under another key, without what was deleted from it."""
    raw = connection.connection.driver_connection
    if raw is None:
        raise Misuse("The vault is closed.", "Open it again.")
    connection.rollback()  # a database cannot be attached inside a transaction
    with catalog.catalog_faults():
        try:
            raw.execute(f"ATTACH DATABASE ? AS renewed KEY \"x'{keys.subkey('catalog').hex()}'\"", (str(target),))
            raw.execute("SELECT sqlcipher_export('renewed')").fetchall()
            raw.execute("DETACH DATABASE renewed")
        except raw.Error as error:
            raise DBAPIError.instance("EXPORT", None, error, raw.Error, hide_parameters=True) from error
    target.chmod(0o600)


def _rewrap(store: Store, path: Path, keys: Keys, header: Header) -> bytes:
    """Wrap every paper's data key under the new root key, and enter the renewal in the journal."""
    engine = catalog.engine(path, keys.subkey("catalog"))
    table = catalog.data_keys
    try:
        with catalog.catalog_faults(), engine.connect() as connection, connection.begin():
            for paper, wrapped in connection.execute(select(table.c.paper, table.c.wrapped)).all():
                key = unwrap(store.keys.subkey("wrapping", paper), wrapped)
                again = wrap(keys.subkey("wrapping", paper), key)
                connection.execute(update(table).where(table.c.paper == paper).values(wrapped=again))
            head = journal.head(connection)
            former = {
                "round": store.header.round,
                "last": head.number,
                "journal": store.keys.subkey("journal"),
                "signer": signer(store.keys.subkey("signing")).hex(),
            }
            connection.execute(insert(catalog.former_roots), former)
            _know(connection, [header.code])
            details = {"round": header.round, "locks": [lock.id for lock in header.locks]}
            said = {"who": store.actor.who, "lock": store.actor.lock, "action": "root-renewed", "about": "locks"}
            journal.write(connection, keys, None, store.actor.clock(), {**said, "details": details})
            return "".join(journal.lines(connection, after=head.number)).encode()
    finally:
        engine.dispose()


def _remove(path: Path) -> None:
    with machine_faults():
        for name in (path.name, f"{path.name}-wal", f"{path.name}-shm"):
            path.with_name(name).unlink(missing_ok=True)
        sync_folder(path.parent)


def _waiting(layout: Layout) -> Path:
    return layout.folder / f"{TEMPORARY}{layout.catalog.name}"


# --- vault.json and what the catalog knows of it ----------------------------------------------------------------


def _announce(store: Store, connection: Connection, after: Header) -> None:
    _know(connection, [store.header.code, after.code])
    store.afterwards(lambda: save_header(store.layout, after))


def _settle(store: Store) -> None:
    with store.changing() as connection:
        settle_locks(store, connection)


def _known_codes(connection: Connection) -> list[str]:
    query = select(catalog.about.c.value).where(catalog.about.c.name == "header")
    return str(connection.execute(query).scalar() or "").split(",")


def _know(connection: Connection, codes: list[str]) -> None:
    connection.execute(update(catalog.about).where(catalog.about.c.name == "header").values(value=",".join(codes)))


def _view(store: Store, lock: Lock) -> LockView:
    cost = lock.cost
    dated = cost is not None and cost.passes * cost.memory_kib < DEFAULT_COST.passes * DEFAULT_COST.memory_kib
    return LockView(lock.id, lock.kind, lock_name(store.keys, lock), cost, dated, lock.id == store.actor.lock)
