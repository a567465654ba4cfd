"""References: what a piece was drawn from, as a camera, an old print, a plate or a herbarium sheet shows it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from PIL import Image
from scipy import ndimage as ndi

from tests.demo.design import Design, Shape, Stroke
from tests.demo.geom import Array
from tests.demo.moonlight import moonlit
from tests.demo.relief import Relief, fibres, lit, modelled, placed
from tests.demo.shade import line_map, maps
from tests.demo.skin import F, noise
from tests.demo.surroundings import GROUNDS, LAID_ON, caustics, fractal, sea

Colour = tuple[int, int, int]

AT_SEA = ("lighthouse", "boat")
# How the two drawings colour their swell; the camera has its own sea.
WATER = ((84, 116, 134), (74, 110, 132))
# A stroke up to this width is texture (hair, barbs, veins); a wider one is an outline, which no camera sees.
TEXTURE_MM = 0.25
FURRY = 0.2  # from this strength of fibres on
MARGIN = {"photo": 0.80, "print": 0.80, "plate": 0.70, "pressed": 0.74}


@dataclass(frozen=True, slots=True)
class Setting:
    """Where the subject was photographed, and what its surface is like: length of its fibres in mm, their strength."""

    ground: str
    fibre: float = 1.5
    strength: float = 0.15
    gloss: float = 0.0


SETTINGS: dict[str, Setting] = {
    "owl": Setting("leaves", 2.4, 0.26),
    "moth": Setting("bark", 1.4, 0.20),
    "fern": Setting("forest", 1.2, 0.16, 0.06),
    "koi": Setting("pond", 1.0, 0.06, 0.10),
    "dog": Setting("room", 4.5, 0.34),
    "swallow": Setting("sky", 1.6, 0.18, 0.05),
    "snake": Setting("leaves", 0.8, 0.10, 0.10),
    "lavender": Setting("table", 1.4, 0.18),
    "lighthouse": Setting("sea", 0.6, 0.06),
    "boat": Setting("sea", 0.8, 0.08),
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
    rng, size = np.random.default_rng(seed), paper(design, long_side)
    if name == "moon" and kind == "photo":
        return moonlit(size, rng)
    if kind in DRAWN:
        return _image(DRAWN[kind](_layers(design, size, MARGIN[kind]), rng))
    photo = _photo(name, _natural(name, design), size, rng)
    return _image(_aged(photo, rng) if kind == "print" else photo)


def paper(design: Design, long_side: int) -> tuple[int, int]:
    """Give the picture's width and height in pixels: upright for what is taller than wide."""
    tall = design.height > design.width * 1.02
    return (round(long_side * 0.8), long_side) if tall else (long_side, round(long_side * 0.8))


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
        water = isinstance(item, Shape) and item.color in WATER
        if not round_frame and not thin_in_the_air and not water:
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


def _photo(name: str, design: Design, size: tuple[int, int], rng: np.random.Generator) -> Array:
    """The subject as a camera sees it: lit, before what is behind it, through a lens, with the sensor's grain."""
    setting = SETTINGS.get(name, Setting("leaves"))
    scale = placed(design, size, MARGIN["photo"])
    relief = modelled(design, scale, size, rng)
    foot = max(float(item.poly[:, 1].max()) for item in design.items if isinstance(item, Shape)) * scale
    back = sea(size, rng, foot / size[1] - 0.09) if setting.ground == "sea" else GROUNDS[setting.ground](size, rng)
    unit = max(size) / 1600
    strands = fibres(relief, setting.fibre, 0.8 * unit, rng)
    light, shine, paint = _surface(design, relief, setting, strands, rng)
    body = paint * (light[..., None] * np.array([1.06, 1.0, 0.93], F)) + shine[..., None]
    if setting.ground in LAID_ON:
        back = back * np.clip(light, 0.12, 1.1)[..., None] ** 1.2
    cover = relief.cover
    if setting.ground == "sea":  # the water fades into the picture's own sea
        cover = cover * (np.clip((foot - np.arange(size[1], dtype=F)) / (0.13 * size[1]), 0, 1) ** 1.2)[:, None]
    if setting.ground == "pond":
        body, back = _under_water(body, back, cover, scale, rng)
    if setting.strength > FURRY:  # hairs and barbs cross the edge
        cover = np.clip((_blurred(cover, 2.4 * unit) - 0.5) * 2.6 + 0.5 + 0.5 * strands * (cover < 1), 0, 1)
    soft = _blurred(cover, 0.7 * unit)[..., None]
    return _exposed(back * (1 - soft) + body * soft, relief, rng)


