"""Measure how well two aligned pictures agree, and decide whether they are one picture.

Knows maps and transforms; what the agreement is called is decided in `relation`.
"""

from __future__ import annotations

import math

import cv2
import numpy as np
import numpy.typing as npt

from archgen.images.filters import blurred, greatest_around, mean_around
from archgen.twins.description.signature import PictureKind
from archgen.twins.description.turns import Affine, Floats, inverse
from archgen.twins.description.warp import (
    correlation,
    flattened,
    local_contrast,
    sample,
    slopes,
    within,
)
from archgen.twins.proof.align import FINE, Working
from archgen.values.frozen import Value

CELLS = 6


class Evidence(Value, frozen=True):
    """What was measured after alignment, in the frame of the part.

    correlation: of the whole maps; agreement: share of the detail that has its counterpart; worst and low: the
    second-worst and the lower-quartile cell; plainness: how well the part resembles its own blurred self (circles
    and skies do, and fit many pictures); covered: share of the part that lies in the whole, and of the whole in the
    part; stretch: the longer over the shorter axis of the transform; lean: degrees off the nearest quarter turn;
    is_other: all the same but for other content in one place, as two drawings of one set or two pieces on one arm.
    """

    correlation: float
    agreement: float
    worst: float
    low: float
    plainness: float
    covered_part: float
    covered_whole: float
    stretch: float
    lean: float
    is_other: bool


def measure(part: Working, whole: Working, transform: Affine) -> Evidence | None:
    """Measure two views that are aligned by `transform` (part to whole); `None` if they hardly meet."""
    seen = sample(whole.plain, transform, FINE, np.nan)
    inside = np.isfinite(seen)
    covered_part = float(inside.mean())
    if covered_part < LEAST_COVERED:
        return None
    flat = flattened(transform)
    covered_whole = float(sample(_ONES, inverse(flat), len(_ONES), 0.0).mean())
    mine = part.resized(FINE)
    if whole.edges is not None:
        inner = within(whole.edges, transform, FINE)
        known = _ALL if inner is None else inner.reshape(mine.shape)
        seen = np.where(inside, seen, np.float32(0))
        one, two, weight = blurred(mine, 1.5), blurred(seen, 1.5), known
        agreement = _ink_agreement(mine * known, seen * known)
    else:
        seen = np.where(inside, seen, float(seen[inside].mean()))
        one, two = (blurred(local_contrast(picture, 7.0), 1.0) for picture in (mine, seen))
        weight = 1 - greatest_around((~inside).astype(np.float32), 5)
        agreement = _slopes_agree(one, two, weight)
    worst, low = _cells(one, two, weight)
    stretch, lean = _shape(whole.aspect, part.aspect, flat)
    overall = correlation(one.ravel(), two.ravel(), weight.ravel())
    is_other = worst < UNLIKE and _left(mine, seen, weight) > MOST_LEFT
    return Evidence(
        overall, agreement, worst, low, _plainness(one), covered_part, covered_whole, stretch, lean, is_other
    )


# Correlation of a cell below which its content may be other content; then what is left of its detail tells (measured:
# one right pair in five hundred has as much, four wrong ones in five).
UNLIKE, MOST_LEFT = 0.4, 0.8


def _left(mine: Floats, seen: Floats, weight: Floats) -> float:
    """Give the detail that the other picture does not explain in the worst two cells, against all detail there is."""
    one, two = (blurred(values - mean_around(values, 15), 1.0) for values in (mine, seen))
    gain = float((weight * one * two).sum()) / max(float((weight * two * two).sum()), 1e-9)
    left = one - gain * two
    share, unexplained, detail = _means(np.stack([weight, weight * left * left, weight * one * one]))
    worst = np.sort((unexplained / np.maximum(share, 1e-6))[share > 0.5])[-2:]
    return float(np.sqrt(worst.mean() * share.sum() / max(float(detail.sum()), 1e-9))) if worst.size else 0.0


LEAST_COVERED = 0.2
_ONES = np.ones((32, 32), np.float32)
_ALL = np.ones((FINE, FINE), np.float32)


def _shape(whole_aspect: float, part_aspect: float, transform: Affine) -> tuple[float, float]:
    (xx, xy, _), (yx, yy, _) = transform.tolist()
    # In units of the height of each, and then as a turn, a stretch and another turn (in closed form for 2 x 2).
    xx, xy, yx = xx * whole_aspect / part_aspect, xy * whole_aspect, yx / part_aspect
    even, odd = math.hypot(xx + yy, yx - xy) / 2, math.hypot(xx - yy, yx + xy) / 2
    angle = math.degrees(math.atan2(yx - xy, xx + yy) if even >= odd else math.atan2(yx + xy, xx - yy)) % 90.0
    return (even + odd) / max(abs(even - odd), 1e-6), min(angle, 90.0 - angle)


def _plainness(one: Floats) -> float:
    return correlation(one.ravel(), mean_around(one, 17).ravel(), None)


