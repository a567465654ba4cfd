"""Recognise drawings whose lines fit in several places: turned, as an ornament does, or moved on by one repeat."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from archgen.laying.line_map import PX_PER_MM, LineMap
from archgen.laying.pose import Doubles, Pose, similar
from archgen.laying.refine import PAPER, nearest_lines, refine, sample
from archgen.laying.score import closeness, score

# From here on another place is as good as the drawing's own. Ornaments of the demo reach 0.91 and more there, all
# other drawings 0.38 at most.
ALIKE_GAIN = 0.6
_QUICK_POINTS, _MOST_REFINED = 200, 3
_APART_MM = 2.0
_TURNS = range(15, 360, 15)
# Shifts are tried in eighths of the drawing, to five eighths: farther off too little of it lies on itself.
_EIGHTHS = range(-5, 6)


def repeats(drawing: LineMap) -> bool:
    """Say whether a drawing lies on itself in another place about as well as in its own."""
    if len(drawing.points) == 0:
        return False
    points, nearest = sample(drawing), nearest_lines(drawing)
    few = sample(drawing, _QUICK_POINTS)
    starts = sorted(_elsewhere(points.points), key=lambda pose: -closeness(few, nearest, pose))
    poses = (refine(points, nearest, start, PAPER) for start in starts[:_MOST_REFINED])
    return any(_is_apart(pose, points) and score(points, nearest, pose).gain >= ALIKE_GAIN for pose in poses)


def _elsewhere(points: npt.NDArray[np.float32]) -> Iterator[Pose]:
    middle, size = points.mean(0).astype(np.float64), np.ptp(points, axis=0).astype(np.float64)
    here = similar(1.0, 0.0, (float(middle[0]), float(middle[1])), (float(middle[0]), float(middle[1])), 1.0)
    for degrees in _TURNS:
        yield replace(here, matrix=_turn(degrees))
    for right in _EIGHTHS:
        for down in _EIGHTHS:
            if right or down:
                yield replace(here, shift=middle + size * (right / 8, down / 8))


def _turn(degrees: float) -> Doubles:
    turn = np.radians(degrees)
    return np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])


def _is_apart(pose: Pose, points: LineMap) -> bool:
    off = pose.places(points.points) - points.points
    return float(np.median(np.hypot(off[:, 0], off[:, 1]))) > _APART_MM * PX_PER_MM
