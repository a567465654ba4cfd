"""Measure how light, colour and sharpness of two aligned pictures differ.

Knows prepared pictures and where they lie on each other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np

from archgen.twins.placing import Lie, brought_upright, laid
from archgen.twins.prepared import Prepared
from archgen.twins.turns import Floats
from archgen.twins.warp import Sums

# Side of the grid on which light is compared; and the resolution, against the coarser of both, for the sharpness, so
# that the filters of different programs make no difference.
CELLS, COARSER = 16, 0.75
# Differences up to which two pictures are the same but for their encoding: gray levels and colour of cells, gain of the
# light, blur (half the variance, in pixels of the compared maps), energy of the finest detail, and share of half-tones
# (both as logarithms). Another size comes with another filter, and only the first four count.
SAME_LIGHT, SAME_COLOR, SAME_GAIN, SHARPENED, BLURRED, SAME_DETAIL, FEWER_TONES = 3.2, 3.0, 0.055, 0.02, 0.06, 0.4, 0.45
LIGHT_OF_SIZE, GAIN_OF_SIZE, SHARPENED_OF_SIZE, BLURRED_OF_SIZE = 5.0, 0.12, 0.115, 0.12
# Finest detail that is there without the blur to go with it is the noise of an encoding.
NOISE = 0.004
# How far light and colour may change within a burst.
BURST_GAIN, BURST_COLOR = 0.13, 8.0


@dataclass(frozen=True, slots=True)
class Tone:
    """How the second picture differs from the first.

    light: gray levels, by cells; gain: contrast of the second over that of the first; color: by cells; blur: what the
    second is softer, negative if it is sharper; detail and tones: logarithm of the finest detail of the second and of
    its half-tones over those of the first.
    """

    light: float
    gain: float
    color: float
    blur: float
    detail: float
    tones: float

    def is_same(self, *, one_size: bool) -> bool:
        """Tell whether light, colour and sharpness are the same up to encoding and size."""
        gain = abs(math.log(self.gain))
        if self.color > SAME_COLOR:
            return False
        if not one_size:
            is_lit_alike = self.light < LIGHT_OF_SIZE and gain < GAIN_OF_SIZE
            return is_lit_alike and -SHARPENED_OF_SIZE < self.blur < BLURRED_OF_SIZE
        if self.light > SAME_LIGHT or gain > SAME_GAIN or not -SHARPENED < self.blur < BLURRED:
            return False
        is_noise = self.blur * self.detail > -NOISE * abs(self.detail)
        return (abs(self.detail) < SAME_DETAIL or is_noise) and self.tones > -FEWER_TONES

    def is_one_moment(self) -> bool:
        """Tell whether light and colour may be those of another exposure of the same moment."""
        return abs(math.log(self.gain)) < BURST_GAIN and self.color < BURST_COLOR


def compare_tone(a: Prepared, b: Prepared, lie: Lie) -> Tone:
    """Compare two pictures over what they share."""
    one, two, inside = laid(a.gray, brought_upright(b.gray, lie.turn), lie.upright)
    sides = (max(8, round(COARSER * one.shape[1])), max(8, round(COARSER * one.shape[0])))
    first, second = (cv2.resize(gray, sides).astype(np.float32, copy=False) for gray in (one, two))
    known = None if inside is None else (cv2.resize(inside, sides) > 0.99).astype(np.float32)
    weight = None if known is None else known.ravel()
    gain = min(max(Sums(first.ravel(), second.ravel(), weight).light[0], 0.05), 20.0)
    cells = [
        cv2.resize(gray if known is None else gray * known, (CELLS, CELLS), interpolation=cv2.INTER_AREA)
        for gray in (first, second)
    ]
    light = float(np.sqrt(np.mean((cells[0] - cells[1]) ** 2)))
    color = float(np.abs(a.color.astype(np.int16) - brought_upright(b.color, lie.turn)).mean())
    detail = _log_ratio(b.sharpness, a.sharpness) - 2 * math.log(gain)
    tones = _log_ratio(b.halftones, a.halftones) if min(a.halftones, b.halftones) > FEW_TONES else 0.0
    return Tone(light, gain, color, _blur(first, second, known), detail, tones)


# Half-tones under which their share says nothing.
FEW_TONES = 0.05


def _log_ratio(one: float, other: float) -> float:
    return math.log(max(one, EVEN) / max(other, EVEN))


def _blur(first: Floats, second: Floats, known: Floats | None) -> float:
    """Fit each picture by the other and its Laplacian: a blur adds of it half its variance, and noise falls out."""
    curves = [np.asarray(cv2.Laplacian(gray, cv2.CV_32F, ksize=1), np.float32) for gray in (first, second)]
    if known is not None:
        curves = [curve * known for curve in curves]
        first, second = first * known, second * known
    there, back = _softened(first, curves[0], second), -_softened(second, curves[1], first)
    # Noise in one picture only makes either look softer.
    return min(there, back, key=abs) if there * back > 0 else 0.0


def _softened(sharp: Floats, curve: Floats, soft: Floats) -> float:
    sharp, soft, curve = sharp.ravel() - sharp.mean(), soft.ravel() - soft.mean(), curve.ravel()
    ss, sc, cc = float(sharp @ sharp), float(sharp @ curve), float(curve @ curve)
    st, ct = float(sharp @ soft), float(curve @ soft)
    area = ss * cc - sc * sc
    if area <= EVEN * ss * cc or ss <= 0:
        return 0.0
    gain = (st * cc - ct * sc) / area
    return (ct * ss - st * sc) / area / gain if gain > EVEN else 0.0


EVEN = 1e-6
