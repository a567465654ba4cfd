"""Unit vectors of pictures and of their parts, in which the eight turns are sign flips.

A vector holds the 63 lowest cosine coefficients after the mean, as a perceptual hash does, but keeps their size: the
sign of a coefficient near zero is noise, and half of them are near zero in symmetric art.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
import numpy.typing as npt

from archgen.twins.prepare import COEFFICIENTS, Kind, View, cosine_basis
from archgen.twins.turns import TURNS, Floats, turned_coefficients

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
    unit: Floats = flat / np.maximum(np.linalg.norm(flat, axis=-1, keepdims=True), 1e-9)
    return unit


def window_vectors(views: npt.ArrayLike, kind: Kind, chosen: Sequence[int] = range(len(WINDOWS))) -> Floats:
    """Give the vectors of windows (all, or those chosen) of views' coefficients (n, 14, 14): (n, windows, 64)."""
    coefficients = np.asarray(views, np.float32)
    out = np.empty((len(coefficients), len(chosen), SIDE, SIDE), np.float32)
    for at, number in enumerate(chosen):
        left, top, right, bottom = WINDOWS[number]
        out[:, at] = _span_matrix(top, bottom) @ coefficients @ _span_matrix(left, right).T
    return _unit(out, kind)


def turned_vectors(views: npt.ArrayLike, kind: Kind) -> Floats:
    """Give the vectors of the eight turns of whole views (n, 14, 14): (n, 8, 64)."""
    coefficients = np.asarray(views, np.float32)[:, :SIDE, :SIDE]
    return _unit(np.stack([turned_coefficients(coefficients, turn) for turn in TURNS], axis=1), kind)


def coefficients_of(views: list[View]) -> Floats:
    """Stack the coefficients of views."""
    return (
        np.stack([view.coefficients for view in views])
        if views
        else np.zeros((0, COEFFICIENTS, COEFFICIENTS), np.float32)
    )
