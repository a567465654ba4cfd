"""Small made-up pictures for the intake: a drawing on skin as a camera sees it, on paper, and pictures of other things.

Simple on purpose and quick; what skin and lines really look like is measured with the demo's renderer (tests/bench).
"""

import datetime as dt
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from tests.demo.exif import Shot, exif_block

SIZE = (768, 1024)


def strokes(drawing: int, count: int = 34) -> list[np.ndarray]:
    """Draw curves in a square from 0 to 1; another number is another drawing."""
    rng = np.random.default_rng([drawing, 7])
    curves = []
    for _ in range(count):
        start, heading = rng.uniform(0.12, 0.88, 2), rng.uniform(0, 2 * np.pi)
        bend, points = rng.normal(0, 0.16), [start]
        for _ in range(int(rng.integers(8, 22))):
            heading += bend + rng.normal(0, 0.05)
            points.append(points[-1] + 0.03 * np.array([np.cos(heading), np.sin(heading)]))
        curves.append(np.clip(np.array(points), 0, 1))
    return curves


def _ink(drawing, size, *, turn=0.0, share=0.8, shift=(0.0, 0.0), thick=5):
    turned = np.radians(turn)
    matrix = np.array([[np.cos(turned), -np.sin(turned)], [np.sin(turned), np.cos(turned)]])
    middle = np.array(size) / 2 + np.array(shift)
    ink = np.zeros((size[1], size[0]), np.uint8)
    for curve in strokes(drawing):
        points = (curve - 0.5) @ matrix.T * share * min(size) + middle
        cv2.polylines(ink, [np.round(points * 8).astype(np.int32)], False, 255, thick, cv2.LINE_AA, 3)
    return ink.astype(np.float32) / 255


def skin(
    drawing: int,
    *,
    red: float = 1.0,
    turn: float = 0.0,
    share: float = 0.8,
    shift: tuple[float, float] = (0.0, 0.0),
    seed: int = 1,
    done: float = 1.0,
    size: tuple[int, int] = SIZE,
) -> Image.Image:
    """Show a drawing on skin; `red` is how red the skin beside it is, `done` how dark the ink."""
    rng = np.random.default_rng([drawing, seed])
    ink = _ink(drawing, size, turn=turn, share=share, shift=shift) * 0.9 * done
    halo = np.clip(cv2.GaussianBlur(ink, (0, 0), 9) * 2.2, 0, 1) * red
    grain = cv2.GaussianBlur(rng.normal(0, 1, ink.shape).astype(np.float32), (0, 0), 1.2)[..., None]
    light = 1 + 0.12 * (np.linspace(-1, 1, size[0], dtype=np.float32)[None, :, None])
    colour = np.array([222, 184, 160], np.float32) * light
    colour = colour * (1 - halo[..., None] * np.array([0.0, 0.22, 0.2], np.float32)) + grain * 5
    dark = colour * (1 - ink[..., None]) + np.array([38, 34, 36], np.float32) * ink[..., None]
    return Image.fromarray(np.clip(cv2.GaussianBlur(dark, (0, 0), 0.8), 0, 255).astype(np.uint8))


def stencil(drawing: int, size: tuple[int, int] = (900, 900)) -> Image.Image:
    """Show a drawing as black lines on white."""
    ink = _ink(drawing, size, share=0.95, thick=4)
    return Image.fromarray(np.round(255 * (1 - ink)).astype(np.uint8))


def scene(seed: int, size: tuple[int, int] = (900, 700)) -> Image.Image:
    """Show something that is not skin: green and blue clouds."""
    rng = np.random.default_rng(seed)
    small = rng.uniform(20, 180, (9, 11, 3)).astype(np.float32) * np.array([0.4, 1.0, 0.9], np.float32)
    large = cv2.resize(small, size, interpolation=cv2.INTER_CUBIC) + rng.normal(0, 6, (size[1], size[0], 1))
    return Image.fromarray(np.clip(large, 0, 255).astype(np.uint8))


def save(picture: Image.Image, path: Path, taken: str | None = None, **more: object) -> Path:
    """Save as a telephone does, with its time where there is one."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if taken:
        more["exif"] = b"Exif\0\0" + exif_block(Shot(dt.datetime.fromisoformat(taken)))
    if path.suffix == ".jpg":
        more.setdefault("quality", 88)
    picture.save(path, **more)
    return path


def file_piece(root: Path, piece: str, record: str, **photos: Image.Image) -> Path:
    """Put a piece into an archive; underscores of the photos' names become hyphens."""
    folder = root / "pieces" / piece
    folder.mkdir(parents=True)
    (folder / "piece.toml").write_text(record, encoding="utf-8")
    for name, picture in photos.items():
        save(picture, folder / "photos" / f"{name.replace('_', '-')}.jpg")
    return folder
