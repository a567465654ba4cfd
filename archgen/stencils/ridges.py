"""Find the centre lines of strokes, or of the gaps between them, and their widths; knows pixels only.

The ridge of the Euclidean distance map gives the centres; the width is the distance between the two places where the
gray profile across the line passes one half. Always on the gray picture: its threshold doubles the error, and thinning
algorithms lose even-width strokes at 45 degrees. Ends, corners and crossings are left out, because a line has no
width there.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from archgen.images.filters import blurred, depth_inside

Floats = NDArray[np.float32]
Ints = NDArray[np.int64]
Flags = NDArray[np.uint8]

# Edges that lean further than this from the line's normal are corners or wedges: lines that meet under an angle
# would report ever smaller gaps up to the point where they touch.
_LEAN_COS = float(np.cos(np.radians(14)))
# A ridge falls off by 1.4 to 2 over its two neighbours, by 0.41 where a line three pixels wide runs at 45 degrees.
_RIDGE_FALL = 0.4
# A ridge pixel lies up to one half beside the middle of a line, and each edge up to one half off its pixel's.
_OFF_CENTRE_PX = 2.2
_NEAREST_PX = 2.0
# Where a crossing may lie about the nearest edge: nearer to the middle than this all four pixels that a value comes
# from lie within the distance to the edge, and what crosses further out is not the nearest edge.
_INNER_PX, _OUTER_PX = -1.5, 1.5
# Below this half-width the peak of a sampled line sinks and the half crossing with it; the area of its profile stays.
_THIN_PX = 2.6
_STEP_PX = 0.5
_BLANK = 0.12
_AT_A_TIME = 16384
_ALONG_ROW, _ALONG_COLUMN = 1, 2
_ROWS_AT_A_TIME = 32
# So many pixels are looked at together; the margin beside them is as wide as the widest line, and this much more.
BAND_PX, _BESIDE_PX = 5_000_000, 24


@dataclass(frozen=True, slots=True)
class Field:
    """What is computed once for strokes and gaps: coverage (1 ink), where its gray leads, half the tensor's window."""

    coverage: Floats
    slope_x: Floats
    slope_y: Floats
    window: int

    @staticmethod
    def of(coverage: Floats, *, smooth: bool) -> "Field":
        """Compute the slopes; `smooth` for files of ink and paper only, whose edges are stairs."""
        eased = blurred(coverage, 1.2 if smooth else 0.7, reach=2.5)
        slope_x, slope_y = np.zeros_like(eased), np.zeros_like(eased)
        np.subtract(eased[:, 2:], eased[:, :-2], out=slope_x[:, 1:-1])
        np.subtract(eased[2:], eased[:-2], out=slope_y[1:-1])
        return Field(coverage, slope_x, slope_y, 3 if smooth else 2)

    def tensor(self, rows: Ints, columns: Ints) -> list[Floats]:
        """Sum the structure tensor round each point; never over the whole page, of which lines are a small part."""
        height, width = self.coverage.shape
        total: list[Floats] = [np.zeros(len(rows), np.float32) for _ in range(3)]
        # Nine of its pixels tell as much as all, the slopes being smooth already (measured: no difference).
        for down in (-self.window, 0, self.window):
            for across in (-self.window, 0, self.window):
                place = np.clip(rows + down, 0, height - 1) * width + np.clip(columns + across, 0, width - 1)
                gx, gy = self.slope_x.ravel().take(place), self.slope_y.ravel().take(place)
                total = [part + more for part, more in zip(total, (gx * gx, gx * gy, gy * gy), strict=True)]
        return total


@dataclass(frozen=True, slots=True)
class Ridge:
    """Points on centre lines: place and width in pixels, the unit normal across the line.

    `length` is the length of line in pixels that a point stands for: 1 to 1.41, or 0 where another stands for it.
    """

    x: Floats
    y: Floats
    width: Floats
    normal: Floats
    length: Floats

    def take(self, chosen: NDArray[np.bool_] | Ints) -> "Ridge":
        """Give some of the points."""
        return Ridge(*(getattr(self, name)[chosen] for name in Ridge.__slots__))


