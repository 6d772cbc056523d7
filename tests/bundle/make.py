"""An invented closing to bundle: the company, its lines, its papers and their files."""

import hashlib
import io
import random
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pikepdf
from PIL import Image, ImageDraw
from reportlab.pdfgen.canvas import Canvas

from quietus.bundle.purposes import Form, load_purposes
from quietus.bundle.request import BundleRequest
from quietus.bundle.selection import select
from quietus.model.entity import Entity, Registration, TaxClass
from quietus.model.expected import Basis, ExpectedPaper, Need, Source, expected_key
from quietus.model.findings import Code, Finding, Line, Mark, Severity, Verdict
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Box, PageView, Reading, Value

TODAY = date(2026, 11, 20)
NOW = datetime(2026, 11, 20, 17, 5, 9, tzinfo=UTC)
PLACES = {"OR": "Oregon", "WA": "Washington", "TN": "Tennessee", "CO": "Colorado", "NJ": "New Jersey"}
PDF, TIFF, JPEG, PNG = "application/pdf", "image/tiff", "image/jpeg", "image/png"

TITLES = {
    "OR/dissolution": "Articles of Dissolution",
    "WA/withdrawal": "Statement of Withdrawal",
    "TN/withdrawal": "Application for Cancellation of Certificate of Authority",
    "TN/clearance": "Certificate of Tax Clearance",
    "US/final_return": "Form 1065, final",
    "company/consent": "Written consent of the members",
}

COMPANY_B = Entity(
    slug="saltmarsh-sheeter",
    name="Saltmarsh Sheeter Supply LLC",
    ein="08-3307915",
    tax_class=TaxClass.PARTNERSHIP,
    home="OR",
    registrations=(
        Registration("OR", "1611940-90", date(2018, 2, 5)),
        Registration("WA", "604 902 118"),
        Registration("TN", "001207744"),
    ),
    formed=date(2018, 2, 5),
    closed=date(2026, 3, 31),
    members=("Ines Hollowbrook", "Rufus Tattersley"),
)


def expected(key: str, **more: Any) -> ExpectedPaper:
    """An expected paper by its key."""
    scope, kind = key.split("/")
    fields: dict[str, Any] = {
        "title": TITLES.get(key, f"{scope} {kind}"),
        "need": Need.REQUIRED,
        "issuer": "Secretary of State",
        "sources": (Source(f"{scope} Stat. 63.621", Basis.READ, date(2026, 11, 1)),),
        "next_step": "Get it.",
    }
    return ExpectedPaper(key=expected_key(scope, Kind(kind)), scope=scope, kind=Kind(kind), **{**fields, **more})


def value(content: str | bool, **more: Any) -> Value:
    """A sure value on page 1."""
    fields: dict[str, Any] = {"page": 1, "box": Box(0.1, 0.1, 0.4, 0.2), "raw": str(content), "method": "ocr"}
    return Value(content, 0.97, **{**fields, **more})


def paper(key: str, data: bytes, media_type: str = PDF, *, pages: int = 1, turn: int = 0, **more: Any) -> Paper:
    """A filed paper of company B that answers `key`."""
    scope, kind = key.split("/")
    values = {
        "kind": value(kind),
        "jurisdiction": value(scope if len(scope) == 2 else "OR"),
        "filing_date": value("2026-04-14", raw="FILED APR 14 2026", method="stamp:chroma"),
        "stamped": value(True, method="stamp:chroma"),
        "authority": value("office-stamped", method="stamp:chroma"),
        "file_number": value("1611940-90"),
    }
    views = tuple(PageView(n, turn, 0.0, "", "ocr") for n in range(1, pages + 1))
    sha256 = hashlib.sha256(data).hexdigest()
    fields: dict[str, Any] = {
        "id": hashlib.sha256(key.encode() + data).hexdigest()[:32],
        "sha256": sha256,
        "name": "scan0007.pdf",
        "media_type": media_type,
        "size": len(data),
        "pages": pages,
        "received": datetime(2026, 5, 2, 9, 30, tzinfo=UTC),
        "standing": Standing.FILED,
        "entity": COMPANY_B.slug,
        "expected": key,
        "reading": Reading(views, values, "engine 1"),
    }
    return Paper(**{**fields, **more})


def with_value(old: Paper, **values: Value) -> Paper:
    """The paper, read otherwise."""
    return replace(old, reading=replace(old.reading, values={**old.reading.values, **values}))


def line(key: str, *papers: Paper, mark: Mark | None = None, **more: Any) -> Line:
    """The line of an expected paper: proven by its papers, missing without any."""
    state = mark or (Mark.PROVEN if papers else Mark.MISSING)
    return Line(expected(key, **more), state, tuple(p.id for p in papers))


def finding(code: Code, key: str = "", *papers: Paper, scope: str = "") -> Finding:
    """A finding that blocks."""
    return Finding(
        code=code,
        severity=Severity.BLOCKS,
        scope=scope or key.split("/", maxsplit=1)[0],
        expected=key,
        papers=tuple(p.id for p in papers),
        says="SAID TO THE PREPARER ALONE.",
        why="",
        sources=(),
        next_step="",
        who="preparer",
    )


def verdict(lines: Sequence[Line], findings: Sequence[Finding] = ()) -> Verdict:
    """The state of company B's closing."""
    return Verdict(COMPANY_B.slug, TODAY, tuple(lines), tuple(findings))


def nothing_read(_data: bytes) -> Reading:
    """What recognition finds on a copy that shows nothing; for tests that are not about redaction."""
    return Reading(())


