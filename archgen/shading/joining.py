"""Join areas until there are few enough, those first whose joining is seen least."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from archgen.shading.bounds import BoundPx
from archgen.shading.cells import DrawnCell
from archgen.shading.cleaning import Parts, Tones, find_parts, under_bound

# To join one tone across a drawn line changes no picture: in steps of lightness, next to nothing.
_LINE = 0.1


def split(tones: Tones, cells: Sequence[DrawnCell], bound: BoundPx) -> Parts:
    """Part areas along the lines they lie across, where what lies on either side can stand alone."""
    parts = find_parts(tones, cells)
    while True:
        wrong = under_bound(parts, bound)
        owner = _joined_across(parts, wrong.tolist())
        if (owner == np.arange(len(owner))).all():
            return parts
        parts = _owned(parts, owner)


def _joined_across(parts: Parts, wrong: list[int]) -> npt.NDArray[np.intp]:
    """Give each area whose it becomes: of those that are wrong, the smallest first, the one with the longest edge."""
    one, other, sides = _edges(parts.numbers)
    same = (parts.tones[one] == parts.tones[other]) & (one > 0)
    beside: dict[int, list[tuple[int, int]]] = {number: [] for number in wrong}
    for first, second, length in zip(one[same].tolist(), other[same].tolist(), sides[same].tolist(), strict=True):
        if first in beside:
            beside[first].append((length, second))
        if second in beside:
            beside[second].append((length, first))
    owner = np.arange(len(parts.sizes))
    for number in sorted(wrong, key=lambda one: int(parts.sizes[one])):
        if beside[number]:
            owner[owner == owner[number]] = owner[max(beside[number])[1]]
    return owner


def _owned(parts: Parts, owner: npt.NDArray[np.intp]) -> Parts:
    """Make what has one owner one area."""
    kept, place = np.unique(owner, return_inverse=True)
    sizes = np.bincount(place, parts.sizes, len(kept)).astype(np.int64)
    return Parts(place.astype(np.int32)[parts.numbers], parts.tones[kept], sizes, parts.cells[kept])


def capped(parts: Parts, levels: npt.NDArray[np.float64], most: int) -> Parts:
    """Join areas until there are no more than so many: those first that change the picture least for their edge."""
    graph = _Graph(parts, levels)
    while graph.count > most and graph.join_cheapest():
        pass
    return _owned(parts, graph.owner)


class _Graph:
    """Areas and their common edges, joined step by step; what is joined only grows."""

    def __init__(self, parts: Parts, levels: npt.NDArray[np.float64]):
        self.edges = common_edges(parts.numbers).astype(np.float64)
        self.edges[0], self.edges[:, 0] = 0, 0
        # Sides along which no drawn line lies.
        self.open = np.where(parts.cells[:, None] == parts.cells, self.edges, 0)
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
        change = weight * ((light[:, None] - light[None, :]) ** 2 + np.where(self.open > 0, 0, _LINE**2))
        cost = np.where(touching, change / np.maximum(self.edges, 1), np.inf)
        one, other = (int(index) for index in np.unravel_index(cost.argmin(), cost.shape))
        less, more = (one, other) if self.sizes[one] < self.sizes[other] else (other, one)
        self._join(less, more)
        for same in np.flatnonzero((self.open[more] > 0) & (self.tones == self.tones[more])).tolist():
            self._join(same, more)
        return True

    def _join(self, less: int, more: int) -> None:
        for sides in (self.edges, self.open):
            sides[more] += sides[less]
            sides[:, more] += sides[:, less]
            sides[less], sides[:, less], sides[more, more] = 0, 0, 0
        self.sizes[more] += self.sizes[less]
        self.owner[self.owner == less] = more
        self.count -= 1


def common_edges(numbers: npt.NDArray[np.int32]) -> npt.NDArray[np.int64]:
    """Count the pixels' sides that each two areas have in common."""
    count = int(numbers.max()) + 1
    one, other, sides = _edges(numbers)
    table = np.zeros((count, count), np.int64)
    table[one, other] = sides
    return table + table.T


def _edges(numbers: npt.NDArray[np.int32]) -> tuple[npt.NDArray[np.int64], ...]:
    """Give each two areas that touch, the lower number first, and how many sides of pixels they have in common."""
    count = int(numbers.max()) + 1
    met = []
    for one, other in ((numbers[:, 1:], numbers[:, :-1]), (numbers[1:], numbers[:-1])):
        differs = one != other
        ones, others = one[differs].astype(np.int64), other[differs].astype(np.int64)
        met.append(np.minimum(ones, others) * count + np.maximum(ones, others))
    pairs, sides = np.unique(np.concatenate(met), return_counts=True)
    return pairs // count, pairs % count, sides
