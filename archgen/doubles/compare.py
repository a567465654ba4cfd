"""Compare pictures, with one of many copies standing for the others: a thousand copies make a thousand pairs."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from archgen.twins.engine import Known, find_pairs
from archgen.twins.model import Item, Pair, Relation
from archgen.twins.relation import name_pair
from archgen.twins.turns import IDENTITY, Floats

# Copies of one picture up to which each is compared with each.
FEW = 8
# Cosine of the coarse descriptions of two copies, and gray levels by which they may differ anywhere, a little blurred
# (JPEG of quality 40 stays under it, a leaf more or less does not).
_COPY_COSINE = 0.9995
_COPY_LEVELS = 12
_LEADERS_TRIED = 3
_AT_ONCE = 512


def compare(
    items: Iterable[Item], known: Known | None = None, progress: Callable[[int, int], None] | None = None
) -> list[Pair]:
    """Find the pairs among pictures, in the order of their keys.

    Of more than a few copies of one picture the first stands for all: the others are paired with it, and only it is
    paired with further pictures.
    """
    ordered = sorted(items, key=lambda one: one.key)
    many = {leader: copies for leader, copies in _copies(ordered).items() if len(copies) >= FEW}
    represented = {copy for copies in many.values() for copy in copies}
    found = find_pairs([one for n, one in enumerate(ordered) if n not in represented], known, progress)
    for leader, copies in many.items():
        found += [_copy_pair(ordered[leader], ordered[copy]) for copy in copies]
    return sorted(found, key=lambda pair: (pair.a, pair.b))


def _copy_pair(first: Item, second: Item) -> Pair:
    if first.prepared.digest == second.prepared.digest:
        return Pair(first.key, second.key, Relation.IDENTICAL, False, 0, (1.0, 0.0, 0.0, 0.0, 1.0, 0.0), 1.0)
    return name_pair(first, second, IDENTITY, first.prepared.views[0].kind, 1.0)


def _copies(items: Sequence[Item]) -> dict[int, list[int]]:
    """Give the copies of each picture that has any, by numbers; what has no views is a copy of nothing."""
    by_digest: dict[str, list[int]] = defaultdict(list)
    for number, one in enumerate(items):
        if one.prepared.views:
            by_digest[one.prepared.digest].append(number)
    copies: dict[int, list[int]] = {}
    first = [numbers[0] for numbers in by_digest.values()]
    for number, leader in zip(first, _leaders(items, first), strict=True):
        same = by_digest[items[number].prepared.digest]
        copies.setdefault(leader, []).extend(same if number != leader else same[1:])
    return {leader: sorted(found) for leader, found in copies.items() if found}


def _leaders(items: Sequence[Item], numbers: Sequence[int]) -> list[int]:
    """Give for each picture the earlier one that it is a copy of, else itself."""
    vectors = _vectors(items, numbers)
    led: list[int] = []
    leading: list[int] = []  # places in numbers
    for start in range(0, len(numbers), _AT_ONCE):
        block = vectors[start : start + _AT_ONCE]
        before = block @ vectors[leading].T
        within = block @ block.T
        known = len(leading)
        for row in range(len(block)):
            cosines = np.r_[before[row], [within[row, place - start] for place in leading[known:]]]
            near = np.flatnonzero(cosines > _COPY_COSINE)
            near = near[np.argsort(-cosines[near], kind="stable")][:_LEADERS_TRIED]
            one = items[numbers[start + row]]
            leader = next((p for p in near if _is_copy(items[numbers[leading[p]]], one)), None)
            if leader is None:
                leading.append(start + row)
                led.append(numbers[start + row])
            else:
                led.append(numbers[leading[leader]])
    return led


def _vectors(items: Sequence[Item], numbers: Sequence[int]) -> Floats:
    out = np.zeros((len(numbers), 64), np.float32)
    for row, number in enumerate(numbers):
        flat = items[number].prepared.views[0].coefficients[:8, :8].ravel()
        out[row] = flat / max(float(np.linalg.norm(flat)), 1e-9)
    return out


def _is_copy(first: Item, second: Item) -> bool:
    """Tell the same pixels up to encoding and size."""
    maps: list[npt.NDArray[np.uint8]] = [first.prepared.gray, second.prepared.gray]
    if maps[0].shape != maps[1].shape or first.prepared.views[0].kind != second.prepared.views[0].kind:
        return False
    apart = ndimage.uniform_filter(maps[0].astype(np.float32) - maps[1], 3)
    return bool(np.abs(apart).max() <= _COPY_LEVELS) and _copy_pair(first, second).relation is Relation.IDENTICAL