def _ink_agreement(one: Floats, two: Floats) -> float:
    """Share of the ink of each that has ink of the other within two pixels; the lesser of the two shares."""
    shares = []
    for ink, other in ((one, two), (two, one)):
        near = greatest_around(other, 5)
        reach = np.minimum(near * np.float32(1.5 / high_ink(near, 0.99)), 1.0)
        mine = ink * np.float32(1 / high_ink(ink, 0.995))
        shares.append(float(np.minimum(mine, reach).sum()) / max(float(mine.sum()), 1e-6))
    return min(shares)


def high_ink(ink: Floats, share: float) -> float:
    """Give the ink that a share of the pixels does not exceed."""
    counts = cv2.calcHist([ink], [0], None, [INK_LEVELS], [0.0, 1.0 + 1 / INK_LEVELS])
    at = int(np.searchsorted(np.cumsum(counts), share * ink.size))
    return max(at / INK_LEVELS, 0.05)


INK_LEVELS = 256


def _slopes_agree(one: Floats, two: Floats, weight: Floats) -> float:
    first, second = slopes(one), slopes(two)
    dot = first[0] * second[0] + first[1] * second[1]
    size = np.hypot(*first) * np.hypot(*second)
    return float((dot * weight).sum()) / max(float((size * weight).sum()), 1e-6)


def _cells(one: Floats, two: Floats, weight: Floats) -> tuple[float, float]:
    """Correlate cell by cell; second-worst and lower quartile of the cells that hold detail in either."""
    first, second = weight * one, weight * two
    products = np.stack([weight, first, second, first * one, second * two, first * two])
    total, sum_one, sum_two, first_square, second_square, both = _means(products)
    safe = np.maximum(total, 1e-6)
    mean_one, mean_two = sum_one / safe, sum_two / safe
    spread_one = np.maximum(first_square / safe - mean_one**2, 0)
    spread_two = np.maximum(second_square / safe - mean_two**2, 0)
    shared = both / safe - mean_one * mean_two
    floor = CELL_DETAIL**2
    counted = (total > 0.5) & ((spread_one > floor * one.var()) | (spread_two > floor * two.var()))
    if not counted.any():
        return 0.0, 0.0
    values = np.sort((shared / np.sqrt(spread_one * spread_two + 1e-12))[counted])
    return float(values[min(1, len(values) - 1)]), float(values[len(values) // 4])


CELL_DETAIL = 0.35


def _means(maps: Floats) -> npt.NDArray[np.float64]:
    """Give the mean of each cell of maps (n, side, side): (n, cells)."""
    step = FINE // CELLS
    rows = maps.reshape(len(maps) * CELLS, step, FINE).mean(axis=1, dtype=np.float64)
    return np.asarray(rows.reshape(len(maps), CELLS * CELLS, step).mean(axis=2))


# Weights of the decision by kind, after a logistic regression on a quarter of the families of
# tests/bench/bench_twins.py, checked on another: constant, correlation, agreement, worst, low (these four as Fisher's
# z), plainness, log of the stretch, tens of degrees of lean beyond 6, lesser of the two shares covered. The constants
# were lowered afterwards by what cost one right pair in two hundred, against sets of drawings in one layout.
_WEIGHTS = {
    PictureKind.LINE: (-6.3, 2.2, 1.1, 0.5, 1.1, -7.0, -10.9, -4.4, 6.1),
    PictureKind.PHOTO: (-12.1, 2.5, 0.25, 1.0, 1.5, 2.0, -4.5, -4.0, 5.7),
}
LEAST_WHOLE, LEAST_PART = 0.8, 0.25
MOST_STRETCH = 1.35
# Share of the ink that must have its counterpart: two bars correlate well whatever else there is.
LEAST_AGREEMENT = 0.5


def evidence_for(evidence: Evidence, kind: PictureKind) -> float:
    """Weigh the evidence; above 0 the two are one picture."""
    larger = max(evidence.covered_part, evidence.covered_whole)
    lesser = min(evidence.covered_part, evidence.covered_whole)
    if larger < LEAST_WHOLE or lesser < LEAST_PART or evidence.stretch > MOST_STRETCH or evidence.is_other:
        return -10.0
    if kind is PictureKind.LINE and evidence.agreement < LEAST_AGREEMENT:
        return -10.0
    fits = (evidence.correlation, evidence.agreement, evidence.worst, evidence.low)
    values = (
        1.0,
        *(float(np.arctanh(np.clip(fit, -0.5, 0.995))) for fit in fits),
        evidence.plainness,
        float(np.log(evidence.stretch)),
        max(evidence.lean - 6.0, 0.0) / 10,
        lesser,
    )
    return float(np.dot(_WEIGHTS[kind], values))


def score_of(weighed: float) -> float:
    """Turn weighed evidence into a score from 0 to 1; one half is the limit."""
    return float(1 / (1 + np.exp(-np.clip(weighed, -30, 30) / 2)))
