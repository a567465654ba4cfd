"""The shapes of a drawing as a landscape with colours: rounded, laid over each other, lit like the real thing."""

from dataclasses import dataclass

import numpy as np
from scipy import ndimage as ndi

from tests.demo.design import Design, Shape
from tests.demo.geom import Array
from tests.demo.shade import shape_mask
from tests.demo.skin import F, noise

# From the upper left, a little above the camera.
LIGHT = (-0.52, -0.58, 0.63)
SHADOW_STEPS, SHADOW_REACH_MM = 26, 9.0


@dataclass(frozen=True, slots=True)
class Relief:
    """Under every pixel: 1 where the subject is, its colour (0..1), its height in mm, which way its grain runs."""

    cover: Array
    colour: Array
    height: Array
    along: Array  # (2, h, w), unit vectors
    ppm: float


def modelled(design: Design, ppm: float, size: tuple[int, int], rng: np.random.Generator) -> Relief:
    """Build the landscape; the design's upper left corner is the picture's."""
    w, h = size
    cover, height = np.zeros((h, w), F), np.zeros((h, w), F)
    colour, along = np.zeros((h, w, 3), F), np.zeros((2, h, w), F)
    along[1] = 1
    for item in design.items:
        if isinstance(item, Shape):
            _add(item, cover, colour, height, along, ppm, rng)
    return Relief(cover, colour, height, along, ppm)


def _add(
    shape: Shape, cover: Array, colour: Array, height: Array, along: Array, ppm: float, rng: np.random.Generator
) -> None:
    rows, columns = cover.shape
    pad = int(shape.blur * 3 * ppm) + 3
    x0, y0 = np.maximum(np.floor(shape.poly.min(0) * ppm).astype(int) - pad, 0)
    x1, y1 = np.minimum(np.ceil(shape.poly.max(0) * ppm).astype(int) + pad, (columns, rows))
    if x1 - x0 < 2 or y1 - y0 < 2:
        return
    at = np.s_[y0:y1, x0:x1]
    mask = shape_mask(shape.poly, ppm, x0, y0, x1 - x0, y1 - y0)
    within = mask > 0.5
    if not within.any():
        return
    soft = ndi.gaussian_filter(mask, shape.blur * ppm) if shape.blur else mask
    tint = np.array(shape.color, F) / 255 * F(1 + rng.normal(0, 0.05))
    dark = _shaded(shape, x0, y0, soft.shape, ppm)
    paint = tint * (1 - 0.5 * dark[..., None]) + (1 - tint) * F(0.8 * shape.white)
    colour[at] = colour[at] * (1 - soft[..., None]) + paint * soft[..., None]
    cover[at] = np.maximum(cover[at], mask if not shape.scenery else soft)
    way = _grain(shape, x0, y0, soft.shape, ppm)
    along[:, y0:y1, x0:x1] = np.where(within, way, along[:, y0:y1, x0:x1])
    if shape.blur and not shape.stencil and not shape.scenery:  # a patch of colour, no thing of its own
        return
    depth = ndi.distance_transform_edt(within).astype(F) / F(ppm)
    reach = max(float(depth.max()), 1e-3)
    round_ = np.sqrt(np.clip(1 - (1 - depth / reach) ** 2, 0, 1))
    swell = round_ * reach * (0.25 + 0.9 * shape.dome) + np.clip(depth / 0.35, 0, 1) * 0.16
    base = float(height[at][within].mean()) * 0.75 + (0.12 if reach < 3 else 0.0)
    raised = base + np.minimum(swell, 7.0)
    height[at] = height[at] * (1 - mask) + raised * mask


def _shaded(shape: Shape, x0: int, y0: int, size: tuple[int, ...], ppm: float) -> Array:
    """Tell how much darker the thing is by itself, from the tones of the drawing."""
    total = np.full(size, min(0.35, shape.tone * 0.5), F)
    yy, xx = np.mgrid[y0 : y0 + size[0], x0 : x0 + size[1]].astype(F) / F(ppm)
    for grad in shape.grads:
        vx, vy = grad.p1[0] - grad.p0[0], grad.p1[1] - grad.p0[1]
        u = ((xx - grad.p0[0]) * vx + (yy - grad.p0[1]) * vy) / max(vx * vx + vy * vy, 1e-6)
        total += F(grad.amount * 0.55) * np.clip(1 - u, 0, 1) ** F(grad.power) * (u < 1)
    return np.clip(total, 0, 1)


def _grain(shape: Shape, x0: int, y0: int, size: tuple[int, ...], ppm: float) -> Array:
    """Give the direction in which hair, barbs or fibres run."""
    if shape.grads and shape.grads[0].radial:
        yy, xx = np.mgrid[y0 : y0 + size[0], x0 : x0 + size[1]].astype(F) / F(ppm)
        dx, dy = xx - F(shape.grads[0].p0[0]), yy - F(shape.grads[0].p0[1])
        long = np.maximum(np.hypot(dx, dy), 1e-3)
        return np.stack([dx / long, dy / long])
    if shape.grads:
        way = np.subtract(shape.grads[0].p1, shape.grads[0].p0)
    else:
        centred = shape.poly - shape.poly.mean(0)
        way = np.linalg.svd(centred, full_matrices=False)[2][0]
    way = way / max(float(np.hypot(*way)), 1e-6)
    return np.stack([np.full(size, way[0], F), np.full(size, way[1], F)])


