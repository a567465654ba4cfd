"""Read a stencil picture of any kind as ink coverage; knows pixels, not millimetres or pieces.

Every kind of picture ends as the same thing: an upright 8-bit picture in which 255 is bare paper, 0 is full ink
and everything between is the share of the pixel that ink covers. Printing and gauging both cut it at one half.
"""

from dataclasses import dataclass
from enum import Enum
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.errors import InputError
from archgen.stencils import scan, stencil_file

Box = tuple[float, float, float, float]
Floats = NDArray[np.float32]

# Below half coverage is paper: the same cut that the printed bitmap gets.
INK_LEVEL = 127
# More ink than this isn't a line drawing: the densest demo drawing covers 31 %.
MOSTLY_BLACK = 0.6
# Drawn grays: levels that the cut at one half would drop without a word, how even they are, how much of the ink.
_FAINT_INK = (140, 235)
_FLAT = 10
_FAINT_SHARE = 0.02


class Origin(Enum):
    """Where the pixels come from, which decides how gray is read."""

    DRAWN = "drawn"
    ONE_BIT = "one-bit"
    SCANNED = "scanned"
    VECTOR = "vector"


@dataclass(frozen=True, slots=True)
class Marks:
    """A stencil's ink on white paper.

    `gray` is the whole upright sheet (mode L, 255 paper, 0 ink, linear in coverage). `box` holds left, top, right
    and bottom of the marks in its pixels, between pixels where the edge falls there. `warnings` are sentences
    for the artist.
    """

    gray: Image.Image
    box: Box
    origin: Origin
    warnings: tuple[str, ...] = ()

    @property
    def width_px(self) -> float:
        """Give the width of the marks, white borders left out."""
        return self.box[2] - self.box[0]

    @property
    def height_px(self) -> float:
        """Give the height of the marks, white borders left out."""
        return self.box[3] - self.box[1]

    @property
    def is_one_bit(self) -> bool:
        """Say whether the file knows only ink and paper, so that its pixels must stay as they are."""
        return self.origin is Origin.ONE_BIT

    @property
    def is_vector(self) -> bool:
        """Say whether the file can be drawn again at any resolution."""
        return self.origin is Origin.VECTOR


def read_marks(path: Path, *, pixels_across: int | None = None, scanned: bool | None = None) -> Marks:
    """Read a stencil file and find its marks.

    Args:
        path: PNG, JPEG, TIFF, WebP, HEIC, SVG or PDF (first page).
        pixels_across: How many pixels the marks of an SVG or PDF shall be wide; pictures keep their own.
        scanned: Whether it is a scan or a photograph of a drawing; None lets the paper decide.

    Raises:
        InputError: The file cannot be read, is too large, or holds no drawing.
    """
    if stencil_file.is_vector(path):
        return _draw(path, pixels_across or 3000)
    return find_marks(stencil_file.open_upright(path), path.name, scanned=scanned)


def find_marks(gray: Image.Image, name: str, *, scanned: bool | None = None) -> Marks:
    """Find the marks of an upright picture of mode L on white; `name` is used in messages.

    Raises:
        InputError: The picture holds no drawing.
    """
    histogram = np.asarray(gray.histogram(), dtype=np.int64)
    if int(histogram[1:-1].sum()) == 0:
        return _finish(gray, name, Origin.ONE_BIT, ())
    _refuse_blank(histogram, name)
    if scan.looks_scanned(histogram) if scanned is None else scanned:
        flat, warnings = scan.flatten(gray)
        return _finish(flat, name, Origin.SCANNED, warnings)
    even = _stretch(gray, histogram)
    return _finish(even, name, Origin.DRAWN, _faint_ink(even))


def _draw(path: Path, pixels_across: int) -> Marks:
    """Draw a vector file twice: small to find its marks, then so that the marks are as wide as wanted."""
    rough = stencil_file.draw_vector(path, 1200)
    sheet = _finish(rough, path.name, Origin.VECTOR, ())
    across = max(round(rough.width * pixels_across / sheet.width_px), 1)
    gray = stencil_file.draw_vector(path, across)
    even = _stretch(gray, np.asarray(gray.histogram(), dtype=np.int64))
    return _finish(even, path.name, Origin.VECTOR, _faint_ink(even))


