"""What a drawing encloses: from its lines alone, gaps closed no wider than needed; knows arrays and millimetres."""

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from archgen.images.filters import depth_inside

Flags = npt.NDArray[np.bool_]

# Gaps tried, in mm: the first that encloses nearly as much as the widest. On 22 drawings with gaps of up to 3 mm cut
# into them the outline then had a median IoU of .98 with the true one.
GAPS_MM = (0.5, 1.0, 2.0, 3.0, 4.0, 6.0)
_NEARLY = 0.92
_COARSE_PX_PER_MM = 4.0
# Bridges thinner than this between parts are no parts.
_THIN_MM = 1.0
# Wider ink is filled on purpose: a black, not a line.
_LINE_MM = 0.9


@dataclass(frozen=True, slots=True)
class Outline:
    """What lies inside a drawing, and how wide gaps in its lines were taken for closed."""

    within: Flags
    gap_mm: float


def near(mask: Flags, reach_px: float) -> Flags:
    """Say for each pixel whether the mask is no farther away than the reach."""
    if not mask.any():
        return mask
    return np.asarray(cv2.distanceTransform((~mask).view(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_5) <= reach_px)


def shrunk(mask: Flags, reach_px: float) -> Flags:
    """Give the pixels round which a disc of that radius fits; beyond the edges of the picture nothing is mask."""
    return np.asarray(depth_inside(np.pad(mask, 1))[1:-1, 1:-1] - 0.5 >= reach_px)


def opened(mask: Flags, reach_px: float) -> Flags:
    """Give what discs of that radius cover of a mask."""
    return near(shrunk(mask, reach_px), reach_px) & mask


def find_outline(ink: Flags, px_per_mm: float, least_mm2: float, disc_mm: float) -> Outline:
    """Find what a drawing encloses; parts that hold no disc or are smaller than the least area belong to its lines."""
    gap = _gap(ink, px_per_mm)
    whole = opened(_enclosed(ink, gap / 2 * px_per_mm), _THIN_MM / 2 * px_per_mm)
    return Outline(_large_parts(whole, least_mm2 * px_per_mm**2, disc_mm / 2 * px_per_mm), gap)


def left_without(outline: Outline, cell: Flags, px_per_mm: float, least_mm2: float, disc_mm: float) -> Outline:
    """Take a cell that is background out of an outline, with what would be left of the lines round it."""
    rest = opened(outline.within & ~cell, _THIN_MM / 2 * px_per_mm)
    return Outline(_large_parts(rest, least_mm2 * px_per_mm**2, disc_mm / 2 * px_per_mm), outline.gap_mm)


def lines_of(ink: Flags, px_per_mm: float) -> Flags:
    """Give the lines of a drawing without its solid blacks."""
    return ink & ~opened(ink, _LINE_MM / 2 * px_per_mm)


def _gap(ink: Flags, px_per_mm: float) -> float:
    """Choose the gap on a coarser drawing."""
    coarser = max(int(px_per_mm / _COARSE_PX_PER_MM), 1)
    high, wide = (side // coarser * coarser for side in ink.shape)
    coarse: Flags = ink[:high, :wide].reshape(high // coarser, coarser, wide // coarser, coarser).max(axis=(1, 3))
    sizes = [(gap, int(_enclosed(coarse, gap / 2 * px_per_mm / coarser).sum())) for gap in GAPS_MM]
    most = max(size for _, size in sizes)
    return next(gap for gap, size in sizes if size >= _NEARLY * most)


def _enclosed(ink: Flags, reach_px: float) -> Flags:
    frame = int(reach_px) + 2
    closed = near(np.pad(ink, frame), reach_px)
    _, parts = cv2.connectedComponents((~closed).view(np.uint8), connectivity=4)
    full = np.asarray(parts != parts[0, 0])
    cut = (slice(frame, -frame), slice(frame, -frame))
    return np.asarray(shrunk(full, reach_px - 0.5)[cut] | ink)


def _large_parts(full: Flags, least_px: float, disc_px: float) -> Flags:
    count, parts, stats, _ = cv2.connectedComponentsWithStats(full.view(np.uint8), connectivity=4)
    held = np.bincount(parts[shrunk(full, disc_px)], minlength=count)
    keep = (stats[:, cv2.CC_STAT_AREA] >= least_px) & (held > 0)
    keep[0] = False
    return np.asarray(keep[parts])
