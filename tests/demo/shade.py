"""Black-and-grey shading and painted colour from the shapes of a design."""

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage as ndi

from tests.demo.design import Design, Shape
from tests.demo.geom import Array
from tests.demo.raster import stencil


@dataclass
class Maps:
    """Rasters at `ppm` pixels a millimetre; all values 0..1."""

    ppm: float
    lines: Array
    tone: Array
    white: Array
    cover: Array
    color: Array | None = None

    @property
    def width_mm(self) -> float:
        """Width of the whole drawing with its margin."""
        return float(self.lines.shape[1] / self.ppm)

    @property
    def height_mm(self) -> float:
        """Height of the whole drawing with its margin."""
        return float(self.lines.shape[0] / self.ppm)


def shape_mask(poly: Array, ppm: float, x0: int, y0: int, w: int, h: int) -> Array:
    """How much of each pixel of a window (its corner, width and height in pixels) lies inside the outline, 0..1."""
    im = Image.new("L", (w * 2, h * 2), 0)
    ImageDraw.Draw(im).polygon(((poly * ppm - (x0, y0)) * 2).ravel().tolist(), fill=255)
    return np.asarray(im.reduce(2), np.float32) / 255


def maps(design: Design, ppm: float = 10.0, colors: bool = True) -> Maps:
    """Tone (ink density), cover and painted colour at ppm pixels a millimetre."""
    columns, rows = int(np.ceil(design.width * ppm)), int(np.ceil(design.height * ppm))
    tone = np.zeros((rows, columns), np.float32)
    cover = np.zeros((rows, columns), np.float32)
    white = np.zeros((rows, columns), np.float32)
    col = np.zeros((rows, columns, 3), np.float32)
    lx, ly = design.light
    pad = int(2.5 * ppm)
    for it in design.items:
        if not isinstance(it, Shape) or it.scenery:
            continue
        lo = np.floor(it.poly.min(0) * ppm).astype(int) - pad
        hi = np.ceil(it.poly.max(0) * ppm).astype(int) + pad
        x0, y0 = np.maximum(lo, 0)
        x1, y1 = min(hi[0], columns), min(hi[1], rows)
        if x1 - x0 < 2 or y1 - y0 < 2:
            continue
        m = shape_mask(it.poly, ppm, x0, y0, x1 - x0, y1 - y0)
        sl = np.s_[y0:y1, x0:x1]
        if it.shadow > 0:
            sh = ndi.shift(m, (0.55 * ppm, 0.4 * ppm), order=0)
            sh = ndi.gaussian_filter(sh, 0.75 * ppm) * it.shadow * cover[sl]
            tone[sl] += sh * (1 - tone[sl])
            col[sl] *= (1 - 0.75 * sh)[..., None]
        d = ndi.distance_transform_edt(m > 0.5).astype(np.float32) / ppm
        dm = float(d.max()) or 1.0
        t = np.clip(d / dm, 0, 1)
        ds = ndi.gaussian_filter(d, max(0.6, 0.22 * dm * ppm))
        gy, gx = np.gradient(ds)
        lam = (gx * lx + gy * ly) * ppm * (1 - t) ** 0.8
        s = it.tone + it.dome * np.clip(lam, 0, 1) ** 1.1 + it.rim * np.exp(-d / max(0.25, 0.18 * dm))
        if it.grads:
            yy, xx = np.mgrid[y0:y1, x0:x1].astype(np.float32) / ppm
            for gr in it.grads:
                vx, vy = gr.p1[0] - gr.p0[0], gr.p1[1] - gr.p0[1]
                u = ((xx - gr.p0[0]) * vx + (yy - gr.p0[1]) * vy) / max(vx * vx + vy * vy, 1e-6)
                s = s + gr.amount * np.clip(1 - u, 0, 1) ** gr.power * (u < 1)
        solid = it.fill or (it.black and not colors)
        s = np.ones_like(s) if solid else np.clip(s, 0, 1.0)
        if it.blur:
            m = ndi.gaussian_filter(m, it.blur * ppm)
        tone[sl] = tone[sl] * (1 - m) + s * m
        white[sl] = white[sl] * (1 - m) + it.white * np.clip(t * 1.6, 0, 1) * m
        cover[sl] = np.maximum(cover[sl], m)
        if colors:
            c = np.array(it.color, np.float32) / 255
            lit = np.clip(-lam, 0, 1) * 0.22 * min(1, it.dome * 2)
            dark = np.clip(s - it.tone * 0.6, 0, 1)[..., None]
            paint = c * (1 - 0.78 * dark) * (1 - dark * np.array([0.0, 0.05, -0.02])) + lit[..., None] * (1.05 - c)
            col[sl] = col[sl] * (1 - m[..., None]) + paint * m[..., None]
    return Maps(ppm, np.zeros((0, 0)), np.clip(tone, 0, 1), white, cover, col if colors else None)


