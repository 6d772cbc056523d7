"""A backup is complete, small when little changed, verifiable without a key, and enough when the vault is gone."""

import random
import shutil
from pathlib import Path

import pytest

from quietus.model.errors import Damaged, MachineFault, Misuse, WrongKey
from quietus.vault import (
    LockKind,
    Place,
    Vault,
    add_lock,
    back_up,
    backup,
    check_vault,
    compare_checkpoint,
    copies,
    fetch_copy,
    find_lock,
    locks_of,
    place_at,
    read_checkpoint,
    read_copy,
    remove_lock,
    renew_root,
    settle_restored,
    thin_out,
    verify_copy,
)
from quietus.vault.places import BucketPlace
from tests.vault.make import CHEAP, PASSPHRASE, WAIVER, file, files_of, made, opened
from tests.vault.test_secrecy import crowded, found_in

SETTINGS = {"quietus.toml": b"[office]\nname = 'Pemberwick'\n", "rules/or.toml": b"x = 1\n"}
LARGE = random.Random(5).randbytes(9 * 1024 * 1024)


@pytest.fixture
def place(tmp_path: Path) -> Place:
    return place_at(str(tmp_path / "elsewhere" / "backup"))


def test_a_bucket_keeps_what_a_folder_keeps(folder: Path, tmp_path: Path) -> None:
    """Through the same library and calls as an s3:// address, with that library's store in memory."""
    place = BucketPlace("memory:///office")
    with opened(folder) as vault:
        paper = file(vault, LARGE)
        first = back_up(vault, place)
        file(vault, b"more")
        second = back_up(vault, place)
        assert second.new_bytes < first.new_bytes / 5
        vault.destroy_paper(paper.id, "test")
        last = back_up(vault, place)
        assert thin_out(place, 1) == (first.copy.name, second.copy.name)
    assert copies(place) == (last.copy.name,)
    assert list(verify_copy(place, last.copy.name)) == []
    with opened(restored(place, tmp_path / "again")) as vault:
        assert check_vault(vault).sound
    assert place.get("nothing") is None


def restored(place: Place, folder: Path, name: str = "") -> Path:
    fetch_copy(place, name or copies(place)[-1], folder)
    return folder


def test_a_destroyed_vault_comes_back_whole(folder: Path, tmp_path: Path, place: Place) -> None:
    with opened(folder) as vault:
        vault.put_waiver(WAIVER)
        papers = {file(vault, data).id: data for data in (b"", b"one", LARGE)}
        report = back_up(vault, place, settings=SETTINGS)
        assert report.copy.papers == 3
        before = vault.papers()
    shutil.rmtree(folder)
    assert list(verify_copy(place, report.copy.name)) == []
    with opened(restored(place, tmp_path / "again")) as vault:
        found = settle_restored(vault, place, report.copy)
        assert (found.later, found.unknown, found.destroyed_again, found.settings) == (0, 0, (), SETTINGS)
        assert vault.papers() == before
        assert {paper: vault.paper_bytes(paper, "test") for paper in papers} == papers
        assert vault.waivers() == (WAIVER,)
        assert check_vault(vault).sound
        assert compare_checkpoint(vault, read_checkpoint(report.copy.checkpoint.encode())) > 0
        assert "vault-restored" in [e.action for e in vault.journal()]
    assert {path.stat().st_mode & 0o777 for path in files_of(tmp_path / "again")} == {0o600}


def test_the_second_backup_copies_only_what_is_new(folder: Path, place: Place) -> None:
    with opened(folder) as vault:
        file(vault, LARGE)
        first = back_up(vault, place)
        file(vault, b"small")
        second = back_up(vault, place)
        assert first.new_bytes > len(LARGE)
        assert second.new_bytes < second.all_bytes / 5
        assert second.copy.papers == 2
        assert [e.action for e in vault.journal()].count("backup-made") == 2
    for name in copies(place):
        assert list(verify_copy(place, name)) == []


