"""Thicken the lines of a stencil that are thinner than asked, along their centre lines; knows pixels and mm.

The file stays as it is: what comes out is another picture. Lines wide enough, dots and strokes that taper to their end
are left alone.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.errors import UsageError
from archgen.images.filters import depth_inside
from archgen.languages.house import say
from archgen.stencils import ridges, runs, stroke_width
from archgen.stencils.marks import Box, Marks, Origin, ink_box
from archgen.stencils.resolution import FileDots
from archgen.stencils.ridges import Floats, Ridge
from archgen.stencils.stroke_width import Measured, NarrowPlace, Shortfall
from archgen.values.frozen import Value

# Half a pixel is then 0.02 mm: as far as a centre may lie off.
_PX_PER_MM = 24.0
_MOST_PIXELS = 60_000_000
# Along a line from a file of 300 dots per inch the width varies by that; so none comes out thinner than asked.
_OVER_MM = 0.012
# Hairs thicker than this are no hairs, and thicker lines a new drawing.
SMALLEST_MM, LARGEST_MM = 0.05, 2.0
# A pixel on a centre line whose distance to the edge is less than this share of the line's is on its way to a corner.
_CORNER_SHARE = 0.8
# Pixels nearer to a measured place than this lie beside the same centre, less exactly.
_BESIDE_PX = 1.6
# Where half the width is less than this short of what is wanted, pixels are too coarse to make it rounder.
_WIDE_ENOUGH_PX = 0.7
_PAD_PX = 4


class Thickened(Value, frozen=True):
    """The thickened drawing.

    Attributes:
        marks: Its ink; `width_mm` is wider than before where an outermost line grew, so that the scale stays.
        before: The ink as it was, in the pixels of the new picture.
        lines: How many lines grew; `places` are where, those near each other as one.
        closing: Gaps that close by it, in mm from the upper left of the marks; those near each other as one.
        closing_count: How many gaps close, each by itself.
        tapers, dots: How many strokes that run out and dots were left, though they are thinner somewhere.
    """

    marks: Marks
    width_mm: float
    before: Image.Image
    lines: int
    places: tuple[NarrowPlace, ...]
    closing: tuple[NarrowPlace, ...]
    closing_count: int
    tapers: int
    dots: int


def thicken(marks: Marks, width_mm: float, least_mm: float) -> Thickened:
    """Make every line at least so wide at the printed width.

    Raises:
        UsageError: The width asked for is none for a line, or the file is too coarse to know which lines are thinner.
    """
    if not SMALLEST_MM <= least_mm <= LARGEST_MM:
        raise UsageError(
            say(
                "Lines of {asked:g} mm can't be asked for. Choose {least:g} to {most:g} mm, such as 0.25mm.",
                asked=least_mm,
                least=SMALLEST_MM,
                most=LARGEST_MM,
            )
        )
    seen = stroke_width.look(marks, width_mm)
    dots = FileDots(width_mm / seen.width_px, seen.stepped)
    if not dots.judges(least_mm):
        raise UsageError(
            say(
                "The file has {dpi:.0f} dots per inch at this size, too coarse to tell which lines are "
                "thinner than {asked:g} mm. Use a larger file.",
                dpi=dots.per_inch,
                asked=least_mm,
            )
        )
    least_px = least_mm / dots.mm
    found = seen.runs(least_px)
    canvas = _Canvas.of(marks, seen, width_mm)
    after = canvas.gray
    if found.found:
        thin = seen.strokes.take(np.concatenate([run.points for run in found.found]))
        after = _grown(canvas, thin, (least_mm + _OVER_MM) * canvas.px_per_mm)
    closed = _closed(seen, canvas, after, least_px)
    places = [_place(run, dots.mm, Shortfall.LINE) for run in found.found]
    gray = Image.fromarray(after)
    box = ink_box(after)
    was = ink_box(canvas.gray)
    wider = (box[2] - box[0]) / (was[2] - was[0])
    return Thickened(
        Marks(gray, box, Origin.DRAWN, marks.warnings),
        width_mm * wider,
        Image.fromarray(canvas.gray),
        len(places),
        stroke_width.merged(places, width_mm),
        stroke_width.merged([_place(run, dots.mm, Shortfall.GAP) for run in closed], width_mm),
        len(closed),
        found.tapers,
        int(np.count_nonzero(seen.dots[:, 2] < least_px)),
    )


def _place(run: runs.Run, mm: float, kind: Shortfall) -> NarrowPlace:
    return NarrowPlace(run.x * mm, run.y * mm, run.width * mm, kind)


@dataclass(frozen=True, slots=True)
class _Canvas:
    """The picture with a margin that lines may grow into, fine enough; `box` of the marks in it."""

    gray: NDArray[np.uint8]
    box: Box
    px_per_mm: float
    per_seen: float

    @staticmethod
    def of(marks: Marks, seen: Measured, width_mm: float) -> "_Canvas":
        own = marks.width_px / width_mm
        finest = (_MOST_PIXELS / (marks.width_px * marks.height_px)) ** 0.5
        times = max(min(math.ceil(_PX_PER_MM / own - 1e-9), int(finest)), 1)
        pad = math.ceil(LARGEST_MM / 2 * own) + _PAD_PX
        left, top, right, bottom = marks.box
        first = max(math.floor(left) - 1, 0), max(math.floor(top) - 1, 0)
        last = min(math.ceil(right) + 1, marks.gray.width), min(math.ceil(bottom) + 1, marks.gray.height)
        paper = Image.new("L", (last[0] - first[0] + 2 * pad, last[1] - first[1] + 2 * pad), 255)
        paper.paste(marks.gray.crop((*first, *last)), (pad, pad))
        if times > 1:
            paper = paper.resize((paper.width * times, paper.height * times), Image.Resampling.BICUBIC)
        box = tuple((side - first[index % 2] + pad) * times for index, side in enumerate(marks.box))
        return _Canvas(
            np.asarray(paper), (box[0], box[1], box[2], box[3]), own * times, marks.width_px * times / seen.width_px
        )

    def places(self, ridge: Ridge) -> tuple[Floats, Floats]:
        """Give where points seen lie, in pixel centres of this picture."""
        x = ridge.x * np.float32(self.per_seen) + np.float32(self.box[0] - 0.5)
        y = ridge.y * np.float32(self.per_seen) + np.float32(self.box[1] - 0.5)
        return x, y


def _grown(canvas: _Canvas, thin: Ridge, least_px: float) -> NDArray[np.uint8]:
    """Lay discs as wide as wanted on the centre lines, and on what lies between them at crossings and ends."""
    x, y = canvas.places(thin)
    more_x, more_y = _between(canvas, x, y, thin.width * np.float32(canvas.per_seen / 2), least_px)
    away = _distance(canvas.gray.shape, np.concatenate([x, more_x]), np.concatenate([y, more_y]), least_px / 2 + 1)
    cover = np.clip(least_px / 2 - away + 0.5, 0, 1)
    return np.asarray(np.minimum(canvas.gray, np.round(255 - 255 * cover)), np.uint8)


def _between(
    canvas: _Canvas, x: Floats, y: Floats, half: Floats, least_px: float
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Find the ridge of the distance map near measured points, which end before crossings and ends of lines."""
    ink = canvas.gray < 128
    depth = depth_inside(ink)
    rows, columns, _ = ridges.summits(depth, least_px / 2 - _WIDE_ENOUGH_PX)
    height, width = depth.shape
    field = np.full((height, width), 255, np.uint8)
    at = np.clip(np.round(y).astype(int), 0, height - 1), np.clip(np.round(x).astype(int), 0, width - 1)
    field[at] = 0
    away, labels = cv2.distanceTransformWithLabels(field, cv2.DIST_L2, 3, labelType=cv2.DIST_LABEL_PIXEL)
    owner = np.zeros(int(labels.max()) + 1, np.int64)
    owner[labels[at]] = np.arange(len(x))
    near = (away[rows, columns] <= least_px) & (away[rows, columns] > _BESIDE_PX)
    rows, columns = rows[near], columns[near]
    own = owner[labels[rows, columns]]
    fits = depth[rows, columns] >= _CORNER_SHARE * half[own]
    # The way there lies in the ink: else it is another line's.
    for share in (0.25, 0.5, 0.75):
        across, down = columns + share * (x[own] - columns), rows + share * (y[own] - rows)
        fits &= ink[np.round(down).astype(int), np.round(across).astype(int)]
    return columns[fits].astype(np.float32), rows[fits].astype(np.float32)