def _surface(
    design: Design, relief: Relief, setting: Setting, strands: Array, rng: np.random.Generator
) -> tuple[Array, Array, Array]:
    """Light, shine and colour of the subject with its fibres, fine marks and small changes of colour."""
    unit, shape = max(relief.cover.shape) / 1600, relief.cover.shape
    fine = _cut(line_map(_only(design, lambda stroke: float(stroke.width.max()) < TEXTURE_MM), relief.ppm), shape)
    bold = _cut(line_map(_only(design, lambda stroke: float(stroke.width.max()) >= TEXTURE_MM), relief.ppm), shape)
    detail = (
        0.055 * strands * setting.strength / 0.2 - 0.10 * _blurred(fine, 1.2 * unit) - 0.05 * _blurred(bold, 2 * unit)
    )
    dark = relief.colour.mean(-1) < 0.22
    light, shine = lit(relief, np.asarray(detail, F), setting.gloss)
    wet = lit(relief, np.zeros(shape, F), 0.30, tight=26.0)[1] * dark * (setting.ground != "sea")
    tint = 1 + np.stack([0.03 * noise(shape, cell * unit, rng) for cell in (50, 38, 44)], -1)
    mottle = 1 + setting.strength * (
        0.9 * strands + 0.5 * noise(shape, 9 * unit, rng) + 0.4 * noise(shape, 34 * unit, rng)
    )
    drawn = 1 - 0.30 * _blurred(fine, 0.9 * unit) - 0.16 * _blurred(bold, 1.8 * unit)
    paint = np.clip(_blurred(relief.colour, 0.9 * unit), 0.01, 1) * tint * (mottle * drawn)[..., None]
    gray = paint.mean(-1, keepdims=True)
    paint = gray + (paint - gray) * F(0.86)  # paint is purer than fur and feathers
    return light, shine + wet, np.asarray(np.clip(paint, 0.005, 0.97) ** F(2.2), F)


def _under_water(body: Array, back: Array, cover: Array, ppm: float, rng: np.random.Generator) -> tuple[Array, Array]:
    """The fish's shadow on the ground, seams of light on its back, the water's colour, the sky on the surface."""
    h, w = cover.shape
    under = _blurred(np.roll(cover, (round(9 * ppm), round(7 * ppm)), (0, 1)), 2.2 * ppm)
    back = back * (1 - 0.6 * under)[..., None]
    body = body * (0.35 + 0.65 * caustics((h, w), rng))[..., None] * np.array([0.80, 0.98, 0.94], F)
    veil = np.clip(0.5 + 0.5 * noise((h, w), w / 3, rng), 0, 1)[..., None] * np.array([0.010, 0.022, 0.022], F)
    glare = np.clip(fractal((h, max(8, w // 6)), 24, rng, 4) - 0.75, 0, 1)
    glare = np.asarray(Image.fromarray(glare).resize((w, h), Image.Resampling.BICUBIC))[..., None] * 0.20
    return body + veil + glare, back + veil + glare


def _exposed(img: Array, relief: Relief, rng: np.random.Generator) -> Array:
    """Linear light to what a camera stores: veil, focus, vignette, tone curve, sharpening, grain."""
    h, w = img.shape[:2]
    unit = max(h, w) / 1600
    img = img * 0.94 + _blurred(img, 22 * unit) * 0.06
    low = np.clip((float(np.percentile(relief.height, 97)) - relief.height) / 9.0 - 0.25, 0, 1) * relief.cover
    img = img + (_blurred(img, 2.2 * unit) - img) * low[..., None]
    yy, xx = np.mgrid[0:h, 0:w].astype(F)
    img = img * (1.05 - 0.5 * ((xx / w - 0.5) ** 2 + (yy / h - 0.5) ** 2))[..., None]
    img = np.clip((1 - np.exp(-1.5 * np.clip(img, 0, None))) / (1 - np.exp(-1.5 * 1.35)), 0, 1) ** F(1 / 2.2)
    img = img * 0.7 + img * img * (3 - 2 * img) * 0.3
    img = _blurred(img, 0.65 * unit)
    img = (img + 0.5 * (img - _blurred(img, 1.6 * unit))) * 255
    grain = rng.normal(0, 3.0, (h, w, 1)) + ndi.gaussian_filter(rng.normal(0, 5, (h, w, 3)), (1.2, 1.2, 0))
    return np.asarray(img + grain)


def _blurred(a: Array, sigma: float) -> Array:
    return np.asarray(ndi.gaussian_filter(a, (sigma, sigma, 0)[: a.ndim]))


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


DRAWN = {"plate": _plate, "pressed": _pressed}
