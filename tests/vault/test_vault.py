"""What goes into a vault comes out again, and only what may."""

import tracemalloc
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import BinaryIO, cast

import pytest

from quietus.model.errors import Misuse, WrongKey
from quietus.model.paper import Standing
from quietus.model.reading import Reading, Value
from quietus.vault import Vault, check_vault, create_vault
from quietus.vault.objects import CHUNK_BYTES
from tests.vault.make import CHEAP, ENTITY, PASSPHRASE, WAIVER, file, made, opened, reading, ticking


def test_an_entity_comes_back_as_it_was_put(vault: Vault) -> None:
    bare = replace(ENTITY, slug="bare", formed=None, closed=None, members=(), year_end=(6, 30), has_assets=False)
    vault.put_entity(bare)
    assert vault.entities() == (bare, ENTITY)
    assert vault.entity("bare") == bare
    assert vault.entity("nobody") is None


def test_a_replaced_entity_is_kept_in_the_journal(vault: Vault) -> None:
    vault.put_entity(replace(ENTITY, ein="07-4418231"))
    entry = vault.journal()[-1]
    assert (entry.action, entry.about) == ("entity-put", ENTITY.slug)
    assert entry.details["old"]["ein"] == ENTITY.ein


def test_putting_the_same_entity_again_changes_nothing(vault: Vault) -> None:
    before = vault.journal()
    vault.put_entity(ENTITY)
    assert vault.journal() == before


