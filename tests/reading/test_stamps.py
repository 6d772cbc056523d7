import math
from dataclasses import replace
from datetime import date
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from quietus.model.kinds import Authority
from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Reading
from quietus.reading.dotted import dot_fields, strung_dots
from quietus.reading.engine import recogniser
from quietus.reading.filed import OfficeMark
from quietus.reading.marks import Mark, joined, sort_of
from quietus.reading.office import read_twice
from quietus.reading.opening import open_folio
from quietus.reading.pages import Book
from quietus.reading.reader import read_bytes
from quietus.reading.remains import faint_remains
from quietus.reading.rim import Ring, rim_text
from quietus.reading.unsure import seen_again
from quietus.reading.words import Rect
from tests.corpus.dots import dotted
from tests.reading.helpers import draft
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


def test_a_paper_with_a_rejection_stamp_is_not_filed() -> None:
    read = stamped(Stamp([("REJECTED", 1.2), ("AUG 09 2026", 0.9)], ink="red", angle=4, size=0.19, **SPOT))
    assert read["filing_date"].value is None
    assert read["stamped"].value is False


def test_a_typed_mark_that_was_recognised_unsurely_is_read_twice() -> None:
    data = packed([draft((4, 1, "FILED: August 9, 2026 10:12 AM")).picture(200)], "pdf", 200)
    book = Book(open_folio(data, DEFAULT_LIMITS), recogniser())
    page = book.read(1)
    mark = OfficeMark(True, 0.97, date(2026, 8, 9), 0.65, page.lines[0].rect, 0, "", "file-mark", Authority.STAMPED)
    assert read_twice(book, page, mark).day_sure > 0.8
    assert read_twice(book, page, replace(mark, day=date(2026, 8, 8))).day_sure == 0.65


def test_a_label_in_small_letters_is_the_offices_mark() -> None:
    lines = [("Doc. 7225749510  Pages: 2", 0.7), ("Filed: 08/09/2026  8:30 AM", 1.0), ("Secretary of State", 0.7)]
    read = stamped(Stamp(lines, ink="black", angle=-9, frame="none", size=0.13, **SPOT), "gray")
    assert read.text("filing_date") == "2026-08-09"


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


def pinholes(text: str, pitch: float = 8.0, lean: float = 0.0) -> np.ndarray:
    """Ink of the text in dots, at 200 dpi, leaning so many degrees clockwise; a dot is about a fiftieth of an inch."""
    dots, wide, high = dotted([(text, pitch)], gap=10)
    turn, room = math.radians(lean), 20 + round(wide * abs(math.sin(math.radians(lean))))
    ink = np.zeros((int(high) + 2 * room, int(wide) + 40), np.uint8)
    for dot in dots:
        x, y, radius = dot.at
        x, y = x - wide / 2, high / 2 - y
        across, down = x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)
        middle = (round(16 * (across + wide / 2 + 20)), round(16 * (down + high / 2 + room)))
        cv2.circle(ink, middle, round(16 * radius), 255, -1, shift=4)
    return ink


def holes(strokes: np.ndarray) -> int:
    tree = cv2.findContours((strokes < 128).astype(np.uint8), cv2.RETR_CCOMP, cv2.CHAIN_APPROX_SIMPLE)[1]
    return int((tree[0][:, 3] >= 0).sum())


@pytest.mark.parametrize(("text", "count"), [("000000", 6), ("888888", 12), ("MILK FILL", 0)])
def test_dots_are_strung_into_letters_and_noughts_lose_their_stroke(text: str, count: int) -> None:
    strokes = strung_dots(pinholes(text), 200)
    assert strokes is not None
    assert holes(strokes) == count


@pytest.mark.parametrize("lean", [-8, 8])
def test_noughts_of_a_leaning_stamp_lose_their_stroke_and_eights_keep_theirs(lean: int) -> None:
    strokes = strung_dots(pinholes("000888", lean=lean), 200, lean)
    assert strokes is not None
    assert holes(strokes) == 3 + 6


def test_a_coloured_stamp_whose_date_is_unsure_is_looked_at_once_more_in_gray() -> None:
    page = letterhead_form(case(21), "Articles of Dissolution", foreign=False)
    page.stamps.append(filed(ink="purple", angle=4, frame="none"))
    picture, day = np.asarray(page.picture(200, 21)), date(2026, 8, 9)
    whole = Rect(950, 100, 1450, 350)
    for known, sure in ((None, 0.0), (day, 0.5), (date(2026, 8, 8), 0.5)):
        mark = Mark("filed", whole, known, sure, "FILED", "stamp:chroma")
        again = seen_again(mark, picture, 200, recogniser(), frozenset())
        assert (again.day, again.sure > 0.8) == (known or day, known != date(2026, 8, 8))


