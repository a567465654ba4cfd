"""Reduce a picture to what the search for near-identical pictures needs: cosine coefficients and one small gray map.

Takes an upright picture in sRGB, flattened on white; a reduced decode is enough. Knows nothing of files.
"""

from __future__ import annotations

import hashlib
import struct
import zlib
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from archgen.twins.turns import Floats

# Raise with every change of what `prepare` stores.
VERSION = 1

# Long side of the stored gray map. Lines of 0.3 mm in a 100 mm drawing are still half a pixel wide at 256.
DETAIL_SIDE = 256
# Below this a side holds no design that could be recognised; above this ratio neither.
MIN_SIDE = 12
MAX_ASPECT = 12.0
# Gray levels (standard deviation) under which a picture counts as one colour.
MIN_DEVIATION = 2.0
# Coefficients a side; 14 of them still give 8 of a part that is 0.6 of the picture.
COEFFICIENTS = 14
MAP_SIDE = 96

Bytes = npt.NDArray[np.uint8]
# Left, top, right, bottom in pixels of the gray map.
Corners = tuple[int, int, int, int]


class Kind(IntEnum):
    """How a picture is looked at."""

    LINE = 0  # ink on paper
    PHOTO = 1


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """One way to look at a picture: its kind, the box of its content in fractions, the coefficients of that box."""

    kind: Kind
    box: tuple[float, float, float, float]
    coefficients: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """What is kept of a picture. Without views (blank, tiny, a thin strip) it is never paired."""

    width: int
    height: int
    views: tuple[View, ...]
    gray: Bytes
    color: npt.NDArray[np.int8]
    ink_level: float
    sharpness: float
    digest: str = ""

    def to_bytes(self) -> bytes:
        """Pack; the same picture gives the same bytes."""
        head = struct.pack(
            "<4IB2f", self.width, self.height, *self.gray.shape, len(self.views), self.ink_level, self.sharpness
        )
        views = b"".join(
            struct.pack("<B4f", view.kind, *view.box) + view.coefficients.astype("<f2").tobytes() for view in self.views
        )
        return head + views + self.color.tobytes() + zlib.compress(self.gray.tobytes(), 6)

    @staticmethod
    def from_bytes(data: bytes) -> Prepared:
        """Unpack.

        Raises:
            ValueError: The bytes are not those of `to_bytes`.
        """
        try:
            return _unpack(data)
        except (struct.error, zlib.error, ValueError) as error:
            raise ValueError("These are not the bytes of a prepared picture.") from error


def _unpack(data: bytes) -> Prepared:
    width, height, rows, columns, count, ink_level, sharpness = struct.unpack_from("<4IB2f", data)
    at = struct.calcsize("<4IB2f")
    views = []
    for _ in range(count):
        kind, *box = struct.unpack_from("<B4f", data, at)
        at += struct.calcsize("<B4f")
        flat = np.frombuffer(data, "<f2", COEFFICIENTS**2, at).astype(np.float32)
        views.append(View(Kind(kind), tuple(box), flat.reshape(COEFFICIENTS, COEFFICIENTS)))
        at += 2 * COEFFICIENTS**2
    color = np.frombuffer(data, np.int8, COLOR_CELLS**2 * 2, at).reshape(COLOR_CELLS, COLOR_CELLS, 2)
    gray = np.frombuffer(zlib.decompress(data[at + color.size :]), np.uint8).reshape(rows, columns)
    digest = hashlib.blake2b(data, digest_size=16).hexdigest()
    return Prepared(width, height, tuple(views), gray, color, ink_level, sharpness, digest)


COLOR_CELLS = 8


def prepare(image: Image.Image) -> Prepared:
    """Reduce a picture."""
    width, height = image.size
    if min(width, height) < MIN_SIDE or max(width, height) > MAX_ASPECT * min(width, height):
        return _unpack(_empty(width, height).to_bytes())
    image = _plain(image)
    factor = max(width, height) // (2 * DETAIL_SIDE)
    small = image.reduce(factor) if factor > 1 else image
    light = small.convert("L")
    full = np.asarray(light)
    if full.std() < MIN_DEVIATION:
        return _unpack(_empty(width, height).to_bytes())
    scale = DETAIL_SIDE / max(full.shape)
    if scale < 1:
        sides = (max(1, round(light.width * scale)), max(1, round(light.height * scale)))
        light = light.resize(sides, Image.Resampling.HAMMING)
    gray = np.asarray(light)
    ink = ink_map(gray)
    color = _color(small)
    views = _views(gray, ink, color)
    made = Prepared(width, height, views, gray, color, ink_level(full), sharpness(image))
    # Through its own bytes, so that a fresh one and a cached one are equal.
    return _unpack(made.to_bytes())


