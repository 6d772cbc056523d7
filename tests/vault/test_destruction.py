"""What is destroyed is gone: from catalog, slack, log, folder and backup; and is not said to be before it is."""

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import select

from quietus.model.errors import MachineFault, Misuse
from quietus.model.paper import Paper, Standing
from quietus.model.reading import PageView
from quietus.vault import (
    Place,
    Vault,
    back_up,
    check_vault,
    copies,
    erasure,
    fetch_copy,
    forget_papers,
    place_at,
    settle_restored,
    verify_copy,
)
from quietus.vault import catalog as tables
from quietus.vault.catalog import data_keys
from tests.vault.make import ENTITY, file, files_of, opened, reading

CANARY = "Zephyrine Quillfeather lives at 9 Marrowbone Row"
PAPER = (CANARY * 40).encode()


def crowd(vault: Vault, number: int = 30) -> None:
    """Others around it, so that pages are shared, split and moved."""
    before = len(vault.papers())
    for count in range(before, before + number):
        file(vault, b"%d" % count, name=f"other-{count}.pdf")


def filed(vault: Vault) -> Paper:
    """A paper whose name, text and values are found nowhere else, with a second reading."""
    long = replace(reading(), pages=(PageView(1, 0, 0.0, CANARY * 300, "ocr"),))
    paper = vault.file_paper(
        PAPER, name="quillfeather-lease.pdf", media_type="application/pdf", pages=1, standing=Standing.FILED,
        entity=ENTITY.slug, expected="OR/dissolution", reading=long,
    )  # fmt: skip
    vault.note_repeat(paper.id, "quillfeather-again.pdf")
    return vault.add_reading(
        paper.id, long, standing=Standing.FILED, entity=ENTITY.slug, expected="OR/clearance", why="looked at it"
    )


def wrapped_key(vault: Vault, paper: Paper) -> bytes:
    with vault.store.reading() as connection:
        found: bytes = connection.execute(select(data_keys.c.wrapped).where(data_keys.c.paper == paper.id)).scalar_one()
    return found


def plain_pages(vault: Vault) -> Iterator[bytes]:
    """Every page of the catalog's file and of its log, decrypted, slack and all."""
    layout = vault.store.layout
    key = vault.store.keys.subkey("catalog")
    yield from erasure.pages_of(layout.catalog, key)
    log = layout.catalog_log
    if log.exists() and log.stat().st_size:
        data = log.read_bytes()
        frames = [data[at + 24 : at + 24 + 4096] for at in range(32, len(data), 24 + 4096)]
        frame = log.with_name("frames")
        for one in frames:
            frame.write_bytes(bytes(4096) + one)
            yield list(erasure.pages_of(frame, key))[1]
        frame.unlink()


def remains(vault: Vault, *needles: bytes) -> list[bytes]:
    """Which needles stand anywhere: in decrypted pages, in any table, in the journal as opened, in any file."""
    haystacks = [*plain_pages(vault), repr(vault.journal()).encode()]
    with vault.store.reading() as connection:
        for table in tables.metadata.sorted_tables:
            haystacks += [repr(tuple(row)).encode() for row in connection.execute(select(table))]
    haystacks += [path.read_bytes() for path in files_of(vault.store.layout.folder)]
    return [
        needle for needle in needles if any(needle in hay or repr(needle)[2:-1].encode() in hay for hay in haystacks)
    ]


def test_nothing_of_the_paper_is_left_anywhere_in_the_vault(folder: Path) -> None:
    with opened(folder) as vault:
        crowd(vault)
        paper = filed(vault)
        crowd_after = [file(vault, b"after %d" % count).id for count in range(30)]
        needles = (wrapped_key(vault, paper), b"Quillfeather", b"quillfeather", b"Marrowbone")
        assert set(remains(vault, *needles)) == set(needles), "the search itself finds what is there"
        vault.destroy_paper(paper.id, "kept long enough")
        assert remains(vault, *needles) == []
        assert check_vault(vault).sound
        assert {one.id for one in vault.papers()} >= set(crowd_after)
    with opened(folder) as vault:
        assert remains(vault, *needles) == []


@pytest.mark.parametrize("sloppy", [False, True])
def test_a_trace_in_a_page_s_slack_has_the_catalog_written_anew(
    folder: Path, monkeypatch: pytest.MonkeyPatch, sloppy: bool
) -> None:
    """A database that leaves deleted rows where they were is found out by looking, and written anew."""
    if sloppy:
        pragmas = tuple(p.replace("secure_delete = ON", "secure_delete = OFF") for p in tables._PRAGMAS)
        assert pragmas != tables._PRAGMAS
        monkeypatch.setattr(tables, "_PRAGMAS", pragmas)
    with opened(folder) as vault:
        crowd(vault)
        paper = filed(vault)
        crowd(vault, 1)
        key = wrapped_key(vault, paper)
        vault.destroy_paper(paper.id, "kept long enough")
        assert remains_in_pages(vault, key, b"Quillfeather", b"quillfeather") == []
        (entry,) = [e for e in vault.journal() if e.action == "paper-destroyed"]
        assert entry.details["rewritten"] is sloppy
        assert entry.details["pages"] > 5
        assert check_vault(vault).sound


def remains_in_pages(vault: Vault, *needles: bytes) -> list[bytes]:
    pages = list(plain_pages(vault))
    return [needle for needle in needles if any(needle in page for page in pages)]


