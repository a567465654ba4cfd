"""Find the affine transform that lays one picture on another, from a first guess.

Gauss-Newton with the template's slopes (inverse compositional), coarse to fine, with gain and offset of the light
solved along with the six numbers of the transform. Knows square maps of content boxes in unit coordinates.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from archgen.twins.content import ink_of
from archgen.twins.prepared import Prepared
from archgen.twins.signature import Kind
from archgen.twins.turns import Affine, Floats, compose, inverse

# Side of the square maps, and steps taken on each.
LEVELS = (24, 48, 96)
STEPS = (10, 8, 6)
FINE = LEVELS[-1]
# A template that was cut out of the other picture needs the other at a higher resolution: three halves.
WHOLE_OVER_PART = 3
PLAIN = FINE * WHOLE_OVER_PART // 2


# Left, top, right, bottom in unit coordinates of a content box.
Edges = tuple[float, float, float, float]


class Working:
    """A view unpacked for alignment; each map is made when it is first asked for.

    Most wrong candidates are turned away on the coarsest map, and the fine maps are the dear ones.
    """

    def __init__(self, prepared: Prepared, view: int) -> None:
        chosen = prepared.views[view]
        self.kind = chosen.kind
        rows, columns = prepared.gray.shape
        left, top, right, bottom = chosen.box
        box = (left * columns, top * rows, right * columns, bottom * rows)
        line = chosen.kind is Kind.LINE
        values = ink_of(prepared) if line else prepared.gray.astype(np.float32) / 255
        picture = Image.fromarray(values)
        self.aspect = (box[2] - box[0]) / (box[3] - box[1])
        self.plain: Floats = np.asarray(picture.resize((PLAIN,) * 2, Image.Resampling.BILINEAR, box=box), np.float32)
        # Where the edges of the picture are, seen from its content: beyond a drawing is paper, up to these. Beyond the
        # content of a photograph is nothing.
        across, down = right - left, bottom - top
        self.edges: Edges | None = (
            (-left / across, -top / down, (1 - left) / across, (1 - top) / down) if line else None
        )
        self._maps: dict[tuple[int, float], Floats] = {}

    def resized(self, side: int) -> Floats:
        """Give the content, unchanged in its values, on another square grid."""
        if side == PLAIN:
            return self.plain
        small = Image.fromarray(self.plain).resize((side, side), Image.Resampling.BILINEAR)
        return np.asarray(small, np.float32)

    def feature(self, side: int, blur: float) -> Floats:
        """Give the map that is compared: ink, or detail against its surroundings, slightly blurred."""
        key = (side, blur)
        if key not in self._maps:
            cut = self.resized(side)
            if self.kind is Kind.PHOTO:
                cut = local_contrast(cut, 0.09 * side)
            blurred: Floats = ndimage.gaussian_filter(cut, blur, truncate=3.0)
            self._maps[key] = blurred
        return self._maps[key]


@cache
def _grid(side: int) -> tuple[Floats, Floats]:
    at = ((np.arange(side) + 0.5) / side).astype(np.float32)
    across, down = np.meshgrid(at, at)
    return across.ravel() - np.float32(0.5), down.ravel() - np.float32(0.5)


def _slopes(template: Floats) -> Floats:
    """Give, for each pixel, what a change of each number does: six of the transform, gain and offset of the light."""
    side = len(template)
    down, across = np.gradient(template)
    x, y = _grid(side)
    gx, gy, flat = across.ravel() * side, down.ravel() * side, template.ravel()
    return np.stack([gx * x, gx * y, gx, gy * x, gy * y, gy, flat, np.ones_like(flat)])


def local_contrast(values: Floats, radius: float) -> Floats:
    """Take the light away: what is left is detail against its surroundings, of even strength."""
    size = int(2.5 * radius) | 1
    detail = values - _smooth(values, size)
    strength = np.sqrt(np.maximum(_smooth(detail * detail, size), 0))
    floor = np.float32(0.25 * float(strength.mean()) + 0.004)
    out: Floats = (detail / (strength + floor)).astype(np.float32)
    return out


def _smooth(values: Floats, size: int) -> Floats:
    """Blur by two running means: as good as a Gaussian here, and its cost does not grow with the radius."""
    out: Floats = ndimage.uniform_filter(ndimage.uniform_filter(values, size), size)
    return out


def sample(values: Floats, transform: Affine, side: int, outside: float) -> Floats:
    """Look up a square map through a transform of unit coordinates, on a grid of `side` x `side`.

    The transform has two rows, or three when it holds a perspective.
    """
    size = values.shape[0]
    if len(transform) > AFFINE_ROWS:
        return _sample_bent(values, transform, side, outside)
    linear, shift = transform[:, :2], transform[:, 2]
    # ndimage wants (row, column) and pixel centres at whole numbers.
    matrix = linear[::-1, ::-1] * (size / side)
    start = (linear @ np.full(2, 0.5 / side) + shift) * size - 0.5
    out: Floats = ndimage.affine_transform(
        values,
        matrix,
        start[::-1],
        (side, side),
        np.float32,
        order=1,
        mode="constant",
        cval=outside,
        prefilter=False,
    )
    return out


def _sample_bent(values: Floats, transform: Affine, side: int, outside: float) -> Floats:
    x, y = _grid(side)
    u, v, w = transform @ np.stack([x + 0.5, y + 0.5, np.ones_like(x)])
    at = np.stack([v / w, u / w]) * len(values) - 0.5
    out: Floats = ndimage.map_coordinates(values, at, np.float32, order=1, cval=outside, prefilter=False)
    return out.reshape(side, side)


def align(part: Working, whole: Working, guess: Affine) -> tuple[Affine, float]:
    """Refine a guess of where a point of `part` lies in `whole`; returns it and the correlation at the end."""
    transform = guess
    score = 0.0
    for level, side in enumerate(LEVELS):
        if score < _enough(side):
            transform, score = _at_level(part, whole, transform, side)
        if not _plausible(transform, guess):
            return transform, 0.0
        if score < REJECT_BELOW[level]:
            break
    return transform, score


def bend(part: Working, whole: Working, transform: Affine) -> tuple[Affine, float]:
    """Refine an affine transform by the two numbers of a perspective; returns three rows and the correlation."""
    return _at_level(part, whole, np.vstack([transform, _LAST_ROW]), FINE)


def _at_level(part: Working, whole: Working, transform: Affine, side: int) -> tuple[Affine, float]:
    """Refine on one map. Detail is what differs from the surroundings: in a part of a photograph, from those in it."""
    mine = part.feature(side, 1.0)
    zoom = float(np.sqrt(abs(np.linalg.det(transform[:2, :2]))))
    if whole.kind is Kind.LINE or side == LEVELS[0] or zoom > ZOOMED:
        other_side = side * WHOLE_OVER_PART // 2
        return _refine(mine, whole.feature(other_side, other_side / side), transform, whole.edges)
    base = compose(transform[:2], _MARGIN)
    start = inverse(_MARGIN)
    start = np.vstack([start, _LAST_ROW]) if len(transform) > AFFINE_ROWS else start
    found, score = _refine(mine, _cut_out(whole, base, side), start, None)
    return (np.vstack([base, _LAST_ROW]) @ np.vstack([found, _LAST_ROW])[:3])[: len(transform)], score


def _cut_out(whole: Working, base: Affine, side: int) -> Floats:
    seen = sample(whole.plain, base, round(side * MARGIN_SCALE), np.nan)
    valid = np.isfinite(seen)
    detail = local_contrast(np.where(valid, seen, float(np.nanmean(seen)) if valid.any() else 0.0), 0.09 * side)
    soft: Floats = ndimage.gaussian_filter(detail, 1.0, truncate=3.0)
    return np.where(valid, soft, np.float32(np.nan))


# Zoom from which the part is cut out of the other picture before they are compared in detail, and the room around it.
ZOOMED = 0.93
MARGIN_SCALE = 1.16
_MARGIN = np.array([[MARGIN_SCALE, 0.0, (1 - MARGIN_SCALE) / 2], [0.0, MARGIN_SCALE, (1 - MARGIN_SCALE) / 2]])
_LAST_ROW = np.array([[0.0, 0.0, 1.0]])


# Correlation on a coarse map from which the next steps are left to the finest.
GOOD = 0.985


def _enough(side: int) -> float:
    return GOOD if side < FINE else 1.0


# Correlation below which a pair is given up after a level.
REJECT_BELOW = (0.55, 0.6, 0.0)


def _plausible(transform: Affine, guess: Affine) -> bool:
    move = compose(inverse(guess), transform)
    return bool(np.abs(move[:, :2] - np.eye(2)).max() < 0.45 and np.abs(move @ [0.5, 0.5, 1] - 0.5).max() < 0.3)


def _refine(mine: Floats, whole: Floats, transform: Affine, edges: Edges | None) -> tuple[Affine, float]:
    side = len(mine)
    steps, enough = STEPS[LEVELS.index(side)], _enough(side)
    flat = mine.ravel()
    slopes = _slopes(mine)
    if len(transform) > AFFINE_ROWS:
        x, y = _grid(side)
        outward = slopes[0] + slopes[4]
        slopes = np.vstack([slopes, outward * x, outward * y])
    score = -1.0
    best = transform
    for _ in range(steps + 1):
        seen, weight = _seen(whole, transform, side, edges)
        now = correlation(seen, flat, weight) if weight.mean() > LEAST_INSIDE else -1.0
        if now <= score + LEAST_GAIN:
            return (best, score) if now <= score else (transform, now)
        score, best = now, transform
        if score >= enough:
            break
        gain, offset = _light(seen, flat, weight)
        moved = _moved(transform, slopes, weight, gain * seen + offset - flat)
        if moved is None:
            break
        transform = moved
    return best, score


# Gain in correlation below which another step is not worth its time.
LEAST_GAIN = 1e-4
AFFINE_ROWS = 2
# Share of the template that must lie in the other picture.
LEAST_INSIDE = 0.35


def _seen(whole: Floats, transform: Affine, side: int, edges: Edges | None) -> tuple[Floats, Floats]:
    """Look at the other picture, and say where there is something to be seen."""
    if edges is not None:
        return sample(whole, transform, side, 0.0).ravel(), within(edges, transform, side)
    seen = sample(whole, transform, side, np.nan).ravel()
    valid = np.isfinite(seen)
    return np.where(valid, seen, np.float32(0)), valid.astype(np.float32)


def within(edges: Edges, transform: Affine, side: int) -> Floats:
    """Tell, for each point of a grid (flat), whether it falls inside the edges of the other picture."""
    corners = _sent(transform, _CORNERS)
    if (corners >= np.subtract(edges[:2], EDGE)).all() and (corners <= np.add(edges[2:], EDGE)).all():
        return np.ones(side * side, np.float32)
    x, y = _grid(side)
    at = _sent(transform, np.stack([x + 0.5, y + 0.5, np.ones_like(x)], axis=1))
    is_inside = np.asarray(((at >= edges[:2]) & (at <= edges[2:])).all(axis=1))
    return is_inside.astype(np.float32)


# What may stick out by the error of an alignment.
EDGE = 0.01
_CORNERS = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 1.0], [0.0, 1.0, 1.0], [1.0, 1.0, 1.0]])


def _sent(transform: Affine, points: npt.NDArray[np.floating]) -> npt.NDArray[np.floating]:
    sent = points @ transform.T
    return sent if len(transform) == AFFINE_ROWS else sent[:, :2] / sent[:, 2:]


def _light(seen: Floats, flat: Floats, weight: Floats) -> tuple[float, float]:
    total = float(weight.sum())
    mean_seen, mean_flat = float(weight @ seen) / total, float(weight @ flat) / total
    spread = float(weight @ (seen - mean_seen) ** 2)
    gain = float(weight @ ((seen - mean_seen) * (flat - mean_flat))) / max(spread, 1e-9)
    gain = float(np.clip(gain, 0.2, 5.0))
    return gain, mean_flat - gain * mean_seen


def _moved(transform: Affine, slopes: Floats, weight: Floats, error: Floats) -> Affine | None:
    """Solve for the move that explains the error, and chain the transform with its reverse."""
    weighted = slopes * weight
    square = (weighted @ slopes.T).astype(np.float64)
    square[np.diag_indices(len(square))] += 1e-4 * np.trace(square) / len(square)
    try:
        move = np.linalg.solve(square, (weighted @ error).astype(np.float64))
    except np.linalg.LinAlgError:
        return None
    change = np.array([[1 + move[0], move[1], move[2]], [move[3], 1 + move[4], move[5]], [0.0, 0.0, 1.0]])
    if len(move) > len(_LIGHT_AND_AFFINE):
        change[2, :2] = -move[8:]
    if abs(np.linalg.det(change)) < LEAST_AREA:
        return None
    square_transform = np.vstack([transform, _LAST_ROW])[:3]
    out = square_transform @ _MIDDLE @ np.linalg.inv(change) @ _BACK
    return np.asarray(out / out[2, 2])[: len(transform)]


LEAST_AREA = 0.2
_LIGHT_AND_AFFINE = range(8)
# Moves are about the middle of the template.
_MIDDLE = np.array([[1.0, 0.0, 0.5], [0.0, 1.0, 0.5], [0.0, 0.0, 1.0]])
_BACK = np.array([[1.0, 0.0, -0.5], [0.0, 1.0, -0.5], [0.0, 0.0, 1.0]])


def flattened(transform: Affine) -> Affine:
    """Give the affine transform nearest to one with a perspective, over the unit square."""
    if len(transform) == AFFINE_ROWS:
        return transform
    points = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 1.0], [0.0, 1.0, 1.0], [1.0, 1.0, 1.0], [0.5, 0.5, 1.0]])
    return np.asarray(np.linalg.lstsq(points, _sent(transform, points), rcond=None)[0].T)


def correlation(first: Floats, second: Floats, weight: Floats) -> float:
    """Correlate two flat maps under weights; 0 when one of them is even."""
    total = float(weight.sum())
    if total <= 0:
        return 0.0
    one = first - float(weight @ first) / total
    two = second - float(weight @ second) / total
    spread = float(weight @ (one * one)) * float(weight @ (two * two))
    return float(weight @ (one * two)) / float(np.sqrt(spread)) if spread > 1e-12 else 0.0
