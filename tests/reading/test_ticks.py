import io
import re

import cv2
import numpy as np
import pytest
from reportlab.pdfgen import canvas

from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.reading import Value
from quietus.reading.blanks import marked
from quietus.reading.captions import captions
from quietus.reading.pieces import pieces
from quietus.reading.reader import read_bytes
from quietus.reading.ticks import final_tick
from quietus.reading.words import Line, Rect, Word
from tests.reading.helpers import lines_of
from tests.reading.pages import Box, Draft, packed, worn

pytestmark = pytest.mark.ocr
LABELS = ("Initial return", "Final return", "Name change", "Amended return")


def form(marks: dict[str, str], *, column: bool = False, side: float = 0.14) -> Draft:
    page = Draft()
    page.text(0.6, 0.6, "Form 1065", 15, bold=True)
    page.text(4.4, 0.65, "U.S. Return of Partnership Income", 14, bold=True, at="centre")
    page.text(0.6, 0.85, "Internal Revenue Service", 8)
    page.text(0.6, 1.2, "Name of partnership: Pinyon Mixers LLC", 10)
    page.text(0.6, 1.45, "Employer identification number 07-4418230", 10)
    page.text(0.6, 1.7, "Tax year beginning 01/01/2026, ending 06/30/2026", 10)
    for index, label in enumerate(LABELS):
        x, y = (5.0, 2.2 + 0.3 * index) if column else (0.6 + 1.7 * index, 2.4)
        page.boxes.append(Box(x, y - side * 0.85, side, marks.get(label, "")))
        page.text(x + side + 0.07, y, label, 9)
    page.paragraph(
        0.6, 4.0, "Gross receipts or sales, cost of goods sold, taxable income, deductions and other lines of a return."
    )
    return page


def final_box(page: Draft, how: str = "pdf", dpi: int = 200, skew: float = 0.0) -> Value:
    data = packed([worn(page.picture(dpi, 3), 3, skew=skew)], how, dpi)
    return read_bytes(data, limits=DEFAULT_LIMITS)[0]["final_box"]


@pytest.mark.parametrize("column", [False, True])
@pytest.mark.parametrize("mark", ["x", "check", "pen", "penx", "fill", "dot"])
def test_every_way_of_marking_is_seen(mark: str, column: bool) -> None:
    value = final_box(form({"Final return": mark}, column=column))
    assert value.value is True
    assert not value.review


@pytest.mark.parametrize("column", [False, True])
@pytest.mark.parametrize("other", ["", "x", "pen", "fill"])
def test_a_mark_on_a_sibling_is_not_a_mark_on_the_final_box(other: str, column: bool) -> None:
    value = final_box(form({"Initial return": other, "Amended return": other}, column=column))
    assert value.value is False
    assert not value.review


@pytest.mark.parametrize(("how", "dpi", "skew"), [("fax", 200, 0.0), ("jpeg", 150, 0.0), ("pdf", 300, 3.5)])
def test_wear_does_not_change_the_answer(how: str, dpi: int, skew: float) -> None:
    assert final_box(form({"Final return": "x"}), how, dpi, skew).value is True
    assert final_box(form({}), how, dpi, skew).value is False


@pytest.mark.parametrize("on", [True, False])
def test_a_form_field_is_read_as_such(on: bool) -> None:
    out = io.BytesIO()
    page = canvas.Canvas(out, pagesize=(612, 792), invariant=True)
    page.drawString(60, 740, "Form 1065  U.S. Return of Partnership Income, Internal Revenue Service")
    page.drawString(60, 700, "Name of partnership: Pinyon Mixers LLC   EIN 07-4418230")
    page.drawString(60, 680, "Tax year beginning 01/01/2026, ending 06/30/2026")
    for index, label in enumerate(LABELS):
        page.acroForm.checkbox(name=label, x=60, y=600 - 20 * index, size=11, checked=on and label == "Final return")
        page.drawString(80, 602 - 20 * index, label)
    page.showPage()
    page.save()
    value = read_bytes(out.getvalue(), limits=DEFAULT_LIMITS)[0]["final_box"]
    assert (value.value, value.method) == (on, "form-field")


