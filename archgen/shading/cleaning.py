"""Make tones into areas that a bundle can shade: each holds its disc, none is smaller than the bound."""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from archgen.images.filters import Flags, Floats, depth_inside
from archgen.shading.bounds import BoundPx
from archgen.shading.cells import OUTSIDE, DrawnCell
from archgen.shading.outline import near, shrunk

Tones = npt.NDArray[np.int32]
_ROUNDS = 4
# A pixel between cores goes to the nearest, unless another tone is so much nearer to its own light: this many steps of
# lightness weigh as much as one width of the bundle.
_PER_BUNDLE = 3.0
# A tone apart counts half as much as a common edge.
_TONE_APART = 0.5
_CROSS = np.array(((0, 1, 0), (1, 1, 1), (0, 1, 0)), np.uint8)


@dataclass(frozen=True, slots=True)
class Parts:
    """Areas of one tone each: each pixel's number, 0 outside; by number tone, size, and the cell it lies in."""

    numbers: npt.NDArray[np.int32]
    tones: Tones
    sizes: npt.NDArray[np.int64]
    cells: npt.NDArray[np.int32]


def cleaned(tones: Tones, light: Floats, levels: npt.NDArray[np.float64], bound: BoundPx) -> Tones:
    """Give every pixel the tone of a core near it, until nothing changes; what stays too small goes to a neighbour."""
    within = tones != OUTSIDE
    for _ in range(_ROUNDS):
        cores = _cores(tones, bound)
        if not (cores != OUTSIDE).any():
            break
        grown = np.where(within, _grown(cores, light, levels, bound), OUTSIDE).astype(np.int32)
        if np.array_equal(grown, tones):
            break
        tones = grown
    return without_small(tones, bound)


def find_parts(tones: Tones, cells: Sequence[DrawnCell] = ()) -> Parts:
    """Number the areas of a map of tones, sides touching, dark to light; areas end at the edges of cells."""
    return _numbered(tones, cells)[0]


def _numbered(tones: Tones, cells: Sequence[DrawnCell] = ()) -> tuple[Parts, npt.NDArray[np.int32]]:
    """Number the areas, and give the box of each: left, top, width, height."""
    everywhere = DrawnCell((slice(0, None), slice(0, None)), tones != OUTSIDE)
    numbers, of_tone, of_cell = np.zeros(tones.shape, np.int32), [OUTSIDE], [OUTSIDE]
    found_stats = [np.zeros((1, 5), np.int64)]
    for place, cell in enumerate(cells or (everywhere,)):
        own = np.where(cell.mask, tones[cell.cut], OUTSIDE)
        for tone in range(int(own.max()) + 1):
            mask, cut = _cropped(own == tone)
            if not mask.size:
                continue
            count, found, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
            numbers[cell.cut][cut][found > 0] = found[found > 0] + (len(of_tone) - 1)
            of_tone += [tone] * (count - 1)
            of_cell += [place] * (count - 1)
            moved = cell.cut[1].start + cut[1].start, cell.cut[0].start + cut[0].start, 0, 0, 0
            found_stats.append(np.add(stats[1:], moved))
    order = np.argsort(of_tone, kind="stable")
    rank = np.empty(len(order), np.int32)
    rank[order] = np.arange(len(order))
    table = np.concatenate(found_stats)[order]
    of_tones, of_cells = (np.array(each, np.int32)[order] for each in (of_tone, of_cell))
    return Parts(rank[numbers], of_tones, table[:, cv2.CC_STAT_AREA], of_cells), table[:, :4].astype(np.int32)


def without_small(tones: Tones, bound: BoundPx) -> Tones:
    """Give what is too small or too narrow to a neighbour, the smallest first, until nothing is."""
    tones = tones.copy()
    while True:
        parts, boxes = _numbered(tones)
        wrong = under_bound(parts, bound)
        if not wrong.size:
            return tones
        for number in sorted(wrong.tolist(), key=lambda number: int(parts.sizes[number])):
            _give_away(tones, parts, number, boxes[number])


def _give_away(tones: Tones, parts: Parts, number: int, box: npt.NDArray[np.int32]) -> None:
    """Give an area the tone with the longest edge round it, near its own before far; with none beside, outside."""
    left, top, wide, high = (int(side) for side in box)
    cut = np.s_[max(top - 1, 0) : top + high + 1, max(left - 1, 0) : left + wide + 1]
    part, around = parts.numbers[cut] == number, tones[cut]
    rim = (cv2.dilate(part.view(np.uint8), _CROSS) > 0) & ~part
    beside = around[rim & (around != OUTSIDE)]
    counts = np.bincount(beside, minlength=1)
    worth = counts / (1 + _TONE_APART * np.abs(np.arange(len(counts)) - parts.tones[number]))
    around[part] = worth.argmax() if beside.size else OUTSIDE


def under_bound(parts: Parts, bound: BoundPx) -> npt.NDArray[np.int64]:
    """Give the numbers of areas that are too small or too narrow."""
    holds = np.zeros(len(parts.sizes), bool)
    holds[parts.numbers[deep(parts.numbers) >= bound.disc_px]] = True
    bad = ~holds | (parts.sizes < bound.least_px)
    bad[0] = False
    return np.flatnonzero(bad)


def deep(numbers: npt.NDArray[np.int32]) -> Floats:
    """Give for each pixel the radius of the largest disc round it inside its own area."""
    framed = np.pad(numbers, 1, constant_values=-1)
    rim = np.zeros(framed.shape, bool)
    for axis in (0, 1):
        differs = np.diff(framed, axis=axis) != 0
        ahead, behind = [slice(None)] * 2, [slice(None)] * 2
        ahead[axis], behind[axis] = slice(1, None), slice(None, -1)
        rim[tuple(ahead)] |= differs
        rim[tuple(behind)] |= differs
    return np.asarray(depth_inside(~rim)[1:-1, 1:-1] + 0.5, np.float32)


def _cropped(mask: Flags) -> tuple[npt.NDArray[np.uint8], tuple[slice, slice]]:
    left, top, wide, high = cv2.boundingRect(mask.view(np.uint8))
    cut = (slice(top, top + high), slice(left, left + wide))
    return np.ascontiguousarray(mask[cut]).view(np.uint8), cut


def _cores(tones: Tones, bound: BoundPx) -> Tones:
    cores = np.full(tones.shape, OUTSIDE, np.int32)
    for tone in range(int(tones.max()) + 1):
        mask, cut = _cropped(tones == tone)
        if not mask.size:
            continue
        held = near(shrunk(mask > 0, bound.disc_px), bound.disc_px) & (mask > 0)
        _, parts, stats, _ = cv2.connectedComponentsWithStats(held.view(np.uint8), connectivity=4)
        large = stats[:, cv2.CC_STAT_AREA] >= bound.least_px
        large[0] = False
        cores[cut][large[parts]] = tone
    return cores


def _grown(cores: Tones, light: Floats, levels: npt.NDArray[np.float64], bound: BoundPx) -> Tones:
    """Give each pixel between cores the tone whose core is near and whose light is like its own."""
    best, chosen = np.full(cores.shape, np.inf, np.float32), cores.copy()
    free = cores == OUTSIDE
    for tone in np.unique(cores[~free]).tolist():
        away = cv2.distanceTransform((cores != tone).view(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_5)
        cost = away / np.float32(2 * bound.disc_px) + np.abs(light - np.float32(levels[tone])) / np.float32(_PER_BUNDLE)
        better = free & (cost < best)
        best[better], chosen[better] = cost[better], tone
    return chosen
