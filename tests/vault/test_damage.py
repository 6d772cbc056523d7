"""Whatever is changed, moved or taken away is noticed, and no wrong plaintext ever comes out."""

import io
import os
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from quietus.model.errors import Damaged, MachineFault, Misuse, WrongKey
from quietus.model.paper import Paper
from quietus.vault import check_vault
from quietus.vault.catalog import catalog_faults
from quietus.vault.objects import CHUNK_BYTES, MAGIC
from quietus.vault.store import Store
from tests.vault.make import WAIVER, file, made, opened

PAPERS = {"small": b"a paper of Brindlewick", "large": bytes(range(256)) * 12 * 1024}
SEALED_CHUNK = CHUNK_BYTES + 16


@pytest.fixture
def papers(folder: Path) -> dict[str, Paper]:
    """The papers in the vault, and the vault closed."""
    with opened(folder) as vault:
        vault.put_waiver(WAIVER)
        return {name: file(vault, data) for name, data in PAPERS.items()}


def sealed_file(folder: Path, paper: Paper) -> Path:
    return folder / "objects" / paper.id[:2] / paper.id


def noticed(folder: Path) -> bool:
    """Whether opening or checking the vault notices something; a wrong plaintext fails the test."""
    try:
        with opened(folder) as vault:
            problems = check_vault(vault).problems
            for paper in vault.papers():
                try:
                    assert vault.paper_bytes(paper.id, "test") in PAPERS.values()
                except Damaged:
                    assert problems
            return bool(problems)
    except (Damaged, WrongKey):
        return True


@pytest.mark.parametrize("part", ["vault.json", "catalog.db", "journal.log", "small", "large"])
def test_a_flipped_bit_is_noticed(folder: Path, tmp_path: Path, papers: dict[str, Paper], part: str) -> None:
    whole = tmp_path / "whole"
    shutil.copytree(folder, whole)
    target = sealed_file(folder, papers[part]) if part in papers else folder / part
    data = target.read_bytes()
    chance = random.Random(part)
    tries = 20 if part == "large" else 60  # tests/soak tries ten thousand
    places = [0, len(data) - 1, *chance.sample(range(len(data)), min(tries, len(data)))]
    for place in places:
        bit = 1 << chance.randrange(8)
        target.write_bytes(data[:place] + bytes([data[place] ^ bit]) + data[place + 1 :])
        assert noticed(folder), f"byte {place}, bit {bit}"
        shutil.rmtree(folder)
        shutil.copytree(whole, folder)
    assert not noticed(folder)


def test_a_removed_paper_is_named(folder: Path, papers: dict[str, Paper]) -> None:
    sealed_file(folder, papers["small"]).unlink()
    with opened(folder) as vault:
        for deep in (True, False):
            report = check_vault(vault, deep=deep)
            assert [(p.where, "gone" in p.what) for p in report.problems] == [(papers["small"].id, True)]
            assert report.problems[0].remedy
        with pytest.raises(Damaged):
            vault.paper_bytes(papers["small"].id, "test")
        assert vault.journal()[-1].action == "paper-damaged"
        assert vault.paper_bytes(papers["large"].id, "test") == PAPERS["large"]


def test_two_papers_cannot_change_places(folder: Path, papers: dict[str, Paper]) -> None:
    with opened(folder) as vault:
        twin = file(vault, PAPERS["small"][::-1])  # as long, so that only its seal tells it apart
    left, right = sealed_file(folder, papers["small"]), sealed_file(folder, twin)
    one, two = left.read_bytes(), right.read_bytes()
    left.write_bytes(two)
    right.write_bytes(one)
    with opened(folder) as vault:
        assert {p.where for p in check_vault(vault).problems} == {papers["small"].id, twin.id}
        with pytest.raises(Damaged):
            vault.paper_bytes(twin.id, "test")


def chunks(data: bytes) -> list[bytes]:
    body = data[len(MAGIC) :]
    return [body[at : at + SEALED_CHUNK] for at in range(0, len(body), SEALED_CHUNK)]


