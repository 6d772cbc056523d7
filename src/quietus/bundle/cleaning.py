"""What of a foreign PDF page may come along: marks on paper, and nothing that acts, points elsewhere or hides.

A page is taken over as a form XObject: its content stream and the resources that the stream draws with. Annotations,
actions, scripts, forms, attachments, thumbnails, metadata and structure hang on the page or the catalog and stay
behind by themselves. What the resources drag along is cut down to the keys below, so that the unknown is dropped.
"""

from collections.abc import Iterator

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Stream

_RESOURCES = {"/ExtGState", "/ColorSpace", "/Pattern", "/Shading", "/XObject", "/Font", "/ProcSet"}
"""Categories of a resource dictionary (ISO 32000-1, 7.8.3), without Properties, which leads to layers and metadata."""

_STREAM = "/Length /Filter /DecodeParms /Predictor /Colors /BitsPerComponent /Columns /EarlyChange /K /EndOfLine /Rows"
_STREAM += " /EncodedByteAlign /EndOfBlock /BlackIs1 /DamagedRowsBeforeError /JBIG2Globals /ColorTransform"
_FORM = "/Type /Subtype /FormType /BBox /Matrix /Resources /Group /S /CS /I"
_IMAGE = "/Width /Height /ColorSpace /Intent /ImageMask /Mask /Decode /Interpolate /SMask /SMaskInData /Matte /Name"
_FONT = "/BaseFont /FirstChar /LastChar /Widths /FontDescriptor /Encoding /ToUnicode /DescendantFonts /CIDSystemInfo"
_FONT += " /DW /W /DW2 /W2 /CIDToGIDMap /FontBBox /FontMatrix /CharProcs /BaseEncoding /Differences /UseCMap /CMapName"
_FONT += " /WMode /Registry /Ordering /Supplement /FontName /FontFamily /FontStretch /FontWeight /Flags /ItalicAngle"
_FONT += " /Ascent /Descent /Leading /CapHeight /XHeight /StemV /StemH /AvgWidth /MaxWidth /MissingWidth /FontFile"
_FONT += " /FontFile2 /FontFile3 /CharSet /CIDSet /Style /Panose /FD /Length1 /Length2 /Length3"
_PAINT = "/PatternType /PaintType /TilingType /XStep /YStep /Shading /ExtGState /ShadingType /Background /AntiAlias"
_PAINT += " /Coords /Domain /Function /Extend /BitsPerCoordinate /BitsPerFlag /VerticesPerRow /FunctionType /Range"
_PAINT += " /Size /BitsPerSample /Order /Encode /C0 /C1 /N /Functions /Bounds /Alternate /WhitePoint /BlackPoint"
_PAINT += " /Gamma /Colorants /Process /Components /Solidities /DotGain"
_STATE = "/LW /LC /LJ /ML /D /RI /OP /op /OPM /Font /BG /BG2 /UCR /UCR2 /TR /TR2 /HT /FL /SM /SA /BM /CA /ca /AIS /TK"
_STATE += " /G /BC /HalftoneType /Frequency /Angle /SpotFunction /AccurateScreens /TransferFunction"

_KEPT = frozenset(" ".join((_STREAM, _FORM, _IMAGE, _FONT, _PAINT, _STATE)).split())
"""Keys that drawing needs (ISO 32000-1: 7.3.8, 8.4.5, 8.6, 8.7, 8.9, 8.10, 9.5 to 9.10, 10.5, 11.6)."""

_NAMED = frozenset({"/CharProcs", "/Colorants"})
"""Dictionaries, beside the resource categories, whose keys are names that the file made up."""


def clean_form(form: Object) -> None:
    """Cut a form XObject and everything it draws with down to what drawing needs, in place.

    Shared and circular objects are looked at once, so the work is bounded by the size of the file.
    """
    seen: set[tuple[int, int]] = set()
    waiting: list[Object] = [form]
    while waiting:
        thing = waiting.pop()
        if thing.is_indirect:
            if thing.objgen in seen:
                continue
            seen.add(thing.objgen)
        waiting.extend(_cleaned(thing))


def _cleaned(thing: Object) -> Iterator[Object]:
    """Drop what is not kept from one object, and give what it leads to."""
    if isinstance(thing, Array):
        yield from (item for item in thing if _leads_on(item))
    elif isinstance(thing, (Dictionary, Stream)):
        for key in list(thing.keys()):
            if key not in _KEPT:
                del thing[key]
                continue
            value = thing[key]
            if key == "/Resources" and isinstance(value, Dictionary):
                yield from _resources(value)
            elif key in _NAMED and isinstance(value, Dictionary):
                yield from (item for _, item in value.items() if _leads_on(item))
            elif _leads_on(value):
                yield value


def _resources(resources: Dictionary) -> Iterator[Object]:
    for category in list(resources.keys()):
        named = resources[category]
        if category not in _RESOURCES or not isinstance(named, (Dictionary, Array)):
            del resources[category]
        elif isinstance(named, Dictionary):
            for name in list(named.keys()):
                if category == "/XObject" and not _drawable(named[name]):
                    del named[name]
            yield from (item for _, item in named.items() if _leads_on(item))


def _drawable(thing: Object) -> bool:
    """True for images and forms; PostScript XObjects are programs (ISO 32000-1, 8.8.2)."""
    return isinstance(thing, Stream) and thing.get("/Subtype") in {Name.Image, Name.Form}


def _leads_on(thing: object) -> bool:
    return isinstance(thing, (Array, Dictionary, Stream))


def draws_hidden_layers(pdf: pikepdf.Pdf) -> bool:
    """True when layers are switched off: taken over without the switches, they would show what the original hides."""
    layers = pdf.Root.get("/OCProperties")
    if not isinstance(layers, Dictionary):
        return False
    usual = layers.get("/D")
    if not isinstance(usual, Dictionary):
        return True
    off = usual.get("/OFF")
    return usual.get("/BaseState", Name.ON) != Name.ON or (isinstance(off, Array) and len(off) > 0)


def carries_signature(pdf: pikepdf.Pdf) -> bool:
    """True when a digital signature is set on the file (SigFlags bit 1, ISO 32000-1, 12.7.2)."""
    form = pdf.Root.get("/AcroForm")
    flags = form.get("/SigFlags", 0) if isinstance(form, Dictionary) else 0
    return isinstance(flags, int) and bool(flags & 1)
