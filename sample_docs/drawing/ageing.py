"""What paper, glass, lamp, lens and telephone line do to a sheet.

Only Pillow's and numpy's plain arithmetic is used, so that the same seed gives the same bytes on the next machine too.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageOps

from drawing.sheet import Pixels


@dataclass(frozen=True, slots=True)
class Wear:
    """How worn a scan is.

    Attributes:
        paper: colour of the blank paper, red green blue.
        ink: how dark black print still is, 0 (black) to 255.
        skew: degrees the sheet lay turned to the left on the glass.
        blur: radius of the lens in pixels.
        noise: sensor noise, standard deviation in levels.
        shade: how much darker the far corner is, as a fraction.
        specks: dust grains on the glass.
        folds: where a letter was folded, as fractions of the height from the top.
        holes: how many holes a punch made in the left margin.
        lid: level of the scanner's lid where it shows beside a crooked sheet; None when it is as light as the paper.
        clip: levels at or above this become pure white, as a scanner's background removal does; 256 leaves them.
    """

    paper: tuple[int, int, int] = (250, 248, 242)
    ink: int = 26
    skew: float = 0.0
    blur: float = 0.5
    noise: float = 1.6
    shade: float = 0.03
    specks: int = 12
    folds: tuple[float, ...] = ()
    holes: int = 0
    lid: int | None = None
    clip: int = 256


def cloud(shape: tuple[int, ...], grain: float, dice: np.random.Generator) -> NDArray[np.float64]:
    """A smooth random field between 0 and 1 whose lumps are about `grain` pixels wide."""
    rows, columns = max(2, round(shape[0] / grain)), max(2, round(shape[1] / grain))
    small = Image.fromarray((dice.random((rows, columns)) * 255).astype(np.uint8))
    smooth = np.asarray(small.resize((shape[1], shape[0]), Image.Resampling.BICUBIC), dtype=np.float64)
    return smooth / 255


def age(page: Pixels, wear: Wear, dice: np.random.Generator) -> Pixels:
    """The sheet as it comes off the scanner."""
    paper = np.array(wear.paper, dtype=np.float64)
    printed = page.astype(np.float64) / 255 * (paper - wear.ink) + wear.ink
    printed *= _creases(page.shape, wear.folds, dice)
    image = Image.fromarray(printed.round().astype(np.uint8))
    _punch(image, wear.holes)
    lid = wear.paper if wear.lid is None else (wear.lid, wear.lid, wear.lid)
    image = image.rotate(wear.skew, Image.Resampling.BICUBIC, fillcolor=lid)
    image = image.filter(ImageFilter.GaussianBlur(wear.blur))
    lit = np.asarray(image, dtype=np.float64) * _lamp(page.shape, wear.shade)[:, :, None]
    lit += _sensor(page.shape, wear.noise, dice)
    lit = _dust(lit, wear.specks, dice)
    lit = np.where(lit >= wear.clip, 255, lit)
    return levels(lit)


def levels(light: NDArray[np.float64]) -> Pixels:
    """Rounded and held within 0 to 255."""
    return np.clip(light.round(), 0, 255).astype(np.uint8)


def _creases(shape: tuple[int, ...], folds: tuple[float, ...], dice: np.random.Generator) -> NDArray[np.float64]:
    """A fold: a thin shadow with a light ridge under it, stronger here and weaker there."""
    down = np.arange(shape[0], dtype=np.float64)[:, None]
    light = np.ones((shape[0], shape[1]), dtype=np.float64)
    for fold in folds:
        away = down - fold * shape[0] - 5 * (cloud((1, shape[1]), 500, dice) - 0.5)
        strength = 0.5 + 0.5 * cloud((1, shape[1]), 120, dice)
        light -= strength * (0.13 * np.exp(-((away / 2.2) ** 2)) + 0.03 * np.exp(-((away / 14) ** 2)))
    return light[:, :, None]


def _punch(image: Image.Image, holes: int) -> None:
    """Round holes in the left margin, the dark lid behind them."""
    dpi = image.width / 8.5
    pen = ImageDraw.Draw(image)
    for number in range(holes):
        x, y = 0.42 * dpi, image.height * (0.5 + 0.25 * (number - (holes - 1) / 2))
        size = 0.13 * dpi
        pen.ellipse((x - size, y - size, x + size, y + size), fill=(92, 92, 94), outline=(150, 150, 150))


def _lamp(shape: tuple[int, ...], shade: float) -> NDArray[np.float64]:
    down = np.linspace(0, 1, shape[0])[:, None]
    across = np.linspace(0, 1, shape[1])[None, :]
    return 1 - shade * (0.35 * down + 0.65 * across**2)


def _sensor(shape: tuple[int, ...], noise: float, dice: np.random.Generator) -> NDArray[np.float64]:
    """Noise that is mostly the same in the three colours, as a single-pass scanner's is."""
    gray = dice.standard_normal((*shape[:2], 1))
    colour = dice.standard_normal((*shape[:2], 1)) * np.array([1.0, -0.4, -0.8])
    grain: NDArray[np.float64] = noise * (0.85 * gray + 0.35 * colour)
    return grain