def test_a_planted_trace_is_found_and_written_away(folder: Path) -> None:
    with opened(folder) as vault:
        paper, planted = file(vault, b"one"), file(vault, b"two")
        vault._traces[paper.id] = ()
        with vault.store.changing() as connection:
            traces = erasure.begin(connection, vault.paper(paper.id), vault.store.actor.clock())
        vault._traces[paper.id] = (*traces, planted.id.encode() + b"never anywhere")
        assert vault.finish_destruction() is not None
        other = file(vault, b"three")
        with vault.store.changing() as connection:
            erasure.begin(connection, vault.paper(other.id), vault.store.actor.clock())
        vault._traces[other.id] = (planted.id.encode(),)  # stands in a row that lives: no rewriting takes it away
        with pytest.raises(MachineFault, match="Traces"):
            vault.finish_destruction()
        assert vault.unfinished() == (other.id,)
        assert not [e for e in vault.journal() if e.action == "paper-destroyed" and e.about == other.id]


def test_while_another_reads_an_older_state_it_is_not_said_to_be_destroyed(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tables, "BUSY_SECONDS", 0.2)
    with opened(folder) as vault, opened(folder) as reader:
        paper = file(vault, b"one")
        with reader.store.reading() as connection:
            connection.execute(select(data_keys)).all()
            with pytest.raises(MachineFault, match="reads the catalog"):
                vault.destroy_paper(paper.id, "kept long enough")
        assert (vault.unfinished(), vault.papers()) == ((paper.id,), ())
        assert "paper-destroyed" not in {entry.action for entry in vault.journal()}
    with opened(folder) as vault:
        assert check_vault(vault).repaired == ("Finished the destruction of 1 papers, which had been cut short.",)
        assert (vault.unfinished(), check_vault(vault).repaired) == ((), ())
        assert "paper-destroyed" in {entry.action for entry in vault.journal()}


def test_inside_a_larger_change_nothing_goes_unless_all_of_it_does(vault: Vault) -> None:
    paper = file(vault, b"one")
    with pytest.raises(Misuse), vault.transaction():
        vault.destroy_paper(paper.id, "kept long enough")
        raise Misuse("changed my mind")
    assert vault.paper_bytes(paper.id, "test") == b"one"
    assert check_vault(vault).sound


def test_a_check_notices_when_a_destroyed_paper_left_something(vault: Vault) -> None:
    paper = filed(vault)
    with vault.store.reading() as connection:
        row = dict(connection.execute(select(tables.readings).limit(1)).mappings().one())
    vault.destroy_paper(paper.id, "kept long enough")
    with vault.store.changing() as connection:
        connection.execute(tables.readings.insert(), row)
    assert [problem.where for problem in check_vault(vault).problems] == [paper.id]


# --- the backup -------------------------------------------------------------------------------------------------


def test_copies_that_hold_a_destroyed_paper_go_and_the_others_stay(folder: Path, tmp_path: Path) -> None:
    place = place_at(str(tmp_path / "elsewhere"))
    with opened(folder) as vault:
        before = back_up(vault, place).copy.name
        paper = filed(vault)
        file(vault, b"stays")
        key = wrapped_key(vault, paper)
        sealed = (vault.store.layout.objects / paper.id[:2] / paper.id).read_bytes()
        old = [back_up(vault, place).copy.name for _ in range(2)]
        vault.destroy_paper(paper.id, "kept long enough")
        with pytest.raises(Misuse, match="Every copy"):
            forget_papers(place_with(old, tmp_path / "only-old"), [paper.id])
        new = back_up(vault, place).copy.name
        assert forget_papers(place, [paper.id]) == tuple(old)
        assert copies(place) == (before, new)
        assert not [path for path in files_of(tmp_path / "elsewhere") if sealed in path.read_bytes()]
    for name in (before, new):
        assert list(verify_copy(place, name)) == []
        again = tmp_path / name
        fetch_copy(place, name, again)
        with opened(again) as vault:
            assert remains(vault, key, b"Quillfeather", b"quillfeather") == []


def place_with(names: list[str], folder: Path) -> Place:
    """A backup of these copies only."""
    shutil.copytree(folder.with_name("elsewhere"), folder)
    for path in (folder / "lists").iterdir():
        if path.stem not in names:
            path.unlink()
    return place_at(str(folder))


def test_a_backup_is_never_made_of_a_destruction_half_done(folder: Path, tmp_path: Path) -> None:
    place = place_at(str(tmp_path / "elsewhere"))
    with opened(folder) as vault:
        paper = filed(vault)
        key = wrapped_key(vault, paper)
        with vault.transaction():
            vault.destroy_paper(paper.id, "kept long enough")
        assert vault.unfinished() == (paper.id,)
        name = back_up(vault, place).copy.name
        assert vault.unfinished() == ()
    fetch_copy(place, name, tmp_path / "again")
    with opened(tmp_path / "again") as vault:
        assert remains(vault, key, b"Quillfeather") == []


def test_a_paper_that_a_hold_keeps_stays_when_an_old_copy_is_put_back(folder: Path, tmp_path: Path) -> None:
    place = place_at(str(tmp_path / "elsewhere"))
    with opened(folder) as vault:
        paper = file(vault, b"one")
        old = back_up(vault, place).copy
        vault.destroy_paper(paper.id, "kept long enough")
        back_up(vault, place)
    fetch_copy(place, old.name, tmp_path / "again")
    with opened(tmp_path / "again") as vault:
        found = settle_restored(vault, place, old, held=lambda one: one.id == paper.id)
        assert (found.destroyed_again, found.held) == ((), (paper.id,))
        assert vault.paper_bytes(paper.id, "test") == b"one"
