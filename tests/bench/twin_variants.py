"""Seeded copies of a picture, as a phone roll and a stencil folder are full of them.

A copy is a function of a picture and a random generator. Each has a name, a group, the relations that are right for it
and the turn that it makes.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw, ImageEnhance, ImageFilter, ImageOps

Rng = np.random.Generator
T = Image.Transpose


@dataclass(frozen=True)
class Copy:
    """One kind of copy."""

    name: str
    group: str  # exact, edited, version, hard
    make: Callable[[Image.Image, Rng], Image.Image]
    relations: tuple[str, ...]
    mirrored: bool = False
    turned: int = 0
    only: str = ""  # line or photo


def encoded(im: Image.Image, kind: str, quality: int) -> Image.Image:
    buffer = io.BytesIO()
    im.convert("RGB").save(buffer, kind, quality=quality)
    out = Image.open(io.BytesIO(buffer.getvalue()))
    return out.convert("RGB")


def resized(im: Image.Image, factor: float) -> Image.Image:
    size = (max(16, round(im.width * factor)), max(16, round(im.height * factor)))
    return im.resize(size, Image.Resampling.LANCZOS)


def cropped(im: Image.Image, rng: Rng, share: float) -> Image.Image:
    """Cut `share` of both sides away, at a random place."""
    w, h = im.width * (1 - share), im.height * (1 - share)
    x, y = rng.uniform(0, im.width - w), rng.uniform(0, im.height - h)
    return im.crop((round(x), round(y), round(x + w), round(y + h)))


def cropped_each(im: Image.Image, share: float) -> Image.Image:
    """Cut `share` off each of the four sides."""
    x, y = round(im.width * share), round(im.height * share)
    return im.crop((x, y, im.width - x, im.height - y))


def tilted(im: Image.Image, rng: Rng, degrees: float) -> Image.Image:
    angle = degrees * rng.choice([-1, 1])
    return im.rotate(angle, Image.Resampling.BICUBIC, expand=bool(rng.integers(2)), fillcolor="white")


def perspective(im: Image.Image, rng: Rng, amount: float = 0.05) -> Image.Image:
    w, h = im.size
    target = np.array([[0, 0], [w, 0], [w, h], [0, h]], float)
    source = target + rng.uniform(-amount, amount, (4, 2)) * [w, h]
    rows, right = [], []
    for (x, y), (u, v) in zip(target, source, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    data = np.linalg.solve(np.array(rows), np.array(right))
    return im.transform(
        im.size, Image.Transform.PERSPECTIVE, data.tolist(), Image.Resampling.BICUBIC, fillcolor="white"
    )


def noisy(im: Image.Image, rng: Rng, sigma: float) -> Image.Image:
    a = np.asarray(im.convert("RGB"), np.float32)
    return Image.fromarray(np.clip(a + rng.normal(0, sigma, a.shape), 0, 255).astype(np.uint8))


def gamma(im: Image.Image, value: float) -> Image.Image:
    return im.point([round(255 * (v / 255) ** value) for v in range(256)] * len(im.getbands()))


def warmed(im: Image.Image, rng: Rng) -> Image.Image:
    r, g, b = im.convert("RGB").split()
    k = rng.uniform(0.07, 0.16) * rng.choice([-1, 1])
    r, b = r.point(lambda v: min(255, int(v * (1 + k)))), b.point(lambda v: min(255, int(v * (1 - k))))
    return ImageEnhance.Color(Image.merge("RGB", (r, g, b))).enhance(rng.uniform(0.5, 1.5))


def burst(im: Image.Image, rng: Rng) -> Image.Image:
    """Another exposure: a small move of the hand, other light, other noise; new content at the edges."""
    a, s = np.radians(rng.normal(0, 0.6)), 1 + rng.normal(0, 0.008)
    dx, dy = rng.normal(0, 0.012, 2) * im.size
    w, h = im.size
    pad = max(8, round(0.06 * max(w, h)))
    wide = Image.fromarray(np.pad(np.asarray(im.convert("RGB")), ((pad, pad), (pad, pad), (0, 0)), "reflect"))
    c, n = np.cos(a) * s, np.sin(a) * s
    cx, cy = w / 2, h / 2
    data = (c, -n, cx - c * cx + n * cy + dx + pad, n, c, cy - n * cx - c * cy + dy + pad)
    moved = wide.transform((w, h), Image.Transform.AFFINE, data, Image.Resampling.BICUBIC)
    return noisy(ImageEnhance.Brightness(moved).enhance(1 + rng.normal(0, 0.03)), rng, 4)


def scan(im: Image.Image, rng: Rng) -> Image.Image:
    """Printed and scanned: gray paper with a gradient, soft, a little noise, a little tilt."""
    out = im.convert("L").rotate(rng.normal(0, 0.5), Image.Resampling.BICUBIC, fillcolor=255)
    a = np.asarray(out.filter(ImageFilter.GaussianBlur(max(im.size) / 900)), np.float32) / 255
    y, x = np.mgrid[0 : a.shape[0], 0 : a.shape[1]] / max(a.shape)
    light = rng.uniform(0.84, 0.97) + rng.uniform(-0.12, 0.12) * (x - 0.5) + rng.uniform(-0.12, 0.12) * (y - 0.5)
    a = (rng.uniform(0.05, 0.2) + (1 - rng.uniform(0.05, 0.2)) * a) * light
    a += rng.normal(0, 0.015, a.shape)
    return encoded(Image.fromarray(np.clip(a * 255, 0, 255).astype(np.uint8)), "JPEG", 80)


def bordered(im: Image.Image, rng: Rng) -> Image.Image:
    share = round(rng.uniform(0.03, 0.12) * max(im.size))
    fill = ["black", "white", "white"][rng.integers(3)]
    if rng.integers(2):
        return ImageOps.expand(im.convert("RGB"), share, fill)
    side = max(im.size) + share
    out = Image.new("RGB", (side, side), fill)
    out.paste(im, ((side - im.width) // 2, (side - im.height) // 2))
    return out


def screenshot(im: Image.Image, rng: Rng) -> Image.Image:
    """A phone screen with the picture in the middle, a status bar and buttons."""
    w = 720
    ground, ink = [("white", "black"), ("black", "white")][rng.integers(2)]
    shown = im.convert("RGB").resize((w, max(16, round(im.height * w / im.width))), Image.Resampling.LANCZOS)
    h = max(round(w * 2.1), shown.height + 260)
    out = Image.new("RGB", (w, h), ground)
    out.paste(shown, (0, (h - shown.height) // 2))
    d = ImageDraw.Draw(out)
    d.text((30, 18), "12:41", fill=ink, font_size=26)
    d.rectangle((w - 90, 22, w - 40, 44), outline=ink, width=3)
    for k in range(5):
        d.ellipse((60 + k * 135, h - 90, 100 + k * 135, h - 50), outline=ink, width=4)
    return encoded(out, "JPEG", 88)


def reweighted(im: Image.Image, rng: Rng, sign: int) -> Image.Image:
    """Lines drawn thicker (+1) or thinner (-1): the edge moves by a share of the usual line width."""
    big = resized(im.convert("L"), max(1.0, 900 / max(im.size)))
    size = 2 * rng.integers(1, 3) + 1 if sign > 0 else 3
    out = big.filter(ImageFilter.MinFilter(int(size)) if sign > 0 else ImageFilter.MaxFilter(int(size)))
    return out.resize(im.size, Image.Resampling.LANCZOS)


def recut(im: Image.Image, rng: Rng) -> Image.Image:
    """Copied softly and cut at another threshold."""
    soft = im.convert("L").filter(ImageFilter.GaussianBlur(max(im.size) / rng.uniform(350, 600)))
    level = int(rng.uniform(110, 215))
    return soft.point(lambda v: 255 if v > level else 0).convert("L")


def mirrored_print(im: Image.Image, rng: Rng) -> Image.Image:
    out = ImageOps.mirror(im).convert("L")
    return encoded(resized(out, rng.uniform(0.4, 1.3)), "JPEG", 75)


def _plain(make: Callable[[Image.Image], Image.Image]) -> Callable[[Image.Image, Rng], Image.Image]:
    return lambda im, _: make(im)


def heic(im: Image.Image, rng: Rng) -> Image.Image:
    import pillow_heif

    pillow_heif.register_heif_opener()
    even = im.crop((0, 0, im.width // 2 * 2, im.height // 2 * 2))
    return encoded(even, "HEIF", int(rng.integers(50, 90)))


def blurred(im: Image.Image, rng: Rng) -> Image.Image:
    return im.filter(ImageFilter.GaussianBlur(max(im.size) / rng.uniform(250, 500)))


def _level(kind: type, low: float, high: float) -> Callable[[Image.Image, Rng], Image.Image]:
    return lambda im, rng: kind(im).enhance(rng.uniform(low, high))


I, E, M, TU, C, V, B = ("identical",), ("edited",), ("mirrored",), ("turned",), ("cropped",), ("version",), ("burst",)  # noqa: E741

COPIES = (
    *(Copy(f"resize {k}", "exact", lambda im, _, k=k: resized(im, k), I) for k in (0.25, 0.5, 0.75, 1.5, 2.0)),
    *(Copy(f"jpeg {q}", "exact", lambda im, _, q=q: encoded(im, "JPEG", q), I) for q in (30, 60, 90)),
    Copy("heic", "exact", heic, I),
    Copy("gray", "exact", _plain(lambda im: im.convert("L")), ("identical", "edited")),
    Copy("crop 2", "exact", lambda im, rng: cropped(im, rng, 0.02), C),
    Copy("mirror", "exact", _plain(ImageOps.mirror), M, True),
    Copy("flip", "exact", _plain(ImageOps.flip), M, True, 180),
    Copy("turn 90", "exact", _plain(lambda im: im.transpose(T.ROTATE_270)), TU, False, 90),
    Copy("turn 180", "exact", _plain(lambda im: im.transpose(T.ROTATE_180)), TU, False, 180),
    Copy("turn 270", "exact", _plain(lambda im: im.transpose(T.ROTATE_90)), TU, False, 270),
    Copy("mirrored print", "exact", mirrored_print, M, True),
    Copy("darker", "edited", _level(ImageEnhance.Brightness, 0.6, 0.85), E),
    Copy("brighter", "edited", _level(ImageEnhance.Brightness, 1.15, 1.45), E, only="photo"),
    Copy("more contrast", "edited", _level(ImageEnhance.Contrast, 1.2, 1.6), E),
    Copy("less contrast", "edited", _level(ImageEnhance.Contrast, 0.5, 0.8), E),
    Copy("gamma", "edited", lambda im, rng: gamma(im, float(rng.choice([0.6, 0.75, 1.35, 1.7]))), E),
    Copy("colour", "edited", warmed, ("edited", "identical")),
    Copy("blur", "edited", blurred, E),
    Copy("unsharp", "edited", lambda im, rng: im.filter(ImageFilter.UnsharpMask(3, int(rng.uniform(100, 220)), 2)), E),
    Copy("burst", "edited", burst, B),
    Copy("scan", "edited", scan, E),
    Copy("tilt 2", "edited", lambda im, rng: tilted(im, rng, 2), E),
    Copy("borders", "edited", bordered, E),
    Copy("screenshot", "edited", screenshot, E),
    Copy("crop 5", "edited", lambda im, rng: cropped(im, rng, 0.05), C),
    Copy("crop 5 each", "edited", _plain(lambda im: cropped_each(im, 0.05)), C),
    Copy("thicker", "version", lambda im, rng: reweighted(im, rng, 1), V, only="line"),
    Copy("thinner", "version", lambda im, rng: reweighted(im, rng, -1), V, only="line"),
    Copy("cut again", "version", recut, V, only="line"),
    Copy("mirrored, thick, cropped", "version",
         lambda im, rng: cropped(reweighted(ImageOps.mirror(im), rng, 1), rng, 0.05), V, True, only="line"),
    Copy("crop 10", "hard", lambda im, rng: cropped(im, rng, 0.10), C),
    Copy("crop 10 each", "hard", _plain(lambda im: cropped_each(im, 0.10)), C),
    Copy("crop 20", "hard", lambda im, rng: cropped(im, rng, 0.20), C),
    Copy("mirror + crop", "hard", lambda im, rng: cropped(ImageOps.mirror(im), rng, 0.12), C, True),
    Copy("tilt 5", "hard", lambda im, rng: tilted(im, rng, 5), E),
    Copy("perspective", "hard", perspective, E),
)  # fmt: skip

# Printed, photographed from a slight angle in uneven light.
PHOTO_OF_PRINT = Copy(
    "photo of a print", "hard",
    lambda im, rng: noisy(scan(perspective(im, rng, 0.03), rng), rng, 3), E,
)  # fmt: skip
COPIES = (*COPIES, PHOTO_OF_PRINT)
