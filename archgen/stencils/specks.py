"""Find specks that lie far beside a drawing: a width that is recorded runs to them, so the drawing prints smaller."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

# Of the width, the least gap to the drawing and the most that a speck is wide; and the most of all the ink it has.
_GAP, _WIDE, _INK = 0.04, 1 / 250, 0.001


class Speck(NamedTuple):
    """The outermost speck: its place in pixels, and what share of the width lies between specks and drawing."""

    left: int
    top: int
    share: float

    @property
    def sentence(self) -> str:
        """Tell of it."""
        return (
            f"A speck lies far from the drawing, {self.left} pixels from the left of the picture and {self.top} from "
            f"the top. The width counts up to it, so the drawing prints {self.share:.0%} smaller than without it."
        )


REMEDY = "Erase it if it's dust, and the drawing alone has the width you recorded; nothing to do if it's meant."


def find_speck(ink: NDArray[np.bool_]) -> Speck | None:
    """Look left and right of a drawing; None where nothing lies there."""
    columns = np.flatnonzero(ink.any(axis=0))
    if not columns.size:
        return None
    wide = int(columns[-1] - columns[0] + 1)
    runs = np.split(columns, np.flatnonzero(np.diff(columns) > _GAP * wide) + 1)
    weights = [int(np.count_nonzero(ink[:, run[0] : run[-1] + 1])) for run in runs] if len(runs) > 1 else [1]
    small = [
        len(run) <= wide * _WIDE + 1 and weight <= _INK * sum(weights)
        for run, weight in zip(runs, weights, strict=True)
    ]
    if all(small) or not (small[0] or small[-1]):
        return None
    kept = runs[small.index(False)][0], runs[len(small) - 1 - small[::-1].index(False)][-1]
    left = int(runs[0 if small[0] else -1][0])
    return Speck(left, int(np.flatnonzero(ink[:, left])[0]), 1 - int(kept[1] - kept[0] + 1) / wide)
