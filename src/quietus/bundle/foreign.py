"""Pages of a foreign PDF as drawings that can be placed. Runs in the child process only: such files are hostile."""

from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
from pikepdf import Array, Dictionary
from PIL import Image

from quietus.bundle.cleaning import carries_signature, clean_form, draws_hidden_layers
from quietus.bundle.geometry import LETTER, Leaf, Matrix, quarter_turn
from quietus.bundle.pictures import Coded, packed
from quietus.bundle.writer import Known, PdfWriter
from quietus.model.errors import Unreadable
from quietus.model.limits import Limits

_LONGEST = 200 * 72.0  # points; the longest page that viewers promise to show (ISO 32000-1, Annex C)
_SCREEN = 72.0

SIGNED = (
    "The file as received carries a digital signature. A copy of its pages can't carry it: check it on the file itself."
)
FILLED_IN = "What was filled in or stamped on the file electronically is shown here as part of the page."
LAYERED = "The file as received hides some layers; its pages are shown here as pictures of what it shows."


class PdfFile:
    """A PDF file as leaves that can be placed.

    Args:
        path: the file; it is never changed.
        limits: ceilings on pages and pixels.

    Raises:
        Unreadable: it needs a password, is damaged, or is over a limit.
    """

    plain = False
    """Its pages draw with whatever its maker chose: fonts left out, colours of a device, transparency."""

    def __init__(self, path: Path, limits: Limits) -> None:
        self._limits = limits
        self._carried: Known = {}
        try:
            self._pdf = pikepdf.open(path, access_mode=pikepdf.AccessMode.stream)
        except pikepdf.PasswordError:
            raise Unreadable(
                "password-needed",
                "A PDF among the papers needs a password, so its pages can't be shown.",
                "Get a copy without a password from the client and put it into the inbox.",
            ) from None
        self.pages = len(self._pdf.pages)
        if self.pages > limits.pages:
            raise Unreadable("too-many-pages", "A PDF among the papers has more pages than allowed.", "Split it.")
        self._pictures = _as_pictures(path) if draws_hidden_layers(self._pdf) else None
        signed, filled_in = carries_signature(self._pdf), self._pictures is None and self._flattened()
        self.remarks = tuple(
            words
            for words, true in ((SIGNED, signed), (FILLED_IN, filled_in), (LAYERED, self._pictures is not None))
            if true
        )

    def leaf(self, page: int) -> Leaf:
        """The size and place of page `page` (1-based), its Rotate entry obeyed."""
        found = self._pdf.pages[page - 1]
        left, bottom, right, top = box = _shown_box(found)
        unit = float(found.obj.get("/UserUnit", 1)) if not self._pictures else 1.0
        wide, high = (right - left) * unit, (top - bottom) * unit
        turn = _turn(found)
        matrix = Matrix(unit, 0, 0, unit, -left * unit, -bottom * unit)
        if self._pictures:  # drawn turned already, on the unit square
            wide, high = (high, wide) if turn % 180 else (wide, high)
            return Leaf((0, 0, 1, 1), Matrix(wide, 0, 0, high, 0, 0), wide, high)
        matrix = matrix.then(quarter_turn(turn, wide, high))
        return Leaf(box, matrix, *((high, wide) if turn % 180 else (wide, high)))

    def draw(self, writer: PdfWriter, page: int, number: int) -> None:
        """Write page `page` as an XObject under `number`, cut down to what draws and clipped to what is shown."""
        if self._pictures:
            coded = self._picture(self._pictures[page - 1])
            writer.image(number, coded.data, coded.entries)
            return
        found = self._pdf.pages[page - 1]
        form = found.as_form_xobject(handle_transformations=False)
        form.BBox = Array(list(_shown_box(found)))
        clean_form(form)
        writer.carried(self._pdf, form, number, self._carried)

    def close(self) -> None:
        """Let go of the file."""
        self._pdf.close()
        if self._pictures:
            self._pictures.close()

    def _flattened(self) -> bool:
        """Make what forms and stamps show part of the pages, as a reader on a screen sees it."""
        if not any("/Annots" in page.obj for page in self._pdf.pages):
            return False
        form = self._pdf.Root.get("/AcroForm")
        if isinstance(form, Dictionary) and bool(form.get("/NeedAppearances", False)):
            self._pdf.generate_appearance_streams()
        before = [_contents(page) for page in self._pdf.pages]
        self._pdf.flatten_annotations("screen")
        return [_contents(page) for page in self._pdf.pages] != before

    def _picture(self, found: pdfium.PdfPage) -> Coded:
        scale = self._limits.raster_dpi / _SCREEN
        wide, high = found.get_size()
        if wide * scale * high * scale > self._limits.page_pixels:
            raise Unreadable("too-many-pixels", "A page is larger than allowed.", "Print it to letter size.")
        picture: Image.Image = found.render(scale=scale).to_pil()
        return packed(picture.convert("RGB"))


def _as_pictures(path: Path) -> pdfium.PdfDocument:
    pictures = pdfium.PdfDocument(path)
    pictures.init_forms()  # so that what was filled in is drawn; there is no script engine in it
    return pictures


def _turn(page: pikepdf.Page) -> int:
    turn = page.obj.get("/Rotate", 0)
    return int(turn) % 360 // 90 * 90 if isinstance(turn, int) else 0


def _shown_box(page: pikepdf.Page) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of what a viewer shows: the crop box inside the media box."""
    media = _box(page.mediabox) or (0.0, 0.0, *LETTER)
    crop = _box(page.cropbox) or media
    shown = (max(media[0], crop[0]), max(media[1], crop[1]), min(media[2], crop[2]), min(media[3], crop[3]))
    if shown[2] - shown[0] < 1 or shown[3] - shown[1] < 1:
        shown = media
    if max(shown[2] - shown[0], shown[3] - shown[1]) > _LONGEST * 10:
        raise Unreadable("damaged", "A page has an impossible size.", "Print it to letter size.")
    return shown


def _box(box: Array) -> tuple[float, float, float, float] | None:
    """A rectangle in order, or None when it is not four numbers that span one."""
    try:
        x0, y0, x1, y1 = (float(edge) for edge in box)
    except (TypeError, ValueError):
        return None
    found = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    return found if found[2] - found[0] >= 1 and found[3] - found[1] >= 1 else None


def _contents(page: pikepdf.Page) -> object:
    contents = page.obj.get("/Contents")
    return len(contents) if isinstance(contents, Array) else contents is not None