def _dust(lit: NDArray[np.float64], specks: int, dice: np.random.Generator) -> NDArray[np.float64]:
    height, width = lit.shape[:2]
    for _ in range(specks):
        y, x = int(dice.integers(2, height - 4)), int(dice.integers(2, width - 4))
        tall, wide = int(dice.integers(1, 4)), int(dice.integers(1, 4))
        lit[y : y + tall, x : x + wide] *= 0.45
    return lit


def gray(page: Pixels) -> Pixels:
    """Without colour."""
    level = page.astype(np.float64) @ np.array([0.299, 0.587, 0.114])
    return np.repeat(level.round().astype(np.uint8)[:, :, None], 3, axis=2)


def sideways(page: Pixels) -> Pixels:
    """The sheet lay on the glass with its top to the left: a quarter turn to the left."""
    return np.ascontiguousarray(np.rot90(page, 1))


def photograph(page: Pixels, corners: tuple[tuple[float, float], ...], dice: np.random.Generator) -> Pixels:
    """The sheet on a desk, seen by a hand-held camera.

    Args:
        page: the sheet.
        corners: where its corners fall in the picture, as fractions of width and height: top left, top right,
            bottom right, bottom left. The picture has the sheet's own size.
        dice: source of chance.
    """
    height, width = page.shape[:2]
    seen = [(x * width, y * height) for x, y in corners]
    flat = [(0.0, 0.0), (float(width), 0.0), (float(width), float(height)), (0.0, float(height))]
    desk = np.array([96.0, 74.0, 56.0]) * (0.75 + 0.35 * cloud((height, width), 60, dice))[:, :, None]
    mask = ImageOps.expand(Image.new("L", (width - 6, height - 6), 255), 3).filter(ImageFilter.BoxBlur(1))
    coefficients = _perspective(seen, flat)
    bent = _bend(Image.fromarray(page), coefficients)
    cover = np.asarray(_bend(mask, coefficients), dtype=np.float64)[:, :, None] / 255
    shadow = np.asarray(_bend(mask, coefficients).filter(ImageFilter.GaussianBlur(14)), dtype=np.float64)[:, :, None]
    scene = np.asarray(bent, dtype=np.float64) * cover + desk * (1 - 0.45 * shadow / 255) * (1 - cover)
    return levels(scene * _window(page.shape)[:, :, None] + dice.normal(0, 1.6, page.shape))


def _bend(image: Image.Image, coefficients: tuple[float, ...]) -> Image.Image:
    return image.transform(image.size, Image.Transform.PERSPECTIVE, coefficients, Image.Resampling.BICUBIC)


def _window(shape: tuple[int, ...]) -> NDArray[np.float64]:
    """Light from a window at the upper left, and the photographer's own shadow at the lower right."""
    down = np.linspace(0, 1, shape[0])[:, None]
    across = np.linspace(0, 1, shape[1])[None, :]
    glow = np.exp(-((across - 0.25) ** 2 + (down - 0.2) ** 2) / 0.5)
    return 0.66 + 0.36 * glow