def _refuse_blank(histogram: NDArray[np.int64], name: str) -> None:
    """Refuse one flat tone before any stretching turns its noise into a drawing."""
    levels = np.flatnonzero(histogram > histogram.sum() * 1e-6)
    if levels[-1] - levels[0] < 24:
        raise InputError(f"{name}: the picture is one even tone; there is no drawing in it. Choose the stencil itself.")


def _stretch(gray: Image.Image, histogram: NDArray[np.int64]) -> Image.Image:
    """Take the paper's tone as white and the ink's as black, so that gray or coloured ink is cut at its own half."""
    paper = int(histogram[128:].argmax()) + 128 if histogram[128:].any() else 255
    dark = histogram[: paper - 24].cumsum()
    ink = int(np.searchsorted(dark, dark[-1] * 0.05)) if dark.size and dark[-1] else 0
    if ink < 32 and paper > 250:
        return gray
    scale = 255 / max(paper - ink, 1)
    return gray.point([round(min(max((level - ink) * scale, 0), 255)) for level in range(256)])


def _faint_ink(gray: Image.Image) -> tuple[str, ...]:
    """Warn of flat light grays: the gray of an edge has darker and lighter neighbours, that of a gray line has not."""
    level = np.asarray(gray, dtype=np.int16)
    rows, columns = np.nonzero((level[1:-1, 1:-1] >= _FAINT_INK[0]) & (level[1:-1, 1:-1] <= _FAINT_INK[1]))
    here = level[rows + 1, columns + 1]
    flat = np.ones(len(rows), dtype=bool)
    for down, across in ((0, 1), (1, 0), (1, 2), (2, 1)):
        flat &= np.abs(level[rows + down, columns + across] - here) < _FLAT
    if flat.sum() <= _FAINT_SHARE * (level <= INK_LEVEL).sum():
        return ()
    return (
        "Part of the drawing is light gray. A stencil is only black or white: what is lighter than half gray is "
        "not printed. Darken those lines in the drawing if they are needed.",
    )


def _finish(gray: Image.Image, name: str, origin: Origin, warnings: tuple[str, ...]) -> Marks:
    coverage = np.asarray(gray)
    ink = coverage <= INK_LEVEL
    share = float(ink.mean())
    if share == 0:
        raise InputError(
            f"{name}: the picture is empty: no line in it is darker than half gray. If the lines are white "
            "on transparency, save them as black lines."
        )
    if share > 1 - 1e-4:
        raise InputError(f"{name}: the picture is black all over. Choose a drawing with dark lines on white.")
    if share > MOSTLY_BLACK:
        warnings = (
            *warnings,
            f"{share:.0%} of the picture is black. If it is a negative, turn it into dark lines on white first.",
        )
    return Marks(gray, ink_box(coverage, ink), origin, warnings)


def ink_box(gray: NDArray[np.uint8], ink: NDArray[np.bool_] | None = None) -> Box:
    """Give left, top, right, bottom of the ink, where the gray crosses one half."""
    ink = gray <= INK_LEVEL if ink is None else ink
    columns, rows = np.flatnonzero(ink.any(axis=0)), np.flatnonzero(ink.any(axis=1))
    left, right, top, bottom = int(columns[0]), int(columns[-1]), int(rows[0]), int(rows[-1])
    return (
        left - _beyond(gray[:, left], gray[:, left - 1] if left else None),
        top - _beyond(gray[top], gray[top - 1] if top else None),
        right + 1 + _beyond(gray[:, right], gray[:, right + 1] if right + 1 < gray.shape[1] else None),
        bottom + 1 + _beyond(gray[bottom], gray[bottom + 1] if bottom + 1 < gray.shape[0] else None),
    )


def _beyond(inside: NDArray[np.uint8], outside: NDArray[np.uint8] | None) -> float:
    """Say how far the outermost ink reaches past its pixel: -0.5 to 0.5, and 0 at the picture's own edge."""
    if outside is None:
        return 0.0
    near, far = inside.astype(np.float32), outside.astype(np.float32)
    crossing = (127.5 - near) / np.maximum(far - near, 1)
    return float(crossing[near <= INK_LEVEL].max()) - 0.5


def turned(marks: Marks) -> Marks:
    """Give the marks of a file that is stored mirrored as they read on skin."""
    left, top, right, bottom = marks.box
    flipped = marks.gray.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    width = marks.gray.width
    return Marks(flipped, (width - right, top, width - left, bottom), marks.origin, marks.warnings)
