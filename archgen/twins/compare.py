"""Measure how well two aligned pictures agree, and decide whether they are one picture.

Knows maps and transforms; what the agreement is called is decided in `relation`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from archgen.twins.align import FINE, Working, correlation, flattened, local_contrast, sample, within
from archgen.twins.signature import Kind
from archgen.twins.turns import Affine, Floats, inverse

CELLS = 6


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was measured after alignment, in the frame of the part.

    correlation: of the whole maps; agreement: share of the detail that has its counterpart; worst and low: the
    second-worst and the lower-quartile cell; plainness: how well the part resembles its own blurred self (circles
    and skies do, and fit many pictures); covered: share of the part that lies in the whole, and of the whole in the
    part; stretch: the longer over the shorter axis of the transform; lean: degrees off the nearest quarter turn.
    """

    correlation: float
    agreement: float
    worst: float
    low: float
    plainness: float
    covered_part: float
    covered_whole: float
    coarse: float
    stretch: float
    lean: float


def measure(part: Working, whole: Working, transform: Affine, coarse: float) -> Evidence | None:
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
        known = within(whole.edges, transform, FINE).reshape(mine.shape)
        ink = np.where(inside, seen, np.float32(0))
        one, two, weight = _soft(mine), _soft(ink), known
        agreement = _ink_agreement(mine * known, ink * known)
    else:
        one, two, weight = _photo_maps(mine, seen, inside)
        agreement = _slopes_agree(one, two, weight)
    worst, low = _cells(one, two, weight)
    stretch, lean = _shape(whole.aspect, part.aspect, flat)
    overall = correlation(one.ravel(), two.ravel(), weight.ravel())
    return Evidence(overall, agreement, worst, low, _plainness(one), covered_part, covered_whole, coarse, stretch, lean)


LEAST_COVERED = 0.2
_ONES = np.ones((32, 32), np.float32)


def _shape(whole_aspect: float, part_aspect: float, transform: Affine) -> tuple[float, float]:
    linear = np.diag([whole_aspect, 1.0]) @ transform[:, :2] @ np.diag([1 / part_aspect, 1.0])
    left, sizes, right = np.linalg.svd(linear)
    turn = left @ right
    angle = float(np.degrees(np.arctan2(turn[1, 0], turn[0, 0]))) % 90.0
    return float(sizes[0] / max(sizes[1], 1e-6)), min(angle, 90.0 - angle)


def _plainness(one: Floats) -> float:
    return correlation(one.ravel(), ndimage.uniform_filter(one, 17).ravel(), np.ones(one.size, np.float32))


def _soft(ink: Floats) -> Floats:
    out: Floats = ndimage.gaussian_filter(ink, 1.5)
    return out


def _photo_maps(mine: Floats, seen: Floats, inside: npt.NDArray[np.bool_]) -> tuple[Floats, Floats, Floats]:
    filled = np.where(inside, seen, float(seen[inside].mean()))
    maps = [ndimage.gaussian_filter(local_contrast(picture, 7.0), 1.0).astype(np.float32) for picture in (mine, filled)]
    weight = ndimage.binary_erosion(inside, iterations=2, border_value=1).astype(np.float32)
    return maps[0], maps[1], weight


def _ink_agreement(one: Floats, two: Floats) -> float:
    """Share of the ink of each that has ink of the other within two pixels; the lesser of the two shares."""
    shares = []
    for ink, other in ((one, two), (two, one)):
        near = ndimage.maximum_filter(other, 5)
        level = max(float(np.percentile(near, 99)), 0.05)
        mine = ink / max(float(np.percentile(ink, 99.5)), 0.05)
        reach = np.minimum(near / level * 1.5, 1.0)
        shares.append(float(np.minimum(mine, reach).sum()) / max(float(mine.sum()), 1e-6))
    return min(shares)


def _slopes_agree(one: Floats, two: Floats, weight: Floats) -> float:
    first, second = np.gradient(one), np.gradient(two)
    dot = first[0] * second[0] + first[1] * second[1]
    size = np.hypot(*first) * np.hypot(*second)
    return float((dot * weight).sum()) / max(float((size * weight).sum()), 1e-6)


def _cells(one: Floats, two: Floats, weight: Floats) -> tuple[float, float]:
    """Correlate cell by cell; second-worst and lower quartile of the cells that hold detail in either."""
    total = _sums(weight)
    safe = np.maximum(total, 1e-6)
    mean_one, mean_two = _sums(weight * one) / safe, _sums(weight * two) / safe
    spread_one = np.maximum(_sums(weight * one * one) / safe - mean_one**2, 0)
    spread_two = np.maximum(_sums(weight * two * two) / safe - mean_two**2, 0)
    shared = _sums(weight * one * two) / safe - mean_one * mean_two
    floor = CELL_DETAIL**2
    counted = (total > 0.5 * (FINE // CELLS) ** 2) & (
        (spread_one > floor * one.var()) | (spread_two > floor * two.var())
    )
    if not counted.any():
        return 0.0, 0.0
    values = np.sort((shared / np.sqrt(spread_one * spread_two + 1e-12))[counted])
    return float(values[min(1, len(values) - 1)]), float(values[len(values) // 4])


CELL_DETAIL = 0.35


def _sums(values: Floats) -> npt.NDArray[np.float64]:
    step = FINE // CELLS
    out: npt.NDArray[np.float64] = values.reshape(CELLS, step, CELLS, step).sum(axis=(1, 3), dtype=np.float64).ravel()
    return out


# Weights of the decision by kind, after a logistic regression on a quarter of the families of
# tests/bench/bench_twins.py, checked on another: constant, correlation, agreement, worst, low (these four as Fisher's
# z), plainness, log of the stretch, tens of degrees of lean beyond 6, lesser of the two shares covered. The constants
# were lowered afterwards by what cost one right pair in two hundred, against sets of drawings in one layout.
_WEIGHTS = {
    Kind.LINE: (-6.3, 2.2, 1.1, 0.5, 1.1, -7.0, -10.9, -4.4, 6.1),
    Kind.PHOTO: (-12.1, 2.5, 0.25, 1.0, 1.5, 2.0, -4.5, -4.0, 5.7),
}
LEAST_WHOLE, LEAST_PART = 0.8, 0.25
MOST_STRETCH = 1.35


def evidence_for(evidence: Evidence, kind: Kind) -> float:
    """Weigh the evidence; above 0 the two are one picture."""
    larger = max(evidence.covered_part, evidence.covered_whole)
    lesser = min(evidence.covered_part, evidence.covered_whole)
    if larger < LEAST_WHOLE or lesser < LEAST_PART or evidence.stretch > MOST_STRETCH or _is_set_mate(evidence):
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


def _is_set_mate(evidence: Evidence) -> bool:
    """Tell two drawings of one set: all the same but for one place. Tilted copies have such places in their corners."""
    return evidence.low > 0.9 and evidence.worst < 0.35 and evidence.lean < 1.0


def score_of(weighed: float) -> float:
    """Turn weighed evidence into a score from 0 to 1; one half is the limit."""
    return float(1 / (1 + np.exp(-np.clip(weighed, -30, 30) / 2)))
