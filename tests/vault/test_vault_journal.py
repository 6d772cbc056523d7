"""The journal cannot be edited, cut, reordered or added to without being noticed, and a crash cannot tear it."""

import hashlib
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from quietus.model.errors import Damaged, Refused
from quietus.vault import check_vault, journal
from tests.vault.make import WAIVER, file, opened


@pytest.fixture
def told(folder: Path) -> Path:
    """The journal file of a vault with eight entries; the last transaction wrote two of them."""
    with opened(folder) as vault:
        for number in range(4):
            vault.record("noted", str(number), {"number": number})
        with vault.transaction():
            file(vault, b"one")
            vault.put_waiver(WAIVER)
    return folder / "journal.log"


Lines = list[bytes]
EDITS: dict[str, Callable[[Lines], Lines]] = {
    "a line deleted": lambda n: [*n[:3], *n[4:]],
    "the first line deleted": lambda n: n[1:],
    "two lines swapped": lambda n: [*n[:3], n[4], n[3], *n[5:]],
    "the last two swapped": lambda n: [*n[:-2], n[-1], n[-2]],
    "a line twice": lambda n: [*n[:4], n[3], *n[4:]],
    "a line more": lambda n: [*n, n[-1]],
    "an empty line more": lambda n: [*n, b"\n"],
    "a time edited": lambda n: [*n[:2], n[2].replace(b'"at":"2026', b'"at":"2025'), *n[3:]],
    "a time of the last line edited": lambda n: [*n[:-1], n[-1].replace(b'"at":"2026', b'"at":"2025')],
    "cut past the last transaction": lambda n: n[:-3],
    "cut past the last transaction by a byte": lambda n: [*n[:-3], n[-3][:-1]],
    "everything gone": lambda n: [],
    "torn inside the last transaction, and edited": lambda n: [*n[:-2], n[-2][:50].replace(b"2026", b"2025")],
    "the last line gone, one before edited": lambda n: [n[0].replace(b"2026", b"2025"), *n[1:-1]],
}


@pytest.mark.parametrize("marks", [False, True])
@pytest.mark.parametrize("how", EDITS)
def test_a_changed_journal_file_is_damage(
    folder: Path, monkeypatch: pytest.MonkeyPatch, how: str, marks: bool, request: pytest.FixtureRequest
) -> None:
    if marks:
        monkeypatch.setattr(journal, "MARK_EVERY", 3)
    path: Path = request.getfixturevalue("told")
    before = path.read_bytes()
    changed = b"".join(EDITS[how](before.splitlines(keepends=True)))
    assert changed != before
    path.write_bytes(changed)
    with pytest.raises(Damaged):
        opened(folder)
    assert path.read_bytes() == changed
    path.write_bytes(before)
    opened(folder).close()


def test_a_journal_changed_behind_an_open_vault_is_reported_by_check(folder: Path, told: Path) -> None:
    with opened(folder) as vault:
        data = told.read_bytes()
        told.write_bytes(data.replace(b'"number":3', b'"number":4'))
        assert [p.where for p in check_vault(vault).problems] == ["journal.log"]
        told.write_bytes(data[:100])
        assert [p.where for p in check_vault(vault).problems] == ["journal.log"]
        with pytest.raises(Damaged):
            vault.record("noted", "", {})


@pytest.mark.parametrize("marks", [False, True])
@pytest.mark.parametrize("lost", ["the last transaction", "its last line", "half a line", "one byte", "the newline"])
def test_what_a_crash_kept_out_of_the_journal_file_is_put_there_and_said(
    folder: Path, monkeypatch: pytest.MonkeyPatch, lost: str, marks: bool, request: pytest.FixtureRequest
) -> None:
    if marks:
        monkeypatch.setattr(journal, "MARK_EVERY", 7)  # the mark falls inside the last transaction
    told: Path = request.getfixturevalue("told")
    whole = told.read_bytes()
    lines = whole.splitlines(keepends=True)
    last, both = len(lines[-1]), len(lines[-1]) + len(lines[-2])
    missing = {
        "the last transaction": both,
        "its last line": last,
        "half a line": last + 40,
        "one byte": both - 1,
        "the newline": 1,
    }[lost]
    told.write_bytes(whole[:-missing])
    with opened(folder) as vault:
        assert told.read_bytes()[: len(whole)] == whole
        assert len(vault.notes) == 1
        assert vault.journal()[-1].action == "journal-completed"
        report = check_vault(vault)
        assert report.sound
        assert report.repaired == vault.notes
    with opened(folder) as vault:
        assert vault.notes == ()


