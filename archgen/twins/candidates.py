"""Which pictures may belong together, from their vectors alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from archgen.twins.prepare import Kind
from archgen.twins.signature import LENGTH, WINDOWS, turned_vectors, window_vectors
from archgen.twins.turns import TURNS, Floats

# Least cosine of a whole picture, turned, with a window of the other.
LEAST_COSINE = {Kind.LINE: 0.76, Kind.PHOTO: 0.72}
BLOCK_BYTES = 64_000_000


@dataclass(frozen=True, slots=True)
class Candidate:
    """View `part`, turned by `turn`, looks like window `window` of view `whole` (numbers of rows)."""

    part: int
    whole: int
    turn: int
    window: int
    cosine: float


def candidates(coefficients: npt.NDArray[np.float32], kind: Kind) -> Iterator[list[Candidate]]:
    """Compare all views with each other; yields the candidates of one view as part at a time."""
    if not len(coefficients):
        return
    windows = window_vectors(coefficients, kind).reshape(-1, LENGTH)
    turned = turned_vectors(coefficients, kind)
    rows = max(1, BLOCK_BYTES // (4 * len(TURNS) * len(windows)))
    for start in range(0, len(coefficients), rows):
        block = turned[start : start + rows]
        cosines = (block.reshape(-1, LENGTH) @ windows.T).reshape(
            len(block), len(TURNS), len(coefficients), len(WINDOWS)
        )
        for row, one in enumerate(cosines):
            yield _of_one(one, start + row, LEAST_COSINE[kind])


def _of_one(cosines: Floats, part: int, least: float) -> list[Candidate]:
    best = cosines.max(axis=2)
    out = []
    for turn, whole in np.argwhere(best >= least):
        if whole != part:
            window = int(cosines[turn, whole].argmax())
            out.append(Candidate(part, int(whole), int(turn), window, float(best[turn, whole])))
    return out
