"""Find the picture within a frame, on a screen, or between the corners that tilting leaves.

What surrounds a picture there has one flat colour and reaches the edge. Knows gray values, not files.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from archgen.twins.prepared import Bytes
from archgen.twins.turns import Floats

# Left, top, right, bottom in pixels of the gray map.
Corners = tuple[int, int, int, int]
Flags = npt.NDArray[np.bool_]

# Gray levels by which the flat colour may vary, and the share of the edge that it must hold.
FLAT, LEAST_EDGE = 7, 0.15
# Ink under which bright ground counts as flat: the light on a scanned sheet is uneven.
FLAT_INK, BRIGHT = 0.07, 170
# Share of the area that the picture takes at least and at most.
LEAST_AREA, MOST_AREA = 0.04, 0.985
# Share of its own convex hull that it fills, and of its upright box when it stands straight.
LEAST_SOLID, STRAIGHT = 0.93, 0.975
# Share of a side of the box that may show the surroundings.
MOST_OUTSIDE = 0.02


@dataclass(frozen=True, slots=True)
class Panel:
    """Where the picture is: an upright box that holds nothing else, and everything around the picture.

    `is_straight`: its sides are upright; `is_drawn`: only a line parts it from surroundings of the same colour.
    """

    box: Corners
    around: Flags
    is_straight: bool
    is_drawn: bool


def find_panel(gray: Bytes, ink: Floats) -> Panel | None:
    """Find the picture within its surroundings; `None` when it has none."""
    around, color = _surroundings(gray, ink)
    if not around.any():
        return None
    inside = cv2.morphologyEx((~around).astype(np.uint8), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(inside, connectivity=4)
    if count < 2:
        return None
    largest = 1 + int(stats[1:, cv2.CC_STAT_AREA].argmax())
    area = int(stats[largest, cv2.CC_STAT_AREA])
    if not LEAST_AREA * gray.size < area < MOST_AREA * gray.size:
        return None
    content = labels == largest
    contours, _ = cv2.findContours(content.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    hull = np.zeros(gray.shape, np.uint8)
    cv2.fillConvexPoly(hull, cv2.convexHull(np.concatenate(contours)), 1)
    if area < LEAST_SOLID * int(hull.sum()):
        return None
    left, top, width, height = (int(value) for value in stats[largest, :4])
    is_straight = int(hull.sum()) > STRAIGHT * width * height
    box = (_trimmed if is_straight else _inscribed)(hull.astype(bool), (left, top, left + width, top + height))
    if box is None:
        return None
    return Panel(box, hull == 0, is_straight, _has_color(gray, box, color))


def _surroundings(gray: Bytes, ink: Floats) -> tuple[Flags, int]:
    """Mark flat ground that reaches the edge; gives its commonest gray value as well."""
    ring = np.concatenate([gray[0], gray[-1], gray[1:-1, 0], gray[1:-1, -1]])
    counts = np.convolve(np.bincount(ring, minlength=256), np.ones(2 * FLAT + 1), "same")
    first = color = int(counts.argmax())
    flat = np.zeros(gray.shape, bool)
    while counts[color] >= LEAST_EDGE * len(ring):
        flat |= np.abs(gray.astype(np.int16) - color) <= FLAT
        if color >= BRIGHT:
            flat |= ink < FLAT_INK
        counts[max(0, color - 2 * FLAT) : color + 2 * FLAT + 1] = 0
        color = int(counts.argmax())
    _, labels = cv2.connectedComponents(flat.astype(np.uint8), connectivity=4)
    outer = np.unique(np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]]))
    return np.isin(labels, outer[outer > 0]), first


def _trimmed(content: Flags, box: Corners) -> Corners | None:
    """Step inwards from a box, side by side, until none of its sides shows the surroundings."""
    left, top, right, bottom = box
    while min(right - left, bottom - top) > MIN_SIDE:
        outside = _outside(content[top:bottom, left:right])
        worst = int(np.argmax(outside))
        if outside[worst] <= MOST_OUTSIDE:
            return left, top, right, bottom
        left, top = left + (worst == 0), top + (worst == 1)
        right, bottom = right - (worst == 2), bottom - (worst == 3)
    return None


def _inscribed(content: Flags, box: Corners) -> Corners | None:
    """Make a box smaller, of the same shape and about the same middle, until it shows no surroundings."""
    left, top, right, bottom = box
    for step in range(1, 25):
        x, y = (right - left) * step // 100, (bottom - top) * step // 100
        if min(right - left - 2 * x, bottom - top - 2 * y) <= MIN_SIDE:
            return None
        if np.mean(_outside(content[top + y : bottom - y, left + x : right - x])) <= MOST_OUTSIDE:
            return left + x, top + y, right - x, bottom - y
    return None


def _outside(part: Flags) -> list[float]:
    """Give the share of the surroundings along the left, upper, right and lower side."""
    return [1 - float(side.mean()) for side in (part[:, 0], part[0], part[:, -1], part[-1])]


MIN_SIDE = 12


def _has_color(gray: Bytes, box: Corners, color: int) -> bool:
    """Tell whether the picture begins, behind its outline, with the colour of its surroundings."""
    left, top, right, bottom = box
    step = max(4, (right - left) // 32)
    inner = gray[top + step : bottom - step, left + step : right - step].astype(np.int16)
    if not inner.size:
        return False
    rim = np.concatenate([inner[0], inner[-1], inner[:, 0], inner[:, -1]])
    return bool((np.abs(rim - color) <= 2 * FLAT).mean() > 0.5)
