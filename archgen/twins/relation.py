"""Name how two aligned pictures belong together."""

from __future__ import annotations

import numpy as np

from archgen.twins.compare import Evidence
from archgen.twins.model import Box, Item, Pair, Relation
from archgen.twins.prepare import Kind, Prepared
from archgen.twins.turns import IDENTITY, Affine, compose, inverse, nearest_turn

# Pictures taken within this many seconds of each other are of one moment.
BURST_SECONDS = 20.0


def name_pair(a: Item, b: Item, transform: Affine, evidence: Evidence, kind: Kind, score: float) -> Pair:
    """Make the pair of two items; `transform` sends points of `b` to points of `a`, in fractions of each picture."""
    turn = nearest_turn(_in_pixels(transform, a.prepared, b.prepared))
    a_in_b, b_in_a = _cover(inverse(transform)), _cover(transform)
    part, box = None, None
    if min(a_in_b[1], b_in_a[1]) < CROP_COVER:
        b_is_part = b_in_a[1] < a_in_b[1]
        part = b.key if b_is_part else a.key
        box = b_in_a[0] if b_is_part else a_in_b[0]
    weight = b.prepared.stroke / a.prepared.stroke if min(a.prepared.stroke, b.prepared.stroke) > 0 else None
    relation = _relation(a, b, turn, part is not None, weight, kind)
    numbers = tuple(float(value) for value in np.round(transform, 5).ravel())
    return Pair(
        a.key, b.key, relation, turn >= 4, turn % 4 * 90, numbers, round(score, 3), part, box,
        round(weight, 3) if weight and kind is Kind.LINE else None,
    )  # fmt: skip


CROP_COVER = 0.975


def _relation(a: Item, b: Item, turn: int, is_part: bool, weight: float | None, kind: Kind) -> Relation:
    if kind is Kind.LINE and weight and not 0.9 < weight < 1.11:
        return Relation.VERSION
    if is_part:
        return Relation.CROPPED
    if turn >= 4:
        return Relation.MIRRORED
    if turn:
        return Relation.TURNED
    if a.taken is not None and b.taken is not None and abs(a.taken - b.taken) <= BURST_SECONDS and a.taken != b.taken:
        return Relation.BURST
    return Relation.IDENTICAL if _same_pixels(a.prepared, b.prepared) else Relation.EDITED


def _same_pixels(a: Prepared, b: Prepared) -> bool:
    return bool(
        abs(float(a.gray.mean()) - float(b.gray.mean())) < 3 and np.abs(a.color - b.color.astype(int)).mean() < 3
    )


def _in_pixels(transform: Affine, a: Prepared, b: Prepared) -> Affine:
    scaled = np.diag([a.width, a.height]) @ transform[:, :2] @ np.diag([1 / b.width, 1 / b.height])
    return np.column_stack([scaled, np.zeros(2)])[:, :2]


def _cover(transform: Affine) -> tuple[Box, float]:
    """Say where the unit square comes to lie, and what share of the other picture it covers."""
    corners = np.array([[0, 0, 1], [1, 0, 1], [0, 1, 1], [1, 1, 1]], float) @ transform.T
    low, high = np.clip(corners.min(axis=0), 0, 1), np.clip(corners.max(axis=0), 0, 1)
    box = Box(*(round(float(value), 4) for value in (low[0], low[1], high[0], high[1])))
    return box, float(np.prod(high - low))


def full_transform(part_box: tuple[float, ...], whole_box: tuple[float, ...], transform: Affine) -> Affine:
    """Turn a transform between content boxes into one between whole pictures."""
    return compose(_box(whole_box), compose(transform, inverse(_box(part_box))))


def _box(box: tuple[float, ...]) -> Affine:
    left, top, right, bottom = box
    out = IDENTITY.copy()
    out[0], out[1] = (right - left, 0, left), (0, bottom - top, top)
    return out
