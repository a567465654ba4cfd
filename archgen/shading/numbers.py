"""Where the number of each area stands: inside where a disc has room, else in a column beside, at the end of a line."""

from collections.abc import Sequence

from archgen.values.frozen import Value

DISC_MM = 4.2
_AIR_MM = 0.3
# Columns stand so far from the drawing; discs in one so far apart.
COLUMN_MM, _APART_MM = 7.0, 4.7


class Anchor(Value, frozen=True):
    """The deepest place of an area in mm, how deep it is, and the step it belongs to."""

    x: float
    y: float
    depth_mm: float
    step: int


class PlanNumber(Value, frozen=True):
    """A step's number on the plan: where its disc stands, and the places lines lead to; none where it stands inside."""

    step: int
    x: float
    y: float
    leads_to: tuple[tuple[float, float], ...] = ()


def place_numbers(anchors: Sequence[Anchor], width_mm: float) -> tuple[PlanNumber, ...]:
    """Place a number for every area; areas of one step beside the same edge share one."""
    inside = [one for one in anchors if one.depth_mm >= DISC_MM / 2 + _AIR_MM]
    beside = [one for one in anchors if one.depth_mm < DISC_MM / 2 + _AIR_MM]
    left = [one for one in beside if one.x <= width_mm / 2]
    right = [one for one in beside if one.x > width_mm / 2]
    return (
        *(PlanNumber(one.step, one.x, one.y) for one in inside),
        *_column(left, -COLUMN_MM),
        *_column(right, width_mm + COLUMN_MM),
    )


def _column(anchors: Sequence[Anchor], x: float) -> list[PlanNumber]:
    """Set discs as near the height of their areas as their distance from each other allows."""
    groups = [[one for one in anchors if one.step == step] for step in sorted({one.step for one in anchors})]
    wanted = sorted(((sum(one.y for one in group) / len(group), group) for group in groups), key=lambda pair: pair[0])
    heights = spread([height for height, _ in wanted], _APART_MM)
    return [
        PlanNumber(group[0].step, x, height, tuple((one.x, one.y) for one in group))
        for height, (_, group) in zip(heights, wanted, strict=True)
    ]


def spread(wanted: Sequence[float], apart: float) -> list[float]:
    """Move rising heights as little as possible (least squares) until they are so far apart: pooled violators."""
    pools: list[tuple[float, int]] = []
    for index, height in enumerate(wanted):
        pools.append((height - index * apart, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (one, size), (other, count) = pools[-2:]
            pools[-2:] = [((one * size + other * count) / (size + count), size + count)]
    flat = [height for height, size in pools for _ in range(size)]
    return [height + index * apart for index, height in enumerate(flat)]
