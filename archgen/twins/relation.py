"""Name how two aligned pictures belong together.

Looks at where the edges of one lie in the other, at what lies outside, at light, colour and sharpness, and at the weight of the
lines. Knows prepared pictures and the transform between them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from archgen.twins.model import Box, Item, Pair, Relation
from archgen.twins.prepare import Kind, Prepared, ink_map
from archgen.twins.turns import FIRST_MIRRORED, Affine, Floats, compose, inverse, nearest_turn

# Pictures taken within this many seconds of each other are of one moment.
BURST_SECONDS = 20.0
# How far an edge may seem to stick out by the error of the alignment alone, in parts of the picture.
EDGE_ERROR = 0.006
MOVED = 0.003
# Degrees off the upright from which a picture was tilted on purpose.
TILTED = 1.2
# A margin of one colour is a border, not a part that was cut away.
BORDER_SHARE = 0.75
LOST_INK = 0.006
# Line weights nearer than this are one weight; resizing and blur alone stay within it.
SAME_WEIGHT = 1.08
# Gray levels and colour differences up to which two pictures are the same but for their encoding.
SAME_LIGHT = 3.0
SAME_COLOR = 3.0
SAME_SHARPNESS = 1.35
GRID = 64


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where `b` lies in `a`: its box, and how far either sticks out of the other."""

    b_in_a: Box
    a_in_b: Box
    b_out: float
    a_out: float
    lean: float


def name_pair(a: Item, b: Item, transform: Affine, kind: Kind, score: float) -> Pair:
    """Make the pair of two items; `transform` sends points of `b` to points of `a`, in fractions of each picture."""
    linear = _in_pixels(transform, a.prepared, b.prepared)
    turn = nearest_turn(linear)
    frame = _frame(transform, linear)
    part = _part(a, b, transform, frame, kind)
    weight = _weight(a.prepared, b.prepared, transform) if kind is Kind.LINE else None
    relation = _relation(a, b, transform, turn, frame, part, weight)
    xx, xy, x0, yx, yy, y0 = (round(float(value), 5) for value in transform.ravel())
    return Pair(
        a=a.key,
        b=b.key,
        relation=relation,
        mirrored=turn >= FIRST_MIRRORED,
        turned=turn % FIRST_MIRRORED * 90,
        transform=(xx, xy, x0, yx, yy, y0),
        score=round(score, 3),
        part=part,
        box=None if part is None else frame.b_in_a if part == b.key else frame.a_in_b,
        weight=round(weight, 3) if weight else None,
    )


def _relation(
    a: Item, b: Item, transform: Affine, turn: int, frame: _Frame, part: str | None, weight: float | None
) -> Relation:
    if weight and not 1 / SAME_WEIGHT < weight < SAME_WEIGHT:
        return Relation.VERSION
    if part is not None:
        return Relation.CROPPED
    if turn:
        return Relation.MIRRORED if turn >= FIRST_MIRRORED else Relation.TURNED
    light, same = _pixels(a.prepared, b.prepared, transform)
    if a.taken is not None and b.taken is not None:
        if a.taken != b.taken and abs(a.taken - b.taken) <= BURST_SECONDS:
            return Relation.BURST
    elif min(frame.a_out, frame.b_out) > MOVED and frame.lean < TILTED and light < 2.5 * SAME_LIGHT:
        return Relation.BURST
    if max(frame.a_out, frame.b_out) > EDGE_ERROR or frame.lean > TILTED / 2:
        return Relation.EDITED
    return Relation.IDENTICAL if same else Relation.EDITED


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


def _extent(transform: Affine) -> tuple[Box, float]:
    """Give the box in which the unit square comes to lie, and how far it sticks out of the other one."""
    corners = np.array([[0, 0, 1], [1, 0, 1], [0, 1, 1], [1, 1, 1]], float) @ transform.T
    low, high = corners.min(axis=0), corners.max(axis=0)
    inside = [*np.clip(low, 0, 1), *np.clip(high, 0, 1)]
    return Box(*(round(float(value), 4) for value in inside)), float(max((-low).max(), (high - 1).max()))


def _part(a: Item, b: Item, transform: Affine, frame: _Frame, kind: Kind) -> str | None:
    """Tell which picture was cut out of the other; `None` if neither, or if only a border lies around it."""
    if frame.lean > TILTED:
        return None
    if frame.a_out > EDGE_ERROR >= frame.b_out:
        small, large, placed = b, a, transform
    elif frame.b_out > EDGE_ERROR >= frame.a_out:
        small, large, placed = a, b, inverse(transform)
    elif max(frame.a_out, frame.b_out) > 3 * min(frame.a_out, frame.b_out) + 2 * EDGE_ERROR:
        small, large = (b, a) if frame.a_out > frame.b_out else (a, b)
        placed = transform if small is b else inverse(transform)
    else:
        return None
    return None if _only_border(large.prepared, placed, kind) else small.key


