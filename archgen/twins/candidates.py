"""Which pictures may belong together, from their vectors alone.

Up to some thousand views every turn of every view is multiplied with every window of every other. Beyond that, an index
gives each vector a cell, and only vectors of one cell are compared.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from archgen.twins.prepare import Kind
from archgen.twins.signature import LENGTH, SIDE, WINDOWS, turned_vectors, window_vectors
from archgen.twins.turns import TURNS, Floats

Flags = npt.NDArray[np.bool_]
Numbers = npt.NDArray[np.int64]

# Least cosine of a whole picture, turned, with a window of the other.
LEAST_COSINE = {Kind.LINE: 0.76, Kind.PHOTO: 0.72}
# Views up to which all are compared with all; at this number it takes as long as the index.
MOST_COMPARED = 6000
# The best that one view may look for; a folder of ten thousand bursts must not become their square.
MOST_PER_VIEW = 48
_BLOCK_BYTES = 64_000_000


@dataclass(frozen=True, slots=True)
class Candidates:
    """Columns of equal length: view `part`, turned by `turn`, looks like window `window` of view `whole`."""

    part: Numbers
    whole: Numbers
    turn: Numbers
    window: Numbers
    cosine: Floats


def candidates(coefficients: Floats, kind: Kind, fresh: Flags | None = None) -> Candidates:
    """Find the candidates among views; with `fresh`, only those that have a fresh view on one side.

    Of several windows that fit in one turn the best one counts.
    """
    count = len(coefficients)
    fresh = np.ones(count, bool) if fresh is None else fresh
    if count <= MOST_COMPARED or fresh.sum() * 20 < count:
        found = list(_compared(coefficients, kind, fresh))
    else:
        found = list(_indexed(coefficients, kind))
    columns = [np.concatenate(column) for column in zip(*found, strict=True)] if found else [np.zeros(0, np.int64)] * 5
    return _best(Candidates(*columns), fresh)


_Found = tuple[Numbers, Numbers, Numbers, Numbers, Floats]


def _best(all_found: Candidates, fresh: Flags) -> Candidates:
    """Keep the best window of each turn of a pair, and of those the best few of each part."""
    one = all_found
    useful = np.flatnonzero((one.part != one.whole) & (fresh[one.part] | fresh[one.whole]))
    order = useful[
        np.lexsort((one.window[useful], -one.cosine[useful], one.turn[useful], one.whole[useful], one.part[useful]))
    ]
    key = np.stack([one.part[order], one.whole[order], one.turn[order]])
    order = order[np.flatnonzero(np.r_[True, (key[:, 1:] != key[:, :-1]).any(axis=0)])] if len(order) else order
    order = order[np.lexsort((one.whole[order], -one.cosine[order], one.part[order]))]
    rank = np.arange(len(order)) - np.searchsorted(one.part[order], one.part[order])
    order = order[rank < MOST_PER_VIEW]
    return Candidates(one.part[order], one.whole[order], one.turn[order], one.window[order], one.cosine[order])


# --- all with all ---------------------------------------------------------------------------------------------


def _compared(coefficients: Floats, kind: Kind, fresh: Flags) -> Iterator[_Found]:
    """Compare fresh views as parts with all, and all views as parts with the fresh ones."""
    everything, chosen = np.arange(len(coefficients)), np.flatnonzero(fresh)
    yield from _products(coefficients, kind, chosen, everything)
    if len(chosen) < len(everything):
        yield from _products(coefficients, kind, np.flatnonzero(~fresh), chosen)


def _products(coefficients: Floats, kind: Kind, parts: Numbers, wholes: Numbers) -> Iterator[_Found]:
    rows = max(1, _BLOCK_BYTES // (4 * len(WINDOWS) * LENGTH))
    for start in range(0, len(wholes), rows):
        block = wholes[start : start + rows]
        windows = window_vectors(coefficients[block], kind).reshape(-1, LENGTH)
        step = max(1, _BLOCK_BYTES // (4 * len(TURNS) * len(windows)))
        for first in range(0, len(parts), step):
            some = parts[first : first + step]
            turned = turned_vectors(coefficients[some], kind).reshape(-1, LENGTH)
            cosines = (turned @ windows.T).reshape(len(some), len(TURNS), len(block), len(WINDOWS))
            part, turn, whole = np.nonzero(cosines.max(axis=3) >= LEAST_COSINE[kind])
            window = cosines[part, turn, whole].argmax(axis=1)
            yield some[part], block[whole], turn, window, cosines[part, turn, whole, window]


# --- the index ------------------------------------------------------------------------------------------------

# A cell is named by the signs of this many of the lowest coefficients; two tables with other coefficients make up for
# signs that are noise, and so does a look into the cells beyond the weakest signs.
_TABLES = (
    (1, 8, 9, 2, 16, 10, 17, 3, 24, 18, 11, 25, 4, 32),
    (1, 8, 9, 10, 17, 18, 3, 24, 19, 26, 12, 33, 5, 40),
)
_WEAK_SIGNS = 3
# Differing signs of 63 above which the cosine is not worth its time.
_MOST_SIGNS = 20
_PAIRS_AT_ONCE = 4_000_000


@dataclass(frozen=True, slots=True)
class _Index:
    """All windows of all views: their vectors in 127ths, their signs, and who is in which cell."""

    vectors: npt.NDArray[np.int8]
    signs: npt.NDArray[np.uint64]
    order: Numbers
    edges: Numbers


def _indexed(coefficients: Floats, kind: Kind) -> Iterator[_Found]:
    """Compare each turn of each view with the windows in its own cells."""
    count = len(coefficients)
    blocks = [np.arange(start, min(start + _BLOCK, count)) for start in range(0, count, _BLOCK)]
    vectors = np.empty((count, len(WINDOWS), LENGTH), np.int8)
    signs = np.empty((count, len(WINDOWS)), np.uint64)
    cells = np.empty((len(_TABLES), count, len(WINDOWS)), np.uint16)
    for block in blocks:
        exact = window_vectors(coefficients[block], kind)
        signs[block] = _signs(exact)
        vectors[block] = np.rint(exact * _SCALE)
        for number, table in enumerate(_TABLES):
            cells[number, block] = _cells(exact[..., table])
    for number, table in enumerate(_TABLES):
        flat = cells[number].ravel()
        order = np.argsort(flat, kind="stable")
        edges = np.searchsorted(flat[order], np.arange(2 ** len(table) + 1))
        index = _Index(vectors.reshape(-1, LENGTH), signs.ravel(), order, edges)
        for block in blocks:
            yield from _looked_up(turned_vectors(coefficients[block], kind), int(block[0]), table, index, kind)


def _looked_up(turned: Floats, first: int, table: tuple[int, ...], index: _Index, kind: Kind) -> Iterator[_Found]:
    queries = turned.reshape(-1, LENGTH)
    own = _signs(queries)
    for probe in _probes(queries[:, table]):
        starts, lengths = index.edges[probe], index.edges[probe + 1] - index.edges[probe]
        for some in _portions(lengths):
            query = np.repeat(some, lengths[some])
            begin = np.cumsum(lengths[some]) - lengths[some]
            code = index.order[starts[query] + np.arange(len(query)) - np.repeat(begin, lengths[some])]
            near = np.bitwise_count(own[query] ^ index.signs[code]) <= _MOST_SIGNS
            query, code = query[near], code[near]
            cosine = _cosines(queries, query, index.vectors, code)
            good = cosine >= LEAST_COSINE[kind]
            query, code = query[good], code[good]
            part, whole = first + query // len(TURNS), code // len(WINDOWS)
            yield part, whole, query % len(TURNS), code % len(WINDOWS), cosine[good]


_BLOCK = 2048
_SCALE = 127


def _cosines(queries: Floats, query: Numbers, vectors: npt.NDArray[np.int8], code: Numbers) -> Floats:
    out = np.empty(len(query), np.float32)
    for start in range(0, len(query), 100_000):
        some = slice(start, start + 100_000)
        out[some] = np.einsum("ij,ij->i", queries[query[some]], vectors[code[some]].astype(np.float32)) / _SCALE
    return out


def _portions(lengths: Numbers) -> Iterator[Numbers]:
    """Split the queries so that no portion makes too many comparisons at once."""
    portion = np.cumsum(lengths) // _PAIRS_AT_ONCE
    for number in np.unique(portion):
        yield np.flatnonzero(portion == number)


def _cells(values: Floats) -> npt.NDArray[np.uint16]:
    weights = 1 << np.arange(values.shape[-1])
    return ((values > 0) @ weights).astype(np.uint16)


def _probes(values: Floats) -> Iterator[Numbers]:
    """Give the cells of vectors: their own and those beyond each set of their weakest signs."""
    own = _cells(values).astype(np.int64)
    weak = np.argsort(np.abs(values), axis=1)[:, :_WEAK_SIGNS]
    for chosen in range(2**_WEAK_SIGNS):
        flip = sum(((chosen >> bit & 1) << weak[:, bit] for bit in range(_WEAK_SIGNS)), np.zeros(len(own), np.int64))
        yield own ^ flip


def _signs(vectors: Floats) -> npt.NDArray[np.uint64]:
    packed = np.packbits(vectors > 0, axis=-1)
    return packed.view(np.uint64)[..., 0]


assert LENGTH == SIDE * SIDE == 64  # noqa: S101 - the signs of one vector fill one word
