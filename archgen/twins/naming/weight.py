"""Tell whether two aligned drawings are drawn with lines of another weight, or cut at another level of gray.

A soft, pale, dark or contrasted copy changes the ink of a line as well. Each measure goes wrong on other copies, and
only what all of them say counts: ink as it is (a blurred copy has as much); ink against the blackest of each picture (a
pale copy has as much); ink where the other shows paper beside a line, and the share of bare paper (other tones leave
paper bare).
"""

from __future__ import annotations

import cv2
import numpy as np

from archgen.twins.description.content import ink_of
from archgen.twins.description.prepared import Prepared
from archgen.twins.description.turns import Floats
from archgen.twins.naming.alignment import Alignment, brought_upright, is_one_size, laid, scale_of
from archgen.values.frozen import Value

# Shift of the outline, in parts of the picture, from which lines were drawn with another weight (measured: copies up
# to 0.0002, a pixel more or less in 900 from 0.0009); in small pictures, in their own pixels, and in those of another
# size, whose filter adds ink of its own.
OTHER_WEIGHT, IN_PIXELS, IN_PIXELS_OF_SIZE = 0.0004, 0.12, 0.3
# The least shift on paper beside the lines, and of bare paper; and what part of the whole shift they are: what is
# darker all over bares little, and what is sharper bares much.
ON_PAPER, BARED = 0.00005, 0.00015
LEAST_ON_PAPER, LEAST_BARED, MOST_BARED = 0.025, 0.12, 4.0
# What was photographed or moved is less certain by this factor.
UNSURE = 3.0
# Share of the blackest ink up to which a pixel is paper, the grain of paper, which would add up to a line's worth, and
# the ink that a line has at least in the pixel beside.
PAPER, GRAIN, LINE = 0.05, 0.06, 0.15
# Grain left by a scanner is the same everywhere: it is measured this far from all lines.
FAR, LEAST_FAR, FAINT = 7, 40, 0.12
# Half-tones of a picture cut to pure black and white, and of one that is not; the shift and the gray levels from which
# a cut shows; and the paper of both.
NO_TONES, TONES, CUT_SHIFT, LIGHT_OF_CUT, WHITE = 0.001, 0.0125, 0.00016, 2.2, 235


class Weight(Value, frozen=True):
    """The line weight of `b` over that of `a`, and the shift of the outline in which the measures agree."""

    ratio: float
    shift: float
    is_other: bool


def weigh(a: Prepared, b: Prepared, alignment: Alignment, *, is_sure: bool) -> Weight | None:
    """Compare the lines of two drawings; `None` when there is no ink to compare."""
    if min(a.ink_level, b.ink_level) <= 0:
        return None
    one, two, inside = laid(ink_of(a), brought_upright(ink_of(b), alignment.turn), alignment.upright)
    if inside is not None:
        worn = cv2.erode(inside, _around(3), borderType=cv2.BORDER_CONSTANT, borderValue=0)
        inside = np.asarray(worn, np.float32)
        if not inside.any():
            return None
        one, two = one * inside, two * inside
    measured = [_Ink(ink, prepared.ink_level) for ink, prepared in ((one, a), (two, b))]
    side = max(one.shape)
    plain, black = (_compared(measured, against_black, side) for against_black in (False, True))
    shift, ratio = _least(plain[0], black[0]), 1 + _least(plain[1] - 1, black[1] - 1)
    # Over the whole of two pictures of one size, bare paper takes the place of the blackest ink.
    is_whole = inside is None and is_one_size(a, b, alignment.turn)
    told, doubt = plain[0] if is_whole else shift, 1.0 if is_sure else UNSURE
    if abs(told) <= doubt * _least_shift(a, b, alignment):
        return Weight(ratio, shift, False)
    outline = sum(ink.amounts(True)[1] for ink in measured) / 2 * side
    way = 1 if told > 0 else -1
    bared = way * (a.bare - b.bare) * one.size / outline
    if is_whole and not max(BARED, LEAST_BARED * abs(told)) < bared < MOST_BARED * abs(told):
        return Weight(ratio, shift, False)
    on_paper = way * _on_paper(one / np.float32(a.ink_level), two / np.float32(b.ink_level), inside) / outline
    is_other = on_paper > doubt * max(ON_PAPER, LEAST_ON_PAPER * abs(told))
    return Weight(ratio if shift else plain[1], shift, bool(is_other))


