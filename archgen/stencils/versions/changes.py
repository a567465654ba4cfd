"""What changed from one drawing to the next, line by line: taken out, put in, moved, made thicker or thinner.

Both are measured on their own centre lines at the printed width; a line belongs to the nearest one of the other drawing
that runs the same way. What is said and what is drawn come from the same points.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.images.filters import depth_inside
from archgen.laying.line_map import LineMap
from archgen.laying.refine import Nearest, nearest_lines
from archgen.stencils import ridges
from archgen.stencils.ridges import Floats, Ridge
from archgen.values.frozen import Value

_PX_PER_MM, _LARGEST_PX = 16.0, 1500
_PAD_PX = 12
_HALF = 0.5
_WIDEST_MM = 5.0
# A line that lies further off is another line; nearer than the lower figure it has not moved, as far as anybody sees.
_FAR_MM, _MOVED_MM = 1.0, 0.3
# Widths are known to about half a pixel; less than the first figure no needle follows. Common practice, no source.
_LEAST_MM, _LEAST_PX = 0.06, 0.8
_STEPS = 4
_SAME, _MOVED, _THICKER, _THINNER, _ALONE = range(5)

Points = NDArray[np.float64]


class LineChanges(Value, frozen=True):
    """How much of the length of lines changed, in mm, and by how much in the middle.

    Attributes:
        first_mm, second_mm: The length of all lines of each.
        told_from_mm: Changes of width below this are not told.
    """

    first_mm: float
    second_mm: float
    taken_out_mm: float
    put_in_mm: float
    moved_mm: float
    moved_by_mm: float
    thicker_mm: float
    thicker_by_mm: float
    thinner_mm: float
    thinner_by_mm: float
    told_from_mm: float

    @property
    def kept_share(self) -> float:
        """Give the share of lines of the drawing with fewer of them that the other has too; 0 without lines."""
        kept, least_mm = self.first_mm - self.taken_out_mm, min(self.first_mm, self.second_mm)
        return min(kept / least_mm, 1.0) if least_mm else 0.0


@dataclass(frozen=True, slots=True, eq=False)
class ComparedDrawings:
    """What was measured, where the second's corner lies over the first's in mm, and the picture of it."""

    changes: LineChanges
    shift_mm: tuple[float, float]
    picture: Image.Image


@dataclass(frozen=True, slots=True, eq=False)
class _Drawing:
    """One drawing on the common canvas: its coverage (1 ink) and its lines."""

    coverage: Floats
    lines: Ridge

    @property
    def points(self) -> Points:
        return np.stack([self.lines.x, self.lines.y], axis=1).astype(np.float64)

    @property
    def angles(self) -> Points:
        across = np.arctan2(self.lines.normal[:, 1], self.lines.normal[:, 0])
        return np.asarray(np.mod(across + np.pi / 2, np.pi), np.float64)

    def moved(self, by: tuple[float, float]) -> "_Drawing":
        """Give it moved by so many pixels."""
        x, y = self.lines.x + np.float32(by[0]), self.lines.y + np.float32(by[1])
        return _Drawing(_moved(self.coverage, by, self.coverage.shape), replace(self.lines, x=x, y=y))

    def line_map(self) -> LineMap:
        height, width = self.coverage.shape
        return LineMap(width, height, self.points.astype(np.float32), self.angles.astype(np.float32), self.lines.width)


# What only the first has, what only the second has, and what both have: the inks of a pair, and a pale gray.
TAKEN, ADDED, KEPT = (74, 42, 138), (168, 116, 0), (196, 193, 202)


def compare_drawings(
    first: Image.Image, second: Image.Image, widths_mm: tuple[float, float], shift_mm: tuple[float, float]
) -> ComparedDrawings:
    """Compare two gray drawings, each cut to its marks and as wide as it is printed; the second lies shifted so far."""
    sizes = [(mm, mm * one.height / one.width) for one, mm in zip((first, second), widths_mm, strict=True)]
    scale = min(_PX_PER_MM, _LARGEST_PX / max(side for size in sizes for side in size))
    corner = [min(0.0, along) for along in shift_mm]
    far = [max(sizes[0][axis], shift_mm[axis] + sizes[1][axis]) for axis in (0, 1)]
    canvas = [round((end - begin) * scale) + 2 * _PAD_PX for begin, end in zip(corner, far, strict=True)]
    one = _drawn(first, sizes[0][0], scale, [-along * scale for along in corner], canvas)
    start = [(along - begin) * scale for along, begin in zip(shift_mm, corner, strict=True)]
    two = _drawn(second, sizes[1][0], scale, start, canvas)
    near_one = nearest_lines(one.line_map())
    pulled = _pulled(near_one, one, two)
    two = two.moved(pulled)
    near_two = nearest_lines(two.line_map())
    sides = _belonging(one, two, near_two, _FAR_MM * scale), _belonging(two, one, near_one, _FAR_MM * scale)
    fates = _fates(one, two, sides, scale), _fates(two, one, (sides[1], sides[0]), scale)
    right, down = (along + by / scale for along, by in zip(shift_mm, pulled, strict=True))
    changes = _told(one, two, fates, sides[0].across / scale, scale)
    return ComparedDrawings(changes, (right, down), _picture((one, two), fates, scale))


def _drawn(gray: Image.Image, width_mm: float, scale: float, at: list[float], canvas: list[int]) -> _Drawing:
    width = max(round(width_mm * scale), 1)
    size = width, max(round(width * gray.height / gray.width), 1)
    ink = 255 - np.asarray(gray.resize(size, Image.Resampling.BOX if width < gray.width else Image.Resampling.BICUBIC))
    place = _PAD_PX + at[0], _PAD_PX + at[1]
    coverage = _moved(ink.astype(np.float32) / np.float32(255), place, (canvas[1], canvas[0]))
    field = ridges.Field.of(coverage, smooth=False)
    return _Drawing(field.coverage, ridges.find(field, gaps=False, widest_px=_WIDEST_MM * scale))


def _moved(coverage: Floats, by: tuple[float, float], shape: tuple[int, ...]) -> Floats:
    move = np.array([[1, 0, by[0]], [0, 1, by[1]]], np.float64)
    return np.asarray(cv2.warpAffine(coverage, move, (shape[1], shape[0])), np.float32)


def _pulled(near: Nearest, one: _Drawing, two: _Drawing) -> tuple[float, float]:
    """Give how many pixels more the second is moved so that the lines that belong together lie on each other."""
    if not len(one.lines.x) or not len(two.lines.x):
        return 0.0, 0.0
    moved = np.zeros(2)
    for reach in np.linspace(8, 2, _STEPS):
        found = near.of(two.points + moved, two.angles)
        off = one.points[found] - two.points - moved
        normal = one.lines.normal[found].astype(np.float64)
        across = (off * normal).sum(1)
        fits = (found >= 0) & (np.hypot(off[:, 0], off[:, 1]) < reach)
        if fits.sum() < 20:
            break
        weighed = normal[fits]
        moved = moved + np.linalg.lstsq(weighed, across[fits], rcond=1e-3)[0]
    return float(moved[0]), float(moved[1])


@dataclass(frozen=True, slots=True, eq=False)
class _Belonging:
    """For each point of one drawing: the other's it belongs to, how far off across the line, whether it is near."""

    other: NDArray[np.int64]
    across: Points
    near: NDArray[np.bool_]


