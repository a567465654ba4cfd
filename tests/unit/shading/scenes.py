"""Made-up references of known tones, with the drawings that enclose them."""

import numpy as np
from PIL import Image, ImageDraw

from archgen.shading.light import gray_of
from archgen.shading.plan import LaidReference

PPM = 10


def laid(reference, drawing, shown=None):
    white = Image.new("L", reference.size, 255)
    return LaidReference(reference, drawing, shown or white, reference.width / PPM)


def framed(reference, margin=1):
    """Lay the outline of the picture's edge round a reference."""
    drawing = Image.new("L", reference.size, 255)
    wide, high = reference.size
    box = (margin * PPM, margin * PPM, wide - margin * PPM, high - margin * PPM)
    ImageDraw.Draw(drawing).rectangle(box, outline=0, width=3)
    return laid(reference, drawing)


def stripes(lights, wide=60, high=40, turned=False):
    """Paint bands of given lightness, from the left, or from the top down."""
    rows = np.repeat(np.array([gray_of(light) for light in lights], np.uint8), -(-wide * PPM // len(lights)))
    picture = np.tile(rows[: wide * PPM], (high * PPM, 1))
    return Image.fromarray(picture.T.copy() if turned else picture)


def blobs(seed, wide=30, high=36, noise=4.0):
    """Paint soft shapes with grain, unlike any tone map."""
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[: high * PPM, : wide * PPM] / PPM
    light = np.full(x.shape, 85.0)
    for _ in range(14):
        cx, cy, size = rng.uniform(0, wide), rng.uniform(0, high), rng.uniform(2, 14)
        light -= rng.uniform(-20, 60) * np.exp(-(((x - cx) ** 2 + (y - cy) ** 2) / size**2))
    light += rng.normal(0, noise, light.shape)
    return Image.fromarray(np.clip(light * 2.55, 0, 255).astype(np.uint8))
