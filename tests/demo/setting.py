"""What surrounds the limb in a photograph: the backdrop and the edge of a sleeve or hem."""

from typing import Protocol

import numpy as np
from PIL import Image
from scipy import ndimage as ndi

from tests.demo.geom import Array
from tests.demo.limb import Surface, View
from tests.demo.skin import F, linear, noise

Colour = tuple[int, int, int]

# what it is, the lit and the dark colour
BACKDROPS: dict[str, tuple[str, Colour, Colour]] = {
    "black": ("vinyl", (46, 46, 50), (10, 10, 12)),
    "charcoal": ("vinyl", (86, 86, 90), (26, 26, 29)),
    "slate": ("room", (126, 134, 142), (52, 58, 66)),
    "stone": ("paper", (206, 202, 196), (120, 116, 110)),
    "linen": ("paper", (228, 222, 212), (150, 142, 132)),
    "olive": ("room", (120, 124, 100), (44, 48, 38)),
}
CLOTHS: dict[str, Colour] = {
    "black": (38, 38, 41),
    "navy": (46, 56, 78),
    "grey": (128, 128, 130),
    "cream": (206, 198, 184),
}


class Lit(Protocol):
    """What a cloth needs to know of the light."""

    @property
    def pool(self) -> Array: ...
    @property
    def exposure(self) -> float: ...
    @property
    def across(self) -> float: ...
    @property
    def towards(self) -> float: ...


