"""Small pictures that can be told apart, and archives of them, for tests of near-identical pictures."""

from functools import lru_cache
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

SIZE = (480, 600)


def drawing(seed, *, weight=5, size=SIZE):
    """Ink on paper: loops that run one way, so that nothing of it is symmetric."""
    rng = np.random.default_rng(seed)
    picture = Image.new("L", size, 255)
    pen = ImageDraw.Draw(picture)
    for _ in range(7):
        x, y = rng.integers(60, size[0] - 160), rng.integers(60, size[1] - 200)
        pen.ellipse((x, y, x + rng.integers(40, 150), y + rng.integers(50, 190)), outline=0, width=weight)
        pen.line([tuple(point) for point in rng.integers(50, 430, (4, 2)).tolist()], fill=0, width=weight)
    return picture


def photo(seed, *, size=SIZE, shift=(0, 0), light=1.0):
    """A picture full of tones; `shift` moves the camera, `light` changes the exposure."""
    return _photo(seed, size, shift, light).copy()


@lru_cache(maxsize=16)
def _photo(seed, size, shift, light):
    rng = np.random.default_rng(seed)
    big = Image.fromarray(rng.integers(0, 256, (14, 11, 3), np.uint8)).resize((560, 700), Image.Resampling.BICUBIC)
    pen = ImageDraw.Draw(big)
    for _ in range(12):
        x, y = rng.integers(0, 460), rng.integers(0, 600)
        pen.ellipse((x, y, x + 90, y + 70), fill=tuple(rng.integers(0, 256, 3).tolist()))
    left, top = 40 + shift[0], 50 + shift[1]
    cut = big.filter(ImageFilter.GaussianBlur(0.8)).crop((left, top, left + size[0], top + size[1]))
    return cut.point(lambda value: min(int(value * light), 255))


def save(picture, path: Path, *, taken=None, **options):
    """Save with the camera's time, as in "2026:03:14 12:00:00"."""
    path.parent.mkdir(parents=True, exist_ok=True)
    exif = Image.Exif()
    if taken:
        exif.get_ifd(0x8769)[0x9003] = taken
        exif[0x8769] = exif.get_ifd(0x8769)
    picture.save(path, exif=exif.tobytes(), **options) if taken else picture.save(path, **options)
    return path


def piece(root: Path, name: str, toml: str = "") -> Path:
    """Make a piece and give its folder."""
    folder = root / "pieces" / name
    folder.mkdir(parents=True, exist_ok=True)
    title = name.replace("-", " ").capitalize()
    (folder / "piece.toml").write_text(f'title = "{title}"\n{toml}', "utf-8")
    return folder
