"""Find the lines in a picture: of ink on skin, of a drawing on paper; as points with a direction and a strength.

A line is where the picture is darker than on both its sides. Of a photo the weighted logarithm of red and green is
looked at, in which the redness of fresh skin nearly vanishes.
"""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.images.filters import length

Floats = npt.NDArray[np.float32]

# Raise with every change of what is found.
VERSION = 3
# Long side in pixels that lines are looked for on, and on which every measure of this room is given.
SIDE = 900
# A piece on skin mostly takes half of a picture's long side, and is 60 to 70 mm long: so many pixels are a millimetre.
# Only tolerances are given in it, no size.
PX_PER_MM = 7.0
MOST_POINTS = 16_000
_SIGMAS = (1.3, 2.2)
_LEAST, _MOST = 0.35, 1.5
_AROUND, _FLOOR = 18.0, 0.010
_HEAD = struct.Struct("<3I")


@dataclass(frozen=True, slots=True, eq=False)
class LineMap:
    """The lines of a picture, in pixels of a copy whose long side is SIDE.

    Attributes:
        points: x and y of each point on a line, one row each.
        angles: The line's direction there, in radians from 0 to pi.
        strengths: How plain it is: 0.35 to 1.5.
    """

    width: int
    height: int
    points: Floats
    angles: Floats
    strengths: Floats

    @property
    def diagonal(self) -> float:
        """Give the length of the picture's diagonal."""
        return float(np.hypot(self.width, self.height))

    def to_bytes(self) -> bytes:
        """Pack; a sixteenth of a pixel and a degree are kept."""
        head = _HEAD.pack(self.width, self.height, len(self.points))
        places = np.round(self.points * 16).clip(0, 65535).astype("<u2")
        angles = np.round(self.angles * 255 / np.pi).clip(0, 255).astype("u1")
        strengths = np.round(self.strengths * 160).clip(0, 255).astype("u1")
        return head + zlib.compress(places.tobytes() + angles.tobytes() + strengths.tobytes(), 3)

    @staticmethod
    def from_bytes(data: bytes) -> LineMap:
        """Unpack.

        Raises:
            ValueError: The bytes are not those of `to_bytes`.
        """
        try:
            width, height, count = _HEAD.unpack_from(data)
            raw = zlib.decompress(data[_HEAD.size :])
            places = np.frombuffer(raw, "<u2", 2 * count).reshape(count, 2).astype(np.float32) / np.float32(16)
            angles = np.frombuffer(raw, "u1", count, 4 * count).astype(np.float32) * np.float32(np.pi / 255)
            strengths = np.frombuffer(raw, "u1", count, 5 * count).astype(np.float32) / np.float32(160)
        except (struct.error, zlib.error, ValueError) as error:
            raise ValueError("These are not the bytes of a line map.") from error
        return LineMap(width, height, places, angles, strengths)


def find_lines(picture: Image.Image) -> LineMap:
    """Find the lines of an upright picture in sRGB or gray."""
    return _line_map(*_ridges(_tone(picture)))


def find_edges(picture: Image.Image) -> LineMap:
    """Find where light meets dark in a picture that was drawn from: what is drawn as a line is an edge there."""
    soft = cv2.GaussianBlur(_tone(picture), (0, 0), _SIGMAS[0])
    right, down = (cv2.Sobel(soft, cv2.CV_32F, dx, 1 - dx, ksize=3, scale=0.125) for dx in (1, 0))
    course = 2 * right * down, right * right - down * down
    return _line_map(_against_around(length(right, down)), course)


def _line_map(strength: Floats, course: tuple[Floats, Floats]) -> LineMap:
    points, angles, strengths = _thinned(strength, course)
    order = np.argsort(-strengths, kind="stable")[:MOST_POINTS]
    return LineMap(
        strength.shape[1],
        strength.shape[0],
        points[order].astype(np.float32),
        np.mod(angles[order], np.pi).astype(np.float32),
        np.minimum(strengths[order], _MOST).astype(np.float32),
    )


def drawn_lines(lines: LineMap, side: int = SIDE) -> npt.NDArray[np.uint8]:
    """Draw the lines as soft strokes, light on black, with a long side of so many pixels."""
    scale = side / max(lines.width, lines.height)
    height, width = max(1, round(lines.height * scale)), max(1, round(lines.width * scale))
    canvas = np.zeros((height, width), np.float32)
    at = np.round(lines.points * scale).astype(int)
    inside = (at[:, 0] < width) & (at[:, 1] < height)
    np.maximum.at(canvas, (at[inside, 1], at[inside, 0]), np.minimum(lines.strengths[inside], 1.0))
    soft = cv2.GaussianBlur(canvas, (0, 0), 1.4) * 3.2
    return np.asarray(np.clip(soft, 0, 1) * 255, np.uint8)


