"""Lay the lines of one picture on those of another: rough pose, pulled in, scored; proposed, never decided."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from archgen.laying.line_map import LineMap
from archgen.laying.marks import LineMarks, agree
from archgen.laying.pose import Doubles, Pose, through
from archgen.laying.refine import PAPER, SKIN, nearest_lines, refine, sample
from archgen.laying.score import LaidScore, score


@dataclass(frozen=True, slots=True, eq=False)
class LaidLines:
    """One picture's lines on another's: the pose between their line maps, and how well they lie."""

    pose: Pose
    score: LaidScore
    agreeing: int = 0


def lay_by_taps(drawing: LineMap, onto: LineMap, firsts: Doubles, seconds: Doubles, *, on_skin: bool) -> LaidLines:
    """Lay a drawing where two or more points were tapped on both, and pull its lines in.

    Points are in pixels of the line maps; `on_skin` lets it slant and bend.
    """
    points, nearest = sample(drawing), nearest_lines(onto)
    start = through(np.asarray(firsts, np.float64), np.asarray(seconds, np.float64), drawing.diagonal / 2)
    pose = refine(points, nearest, start, SKIN if on_skin else PAPER)
    return LaidLines(pose, score(points, nearest, pose))


def lay_by_marks(one: LineMap, marks: LineMarks, onto: LineMap, onto_marks: LineMarks) -> LaidLines | None:
    """Lay two photos of skin on each other by their marks; None when those do not agree."""
    found = agree(marks, onto_marks)
    if found is None:
        return None
    points = _common(one, onto, found.pose)
    if len(points.points) < _LEAST_POINTS:
        return None
    nearest = nearest_lines(onto)
    pose = refine(points, nearest, found.pose, SKIN)
    return LaidLines(pose, score(points, nearest, pose), found.agreeing)


_LEAST_POINTS = 40


def _common(one: LineMap, onto: LineMap, pose: Pose) -> LineMap:
    """Sample the lines of the first picture that come to lie inside the second."""
    places = pose.places(one.points)
    inside = (places > 0).all(1) & (places[:, 0] < onto.width) & (places[:, 1] < onto.height)
    seen = replace(one, points=one.points[inside], angles=one.angles[inside], strengths=one.strengths[inside])
    return sample(seen)