def _belonging(mine: _Drawing, theirs: _Drawing, nearest: Nearest, far_px: float) -> _Belonging:
    if not len(theirs.lines.x):
        none = np.zeros(len(mine.lines.x))
        return _Belonging(none.astype(np.int64), none, none > 0)
    found = nearest.of(mine.points, mine.angles)
    off = theirs.points[found] - mine.points
    across = np.abs((off * mine.lines.normal).sum(1))
    return _Belonging(found, across, (found >= 0) & (np.hypot(off[:, 0], off[:, 1]) <= far_px))


@dataclass(frozen=True, slots=True, eq=False)
class _Fates:
    """For each point of a drawing's lines: what became of it, and how much thicker the other's line is, in mm."""

    kinds: NDArray[np.int64]
    thicker_mm: Points


def _fates(mine: _Drawing, theirs: _Drawing, sides: tuple[_Belonging, _Belonging], scale: float) -> _Fates:
    side = sides[0]
    kinds = np.full(len(mine.lines.x), _ALONE, np.int64)
    thicker_mm = np.zeros(len(kinds))
    if len(theirs.lines.x):
        least_mm = _told_from(scale)
        still, lies_still = (one.near & (one.across <= _MOVED_MM * scale) for one in sides)
        # Whose neighbour belongs to a line of its own has none itself: it did not move there.
        kinds[side.near & ~lies_still[side.other]] = _MOVED
        thicker_mm = (theirs.lines.width[side.other] - mine.lines.width).astype(np.float64) / scale
        kinds[still] = _SAME
        kinds[still & (thicker_mm >= least_mm)] = _THICKER
        kinds[still & (thicker_mm <= -least_mm)] = _THINNER
    # Where there is ink though no line can be measured, such as in a corner, nothing was taken out.
    kinds[(kinds == _ALONE) & (theirs.coverage[_at(mine)] >= _HALF)] = _SAME
    return _Fates(kinds, thicker_mm)


