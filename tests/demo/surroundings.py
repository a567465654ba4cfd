"""What is behind the subject of a reference: leaves, a room, a pond, the sky, a table; all in linear light."""

from collections.abc import Callable

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage as ndi
from scipy.signal import fftconvolve

from tests.demo import geom as g
from tests.demo.geom import Array
from tests.demo.skin import F, linear, noise

Colour = tuple[int, int, int]
STEP = 2  # what is out of focus is painted at half the size


def enlarged(a: Array, size: tuple[int, int]) -> Array:
    """Resize a picture of several planes to (width, height)."""
    planes = [Image.fromarray(a[..., k].astype(F)).resize(size, Image.Resampling.BICUBIC) for k in range(a.shape[2])]
    return np.stack([np.asarray(plane) for plane in planes], -1)


def fractal(shape: tuple[int, int], cell: float, rng: np.random.Generator, octaves: int = 5) -> Array:
    """Noise of several sizes."""
    total = np.zeros(shape, F)
    for k in range(octaves):
        total += noise(shape, max(1.0, cell / 2**k), rng) * F(0.55**k)
    return total


def defocused(a: Array, radius: float) -> Array:
    """Blur as an open lens does: every point becomes a disc."""
    if radius < 1:
        return a
    r = int(np.ceil(radius))
    yy, xx = np.mgrid[-r : r + 1, -r : r + 1]
    disc = np.clip(radius + 0.5 - np.hypot(xx, yy), 0, 1)
    disc = disc * (0.85 + 0.3 * (np.hypot(xx, yy) / radius) ** 2)
    disc /= disc.sum()
    padded = np.pad(a, ((r, r), (r, r), (0, 0)), mode="reflect")
    return np.stack([fftconvolve(padded[..., k], disc, mode="valid") for k in range(a.shape[2])], -1).astype(F)


def leaves(
    size: tuple[int, int], rng: np.random.Generator, light: Colour = (150, 160, 96), dark: Colour = (18, 26, 16)
) -> Array:
    """Foliage in three depths, the sun coming through."""
    w, h = size[0] // STEP, size[1] // STEP
    blot = np.clip(0.45 + 0.35 * fractal((h, w), w / 3, rng, 3), 0, 1)[..., None]
    back = linear(dark) + (linear(light) - linear(dark)) * blot**2
    yy, xx = np.mgrid[0:h, 0:w].astype(F)
    for _ in range(46):
        x, y, r = rng.uniform(0, w), rng.uniform(0, h * 0.8), rng.uniform(0.5, 1.2)
        spot = ((xx - x) ** 2 + (yy - y) ** 2 < (r * 0.011 * w) ** 2)[..., None]
        back = back + spot * linear((255, 250, 200)) * F(rng.uniform(0.1, 0.9))
    back = defocused(back, 0.045 * w)
    for count, length, blur in ((26, 0.30, 0.028), (14, 0.24, 0.013)):
        back = _over(back, _blades((w, h), count, length, light, dark, rng), blur * w)
    return np.clip(enlarged(back, size), 0, None)


def _blades(
    size: tuple[int, int], count: int, length: float, light: Colour, dark: Colour, rng: np.random.Generator
) -> Array:
    """Leaves and stems, premultiplied, with how much they cover as the fourth plane."""
    im = Image.new("RGBA", size, (0, 0, 0, 0))
    pen = ImageDraw.Draw(im)
    for _ in range(count):
        base = np.array([rng.uniform(-0.1, 1.1) * size[0], rng.uniform(-0.1, 1.15) * size[1]])
        if abs(base[0] / size[0] - 0.5) < 0.16:
            continue
        tip = base + g.polar((0, 0), length * size[0] * rng.uniform(0.6, 1.3), rng.uniform(-160, -20))
        poly, _ = g.blade(base, tip, 0.30 * float(np.hypot(*(tip - base))), rng.normal(0, 0.15), widest=0.4, step=3)
        f = rng.uniform(0.1, 0.9)
        colour = [int(a * (1 - f) + b * f) for a, b in zip(dark, light, strict=True)]
        pen.polygon(poly.ravel().tolist(), fill=(*colour, 255))
        pen.line([*base.tolist(), *tip.tolist()], fill=(*(min(255, c + 24) for c in colour), 255), width=2)
    a = np.asarray(im, F)
    cover = a[..., 3:] / 255
    return np.concatenate([linear(a[..., :3]) * cover, cover], -1)


