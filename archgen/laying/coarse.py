"""Find rough poses of a drawing in another picture: by a grid of directions, searched over all turns and sizes at once.

Both pictures become fields of doubled directions, in which a drawing laid right adds up and anything else cancels out.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from archgen.laying.line_map import LineMap
from archgen.laying.pose import Pose, similar

Complexes = npt.NDArray[np.complex64]

GRID = 128
TURNS = 36
# The drawing's long side as a share of the other picture's: from a small part of it to more than fills it.
SIZES = tuple(float(size) for size in np.geomspace(0.22, 1.1, 10))
_FLOOR = 0.04


@dataclass(frozen=True, slots=True)
class RoughPose:
    """A pose, and how well the directions agree: 0 to about 1."""

    pose: Pose
    score: float


def direction_field(lines: LineMap, side: int = GRID) -> Complexes:
    """Give the field of doubled directions, its long side so many cells."""
    scale = side / max(lines.width, lines.height)
    shape = max(1, round(lines.height * scale)), max(1, round(lines.width * scale))
    return _splatted(lines.points * np.float32(scale), lines, 0.0, shape)


def rough_poses(drawing: LineMap, field: Complexes, onto: LineMap, most: int = 12) -> list[RoughPose]:
    """Search all turns and sizes; `field` is that of `onto`."""
    height, width = field.shape
    size = cv2.getOptimalDFTSize(height + GRID // 2), cv2.getOptimalDFTSize(width + GRID // 2)
    spectrum = np.fft.fft2(field, size)
    energy = np.fft.rfft2(np.abs(field) ** 2, size)
    low, high = np.percentile(drawing.points, (1, 99), axis=0)
    middle, extent = (low + high) / 2, float(max(high - low))
    found: list[tuple[float, Pose]] = []
    onto_scale = max(onto.width, onto.height) / max(field.shape)
    for share in SIZES:
        cells = share * max(height, width)
        shrink = cells / max(extent, 1.0)
        for number in range(TURNS):
            turn = 2 * np.pi * number / TURNS
            template = _template(drawing, middle, shrink, turn, cells)
            area = template.shape[0] * template.shape[1]
            cross = np.fft.ifft2(spectrum * np.conj(np.fft.fft2(template, size))).real
            ones = np.ones(template.shape, np.float32)
            local = np.fft.irfft2(energy * np.conj(np.fft.rfft2(ones, size)), size)
            norm = float(np.linalg.norm(template)) * np.sqrt(np.maximum(local, 0) + _FLOOR * area)
            agree = (cross / np.maximum(norm, 1e-6))[:height, :width]
            row, column = np.unravel_index(int(agree.argmax()), agree.shape)
            end = (np.array([column, row]) + np.array(template.shape[::-1]) / 2 - 0.5) * onto_scale
            pose = similar(shrink * onto_scale, float(np.degrees(turn)), tuple(middle), tuple(end), drawing.diagonal / 2)
            found.append((float(agree[row, column]), pose))
    found.sort(key=lambda one: -one[0])
    return [RoughPose(pose, round(value, 4)) for value, pose in found[:most]]


def _template(drawing: LineMap, middle: npt.NDArray[np.floating], shrink: float, turn: float, cells: float) -> Complexes:
    matrix = shrink * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    places = (drawing.points - middle) @ matrix.T
    half = np.ceil(np.abs(places).max(0)).clip(2, GRID // 2 - 1).astype(int)
    return _splatted((places + half).astype(np.float32), drawing, turn, (2 * int(half[1]) + 1, 2 * int(half[0]) + 1))


def _splatted(places: npt.NDArray[np.float32], lines: LineMap, turn: float, shape: tuple[int, int]) -> Complexes:
    at = np.round(places).astype(int)
    inside = (at >= 0).all(1) & (at[:, 0] < shape[1]) & (at[:, 1] < shape[0])
    field = np.zeros(shape, np.complex64)
    doubled = lines.strengths[inside] * np.exp(2j * (lines.angles[inside] + turn))
    np.add.at(field, (at[inside, 1], at[inside, 0]), doubled.astype(np.complex64))
    return field
