"""Hostile and odd PDFs: what they show comes along, what they do stays behind."""

import sys
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name

from quietus.bundle.build import build_bundle
from quietus.bundle.foreign import FILLED_IN, LAYERED, SIGNED
from quietus.model.errors import Unreadable
from quietus.model.limits import Limits
from tests.bundle import hostile
from tests.bundle.looking import everything, last_page, pages_of, proof, words
from tests.bundle.make import line, paper, request, typed_pdf

ACTIVE = {
    *("/AA", "/OpenAction", "/JS", "/JavaScript", "/Launch", "/URI", "/SubmitForm", "/ImportData", "/GoToR", "/GoToE"),
    *("/AF", "/EF", "/RF", "/EmbeddedFiles", "/EmbeddedFile", "/Filespec", "/AcroForm", "/XFA", "/OCProperties"),
    *("/Ref", "/OPI", "/PieceInfo", "/Thumb", "/RichMedia", "/Movie", "/Sound", "/PS", "/Widget", "/FileAttachment"),
}
"""Keys and values that a proof never has. Its own links have a Dest and no action."""


def proof_of(data: bytes, folder: Path, *, pages: int = 1, turn: int = 0) -> Path:
    made = paper("OR/dissolution", data, pages=pages, turn=turn)
    build_bundle(request([line("OR/dissolution", made)], [(made, data)]), folder / "bundle")
    return proof(folder / "bundle")


def test_nothing_that_acts_points_elsewhere_or_hides_comes_along(tmp_path: Path) -> None:
    path = proof_of(hostile.active(), tmp_path)
    found = list(everything(path))
    assert not {key for key, _ in found} & ACTIVE
    assert not [text for _, text in found if hostile.PLANTED in text]
    assert hostile.PLANTED not in path.read_bytes()
    assert "Articles of Dissolution" in words(path)
    with pikepdf.open(path) as pdf:
        notes = [note for page in pdf.pages for note in page.obj.get("/Annots", [])]
        assert {note.Subtype for note in notes} == {"/Link"}
        assert not [note for note in notes if "/A" in note]


def test_the_check_above_sees_what_it_looks_for(tmp_path: Path) -> None:
    path = tmp_path / "hostile.pdf"
    path.write_bytes(hostile.active())
    found = list(everything(path))
    assert {"/JS", "/AA", "/EF", "/Ref", "/PieceInfo", "/PS"} <= {key for key, _ in found}
    assert len([text for _, text in found if hostile.PLANTED in text]) > 10


def test_the_original_stays_as_it_was_received(tmp_path: Path) -> None:
    data = hostile.active()
    proof_of(data, tmp_path)
    assert (tmp_path / "bundle" / "data" / "originals" / "01-dissolution-OR.pdf").read_bytes() == data


@pytest.mark.parametrize("need_appearances", [False, True])
def test_what_was_filled_in_is_shown_and_said(need_appearances: bool, tmp_path: Path) -> None:
    path = proof_of(hostile.filled_in(need_appearances=need_appearances), tmp_path)
    assert "FILLEDIN" in words(path)
    assert FILLED_IN in words(path)
    assert not {key for key, _ in everything(path)} & ACTIVE


@pytest.mark.parametrize("flags", [2, 32], ids=["hidden", "not for view"])
def test_a_field_that_no_reader_sees_stays_unseen(flags: int, tmp_path: Path) -> None:
    assert "FILLEDIN" not in words(proof_of(hostile.filled_in(flags=flags), tmp_path))


def test_a_layer_that_is_off_is_not_shown(tmp_path: Path) -> None:
    path = proof_of(hostile.layered(), tmp_path)
    assert not [text for _, text in everything(path) if hostile.PLANTED in text]
    assert LAYERED in words(path)
    middle = last_page(path).render(scale=0.5).to_pil().convert("L").getpixel((150, 270))
    assert middle == 255  # the hidden layer would paint it black


def test_a_signed_file_is_said_to_be_signed(tmp_path: Path) -> None:
    assert SIGNED in words(proof_of(hostile.signed(), tmp_path))


def test_a_lock_without_password_opens_and_the_proof_is_not_locked(tmp_path: Path) -> None:
    path = proof_of(hostile.locked(""), tmp_path)
    assert "Behind a lock" in words(path)
    with pikepdf.open(path) as pdf:
        assert not pdf.is_encrypted


@pytest.mark.parametrize(
    ("data", "reason"), [(hostile.locked("secret"), "password-needed"), (hostile.broken(), "damaged")]
)
def test_what_cannot_be_taken_apart_is_refused_by_exhibit_and_leaves_nothing(
    data: bytes, reason: str, tmp_path: Path
) -> None:
    with pytest.raises(Unreadable, match=r"^Exhibit A") as caught:
        proof_of(data, tmp_path)
    assert caught.value.reason == reason
    assert list(tmp_path.iterdir()) == []


def test_a_file_with_another_number_of_pages_than_received_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="number of pages"):
        proof_of(typed_pdf("x", pages=3), tmp_path, pages=2)


