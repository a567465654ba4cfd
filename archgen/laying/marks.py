"""Recognise a drawing by the corners and crossings of its lines: found in two pictures, they agree on one pose.

Marks are described on the drawn line map, not on the picture, so that light, redness and tone say nothing.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from archgen.laying.line_map import LineMap, drawn_lines
from archgen.laying.pose import Pose, affine

Codes = npt.NDArray[np.uint8]

# Raise with every change of what is described.
VERSION = 1
MOST = 900
_DRAWN_SIDE = 600
_CODE_BYTES = 32
_HEAD = struct.Struct("<3I")
# How much nearer the best mark must be than the second best, and how far a mark may lie from where the pose puts it.
_NEARER, _OFF_PX = 0.85, 14.0
_LEAST_SCALE, _MOST_SCALE = 0.3, 3.3
_TRIES, _SURE = 600, 0.99


@dataclass(frozen=True, slots=True, eq=False)
class LineMarks:
    """Corners and crossings of lines, the plainest first: where they are on the line map, and what they look like."""

    width: int
    height: int
    points: npt.NDArray[np.float32]
    codes: Codes

    def plainest(self, count: int) -> LineMarks:
        """Give the first so many."""
        return LineMarks(self.width, self.height, self.points[:count], self.codes[:count])

    def to_bytes(self) -> bytes:
        """Pack; an eighth of a pixel is kept."""
        places = np.round(self.points * 8).clip(0, 65535).astype("<u2")
        return _HEAD.pack(self.width, self.height, len(self.points)) + places.tobytes() + self.codes.tobytes()

    @staticmethod
    def from_bytes(data: bytes) -> LineMarks:
        """Unpack.

        Raises:
            ValueError: The bytes are not those of `to_bytes`.
        """
        try:
            width, height, count = _HEAD.unpack_from(data)
            places = np.frombuffer(data, "<u2", 2 * count, _HEAD.size).reshape(count, 2).astype(
                np.float32
            ) / np.float32(8)
            codes = np.frombuffer(data, np.uint8, -1, _HEAD.size + 4 * count)
            codes = codes.reshape(count, _CODE_BYTES)
        except (struct.error, ValueError) as error:
            raise ValueError("These are not the bytes of line marks.") from error
        return LineMarks(width, height, places, codes)


@dataclass(frozen=True, slots=True, eq=False)
class MarkAgreement:
    """How many marks agree on one pose from the first picture to the second, of how many that were alike."""

    agreeing: int
    alike: int
    pose: Pose


def find_marks(lines: LineMap, *, mirrored: bool = False) -> LineMarks:
    """Describe the marks of a line map; mirrored, as they would be seen in a mirror, at their own places."""
    drawn = drawn_lines(lines, _DRAWN_SIDE)
    found, codes = _finder().detectAndCompute(drawn[:, ::-1].copy() if mirrored else drawn, None)
    order = np.argsort([-mark.response for mark in found], kind="stable")
    scale = max(lines.width, lines.height) / _DRAWN_SIDE
    points = np.array([found[number].pt for number in order], np.float32).reshape(-1, 2)
    if mirrored:
        points[:, 0] = drawn.shape[1] - 1 - points[:, 0]
    codes = codes[order] if codes is not None else np.zeros((0, _CODE_BYTES), np.uint8)
    return LineMarks(lines.width, lines.height, points * np.float32(scale), np.asarray(codes, np.uint8))


def agree(one: LineMarks, other: LineMarks, *, mirrored: bool = False) -> MarkAgreement | None:
    """Find the pose on which most marks agree; None when hardly any are alike.

    `mirrored`: the marks of the first were found mirrored, and the pose takes its own places over a mirror.
    """
    if len(one.points) < _LEAST or len(other.points) < _LEAST:
        return None
    pairs = cv2.BFMatcher(cv2.NORM_HAMMING).knnMatch(one.codes, other.codes, k=2)
    good = [two[0] for two in pairs if len(two) == 2 and two[0].distance < _NEARER * two[1].distance]
    if len(good) < _LEAST:
        return None
    first = one.points[[match.queryIdx for match in good]].astype(np.float64)
    second = other.points[[match.trainIdx for match in good]].astype(np.float64)
    if mirrored:
        first[:, 0] = one.width - 1 - first[:, 0]
    cv2.setRNGSeed(1)
    found, kept = cv2.estimateAffinePartial2D(
        first, second, method=cv2.RANSAC, ransacReprojThreshold=_OFF_PX, maxIters=_TRIES, confidence=_SURE
    )
    matrix = np.asarray(found, np.float64)  # of no shape where nothing was found
    if matrix.shape != (2, 3) or not _LEAST_SCALE < float(np.hypot(matrix[0, 0], matrix[1, 0])) < _MOST_SCALE:
        return None
    if mirrored:
        back = np.array([[-1.0, 0.0, one.width - 1], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
        matrix = matrix @ back
    middle = np.array([one.width / 2, one.height / 2])
    reach = float(np.hypot(one.width, one.height)) / 2
    return MarkAgreement(int(kept.sum()), len(good), affine(matrix[:, :2], matrix[:, 2], middle, reach))


_LEAST = 6


def _finder() -> cv2.ORB:
    return cv2.ORB.create(nfeatures=MOST, scaleFactor=1.2, nlevels=8, patchSize=31, fastThreshold=8)