@pytest.mark.parametrize(
    ("words", "marked"),
    [
        ("[X] Final return   [ ] Amended return", True),
        ("[ ] Final return   [X] Amended return", False),
        ("Final return [ X ]", True),
        ("Amended return [X] Final return [ ]", False),
    ],
)
def test_brackets_typed_as_text_are_read(words: str, marked: bool) -> None:
    page = Draft()
    page.text(0.6, 0.6, "Form 1065  U.S. Return of Partnership Income", 14)
    page.text(0.6, 1.2, "Internal Revenue Service. Tax year beginning 01/01/2026, ending 06/30/2026", 10)
    page.text(0.6, 1.6, "Name of partnership: Pinyon Mixers LLC   EIN 07-4418230", 10)
    page.text(0.6, 2.2, words, 10)
    value = read_bytes(page.pdf(), limits=DEFAULT_LIMITS)[0]["final_box"]
    assert value.value is marked


def blank(picture: np.ndarray, shape: str, left: int, middle: int, *, x: bool) -> None:
    """A place for a mark 40 pixels wide, drawn by hand, with an X in it or not."""
    if shape == "oval":
        cv2.ellipse(picture, (left + 20, middle), (18, 11), 0, 0, 360, 0, 2)
    elif shape == "rule":
        cv2.line(picture, (left, middle + 11), (left + 40, middle + 11), 0, 2)
    else:
        for edge, bend in ((left + 6, -1), (left + 34, 1)):
            cv2.polylines(
                picture,
                [np.array([(edge - 4 * bend, middle - 12), (edge, middle), (edge - 4 * bend, middle + 12)])],
                False,
                0,
                2,
            )
    if x:
        for slope in (-1, 1):
            cv2.line(picture, (left + 12, middle - 8 * slope), (left + 28, middle + 8 * slope), 0, 3)


@pytest.mark.parametrize("shape", ["oval", "rule", "parentheses"])
@pytest.mark.parametrize("mark", ["Final return", "Amended return", ""])
def test_a_blank_of_any_outline_is_compared_with_its_siblings(shape: str, mark: str) -> None:
    lines = lines_of(
        *((1.5 + 2 * n, 2.0, words) for n, words in enumerate(("Initial return", "Final return", "Amended return")))
    )
    picture = np.full((2200, 1700), 255, np.uint8)
    for line in lines:
        blank(picture, shape, int(line.rect.left) - 50, int(line.rect.middle[1]), x=line.text == mark)
    found = {piece.text: piece for piece in pieces(lines, re.compile(".+"))}
    own = found.pop("Final return")
    told = marked(own, list(found.values()), picture)
    assert told is not None
    assert told.marked == (mark == "Final return")
    assert told.sure > 0.8


@pytest.mark.parametrize(
    "words",
    [
        "Final: business closed",
        "d. Final (last return)",
        "This is the last return",
        "Final K-1__",
        "Closing account",
        "Cancel my permit",
        "Final year",
    ],
)
def test_other_words_for_a_final_return_are_captions_too(words: str) -> None:
    assert captions(lines_of((1.0, 2.0, words)))[0]


@pytest.mark.parametrize(
    "words",
    [
        "Finalreturn",
        "Final retumn @",
        "Fina1 retum",
        "BHeinal return",
        "Finat return",
        "Final r\u00e9turn",
        "(xX) Binal",
    ],
)
def test_a_caption_that_runs_into_its_mark_is_still_the_final_boxes(words: str) -> None:
    assert captions(lines_of((1.0, 2.0, words)))[0]