def _over(back: Array, layer: Array, radius: float) -> Array:
    soft = defocused(layer, radius)
    return np.asarray(back * (1 - soft[..., 3:]) + soft[..., :3])


def room(size: tuple[int, int], rng: np.random.Generator) -> Array:
    """A living room far out of focus: a window, a lamp, cushions."""
    w, h = size[0] // STEP, size[1] // STEP
    im = Image.new("RGB", (w, h), (128, 116, 104))
    pen = ImageDraw.Draw(im)
    pen.rectangle((0, int(0.62 * h), w, h), fill=(92, 74, 60))
    pen.rectangle((int(0.62 * w), -10, int(1.1 * w), int(0.40 * h)), fill=(236, 238, 240))
    pen.rectangle((int(0.80 * w), -10, int(0.83 * w), int(0.40 * h)), fill=(150, 140, 130))
    pen.rectangle((-10, int(0.42 * h), int(0.30 * w), int(0.80 * h)), fill=(86, 98, 104))
    pen.ellipse((int(-0.06 * w), int(0.34 * h), int(0.24 * w), int(0.58 * h)), fill=(176, 148, 96))
    pen.ellipse((int(0.10 * w), int(0.06 * h), int(0.24 * w), int(0.16 * h)), fill=(255, 232, 176))
    for _ in range(9):
        x, y = rng.uniform(0, 0.6) * w, rng.uniform(0.1, 0.42) * h
        tone = int(rng.uniform(60, 190))
        pen.rectangle(
            (x, y, x + rng.uniform(0.02, 0.07) * w, y + 0.12 * h), fill=(tone, int(tone * 0.88), int(tone * 0.76))
        )
    back = linear(np.asarray(im, F))
    return enlarged(defocused(back, 0.055 * w), size)


def pond(size: tuple[int, int], rng: np.random.Generator) -> Array:
    """The ground of a pond: gravel, a little silt, the light's moving seams."""
    w, h = size[0] // STEP, size[1] // STEP
    grit = np.clip(0.5 + 0.3 * fractal((h, w), 16, rng, 4), 0, 1)[..., None]
    back = linear((26, 44, 40)) + (linear((92, 112, 92)) - linear((26, 44, 40))) * grit**1.5
    im = Image.new("RGBA", (w, h), (0, 0, 0, 0))
    pen = ImageDraw.Draw(im)
    for _ in range(300):
        x, y, r = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.008, 0.035) * w
        tone = rng.uniform(40, 130)
        pen.ellipse((x - r, y - r * 0.8, x + r, y + r * 0.8), fill=(int(tone * 0.8), int(tone), int(tone * 0.86), 255))
    stones = np.asarray(im, F)
    stones = np.concatenate([linear(stones[..., :3]) * stones[..., 3:] / 255, stones[..., 3:] / 255], -1)
    back = _over(back, stones, 0.008 * w) * caustics((h, w), rng)[..., None]
    deep = np.clip(0.75 + 0.5 * noise((h, w), w / 2, rng), 0.3, 1.2)[..., None]
    return enlarged(back * deep * np.array([0.55, 0.85, 0.82], F), size)


def caustics(shape: tuple[int, int], rng: np.random.Generator) -> Array:
    """Light gathered by ripples: bright seams on a darker ground, around 1."""
    one, two = fractal(shape, shape[1] / 6, rng, 3), fractal(shape, shape[1] / 9, rng, 2)
    seams = np.exp(-((one / 0.07) ** 2)) + 0.7 * np.exp(-((two / 0.06) ** 2))
    return np.asarray(0.82 + 0.6 * ndi.gaussian_filter(seams, 1.2))