def request(
    lines: Sequence[Line],
    papers: Mapping[str, tuple[Paper, bytes]] | Sequence[tuple[Paper, bytes]],
    findings: Sequence[Finding] = (),
    purpose: str = "lender",
    jurisdiction: str = "",
    **more: Any,
) -> BundleRequest:
    """A request for company B."""
    pairs = list(papers.values()) if isinstance(papers, Mapping) else list(papers)
    state = verdict(lines, findings)
    chosen = load_purposes()[purpose]
    held = {paper.id: data for paper, data in pairs}
    fields: dict[str, Any] = {
        "entity": COMPANY_B,
        "verdict": state,
        "selection": select(chosen, state, [paper for paper, _ in pairs], jurisdiction),
        "purpose": chosen,
        "recipient": "First Example Bank, closing desk",
        "prepared_by": "Harrowgate Tax Office",
        "asof": TODAY,
        "made_at": NOW,
        "show_gaps": False,
        "original": held.__getitem__,
        "version": "0.1.0",
        "places": PLACES,
        "reread": nothing_read,
    }
    return BundleRequest(**{**fields, **more})


def complete(**more: Any) -> BundleRequest:
    """Company B with everything a lender may see, and a return that no lender may see."""
    made = [
        ("OR/dissolution", typed_pdf("Articles of Dissolution"), PDF),
        ("WA/withdrawal", scan(JPEG), JPEG),
        ("TN/withdrawal", fax(pages=2), TIFF),
        ("TN/clearance", scan(PNG), PNG),
        ("US/final_return", typed_pdf("Form 1065 SECRETRETURN"), PDF),
    ]
    pairs = [(paper(key, data, kind, pages=2 if kind == TIFF else 1), data) for key, data, kind in made]
    lines = [line(p.expected, p) for p, _ in pairs]
    return request(lines, pairs, **more)


def as_received(wanted: BundleRequest) -> BundleRequest:
    """The same request with every paper going out as it was received."""
    whole = tuple(replace(item, form=Form.FULL) for item in wanted.selection.included)
    return replace(wanted, selection=replace(wanted.selection, included=whole))


def typed_pdf(*words: str, size: tuple[float, float] = (612, 792), pages: int = 1) -> bytes:
    """A born-digital PDF with real text."""
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=size, invariant=True)
    for number in range(1, pages + 1):
        for row, text in enumerate(words):
            canvas.drawString(72, size[1] - 90 - 20 * row, text)
        canvas.drawString(72, 72, f"own page {number}")
        canvas.rect(20, 20, size[0] - 40, size[1] - 40)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def picture(mode: str = "L", size: tuple[int, int] = (850, 1100)) -> Image.Image:
    """A page with a mark in its top left corner, so that turning and mirroring show."""
    paper_white: Any = {"1": 1, "L": 246, "RGB": (246, 244, 240), "CMYK": (4, 4, 6, 0), "P": 0}[mode]
    ink: Any = {"1": 0, "L": 20, "RGB": (20, 20, 60), "CMYK": (220, 220, 100, 80), "P": 7}[mode]
    image = Image.new(mode, size, paper_white)
    if mode == "P":
        image.putpalette([255, 255, 250, *[12] * 18, 10, 20, 60])
    draw = ImageDraw.Draw(image)
    draw.rectangle((40, 40, size[0] // 4, size[1] // 8), fill=ink)
    for row in range(size[1] // 4, size[1] - 80, 40):
        draw.line((80, row, size[0] - 80, row), fill=ink, width=3)
    return image


def scan(media_type: str, mode: str = "L", size: tuple[int, int] = (850, 1100), **options: Any) -> bytes:
    """A page as a picture file at 100 dpi."""
    buffer = io.BytesIO()
    picture(mode, size).save(buffer, media_type.removeprefix("image/"), **{"dpi": (100, 100), **options})
    return buffer.getvalue()


def fax(pages: int = 1, **options: Any) -> bytes:
    """A Group 4 fax."""
    sheets = [picture("1", (1728, 2200)) for _ in range(pages)]
    buffer = io.BytesIO()
    settings: dict[str, Any] = {"compression": "group4", "dpi": (204, 196), "strip_size": 1 << 24}
    sheets[0].save(buffer, "TIFF", save_all=True, append_images=sheets[1:], **{**settings, **options})
    return buffer.getvalue()


def big(media_type: str, pages: int) -> bytes:
    """Gray noise that does not shrink, a different page each time: about 0.7 MB a page."""
    side = 850
    noise = random.Random(7).randbytes(side * (side + pages))
    rows = [noise[side * number :][: side * side] for number in range(pages)]
    buffer = io.BytesIO()
    if media_type == TIFF:
        images = [Image.frombytes("L", (side, side), row) for row in rows]
        images[0].save(buffer, "TIFF", save_all=True, append_images=images[1:])
        return buffer.getvalue()
    with pikepdf.new() as pdf:
        for row in rows:
            page = pdf.add_blank_page()
            image = pikepdf.Stream(pdf, zlib.compress(row, 0))
            image.Filter = pikepdf.Name.FlateDecode
            image.Type, image.Subtype = pikepdf.Name.XObject, pikepdf.Name.Image
            image.ColorSpace, image.BitsPerComponent = pikepdf.Name.DeviceGray, 8
            image.Width, image.Height = side, side
            page.obj.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Im0=image))
            page.obj.Contents = pikepdf.Stream(pdf, b"q 540 0 0 540 36 100 cm /Im0 Do Q")
        pdf.save(buffer)
    return buffer.getvalue()
