"""PDF files, through PDFium."""

import ctypes
from functools import lru_cache
from typing import Any, TypeAlias, cast

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c

from quietus.model.limits import Limits
from quietus.reading.folio import LETTER, SENSIBLE, WHOLE, Button, Inked, Raster, Typed
from quietus.reading.pdf_ink import inks
from quietus.reading.pixels import Picture
from quietus.reading.refusals import refuse

_WHOLE = 0.75  # share of the page that one picture covers when the page is a scan
_KEPT = 4  # pages whose words are kept: a page is asked for them several times
_FEW = 24  # letters: fewer than this are a label or a page number, not a text
_OBJECTS = 4000  # objects of a page looked at while searching for its scan
_Edges: TypeAlias = tuple[float, float, float, float]  # points: left, bottom, right, top
_Letter: TypeAlias = tuple[str, _Edges]
_LONGEST = 120.0  # inches: legal size at 600 dpi with pixels taken for points; nothing larger is a page
_TYPESET_DPI = 200  # enough to see tick boxes and stamps on a page that needs no recognition


class PdfFolio:
    """A PDF file. Script, form actions and links are never run; encrypted files open only when no password is asked."""

    def __init__(self, data: bytes, limits: Limits) -> None:
        self._limits = limits
        try:
            self._pdf = pdfium.PdfDocument(data)
            self.pages = len(self._pdf)
        except pdfium.PdfiumError as fault:
            locked = pdfium_c.FPDF_GetLastError() == pdfium_c.FPDF_ERR_PASSWORD or "password" in str(fault).lower()
            raise refuse("password-needed" if locked else "damaged") from fault
        if self.pages < 1:
            raise refuse("no-pages")
        self._leaf = lru_cache(maxsize=2)(self._load)
        self._words = lru_cache(maxsize=_KEPT)(self._read_words)
        self._scan_dpi = lru_cache(maxsize=_KEPT)(self._find_scan_dpi)

    def inches(self, page: int) -> tuple[float, float]:
        """Width and height of a page."""
        wide, high = self._page(page).get_size()
        inch = 72.0 * _oversize(max(wide, high))
        return wide / inch, high / inch

    def raster(self, page: int) -> Raster:
        """The page's picture."""
        loaded = self._page(page)
        wide, high = self.inches(page)
        dpi = self._dpi(page)
        if wide * dpi * high * dpi > self._limits.page_pixels:
            raise refuse("too-many-pixels")
        return Raster(_render(loaded, wide * dpi / loaded.get_width()), dpi)

    def typed(self, page: int) -> tuple[Typed, ...]:
        """The words of the page's own text; empty for a scan."""
        return self._words(page)

    def buttons(self, page: int) -> tuple[Button, ...]:
        """The page's tick boxes that are form fields."""
        return self._leaf(page)[1]

    def inks(self, page: int) -> tuple[Inked, ...]:
        """Where on the page more than its own text and rules shows; all of it for a scan."""
        loaded = self._page(page)
        found = inks(loaded) if self.typed(page) else None
        if found is None:
            return (WHOLE,)
        fraction = _to_fractions(loaded)
        ends = [fraction([(left, bottom), (right, top)]) for left, bottom, right, top in found]
        return tuple(Inked(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)) for (x0, y0), (x1, y1) in ends)

    def close(self) -> None:
        """Let go of the file."""
        for kept in (self._leaf, self._words, self._scan_dpi):
            kept.cache_clear()
        self._pdf.close()

    def _read_words(self, page: int) -> tuple[Typed, ...]:
        if self._scan_dpi(page):
            return ()
        words = tuple(word for word in _typed_words(self._page(page)) if 0 <= word.left < word.right <= 1)
        return words if sum(len(word.text) for word in words) >= _FEW else ()

    def _page(self, number: int) -> pdfium.PdfPage:
        return self._leaf(number)[0]

    def _load(self, number: int) -> tuple[pdfium.PdfPage, tuple[Button, ...]]:
        """The page with what was filled in and stamped on it made part of the page, and its tick boxes before that."""
        try:
            page = self._pdf[number - 1]
            buttons = _buttons(page)
            if pdfium_c.FPDFPage_Flatten(page, pdfium_c.FLAT_NORMALDISPLAY) == pdfium_c.FLATTEN_SUCCESS:
                page.close()
                page = self._pdf[number - 1]
        except (pdfium.PdfiumError, IndexError) as fault:
            raise refuse("damaged") from fault
        wide, high = page.get_size()
        if not (wide > 1 and high > 1):
            raise refuse("damaged")
        if max(wide, high) > _LONGEST * 72:
            raise refuse("too-many-pixels")
        return page, buttons

    def _dpi(self, page: int) -> float:
        """The scan's own dpi between 150 and the limit, so that no pixel is made up or recognised for nothing."""
        own = self._scan_dpi(page)
        most = float(self._limits.raster_dpi)
        if own:
            return min(most, max(150.0, own))
        return min(most, float(_TYPESET_DPI)) if self.typed(page) else most

    def _find_scan_dpi(self, page: int) -> float:
        """Dots per inch of the picture that covers the page; 0 when there is none.

        Raises:
            Unreadable: `too-many-pixels` for a picture over the limit, before anything decodes it.
        """
        loaded = self._page(page)
        wide, high = loaded.get_size()
        found = 0.0
        for picture in _pictures(loaded):
            across, down = picture.get_px_size()
            if across * down > self._limits.page_pixels:
                raise refuse("too-many-pixels")
            left, bottom, right, top = picture.get_bounds()
            shown = max(0.0, min(right, wide) - max(left, 0)) * max(0.0, min(top, high) - max(bottom, 0))
            if shown > _WHOLE * wide * high or (right - left) * (top - bottom) > _WHOLE * wide * high:
                found = max(found, max(across, down) / max(self.inches(page)))
        return found