def _only_border(large: Prepared, placed: Affine, kind: Kind) -> bool:
    """Tell whether what lies around the small picture, put into the large one by `placed`, is a margin of one colour."""
    at = (np.arange(GRID) + 0.5) / GRID
    x, y = np.meshgrid(at, at)
    back = inverse(placed)
    u, v = (row[0] * x + row[1] * y + row[2] for row in back)
    outside = (np.minimum(u, v) < -EDGE_ERROR) | (np.maximum(u, v) > 1 + EDGE_ERROR)
    if not outside.any():
        return False
    picture = Image.fromarray(large.gray)
    gray = np.asarray(picture.resize((GRID, GRID), Image.Resampling.BOX), np.int16)
    if kind is Kind.LINE:
        ink = np.asarray(Image.fromarray(ink_map(large.gray)).resize((GRID, GRID), Image.Resampling.BOX))
        if float(ink[outside].sum()) > LOST_INK * float(ink.sum()):
            return _dark_frame(gray[outside])
        # Only paper lies outside: a border is even, a cut hardly ever.
        left, top = u.min(), v.min()
        right, bottom = u.max() - 1, v.max() - 1
        margins = np.array([-left, -top, right, bottom])
        return bool(margins.max() < 1.25 * margins.min() + EDGE_ERROR) or _even_square(margins)
    level = int(np.median(gray[outside]))
    return bool((np.abs(gray[outside] - level) <= 10).mean() > BORDER_SHARE)


def _dark_frame(outside: npt.NDArray[np.int16]) -> bool:
    level = int(np.median(outside))
    return level < 128 and bool((np.abs(outside - level) <= 20).mean() > BORDER_SHARE)


def _even_square(margins: npt.NDArray[np.float64]) -> bool:
    """Tell whether opposite margins are alike, as when a picture is set in the middle of a square or a screen."""
    sides = np.abs(margins[:2] - margins[2:])
    return bool((sides < EDGE_ERROR).all() and margins.max() > 4 * EDGE_ERROR)


# --- pixels ---------------------------------------------------------------------------------------------------


def _pixels(a: Prepared, b: Prepared, transform: Affine) -> tuple[float, bool]:
    """Compare light, colour and sharpness at the size of the smaller; returns the difference of light, and "the same"."""
    rows, columns = (max(8, round(0.9 * min(sides))) for sides in zip(a.gray.shape, b.gray.shape, strict=True))
    one, two = _resampled(a.gray, columns, rows), _placed(b.gray, columns, rows, transform)
    inside = np.isfinite(two)
    difference = ndimage.uniform_filter(np.where(inside, one - two, 0), 5)
    light = float(np.sqrt(np.mean(difference[inside] ** 2))) if inside.any() else 255.0
    color = float(np.abs(a.color.astype(np.int16) - b.color).mean())
    ratio = _crispness(one) / max(_crispness(_resampled(b.gray, columns, rows)), 1e-6)
    crisp = 1 / SAME_SHARPNESS < ratio < SAME_SHARPNESS
    return light, light < SAME_LIGHT and color < SAME_COLOR and crisp


def _resampled(gray: npt.NDArray[np.uint8], columns: int, rows: int) -> Floats:
    picture = Image.fromarray(gray).resize((columns, rows), Image.Resampling.BOX)
    return np.asarray(picture, np.float32)


def _placed(gray: npt.NDArray[np.uint8], columns: int, rows: int, transform: Affine) -> Floats:
    """Lay `b` into the frame of `a`."""
    back = inverse(transform)
    height, width = gray.shape
    factor = np.array([width, height], float)
    linear = back[:, :2] * factor[:, None] / np.array([columns, rows], float)
    start = factor * (back @ [0.5 / columns, 0.5 / rows, 1.0]) - 0.5
    out: Floats = ndimage.affine_transform(
        gray.astype(np.float32), linear[::-1, ::-1], start[::-1], (rows, columns), np.float32,
        order=1, mode="constant", cval=np.nan, prefilter=False,
    )  # fmt: skip
    return out


def _crispness(gray: Floats) -> float:
    """Energy of the finest detail against that of the next coarser; light and contrast fall out."""
    fine = ndimage.laplace(gray)
    coarse = ndimage.laplace(ndimage.uniform_filter(gray, 3))
    return float(fine.var() / max(float(coarse.var()), 1e-3))


# --- lines ----------------------------------------------------------------------------------------------------


def _weight(a: Prepared, b: Prepared, transform: Affine) -> float | None:
    """Tell the line weight of `b` over that of `a`.

    Two measures must agree in direction: the ink laid down on the same place (a blurred copy has as much), and ink over
    outline (a paler copy has as much). The nearer one to 1 is returned.
    """
    if min(a.stroke, b.stroke) <= 0:
        return None
    rows, columns = a.gray.shape
    placed = _placed(b.gray, columns, rows, transform)
    inside = np.isfinite(placed)
    if not inside.any():
        return None
    one = float(ink_map(a.gray)[inside].sum())
    two = float(ink_map(np.where(inside, placed, 255.0))[inside].sum())
    mass = two / max(one, 1e-6)
    linear = _in_pixels(transform, a, b)
    scale = float(np.sqrt(abs(np.linalg.det(linear)))) * max(b.width, b.height) / max(a.width, a.height)
    stroke = b.stroke * scale / a.stroke
    if (mass - 1) * (stroke - 1) <= 0:
        return 1.0
    return min(mass, stroke) if mass > 1 else max(mass, stroke)


def full_transform(part_box: tuple[float, ...], whole_box: tuple[float, ...], transform: Affine) -> Affine:
    """Turn a transform between content boxes into one between whole pictures."""
    return compose(_box(whole_box), compose(transform, inverse(_box(part_box))))


def _box(box: tuple[float, ...]) -> Affine:
    left, top, right, bottom = box
    return np.array([[right - left, 0.0, left], [0.0, bottom - top, top]])