def sky(
    size: tuple[int, int], rng: np.random.Generator, top: Colour = (84, 132, 186), low: Colour = (196, 214, 228)
) -> Array:
    """Blue with heaped and drawn-out clouds."""
    w, h = size[0] // STEP, size[1] // STEP
    t = np.linspace(0, 1, h, dtype=F)[:, None, None] ** 0.8
    back = np.repeat(linear(top) * (1 - t) + linear(low) * t, w, axis=1)
    flat = np.asarray(
        Image.fromarray(fractal((h, max(8, w // 2)), w / 5, rng, 7)).resize((w, h), Image.Resampling.BICUBIC)
    )
    cover = np.clip((flat + 0.05) * 1.1, 0, 1) ** 1.2
    below = np.roll(cover, -int(0.02 * h), 0)
    tone = np.clip(0.86 + 0.6 * (cover - below), 0.55, 1.05)[..., None] * linear((250, 249, 247))
    return enlarged(back + (tone - back) * cover[..., None] * 0.85, size)


def table(size: tuple[int, int], rng: np.random.Generator) -> Array:
    """Boards of an old table, seen from above."""
    w, h = size
    xx = np.mgrid[0:h, 0:w].astype(F)[1]
    boards = 4
    board = np.clip((xx / w * boards).astype(int), 0, boards - 1)
    tones = rng.uniform(0.75, 1.15, boards).astype(F)[board]
    grain = np.zeros((h, w), F)
    for k in range(boards):
        wave = noise((h, w), w / 3, rng) * 26 + noise((h, w), w / 9, rng) * 5
        ring = np.sin((xx + wave * 1.5) * (0.10 + 0.03 * k) * 1600 / w) * 0.5
        fine = noise((max(3, h // 30), w), 1.6, rng)
        streak = np.asarray(Image.fromarray(fine).resize((w, h), Image.Resampling.BICUBIC))
        grain = np.where(board == k, 0.45 * ring + 0.8 * streak, grain)
    tone = tones * (1 + 0.16 * grain)
    off = np.abs((xx / w * boards) % 1 - 0.5) - 0.5
    tone = tone * (1 - 0.8 * np.exp(-((off * w / boards / 3.0) ** 2)))
    return np.asarray(linear((196, 178, 154)) * np.clip(tone, 0.05, 1.6)[..., None] ** 1.6)


def bark(size: tuple[int, int], rng: np.random.Generator) -> Array:
    """Pale bark with lichen, near."""
    w, h = size
    ridge = np.abs(fractal((max(8, h // 4), w), w / 12, rng, 5))
    ridge = np.asarray(Image.fromarray(ridge.astype(F)).resize((w, h), Image.Resampling.BICUBIC))
    gx = np.gradient(ndi.gaussian_filter(ridge, 1.2), axis=1) * w / 40
    tone = np.clip(0.35 + 0.75 * ridge + 0.5 * gx + 0.10 * noise((h, w), 2.5, rng), 0.04, 1.5)
    moss = np.clip(fractal((h, w), w / 5, rng, 5) - 0.35, 0, 1)[..., None] * 1.4
    wood = linear((142, 126, 108)) * tone[..., None] ** 1.3
    lichen = linear((150, 164, 134)) * (0.7 + 0.4 * tone[..., None])
    return np.asarray(wood + (lichen - wood) * np.clip(moss, 0, 0.85))


def sea(size: tuple[int, int], rng: np.random.Generator, horizon: float, low: Colour = (222, 206, 184)) -> Array:
    """Sky over water whose waves grow towards the camera; `horizon` is its share of the height."""
    w, h = size
    back = sky(size, rng, (108, 146, 180), low)
    line = int(np.clip(horizon, 0.3, 0.95) * h)
    n = h - line
    near = (np.arange(n, dtype=F) + 1) / n
    # a plane seen from a low place: rows near the horizon are far apart in the world
    depth = 1 / (near + 0.035)
    world_y = (depth - depth.min()) / (depth.max() - depth.min()) * 900
    field = fractal((1024, 512), 46, rng, 6)
    xs = (np.arange(w, dtype=F)[None, :] - w / 2) * depth[:, None] * F(0.35 * 1600 / w / depth.min()) * 0.12 + 256
    at = [np.repeat(world_y[:, None], w, 1), xs]
    waves = ndi.map_coordinates(field, at, order=1, mode="grid-wrap")
    slope = ndi.map_coordinates(np.gradient(field, axis=0), at, order=1, mode="grid-wrap") * 6
    haze = np.clip(1 - near * 5, 0, 1)[:, None, None] * 0.6
    facing = np.clip(0.35 + 0.55 * slope + 0.15 * waves, 0, 1.3)[..., None]
    water = linear((26, 44, 54)) + (linear((150, 172, 186)) - linear((26, 44, 54))) * facing**1.6
    water = water * (1 - haze) + linear(low) * haze * 0.8
    back[line:] = water
    return back


GROUNDS: dict[str, Callable[[tuple[int, int], np.random.Generator], Array]] = {
    "leaves": leaves,
    "forest": lambda size, rng: leaves(size, rng, (84, 118, 62), (10, 16, 10)),
    "room": room,
    "pond": pond,
    "sky": sky,
    "table": table,
    "bark": bark,
}
# What the subject lies on, so that its shadow falls there.
LAID_ON = ("table", "bark")