def test_another_process_completes_the_file_before_it_writes(folder: Path, told: Path) -> None:
    with opened(folder) as vault:
        whole = told.read_bytes()
        told.write_bytes(whole[:-20])
        vault.record("noted", "", {})
        assert told.read_bytes().startswith(whole)
        assert [e.action for e in vault.journal()[-2:]] == ["journal-completed", "noted"]
        assert check_vault(vault).sound


def test_every_entry_is_a_leaf_of_the_tree_and_no_nonce_comes_twice(told: Path, folder: Path) -> None:
    with opened(folder) as vault:
        entries = vault.journal()
        with vault.store.reading() as connection:
            root = journal.root(connection, len(entries))
    lines = told.read_bytes().splitlines()
    assert [json.loads(line)["number"] for line in lines] == list(range(1, 9))
    leaves = [hashlib.sha256(b"\0" + line).digest() for line in lines]
    assert [leaf.hex() for leaf in leaves] == [entry.hash for entry in entries]
    while len(leaves) > 1:  # eight leaves: a full tree
        pairs = zip(leaves[::2], leaves[1::2], strict=True)
        leaves = [hashlib.sha256(b"\1" + left + right).digest() for left, right in pairs]
    assert leaves == [root]
    assert len({json.loads(line)["sealed"][:16] for line in lines}) == len(lines)


def test_opening_compares_the_end_of_a_long_file_and_check_all_of_it(
    folder: Path, told: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(journal, "MARK_EVERY", 3)
    with opened(folder) as vault:
        for number in range(20):
            vault.record("noted", str(number), {})
    monkeypatch.setattr(journal, "RECENT_BYTES", 1000)
    data = told.read_bytes()
    told.write_bytes(data[:-500].replace(b"2026", b"2025", 1) + data[-500:])
    with opened(folder) as vault:
        assert [p.where for p in check_vault(vault).problems] == ["journal.log"]
    told.write_bytes(data[:-800] + data[-800:].replace(b"2026", b"2025", 1))
    with pytest.raises(Damaged):
        opened(folder)


TAMPERED = {
    "a line replaced by an older one": "UPDATE journal SET line = (SELECT line FROM journal WHERE number = 2)"
    " WHERE number = 4",
    "a line taken out": "DELETE FROM journal WHERE number = 4",
    "the seal of a line changed": 'UPDATE journal SET line = replace(line, \'"sealed":"\', \'"sealed":"AAAA\')'
    " WHERE number = 4",
    "no line any more": "UPDATE journal SET line = '' WHERE number = 4",
    "a hash of the tree changed": "UPDATE journal SET hashes = zeroblob(length(hashes)) WHERE number = 4",
    "a hash of the tree gone": "UPDATE journal SET hashes = substr(hashes, 1, 32) WHERE number = 4",
}


@pytest.mark.parametrize("how", TAMPERED)
def test_the_catalogs_own_copy_is_chained_too(folder: Path, told: Path, how: str) -> None:
    with opened(folder) as vault:
        with vault.store.changing() as connection:
            connection.exec_driver_sql(TAMPERED[how])
        with pytest.raises(Damaged):
            vault.journal()
        where = {"journal entry 4"} if "hash" in how else {"journal entry 4", "journal.log"}
        assert {p.where for p in check_vault(vault).problems} == where


def test_an_entry_of_another_vault_does_not_open(told: Path, folder: Path) -> None:
    with opened(folder) as vault:
        keys = vault.store.keys
        other = type(keys)(root=keys.root, vault="00" * 16)
        with vault.store.reading() as connection, pytest.raises(Damaged):
            list(journal.entries(connection, other))


def test_details_have_to_be_plain_data_and_a_failure_leaves_nothing(folder: Path) -> None:
    with opened(folder) as vault:
        before = vault.journal()
        with pytest.raises(TypeError):
            vault.record("noted", "", {"what": object()})
        assert vault.journal() == before
        assert check_vault(vault).sound


def test_a_journal_stops_before_its_nonces_could_repeat(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journal, "MOST_ENTRIES", 4)
    with opened(folder) as vault:
        vault.record("noted", "", {})
        vault.record("noted", "", {})
        with pytest.raises(Refused):
            vault.record("noted", "", {})
        assert len(vault.journal()) == 4
