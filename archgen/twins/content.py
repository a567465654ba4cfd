"""Where the content of a picture is: the drawing on its paper, the photograph within its bands or on a screen.

Knows gray values, not files.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from archgen.twins.prepared import COLOR_CELLS, Bytes, Prepared
from archgen.twins.signature import Kind
from archgen.twins.turns import Floats

# Left, top, right, bottom in pixels of the gray map.
Corners = tuple[int, int, int, int]
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
    brightest = ndimage.maximum_filter(np.asarray(small), 9)
    smooth = Image.fromarray(ndimage.uniform_filter(brightest, 7))
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

# Share of a row that must have the colour of the band: icons and text of a status bar take up to a third.
BAND_SHARE = 0.68
BAND_TOLERANCE = 10
# Share of paper from which a picture may be line art, and from which it is nothing else.
PAPER_MAYBE, PAPER_SURE = 0.40, 0.72


def content_boxes(gray: Bytes, ink: Floats, color: npt.NDArray[np.int8]) -> list[tuple[Kind, Corners]]:
    """Choose how to look at a picture and where its content is; what could be either is looked at both ways."""
    boxes = [(Kind.PHOTO, box) for box in _photo_boxes(gray, ink)]
    # Bands of paper are not trimmed here: most rows of a sparse drawing are mostly paper.
    sheet = _inset(band_box(gray, DARK), _whole(gray))
    inner = _cut(ink, sheet)
    paper = float((inner < PAPER_INK).mean()) if _is_paper(gray, color) else 0.0
    if paper >= PAPER_MAYBE:
        drawing = ink_box(ink, sheet)
        lines = [(Kind.LINE, drawing), (Kind.LINE, without_stray_rows(ink, drawing))]
        sure = paper >= PAPER_SURE and float(np.percentile(inner, 99.5)) >= DARK_INK
        boxes = lines + (_screen_boxes(gray, ink) if sure else boxes)
    return list(dict.fromkeys(boxes))


# Ink under which a pixel is paper, and ink that the lines of a drawing reach; a pale photograph does not.
PAPER_INK, DARK_INK = 0.08, 0.45


def _whole(gray: Bytes) -> Corners:
    return 0, 0, gray.shape[1], gray.shape[0]


def _cut(values: npt.NDArray[Any], box: Corners) -> npt.NDArray[Any]:
    left, top, right, bottom = box
    return values[top:bottom, left:right]


def _photo_boxes(gray: Bytes, ink: Floats) -> list[Corners]:
    """Look at the whole, without its bands, and without empty corners; on a screen only what it shows."""
    trimmed = band_box(gray, DARK | LIGHT)
    screens = [box for _, box in _screen_boxes(gray, ink)]
    if any(_is_even_outside(gray, box) for box in screens):
        return [*screens, trimmed]
    return [_whole(gray), trimmed, wedge_free_box(gray)]


def _screen_boxes(gray: Bytes, ink: Floats) -> list[tuple[Kind, Corners]]:
    """Find a picture that stands between two bands, as on the screen of a phone."""
    rows, columns = gray.shape
    out = []
    for colors in (DARK, LIGHT):
        left, top, right, bottom = box = band_box(gray, colors)
        one_way = (right - left == columns) != (bottom - top == rows)
        small = (right - left) * (bottom - top) < 0.75 * rows * columns
        if one_way and small and float((_cut(ink, box) < PAPER_INK).mean()) < PAPER_SURE:
            out.append((Kind.PHOTO, box))
    return out


def _is_even_outside(gray: Bytes, box: Corners) -> bool:
    """Tell drawn bands, which have one gray value, from a dark backdrop, which has many."""
    outside = np.ones(gray.shape, bool)
    _cut(outside, box)[:] = False
    around = gray[outside].astype(np.int16)
    return bool((np.abs(around - np.median(around)) <= 3).mean() > 0.88)


def _inset(box: Corners, whole: Corners) -> Corners:
    """Step inside a dark frame, whose soft edge would count as ink."""
    step = (2, 2, -2, -2)
    left, top, right, bottom = (
        side if side == end else side + inward for side, end, inward in zip(box, whole, step, strict=True)
    )
    return left, top, right, bottom


def _is_paper(gray: Bytes, color: npt.NDArray[np.int8]) -> bool:
    """Paper is bright and hardly coloured; skin with a finished piece on it is not paper."""
    cells = np.asarray(Image.fromarray(gray).resize((COLOR_CELLS, COLOR_CELLS), Image.Resampling.BOX)).ravel()
    brightest = np.argsort(-cells.astype(np.int16), kind="stable")[: COLOR_CELLS * 2]
    tint = float(np.median(np.abs(color.astype(np.int16)).sum(axis=2).ravel()[brightest]))
    light = float(np.percentile(gray, 90))
    return (light > PAPER_LIGHT and tint < PAPER_TINT) or (light > TINTED_LIGHT and tint < 2 * PAPER_TINT)


PAPER_LIGHT, PAPER_TINT, TINTED_LIGHT = 120, 18, 205


DARK, LIGHT = frozenset(range(40)), frozenset(range(225, 256))


def band_box(gray: Bytes, colors: frozenset[int]) -> Corners:
    """Leave out bands of one colour along the four sides."""
    top, bottom = _band_ends(gray, colors)
    left, right = _band_ends(gray[top:bottom].T, colors)
    if bottom - top < 0.12 * gray.shape[0] or right - left < 0.12 * gray.shape[1]:
        return 0, 0, gray.shape[1], gray.shape[0]
    return left, top, right, bottom


def _band_ends(rows: Bytes, colors: frozenset[int]) -> tuple[int, int]:
    first = _band_depth(rows, colors)
    last = len(rows) - _band_depth(rows[::-1], colors)
    return (first, last) if first < last else (0, len(rows))


def _band_depth(rows: Bytes, colors: frozenset[int]) -> int:
    color = int(np.median(rows[0]))
    if color not in colors:
        return 0
    share = (np.abs(rows.astype(np.int16) - color) <= BAND_TOLERANCE).mean(axis=1)
    other = np.flatnonzero(share < BAND_SHARE)
    return int(other[0]) if len(other) else len(rows)


def wedge_free_box(gray: Bytes) -> Corners:
    """Step inside the empty corners that turning a picture by a few degrees leaves."""
    rows, columns = gray.shape
    corners = np.array([gray[0, 0], gray[0, -1], gray[-1, 0], gray[-1, -1]], np.int16)
    for empty in ((corners > 250, gray > 245), (corners < 5, gray < 10)):
        if empty[0].sum() < 2:
            continue
        for step in range(1, WEDGE_STEPS):
            x, y = step * columns // 50, step * rows // 50
            edge = (
                [empty[1][y, x:-x], empty[1][-y - 1, x:-x], empty[1][y:-y, x], empty[1][y:-y, -x - 1]]
                if x and y
                else []
            )
            if edge and np.concatenate(edge).mean() < 0.02:
                return x, y, columns - x, rows - y
    return 0, 0, columns, rows


# Fiftieths of a side that are tried; a turn by 5 degrees needs 4 to 6.
WEDGE_STEPS = 9


def ink_box(ink: Floats, within: Corners) -> Corners:
    """Find the box of the drawing inside another box; a lone speck does not widen it."""
    left, top, right, bottom = within
    soft = ndimage.uniform_filter(ink[top:bottom, left:right], 3)
    level = FAINT_INK * float(np.percentile(soft, 99.5))
    labels, count = ndimage.label(soft > max(level, 0.03), np.ones((3, 3)))
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    kept = sizes[labels] >= max(4, SPECK * sizes.sum())
    rows, columns = np.flatnonzero(kept.any(axis=1)), np.flatnonzero(kept.any(axis=0))
    if count == 0 or not len(rows):
        return within
    return left + int(columns[0]), top + int(rows[0]), left + int(columns[-1]) + 1, top + int(rows[-1]) + 1


# Share of all ink under which a separate mark does not count as part of the drawing.
SPECK = 0.004
# Ink, against the darkest, that is drawn: a hairline in a large drawing is a third of a pixel wide here.
FAINT_INK = 0.12


def without_stray_rows(ink: Floats, box: Corners) -> Corners:
    """Leave out marks far above and below the drawing: the clock and the buttons of a screenshot."""
    left, top, right, bottom = box
    rows = ink[top:bottom, left:right].sum(axis=1)
    filled = rows > 0.02 * rows.max()
    gap = max(3, round(STRAY_GAP * len(ink)))
    joined = ndimage.binary_closing(np.pad(filled, gap), np.ones(gap))[gap:-gap]
    labels, count = ndimage.label(joined)
    if count < 2:
        return box
    shares = ndimage.sum_labels(rows, labels, range(1, count + 1)) / rows.sum()
    main = int(np.argmax(shares)) + 1
    if shares[main - 1] < 1 - STRAY_SHARE:
        return box
    kept = np.flatnonzero(labels == main)
    return ink_box(ink, (left, top + int(kept[0]), right, top + int(kept[-1]) + 1))


STRAY_GAP, STRAY_SHARE = 0.03, 0.25
