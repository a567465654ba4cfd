"""How finely a file shows a stencil, and so which widths can be told from it; knows pixels and mm, no lines."""

import math

import numpy as np
from numpy.typing import NDArray

from archgen.values.frozen import Value

Gray = NDArray[np.uint8]

# Measured on 60 and 80 drawn lines of 0.12 to 0.6 mm at any angle, 75 to 400 dots per inch: in grays every line of
# 1.35 dots and more was seen and measured within 0.02 mm, in ink and paper every one of 2 dots and more, within a dot.
_SEEN_DOTS, _SEEN_STEPPED_DOTS = 1.35, 2.0
# A limit of three dots of ink and paper is no limit: lines of two and a half are drawn as three.
_JUDGED_DOTS, _JUDGED_STEPPED_DOTS = 2.5, 3.5
# Along rings and slanted lines of one width, smoothed as links do it: nine in ten lie so near their middle.
_KNOWN_DOTS, _KNOWN_STEPPED_DOTS = 0.1, 0.5
# Of the pixels along the edges of a drawing with soft edges, half and more are grays between these.
_BETWEEN = (48, 208)
_FEW_BETWEEN = 0.15
# A picture enlarged more often than that is no drawing any more; of fewer edges along a side nothing can be said.
_LARGEST_BLOCK, _LEAST_EDGES = 16, 40


class FileDots(Value, frozen=True):
    """The dots of a file at a printed width: `mm` is the side of one.

    `stepped` says that they are ink or paper and no gray between, so that edges are known to a dot only.
    """

    mm: float
    stepped: bool

    @property
    def per_inch(self) -> float:
        """Give the dots per inch."""
        return 25.4 / self.mm

    @property
    def seen_from_mm(self) -> float:
        """Give the width below which a line or gap may be missed altogether."""
        return self.mm * (_SEEN_STEPPED_DOTS if self.stepped else _SEEN_DOTS)

    def judges(self, limit_mm: float) -> bool:
        """Say whether lines or gaps can be judged against a limit."""
        return limit_mm >= self.mm * _judged_dots(stepped=self.stepped) - 1e-9


def widest_judged_mm(limit_mm: float, dots_across: float, *, stepped: bool) -> float:
    """Give the printed width up to which so many dots across still tell what is below a limit."""
    return limit_mm / _judged_dots(stepped=stepped) * dots_across


def known_dots(*, stepped: bool) -> float:
    """Give to how many dots a width along a line is known."""
    return _KNOWN_STEPPED_DOTS if stepped else _KNOWN_DOTS


def _judged_dots(*, stepped: bool) -> float:
    return _JUDGED_STEPPED_DOTS if stepped else _JUDGED_DOTS


def block_px(gray: Gray) -> int:
    """Give the side in pixels of the blocks a picture is made of: above 1 it was enlarged without smoothing."""
    sides = []
    for axis in (0, 1):
        changes = np.flatnonzero((np.diff(gray.view(np.int8), axis=axis) != 0).any(axis=1 - axis)) + 1
        sides.append(int(np.gcd.reduce(changes)) if changes.size >= _LEAST_EDGES else 1)
    side = math.gcd(*sides)
    return side if 1 < side <= _LARGEST_BLOCK and not any(length % side for length in gray.shape) else 1


def is_stepped(gray: Gray) -> bool:
    """Say whether edges have no grays, as when a drawing was cut to black and white at some time."""
    ink = gray < 128
    edges = sum(int(np.count_nonzero(np.diff(ink, axis=axis))) for axis in (0, 1))
    between = int(np.count_nonzero((gray > _BETWEEN[0]) & (gray < _BETWEEN[1])))
    return between < _FEW_BETWEEN * edges
