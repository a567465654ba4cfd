"""Say how well lines lie on lines, against what chance would give.

`gain` is the share of the drawing's points that have a line under them, over what the same drawing has turned and
shifted; `explained` the share of the other picture's lines round the drawing that the drawing accounts for.
"""

from __future__ import annotations

import cv2
import numpy as np

from archgen.laying.line_map import PX_PER_MM, LineMap
from archgen.laying.pose import Doubles, Pose, similar
from archgen.laying.refine import Nearest
from archgen.values.frozen import Value

_UNDER_MM, _AROUND_MM = 1.2, 3.0
_UNDER_PX = _UNDER_MM * PX_PER_MM
_CROOKED = np.radians(26)
# Where else the drawing is laid to see what chance gives: degrees, and shifts in shares of its size.
_ELSEWHERE = ((40, 0.0, 0.0), (-40, 0.0, 0.0), (90, 0.0, 0.0), (0, 0.22, 0.0), (0, 0.0, 0.22), (180, -0.15, 0.1))


class LaidScore(Value, frozen=True):
    """How well it lies; `hit` and `null` are what `gain` is made of."""

    gain: float
    explained: float
    hit: float
    null: float

    @property
    def total(self) -> float:
        """Give one number for the order of several."""
        return 0.6 * self.gain + 0.4 * self.explained


def score(points: LineMap, onto: Nearest, pose: Pose) -> LaidScore:
    """Score a pose of sampled points."""
    places = pose.places(points.points)
    hit, null = shares_under(points, onto, pose)
    gain = max(0.0, (hit - null) / max(1 - null, 1e-6))
    return LaidScore(round(gain, 4), round(_explained(places, onto.lines), 4), round(hit, 4), round(null, 4))


def shares_under(points: LineMap, onto: Nearest, pose: Pose, within_px: float = _UNDER_PX) -> tuple[float, float]:
    """Give the share of points that have a line so near, and the share that would have one by chance."""
    places = pose.places(points.points)
    angles = pose.directions(points.points, points.angles)
    middle, size = places.mean(0), float(np.ptp(places, axis=0).max())
    nulls = []
    for degrees, dx, dy in _ELSEWHERE:
        moved = similar(1.0, degrees, tuple(middle), (middle[0] + dx * size, middle[1] + dy * size), 1.0)
        nulls.append(_hits(moved.places(places), np.mod(angles + np.radians(degrees), np.pi), onto, within_px))
    return _hits(places, angles, onto, within_px), float(np.mean(nulls))


def closeness(points: LineMap, onto: Nearest, pose: Pose) -> float:
    """Say quickly how near a rough pose brings lines to lines that run the same way; for choosing between many."""
    places = pose.places(points.points)
    angles = np.mod(points.angles + np.radians(pose.turned), np.pi)
    found = onto.of(places, angles)
    theirs = onto.lines
    off = theirs.points[found] - places
    apart = np.hypot(off[:, 0], off[:, 1]) / (_AROUND_MM * PX_PER_MM)
    inside = (places > 0).all(1) & (places[:, 0] < theirs.width) & (places[:, 1] < theirs.height)
    return float(((found >= 0) & inside).astype(float) @ (1 + apart**2) ** -2) / len(places)


def _hits(places: Doubles, angles: Doubles, onto: Nearest, within_px: float) -> float:
    found = onto.of(places, angles)
    theirs = onto.lines
    off = theirs.points[found] - places
    near = np.hypot(off[:, 0], off[:, 1]) <= within_px
    straight = np.abs(np.cos(theirs.angles[found] - angles)) >= np.cos(_CROOKED)
    inside = (places > 0).all(1) & (places[:, 0] < theirs.width) & (places[:, 1] < theirs.height)
    return float(((found >= 0) & near & straight & inside).mean())


def _explained(places: Doubles, theirs: LineMap) -> float:
    """Give the share of line strength near the drawing that lies under its lines."""
    step = max(1.0, PX_PER_MM * _AROUND_MM)
    field = np.full((theirs.height, theirs.width), 255, np.uint8)
    at = np.round(places).astype(int)
    inside = (at[:, 0] >= 0) & (at[:, 1] >= 0) & (at[:, 0] < theirs.width) & (at[:, 1] < theirs.height)
    if not inside.any():
        return 0.0
    field[at[inside, 1], at[inside, 0]] = 0
    distance = cv2.distanceTransform(field, cv2.DIST_L2, 3)
    own = np.round(theirs.points).astype(int)
    away = distance[np.clip(own[:, 1], 0, theirs.height - 1), np.clip(own[:, 0], 0, theirs.width - 1)]
    around, under = away <= step, away <= _UNDER_PX
    weight = theirs.strengths
    return float(weight[under].sum() / max(float(weight[around].sum()), 1e-6))
