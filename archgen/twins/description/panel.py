"""Find the picture within a frame, on a screen, or between the corners that tilting leaves.

What surrounds a picture there has one flat colour and reaches the edge. Knows gray values, not files.
"""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
import numpy.typing as npt

from archgen.twins.description.prepared import Bytes
from archgen.twins.description.turns import Floats
from archgen.values.frozen import Value

# Left, top, right, bottom in pixels of the gray map.
Corners = tuple[int, int, int, int]
Flags = npt.NDArray[np.bool_]

# Gray levels by which the flat colour may vary, and the share of the edge that it must hold.
FLAT, LEAST_EDGE = 7, 0.15
# Ink under which bright ground counts as flat: the light on a scanned sheet is uneven.
FLAT_INK, BRIGHT = 0.07, 170
# Share of the area that the picture takes at least and at most.
LEAST_AREA, MOST_AREA = 0.04, 0.985
# Its share of all that is not surroundings: a screen shows little else, and lines part a drawing into many.
LEAST_OF_REST = 0.5
# Its shorter side, in parts of the longer of all: the head of a screen has a twentieth.
LEAST_SHORT = 0.11
# Share of its own convex hull that it fills, and of its upright box when it stands straight.
LEAST_SOLID, STRAIGHT = 0.93, 0.975
# Share of its least upright or turned box: a sheet seen at a slant has nine tenths, an ellipse 0.79.
LEAST_SQUARE = 0.86
# Gray levels by which encoding changes a flat colour.
PURE = 3
# Share of the surroundings that has a colour to one level: between the words and buttons of a screen 0.73, of a night
# sky 0.57. Share of two opposite edges that a frame takes.
LEAST_EXACT, MOSTLY = 0.65, 0.8
# Gray levels by which a picture is darker at its rim than the paper it was printed on.
LEAST_STEP = 25
# Share of a side of the box that may show the surroundings.
MOST_OUTSIDE = 0.02


class Panel(Value, frozen=True):
    """Where the picture is: an upright box that holds nothing else, and everything around the picture.

    `is_straight`: its sides are upright; `is_flat`: around it is nothing but flat colour, put there on purpose;
    `is_drawn`: only a line parts it from surroundings of the same colour.
    """

    box: Corners
    around: Flags
    is_straight: bool
    is_flat: bool
    is_drawn: bool


def find_panel(gray: Bytes, ink: Floats) -> Panel | None:
    """Find the picture within its surroundings; `None` when it has none."""
    colors = _edge_colors(gray)
    best = None
    for some in [[color] for color in colors] + ([colors] if len(colors) > 1 else []):
        for ground in _grounds(gray, ink, some):
            panel = _panel(gray, ground, some)
            if panel and panel.is_straight and not panel.is_drawn:
                return panel
            best = best or panel
    return best or next((panel for color in colors if (panel := _between_bands(gray, color)) is not None), None)


def _edge_colors(gray: Bytes) -> list[int]:
    """Give the gray values that hold much of the edge, the commonest first."""
    ring = np.concatenate([gray[0], gray[-1], gray[1:-1, 0], gray[1:-1, -1]])
    counts = np.convolve(np.bincount(ring, minlength=256), np.ones(2 * FLAT + 1), "same")
    colors = []
    while counts.max() >= LEAST_EDGE * len(ring):
        near = ring[np.abs(ring.astype(np.int16) - int(counts.argmax())) <= FLAT]
        colors.append(int(np.bincount(near).argmax()))
        counts[max(0, colors[-1] - 2 * FLAT) : colors[-1] + 2 * FLAT + 1] = 0
    return colors


def _panel(gray: Bytes, ground: Flags, colors: Sequence[int]) -> Panel | None:
    """Take the ground that reaches the edge for the surroundings, and look at what is left."""
    around = reaching_edge(ground)
    hull = _largest_rest(around)
    if hull is None:
        return None
    outside = gray[~hull].astype(np.int16)
    is_flat = bool(outside.size) and _off(outside, colors, 1) < 1 - LEAST_EXACT
    if not is_flat and (colors[0] < BRIGHT or _step(gray, hull) < LEAST_STEP):
        return None
    left, top, width, height = cv2.boundingRect(hull.astype(np.uint8))
    is_straight = int(hull.sum()) > STRAIGHT * width * height
    if is_straight and not _spans(around & ~hull):
        return None
    box = (_trimmed if is_straight else _inscribed)(hull, (left, top, left + width, top + height))
    return None if box is None else Panel(box, ~hull, is_straight, is_flat, _has_color(gray, box, colors[0]))


