"""The moon as a telescope's camera sees it: a lit sphere with seas and craters."""

import numpy as np
from PIL import Image
from scipy import ndimage as ndi

from tests.demo.geom import Array
from tests.demo.skin import F, noise

SUN = np.array([-0.86, -0.30, -0.40])  # from the left, a little behind: a crescent


def moonlit(size: tuple[int, int], rng: np.random.Generator) -> Image.Image:
    """Take the picture."""
    w, h = size
    yy, xx = np.mgrid[0:h, 0:w].astype(F)
    radius = 0.40 * min(w, h)
    x, y = (xx - w / 2) / radius, (yy - h / 2) / radius
    inside = np.clip(1 - x * x - y * y, 0, 1)
    z = np.sqrt(inside)
    albedo, height = _surface((h, w), x, y, radius, rng)
    gy, gx = np.gradient(height)
    normal = np.stack([x - gx, y - gy, z], -1)
    normal /= np.maximum(np.linalg.norm(normal, axis=-1, keepdims=True), 1e-6)
    sun = SUN / np.linalg.norm(SUN)
    night = np.clip((np.stack([x, y, z], -1) @ sun.astype(F) + 0.03) / 0.12, 0, 1)
    lit = np.clip(normal @ sun.astype(F), 0, 1) ** 0.8 * night
    earthshine = 0.004 * (0.4 + 0.6 * z)
    disc = np.clip((1 - np.hypot(x, y)) * radius / 1.6 + 0.5, 0, 1)
    glow = np.exp(-np.clip(np.hypot(x + 0.5, y + 0.2) - 0.7, 0, None) / 0.22) * 0.003
    light = (albedo * (lit * 1.15 + earthshine)) * disc + glow
    img = 1 - np.exp(-1.9 * light)
    img = img[..., None] ** (1 / 2.2) * np.array([255, 248, 234], F)
    img = ndi.gaussian_filter(img, (0.8, 0.8, 0)) + np.array([7, 8, 12], F) + rng.normal(0, 3.2, (h, w, 3))
    return Image.fromarray(np.clip(img, 0, 255).astype(np.uint8))


def _surface(
    shape: tuple[int, int], x: Array, y: Array, radius: float, rng: np.random.Generator
) -> tuple[Array, Array]:
    """Brightness and height (pixels) of seas and craters."""
    albedo = 0.62 + 0.10 * noise(shape, radius / 5, rng) + 0.06 * noise(shape, radius / 18, rng)
    seas = noise(shape, radius / 1.6, rng) + 0.5 * noise(shape, radius / 5, rng)
    albedo -= 0.26 * np.clip((seas - 0.1) / 0.25, 0, 1)
    height = 0.5 * noise(shape, radius / 30, rng) + 0.9 * noise(shape, radius / 10, rng)
    for _ in range(420):
        cx, cy = rng.uniform(-1, 1, 2)
        if cx * cx + cy * cy > 0.97:
            continue
        size = 0.008 + 0.075 * rng.uniform() ** 4
        z = np.sqrt(1 - cx * cx - cy * cy)
        reach = int(2.0 * size * radius) + 2
        row, column = int(cy * radius + shape[0] / 2), int(cx * radius + shape[1] / 2)
        box = np.s_[max(0, row - reach) : row + reach, max(0, column - reach) : column + reach]
        dx, dy = x[box] - cx, y[box] - cy
        along = (dx * cx + dy * cy) / max(np.hypot(cx, cy), 1e-3)
        r = np.sqrt(dx * dx + dy * dy + along**2 * (1 / max(z, 0.15) ** 2 - 1)) / size
        rim = np.exp(-(((r - 1) / 0.22) ** 2)) - 0.8 * np.exp(-((r / 0.75) ** 4))
        height[box] += rim * size * radius * 0.13
        albedo[box] += 0.07 * np.exp(-((r / 1.3) ** 2))
    return np.clip(albedo, 0.1, 1), height
