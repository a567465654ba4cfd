"""What a bundle of needles can shade; loads no library of pictures."""

import math
from dataclasses import dataclass

# Curves drawn later along the edges of areas took up to 2 % off the smallest; the disc gives way by less than a pixel.
_SPARE_AREA, _SPARE_PX = 1.06, 0.75


@dataclass(frozen=True, slots=True)
class Bound:
    """What the bundle can shade, a geometric bound: a disc of its width, and the least area."""

    bundle_mm: float

    @property
    def least_mm2(self) -> float:
        """Give the area of a disc of two bundles' width."""
        return math.pi * self.bundle_mm**2

    def in_px(self, px_per_mm: float) -> "BoundPx":
        """Give the bound in pixels, with what later smoothing of the edges takes."""
        return BoundPx(self.bundle_mm * px_per_mm / 2 + _SPARE_PX, self.least_mm2 * px_per_mm**2 * _SPARE_AREA)


@dataclass(frozen=True, slots=True)
class BoundPx:
    """A bound in pixels."""

    disc_px: float
    least_px: float
