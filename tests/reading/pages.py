"""Draws pages to read: text as a PDF, then pixels, stamps, ticks, wear and packing. Nothing here is a real form."""

import io
import math
import random
from dataclasses import dataclass, field

import numpy as np
import pypdfium2 as pdfium
import reportlab
from PIL import Image, ImageDraw, ImageFilter, ImageFont
from reportlab.pdfgen import canvas

FONTS = {
    "sans": ("Helvetica", "Helvetica-Bold"),
    "serif": ("Times-Roman", "Times-Bold"),
    "mono": ("Courier", "Courier-Bold"),
}
INKS = {
    "red": (190, 25, 35),
    "blue": (30, 50, 165),
    "purple": (110, 35, 140),
    "green": (15, 115, 60),
    "black": (25, 25, 25),
}
WIDE, HIGH = 8.5, 11.0  # inches


@dataclass
class Box:
    """A tick box to draw: inches from the top left, side in inches, and how it is marked ('' for empty)."""

    x: float
    y: float
    side: float
    mark: str


@dataclass
class Stamp:
    """An ink stamp: its lines (text, relative size), where its middle is in inches, angle in degrees, frame."""

    lines: list[tuple[str, float]]
    x: float
    y: float
    ink: str = "red"
    angle: float = 0.0
    frame: str = "rect"
    size: float = 0.2  # letter height of a line of relative size 1, inches
    fade: float = 0.85


@dataclass
class Draft:
    """One page being drawn. Coordinates are inches from the top left; text is placed by its baseline."""

    style: str = "sans"
    texts: list[tuple[float, float, str, float, bool, str]] = field(default_factory=list)
    rules: list[tuple[float, float, float, float]] = field(default_factory=list)
    frames: list[tuple[float, float, float, float]] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    stamps: list[Stamp] = field(default_factory=list)
    strokes: list[tuple[float, float, float, str]] = field(default_factory=list)

    def text(self, x: float, y: float, words: str, size: float = 10, *, bold: bool = False, at: str = "left") -> None:
        self.texts.append((x, y, words, size, bold, at))

    def paragraph(self, x: float, y: float, words: str, size: float = 10, width: float = 6.9) -> float:
        """Draws wrapped text; returns the baseline after it."""
        face = FONTS[self.style][0]
        page = canvas.Canvas(io.BytesIO())
        line: list[str] = []
        for word in words.split():
            if page.stringWidth(" ".join([*line, word]), face, size) > width * 72:
                self.text(x, y, " ".join(line), size)
                line, y = [], y + size * 1.35 / 72
            line.append(word)
        self.text(x, y, " ".join(line), size)
        return y + size * 1.35 / 72

    def rule(self, x: float, y: float, length: float) -> None:
        self.rules.append((x, y, x + length, y))

    def signature(self, x: float, y: float, length: float, ink: str = "blue") -> None:
        self.strokes.append((x, y, length, ink))

    def pdf(self) -> bytes:
        """The page as a typeset PDF (no stamps and no strokes)."""
        return pdf_of([self])

    def picture(self, dpi: int, seed: int = 0) -> Image.Image:
        """The page in pixels with ticks, strokes and stamps."""
        page: Image.Image = pdfium.PdfDocument(self.pdf())[0].render(scale=dpi / 72).to_pil().convert("RGB")
        chance = random.Random(seed)
        for box in self.boxes:
            _tick(page, box, dpi, chance)
        for x, y, length, ink in self.strokes:
            _scrawl(page, x * dpi, y * dpi, length * dpi, INKS[ink], chance, dpi)
        for stamp in self.stamps:
            page = _stamped(page, stamp, dpi)
        return page


def pdf_of(drafts: list[Draft]) -> bytes:
    out = io.BytesIO()
    page = canvas.Canvas(out, pagesize=(WIDE * 72, HIGH * 72), invariant=True)
    for draft in drafts:
        _typeset(page, draft)
        page.showPage()
    page.save()
    return out.getvalue()


def _typeset(page: canvas.Canvas, draft: Draft) -> None:
    for x, y, words, size, bold, at in draft.texts:
        page.setFont(FONTS[draft.style][bold], size)
        put = {"left": page.drawString, "centre": page.drawCentredString, "right": page.drawRightString}[at]
        put(x * 72, (HIGH - y) * 72, words)
    page.setLineWidth(0.7)
    for x0, y0, x1, y1 in draft.rules:
        page.line(x0 * 72, (HIGH - y0) * 72, x1 * 72, (HIGH - y1) * 72)
    for x0, y0, x1, y1 in draft.frames:
        page.rect(x0 * 72, (HIGH - y1) * 72, (x1 - x0) * 72, (y1 - y0) * 72)
    for box in draft.boxes:
        page.rect(box.x * 72, (HIGH - box.y - box.side) * 72, box.side * 72, box.side * 72)


