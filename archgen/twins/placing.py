"""Settle where two aligned pictures lie on each other, and say what that makes of their edges.

An alignment found on small square maps is right to about a hundredth of the picture, and drifts where there is only
sky. Most copies were made by a program and lie more simply: over the whole, or cut out without a turn. Where such a
place fits as well as the one that was found, it is the right one. Knows prepared pictures and transforms between them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum, auto
from functools import lru_cache
from typing import Any

import cv2
import numpy as np
import numpy.typing as npt

from archgen.twins.content import ink_of
from archgen.twins.model import Box
from archgen.twins.prepared import Prepared
from archgen.twins.signature import Kind
from archgen.twins.turns import (
    IDENTITY,
    Affine,
    Floats,
    compose,
    inverse,
    nearest_turn,
    reversed_turn,
    turn_transform,
    turned_picture,
)
from archgen.twins.warp import Sums

# Long side of the maps on which places are tried.
SIDE = 128
# How much worse a simpler place may fit (1 - correlation): by a factor, and by what rounding adds; one that has a scale
# of its own to fit with; and the whole of two pictures of one size, whose edits the found one leaned to.
AS_GOOD, ROUNDING, FREE_AS_GOOD, WHOLE_AS_GOOD = 1.2, 3e-5, 1.03, 1.4
# A cut that keeps the size of the pixels: how far from it the found scale may be, and the cut itself in pixels.
SCALE_DOUBT, ONE_PIXEL = 0.12, 1.01
# Edges nearer than this may meet even if one picture was stretched.
NEAR = 0.03
STEPS, LEAST_GAIN, SMALL_GAIN, LEAST_INSIDE = 6, 3e-6, 0.02, 0.3
PATIENCE, HOPELESS = 2, 4.0
OUTSIDE = -1000.0


class Place(Enum):
    """How the edges of two pictures lie."""

    SAME = auto()
    MOVED = auto()  # each shows something at an edge that the other lacks
    A_IN_B = auto()
    B_IN_A = auto()
    FRAMED = auto()  # one has a border, or stands on a screen
    TILTED = auto()  # turned by a little, or seen at a slant


@dataclass(frozen=True, slots=True)
class Lie:
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


def settle(a: Prepared, b: Prepared, found: Affine) -> Lie:
    """Find the simplest place that fits as well as the one that was found."""
    turn = nearest_turn(_in_pixels(found, (a.width, a.height), (b.width, b.height)))
    upright = compose(found, inverse(turn_transform(turn)))
    whole, part = _small(a), brought_upright(_small(b), turn)
    sizes = (a.width, a.height), ((b.height, b.width) if turn % 2 else (b.width, b.height))
    is_swapped = _zoom(upright[:, :2]) > 1
    if is_swapped:
        whole, part, sizes, upright = part, whole, sizes[::-1], inverse(upright)
    simple = _simpler(whole, part, sizes, upright)
    settled = upright if simple is None else simple
    if is_swapped and settled is not IDENTITY:
        settled = inverse(settled)
    return Lie(turn, settled, simple is not None)


def brought_upright(values: npt.NDArray[Any], turn: int) -> npt.NDArray[Any]:
    """Undo a turn of a map."""
    return np.ascontiguousarray(turned_picture(values, reversed_turn(turn))) if turn else values


Size = tuple[int, int]


def _simpler(whole: Floats, part: Floats, sizes: tuple[Size, Size], found: Affine) -> Affine | None:
    part = _as_coarse(part, whole, found)
    fit = _misfit(whole, part, found)
    limit = AS_GOOD * fit + ROUNDING
    (whole_width, whole_height), (width, height) = sizes
    best: tuple[float, Affine] | None = None
    if (is_alike := _one_shape(sizes)) or edges_apart(found) < NEAR:
        best = _misfit(whole, part, IDENTITY), IDENTITY
        allowed = WHOLE_AS_GOOD * fit + ROUNDING if sizes[0] == sizes[1] else limit if is_alike else fit
        if best[0] <= allowed and not _is_cut(sizes):
            return IDENTITY
    scale = _zoom(_in_pixels(found, *sizes))
    slide = _Slide(whole, part, (width / whole_width, height / whole_height), found @ [0.5, 0.5, 1.0])
    spare = (whole_width - width, whole_height - height)
    if abs(scale - 1) < SCALE_DOUBT and max(spare) > 0 <= min(spare):
        cut = slide.settle(1.0, limit, is_free=False)
        if best is None or cut[0] < best[0]:
            best = cut
    if best is not None and best[0] <= limit:
        return best[1]
    free = slide.settle(scale, limit, is_free=True)
    return free[1] if free[0] <= FREE_AS_GOOD * fit + ROUNDING else None


def _as_coarse(part: Floats, whole: Floats, found: Affine) -> Floats:
    """Shrink a map to the resolution at which the other shows it."""
    zoom = _zoom(_in_pixels(found, whole.shape[::-1], part.shape[::-1]))
    if zoom > 1 / MINIFIED:
        return part
    sides = (max(8, round(part.shape[1] * zoom)), max(8, round(part.shape[0] * zoom)))
    return np.asarray(cv2.resize(part, sides, interpolation=cv2.INTER_AREA), np.float32)


def _one_shape(sizes: tuple[Size, Size]) -> bool:
    """Tell whether one size is the other scaled, up to a pixel."""
    (width, height), (other_width, other_height) = sizes
    short = height * other_width - width * other_height
    return abs(short) <= ONE_PIXEL * max(width, height, other_width, other_height)


def _is_cut(sizes: tuple[Size, Size]) -> bool:
    """Tell sizes that differ by so little that rather a few pixels were cut away."""
    (width, height), (other_width, other_height) = sizes
    return 0 < max(abs(width - other_width), abs(height - other_height)) <= SCALE_DOUBT * max(width, height)


def _misfit(whole: Floats, part: Floats, transform: Affine) -> float:
    if transform is IDENTITY and whole.shape == part.shape:
        return 1 - Sums(whole.ravel(), part.ravel(), None).correlation
    seen, inside = look(whole, part.shape, transform)
    if (share := cv2.mean(inside)[0]) < LEAST_INSIDE:
        return 1.0
    return 1 - Sums(seen.ravel(), part.ravel(), None if share == 1 else inside.ravel()).correlation


def look(values: Floats, shape: tuple[int, int], transform: Affine) -> tuple[Floats, Floats]:
    """Look up a map on the grid of another through a transform from that; and tell where there is something to see."""
    rows, columns = shape
    height, width = values.shape
    if transform is IDENTITY and values.shape == shape:
        return values, np.ones(shape, np.float32)
    linear = _in_pixels(transform, (width, height), (columns, rows))
    zoom = _zoom(linear)
    if zoom > MINIFIED:
        sides = (max(8, round(width / zoom)), max(8, round(height / zoom)))
        shrunk = np.asarray(cv2.resize(values, sides, interpolation=cv2.INTER_AREA), np.float32)
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
    if _zoom(_in_pixels(upright, one.shape[::-1], two.shape[::-1])) >= 1:
        seen, inside = look(one, two.shape, upright)
        return seen, two, inside
    seen, inside = look(two, one.shape, inverse(upright))
    return one, seen, inside


# From here on a map is shrunk before it is looked up, or thin lines would fall between the pixels.
MINIFIED = 1.25


class _Slide:
    """Gauss-Newton over a scale and a shift: where a part without a turn lies in the whole."""

    def __init__(
        self, whole: Floats, part: Floats, shares: tuple[float, float], middle: npt.NDArray[np.float64]
    ) -> None:
        self.whole, self.part, self.shares = whole, part, np.array(shares)
        self.middle = middle
        rows, columns = part.shape
        across = cv2.Sobel(part, cv2.CV_32F, 1, 0, ksize=1, scale=0.5 * columns)
        down = cv2.Sobel(part, cv2.CV_32F, 0, 1, ksize=1, scale=0.5 * rows)
        x = ((np.arange(columns) + 0.5) / columns - 0.5).astype(np.float32)
        y = ((np.arange(rows) + 0.5) / rows - 0.5).astype(np.float32)
        grown = across * x + down * y[:, None]
        self.slopes = np.stack(
            [across.ravel(), down.ravel(), part.ravel(), np.ones(part.size, np.float32), grown.ravel()]
        )

    def settle(self, scale: float, limit: float, *, is_free: bool) -> tuple[float, Affine]:
        """Give the misfit and the transform; the scale stays as it is unless it is free.

        What is far from the limit after some steps is given up.
        """
        slopes = self.slopes if is_free else self.slopes[:-1]
        middle, best, chosen = self.middle, 1.0, self._transform(self.middle, scale)
        for step in range(STEPS):
            transform = self._transform(middle, scale)
            seen, inside = look(self.whole, self.part.shape, transform)
            if (share := cv2.mean(inside)[0]) < LEAST_INSIDE:
                break
            weight = None if share == 1 else inside.ravel()
            sums = Sums(seen.ravel(), self.part.ravel(), weight)
            gained = best - (1 - sums.correlation)
            if gained <= 0:
                break
            best, chosen = best - gained, transform
            if gained < LEAST_GAIN + SMALL_GAIN * best or (step >= PATIENCE and best > HOPELESS * limit):
                break
            gain, offset = sums.light
            weighted = slopes if weight is None else slopes * weight
            square = (weighted @ slopes.T).astype(np.float64)
            square[np.diag_indices(len(square))] += 1e-9 * np.trace(square)
            move = np.linalg.solve(square, weighted @ (gain * seen.ravel() + offset - self.part.ravel()))
            grown = 1 + float(move[4]) if is_free else 1.0
            middle = middle - self.shares * scale * move[:2] / grown
            scale /= grown
        return best, chosen

    def _transform(self, middle: Affine, scale: float) -> Affine:
        across, down = self.shares * scale
        return np.array([[across, 0.0, middle[0] - across / 2], [0.0, down, middle[1] - down / 2]])


@lru_cache(maxsize=256)
def _small(prepared: Prepared) -> Floats:
    rows, columns = prepared.shape
    shrunk = min(1.0, SIDE / max(rows, columns))
    sides = (max(8, round(columns * shrunk)), max(8, round(rows * shrunk)))
    return cv2.resize(prepared.gray, sides, interpolation=cv2.INTER_AREA).astype(np.float32) / np.float32(255)


# --- edges ----------------------------------------------------------------------------------------------------

# How far an edge may seem to stick out by the error of the alignment alone, in parts of the picture, how far both must
# for the camera to have moved, and how far at most in a burst.
EDGE_ERROR, PLAIN_ERROR = 0.012, 0.003
MOVED, MOVED_FAR, SHRUNK = 0.003, 0.1, 0.015
# Edges meet that are apart by so many pixels.
EDGE_PIXELS = 1.6
# Degrees off the upright from which a picture was tilted on purpose; and how much longer one axis than the other must
# have become for a slant (measured: bursts up to 0.009, photographs of prints from 0.01).
TILTED, SLANTED = 1.7, 0.0095
# A margin of one colour is a border when so much of it has the colour.
BORDER_SHARE, BORDER_LEVELS, PAPER = 0.75, 0.05, 0.5
LOST_INK = 0.006


@dataclass(frozen=True, slots=True)
class Frame:
    """Where `b` lies in `a`: its box, how far either sticks out of the other, and what the transform does to shapes.

    `pixels` is the further of both in pixels of the coarser picture.
    """

    b_in_a: Box
    a_in_b: Box
    b_out: float
    a_out: float
    pixels: float
    lean: float
    stretch: float


def frame_of(a: Prepared, b: Prepared, lie: Lie) -> Frame:
    """Describe how the edges lie."""
    transform = lie.transform
    longer, shorter, angle = _shape(_in_pixels(transform, (a.width, a.height), (b.width, b.height)))
    scale = math.sqrt(longer * shorter)
    b_in_a, *b_out = _extent(transform)
    a_in_b, *a_out = _extent(inverse(transform))
    shrunk, grown = 1 / max(1.0, scale), min(1.0, scale)
    pixels = max(
        *(out * side * shrunk for out, side in zip(b_out, (a.width, a.height), strict=True)),
        *(out * side * grown for out, side in zip(a_out, (b.width, b.height), strict=True)),
    )
    return Frame(b_in_a, a_in_b, max(b_out), max(a_out), pixels, min(angle, 90.0 - angle), longer / shorter - 1)


def _shape(linear: npt.NDArray[np.float64]) -> tuple[float, float, float]:
    """Give the axes of the ellipse that a circle becomes, and the degrees by which it is turned, up to quarters."""
    (xx, xy), (yx, yy) = linear.tolist()
    turned, mirrored = complex(xx + yy, yx - xy) / 2, complex(xx - yy, yx + xy) / 2
    rotation = turned if abs(turned) > abs(mirrored) else mirrored
    angle = math.degrees(math.atan2(rotation.imag, rotation.real)) % 90.0
    return abs(turned) + abs(mirrored), max(abs(abs(turned) - abs(mirrored)), 1e-6), angle


def scale_of(a: Prepared, b: Prepared, lie: Lie) -> float:
    """Give the pixels of `a` for a pixel of `b`."""
    return _zoom(_in_pixels(lie.transform, (a.width, a.height), (b.width, b.height)))


def _zoom(linear: npt.NDArray[np.float64]) -> float:
    (xx, xy), (yx, yy) = linear.tolist()
    return math.sqrt(abs(xx * yy - xy * yx))


def _in_pixels(transform: Affine, to: Size, start: Size) -> npt.NDArray[np.float64]:
    (xx, xy), (yx, yy) = transform[:, :2].tolist()
    across, down = to
    x, y = start
    return np.array([[xx * across / x, xy * across / y], [yx * down / x, yy * down / y]])


def _extent(transform: Affine) -> tuple[Box, float, float]:
    """Give the box in which the unit square comes to lie, and how far it sticks out, across and down."""
    (left, right), (top, bottom) = _ends(transform)
    box = Box(*(round(min(max(value, 0.0), 1.0), 4) for value in (left, top, right, bottom)))
    return box, max(-left, right - 1), max(-top, bottom - 1)


def _ends(transform: Affine) -> list[tuple[float, float]]:
    rows = transform.tolist()
    return [(c + min(x, 0.0) + min(y, 0.0), c + max(x, 0.0) + max(y, 0.0)) for x, y, c in rows]


def edges_apart(transform: Affine) -> float:
    """Give the largest distance between an edge of one picture and the nearest edge of the other."""
    return max(max(abs(low), abs(high - 1)) for low, high in _ends(transform))


def place_of(a: Prepared, b: Prepared, lie: Lie, kind: Kind) -> tuple[Place, Frame]:
    """Say how the edges of two pictures lie."""
    frame = frame_of(a, b, lie)
    return _place(a, b, lie, frame, kind), frame


def _place(a: Prepared, b: Prepared, lie: Lie, frame: Frame, kind: Kind) -> Place:
    if not lie.is_plain and (frame.lean > TILTED or frame.stretch > SLANTED):
        return Place.TILTED
    more, less = max(frame.a_out, frame.b_out), min(frame.a_out, frame.b_out)
    error = PLAIN_ERROR if lie.is_plain else EDGE_ERROR
    one_size = is_one_size(a, b, lie.turn)
    if frame.pixels <= EDGE_PIXELS and (lie.is_plain or not one_size or less <= MOVED):
        return Place.SAME
    if one_size and more < MOVED_FAR:
        return _place_of_one_size(lie, more, less)
    if less > MOVED and more < 4 * less + error:
        return Place.MOVED if more < MOVED_FAR else Place.TILTED
    return Place.SAME if more <= error else _place_of_part(a, b, lie, frame, kind)


def _place_of_one_size(lie: Lie, more: float, less: float) -> Place:
    """No part is cut out to the size of the whole; and what only shrank about its middle has other outlines."""
    if lie.is_plain and less < -MOVED:
        return Place.SAME if more < SHRUNK else Place.TILTED
    return Place.MOVED if more > MOVED else Place.SAME


def _place_of_part(a: Prepared, b: Prepared, lie: Lie, frame: Frame, kind: Kind) -> Place:
    b_is_small = frame.a_out > frame.b_out
    large, placed = (a, lie.transform) if b_is_small else (b, inverse(lie.transform))
    if _is_framed(large, placed, kind):
        return Place.FRAMED
    return Place.B_IN_A if b_is_small else Place.A_IN_B


def is_one_size(a: Prepared, b: Prepared, turn: int) -> bool:
    """Tell whether two pictures have the same pixels across and down, once both are upright."""
    width, height = (b.height, b.width) if turn % 2 else (b.width, b.height)
    return (a.width, a.height) == (width, height)


def _is_framed(large: Prepared, placed: Affine, kind: Kind) -> bool:
    """Tell whether only a margin lies around the small picture, put into the large one by `placed`."""
    gray = _small(large)
    rows, columns = gray.shape
    x = ((np.arange(columns) + 0.5) / columns).astype(np.float32)
    y = ((np.arange(rows) + 0.5) / rows).astype(np.float32)[:, None]
    back = inverse(placed)
    u, v = (row[0] * x + row[1] * y + row[2] for row in back)
    # Pixels that the edge goes through belong to neither.
    reach = 0.5 * np.abs(back[:, :2]) @ [1 / columns, 1 / rows] + PLAIN_ERROR
    outside = (u < -reach[0]) | (u > 1 + reach[0]) | (v < -reach[1]) | (v > 1 + reach[1])
    if not outside.any():
        return False
    around = gray[outside]
    level = float(np.median(around))
    if (np.abs(around - level) <= BORDER_LEVELS).mean() < BORDER_SHARE:
        return False
    if kind is Kind.LINE and level >= PAPER:
        ink = cv2.resize(ink_of(large), (columns, rows), interpolation=cv2.INTER_AREA)
        if float(ink[outside].sum()) > LOST_INK * float(ink.sum()) and not _is_screen(u, v):
            return False
    return _is_even(placed, large)


def _is_screen(u: npt.NDArray[np.floating], v: npt.NDArray[np.floating]) -> bool:
    """Tell a picture as wide as the screen, with much room above and below."""
    return bool(max(-u.min(), u.max() - 1) < SCREEN_MARGIN and min(-v.min(), v.max() - 1) > SCREEN_ROOM)


def _is_even(placed: Affine, large: Prepared) -> bool:
    """Tell a border from a cut: a border is as wide on opposite sides, and in pixels rather than in shares."""
    box, *_ = _extent(placed)
    across = np.array([box.left, 1 - box.right])
    down = np.array([box.top, 1 - box.bottom])
    if max(across.mean(), down.mean()) < LEAST_BORDER:
        return False
    if max(np.ptp(across) * large.width, np.ptp(down) * large.height) > UNEVEN * max(large.width, large.height):
        return False
    pixels = np.array([across.mean() * large.width, down.mean() * large.height])
    shares = np.array([across.mean() / (box.right - box.left), down.mean() / (box.bottom - box.top)])
    as_pixels, as_shares = np.ptp(pixels) / pixels.max(), np.ptp(shares) / shares.max()
    return bool(as_pixels < max(as_shares, ALIKE) or as_shares > UNLIKE)


# Sides that differ by so much are not alike: in parts of the picture, and in parts of the margin.
UNEVEN, ALIKE, UNLIKE = 0.008, 0.05, 0.3
# A border is at least so wide, and a screen has at least so much room above and below.
LEAST_BORDER, SCREEN_ROOM, SCREEN_MARGIN = 0.0145, 0.06, 0.03
