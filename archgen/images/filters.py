"""Blur gray values, look around each of them, measure masks and take them apart; knows arrays, not pictures.

Beyond the edges a picture is taken to be reflected.
"""

from dataclasses import dataclass
from typing import Any, TypeVar

import cv2
import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]
Flags = npt.NDArray[np.bool_]
Number = TypeVar("Number", bound=np.generic)

# Pictures are worked on side by side already, and handing the smallest to other threads costs more than it saves.
cv2.setNumThreads(1)


def blurred(values: Floats, sigma: float, reach: float = 3.0) -> Floats:
    """Blur with a Gaussian, cut off at so many sigma."""
    size = 2 * int(reach * sigma + 0.5) + 1
    return np.asarray(cv2.GaussianBlur(values, (size, size), sigma, borderType=cv2.BORDER_REFLECT), np.float32)


def mean_around(values: Floats, size: int) -> Floats:
    """Give the mean of the square of `size` pixels around each pixel."""
    return np.asarray(cv2.blur(values, (size, size), borderType=cv2.BORDER_REFLECT), np.float32)


def greatest_around(values: Floats, size: int) -> Floats:
    """Give the greatest value in the square of `size` pixels around each pixel."""
    return np.asarray(cv2.dilate(values, np.ones((size, size), np.uint8)), np.float32)


def any_around(mask: npt.NDArray[np.bool_], size: int) -> npt.NDArray[np.bool_]:
    """Say for each pixel whether the square of `size` pixels around it meets the mask."""
    return np.asarray(cv2.dilate(mask.view(np.uint8), np.ones((size, size), np.uint8)) > 0)


def depth_inside(mask: npt.NDArray[np.bool_]) -> Floats:
    """Give each pixel's distance to the nearest one outside the mask; 0 everywhere when there is none."""
    if mask.all():
        return np.zeros(mask.shape, np.float32)
    depth = cv2.distanceTransform(mask.view(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    # Squares of distances between pixels are whole numbers: equal distances are equal to the last digit.
    squares = np.multiply(depth, depth, out=depth)
    return np.asarray(np.sqrt(np.rint(squares, out=squares), out=squares), np.float32)


def length(across: npt.NDArray[Any], down: npt.NDArray[Any]) -> Floats:
    """Give the length of steps; OpenCV's own differs in the last digit by where in memory the numbers lie."""
    return np.asarray(np.sqrt(across * across + down * down), np.float32)


def guided(values: Floats, radius: int, edge: float) -> Floats:
    """Apply the self-guided filter of He, Sun and Tang (2010): differences below `edge` are averaged, larger stay."""
    side = 2 * radius + 1
    mean = mean_around(values, side)
    variance: Floats = np.maximum(mean_around(values * values, side) - mean * mean, 0)
    slope = variance / (variance + np.float32(edge**2))
    offset = mean * (1 - slope)
    eased: Floats = mean_around(slope, side) * values + mean_around(offset, side)
    return eased


def carried_out(values: npt.NDArray[Number], within: Flags) -> npt.NDArray[Number]:
    """Give what lies outside the value of the nearest place within."""
    apart = np.asarray(~within, np.uint8)
    _, nearest = cv2.distanceTransformWithLabels(apart, cv2.DIST_L2, 3, labelType=cv2.DIST_LABEL_PIXEL)
    of_label = np.zeros(int(nearest.max()) + 1, values.dtype)
    of_label[nearest[within]] = values[within]
    return np.asarray(of_label[nearest], values.dtype)


@dataclass(frozen=True, slots=True)
class Spots:
    """What stands apart in a mask, touching corners joined: each pixel's number, 0 outside; area and box by number.

    Boxes are left, top, width, height; row 0 is what lies outside.
    """

    numbers: npt.NDArray[np.int32]
    area: npt.NDArray[np.int32]
    boxes: npt.NDArray[np.int32]


def find_spots(mask: npt.NDArray[np.bool_]) -> Spots:
    """Number what stands apart in a mask."""
    _, numbers, stats, _ = cv2.connectedComponentsWithStats(mask.view(np.uint8), connectivity=8)
    return Spots(
        np.asarray(numbers, np.int32),
        np.asarray(stats[:, cv2.CC_STAT_AREA], np.int32),
        np.asarray(stats[:, : cv2.CC_STAT_AREA], np.int32),
    )