def _tick(page: Image.Image, box: Box, dpi: int, chance: random.Random) -> None:
    draw = ImageDraw.Draw(page)
    x0, y0, side = box.x * dpi, box.y * dpi, box.side * dpi

    def spot(u: float, v: float) -> tuple[float, float]:
        return x0 + u * side, y0 + v * side

    def line(points: list[tuple[float, float]], ink: tuple[int, int, int], width: float) -> None:
        draw.line([spot(u, v) for u, v in points], ink, max(1, round(width * dpi)), joint="curve")

    off = chance.uniform(-0.15, 0.15)
    black, blue = INKS["black"], INKS["blue"]
    strokes: dict[str, list[tuple[list[tuple[float, float]], tuple[int, int, int], float]]] = {
        "x": [([(0.15, 0.15), (0.85, 0.85)], black, 0.012), ([(0.85, 0.15), (0.15, 0.85)], black, 0.012)],
        "check": [([(0.1 + off, 0.5), (0.4 + off, 0.9), (1.2 + off, -0.5)], blue, 0.016)],
        "pen": [([(-0.3, 1.1 + off), (0.5, 0.4), (1.5, -0.2 + off)], blue, 0.018)],
        "penx": [([(-0.3, -0.2), (1.2, 1.2 + off)], black, 0.016), ([(1.2 + off, -0.3), (-0.2, 1.2)], black, 0.016)],
    }
    for points, ink, width in strokes.get(box.mark, []):
        line(points, ink, width)
    if box.mark == "fill":
        draw.rectangle([spot(0.05, 0.05), spot(0.95, 0.95)], black)
    elif box.mark == "dot":
        draw.ellipse([spot(0.27, 0.27), spot(0.73, 0.73)], black)


def _scrawl(
    page: Image.Image, x: float, y: float, length: float, ink: tuple[int, int, int], chance: random.Random, dpi: int
) -> None:
    points = []
    phase = chance.uniform(0, 6)
    for step in range(120):
        t = step / 119
        swing = math.sin(t * chance.choice([19, 20, 21]) + phase) * 0.09 * (1.2 - t) + math.sin(t * 5 + phase) * 0.05
        points.append((x + t * length + math.cos(t * 23) * 0.04 * dpi, y - (0.06 + swing) * dpi))
    ImageDraw.Draw(page).line(points, ink, max(1, round(0.012 * dpi)), joint="curve")


def _font(height: float) -> ImageFont.FreeTypeFont:
    folder = reportlab.__file__.rsplit("/", 1)[0]
    return ImageFont.truetype(f"{folder}/fonts/VeraBd.ttf", max(6, round(height * 1.35)))


def stamp_layer(stamp: Stamp, dpi: int) -> Image.Image:
    """The stamp as a gray layer, 255 where there is ink."""
    fonts = [_font(stamp.size * relative * dpi) for _, relative in stamp.lines]
    widths = [font.getlength(words) for font, (words, _) in zip(fonts, stamp.lines, strict=True)]
    heights = [stamp.size * relative * dpi * 1.45 for _, relative in stamp.lines]
    pad = 0.09 * dpi
    wide, high = max(widths) + 3 * pad, sum(heights) + 2 * pad
    if stamp.frame == "round":
        wide = high = math.hypot(wide, high) * 0.93
    layer = Image.new("L", (round(wide) + 8, round(high) + 8), 0)
    draw = ImageDraw.Draw(layer)
    thick = max(2, round(0.02 * dpi))
    if stamp.frame == "rect":
        draw.rectangle([4, 4, wide, high], outline=255, width=thick)
    elif stamp.frame == "double":
        draw.rectangle([4, 4, wide, high], outline=255, width=thick)
        draw.rectangle([4 + 2 * thick, 4 + 2 * thick, wide - 2 * thick, high - 2 * thick], outline=255, width=1)
    elif stamp.frame == "round":
        draw.ellipse([4, 4, wide, high], outline=255, width=thick)
    y = 4 + (high - sum(heights)) / 2
    for font, (words, _), width, height in zip(fonts, stamp.lines, widths, heights, strict=True):
        draw.text((4 + (wide - width) / 2, y), words, 255, font=font)
        y += height
    return layer.rotate(stamp.angle, expand=True, resample=Image.Resampling.BICUBIC)