def line_map(design: Design, ppm: float) -> Array:
    """The line art as ink density, at ppm pixels a millimetre."""
    return 1 - np.asarray(stencil(design, dpi=ppm * 25.4, over=3), np.float32) / 255


def stipple(tone: Array, ppm: float, seed: int, pitch: float = 0.26, radius: float = 0.085) -> Array:
    """Dot-work: dots whose density follows the tone."""
    rng = np.random.default_rng(seed)
    rows, columns = tone.shape
    ny, nx = int(rows / ppm / pitch), int(columns / ppm / pitch)
    yy, xx = np.mgrid[0:ny, 0:nx].astype(float)
    yy = (yy + rng.uniform(0, 1, yy.shape)) * pitch * ppm
    xx = (xx + (np.arange(ny) % 2)[:, None] * 0.5 + rng.uniform(0, 1, xx.shape)) * pitch * ppm
    iy, ix = np.clip(yy.astype(int), 0, rows - 1), np.clip(xx.astype(int), 0, columns - 1)
    keep = rng.uniform(0, 1, iy.shape) < np.clip(tone[iy, ix] * 1.1, 0, 1)
    im = Image.new("L", (columns, rows), 0)
    d = ImageDraw.Draw(im)
    r = radius * ppm * rng.uniform(0.75, 1.15, keep.sum())
    xs, ys = xx[keep], yy[keep]
    for b in np.stack([xs - r, ys - r, xs + r, ys + r], 1).tolist():
        d.ellipse(b, fill=255)
    return np.asarray(ndi.gaussian_filter(np.asarray(im, np.float32) / 255, 0.03 * ppm))


def ink(design: Design, ppm: float = 20.0, style: str = "wash", seed: int = 5) -> Maps:
    """Everything the needle leaves: lines, tone in the given style, white, cover.

    Styles: "line" (no shading), "wash" (soft gradients), "dots" (stippled), "whip" (wash fading into dots).
    """
    base = maps(design, 10.0, colors=False)
    lines = line_map(design, ppm)
    rows, columns = lines.shape

    def up(a: Array) -> Array:
        im = Image.fromarray(a.astype(np.float32)).resize((columns, rows), Image.Resampling.BICUBIC)
        return np.asarray(np.clip(np.asarray(im), 0, 1))

    tone, white, cover = up(base.tone), up(base.white), up(base.cover)
    if style == "line":
        tone = np.where(tone > 0.97, tone, 0)
    elif style == "dots":
        tone = np.maximum(0.9 * stipple(tone, ppm, seed), np.where(tone > 0.97, 1, 0) * tone) + 0.06 * tone
    elif style == "whip":
        tone = np.clip(0.62 * tone**1.25 + 0.42 * stipple(tone**0.85, ppm, seed), 0, 1)
    else:
        grain = np.random.default_rng(seed).normal(0, 1, (rows // 4 + 1, columns // 4 + 1)).astype(np.float32)
        grain = np.asarray(Image.fromarray(grain).resize((columns, rows), Image.Resampling.BICUBIC))
        tone = np.clip(tone * (0.92 + 0.05 * grain) + 0.08 * stipple(tone, ppm, seed), 0, 1)
    return Maps(ppm, lines, np.clip(tone, 0, 1), white, cover)
