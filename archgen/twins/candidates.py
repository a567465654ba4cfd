"""Which pictures may belong together, from their vectors alone.

Up to some thousand views every turn of every view is multiplied with every window of every other. Beyond that, an index
gives each vector a cell, and only vectors of one cell are compared.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from archgen.twins.signature import (
    LEAST_NORM,
    LENGTH,
    MAIN_WINDOWS,
    WINDOWS,
    Kind,
    spread_over_windows,
    turned_vectors,
    window_vectors,
)
from archgen.twins.turns import TURNS, Floats

Flags = npt.NDArray[np.bool_]
Numbers = npt.NDArray[np.int64]

# Least cosine of a whole picture, turned, with a window of the other.
LEAST_COSINE = {Kind.LINE: 0.76, Kind.PHOTO: 0.72}
# Views up to which all are compared with all; at this number it takes as long as the index.
MOST_COMPARED = 4000
# The best that one view may look for; a folder of ten thousand bursts must not become their square.
MOST_PER_VIEW = 48
_BLOCK_BYTES = 64_000_000


@dataclass(frozen=True, slots=True)
class Views:
    """Views of one kind in columns: coefficients (n, 14, 14) and the norms of their windows (n, windows)."""

    coefficients: Floats
    norms: Floats


@dataclass(frozen=True, slots=True)
class Candidates:
    """Columns of equal length: view `part`, turned by `turn`, looks like window `window` of view `whole`."""

    part: Numbers
    whole: Numbers
    turn: Numbers
    window: Numbers
    cosine: Floats


def candidates(views: Views, kind: Kind, fresh: Flags | None = None) -> Candidates:
    """Find the candidates among views of one kind; with `fresh`, only those that have a fresh view on one side.

    Of several windows that fit in one turn the best one counts.
    """
    count = len(views.coefficients)
    fresh = np.ones(count, bool) if fresh is None else fresh
    if fresh.sum() * FEW < count:
        found = list(_with_few(views, kind, fresh))
    elif count <= MOST_COMPARED:
        found = list(_products(views.coefficients, kind, np.arange(count), np.arange(count)))
    else:
        found = list(_indexed(views.coefficients, kind))
    columns = [np.concatenate(column) for column in zip(*found, strict=True)] if found else [np.zeros(0, np.int64)] * 5
    return _best(Candidates(*columns), fresh)


# Fresh views are compared with all others directly when they are one in so many.
FEW = 20


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


def _with_few(views: Views, kind: Kind, fresh: Flags) -> Iterator[_Found]:
    """Compare fresh views as parts with all, and all views as parts with the fresh ones."""
    chosen, others = np.flatnonzero(fresh), np.flatnonzero(~fresh)
    flat = views.coefficients.reshape(len(fresh), -1)
    norms = np.maximum(views.norms, LEAST_NORM)[:, None]
    for part in chosen.tolist():
        queries = spread_over_windows(turned_vectors(views.coefficients[part : part + 1], kind)[0], kind)
        products = (flat @ queries.reshape(-1, flat.shape[1]).T).reshape(len(flat), len(TURNS), len(WINDOWS))
        products /= norms
        whole, turn, window = np.nonzero(products >= LEAST_COSINE[kind])
        yield np.full(len(whole), part), whole, turn, window, products[whole, turn, window]
    yield from _products(views.coefficients, kind, others, chosen)


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

# A cell is named by the signs of this many of the lowest coefficients; three tables with other coefficients make up for
# signs that are noise, and so does a look into the cells beyond the weakest signs.
_TABLES = (
    (1, 8, 9, 2, 16, 10, 17, 3, 24, 18, 11, 25, 4, 32),
    (1, 8, 9, 10, 17, 18, 3, 24, 19, 26, 12, 33, 5, 40),
    (2, 16, 9, 18, 11, 25, 20, 34, 4, 32, 27, 13, 41, 36),
)
_WEAK_SIGNS = 3
# Differing signs of 63 above which the cosine is not worth its time.
_MOST_SIGNS = 19
_BLOCK = 2048
_SCALE = 127
_AT_ONCE = 4_000_000


@dataclass(frozen=True, slots=True)
class _Side:
    """Unit vectors, in 127ths, and their signs."""

    vectors: npt.NDArray[np.int8]
    signs: npt.NDArray[np.uint64]


def _indexed(coefficients: Floats, kind: Kind) -> Iterator[_Found]:
    """Compare each turn of each view with the windows in its own cells."""
    count, width = len(coefficients), len(MAIN_WINDOWS)
    windows, turned = _side(count * width), _side(count * len(TURNS))
    homes = np.empty((len(_TABLES), count * width), np.uint16)
    visits = np.empty((len(_TABLES), count * len(TURNS), 2**_WEAK_SIGNS), np.uint16)
    for start in range(0, count, _BLOCK):
        block = coefficients[start : start + _BLOCK]
        exact = window_vectors(block, kind, MAIN_WINDOWS).reshape(-1, LENGTH)
        _put(windows, start * width, exact)
        for number, table in enumerate(_TABLES):
            homes[number, start * width :][: len(exact)] = _cells(exact[:, table])
        exact = turned_vectors(block, kind).reshape(-1, LENGTH)
        _put(turned, start * len(TURNS), exact)
        for number, table in enumerate(_TABLES):
            visits[number, start * len(TURNS) :][: len(exact)] = _probes(exact[:, table])
    main = np.array(MAIN_WINDOWS)
    for home, visit in zip(homes, visits, strict=True):
        for met in _met(turned, windows, visit, home):
            cosine = _cosines(turned.vectors, met[0], windows.vectors, met[1])
            good = cosine >= LEAST_COSINE[kind]
            query, code = met[0][good], met[1][good]
            yield query // len(TURNS), code // width, query % len(TURNS), main[code % width], cosine[good]


def _side(count: int) -> _Side:
    return _Side(np.empty((count, LENGTH), np.int8), np.empty(count, np.uint64))


def _put(side: _Side, start: int, exact: Floats) -> None:
    side.vectors[start : start + len(exact)] = np.rint(exact * _SCALE)
    side.signs[start : start + len(exact)] = np.packbits(exact > 0, axis=-1).view(np.uint64)[:, 0]


def _met(
    turned: _Side, windows: _Side, visits: npt.NDArray[np.uint16], homes: npt.NDArray[np.uint16]
) -> Iterator[tuple[Numbers, Numbers]]:
    """Give the queries and codes that share a cell and most of their signs."""
    queries, first_query = _by_cell(visits.ravel())
    codes, first_code = _by_cell(homes)
    found: list[tuple[Numbers, Numbers]] = []
    held = 0
    for cell in range(len(first_code) - 1):
        code = codes[first_code[cell] : first_code[cell + 1]]
        visitors = queries[first_query[cell] : first_query[cell + 1]] // visits.shape[1]
        step = max(1, _AT_ONCE // max(len(code), 1))
        for start in range(0, len(visitors) if len(code) else 0, step):
            query = visitors[start : start + step]
            unlike = np.bitwise_count(turned.signs[query][:, None] ^ windows.signs[code])
            row, column = np.divmod(np.flatnonzero(unlike <= _MOST_SIGNS), len(code))
            found.append((query[row], code[column]))
            held += len(row)
        if held > _AT_ONCE:
            yield _joined(found)
            found, held = [], 0
    if found:
        yield _joined(found)


def _joined(found: list[tuple[Numbers, Numbers]]) -> tuple[Numbers, Numbers]:
    return np.concatenate([query for query, _ in found]), np.concatenate([code for _, code in found])


def _by_cell(cells: npt.NDArray[np.uint16]) -> tuple[Numbers, Numbers]:
    """Sort by cell; gives the order, and where each cell begins."""
    order = np.argsort(cells, kind="stable")
    return order, np.searchsorted(cells[order], np.arange(2 ** len(_TABLES[0]) + 1))


def _cosines(one: npt.NDArray[np.int8], first: Numbers, two: npt.NDArray[np.int8], second: Numbers) -> Floats:
    out = np.empty(len(first), np.float32)
    for start in range(0, len(first), _BLOCK * 8):
        some = slice(start, start + _BLOCK * 8)
        left, right = one[first[some]].astype(np.float32), two[second[some]].astype(np.float32)
        out[some] = np.einsum("ij,ij->i", left, right) / np.float32(_SCALE**2)
    return out


def _cells(values: Floats) -> npt.NDArray[np.uint16]:
    weights = 1 << np.arange(values.shape[-1])
    return ((values > 0) @ weights).astype(np.uint16)


def _probes(values: Floats) -> npt.NDArray[np.uint16]:
    """Give the cells of vectors: their own and those beyond each set of their weakest signs (n, 8)."""
    weak = 1 << np.argsort(np.abs(values), axis=1)[:, :_WEAK_SIGNS]
    sets = np.arange(2**_WEAK_SIGNS)[:, None] >> np.arange(_WEAK_SIGNS) & 1
    return (_cells(values)[:, None] ^ (weak @ sets.T)).astype(np.uint16)
