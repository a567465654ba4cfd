"""Where two pictures lie on each other, and how to bring their maps to one grid.

Knows prepared pictures, maps of any shape and transforms between them.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

import cv2
import numpy as np
import numpy.typing as npt

from archgen.twins.description.prepared import Prepared
from archgen.twins.description.turns import (
    IDENTITY,
    Affine,
    Floats,
    compose,
    inverse,
    reversed_turn,
    turn_transform,
    turned_picture,
)
from archgen.values.frozen import Value

# Long side of the maps on which places are tried, and the least of any side.
SIDE, NARROWEST = 96, 8
OUTSIDE = -1000.0
Size = tuple[int, int]


class Alignment(Value, frozen=True):
    """Where `b` lies in `a`.

    `upright` sends points of `b`, brought upright, to points of `a`; `transform` does so from `b` as it is. `is_plain`
    says that no turn and no slant is needed to make them fit.
    """

    turn: int
    upright: Affine
    is_plain: bool

    @property
    def transform(self) -> Affine:
        """Give the transform from `b` as it is."""
        return compose(self.upright, turn_transform(self.turn))


def brought_upright(values: npt.NDArray[Any], turn: int) -> npt.NDArray[Any]:
    """Undo a turn of a map."""
    return np.ascontiguousarray(turned_picture(values, reversed_turn(turn))) if turn else values


def is_one_size(a: Prepared, b: Prepared, turn: int) -> bool:
    """Tell whether two pictures have the same pixels across and down, once both are upright."""
    width, height = (b.height, b.width) if turn % 2 else (b.width, b.height)
    return (a.width, a.height) == (width, height)


def scale_of(a: Prepared, b: Prepared, alignment: Alignment) -> float:
    """Give the pixels of `a` for a pixel of `b`."""
    return magnification(in_pixels(alignment.transform, (a.width, a.height), (b.width, b.height)))


def magnification(linear: npt.NDArray[np.float64]) -> float:
    """Give by how much the linear part of a transform magnifies."""
    (xx, xy), (yx, yy) = linear.tolist()
    return math.sqrt(abs(xx * yy - xy * yx))


def in_pixels(transform: Affine, to: Size, start: Size) -> npt.NDArray[np.float64]:
    """Give the linear part of a transform from pixels to pixels."""
    (xx, xy), (yx, yy) = transform[:, :2].tolist()
    across, down = to
    x, y = start
    return np.array([[xx * across / x, xy * across / y], [yx * down / x, yy * down / y]])


def ends(transform: Affine) -> list[tuple[float, float]]:
    """Give where the unit square comes to alignment: least and greatest across, then down."""
    rows = transform.tolist()
    return [(c + min(x, 0.0) + min(y, 0.0), c + max(x, 0.0) + max(y, 0.0)) for x, y, c in rows]


def edges_apart(transform: Affine) -> float:
    """Give the largest distance between an edge of one picture and the nearest edge of the other."""
    return max(max(abs(low), abs(high - 1)) for low, high in ends(transform))


@lru_cache(maxsize=256)
def small(prepared: Prepared) -> Floats:
    """Give the small gray map on which places are tried, 0 to 1."""
    sides = sides_of(prepared.shape, min(1.0, SIDE / max(prepared.shape)))
    return cv2.resize(prepared.gray, sides, interpolation=cv2.INTER_AREA).astype(np.float32) / np.float32(255)


def sides_of(shape: tuple[int, int], factor: float) -> Size:
    """Give the columns and rows of a map brought to another scale; none gets narrower than can be compared."""
    rows, columns = shape
    return max(NARROWEST, round(columns * factor)), max(NARROWEST, round(rows * factor))


def look(values: Floats, shape: tuple[int, int], transform: Affine) -> tuple[Floats, Floats]:
    """Look up a map on the grid of another through a transform from that; and tell where there is something to see."""
    rows, columns = shape
    height, width = values.shape
    if transform is IDENTITY and values.shape == shape:
        return values, np.ones(shape, np.float32)
    linear = in_pixels(transform, (width, height), (columns, rows))
    zoom = magnification(linear)
    if zoom > MINIFIED:
        smaller = cv2.resize(values, sides_of(values.shape, 1 / zoom), interpolation=cv2.INTER_AREA)
        shrunk = np.asarray(smaller, np.float32)
        return look(shrunk, shape, transform)
    shift = linear @ _HALF + transform[:, 2] * (width, height) - 0.5
    matrix = np.column_stack([linear, shift])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    seen = np.asarray(cv2.warpAffine(values, matrix, (columns, rows), flags=flags, borderValue=OUTSIDE), np.float32)
    inside = np.asarray(cv2.threshold(seen, OUTSIDE / 1000, 1.0, cv2.THRESH_BINARY)[1], np.float32)
    return np.maximum(seen, np.float32(0)), inside


_HALF = np.array([0.5, 0.5])


def laid(one: npt.NDArray[Any], two: npt.NDArray[Any], upright: Affine) -> tuple[Floats, Floats, Floats | None]:
    """Bring two maps to the grid of the coarser one; and tell where both show something, if not everywhere."""
    if upright is IDENTITY and one.shape == two.shape:
        return one, two, None
    one, two = one.astype(np.float32, copy=False), two.astype(np.float32, copy=False)
    if magnification(in_pixels(upright, one.shape[::-1], two.shape[::-1])) >= 1:
        seen, inside = look(one, two.shape, upright)
        return seen, two, inside
    seen, inside = look(two, one.shape, inverse(upright))
    return one, seen, inside


# From here on a map is shrunk before it is looked up, or thin lines would fall between the pixels.
MINIFIED = 1.25
