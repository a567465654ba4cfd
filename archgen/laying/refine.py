"""Pull the lines of one picture onto those of another, from a rough pose to an exact one.

Points of the first picture look for the nearest line of the second that runs the same way, and a Gauss-Newton step
shortens the distances across those lines; far and crooked neighbours count little.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum

import cv2
import numpy as np
import numpy.typing as npt

from archgen.laying.line_map import PX_PER_MM, LineMap
from archgen.laying.pose import Doubles, Pose

POINTS = 600
_ALONG = 0.25
_STRETCH_MOST = 2.2
# How strongly bending is drawn to none, as a share of the scale.
_BEND_SPREAD = 0.25
_CELL = 8


class Freedom(Enum):
    """What a pose may do."""

    SIMILAR = 4  # turn, enlarge, shift
    AFFINE = 6  # and slant
    BENT = 12  # and bend, as on a limb


# Tolerances in millimetres as they are narrowed down, and what is free meanwhile.
SKIN = (
    (Freedom.SIMILAR, 4.0), (Freedom.SIMILAR, 2.5), (Freedom.AFFINE, 2.5), (Freedom.AFFINE, 1.0),
    (Freedom.BENT, 2.5), (Freedom.BENT, 1.5), (Freedom.BENT, 1.0),
)  # fmt: skip
PAPER = ((Freedom.SIMILAR, 4.0), (Freedom.SIMILAR, 2.5), (Freedom.SIMILAR, 1.5), (Freedom.SIMILAR, 1.0))


@dataclass(frozen=True, slots=True, eq=False)
class Nearest:
    """Looks up the nearest line for points with a direction: in sheets, one for every sixth of a half turn."""

    lines: LineMap
    labels: tuple[npt.NDArray[np.int32], ...]
    owners: tuple[npt.NDArray[np.int64], ...]

    def of(self, places: Doubles, angles: Doubles) -> npt.NDArray[np.int64]:
        """Give for each place the index of the nearest point that runs nearly the same way, -1 for none."""
        rows = np.clip(np.round(places[:, 1]), 0, self.lines.height - 1).astype(int)
        columns = np.clip(np.round(places[:, 0]), 0, self.lines.width - 1).astype(int)
        sheets = np.mod(np.round(angles * _SHEETS / np.pi), _SHEETS).astype(int)
        found = np.full(len(places), -1, np.int64)
        for sheet in range(_SHEETS):
            mine = sheets == sheet
            if mine.any() and len(self.owners[sheet]):
                found[mine] = self.owners[sheet][self.labels[sheet][rows[mine], columns[mine]] - 1]
        return found


_SHEETS = 6


def nearest_lines(lines: LineMap) -> Nearest:
    """Prepare the look-up; each sheet takes the lines within a quarter of a half turn of its direction."""
    labels: list[npt.NDArray[np.int32]] = []
    owners: list[npt.NDArray[np.int64]] = []
    at = np.round(lines.points).astype(int)
    rows, columns = np.clip(at[:, 1], 0, lines.height - 1), np.clip(at[:, 0], 0, lines.width - 1)
    for sheet in range(_SHEETS):
        apart = np.abs(np.mod(lines.angles - sheet * np.pi / _SHEETS + np.pi / 2, np.pi) - np.pi / 2)
        mine = np.nonzero(apart <= np.pi / 4)[0]
        field = np.full((lines.height, lines.width), 255, np.uint8)
        field[rows[mine], columns[mine]] = 0
        _, label = cv2.distanceTransformWithLabels(field, cv2.DIST_L2, 3, labelType=cv2.DIST_LABEL_PIXEL)
        owner = np.zeros(int(label.max()) if len(mine) else 0, np.int64)
        if len(mine):
            owner[label[rows[mine], columns[mine]] - 1] = mine
        labels.append(np.asarray(label, np.int32))
        owners.append(owner)
    return Nearest(lines, tuple(labels), tuple(owners))


def sample(lines: LineMap, count: int = POINTS, box: tuple[float, float, float, float] | None = None) -> LineMap:
    """Choose points spread over the drawing, the plainest of each small cell first."""
    points, chosen = lines.points, np.arange(len(lines.points))
    if box is not None:
        left, top, right, bottom = box
        inside = (points[:, 0] >= left) & (points[:, 0] <= right) & (points[:, 1] >= top) & (points[:, 1] <= bottom)
        chosen = chosen[inside]
    cells = (points[chosen] // _CELL).astype(np.int64)
    _, first = np.unique(cells[:, 0] * 10_000 + cells[:, 1], return_index=True)  # points come plainest first
    kept = chosen[first]
    if len(kept) > count:
        kept = kept[np.linspace(0, len(kept) - 1, count).astype(int)]
    return replace(lines, points=lines.points[kept], angles=lines.angles[kept], strengths=lines.strengths[kept])


def refine(points: LineMap, onto: Nearest, start: Pose, steps: tuple[tuple[Freedom, float], ...] = SKIN) -> Pose:
    """Improve a pose; what it may do grows as it comes nearer."""
    pose = start
    for freedom, tolerance in steps:
        for _ in range(3):
            better = _step(points, onto, pose, freedom, tolerance * PX_PER_MM)
            if better is None or better.is_mirrored != start.is_mirrored or better.stretch > _STRETCH_MOST:
                break
            pose = better
    return pose


def _step(points: LineMap, onto: Nearest, pose: Pose, freedom: Freedom, tolerance: float) -> Pose | None:
    places, angles = pose.places(points.points), pose.directions(points.points, points.angles)
    found = onto.of(places, angles)
    known = found >= 0
    if known.sum() < 20:
        return None
    target, theirs = onto.lines.points[found].astype(np.float64), onto.lines.angles[found].astype(np.float64)
    off = target - places
    apart = np.hypot(off[:, 0], off[:, 1])
    weight = (1 + (apart / tolerance) ** 2) ** -2 * ((np.abs(np.cos(angles - theirs)) - 0.6) / 0.35).clip(0, 1)
    weight *= known & (apart < 3 * tolerance)
    if weight.sum() < 12:
        return None
    across = np.stack([-np.sin(theirs), np.cos(theirs)], axis=1)
    along = np.stack([np.cos(theirs), np.sin(theirs)], axis=1)
    normal, right = np.zeros((freedom.value, freedom.value)), np.zeros(freedom.value)
    for direction, share in ((across, 1.0), (along, _ALONG)):
        slope = _slopes(points.points, pose, freedom, direction)
        pull = (off * direction).sum(1)
        normal += (slope * (weight * share)[:, None]).T @ slope
        right += slope.T @ (weight * share * pull)
    if freedom is Freedom.BENT:
        hold = (tolerance / (_BEND_SPREAD * pose.scale * pose.reach)) ** 2 * 6
        normal[6:, 6:] += np.eye(6) * hold * pose.reach**2 / 100
        right[6:] -= hold * pose.reach**2 / 100 * pose.bend.ravel()
    normal += np.eye(freedom.value) * 1e-9 * np.trace(normal)
    try:
        change = np.asarray(np.linalg.solve(normal, right), np.float64)
    except np.linalg.LinAlgError:
        return None
    return _moved(pose, freedom, change)


def _slopes(points: npt.NDArray[np.float32], pose: Pose, freedom: Freedom, direction: Doubles) -> Doubles:
    """Give how the place of each point along a direction changes with each number of the pose."""
    off = points.astype(np.float64) - pose.middle
    dx, dy = direction[:, 0], direction[:, 1]
    if freedom is Freedom.SIMILAR:
        now = off @ pose.matrix.T
        return np.stack([dx, dy, now[:, 0] * dx + now[:, 1] * dy, now[:, 0] * dy - now[:, 1] * dx], axis=1)
    columns = [dx, dy, off[:, 0] * dx, off[:, 1] * dx, off[:, 0] * dy, off[:, 1] * dy]
    if freedom is Freedom.BENT:
        squares = np.stack([off[:, 0] ** 2, off[:, 0] * off[:, 1], off[:, 1] ** 2], axis=1) / pose.reach
        columns += [squares[:, k] * d for d in (dx, dy) for k in range(3)]
    return np.stack(columns, axis=1)


def _moved(pose: Pose, freedom: Freedom, change: Doubles) -> Pose:
    shift = pose.shift + change[:2]
    if freedom is Freedom.SIMILAR:
        grow, turn = change[2], change[3]
        return replace(pose, matrix=(np.array([[1 + grow, -turn], [turn, 1 + grow]]) @ pose.matrix), shift=shift)
    matrix = pose.matrix + np.array([[change[2], change[3]], [change[4], change[5]]])
    bend = pose.bend + change[6:].reshape(2, 3) if freedom is Freedom.BENT else pose.bend
    return replace(pose, matrix=matrix, shift=shift, bend=bend)