def _oversize(points: float) -> float:
    """How many times too long the page is: some scanners write pixels where points belong."""
    low, high = SENSIBLE
    inches = points / 72
    return 1.0 if low <= inches <= high else inches / LETTER


def _pictures(page: pdfium.PdfPage) -> list[pdfium.PdfImage]:
    found = []
    for seen, thing in enumerate(page.get_objects(max_depth=3)):
        if isinstance(thing, pdfium.PdfImage):
            found.append(thing)
        if seen > _OBJECTS:
            break
    return found


def _render(page: pdfium.PdfPage, scale: float) -> Picture:
    try:
        bitmap = page.render(scale=scale, may_draw_forms=False, rev_byteorder=False)
    except (pdfium.PdfiumError, MemoryError) as fault:
        raise refuse("too-much-memory") from fault
    pixels = cast("Picture", np.array(bitmap.to_numpy()[:, :, :3]))
    blue, green, red = pixels[::7, ::7, 0], pixels[::7, ::7, 1], pixels[::7, ::7, 2]
    plain = np.array_equal(blue, green) and np.array_equal(green, red)
    return np.ascontiguousarray(pixels[:, :, 0]) if plain else pixels


def _typed_words(page: pdfium.PdfPage) -> tuple[Typed, ...]:
    """The page's visible text as words with places, in the order they stand in the file."""
    text = page.get_textpage()
    try:
        letters = [_letter(text, index) for index in range(text.count_chars())]
    finally:
        text.close()
    fraction = _to_fractions(page)
    words: list[Typed] = []
    run: list[_Letter] = []
    for letter in [*letters, None]:
        if letter is not None and not (run and _apart(run, letter[1])):
            run.append(letter)
            continue
        if run:
            words.append(_word(run, fraction))
        run = [letter] if letter else []
    return tuple(words)


