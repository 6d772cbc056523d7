"""The drawn pages: typeset from data, and made ready to take in the papers."""

import re
from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any, Final

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Page, String

from quietus.bundle import geometry
from quietus.bundle.geometry import Frame
from quietus.bundle.typesetter import Standard, typeset_pdf
from quietus.bundle.wording import listed
from quietus.model.errors import MachineFault

PLAIN: Final[Standard] = "1.7"
ARCHIVAL: Final[Standard] = "a-2b"
"""What the typesetter can make the pages to."""

_PLACE = re.compile(rb"/Alt\(Exhibit [^()]*\)>>\s*BDC.*?(?=EMC)", re.DOTALL)
"""The tagged place for a paper's page in the content of a drawn page, up to where the tag ends."""

_PRINTED, _LOCKED = 4, 128  # annotation flags (ISO 32000-1, 12.5.3)
_SIGNED, _ONLY_APPEND = 1, 2  # signature flags (ISO 32000-1, 12.7.2)
_HAIRLINE = 0.5  # points, all of it outside the paper's page


def typeset(data: Mapping[str, Any], standard: Standard = PLAIN) -> bytes:
    """The drawn pages as a PDF, tagged for those who can't see: same data, same bytes.

    Args:
        data: what they show.
        standard: `ARCHIVAL` for PDF/A-2b (ISO 19005-2), which only a document of nothing else may call itself.

    Raises:
        MachineFault: the typesetter failed.
    """
    return typeset_pdf("quietus.bundle", "proof.typ", data, "The pages of the proof", standard)


def with_sheets(
    data: Mapping[str, Any],
    frames: Sequence[Sequence[Frame]],
    remarks: Sequence[Sequence[str]],
    foreign: Sequence[str],
) -> dict[str, Any]:
    """The page data, with the size of every frame and what has to be said of each exhibit's file.

    Args:
        data: see `quietus.bundle.summary.page_data`.
        frames: where each page of each exhibit goes.
        remarks: on each exhibit's file.
        foreign: letters of exhibits that keep the document from being PDF/A.
    """
    exhibits = [
        {**item, "remarks": list(said), "pages": len(laid), "runs": _runs(item, laid)}
        for item, laid, said in zip(data["exhibits"], frames, remarks, strict=True)
    ]
    wide, high = geometry.LETTER
    sides = {"side": geometry.SIDE, "top": geometry.TOP, "bottom": geometry.BOTTOM}
    return {
        **data,
        "archival": _archival(foreign),
        "exhibits": exhibits,
        "geometry": {"wide": wide, "high": high, **sides},
    }


def _archival(foreign: Sequence[str]) -> str:
    """What the document says of how long it can be read."""
    if not foreign:
        return "This document is made to PDF/A-2b (ISO 19005-2), for keeping: it needs nothing from outside itself."
    one = len(foreign) == 1
    which = f"exhibit {foreign[0]} came as a file" if one else f"exhibits {listed(list(foreign))} came as files"
    return f"This document does not call itself PDF/A, since {which} of another maker, with pages shown as they are."


def _runs(item: dict[str, Any], laid: Sequence[Frame]) -> list[dict[str, Any]]:
    """Frames for the typesetter, those of one orientation that follow each other together.

    The words for those who can't see the image keep to plain letters, see `_PLACE`.
    """
    title = re.sub(r"[^A-Za-z0-9 ,.-]+", " ", f"{item['title']}, {item['place']}")
    about = f"of {len(laid)}. Image of the paper as received. {title}"
    sheets = [
        {"wide": into.wide, "high": into.high, "alt": f"Exhibit {item['letter']}, page {number} {about}"}
        for number, into in enumerate(laid, start=1)
    ]
    runs = groupby(zip(laid, sheets, strict=True), key=lambda pair: pair[0].landscape)
    return [
        {"landscape": landscape, "first": number == 0, "sheets": [sheet for _, sheet in pairs]}
        for number, (landscape, pairs) in enumerate(runs)
    ]


def starts_of(pdf: pikepdf.Pdf, letters: Sequence[str]) -> list[int]:
    """Index of the page that each exhibit's link leads to."""
    if not letters:
        return []
    targets = pikepdf.NameTree(pdf.Root.Names.Dests)
    numbers = {page.obj.objgen: index for index, page in enumerate(pdf.pages)}
    return [numbers[targets[f"exhibit-{letter}"][0].objgen] for letter in letters]


