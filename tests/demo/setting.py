"""What surrounds the limb in a photograph: the backdrop and the edge of a sleeve or hem."""

from typing import Protocol

import numpy as np
from PIL import Image

from tests.demo.geom import Array
from tests.demo.limb import Surface, View
from tests.demo.skin import F, linear, noise

Colour = tuple[int, int, int]

# the lit and the dark colour
BACKDROPS: dict[str, tuple[Colour, Colour]] = {
    "black": ((30, 30, 33), (10, 10, 12)),
    "charcoal": ((78, 78, 80), (30, 30, 33)),
    "slate": ((104, 112, 118), (44, 50, 56)),
    "stone": ((178, 172, 164), (110, 104, 98)),
    "linen": ((214, 206, 196), (156, 146, 136)),
    "olive": ((96, 98, 82), (36, 38, 32)),
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
    """Paint an unevenly lit sheet of paper or cloth, out of focus (linear light)."""
    w, h = view.size
    small = (max(2, h // 8), max(2, w // 8))
    yy, xx = np.mgrid[0 : small[0], 0 : small[1]].astype(F)
    yy, xx = yy / small[0] - 0.5, xx / small[1] - 0.5
    lit, dark = (linear(c) for c in BACKDROPS[view.scene.backdrop])
    cx, cy = rng.uniform(-0.25, 0.25), rng.uniform(-0.3, 0.1)
    t = np.exp(-(((xx - cx) / 0.55) ** 2 + ((yy - cy) / 0.6) ** 2))
    t = np.clip(t + 0.10 * noise(small, small[1] / 3, rng) + 0.05 * noise(small, small[1] / 9, rng), 0, 1)
    colours = dark + (lit - dark) * t[..., None]
    planes = [Image.fromarray(colours[..., k].astype(F)).resize((w, h), Image.Resampling.BICUBIC) for k in range(3)]
    return np.stack([np.asarray(plane) for plane in planes], -1)


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
