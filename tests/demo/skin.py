"""Bodies and skin: where on the body, how a limb curves, what its skin is like."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike
from PIL import Image, ImageDraw, ImageFilter
from scipy import ndimage as ndi
from scipy.spatial import cKDTree

from tests.demo.geom import Array

F = np.float32
TILE_PPM, TILE_PX = 12.0, 600


@dataclass(frozen=True)
class Place:
    """A part of the body as a bent tube: radius and centre line as tables over the axis (mm)."""

    u: tuple[float, ...]
    r: tuple[float, ...]
    c: tuple[float, ...]
    at: float = 0.0  # the design's centre across, -1..1 of the radius
    hair: float = 0.5
    undulate: float = 0.5
    ribs: float = 0.0
    crease: tuple[float, ...] = ()


PLACES: dict[str, Place] = {
    "forearm": Place((-160, -80, -20, 50, 110, 170), (50, 50, 47, 39, 33, 31), (4, 2, 0, -1, 0, 2), 0.05, 0.7, 0.6),
    "upper-arm": Place(
        (-170, -90, -30, 40, 100, 170), (66, 60, 54, 51, 48, 46), (-10, -4, 0, 1, 0, -2), -0.05, 0.35, 0.8
    ),
    "calf": Place((-170, -90, -20, 40, 110, 180), (54, 62, 66, 61, 46, 36), (-4, -2, 0, 1, 3, 5), 0.0, 0.8, 0.7),
    "wrist": Place(
        (-120, -60, -10, 30, 52, 75, 110),
        (37, 32, 28.5, 27.5, 29, 35, 42),
        (1, 0, 0, 0, 0, -2, -4),
        0.0,
        0.3,
        0.5,
        crease=(41.0, 44.5),
    ),
    "thigh": Place((-170, -60, 40, 170), (88, 84, 78, 68), (-6, -2, 0, 4), 0.02, 0.5, 0.6),
    "shoulder": Place(
        (-190, -120, -70, -20, 40, 100, 180),
        (96, 84, 71, 64, 58, 53, 50),
        (-66, -46, -26, -13, -7, -4, -4),
        0.25,
        0.25,
        0.8,
    ),
    "ribs": Place(
        (-190, -100, -20, 60, 120, 190),
        (138, 130, 122, 110, 112, 128),
        (-70, -66, -62, -58, -58, -60),
        0.48,
        0.1,
        0.7,
        ribs=1.0,
    ),
    "back": Place((-200, 0, 200), (190, 178, 172), (-46, -40, -40), 0.20, 0.1, 1.3),
}

# albedo in display colours, pinkness and hair colour
TONES: dict[str, tuple[tuple[int, int, int], tuple[int, int, int]]] = {
    "porcelain": ((236, 205, 188), (120, 90, 66)),
    "light": ((226, 188, 164), (92, 66, 48)),
    "olive": ((208, 167, 139), (46, 36, 30)),
    "tan": ((184, 136, 108), (36, 28, 24)),
    "brown": ((136, 92, 70), (26, 20, 18)),
    "deep": ((88, 60, 47), (18, 15, 14)),
}


def linear(colour: ArrayLike) -> Array:
    """Display colour to linear light."""
    return np.asarray((np.asarray(colour, F) / 255) ** F(2.2))


def noise(shape: tuple[int, ...], cell: float, rng: np.random.Generator) -> Array:
    """Smooth noise, about -1..1, with blobs of `cell` pixels."""
    h, w = max(3, int(shape[0] / cell) + 3), max(3, int(shape[1] / cell) + 3)
    im = Image.fromarray(rng.normal(0, 0.5, (h, w)).astype(F))
    return np.asarray(im.resize((shape[1], shape[0]), Image.Resampling.BICUBIC), F)


@lru_cache(maxsize=1)
def relief() -> tuple[Array, Array, Array]:
    """Periodic tile of skin: slope along, slope across, darkness of furrows and pores."""
    rng = np.random.default_rng(77)
    size = TILE_PX / TILE_PPM
    n = 92
    gy, gx = np.mgrid[0:n, 0:n].astype(float)
    pts = (
        np.stack([(gx + rng.uniform(-0.1, 1.1, gx.shape)).ravel(), (gy + rng.uniform(-0.1, 1.1, gy.shape)).ravel()], 1)
        * size
        / n
        % size
    )
    tree = cKDTree(pts, boxsize=size)
    yy, xx = np.mgrid[0:TILE_PX, 0:TILE_PX] / TILE_PPM
    warp = ndi.gaussian_filter(rng.normal(0, 1, (2, TILE_PX, TILE_PX)), (0, 9, 9), mode="wrap") * 3.5
    q = np.stack([(xx + warp[0]) % size, (yy + warp[1]) % size], -1).reshape(-1, 2)
    dist, _ = tree.query(q, k=2)
    edge = (dist[:, 1] - dist[:, 0]).reshape(TILE_PX, TILE_PX)
    h = np.clip(edge / 0.16, 0, 1) ** 0.7
    pores = np.zeros((TILE_PX, TILE_PX))
    k = 900
    pores[rng.integers(0, TILE_PX, k), rng.integers(0, TILE_PX, k)] = rng.uniform(0.4, 1, k)
    pores = ndi.gaussian_filter(pores, 1.5, mode="wrap") * 12
    h = (
        ndi.gaussian_filter(h, 0.8, mode="wrap")
        - pores * 0.6
        + ndi.gaussian_filter(rng.normal(0, 1, h.shape), 1.2, mode="wrap") * 0.6
    )
    sy = np.roll(h, -1, 0) - np.roll(h, 1, 0)
    sx = np.roll(h, -1, 1) - np.roll(h, 1, 1)
    return sy.astype(F), sx.astype(F), (1 - h).astype(F)


def smooth_table(x: Array, xs: Sequence[float], ys: Sequence[float], sigma: float = 22.0) -> Array:
    """Read a table as a smooth curve."""
    grid = np.arange(-260, 261, 2.0)
    y = ndi.gaussian_filter1d(np.interp(grid, xs, ys), sigma / 2, mode="nearest")
    return np.asarray(np.interp(x, grid, y).astype(F))


@dataclass(frozen=True, slots=True)
class Skin:
    """The skin's relief under every pixel: slope along and across the limb, darkness of furrows and pores."""

    along: Array
    across: Array
    dark: Array