@pytest.mark.parametrize(
    "words",
    [
        "Original return",
        "Oniginalreturn",
        "Initialretum",
        "income tax return",
        "Name change",
        "Nothing was final then",
        "First year",
    ],
)
def test_other_captions_are_not_the_final_boxes(words: str) -> None:
    assert not captions(lines_of((1.0, 2.0, words)))[0]


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (((1.0, 2.0, "17 If your business has closed . . . . ."), (6.0, 2.0, "Check here, and")), "Check here"),
        (((1.0, 2.0, "If this is the final return, check here"),), "check here"),
        (((1.0, 2.0, "Out of business, final wages paid"),), "Out of business"),
        (((1.0, 2.0, "The LLC has been dissolved"), (1.0, 2.3, "Final return")), "Final return"),
    ],
)
def test_the_words_beside_the_box_are_the_caption(rows: tuple[tuple[float, float, str], ...], words: str) -> None:
    assert [piece.text for piece in captions(lines_of(*rows))[0]] == [words]


@pytest.mark.parametrize("ticked", [True, False])
def test_a_box_taken_for_a_part_of_its_captions_first_word_is_still_judged(ticked: bool) -> None:
    lines = lines_of(
        *((1.5 + 2 * n, 2.0, words) for n, words in enumerate(("Initial return", "Final return", "Amended return")))
    )
    picture = np.full((2200, 1700), 255, np.uint8)
    for line in lines:
        left, middle = int(line.rect.left) - 40, int(line.rect.middle[1])
        cv2.rectangle(picture, (left, middle - 14), (left + 28, middle + 14), 0, 2)
    first = lines[1].words[0]
    left, middle = int(first.rect.left) - 40, int(first.rect.middle[1])
    if ticked:
        cv2.polylines(
            picture, [np.array([(left + 5, middle), (left + 12, middle + 9), (left + 30, middle - 18)])], False, 0, 4
        )
    grown = Word(first.text, Rect(left - 1, first.rect.top, first.rect.right, middle + 16), first.sure)
    swallowed = Line((grown, *lines[1].words[1:]))
    group = [piece for line in (lines[0], lines[2]) for piece in pieces([line], re.compile(".+"))]
    told = marked(next(pieces([swallowed], re.compile(".+"))), group, picture)
    assert told is not None
    assert told.marked is ticked


def test_an_items_unread_letter_beside_an_empty_blank_leaves_a_doubt() -> None:
    lines = lines_of(
        *((1.5 + 2 * n, 2.0, words) for n, words in enumerate(("Initial return", "Final return", "Amended return")))
    )
    picture = np.full((2200, 1700), 255, np.uint8)
    for line in lines:
        cv2.ellipse(picture, (int(line.rect.left) - 70, int(line.rect.middle[1])), (20, 13), 0, 0, 360, 0, 2)
    left, middle = int(lines[1].rect.left), int(lines[1].rect.middle[1])
    cv2.rectangle(picture, (left - 40, middle - 9), (left - 28, middle + 9), 0, 4)
    found = {piece.text: piece for piece in pieces(lines, re.compile(".+"))}
    own = found.pop("Final return")
    told = marked(own, list(found.values()), picture)
    assert told is None or not told.marked or told.sure < 0.8


def ticked(picture: np.ndarray, left: int, middle: int, *, x: bool) -> None:
    """A box of 28 pixels, with an X in it or not."""
    cv2.rectangle(picture, (left, middle - 14), (left + 28, middle + 14), 0, 2)
    if x:
        for slope in (-1, 1):
            cv2.line(picture, (left + 6, middle - 8 * slope), (left + 22, middle + 8 * slope), 0, 3)


@pytest.mark.parametrize("mark", ["Short year", "Final"])
def test_in_a_spaced_row_a_box_belongs_to_the_words_close_by(mark: str) -> None:
    lines = lines_of(
        *((1.2 + 1.3 * n, 2.0, words) for n, words in enumerate(("Original", "Amended", "Final", "Short year")))
    )
    picture = np.full((2200, 1700), 255, np.uint8)
    middle = int(lines[0].rect.middle[1])
    for line in lines[1:]:  # the first box is not seen, and a box of something else follows the last words
        ticked(picture, int(line.rect.left) - 38, middle, x=line.text == mark)
    ticked(picture, int(lines[-1].rect.right) + 60, middle, x=False)
    tick, _ = final_tick(lines, lambda: picture, 200.0, (), lambda _: [])
    assert tick is not None
    assert (tick.marked, tick.sure > 0.8) == (mark == "Final", True)


