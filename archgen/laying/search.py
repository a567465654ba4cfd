"""Find where a drawing lies on the picture it was drawn from, with no point tapped; proposed, never decided.

The directions of lines are compared on a coarse grid at many sizes and turns (by Fourier transform, so at all places at
once); the best places are pulled in and scored.
"""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import numpy.typing as npt

from archgen.laying.lay import SIZES, LaidLines, lie_apart
from archgen.laying.line_map import LineMap
from archgen.laying.pose import Pose, similar
from archgen.laying.refine import PAPER, nearest_lines, refine, sample
from archgen.laying.score import score

Grid = npt.NDArray[np.complex64]
Doubles = npt.NDArray[np.float64]
Floating = npt.NDArray[np.floating]

# The picture's long side on the grid, and the side of the grid: room for a drawing that reaches over the edge.
_SIDE, _GRID = 160, 256
# A reference is drawn as it stands, or nearly.
_TURNS = range(-20, 21, 5)
_PEAKS, _OF_A_SIZE, _FEW_POINTS = 2, 3, 60
# What is drawn takes a third of a reference and more: smaller, a dense drawing fits any dark spot.
_SIZES = tuple(size for size in SIZES if size > 0.33)
# What counts as strength where the picture has hardly any, as a share of the mean of all places.
_FAINT = 0.04


def find_place(drawing: LineMap, onto: LineMap) -> LaidLines | None:
    """Lay a drawing where its lines lie best of all places, turns up to 20 degrees and sizes; None for nowhere.

    `rival` is the score of the best other place.
    """
    points, nearest = sample(drawing), nearest_lines(onto)
    found = []
    for start in _starts(drawing, onto):
        pose = refine(points, nearest, start, PAPER)
        if _is_inside(pose, points, onto):
            found.append(LaidLines(pose, score(points, nearest, pose)))
    if not found:
        return None
    found.sort(key=lambda one: -one.score.total)
    others = (one.score.total for one in found if lie_apart(one.pose, found[0].pose, points))
    return replace(found[0], rival=max(others, default=0.0))


def _is_inside(pose: Pose, points: LineMap, onto: LineMap) -> bool:
    """Say whether nine tenths of the drawing lie in the picture, and are neither tiny nor turned over."""
    places = pose.places(points.points)
    inside = ((places > 0) & (places < (onto.width, onto.height))).all(axis=1)
    return bool(inside.mean() >= 0.9) and not pose.is_mirrored and _SIZES[0] * 0.8 < pose.scale < _SIZES[-1] * 1.3


def _starts(drawing: LineMap, onto: LineMap) -> list[Pose]:
    """Give the poses whose directions agree best with those of the picture, the best first."""
    per_px = _SIDE / max(onto.width, onto.height)
    field = _field(onto.points * per_px, onto.angles, onto.strengths)
    there = np.fft.fft2(field)
    power = np.fft.rfft2(np.abs(field) ** 2)
    middle = drawing.points.mean(axis=0)
    chosen: list[Pose] = []
    for number, size in enumerate(_SIZES):
        here: list[tuple[float, Pose]] = []
        box = _box(drawing.points * size * per_px)
        around = np.fft.irfft2(power * np.fft.rfft2(box), s=(_GRID, _GRID)).clip(0)
        around += _FAINT * max(float(around.mean()), 1e-6)
        for turn in _TURNS:
            pose = similar(size, turn, (float(middle[0]), float(middle[1])), (0.0, 0.0), drawing.diagonal / 2)
            angles = np.mod(drawing.angles + np.radians(turn), np.pi)
            mask = _field(pose.places(drawing.points) * per_px, angles, drawing.strengths)
            alike = np.fft.ifft2(there * np.conj(np.fft.fft2(mask))).real
            alike /= max(float(np.linalg.norm(mask)), 1e-6) * np.sqrt(around)
            here += [
                (value, replace(pose, shift=np.array([x, y], np.float64) / per_px))
                for value, x, y in _peaks(alike, onto, per_px)
            ]
        few = sample(drawing, _FEW_POINTS)
        for _, pose in sorted(here, key=lambda one: -one[0]):
            if len(chosen) == _OF_A_SIZE * (number + 1):
                break
            if all(lie_apart(pose, other, few) for other in chosen):
                chosen.append(pose)
    return chosen


def _field(points: Floating, angles: Floating, strengths: Floating) -> Grid:
    """Sum the directions of lines in the cells of a grid, twice the angle so that both ways along a line are one."""
    at = np.round(points).astype(np.int64) % _GRID
    field = np.zeros((_GRID, _GRID), np.complex64)
    np.add.at(field, (at[:, 1], at[:, 0]), strengths * np.exp(2j * angles))
    return field


def _box(points: Floating) -> Doubles:
    """Give the box of the drawing round its middle, turned over in both directions for a convolution."""
    half = np.ptp(points, axis=0) / 2
    box = np.zeros((_GRID, _GRID))
    rows, columns = np.arange(-int(half[1]), int(half[1]) + 1), np.arange(-int(half[0]), int(half[0]) + 1)
    box[np.ix_(rows % _GRID, columns % _GRID)] = 1
    return box


def _peaks(alike: Doubles, onto: LineMap, per_px: float) -> list[tuple[float, int, int]]:
    """Give the highest places inside the picture, apart from each other."""
    height, width = int(onto.height * per_px), int(onto.width * per_px)
    field = alike[:height, :width].astype(np.float32)
    found = []
    for _ in range(_PEAKS):
        _, value, _, (x, y) = cv2.minMaxLoc(field)
        found.append((float(value), x, y))
        cv2.circle(field, (x, y), 8, -1.0, -1)
    return found
