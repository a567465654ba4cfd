"""Find specks that lie far from a drawing: a width that is recorded runs to them, so the drawing prints smaller."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from archgen.languages.house import say_count, to_say

Flags = NDArray[np.bool_]
Box = tuple[int, int, int, int]

# Of the width, the least gap to the drawing and the most that a speck measures; the most of all the ink they have.
_GAP, _WIDE, _INK = 0.04, 1 / 250, 0.02
# So many dots are dotwork.
_MOST = 60
# Specks are looked for on a copy with a side of so many pixels.
_SEARCH_PX = 2400


class Specks(NamedTuple):
    """What lies far from a drawing, in pixels of the picture.

    Attributes:
        boxes: Left, top, right, bottom of each, from left to right.
        share: How much smaller they make the drawing that is printed at a width, 0 to 1.
        taller: How much of the height is theirs, 0 to 1.
    """

    boxes: tuple[Box, ...]
    share: float
    taller: float

    @property
    def sentence(self) -> str:
        """Tell of them."""
        number, (left, top, _, _) = len(self.boxes), self.boxes[0]
        said = say_count(
            "A speck lies far from the drawing, {left} pixels from the left of the picture and {top} from the top.",
            "{number} specks lie far from the drawing, the first {left} pixels from the left of the picture and {top} "
            "from the top.",
            number,
            left=left,
            top=top,
        )
        if self.share < _NAMED:
            counts = say_count("The height counts up to it.", "The height counts up to them.", number)
        else:
            counts = say_count(
                "The width counts up to it, so the drawing prints {share:.0%} smaller than without it.",
                "The width counts up to them, so the drawing prints {share:.0%} smaller than without them.",
                number,
                share=self.share,
            )
        return f"{said} {counts}"


# A share that is worth a word.
_NAMED = 0.005
REMEDY = to_say(
    "If it's dust, print without it (archgen reprint with --without-specks) or erase it in the file, and the drawing "
    "alone has the width you recorded; nothing to do if it's meant."
)


def find_specks(ink: Flags) -> Specks | None:
    """Look round a drawing; None where nothing lies outside it. Specks inside are given with those."""
    step = -(-max(ink.shape) // _SEARCH_PX)
    small = _reduced(ink, step)
    if not _ends_in_a_speck(small):
        return None
    boxes = [tuple(int(side) * step for side in box) for box in _far_boxes(small)]
    if not boxes:
        return None
    kept = ink.copy()
    for left, top, right, bottom in boxes:
        kept[top:bottom, left:right] = False
    share, taller = (1 - _extent(kept, axis) / _extent(ink, axis) for axis in (0, 1))
    return Specks(tuple(boxes), share, taller)


def _extent(ink: Flags, axis: int) -> int:
    places = np.flatnonzero(ink.any(axis=axis))
    return int(places[-1] - places[0]) + 1


def _reduced(ink: Flags, step: int) -> Flags:
    """Give one pixel for so many of each side, ink where any of them is."""
    if step == 1:
        return ink
    padded = np.pad(ink, [(0, -side % step) for side in ink.shape])
    high, wide = (side // step for side in padded.shape)
    return np.asarray(padded.reshape(high, step, wide, step).any(axis=(1, 3)))


def _ends_in_a_speck(ink: Flags) -> bool:
    """Say whether on one of the four sides the outermost ink is a small spot; else nothing lies outside the drawing."""
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    if not len(rows):
        return False
    most = int((columns[-1] - columns[0] + 1) * _WIDE) + 1
    ends = [(row, int(np.argmax(ink[row]))) for row in (rows[0], rows[-1])]
    ends += [(int(np.argmax(ink[:, column])), column) for column in (columns[0], columns[-1])]
    return any(_is_small(ink, row, column, most) for row, column in ends)


def _is_small(ink: Flags, row: int, column: int, most: int) -> bool:
    """Say whether the spot of a pixel measures at most so many pixels each way."""
    top, left = max(row - most, 0), max(column - most, 0)
    around = ink[top : row + most + 1, left : column + most + 1]
    spot = np.zeros_like(around)
    spot[row - top, column - left] = True
    while True:
        rows, columns = np.flatnonzero(spot.any(axis=1)), np.flatnonzero(spot.any(axis=0))
        if max(rows[-1] - rows[0], columns[-1] - columns[0]) >= most:
            return False
        grown = spot.copy()
        for axis in (0, 1):  # first along one way, then along the other: corners touch too
            edge = np.moveaxis(grown.copy(), axis, 0)
            target = np.moveaxis(grown, axis, 0)
            target[1:] |= edge[:-1]
            target[:-1] |= edge[1:]
        grown &= around
        if (grown == spot).all():
            return True
        spot = grown


def _far_boxes(ink: Flags) -> NDArray[np.int64]:
    """Give left, top, right, bottom of the small spots that no row of others joins to what is larger."""
    from archgen.images.filters import any_around, find_spots  # noqa: PLC0415  OpenCV, which a plan does without

    none = np.zeros((0, 4), np.int64)
    spots = find_spots(ink)
    left, top, width, height = spots.boxes[1:].T.astype(np.int64)
    boxes = np.stack([left, top, left + width, top + height], axis=1)
    wide = int(boxes[:, 2].max() - left.min()) if len(boxes) else 0
    tiny = np.maximum(width, height) <= wide * _WIDE + 1
    if tiny.all() or not tiny.any():
        return none
    near = find_spots(any_around(ink, 2 * round(_GAP * wide / 2) + 1))
    group = np.zeros(len(spots.area), np.int32)
    group[spots.numbers[ink]] = near.numbers[ink]
    group = group[1:]
    far = tiny & ~np.isin(group, group[~tiny])
    if far.sum() > _MOST or spots.area[1:][far].sum() > _INK * ink.sum() or not _outside(boxes[far], boxes[~far]):
        return none
    found: NDArray[np.int64] = boxes[far]
    return found[np.lexsort((found[:, 1], found[:, 0]))]


def _outside(some: NDArray[np.int64], others: NDArray[np.int64]) -> bool:
    """Say whether some reach beyond the box of the others."""
    low, high = others[:, :2].min(axis=0), others[:, 2:].max(axis=0)
    return bool((some[:, :2] < low).any() or (some[:, 2:] > high).any())
