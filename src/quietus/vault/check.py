"""Does everything in the vault stand as it was written? Reads all of it and reports; throws away only rubbish."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, Select, func, select

from quietus.model.errors import Damaged
from quietus.vault import cards, catalog, erasure, facts, journal, rows
from quietus.vault.crypto import unwrap
from quietus.vault.durable import FROZEN, TEMPORARY, machine_faults
from quietus.vault.objects import sealed_size
from quietus.vault.store import Store
from quietus.vault.vault import Vault

MOST_SWEPT = 100
"""Objects without a row that are taken for the leavings of a crash. More look like a catalog from an older backup."""

_RESTORE = "Take the vault from a backup."
_RESTORE_PAPER = "Take the paper from a backup."


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is not as it should be.

    Attributes:
        what: one plain sentence.
        where: id of the paper, number of the journal entry, or name of the file; never client data.
        remedy: what to do.
    """

    what: str
    where: str
    remedy: str


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What a check found.

    Attributes:
        problems: empty when everything stands as it was written.
        repaired: what the check, or the opening before it, put right by itself; one sentence each.
        deep: whether every sealed paper was opened.
        rows: rows of the catalog.
        objects: sealed papers that should be there.
        paper_bytes: bytes of the papers, as received, that were opened and found whole.
        entries: journal entries verified.
    """

    problems: tuple[Problem, ...]
    repaired: tuple[str, ...]
    deep: bool
    rows: int
    objects: int
    paper_bytes: int
    entries: int

    @property
    def sound(self) -> bool:
        """True when there is no problem."""
        return not self.problems


@dataclass(frozen=True, slots=True)
class _Sealed:
    """What the catalog says of one sealed paper."""

    id: str
    sha256: str
    size: int
    wrapped: bytes | None


def check_vault(vault: Vault, *, deep: bool = True, progress: Callable[[int, int], None] | None = None) -> CheckReport:
    """Verify the catalog, the journal and every sealed paper, and sweep up what a crash left.

    Other processes may use the vault while papers are read; they wait while catalog and journal are. The check enters
    itself in the journal, unless catalog or journal are damaged: then nothing is written, and nothing swept.

    Args:
        vault: open.
        deep: whether to read and open every sealed paper and every page of the catalog; if not, papers are only
            looked for and measured.
        progress: called with papers done and papers in all.

    Raises:
        Misuse: called inside a transaction.
        MachineFault: the machine would not do it, or another quietus keeps the vault.
    """
    store = vault.store
    problems: list[Problem] = []
    with store.holding() as connection:
        problems += _of(lambda: _catalog(connection, deep=deep), "catalog.db")
        entries = _journal(store, connection, problems)
        sealed: list[_Sealed] = []
        problems += _of(lambda: _sealed(connection, sealed), "catalog.db")
        sound = not problems
        problems += _of(lambda: _strangers(store, connection), "objects")
        swept = tuple(_sweep(store, connection)) if sound else ()
        count = _rows(connection) if sound else 0
    swept += tuple(_finished(vault)) if sound else ()
    paper_bytes = 0
    for done, paper in enumerate(sealed, start=1):
        faults = list(_paper(vault, paper, deep=deep))
        paper_bytes += 0 if faults or not deep else paper.size
        problems += faults
        if progress:
            progress(done, len(sealed))
    repaired = (*vault.notes, *swept)
    report = CheckReport(tuple(problems), repaired, deep, count, len(sealed), paper_bytes, entries)
    if sound:
        details = {"deep": deep, "objects": report.objects, "problems": len(problems), "repaired": list(swept)}
        vault.record("vault-checked", store.keys.vault, details)
    return report


def _of(look: Callable[[], Iterator[Problem]], where: str) -> Iterator[Problem]:
    """The problems that `look` finds; damage that stops it short is one more."""
    try:
        with catalog.catalog_faults():
            yield from look()
    except Damaged as error:
        yield Problem(error.message, where, error.remedy)


# --- catalog ----------------------------------------------------------------------------------------------------


def _catalog(connection: Connection, *, deep: bool) -> Iterator[Problem]:
    if deep:
        for (said,) in connection.exec_driver_sql("PRAGMA cipher_integrity_check"):
            yield Problem(f"A page of the catalog is not as it was written: {said}.", "catalog.db", _RESTORE)
    pragma = "integrity_check" if deep else "quick_check"
    for (said,) in connection.exec_driver_sql(f"PRAGMA {pragma}"):
        if said != "ok":
            yield Problem("The catalog's own structure is broken.", "catalog.db", _RESTORE)
    for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield Problem(f"A row of {row[0]} belongs to nothing.", f"{row[0]} row {row[1]}", _RESTORE)
    yield from _unreadable(connection, select(catalog.entities), rows.entity_of, "entities")
    yield from _unreadable(connection, select(catalog.waivers), rows.waiver_of, "waivers")
    yield from _unreadable(connection, select(cards.cards), cards.card_of, "cards")
    yield from _unreadable(connection, select(catalog.readings), rows.reading_of, "readings")
    yield from _unreadable(connection, rows.papers_with_newest(), rows.paper_of, "papers")
    yield from _other_facts(connection)
    yield from _not_gone(connection)


def _finished(vault: Vault) -> Iterator[str]:
    """Finish destructions that were cut short."""
    erased = vault.finish_destruction()
    if erased:
        yield f"Finished the destruction of {len(erased.papers)} papers, which had been cut short."


def _not_gone(connection: Connection) -> Iterator[Problem]:
    """Destroyed papers of which the catalog still knows more than a stub."""
    gone = select(catalog.destroyed.c.paper)
    for table in (catalog.data_keys, catalog.readings, facts.facts, rows.receipts):
        for paper in connection.execute(select(table.c.paper).where(table.c.paper.in_(gone)).distinct()).scalars():
            yield Problem("A paper that was destroyed has left something in the catalog.", paper, _RESTORE)


def _other_facts(connection: Connection) -> Iterator[Problem]:
    """Papers whose facts, from which many closings are judged at once, are not those of the reading that counts."""
    for row in connection.execute(rows.papers_with_newest()):
        with suppress(Damaged):  # told of already
            if not facts.agree(connection, rows.paper_of(row)):
                yield Problem("The facts of a paper are not those of its reading.", row.id, _RESTORE)


def _rows(connection: Connection) -> int:
    tables = catalog.metadata.sorted_tables
    return sum(connection.execute(select(func.count()).select_from(table)).scalar_one() for table in tables)


def _unreadable(
    connection: Connection, query: Select[Any], parse: Callable[[Row[Any]], object], table: str
) -> Iterator[Problem]:
    for row in connection.execute(query.execution_options(yield_per=1000)):
        try:
            parse(row)
        except Damaged as error:
            yield Problem(error.message, table, error.remedy)


# --- journal ----------------------------------------------------------------------------------------------------


def _journal(store: Store, connection: Connection, problems: list[Problem]) -> int:
    entries = 0
    try:
        with catalog.catalog_faults():
            for entry in journal.entries(connection, store.keys):
                entries = entry.number
    except Damaged as error:
        problems.append(Problem(error.message, f"journal entry {entries + 1}", error.remedy))
    try:
        with catalog.catalog_faults():
            store.settle(connection, thorough=True, whole=True)
    except Damaged as error:
        problems.append(Problem(error.message, "journal.log", error.remedy))
    return entries


# --- sealed papers ----------------------------------------------------------------------------------------------


def _sealed(connection: Connection, sealed: list[_Sealed]) -> Iterator[Problem]:
    """Fill `sealed` from the catalog; a generator only so that damage on the way is reported like any other."""
    papers, keys = catalog.papers, catalog.data_keys
    query = select(papers.c.id, papers.c.sha256, papers.c.size, keys.c.wrapped).order_by(papers.c.id)
    query = query.where(papers.c.id.not_in(select(catalog.destroyed.c.paper)))
    for row in connection.execute(query.select_from(papers.outerjoin(keys))):
        sealed.append(_Sealed(row.id, row.sha256, row.size, row.wrapped))
        if row.wrapped is None:
            yield Problem("The key of a paper is gone.", row.id, _RESTORE)


def _paper(vault: Vault, paper: _Sealed, *, deep: bool) -> Iterator[Problem]:
    if paper.wrapped is None:
        return
    try:
        _measure(vault.store, paper)
        unwrap(vault.store.keys.subkey("wrapping", paper.id), paper.wrapped)
        if deep:
            for _ in vault.opened(paper.id, paper.sha256):
                pass
    except Damaged as error:
        yield Problem(error.message, paper.id, error.remedy)


def _measure(store: Store, paper: _Sealed) -> None:
    size = store.objects.size(paper.id)
    if size is None:
        raise Damaged("A sealed paper is gone.", _RESTORE_PAPER)
    if size != sealed_size(paper.size):
        raise Damaged("A sealed paper has not the size it was written with.", _RESTORE_PAPER)


# --- leavings of a crash ----------------------------------------------------------------------------------------


def _sweep(store: Store, connection: Connection) -> Iterator[str]:
    """Remove half-written files and objects without a row, which no key opens; says what it removed."""
    others = (path for path in store.layout.others() if path.name.startswith(TEMPORARY) and not _in_use(path))
    unfinished = [*store.objects.unfinished(), *others]
    for path in unfinished:
        with machine_faults():
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    if unfinished:
        yield f"Removed {len(unfinished)} half-written files that a crash left."
    pending = set(erasure.pending(connection))  # these go, and are told of, when their destruction is finished
    orphans = [paper_id for paper_id in _orphans(store, connection) if paper_id not in pending]
    if 0 < len(orphans) <= MOST_SWEPT:
        for paper_id in orphans:
            store.objects.remove(paper_id)
        yield f"Removed {len(orphans)} sealed papers that a crash kept out of the catalog; no key opens them."


def _in_use(path: Path) -> bool:
    """Whether a backup that is still running made it."""
    process = path.name.removeprefix(FROZEN).partition("-")[0]
    return path.name.startswith(FROZEN) and process.isdigit() and Path(f"/proc/{process}").exists()


def _strangers(store: Store, connection: Connection) -> Iterator[Problem]:
    """What stands in the vault without being the vault's. It is left alone."""
    for path in (*store.objects.strangers(), *store.layout.others()):
        if not path.name.startswith(TEMPORARY):
            yield Problem("A file that quietus did not put there stands in the vault.", path.name, "Move it elsewhere.")
    orphans = _orphans(store, connection)
    if len(orphans) > MOST_SWEPT:
        yield Problem(
            f"{len(orphans)} sealed papers are not in the catalog, more than a crash leaves. They were left alone.",
            "objects",
            "If a backup was put back, put back catalog and objects of the same backup.",
        )


def _orphans(store: Store, connection: Connection) -> list[str]:
    gone = select(catalog.destroyed.c.paper)
    known = set(connection.execute(select(catalog.papers.c.id).where(catalog.papers.c.id.not_in(gone))).scalars())
    return [paper_id for paper_id in store.objects.ids() if paper_id not in known]