def _between_bands(gray: Bytes, color: int) -> Panel | None:
    """Find a picture that runs into the bands around it, as black lines do into black bars; it may have none."""
    same = _near(gray, [color], PURE)
    top, bottom = _band_ends(same)
    left, right = _band_ends(same[top:bottom].T)
    sides = (bottom - top, right - left)
    is_between = (top > 0 and bottom < len(gray)) or (left > 0 and right < gray.shape[1])
    if not is_between or min(sides) < LEAST_SHORT * max(gray.shape) or sides[0] * sides[1] < LEAST_AREA * gray.size:
        return None
    box = (left, top, right, bottom)
    around = np.ones(gray.shape, bool)
    around[top:bottom, left:right] = False
    if _has_color(gray, box, color):
        return None
    return Panel(box, around, is_straight=True, is_flat=False, is_drawn=False)


def _band_ends(same: Flags) -> tuple[int, int]:
    """Give where the rows begin and end that are not mostly of the colour of the band."""
    other = np.flatnonzero(same.mean(axis=1) < BAND_SHARE)
    return (int(other[0]), int(other[-1]) + 1) if len(other) else (0, len(same))


# Share of a row that must have the colour of the band: icons and text of a status bar take up to a third.
BAND_SHARE = 0.68


def _near(gray: Bytes, colors: Sequence[int], most: int) -> Flags:
    """Mark what has one of some colours, or nearly."""
    table = np.zeros(256, bool)
    for color in colors:
        table[max(0, color - most) : color + most + 1] = True
    return table[gray]


def _grounds(gray: Bytes, ink: Floats, colors: Sequence[int]) -> list[Flags]:
    """Give what may be the ground: what has the colours but for the encoding, or about them, and all paper."""
    about = _near(gray, colors, FLAT)
    return [_near(gray, colors, PURE), about | (ink < FLAT_INK) if max(colors) >= BRIGHT else about]


def reaching_edge(flat: Flags) -> Flags:
    """Give the parts of a flat area that reach the edge."""
    _, labels = cv2.connectedComponents(flat.astype(np.uint8), connectivity=4)
    outer = np.unique(np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]]))
    return np.isin(labels, outer[outer > 0])


def _largest_rest(around: Flags) -> Flags | None:
    """Give the largest part of the rest, filled up, when it has the size and the shape of a sheet."""
    inside = cv2.morphologyEx((~around).astype(np.uint8), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(inside, connectivity=4)
    if count < 2:
        return None
    largest = 1 + int(stats[1:, cv2.CC_STAT_AREA].argmax())
    area = int(stats[largest, cv2.CC_STAT_AREA])
    if area < LEAST_OF_REST * int(inside.sum()):
        return None
    short = int(min(stats[largest, cv2.CC_STAT_WIDTH], stats[largest, cv2.CC_STAT_HEIGHT]))
    if not LEAST_AREA * around.size < area < MOST_AREA * around.size or short < LEAST_SHORT * max(around.shape):
        return None
    contours, _ = cv2.findContours((labels == largest).astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    outline = cv2.convexHull(np.concatenate(contours))
    hull = np.zeros(around.shape, np.uint8)
    cv2.fillConvexPoly(hull, outline, 1)
    _, sides, _ = cv2.minAreaRect(outline)
    filled = int(hull.sum())
    return hull > 0 if area > LEAST_SOLID * filled and filled > LEAST_SQUARE * sides[0] * sides[1] else None


def _off(values: npt.NDArray[np.int16], colors: Sequence[int], most: int) -> float:
    """Give the share of gray values that are further from all of some colours."""
    return float((np.abs(values[:, None] - np.array(colors)).min(axis=1) > most).mean())


def _spans(surroundings: Flags) -> bool:
    """Tell whether the surroundings take two opposite edges, or all but a little of them."""
    sides = [float(side.mean()) for side in (surroundings[0], surroundings[-1])]
    ends = [float(side.mean()) for side in (surroundings[:, 0], surroundings[:, -1])]
    return max(min(sides), min(ends)) > MOSTLY


def _step(gray: Bytes, hull: Flags) -> float:
    """Give how much darker the picture is inside its outline than outside."""
    sheet = hull.astype(np.uint8)
    near = [cv2.dilate(sheet, np.ones((side, side), np.uint8)) for side in (3, 9)]
    far = [cv2.erode(sheet, np.ones((side, side), np.uint8)) for side in (3, 9)]
    outside, inside = gray[(near[1] > 0) & (near[0] == 0)], gray[(far[0] > 0) & (far[1] == 0)]
    return float(outside.mean()) - float(inside.mean()) if outside.size and inside.size else 0.0


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
    return _off(rim, [color], 2 * FLAT) < 0.5
