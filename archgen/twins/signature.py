"""Unit vectors of pictures and of their parts, in which the eight turns are sign flips.

A vector holds the 63 lowest cosine coefficients after the mean, as a perceptual hash does, but keeps their size: the
sign of a coefficient near zero is noise, and half of them are near zero in symmetric art.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum
from functools import cache

import numpy as np
import numpy.typing as npt

from archgen.twins.turns import TURNS, Floats, turned_coefficients


class Kind(IntEnum):
    """How a picture is looked at."""

    LINE = 0  # ink on paper
    PHOTO = 1


# Coefficients a side that are kept of a picture; 14 of them still give 8 of a part that is 0.6 of it.
COEFFICIENTS = 14
# Coefficients a side of a vector.
SIDE = 8
LENGTH = SIDE * SIDE
# Exponent of the radius by which a coefficient is weighted, so that low frequencies do not drown the others.
_WEIGHT_EXPONENT = {Kind.LINE: 0.5, Kind.PHOTO: 1.0}

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


# The windows of the index, by number: fewer, as neighbours of a window that fits fit nearly as well.
_MAIN = (
    *((across, down) for across in _SPANS_80 for down in _SPANS_80),
    *((across, down) for spans in (_SPANS_90, _SPANS_70) for across in spans[::2] for down in spans[::2]),
    *((spans[1], spans[1]) for spans in (_SPANS_90, _SPANS_70, _SPANS_60)),
    *((across, _WHOLE) for across in (*_SPANS_80[::2], _WHOLE)),
    *((_WHOLE, down) for down in _SPANS_80[::2]),
)
MAIN_WINDOWS = tuple(sorted(WINDOWS.index((across[0], down[0], across[1], down[1])) for across, down in _MAIN))


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
def _weights(kind: Kind) -> Floats:
    order = np.arange(SIDE)
    radius = np.hypot(order[:, None], order[None, :])
    return (radius ** _WEIGHT_EXPONENT[kind]).astype(np.float32)


def _unit(coefficients: Floats, kind: Kind) -> Floats:
    weighted = coefficients * _weights(kind)
    flat = weighted.reshape(*weighted.shape[:-2], LENGTH)
    unit: Floats = flat / np.maximum(np.linalg.norm(flat, axis=-1, keepdims=True), LEAST_NORM)
    return unit


LEAST_NORM = 1e-9


def _cut(coefficients: Floats, chosen: Sequence[int]) -> Floats:
    """Coefficients of windows of views: (n, windows, 8, 8)."""
    out = np.empty((len(coefficients), len(chosen), SIDE, SIDE), np.float32)
    for at, number in enumerate(chosen):
        left, top, right, bottom = WINDOWS[number]
        out[:, at] = _span_matrix(top, bottom) @ coefficients @ _span_matrix(left, right).T
    return out


def window_vectors(coefficients: Floats, kind: Kind, chosen: Sequence[int] = range(len(WINDOWS))) -> Floats:
    """Give the vectors of windows (all, or those chosen) of views' coefficients (n, 14, 14): (n, windows, 64)."""
    return _unit(_cut(coefficients, chosen), kind)


def window_norms(coefficients: Floats, kind: Kind) -> Floats:
    """Give the lengths that the vectors of all windows have before they are made unit vectors: (n, windows)."""
    weighted = _cut(coefficients, range(len(WINDOWS))) * _weights(kind)
    norms: Floats = np.linalg.norm(weighted.reshape(*weighted.shape[:2], LENGTH), axis=-1)
    return norms


def spread_over_windows(vectors: Floats, kind: Kind) -> Floats:
    """Lay vectors (n, 64) into each window of a whole view: (n, windows, 14, 14).

    The product with a view's coefficients, over the norm of the window, is the cosine of the vector with that window.
    """
    weighted = vectors.reshape(-1, SIDE, SIDE) * _weights(kind)
    boxes = ((_span_matrix(top, bottom), _span_matrix(left, right)) for left, top, right, bottom in WINDOWS)
    return np.stack([down.T @ weighted @ across for down, across in boxes], axis=1)


def turned_vectors(coefficients: Floats, kind: Kind) -> Floats:
    """Give the vectors of the eight turns of whole views (n, 14, 14): (n, 8, 64)."""
    low = coefficients[:, :SIDE, :SIDE]
    return _unit(np.stack([turned_coefficients(low, turn) for turn in TURNS], axis=1), kind)