def _letter(text: pdfium.PdfTextPage, index: int) -> _Letter | None:
    """One visible letter and its edges in points (left, bottom, right, top); None for a space or anything hidden."""
    sign = chr(pdfium_c.FPDFText_GetUnicode(text, index))
    if sign.isspace() or not sign.isprintable():
        return None
    thing = pdfium_c.FPDFText_GetTextObject(text, index)
    if thing and pdfium_c.FPDFTextObj_GetTextRenderMode(thing) == pdfium_c.FPDF_TEXTRENDERMODE_INVISIBLE:
        return None
    edges = [ctypes.c_double() for _ in range(4)]
    left, right, bottom, top = edges
    if not pdfium_c.FPDFText_GetCharBox(text, index, left, right, bottom, top):
        return None
    return sign, (left.value, bottom.value, right.value, top.value)


def _apart(run: list[_Letter], here: _Edges) -> bool:
    """True when a letter stands too far from the one before it, across or up and down, to be of the same word."""
    last = run[-1][1]
    size = max(6.0, here[3] - here[1], *(edges[3] - edges[1] for _, edges in run[-4:]))
    across = max(here[0] - last[2], last[0] - here[2])
    down = max(here[1] - last[3], last[1] - here[3])
    return across > 0.9 * size or down > 0.9 * size


def _word(run: list[_Letter], fraction: Any) -> Typed:
    lefts, bottoms, rights, tops = zip(*(edges for _, edges in run), strict=True)
    ends = fraction([(min(lefts), min(bottoms)), (max(rights), max(tops))])
    (x0, y0), (x1, y1) = ends
    return Typed("".join(sign for sign, _ in run), min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def _to_fractions(page: pdfium.PdfPage) -> Any:
    """A function from points of the page's own space to fractions of the page as shown, turn and crop included."""
    grid = 1_000_000

    def shown(x: float, y: float) -> tuple[float, float]:
        across, down = ctypes.c_int(), ctypes.c_int()
        pdfium_c.FPDF_PageToDevice(page, 0, 0, grid, grid, 0, x, y, across, down)
        return across.value / grid, down.value / grid

    origin, right, up = (np.array(shown(*point)) for point in ((0, 0), (1000, 0), (0, 1000)))
    east, north = (right - origin) / 1000, (up - origin) / 1000

    def fractions(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
        placed = [origin + east * x + north * y for x, y in points]
        return [(float(x), float(y)) for x, y in placed]

    return fractions


def _buttons(page: pdfium.PdfPage) -> tuple[Button, ...]:
    """Tick boxes among the page's form widgets: those with an appearance state, on or `Off` (ISO 32000-1, 12.7.4.2)."""
    fraction = _to_fractions(page)
    found = []
    for index in range(min(pdfium_c.FPDFPage_GetAnnotCount(page), _OBJECTS)):
        annotation = pdfium_c.FPDFPage_GetAnnot(page, index)
        try:
            state = _state(annotation)
            if state:
                edges = pdfium_c.FS_RECTF()
                pdfium_c.FPDFAnnot_GetRect(annotation, edges)
                (x0, y0), (x1, y1) = fraction([(edges.left, edges.bottom), (edges.right, edges.top)])
                found.append(Button(state != "Off", min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)))
        finally:
            pdfium_c.FPDFPage_CloseAnnot(annotation)
    return tuple(found)


def _state(annotation: Any) -> str:
    if not annotation or pdfium_c.FPDFAnnot_GetSubtype(annotation) != pdfium_c.FPDF_ANNOT_WIDGET:
        return ""
    size = pdfium_c.FPDFAnnot_GetStringValue(annotation, b"AS", None, 0)
    if size <= 2:
        return ""
    buffer = ctypes.create_string_buffer(min(size, 512))
    pdfium_c.FPDFAnnot_GetStringValue(annotation, b"AS", ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), 512)
    return buffer.raw.decode("utf-16-le", "replace").split("\x00")[0]
