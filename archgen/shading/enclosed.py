"""Cells inside a drawing that may be background seen through it: asked about once, never guessed."""

from dataclasses import dataclass

import cv2
import numpy as np

from archgen.images.filters import Flags, Floats
from archgen.shading.outline import near

# A cell is doubtful when its light is within so many steps of the background's and as even.
_ALIKE, _EVEN = 6.0, 8.0
_LEAST_MM2 = 20.0
_RIM_MM = (0.5, 3.0)
# How much darker than the drawing's own rim a background may be before it is worth a word.
_DARKER = 15.0
MOST = 6


@dataclass(frozen=True, slots=True)
class EnclosedCell:
    """What lines enclose and nobody knows the meaning of: its pixels, its deepest point."""

    mask: Flags
    x: int
    y: int


def cell_at(ink: Flags, within: Flags, x: int, y: int) -> Flags | None:
    """Give the cell between the lines that a place lies in; None on a line or outside the drawing."""
    clear = within & ~ink
    if not (0 <= y < clear.shape[0] and 0 <= x < clear.shape[1] and clear[y, x]):
        return None
    _, parts = cv2.connectedComponents(clear.view(np.uint8), connectivity=4)
    return np.asarray(parts == parts[y, x])


def background_light(light: Floats, within: Flags, shown: Flags, px_per_mm: float) -> float | None:
    """Give the lightness of the background beside a drawing; None where it is uneven or the picture ends."""
    beside = near(within, _RIM_MM[1] * px_per_mm) & ~near(within, _RIM_MM[0] * px_per_mm) & shown
    if beside.sum() < _LEAST_MM2 * px_per_mm**2:
        return None
    low, middle, high = np.percentile(light[beside], (10, 50, 90))
    return float(middle) if high - low <= 2 * _EVEN else None


def softens_behind(light: Floats, within: Flags, shown: Flags, skin: float, px_per_mm: float) -> bool:
    """Say whether the background is so much darker than bare skin that softening behind the drawing may be wanted."""
    background = background_light(light, within, shown, px_per_mm)
    return background is not None and background <= skin - _DARKER


def doubtful_cells(
    light: Floats, ink: Flags, within: Flags, background: float, px_per_mm: float
) -> tuple[EnclosedCell, ...]:
    """Find cells between the lines that look as the background does, the largest first."""
    _, parts, stats, _ = cv2.connectedComponentsWithStats((within & ~ink).view(np.uint8), connectivity=4)
    wide_enough = np.flatnonzero(stats[:, cv2.CC_STAT_AREA] >= _LEAST_MM2 * px_per_mm**2)
    found = []
    for number in sorted((n for n in wide_enough.tolist() if n), key=lambda n: -int(stats[n, cv2.CC_STAT_AREA])):
        mask = np.asarray(parts == number)
        low, middle, high = np.percentile(light[mask], (10, 50, 90))
        if abs(middle - background) <= _ALIKE and high - low <= 2 * _EVEN:
            depth = cv2.distanceTransform(np.pad(mask, 1).view(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_5)[1:-1, 1:-1]
            y, x = np.unravel_index(int(depth.argmax()), depth.shape)
            found.append(EnclosedCell(mask, int(x), int(y)))
    return tuple(found[:MOST])
