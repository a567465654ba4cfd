"""Which pictures may belong together, from their vectors alone.

Each turn of each view is multiplied with each window of every other. Where that would take minutes, the windows are
sorted into cells, and only those of the nearest cells are multiplied.
"""

from __future__ import annotations

import numpy as np

from archgen.twins.description.signature import (
    LEAST_NORM,
    LENGTH,
    SIDE,
    WINDOWS,
    PictureKind,
    spread_over_turns,
    spread_over_windows,
    turned_vectors,
    window_vectors,
)
from archgen.twins.description.turns import TURNS, Floats
from archgen.twins.search.cells import learn
from archgen.twins.search.shortlist import Candidates, Flags, Numbers, Shortlist
from archgen.values.frozen import Value

# Least cosine of a whole picture, turned, with a window of the other. Of parts and slanted copies of drawings three in
# a hundred lie between 0.70 and 0.76 (tests/bench/bench_twins.py); no wrong pair came with them.
LEAST_COSINE = {PictureKind.LINE: 0.70, PictureKind.PHOTO: 0.68}
# Products that are computed at most, apart from those that choose the cells: 300 million take a second of one core, so
# two thousand views are compared all with all. Above that a vector meets this share of the others, and what is left of
# the products is spread over all. Of the pairs that belong together cells lose two in a thousand among 17,000 pictures,
# one in a hundred among 100,000, of parts of drawings eight (tests/bench/bench_twins_scale.py).
MOST_PRODUCTS, LEAST_SHARE = 2_000_000_000, 0.001
# Fresh views up to which each is compared with all others by one product, rather than all of them by their windows.
FEW = 8
# Vectors that cells are learned from, views whose windows are held at once, vectors multiplied at once.
_SAMPLE, _SLAB, _BLOCK = 60_000, 16_384, 1024


class Views(Value, frozen=True):
    """Views of one kind in columns: coefficients (n, 14, 14) and the norms of their windows (n, windows)."""

    coefficients: Floats
    norms: Floats


def candidates(views: Views, kind: PictureKind, fresh: Flags | None = None) -> Candidates:
    """Find the candidates among views of one kind; with `fresh`, only those that have a fresh view on one side.

    Of several windows that fit in one turn the best one counts.
    """
    every = np.arange(len(views.coefficients))
    chosen, others = (every, every[:0]) if fresh is None else (np.flatnonzero(fresh), np.flatnonzero(~fresh))
    found = Shortlist(len(every), LEAST_COSINE[kind])
    if len(chosen) <= FEW:
        for view in chosen.tolist():
            _compare_one(views, kind, view, found)
    else:
        _compare(views.coefficients, kind, (chosen, every), found)
        _compare(views.coefficients, kind, (others, chosen), found)
    return found.best()


def _compare_one(views: Views, kind: PictureKind, view: int, found: Shortlist) -> None:
    """Compare one view as a part with all, and all as parts with it."""
    one = views.coefficients[view : view + 1]
    as_part = spread_over_windows(turned_vectors(one, kind)[0], kind).reshape(len(TURNS) * len(WINDOWS), -1)
    as_whole = spread_over_turns(window_vectors(one, kind)[0], kind).reshape(len(TURNS) * len(WINDOWS), -1)
    for start in range(0, len(views.coefficients), _BLOCK):
        block = views.coefficients[start : start + _BLOCK]
        norms = np.maximum(views.norms[start : start + _BLOCK], LEAST_NORM)
        least = found.least[start : start + _BLOCK, None]
        products = block.reshape(len(block), -1) @ as_part.T
        other, turn, window, cosines = _reaching(products, norms, found.least[view])
        found.add(Candidates(np.full(len(other), view), other + start, turn, window, cosines))
        products = block[:, :SIDE, :SIDE].reshape(len(block), -1) @ as_whole.T
        other, turn, window, cosines = _reaching(products, np.repeat(norms[:, :1], len(WINDOWS), axis=1), least)
        found.add(Candidates(other + start, np.full(len(other), view), turn, window, cosines))


def _reaching(products: Floats, norms: Floats, least: Floats) -> tuple[Numbers, Numbers, Numbers, Floats]:
    """Find the products (n, turns x windows) that over their norms (n, windows) reach a least cosine."""
    shape = (len(products), len(TURNS), len(WINDOWS))
    hits = np.flatnonzero(products.reshape(shape) >= (norms * least)[:, None])
    other, turn, window = np.unravel_index(hits, shape)
    return other, turn, window, products.ravel()[hits] / norms[other, window]


def _compare(coefficients: Floats, kind: PictureKind, sides: tuple[Numbers, Numbers], found: Shortlist) -> None:
    """Compare views as parts with views as wholes: all with all, or those that meet in a cell."""
    parts, wholes = sides
    if not len(parts) or not len(wholes):
        return
    share = LEAST_SHARE + MOST_PRODUCTS / (len(parts) * len(TURNS) * len(wholes) * len(WINDOWS))
    cells = learn(_sample(coefficients[wholes], kind), is_one=share >= 1)
    turned = turned_vectors(coefficients[parts], kind).reshape(-1, LENGTH)
    visits = cells.visits(turned, share)
    for start in range(0, len(wholes), _SLAB):
        slab = wholes[start : start + _SLAB]
        windows = window_vectors(coefficients[slab], kind).reshape(-1, LENGTH)
        for query, code in cells.meetings(visits, windows):
            part = parts[query // len(TURNS)]
            cosines = turned[query] @ windows[code].T
            row, column = np.divmod(np.flatnonzero(cosines >= found.least[part, None]), len(code))
            hit, window = np.divmod(code[column], len(WINDOWS))
            found.add(Candidates(part[row], slab[hit], query[row] % len(TURNS), window, cosines[row, column]))


def _sample(coefficients: Floats, kind: PictureKind) -> Floats:
    """Give some windows of some views, the same ones each time."""
    rng = np.random.default_rng(1)
    some = rng.permutation(len(coefficients))[: _SAMPLE // 5]
    windows = window_vectors(coefficients[some], kind).reshape(-1, LENGTH)
    return windows[rng.permutation(len(windows))[:_SAMPLE]]
