"""Makes a bundle: checks, originals, the PDF, the summary, the bag; whole or not at all."""

import hashlib
import json
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import asdict, replace
from datetime import UTC
from pathlib import Path
from typing import Any

from quietus.bundle.bag import MANIFEST, sha256_of, write_bag, zip_bag
from quietus.bundle.child import composed_apart, naming_the_place
from quietus.bundle.exhibits import Exhibit, exhibits_of
from quietus.bundle.job import TALLY, Composed, Job, Original
from quietus.bundle.machine import machine_summary
from quietus.bundle.redaction import Wanted, overlooked, redacted_copies
from quietus.bundle.request import BundleMade, BundleRequest
from quietus.bundle.signature import REASON, Sealed, load_signer, room, seal_pdf
from quietus.bundle.summary import page_data
from quietus.bundle.verify_text import verify_text
from quietus.bundle.witness import write_journal, write_seal
from quietus.bundle.wording import plain_line
from quietus.model.errors import Damaged, MachineFault, Misuse, Refused

Progress = Callable[[int, int], None]

_AT_ONCE = 5
"""Threads beside the main one; each holds at most one redacted copy in memory while that is read again."""

PROOF, SUMMARY = "proof-of-closure.pdf", "summary.json"


def build_bundle(
    request: BundleRequest, folder: Path, *, zipped: bool = False, progress: Progress | None = None
) -> BundleMade:
    """Make the bundle in `folder`, or as one zip in `folder`.zip. Same request, same bytes.

    It is built in a private folder beside the target and renamed at the end: a bundle is there whole or not at all.

    Args:
        request: what it is to be.
        folder: the target; must not exist yet.
        zipped: one zip instead of a folder.
        progress: called with pages done and pages in all.

    Raises:
        Refused: something that the purpose calls for is not proven, and gaps are not to be shown; or a redacted copy
            shows what was to be hidden.
        Misuse: the target exists, or its parent does not.
        Damaged: an original is not what was received.
        Unreadable: a paper's file can't be taken apart.
        MachineFault: the bundle can't be written.
    """
    check_gaps(request)
    target = _target(folder, zipped=zipped)
    chosen = exhibits_of(request.selection.included)
    _check_overlooked(request, chosen)
    with _private_folder(target) as private, _threads() as beside:
        if request.seal:
            beside.submit(load_signer)
        bag = private / "bag"
        exhibits, checks = _write_files(request, chosen, bag, private, beside)
        composed = _compose(request, exhibits, bag, private, progress)
        for check in checks:
            check.result()  # nothing is sealed that shows what was to be hidden
        sealed = seal_pdf(bag / "data" / PROOF, request.seal, composed.hole) if request.seal and composed.hole else None
        pdf_sha256 = sealed.sha256 if sealed else sha256_of(bag / "data" / PROOF)
        known = {exhibit.file: exhibit.sha256 for exhibit in exhibits} | {f"data/{PROOF}": pdf_sha256}
        _write_witness(request, exhibits, composed, bag, sealed)
        payload = _write_tags(request, bag, sealed, known)
        made = BundleMade(
            path=target,
            pages=composed.pages,
            exhibits=len(exhibits),
            gaps=len(request.selection.gaps),
            payload_bytes=payload,
            pdf_sha256=pdf_sha256,
            manifest_sha256=sha256_of(bag / MANIFEST),
        )
        if zipped:
            zip_bag(bag, private / target.name, request.made_at)
        (private / target.name if zipped else bag).rename(target)
    return made


def check_gaps(request: BundleRequest) -> None:
    """Refuse a bundle that would look whole and is not.

    Raises:
        Refused: something that the purpose calls for is not proven, and gaps are not to be shown.
    """
    gaps = len(request.selection.gaps)
    if gaps and not request.show_gaps:
        things = "thing that this purpose calls for is" if gaps == 1 else "things that this purpose calls for are"
        raise Refused(
            f"{gaps} {things} not proven.",
            "Run `quietus verify` to see what is missing, or add --show-gaps to show the gaps openly in the bundle.",
        )


def _check_overlooked(request: BundleRequest, exhibits: Sequence[Exhibit]) -> None:
    """Refuse a paper that shows a number of a sort to hide where no place is known to black out.

    Raises:
        Refused: there is such a paper.
    """
    for exhibit in exhibits:
        sent = request.purpose.goes_in.get(exhibit.item.expected.kind)
        if sent and not exhibit.spots and overlooked(exhibit.paper.reading, sent.hide):
            raise Refused(
                f"Paper {exhibit.paper.id[:8]} shows a number that this purpose hides, and its place is not known.",
                "Have it read again, or mark the place by hand.",
            )


def _target(folder: Path, *, zipped: bool) -> Path:
    target = folder.with_name(f"{folder.name.removesuffix('.zip')}.zip") if zipped else folder
    if target.exists() or target.is_symlink():
        raise Misuse("The place for the bundle is taken.", "Choose a name that does not exist yet.")
    if not target.parent.is_dir():
        raise Misuse("The folder that the bundle should go into does not exist.", "Create it, or choose another.")
    return target


@contextmanager
def _private_folder(target: Path) -> Iterator[Path]:
    """A folder that only this user can look into, beside the target, gone afterwards."""
    try:
        with tempfile.TemporaryDirectory(
            prefix=f".{target.name}-", dir=target.parent, ignore_cleanup_errors=True
        ) as private:
            yield Path(private)
    except OSError as error:
        raise MachineFault(
            f"The bundle can't be written: {error.strerror}.", "Check the folder's permissions and free space."
        ) from None