def fibres(relief: Relief, length_mm: float, fine_px: float, rng: np.random.Generator, sway: float = 0.25) -> Array:
    """Smear noise along the grain: hair, barbs of feathers, the fibres of a leaf; about -1..1."""
    h, w = relief.cover.shape
    seed = ndi.gaussian_filter(rng.normal(0, 1, (h, w)).astype(F), fine_px)
    turn = F(sway) * (noise((h, w), 5 * relief.ppm, rng) + 0.6 * noise((h, w), 1.2 * relief.ppm, rng))
    ax = relief.along[0] * np.cos(turn) - relief.along[1] * np.sin(turn)
    ay = relief.along[0] * np.sin(turn) + relief.along[1] * np.cos(turn)
    yy, xx = np.mgrid[0:h, 0:w].astype(F)
    total, steps = seed.copy(), max(4, int(length_mm * relief.ppm / 2 / (2.2 * fine_px)))
    for sign in (1, -1):
        px, py = xx.copy(), yy.copy()
        step = F(sign * length_mm * relief.ppm / 2 / steps)
        for _ in range(steps):
            i = np.clip(py, 0, h - 1).astype(np.int32), np.clip(px, 0, w - 1).astype(np.int32)
            px += ax[i] * step
            py += ay[i] * step
            total += ndi.map_coordinates(seed, [py, px], order=1, mode="reflect")
    return np.asarray(total / max(float(total.std()), 1e-6) * 0.45)


def lit(
    relief: Relief, detail: Array, gloss: float = 0.0, ambient: float = 0.42, tight: float = 40.0
) -> tuple[Array, Array]:
    """Light the landscape: brightness of every pixel (1 is a level, open place) and what shines."""
    ppm = F(relief.ppm)
    smooth = ndi.gaussian_filter(relief.height, 0.22 * relief.ppm) + detail
    gy, gx = np.gradient(smooth)
    inverse = 1 / np.sqrt(1 + (gx * ppm) ** 2 + (gy * ppm) ** 2)
    nx, ny, nz = -gx * ppm * inverse, -gy * ppm * inverse, inverse
    lx, ly, lz = np.array(LIGHT, F) / F(np.linalg.norm(LIGHT))
    key = np.clip((nx * lx + ny * ly + nz * lz + 0.18) / 1.18, 0, 1) / F((lz + 0.18) / 1.18)
    half = np.array([lx, ly, lz + 1]) / np.linalg.norm([lx, ly, lz + 1])
    shine = F(gloss) * np.clip(nx * half[0] + ny * half[1] + nz * half[2], 0, 1) ** F(tight)
    open_ = np.ones_like(key)
    for reach in (0.5, 1.6, 4.5):
        around = ndi.gaussian_filter(relief.height, reach * relief.ppm)
        open_ *= 1 - np.clip((around - relief.height) / F(reach * 1.6), 0, 0.55)
    sun = 1 - shadowed(relief)
    return np.asarray((1 - ambient) * key * sun + ambient * open_ * (0.75 + 0.25 * nz)), np.asarray(shine * sun)


def shadowed(relief: Relief) -> Array:
    """Say where the key light does not reach, 0..1, with an edge that softens."""
    rise = LIGHT[2] / np.hypot(*LIGHT[:2])
    step = SHADOW_REACH_MM / SHADOW_STEPS
    k = 2
    height = ndi.gaussian_filter(relief.height, 0.15 * relief.ppm)[::k, ::k]
    way = np.array([LIGHT[1], LIGHT[0]]) / np.hypot(*LIGHT[:2]) * relief.ppm / k
    dark = np.zeros(height.shape, F)
    for n in range(1, SHADOW_STEPS + 1):
        ahead = ndi.shift(height, -way * step * n, order=1, mode="nearest")
        over = ahead - height - F(step * n * rise)
        dark = np.maximum(dark, np.clip(over / F(0.25 + 0.10 * step * n), 0, 1))
    soft = ndi.gaussian_filter(dark, 0.12 * relief.ppm)
    full = ndi.zoom(soft, k, order=1)[: relief.cover.shape[0], : relief.cover.shape[1]]
    pad = [(0, a - b) for a, b in zip(relief.cover.shape, full.shape, strict=True)]
    return np.asarray(np.pad(full, pad, mode="edge"))


def placed(design: Design, size: tuple[int, int], fill: float) -> float:
    """Move the drawing to the picture's middle; give the scale in pixels a millimetre."""
    scale = min(size[0] * fill / design.width, size[1] * fill / design.height)
    design.moved(((size[0] / scale - design.width) / 2, (size[1] / scale - design.height) / 2))
    design.width, design.height = size[0] / scale, size[1] / scale
    return float(scale)


def seen_at(points: Array, width: float, height: float, size: tuple[int, int], fill: float) -> Array:
    """Say where points of a drawing (mm) lie in the picture that `placed` puts it into, in pixels."""
    scale = min(size[0] * fill / width, size[1] * fill / height)
    return np.asarray((points - np.array([width, height]) / 2) * scale + np.array(size) / 2)
