"""Large heaps of the same picture: found without comparing all with all, and told at a glance.

A phone that was copied three times, a folder of ten thousand empty shots: what grows with the square of a heap is
never done.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import cv2
import numpy as np
import numpy.typing as npt

from archgen.twins.description.prepared import Prepared
from archgen.twins.description.signature import COEFFICIENTS, SIDE
from archgen.twins.description.turns import Floats
from archgen.twins.model import ComparedPicture

# Pictures of one heap up to which all are compared with all.
LARGE_HEAP = 24
# Least cosine of two members of a heap. Another encoding or size keeps 0.99.
HEAP_COSINE = 0.98
# Largest coefficients that name a heap.
NAMED_BY = 4


def find_clusters(items: Sequence[ComparedPicture]) -> dict[int, int]:
    """Find large heaps; gives the leader, the first, of each other member.

    Members share the places and signs of their largest coefficients, and whether they are stencils. A heap whose
    members differ in that falls into several, and their leaders are compared.
    """
    some = [index for index, item in enumerate(items) if item.prepared.views]
    if len(some) <= LARGE_HEAP:
        return {}
    rows = np.concatenate([items[index].prepared.views[0].coefficients for index in some])
    vectors = rows.reshape(-1, COEFFICIENTS, COEFFICIENTS)[:, :SIDE, :SIDE].reshape(len(some), -1)
    out = {}
    uses = np.array([-1 if (use := items[index].is_stencil) is None else use for index in some])
    for members in _of_one_name(3 * _names(vectors) + uses):
        near = vectors[members] @ vectors[members[0]]
        lengths = np.linalg.norm(vectors[members], axis=1)
        like = members[near >= HEAP_COSINE * lengths * lengths[0]].tolist()
        if len(like) > LARGE_HEAP:
            out.update({some[row]: some[members[0]] for row in like if row != members[0]})
    return out


def _names(vectors: Floats) -> npt.NDArray[np.int64]:
    places = np.sort(np.argpartition(-np.abs(vectors), NAMED_BY, axis=1)[:, :NAMED_BY], axis=1)
    signs = np.take_along_axis(vectors, places, axis=1) > 0
    numbers: npt.NDArray[np.int64] = (places * 2 + signs) @ (2 * vectors.shape[1]) ** np.arange(NAMED_BY)
    return numbers


def _of_one_name(names: npt.NDArray[np.int64]) -> list[npt.NDArray[np.int64]]:
    order = np.argsort(names, kind="stable")
    ends = np.append(np.flatnonzero(np.diff(names[order])) + 1, len(order))
    starts = np.append(0, ends[:-1])
    large = ends - starts > LARGE_HEAP
    return [order[start:end] for start, end in zip(starts[large], ends[large], strict=True)]


# --- members of a heap ----------------------------------------------------------------------------------------

# From which correlation two pictures plainly lie on each other as they are, what may be left of the contrast in the
# worst of 12 x 12 cells, and how far a corner may still want to move and the edge of the content lie off, in parts of a
# side. Half of what tells a burst from a copy; whatever is further apart is aligned.
LEAST_CORRELATION, MOST_LEFT, MOST_MOVED, MOST_OFF = 0.99, 0.35, 0.0015, 0.012
_SIDE, _CELL = 96, 8


def lie_on_each_other(leader: Prepared, other: Prepared) -> bool:
    """Tell at a glance that two pictures agree everywhere without being moved; `False` says nothing."""
    if float(np.abs(np.subtract(leader.views[0].box, other.views[0].box)).max()) > MOST_OFF:
        return False
    first, second = _centred(leader).ravel(), _centred(other).ravel()
    contrast = max(float(first @ first), 1e-6)
    gain = float(first @ second) / contrast
    left = second - np.float32(gain) * first
    if gain <= 0 or float(left @ left) > (1 - LEAST_CORRELATION**2) * max(float(second @ second), 1e-6):
        return False
    cells = cv2.resize((left * left).reshape(_SIDE, _SIDE), (_SIDE // _CELL,) * 2, interpolation=cv2.INTER_AREA)
    if float(cells.max()) > MOST_LEFT**2 * gain**2 * contrast / first.size:
        return False
    # What is left is explained as well as can be by a move of the corners: one step of least squares.
    slopes, solved = _slopes(leader)
    move = np.abs(solved @ (slopes @ left)).reshape(2, 3) / gain
    return float((move @ [1.0, 0.5, 0.5]).max()) < MOST_MOVED * _SIDE


@lru_cache(maxsize=64)
def _centred(prepared: Prepared) -> Floats:
    small = cv2.resize(prepared.gray, (_SIDE, _SIDE), interpolation=cv2.INTER_AREA).astype(np.float32)
    return np.asarray(small - small.mean(), np.float32)


@lru_cache(maxsize=64)
def _slopes(prepared: Prepared) -> tuple[Floats, npt.NDArray[np.float64]]:
    """Give what each pixel gains by a move: across and down, each also by the place; and the inverse of its square."""
    down, across = np.gradient(_centred(prepared))
    at = ((np.arange(_SIDE) + 0.5) / _SIDE - 0.5).astype(np.float32)
    x, y = at[None, :], at[:, None]
    slopes = np.stack([across, across * x, across * y, down, down * x, down * y]).reshape(6, -1)
    square = (slopes @ slopes.T).astype(np.float64)
    square[np.diag_indices(6)] += 1e-4 * np.trace(square)
    return slopes, np.linalg.inv(square)
