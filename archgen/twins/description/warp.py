"""Look up, blur and even out the small square maps in which two pictures are compared.

Coordinates are those of the unit square, as in `turns`; a map has its pixel centres at (k + 0.5) / side. Beyond the
edges a map is taken to be reflected.
"""

from __future__ import annotations

import math
from functools import cache

import cv2
import numpy as np
import numpy.typing as npt

from archgen.images.filters import mean_around
from archgen.twins.description.turns import Affine, Floats

AFFINE_ROWS = 2
LAST_ROW = np.array([[0.0, 0.0, 1.0]])
# Left, top, right, bottom in unit coordinates.
Edges = tuple[float, float, float, float]


def resized(values: Floats, side: int) -> Floats:
    """Give a square map on a coarser square grid."""
    return np.asarray(cv2.resize(values, (side, side), interpolation=cv2.INTER_AREA), np.float32)


def slopes(values: Floats) -> tuple[Floats, Floats]:
    """Give the change per pixel across and down."""
    return tuple(  # type: ignore[return-value]
        np.asarray(cv2.Sobel(values, cv2.CV_32F, *way, ksize=1, scale=0.5), np.float32) for way in ((1, 0), (0, 1))
    )


def local_contrast(values: Floats, radius: float) -> Floats:
    """Take the light away: what is left is detail against its surroundings, of even strength."""
    size = int(2.5 * radius) | 1
    detail = values - _smooth(values, size)
    strength = np.sqrt(np.maximum(_smooth(detail * detail, size), 0))
    floor = np.float32(0.25 * float(strength.mean()) + 0.004)
    return np.asarray(detail / (strength + floor), np.float32)


def _smooth(values: Floats, size: int) -> Floats:
    """Blur by two running means: as good as a Gaussian here, and its cost does not grow with the radius."""
    return mean_around(mean_around(values, size), size)


def sample(values: Floats, transform: Affine, side: int, outside: float) -> Floats:
    """Look up a square map through a transform of unit coordinates, on a grid of `side` x `side`.

    The transform has two rows, or three when it holds a perspective.
    """
    before, after = _pixels(len(values), side)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    if len(transform) > AFFINE_ROWS:
        matrix = after @ transform @ before
        found = cv2.warpPerspective(values, matrix, (side, side), flags=flags, borderValue=outside)
    else:
        matrix = after[:2, :2] @ transform @ before
        matrix[:, 2] -= 0.5
        found = cv2.warpAffine(values, matrix, (side, side), flags=flags, borderValue=outside)
    return np.asarray(found, np.float32)


@cache
def _pixels(size: int, side: int) -> tuple[Affine, Affine]:
    """Send pixels of a map of one side to the unit square, and the unit square to pixels of a map of one size."""
    before = np.array([[1 / side, 0.0, 0.5 / side], [0.0, 1 / side, 0.5 / side], [0.0, 0.0, 1.0]])
    return before, np.array([[size, 0.0, -0.5], [0.0, size, -0.5], [0.0, 0.0, 1.0]])


@cache
def grid(side: int) -> tuple[Floats, Floats]:
    """Give the places of the pixels of a map, across and down (flat), seen from its middle."""
    at = ((np.arange(side) + 0.5) / side - 0.5).astype(np.float32)
    across, down = np.meshgrid(at, at)
    return across.ravel(), down.ravel()


@cache
def _places(side: int) -> npt.NDArray[np.float64]:
    """Give the places of the pixels of a map in the unit square, as points to be sent."""
    x, y = grid(side)
    return np.stack([x + 0.5, y + 0.5, np.ones_like(x)], axis=1).astype(np.float64)


# What may stick out by the error of an alignment.
EDGE = 0.01
_CORNERS = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 1.0], [0.0, 1.0, 1.0], [1.0, 1.0, 1.0]])


def within(edges: Edges, transform: Affine, side: int) -> Floats | None:
    """Tell, for each point of a grid (flat), whether it falls inside the edges of the other picture; `None`: all do."""
    if len(transform) == AFFINE_ROWS and _all_within(edges, transform):
        return None
    across, down = sent(transform, _places(side)).T
    left, top, right, bottom = edges
    is_inside: npt.NDArray[np.bool_] = (across >= left) & (across <= right) & (down >= top) & (down <= bottom)
    return is_inside.astype(np.float32)


def _all_within(edges: Edges, transform: Affine) -> bool:
    """Tell whether the unit square comes to lie inside the edges, but for the error of an alignment."""
    (xx, xy, x0), (yx, yy, y0) = transform.tolist()
    left, right = x0 + min(xx, 0.0) + min(xy, 0.0), x0 + max(xx, 0.0) + max(xy, 0.0)
    top, bottom = y0 + min(yx, 0.0) + min(yy, 0.0), y0 + max(yx, 0.0) + max(yy, 0.0)
    is_across = left >= edges[0] - EDGE and right <= edges[2] + EDGE
    return bool(is_across and top >= edges[1] - EDGE and bottom <= edges[3] + EDGE)


def sent(transform: Affine, points: npt.NDArray[np.floating]) -> npt.NDArray[np.floating]:
    """Send points (n, 3), the last column ones, through a transform: (n, 2)."""
    out = points @ transform.T
    return out if len(transform) == AFFINE_ROWS else out[:, :2] / out[:, 2:]


def flattened(transform: Affine) -> Affine:
    """Give the affine transform nearest to one with a perspective, over the unit square."""
    if len(transform) == AFFINE_ROWS:
        return transform
    points = np.vstack([_CORNERS, [0.5, 0.5, 1.0]])
    return np.asarray(np.linalg.lstsq(points, sent(transform, points), rcond=None)[0].T)


def correlation(first: Floats, second: Floats, weight: Floats | None) -> float:
    """Correlate two flat maps under weights; 0 when one of them is even."""
    return Sums(first, second, weight).correlation


class Sums:
    """Weighted sums of two flat maps: how they correlate, and what gain and offset turn the first into the second."""

    def __init__(self, first: Floats, second: Floats, weight: Floats | None) -> None:
        one, two = (first, second) if weight is None else (weight * first, weight * second)
        self.total = float(len(first)) if weight is None else max(float(np.add.reduce(weight)), 1e-9)
        self.mean_first = float(np.add.reduce(one)) / self.total
        self.mean_second = float(np.add.reduce(two)) / self.total
        self.spread_first = float(one @ first) / self.total - self.mean_first**2
        self.spread_second = float(two @ second) / self.total - self.mean_second**2
        self.shared = float(one @ second) / self.total - self.mean_first * self.mean_second

    @property
    def correlation(self) -> float:
        """Give the correlation; 0 when one of the maps is even."""
        if min(self.spread_first, self.spread_second) <= EVEN:
            return 0.0
        return self.shared / math.sqrt(self.spread_first * self.spread_second)

    @property
    def light(self) -> tuple[float, float]:
        """Give the gain and the offset."""
        gain = min(max(self.shared / max(self.spread_first, EVEN), 0.2), 5.0)
        return gain, self.mean_second - gain * self.mean_first


# Variance below which a map is even.
EVEN = 1e-6
