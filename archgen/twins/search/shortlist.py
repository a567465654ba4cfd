"""The best candidates found so far, each kept as one number: tens of millions fit, and sorting them is quick."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from archgen.twins.description.turns import Floats
from archgen.values.frozen import Value

Flags = npt.NDArray[np.bool_]
Numbers = npt.NDArray[np.int64]
_Packed = npt.NDArray[np.uint64]

# The best that one view may look for, as a part and as a whole: a folder of ten thousand bursts must not become their
# square, and a plain circle fits in everything.
MOST_PER_PART, MOST_PER_WHOLE = 48, 192
# Turns of a pair that are kept; a mandala fits in all eight.
MOST_TURNS = 3
# Candidates that wait to be sorted in.
_MOST_WAITING = 4_000_000

# 64 together; two million views are the most. `unlike` counts steps of cosine down from 1 to one half.
_BITS = {"part": 21, "whole": 21, "turn": 3, "unlike": 13, "window": 6}
_STEPS = np.float32(2 * (2 ** _BITS["unlike"] - 1))
# The fields in the orders by which they are sorted.
_BY_TURN = ("part", "whole", "turn", "unlike", "window")
_BY_PAIR = ("part", "whole", "unlike", "turn", "window")
_BY_PART = ("part", "unlike", "whole", "turn", "window")
_BY_WHOLE = ("whole", "unlike", "part", "turn", "window")


class Candidates(Value, frozen=True):
    """Columns of equal length: view `part`, turned by `turn`, looks like window `window` of view `whole`."""

    part: Numbers
    whole: Numbers
    turn: Numbers
    window: Numbers
    cosine: Floats


class Shortlist:
    """Keeps the best window of each turn of a pair, and of those the best few of each part.

    `least` is the cosine from which a candidate of each part still counts; it rises as better ones are found.
    """

    def __init__(self, views: int, least: float) -> None:
        self.least: Floats = np.full(views, least, np.float32)
        self._kept: _Packed = np.zeros(0, np.uint64)
        self._waiting: list[_Packed] = []
        self._count = 0

    def add(self, found: Candidates) -> None:
        """Add candidates; a view isn't a candidate of itself."""
        other = found.part != found.whole
        fields = {name: getattr(found, name)[other].astype(np.uint64) for name in ("part", "whole", "turn", "window")}
        unlike = np.rint((1 - np.clip(found.cosine[other], 0.5, 1)) * _STEPS)
        self._waiting.append(_packed(fields | {"unlike": unlike.astype(np.uint64)}, _BY_TURN))
        self._count += len(unlike)
        if self._count > _MOST_WAITING:
            self._settle()

    def _settle(self) -> None:
        rows = np.sort(np.concatenate([self._kept, *self._waiting]))
        self._waiting, self._count = [], 0
        rows = rows[_rank(rows, _BY_TURN, 3) < 1]
        rows = _sorted_again(rows, _BY_TURN, _BY_PAIR)
        rows = rows[_rank(rows, _BY_PAIR, 2) < MOST_TURNS]
        rows = _sorted_again(rows, _BY_PAIR, _BY_PART)
        rank = _rank(rows, _BY_PART, 1)
        last = _fields(rows[rank == MOST_PER_PART - 1], _BY_PART)
        self.least[last["part"]] = 1 - last["unlike"] / _STEPS
        self._kept = _packed(_fields(rows[rank < MOST_PER_PART], _BY_PART), _BY_TURN)

    def best(self) -> Candidates:
        """Give what is left, part by part, the best first."""
        self._settle()
        rows = _sorted_again(self._kept, _BY_TURN, _BY_WHOLE)
        rows = _sorted_again(rows[_rank(rows, _BY_WHOLE, 1) < MOST_PER_WHOLE], _BY_WHOLE, _BY_PART)
        fields = _fields(rows, _BY_PART)
        part, whole, turn, window = (fields[name].astype(np.int64) for name in ("part", "whole", "turn", "window"))
        return Candidates(part, whole, turn, window, 1 - fields["unlike"].astype(np.float32) / _STEPS)


def _packed(fields: Mapping[str, _Packed], order: tuple[str, ...]) -> _Packed:
    out = fields[order[0]]
    for name in order[1:]:
        out = out << np.uint64(_BITS[name]) | fields[name]
    return out


def _fields(rows: _Packed, order: tuple[str, ...]) -> dict[str, _Packed]:
    out = {}
    for name in reversed(order):
        out[name] = rows & np.uint64(2 ** _BITS[name] - 1)
        rows = rows >> np.uint64(_BITS[name])
    return out


def _sorted_again(rows: _Packed, old: tuple[str, ...], new: tuple[str, ...]) -> _Packed:
    return np.sort(_packed(_fields(rows, old), new))


def _rank(rows: _Packed, order: tuple[str, ...], depth: int) -> Numbers:
    """Number the sorted rows that agree in their first `depth` fields: 0, 1, 2 ..."""
    keys = rows >> np.uint64(sum(_BITS[name] for name in order[depth:]))
    first = np.flatnonzero(np.append(True, keys[1:] != keys[:-1])[: len(keys)])
    at: Numbers = np.arange(len(keys)) - np.repeat(first, np.diff(np.append(first, len(keys))))
    return at
