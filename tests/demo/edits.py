"""Edited copies: black-and-white, crops, re-compressed and small versions."""

from collections.abc import Callable

import numpy as np
from PIL import Image, ImageEnhance, ImageFilter, ImageOps

from tests.demo.skin import F, noise


def black_and_white(im: Image.Image) -> Image.Image:
    """A contrasty grey copy with a little tone curve."""
    g = ImageOps.autocontrast(im.convert("L"), cutoff=(0.3, 0.3))
    x = np.arange(256) / 255
    y = x + 0.10 * np.sin((x - 0.5) * 2 * np.pi) * -1 * 0.5
    return g.point((np.clip(y, 0, 1) * 255).astype(int).tolist())


def crop(
    im: Image.Image, share: float = 0.8, at: tuple[float, float] = (0.5, 0.5), aspect: float | None = None
) -> Image.Image:
    """A part of the picture; `aspect` is width / height (0.8 for 4:5)."""
    w, h = im.size
    cw, ch = w * share, h * share
    if aspect:
        cw, ch = (ch * aspect, ch) if ch * aspect <= cw else (cw, cw / aspect)
    x, y = (w - cw) * at[0], (h - ch) * at[1]
    return im.crop((round(x), round(y), round(x + cw), round(y + ch)))


def graded(im: Image.Image, warmth: float = 0.06, contrast: float = 1.08, light: float = 1.03) -> Image.Image:
    """The copy for posting: warmer and with more contrast."""
    r, g, b = im.split()
    r = r.point([min(255, int(v * (1 + warmth))) for v in range(256)])
    b = b.point([int(v * (1 - warmth)) for v in range(256)])
    return ImageEnhance.Brightness(ImageEnhance.Contrast(Image.merge("RGB", (r, g, b))).enhance(contrast)).enhance(
        light
    )


def messenger(im: Image.Image) -> Image.Image:
    """What comes back from a messenger: small; compress it hard."""
    small = im.copy()
    small.thumbnail((max(1, im.width * 2 // 5), max(1, im.height * 2 // 5)), Image.Resampling.LANCZOS)
    return small


def scanned(drawing: Image.Image, ppm: float) -> Image.Image:
    """The drawing inked by hand on paper and scanned: 16-bit gray, warm white paper, uneven ink, a little blur."""
    rng = np.random.default_rng(16)
    soft = np.asarray(drawing.filter(ImageFilter.GaussianBlur(0.018 * ppm)), F) / 255
    shape = soft.shape
    paper = 0.955 + 0.006 * noise(shape, 9 * ppm, rng) + 0.004 * noise(shape, 0.25 * ppm, rng)
    ink = 0.085 + 0.03 * noise(shape, 1.5 * ppm, rng)
    gray = ink + (paper - ink) * soft + rng.normal(0, 0.002, shape)
    # ten of the sixteen bits: the lowest are noise that would triple the file
    return Image.fromarray((np.clip(gray, 0, 1) * 1023).astype(np.uint16) * 64)


EDITS: dict[str, Callable[[Image.Image], Image.Image]] = {
    "bw": black_and_white,
    "crop": lambda im: crop(im, 0.78, (0.5, 0.5), 0.8),
    "square": lambda im: crop(im, 1.0, (0.5, 0.5), 1.0),
    "graded": graded,
    "messenger": messenger,
}