def _tone(picture: Image.Image) -> Floats:
    """Give the logarithm of light, mostly of red, of a copy of the size that lines are looked for on."""
    scale = SIDE / max(picture.size)
    size = (max(8, round(picture.width * scale)), max(8, round(picture.height * scale)))
    if picture.mode == "L":
        light = picture
    else:
        pixels = np.asarray(picture if picture.mode == "RGB" else picture.convert("RGB"), np.float32)
        light = Image.fromarray(0.8 * pixels[..., 0] + 0.2 * pixels[..., 1])
    resample = Image.Resampling.BOX if scale < 0.7 else Image.Resampling.BICUBIC
    toned = np.asarray(light.resize(size, resample), np.float32)
    return np.asarray(cv2.log(np.maximum(toned, 0) + np.float32(6)), np.float32)


def _ridges(tone: Floats) -> tuple[Floats, tuple[Floats, Floats]]:
    """Give how plain a dark line goes through each pixel, against what is around it, and where it runs.

    Where it runs is told by sine and cosine of twice the angle across it, both times the same length: only the few
    pixels that become points need the angle itself.
    """
    best, sine, cosine = np.zeros_like(tone), np.zeros_like(tone), np.zeros_like(tone)
    for sigma in _SIGMAS:
        soft = cv2.GaussianBlur(tone, (0, 0), sigma)
        xx = cv2.Sobel(soft, cv2.CV_32F, 2, 0, ksize=3, scale=0.25)
        yy = cv2.Sobel(soft, cv2.CV_32F, 0, 2, ksize=3, scale=0.25)
        twice_xy = cv2.Sobel(soft, cv2.CV_32F, 1, 1, ksize=3, scale=0.5)
        half, apart = cv2.addWeighted(xx, 0.5, yy, 0.5, 0), cv2.subtract(xx, yy)
        turn = length(apart, twice_xy) * np.float32(0.5)
        ridge = cv2.add(half, turn) - np.abs(cv2.subtract(half, turn)) * np.float32(0.5)
        ridge *= np.float32(sigma**2)
        better = ridge > best  # and more than nothing, since the best is at least that
        for kept, new in ((best, ridge), (sine, twice_xy), (cosine, apart)):
            np.copyto(kept, new, where=better)
    return _against_around(best), (sine, cosine)


def _against_around(found: Floats) -> Floats:
    """Weigh against the mean of what is around, blurred over so many pixels that every fourth says the same."""
    height, width = found.shape
    small = cv2.resize(found, (-(-width // 4), -(-height // 4)), interpolation=cv2.INTER_AREA)
    soft = cv2.GaussianBlur(small, (0, 0), _AROUND / 4)
    around = cv2.resize(soft, (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(found / (2 * around + np.float32(_FLOOR)), np.float32)


def _thinned(strength: Floats, course: tuple[Floats, Floats]) -> tuple[Floats, Floats, Floats]:
    """Keep the crest of each line: the places between the pixels where it is highest, directions and strengths."""
    rows, columns = np.nonzero(strength > _LEAST)
    inner = (rows > 1) & (rows < strength.shape[0] - 2) & (columns > 1) & (columns < strength.shape[1] - 2)
    rows, columns = rows[inner], columns[inner]
    # The direction across is that of the stronger curvature; the line runs a quarter turn from it.
    along = np.arctan2(course[0][rows, columns], course[1][rows, columns]) / 2 + np.float32(np.pi / 2)
    across = along + np.float32(np.pi / 2)
    dx, dy = np.cos(across), np.sin(across)
    here = strength[rows, columns]
    before, after = _at(strength, rows - dy, columns - dx), _at(strength, rows + dy, columns + dx)
    is_crest = (here >= before) & (here > after)
    bend = before + after - 2 * here
    step = np.where(is_crest & (bend < 0), (before - after) / np.minimum(2 * bend, -1e-6), 0).clip(-0.5, 0.5)
    points = np.stack([columns + step * dx, rows + step * dy], axis=1)
    return points[is_crest].astype(np.float32), along[is_crest].astype(np.float32), here[is_crest]


def _at(field: Floats, rows: npt.NDArray[np.floating], columns: npt.NDArray[np.floating]) -> Floats:
    """Look values up between pixels; in rows of 256, since the library takes no longer columns than 32,767."""
    count = len(rows)
    if not count:  # the library takes no empty ones
        return np.zeros(0, np.float32)
    spare = -count % _ROW
    x = np.pad(columns.astype(np.float32), (0, spare)).reshape(-1, _ROW)
    y = np.pad(rows.astype(np.float32), (0, spare)).reshape(-1, _ROW)
    return np.asarray(cv2.remap(field, x, y, cv2.INTER_LINEAR), np.float32).ravel()[:count]


_ROW = 256
