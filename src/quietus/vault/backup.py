"""Copies of a vault elsewhere: incremental, verifiable without the passphrase, restorable without the original.

A backup is a set of pieces named by their SHA-256, and for each moment a signed list of which pieces make up which
file. Everything is as sealed as in the vault. The list is written last, so that a backup cut short is no backup.
"""

import hashlib
import io
import json
import os
import re
import secrets
import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC
from pathlib import Path
from typing import Any, BinaryIO

from sqlalchemy import select

from quietus.model.errors import Damaged, MachineFault, Misuse
from quietus.model.paper import Paper
from quietus.vault import catalog, erasure
from quietus.vault.checkpoint import checkpoint_of, compare_checkpoint, known_signers, read_checkpoint
from quietus.vault.codecs import dump
from quietus.vault.crypto import sign, signed
from quietus.vault.durable import FROZEN, TEMPORARY, machine_faults, make_folder, sync_folder, write_new
from quietus.vault.objects import open_paper, seal_paper
from quietus.vault.places import Place
from quietus.vault.store import Store
from quietus.vault.vault import Vault

PIECE_BYTES = 4 * 1024 * 1024
LISTS = "lists"
PIECES = "pieces"
SETTINGS = "settings"

_FILE = re.compile(
    r"vault\.json|journal\.log|catalog(-[0-9]{1,7})?\.db(-wal)?|settings|objects/([0-9a-f]{2})/\3[0-9a-f]{30}"
)
_PIECE = re.compile(r"[0-9a-f]{64}")
_LIST = re.compile(r"[0-9]{10}-[0-9]{8}T[0-9]{6}Z-[0-9a-f]{8}")
_OTHER = "Use another copy of the backup."

Progress = Callable[[int, int], None]


def _unheard(*_: object) -> None:
    """Nobody asked to be told."""


@dataclass(frozen=True, slots=True)
class Copy:
    """One moment of a vault in a backup.

    Attributes:
        name: journal entries, time and a random end, such as `0000000042-20261120T170001Z-01234567`; sorts by age.
        vault: the vault's id.
        checkpoint: text of the journal's checkpoint at that moment.
        files: for each file of the vault its bytes and the pieces it is made of, by their SHA-256.
        destroyed: ids of papers that had been destroyed by then.
        settings: id under which the office's settings are sealed; empty when there are none.
        key: Ed25519 public key that signed it, hex.
    """

    name: str
    vault: str
    checkpoint: str
    files: dict[str, tuple[int, tuple[str, ...]]]
    destroyed: tuple[str, ...]
    settings: str
    key: str

    @property
    def pieces(self) -> set[str]:
        """Every piece it needs."""
        return {piece for _, pieces in self.files.values() for piece in pieces}

    @property
    def papers(self) -> int:
        """How many sealed papers it holds."""
        return sum(name.startswith("objects/") for name in self.files)


@dataclass(frozen=True, slots=True)
class BackupReport:
    """What a backup did.

    Attributes:
        copy: what was made.
        new_pieces: pieces that were not there yet.
        new_bytes: their bytes.
        all_bytes: bytes of all files of the copy.
    """

    copy: Copy
    new_pieces: int
    new_bytes: int
    all_bytes: int


@dataclass(frozen=True, slots=True)
class RestoreReport:
    """What a restore did.

    Attributes:
        copy: what was restored.
        later: how many later copies the backup holds.
        unknown: how many of them are signed by a key that this copy does not know, because the root key was renewed
            later or because somebody slipped them in: what they say was destroyed is not.
        destroyed_again: ids of papers whose keys the copy would have brought back; they were destroyed again.
        held: ids of papers that were destroyed later, but that a hold of the copy's time keeps; they are back.
        settings: the office's settings at that time, by file name.
    """

    copy: Copy
    later: int
    unknown: int
    destroyed_again: tuple[str, ...]
    held: tuple[str, ...]
    settings: dict[str, bytes]


