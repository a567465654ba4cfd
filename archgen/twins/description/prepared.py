"""What is kept of a picture for the comparison, and its bytes in the cache."""

from __future__ import annotations

import hashlib
import struct
import zlib
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from archgen.twins.description.signature import COEFFICIENTS, WINDOWS, PictureKind
from archgen.twins.description.turns import Floats

Bytes = npt.NDArray[np.uint8]
COLOR_CELLS = 8

_HEAD = struct.Struct("<4IB4f")
_VIEW = struct.Struct("<B4f")


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """One way to look at a picture: its kind, the box of its content in fractions, the coefficients of that box.

    `norms` are those of `signature.window_norms`.
    """

    kind: PictureKind
    box: tuple[float, float, float, float]
    coefficients: Floats
    norms: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """What is kept of a picture. Without views (blank, tiny, a thin strip) it is never paired.

    `shape` and `packed` are the rows, columns and compressed pixels of `gray`: thousands of pictures are held at once.
    `bare` is the share that is bare paper, `halftones` that of its ink that is gray: none in a picture cut to pure
    black and white. Both are those of the full picture, as are `ink_level` and `sharpness`.
    """

    width: int
    height: int
    views: tuple[View, ...]
    shape: tuple[int, int]
    packed: bytes
    color: npt.NDArray[np.int8]
    ink_level: float
    sharpness: float
    bare: float
    halftones: float
    digest: str = ""

    @property
    def gray(self) -> Bytes:
        """The picture in gray, its long side 256 at most."""
        return _unzipped(self.packed).reshape(self.shape)

    def to_bytes(self) -> bytes:
        """Pack; the same picture gives the same bytes."""
        measures = (self.ink_level, self.sharpness, self.bare, self.halftones)
        head = _HEAD.pack(self.width, self.height, *self.shape, len(self.views), *measures)
        views = b"".join(
            _VIEW.pack(view.kind, *view.box)
            + view.coefficients.astype("<f2").tobytes()
            + view.norms.astype("<f4").tobytes()
            for view in self.views
        )
        return head + views + self.color.tobytes() + self.packed

    @staticmethod
    def from_bytes(data: bytes) -> Prepared:
        """Unpack.

        Raises:
            ValueError: The bytes are not those of `to_bytes`.
        """
        try:
            made = _unpacked(data)
            if made.gray.shape != made.shape:
                raise ValueError("wrong size")
        except (struct.error, zlib.error, ValueError) as error:
            raise ValueError("These are not the bytes of a prepared picture.") from error
        return made


@lru_cache(maxsize=32)
def _unzipped(packed: bytes) -> Bytes:
    return np.frombuffer(zlib.decompress(packed), np.uint8)


def _unpacked(data: bytes) -> Prepared:
    width, height, rows, columns, count, ink_level, sharpness, bare, halftones = _HEAD.unpack_from(data)
    at = _HEAD.size
    views = []
    for _ in range(count):
        kind, *box = _VIEW.unpack_from(data, at)
        at += _VIEW.size
        coefficients = np.frombuffer(data, "<f2", COEFFICIENTS**2, at).astype(np.float32)
        at += 2 * COEFFICIENTS**2
        norms = np.frombuffer(data, "<f4", len(WINDOWS), at)
        at += 4 * len(WINDOWS)
        views.append(View(PictureKind(kind), tuple(box), coefficients.reshape(COEFFICIENTS, COEFFICIENTS), norms))
    color = np.frombuffer(data, np.int8, COLOR_CELLS**2 * 2, at).reshape(COLOR_CELLS, COLOR_CELLS, 2)
    packed = data[at + color.size :]
    digest = hashlib.blake2b(data, digest_size=16).hexdigest()
    measures = (ink_level, sharpness, bare, halftones)
    return Prepared(width, height, tuple(views), (rows, columns), packed, color, *measures, digest)
