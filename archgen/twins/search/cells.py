"""Cells of alike vectors, learned from the vectors themselves: near ones are looked for in a few cells only."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from archgen.twins.description.turns import Floats

Numbers = npt.NDArray[np.int64]

# Clusters, and cells in each: at 100,000 views choosing cells takes a third of the time, comparing in them half of it.
_MOST_CLUSTERS = 64
# Vectors that a cell is learned from; fewer do not tell where the others lie.
_PER_CELL = 14
# How much further than the nearest cluster one may be whose cells are looked at, in cosine.
_REACH = 0.3
# The same product comes out by so much otherwise in another block.
_ROUNDING = 1e-5
_ROUNDS = 8
_BLOCK = 1024


@dataclass(frozen=True, slots=True)
class Cells:
    """Centres of cells, cluster by cluster; `shares` is the part of all vectors that is in each cell."""

    clusters: Floats
    centers: tuple[Floats, ...]
    shares: npt.NDArray[np.float64]

    def homes(self, vectors: Floats) -> tuple[Numbers, Floats]:
        """Give the cell of each vector, and its cosine with the centre of it."""
        cluster, _ = _nearest(vectors, self.clusters)
        first = np.cumsum([0, *(len(centers) for centers in self.centers)])
        cell, near = np.empty(len(vectors), np.int64), np.empty(len(vectors), np.float32)
        for number, rows in enumerate(_by_cell(cluster, np.arange(len(cluster)), len(self.clusters))):
            inside, near[rows] = _nearest(vectors[rows], self.centers[number])
            cell[rows] = first[number] + inside
        return cell, near

    def visits(self, queries: Floats, share: float) -> list[Numbers]:
        """Give, for each cell, the queries to compare with what is in it.

        A query visits its own cell and those that are nearly as near, as far as on average `share` of all vectors are
        met.
        """
        _, near = self.homes(queries)
        sample = _some(len(queries), 1000)
        near -= self._margin(queries[sample], near[sample], share) + _ROUNDING
        reached = self._reached(queries)
        out: list[Numbers] = []
        for number, centers in enumerate(self.centers):
            rows = np.flatnonzero(reached[:, number])
            row, cell = np.nonzero(queries[rows] @ centers.T >= near[rows, None])
            out += _by_cell(cell, rows[row], len(centers))
        return out

    def _reached(self, queries: Floats) -> npt.NDArray[np.bool_]:
        """Tell in which clusters a query may have near cells."""
        out = np.empty((len(queries), len(self.clusters)), bool)
        for start in range(0, len(queries), _BLOCK):
            near = queries[start : start + _BLOCK] @ self.clusters.T
            out[start : start + _BLOCK] = near >= near.max(axis=1, keepdims=True) - _REACH
        return out

    def _margin(self, queries: Floats, near: Floats, share: float) -> float:
        behind = (near[:, None] - queries @ np.concatenate(self.centers).T).ravel()
        order = np.argsort(behind)
        met = np.cumsum(np.tile(self.shares, len(queries))[order]) / len(queries)
        return max(0.0, float(behind[order[min(int(np.searchsorted(met, share)), len(order) - 1)]]))

    def meetings(self, visits: list[Numbers], vectors: Floats) -> Iterator[tuple[Numbers, Numbers]]:
        """Give, in blocks, the queries and the vectors that are to be compared all with all."""
        homes, _ = self.homes(vectors)
        for queries, inside in zip(visits, _by_cell(homes, np.arange(len(homes)), len(visits)), strict=True):
            for first in range(0, len(inside), _BLOCK):
                for start in range(0, len(queries), _BLOCK):
                    yield queries[start : start + _BLOCK], inside[first : first + _BLOCK]


def _by_cell(cells: npt.NDArray[np.integer], rows: Numbers, count: int) -> list[Numbers]:
    order = np.argsort(cells, kind="stable")
    return np.split(rows[order], np.searchsorted(cells[order], np.arange(1, count)))


def learn(vectors: Floats, *, is_one: bool = False) -> Cells:
    """Find cells for unit vectors of which these are a fair sample; the same vectors give the same cells.

    With `is_one` there is one cell, in which all are compared with all.
    """
    count = 1 if is_one else min(_MOST_CLUSTERS, max(1, math.isqrt(len(vectors) // _PER_CELL)))
    clusters = _means(vectors, count)
    cluster, _ = _nearest(vectors, clusters)
    members = (vectors[cluster == number] for number in range(len(clusters)))
    centers = tuple(_means(some if len(some) else clusters[:1], count) for some in members)
    made = Cells(clusters, centers, np.zeros(0))
    counts = np.bincount(made.homes(vectors)[0], minlength=sum(map(len, centers)))
    return Cells(clusters, centers, counts / len(vectors))


def _means(vectors: Floats, count: int) -> Floats:
    """Cluster unit vectors around `count` means (k-means on the sphere)."""
    centers = vectors[_some(len(vectors), count)]
    for _ in range(_ROUNDS):
        nearest, _ = _nearest(vectors, centers)
        order = np.argsort(nearest, kind="stable")
        filled, first = np.unique(nearest[order], return_index=True)
        if not len(filled):
            break
        sums = np.add.reduceat(vectors[order], first, axis=0)
        centers = sums / np.maximum(np.linalg.norm(sums, axis=1, keepdims=True), 1e-9)
    return centers


def _nearest(vectors: Floats, centers: Floats) -> tuple[Numbers, Floats]:
    """Give the nearest centre of each vector, and the cosine."""
    which, near = np.empty(len(vectors), np.int64), np.empty(len(vectors), np.float32)
    for start in range(0, len(vectors), _BLOCK):
        block = vectors[start : start + _BLOCK] @ centers.T
        chosen = which[start : start + _BLOCK] = block.argmax(axis=1)
        near[start : start + _BLOCK] = np.take_along_axis(block, chosen[:, None], axis=1)[:, 0]
    return which, near


def _some(count: int, most: int) -> Numbers:
    """Choose rows at random, the same ones each time."""
    return np.sort(np.random.default_rng(1).permutation(count)[:most])
