"""Where the content of a picture is: the drawing on its paper, the photograph within its bands or on a screen.

Knows gray values, not files.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.images.filters import find_spots, greatest_around, mean_around
from archgen.twins.description.panel import BRIGHT, Corners, find_panel, reaching_edge
from archgen.twins.description.prepared import COLOR_CELLS, Bytes, Prepared
from archgen.twins.description.signature import PictureKind
from archgen.twins.description.turns import Floats

# Side of the map on which the paper is found.
PAPER_SIDE = 48


# --- line art -------------------------------------------------------------------------------------------------


def ink_map(gray: npt.NDArray[np.generic]) -> Floats:
    """Tell how dark each pixel is against the paper around it: 0 paper, 1 black.

    The paper is the bright level of each part of the picture, so a shadow across a scan does not count as ink.
    """
    light = gray.astype(np.float32)
    rows, columns = light.shape
    picture = Image.fromarray(light)
    scale = PAPER_SIDE / max(rows, columns)
    small = picture.resize((max(4, round(columns * scale)), max(4, round(rows * scale))), Image.Resampling.BOX)
    brightest = greatest_around(np.asarray(small), 9)
    smooth = Image.fromarray(mean_around(brightest, 7))
    paper = np.asarray(smooth.resize((columns, rows), Image.Resampling.BILINEAR))
    paper = np.maximum(paper, 0.6 * float(np.sort(brightest, axis=None)[int(0.9 * brightest.size)]) + 1.0)
    ink: Floats = np.clip((paper - light) / paper, 0.0, 1.0).astype(np.float32)
    return ink


@lru_cache(maxsize=64)
def ink_of(prepared: Prepared) -> Floats:
    """Give the ink map of a prepared picture; one picture is compared many times in a row."""
    return ink_map(prepared.gray)


def ink_level(gray: npt.NDArray[np.generic]) -> float:
    """Tell how dark the darkest ink is, 0 to 1; needs a picture in which a line is a pixel wide at least."""
    return float(np.percentile(ink_map(gray[::2, ::2]), 99.5))


# --- content boxes --------------------------------------------------------------------------------------------

# Share of paper from which a picture may be line art, and from which it is nothing else.
PAPER_MAYBE, PAPER_SURE = 0.40, 0.72
# Ink under which a pixel is paper, and ink that the lines of a drawing reach; a pale photograph does not.
PAPER_INK, DARK_INK = 0.08, 0.45
# Share of gray among the ink of things photographed on white ground; of fine lines only a blurred copy has as much.
GRAY_INK = 0.7


def content_boxes(gray: Bytes, ink: Floats, picture: Image.Image, gray_ink: float) -> list[tuple[PictureKind, Corners]]:
    """Choose how to look at a picture and where its content is; what could be either is looked at both ways.

    `picture` is the same in colour, of any size; `gray_ink` the share of its ink that is not black.
    """
    boxes: list[tuple[PictureKind, Corners]] = []
    for sheet in _sheets(gray, ink):
        paper = float((_cut(ink, sheet) < PAPER_INK).mean()) if _is_paper(gray, picture, sheet) else 0.0
        if paper >= PAPER_MAYBE:
            drawing = ink_box(ink, sheet)
            # The sheet as well: a part that lost the edge of the drawing has another box.
            boxes += [(PictureKind.LINE, box) for box in (drawing, main_part(ink, drawing))]
            boxes += [(PictureKind.LINE, sheet)] if _differ(drawing, sheet) else []
        is_pale = gray_ink > GRAY_INK or float(np.percentile(_cut(ink, sheet), 99.5)) < DARK_INK
        if paper < PAPER_SURE or is_pale or not _is_even(_cut(gray, sheet)):
            boxes.append((PictureKind.PHOTO, sheet))
    return list(dict.fromkeys(one for one in boxes if _is_enough(one[1])))


def _is_enough(box: Corners) -> bool:
    """Tell a box that may hold a design from the strip that is left of a frame."""
    return min(box[2] - box[0], box[3] - box[1]) >= LEAST_SIDE


LEAST_SIDE = 8


def _sheets(gray: Bytes, ink: Floats) -> list[Corners]:
    """Take off frames and screens; what could be a part of the picture is looked at with it and without."""
    box = (0, 0, gray.shape[1], gray.shape[0])
    sheets = [box]
    for level in range(MOST_FRAMES):
        panel = find_panel(_cut(gray, box), _cut(ink, box))
        if panel is None:
            break
        inner = _within(panel.box, box)
        if _is_blank(_cut(gray, inner)):
            break
        box = inner
        # What looks like a second frame may be the dark ground of the photograph.
        is_frame = level == 0 and panel.is_straight and panel.is_flat and not panel.is_drawn
        sheets = [box] if is_frame else [*sheets, box]
    return sheets


# A picture in a window on a desktop, or a border around a border.
MOST_FRAMES = 2


def _is_blank(gray: Bytes) -> bool:
    """Tell a black shape from a picture: but for notches of its outline it has one dark colour."""
    if not gray.size:
        return True
    color = float(np.median(gray))
    off = np.abs(gray - color) > BLANK_LEVELS
    inside = off & ~reaching_edge(off)
    return color < BRIGHT and float(off.mean()) < MOST_NOTCHES and float(inside.mean()) < LEAST_INSIDE


# Gray levels by which a colour that is one varies; the share of a box that notches take; and the share that tells
# something when it lies inside: white lines on black.
BLANK_LEVELS, MOST_NOTCHES, LEAST_INSIDE = 12, 0.15, 0.003


def _within(inner: Corners, outer: Corners) -> Corners:
    """Place a box, and step inside the soft edge of a frame, which would count as ink."""
    left, top, _, _ = outer
    moved = (inner[0] + left, inner[1] + top, inner[2] + left, inner[3] + top)
    step = (2, 2, -2, -2)
    sides = (a if a == b else a + inward for a, b, inward in zip(moved, outer, step, strict=True))
    left, top, right, bottom = sides
    return left, top, right, bottom


def without_corners(gray: Bytes, ink: Floats, picture: Image.Image) -> Bytes:
    """Paint over what lies around a sheet of paper that was tilted or seen at a slant."""
    panel = find_panel(gray, ink)
    if panel is None or panel.is_straight or panel.is_drawn or not panel.is_flat:
        return gray
    if not _is_paper(gray, picture, panel.box) or not _is_even(_cut(gray, panel.box)):
        return gray
    around = cv2.dilate(panel.around.astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
    sheet = gray[~around]
    paper = sheet[sheet >= np.percentile(sheet, 50)] if sheet.size else sheet
    return np.where(around, np.uint8(np.median(paper)), gray) if paper.size else gray


def _differ(one: Corners, two: Corners) -> bool:
    """Tell boxes whose sides lie apart by more than alignment bridges."""
    size = max(two[2] - two[0], two[3] - two[1])
    return max(abs(a - b) for a, b in zip(one, two, strict=True)) > SAME_BOX * size


# Share of a box by which the sides of another that stands for it may lie apart.
SAME_BOX = 0.04


def _cut(values: npt.NDArray[Any], box: Corners) -> npt.NDArray[Any]:
    left, top, right, bottom = box
    return values[top:bottom, left:right]


def _is_even(gray: Bytes) -> bool:
    """Tell paper, most of which has one gray value, from skin without its colour."""
    values = gray.astype(np.int16)
    return float((np.abs(values - np.percentile(values, 90)) <= PAPER_LEVELS).mean()) > 0.5


PAPER_LEVELS = 8


def _is_paper(gray: Bytes, picture: Image.Image, sheet: Corners) -> bool:
    """Paper is bright and hardly coloured, or of one colour all over; skin with a finished piece on it is not paper."""
    scale = np.array([picture.width / gray.shape[1], picture.height / gray.shape[0]] * 2)
    left, top, right, bottom = (np.array(sheet) * scale).tolist()
    cells = picture.resize((COLOR_CELLS,) * 2, Image.Resampling.BOX, box=(left, top, right, bottom))
    values = np.asarray(cells.convert("YCbCr"), np.int16).reshape(-1, 3)
    brightest = values[np.argsort(-values[:, 0], kind="stable")[: COLOR_CELLS * 2]]
    tint = float(np.median(np.abs(brightest[:, 1:] - 128).sum(axis=1)))
    light = float(np.percentile(_cut(gray, sheet), 90))
    if (light > PAPER_LIGHT and tint < PAPER_TINT) or (light > TINTED_LIGHT and tint < 2 * PAPER_TINT):
        return True
    near = np.abs(_cut(gray, sheet).astype(np.int16) - light) <= EVEN_COLOR
    return light > EVEN_LIGHT and float(brightest.std(axis=0).max()) < EVEN_COLOR and float(near.mean()) > PAPER_MAYBE


PAPER_LIGHT, PAPER_TINT, TINTED_LIGHT, EVEN_LIGHT, EVEN_COLOR = 120, 18, 205, 190, 3.0


def ink_box(ink: Floats, within: Corners) -> Corners:
    """Find the box of the drawing inside another box; a lone speck does not widen it."""
    left, top, right, bottom = within
    soft = mean_around(ink[top:bottom, left:right], 3)
    level = FAINT_INK * float(np.percentile(soft, 99.5))
    spots = find_spots(soft > max(level, 0.03))
    sizes = np.append(0, spots.area[1:])
    kept = sizes[spots.numbers] >= max(4, SPECK * sizes.sum())
    rows, columns = np.flatnonzero(kept.any(axis=1)), np.flatnonzero(kept.any(axis=0))
    if not len(rows):
        return within
    return left + int(columns[0]), top + int(rows[0]), left + int(columns[-1]) + 1, top + int(rows[-1]) + 1


# Share of all ink under which a separate mark does not count as part of the drawing.
SPECK = 0.004
# Ink, against the darkest, that is drawn: a hairline in a large drawing is a third of a pixel wide here.
FAINT_INK = 0.12


def main_part(ink: Floats, box: Corners) -> Corners:
    """Find the largest part of a drawing that stands apart: without the clock and the buttons of a screen."""
    drawn = _cut(ink, box) > 2 * PAPER_INK
    gap = max(3, round(STRAY_GAP * max(ink.shape)))
    joined = cv2.dilate(drawn.astype(np.uint8), np.ones((gap, gap), np.uint8))
    count, _, stats, _ = cv2.connectedComponentsWithStats(joined)
    if count <= 2:
        return box
    sizes = stats[1:, cv2.CC_STAT_WIDTH].astype(int) * stats[1:, cv2.CC_STAT_HEIGHT]
    if np.sort(sizes)[-2] > LARGEST_BUTTON * sizes.max():
        return box
    left, top, width, height = (int(value) for value in stats[1 + int(sizes.argmax()), :4])
    return ink_box(ink, (box[0] + left, box[1] + top, box[0] + left + width, box[1] + top + height))


# Share of the picture by which parts of one drawing lie apart at most.
STRAY_GAP = 0.03
# Size of anything else on a screen, against the drawing that it shows.
LARGEST_BUTTON = 0.3
