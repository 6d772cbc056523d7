"""Makes a bundle: checks, originals, the PDF, the summary, the bag; whole or not at all."""

import hashlib
import json
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from datetime import UTC
from pathlib import Path

from quietus.bundle.bag import MANIFEST, sha256_of, write_bag, zip_bag
from quietus.bundle.child import composed_apart, laid_in
from quietus.bundle.exhibits import Exhibit, exhibits_of
from quietus.bundle.job import TALLY, Composed, Job, Original
from quietus.bundle.request import BundleMade, BundleRequest
from quietus.bundle.summary import machine_summary, page_data
from quietus.bundle.verify_text import verify_text
from quietus.model.errors import Damaged, MachineFault, Misuse, Refused, Unreadable

Progress = Callable[[int, int], None]

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
        Refused: something that the purpose calls for is not proven, and gaps are not to be shown.
        Misuse: the target exists, or its parent does not.
        Damaged: an original is not what was received.
        Unreadable: a paper's file can't be taken apart.
        MachineFault: the bundle can't be written.
    """
    check_gaps(request)
    target = _target(folder, zipped=zipped)
    exhibits = exhibits_of(request.selection.included)
    with _private_folder(target) as private:
        bag = private / "bag"
        _write_originals(request, exhibits, bag)
        composed = _compose(request, exhibits, bag, private, progress)
        pdf_sha256 = sha256_of(bag / "data" / PROOF)
        payload = _write_rest(request, exhibits, composed, bag, pdf_sha256)
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


def _write_originals(request: BundleRequest, exhibits: Sequence[Exhibit], bag: Path) -> None:
    """Each original once, exactly as received.

    Raises:
        Damaged: what the vault gave is not what was received.
    """
    bag.mkdir(mode=0o700)  # whom it is for decides the person, not the folder it happens to lie in
    (bag / "data" / "originals").mkdir(parents=True)
    for exhibit in exhibits:
        path = bag / exhibit.file
        if path.exists():
            continue
        data = request.original(exhibit.paper.id)
        if hashlib.sha256(data).hexdigest() != exhibit.paper.sha256:
            raise Damaged(
                f"Paper {exhibit.paper.id[:8]} is not as it was received.", "Run `quietus check` and restore a backup."
            )
        path.write_bytes(data)


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
    )

    def told(done: int) -> None:
        if progress:
            progress(done, pages)

    try:
        return composed_apart(job, private, limits.seconds_for(pages), told)
    except Unreadable as error:
        raise _with_place(error, exhibits, laid_in(private / TALLY)) from None


def _with_place(error: Unreadable, exhibits: Sequence[Exhibit], done: int) -> Unreadable:
    """A child that died can't say over which paper; the tally tells how far it came."""
    if error.message.startswith("Exhibit"):
        return error
    for exhibit in exhibits:
        done -= len(exhibit.sheets)
        if done < 0:
            where = f"It came as far as exhibit {exhibit.letter} (paper {exhibit.paper.id[:8]})."
            return Unreadable(error.reason, f"{error.message} {where}", error.remedy)
    return error


def _original(exhibit: Exhibit, bag: Path) -> Original:
    paper = exhibit.paper
    return Original(
        paper=paper.id,
        letter=exhibit.letter,
        path=str(bag / exhibit.file),
        media_type=paper.media_type,
        pages=paper.pages,
        sheets=tuple((sheet.number, sheet.turn) for sheet in exhibit.sheets),
    )


def _write_rest(
    request: BundleRequest, exhibits: Sequence[Exhibit], composed: Composed, bag: Path, pdf_sha256: str
) -> int:
    """Summary, tag files and manifests; gives the size of the payload in bytes."""
    summary = machine_summary(request, exhibits, composed.starts)
    text = json.dumps(summary, indent=2, ensure_ascii=False) + "\n"
    (bag / "data" / SUMMARY).write_text(text, encoding="utf-8", newline="\n")
    info = {
        "Source-Organization": request.prepared_by,
        "External-Description": "Proof of closure",
        "Bagging-Date": request.made_at.astimezone(UTC).date().isoformat(),
        "Bag-Software-Agent": f"quietus {request.version}",
    }
    hashes = {exhibit.file: exhibit.paper.sha256 for exhibit in exhibits} | {f"data/{PROOF}": pdf_sha256}
    return write_bag(bag, info, {"VERIFY.txt": verify_text()}, hashes)
