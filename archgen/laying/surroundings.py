"""Describe what lies round points of lines, so that a place of a drawing is known again in a photo of it.

A mark (`marks`) is small and needs a corner; the surroundings of a point are a fifth of the drawing and need none. They
are seen along the line that goes through the point, at a given reach: a pair that is alike tells turn, size and place.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
import numpy.typing as npt

from archgen.laying.line_map import LineMap

Floats = npt.NDArray[np.float32]

# Raise with every change of what is described.
VERSION = 1
# Rings round the point that are looked at: their radius and how softly, as shares of the reach; places on each.
_RINGS = ((0.3, 0.13), (0.62, 0.2), (1.0, 0.28))
_PLACES = 8
_NUMBERS = len(_RINGS) * _PLACES * 3
# How much it counts how many lines there are, beside where they run.
_DENSITY = 0.5
# Lines are summed in cells of so many pixels first.
_CELL = 3
_HEAD = struct.Struct("<If")
_STEPS = 254


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """Points of lines, the direction they are seen along, how far is looked, and what is seen there.

    Attributes:
        angles: In radians; a line can be followed both ways.
        codes: One row each, of length one; the product of two rows says how alike they are, 1 being the most.
    """

    points: Floats
    angles: Floats
    reaches: Floats
    codes: Floats

    def to_bytes(self) -> bytes:
        """Pack those of one reach."""
        codes = np.round(self.codes * _STEPS).clip(-127, 127).astype("i1")
        head = _HEAD.pack(len(self.points), float(self.reaches[0]) if len(self.reaches) else 0.0)
        return head + self.points.astype("<f4").tobytes() + self.angles.astype("<f4").tobytes() + codes.tobytes()

    @staticmethod
    def from_bytes(data: bytes) -> Surroundings:
        """Unpack.

        Raises:
            ValueError: The bytes are not those of `to_bytes`.
        """
        try:
            count, reach = _HEAD.unpack_from(data)
            points = np.frombuffer(data, "<f4", 2 * count, _HEAD.size).reshape(count, 2)
            angles = np.frombuffer(data, "<f4", count, _HEAD.size + 8 * count)
            codes = np.frombuffer(data, "i1", -1, _HEAD.size + 12 * count).reshape(count, _NUMBERS)
        except (struct.error, ValueError) as error:
            raise ValueError("These are not the bytes of surroundings.") from error
        return Surroundings(
            points, angles, np.full(count, reach, np.float32), codes.astype(np.float32) / np.float32(_STEPS)
        )


def without_specks(lines: LineMap, least_px: int) -> LineMap:
    """Leave out lines shorter than so many pixels: pores, grain, grass."""
    rows, columns = _cells(lines, 1)
    field = np.zeros((lines.height, lines.width), np.uint8)
    field[rows, columns] = 1
    _, labels, found, _ = cv2.connectedComponentsWithStats(cv2.dilate(field, np.ones((2, 2), np.uint8)), connectivity=8)
    mine = labels[rows, columns]
    long = found[:, [cv2.CC_STAT_WIDTH, cv2.CC_STAT_HEIGHT]].max(axis=1) >= 0.8 * least_px
    kept = (np.bincount(mine, minlength=len(found)) >= least_px)[mine] & long[mine]
    return _chosen(lines, kept)


def spread(lines: LineMap, count: int, cell_px: int) -> LineMap:
    """Choose so many points at most, one of each cell, spread over all cells."""
    cells = (lines.points // cell_px).astype(np.int64)
    _, first = np.unique(cells[:, 0] * 10_000 + cells[:, 1], return_index=True)
    if len(first) > count:
        first = first[np.linspace(0, len(first) - 1, count).astype(int)]
    return _chosen(lines, first)


def surroundings(lines: LineMap, at: LineMap, reaches: Sequence[float], *, both_ways: bool) -> Surroundings:
    """Describe what lies round some points of lines, for each reach in pixels."""
    field = _field(lines)
    ways = (0.0, np.pi) if both_ways else (0.0,)
    seen = [(reach, (at.angles + way).astype(np.float32)) for reach in reaches for way in ways]
    return Surroundings(
        np.concatenate([at.points] * len(seen)),
        np.concatenate([angles for _, angles in seen]),
        np.repeat(np.array([reach for reach, _ in seen], np.float32), len(at.points)),
        np.concatenate([_described(field, at.points, angles, reach) for reach, angles in seen]),
    )


def _chosen(lines: LineMap, which: npt.NDArray[np.bool_] | npt.NDArray[np.intp]) -> LineMap:
    return replace(lines, points=lines.points[which], angles=lines.angles[which], strengths=lines.strengths[which])


def _cells(lines: LineMap, px: int) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    at = (np.round(lines.points) // px).astype(np.intp)
    return at[:, 1].clip(0, (lines.height - 1) // px), at[:, 0].clip(0, (lines.width - 1) // px)


def _field(lines: LineMap) -> Floats:
    """Sum in each cell how much line there is, and cosine and sine of twice its direction."""
    rows, columns = _cells(lines, _CELL)
    field = np.zeros((lines.height // _CELL + 1, lines.width // _CELL + 1, 3), np.float32)
    strengths = np.minimum(lines.strengths, 1)
    seen = (strengths, strengths * np.cos(2 * lines.angles), strengths * np.sin(2 * lines.angles))
    np.add.at(field, (rows, columns), np.stack(seen, axis=1))
    return field


def _described(field: Floats, points: Floats, angles: Floats, reach: float) -> Floats:
    if not len(points):  # the library takes no empty ones
        return np.zeros((0, _NUMBERS), np.float32)
    far = reach / _CELL
    room = int(far * 1.9) + 2
    wide = cv2.copyMakeBorder(field, room, room, room, room, cv2.BORDER_CONSTANT)
    cosine, sine = np.cos(2 * angles), np.sin(2 * angles)
    codes = np.empty((len(points), len(_RINGS), _PLACES, 3), np.float32)
    ways = angles[:, None] + np.arange(_PLACES, dtype=np.float32) * np.float32(2 * np.pi / _PLACES)
    for ring, (radius, softness) in enumerate(_RINGS):
        blurred = cv2.GaussianBlur(wide, (0, 0), softness * far) * np.float32((softness * far) ** 2)
        x = points[:, :1] / _CELL + room + radius * far * np.cos(ways)
        y = points[:, 1:] / _CELL + room + radius * far * np.sin(ways)
        seen = cv2.remap(blurred, x.astype(np.float32), y.astype(np.float32), cv2.INTER_LINEAR)
        codes[:, ring, :, 0] = seen[..., 0] * np.float32(_DENSITY)
        codes[:, ring, :, 1] = seen[..., 1] * cosine[:, None] + seen[..., 2] * sine[:, None]
        codes[:, ring, :, 2] = seen[..., 2] * cosine[:, None] - seen[..., 1] * sine[:, None]
    flat = codes.reshape(len(points), _NUMBERS)
    # The root keeps one strong line from saying everything.
    rooted = np.sign(flat) * np.sqrt(np.abs(flat))
    return np.asarray(rooted / np.maximum(np.linalg.norm(rooted, axis=1, keepdims=True), 1e-6), np.float32)