def test_a_date_that_stands_apart_beside_its_head_is_found() -> None:
    stamp = Image.new("RGB", (800, 150), "white")
    for x, y, words in ((20, 70, "FILED"), (280, 70, "JAN 6  2 0 2 6"), (300, 10, "4182716")):
        ImageDraw.Draw(stamp).text((x, y), words, (170, 60, 50), ImageFont.load_default(52), stroke_width=1)
    page = Image.new("RGB", (1700, 2200), "white")
    page.paste(stamp.rotate(-8, Image.Resampling.BICUBIC, expand=True, fillcolor="white"), (800, 150))
    mark = Mark("filed", Rect(805, 210, 1000, 290), None, 1.0, "FILED", "stamp:chroma")
    again = seen_again(mark, np.asarray(page), 200, recogniser(), frozenset())
    assert again.day == date(2026, 1, 6)


def test_a_field_of_dots_is_found_and_scattered_specks_are_none() -> None:
    page = np.zeros((2200, 1700), np.uint8)
    stamp = pinholes("FILED 2025")
    page[300 : 300 + stamp.shape[0], 800 : 800 + stamp.shape[1]] = stamp
    (field,) = dot_fields(page, 200)
    assert field.holds(Rect(820, 320, 800 + stamp.shape[1] - 20, 300 + stamp.shape[0] - 20), 0.95)
    specks = np.zeros_like(page)
    for n in range(50):
        cv2.circle(specks, ((n * 397) % 1600 + 40, (n * 811) % 2100 + 40), 2, 255, -1)
    assert dot_fields(specks, 200) == []


def test_a_head_and_the_date_below_it_become_one_mark() -> None:
    head = Mark("filed", Rect(100, 100, 300, 150), None, 1.0, "FILED", "stamp:black")
    body = Mark("unclear", Rect(100, 140, 320, 240), date(2026, 3, 4), 0.97, "MAR 04 2026", "stamp:black")
    far = Mark("unclear", Rect(900, 900, 1100, 990), date(2026, 1, 1), 0.97, "JAN 01 2026", "stamp:black")
    assert [(mark.sort, mark.day) for mark in joined([head, body, far], 200)] == [
        ("unclear", date(2026, 1, 1)),
        ("filed", date(2026, 3, 4)),
    ]


def test_a_head_takes_no_date_of_print_when_its_own_was_read_from_another_patch() -> None:
    whole = Mark("filed", Rect(100, 100, 300, 200), date(2026, 5, 10), 0.97, "FILED 10 MAY 2026", "stamp:black")
    head = Mark("filed", Rect(90, 90, 320, 400), None, 1.0, "FILED", "stamp:black")
    body = Mark("unclear", Rect(90, 250, 320, 400), date(2013, 11, 21), 0.97, "Created 11-21-2013", "stamp:black")
    assert {mark.day for mark in joined([whole, head, body], 200) if mark.sort == "filed"} == {date(2026, 5, 10), None}


def ring_of_letters(text: str) -> np.ndarray:
    """A circle at 200 dpi, with letters along the inside of its rim over the top."""
    size, radius = 420, 190
    picture = Image.new("L", (size, size), 255)
    ImageDraw.Draw(picture).ellipse(
        [size / 2 - radius, size / 2 - radius, size / 2 + radius, size / 2 + radius], outline=0, width=4
    )
    for place, sign in enumerate(text):
        turn = (place - (len(text) - 1) / 2) * 9.0
        letter = Image.new("L", (60, 60), 255)
        ImageDraw.Draw(letter).text((30, 30), sign, 0, ImageFont.load_default(32), anchor="mm")
        letter = letter.rotate(-turn, fillcolor=255)
        away = radius - 30
        x = size / 2 + away * np.sin(np.radians(turn)) - 30
        y = size / 2 - away * np.cos(np.radians(turn)) - 30
        picture.paste(0, (round(x), round(y)), letter.point(lambda level: 255 - level))
    return np.asarray(picture, np.uint8)


def test_a_refusal_begins_where_a_word_begins() -> None:
    assert sort_of("FILED 5-20-2018 SOUTH DAKOTA")[0] == "filed"
    assert sort_of("N0T FILED SOUTH DAKOTA")[0] == "rejected"
    assert sort_of("NOTFILED MAR 3")[0] == "rejected"


def test_the_words_along_the_rim_of_a_round_stamp_are_read() -> None:
    seen = rim_text(ring_of_letters("FILED SECRETARY OF STATE"), Ring(210, 210, 190), 200, recogniser())
    assert sort_of(seen)[0] == "filed"
    assert sort_of(rim_text(ring_of_letters("NOTARY PUBLIC"), Ring(210, 210, 190), 200, recogniser()))[0] == "other"


def test_a_stamp_set_no_larger_than_print_is_read() -> None:
    lines = [("FILED JUL 28 2026 OREGON SECRETARY OF STATE", 1.0)]
    read = stamped(Stamp(lines, ink="black", angle=4, frame="rect", size=0.13, x=4.6, y=1.0), "gray")
    assert read.text("filing_date") == "2026-07-28"


@pytest.mark.parametrize(("bits", "left"), [(16, True), (5, False)])
def test_bits_of_a_stamp_that_a_fax_left_behind_are_noticed(bits: int, left: bool) -> None:
    page = np.full((2200, 1700), 255, np.uint8)
    for n in range(bits):
        x, y = 250 + (n * 97) % 400, 300 + (n * 61) % 230
        cv2.line(page, (x, y), (x + 9, y + 14), 0, 2)
    assert faint_remains((), page, 200) is left
