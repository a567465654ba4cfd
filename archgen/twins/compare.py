"""Measure how well two aligned pictures agree, and decide whether they are one picture.

Knows maps and transforms; what the agreement is called is decided in `relation`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from archgen.twins.align import FINE, Working, correlation, local_contrast, sample
from archgen.twins.prepare import Kind
from archgen.twins.turns import Affine, Floats, inverse

CELLS = 6


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was measured after alignment, in the frame of the part.

    correlation: of the maps; agreement: share of the detail that has its counterpart; worst: second-worst cell;
    covered: share of the part that lies in the whole, and of the whole that lies in the part.
    """

    correlation: float
    agreement: float
    worst: float
    covered_part: float
    covered_whole: float
    coarse: float


def measure(part: Working, whole: Working, transform: Affine, coarse: float) -> Evidence:
    """Measure two views that are aligned by `transform` (part to whole)."""
    seen = sample(whole.gray, transform, FINE, np.nan)
    inside = np.isfinite(seen)
    mine = np.asarray(Image.fromarray(part.gray).resize((FINE, FINE), Image.Resampling.BILINEAR), np.float32)
    covered_part = float(inside.mean())
    back = sample(np.ones((48, 48), np.float32), inverse(transform), 48, 0.0)
    covered_whole = float(back.mean())
    if covered_part < 0.2:
        return Evidence(0, 0, 0, covered_part, covered_whole, coarse)
    if part.kind is Kind.LINE:
        one, two, weight = _ink_maps(mine, seen, inside)
    else:
        one, two, weight = _photo_maps(mine, seen, inside)
    return Evidence(
        correlation(one.ravel(), two.ravel(), weight.ravel()),
        _ink_agreement(mine, np.where(inside, seen, 0)) if part.kind is Kind.LINE else _slopes_agree(one, two, weight),
        _worst_cell(one, two, weight),
        covered_part,
        covered_whole,
        coarse,
    )


def _ink_maps(mine: Floats, seen: Floats, inside: npt.NDArray[np.bool_]) -> tuple[Floats, Floats, Floats]:
    soft = [ndimage.gaussian_filter(ink, 1.5).astype(np.float32) for ink in (mine, np.where(inside, seen, 0))]
    return soft[0], soft[1], np.ones_like(mine)


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


def _worst_cell(one: Floats, two: Floats, weight: Floats) -> float:
    """Correlate cell by cell; the second-worst cell that holds detail in either picture."""
    step = FINE // CELLS
    values = []
    for row in range(CELLS):
        for column in range(CELLS):
            cut = np.s_[row * step : (row + 1) * step, column * step : (column + 1) * step]
            if float(weight[cut].mean()) < 0.5:
                continue
            if (
                max(
                    float(one[cut].std()) / float(one.std() + 1e-6),
                    float(two[cut].std()) / float(two.std() + 1e-6),
                )
                < 0.35
            ):
                continue
            values.append(correlation(one[cut].ravel(), two[cut].ravel(), weight[cut].ravel()))
    return float(np.sort(values)[min(1, len(values) - 1)]) if values else 0.0


def accepted(evidence: Evidence, kind: Kind) -> float:
    """Give a score from 0 to 1; from one half on the two are one picture."""
    least = 0.93 if kind is Kind.LINE else 0.86
    if (
        max(evidence.covered_part, evidence.covered_whole) < 0.75
        or min(evidence.covered_part, evidence.covered_whole) < 0.25
    ):
        return 0.0
    if evidence.agreement < 0.85 or evidence.worst < 0.4:
        return 0.0
    return float(np.clip(0.5 + (evidence.correlation - least) / (1 - least) / 2, 0, 1))
