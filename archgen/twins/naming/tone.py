"""Measure how light, colour and sharpness of two aligned pictures differ.

Knows prepared pictures and where they lie on each other.
"""

from __future__ import annotations

import math

import cv2
import numpy as np

from archgen.twins.description.prepared import Prepared
from archgen.twins.description.turns import Floats
from archgen.twins.description.warp import Sums
from archgen.twins.naming.alignment import Alignment, brought_upright, is_one_size, laid, sides_of

# Side of the grid on which light is compared; and the resolution, against the coarser of both, for the blur, so that
# the filters of different programs make no difference.
CELLS, COARSER = 16, 0.75
# Differences up to which two pictures are the same but for their encoding: gray levels and colour of cells, logarithm
# of the gain of the light, blur (half the variance, in pixels of the compared maps), and the logarithms of the finest
# detail and of the share of half-tones. Another size comes with another filter, and only the first four count.
SAME_LIGHT, SAME_COLOR, SAME_GAIN, SHARPENED, BLURRED, SAME_DETAIL, FEWER_TONES = 3.6, 3.0, 0.055, 0.02, 0.06, 0.4, 0.45
LIGHT_OF_SIZE, GAIN_OF_SIZE, SHARPENED_OF_SIZE, BLURRED_OF_SIZE = 5.0, 0.17, 0.115, 0.12
# Finest detail that is there without the sharpness to go with it is the noise of an encoding.
NOISE = 0.004
# How far light and colour may change within a burst.
BURST_GAIN, BURST_COLOR = 0.13, 8.0
# Half-tones under which their share says nothing.
FEW_TONES = 0.05
EVEN = 1e-6


class ToneDifference:
    """How the second picture differs from the first over what they share.

    light: gray levels, by cells; gain: logarithm of the contrast of the second over that of the first; color: by cells.
    """

    def __init__(self, a: Prepared, b: Prepared, alignment: Alignment) -> None:
        self._pair, self._one_size = (a, b), is_one_size(a, b, alignment.turn)
        self._grays = laid(a.gray, brought_upright(b.gray, alignment.turn), alignment.upright)
        one, two, inside = self._grays
        cells = [_shrunk(gray if inside is None else gray * inside) for gray in (one, two)]
        difference = (cells[0] - cells[1]).ravel()
        self.light = math.sqrt(float(difference @ difference) / difference.size)
        self.gain = math.log(Sums(cells[0].ravel(), cells[1].ravel(), None).light[0])
        self.color = float(np.abs(a.color.astype(np.int16) - brought_upright(b.color, alignment.turn)).mean())

    def is_one_moment(self) -> bool:
        """Tell whether light and colour may be those of another exposure of the same moment."""
        return abs(self.gain) < BURST_GAIN and self.color < BURST_COLOR

    def is_same(self) -> bool:
        """Tell whether light, colour and sharpness are the same up to encoding and size."""
        light, gain = (SAME_LIGHT, SAME_GAIN) if self._one_size else (LIGHT_OF_SIZE, GAIN_OF_SIZE)
        if self.light > light or abs(self.gain) > gain or self.color > SAME_COLOR:
            return False
        blur = self.blur()
        if not self._one_size:
            return -SHARPENED_OF_SIZE < blur < BLURRED_OF_SIZE
        if not -SHARPENED < blur < BLURRED or self._lost_tones() > FEWER_TONES:
            return False
        detail = self._detail()
        return abs(detail) < SAME_DETAIL or blur * detail > -NOISE * abs(detail)

    def blur(self) -> float:
        """Measure what the second is softer, negative if it is sharper.

        Each picture is fitted by the other and its Laplacian: a blur adds of it half its variance, and noise falls out.
        """
        one, two, inside = self._grays
        sides = sides_of(one.shape, COARSER)
        first, second = (np.asarray(cv2.resize(gray, sides), np.float32) for gray in (one, two))
        curves = [np.asarray(cv2.Laplacian(gray, cv2.CV_32F, ksize=1), np.float32) for gray in (first, second)]
        if inside is not None:
            known = (cv2.resize(inside, sides) > 0.99).astype(np.float32)
            curves, first, second = [curve * known for curve in curves], first * known, second * known
        there, back = _softened(first, curves[0], second), -_softened(second, curves[1], first)
        # Noise in one picture only makes either look softer.
        return min(there, back, key=abs) if there * back > 0 else 0.0

    def _detail(self) -> float:
        a, b = self._pair
        return _log_ratio(b.sharpness, a.sharpness) - 2 * self.gain

    def _lost_tones(self) -> float:
        a, b = self._pair
        return _log_ratio(a.halftones, b.halftones) if min(a.halftones, b.halftones) > FEW_TONES else 0.0


def _shrunk(gray: Floats) -> Floats:
    return np.asarray(cv2.resize(gray, (CELLS, CELLS), interpolation=cv2.INTER_AREA), np.float32)


def _softened(sharp: Floats, curve: Floats, soft: Floats) -> float:
    sharp, soft, curve = sharp.ravel() - sharp.mean(), soft.ravel() - soft.mean(), curve.ravel()
    ss, sc, cc = float(sharp @ sharp), float(sharp @ curve), float(curve @ curve)
    st, ct = float(sharp @ soft), float(curve @ soft)
    area = ss * cc - sc * sc
    if area <= EVEN * ss * cc:
        return 0.0
    gain = (st * cc - ct * sc) / area
    return (ct * ss - st * sc) / area / gain if gain > EVEN else 0.0


def _log_ratio(one: float, other: float) -> float:
    return math.log(max(one, EVEN) / max(other, EVEN))
