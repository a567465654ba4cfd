"""Draw small test pictures, and read one picture through the whole stage."""

import io
import struct
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from archgen.picture_facts.facts import ImageJob, ImageResult, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache


def read_one(folder: Path, name: str, role: Role = Role.PHOTO, public: bool = False) -> ImageResult:
    cache = Cache(folder.parent / f"{folder.name}-cache")
    return read_pictures([ImageJob(name, role, public, avif=public)], folder, cache, 1, Silent())[name]


def blob(folder: Path, name: str) -> Path:
    return folder.parent / f"{folder.name}-cache" / "blobs" / name


def codes(result: ImageResult) -> list[str]:
    return [finding.code for finding in result.findings]


def photo(width: int = 120, height: int = 80) -> Image.Image:
    """Four different corners on a slope of light, so that every turn and mirror looks different."""
    light = np.linspace(60, 200, width)[None, :] + np.linspace(-20, 40, height)[:, None]
    picture = Image.fromarray(np.clip(np.stack([light, light * 0.9, light * 0.7], -1), 0, 255).astype(np.uint8))
    draw = ImageDraw.Draw(picture)
    draw.rectangle((0, 0, width // 4, height // 4), fill=(200, 30, 30))
    draw.rectangle((width * 3 // 4, 0, width, height // 3), fill=(30, 60, 200))
    draw.ellipse((0, height * 2 // 3, width // 5, height - 1), fill=(20, 150, 40))
    return picture


def line_art(width: int = 300, height: int = 200, box: tuple[int, int, int, int] = (40, 30, 220, 150)) -> Image.Image:
    """Black lines on white whose outermost edges touch the box: left, top, right, bottom, the last two excluded."""
    picture = Image.new("L", (width, height), 255)
    draw = ImageDraw.Draw(picture)
    left, top, right, bottom = box
    draw.rectangle((left, top, right - 1, bottom - 1), outline=0, width=5)
    draw.line((left + 8, top + 8, right - 8, bottom - 8), fill=0, width=4)
    return picture


def encoded(picture: Image.Image, file_format: str, **options) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, file_format, **options)
    return buffer.getvalue()


def difference(one: Image.Image, other: Image.Image) -> float:
    """Give the mean difference of two pictures of one size, in levels."""
    assert one.size == other.size
    return float(np.abs(np.asarray(one.convert("RGB"), float) - np.asarray(other.convert("RGB"), float)).mean())


def matrix_profile(colorants: list[tuple[float, float, float]], gamma: float | None = None) -> bytes:
    """Write an ICC version 2 display profile (ICC.1:2001-04) from its three D50 colorants; no gamma: the sRGB curve."""
    curve = b"curv" + bytes(4)
    if gamma is None:
        x = np.arange(1024) / 1023
        linear = np.where(x <= 0.04045, x / 12.92, ((x + 0.055) / 1.055) ** 2.4)
        curve += struct.pack(">I", 1024) + np.round(linear * 65535).astype(">u2").tobytes()
    else:
        curve += struct.pack(">IH", 1, round(gamma * 256))
    name = b"test profile\0"
    tags = {
        b"desc": b"desc" + bytes(4) + struct.pack(">I", len(name)) + name + bytes(78),
        b"cprt": b"text" + bytes(4) + b"none\0",
        b"wtpt": _xyz(0.9642, 1.0, 0.8249),
        b"rXYZ": _xyz(*colorants[0]), b"gXYZ": _xyz(*colorants[1]), b"bXYZ": _xyz(*colorants[2]),
        b"rTRC": curve, b"gTRC": curve, b"bTRC": curve,
    }  # fmt: skip
    table, body, at = b"", b"", 132 + 12 * len(tags)
    for tag, value in tags.items():
        padded = value + bytes(-len(value) % 4)
        table += tag + struct.pack(">II", at + len(body), len(value))
        body += padded
    head = struct.pack(">I4xI4s4s4s12x4s28x3i48x", at + len(body), 0x02400000, b"mntr", b"RGB ", b"XYZ ", b"acsp",
                       63190, 65536, 54061)  # fmt: skip
    return head + struct.pack(">I", len(tags)) + table + body


def _xyz(*values: float) -> bytes:
    return b"XYZ " + bytes(4) + struct.pack(">3i", *(round(value * 65536) for value in values))


# SMPTE EG 432-1 primaries with the D65 white, adapted to D50 by Bradford, as ICC profiles want them.
P3_COLORANTS = [(0.51512, 0.24120, -0.00105), (0.29198, 0.69225, 0.04189), (0.15710, 0.06657, 0.78407)]
SRGB_COLORANTS = [(0.43607, 0.22249, 0.01392), (0.38515, 0.71687, 0.09708), (0.14307, 0.06061, 0.71410)]