def test_a_box_at_the_end_of_dots_belongs_to_the_words_before_them() -> None:
    rows = (
        (1.0, 2.0, "1 Initial return . . . ."),
        (1.0, 2.4, "2 Final return . . . ."),
        (1.0, 2.8, "3 Amended return . ."),
    )
    lines = lines_of(*rows)
    picture = np.full((2200, 1700), 255, np.uint8)
    for line in lines:
        ticked(picture, 1300, int(line.rect.middle[1]), x="Final" in line.text)
    tick, _ = final_tick(lines, lambda: picture, 200.0, (), lambda _: [])
    assert tick is not None
    assert (tick.marked, tick.sure > 0.8) == (True, True)


@pytest.mark.parametrize("mark", ["(2) Final return", "(3) Name change", ""])
def test_in_a_row_of_numbered_captions_the_box_stands_before_the_number(mark: str) -> None:
    row = ("(1) Initial return", "(2) Final return", "(3) Name change", "(4) Address change", "(5) Amended return")
    lines = lines_of(*((1.0 + 1.35 * number, 2.0, words) for number, words in enumerate(row)))
    lines = (Line(tuple(word for line in lines for word in line.words)),)
    picture = np.full((2200, 1700), 255, np.uint8)
    for word in lines[0].words:
        if word.text.startswith("("):
            number = next(words for words in row if words.startswith(word.text))
            ticked(picture, int(word.rect.left) - 34, int(word.rect.middle[1]), x=number == mark)
    tick, _ = final_tick(lines, lambda: picture, 200.0, (), lambda _: [])
    assert tick is not None
    assert (tick.marked, tick.sure > 0.8) == (mark == "(2) Final return", True)


def test_the_o_of_original_is_no_box() -> None:
    lines = lines_of((1.0, 2.0, "Original return . . . ."), (1.0, 2.4, "Final return . . . ."))
    picture = np.full((2200, 1700), 255, np.uint8)
    (left, upper, *_), (_, lower, *_) = (line.words[0].rect for line in lines)
    cv2.rectangle(picture, (int(left), int(upper)), (int(left) + 22, int(upper) + 22), 0, 2)
    for bar in (2, 11):  # those of the F
        cv2.line(picture, (int(left), int(lower) + bar), (int(left) + 18, int(lower) + bar), 0, 3)
    for line in lines:
        ticked(picture, 1300, int(line.rect.middle[1]), x=False)
    tick, _ = final_tick(lines, lambda: picture, 200.0, (), lambda _: [])
    assert tick is not None
    assert (tick.marked, tick.rect.left > 1250) == (False, True)


def test_a_caption_lost_under_its_mark_is_looked_for_in_the_column() -> None:
    lines = lines_of((1.5, 2.0, "Amended return"), (1.5, 2.4, "Original return"), (1.0, 5.0, "Gross receipts or sales"))
    picture = np.full((2200, 1700), 255, np.uint8)
    cv2.rectangle(picture, (300, 550), (420, 570), 0, -1)  # print that was not recognised
    looked: list[Rect] = []

    def look(rect: Rect) -> list[Word]:
        looked.append(rect)
        return []

    final_tick(lines, lambda: picture, 200.0, (), look)
    assert any(rect.top < 550 and rect.bottom > 570 and 290 < rect.left < 305 for rect in looked)


def test_a_scrawl_wider_than_its_oval_is_a_mark() -> None:
    lines = lines_of(
        *((1.5 + 2 * n, 2.0, words) for n, words in enumerate(("Initial return", "Final return", "Amended return")))
    )
    picture = np.full((2200, 1700), 255, np.uint8)
    for line in lines:
        blank(picture, "oval", int(line.rect.left) - 50, int(line.rect.middle[1]), x=False)
    left, middle = int(lines[1].rect.left), int(lines[1].rect.middle[1])
    for bend in (-5, 0, 5):
        cv2.line(picture, (left - 68, middle + bend), (left - 8, middle - bend), 0, 4)
    found = {piece.text: piece for piece in pieces(lines, re.compile(".+"))}
    own = found.pop("Final return")
    told = marked(own, list(found.values()), picture)
    assert told is not None
    assert (told.marked, told.sure > 0.8) == (True, True)