def test_a_form_that_draws_itself_does_no_harm(tmp_path: Path) -> None:
    assert "Round and round" in words(proof_of(hostile.endless(), tmp_path))


def odd_page(**entries: object) -> bytes:
    """A page with a black square in the top left corner of what it shows, and odd boxes or turns."""
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(600, 800))
        page.obj.Contents = pdf.make_stream(
            b"0 0 1 rg 0 0 600 800 re f 1 g 100 200 300 400 re f 0 g 100 500 100 100 re f"
        )
        for key, item in entries.items():
            page.obj[f"/{key}"] = item
        return hostile.saved(pdf)


@pytest.mark.parametrize(
    ("rotate", "turn", "corner"),
    [
        (0, 0, "top left"),
        (90, 0, "top right"),
        (180, 0, "bottom right"),
        (0, 270, "bottom left"),
        (270, 90, "top left"),
    ],
)
def test_a_page_is_cropped_turned_and_kept_in_its_frame(rotate: int, turn: int, corner: str, tmp_path: Path) -> None:
    data = odd_page(CropBox=Array([100, 200, 400, 600]), TrimBox=Array([0, 0, 600, 800]), Rotate=rotate)
    page = last_page(proof_of(data, tmp_path, turn=turn))
    image = page.render(scale=1).to_pil().convert("RGB")
    assert not any(blue > 200 and red < 100 for _, (red, _, blue) in image.getcolors(1 << 20) or [])
    dark = [
        (x, y) for x in range(0, image.width, 6) for y in range(60, image.height - 60, 6)
        if image.getpixel((x, y)) == (0, 0, 0)
    ]  # fmt: skip
    left, top = min(x for x, _ in dark), min(y for _, y in dark)
    wide, high = (400, 300) if (rotate + turn) % 180 else (300, 400)
    expected = {
        "top left": (0, 0), "top right": (wide - 100, 0),
        "bottom right": (wide - 100, high - 100), "bottom left": (0, high - 100),
    }[corner]  # fmt: skip
    assert abs(left - (image.width - wide) / 2 - expected[0]) < 8
    assert abs(top - 58 - expected[1]) < 8


@pytest.mark.parametrize("box", [[0, 0, 0, 0], [5, 5, 4, 4], [600, 800, 0, 0], [-9e9, 0, 10, 10]])
def test_odd_boxes_do_no_harm(box: list[float], tmp_path: Path) -> None:
    path = proof_of(odd_page(CropBox=Array(box)), tmp_path)
    assert "Exhibit A · page 1 of 1" in pages_of(path)[-1]


def test_a_unit_larger_than_a_point_counts(tmp_path: Path) -> None:
    image = last_page(proof_of(odd_page(UserUnit=0.5), tmp_path)).render(scale=1).to_pil().convert("RGB")
    blue = [x for x in range(image.width) if image.getpixel((x, 60)) == (0, 0, 255)]
    assert abs(len(blue) - 300) < 4


def test_resources_keep_what_drawing_needs(tmp_path: Path) -> None:
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(200, 200))
        shading = Dictionary(
            ShadingType=2, ColorSpace=Name.DeviceRGB, Coords=Array([0, 0, 200, 0]),
            Function=Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([1, 0, 0]), C1=Array([0, 1, 0]), N=1),
        )  # fmt: skip
        page.obj.Resources = Dictionary(
            Pattern=Dictionary(P0=Dictionary(PatternType=2, Shading=shading)),
            ExtGState=Dictionary(G0=Dictionary(ca=0.5)),
            ColorSpace=Dictionary(Cs0=Name.Pattern),
        )
        page.obj.Contents = pdf.make_stream(b"/Cs0 cs /P0 scn 0 0 200 200 re f /G0 gs 0 0 0 rg 0 0 200 100 re f")
        data = hostile.saved(pdf)
    image = last_page(proof_of(data, tmp_path)).render(scale=1).to_pil().convert("RGB")
    pale, dark = image.getpixel((306, 100)), image.getpixel((306, 220))
    assert pale != (255, 255, 255)
    assert isinstance(pale, tuple) and isinstance(dark, tuple)
    assert all(abs(d - p / 2) < 8 for p, d in zip(pale, dark, strict=True))


@pytest.mark.skipif(sys.platform != "linux", reason="the memory of a process is limited on Linux alone")
def test_a_page_that_swells_is_stopped_and_leaves_nothing(tmp_path: Path) -> None:
    made = paper("OR/dissolution", data := hostile.bomb(600))
    wanted = request([line("OR/dissolution", made)], [(made, data)], limits=Limits(child_memory_bytes=400 << 20))
    with pytest.raises(Unreadable, match="xhibit A") as caught:
        build_bundle(wanted, tmp_path / "bundle")
    assert caught.value.reason in {"too-much-memory", "damaged", "crashed-the-reader"}
    assert list(tmp_path.iterdir()) == []
