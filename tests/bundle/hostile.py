"""PDF files with things in them that must not travel."""

import io
import zlib

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, Stream, String

from tests.bundle.make import typed_pdf

PLANTED = b"PLANTED"
"""Stands in every action, script, attachment, hidden text and note that the files below carry."""


def saved(pdf: Pdf, encryption: pikepdf.Encryption | None = None) -> bytes:
    buffer = io.BytesIO()
    pdf.save(buffer, encryption=encryption)
    return buffer.getvalue()


def opened(*words: str, pages: int = 1) -> Pdf:
    return pikepdf.open(io.BytesIO(typed_pdf(*words, pages=pages)))


def script() -> Dictionary:
    return Dictionary(S=Name.JavaScript, JS=String("app.alert('PLANTED')"))


def active() -> bytes:
    """Scripts, actions, attachments, links, notes and metadata in every place that a file offers."""
    pdf = opened("Articles of Dissolution")
    page = pdf.pages[0].obj
    pdf.Root.OpenAction = script()
    pdf.Root.AA = Dictionary(WC=script())
    pdf.Root.Names = Dictionary(JavaScript=Dictionary(Names=Array([String("PLANTED"), script()])))
    pdf.Root.Metadata = Stream(pdf, b"<x>PLANTED</x>")
    pdf.Root.PieceInfo = Dictionary(X=Dictionary(Private=String("PLANTED")))
    pdf.attachments["PLANTED.exe"] = b"PLANTED"
    page.AA = Dictionary(O=script())
    page.Thumb = Stream(pdf, b"PLANTED")
    page.PieceInfo = Dictionary(X=Dictionary(Private=String("PLANTED")))
    page.Annots = Array([_link(pdf, script()), _link(pdf, Dictionary(S=Name.Launch, F=String("PLANTED.exe")))])
    _spoil_resources(pdf, page)
    return saved(pdf)


def _link(pdf: Pdf, action: Dictionary) -> pikepdf.Object:
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Annot,
            Subtype=Name.Link,
            Rect=Array([0, 0, 600, 700]),
            A=action,
            Contents=String("PLANTED"),
        )
    )


def _spoil_resources(pdf: Pdf, page: pikepdf.Object) -> None:
    """Things that hang on what a page draws with, and would come along with it."""
    form = Stream(pdf, b"0 0 10 10 re f")
    form.Type, form.Subtype, form.BBox = Name.XObject, Name.Form, Array([0, 0, 20, 20])
    form.PieceInfo = Dictionary(X=Dictionary(Private=String("PLANTED")))
    form.Metadata = Stream(pdf, b"<x>PLANTED</x>")
    form.AF = Array([Dictionary(Type=Name.Filespec, F=String("PLANTED"))])
    form.Ref = Dictionary(F=String("PLANTED.pdf"), Page=0)
    form.AA = Dictionary(O=script())
    form.Resources = Dictionary(XObject=Dictionary(Again=page))  # leads back to the page and all its actions
    program = Stream(pdf, b"PLANTED")
    program.Type, program.Subtype = Name.XObject, Name.PS
    outside = Stream(pdf, b"")
    outside.Type, outside.Subtype, outside.Width, outside.Height = Name.XObject, Name.Image, 1, 1
    outside.F = String("//server/PLANTED")
    page.Resources.XObject = Dictionary(Fm0=pdf.make_indirect(form), Ps0=program, Im0=outside)
    page.Resources.Properties = Dictionary(MC0=Dictionary(Metadata=Stream(pdf, b"PLANTED")))
    page.Contents = Stream(pdf, page.Contents.read_bytes() + b"\nq /Fm0 Do Q\n")


def filled_in(*, flags: int = 4, need_appearances: bool = False) -> bytes:
    """A form whose value stands in a field's appearance, not on the page."""
    pdf = opened("Name of the company:")
    look = Stream(pdf, b"/Tx BMC q BT /Helv 12 Tf 2 4 Td (FILLEDIN) Tj ET Q EMC")
    look.Type, look.Subtype, look.BBox = Name.XObject, Name.Form, Array([0, 0, 200, 20])
    font = Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica)
    look.Resources = Dictionary(Font=Dictionary(Helv=font))
    field = Dictionary(
        Type=Name.Annot,
        Subtype=Name.Widget,
        FT=Name.Tx,
        T=String("name"),
        V=String("FILLEDIN"),
        DA=String("/Helv 12 Tf 0 g"),
        Rect=Array([72, 600, 272, 620]),
        F=flags,
        AA=Dictionary(K=script()),
    )
    if not need_appearances:
        field.AP = Dictionary(N=look)
    widget = pdf.make_indirect(field)
    pdf.pages[0].obj.Annots = Array([widget])
    pdf.Root.AcroForm = pdf.make_indirect(
        Dictionary(
            Fields=Array([widget]),
            DR=Dictionary(Font=Dictionary(Helv=font)),
            DA=String("/Helv 12 Tf 0 g"),
            NeedAppearances=need_appearances,
            XFA=String("<x>PLANTED</x>"),
        )
    )
    return saved(pdf)


def layered() -> bytes:
    """A page with a layer that is switched off."""
    pdf = opened("Seen by everybody")
    layer = pdf.make_indirect(Dictionary(Type=Name.OCG, Name=String("draft")))
    pdf.Root.OCProperties = Dictionary(OCGs=Array([layer]), D=Dictionary(OFF=Array([layer]), Order=Array([layer])))
    page = pdf.pages[0].obj
    page.Resources.Properties = Dictionary(MC0=layer)
    words = b"\n/OC /MC0 BDC BT /F1 30 Tf 72 400 Td (PLANTED) Tj ET 0 0 600 390 re f EMC\n"
    page.Contents = Stream(pdf, page.Contents.read_bytes() + words)
    return saved(pdf)


def signed() -> bytes:
    """A file that says it is signed."""
    pdf = opened("Electronic certificate")
    pdf.Root.AcroForm = Dictionary(Fields=Array([]), SigFlags=3)
    return saved(pdf)


def locked(user: str) -> bytes:
    """An encrypted file; opens without a password when `user` is empty."""
    return saved(opened("Behind a lock"), encryption=pikepdf.Encryption(owner="owner", user=user))


def broken() -> bytes:
    """Begins like a PDF and is none."""
    return b"%PDF-1.7\n" + b"\x00\x01" * 4000


def endless() -> bytes:
    """A form that draws itself."""
    pdf = opened("Round and round")
    form = pdf.make_indirect(Stream(pdf, b"/Fm0 Do"))
    form.Type, form.Subtype, form.BBox = Name.XObject, Name.Form, Array([0, 0, 20, 20])
    form.Resources = Dictionary(XObject=Dictionary(Fm0=form))
    page = pdf.pages[0].obj
    page.Resources.XObject = Dictionary(Fm0=form)
    page.Contents = Stream(pdf, page.Contents.read_bytes() + b"\nq /Fm0 Do Q\n")
    return saved(pdf)


def bomb(megabytes: int) -> bytes:
    """A page whose content is small in the file and enormous outside it."""
    pdf = opened("Small outside")
    packer = zlib.compressobj(9)
    coded = b"".join(packer.compress(b" " * (1 << 20)) for _ in range(megabytes)) + packer.flush()
    pdf.pages[0].obj.Contents = Stream(pdf, coded)
    pdf.pages[0].obj.Contents.Filter = Name.FlateDecode
    return saved(pdf)
