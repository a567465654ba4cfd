"""Read a stencil picture of any kind as ink coverage; knows pixels, not millimetres or pieces.

Every kind of picture ends as the same thing: an upright 8-bit picture in which 255 is bare paper, 0 is full ink
and everything between is the share of the pixel that ink covers. Printing and gauging both cut it at one half.
"""

import math
from dataclasses import replace
from enum import Enum
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.errors import InputError
from archgen.languages.house import say, to_say
from archgen.stencils import scan, stencil_file
from archgen.stencils.specks import Specks, find_specks
from archgen.stencils.vector.area import Area, AreaDrawing, draw_area, drawn_area, no_drawing, sheet_px
from archgen.stencils.vector.recent import RecentDrawings
from archgen.values.frozen import Value

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
# The longer side of an SVG or PDF has at least so many pixels, so that its edges lie within 0.02 mm on 90 mm.
_EXACT_PX = 2000
# An area of which the marks fill less is not theirs.
_MOSTLY_MARKS = 0.8
# How far round an outermost place is looked, how many times larger, and what is no paper there.
_NEAR_PX, _NEARER, _FAINTEST_TIP = 14, 16, 246
_RECENT = RecentDrawings()
_STRETCHED = to_say(
    "The file says that its dots aren't square, so it is stretched to the shape it means. Check on the print that what "
    "should be round is round."
)


class Origin(Enum):
    """Where the pixels come from, which decides how gray is read."""

    DRAWN = "drawn"
    ONE_BIT = "one-bit"
    SCANNED = "scanned"
    VECTOR = "vector"


class Marks(Value, frozen=True):
    """A stencil's ink on white paper.

    `gray` is the upright sheet, of an SVG or PDF the drawn part of it (mode L, 255 paper, 0 ink, linear in coverage).
    `box` holds left, top, right and bottom of the marks in its pixels, between pixels where the edge falls there.
    `warnings` are sentences for the artist. `sheet_box` is the box where places on the file are counted in other pixels
    than those of `gray`. `specks` are what lies far from the drawing in a picture;
    `is_stretched` says that its dots aren't square.
    """

    gray: Image.Image
    box: Box
    origin: Origin
    warnings: tuple[str, ...] = ()
    sheet_box: Box | None = None
    specks: Specks | None = None
    is_stretched: bool = False

    @property
    def box_on_sheet(self) -> Box:
        """Give the box in the pixels that landmarks are counted in."""
        return self.sheet_box or self.box

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
        page, across = stencil_file.open_vector(path), pixels_across or 3000
        return _RECENT.get((page, across), lambda: _draw(page, across))
    gray, is_stretched = stencil_file.open_as_told(path)
    found = find_marks(gray, path.name, scanned=scanned)
    if not is_stretched:
        return found
    return replace(found, warnings=(*found.warnings, say(_STRETCHED)), is_stretched=True)


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


def _draw(page: stencil_file.VectorPage, pixels_across: int) -> Marks:
    """Draw only what is drawn on the page of a vector file, its marks about as wide as wanted or a multiple of it."""
    area = first = drawn_area(page)
    if area is None or first is None:
        raise no_drawing(page.path.name)
    # Finer than a coarse printer needs, so that its edges lie where they were drawn.
    side = max(area[2] - area[0], area[3] - area[1]) / (area[2] - area[0])
    across = pixels_across * max(math.ceil(_EXACT_PX / (pixels_across * side)), 1)
    found, close = _draw_area(page, area, across)
    if (area[2] - area[0]) * _MOSTLY_MARKS > close[2] - close[0]:  # a faint frame around it was taken for the drawing
        found, close = _draw_area(page, close, across)
    scale = sheet_px(page, first)
    return replace(found, sheet_box=(close[0] * scale, close[1] * scale, close[2] * scale, close[3] * scale))


def _draw_area(page: stencil_file.VectorPage, area: Area, across: int) -> tuple[Marks, Area]:
    part = draw_area(page, area, across)
    even = _stretch(part.gray, np.asarray(part.gray.histogram(), dtype=np.int64))
    ink = np.asarray(even) <= INK_LEVEL
    if not ink.any():
        raise no_drawing(page.path.name)
    # Of the whole page, as with pictures.
    share = float(ink.sum()) / (part.scale * part.scale * page.height)
    warnings = (*_mostly_black(share, page.path.name), *_faint_ink(even))
    coverage = np.asarray(even)
    found = Marks(even, _exact_box(page, part, coverage), Origin.VECTOR, warnings)
    return found, part.on_page(found.box)