def test_what_a_crash_left_of_a_backup_is_no_copy_and_is_used_by_the_next(
    folder: Path, place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    with opened(folder) as vault:
        file(vault, LARGE)
        with monkeypatch.context() as planted:
            planted.setattr(backup, "_list", lambda *_: (_ for _ in ()).throw(MachineFault("power", "")))
            with pytest.raises(MachineFault):
                back_up(vault, place)
        assert copies(place) == ()
        assert back_up(vault, place).new_bytes < len(LARGE)
        assert not [p for p in folder.iterdir() if p.name.startswith(".new")]


def test_a_backup_of_an_open_vault_with_changes_in_its_log_is_whole(folder: Path, tmp_path: Path, place: Place) -> None:
    with opened(folder) as vault:
        paper = file(vault, b"one")
        assert (folder / "catalog.db-wal").stat().st_size > 0
        back_up(vault, place)
        with opened(restored(place, tmp_path / "again")) as other:
            assert other.paper_bytes(paper.id, "test") == b"one"
            assert check_vault(other).sound


def test_nothing_readable_stands_in_a_backup(folder: Path, tmp_path: Path, place: Place) -> None:
    crowded(folder)
    with opened(folder) as vault:
        back_up(vault, place, settings=SETTINGS)
    assert found_in(tmp_path / "elsewhere") == []


def test_every_changed_or_missing_piece_is_named_and_nothing_wrong_is_restored(
    folder: Path, tmp_path: Path, place: Place
) -> None:
    with opened(folder) as vault:
        file(vault, b"one")
        name = back_up(vault, place, settings=SETTINGS).copy.name
    for path in files_of(tmp_path / "elsewhere"):
        data = path.read_bytes()
        for changed in (data[:-1] + bytes([data[-1] ^ 1]), data[: len(data) // 2], None):
            path.unlink() if changed is None else path.write_bytes(changed)
            try:
                assert list(verify_copy(place, name)), path.name
            except (Damaged, Misuse):
                assert path.parent.name == "lists"
            if "lists" in path.parts or b"settings" not in data:
                try:
                    fetch_copy(place, name, tmp_path / "again")
                except (Damaged, Misuse):
                    assert not (tmp_path / "again").exists()
                else:  # only the office's settings were hit
                    shutil.rmtree(tmp_path / "again")
            path.write_bytes(data)
    assert list(verify_copy(place, name)) == []


def test_a_list_that_somebody_else_signed_is_refused(folder: Path, tmp_path: Path, place: Place) -> None:
    with opened(folder) as vault:
        name = back_up(vault, place).copy.name
    path = tmp_path / "elsewhere" / "backup" / "lists" / f"{name}.json"
    text = path.read_text()
    for changed in (
        text.replace('"destroyed":[]', '"destroyed":["' + "00" * 16 + '"]'),
        text.replace('"settings":""', '"settings":"../../x"'),
        text.replace("journal.log", "../journal.log"),
        text.replace('"format":1', '"format":2'),
        "[]",
        "{",
    ):
        assert changed != text
        path.write_text(changed)
        with pytest.raises(Damaged):
            read_copy(place, name)


def test_two_vaults_do_not_share_a_place(folder: Path, tmp_path: Path, place: Place) -> None:
    with opened(folder) as vault:
        back_up(vault, place)
    with opened(made(tmp_path / "other")) as vault, pytest.raises(Misuse):
        back_up(vault, place)


def test_a_copy_is_restored_into_an_empty_folder_only(folder: Path, place: Place) -> None:
    with opened(folder) as vault:
        name = back_up(vault, place).copy.name
    with pytest.raises(Misuse):
        fetch_copy(place, name, folder)
    with pytest.raises(Misuse):
        fetch_copy(place, "0000000042-20261120T170001Z-01234567", folder.with_name("again"))


# --- old copies -------------------------------------------------------------------------------------------------


def test_an_old_copy_does_not_bring_back_what_was_destroyed(folder: Path, tmp_path: Path, place: Place) -> None:
    with opened(folder) as vault:
        gone, stays = file(vault, b"gone"), file(vault, b"stays")
        old = back_up(vault, place).copy
        vault.destroy_paper(gone.id, "kept long enough")
        assert back_up(vault, place).copy.papers == 1
    with opened(restored(place, tmp_path / "again", old.name)) as vault:
        found = settle_restored(vault, place, old)
        assert (found.later, found.destroyed_again) == (1, (gone.id,))
        with pytest.raises(Misuse, match="destroyed"):
            vault.paper_bytes(gone.id, "test")
        assert vault.paper_bytes(stays.id, "test") == b"stays"
        assert check_vault(vault).sound
        restored_entry = next(e for e in vault.journal() if e.action == "vault-restored")
        assert restored_entry.details == {"later": 1, "destroyed_again": [gone.id]}


def test_a_list_slipped_in_destroys_nothing(folder: Path, tmp_path: Path, place: Place) -> None:
    """Somebody who can write to the backup signs, with a key of their own, that a paper was destroyed."""
    with opened(folder) as vault:
        paper = file(vault, b"one")
        mine = back_up(vault, place).copy
    with opened(shutil.copytree(folder, tmp_path / "theirs")) as vault:
        vault.destroy_paper(paper.id, "out of spite")
        renew_root(vault, {lock.id: PASSPHRASE for lock in locks_of(vault) if lock.in_use})
    with opened(tmp_path / "theirs") as vault:
        back_up(vault, place)
    with opened(restored(place, tmp_path / "again", mine.name)) as vault:
        found = settle_restored(vault, place, mine)
        assert (found.later, found.unknown, found.destroyed_again) == (1, 1, ())
        assert vault.paper_bytes(paper.id, "test") == b"one"


def test_thinning_out_forgets_old_copies_and_what_only_they_needed(folder: Path, tmp_path: Path, place: Place) -> None:
    with opened(folder) as vault:
        gone = file(vault, LARGE)
        file(vault, b"stays")
        first = back_up(vault, place)
        vault.destroy_paper(gone.id, "kept long enough")
        last = back_up(vault, place)
        assert thin_out(place, 1) == (first.copy.name,)
        with pytest.raises(Misuse):
            thin_out(place, 0)
    assert copies(place) == (last.copy.name,)
    assert sum(path.stat().st_size for path in files_of(tmp_path / "elsewhere")) < len(LARGE)
    assert list(verify_copy(place, last.copy.name)) == []
    with opened(restored(place, tmp_path / "again")) as vault:
        assert check_vault(vault).sound


def test_two_lives_of_one_vault_never_use_a_nonce_twice(folder: Path, tmp_path: Path, place: Place) -> None:
    """The original goes on, and so does an old copy: what each writes then shares no key and nonce."""

    def go_on(vault: Vault) -> tuple[list[str], list[bytes]]:
        for number in range(20):
            file(vault, b"the same %d" % number)
        with vault.store.reading() as connection:
            lines = [row[0] for row in connection.exec_driver_sql("SELECT line FROM journal ORDER BY number")]
            keys = [row[0] for row in connection.exec_driver_sql("SELECT wrapped FROM data_keys")]
        return [line.split('"sealed":"')[1][:16] for line in lines[-20:]], keys

    with opened(folder) as vault:
        back_up(vault, place)
        nonces, keys = go_on(vault)
    with opened(restored(place, tmp_path / "again")) as vault:
        other_nonces, other_keys = go_on(vault)
    assert len(set(nonces + other_nonces)) == 40
    assert len(set(keys + other_keys)) == 40


def test_a_vault_that_was_put_back_is_noticed_at_the_next_backup(folder: Path, tmp_path: Path, place: Place) -> None:
    shutil.copytree(folder, tmp_path / "old")
    with opened(folder) as vault:
        file(vault, b"one")
        back_up(vault, place)
    with opened(tmp_path / "old") as vault:
        with pytest.raises(Damaged, match="older copy"):
            back_up(vault, place)
        for number in range(5):
            file(vault, b"%d" % number)
        with pytest.raises(Damaged, match="not the one"):
            back_up(vault, place)
    assert len(copies(place)) == 1


def test_an_old_copy_opens_with_the_locks_of_then(folder: Path, tmp_path: Path, place: Place) -> None:
    with opened(folder) as vault:
        add_lock(vault, LockKind.PASSPHRASE, b"left the firm", "ines", cost=CHEAP)
        old = back_up(vault, place).copy
        remove_lock(vault, find_lock(vault, "ines").id)
        back_up(vault, place)
    opened(restored(place, tmp_path / "old", old.name), b"left the firm").close()
    with pytest.raises(WrongKey):
        opened(restored(place, tmp_path / "new"), b"left the firm")
