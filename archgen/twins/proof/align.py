"""Find the affine transform that lays one picture on another, from a first guess.

Gauss-Newton with the template's slopes (inverse compositional), coarse to fine, with gain and offset of the light
solved along with the six numbers of the transform. Knows square maps of content boxes in unit coordinates.
"""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.images.filters import blurred
from archgen.twins.description.content import ink_of
from archgen.twins.description.prepared import Prepared
from archgen.twins.description.signature import PictureKind
from archgen.twins.description.turns import Affine, Floats, compose, inverse
from archgen.twins.description.warp import (
    AFFINE_ROWS,
    LAST_ROW,
    Edges,
    Sums,
    grid,
    local_contrast,
    resized,
    sample,
    slopes,
    within,
)

# Side of the square maps, and steps taken on each.
LEVELS = (24, 48, 96)
STEPS = (10, 8, 6)
FINE = LEVELS[-1]
# A template that was cut out of the other picture needs the other at a higher resolution: three halves.
WHOLE_OVER_PART = 3
PLAIN = FINE * WHOLE_OVER_PART // 2


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
        line = chosen.kind is PictureKind.LINE
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
        return resized(self.plain, side)

    def feature(self, side: int, blur: float) -> Floats:
        """Give the map that is compared: ink, or detail against its surroundings, slightly blurred."""
        key = (side, blur)
        if key not in self._maps:
            cut = self.resized(side)
            if self.kind is PictureKind.PHOTO:
                cut = local_contrast(cut, 0.09 * side)
            self._maps[key] = blurred(cut, blur)
        return self._maps[key]


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
    return _at_level(part, whole, np.vstack([transform, LAST_ROW]), FINE)


def _at_level(part: Working, whole: Working, transform: Affine, side: int) -> tuple[Affine, float]:
    """Refine on one map. Detail is what differs from the surroundings: in a part of a photograph, from those in it."""
    mine = part.feature(side, 1.0)
    zoom = float(np.sqrt(abs(np.linalg.det(transform[:2, :2]))))
    if whole.kind is PictureKind.LINE or side == LEVELS[0] or zoom > ZOOMED:
        other_side = side * WHOLE_OVER_PART // 2
        return _refine(mine, whole.feature(other_side, other_side / side), transform, whole.edges)
    base = compose(transform[:2], _MARGIN)
    start = inverse(_MARGIN)
    start = np.vstack([start, LAST_ROW]) if len(transform) > AFFINE_ROWS else start
    found, score = _refine(mine, _cut_out(whole, base, side), start, None)
    return (np.vstack([base, LAST_ROW]) @ np.vstack([found, LAST_ROW])[:3])[: len(transform)], score


def _cut_out(whole: Working, base: Affine, side: int) -> Floats:
    seen = sample(whole.plain, base, round(side * MARGIN_SCALE), np.nan)
    valid = np.isfinite(seen)
    detail = local_contrast(np.where(valid, seen, float(np.nanmean(seen)) if valid.any() else 0.0), 0.09 * side)
    return np.where(valid, blurred(detail, 1.0), np.float32(np.nan))


# Zoom from which the part is cut out of the other picture before they are compared in detail, and the room around it.
ZOOMED = 0.93
MARGIN_SCALE = 1.16
_MARGIN = np.array([[MARGIN_SCALE, 0.0, (1 - MARGIN_SCALE) / 2], [0.0, MARGIN_SCALE, (1 - MARGIN_SCALE) / 2]])


# Correlation on a coarse map from which the next steps are left to the finest.
GOOD = 0.985


def _enough(side: int) -> float:
    return GOOD if side < FINE else 1.0


# Correlation below which a pair is given up after a level.
REJECT_BELOW = (0.55, 0.6, 0.0)


def _plausible(transform: Affine, guess: Affine) -> bool:
    move = compose(inverse(guess), transform)
    (xx, xy, x0), (yx, yy, y0) = move.tolist()
    bent = max(abs(xx - 1), abs(xy), abs(yx), abs(yy - 1))
    shifted = max(abs((xx + xy - 1) / 2 + x0), abs((yx + yy - 1) / 2 + y0))
    return bool(bent < 0.45 and shifted < 0.3)


