"""Locks come and go while papers stay; a new root key makes the old one worthless."""

import shutil
from pathlib import Path

import pytest

from quietus.model.errors import Damaged, MachineFault, Misuse, WrongKey
from quietus.vault import (
    LockKind,
    Vault,
    add_lock,
    change_lock,
    check_vault,
    compare_checkpoint,
    find_lock,
    locks_of,
    make_checkpoint,
    new_key,
    remove_lock,
    renew_root,
)
from quietus.vault.crypto import Cost
from tests.vault.make import CHEAP, PASSPHRASE, file, files_of, opened

OTHER = b"another passphrase"


def names(vault: Vault) -> list[str]:
    return [lock.name for lock in locks_of(vault)]


def test_a_lock_of_each_kind_opens_the_vault_and_the_journal_tells_which(folder: Path) -> None:
    recovery, key_file = new_key(), new_key()
    with opened(folder) as vault:
        add_lock(vault, LockKind.PASSPHRASE, OTHER, "ines", cost=CHEAP)
        add_lock(vault, LockKind.RECOVERY, recovery, "safe")
        add_lock(vault, LockKind.KEY_FILE, key_file, "stick")
        assert names(vault) == ["pat", "ines", "safe", "stick"]
    for secret, name in ((PASSPHRASE, "pat"), (OTHER, "ines"), (recovery, "safe"), (key_file, "stick")):
        with opened(folder, secret) as vault:
            lock = next(lock for lock in locks_of(vault) if lock.in_use)
            assert lock.name == name
            vault.record("noted", "", {})
            assert vault.journal()[-1].lock == lock.id


def test_a_removed_lock_opens_nothing_any_more(folder: Path) -> None:
    with opened(folder) as vault:
        lock = add_lock(vault, LockKind.PASSPHRASE, OTHER, "ines", cost=CHEAP)
        with pytest.raises(Misuse):
            remove_lock(vault, next(v.id for v in locks_of(vault) if v.in_use))
        remove_lock(vault, find_lock(vault, "ines").id)
        assert [(e.action, e.about) for e in vault.journal()[-2:]] == [
            ("lock-added", lock.id),
            ("lock-removed", lock.id),
        ]
    with pytest.raises(WrongKey):
        opened(folder, OTHER)


def test_a_changed_lock_keeps_its_name_and_can_cost_more(folder: Path) -> None:
    with opened(folder) as vault:
        lock = locks_of(vault)[0]
        assert lock.dated
        change_lock(vault, lock.id, OTHER, cost=Cost(3, 64 * 1024, 1))
        after = locks_of(vault)[0]
        assert (after.id, after.name, after.dated) == (lock.id, lock.name, False)
    with pytest.raises(WrongKey):
        opened(folder)
    opened(folder, OTHER).close()


def test_locks_have_names_of_their_own(folder: Path) -> None:
    with opened(folder) as vault:
        for name in ("pat", ""):
            with pytest.raises(Misuse):
                add_lock(vault, LockKind.PASSPHRASE, OTHER, name, cost=CHEAP)
        with pytest.raises(Misuse):
            find_lock(vault, "nobody")
        with pytest.raises(Misuse):
            remove_lock(vault, "00" * 8)


def test_another_process_notices_that_its_lock_is_gone(folder: Path) -> None:
    with opened(folder) as vault:
        add_lock(vault, LockKind.PASSPHRASE, OTHER, "ines", cost=CHEAP)
        with opened(folder, OTHER) as theirs:
            theirs.record("noted", "", {})
            remove_lock(vault, find_lock(vault, "ines").id)
            with pytest.raises(WrongKey, match="meanwhile"):
                theirs.record("noted", "", {})
        vault.record("noted", "", {})
        assert check_vault(vault).sound


def test_an_older_header_put_back_is_noticed(folder: Path) -> None:
    before = (folder / "vault.json").read_bytes()
    with opened(folder) as vault:
        add_lock(vault, LockKind.PASSPHRASE, OTHER, "ines", cost=CHEAP)
    (folder / "vault.json").write_bytes(before)
    with pytest.raises(Damaged, match="older copy"):
        opened(folder)


# --- a new root key ---------------------------------------------------------------------------------------------


def renewed(folder: Path) -> None:
    with opened(folder) as vault:
        renew_root(vault, {next(v.id for v in locks_of(vault) if v.in_use): PASSPHRASE})


def test_a_new_root_key_leaves_papers_alone_and_the_old_one_opens_nothing(folder: Path) -> None:
    with opened(folder) as vault:
        paper = file(vault, b"one")
        before, old = make_checkpoint(vault), vault.store.keys
        add_lock(vault, LockKind.PASSPHRASE, OTHER, "ines", cost=CHEAP)
    sealed = (folder / "objects" / paper.id[:2] / paper.id).read_bytes()
    with opened(folder) as vault:
        mine = next(v.id for v in locks_of(vault) if v.in_use)
        with pytest.raises(WrongKey):
            renew_root(vault, {mine: b"wrong"})
        kept, gone = renew_root(vault, {mine: PASSPHRASE})
        assert ([v.name for v in kept], [v.name for v in gone]) == (["pat"], ["ines"])
        with pytest.raises(Misuse):
            vault.record("noted", "", {})
    assert (folder / "objects" / paper.id[:2] / paper.id).read_bytes() == sealed
    assert sorted(p.name for p in folder.iterdir() if p.name.startswith((".new", "catalog"))) == ["catalog-2.db"]
    with pytest.raises(WrongKey):
        opened(folder, OTHER)
    with opened(folder) as vault:
        assert vault.notes == ()
        assert vault.paper_bytes(paper.id, "test") == b"one"
        assert check_vault(vault).sound
        assert compare_checkpoint(vault, before) == 4
        assert "root-renewed" in [e.action for e in vault.journal()]
        new = vault.store.keys
        for purpose in ("catalog", "header", "journal", "signing", "name"):
            assert old.subkey(purpose) != new.subkey(purpose)
    renewed(folder)
    with opened(folder) as vault:
        assert vault.paper_bytes(paper.id, "test") == b"one"
        assert check_vault(vault).sound


def test_another_process_notices_that_the_root_key_is_new(folder: Path) -> None:
    with opened(folder) as theirs:
        renewed(folder)
        with pytest.raises(MachineFault, match="renewed meanwhile"):
            theirs.record("noted", "", {})
    with opened(folder) as vault:
        assert check_vault(vault).sound


def test_an_older_root_key_put_back_is_noticed(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path / "old")
    renewed(folder)
    shutil.copy(tmp_path / "old" / "vault.json", folder / "vault.json")
    with pytest.raises(Damaged):
        opened(folder)
    for name in ("catalog.db", "journal.log"):
        shutil.copy(tmp_path / "old" / name, folder / name)
    with pytest.raises(Damaged, match="renewed since"):
        opened(folder)
    assert (folder / "catalog-2.db").exists()


def test_all_files_stay_private(folder: Path) -> None:
    renewed(folder)
    assert {path.stat().st_mode & 0o777 for path in files_of(folder)} == {0o600}
