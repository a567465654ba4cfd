"""Unit vectors of pictures and of their parts, in which the eight turns are sign flips.

A vector holds the 63 lowest cosine coefficients after the mean, as a perceptual hash does, but keeps their size: the
sign of a coefficient near zero is noise, and half of them are near zero in symmetric art.
"""

from __future__ import annotations

from enum import IntEnum
from functools import cache

import numpy as np
import numpy.typing as npt

from archgen.twins.description.turns import TURNS, Floats, reversed_turn, turned_coefficients


class PictureKind(IntEnum):
    """How a picture is looked at."""

    LINE = 0  # ink on paper
    PHOTO = 1


# Coefficients a side that are kept of a picture; 14 of them still give 8 of a part that is 0.6 of it.
COEFFICIENTS = 14
# Coefficients a side of a vector.
SIDE = 8
LENGTH = SIDE * SIDE
# Exponent of the radius by which a coefficient is weighted, so that low frequencies do not drown the others.
_WEIGHT_EXPONENT = {PictureKind.LINE: 0.5, PictureKind.PHOTO: 1.0}

# Parts of a picture a copy may have been cut to, as (start, end) of one side.
_SPANS_90 = ((0.0, 0.9), (0.05, 0.95), (0.1, 1.0))
_SPANS_80 = ((0.0, 0.8), (0.1, 0.9), (0.2, 1.0))
_SPANS_70 = ((0.0, 0.7), (0.15, 0.85), (0.3, 1.0))
_SPANS_60 = ((0.0, 0.6), (0.2, 0.8), (0.4, 1.0))
_WHOLE = (0.0, 1.0)


def _windows() -> tuple[tuple[float, float, float, float], ...]:
    boxes = [(_WHOLE, _WHOLE)]
    for spans in (_SPANS_90, _SPANS_80, _SPANS_70, _SPANS_60):
        boxes += [(across, down) for across in spans for down in spans]
    for spans in (_SPANS_90, _SPANS_80):
        boxes += [(across, _WHOLE) for across in spans] + [(_WHOLE, down) for down in spans]
    return tuple((across[0], down[0], across[1], down[1]) for across, down in boxes)


# (left, top, right, bottom) in fractions; the first is the whole picture.
WINDOWS = _windows()


def cosine_basis(count: int, positions: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Give the first cosine waves (rows) of the unit interval at some positions."""
    order = np.arange(count)[:, None]
    return np.where(order == 0, 1.0, np.sqrt(2.0)) * np.cos(np.pi * order * positions[None, :])


@cache
def _span_matrix(start: float, end: float) -> Floats:
    """Coefficients of a part from those of the whole, along one side."""
    positions = (np.arange(512) + 0.5) / 512
    part = cosine_basis(SIDE, positions)
    whole = cosine_basis(COEFFICIENTS, start + positions * (end - start))
    return (part @ whole.T / 512).astype(np.float32)


@cache
def _weights(kind: PictureKind) -> Floats:
    order = np.arange(SIDE)
    radius = np.hypot(order[:, None], order[None, :])
    return (radius ** _WEIGHT_EXPONENT[kind]).astype(np.float32)


def _unit(weighted: Floats) -> Floats:
    """Make unit vectors, in place, of coefficients that are weighted already."""
    flat = weighted.reshape(*weighted.shape[:-2], LENGTH)
    flat /= np.maximum(_norms(flat), LEAST_NORM)[..., None]
    return flat


def _norms(flat: Floats) -> Floats:
    norms: Floats = np.sqrt(np.einsum("...i,...i->...", flat, flat))
    return norms


LEAST_NORM = np.float32(1e-9)
# Views whose windows are cut at once: what fits into the processor's cache takes a fifth of the time.
_BLOCK = 256


def _cut(coefficients: Floats, kind: PictureKind) -> Floats:
    """Weighted coefficients of windows of views: (n, windows, 8, 8)."""
    out = np.empty((len(coefficients), len(WINDOWS), SIDE, SIDE), np.float32)
    for (top, bottom), places in _BY_ROWS.items():
        rows = (_span_matrix(top, bottom) @ coefficients).reshape(-1, COEFFICIENTS)
        across = np.concatenate([_span_matrix(WINDOWS[at][0], WINDOWS[at][2]) for at in places])
        cut = (rows @ across.T).reshape(len(coefficients), SIDE, len(places), SIDE)
        out[:, places] = cut.swapaxes(1, 2)
    out *= _weights(kind)
    return out


# The windows that show the same rows, by number: the rows are cut out once.
_BY_ROWS = {
    (top, bottom): [at for at, box in enumerate(WINDOWS) if box[1::2] == (top, bottom)] for _, top, _, bottom in WINDOWS
}


def window_vectors(coefficients: Floats, kind: PictureKind) -> Floats:
    """Give the vectors of all windows of views' coefficients (n, 14, 14): (n, windows, 64)."""
    out = np.empty((len(coefficients), len(WINDOWS), LENGTH), np.float32)
    for start in range(0, len(coefficients), _BLOCK):
        out[start : start + _BLOCK] = _unit(_cut(coefficients[start : start + _BLOCK], kind))
    return out


def window_norms(coefficients: Floats, kind: PictureKind) -> Floats:
    """Give the lengths that the vectors of all windows have before they are made unit vectors: (n, windows)."""
    return _norms(_cut(coefficients, kind).reshape(len(coefficients), len(WINDOWS), LENGTH))


def spread_over_windows(vectors: Floats, kind: PictureKind) -> Floats:
    """Lay vectors (n, 64) into each window of a whole view: (n, windows, 14, 14).

    The product with a view's coefficients, over the norm of the window, is the cosine of the vector with that window.
    """
    weighted = vectors.reshape(-1, SIDE, SIDE) * _weights(kind)
    boxes = ((_span_matrix(top, bottom), _span_matrix(left, right)) for left, top, right, bottom in WINDOWS)
    return np.stack([down.T @ weighted @ across for down, across in boxes], axis=1)


def spread_over_turns(vectors: Floats, kind: PictureKind) -> Floats:
    """Lay vectors of windows (n, 64) back into each turn of a whole view: (8, n, 8, 8).

    The product with a view's lowest coefficients, over the norm of the first window, is the cosine of the turned view
    with that window.
    """
    weighted = vectors.reshape(-1, SIDE, SIDE) * _weights(kind)
    return np.stack([turned_coefficients(weighted, reversed_turn(turn)) for turn in TURNS])


def turned_vectors(coefficients: Floats, kind: PictureKind) -> Floats:
    """Give the vectors of the eight turns of whole views (n, 14, 14): (n, 8, 64)."""
    low = coefficients[:, :SIDE, :SIDE] * _weights(kind)
    return _unit(np.stack([turned_coefficients(low, turn) for turn in TURNS], axis=1))