@contextmanager
def _threads() -> Iterator[Executor]:
    """For work beside the main work; what has not begun when something fails is left undone."""
    threads = ThreadPoolExecutor(_AT_ONCE)
    try:
        yield threads
    finally:
        threads.shutdown(cancel_futures=True)


def _write_files(
    request: BundleRequest, exhibits: Sequence[Exhibit], bag: Path, private: Path, beside: Executor
) -> tuple[tuple[Exhibit, ...], list[Future[None]]]:
    """The exhibits' files: each original once, exactly as received, and a redacted copy where that is all that goes.

    Returns:
        The exhibits, those with a redacted copy with its hash and size; and the checks of the redacted copies.
    """
    bag.mkdir(mode=0o700)  # whom it is for decides the person, not the folder it happens to lie in
    (bag / "data" / "originals").mkdir(parents=True)
    wanted = []
    for exhibit in exhibits:
        path = private / exhibit.paper.sha256 if exhibit.redacted else bag / exhibit.file
        if not path.exists():
            path.write_bytes(_as_received(request, exhibit))
        if exhibit.redacted:
            wanted.append(_wanted(exhibit, path, bag))
    if wanted:
        (bag / "data" / "redacted").mkdir()
    checks = redacted_copies(wanted, private, request.limits, request.reread, beside)
    return tuple(_measured(exhibit, bag) for exhibit in exhibits), checks


def _as_received(request: BundleRequest, exhibit: Exhibit) -> bytes:
    """The bytes of a paper.

    Raises:
        Damaged: what the vault gave is not what was received.
    """
    data = request.original(exhibit.paper.id)
    if hashlib.sha256(data).hexdigest() != exhibit.paper.sha256:
        raise Damaged(
            f"Paper {exhibit.paper.id[:8]} is not as it was received.", "Run `quietus check` and restore a backup."
        )
    return data


def _wanted(exhibit: Exhibit, original: Path, bag: Path) -> Wanted:
    return Wanted(
        paper=exhibit.paper.id,
        letter=exhibit.letter,
        original=original,
        media_type=exhibit.paper.media_type,
        pages=exhibit.paper.pages,
        sheets=tuple(sheet.received for sheet in exhibit.sheets),
        spots=exhibit.spots,
        hide=exhibit.item.hide,
        target=bag / exhibit.file,
    )


def _measured(exhibit: Exhibit, bag: Path) -> Exhibit:
    if not exhibit.redacted:
        return exhibit
    path = bag / exhibit.file
    return replace(exhibit, sha256=sha256_of(path), size=path.stat().st_size)


def _compose(
    request: BundleRequest, exhibits: Sequence[Exhibit], bag: Path, private: Path, progress: Progress | None
) -> Composed:
    """The PDF, in a child process that is killed when a paper's file takes too much."""
    limits, pages = request.limits, sum(len(exhibit.sheets) for exhibit in exhibits)
    job = Job(
        data=page_data(request, exhibits),
        originals=tuple(_original(exhibit, bag) for exhibit in exhibits),
        target=str(bag / "data" / PROOF),
        limits=asdict(limits),
        seal=_seal_said(request),
    )

    def told(done: int) -> None:
        if progress:
            progress(done, pages)

    whose = [(exhibit.letter, exhibit.paper.id, len(exhibit.sheets)) for exhibit in exhibits]
    with naming_the_place(whose, private / TALLY):
        return composed_apart(job, private, limits.seconds_for(pages), told)


def _seal_said(request: BundleRequest) -> dict[str, Any] | None:
    """What the signature says of itself. The time beside it is the bundle's; only a time stamp proves one."""
    if request.seal is None:
        return None
    when = f"D:{request.made_at.astimezone(UTC):%Y%m%d%H%M%S}Z"
    return {"room": room(request.seal), "name": plain_line(request.seal.names), "reason": REASON, "when": when}


def _original(exhibit: Exhibit, bag: Path) -> Original:
    return Original(
        paper=exhibit.paper.id,
        letter=exhibit.letter,
        path=str(bag / exhibit.file),
        media_type=exhibit.media_type,
        pages=len(exhibit.sheets) if exhibit.redacted else exhibit.paper.pages,
        sheets=tuple((sheet.number, sheet.turn) for sheet in exhibit.sheets),
        made_here=exhibit.redacted,
    )


def _write_witness(
    request: BundleRequest, exhibits: Sequence[Exhibit], composed: Composed, bag: Path, sealed: Sealed | None
) -> None:
    """The summary for machines, and what strangers check the seal and the journal with."""
    summary = machine_summary(request, exhibits, composed.starts)
    text = json.dumps(summary, indent=2, ensure_ascii=False) + "\n"
    (bag / "data" / SUMMARY).write_text(text, encoding="utf-8", newline="\n")
    if request.seal and sealed:
        write_seal(bag, request.seal, sealed)
    write_journal(bag, exhibits, request.proofs)


def _write_tags(request: BundleRequest, bag: Path, sealed: Sealed | None, known: Mapping[str, str]) -> int:
    """Tag files and manifests; gives the size of the payload in bytes."""
    how = verify_text(
        sealed=sealed,
        self_made=request.seal is None or request.seal.self_made,
        files=[path.relative_to(bag).as_posix() for path in (bag / "data").rglob("*") if path.is_file()],
    )
    info = {
        "Source-Organization": request.prepared_by,
        "External-Description": "Proof of closure",
        "Bagging-Date": request.made_at.astimezone(UTC).date().isoformat(),
        "Bag-Software-Agent": f"quietus {request.version}",
    }
    return write_bag(bag, info, {"VERIFY.txt": how}, known)