def _distance(shape: tuple[int, ...], x: Floats, y: Floats, most: float) -> Floats:
    """Give each pixel's distance to the nearest of some places between pixels, as far as `most`."""
    field = np.full(shape, np.float32(most), np.float32)
    column, row = np.round(x).astype(np.int64), np.round(y).astype(np.int64)
    reach = math.ceil(most)
    flat = field.ravel()
    for down in range(-reach, reach + 1):
        for across in range(-reach, reach + 1):
            away = np.hypot(column + across - x, row + down - y).astype(np.float32)
            inside = (away < most) & (row + down >= 0) & (row + down < shape[0])
            inside &= (column + across >= 0) & (column + across < shape[1])
            np.minimum.at(flat, ((row + down) * shape[1] + column + across)[inside], away[inside])
    return field


def _closed(seen: Measured, canvas: _Canvas, after: NDArray[np.uint8], least_px: float) -> list[runs.Run]:
    """Find the gaps of which the middle is covered now along half their length and more."""
    closed = []
    for run in seen.runs(least_px, gaps=True).found:
        x, y = canvas.places(seen.gaps.take(run.points))
        rows = np.clip(np.round(y).astype(int), 0, after.shape[0] - 1)
        columns = np.clip(np.round(x).astype(int), 0, after.shape[1] - 1)
        if (after[rows, columns] < 128).mean() >= 0.5:
            closed.append(run)
    return closed
