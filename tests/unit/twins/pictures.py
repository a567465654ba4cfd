"""Pictures drawn for the tests of the twins."""

import zlib

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from archgen.twins.description.prepare import prepare
from archgen.twins.description.prepared import COLOR_CELLS, Prepared
from archgen.twins.model import ComparedPicture


def drawing(seed: int, size: tuple[int, int] = (420, 360), weight: int = 5) -> Image.Image:
    """An asymmetric line drawing: some curves and rings on white."""
    rng = np.random.default_rng(seed)
    big = Image.new("L", (size[0] * 2, size[1] * 2), 255)
    draw = ImageDraw.Draw(big)
    for _ in range(7):
        points = rng.uniform(0.08, 0.92, (4, 2)) * big.size
        steps = np.linspace(0, 1, 40)[:, None]
        a, b, c, d = points
        curve = (1 - steps) ** 3 * a + 3 * steps * (1 - steps) ** 2 * b + 3 * steps**2 * (1 - steps) * c + steps**3 * d
        draw.line([tuple(point) for point in curve], fill=0, width=weight, joint="curve")
    for _ in range(4):
        x, y = rng.uniform(0.15, 0.75, 2) * big.size
        radius = rng.uniform(20, 90)
        draw.ellipse((x, y, x + radius, y + radius * rng.uniform(0.5, 1)), outline=0, width=weight)
    return big.resize(size, Image.Resampling.LANCZOS)


def photograph(seed: int, size: tuple[int, int] = (480, 360)) -> Image.Image:
    """Soft coloured blobs with a few hard edges and fine grain."""
    rng = np.random.default_rng(seed)
    small = rng.uniform(30, 225, (9, 12, 3)).astype(np.uint8)
    out = Image.fromarray(small).resize(size, Image.Resampling.BICUBIC)
    draw = ImageDraw.Draw(out)
    for _ in range(12):
        x, y = rng.uniform(0, 0.9, 2) * size
        w, h = rng.uniform(0.05, 0.25, 2) * size
        color = tuple(int(v) for v in rng.uniform(20, 235, 3))
        draw.polygon([(x, y), (x + w, y + h * 0.3), (x + w * 0.6, y + h)], fill=color)
    return out.filter(ImageFilter.GaussianBlur(0.8))


def items(**pictures: Image.Image) -> list[ComparedPicture]:
    return [ComparedPicture(key, prepare(picture)) for key, picture in pictures.items()]


def kept(gray: np.ndarray, size: tuple[int, int] | None = None, **measures: float) -> Prepared:
    """What is kept of a gray map, as if its picture had this width and height and these measures."""
    width, height = size or gray.shape[::-1]
    values = {"ink_level": 1.0, "sharpness": 1.0, "bare": 0.5, "halftones": 0.0} | measures
    color = np.zeros((COLOR_CELLS, COLOR_CELLS, 2), np.int8)
    return Prepared(width, height, (), gray.shape, zlib.compress(gray.astype(np.uint8).tobytes()), color, **values)


def soft_noise(rows: int, columns: int, seed: int = 1) -> np.ndarray:
    """A gray map, 0 to 1, with detail in it everywhere, none of it fine."""
    blurred = cv2.GaussianBlur(np.random.default_rng(seed).uniform(0, 1, (rows, columns)).astype(np.float32), (0, 0), 3)
    return (blurred - blurred.min()) / np.ptp(blurred)
