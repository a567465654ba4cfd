"""A Display P3 profile and pixels for it, as a phone stores its photos.

Primaries and white of DCI-P3 with D65 and the sRGB curve (SMPTE EG 432-1, IEC 61966-2-1, both from memory); profile
layout ICC.1:2010 with the version 2 tags.
"""

import struct

import numpy as np
from PIL import Image

from tests.demo.geom import Array

P3 = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
SRGB = ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060))
D65 = (0.3127, 0.3290)
D50_XYZ = np.array([0.9642, 1.0, 0.8249])
BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
CURVE_POINTS = 1024


def display_p3() -> bytes:
    """Build the profile."""
    tags = {
        b"desc": _description("Display P3"),
        b"cprt": b"text\0\0\0\0" + b"No rights reserved.\0",
        b"wtpt": _xyz(D50_XYZ),
    }
    adapted = _adaptation() @ _to_xyz(P3)
    for column, name in enumerate((b"rXYZ", b"gXYZ", b"bXYZ")):
        tags[name] = _xyz(adapted[:, column])
    curve = np.round(_linear(np.linspace(0, 1, CURVE_POINTS)) * 65535).astype(">u2").tobytes()
    for name in (b"rTRC", b"gTRC", b"bTRC"):
        tags[name] = b"curv\0\0\0\0" + struct.pack(">I", CURVE_POINTS) + curve
    return _file(tags)


def to_display_p3(im: Image.Image) -> Image.Image:
    """Change sRGB pixels into the Display P3 pixels of the same colours."""
    matrix = np.linalg.inv(_to_xyz(P3)) @ _to_xyz(SRGB)
    light = _linear(np.arange(256) / 255).astype(np.float32)[np.asarray(im)] @ matrix.T.astype(np.float32)
    light = np.clip(light, 0, 1)
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return Image.fromarray(np.round(coded * 255).astype(np.uint8))


def _linear(value: Array) -> Array:
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def _white() -> Array:
    return np.array([D65[0] / D65[1], 1.0, (1 - sum(D65)) / D65[1]])


def _to_xyz(primaries: tuple[tuple[float, float], ...]) -> Array:
    columns = np.array([[x / y, 1.0, (1 - x - y) / y] for x, y in primaries]).T
    return np.asarray(columns * np.linalg.solve(columns, _white()))


def _adaptation() -> Array:
    ratio = (BRADFORD @ D50_XYZ) / (BRADFORD @ _white())
    return np.asarray(np.linalg.inv(BRADFORD) @ np.diag(ratio) @ BRADFORD)


def _xyz(values: Array) -> bytes:
    return b"XYZ \0\0\0\0" + struct.pack(">3i", *(round(float(v) * 65536) for v in values))


def _description(words: str) -> bytes:
    text = words.encode("ascii") + b"\0"
    return b"desc\0\0\0\0" + struct.pack(">I", len(text)) + text + bytes(4 + 4 + 2 + 1 + 67)


def _file(tags: dict[bytes, bytes]) -> bytes:
    """Join header, table and data; equal data is stored once."""
    table, data, offsets = struct.pack(">I", len(tags)), b"", dict[bytes, int]()
    start = 128 + 4 + 12 * len(tags)
    for name, value in tags.items():
        if value not in offsets:
            offsets[value] = start + len(data)
            data += value + bytes(-len(value) % 4)
        table += name + struct.pack(">II", offsets[value], len(value))
    header = struct.pack(">I4sI4s4s4s", start + len(data), bytes(4), 0x02400000, b"mntr", b"RGB ", b"XYZ ")
    header += struct.pack(">6H4s", 2024, 1, 1, 0, 0, 0, b"acsp") + bytes(28)
    header += struct.pack(">3i", *(round(float(v) * 65536) for v in D50_XYZ))
    return header.ljust(128, b"\0") + table + data
