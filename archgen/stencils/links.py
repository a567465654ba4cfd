"""Link the measured points that follow each other on one line, and group what is linked; knows pixels only."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from archgen.stencils.ridges import Floats, Ints, Ridge

# A point of the same line lies hardly beside it, and its line runs the same way.
_BESIDE_PX = 1.0
_SAME_WAY_COS = 0.85
# Widths are sorted by later on. Their last digits differ between processors and libraries; to a four thousandth of a
# pixel what is equal is equal everywhere.
_GRAIN_PER_PX = 4096
_AT_A_TIME = 16384


@dataclass(frozen=True, slots=True)
class Links:
    """Which of so many points follow each other on a line: each pair once."""

    one: Ints
    two: Ints
    count: int

    def sums(self, values: Floats) -> NDArray[np.float64]:
        """Add up the values of the points that each point is linked with."""
        forth, back = ((self.one, values[self.two]), (self.two, values[self.one]))
        return np.asarray(np.bincount(*forth, self.count) + np.bincount(*back, self.count), np.float64)

    def among(self, chosen: NDArray[np.bool_]) -> "Links":
        """Keep the links between chosen points, which are numbered anew."""
        number = np.cumsum(chosen) - 1
        kept = chosen[self.one] & chosen[self.two]
        return Links(number[self.one[kept]], number[self.two[kept]], int(np.count_nonzero(chosen)))

    def groups(self) -> list[Ints]:
        """Give the points that are linked with each other, directly or by others, in the order of the first of each."""
        first = np.arange(self.count)
        one, two = self.one, self.two
        while len(one):
            # Each group has one point that stands for it; where two are linked, the later one gives way.
            first[np.maximum(one, two)] = np.minimum(one, two)
            while not np.array_equal(shorter := first[first], first):
                first = shorter
            apart = first[self.one] != first[self.two]
            one, two = first[self.one[apart]], first[self.two[apart]]
        order = np.argsort(first, kind="stable")
        return np.split(order, np.flatnonzero(np.diff(first[order])) + 1)


def follow(ridge: Ridge, radius_px: float) -> Links:
    """Link points that follow each other on one line; points of a line beside it stay strangers."""
    one, two = _near(ridge.x, ridge.y, radius_px)
    dx, dy = ridge.x[two] - ridge.x[one], ridge.y[two] - ridge.y[one]
    across = np.abs(dx * ridge.normal[one, 0] + dy * ridge.normal[one, 1])
    turn = np.abs((ridge.normal[one] * ridge.normal[two]).sum(axis=1))
    same = (across < _BESIDE_PX) & (turn > _SAME_WAY_COS)
    return Links(one[same], two[same], len(ridge.x))


def _near(x: Floats, y: Floats, radius: float) -> tuple[Ints, Ints]:
    """Pair all points within the radius: sorted into squares of that side, each meets those after it."""
    across, down = (x / radius).astype(np.int64) + 1, (y / radius).astype(np.int64)
    wide = int(across.max(initial=0)) + 2
    square = down * wide + across
    order = np.argsort(square, kind="stable")
    x, y, square = x[order].astype(np.float64), y[order].astype(np.float64), square[order]
    found = []
    for part in np.array_split(np.arange(len(x)), len(x) // _AT_A_TIME + 1):
        here = square[part]
        # What follows in the same square and the next, then three squares of the row below.
        for start, last in ((part + 1, here + 1), (np.searchsorted(square, here + wide - 1), here + wide + 1)):
            count = np.searchsorted(square, last, side="right") - start
            one = np.repeat(part, count)
            two = np.arange(len(one)) + np.repeat(start - np.cumsum(count) + count, count)
            near = (x[two] - x[one]) ** 2 + (y[two] - y[one]) ** 2 <= radius * radius
            found.append(np.sort(np.stack([order[one[near]], order[two[near]]]), axis=0))
    one, two = np.concatenate(found, axis=1)
    return one, two


def smoothed(ridge: Ridge, links: Links) -> Ridge:
    """Average each width with those of its neighbours on the line, and round it off."""
    total = links.sums(ridge.width) + ridge.width
    weight = links.sums(np.ones_like(ridge.width)) + 1
    width = np.round(total / weight * _GRAIN_PER_PX) / _GRAIN_PER_PX
    return replace(ridge, width=width.astype(np.float32))