def copies(place: Place) -> tuple[str, ...]:
    """Names of the copies in a backup, oldest first."""
    found = (name.removeprefix(f"{LISTS}/").removesuffix(".json") for name in place.names(LISTS))
    return tuple(sorted(name for name in found if _LIST.fullmatch(name)))


def read_copy(place: Place, name: str) -> Copy:
    """One copy's list, its signature verified against the key it names, and that against its checkpoint.

    Raises:
        Misuse: there is none of that name.
        Damaged: it is not as it was written.
    """
    data = place.get(f"{LISTS}/{name}.json") if _LIST.fullmatch(name) else None
    if data is None:
        raise Misuse("The backup holds no copy of that name.", "List its copies with `quietus backup PLACE --list`.")
    try:
        tree = json.loads(data)
        signature = bytes.fromhex(tree.pop("signature"))
        copy = _copy(name, tree)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise Damaged("A list of the backup is not as it was written.", _OTHER) from error
    checkpoint = read_checkpoint(copy.checkpoint.encode())
    genuine = signed(bytes.fromhex(copy.key), _signed_part(tree), signature)
    if not genuine or (checkpoint.key, checkpoint.vault) != (copy.key, copy.vault):
        raise Damaged("A list of the backup does not bear the vault's signature.", _OTHER)
    return copy


# --- making one -------------------------------------------------------------------------------------------------


def back_up(
    vault: Vault, place: Place, *, settings: Mapping[str, bytes] | None = None, progress: Progress = _unheard
) -> BackupReport:
    """Copy what the backup does not hold yet, then list it. Others may use the vault meanwhile.

    Args:
        vault: open.
        place: where the backup is.
        settings: the office's own files by name; sealed under the vault's root key.
        progress: called with files done and files in all.

    Raises:
        Misuse: the place holds the backup of another vault.
        Damaged: the vault's journal is not what it was at the newest copy and what came after: it was edited, cut, or
            the vault was put back to an older copy.
        MachineFault: the machine or the store would not do it, or a paper was destroyed meanwhile.
    """
    store = vault.store
    vault.finish_destruction()  # else the copy would hold what is being destroyed
    before = _newest(place)
    if before:
        _compare(vault, before)
    writer = _Writer(place)
    frozen = _Frozen(store)
    try:
        frozen.take()
        known = before.files if before else {}
        files: dict[str, tuple[int, tuple[str, ...]]] = {}
        total = len(frozen.objects) + len(frozen.files)
        for name, source in frozen.files.items():
            files[name] = writer.file(source, frozen.sizes.get(name))
            progress(len(files), total)
        for name, path in frozen.objects.items():
            old = known.get(name)
            files[name] = old if old and writer.has(old[1]) else writer.file(path, None)
            progress(len(files), total)
    finally:
        frozen.drop()
    settings_id = secrets.token_hex(16) if settings else ""
    if settings:
        files[SETTINGS] = writer.pieces(_sealed_settings(store, settings_id, settings))
    copy = _list(store, place, frozen, files, settings_id)
    all_bytes = sum(size for size, _ in files.values())
    vault.record("backup-made", copy.name, {"papers": copy.papers, "new_bytes": writer.new_bytes})
    return BackupReport(copy, writer.new_pieces, writer.new_bytes, all_bytes)


def _compare(vault: Vault, before: Copy) -> None:
    """The newest copy is a checkpoint kept elsewhere: use it as one."""
    if before.vault != vault.store.keys.vault:
        raise Misuse("That place holds the backup of another vault.", "Choose another folder or address.")
    try:
        compare_checkpoint(vault, read_checkpoint(before.checkpoint.encode()))
    except Damaged as error:
        remedy = "If an older copy was put back on purpose, back up to a new place from now on. Else: " + error.remedy
        raise Damaged(f"The newest copy there is ahead of this vault. {error.message}", remedy) from error


