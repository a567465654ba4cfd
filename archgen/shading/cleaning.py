"""Make tones into areas that a bundle can shade: each holds its disc, none is smaller than the bound."""

import math
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from archgen.images.filters import Flags, Floats
from archgen.shading.outline import near, shrunk

Tones = npt.NDArray[np.int32]
OUTSIDE = -1
# Curves drawn later along the edges of areas took up to 2 % off the smallest; the disc gives way by less than a pixel.
_SPARE_AREA, _SPARE_PX = 1.06, 0.75
_ROUNDS = 4
# A pixel between cores goes to the nearest, unless another tone is so much nearer to its own light: this many steps of
# lightness weigh as much as one width of the bundle.
_PER_BUNDLE = 3.0
# A tone apart counts half as much as a common edge.
_TONE_APART = 0.5
_CROSS = np.array(((0, 1, 0), (1, 1, 1), (0, 1, 0)), np.uint8)


@dataclass(frozen=True, slots=True)
class Bound:
    """What the bundle can shade, a geometric bound: a disc of its width, and the least area."""

    bundle_mm: float

    @property
    def least_mm2(self) -> float:
        """Give the area of a disc of two bundles' width."""
        return math.pi * self.bundle_mm**2

    def in_px(self, px_per_mm: float) -> "BoundPx":
        """Give the bound in pixels, with what later smoothing of the edges takes."""
        return BoundPx(self.bundle_mm * px_per_mm / 2 + _SPARE_PX, self.least_mm2 * px_per_mm**2 * _SPARE_AREA)


@dataclass(frozen=True, slots=True)
class BoundPx:
    """A bound in pixels."""

    disc_px: float
    least_px: float


@dataclass(frozen=True, slots=True)
class Parts:
    """Areas of one tone each: each pixel's number, 0 outside; by number tone, size, box (left, top, width, height)."""

    numbers: npt.NDArray[np.int32]
    tones: Tones
    sizes: npt.NDArray[np.int64]
    boxes: npt.NDArray[np.int32]


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


def find_parts(tones: Tones) -> Parts:
    """Number the areas of a map of tones, sides touching, dark to light."""
    numbers, of_tone, found_stats = np.zeros(tones.shape, np.int32), [OUTSIDE], [np.zeros((1, 5), np.int32)]
    for tone in range(int(tones.max()) + 1):
        mask, cut = _cropped(tones == tone)
        if not mask.size:
            continue
        count, found, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
        numbers[cut][found > 0] = found[found > 0] + (len(of_tone) - 1)
        of_tone += [tone] * (count - 1)
        found_stats.append(np.add(stats[1:], (cut[1].start, cut[0].start, 0, 0, 0)).astype(np.int32))
    table = np.concatenate(found_stats)
    return Parts(numbers, np.array(of_tone, np.int32), table[:, cv2.CC_STAT_AREA].astype(np.int64), table[:, :4])


def without_small(tones: Tones, bound: BoundPx) -> Tones:
    """Give what is too small or too narrow to a neighbour, the smallest first, until nothing is."""
    tones = tones.copy()
    while True:
        parts = find_parts(tones)
        wrong = _wrong(parts, bound)
        if not wrong.size:
            return tones
        for number in sorted(wrong.tolist(), key=lambda number: int(parts.sizes[number])):
            _give_away(tones, parts, number)


def _give_away(tones: Tones, parts: Parts, number: int) -> None:
    """Give an area the tone with the longest edge round it, near its own before far; with none beside, outside."""
    left, top, wide, high = (int(side) for side in parts.boxes[number])
    cut = np.s_[max(top - 1, 0) : top + high + 1, max(left - 1, 0) : left + wide + 1]
    part, around = parts.numbers[cut] == number, tones[cut]
    rim = (cv2.dilate(part.view(np.uint8), _CROSS) > 0) & ~part
    beside = around[rim & (around != OUTSIDE)]
    counts = np.bincount(beside, minlength=1)
    worth = counts / (1 + _TONE_APART * np.abs(np.arange(len(counts)) - parts.tones[number]))
    around[part] = worth.argmax() if beside.size else OUTSIDE


def capped(tones: Tones, levels: npt.NDArray[np.float64], most: int) -> Tones:
    """Join areas until there are no more than so many: those first that change the picture least for their edge."""
    parts = find_parts(tones)
    graph = _Graph(parts, levels)
    while graph.count > most and graph.join_cheapest():
        pass
    return np.asarray(graph.tones[graph.owner[parts.numbers]], np.int32)


class _Graph:
    """Areas and their common edges, joined step by step; what is joined only grows."""

    def __init__(self, parts: Parts, levels: npt.NDArray[np.float64]):
        self.edges = common_edges(parts.numbers).astype(np.float64)
        self.edges[0], self.edges[:, 0] = 0, 0
        self.tones, self.sizes, self.levels = parts.tones.copy(), parts.sizes.astype(np.float64), levels
        self.owner = np.arange(len(parts.sizes))
        self.count = len(parts.sizes) - 1

    def join_cheapest(self) -> bool:
        """Join the two areas that cost least; False where none touch."""
        light = self.levels[self.tones]
        weight = self.sizes[:, None] * self.sizes[None, :] / np.maximum(self.sizes[:, None] + self.sizes[None, :], 1)
        touching = self.edges > 0
        if not touching.any():
            return False
        change = weight * (light[:, None] - light[None, :]) ** 2
        cost = np.where(touching, change / np.maximum(self.edges, 1), np.inf)
        one, other = (int(index) for index in np.unravel_index(cost.argmin(), cost.shape))
        less, more = (one, other) if self.sizes[one] < self.sizes[other] else (other, one)
        self._join(less, more)
        for same in np.flatnonzero((self.edges[more] > 0) & (self.tones == self.tones[more])).tolist():
            self._join(same, more)
        return True

    def _join(self, less: int, more: int) -> None:
        self.edges[more] += self.edges[less]
        self.edges[:, more] += self.edges[:, less]
        self.edges[less], self.edges[:, less], self.edges[more, more] = 0, 0, 0
        self.sizes[more] += self.sizes[less]
        self.owner[self.owner == less] = more
        self.count -= 1


def common_edges(numbers: npt.NDArray[np.int32]) -> npt.NDArray[np.int64]:
    """Count the pixels' sides that each two areas have in common."""
    count = int(numbers.max()) + 1
    sides = [(numbers[:, 1:], numbers[:, :-1]), (numbers[1:], numbers[:-1])]
    met = sum(
        np.bincount(one[one != other].astype(np.int64) * count + other[one != other], minlength=count * count)
        for one, other in sides
    )
    table = np.asarray(met).reshape(count, count)
    return np.asarray(table + table.T)


def _wrong(parts: Parts, bound: BoundPx) -> npt.NDArray[np.int64]:
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
    depth = cv2.distanceTransform((~rim).view(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    return np.asarray(depth[1:-1, 1:-1] + 0.5, np.float32)


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
