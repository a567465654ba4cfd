"""The eight turns and mirrors of a picture, as pixel moves, as coefficient signs and as 2 x 3 transforms.

Turn `g` means: mirror left-right first when `g >= 4`, then turn clockwise by `g % 4` quarters. All transforms work in
fractions of a picture (0..1 across, 0..1 down). Knows arrays and numbers, not pictures or keys.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]
Affine = npt.NDArray[np.float64]

TURNS = tuple(range(8))
FIRST_MIRRORED = 4
# A quarter turn clockwise, R(x, y) = A(y, 1 - x); the mirror, R(x, y) = A(1 - x, y).
_QUARTER = np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 1.0]])
_MIRROR = np.array([[-1.0, 0.0, 1.0], [0.0, 1.0, 0.0]])
IDENTITY = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])


def turned_picture(array: npt.NDArray[np.generic], turn: int) -> npt.NDArray[np.generic]:
    """Turn an array of pixels."""
    flat = array[:, ::-1] if turn >= FIRST_MIRRORED else array
    return np.rot90(flat, -(turn % FIRST_MIRRORED))


def turned_coefficients(coefficients: Floats, turn: int) -> Floats:
    """Turn pictures given as cosine coefficients (..., rows, columns): sign flips and a transpose."""
    odd = np.where(np.arange(coefficients.shape[-1]) % 2, np.float32(-1), np.float32(1))
    out = coefficients * odd if turn >= FIRST_MIRRORED else coefficients
    for _ in range(turn % FIRST_MIRRORED):
        out = np.swapaxes(out, -1, -2) * odd
    return out


def compose(first: Affine, second: Affine) -> Affine:
    """Chain two transforms: the result sends a point through `second`, then through `first`."""
    out: Affine = first[:, :2] @ second
    out[:, 2] += first[:, 2]
    return out


def inverse(transform: Affine) -> Affine:
    """Reverse a transform."""
    (xx, xy, x0), (yx, yy, y0) = transform.tolist()
    area = xx * yy - xy * yx
    out: Affine = np.array([[yy, -xy, xy * y0 - yy * x0], [-yx, xx, yx * x0 - xx * y0]]) / area
    return out


def reversed_turn(turn: int) -> int:
    """Give the turn that undoes a turn; a mirrored one undoes itself."""
    return turn if turn >= FIRST_MIRRORED else -turn % FIRST_MIRRORED


@cache
def turn_transform(turn: int) -> Affine:
    """Say where a point of the turned picture lies in the picture before the turn; not to be written to."""
    out = _MIRROR if turn >= FIRST_MIRRORED else IDENTITY
    for _ in range(turn % FIRST_MIRRORED):
        out = compose(out, _QUARTER)
    return out


def box_transform(left: float, top: float, right: float, bottom: float) -> Affine:
    """Say where a point of a cut-out lies in the picture it was cut from."""
    return np.array([[right - left, 0.0, left], [0.0, bottom - top, top]])


def nearest_turn(linear: npt.NDArray[np.float64]) -> int:
    """Read the turn out of a transform that sends points of the second picture to the first.

    `linear` is its 2 x 2 part in pixels, so that both axes have one unit.
    """
    return int(np.einsum("tij,ij->t", _linear_parts(), linear).argmax())


@cache
def _linear_parts() -> npt.NDArray[np.float64]:
    return np.stack([turn_transform(turn)[:, :2] for turn in TURNS])