def patch(u: Array, around: Array) -> Skin:
    """Lay the tile of skin on the limb."""
    rows, columns = ((at + F(500)) * TILE_PPM for at in (u, around))
    at = rows.astype(np.int32) % TILE_PX, columns.astype(np.int32) % TILE_PX
    return Skin(*(tile[at] for tile in relief()))


def hairs(shape: tuple[int, ...], rng: np.random.Generator, amount: float, ppm: float, tilt: float) -> Array:
    """Short hairs that lie roughly one way, 0..1."""
    im = Image.new("L", (shape[1], shape[0]), 0)
    draw = ImageDraw.Draw(im)
    steps = 7
    for _ in range(int(420 * amount)):
        x, y = rng.uniform(0, shape[1]), rng.uniform(0, shape[0])
        angle = np.radians(62 + tilt + rng.normal(0, 13))
        length, bend = rng.uniform(3, 8) * ppm, rng.normal(0, 0.05)
        points = []
        for _ in range(steps):
            points.append((x, y))
            x, y = x + np.cos(angle) * length / steps, y + np.sin(angle) * length / steps
            angle += bend
        draw.line(points, fill=int(rng.uniform(50, 150)), width=max(1, round(ppm / 16)))
    return np.asarray(im.filter(ImageFilter.GaussianBlur(0.6)), F) / F(255)


def veins(shape: tuple[int, ...], rng: np.random.Generator, ppm: float) -> Array:
    """A few veins along the limb, far out of focus, 0..1."""
    step = 4
    im = Image.new("L", (shape[1] // step, shape[0] // step), 0)
    draw = ImageDraw.Draw(im)
    w, h = im.size
    down = np.radians(90)
    for _ in range(3):
        x, y, angle = rng.uniform(0.25, 0.75) * w, -10.0, down + np.radians(rng.normal(0, 12))
        points = []
        while y < h + 10:
            points.append((x, y))
            angle += rng.normal(0, 0.07) - (angle - down) * 0.08
            x, y = x + np.cos(angle) * 8, y + np.sin(angle) * 8
        draw.line(points, fill=150, width=max(1, int(2.0 * ppm / step)))
    soft = im.filter(ImageFilter.GaussianBlur(1.3 * ppm / step))
    return np.asarray(soft.resize((shape[1], shape[0]), Image.Resampling.BILINEAR), F) / F(255)