def _perspective(seen: list[tuple[float, float]], flat: list[tuple[float, float]]) -> tuple[float, ...]:
    """The eight numbers that lead from a point of the picture back to a point of the sheet."""
    rows, wanted = [], []
    for (x, y), (u, v) in zip(seen, flat, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    return tuple(float(n) for n in np.linalg.solve(np.array(rows, dtype=np.float64), np.array(wanted)))


def coffee_ring(
    page: Pixels, centre: tuple[float, float], radius: float, dpi: int, dice: np.random.Generator
) -> Pixels:
    """A cup stood here: a brown ring, dark at its rim, weaker on one side. Points from the bottom left."""
    height, width = page.shape[:2]
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    x -= centre[0] * dpi / 72
    y -= height - centre[1] * dpi / 72
    wobble = (cloud((height, width), 110, dice) - 0.5) * 7 + (cloud((height, width), 14, dice) - 0.5) * 2.5
    away = np.sqrt(x * x + y * y) + wobble - radius * dpi / 72
    rim = 0.8 * np.exp(-((away / 4.0) ** 2)) + 0.4 * np.exp(-(((away + 8) / 8.0) ** 2)) + 0.10 * (away < 0)
    strength = rim * (0.35 + 0.75 * cloud((height, width), 90, dice))
    return _stain(page, strength, (122.0, 72.0, 30.0))


def smear(page: Pixels, box: tuple[float, float, float, float], dpi: int, dice: np.random.Generator) -> Pixels:
    """Wet print wiped sideways: within `box` (left, bottom, right, top in points) the ink runs and coffee dries in."""
    height = page.shape[0]
    left, right = round(box[0] * dpi / 72), round(box[2] * dpi / 72)
    top, bottom = height - round(box[3] * dpi / 72), height - round(box[1] * dpi / 72)
    patch = page[top:bottom, left:right].astype(np.float64)
    wiped = np.zeros_like(patch)
    runs = (0, 3, 6, 9, 13, 17, 22, 27, 33)
    for number, step in enumerate(runs):
        wiped += np.roll(np.roll(patch, step, axis=1), number % 3 - 1, axis=0)
    edge = _drop((patch.shape[0], patch.shape[1]), dice)
    run = patch * (1 - edge[:, :, None]) + wiped / len(runs) * edge[:, :, None]
    out = page.copy()
    out[top:bottom, left:right] = _stain(levels(run), edge * (0.35 + 0.4 * cloud(edge.shape, 20, dice)), (150, 104, 60))
    return out


def _stain(page: Pixels, strength: NDArray[np.float64], colour: tuple[float, float, float]) -> Pixels:
    return levels(page * (1 - np.clip(strength, 0, 0.95)[:, :, None] * (1 - np.array(colour) / 255)))


def _drop(shape: tuple[int, int], dice: np.random.Generator) -> NDArray[np.float64]:
    """A wet patch that fills its box but for its ragged, rounded rim."""
    down = np.linspace(-1, 1, shape[0])[:, None]
    across = np.linspace(-1, 1, shape[1])[None, :]
    out = np.abs(down) ** 3 + np.abs(across) ** 5 + 0.5 * (cloud(shape, 12, dice) - 0.5)
    wet: NDArray[np.float64] = np.clip((0.85 - out) / 0.25, 0, 1)
    return wet


def fax(page: Pixels, header: Pixels, skew: float, dice: np.random.Generator) -> Image.Image:
    """One bit per pixel, as a fax machine sends it: crooked, speckled, a few lines lost, the sender's line on top.

    Args:
        page: the sheet at the fax's resolution.
        header: the sender's line, white where empty, as wide as the page.
        skew: degrees to the left.
        dice: source of chance.
    """
    image = Image.fromarray(page).convert("L").rotate(skew, Image.Resampling.BICUBIC, fillcolor=255)
    level = np.asarray(image.filter(ImageFilter.GaussianBlur(0.7)), dtype=np.float64)
    level += dice.normal(0, 16, level.shape)
    white = level > 140
    specks = dice.random(white.shape)
    white &= specks > 0.00025
    white |= specks < 0.0006
    for row in dice.integers(200, white.shape[0] - 200, 5):
        white[row] = white[row - 1]
    white[: header.shape[0]] = header[:, :, 0] > 128
    return Image.fromarray(white)
