"""Lay the lines of one picture on those of another: rough pose, pulled in, scored; proposed, never decided."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from archgen.laying.line_map import PX_PER_MM, LineMap
from archgen.laying.marks import LineMarks, agree
from archgen.laying.pose import Doubles, Pose, similar, through
from archgen.laying.refine import PAPER, SKIN, nearest_lines, refine, sample
from archgen.laying.score import LaidScore, closeness, score

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class LaidLines:
    """One picture's lines on another's: the pose between their line maps, and how well they lie.

    Attributes:
        agreeing: How many marks led to it.
        rival: The total score of the best other place that was tried.
    """

    pose: Pose
    score: LaidScore
    agreeing: int = 0
    rival: float = 0.0

    def settles(self, *, on_skin: bool) -> bool:
        """Say whether the lines settle the place; else only the eye can."""
        if self.score.total - self.rival < _LEAST_LEAD:
            return False
        return self.is_on_skin if on_skin else self.score.total >= _PAPER_TOTAL

    @property
    def is_on_skin(self) -> bool:
        """Say whether a stencil's lines lie so well on those of a photo of skin that it is theirs."""
        return self.score.gain >= _SKIN_GAIN and self.score.explained >= _SKIN_EXPLAINED


# What two hundred pairs of known place gave: above these no wrong pair was seen; see the tests of this room.
_SKIN_GAIN, _SKIN_EXPLAINED, _PAPER_TOTAL = 0.6, 0.5, 0.5
# How much better than any other place it has to lie; set on seven pairs that had several.
_LEAST_LEAD = 0.12


def lay_by_taps(drawing: LineMap, onto: LineMap, firsts: Doubles, seconds: Doubles, *, on_skin: bool) -> LaidLines:
    """Lay a drawing where two or more points were tapped on both, and pull its lines in.

    Points are in pixels of the line maps; `on_skin` lets it slant and bend.
    """
    points, nearest = sample(drawing), nearest_lines(onto)
    start = through(np.asarray(firsts, np.float64), np.asarray(seconds, np.float64), drawing.diagonal / 2)
    pose = refine(points, nearest, start, SKIN if on_skin else PAPER)
    return LaidLines(pose, score(points, nearest, pose))


def best_elsewhere(drawing: LineMap, onto: LineMap, pose: Pose) -> float:
    """Give the best total score the drawing reaches on paper from where it doesn't belong: what chance makes of it.

    It is turned, made larger or smaller and shifted, each time by something else, and pulled in from there.
    """
    points, nearest = sample(drawing), nearest_lines(onto)
    middle = points.points.mean(0).astype(np.float64)
    here, size = pose.places(middle[None])[0], drawing.diagonal * pose.scale
    best = 0.0
    for number in range(_ELSEWHERE):
        way, far = number * _GOLDEN_ANGLE, 0.15 + 0.35 * number / _ELSEWHERE
        there = here + far * size * np.array([np.cos(way), np.sin(way)])
        start = similar(
            pose.scale * _GROWN[number % len(_GROWN)],
            pose.turned + _TURNED[number % len(_TURNED)],
            (float(middle[0]), float(middle[1])),
            (float(there[0]), float(there[1])),
            drawing.diagonal / 2,
        )
        best = max(best, score(points, nearest, refine(points, nearest, start, PAPER)).total)
    return best


# Twelve places round the middle, each next one a golden angle on and farther, all too far off to be pulled back.
_ELSEWHERE, _GOLDEN_ANGLE = 12, np.pi * (3 - 5**0.5)
_GROWN, _TURNED = (0.78, 0.9, 1.0, 1.12, 1.28), (-24.0, -8.0, 8.0, 24.0)


def lay_by_tap(drawing: LineMap, onto: LineMap, first: Point, second: Point, *, on_skin: bool) -> LaidLines | None:
    """Lay a drawing by one point tapped on both: of all turns and sizes, where its lines lie best; None for nowhere.

    Points are in pixels of the line maps. A reference is drawn as it stands, skin is photographed from any side.
    """
    points, nearest = sample(drawing), nearest_lines(onto)
    few = sample(drawing, _QUICK_POINTS)
    turns = range(-180, 180, 10) if on_skin else range(-20, 21, 5)
    starts = [similar(size, turn, first, second, drawing.diagonal / 2) for size in SIZES for turn in turns]
    starts.sort(key=lambda pose: -closeness(few, nearest, pose))
    pinned = np.array([first])
    found: list[LaidLines] = []
    for start in starts[:_MOST_REFINED]:
        pose = refine(points, nearest, start, SKIN if on_skin else PAPER)
        if float(np.hypot(*(pose.places(pinned)[0] - second))) < _TAP_OFF_MM * PX_PER_MM:
            found.append(LaidLines(pose, score(points, nearest, pose)))
    found.sort(key=lambda one: -one.score.total)
    if not found:
        return None
    others = (one.score.total for one in found if lie_apart(one.pose, found[0].pose, points))
    return replace(found[0], rival=max(others, default=0.0))


# Sizes of a drawing in the other picture: both are looked at with long sides of one length.
SIZES = tuple(0.22 * 1.17**step for step in range(12))
_QUICK_POINTS, _MOST_REFINED = 200, 10
# How far a tap may lie from what was meant, and how far two places of a drawing lie apart to be two.
_TAP_OFF_MM, _APART_MM = 6.0, 2.0


def lie_apart(one: Pose, other: Pose, points: LineMap) -> bool:
    """Say whether two poses put the drawing at two places."""
    off = one.places(points.points) - other.places(points.points)
    return float(np.median(np.hypot(off[:, 0], off[:, 1]))) > _APART_MM * PX_PER_MM


def lay_by_marks(one: LineMap, marks: LineMarks, onto: LineMap, onto_marks: LineMarks) -> LaidLines | None:
    """Lay two photos of skin on each other by their marks; None when those do not agree."""
    found = agree(marks, onto_marks)
    laid = lay_from(one, onto, found.pose) if found else None
    return replace(laid, agreeing=found.agreeing) if found and laid else None


def lay_from(one: LineMap, onto: LineMap, start: Pose) -> LaidLines | None:
    """Pull lines on skin in from a rough pose; None when hardly any of them come to lie inside the other picture."""
    points = _common(one, onto, start)
    if len(points.points) < _LEAST_POINTS:
        return None
    nearest = nearest_lines(onto)
    pose = refine(points, nearest, start, SKIN)
    return LaidLines(pose, score(points, nearest, pose))


_LEAST_POINTS = 40


def _common(one: LineMap, onto: LineMap, pose: Pose) -> LineMap:
    """Sample the lines of the first picture that come to lie inside the second."""
    places = pose.places(one.points)
    inside = (places > 0).all(1) & (places[:, 0] < onto.width) & (places[:, 1] < onto.height)
    seen = replace(one, points=one.points[inside], angles=one.angles[inside], strengths=one.strengths[inside])
    return sample(seen)