CUTS: dict[str, Callable[[list[bytes]], list[bytes]]] = {
    "last chunk gone": lambda c: c[:-1],
    "first chunk gone": lambda c: c[1:],
    "middle chunk gone": lambda c: [c[0], *c[2:]],
    "two chunks swapped": lambda c: [c[1], c[0], *c[2:]],
    "last two swapped": lambda c: [*c[:-2], c[-1], c[-2]],
    "a chunk twice": lambda c: [c[0], c[0], *c[1:]],
    "last chunk twice": lambda c: [*c, c[-1]],
    "one byte short": lambda c: [*c[:-1], c[-1][:-1]],
    "one byte more": lambda c: [*c, b"\0"],
    "tag of the last chunk gone": lambda c: [*c[:-1], c[-1][:-16]],
    "nothing but the beginning": lambda c: [],
}


@pytest.mark.parametrize("how", CUTS)
def test_chunks_cannot_be_moved_repeated_or_cut_off(folder: Path, papers: dict[str, Paper], how: str) -> None:
    target = sealed_file(folder, papers["large"])
    target.write_bytes(MAGIC + b"".join(CUTS[how](chunks(target.read_bytes()))))
    with opened(folder) as vault:
        assert [p.where for p in check_vault(vault).problems] == [papers["large"].id]
        shallow = check_vault(vault, deep=False)  # sees the size only, and that much is what it says
        assert shallow.sound is ("swapped" in how)
        with pytest.raises(Damaged):
            vault.paper_bytes(papers["large"].id, "test")


@pytest.mark.parametrize("size", range(len(MAGIC) + 17))
def test_a_sealed_paper_cut_to_almost_nothing_is_noticed(folder: Path, papers: dict[str, Paper], size: int) -> None:
    os.truncate(sealed_file(folder, papers["small"]), size)
    with opened(folder) as vault, pytest.raises(Damaged):
        vault.paper_bytes(papers["small"].id, "test")


@pytest.mark.parametrize("part", ["vault.json", "catalog.db", "journal.log", "objects"])
def test_a_missing_part_is_damage_and_not_an_empty_vault(folder: Path, papers: dict[str, Paper], part: str) -> None:
    path = folder / part
    shutil.rmtree(path) if path.is_dir() else path.unlink()
    with pytest.raises(Damaged):
        opened(folder)
    assert not path.exists()


@pytest.mark.parametrize("part", ["vault.json", "catalog.db", "journal.log"])
def test_an_emptied_part_is_damage(folder: Path, papers: dict[str, Paper], part: str) -> None:
    os.truncate(folder / part, 0)
    with pytest.raises(Damaged):
        opened(folder)


def test_a_catalog_of_another_vault_does_not_fit(folder: Path, tmp_path: Path) -> None:
    other = made(tmp_path / "other")
    shutil.copy(other / "catalog.db", folder / "catalog.db")
    with pytest.raises(Damaged):
        opened(folder)


def test_a_row_that_was_made_unreadable_is_reported_without_its_content(folder: Path, papers: dict[str, Paper]) -> None:
    with opened(folder) as vault:
        with vault.store.changing() as connection:
            connection.exec_driver_sql('UPDATE entities SET body = \'{"name": "Brindlewick"}\'')
            connection.exec_driver_sql("UPDATE readings SET body = 'no JSON' WHERE number = 1")
            connection.exec_driver_sql("UPDATE waivers SET body = '[]'")
        problems = check_vault(vault).problems
        assert {p.where for p in problems} == {"entities", "waivers", "readings", "papers"}
        assert "Brindlewick" not in str(problems)
        with pytest.raises(Damaged):
            vault.papers()


def test_rows_that_lost_their_fellows_are_reported(folder: Path, papers: dict[str, Paper]) -> None:
    with opened(folder) as vault:
        with vault.store.reading() as connection:
            connection.exec_driver_sql("PRAGMA foreign_keys = OFF")
        with vault.store.changing() as connection:
            connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
            connection.exec_driver_sql(f"DELETE FROM data_keys WHERE paper = '{papers['small'].id}'")
            connection.exec_driver_sql(f"DELETE FROM readings WHERE paper = '{papers['large'].id}'")
        report = check_vault(vault)
    assert any(p.where == papers["small"].id and "key" in p.what for p in report.problems)
    assert any(p.where == "papers" for p in report.problems)


