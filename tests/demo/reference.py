"""References: what a piece was drawn from, as a camera, an old print, a plate or a herbarium sheet shows it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from PIL import Image
from scipy import ndimage as ndi

from tests.demo.design import Design, Shape, Stroke
from tests.demo.geom import Array
from tests.demo.moonlight import moonlit
from tests.demo.shade import line_map, maps
from tests.demo.skin import F, noise

Colour = tuple[int, int, int]

AT_SEA = ("lighthouse", "boat")
# A stroke up to this width is texture (hair, barbs, veins); a wider one is an outline, which no camera sees.
TEXTURE_MM = 0.25
MARGIN = {"photo": 0.80, "print": 0.80, "plate": 0.70, "pressed": 0.74}


@dataclass(frozen=True, slots=True)
class Setting:
    """What is behind the subject: colours from top to bottom, spots of light, and whether it stands free."""

    top: Colour
    low: Colour
    spot: Colour
    spots: int
    free: bool = False  # sky or water: throws no shadow
    furry: bool = False  # hair or down


SETTINGS: dict[str, Setting] = {
    "owl": Setting((84, 92, 70), (38, 42, 34), (170, 176, 120), 26, furry=True),
    "moth": Setting((60, 64, 58), (30, 34, 34), (110, 118, 92), 10, furry=True),
    "fern": Setting((44, 56, 44), (20, 26, 22), (120, 150, 92), 22),
    "koi": Setting((24, 60, 62), (10, 30, 36), (96, 150, 150), 0, free=True),
    "dog": Setting((150, 142, 132), (92, 86, 80), (176, 168, 156), 4, furry=True),
    "swallow": Setting((112, 150, 190), (206, 216, 224), (250, 250, 250), 0, free=True),
    "snake": Setting((66, 80, 58), (28, 36, 28), (140, 160, 96), 22),
    "lavender": Setting((150, 146, 128), (96, 104, 84), (214, 206, 170), 18),
    "lighthouse": Setting((146, 176, 200), (222, 206, 184), (250, 236, 214), 0, free=True),
    "boat": Setting((198, 190, 180), (150, 152, 156), (250, 240, 220), 0, free=True),
}


@dataclass(frozen=True, slots=True)
class Layers:
    """The subject placed in the picture: cover, colour (0..1), texture strokes, outlines, light spots."""

    cover: Array
    colour: Array
    texture: Array
    outline: Array
    white: Array
    foot: float  # its lower edge, in pixels


def paint(name: str, design: Design, kind: str = "photo", seed: int = 1, long_side: int = 1600) -> Image.Image:
    """Make a reference. Kinds: photo, print (old, black and white), plate (tinted, on paper), pressed (herbarium)."""
    rng = np.random.default_rng(seed)
    tall = design.height > design.width * 1.02
    size = (round(long_side * 0.8), long_side) if tall else (long_side, round(long_side * 0.8))
    if name == "moon" and kind == "photo":
        return moonlit(size, rng)
    layers = _layers(design if kind in ("plate", "pressed") else _natural(name, design), size, MARGIN[kind])
    if kind == "plate":
        return _image(_plate(layers, rng))
    if kind == "pressed":
        return _image(_pressed(layers, rng))
    photo = _photo(name, layers, rng)
    return _image(_aged(photo, rng) if kind == "print" else photo)


def _image(pixels: Array) -> Image.Image:
    return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def _natural(name: str, design: Design) -> Design:
    """Leave out what a drawing adds to the sea and a camera does not see: frames, suns, lines in the air."""
    if name not in AT_SEA:
        return design
    kept: list[Shape | Stroke] = []
    for item in design.items:
        points = item.poly if isinstance(item, Shape) else item.pts
        wide, high = np.ptp(points[:, 0]), np.ptp(points[:, 1])
        round_frame = wide > 0.4 * design.width and abs(wide - high) < 0.12 * wide
        thin_in_the_air = isinstance(item, Stroke) and item.pts[:, 1].mean() < 0.6 * design.height and wide > 6 * high
        if not round_frame and not thin_in_the_air:
            kept.append(item)
    design.items = kept
    return design


def _layers(design: Design, size: tuple[int, int], fill: float) -> Layers:
    width, height = size
    scale = min(width * fill / design.width, height * fill / design.height)  # pixels a millimetre
    ppm = min(12.0, max(4.0, scale))
    drawn = maps(design, ppm)
    fine = _only(design, lambda stroke: float(stroke.width.max()) < TEXTURE_MM)
    bold = _only(design, lambda stroke: float(stroke.width.max()) >= TEXTURE_MM)
    shape = drawn.cover.shape
    at = (round((width - shape[1] * scale / ppm) / 2), round((height - shape[0] * scale / ppm) / 2))

    def placed(plane: Array) -> Array:
        return np.clip(_placed(plane, size, scale / ppm, at), 0, 1)

    colour = np.clip(drawn.color if drawn.color is not None else np.zeros((*shape, 3)), 0, 1.3)
    return Layers(
        placed(drawn.cover),
        np.stack([placed(colour[..., k]) for k in range(3)], -1),
        placed(_cut(line_map(fine, ppm), shape)),
        placed(_cut(line_map(bold, ppm), shape)),
        placed(drawn.white),
        at[1] + shape[0] * scale / ppm,
    )


def _only(design: Design, keep: Callable[[Stroke], bool]) -> Design:
    """Copy the drawing with some of its strokes."""
    copy = Design(design.width, design.height)
    copy.items = [item for item in design.items if isinstance(item, Shape) or keep(item)]
    return copy


def _cut(plane: Array, shape: tuple[int, ...]) -> Array:
    plane = plane[: shape[0], : shape[1]]
    return np.pad(plane, ((0, shape[0] - plane.shape[0]), (0, shape[1] - plane.shape[1])))


def _placed(plane: Array, size: tuple[int, int], scale: float, at: tuple[int, int]) -> Array:
    """Resize the raster and put it on an empty canvas."""
    w, h = max(1, round(plane.shape[1] * scale)), max(1, round(plane.shape[0] * scale))
    im = np.asarray(Image.fromarray(plane.astype(F)).resize((w, h), Image.Resampling.LANCZOS))
    out = np.zeros((size[1], size[0]), F)
    x0, y0 = at
    x1, y1 = max(0, x0), max(0, y0)
    x2, y2 = min(size[0], x0 + w), min(size[1], y0 + h)
    out[y1:y2, x1:x2] = im[y1 - y0 : y2 - y0, x1 - x0 : x2 - x0]
    return out


def _photo(name: str, on: Layers, rng: np.random.Generator) -> Array:
    """The subject without its outlines, lit, before a background out of focus, with the camera's grain."""
    h, w = on.cover.shape
    unit = max(h, w) / 1600
    setting = SETTINGS.get(name, Setting((120, 116, 108), (80, 78, 74), (190, 186, 176), 8))
    back = _background(name, setting, (w, h), on, rng)
    if not setting.free:
        back = (
            back
            * (1 - 0.45 * _blurred(np.roll(on.cover, (round(26 * unit), round(20 * unit)), (0, 1)), 30 * unit))[
                ..., None
            ]
        )
    body = _lit(on, unit, setting.furry, rng) * 255
    cover = on.cover
    if name in AT_SEA:  # the water fades into the picture's own sea
        cover = cover * (np.clip((on.foot - np.arange(h, dtype=F)) / (0.12 * h), 0, 1) ** 1.2)[:, None]
    soft = _blurred(cover, 1.6 * unit)[..., None]
    img = back * (1 - soft) + body * soft
    img = img * 0.80 + _blurred(img, 26 * unit) * 0.20  # the lens's veil
    yy, xx = np.mgrid[0:h, 0:w].astype(F)
    away = np.clip((np.hypot((xx / w - 0.5) * 1.1, yy / h - 0.45) - 0.26) / 0.22, 0, 1)[..., None]
    img = img * (1 - away) + _blurred(img, 3.6 * unit) * away
    img = img * (1.07 - 0.42 * ((xx / w - 0.5) ** 2 + (yy / h - 0.5) ** 2) * 2)[..., None]
    img = _blurred(img, 0.9 * unit)
    grain = rng.normal(0, 4.5, (h, w, 1)) + ndi.gaussian_filter(rng.normal(0, 9, (h, w, 3)), (1.4, 1.4, 0))
    return np.asarray(img + grain)


