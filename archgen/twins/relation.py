"""Name how two aligned pictures belong together.

Looks at where the edges of one lie in the other, at what lies outside, at light, colour and sharpness, and at the
weight of the lines. Knows prepared pictures and the transform between them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from archgen.twins.content import ink_of
from archgen.twins.model import Box, Item, Pair, Relation
from archgen.twins.prepared import Prepared
from archgen.twins.signature import Kind
from archgen.twins.turns import FIRST_MIRRORED, Affine, Floats, box_transform, compose, inverse, nearest_turn

# Pictures taken within this many seconds of each other are of one moment.
BURST_SECONDS = 20.0
# Exposures further apart are another sitting, or the healed piece; from this score on they are one picture even so.
OTHER_DAY_SECONDS, SURE_SCORE = 3600.0, 0.95
# How far an edge may seem to stick out by the error of the alignment alone, in parts of the picture (measured: under
# 0.003 in nine of ten copies), how far both must for the camera to have moved, and how far at most in a burst.
EDGE_ERROR = 0.006
MOVED, MOVED_FAR = 0.003, 0.1
# Degrees off the upright from which a picture was tilted on purpose.
TILTED = 1.2
# A margin of one colour is a border when so much of it has the colour.
BORDER_SHARE = 0.75
LOST_INK = 0.006
# Shift of the outline, in parts of the picture, from which lines were drawn with another weight (measured: copies up to
# 0.0003, a pixel more or less in 900 from 0.0009).
OTHER_WEIGHT = 0.00065
# Differences up to which two pictures are the same but for their encoding: gray levels and colour of cells, and
# the energy of the finest detail.
SAME_LIGHT = 3.0
SAME_COLOR = 3.0
SAME_SHARPNESS = 1.18
# How far mean, spread and colour of the light may change within a burst.
BURST_LIGHT, BURST_CONTRAST, BURST_COLOR = 8.0, 1.15, 8.0
GRID = 64
CELLS = 16


Numbers = npt.NDArray[np.float64]


class Place(Enum):
    """How the edges of two pictures lie."""

    SAME = auto()
    MOVED = auto()  # each shows something at an edge that the other lacks
    A_IN_B = auto()
    B_IN_A = auto()
    FRAMED = auto()  # one has a border, or stands on a screen
    TILTED = auto()


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where `b` lies in `a`: its box, and how far either sticks out of the other."""

    b_in_a: Box
    a_in_b: Box
    b_out: float
    a_out: float
    lean: float


@dataclass(frozen=True, slots=True)
class Match:
    """How two pictures were found to agree.

    `transform` sends points of the second to points of the first, in fractions of each; `is_bent` says that they agree
    only when seen in perspective.
    """

    transform: Affine
    kind: Kind
    score: float
    is_bent: bool = False


def name_pair(a: Item, b: Item, match: Match) -> Pair:
    """Make the pair of two items."""
    transform = match.transform
    # A dense drawing is looked at both ways; as a drawing it tells more.
    kind = Kind.LINE if all(_is_drawing(one.prepared) for one in (a, b)) else match.kind
    linear = _in_pixels(transform, a.prepared, b.prepared)
    turn = nearest_turn(linear)
    frame = _frame(transform, linear)
    place = Place.TILTED if match.is_bent else _place(a.prepared, b.prepared, transform, frame, kind)
    weight = _weight(a.prepared, b.prepared, transform) if kind is Kind.LINE else None
    relation = _relation(a, b, turn, place, weight is not None and weight[1])
    xx, xy, x0, yx, yy, y0 = (round(float(value), 5) for value in transform.ravel())
    return Pair(
        a=a.key,
        b=b.key,
        relation=relation,
        mirrored=turn >= FIRST_MIRRORED,
        turned=turn % FIRST_MIRRORED * 90,
        transform=(xx, xy, x0, yx, yy, y0),
        score=round(match.score, 3),
        part={Place.A_IN_B: a.key, Place.B_IN_A: b.key}.get(place),
        box={Place.A_IN_B: frame.a_in_b, Place.B_IN_A: frame.b_in_a}.get(place),
        weight=round(weight[0], 3) if weight else None,
    )


def same_pair(a: Item, b: Item) -> Pair:
    """Make the pair of two items of which the same was kept."""
    return Pair(a.key, b.key, Relation.IDENTICAL, False, 0, (1.0, 0.0, 0.0, 0.0, 1.0, 0.0), 1.0)


def _is_drawing(prepared: Prepared) -> bool:
    return any(view.kind is Kind.LINE for view in prepared.views)


def is_other_day(a: Item, b: Item, score: float) -> bool:
    """Tell two photographs of one subject on different days, alike but not certainly the same picture.

    An edited copy keeps the moment of exposure of its original, or has none.
    """
    if a.taken is None or b.taken is None:
        return False
    return abs(a.taken - b.taken) > OTHER_DAY_SECONDS and score < SURE_SCORE