def _refuse_blank(histogram: NDArray[np.int64], name: str) -> None:
    """Refuse one flat tone before any stretching turns its noise into a drawing."""
    levels = np.flatnonzero(histogram > histogram.sum() * 1e-6)
    if levels[-1] - levels[0] < 24:
        raise InputError(
            say(
                "{name}: the picture is one even tone; there is no drawing in it. Choose the stencil itself.", name=name
            )
        )


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
        say(
            "Part of the drawing is light gray. A stencil is only black or white: what is lighter "
            "than half gray is not printed. Darken those lines in the drawing if they are needed."
        ),
    )


def _finish(gray: Image.Image, name: str, origin: Origin, warnings: tuple[str, ...]) -> Marks:
    coverage = np.asarray(gray)
    ink = coverage <= INK_LEVEL
    if not ink.any():
        raise no_drawing(name)
    found = find_specks(ink)
    warnings += (*_mostly_black(float(ink.mean()), name), *([found.sentence] if found else []))
    return Marks(gray, ink_box(coverage, ink), origin, warnings, specks=found)


def _mostly_black(share: float, name: str) -> tuple[str, ...]:
    """Warn of a sheet on which the ink takes that share.

    Raises:
        InputError: There is nothing else.
    """
    if share > 1 - 1e-4:
        raise InputError(
            say("{name}: the picture is black all over. Choose a drawing with dark lines on white.", name=name)
        )
    if share > MOSTLY_BLACK:
        return (
            say(
                "{share:.0%} of the picture is black. If it is a negative, turn it into dark lines on white first.",
                share=share,
            ),
        )
    return ()


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


def _exact_box(page: stencil_file.VectorPage, part: AreaDrawing, gray: NDArray[np.uint8]) -> Box:
    """Look at the outermost place of each side once more, much larger: a fine tip is lost on its last pixels.

    A tip of 8 degrees lost 0.04 mm at 3000 pixels over 58 mm.
    """
    box = ink_box(gray)
    sides = []
    for side in range(4):
        # As if it were the left edge of an upright picture.
        seen = gray if side % 2 == 0 else gray.T
        column = math.floor(box[side]) if side < 2 else math.ceil(box[side]) - 1
        row = int(seen[:, min(max(column, 0), seen.shape[1] - 1)].argmin())
        x, y = (column, row) if side % 2 == 0 else (row, column)
        area = part.on_page((x - _NEAR_PX, y - _NEAR_PX, x + _NEAR_PX, y + _NEAR_PX))
        near = draw_area(page, area, 2 * _NEAR_PX * _NEARER)
        ink = np.asarray(near.gray) <= _FAINTEST_TIP
        found = np.flatnonzero(ink.any(axis=side % 2))
        if not found.size:
            return box
        end = float(found[0]) if side < 2 else float(found[-1]) + 1
        sides.append((near.on_page((end, end, end, end))[side] - part.corner[side % 2]) * part.scale)
    wider = (min(box[0], sides[0]), min(box[1], sides[1]), max(box[2], sides[2]), max(box[3], sides[3]))
    return wider if max(abs(new - old) for new, old in zip(wider, box, strict=True)) < _NEAR_PX - 1 else box


def _beyond(inside: NDArray[np.uint8], outside: NDArray[np.uint8] | None) -> float:
    """Say how far the outermost ink reaches past its pixel: -0.5 to 0.5, and 0 at the picture's own edge."""
    if outside is None:
        return 0.0
    near, far = inside.astype(np.float32), outside.astype(np.float32)
    crossing = (127.5 - near) / np.maximum(far - near, 1)
    return float(crossing[near <= INK_LEVEL].max()) - 0.5


def without_specks(marks: Marks) -> Marks:
    """Give the marks without what lies far from the drawing; with their gray rims."""
    if marks.specks is None:
        return marks
    gray = marks.gray.copy()
    for left, top, right, bottom in marks.specks.boxes:
        gray.paste(255, (max(left - 2, 0), max(top - 2, 0), right + 2, bottom + 2))
    said = tuple(one for one in marks.warnings if one != marks.specks.sentence)
    return Marks(gray, ink_box(np.asarray(gray)), marks.origin, said, is_stretched=marks.is_stretched)


def turned(marks: Marks) -> Marks:
    """Give the marks of a file that is stored mirrored as they read on skin."""
    left, top, right, bottom = marks.box
    flipped = marks.gray.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    width = marks.gray.width
    return Marks(flipped, (width - right, top, width - left, bottom), marks.origin, marks.warnings)
