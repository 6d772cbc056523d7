import cv2
import numpy as np
import pytest
from PIL import Image

from quietus.model.limits import DEFAULT_LIMITS
from quietus.reading.pixels import Picture, rotated
from quietus.reading.reader import read_bytes
from quietus.reading.sheet import Sheet, sheet_in
from quietus.reading.upright import Stance, Way
from quietus.reading.words import Rect
from tests.reading.pages import packed
from tests.reading.papers import case, letterhead_form
from tests.reading.test_stamps import filed

CORNERS = ((0.05, 0.03), (0.93, 0.07), (0.97, 0.95), (0.02, 0.97))
DESKS = {"walnut": (56, 74, 96), "slate": (52, 46, 44), "concrete": (140, 148, 150), "maple": (152, 176, 190)}


def printed(high: int = 1100, wide: int = 850) -> Picture:
    """A white page with rows of dark bars for words."""
    page = np.full((high, wide, 3), 245, np.uint8)
    for top in range(90, high - 90, 26):
        for left in range(80, wide - 140, 70):
            page[top : top + 9, left : left + 48] = 40
    return page


def photo(page: Picture, desk: tuple[int, int, int], corners: tuple[tuple[float, float], ...] = CORNERS) -> Picture:
    """The page on a desk, its corners where they are told, in fractions of the picture."""
    high, wide = page.shape[:2]
    flat = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
    seen = np.array([(x * wide, y * high) for x, y in corners], np.float32)
    bend = cv2.getPerspectiveTransform(flat, seen)
    return np.asarray(cv2.warpPerspective(page, bend, (wide, high), borderValue=desk), np.uint8)


@pytest.mark.parametrize("desk", DESKS)
@pytest.mark.parametrize("gray", [False, True])
def test_a_sheet_on_a_desk_is_found_by_its_corners(desk: str, gray: bool) -> None:
    picture = photo(printed(), DESKS[desk])
    sheet = sheet_in(picture.mean(axis=2).astype(np.uint8) if gray else picture)
    assert sheet is not None
    assert np.abs(np.array(sheet.corners) - np.array(CORNERS)).max() < 0.01


def test_a_scan_is_no_photo_however_it_leans_and_whatever_frame_is_printed() -> None:
    framed = printed()
    cv2.rectangle(framed, (40, 40), (809, 1059), (30, 30, 30), 5)
    for page in (printed(), framed):
        assert sheet_in(page) is None
        assert sheet_in(rotated(page, 3.0, fill=245)) is None


def test_a_sheet_with_an_edge_out_of_the_picture_is_left_alone() -> None:
    assert sheet_in(photo(printed(), DESKS["slate"], ((-0.1, 0.03), (0.93, 0.07), (0.97, 0.95), (-0.1, 0.97)))) is None


def test_a_box_finds_its_way_onto_the_photo_and_back() -> None:
    sheet = Sheet(CORNERS, 800, 1000)
    assert sheet.on_picture(0, 0) == pytest.approx(CORNERS[0], abs=1e-5)
    assert sheet.on_picture(1, 1) == pytest.approx(CORNERS[2], abs=1e-5)
    assert sheet.on_sheet(*sheet.on_picture(0.3, 0.8)) == pytest.approx((0.3, 0.8), abs=1e-5)
    way = Way(Stance(90, 1.0), 1000, 800, sheet)
    back = way.forth(way.back(Rect(300, 200, 420, 240)))
    assert Rect(300, 200, 420, 240).overlap(back) == pytest.approx(120 * 40)


@pytest.mark.ocr
def test_a_stamp_on_a_photographed_filing_is_read_and_its_box_lies_on_it() -> None:
    page = letterhead_form(case(21), "Articles of Dissolution", foreign=False)
    page.stamps.append(filed(ink="blue", angle=3))
    seen = photo(np.array(page.picture(200, 21)), DESKS["walnut"])
    read = read_bytes(packed([Image.fromarray(seen)], "jpeg", 200), limits=DEFAULT_LIMITS)[0]
    assert read.text("filing_date") == "2026-08-09"
    assert read.text("entity_name") == case(21).name
    box = read["filing_date"].box
    assert box is not None
    left, top, right, bottom = (
        round(edge * side) for edge, side in zip(box, (seen.shape[1], seen.shape[0]) * 2, strict=True)
    )
    part = seen[top:bottom, left:right].astype(int)
    assert float(np.mean(part[:, :, 2] - part[:, :, 0] > 40)) > 0.03  # blue ink