def _relation(a: Item, b: Item, turn: int, place: Place, other_weight: bool) -> Relation:
    if other_weight:
        return Relation.VERSION
    if place in {Place.A_IN_B, Place.B_IN_A}:
        return Relation.CROPPED
    if turn:
        return Relation.MIRRORED if turn >= FIRST_MIRRORED else Relation.TURNED
    light, color, sharpness = _differences(a.prepared, b.prepared)
    if a.taken is not None and b.taken is not None:
        if a.taken != b.taken and abs(a.taken - b.taken) <= BURST_SECONDS:
            return Relation.BURST
    elif place is Place.MOVED and _one_light(a.prepared.gray, b.prepared.gray) and color < BURST_COLOR:
        return Relation.BURST
    same = light < SAME_LIGHT and color < SAME_COLOR and 1 / SAME_SHARPNESS < sharpness < SAME_SHARPNESS
    return Relation.IDENTICAL if same and place is Place.SAME else Relation.EDITED


# --- edges ----------------------------------------------------------------------------------------------------


def _in_pixels(transform: Affine, a: Prepared, b: Prepared) -> npt.NDArray[np.float64]:
    return np.asarray(np.diag([a.width, a.height]) @ transform[:, :2] @ np.diag([1 / b.width, 1 / b.height]))


def _frame(transform: Affine, linear: npt.NDArray[np.float64]) -> _Frame:
    left, _, right = np.linalg.svd(linear)
    rotation = left @ right
    angle = float(np.degrees(np.arctan2(rotation[1, 0], rotation[0, 0]))) % 90.0
    b_in_a, b_out = _extent(transform)
    a_in_b, a_out = _extent(inverse(transform))
    return _Frame(b_in_a, a_in_b, b_out, a_out, min(angle, 90.0 - angle))


_CORNERS = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 1.0], [0.0, 1.0, 1.0], [1.0, 1.0, 1.0]])


def _extent(transform: Affine) -> tuple[Box, float]:
    """Give the box in which the unit square comes to lie, and how far it sticks out of the other one."""
    corners = _CORNERS @ transform.T
    low, high = corners.min(axis=0), corners.max(axis=0)
    inside = [*np.clip(low, 0, 1), *np.clip(high, 0, 1)]
    return Box(*(round(float(value), 4) for value in inside)), float(max((-low).max(), (high - 1).max()))


def edges_apart(transform: Affine) -> float:
    """Give the largest distance between an edge of one picture and the nearest edge of the other."""
    corners = _CORNERS @ transform.T
    low, high = corners.min(axis=0), corners.max(axis=0)
    return float(max(np.abs(low).max(), np.abs(high - 1).max()))


def _place(a: Prepared, b: Prepared, transform: Affine, frame: _Frame, kind: Kind) -> Place:
    if frame.lean > TILTED:
        return Place.TILTED
    more, less = max(frame.a_out, frame.b_out), min(frame.a_out, frame.b_out)
    if more <= EDGE_ERROR:
        return Place.MOVED if less > MOVED else Place.SAME
    if less > MOVED and more < MOVED_FAR and more < 4 * less + EDGE_ERROR:
        return Place.MOVED
    if less > max(3 * EDGE_ERROR, more / 4):
        return Place.MOVED
    b_is_small = frame.a_out > frame.b_out
    large, placed = (a, transform) if b_is_small else (b, inverse(transform))
    if _is_framed(large, placed, kind):
        return Place.FRAMED
    return Place.B_IN_A if b_is_small else Place.A_IN_B


def _is_framed(large: Prepared, placed: Affine, kind: Kind) -> bool:
    """Tell whether only a margin lies around the small picture, put into the large one by `placed`."""
    at = (np.arange(GRID) + 0.5) / GRID
    x, y = np.meshgrid(at, at)
    u, v = (row[0] * x + row[1] * y + row[2] for row in inverse(placed))
    outside = (np.minimum(u, v) < -EDGE_ERROR) | (np.maximum(u, v) > 1 + EDGE_ERROR)
    if not outside.any():
        return False
    gray = np.asarray(Image.fromarray(large.gray).resize((GRID, GRID), Image.Resampling.BOX), np.int16)
    around = gray[outside]
    level = int(np.median(around))
    if (np.abs(around - level) <= 12).mean() < BORDER_SHARE:
        return False
    if kind is Kind.LINE and level >= 128:
        ink = np.asarray(Image.fromarray(ink_of(large)).resize((GRID, GRID), Image.Resampling.BOX))
        if float(ink[outside].sum()) > LOST_INK * float(ink.sum()) and not _is_screen(u, v):
            return False
    return _is_even(placed, large)


def _is_screen(u: Numbers, v: Numbers) -> bool:
    """Tell a picture as wide as the screen, with much room above and below."""
    return bool(max(-u.min(), u.max() - 1) < 0.03 and min(-v.min(), v.max() - 1) > 0.1)


