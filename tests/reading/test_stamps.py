from typing import Any

import pytest

from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Reading
from quietus.reading import read_bytes
from tests.reading.pages import Stamp, packed, worn
from tests.reading.papers import case, letterhead_form

pytestmark = pytest.mark.ocr
SPOT: dict[str, Any] = {"x": 6.0, "y": 1.1}  # over the heading's right part, clear of print
OVER: dict[str, Any] = {"x": 4.0, "y": 4.2}  # over running text


def stamped(stamp: Stamp | None, wear: str = "colour", seed: int = 21) -> Reading:
    page = letterhead_form(case(seed), "Articles of Dissolution", foreign=False)
    if stamp:
        page.stamps.append(stamp)
    picture = worn(page.picture(200, seed), seed, skew=1.2)
    if wear == "gray":
        picture = picture.convert("L").convert("RGB")
    data = packed([picture], "fax" if wear == "fax" else "pdf", 200)
    return read_bytes(data, limits=DEFAULT_LIMITS)[0]


def filed(date: str = "AUG 09 2026", **more: Any) -> Stamp:
    return Stamp([("FILED", 1.3), (date, 1.0), ("Secretary of State", 0.55)], **{"size": 0.19, **SPOT, **more})


@pytest.mark.parametrize("ink", ["red", "blue", "purple", "green"])
@pytest.mark.parametrize(("angle", "frame"), [(0, "rect"), (9, "round"), (-14, "none")])
def test_a_coloured_stamp_is_read_at_an_angle_over_print(ink: str, angle: float, frame: str) -> None:
    read = stamped(filed(ink=ink, angle=angle, frame=frame, **OVER))
    assert read.flag("stamped") is True
    assert read["filing_date"].value in {"2026-08-09", None}
    assert read.text("filing_date") == "2026-08-09" or "filing_date" in read.doubts


@pytest.mark.parametrize("wear", ["gray", "fax"])
@pytest.mark.parametrize("angle", [0, 8, -8])
def test_a_black_stamp_is_read(wear: str, angle: float) -> None:
    read = stamped(filed(ink="black", angle=angle, frame="rect"), wear)
    assert read.flag("stamped") is True
    assert read.text("filing_date") == "2026-08-09"
    assert read.text("authority") == "office-stamped"


@pytest.mark.parametrize("words", ["RECEIVED", "COPY", "DRAFT", "SCANNED"])
@pytest.mark.parametrize("ink", ["red", "black"])
def test_other_stamps_are_not_the_offices(words: str, ink: str) -> None:
    read = stamped(Stamp([(words, 1.2), ("AUG 09 2026", 0.9)], ink=ink, angle=5, frame="rect", size=0.19, **SPOT))
    assert read["filing_date"].value is None
    assert read.flag("stamped") is not True


def test_a_rejection_stamp_is_left_to_a_person() -> None:
    read = stamped(Stamp([("REJECTED", 1.2), ("AUG 09 2026", 0.9)], ink="red", angle=4, size=0.19, **SPOT))
    assert read["filing_date"].value is None
    assert "stamped" in read.doubts


def test_received_and_filed_on_one_stamp_are_told_apart() -> None:
    lines = [("RECEIVED AUG 03 2026", 0.8), ("FILED AUG 09 2026", 0.8)]
    read = stamped(Stamp(lines, ink="blue", angle=3, frame="rect", size=0.19, **SPOT))
    assert read.text("filing_date") in {"2026-08-09", None}
    assert read.text("filing_date") == "2026-08-09" or "filing_date" in read.doubts


def test_a_paper_without_any_mark_says_so_without_a_doubt() -> None:
    read = stamped(None)
    assert read.flag("stamped") is False
    assert read["filing_date"].value is None
    assert not {"stamped", "filing_date"} & set(read.doubts)


def test_print_under_the_stamp_is_still_read() -> None:
    read = stamped(filed(ink="blue", angle=4, x=5.2, y=2.1))
    assert read.text("entity_name") == case(21).name
