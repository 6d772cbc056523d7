"""Makes the one PDF. Runs in the child process: drawn pages from the typesetter, papers laid into their frames.

The typesetter draws every page, also those that will show a paper: heading, stamp line, page number, links, bookmarks
and tags are its work, so that page numbers cannot disagree with the pages. Each page of a paper is then laid, as a form
or an image, into the tagged place that the typesetter left for it.
"""

import hashlib
import io
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO, TypeAlias

import pikepdf

from quietus.bundle.damage import naming
from quietus.bundle.drawn import (
    ARCHIVAL,
    PLAIN,
    make_room,
    make_seal_field,
    name_maker,
    seal_entries,
    starts_of,
    typeset,
    with_sheets,
)
from quietus.bundle.foreign import PdfFile
from quietus.bundle.geometry import Frame, frame
from quietus.bundle.job import Composed, Job, Original
from quietus.bundle.pictures import PictureFile
from quietus.bundle.writer import PdfWriter
from quietus.model.errors import MachineFault, Unreadable
from quietus.model.limits import Limits

File: TypeAlias = PdfFile | PictureFile


def compose(job: Job, limits: Limits, tally: Path) -> Composed:
    """Write the PDF.

    Args:
        job: what to compose.
        limits: ceilings on pages and pixels.
        tally: a file that grows by one byte for each page laid in, so that the parent can follow.

    Raises:
        Unreadable: a paper's file can't be taken apart; the message names the paper.
        MachineFault: the PDF can't be written.
    """
    opened: dict[str, File] = {}
    frames = [_frames(opened, original, limits) for original in job.originals]
    remarks = [opened[original.path].remarks for original in job.originals]
    foreign = [original.letter for original in job.originals if not (original.made_here or opened[original.path].plain)]
    pages = typeset(with_sheets(job.data, frames, remarks, foreign), PLAIN if foreign else ARCHIVAL)
    with pikepdf.open(io.BytesIO(pages)) as drawn, _new(job.target) as file:
        starts = starts_of(drawn, [original.letter for original in job.originals])
        places = make_room(drawn, frames, starts)
        name_maker(drawn, f"quietus {job.data['version']}")
        seal = make_seal_field(drawn) if job.seal else 0
        writer = PdfWriter(file, len(drawn.objects) + 1)
        writer.whole(drawn, {seal, *(number for exhibit in places for number in exhibit)})
        _lay(writer, job, places, opened, tally)
        # Last, so that what is hashed for the seal and what is hashed for the manifest is nearly all the same.
        hole = writer.signature(seal, seal_entries(job.seal), job.seal["room"]) if job.seal else None
        # The pages tell the hash of every paper, and so stand for the whole.
        writer.finish(drawn.trailer.Root, drawn.trailer.Info, hashlib.sha256(pages).digest()[:16])
        return Composed(len(drawn.pages), tuple(start + 1 for start in starts), hole)


def _lay(writer: PdfWriter, job: Job, places: Sequence[Sequence[int]], opened: Mapping[str, File], tally: Path) -> None:
    """Write every paper's pages into the places made for them."""
    with tally.open("ab", buffering=0) as counted:
        for original, numbers in zip(job.originals, places, strict=True):
            for (page, _), number in zip(original.sheets, numbers, strict=True):
                with naming(original.letter, original.paper):
                    opened[original.path].draw(writer, page, number)
                counted.write(b".")


def _frames(opened: dict[str, File], original: Original, limits: Limits) -> list[Frame]:
    """Where each page of an exhibit goes; opens its file unless another exhibit did."""
    with naming(original.letter, original.paper):
        if original.path not in opened:
            opened[original.path] = _open(original, limits)
        file = opened[original.path]
        if file.pages != original.pages:
            raise Unreadable(
                "page-count", "It has another number of pages than when it was received.", "Run `quietus check`."
            )
        return [frame(file.leaf(number), turn) for number, turn in original.sheets]


def _open(original: Original, limits: Limits) -> File:
    if original.media_type == "application/pdf":
        return PdfFile(Path(original.path), limits)
    return PictureFile(Path(original.path), original.media_type, limits)


@contextmanager
def _new(target: str) -> Iterator[BinaryIO]:
    try:
        with Path(target).open("xb") as file:
            yield file
    except OSError as error:
        raise MachineFault(
            f"The proof can't be written: {error.strerror}.", "Check the folder's permissions and free space."
        ) from None
