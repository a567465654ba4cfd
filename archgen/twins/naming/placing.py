"""Settle where two aligned pictures lie on each other.

An alignment found on small square maps is right to about a hundredth of the picture, and drifts where there is only
sky. Most copies were made by a program and lie more simply: over the whole, or cut out without a turn. Where such a
place fits as well as the one that was found, it is the right one.
"""

from __future__ import annotations

import cv2
import numpy as np

from archgen.twins.description.prepared import Prepared
from archgen.twins.description.turns import IDENTITY, Affine, Floats, compose, inverse, nearest_turn, turn_transform
from archgen.twins.description.warp import Sums
from archgen.twins.naming.alignment import (
    MINIFIED,
    Alignment,
    Size,
    brought_upright,
    edges_apart,
    in_pixels,
    look,
    magnification,
    sides_of,
    small,
)

# How much worse a simpler place may fit (1 - correlation): by a factor, and by what rounding adds; one that has a scale
# of its own to fit with; and the whole of two pictures of one size, whose edits the found one leaned to.
AS_GOOD, ROUNDING, FREE_AS_GOOD, WHOLE_AS_GOOD = 1.2, 3e-5, 1.03, 1.4
# A cut that keeps the size of the pixels: how far from it the found scale may be, and the cut itself in pixels.
SCALE_DOUBT, ONE_PIXEL = 0.12, 1.01
# Edges nearer than this may meet even if one picture was stretched.
NEAR = 0.03
# Most steps, the gain (and its part of the misfit) below which another is not worth its time, the least part that must
# be seen, and after how many steps a misfit so many times over the limit is given up.
STEPS, LEAST_GAIN, SMALL_GAIN, LEAST_INSIDE = 6, 3e-6, 0.02, 0.3
PATIENCE, HOPELESS = 2, 4.0


def settle(a: Prepared, b: Prepared, found: Affine) -> Alignment:
    """Find the simplest place that fits as well as the one that was found."""
    turn = nearest_turn(in_pixels(found, (a.width, a.height), (b.width, b.height)))
    upright = compose(found, inverse(turn_transform(turn)))
    if turn and _is_upright_after_all(a, b, turn, upright):
        return Alignment(0, IDENTITY, True)
    whole, part = small(a), brought_upright(small(b), turn)
    sizes = (a.width, a.height), ((b.height, b.width) if turn % 2 else (b.width, b.height))
    is_swapped = magnification(upright[:, :2]) > 1
    if is_swapped:
        whole, part, sizes, upright = part, whole, sizes[::-1], inverse(upright)
    simple = _simpler(whole, part, sizes, upright)
    settled = upright if simple is None else simple
    if is_swapped and settled is not IDENTITY:
        settled = inverse(settled)
    return Alignment(turn, settled, simple is not None)


def _is_upright_after_all(a: Prepared, b: Prepared, turn: int, found: Affine) -> bool:
    """Tell symmetric art that was not turned: edges and tones of a copy may fit a turn better, the whole does not."""
    if not _one_shape(((a.width, a.height), (b.width, b.height))):
        return False
    turned = brought_upright(small(b), turn)
    best = min(_misfit(small(a), turned, found), _misfit(small(a), turned, IDENTITY))
    return _misfit(small(a), small(b), IDENTITY) < best


def _simpler(whole: Floats, part: Floats, sizes: tuple[Size, Size], found: Affine) -> Affine | None:
    part = _as_coarse(part, whole, found)
    fit = _misfit(whole, part, found)
    limit = AS_GOOD * fit + ROUNDING
    (whole_width, whole_height), (width, height) = sizes
    best: tuple[float, Affine] | None = None
    if (is_alike := _one_shape(sizes)) or edges_apart(found) < NEAR:
        over_all = _misfit(whole, part, IDENTITY)
        allowed = WHOLE_AS_GOOD * fit + ROUNDING if sizes[0] == sizes[1] else limit if is_alike else fit
        if over_all <= allowed:
            if not _is_cut(sizes):
                return IDENTITY
            best = over_all, IDENTITY
    scale = magnification(in_pixels(found, *sizes))
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
    zoom = magnification(in_pixels(found, whole.shape[::-1], part.shape[::-1]))
    if zoom > 1 / MINIFIED:
        return part
    return np.asarray(cv2.resize(part, sides_of(part.shape, zoom), interpolation=cv2.INTER_AREA), np.float32)


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


class _Slide:
    """Gauss-Newton over a scale and a shift: where a part without a turn lies in the whole."""

    def __init__(self, whole: Floats, part: Floats, shares: tuple[float, float], middle: Affine) -> None:
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
            grown = max(1 + float(move[4]), 0.5) if is_free else 1.0
            middle = middle - self.shares * scale * move[:2] / grown
            scale /= grown
        return best, chosen

    def _transform(self, middle: Affine, scale: float) -> Affine:
        across, down = self.shares * scale
        return np.array([[across, 0.0, middle[0] - across / 2], [0.0, down, middle[1] - down / 2]])
