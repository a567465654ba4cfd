"""Reduce a picture to what the search for near-identical pictures needs: cosine coefficients and one small gray map.

Takes an upright picture in sRGB, flattened on white; a reduced decode is enough. Knows nothing of files.
"""

from __future__ import annotations

import zlib

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.twins.description.content import content_boxes, ink_level, ink_map, without_corners
from archgen.twins.description.panel import Corners
from archgen.twins.description.prepared import COLOR_CELLS, Bytes, Prepared, View
from archgen.twins.description.signature import COEFFICIENTS, PictureKind, cosine_basis, window_norms
from archgen.twins.description.turns import Floats

__all__ = ("VERSION", "Prepared", "prepare", "sharpness", "tones")

# Raise with every change of what `prepare` stores.
VERSION = 12

# Long side of the stored gray map. Lines of 0.3 mm in a 100 mm drawing are still half a pixel wide at 256.
DETAIL_SIDE = 256
# Below this a side holds no design that could be recognised; above this ratio neither.
MIN_SIDE = 12
MAX_ASPECT = 12.0
# Gray levels (standard deviation) under which a picture counts as one colour.
MIN_DEVIATION = 2.0
MAP_SIDE = 96
_BASIS = (cosine_basis(COEFFICIENTS, (np.arange(MAP_SIDE) + 0.5) / MAP_SIDE) / MAP_SIDE).astype(np.float32)


def prepare(image: Image.Image) -> Prepared:
    """Reduce a picture."""
    width, height = image.size
    if min(width, height) < MIN_SIDE or max(width, height) > MAX_ASPECT * min(width, height):
        return _settled(_empty(width, height))
    image = _plain(image)
    factor = max(width, height) // (2 * DETAIL_SIDE)
    small = image.reduce(factor) if factor > 1 else image
    light = small.convert("L")
    full = np.asarray(light)
    if cv2.meanStdDev(full)[1].item() < MIN_DEVIATION:
        return _settled(_empty(width, height))
    whole = image.convert("L") if factor > 1 else light
    # Colours are compared in a few cells, and are the same there from a quarter of the pixels.
    colors = small.reduce(2) if max(small.size) >= 2 * DETAIL_SIDE else small
    scale = DETAIL_SIDE / max(full.shape)
    if scale < 1:
        sides = (max(1, round(light.width * scale)), max(1, round(light.height * scale)))
        light = light.resize(sides, Image.Resampling.HAMMING)
    gray = np.asarray(light)
    ink = ink_map(gray)
    bare_sheet = without_corners(gray, ink, colors)
    if bare_sheet is not gray:
        gray, ink = bare_sheet, ink_map(bare_sheet)
    bare, gray_ink = tones(whole)
    values = {PictureKind.LINE: ink, PictureKind.PHOTO: gray.astype(np.float32)}
    views = [_view(kind, values[kind], box) for kind, box in content_boxes(gray, ink, colors, gray_ink)]
    known = tuple(view for view in views if view.coefficients.any())
    measures = (ink_level(full), sharpness(whole), bare, gray_ink)
    made = Prepared(width, height, known, (gray.shape[0], gray.shape[1]), _zipped(gray), _color(colors), *measures)
    return _settled(made)


def _empty(width: int, height: int) -> Prepared:
    return Prepared(width, height, (), (1, 1), _zipped(np.zeros((1, 1), np.uint8)), _no_color(), 0.0, 0.0, 0.0, 0.0)


def _zipped(gray: Bytes) -> bytes:
    return zlib.compress(gray.tobytes(), 2)  # 6 takes more than twice as long for 2 % less


def _settled(made: Prepared) -> Prepared:
    """Send an object through its own bytes, so that a fresh one and a cached one are equal."""
    return Prepared.from_bytes(made.to_bytes())


def _view(kind: PictureKind, values: Floats, box: Corners) -> View:
    left, top, right, bottom = box
    rows, columns = values.shape
    cut = Image.fromarray(values).resize((MAP_SIDE, MAP_SIDE), Image.Resampling.BILINEAR, box=box)
    coefficients = _BASIS @ np.asarray(cut, np.float32) @ _BASIS.T
    coefficients[0, 0] = 0.0
    coefficients /= max(float(np.linalg.norm(coefficients)), 1e-6)
    fractions = (left / columns, top / rows, right / columns, bottom / rows)
    kept = coefficients.astype(np.float32)
    return View(kind, fractions, kept, window_norms(kept[None], kind)[0])


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


# --- tones ----------------------------------------------------------------------------------------------------

# Gray levels up to which a pixel is black, and from which it is white; and the light of paper against its brightest.
BLACK, WHITE, PAPER_SHARE = 40, 216, 0.88


def tones(image: Image.Image) -> tuple[float, float]:
    """Measure what share of a picture is bare paper, and what share of its ink is gray.

    Edges drawn smoothly are a hundredth even of heavy black shapes.
    """
    counts = np.array(image.convert("L").histogram())
    total = int(counts.sum())
    paper = int(np.searchsorted(np.cumsum(counts), 0.9 * total))
    black, gray, white = (int(part.sum()) for part in np.split(counts, (BLACK, WHITE)))
    return float(counts[round(PAPER_SHARE * paper) :].sum() / total), gray / max(gray + min(black, white), 1)


# --- sharpness ------------------------------------------------------------------------------------------------

SHARPNESS_SIDE = 1024
# The Laplacian of the sums of two by two pixels.
_EDGES = np.array([[0, -1, -1, 0], [-1, 2, 2, -1], [-1, 2, 2, -1], [0, -1, -1, 0]], np.float32)


def sharpness(image: Image.Image) -> float:
    """Measure how sharp a picture is, to choose the best of a burst; larger is sharper.

    Variance of the Laplacian, the usual focus measure, taken cell by cell: the mean of the best quarter of the cells
    counts, because a blurred background says nothing of the piece in front of it. A light blur first keeps sensor
    noise from passing for detail.
    """
    gray = _plain(image).convert("L")
    factor = max(gray.size) // SHARPNESS_SIDE
    gray = gray.reduce(factor) if factor > 1 else gray
    if min(gray.size) < len(_EDGES):
        return 0.0
    edges = cv2.filter2D(np.asarray(gray), cv2.CV_16S, _EDGES, anchor=(0, 0))[: 1 - len(_EDGES), : 1 - len(_EDGES)]
    rows, columns = (side // 8 for side in edges.shape)
    if not rows or not columns:
        return 0.0
    cells = edges[: rows * 8, : columns * 8].reshape(8, rows, 8, columns).astype(np.float32)
    # The mean of a Laplacian is zero but for the edges of a cell: the mean square is the variance.
    energy = np.einsum("arbc,arbc->ab", cells, cells).ravel() / (16 * rows * columns)
    return float(np.sort(energy)[-16:].mean())