def find_both(gray: NDArray[np.uint8], *, smooth: bool, stroke_px: float, gap_px: float) -> tuple[Ridge, Ridge]:
    """Measure strokes and gaps of a picture, 255 its paper, up to a width each; `smooth` as in `Field.of`.

    Some rows at a time, since what is computed takes thirty times the memory of a picture. What is found depends on
    nothing further away than `margin`, so it is the same as of the whole to a thousandth of a pixel; both are even, for
    halves are rounded so.
    """
    height, width = gray.shape
    margin = 2 * int(max(stroke_px, gap_px) / 2) + _BESIDE_PX
    rows = max(BAND_PX // width // 2 * 2, margin)
    found: tuple[list[Ridge], list[Ridge]] = [], []
    for top in range(0, height, rows):
        above, own = max(top - margin, 0), min(rows, height - top)
        band = gray[above : top + own + margin].astype(np.float32)
        band /= np.float32(255)
        field = Field.of(np.subtract(1, band, out=band), smooth=smooth)
        for ridges, gaps, widest_px in zip(found, (False, True), (stroke_px, gap_px), strict=True):
            ridge = find(field, gaps=gaps, widest_px=widest_px, within=(top - above, top - above + own))
            ridges.append(replace(ridge, y=ridge.y + np.float32(above)))
    return _joined(found[0]), _joined(found[1])


def find(field: Field, *, gaps: bool, widest_px: float, within: tuple[int, int] | None = None) -> Ridge:
    """Measure strokes, or gaps up to `widest_px`; within some rows only, from the first to before the second."""
    coverage = 1 - field.coverage if gaps else field.coverage
    distance = depth_inside(coverage >= 0.5)
    rows, columns, along = summits(distance, widest_px / 2 + 2)
    if within:
        own = slice(*np.searchsorted(rows, within))
        rows, columns, along = rows[own], columns[own], along[own]
    # Some points at a time: what is computed for them stays near the processor, which halves the time.
    parts = np.array_split(np.arange(len(rows)), len(rows) // _AT_A_TIME + 1)
    return _joined(
        [
            _measure(field, coverage, _points(field, distance, rows[part], columns[part], along[part]), widest_px)
            for part in parts
        ]
    )


def _joined(parts: Sequence[Ridge]) -> Ridge:
    return Ridge(*(np.concatenate([getattr(part, name) for part in parts]) for name in Ridge.__slots__))


@dataclass(frozen=True, slots=True)
class Points:
    """Candidates: place, distance to the nearest edge, normal, the length of line each stands for."""

    x: Floats
    y: Floats
    half: Floats
    normal: Floats
    length: Floats

    def take(self, chosen: NDArray[np.bool_]) -> "Points":
        """Give some of the points."""
        return Points(*(getattr(self, name)[chosen] for name in Points.__slots__))


def summits(distance: Floats, largest: float) -> tuple[Ints, Ints, Flags]:
    """Give the pixels that are highest along their row or column, and along which; any ridge is one of the two."""
    # Some rows at a time stay near the processor, too.
    bands = [distance[top : top + _ROWS_AT_A_TIME + 2] for top in range(0, len(distance) - 2, _ROWS_AT_A_TIME)]
    kinds = [_are_summits(band, largest) for band in bands]
    found = [np.nonzero(kind) for kind in kinds]
    rows = [rows + 1 + number * _ROWS_AT_A_TIME for number, (rows, _) in enumerate(found)]
    along = np.concatenate([kind[at] for kind, at in zip(kinds, found, strict=True)])
    return np.concatenate(rows), np.concatenate([columns for _, columns in found]) + 1, along


def _are_summits(distance: Floats, largest: float) -> Flags:
    """Say of all but the outermost pixels whether they are highest along the row (1), the column (2) or both (3)."""
    middle = distance[1:-1, 1:-1]
    found = np.zeros(middle.shape, np.uint8)
    low = (middle > 0) & (middle <= largest)
    for kind, before, after in (
        (_ALONG_ROW, distance[1:-1, :-2], distance[1:-1, 2:]),
        (_ALONG_COLUMN, distance[:-2, 1:-1], distance[2:, 1:-1]),
    ):
        summit = low & (middle >= after) & (middle > before) & (2 * middle - before - after > _RIDGE_FALL)
        found |= summit * np.uint8(kind)
    return found


def _points(field: Field, distance: Floats, rows: Ints, columns: Ints, along: Flags) -> Points:
    half = distance[rows, columns]
    normal = _normals(field, distance, rows, columns, half)
    return Points(columns.astype(np.float32), rows.astype(np.float32), half, normal, _lengths(normal, along))


def _lengths(normal: Floats, along: Flags) -> Floats:
    """Give the length each point stands for: an upright line has one summit a row, a level one a summit a column.

    Counting pixels instead takes a line at 45 degrees for up to a third shorter than it is.
    """
    across, down = np.abs(normal[:, 0]), np.abs(normal[:, 1])
    own = np.where(across >= down, along & _ALONG_ROW, along & _ALONG_COLUMN) > 0
    return np.where(own, 1 / np.maximum(across, down), 0).astype(np.float32)


def _normals(field: Field, distance: Floats, rows: Ints, columns: Ints, half: Floats) -> Floats:
    """Give the direction across each line: from the tensor at the point if thin, else at its two edges."""
    height, width = distance.shape
    first = _axis(field.tensor(rows, columns))
    # Wide lines: no edge in the window yet. The distance map rises straight away from the edge at half height.
    wide = half > _THIN_PX + 1
    if wide.any():
        first[wide] = _across_wide(distance, rows[wide], columns[wide], half[wide])
    total: list[Floats] = [np.zeros(len(rows), np.float32) for _ in range(3)]
    for side in (-1, 1):
        x = np.clip(np.round(columns + side * (half - 0.5) * first[:, 0]).astype(np.int64), 0, width - 1)
        y = np.clip(np.round(rows + side * (half - 0.5) * first[:, 1]).astype(np.int64), 0, height - 1)
        total = [part + more for part, more in zip(total, field.tensor(y, x), strict=True)]
    return _axis(total)


def _axis(tensor: list[Floats]) -> Floats:
    """Give the unit eigenvector of the larger eigenvalue of [[a, b], [b, c]]."""
    a, b, c = tensor
    angle = 0.5 * np.arctan2(2 * b, a - c)
    return np.stack([np.cos(angle), np.sin(angle)], axis=1).astype(np.float32)


def _across_wide(distance: Floats, rows: Ints, columns: Ints, half: Floats) -> Floats:
    """Look half way down the steeper of the two axes and take the fall line there."""
    height, width = distance.shape
    step = np.maximum(half / 2, 2).astype(np.int64)
    falls = []
    for down, across in ((0, 1), (1, 0)):
        y = np.clip(rows + down * step, 1, height - 2)
        x = np.clip(columns + across * step, 1, width - 2)
        falls.append((distance[rows, columns] - distance[y, x], y, x))
    pick = falls[0][0] >= falls[1][0]
    y, x = np.where(pick, falls[0][1], falls[1][1]), np.where(pick, falls[0][2], falls[1][2])
    slope_x, slope_y = distance[y, x + 1] - distance[y, x - 1], distance[y + 1, x] - distance[y - 1, x]
    length = np.maximum(np.hypot(slope_x, slope_y), 1e-6)
    return np.stack([slope_x / length, slope_y / length], axis=1).astype(np.float32)


def _measure(field: Field, coverage: Floats, points: Points, widest_px: float) -> Ridge:
    """Walk both ways along the normal to the half crossings; keep true cross-sections only."""
    sign = 1.0 if coverage is field.coverage else -1.0
    before, fits = _edge(field, coverage, points, -1.0, sign)
    # Two of three have no edge there, so the other side need not be looked at.
    points, before = points.take(fits), before[fits]
    after, fits = _edge(field, coverage, points, 1.0, sign)
    width = before + after
    good = fits & (np.abs(before - after) < _OFF_CENTRE_PX) & (width <= widest_px)
    shift = (after - before) / 2
    x = (points.x + shift * points.normal[:, 0]).astype(np.float32)
    y = (points.y + shift * points.normal[:, 1]).astype(np.float32)
    kept = Ridge(x, y, width.astype(np.float32), points.normal, points.length).take(good)
    return _refine_thin(coverage, kept)


def _edge(field: Field, coverage: Floats, points: Points, side: float, sign: float) -> tuple[Floats, NDArray[np.bool_]]:
    """Give the distance to the half crossing on one side, and whether an edge across the normal lies there."""
    offsets = np.arange(_INNER_PX, _OUTER_PX + _STEP_PX, _STEP_PX, dtype=np.float32)
    along = np.maximum(points.half[:, None] + offsets, 0)
    dx, dy = side * points.normal[:, :1], side * points.normal[:, 1:]
    values = sampled(coverage, points.x[:, None] + along * dx, points.y[:, None] + along * dy)
    outside = values < 0.5
    first = outside.argmax(axis=1)
    found = outside.any(axis=1) & (first > 0)
    index = np.maximum(first, 1)
    row = np.arange(len(first))
    before, after = values[row, index - 1], values[row, index]
    share = (before - 0.5) / np.maximum(before - after, 1e-6)
    start, end = along[row, index - 1], along[row, index]
    crossing = start + np.clip(share, 0, 1) * (end - start)
    # Between the pixels: in the middle of the one pixel of a fine line nothing leads anywhere.
    x, y = points.x + crossing * dx[:, 0], points.y + crossing * dy[:, 0]
    slope_x, slope_y = sampled(field.slope_x, x, y), sampled(field.slope_y, x, y)
    # Coverage falls outwards: the slope points against the walk.
    lean = -sign * (slope_x * dx[:, 0] + slope_y * dy[:, 0]) / np.maximum(np.hypot(slope_x, slope_y), 1e-6)
    # Nothing else is much nearer than this edge: else it is an end or a crossing.
    nearest = np.abs(crossing - (points.half - 0.5)) < _NEAREST_PX
    return crossing.astype(np.float32), found & nearest & (lean > _LEAN_COS)


def sampled(values: Floats, x: Floats, y: Floats) -> Floats:
    """Look up values between the pixels; beyond the edges the last pixel goes on."""
    height, width = values.shape
    x, y = np.clip(x, 0, width - 1), np.clip(y, 0, height - 1)
    left, top = np.minimum(np.floor(x), width - 2), np.minimum(np.floor(y), height - 2)
    x -= left
    y -= top
    place, flat = top.astype(np.int64), values.ravel()
    place *= width
    place += left.astype(np.int64)
    # `take` gives the same as brackets in half the time; the four looks are most of it.
    upper, right = flat.take(place), flat.take(place + 1)
    right -= upper
    right *= x
    upper += right
    place += width
    lower, right = flat.take(place), flat.take(place + 1)
    right -= lower
    right *= x
    lower += right
    lower -= upper
    lower *= y
    upper += lower
    return np.asarray(upper, np.float32)


def _refine_thin(coverage: Floats, ridge: Ridge) -> Ridge:
    """Take the area under the profile of lines a few pixels wide, where both sides fall to blank."""
    thin = np.flatnonzero(ridge.width < 2 * _THIN_PX)
    if not thin.size:
        return ridge
    step = 0.25
    offsets = np.arange(-2 * _THIN_PX, 2 * _THIN_PX + step / 2, step, dtype=np.float32)
    x = ridge.x[thin, None] + offsets * ridge.normal[thin, :1]
    y = ridge.y[thin, None] + offsets * ridge.normal[thin, 1:]
    values = sampled(coverage, x, y)
    middle = len(offsets) // 2
    area, blank = np.zeros(len(thin)), np.ones(len(thin), bool)
    for half in (values[:, middle::-1], values[:, middle:]):
        # Up to the lowest point: beyond it the next line begins.
        lowest = half.argmin(axis=1)
        upto = np.cumsum(half, axis=1)[np.arange(len(thin)), lowest] - half[:, 0] / 2
        area += upto * step
        blank &= half.min(axis=1) < _BLANK
    width = ridge.width.copy()
    width[thin[blank]] = area[blank]
    return replace(ridge, width=width)