def _refine(mine: Floats, whole: Floats, transform: Affine, edges: Edges | None) -> tuple[Affine, float]:
    side = len(mine)
    steps, enough = STEPS[LEVELS.index(side)], _enough(side)
    flat = mine.ravel()
    solver = _Solver(mine, with_perspective=len(transform) > AFFINE_ROWS)
    score = -1.0
    best = transform
    for _ in range(steps + 1):
        seen, weight = _seen(whole, transform, side, edges)
        sums = Sums(seen, flat, weight)
        now = sums.correlation if sums.total > LEAST_INSIDE * len(flat) else -1.0
        if now <= score + LEAST_GAIN:
            return (best, score) if now <= score else (transform, now)
        score, best = now, transform
        if score >= enough:
            break
        gain, offset = sums.light
        moved = solver.moved(transform, weight, gain * seen + (offset - flat))
        if moved is None:
            break
        transform = moved
    return best, score


# Gain in correlation below which another step is not worth its time.
LEAST_GAIN = 1e-4
# Share of the template that must lie in the other picture.
LEAST_INSIDE = 0.35


def _seen(whole: Floats, transform: Affine, side: int, edges: Edges | None) -> tuple[Floats, Floats | None]:
    """Look at the other picture, and say where there is something to be seen; `None`: everywhere."""
    if edges is not None:
        return sample(whole, transform, side, 0.0).ravel(), within(edges, transform, side)
    seen = sample(whole, transform, side, np.nan).ravel()
    valid = np.isfinite(seen)
    return (seen, None) if valid.all() else (np.where(valid, seen, np.float32(0)), valid.astype(np.float32))


class _Solver:
    """What a small move changes in a template, and the move that explains an error best."""

    def __init__(self, template: Floats, *, with_perspective: bool) -> None:
        side = len(template)
        x, y = grid(side)
        gx, gy = (change.ravel() * side for change in slopes(template))
        # Six numbers of the transform, gain and offset of the light, and two numbers of the perspective.
        self.changes: Floats = np.empty((10 if with_perspective else _LIGHT_AND_AFFINE, side * side), np.float32)
        self.changes[2], self.changes[5], self.changes[6], self.changes[7] = gx, gy, template.ravel(), 1.0
        for row, (first, second) in enumerate(((gx, x), (gx, y), (gy, x), (gy, y))):
            np.multiply(first, second, out=self.changes[row + row // 2])
        if with_perspective:
            outward = self.changes[0] + self.changes[4]
            self.changes[8], self.changes[9] = outward * x, outward * y
        self.square: npt.NDArray[np.float64] | None = None

    def moved(self, transform: Affine, weight: Floats | None, error: Floats) -> Affine | None:
        """Chain the transform with the reverse of the move; `None` when there is no such move."""
        if weight is None:
            if self.square is None:
                self.square = _inverted(self.changes @ self.changes.T)
            square = self.square
        else:
            square = _inverted((self.changes * weight) @ self.changes.T)
            error = weight * error
        move = (square @ (self.changes @ error)).tolist()
        xx, xy, x0, yx, yy, y0 = move[:6]
        if abs((1 + xx) * (1 + yy) - xy * yx) < LEAST_AREA:
            return None
        change = np.array([[1 + xx, xy, x0], [yx, 1 + yy, y0]])
        if len(move) <= _LIGHT_AND_AFFINE:
            return compose(transform, _about_middle(inverse(change)))
        bent = np.vstack([change, [-move[8], -move[9], 1.0]])
        out: Affine = transform @ _MIDDLE @ np.linalg.inv(bent) @ _BACK
        out /= out[2, 2]
        return out


def _about_middle(change: Affine) -> Affine:
    """Take a change of the plane that is centred on the middle of the unit square for one of the unit square."""
    out = change.copy()
    out[:, 2] += 0.5 - 0.5 * change[:, 0] - 0.5 * change[:, 1]
    return out


def _inverted(square: npt.NDArray[np.floating]) -> npt.NDArray[np.float64]:
    exact = square.astype(np.float64)
    exact.flat[:: len(exact) + 1] += 1e-4 * np.trace(exact) / len(exact) + 1e-12
    return np.asarray(cv2.invert(exact, flags=cv2.DECOMP_CHOLESKY)[1], np.float64)


LEAST_AREA = 0.2
_LIGHT_AND_AFFINE = 8
# Moves are about the middle of the template.
_MIDDLE = np.array([[1.0, 0.0, 0.5], [0.0, 1.0, 0.5], [0.0, 0.0, 1.0]])
_BACK = np.array([[1.0, 0.0, -0.5], [0.0, 1.0, -0.5], [0.0, 0.0, 1.0]])