@pytest.mark.parametrize("size", [0, 1, CHUNK_BYTES - 1, CHUNK_BYTES, CHUNK_BYTES + 1, 3 * CHUNK_BYTES])
def test_a_paper_comes_back_byte_for_byte(vault: Vault, size: int) -> None:
    data = (b"paper %d " % size * (size // 8 + 1))[:size]
    paper = file(vault, data)
    assert vault.paper_bytes(paper.id, "test") == data
    assert check_vault(vault).sound


def test_papers_survive_closing_the_vault(folder: Path) -> None:
    with opened(folder) as vault:
        paper = file(vault, b"one")
    with opened(folder) as vault:
        assert vault.papers() == (paper,)
        assert vault.paper_bytes(paper.id, "test") == b"one"
        assert paper.received.tzinfo is UTC


def test_papers_are_listed_by_entity_in_the_order_received(vault: Vault) -> None:
    first, second = file(vault, b"one"), file(vault, b"two")
    stray = vault.file_paper(
        b"three",
        name="x.png",
        media_type="image/png",
        pages=1,
        standing=Standing.UNASSIGNED,
        entity="",
        expected="",
        reading=Reading(pages=()),
    )
    assert vault.papers(ENTITY.slug) == (first, second)
    assert [p.id for p in vault.papers("")] == [stray.id]
    assert len(vault.papers()) == 3


def test_the_same_bytes_are_filed_once(vault: Vault) -> None:
    paper = file(vault, b"one")
    assert vault.paper_by_hash(paper.sha256) == paper
    with pytest.raises(Misuse):
        file(vault, b"one", name="again.pdf")
    vault.note_repeat(paper.id, "again.pdf")
    last = vault.journal()[-1]
    assert (last.action, last.about, last.details) == ("paper-repeated", paper.id, {})
    assert [name for _, name in vault.repeats(paper.id)] == ["again.pdf"]
    assert vault.papers() == (paper,)


def test_a_paper_is_found_by_the_first_digits_of_its_id(vault: Vault) -> None:
    papers = [file(vault, b"%d" % n) for n in range(20)]
    assert vault.paper(papers[0].id) == papers[0]
    unlike = next(n for n in range(1, 33) if sum(p.id.startswith(papers[0].id[:n]) for p in papers) == 1)
    assert vault.paper(papers[0].id[:unlike]) == papers[0]
    shared = next(d for d in "0123456789abcdef" if sum(p.id.startswith(d) for p in papers) > 1)
    for wrong in (shared, "", "zz", "%", papers[0].id + "0", "0" * 32):
        with pytest.raises(Misuse):
            vault.paper(wrong)


@pytest.mark.parametrize(
    ("standing", "entity"), [(Standing.FILED, ""), (Standing.UNASSIGNED, ENTITY.slug), (Standing.FILED, "nobody")]
)
def test_standing_and_entity_have_to_fit_together(vault: Vault, standing: Standing, entity: str) -> None:
    paper = file(vault, b"one")
    with pytest.raises(Misuse):
        vault.add_reading(paper.id, reading(), standing=standing, entity=entity, expected="", why="")
    assert vault.papers() == (paper,)
    assert len(vault.readings(paper.id)) == 1


def test_every_former_reading_is_kept(vault: Vault) -> None:
    paper = file(vault, b"one")
    corrected = Reading(paper.reading.pages, {**paper.reading.values, "ein": Value("07-4418320", 1.0)}, "an engine")
    after = vault.add_reading(
        paper.id, corrected, standing=Standing.REJECTED, entity="", expected="", why="swapped digits"
    )
    assert vault.paper(paper.id) == after
    assert (after.reading["ein"].value, after.standing, after.entity) == ("07-4418320", Standing.REJECTED, "")
    kept = vault.readings(paper.id)
    assert [r for _, _, r in kept] == [paper.reading, after.reading]
    assert [who for _, who, _ in kept] == ["pat", "pat"]
    assert kept[0][0] < kept[1][0]


def test_the_journal_tells_which_fields_changed_but_not_their_values(vault: Vault) -> None:
    paper = file(vault, b"one")
    vault.add_reading(
        paper.id, reading("07-4418320"), standing=Standing.FILED, entity=ENTITY.slug, expected="", why="looked"
    )
    details = vault.journal()[-1].details
    assert details["fields"] == ["ein"]
    assert details["old"]["expected"] == "OR/dissolution"
    assert "07-44" not in str(details)


def test_waivers_are_put_replaced_and_dropped(vault: Vault) -> None:
    vault.put_waiver(WAIVER)
    vault.put_waiver(replace(WAIVER, reason="a better reason"))
    assert vault.waivers() == vault.waivers(ENTITY.slug) == (replace(WAIVER, reason="a better reason"),)
    assert vault.waivers("another") == ()
    vault.drop_waiver(ENTITY.slug, "OR/clearance", "a mistake")
    assert vault.waivers() == ()
    assert vault.journal()[-1].details["old"]["reason"] == "a better reason"
    with pytest.raises(Misuse):
        vault.drop_waiver(ENTITY.slug, "OR/clearance", "again")
    with pytest.raises(Misuse):
        vault.put_waiver(replace(WAIVER, entity="nobody"))


def test_opening_a_paper_is_recorded_with_who_and_why(vault: Vault) -> None:
    paper = file(vault, b"one")
    vault.paper_bytes(paper.id, "bundle for lender")
    entry = vault.journal()[-1]
    assert (entry.who, entry.action, entry.about) == ("pat", "paper-opened", paper.id)
    assert entry.details == {"why": "bundle for lender"}


def test_a_transaction_happens_whole_or_not_at_all(vault: Vault) -> None:
    before = vault.journal()
    with pytest.raises(ZeroDivisionError), vault.transaction():
        paper = file(vault, b"one")
        vault.put_waiver(WAIVER)
        assert vault.papers() == (paper,)
        raise ZeroDivisionError
    assert (vault.papers(), vault.waivers(), vault.journal()) == ((), (), before)
    assert list(vault.store.objects.ids()) == []
    with vault.transaction():
        file(vault, b"one")
        vault.put_waiver(WAIVER)
    assert len(vault.papers()) == len(vault.waivers()) == 1
    assert check_vault(vault).sound


def test_a_name_that_is_no_text_is_stored_readably(vault: Vault) -> None:
    assert file(vault, b"one", name="scan\udcff.pdf").name == "scan\\udcff.pdf"


def test_a_vault_is_made_only_in_an_empty_folder(tmp_path: Path) -> None:
    empty, full = tmp_path / "empty", tmp_path / "full"
    empty.mkdir()
    full.mkdir()
    (full / "letter.txt").write_text("hello")
    made(empty)
    for taken in (empty, full, full / "letter.txt"):
        with pytest.raises(Misuse):
            create_vault(taken, PASSPHRASE, who="pat", clock=ticking(), cost=CHEAP)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["empty", "full"]


def test_only_the_passphrase_opens(folder: Path) -> None:
    for wrong in (b"another", PASSPHRASE[:-1], PASSPHRASE + b"\n"):
        with pytest.raises(WrongKey):
            opened(folder, wrong)
    for silly in (b"", b"x" * 1025):
        with pytest.raises(Misuse):
            opened(folder, silly)


def test_where_there_is_no_vault_it_says_so(tmp_path: Path) -> None:
    with pytest.raises(Misuse, match="no vault"):
        opened(tmp_path)


def test_a_closed_vault_does_nothing_more(folder: Path) -> None:
    vault = opened(folder)
    vault.close()
    with pytest.raises(Misuse):
        vault.papers()
    with pytest.raises(Misuse):
        vault.put_waiver(WAIVER)


def test_everything_belongs_to_this_account_alone(vault: Vault, folder: Path) -> None:
    file(vault, b"one")
    for path in (folder, *folder.rglob("*")):
        assert path.stat().st_mode & 0o777 == (0o700 if path.is_dir() else 0o600), path


def test_no_repr_shows_a_key_or_the_passphrase(vault: Vault) -> None:
    shown = "".join(repr(thing) for thing in (vault, vault.store, vault.store.keys, vault.store.objects))
    assert vault.store.keys.root.hex() not in shown
    assert repr(vault.store.keys.root) not in shown


def test_times_are_kept_in_universal_time(folder: Path) -> None:
    with opened(folder) as vault:
        entry = vault.journal()[0]
    assert entry.at == datetime(2026, 11, 20, 17, 0, 1, tzinfo=UTC)
    assert (entry.number, entry.action) == (1, "vault-created")


class Endless:
    """A file of so many bytes that takes no memory."""

    def __init__(self, size: int) -> None:
        self.size, self.at = size, 0

    def read(self, size: int = -1) -> bytes:
        piece = b"%7d\n" % (self.at // 65536) * 8192
        piece = piece[: min(size, self.size - self.at)]
        self.at += len(piece)
        return piece

    def seek(self, place: int) -> int:
        self.at = place
        return place

    def tell(self) -> int:
        return self.at


def test_a_long_paper_takes_no_more_memory_than_a_short_one(vault: Vault) -> None:
    size = 48 * CHUNK_BYTES
    tracemalloc.start()
    try:
        paper = file(vault, cast("BinaryIO", Endless(size)))
        count = sum(len(piece) for piece in vault.paper_stream(paper.id, "test"))
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert (count, paper.size) == (size, size)
    assert peak < 12 * CHUNK_BYTES


def test_a_file_that_changes_while_it_is_filed_is_refused(vault: Vault) -> None:
    class Changing(Endless):
        def seek(self, place: int) -> int:
            self.size -= 1
            return super().seek(place)

    with pytest.raises(Misuse, match="changed"):
        file(vault, cast("BinaryIO", Changing(100)))
    assert vault.papers() == ()
    assert list(vault.store.objects.ids()) == []


def test_a_destroyed_paper_leaves_a_stub_and_never_opens_again(vault: Vault) -> None:
    paper = file(vault, b"one")
    vault.note_repeat(paper.id, "again.pdf")
    vault.destroy_paper(paper.id, "kept long enough")
    assert (vault.papers(), vault.unfinished(), list(vault.store.objects.ids())) == ((), (), [])
    (stub,) = vault.stubs()
    assert (stub.id, stub.sha256, stub.size, stub.pages, stub.received) == (
        paper.id, paper.sha256, paper.size, paper.pages, paper.received,
    )  # fmt: skip
    for ask in (vault.paper, vault.readings, vault.repeats, lambda name: vault.paper_bytes(name, "test")):
        with pytest.raises(Misuse, match="destroyed"):
            ask(paper.id[:10])
    with pytest.raises(Misuse, match="destroyed"):
        vault.destroy_paper(paper.id, "again")
    assert check_vault(vault).sound
    told = [(entry.action, entry.details.get("why")) for entry in vault.journal()]
    assert ("destruction-begun", "kept long enough") in told
    assert ("paper-refused", "test") in told
    assert [action for action, _ in told].count("paper-destroyed") == 1


def test_bytes_that_were_destroyed_are_a_new_paper_when_they_come_again(vault: Vault) -> None:
    first = file(vault, b"one")
    vault.destroy_paper(first.id, "kept long enough")
    assert vault.paper_by_hash(first.sha256) is None
    second = file(vault, b"one")
    assert second.id != first.id
    assert vault.paper_bytes(second.id, "test") == b"one"
    assert next(e.details.get("destroyed_before") for e in vault.journal() if e.about == second.id) == [first.id]
