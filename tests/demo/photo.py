"""A finished tattoo as a studio photograph: ink under skin, lit, with a backdrop and the camera's grain."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from PIL import Image, ImageFilter
from scipy import ndimage as ndi

from tests.demo.geom import Array
from tests.demo.limb import FULL, Scene, Surface, View, surface
from tests.demo.setting import backdrop, dress, shadow
from tests.demo.shade import Maps
from tests.demo.skin import PLACES, TONES, F, Skin, hairs, linear, noise, patch, raised, veins

GRAIN_PX = 1008
# Above this long side the limb is drawn at half size and enlarged; the grain is always added at full size.
DRAWN_LARGEST_PX = 2100


@dataclass(frozen=True, slots=True)
class Inked:
    """The drawing under every pixel: ink density, white ink, redness."""

    density: Array
    white: Array
    halo: Array


def render(ink: Maps, scene: Scene, size: tuple[int, int] | None = None) -> Image.Image:
    """Take the photograph, 12 megapixels unless a size is given."""
    full = size or (FULL if scene.portrait else FULL[::-1])
    part = 2 if max(full) > DRAWN_LARGEST_PX else 1
    view = View(scene, (full[0] // part, full[1] // part), ink.width_mm, ink.height_mm)
    rng = np.random.default_rng(scene.seed)
    on = surface(view)
    skin = patch(on.u, on.around)
    inked = _inked(ink, view, on, rng)
    light = _light(view, on, skin, inked, rng)
    img = (_albedo(view, on, skin, inked, rng) * light.lum + light.shine[..., None]) * F(light.exposure)
    mask = on.mask
    if scene.cloth:
        img, mask = dress(img, view, on, light, rng)
    behind = backdrop(view, rng) * (1 - shadow(view, mask)[..., None])
    img = img * mask[..., None] + behind * (1 - mask[..., None])
    return _grained(_focused(_displayed(img), view, on, mask).resize(full, Image.Resampling.BICUBIC), scene)


def burst(scene: Scene, count: int) -> list[Scene]:
    """Plan nearly the same picture a few times: small moves, light and noise."""
    rng = np.random.default_rng(scene.seed + 5)
    scenes = [scene]
    for k in range(1, count):
        dx, dy = rng.normal(0, 0.9, 2)
        scenes.append(
            replace(
                scene,
                shift=(float(dx), float(dy)),
                frame=k,
                tilt=scene.tilt + rng.normal(0, 0.5),
                exposure=scene.exposure * (1 + rng.normal(0, 0.03)),
            )
        )
    return scenes


def _inked(ink: Maps, view: View, on: Surface, rng: np.random.Generator) -> Inked:
    fresh = view.scene.stage == "fresh"
    spread = (0.065 if fresh else 0.145) * ink.ppm
    line = 1 - (1 - np.clip(ndi.gaussian_filter(ink.lines, spread), 0, 1)) ** (1.55 if fresh else 1.35)
    wash = ndi.gaussian_filter(ink.tone, spread)
    wash = np.where(wash > 0.9, wash, (0.96 if fresh else 0.86) * np.clip(wash, 0, 1))
    dense = np.maximum(line, wash).astype(F)
    density, white = np.zeros(on.u.shape, F), np.zeros(on.u.shape, F)
    rows, columns = np.where((on.dx > 0) & (on.dx < view.width_mm) & (on.dy > 0) & (on.dy < view.height_mm))
    if len(rows):
        box = np.s_[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
        at = np.stack([on.dy[box] * ink.ppm, on.dx[box] * ink.ppm])
        density[box] = ndi.map_coordinates(dense, at, order=1, mode="constant")
        if ink.white.max() > 0.05:
            clear = ink.white * (1 - np.clip(dense * 1.6, 0, 1))
            white[box] = ndi.map_coordinates(clear, at, order=1, mode="constant")
    density *= on.mask
    return Inked(density, white, _halo(density, view.ppm, rng) if fresh else np.zeros_like(density))


def _halo(density: Array, ppm: float, rng: np.random.Generator) -> Array:
    """The red of fresh skin: one width close to the lines, one wide."""
    h, w = density.shape
    k = 8
    small = np.asarray(Image.fromarray(np.clip(density * 2.2, 0, 1)).resize((w // k, h // k), Image.Resampling.BOX))
    soft = ndi.gaussian_filter(small, 1.4 * ppm / k) * 0.8 + ndi.gaussian_filter(small, 4.5 * ppm / k) * 0.7
    halo = np.clip(np.asarray(Image.fromarray(soft.astype(F)).resize((w, h), Image.Resampling.BICUBIC)), 0, 1)
    return np.asarray(halo * (0.86 + 0.22 * noise((h, w), 2.0 * ppm, rng)))


def _albedo(view: View, on: Surface, skin: Skin, inked: Inked, rng: np.random.Generator) -> Array:
    """Skin colour with its blotches, redness, ink and hair."""
    scene, shape, ppm = view.scene, on.u.shape, view.ppm
    base, hair_colour = TONES[scene.tone]
    pale = _paleness(scene)
    blot = (
        0.55 * noise(shape, 11 * ppm, rng) + 0.45 * noise(shape, 3.4 * ppm, rng) + 0.35 * noise(shape, 1.1 * ppm, rng)
    )
    blot = blot + 0.25 * noise(shape, 0.4 * ppm, rng)
    red = 0.6 * noise(shape, 14 * ppm, rng) + 0.4 * noise(shape, 2.4 * ppm, rng)
    dark = 1 + 0.07 * blot - 0.085 * np.clip(skin.dark - 0.25, 0, 1)
    alb: Array = linear(base) * dark[..., None] ** np.array([0.8, 1.1, 1.3], F)
    alb *= 1 + red[..., None] * np.array([0.014, -0.055, -0.045], F) * (0.5 + pale)
    _freckle(alb, ppm, rng)
    if pale > 0.45:
        alb *= 1 - veins(shape, rng, ppm)[..., None] * np.array([0.10, 0.045, 0.03], F) * pale
    alb *= 1 - inked.halo[..., None] * np.array([0.0, 0.40, 0.36], F) * (0.50 + 0.62 * min(1, pale))
    alb = _tattooed(alb, view, inked, rng)
    fresh = scene.stage == "fresh"
    hair = hairs(shape, rng, PLACES[scene.place].hair * (0.55 if fresh else 1.0), ppm, scene.tilt)
    if fresh:  # shaved round the work
        hair = hair * (1 - np.clip(inked.halo * 4, 0, 1) * 0.95)
    return np.asarray(alb * (1 - 0.5 * hair[..., None]) + linear(hair_colour) * 0.5 * hair[..., None])


def _tattooed(alb: Array, view: View, inked: Inked, rng: np.random.Generator) -> Array:
    """Darken by an exponential law, stronger in red than in blue; healed ink is greyer and settles unevenly."""
    fresh = view.scene.stage == "fresh"
    settle = 1.0 if fresh else 0.90 + 0.10 * noise(inked.density.shape, 1.6 * view.ppm, rng)
    strength = np.array([3.85, 3.40, 2.98], F) if fresh else np.array([2.55, 2.20, 1.88], F)
    floor = np.array([0.006, 0.0075, 0.010], F) if fresh else np.array([0.026, 0.030, 0.036], F)
    out = alb * np.exp(-(inked.density * settle)[..., None] * strength)
    out += floor * min(1.0, 0.35 + _paleness(view.scene)) * np.clip(inked.density, 0, 1)[..., None]
    if inked.white.any():
        white = (inked.white * (0.42 if fresh else 0.22))[..., None]
        out = out * (1 - white) + np.array([0.86, 0.82, 0.76], F) * white
    return np.asarray(out)


def _paleness(scene: Scene) -> float:
    return float(linear(TONES[scene.tone][0]).mean()) / 0.55


def _freckle(alb: Array, ppm: float, rng: np.random.Generator) -> None:
    h, w = alb.shape[:2]
    for _ in range(int(rng.integers(4, 10))):
        x, y, r = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.25, 0.8) * ppm
        box = np.s_[max(0, int(y - 4 * r)) : int(y + 4 * r), max(0, int(x - 4 * r)) : int(x + 4 * r)]
        yy, xx = np.mgrid[0:h, 0:w][:, box[0], box[1]].astype(F)
        spot = np.exp(-((((xx - x) ** 2 + (yy - y) ** 2) / (r * r)) ** 1.5))
        alb[box] *= 1 - spot[..., None] * np.array([0.30, 0.42, 0.5], F) * rng.uniform(0.3, 0.8)


@dataclass(frozen=True, slots=True)
class Light:
    """What falls on the limb and what shines back."""

    lum: Array
    shine: Array
    pool: Array
    exposure: float
    across: float  # the key light along the limb's cross axis, and towards the camera
    towards: float


def _light(view: View, on: Surface, skin: Skin, inked: Inked, rng: np.random.Generator) -> Light:
    """Light wraps further in red than in blue; a fresh tattoo has a shiny film."""
    scene = view.scene
    nx, ny, nz = _normals(view, on, skin, rng)
    kx, ky, kz = (np.array(scene.key) / np.linalg.norm(scene.key)).astype(F)
    wrap = np.array([0.30, 0.24, 0.20], F)
    key = np.clip(((nx * kx + ny * ky + nz * kz)[..., None] + wrap) / (1 + wrap), 0, 1) ** F(1.15)
    side = F(np.sign(-scene.key[0]) or 1)
    fill = np.clip((nx * side * 0.72 + ny * 0.1 + nz * 0.55 + 0.35) / 1.35, 0, 1)
    colour = np.array([1.0 + 0.05 * scene.warmth, 0.985, 0.95 - 0.08 * scene.warmth], F)
    lum = (
        key * colour * 1.06 + fill[..., None] * np.array([0.140, 0.142, 0.146], F) + np.array([0.060, 0.057, 0.055], F)
    )
    rim = np.clip((nx * side - 0.82) / 0.18, 0, 1) ** 2 * 0.10
    lum += rim[..., None] * np.array([0.9, 0.95, 1.0], F)
    seen = F(0.62 * view.seen_mm)
    pool = np.exp(-(((on.x + 8) / seen) ** 2 + ((on.y + 10) / seen) ** 2))
    lum *= (0.62 + 0.42 * pool)[..., None]
    half = F(1 / np.sqrt(kx * kx + ky * ky + (kz + 1) ** 2))
    ndh = np.clip((nx * kx + ny * ky + nz * (kz + 1)) * half, 0, 1)
    shine = 0.034 * ndh**14 + 0.034 * ndh**60
    if scene.stage == "fresh":
        smear = 0.6 + 0.5 * noise(on.u.shape, 3.0 * view.ppm, rng) + 0.35 * noise(on.u.shape, 0.7 * view.ppm, rng)
        film = np.clip(inked.halo * 1.8, 0, 1) * np.clip(smear, 0, 1.4) * (1 + 0.8 * inked.density)
        shine = shine + film * (0.03 * ndh**18 + 0.22 * ndh**70 + 0.35 * ndh**220)
    shine = shine * (0.45 + 0.55 * np.clip(1 - skin.dark, 0, 1)) * (0.8 + 0.4 * pool)
    exposure = scene.exposure * (0.52 / float(linear(TONES[scene.tone][0]).mean())) ** 0.27 * 1.16
    turn = np.radians(scene.tilt)
    across = float(kx * np.cos(turn) + ky * np.sin(turn))
    return Light(lum, np.clip(shine, 0, 1), pool, exposure, across, float(kz))


def _normals(view: View, on: Surface, skin: Skin, rng: np.random.Generator) -> tuple[Array, Array, Array]:
    place, ppm, shape = PLACES[view.scene.place], view.ppm, on.u.shape
    rolls = noise(shape, 26 * ppm, rng) * 3.0 + noise(shape, 11 * ppm, rng) * 0.9
    uy, ux = np.gradient(rolls * F(place.undulate))
    bump = F(0.085)
    hu, ha = _muscles(view, on)
    nu = -on.slope * F(0.6) - uy * ppm * 0.11 - skin.along * bump - hu
    nv = np.clip(on.s, -0.9995, 0.9995) - ux * ppm * 0.11 - skin.across * bump - ha
    if place.ribs:
        phase = (on.u + 0.42 * on.around + 7 * noise(shape, 55 * ppm, rng)) / 31.0
        nu = nu - F(place.ribs * 0.055) * (0.8 + 0.8 * noise(shape, 50 * ppm, rng)) * np.cos(2 * np.pi * phase).astype(
            F
        )
    for crease in place.crease:
        off = on.u - crease - 1.6 * np.cos(on.s * on.r / 11.0) - 0.8 * noise(shape, 7 * ppm, rng)
        off = off - 0.25 * noise(shape, 1.5 * ppm, rng)
        nu = nu + off * 0.40 * np.exp(-((off / 0.9) ** 2)) * np.clip(0.62 + 0.6 * noise(shape, 9 * ppm, rng), 0, 1)
    nz = np.maximum(on.cos, 0.02)
    inv = 1 / np.sqrt(nu * nu + nv * nv + nz * nz)
    turn = np.radians(view.scene.tilt)
    ct, st = F(np.cos(turn)), F(np.sin(turn))
    return (nv * ct - nu * st) * inv, (nv * st + nu * ct) * inv, nz * inv


def _muscles(view: View, on: Surface) -> tuple[Array, Array]:
    """Give the slope along and across the limb of what lies under the skin, worked out at a quarter of the size."""
    k, place, scene = 4, PLACES[view.scene.place], view.scene
    u, a = on.dy[::k, ::k] - F(view.height_mm / 2), on.dx[::k, ::k] - F(view.width_mm / 2)
    height = raised(place, u, a)
    fine = ndi.gaussian_filter(height, 1.2)
    gy, gx = np.gradient(fine)
    turn, step = np.radians(scene.tilt), F(view.ppm / k)
    slopes = (gy * np.cos(turn) - gx * np.sin(turn)) * step, (gy * np.sin(turn) + gx * np.cos(turn)) * step
    h, w = on.u.shape
    big = [np.asarray(Image.fromarray(g.astype(F)).resize((w, h), Image.Resampling.BICUBIC)) for g in slopes]
    return big[0], big[1]


def _displayed(img: Array) -> Image.Image:
    """Linear light to display values with a soft shoulder, a little contrast and a darker edge."""
    h, w = img.shape[:2]
    img = 1 - np.exp(-1.55 * img)
    img = np.clip(img / (1 - np.exp(-1.55 * 1.15)), 0, 1) ** F(1 / 2.2)
    img = img * 0.72 + (img * img * (3 - 2 * img)) * 0.28
    yy, xx = np.ogrid[0:h, 0:w]
    edge = 1 - 0.20 * np.clip(((xx / w - 0.5) ** 2 + (yy / h - 0.5) ** 2) * 2, 0, 1)
    return Image.fromarray((img * edge[..., None].astype(F) * 255).astype(np.uint8))


def _focused(im: Image.Image, view: View, on: Surface, mask: Array) -> Image.Image:
    """Let the far sides of the limb and the backdrop go out of focus."""
    soft = im.filter(ImageFilter.GaussianBlur(view.ppm * 0.22))
    radius = min(view.axis[0], 70)
    depth = np.clip((on.r * (1 - on.cos) - 0.38 * radius) / (0.6 * radius), 0, 1) * mask
    far = np.clip((np.hypot(on.x * 1.2, on.y) - 0.40 * view.seen_mm) / (0.22 * view.seen_mm), 0, 1) * 0.8
    blend = np.clip(np.maximum(depth, far), 0, 1) * 255
    return Image.composite(soft, im, Image.fromarray(blend.astype(np.uint8)))


@lru_cache(maxsize=1)
def _grain() -> Array:
    rng = np.random.default_rng(909)
    g = rng.normal(0, 1, (GRAIN_PX, GRAIN_PX, 1)) * 1.5 + rng.normal(0, 0.9, (GRAIN_PX, GRAIN_PX, 3))
    return np.asarray((ndi.gaussian_filter(g, (0.55, 0.55, 0), mode="wrap") * 1.7).astype(F))


def _grained(im: Image.Image, scene: Scene) -> Image.Image:
    shift = (scene.frame * 131 + scene.seed * 17) % GRAIN_PX
    grain = np.roll(_grain(), (shift, shift * 3), (0, 1)) * F(scene.grain)
    out = np.asarray(im).astype(F)
    for y in range(0, im.height, GRAIN_PX):
        for x in range(0, im.width, GRAIN_PX):
            tile = out[y : y + GRAIN_PX, x : x + GRAIN_PX]
            tile += grain[: tile.shape[0], : tile.shape[1]]
    return Image.fromarray(np.clip(out, 0, 255).astype(np.uint8))