class _Ink:
    """How much ink there is above the grain of the paper, and how long its outline is."""

    def __init__(self, ink: Floats, level: float) -> None:
        self.level = level
        kept = np.subtract(ink, np.float32(GRAIN * level))
        np.maximum(kept, 0, out=kept)
        self.amount, self.outline = max(cv2.sumElems(kept)[0], 1e-6), max(_outline(kept), 1e-6)

    def amounts(self, against_black: bool) -> tuple[float, float]:
        """Give both, as they are or against the blackest ink."""
        level = self.level if against_black else 1.0
        return self.amount / level, self.outline / level


def _compared(inks: list[_Ink], against_black: bool, side: int) -> tuple[float, float]:
    """Give the shift of the outline, in parts of the picture, and the ratio of the ink."""
    first, second = (ink.amounts(against_black) for ink in inks)
    return 2 * (second[0] - first[0]) / (first[1] + second[1]) / side, second[0] / first[0]


def _least_shift(a: Prepared, b: Prepared, alignment: Alignment) -> float:
    sides = max(a.width, a.height), max(b.width, b.height)
    is_resized = not ONE_SCALE < scale_of(a, b, alignment) < 1 / ONE_SCALE
    return max(OTHER_WEIGHT, (IN_PIXELS_OF_SIZE if is_resized else IN_PIXELS) / min(sides))


ONE_SCALE = 0.95


def is_cut(a: Prepared, b: Prepared, shift: float, light: float) -> bool:
    """Tell two copies of one size of which one was cut to black and white, and looks another for it."""
    tones = sorted((a.halftones, b.halftones))
    if tones[0] > NO_TONES or tones[1] < TONES:
        return False
    if min(np.percentile(one.gray, 75) for one in (a, b)) < WHITE:
        return False
    return abs(shift) > CUT_SHIFT or light > LIGHT_OF_CUT


def _least(first: float, second: float) -> float:
    """Give the lesser of two that agree in sign, or 0."""
    if first * second <= 0:
        return 0.0
    return min(first, second, key=abs)


def _outline(ink: Floats) -> float:
    """Sum up the slopes: the length of the outline times the ink."""
    across = cv2.norm(ink[:, 2:], ink[:, :-2], cv2.NORM_L1)
    down = cv2.norm(ink[2:], ink[:-2], cv2.NORM_L1)
    # Added instead of squared, the two are longer than the way across a slanted line, by 4 / pi on the average.
    return float(across + down) / 2 * np.pi / 4


def _on_paper(one: Floats, two: Floats, inside: Floats | None) -> float:
    """Sum up the ink of the second on paper beside the lines of the first, less that of the first beside the second."""
    papers = [(ink <= PAPER) & (cv2.dilate(ink, _around(3)) > LINE) for ink in (one, two)]
    far = cv2.dilate(cv2.max(one, two), _around(FAR)) < FAINT
    if inside is not None:
        known = inside > 0
        papers, far = [paper & known for paper in papers], far & known
    count = np.count_nonzero(far)
    grain = [float(cv2.mean(ink, far.view(np.uint8))[0]) if count > LEAST_FAR else 0.0 for ink in (one, two)]
    on_first = float(two[papers[0]].sum()) - grain[1] * np.count_nonzero(papers[0])
    on_second = float(one[papers[1]].sum()) - grain[0] * np.count_nonzero(papers[1])
    return on_first - on_second


def _around(size: int) -> cv2.typing.MatLike:
    return np.ones((size, size), np.uint8)