def _empty(width: int, height: int) -> Prepared:
    return Prepared(width, height, (), np.zeros((1, 1), np.uint8), _no_color(), 0.0, 0.0)


def _plain(image: Image.Image) -> Image.Image:
    if image.mode in {"L", "RGB"}:
        return image
    if image.has_transparency_data:
        rgba = image.convert("RGBA")
        ground = Image.new("RGBA", image.size, "white")
        return Image.alpha_composite(ground, rgba).convert("RGB")
    return image.convert("RGB")


def _no_color() -> npt.NDArray[np.int8]:
    return np.zeros((COLOR_CELLS, COLOR_CELLS, 2), np.int8)


def _color(image: Image.Image) -> npt.NDArray[np.int8]:
    """Tell the colour of a grid of cells, as the two differences from gray."""
    if image.mode == "L":
        return _no_color()
    cells = image.resize((COLOR_CELLS, COLOR_CELLS), Image.Resampling.BOX).convert("YCbCr")
    return (np.asarray(cells)[..., 1:].astype(np.int16) - 128).clip(-127, 127).astype(np.int8)


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


def ink_level(gray: npt.NDArray[np.generic]) -> float:
    """Tell how dark the darkest ink is, 0 to 1; needs a picture in which a line is a pixel wide at least."""
    return float(np.percentile(ink_map(gray)[::2, ::2], 99.5))


# --- content boxes --------------------------------------------------------------------------------------------

# Share of a row that must have the colour of the band: icons and text of a status bar take up to a third.
BAND_SHARE = 0.68
BAND_TOLERANCE = 10
# Share of paper from which a picture may be line art, and from which it is nothing else.
PAPER_MAYBE, PAPER_SURE = 0.40, 0.72


def _views(gray: Bytes, ink: Floats, color: npt.NDArray[np.int8]) -> tuple[View, ...]:
    """Choose how to look at a picture; what could be either is looked at both ways."""
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
    light = gray.astype(np.float32)
    views = [_view(kind, ink if kind is Kind.LINE else light, box) for kind, box in dict.fromkeys(boxes)]
    return tuple(view for view in views if view.coefficients.any())


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


def _view(kind: Kind, values: Floats, box: Corners) -> View:
    left, top, right, bottom = box
    rows, columns = values.shape
    cut = Image.fromarray(values).resize((MAP_SIDE, MAP_SIDE), Image.Resampling.BILINEAR, box=box)
    coefficients = _BASIS @ np.asarray(cut, np.float32) @ _BASIS.T
    coefficients[0, 0] = 0.0
    coefficients /= max(float(np.linalg.norm(coefficients)), 1e-6)
    fractions = (left / columns, top / rows, right / columns, bottom / rows)
    return View(kind, fractions, coefficients.astype(np.float32))


def cosine_basis(count: int, positions: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Give the first cosine waves (rows) of the unit interval at some positions."""
    order = np.arange(count)[:, None]
    return np.where(order == 0, 1.0, np.sqrt(2.0)) * np.cos(np.pi * order * positions[None, :])


_BASIS = (cosine_basis(COEFFICIENTS, (np.arange(MAP_SIDE) + 0.5) / MAP_SIDE) / MAP_SIDE).astype(np.float32)


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
    level = 0.3 * float(np.percentile(soft, 99.5))
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


# --- sharpness ------------------------------------------------------------------------------------------------

SHARPNESS_SIDE = 1024


def sharpness(image: Image.Image) -> float:
    """Measure how sharp a picture is, to choose the best of a burst; larger is sharper.

    Variance of the Laplacian, the usual focus measure, taken cell by cell: the mean of the best quarter of the cells
    counts, because a blurred background says nothing of the piece in front of it. A light blur first keeps sensor
    noise from passing for detail.
    """
    gray = _plain(image).convert("L")
    factor = max(gray.size) // SHARPNESS_SIDE
    gray = gray.reduce(factor) if factor > 1 else gray
    light = ndimage.uniform_filter(np.asarray(gray, np.float32), 2)
    edges = ndimage.laplace(light)
    rows, columns = (side // 8 for side in edges.shape)
    if not rows or not columns:
        return 0.0
    cells = edges[: rows * 8, : columns * 8].reshape(8, rows, 8, columns).var(axis=(1, 3)).ravel()
    return float(np.sort(cells)[-16:].mean())