def test_without_its_key_a_paper_can_never_be_opened_again(folder: Path, papers: dict[str, Paper]) -> None:
    with opened(folder) as vault:
        with vault.store.changing() as connection:
            connection.exec_driver_sql(f"DELETE FROM data_keys WHERE paper = '{papers['small'].id}'")
        with pytest.raises(Damaged, match="key"):
            vault.paper_bytes(papers["small"].id, "test")


# --- leavings of a crash, and strangers -------------------------------------------------------------------------


def test_leavings_of_a_crash_are_swept_and_papers_are_not(folder: Path, papers: dict[str, Paper]) -> None:
    orphan = folder / "objects" / "ab" / ("ab" * 16)
    orphan.parent.mkdir(exist_ok=True)
    orphan.write_bytes(sealed_file(folder, papers["small"]).read_bytes())
    half = sealed_file(folder, papers["large"]).with_name(".new-half")
    half.write_bytes(b"half")
    (folder / ".new-vault.json-0000").write_bytes(b"{")
    with opened(folder) as vault:
        report = check_vault(vault)
        assert report.sound
        assert len(report.repaired) == 2
        assert not orphan.exists()
        assert not half.exists()
        assert vault.journal()[-1].details["repaired"] == list(report.repaired)
        assert check_vault(vault).repaired == ()
        for name, paper in papers.items():
            assert vault.paper_bytes(paper.id, "test") == PAPERS[name]


def test_too_many_papers_without_a_row_are_left_alone(folder: Path) -> None:
    for number in range(101):
        path = folder / "objects" / "00" / f"{number:032x}"
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(b"sealed")
    with opened(folder) as vault:
        report = check_vault(vault)
    assert report.repaired == ()
    assert [p.where for p in report.problems] == ["objects"]
    assert len(list((folder / "objects" / "00").iterdir())) == 101


def test_what_quietus_did_not_write_is_reported_and_left_alone(folder: Path, papers: dict[str, Paper]) -> None:
    strangers = [folder / "notes.txt", folder / "objects" / "readme", folder / "objects" / "ab" / ("cd" * 16)]
    for path in strangers:
        path.parent.mkdir(exist_ok=True)
        path.write_text("hello")
    with opened(folder) as vault:
        report = check_vault(vault)
    assert {p.where for p in report.problems} == {path.name for path in strangers}
    assert all(path.exists() for path in strangers)


def test_nothing_is_swept_while_the_catalog_is_in_doubt(folder: Path, papers: dict[str, Paper]) -> None:
    orphan = folder / "objects" / "ab" / ("ab" * 16)
    orphan.parent.mkdir(exist_ok=True)
    orphan.write_bytes(b"sealed")
    with opened(folder) as vault:
        with vault.store.changing() as connection:
            connection.exec_driver_sql("UPDATE entities SET body = ''")
        before = len(vault.journal())
        assert check_vault(vault).problems
        assert orphan.exists()
        assert len(vault.journal()) == before


def test_progress_counts_every_paper(folder: Path, papers: dict[str, Paper]) -> None:
    seen: list[tuple[int, int]] = []
    with opened(folder) as vault:
        report = check_vault(vault, progress=lambda done, total: seen.append((done, total)))
    assert seen == [(1, 2), (2, 2)]
    assert report.objects == 2
    assert report.paper_bytes == sum(map(len, PAPERS.values()))
    assert report.entries == 5
    assert report.rows == 3 + 1 + 1 + 1 + 4 * 2 + 5


def test_a_vault_is_not_checked_in_the_middle_of_a_change(folder: Path) -> None:
    with opened(folder) as vault, vault.transaction(), pytest.raises(Misuse):
        check_vault(vault)


def test_the_store_never_seals_over_a_paper(folder: Path, papers: dict[str, Paper]) -> None:
    def again(store: Store) -> None:
        with store.changing():
            store.seal(papers["small"].id, b"k" * 32, io.BytesIO(b"another paper"))

    with opened(folder) as vault:
        with pytest.raises(MachineFault):
            again(vault.store)
        assert vault.paper_bytes(papers["small"].id, "test") == PAPERS["small"]


def test_a_damaged_page_that_a_commit_meets_is_damage_and_no_lack_of_memory() -> None:
    """SQLite's pager reports a codec's failure as SQLITE_NOMEM, which Python raises as MemoryError."""
    with pytest.raises(Damaged, match="damaged"), catalog_faults():
        raise MemoryError
