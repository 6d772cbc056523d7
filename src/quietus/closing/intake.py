"""From the inbox into the vault: settled? safe? seen before? read, matched, sealed; only then out of the inbox.

Nothing is ever deleted that is not already durable in the vault, byte for byte. What can't be handled goes to
`inbox/quarantine/` with a reason beside it.
"""

import errno
import hashlib
import json
import os
import stat
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple

from watchfiles import watch

from quietus.closing.matching import Place, place
from quietus.closing.office import Office
from quietus.closing.parts import Piece, Placer, counting, file_batch, whole_reading
from quietus.closing.policy import remember_policy
from quietus.model.errors import MachineFault, Misuse, QuietusError, Unreadable
from quietus.model.paper import Paper
from quietus.model.reading import Reading
from quietus.reading import ReadingPool, media_type
from quietus.rules import expected_papers

QUARANTINE = "quarantine"
UNFINISHED = (".part", ".tmp", ".partial", ".crdownload", ".download")
"""Endings that scanners and browsers give to a file they are still writing."""


class Fate(StrEnum):
    """What became of one inbox file."""

    FILED = "filed"
    REPEAT = "seen before"
    QUARANTINED = "quarantined"
    WAITING = "still being written"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one inbox file.

    Attributes:
        name: the file's name in the inbox.
        fate: what became of it.
        papers: the papers it gave: one, several when it holds several, or the earlier ones when seen before.
        reason: why it is in quarantine or waits; empty otherwise.
    """

    name: str
    fate: Fate
    papers: tuple[Paper, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True)
class _Arrival:
    """An inbox file that was opened safely and read whole."""

    path: Path
    data: bytes
    sha256: str


class _Ahead(NamedTuple):
    """A file on its way: what arrived, and its readings to come; no reading for a twin of one already on its way."""

    path: Path
    arrival: _Arrival | Outcome
    future: Future[tuple[Reading, ...]] | None


def _unheard(*_: object) -> None:
    """Nobody asked to be told."""


def take_in(
    office: Office,
    *,
    progress: Callable[[int, int], None] = _unheard,
    report: Callable[[Outcome], None] = _unheard,
) -> tuple[Outcome, ...]:
    """Take in everything that lies in the inbox.

    Args:
        office: the opened office.
        progress: called with files done and files found.
        report: called with each outcome as it comes.

    Raises:
        MachineFault: the inbox or the vault can't be written; the file concerned is still in the inbox.
    """
    names = _inbox_files(office.config.inbox)
    outcomes: list[Outcome] = []
    if not names:
        return ()
    with office.reading_pool() as pool:
        for outcome in _outcomes(office, pool, names, placer(office)):
            outcomes.append(outcome)
            report(outcome)
            progress(len(outcomes), len(names))
    return tuple(outcomes)


def keep_taking_in(office: Office, report: Callable[[Outcome], None], stop: threading.Event | None = None) -> None:
    """Take in what is there, then whatever arrives, until interrupted or `stop` is set.

    A file that is still being written is reported once, not at every look.
    """
    waiting: set[str] = set()

    def tell(outcome: Outcome) -> None:
        if outcome.fate is not Fate.WAITING:
            waiting.discard(outcome.name)
            report(outcome)
        elif outcome.name not in waiting:
            waiting.add(outcome.name)
            report(outcome)

    take_in(office, report=tell)
    for _ in watch(office.config.inbox, recursive=False, stop_event=stop, yield_on_timeout=True, rust_timeout=2000):
        take_in(office, report=tell)


def _inbox_files(inbox: Path) -> list[Path]:
    try:
        entries = sorted(os.scandir(inbox), key=lambda entry: entry.name)
    except OSError as error:
        raise MachineFault(f"The inbox can't be read: {error.strerror}.", "Check `inbox` in quietus.toml.") from None
    return [
        Path(e.path) for e in entries
        if not e.name.startswith(".") and not (e.name == QUARANTINE and e.is_dir(follow_symlinks=False))
    ]  # fmt: skip


def placer(office: Office) -> Placer:
    """What finds the place of a reading: the register and the rules, loaded once for many papers."""
    packs, entities = office.packs(), office.vault.entities()
    return lambda reading: place(reading, entities, lambda entity: expected_papers(entity, packs))


def _outcomes(office: Office, pool: ReadingPool, files: list[Path], find: Placer) -> Iterator[Outcome]:
    """Outcomes in inbox order, with few files in memory: reading runs ahead of filing by one file a worker."""
    ahead: list[_Ahead] = []
    settled = _settled(files, office.limits.settle_seconds)
    for path in files:
        arrival = _arrive(path, settled, office)
        future = None
        if isinstance(arrival, _Arrival) and not _twin_ahead(arrival, ahead):
            future = pool.submit(arrival.data)
        ahead.append(_Ahead(path, arrival, future))
        if len(ahead) > office.workers:
            yield _finish(office, pool, find, ahead.pop(0))
    for item in ahead:
        yield _finish(office, pool, find, item)


def _twin_ahead(arrival: _Arrival, ahead: list[_Ahead]) -> bool:
    return any(isinstance(o.arrival, _Arrival) and o.arrival.sha256 == arrival.sha256 for o in ahead)


def _settled(files: list[Path], seconds: float) -> set[Path]:
    """The files whose size and time stood still for `seconds`. Old files need no waiting."""
    before = {path: _stamp(path) for path in files}
    now = time.time_ns()
    fresh = [p for p, s in before.items() if s and now - s[1] < seconds * 1e9]
    if fresh:
        time.sleep(seconds)
    return {p for p in files if before[p] == _stamp(p) and not p.name.lower().endswith(UNFINISHED)}


def _stamp(path: Path) -> tuple[int, int, int] | None:
    try:
        info = path.lstat()
    except OSError:
        return None
    return (info.st_size, info.st_mtime_ns, info.st_ino)


def _arrive(path: Path, settled: set[Path], office: Office) -> _Arrival | Outcome:
    if path not in settled:
        return Outcome(path.name, Fate.WAITING, reason="still being written: it stays in the inbox for the next time")
    try:
        data = _read_safely(path, office.limits.file_bytes)
        media_type(data)
    except Unreadable as refusal:
        return _refused(office, path, refusal)
    sha256 = hashlib.sha256(data).hexdigest()
    known = office.vault.paper_by_hash(sha256)
    if known:
        return _repeat(office, known, path)
    return _Arrival(path, data, sha256)


def _read_safely(path: Path, limit: int) -> bytes:
    """The file's bytes, from one descriptor that can't be a link, a pipe or a device, nor be swapped meanwhile."""
    try:
        descriptor = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    except OSError as error:
        if error.errno in {errno.ELOOP, errno.EMLINK}:
            raise Unreadable("a-link", "It is a link, not a file.", "Put the file itself into the inbox.") from None
        raise Unreadable("not-openable", f"It can't be opened: {error.strerror}.", "Check its permissions.") from None
    try:
        _check_file(os.fstat(descriptor), limit)
        with os.fdopen(descriptor, "rb", closefd=False) as file:
            return file.read(limit + 1)
    except OSError as error:
        raise Unreadable("not-openable", f"It can't be read: {error.strerror}.", "Check the disk.") from None
    finally:
        os.close(descriptor)


def _check_file(info: os.stat_result, limit: int) -> None:
    if not stat.S_ISREG(info.st_mode):
        raise Unreadable("not-a-file", "It is not a file.", "Put scans, not folders, into the inbox.")
    if info.st_nlink > 1:
        raise Unreadable("a-link", "It is a second name of another file.", "Put a copy into the inbox.")
    if info.st_size > limit:
        raise Unreadable("too-large", f"It is larger than {limit} bytes.", "Scan it at a lower resolution.")


def _finish(office: Office, pool: ReadingPool, find: Placer, item: _Ahead) -> Outcome:
    path, arrival, future = item
    if isinstance(arrival, Outcome):
        return arrival
    try:
        if future is None:  # the same bytes came earlier in this very run, and are filed or refused by now
            return _repeat_of_this_run(office, arrival)
        readings = future.result()
        papers = _file_all(office, pool, arrival, readings, find)
    except Unreadable as refusal:
        return _refused(office, path, refusal)
    _remove(path)
    return Outcome(path.name, Fate.FILED, papers)


def _repeat_of_this_run(office: Office, arrival: _Arrival) -> Outcome:
    known = office.vault.paper_by_hash(arrival.sha256)
    if known is None:
        raise Unreadable("refused-twin", "The same bytes were refused a moment ago.", "See the reason beside its twin.")
    return _repeat(office, known, arrival.path)


def _repeat(office: Office, known: Paper, path: Path) -> Outcome:
    office.vault.note_repeat(known.id, path.name)
    _remove(path)
    return Outcome(path.name, Fate.REPEAT, counting(office, known))


def _file_all(
    office: Office, pool: ReadingPool, arrival: _Arrival, readings: tuple[Reading, ...], find: Placer
) -> tuple[Paper, ...]:
    """File what one inbox file holds: a paper, or several with the file as received beside them."""
    if len(readings) == 1:
        return (_file(office, arrival, find(readings[0])),)
    sort = media_type(arrival.data)
    groups = tuple(tuple(view.number for view in reading.pages) for reading in readings)
    try:
        files = pool.parts(arrival.data, groups).result()
    except Unreadable:  # it can be read, and yet not be taken apart: whole, it is still safe, and a person will look
        return (_file(office, arrival, find(_inseparable(pool.submit(arrival.data, (1,)).result()[0]))),)
    pieces = [Piece(data, sort, reading) for data, reading in zip(files, readings, strict=True)]
    return file_batch(office, Piece(arrival.data, sort, whole_reading(readings)), arrival.path.name, pieces, find)


def _inseparable(reading: Reading) -> Reading:
    kind = reading["kind"]
    doubted = replace(kind, review=True, method=f"{kind.method}; seems to hold several papers")
    return replace(reading, values={**reading.values, "kind": doubted})


def _file(office: Office, arrival: _Arrival, found: Place) -> Paper:
    remember_policy(office)  # what a paper is kept by is promised when it is filed
    return office.vault.file_paper(
        arrival.data,
        name=arrival.path.name,
        media_type=media_type(arrival.data),
        pages=len(found.reading.pages),
        standing=found.standing,
        entity=found.entity,
        expected=found.expected,
        reading=found.reading,
    )


def _remove(path: Path) -> None:
    """Take a file out of the inbox whose bytes are durable in the vault."""
    try:
        path.unlink()
    except OSError as error:
        raise MachineFault(
            f"A filed paper can't be removed from the inbox: {error.strerror}.",
            "Give quietus write permission on the inbox; the paper is safe in the vault and will be seen as a repeat.",
        ) from None


def _refused(office: Office, path: Path, refusal: Unreadable) -> Outcome:
    """A file that can't be handled goes aside, unless it may still be on its way."""
    new = time.time() - path.lstat().st_mtime < office.limits.fresh_seconds
    if new and refusal.reason in {"truncated", "empty"}:
        return Outcome(path.name, Fate.WAITING, reason="cut short, but new: it may still be on its way")
    return _quarantine(office, path, refusal)