class _Writer:
    """Writes pieces that are not there yet, and counts them."""

    def __init__(self, place: Place) -> None:
        self._place = place
        self._there = {name.rsplit("/", 1)[-1] for name in place.names(PIECES)}
        self.new_pieces = self.new_bytes = 0

    def has(self, pieces: Iterable[str]) -> bool:
        return self._there.issuperset(pieces)

    def file(self, path: Path, size: int | None) -> tuple[int, tuple[str, ...]]:
        with machine_faults():
            try:
                handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW)
            except FileNotFoundError as error:
                raise MachineFault("A paper was destroyed while the backup ran.", "Run the command again.") from error
            with os.fdopen(handle, "rb") as file:
                return self.pieces(_cut(file, size))

    def pieces(self, cuts: Iterable[bytes]) -> tuple[int, tuple[str, ...]]:
        size, names = 0, []
        for data in cuts:
            name = hashlib.sha256(data).hexdigest()
            if name not in self._there:
                self._place.put(_piece(name), data)
                self._there.add(name)
                self.new_pieces += 1
                self.new_bytes += len(data)
            size += len(data)
            names.append(name)
        return size, tuple(names)


class _Frozen:
    """The vault's files as they were at one moment. What changes in place is copied, sealed as it is, for so long."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._folder = store.layout.folder / f"{FROZEN}{os.getpid()}-{secrets.token_hex(4)}"
        self.files: dict[str, Path] = {}
        self.sizes: dict[str, int] = {}
        self.objects: dict[str, Path] = {}
        self.destroyed: tuple[str, ...] = ()
        self.checkpoint = ""

    def take(self) -> None:
        store, layout = self._store, self._store.layout
        with store.holding() as connection, machine_faults():
            store.settle(connection, thorough=True)
            if erasure.pending(connection):
                raise MachineFault("A paper is being destroyed.", "Run the command again when that is finished.")
            self.checkpoint = checkpoint_of(store, connection).text
            gone = connection.execute(select(catalog.destroyed.c.paper)).scalars()
            self.destroyed = tuple(sorted(gone))
            papers = set(connection.execute(select(catalog.papers.c.id)).scalars()) - set(self.destroyed)
            make_folder(self._folder)
            for path in (layout.header, layout.catalog, layout.catalog_log):
                if path.exists():
                    self.files[path.name] = self._folder / path.name
                    shutil.copyfile(path, self.files[path.name])
                    self.files[path.name].chmod(0o600)
            self.files[layout.journal.name] = layout.journal  # only ever grows: its length now is enough
            self.sizes[layout.journal.name] = layout.journal.stat().st_size
        root = layout.objects
        self.objects = {f"objects/{paper[:2]}/{paper}": root / paper[:2] / paper for paper in sorted(papers)}

    def drop(self) -> None:
        with suppress(OSError):
            shutil.rmtree(self._folder)


def _cut(file: BinaryIO, size: int | None) -> Iterator[bytes]:
    left = size
    while data := file.read(PIECE_BYTES if left is None else min(PIECE_BYTES, left)):
        yield data
        left = None if left is None else left - len(data)


def _sealed_settings(store: Store, settings_id: str, settings: Mapping[str, bytes]) -> Iterator[bytes]:
    text = dump({name: data.hex() for name, data in settings.items()}).encode()
    return seal_paper(io.BytesIO(text), store.keys.subkey(SETTINGS, settings_id), settings_id)


def _list(
    store: Store, place: Place, frozen: _Frozen, files: dict[str, tuple[int, tuple[str, ...]]], settings_id: str
) -> Copy:
    checkpoint = read_checkpoint(frozen.checkpoint.encode())
    at = store.actor.clock().astimezone(UTC)
    # The journal's length first: it tells the order even when the clock was set back.
    name = f"{checkpoint.entries:010d}-{at:%Y%m%dT%H%M%S}Z-{secrets.token_hex(4)}"
    tree = {
        "format": 1,
        "name": name,
        "vault": store.keys.vault,
        "checkpoint": frozen.checkpoint,
        "files": {file: [size, list(pieces)] for file, (size, pieces) in files.items()},
        "destroyed": list(frozen.destroyed),
        "settings": settings_id,
        "key": checkpoint.key,
    }
    signature = sign(store.keys.subkey("signing"), _signed_part(tree)).hex()
    place.put(f"{LISTS}/{name}.json", dump({**tree, "signature": signature}).encode())
    return _copy(name, tree)


def thin_out(place: Place, keep: int) -> tuple[str, ...]:
    """Remove all but the newest `keep` copies, then the pieces that no copy needs; returns the names removed.

    Raises:
        Misuse: none would be left.
        Damaged: a list of the backup is not as it was written; nothing is removed then.
    """
    if keep < 1:
        raise Misuse("At least one copy is kept.", "Give a larger number.")
    names = copies(place)
    kept = [read_copy(place, name) for name in names[-keep:]]
    gone = names[:-keep]
    for name in gone:
        place.remove(f"{LISTS}/{name}.json")
    _drop_unneeded(place, kept)
    return gone


def forget_papers(place: Place, papers: Iterable[str]) -> tuple[str, ...]:
    """Remove every copy that holds one of some destroyed papers, then the pieces that no copy needs.

    A copy holds a paper's key inside its sealed catalog, so the copy goes as a whole. Make a new one first.

    Args:
        place: where the backup is.
        papers: ids.

    Returns:
        Names of the copies removed, oldest first.

    Raises:
        Misuse: no copy would be left.
        Damaged: a list of the backup is not as it was written; nothing is removed then.
    """
    wanted = set(papers)
    lists = [read_copy(place, name) for name in copies(place)]
    kept = [copy for copy in lists if not _holds(copy, wanted)]
    if not kept:
        raise Misuse("Every copy there holds a destroyed paper.", "Make a new one first: `quietus backup PLACE`.")
    gone = tuple(copy.name for copy in lists if _holds(copy, wanted))
    for name in gone:
        place.remove(f"{LISTS}/{name}.json")
    _drop_unneeded(place, kept)
    return gone


def _holds(copy: Copy, papers: set[str]) -> bool:
    return any(f"objects/{paper[:2]}/{paper}" in copy.files for paper in papers)


def _drop_unneeded(place: Place, kept: Iterable[Copy]) -> None:
    """Remove the pieces that none of the copies needs."""
    needed = {piece for copy in kept for piece in copy.pieces}
    for name in list(place.names(PIECES)):
        if name.rsplit("/", 1)[-1] not in needed:
            place.remove(name)


# --- verifying and restoring ------------------------------------------------------------------------------------


def verify_copy(place: Place, name: str, progress: Progress = _unheard) -> Iterator[tuple[str, str]]:
    """Read every piece of a copy; yields file and sentence for each that is not as it was written."""
    copy = read_copy(place, name)
    for done, file in enumerate(copy.files, start=1):
        try:
            for _ in _content(place, copy, file):
                pass
        except Damaged as error:
            yield file, error.message
        progress(done, len(copy.files))


def fetch_copy(place: Place, name: str, folder: Path, progress: Progress = _unheard) -> Copy:
    """Write the vault's files into a new folder, every byte verified. It appears whole or not at all.

    Raises:
        Misuse: the folder holds something, or there is no such copy.
        Damaged: a piece is gone or not as it was written.
    """
    copy = read_copy(place, name)
    folder = folder.absolute()
    building = folder.with_name(f"{TEMPORARY}{folder.name}-{secrets.token_hex(4)}")
    with machine_faults():
        if folder.exists() and not (folder.is_dir() and not any(folder.iterdir())):
            raise Misuse("A vault is restored into an empty folder.", "Choose a new folder.")
        folder.parent.mkdir(parents=True, exist_ok=True)
        try:
            make_folder(building)
            make_folder(building / "objects")
            files = [file for file in copy.files if file != SETTINGS]
            for done, file in enumerate(files, start=1):
                target = building / file
                make_folder(target.parent)
                write_new(target, _content(place, copy, file))
                progress(done, len(files))
            os.rename(building, folder)  # noqa: PTH104 (the crash tests put their faults on the calls of os)
            sync_folder(folder.parent)
        except BaseException:
            with suppress(OSError):
                shutil.rmtree(building)
            raise
    return copy


def settle_restored(
    vault: Vault, place: Place, copy: Copy, *, held: Callable[[Paper], bool] = lambda _: False
) -> RestoreReport:
    """Enter the restore in the journal, and destroy again what was destroyed after the copy was made.

    Args:
        vault: the restored one, opened.
        place: the backup it came from.
        copy: the copy it came from.
        held: tells whether a hold that was in force at the time of the copy keeps a paper; such a paper stays.
    """
    later = [read_copy(place, name) for name in copies(place) if name > copy.name]
    with vault.store.reading() as connection:
        signers = known_signers(vault.store, connection)
    trusted = [other for other in later if other.key in signers]
    gone = {paper for other in trusted for paper in other.destroyed}
    again = tuple(sorted(gone - set(copy.destroyed)))
    with vault.transaction():
        here = [paper for paper in again if _is_here(vault, paper)]
        mine = [paper for paper in here if not held(vault.paper(paper))]
        kept = tuple(paper for paper in here if paper not in mine)
        details = {"later": len(later), "destroyed_again": mine, **({"held": kept} if kept else {})}
        vault.record("vault-restored", copy.name, details)
        for paper in mine:
            vault.destroy_paper(paper, "it was destroyed before this copy was put back")
    vault.finish_destruction()
    unknown = len(later) - len(trusted)
    return RestoreReport(copy, len(later), unknown, tuple(mine), kept, _settings(vault.store, place, copy))


def _is_here(vault: Vault, paper: str) -> bool:
    with suppress(Misuse):
        return vault.paper(paper).id == paper
    return False


def _settings(store: Store, place: Place, copy: Copy) -> dict[str, bytes]:
    if not copy.settings:
        return {}
    sealed = io.BytesIO(b"".join(_content(place, copy, SETTINGS)))
    key = store.keys.subkey(SETTINGS, copy.settings)
    tree = json.loads(b"".join(open_paper(sealed, key, copy.settings)))
    return {name: bytes.fromhex(data) for name, data in tree.items()}


def _content(place: Place, copy: Copy, file: str) -> Iterator[bytes]:
    size, pieces = copy.files[file]
    found = 0
    for name in pieces:
        data = place.get(_piece(name))
        if data is None:
            raise Damaged(f"A piece of {file} is gone from the backup.", _OTHER)
        if hashlib.sha256(data).hexdigest() != name:
            raise Damaged(f"A piece of {file} in the backup is not as it was written.", _OTHER)
        found += len(data)
        yield data
    if found != size:
        raise Damaged(f"{file} in the backup has not the size it was written with.", _OTHER)


def _newest(place: Place) -> Copy | None:
    names = copies(place)
    return read_copy(place, names[-1]) if names else None


def _piece(name: str) -> str:
    return f"{PIECES}/{name[:2]}/{name}"


def _signed_part(tree: dict[str, Any]) -> bytes:
    return b"quietus backup 1\n" + dump(tree).encode()


def _copy(name: str, tree: dict[str, Any]) -> Copy:
    files = {file: (int(size), tuple(pieces)) for file, (size, pieces) in tree["files"].items()}
    wanted = {"vault.json", "journal.log"}
    proper = all(_FILE.fullmatch(file) for file in files) and wanted <= set(files)
    if tree["format"] != 1 or tree["name"] != name or not proper:
        raise ValueError("files")
    if not all(_PIECE.fullmatch(piece) for _, pieces in files.values() for piece in pieces):
        raise ValueError("pieces")
    return Copy(
        name=name,
        vault=str(tree["vault"]),
        checkpoint=str(tree["checkpoint"]),
        files=files,
        destroyed=tuple(map(str, tree["destroyed"])),
        settings=str(tree["settings"]),
        key=str(tree["key"]),
    )