@pytest.mark.parametrize("shape", ["oval", "rule", "parentheses", "none"])
@pytest.mark.parametrize("marked_under", ["Yes", "No", ""])
def test_a_question_is_answered_under_yes_or_no(shape: str, marked_under: str) -> None:
    lines = lines_of(
        (6.0, 1.6, "Yes"), (7.0, 1.6, "No"), (0.8, 2.0, "1. Amended?"), (0.8, 2.36, "2. Is this a final return?")
    )
    picture = np.full((2200, 1700), 255, np.uint8)
    heads, rows = lines[:2], lines[2:]
    for head in heads:
        for row in rows:
            x = head.text == marked_under if "final" in row.text else head.text != marked_under
            if shape != "none" or x:
                outline(picture, shape, int(head.rect.middle[0]) - 20, int(row.rect.middle[1]) + 8, x=x)
    tick, _ = final_tick(lines, lambda: picture, 200.0, (), lambda _: [])
    if not marked_under:
        assert tick is None or tick.sure < 0.8
    else:
        assert tick is not None
        assert (tick.marked, tick.sure > 0.8) == (marked_under == "Yes", True)


@pytest.mark.parametrize("after", [False, True])
@pytest.mark.parametrize("marked", ["Yes", "No"])
def test_a_question_is_answered_beside_yes_or_no(marked: str, after: bool) -> None:
    lines = lines_of((0.8, 2.0, "Final return? (If yes, explain.)"), (6.0, 2.0, "Yes"), (7.0, 2.0, "No"))
    picture = np.full((2200, 1700), 255, np.uint8)
    for word in lines[1:]:
        left = word.rect.right + 12 if after else word.rect.left - 52
        outline(picture, "parentheses", int(left), int(word.rect.middle[1]) + 8, x=word.text == marked)
    tick, _ = final_tick(lines, lambda: picture, 200.0, (), lambda _: [])
    assert tick is not None
    assert (tick.marked, tick.sure > 0.8) == (marked == "Yes", True)


@pytest.mark.parametrize("marked", ["Yes", "No"])
def test_of_two_form_fields_the_one_for_yes_counts(marked: str) -> None:
    lines = lines_of((0.8, 2.0, "Is this the final return?"), (6.0, 2.0, "Yes"), (7.0, 2.0, "No"))
    fields = [(word.rect.grown(30, 0), word.text == marked) for word in lines[1:]]
    tick, _ = final_tick(lines, lambda: np.full((2200, 1700), 255, np.uint8), 200.0, fields, lambda _: [])
    assert tick is not None
    assert (tick.marked, tick.sure > 0.8) == (marked == "Yes", True)


def outline(picture: np.ndarray, shape: str, left: int, middle: int, *, x: bool) -> None:
    """As `blank`, or the mark alone where no outline is printed."""
    if shape != "none":
        blank(picture, shape, left, middle, x=x)
    else:
        cv2.line(picture, (left + 12, middle - 8), (left + 28, middle + 8), 0, 3)
        cv2.line(picture, (left + 12, middle + 8), (left + 28, middle - 8), 0, 3)


def test_a_caption_beside_its_box_counts_though_the_mark_made_it_hard_to_read() -> None:
    lines = lines_of((1.5, 2.0, "Amended return"), (1.5, 2.4, "First return"))
    picture = np.full((2200, 1700), 255, np.uint8)
    for line in lines:
        ticked(picture, 255, int(line.rect.middle[1]), x=False)
    lost = lines[1].rect.middle[1] + 80
    ticked(picture, 255, int(lost), x=True)
    words = [
        Word("fFinal", Rect(300, lost - 12, 350, lost + 12), 0.02),
        Word("return", Rect(358, lost - 10, 430, lost + 10), 0.96),
    ]
    tick, _ = final_tick(lines, lambda: picture, 200.0, (), lambda rect: words if rect.top < lost < rect.bottom else [])
    assert tick is not None
    assert (tick.marked, tick.sure > 0.8) == (True, True)