def backdrop(view: View, rng: np.random.Generator) -> Array:
    """Paint what the limb lies on or hangs before, out of focus: an armrest, bed paper, the room (linear light)."""
    w, h = view.size
    small = (max(8, h // 4), max(8, w // 4))
    kind, lit, dark = BACKDROPS[view.scene.backdrop]
    yy, xx = np.mgrid[0 : small[0], 0 : small[1]].astype(F)
    yy, xx = yy / small[0] - 0.5, xx / small[1] - 0.5
    cx, cy = rng.uniform(-0.25, 0.25), rng.uniform(-0.3, 0.1)
    pool = np.exp(-(((xx - cx) / 0.6) ** 2 + ((yy - cy) / 0.65) ** 2))
    tone = KINDS[kind](pool, (xx, yy), view.ppm / 4, rng)
    colours = linear(dark) + (linear(lit) - linear(dark)) * np.clip(tone, -0.2, 1.6)[..., None]
    if kind == "room":
        colours = _lamps(colours, xx, yy, rng)
    soft = ndi.gaussian_filter(colours, (BLUR_MM[kind] * view.ppm / 4,) * 2 + (0,))
    planes = [Image.fromarray(soft[..., k].astype(F)).resize((w, h), Image.Resampling.BICUBIC) for k in range(3)]
    return np.clip(np.stack([np.asarray(plane) for plane in planes], -1), 0, None)


def _vinyl(pool: Array, at: tuple[Array, Array], ppm: float, rng: np.random.Generator) -> Array:
    """A black armrest: grain, a stitched seam, and the sheen of the lamp where it curves away."""
    (xx, yy), shape = at, pool.shape
    grain = noise(shape, max(1.0, 0.8 * ppm), rng) + 0.6 * noise(shape, max(1.0, 2.2 * ppm), rng)
    turn = np.radians(rng.uniform(-14, 14))
    across, along = xx * np.cos(turn) + yy * np.sin(turn), yy * np.cos(turn) - xx * np.sin(turn)
    seam_at = rng.choice([-0.43, 0.43])
    off = across - seam_at - 0.01 * np.sin(along * 7)
    tone = 0.5 * pool + 0.07 * grain + 0.35 * np.exp(-(((across + seam_at * 0.9) / 0.09) ** 2)) * (0.6 + 0.4 * pool)
    tone = tone - 0.55 * np.exp(-((off / 0.006) ** 2)) + 0.10 * np.exp(-(((off - 0.016) / 0.008) ** 2))
    stitch = (np.sin(along * 150) > -0.3) * np.exp(-(((np.abs(off) - 0.022) / 0.003) ** 2))
    return np.asarray(tone + 0.45 * stitch)


def _paper(pool: Array, at: tuple[Array, Array], ppm: float, rng: np.random.Generator) -> Array:
    """Paper from the roll over the bed: creases and a soft crumple."""
    (xx, yy), shape = at, pool.shape
    crumple = sum(np.abs(noise(shape, cell * ppm, rng)) * weight for cell, weight in ((34, 1.0), (15, 0.6), (6, 0.25)))
    gy, gx = np.gradient(ndi.gaussian_filter(np.asarray(crumple, F), 0.6 * ppm))
    relief = (gx * 0.7 + gy * 0.5) * ppm
    fold = yy - rng.uniform(-0.1, 0.25) - 0.02 * np.sin(xx * 6)
    step = np.where(fold > 0, -0.10 * np.exp(-fold / 0.05), 0.05 * np.exp(fold / 0.03))
    return np.asarray(0.45 + 0.6 * pool - 2.2 * relief + step)


def _room(pool: Array, at: tuple[Array, Array], _ppm: float, rng: np.random.Generator) -> Array:
    """The studio behind: a shelf with things on it, a door frame, far out of focus."""
    (xx, yy), tone = at, 0.35 + 0.5 * pool
    shelf = rng.uniform(-0.25, -0.05)
    tone = tone - 0.30 * ((yy > shelf) & (yy < shelf + 0.02)) - 0.12 * (yy > 0.30)
    for _ in range(11):
        x, wide, tall = rng.uniform(-0.55, 0.5), rng.uniform(0.02, 0.10), rng.uniform(0.05, 0.2)
        thing = (xx > x) & (xx < x + wide) & (yy > shelf - tall) & (yy < shelf)
        tone = np.where(thing, rng.uniform(0.0, 1.0), tone)
    frame = rng.uniform(-0.5, 0.45)
    return np.asarray(tone - 0.25 * ((xx > frame) & (xx < frame + 0.05)))


KINDS = {"vinyl": _vinyl, "paper": _paper, "room": _room}
BLUR_MM = {"vinyl": 0.9, "paper": 0.8, "room": 5.0}


def _lamps(colours: Array, xx: Array, yy: Array, rng: np.random.Generator) -> Array:
    """Lamps out of focus: discs a little brighter at the rim."""
    for _ in range(6):
        x, y, r = rng.uniform(-0.55, 0.55), rng.uniform(-0.5, 0.1), rng.uniform(0.02, 0.05)
        d = np.hypot(xx - x, yy - y) / r
        disc = np.clip((1 - d) * 9, 0, 1) * (0.7 + 0.3 * np.clip(d, 0, 1) ** 3) * rng.uniform(0.1, 0.5)
        colours = colours + disc[..., None] * np.array([1.0, 0.86, 0.64], F) * 0.7
    return np.asarray(colours)


def shadow(view: View, mask: Array) -> Array:
    """The limb's shadow on what it lies on: close and dark at the edge, wide and faint away from the light."""
    if BACKDROPS[view.scene.backdrop][0] == "room":
        return np.zeros(mask.shape, F)
    k = 8
    small = np.asarray(
        Image.fromarray(mask.astype(F)).resize((mask.shape[1] // k, mask.shape[0] // k), Image.Resampling.BOX)
    )
    ppm = view.ppm / k
    away = -np.array(view.scene.key[:2]) / max(np.hypot(*view.scene.key[:2]), 1e-6)
    far = ndi.shift(small, (away[1] * 9 * ppm, away[0] * 9 * ppm), order=1, mode="nearest")
    total = 0.55 * ndi.gaussian_filter(far, 6 * ppm) + 0.5 * ndi.gaussian_filter(small, 2.2 * ppm)
    wide = Image.fromarray(np.clip(total, 0, 0.85).astype(F)).resize(mask.shape[::-1], Image.Resampling.BICUBIC)
    return np.asarray(wide)


def dress(img: Array, view: View, on: Surface, light: Lit, rng: np.random.Generator) -> tuple[Array, Array]:
    """Put a sleeve or a hem over the top of the limb, with folds, a turned edge and its shadow.

    Returns the picture (linear light) and the mask of what is not backdrop.
    """
    shape, ppm, seen = on.u.shape, view.ppm, F(view.seen_mm)
    edge = F(-0.375) * seen + 0.045 * seen * np.sqrt(np.clip(1 - on.s * on.s, 0, 1)) + 1.1 * noise(shape, 16 * ppm, rng)
    below = on.u - edge
    shadow = np.exp(-np.clip(below, 0, None) / 3.2) * (below > 0)
    img = img * (1 - 0.62 * shadow)[..., None] ** np.array([0.85, 1.0, 1.05], F)
    wide = on.r * (1.055 + 0.022 * noise(shape, 14 * ppm, rng))
    cover = np.clip(-below * F(ppm) / 2 + 0.5, 0, 1)
    cover = cover * np.clip((wide - np.abs(on.s) * on.r) * F(ppm) / 2 + 0.5, 0, 1)
    folds = noise(shape, 12 * ppm, rng) * 2.2 + noise(shape, 5 * ppm, rng) * 0.7
    fy, fx = np.gradient(folds)
    across = np.clip(on.s * on.r / wide, -0.999, 0.999)
    nv, nu, nz = across - fx * ppm * 0.34, fy * ppm * 0.34, np.sqrt(np.clip(1 - across * across, 0.02, 1))
    lit = np.clip((nv * light.across + nz * light.towards) / np.sqrt(nv * nv + nu * nu + nz * nz) + 0.18, 0, 1.2)
    lit = (lit * 0.92 + 0.10) * (0.62 + 0.42 * light.pool)
    weave = 1 + 0.05 * np.sin(on.u * F(7.5)) * np.sin(on.s * on.r * F(7.5)) + 0.03 * noise(shape, 1.0, rng)
    hem = np.exp(-(((-below - 3.6) / 0.35) ** 2)) * 0.30 + np.exp(-((below / 0.7) ** 2)) * 0.25
    tone = lit * weave * (1 - hem) * F(min(light.exposure, 1.25) * 0.82)
    cloth = tone[..., None] * linear(CLOTHS[view.scene.cloth])
    return img + (cloth - img) * cover[..., None], np.maximum(on.mask, cover)
