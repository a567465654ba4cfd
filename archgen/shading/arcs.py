"""The edges between areas as smooth curves that both neighbours share; knows numbers in an array and pixels.

Cracks between pixels are traced once, from junction to junction, and smoothed along themselves with their ends fixed.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

Points = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.int32]
# Right, down, left, up: a crack runs from a corner of a pixel to the next, so many columns and rows on.
_STEPS = ((1, 0), (0, 1), (-1, 0), (0, -1))
_REACH = 3.0


@dataclass(frozen=True, slots=True)
class Arc:
    """A curve between two areas, their numbers to its left and right as seen going along it; 0 is outside."""

    points: Points
    left: int
    right: int


def trace(numbers: Numbers, sigma_px: float, off_px: float) -> tuple[Arc, ...]:
    """Trace all edges of a map of areas, smoothed, with no more points than it takes to be off by so little."""
    framed = np.pad(numbers, 1)
    arcs = []
    for chain, is_ring in _chains(framed):
        raw = _raw(chain, framed)
        eased = _smooth_ring(raw.points, sigma_px) if is_ring else _smooth(raw.points, sigma_px)
        arcs.append(Arc(_thinned(eased, off_px) - 1, raw.left, raw.right))
    return tuple(arcs)


def loops_of(arcs: tuple[Arc, ...]) -> dict[int, tuple[Points, ...]]:
    """Join the curves round each area into closed ones; the area lies to their left."""
    sides: dict[int, list[Points]] = defaultdict(list)
    for arc in arcs:
        if arc.left:
            sides[arc.left].append(arc.points)
        if arc.right:
            sides[arc.right].append(arc.points[::-1])
    return {number: tuple(_joined(parts)) for number, parts in sorted(sides.items())}


def _chains(framed: Numbers) -> Iterator[tuple[list[int], bool]]:
    """Give each chain of corners between junctions, then rings without any; a corner is row x width + column."""
    width = framed.shape[1] + 1
    offsets = [column + row * width for column, row in _STEPS]
    ways = _ways(framed)
    degree = ways.sum(axis=0)
    free = bytearray(ways.T.astype(np.uint8).tobytes())
    is_junction = (degree > 2).tobytes()
    for start in np.flatnonzero(degree > 2).tolist():
        for way in range(4):
            if free[4 * start + way]:
                yield _walk(start, way, free, is_junction, offsets), False
    for start in np.flatnonzero(degree == 2).tolist():
        if (way := free.find(1, 4 * start, 4 * start + 4)) >= 0:
            yield _walk(start, way - 4 * start, free, is_junction, offsets), True


def _walk(start: int, way: int, free: bytearray, is_junction: bytes, offsets: list[int]) -> list[int]:
    chain, at = [start], start
    while True:
        free[4 * at + way] = 0
        at += offsets[way]
        free[4 * at + (way ^ 2)] = 0
        chain.append(at)
        if at == start or is_junction[at]:
            return chain
        way = free.find(1, 4 * at) - 4 * at


def _ways(framed: Numbers) -> npt.NDArray[np.bool_]:
    """Say for each corner in which of the four directions a crack leaves it."""
    rows, columns = framed.shape
    ways = np.zeros((4, rows + 1, columns + 1), bool)
    across = framed[1:] != framed[:-1]
    down = framed[:, 1:] != framed[:, :-1]
    ways[0, 1:-1, :-1] = ways[2, 1:-1, 1:] = across
    ways[1, :-1, 1:-1] = ways[3, 1:, 1:-1] = down
    return ways.reshape(4, -1)


def _raw(chain: list[int], framed: Numbers) -> Arc:
    width = framed.shape[1] + 1
    corners = np.array(chain)
    points = np.column_stack([corners % width, corners // width]).astype(np.float64)
    column, row = (int(part) for part in points[0])
    across, down = (int(part) for part in points[1] - points[0])
    # The pixels to the left and right of the first crack, y pointing down.
    left, right = {
        (1, 0): ((row - 1, column), (row, column)),
        (-1, 0): ((row, column - 1), (row - 1, column - 1)),
        (0, 1): ((row, column), (row, column - 1)),
        (0, -1): ((row - 1, column - 1), (row - 1, column)),
    }[across, down]
    return Arc(points, int(framed[left]), int(framed[right]))


def _smooth(points: Points, sigma: float) -> Points:
    """Blur along an open chain, reflected through its ends, which stay."""
    reach = min(_reach(sigma), len(points) - 1)
    before = 2 * points[0] - points[reach:0:-1]
    after = 2 * points[-1] - points[-2 : -reach - 2 : -1]
    eased = _blurred(np.concatenate([before, points, after]), sigma, reach)
    eased[0], eased[-1] = points[0], points[-1]
    return eased


def _smooth_ring(points: Points, sigma: float) -> Points:
    """Blur round a ring, whose last point is its first."""
    ring = points[:-1]
    reach = min(_reach(sigma), len(ring) // 2)
    eased = _blurred(np.concatenate([ring[-reach:], ring, ring[:reach]]), sigma, reach)
    return np.concatenate([eased, eased[:1]])


def _reach(sigma: float) -> int:
    return max(int(_REACH * sigma + 0.5), 1)


def _blurred(long: Points, sigma: float, reach: int) -> Points:
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    kernel /= kernel.sum()
    return np.column_stack([np.convolve(long[:, axis], kernel, "valid") for axis in (0, 1)])


def _thinned(points: Points, off_px: float) -> Points:
    """Leave out points along straight stretches (Douglas and Peucker, 1973); a closed curve keeps two far apart."""
    if (points[0] == points[-1]).all() and len(points) > 3:
        far = int(np.hypot(*(points - points[0]).T).argmax())
        return np.concatenate([_thinned_open(points[: far + 1], off_px)[:-1], _thinned_open(points[far:], off_px)])
    return _thinned_open(points, off_px)


def _thinned_open(points: Points, off_px: float) -> Points:
    if len(points) < 3:
        return points
    fewer = cv2.approxPolyDP(points.astype(np.float32)[:, None, :], off_px, closed=False)
    kept = np.asarray(fewer[:, 0, :], np.float64)
    kept[0], kept[-1] = points[0], points[-1]
    return kept


def _joined(parts: list[Points]) -> Iterator[Points]:
    """Chain curves end to start; where several go on, any will do: together they enclose the same."""
    starts: dict[tuple[float, float], list[int]] = defaultdict(list)
    for index, part in enumerate(parts):
        starts[tuple(part[0])].append(index)
    while starts:
        first = index = min(min(open_) for open_ in starts.values())
        loop: list[Points] = []
        while True:
            part = parts[index]
            starts[tuple(part[0])].remove(index)
            if not starts[tuple(part[0])]:
                del starts[tuple(part[0])]
            loop.append(part[:-1])
            if (part[-1] == parts[first][0]).all():
                break
            index = starts[tuple(part[-1])][0]
        yield np.concatenate([*loop, loop[0][:1]])
