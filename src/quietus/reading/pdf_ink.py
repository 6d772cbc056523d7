"""What shows on a page of a PDF beside its own level text and rules: only there can it bear a stamp.

What a page is made of is looked at instead of its pixels, which takes a millisecond or two rather than a hundred.
"""

import ctypes
from typing import Any, TypeAlias

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c

Edges: TypeAlias = tuple[float, float, float, float]
"""Left, bottom, right, top in points."""
_DEEP = 4  # forms within forms that are looked into
_OBJECTS = 4000  # objects of a page that are looked at
_PIECES = 6  # pieces of curved or slanting lines that no signature, but a stamp has
_LEAN = 0.01  # slope from which text or a line is not level
_COLOURED = 34  # steps of 255 between the strongest and the weakest channel of coloured ink
_TINY = 14.0  # points: a picture less wide or high than this is an ornament


def inks(page: pdfium.PdfPage) -> list[Edges] | None:
    """Where something shows that is neither level text in black or gray, nor a level rule, nor a few pen strokes.

    Edges are left, bottom, right, top in points of the page's own space. None when it may be anywhere: the file does
    not tell what the text reads, the page is turned, or it has too much on it to be looked through.
    """
    if page.get_rotation() or _unreadable(page):
        return None
    found: list[Edges] = []
    drawn: list[Edges] = []
    pieces = 0
    for seen, thing in enumerate(page.get_objects(max_depth=_DEEP)):
        if seen > _OBJECTS:
            return None
        if thing.type == pdfium_c.FPDF_PAGEOBJ_PATH and (more := _strokes(thing)):
            pieces += more
            drawn.append(_outermost(thing).get_bounds())
        elif _like_ink(thing):
            found.append(_outermost(thing).get_bounds())
    return found + drawn if found or pieces >= _PIECES else []


def _outermost(thing: pdfium.PdfObject) -> pdfium.PdfObject:
    """The thing itself or the form that holds it: only what stands on the page directly has edges in its points."""
    while thing.container is not None:
        thing = thing.container
    return thing


def _like_ink(thing: pdfium.PdfObject) -> bool:
    if thing.type == pdfium_c.FPDF_PAGEOBJ_TEXT:
        return _leans(thing) or _coloured(thing)
    if thing.type == pdfium_c.FPDF_PAGEOBJ_FORM:
        return _leans(thing) or thing.level >= _DEEP - 1
    if thing.type == pdfium_c.FPDF_PAGEOBJ_IMAGE:
        left, bottom, right, top = thing.get_bounds()
        return bool(min(right - left, top - bottom) >= _TINY)
    return bool(thing.type != pdfium_c.FPDF_PAGEOBJ_PATH)


def _leans(thing: pdfium.PdfObject) -> bool:
    matrix = thing.get_matrix()
    return bool(matrix.a <= 0 or abs(matrix.b) > _LEAN * matrix.a)


def _coloured(text: pdfium.PdfObject) -> bool:
    red, green, blue, whole = (ctypes.c_uint() for _ in range(4))
    pdfium_c.FPDFPageObj_GetFillColor(text, red, green, blue, whole)
    channels = (red.value, green.value, blue.value)
    return max(channels) - min(channels) >= _COLOURED


def _strokes(path: pdfium.PdfObject) -> int:
    """How many separate pieces a path has, when any part of it is curved or slants; else 0."""
    begun, slanting = 0, _leans(path)
    last = (0.0, 0.0)
    for index in range(min(pdfium_c.FPDFPath_CountSegments(path), _OBJECTS)):
        segment = pdfium_c.FPDFPath_GetPathSegment(path, index)
        sort = pdfium_c.FPDFPathSegment_GetType(segment)
        here = _point(segment)
        if sort == pdfium_c.FPDF_SEGMENT_MOVETO:
            begun += 1
        elif sort == pdfium_c.FPDF_SEGMENT_BEZIERTO or not _level(last, here):
            slanting = True
        last = here
    return begun if slanting else 0


def _point(segment: Any) -> tuple[float, float]:
    across, up = ctypes.c_float(), ctypes.c_float()
    pdfium_c.FPDFPathSegment_GetPoint(segment, across, up)
    return across.value, up.value


def _level(one: tuple[float, float], other: tuple[float, float]) -> bool:
    wide, high = sorted((abs(one[0] - other[0]), abs(one[1] - other[1])))
    return wide <= max(_LEAN * high, 0.05)


def _unreadable(page: pdfium.PdfPage) -> bool:
    """True when there is text whose characters the file does not tell."""
    text = page.get_textpage()
    try:
        return any(pdfium_c.FPDFText_HasUnicodeMapError(text, index) == 1 for index in range(text.count_chars()))
    finally:
        text.close()
