"""Plain operations on pictures, each typed, so that the rest of the room can think in papers."""

from functools import reduce
from typing import TypeAlias, cast

import cv2
import numpy as np
from numpy.typing import NDArray

from quietus.reading.words import Rect

Gray: TypeAlias = NDArray[np.uint8]
"""Height by width, 0 black to 255 white."""
Picture: TypeAlias = NDArray[np.uint8]
"""Height by width gray, or height by width by 3 in blue, green, red order."""


def gray_of(picture: Picture) -> Gray:
    """Brightness."""
    return picture if picture.ndim == 2 else cast("Gray", cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY))


_HALF = 2.0
"""Times that a picture must shrink to be halved first: halving takes a tenth of the time that other shares do."""


def weakest(picture: Picture) -> Gray:
    """The weakest of each pixel's channels: dark for black ink and for any colour; a gray picture as it is."""
    return picture if picture.ndim == 2 else cast("Gray", reduce(cv2.min, cv2.split(picture)))


def strongest(picture: Picture) -> Gray:
    """The strongest of each pixel's channels: dark for black ink alone; a gray picture as it is."""
    return picture if picture.ndim == 2 else cast("Gray", reduce(cv2.max, cv2.split(picture)))


def resized(picture: Picture, scale: float, scale_y: float = 0.0) -> Picture:
    """Scaled by `scale` across and `scale_y` down (the same when left out)."""
    down = scale_y or scale
    if scale == 1.0 and down == 1.0:
        return picture
    high, wide = picture.shape[:2]
    size = (max(1, round(wide * scale)), max(1, round(high * down)))
    while min(picture.shape[1] / size[0], picture.shape[0] / size[1]) >= _HALF:
        picture = _halved(picture)
    kind = cv2.INTER_AREA if min(scale, down) < 1 else cv2.INTER_CUBIC
    return cast("Picture", cv2.resize(picture, size, interpolation=kind))


def _halved(picture: Picture) -> Picture:
    even = picture[: picture.shape[0] & ~1, : picture.shape[1] & ~1]
    return cast("Picture", cv2.resize(even, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA))


def even_light(gray: Gray, dpi: float) -> Gray:
    """The page with shadows and stains divided out, so that paper is white everywhere.

    The paper's own brightness is taken from a small copy: brightest nearby, then blurred over about a third of an inch.
    """
    small = resized(gray, 36 / dpi)
    paper = cv2.medianBlur(cv2.dilate(small, np.ones((7, 7), np.uint8)), 11)
    paper = cv2.GaussianBlur(paper, (0, 0), 4)
    high, wide = gray.shape
    light = cv2.resize(np.maximum(paper, 24), (wide, high), interpolation=cv2.INTER_LINEAR)
    return cast("Gray", cv2.divide(gray, light, scale=245))


def ink_of(gray: Gray) -> Gray:
    """255 where there is ink, 0 where there is paper: Otsu's threshold on evenly lit gray, kept between 90 and 215."""
    level, _ = cv2.threshold(gray, 0, 255, cv2.THRESH_BINARY_INV | cv2.THRESH_OTSU)
    level = min(215.0, max(90.0, level))
    return cast("Gray", cv2.threshold(gray, level, 255, cv2.THRESH_BINARY_INV)[1])


def blobs(ink: Gray) -> tuple[int, NDArray[np.uint16 | np.int32], NDArray[np.int32], NDArray[np.float64]]:
    """Ink that hangs together, diagonally too: how many blobs (paper is the first), each pixel's, boxes, middles.

    A box is left, top, width, height and area, as OpenCV's `connectedComponentsWithStats` has it. Labels of 16 bits
    take a third of the time and suffice for all but a page of specks.
    """
    try:
        found = cv2.connectedComponentsWithStats(ink, connectivity=8, ltype=cv2.CV_16U)
    except cv2.error:
        found = cv2.connectedComponentsWithStats(ink, connectivity=8)
    return cast("tuple[int, NDArray[np.uint16 | np.int32], NDArray[np.int32], NDArray[np.float64]]", found)


_TURNS = {90: cv2.ROTATE_90_CLOCKWISE, 180: cv2.ROTATE_180, 270: cv2.ROTATE_90_COUNTERCLOCKWISE}


def turned(picture: Picture, turn: int) -> Picture:
    """Turned clockwise by 0, 90, 180 or 270 degrees."""
    return cast("Picture", cv2.rotate(picture, _TURNS[turn])) if turn else picture


def rotated(picture: Picture, degrees: float, fill: int = 255) -> Picture:
    """Rotated counter-clockwise about the middle by a small angle; the size stays, corners are filled with `fill`."""
    high, wide = picture.shape[:2]
    matrix = cv2.getRotationMatrix2D((wide / 2, high / 2), degrees, 1.0)
    return cast(
        "Picture",
        cv2.warpAffine(picture, matrix, (wide, high), flags=cv2.INTER_CUBIC, borderValue=(fill, fill, fill)),
    )


def cut(picture: Picture, rect: Rect) -> Picture:
    """The part of the picture inside `rect`, clipped to the picture; at least one pixel."""
    high, wide = picture.shape[:2]
    left, top = (min(max(0, int(v)), limit - 1) for v, limit in ((rect.left, wide), (rect.top, high)))
    right, bottom = max(left + 1, min(wide, int(rect.right + 1))), max(top + 1, min(high, int(rect.bottom + 1)))
    return picture[top:bottom, left:right]


def padded(gray: Gray, margin: int) -> Gray:
    """With a white margin all round, which the recogniser needs at the edges."""
    return cast("Gray", cv2.copyMakeBorder(gray, margin, margin, margin, margin, cv2.BORDER_CONSTANT, value=[255]))
