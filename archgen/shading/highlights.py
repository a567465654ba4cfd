"""Small lights that want to stay open, or white at the very end: brighter than skin and set in darker tones."""

from dataclasses import dataclass

import cv2
import numpy as np

from archgen.images.filters import Flags, Floats, Spots, carried_out, find_spots
from archgen.shading.outline import shrunk

# Steps of lightness over the mean of the lightest tone, and over what lies round it; chosen by eye on 22 subjects.
_OVER_SKIN, _AT_MOST, _OVER_AROUND, _UNDER_SKIN = 8.0, 97.0, 25.0, 15.0
_AROUND_MM, _RING_MM = 3.0, 1.2
_SIZES_MM2 = (0.08, 12.0)
# A light is shown as a ring: it fills most of one, or it is a stripe and belongs to the tones.
_ROUND = 0.3
# Nearer to the outline it may be the ground that shows beside the drawing.
_RIM_MM = 0.4
MOST = 30


@dataclass(frozen=True, slots=True)
class Highlights:
    """The lights found, as a mask; where each lies and how large it is, in pixels; the strongest first."""

    mask: Flags
    spots: tuple[tuple[float, float, float], ...]


def find_highlights(light: Floats, within: Flags, skin: float, px_per_mm: float) -> Highlights:
    """Find the lights inside a drawing; `skin` is the mean lightness of what stays bare."""
    side = 2 * round(_AROUND_MM * px_per_mm / 2) + 1
    square = np.ones((side, side), np.uint8)
    # Carried out: a drawing's edge on white paper is no light.
    full = carried_out(light, within)
    rises = full - cv2.morphologyEx(full, cv2.MORPH_OPEN, square)
    bright = within & (light > min(skin + _OVER_SKIN, _AT_MOST)) & (rises > _OVER_AROUND)
    spots = find_spots(bright)
    least, most = (size * px_per_mm**2 for size in _SIZES_MM2)
    found = []
    at_rim = np.bincount(spots.numbers[~shrunk(within, _RIM_MM * px_per_mm)], minlength=len(spots.area)) > 0
    is_light = (spots.area >= least) & (spots.area <= most) & _round(spots) & ~at_rim
    for number in np.flatnonzero(is_light).tolist():
        if number and (seen := _seen(light, within, spots.numbers == number, spots.boxes[number], px_per_mm)):
            inside, around = seen
            if around < skin - _UNDER_SKIN:
                found.append(((inside - around) * float(spots.area[number]) ** 0.5, number))
    kept = [number for _, number in sorted(found, reverse=True)[:MOST]]
    return Highlights(np.isin(spots.numbers, kept) & bright, tuple(_spot(spots.numbers == one) for one in kept))


def _round(spots: Spots) -> Flags:
    across = spots.boxes[:, 2:4].max(axis=1)
    return np.asarray(spots.area >= _ROUND * np.pi / 4 * across.astype(np.float64) ** 2)


def _seen(
    light: Floats, within: Flags, spot: Flags, box: "np.ndarray[tuple[int], np.dtype[np.int32]]", px_per_mm: float
) -> tuple[float, float] | None:
    """Give the light of a spot and the median of the ring round it; None where there is no ring."""
    reach = round(_RING_MM * px_per_mm)
    left, top, wide, high = (int(side) for side in box)
    cut = np.s_[max(top - reach, 0) : top + high + reach, max(left - reach, 0) : left + wide + reach]
    own = spot[cut]
    wider = cv2.dilate(own.view(np.uint8), np.ones((2 * reach + 1, 2 * reach + 1), np.uint8)) > 0
    ring = wider & ~own & within[cut]
    return (float(light[cut][own].mean()), float(np.median(light[cut][ring]))) if ring.any() else None


def _spot(mask: Flags) -> tuple[float, float, float]:
    rows, columns = np.nonzero(mask)
    return float(columns.mean()) + 0.5, float(rows.mean()) + 0.5, float(np.sqrt(len(rows) / np.pi))