def _lit(on: Layers, unit: float, furry: bool, rng: np.random.Generator) -> Array:
    """Shade the subject: texture strokes become relief under a light from the upper left, outlines soft creases."""
    h, w = on.cover.shape
    relief = -0.8 * _blurred(on.texture, 1.3 * unit) - (0.3 if furry else 0.7) * _blurred(on.outline, 2.2 * unit)
    if furry:
        relief = relief + 0.8 * _hair((h, w), unit, rng)
    relief = relief + 0.16 * noise((h, w), 3.0 * unit, rng) + 0.10 * noise((h, w), 8 * unit, rng)
    dome = _blurred(on.cover, 30 * unit) * 9 * unit
    gy, gx = np.gradient(relief * 1.5 + dome)
    light = np.clip(1 + 0.9 * (gx * 0.62 + gy * 0.78), 0.35, 1.7)
    crease = 1 - 0.30 * _blurred(on.outline, 2.6 * unit) - 0.22 * _blurred(on.texture, 1.0 * unit)
    tint = 1 + np.stack([0.014 * noise((h, w), cell * unit, rng) for cell in (60, 46, 52)], -1)
    mottle = 1 + 0.10 * noise((h, w), 14 * unit, rng) + 0.08 * noise((h, w), 5 * unit, rng)
    colour = _blurred(on.colour, 1.8 * unit) * tint * (mottle * light * crease)[..., None]
    colour = colour + (1 - colour) * (on.white * 0.35)[..., None]
    return np.asarray(np.clip(colour, 0, 1.1) ** np.array([1.04, 1.08, 1.14], F))


