"""What the lines of a drawing enclose inside its outline: petals, feathers, leaves; areas don't cross such a line."""

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from archgen.images.filters import Flags
from archgen.shading.outline import lines_of, near, shrunk

OUTSIDE = -1
# Lines that miss each other by less are meant to meet.
_GAP_MM = 0.6
# More are too many to be told apart on skin; the largest are kept.
_MOST = 60


@dataclass(frozen=True, slots=True)
class DrawnCell:
    """Where a cell lies in the picture, and its pixels there."""

    cut: tuple[slice, slice]
    mask: Flags


def number_cells(ink: Flags, within: Flags, disc_mm: float, px_per_mm: float) -> npt.NDArray[np.int32]:
    """Number the cells that hold a disc; their lines and what is narrower go to the nearest; OUTSIDE elsewhere."""
    lines = lines_of(ink, px_per_mm)
    reach = _GAP_MM / 2 * px_per_mm
    free = within & ~near(lines, reach)
    _, parts, stats, _ = cv2.connectedComponentsWithStats(free.view(np.uint8), connectivity=4)
    held = np.bincount(parts[shrunk(free, max(disc_mm / 2 * px_per_mm - reach, 1))], minlength=len(stats)) > 0
    held[0] = False
    largest = sorted(np.flatnonzero(held).tolist(), key=lambda one: -int(stats[one, cv2.CC_STAT_AREA]))[:_MOST]
    if not largest:
        return np.where(within, 0, OUTSIDE).astype(np.int32)
    number_of = np.full(len(stats), OUTSIDE, np.int32)
    number_of[largest] = np.arange(len(largest))
    seeds = number_of[parts]
    return np.where(within, _nearest(seeds), OUTSIDE).astype(np.int32)


def _nearest(seeds: npt.NDArray[np.int32]) -> npt.NDArray[np.int32]:
    """Give each pixel the number of the nearest that has one."""
    apart = (seeds == OUTSIDE).view(np.uint8)
    _, labels = cv2.distanceTransformWithLabels(apart, cv2.DIST_L2, cv2.DIST_MASK_5, labelType=cv2.DIST_LABEL_PIXEL)
    number_of = np.full(int(labels.max()) + 1, OUTSIDE, np.int32)
    number_of[labels[apart == 0]] = seeds[apart == 0]
    return np.asarray(number_of[labels])


def cells_of(numbers: npt.NDArray[np.int32]) -> tuple[DrawnCell, ...]:
    """Cut each cell out of a map of their numbers."""
    found = []
    for number in range(int(numbers.max()) + 1):
        mask = numbers == number
        left, top, wide, high = cv2.boundingRect(mask.view(np.uint8))
        if wide:
            cut = (slice(top, top + high), slice(left, left + wide))
            found.append(DrawnCell(cut, np.ascontiguousarray(mask[cut])))
    return tuple(found)