def _stamped(page: Image.Image, stamp: Stamp, dpi: int) -> Image.Image:
    """Ink multiplies with what is under it, and takes unevenly."""
    layer = np.asarray(stamp_layer(stamp, dpi), np.float32) / 255 * stamp.fade
    rough = np.random.default_rng(7).uniform(0.75, 1.0, (layer.shape[0] // 6 + 2, layer.shape[1] // 6 + 2))
    uneven = Image.fromarray((rough * 255).astype(np.uint8)).resize(layer.shape[::-1], Image.Resampling.BILINEAR)
    layer = layer * (np.asarray(uneven, np.float32) / 255)
    pixels = np.asarray(page, np.float32).copy()
    top, left = round(stamp.y * dpi - layer.shape[0] / 2), round(stamp.x * dpi - layer.shape[1] / 2)
    y0, x0 = max(0, top), max(0, left)
    y1, x1 = min(pixels.shape[0], top + layer.shape[0]), min(pixels.shape[1], left + layer.shape[1])
    part = layer[y0 - top : y1 - top, x0 - left : x1 - left, None]
    ink = np.array(INKS[stamp.ink], np.float32) / 255
    pixels[y0:y1, x0:x1] *= 1 - part * (1 - ink)
    return Image.fromarray(pixels.clip(0, 255).astype(np.uint8))


def worn(page: Image.Image, seed: int, *, skew: float = 0.0, blur: float = 0.5, noise: float = 4.0) -> Image.Image:
    """The page as a scanner sees it: leaning clockwise by `skew` degrees, a little blurred and noisy."""
    if skew:
        page = page.rotate(-skew, resample=Image.Resampling.BICUBIC, fillcolor="white")
    if blur:
        page = page.filter(ImageFilter.GaussianBlur(blur))
    grain = np.random.default_rng(seed).normal(0, noise, (page.height, page.width, 1))
    return Image.fromarray((np.asarray(page, np.float32) * 0.97 + 4 + grain).clip(0, 255).astype(np.uint8))


def photographed(page: Image.Image, seed: int, lean: float = 0.012) -> Image.Image:
    """The page as a phone sees it: a little perspective and uneven light."""
    chance = random.Random(seed)
    wide, high = page.size
    corners = [(x + chance.uniform(-lean, lean) * wide, y + chance.uniform(-lean, lean) * high) for x, y in
               ((0, 0), (0, high), (wide, high), (wide, 0))]  # fmt: skip
    bent = page.transform(
        page.size, Image.Transform.QUAD, [v for c in corners for v in c], Image.Resampling.BICUBIC, fillcolor="white"
    )
    x, y = np.meshgrid(np.linspace(0, 1, wide), np.linspace(0, 1, high))
    light = 0.72 + 0.26 * np.cos((x - chance.random()) * 1.3) * np.cos((y - chance.random()) * 1.3)
    warm = np.array([1.0, 0.97, 0.9])
    return Image.fromarray((np.asarray(bent, np.float32) * light[:, :, None] * warm).clip(0, 255).astype(np.uint8))


def ringed(page: Image.Image, x: float, y: float, radius: float, dpi: int) -> Image.Image:
    """A coffee ring with its middle at `x`, `y` inches."""
    layer = Image.new("L", page.size, 0)
    draw = ImageDraw.Draw(layer)
    for grow, depth in ((0, 90), (0.03, 140), (0.06, 70)):
        r = (radius + grow) * dpi
        draw.ellipse([x * dpi - r, y * dpi - r, x * dpi + r, y * dpi + r], outline=depth, width=round(0.03 * dpi))
    soft = np.asarray(layer.filter(ImageFilter.GaussianBlur(0.01 * dpi)), np.float32)[:, :, None] / 255
    brown = np.array([0.62, 0.45, 0.28])
    return Image.fromarray((np.asarray(page, np.float32) * (1 - soft * (1 - brown))).clip(0, 255).astype(np.uint8))


def packed(pages: list[Image.Image], how: str, dpi: int, quality: int = 80) -> bytes:
    """The pages as one file: `pdf`, `tiff`, `fax` (1-bit), `jpeg` or `png`."""
    out = io.BytesIO()
    first, rest = pages[0], pages[1:]
    if how == "pdf":
        first.save(out, "PDF", resolution=dpi, save_all=True, append_images=rest, quality=quality)
    elif how == "tiff":
        first.save(out, "TIFF", dpi=(dpi, dpi), save_all=True, append_images=rest, compression="tiff_lzw")
    elif how == "fax":
        bits = [page.convert("L").point(lambda v: 255 if v > 150 else 0).convert("1") for page in pages]
        bits[0].save(out, "TIFF", dpi=(dpi, dpi), save_all=True, append_images=bits[1:], compression="group4")
    elif how == "jpeg":
        first.save(out, "JPEG", dpi=(dpi, dpi), quality=quality)
    else:
        first.save(out, "PNG", dpi=(dpi, dpi))
    return out.getvalue()