def _hair(shape: tuple[int, int], unit: float, rng: np.random.Generator) -> Array:
    """Fine hair or down: short strands that lean a little one way or the other, about -1..1."""
    strands = ndi.gaussian_filter(rng.normal(0, 1, shape), (5.0 * unit, 0.8 * unit))
    yy, xx = np.mgrid[0 : shape[0], 0 : shape[1]].astype(F)
    sway = 14 * unit * (noise(shape, 70 * unit, rng) + 0.5 * noise(shape, 22 * unit, rng))
    leaning = ndi.map_coordinates(strands, [yy, xx + sway], order=1, mode="reflect")
    return np.asarray(leaning / max(float(leaning.std()), 1e-6) * 0.4)


def _blurred(a: Array, sigma: float) -> Array:
    return np.asarray(ndi.gaussian_filter(a, (sigma, sigma, 0)[: a.ndim]))


def _background(name: str, setting: Setting, size: tuple[int, int], on: Layers, rng: np.random.Generator) -> Array:
    w, h = size
    if name in AT_SEA:
        return _sea(setting, size, on.foot / h - 0.07, rng)
    step = 4
    sh, sw = max(8, h // step), max(8, w // step)
    t = np.linspace(0, 1, sh, dtype=F)[:, None, None]
    back = np.repeat(np.array(setting.top, F) * (1 - t) + np.array(setting.low, F) * t, sw, axis=1)
    if name == "swallow":
        back = _clouded(back, rng)
    else:
        back *= 1 + 0.22 * noise((sh, sw), sw / 4, rng)[..., None] + 0.10 * noise((sh, sw), sw / 12, rng)[..., None]
    if name == "koi":
        back = back * _ripples((sh, sw), rng)[..., None]
    yy, xx = np.mgrid[0:sh, 0:sw].astype(F)
    for _ in range(setting.spots):
        x, y, r = rng.uniform(0, sw), rng.uniform(0, sh), rng.uniform(0.02, 0.085) * sw
        d = np.hypot(xx - x, yy - y)
        disc = np.clip((r - d) / (0.5 * r), 0, 1) * (0.75 + 0.25 * np.clip(d / r, 0, 1)) * rng.uniform(0.06, 0.26)
        back += (np.array(setting.spot, F) - back) * disc[..., None]
    return _enlarged(_blurred(back, 1.5), (w, h))


def _enlarged(a: Array, size: tuple[int, int]) -> Array:
    planes = [Image.fromarray(a[..., k].astype(F)).resize(size, Image.Resampling.BICUBIC) for k in range(3)]
    return np.stack([np.asarray(plane) for plane in planes], -1)


def _fractal(shape: tuple[int, int], cell: float, rng: np.random.Generator, octaves: int = 5) -> Array:
    total = np.zeros(shape, F)
    for k in range(octaves):
        total += noise(shape, max(1.0, cell / 2**k), rng) * F(0.55**k)
    return total


def _clouded(sky: Array, rng: np.random.Generator) -> Array:
    """Thin clouds, wider than high."""
    h, w = sky.shape[:2]
    cloud = np.asarray(
        Image.fromarray(_fractal((h, max(8, w // 3)), w / 7, rng)).resize((w, h), Image.Resampling.BICUBIC)
    )
    cover = np.clip(cloud * 0.55 + 0.15, 0, 1)[..., None] ** 1.3
    return np.asarray(sky + (np.array([246, 246, 246], F) - sky) * cover * 0.75)


def _ripples(shape: tuple[int, int], rng: np.random.Generator) -> Array:
    """Light on the ground of a pond: bright curved seams."""
    seam = np.abs(_fractal(shape, shape[1] / 5, rng, 3))
    return 1 + 0.75 * np.exp(-((seam / 0.05) ** 2)) * np.clip(0.5 + noise(shape, shape[1] / 3, rng), 0, 1)


def _sea(setting: Setting, size: tuple[int, int], horizon: float, rng: np.random.Generator) -> Array:
    """Sky over water; the water's waves grow towards the camera."""
    w, h = size
    step = 2
    sh, sw = max(8, h // step), max(8, w // step)
    line = int(np.clip(horizon - 0.03, 0.3, 0.95) * sh)
    t = np.linspace(0, 1, sh, dtype=F)[:, None, None]
    back = np.repeat(np.array(setting.top, F) * (1 - t) + np.array(setting.low, F) * t, sw, axis=1)
    back = _clouded(back, rng)
    rows = np.arange(sh - line, dtype=F)
    near = (rows + 2) / max(1, sh - line)
    waves = np.zeros((sh - line, sw), F)
    for k in range(5):
        field = noise((sh - line, max(8, sw // 5)), 3 + 3 * k, rng)
        waves += np.asarray(Image.fromarray(field).resize((sw, sh - line), Image.Resampling.BICUBIC)) * F(0.6**k)
    water = np.array([74, 92, 104], F) * (1.15 - 0.45 * near[:, None, None])
    glint = np.clip(waves, 0, 2)[..., None] * near[:, None, None] ** 0.5
    back[line:] = water * (1 + 0.22 * waves[..., None] * near[:, None, None] ** 0.4) + glint * np.array([26, 27, 26], F)
    return _enlarged(_blurred(back, 0.8), (w, h))


def _aged(photo: Array, rng: np.random.Generator) -> Array:
    """An old print: gray with a brown tint, faded, scratched, with a white border."""
    h, w = photo.shape[:2]
    unit = max(h, w) / 1600
    gray = _blurred(np.clip(photo, 0, 255) @ np.array([0.35, 0.5, 0.15]), 1.6 * unit) / 255
    gray = np.clip((gray - 0.5) * 1.25 + 0.52, 0, 1) * 0.78 + 0.10
    gray = gray + 0.03 * noise((h, w), 2.0 * unit, rng) + 0.025 * noise((h, w), 200 * unit, rng)
    for _ in range(26):  # dust
        x, y, r = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.8, 2.4) * unit
        box = np.s_[max(0, int(y - 2 * r)) : int(y + 2 * r) + 1, max(0, int(x - 2 * r)) : int(x + 2 * r) + 1]
        gray[box] = np.maximum(gray[box], 0.86)
    crease = (
        np.abs(np.arange(h)[:, None] - 0.72 * h - 0.05 * np.arange(w)[None, :] - 3 * noise((h, w), 60 * unit, rng))
        < 1.2 * unit
    )
    gray = np.where(crease, gray * 0.6 + 0.36, gray)
    tinted = gray[..., None] * np.array([246, 226, 192], F) + (1 - gray[..., None]) * np.array([38, 30, 26], F)
    yy, xx = np.mgrid[0:h, 0:w]
    border = np.minimum(np.minimum(yy, h - 1 - yy), np.minimum(xx, w - 1 - xx)) < 0.035 * min(h, w)
    return np.where(
        border[..., None], np.array([238, 229, 208], F) * (1 + 0.02 * noise((h, w), 3, rng))[..., None], tinted
    )


def _paper(shape: tuple[int, int], rng: np.random.Generator, colour: Colour = (233, 220, 192)) -> Array:
    h, w = shape
    tone = 1 + 0.025 * noise(shape, w / 8, rng) + 0.018 * noise(shape, w / 32, rng) + 0.012 * noise(shape, 3, rng)
    paper = np.array(colour, F) * tone[..., None]
    for _ in range(60):  # foxing
        r = rng.uniform(2, 9) * max(shape) / 1600
        x, y = rng.uniform(0, w), rng.uniform(0, h)
        box = np.s_[max(0, int(y - 3 * r)) : int(y + 3 * r) + 1, max(0, int(x - 3 * r)) : int(x + 3 * r) + 1]
        yy, xx = np.mgrid[0:h, 0:w][:, box[0], box[1]]
        spot = np.exp(-(((xx - x) ** 2 + (yy - y) ** 2) / r**2)) * 0.10
        paper[box] *= 1 - spot[..., None] * np.array([0.5, 0.9, 1.3], F)
    return paper


def _edge(shape: tuple[int, int]) -> Array:
    yy, xx = np.mgrid[0 : shape[0], 0 : shape[1]]
    return np.asarray(np.minimum(np.minimum(yy, shape[0] - 1 - yy), np.minimum(xx, shape[1] - 1 - xx)).astype(F))


def _plate(on: Layers, rng: np.random.Generator) -> Array:
    """A tinted print on old paper with a plate mark."""
    h, w = on.cover.shape
    unit = max(h, w) / 1600
    paper = _paper((h, w), rng)
    wash = np.clip(_blurred(on.colour, 5 * unit) * 1.12, 0, 1)
    alpha = _blurred(on.cover, 4 * unit) * (0.62 + 0.16 * noise((h, w), 60 * unit, rng))
    img = paper * (1 - alpha[..., None] * (1 - wash))
    line = np.maximum(on.texture, on.outline)
    img = img * (1 - line[..., None] * np.array([0.72, 0.76, 0.82], F) * (0.9 + 0.1 * noise((h, w), 4, rng))[..., None])
    edge = _edge((h, w))
    img[np.abs(edge - 0.06 * min(w, h)) < 2.2 * unit] *= 0.72
    return np.asarray(img * (1 - 0.16 * np.exp(-edge / (0.05 * min(w, h))))[..., None])


def _pressed(on: Layers, rng: np.random.Generator) -> Array:
    """A dried plant on a herbarium sheet: browned, flat, held by two strips of paper."""
    h, w = on.cover.shape
    unit = max(h, w) / 1600
    sheet = _paper((h, w), rng, (240, 234, 218))
    shadow = _blurred(np.roll(on.cover, (round(5 * unit), round(4 * unit)), (0, 1)), 4 * unit)
    img = sheet * (1 - 0.35 * shadow)[..., None]
    tone = _blurred(on.colour, 2 * unit).mean(-1, keepdims=True)
    dry = np.array([120, 112, 62], F) * (0.55 + 0.9 * tone) * (1 + 0.16 * noise((h, w), 30 * unit, rng))[..., None]
    dry = dry * (1 - 0.35 * _blurred(np.maximum(on.outline, on.texture), 1.4 * unit))[..., None]
    soft = _blurred(np.maximum(on.cover, on.outline * 0.8), 1.0 * unit)[..., None]
    img = img * (1 - soft) + dry * soft
    for y, x in ((0.70, 0.50), (0.36, 0.52)):
        box = np.s_[round(y * h) : round(y * h + 20 * unit), round((x - 0.11) * w) : round((x + 0.11) * w)]
        img[box] = np.array([250, 247, 238], F) * (1 + 0.01 * noise(img[box].shape[:2], 4, rng))[..., None]
        below = np.s_[box[0].stop : box[0].stop + max(1, round(3 * unit)), box[1]]
        img[below] *= 0.86
    return np.asarray(_blurred(img, 0.7 * unit) + rng.normal(0, 1.6, (h, w, 1)))