def _is_even(placed: Affine, large: Prepared) -> bool:
    """Tell a border from a cut: a border is as wide on opposite sides, and in pixels rather than in shares."""
    box, _ = _extent(placed)
    across = np.array([box.left, 1 - box.right])
    down = np.array([box.top, 1 - box.bottom])
    if max(np.ptp(across), np.ptp(down)) > EDGE_ERROR:
        return False
    pixels = np.array([across.mean() * large.width, down.mean() * large.height])
    shares = np.array([across.mean() / (box.right - box.left), down.mean() / (box.bottom - box.top)])
    return bool(np.ptp(pixels) / pixels.max() < np.ptp(shares) / shares.max() or np.ptp(shares) > 0.3 * shares.max())


# --- pixels ---------------------------------------------------------------------------------------------------


def _differences(a: Prepared, b: Prepared) -> tuple[float, float, float]:
    """Compare two upright pictures of one extent: light and colour by cells, and the ratio of their sharpness."""
    cells = [np.asarray(_resized(one.gray, CELLS, CELLS)) for one in (a, b)]
    light = float(np.sqrt(np.mean((cells[0] - cells[1]) ** 2)))
    color = float(np.abs(a.color.astype(np.int16) - b.color).mean())
    rows, columns = (max(8, round(0.9 * min(sides))) for sides in zip(a.gray.shape, b.gray.shape, strict=True))
    sharp = [_crispness(_resized(one.gray, columns, rows)) for one in (a, b)]
    return light, color, sharp[0] / max(sharp[1], 1e-6)


def _one_light(a: npt.NDArray[np.uint8], b: npt.NDArray[np.uint8]) -> bool:
    contrast = float(a.std()) / max(float(b.std()), 1e-6)
    return abs(float(a.mean()) - float(b.mean())) < BURST_LIGHT and 1 / BURST_CONTRAST < contrast < BURST_CONTRAST


def _resized(gray: npt.NDArray[np.uint8], columns: int, rows: int) -> Floats:
    # Pillow's box filter gives whole pixels to one side or the other; on thin lines that is seen.
    picture = Image.fromarray(gray).resize((columns, rows), Image.Resampling.HAMMING)
    return np.asarray(picture, np.float32)


def _placed(values: Floats, columns: int, rows: int, transform: Affine) -> Floats:
    """Lay `b` into the frame of `a`."""
    back = inverse(transform)
    height, width = values.shape
    factor = np.array([width, height], float)
    linear = back[:, :2] * factor[:, None] / np.array([columns, rows], float)
    start = factor * (back @ [0.5 / columns, 0.5 / rows, 1.0]) - 0.5
    out: Floats = ndimage.affine_transform(
        values, linear[::-1, ::-1], start[::-1], (rows, columns), np.float32,
        order=1, mode="constant", cval=np.nan, prefilter=False,
    )  # fmt: skip
    return out


def _crispness(gray: Floats) -> float:
    """Energy of the finest detail against that of the next coarser; light and contrast fall out."""
    fine = ndimage.laplace(gray)
    coarse = ndimage.laplace(ndimage.uniform_filter(gray, 3))
    return float(fine.var() / max(float(coarse.var()), 1e-3))


# --- lines ----------------------------------------------------------------------------------------------------


def _weight(a: Prepared, b: Prepared, transform: Affine) -> tuple[float, bool] | None:
    """Tell the line weight of `b` over that of `a`, and whether it is another one.

    The ink laid down on the same place is compared twice: as it is (a blurred copy has as much) and against the
    blackest ink of each (a paler copy has as much). Only what both say counts.
    """
    rows, columns = a.gray.shape
    inks = [_without_grain(ink_of(a), a), _placed(_without_grain(ink_of(b), b), columns, rows, transform)]
    inside = np.isfinite(inks[1])
    if min(a.ink_level, b.ink_level) <= 0 or not inside.any():
        return None
    inks[1] = np.where(inside, inks[1], 0)
    one, two = (max(float(ink[inside].sum()), 1e-6) for ink in inks)
    outline = sum(float(np.hypot(*np.gradient(ink))[inside].sum()) for ink in inks) / 2
    plain, black = two / one, two / one * a.ink_level / b.ink_level
    if (plain - 1) * (black - 1) <= 0:
        return 1.0, False
    weight = min(plain, black) if plain > 1 else max(plain, black)
    shift = abs(weight - 1) * one / max(outline, 1e-6) / max(rows, columns)
    return weight, shift > OTHER_WEIGHT


def _without_grain(ink: Floats, prepared: Prepared) -> Floats:
    """Ink above the grain of paper, which would add up to a line's worth."""
    kept: Floats = np.maximum(ink - np.float32(0.06 * prepared.ink_level), 0)
    return kept


Fractions = tuple[float, float, float, float]


def full_transform(part_box: Fractions, whole_box: Fractions, transform: Affine) -> Affine:
    """Turn a transform between content boxes into one between whole pictures."""
    return compose(box_transform(*whole_box), compose(transform, inverse(box_transform(*part_box))))