def _quarantine(office: Office, path: Path, refusal: Unreadable) -> Outcome:
    """Move a file that can't be handled aside, never over another, with the reason beside it."""
    folder = office.config.inbox / QUARANTINE
    try:
        folder.mkdir(exist_ok=True, mode=0o700)
        target = _free_name(folder, path.name)
        path.rename(target)
        note = {"reason": refusal.reason, "what": refusal.message, "next": refusal.remedy}
        target.with_name(f"{target.name}.reason.json").write_text(json.dumps(note, indent=1) + "\n", encoding="utf-8")
    except OSError as error:
        raise MachineFault(
            f"Quarantine can't be written: {error.strerror}.", "Check the inbox's permissions."
        ) from None
    office.vault.record("inbox-quarantined", "", {"reason": refusal.reason, "name": path.name})
    return Outcome(path.name, Fate.QUARANTINED, reason=f"{refusal.reason}: {refusal.message} {refusal.remedy}".strip())


def _free_name(folder: Path, name: str) -> Path:
    target = folder / name
    number = 1
    while os.path.lexists(target):
        target = folder / f"{number}-{name}"
        number += 1
    return target


def read_files(
    files: list[Path], pool: ReadingPool, workers: int, limit: int
) -> Iterator[tuple[Path, tuple[Reading, ...] | QuietusError]]:
    """Read files without any vault, in the order given; a refusal stands in place of a reading."""
    waiting: list[tuple[Path, Future[tuple[Reading, ...]] | QuietusError]] = []
    for path in files:
        waiting.append((path, _submitted(path, pool, limit)))
        if len(waiting) > workers:
            yield _read_result(*waiting.pop(0))
    for item in waiting:
        yield _read_result(*item)


def _submitted(path: Path, pool: ReadingPool, limit: int) -> Future[tuple[Reading, ...]] | QuietusError:
    try:
        if not path.is_file():
            return Misuse(f"There is no file {path.name}.", "Check the path.")
        if path.stat().st_size > limit:
            return Unreadable("too-large", f"It is larger than {limit} bytes.", "Scan it at a lower resolution.")
        return pool.submit(path.read_bytes())
    except OSError as error:
        return Misuse(f"{path.name} can't be read: {error.strerror}.", "Check its permissions.")


def _read_result(
    path: Path, result: Future[tuple[Reading, ...]] | QuietusError
) -> tuple[Path, tuple[Reading, ...] | QuietusError]:
    if isinstance(result, QuietusError):
        return path, result
    try:
        return path, result.result()
    except QuietusError as refusal:
        return path, refusal
