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


@dataclass(frozen=True, slots=True)
class Form:
    """A muscle, bone or tendon (height in mm) or a furrow (below nothing): a long soft mound.

    `u` and `a` are its middle along and across the limb, from the drawing's middle; `long` and `wide` its reach,
    `lean` how far it drifts across, all in mm.
    """

    u: float
    a: float
    long: float
    wide: float
    height: float
    lean: float = 0.0


@dataclass(frozen=True, slots=True)
class Place:
    """A part of the body: how far its outline lies left and right of its axis (tables, mm), and its forms."""

    u: tuple[float, ...]
    left: tuple[float, ...]
    right: tuple[float, ...]
    c: tuple[float, ...]
    at: float = 0.0  # the design's centre across, -1..1 of the radius
    hair: float = 0.5
    undulate: float = 0.5
    ribs: float = 0.0
    crease: tuple[float, ...] = ()
    forms: tuple[Form, ...] = ()


# Outlines and muscles as in any anatomy for artists; widths within the usual girths of adults.
PLACES: dict[str, Place] = {
    "forearm": Place(
        (-170, -120, -80, -35, 10, 55, 95, 130, 170),
        (41, 46, 52, 51, 46, 39, 32, 28.5, 31),
        (46, 50, 50, 48, 45, 39, 32.5, 28.5, 30),
        (7, 4, 2, 0, 0, 0, 1, 2, 3),
        0.04,
        0.9,
        0.5,
        forms=(
            Form(-70, -24, 78, 15, 4.2, 10),
            Form(-48, 19, 66, 17, 3.6, -8),
            Form(-52, 0, 70, 7, -1.9, 4),
            Form(98, 1, 46, 2.6, 0.75),
            Form(96, -7, 44, 2.4, 0.6, 2),
            Form(112, 17, 30, 8, 1.2),
        ),
        crease=(-104.0,),
    ),
    "upper-arm": Place(
        (-170, -120, -70, -20, 30, 80, 130, 180),
        (68, 69, 62, 54, 52, 51, 47, 44),
        (54, 60, 60, 56, 57, 55, 48, 43),
        (-12, -6, -2, 0, 0, 0, -1, -3),
        -0.05,
        0.4,
        0.7,
        forms=(
            Form(-86, -8, 62, 30, 5.5, 4),
            Form(46, 28, 62, 21, 5.0, -4),
            Form(52, -30, 70, 20, 4.2, 4),
            Form(44, 0, 74, 8, -2.2, 2),
            Form(-26, 24, 30, 9, -1.6, -16),
        ),
    ),
    "calf": Place(
        (-180, -130, -80, -35, 10, 55, 100, 140, 190),
        (48, 53, 62, 67, 64, 53, 41, 34, 31),
        (50, 58, 67, 69, 61, 48, 38, 33, 31),
        (-3, -2, -1, 0, 1, 2, 3, 4, 5),
        0.0,
        0.9,
        0.6,
        forms=(
            Form(-34, -27, 66, 22, 6.0, 6),
            Form(-22, 27, 62, 21, 6.8, -6),
            Form(-30, 0, 74, 7, -2.6),
            Form(48, 0, 40, 16, 2.2),
            Form(118, 0, 58, 8, 3.4),
            Form(40, -18, 30, 8, -1.6, 16),
            Form(48, 18, 26, 8, -1.6, -14),
        ),
        crease=(-142.0,),
    ),
    "wrist": Place(
        (-120, -75, -35, -5, 25, 44, 62, 84, 120),
        (38, 34, 30.5, 28, 27.5, 29.5, 36, 45, 50),
        (36, 32.5, 29, 27.5, 27.5, 29, 32, 37, 41),
        (1, 0, 0, 0, 0, 0, -1, -3, -6),
        0.0,
        0.35,
        0.4,
        crease=(38.5, 42.5, 51.0),
        forms=(
            Form(-8, 2, 62, 2.3, 0.95),
            Form(-14, -6.5, 60, 2.3, 0.8, 2),
            Form(6, 15, 40, 4.5, 0.8, 1),
            Form(88, -24, 30, 15, 7.0, 8),
            Form(92, 22, 34, 12, 5.0, -3),
            Form(98, 0, 36, 9, -3.0),
            Form(30, 21, 11, 6, 1.5),
        ),
    ),
    "arm": Place(
        (-320, -250, -190, -120, -60, -15, 25, 75, 125, 175, 225, 300),
        (72, 70, 62, 54, 49, 46, 48, 52, 46, 38, 31, 29),
        (70, 68, 62, 57, 50, 45, 47, 48, 42, 35, 30, 29),
        (12, 9, 5, 1, -1, -2, -1, 1, 3, 6, 9, 13),
        0.0,
        0.5,
        0.7,
        forms=(
            Form(-220, 0, 80, 38, 7.0),
            Form(-120, 30, 74, 21, 5.0, -4),
            Form(-112, -30, 80, 22, 5.0, 4),
            Form(-118, 0, 70, 9, -2.2),
            Form(0, 2, 15, 13, 4.0),
            Form(-22, 0, 12, 26, -2.5),
            Form(78, -22, 66, 16, 4.2, 8),
            Form(84, 20, 62, 16, 3.6, -8),
            Form(214, 12, 9, 8, 2.6),
        ),
    ),
    "thigh": Place(
        (-180, -90, -20, 50, 110, 180),
        (92, 91, 86, 78, 68, 58),
        (86, 84, 82, 77, 70, 60),
        (-6, -3, 0, 2, 4, 5),
        0.02,
        0.5,
        0.6,
        forms=(
            Form(-20, 4, 110, 30, 5.0, 8),
            Form(70, -44, 56, 24, 6.0, 10),
            Form(58, 46, 60, 24, 5.5, -10),
            Form(128, 0, 34, 26, -4),
        ),
    ),
    "shoulder": Place(
        (-190, -120, -70, -20, 40, 100, 180),
        (96, 86, 74, 66, 60, 55, 50),
        (94, 84, 74, 67, 60, 54, 49),
        (-66, -46, -26, -13, -7, -4, -4),
        0.25,
        0.3,
        0.7,
        forms=(
            Form(-34, 0, 66, 34, 7.0, 4),
            Form(-30, -26, 60, 7, -2.0, 14),
            Form(-22, 28, 60, 7, -2.0, -14),
            Form(64, 22, 40, 18, 4.0, -4),
            Form(-104, -30, 22, 60, 4.0),
        ),
    ),
    "ribs": Place(
        (-190, -100, -20, 60, 120, 190),
        (138, 130, 122, 110, 112, 128),
        (138, 132, 122, 107, 109, 130),
        (-70, -66, -62, -58, -58, -60),
        0.48,
        0.1,
        0.7,
        ribs=1.3,
        forms=(Form(-96, 8, 60, 34, 6.0, -20), Form(88, -4, 50, 60, -6.0)),
    ),
    "back": Place(
        (-200, 0, 200),
        (190, 178, 172),
        (190, 178, 172),
        (-46, -40, -40),
        0.20,
        0.1,
        1.2,
        forms=(
            Form(10, 0, 190, 6.5, -3.4),
            Form(10, -17, 180, 13, 2.6),
            Form(10, 17, 180, 13, 2.6),
            Form(18, -80, 54, 26, 8.0, 18),
            Form(18, 80, 54, 26, 8.0, -18),
            Form(-62, 0, 14, 20, 2.2),
        ),
    ),
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
    grid = np.arange(-340, 341, 2.0)
    y = ndi.gaussian_filter1d(np.interp(grid, xs, ys), sigma / 2, mode="nearest")
    return np.asarray(np.interp(x, grid, y).astype(F))


def raised(place: Place, u: Array, a: Array) -> Array:
    """Add up the forms under the skin: height in mm at places `u` along and `a` across from the drawing's middle."""
    total = np.zeros(u.shape, F)
    for form in place.forms:
        along = (u - F(form.u)) / F(form.long)
        across = (a - F(form.a) - F(form.lean) * along) / F(form.wide)
        total += F(form.height) * np.exp(-(along * along) * F(0.9) - across * across)
    return total


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
    """Body hair: fine, tapered, lying roughly one way with a slow swirl, 0..1."""
    im = Image.new("L", (shape[1], shape[0]), 0)
    draw = ImageDraw.Draw(im)
    steps = 8
    swirl = noise((64, 64), 22, rng) * 26
    area = shape[0] * shape[1] / (ppm * ppm)
    for _ in range(int(0.075 * amount * area)):
        x, y = rng.uniform(0, shape[1]), rng.uniform(0, shape[0])
        here = swirl[int(y * 63 / shape[0]), int(x * 63 / shape[1])]
        angle = np.radians(58 + tilt + here + rng.normal(0, 11))
        length, bend = rng.uniform(2.5, 9) * ppm, rng.normal(0, 0.06)
        dark = rng.uniform(40, 165)
        for k in range(steps):
            ahead = x + np.cos(angle) * length / steps, y + np.sin(angle) * length / steps
            draw.line([(x, y), ahead], fill=int(dark * (1 - 0.8 * k / steps)), width=max(1, round(ppm / 15)))
            (x, y), angle = ahead, angle + bend
    return np.asarray(im.filter(ImageFilter.GaussianBlur(max(0.45, ppm / 26))), F) / F(255)


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