def make_room(drawn: pikepdf.Pdf, frames: Sequence[Sequence[Frame]], starts: Sequence[int]) -> list[list[int]]:
    """Make room on the drawn pages: for each exhibit the numbers of the objects that its pages are to become.

    An exhibit's pages are the last ones before the next exhibit's slip sheet.
    """
    ends = [*starts[1:], len(drawn.pages)][: len(starts)]
    return [
        [_place(drawn, drawn.pages[end - len(laid) + back], into) for back, into in enumerate(laid)]
        for laid, end in zip(frames, ends, strict=True)
    ]


def _place(drawn: pikepdf.Pdf, page: Page, into: Frame) -> int:
    """Draw an object to come into its frame, inside the tag that describes it, with a hairline around it."""
    content = page.obj.Contents.read_bytes()
    place = _PLACE.search(content)
    if place is None:
        raise MachineFault("A drawn page has no place for its paper.", "Install quietus again.")
    edge = _HAIRLINE / 2
    outline = (into.left - edge, into.bottom - edge, into.wide + 2 * edge, into.high + 2 * edge)
    border = " ".join(f"{number:.3f}" for number in outline)
    laid = f"q {into.matrix} cm /Paper Do Q\nq {_HAIRLINE} w 0.6 G {border} re S Q\n".encode()
    page.obj.Contents.write(content[: place.end()] + laid + content[place.end() :])
    to_come = drawn.make_indirect(Dictionary())
    resources = Dictionary(dict(page.obj.Resources.items()))  # the typesetter shares one among its pages
    resources.XObject = Dictionary(Paper=to_come)
    page.obj.Resources = resources
    return to_come.objgen[0]


def name_maker(pdf: pikepdf.Pdf, maker: str) -> None:
    """Name the program that made it, in both places where a PDF says so."""
    typesetter = str(pdf.docinfo.Creator)
    pdf.docinfo.Creator, pdf.docinfo.Producer = maker, typesetter
    pdf.Root.ViewerPreferences.DisplayDocTitle = True  # the title and not the file's name (ISO 14289-1, 7.1)
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
        metadata["xmp:CreatorTool"], metadata["pdf:Producer"] = maker, typesetter


def make_seal_field(pdf: pikepdf.Pdf) -> int:
    """Make a signature field that shows on no page; gives the number of the signature that is to become its value."""
    signature = pdf.make_indirect(Dictionary())
    page = pdf.pages[0].obj
    widget = pdf.make_indirect(
        Dictionary(
            Type=Name.Annot,
            Subtype=Name.Widget,
            FT=Name.Sig,
            T=String("office-seal"),
            TU=String("Seal of integrity of the office"),
            F=_LOCKED | _PRINTED,
            Rect=Array([0, 0, 0, 0]),
            P=page,
            V=signature,
        )
    )
    page.Annots = Array([*page.get("/Annots", Array([])), widget])
    _tag_field(pdf, page, widget)
    pdf.Root.AcroForm = pdf.make_indirect(Dictionary(Fields=Array([widget]), SigFlags=_SIGNED | _ONLY_APPEND))
    return signature.objgen[0]


def _tag_field(pdf: pikepdf.Pdf, page: Object, widget: Object) -> None:
    """Give a field its place in the order of reading (ISO 14289-1, 7.18.4; ISO 32000-1, 14.7.4.3)."""
    root = pdf.Root.StructTreeRoot
    parents = pikepdf.NumberTree(root.ParentTree)
    key = int(root.get("/ParentTreeNextKey", max(parents.keys(), default=-1) + 1))
    whole = root.K[0] if isinstance(root.K, Array) else root.K
    place = Dictionary(Type=Name.OBJR, Obj=widget, Pg=page)
    element = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Form, P=whole, Pg=page, K=place))
    whole.K = Array([*(whole.K if isinstance(whole.K, Array) else [whole.K]), element])
    parents[key] = element
    widget.StructParent, root.ParentTreeNextKey = key, key + 1


def seal_entries(said: Mapping[str, Any]) -> Dictionary:
    """What a signature says of itself (ISO 32000-1, 12.8.1; ETSI EN 319 142-1, 6.3)."""
    return Dictionary(
        Type=Name.Sig,
        Filter=Name("/Adobe.PPKLite"),
        SubFilter=Name("/ETSI.CAdES.detached"),
        Name=String(said["name"]),
        Reason=String(said["reason"]),
        M=String(said["when"]),
    )