def _told_from(scale: float) -> float:
    return max(_LEAST_MM, _LEAST_PX / scale)


def _told(one: _Drawing, two: _Drawing, fates: tuple[_Fates, _Fates], off_mm: Points, scale: float) -> LineChanges:
    """Sum up the lengths of what became of the lines; of both drawings' lines only what was put in is the second's."""
    kinds, lengths_mm = fates[0].kinds, one.lines.length.astype(np.float64) / scale
    put_in = fates[1].kinds == _ALONE

    def length(kind: int) -> float:
        return float(lengths_mm[kinds == kind].sum())

    def middle(values: Points, kind: int) -> float:
        return float(np.median(np.abs(values[kinds == kind]))) if (kinds == kind).any() else 0.0

    return LineChanges(
        first_mm=float(lengths_mm.sum()),
        second_mm=float(two.lines.length.sum()) / scale,
        taken_out_mm=length(_ALONE),
        put_in_mm=float(two.lines.length[put_in].sum()) / scale,
        moved_mm=length(_MOVED),
        moved_by_mm=middle(off_mm, _MOVED),
        thicker_mm=length(_THICKER),
        thicker_by_mm=middle(fates[0].thicker_mm, _THICKER),
        thinner_mm=length(_THINNER),
        thinner_by_mm=middle(fates[0].thicker_mm, _THINNER),
        told_from_mm=_told_from(scale),
    )


def _at(drawing: _Drawing) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    height, width = drawing.coverage.shape
    rows = np.clip(np.round(drawing.lines.y), 0, height - 1).astype(np.int64)
    return rows, np.clip(np.round(drawing.lines.x), 0, width - 1).astype(np.int64)


def _picture(drawings: tuple[_Drawing, _Drawing], fates: tuple[_Fates, _Fates], scale: float) -> Image.Image:
    """Draw both in one: pale what stayed, violet what was taken away, ochre what was added."""
    page = np.full((*drawings[0].coverage.shape, 3), 255, np.float32)
    for drawing in drawings:
        _paint(page, drawing.coverage, KEPT)
    away = [depth_inside(drawing.coverage < _HALF) > _FAR_MM * scale for drawing in drawings]
    for drawing, fate, far, color in zip(drawings, fates, reversed(away), (TAKEN, ADDED), strict=True):
        # What the other drawing has not, or not there, or thinner.
        owned = _owned(drawing, np.isin(fate.kinds, (_ALONE, _MOVED, _THINNER)))
        _paint(page, drawing.coverage * (owned | far), color)
    return Image.fromarray(page.round().astype(np.uint8))


def _paint(page: Floats, ink: Floats, color: tuple[int, int, int]) -> None:
    page += ink[..., None] * (np.array(color, np.float32) - page)


def _owned(drawing: _Drawing, chosen: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Say of each pixel whether the nearest point of a line is one of those chosen."""
    if not len(chosen):
        return np.zeros(drawing.coverage.shape, bool)
    field = np.full(drawing.coverage.shape, 255, np.uint8)
    field[_at(drawing)] = 0
    _, label = cv2.distanceTransformWithLabels(field, cv2.DIST_L2, 3, labelType=cv2.DIST_LABEL_PIXEL)
    owner = np.zeros(int(label.max()) + 1, bool)
    owner[label[_at(drawing)]] = chosen
    return np.asarray(owner[label], bool)
